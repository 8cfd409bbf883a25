//! What names a fault or a work and came to nothing: each such stretch with the reason, so that nothing vanishes.

use std::ops::Range;

use crate::lexicon::{Kind, Lexicon, Role};

use super::context::Context;
use super::events::{self, Event, Saying};
use super::findings::{Finding, Matter, Outcome};
use super::scan::{Mention, Spans};
use super::trace::Stages;

/// The longest clause that is shown whole, in words.
const WHOLE: usize = 12;
/// How many words on each side of a mention are shown of a longer one.
const AROUND: usize = 4;

/// Whether a mention names a fault or a work: what a part fails to do ("latch") does so only where it is denied.
pub fn names_matter(m: &Mention, cx: &Context<'_, '_>) -> bool {
    matches!(m.kind, Kind::Fault | Kind::Work) && (m.role != Role::Lack || cx.denied(&m.tokens))
}

/// The stretches of words that name a fault or a work and that no finding carries, each with the reason, in the order said.
pub fn left_over(stages: &Stages<'_>, lexicon: &Lexicon) -> Vec<(Range<usize>, String)> {
    let carried = stages
        .matters
        .iter()
        .flat_map(|(_, found)| found)
        .flat_map(|f| {
            // Of what was passed over only the first stretch is listed.
            let n = if matches!(f.outcome, Outcome::Passed(_)) {
                1
            } else {
                f.said.len()
            };
            f.said.iter().filter(|r| !r.is_empty()).take(n).cloned()
        });
    let carried = Carried::new(carried.collect());
    let told = Told::of(stages);
    let mut out: Vec<(Range<usize>, String)> = Vec::new();
    for (c, clause) in stages.clauses.iter().enumerate() {
        // What is shown of a clause lies in it.
        let first = out.len();
        let cx = Context::new(&stages.speech, &stages.scan, clause);
        for m in stages.scan.within(&clause.tokens) {
            let covered = |r: &Range<usize>| r.start <= m.tokens.start && m.tokens.end <= r.end;
            if !names_matter(m, &cx)
                || carried.holds(&m.tokens)
                || out[first..].iter().any(|(shown, _)| covered(shown))
            {
                continue;
            }
            let words = if clause.tokens.len() <= WHOLE {
                clause.tokens.clone()
            } else {
                m.tokens
                    .start
                    .saturating_sub(AROUND)
                    .max(clause.tokens.start)
                    ..(m.tokens.end + AROUND).min(clause.tokens.end)
            };
            let reason = reason(&told, lexicon, c, &cx, m);
            out.push((words, reason));
        }
    }
    out
}

/// Stretches of words that findings carry.
struct Carried(Vec<Range<usize>>);

impl Carried {
    /// In the order of their starts, each reaching as far as any before it.
    fn new(mut all: Vec<Range<usize>>) -> Carried {
        all.sort_by_key(|r| r.start);
        let mut end = 0;
        for r in &mut all {
            end = end.max(r.end);
            r.end = end;
        }
        Carried(all)
    }

    /// Whether one of them holds these words whole.
    fn holds(&self, tokens: &Range<usize>) -> bool {
        let begun = self.0.partition_point(|r| r.start <= tokens.start);
        begun > 0 && tokens.end <= self.0[begun - 1].end
    }
}

/// What was told, to be asked for by the words.
struct Told<'s> {
    stages: &'s Stages<'s>,
    /// The words of each event, in order, with the number of its matter.
    events: Vec<(Range<usize>, usize)>,
    /// The words of the longest event.
    longest: usize,
    named: Spans,
}

impl<'s> Told<'s> {
    fn of(stages: &'s Stages<'s>) -> Told<'s> {
        let mut events: Vec<_> = stages
            .matters
            .iter()
            .enumerate()
            .flat_map(|(i, (m, _))| m.events.iter().map(move |e| (e.tokens.clone(), i)))
            .collect();
        events.sort_by_key(|(tokens, _)| tokens.start);
        Told {
            longest: events.iter().map(|(t, _)| t.len()).max().unwrap_or(0),
            events,
            named: stages.places.named.iter().cloned().collect(),
            stages,
        }
    }

    /// The first matter with an event that touches these words.
    fn matter(&self, tokens: &Range<usize>) -> Option<&'s (Matter, Vec<Finding>)> {
        let lowest = tokens.start.saturating_sub(self.longest);
        let from = self.events.partition_point(|(t, _)| t.start < lowest);
        let near = self.events[from..]
            .iter()
            .take_while(|(t, _)| t.start < tokens.end);
        let touching = near.filter(|(t, _)| tokens.start < t.end);
        touching
            .map(|(_, matter)| *matter)
            .min()
            .map(|matter| &self.stages.matters[matter])
    }
}

fn reason(
    told: &Told<'_>,
    lexicon: &Lexicon,
    clause: usize,
    cx: &Context<'_, '_>,
    m: &Mention,
) -> String {
    let over = |e: &&Event| e.tokens.start < m.tokens.end && m.tokens.start < e.tokens.end;
    let of_event = |e: &Event| match e.saying {
        Saying::Passed(reason) => Some(reason),
        Saying::WasFault(_) => Some("told of an earlier time"),
        Saying::NoFault(_) => Some("denied"),
        Saying::AskedFault(_) => Some("only asked"),
        Saying::Worked(_) | Saying::Done => Some("already done"),
        Saying::Leave => Some("to stay as it is"),
        Saying::TakeBack => Some("taken back"),
        Saying::Fine | Saying::AllGood => Some("part of a verdict"),
        _ => None,
    };
    if let Some((matter, found)) = told.matter(&m.tokens)
        && let Some(e) = matter.events.iter().find(over)
    {
        if let Some(reason) = of_event(e) {
            return reason.to_string();
        }
        return if found
            .iter()
            .any(|f| matches!(f.outcome, Outcome::Item { .. }))
        {
            "told beside a matter that is listed without it"
        } else if found
            .iter()
            .any(|f| matches!(f.outcome, Outcome::Cleared(_)))
        {
            "a later word says that it is fine"
        } else {
            "no building part or place told"
        }
        .to_string();
    }
    // Events that no matter took up.
    let read = events::read(cx, lexicon, clause, told.named.reaching(&cx.clause.tokens));
    if let Some(reason) = read.events.iter().find(over).and_then(of_event) {
        return reason.to_string();
    }
    if cx.denied(&m.tokens) {
        "denied"
    } else if cx.past(&m.tokens) {
        "told of an earlier time"
    } else if cx.supposed(&m.tokens) {
        "only supposed"
    } else if cx.clause.question {
        "only asked"
    } else if m.kind == Kind::Work {
        "no need spoken"
    } else if read.things.is_empty() {
        "no building part or place told"
    } else {
        "not said of the part that is named"
    }
    .to_string()
}
