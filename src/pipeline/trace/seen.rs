//! What the stages saw in some clauses: entries, cues and their reach, events, the place, what decided an item's fields.

use std::ops::Range;

use serde::Serialize;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::Item;

use super::super::context::Context;
use super::super::events::{self, Saying, Target};
use super::super::findings;
use super::super::mentions::Thing;
use super::super::scan::Mention;
use super::super::seconds;
use super::{Field, Stages};

/// Where the speaker was.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Whereabouts {
    /// The path, outermost first.
    pub path: Vec<String>,
    /// When the speaker came there, in seconds; none where the words only speak of a place that the speaker is not in.
    pub since: Option<f64>,
    /// The words that told the arrival.
    pub words: String,
    /// The frame that the words stood in.
    pub frame: String,
}

/// An entry found in the words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Found {
    /// The words.
    pub words: String,
    /// When they begin, in seconds.
    pub start: f64,
    /// The entry: `elements/door`.
    pub entry: String,
    /// How the form is used: `noun`, `state`, `past`, …
    pub role: String,
}

/// A cue in the words.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CueSeen {
    /// The words.
    pub words: String,
    /// When they begin, in seconds.
    pub start: f64,
    /// The entry: `cues/not`.
    pub entry: String,
    /// The kind, as the lexicon names it.
    pub kind: CueKind,
    /// The faults, works and parts that it makes something else of; empty where it stands for its clause as a whole.
    pub reaches: Vec<String>,
}

/// Something said of a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EventSeen {
    /// What is said: `fault`, `work needed`, `fine`, …
    pub says: String,
    /// The fault's or the work's entry.
    pub entry: Option<String>,
    /// The parts that it is said of.
    pub of: Vec<String>,
    /// Of what it is said where no part stands there: `what was spoken of last`, `the place as a whole`.
    pub else_of: Option<String>,
    /// The words.
    pub words: String,
    /// When they begin, in seconds.
    pub start: f64,
}

/// The entry's list and id: `elements/door`.
pub(super) fn entry(kind: Kind, entry: u16, lexicon: &Lexicon) -> String {
    match kind {
        Kind::Area => format!("areas/{}", lexicon.area(entry).id),
        Kind::Element => format!("elements/{}", lexicon.element(entry).id),
        Kind::Fault => format!("faults/{}", lexicon.fault(entry).id),
        Kind::Work => format!("works/{}", lexicon.work(entry).id),
        Kind::Trade => format!("trades/{}", lexicon.trade(entry).id),
        Kind::Cue => format!("cues/{}", lexicon.cue(entry).id),
    }
}

fn role(role: Role) -> &'static str {
    match role {
        Role::Noun => "noun",
        Role::Nouns => "plural",
        Role::State => "state",
        Role::Base => "verb",
        Role::Third => "verb, third person",
        Role::Ing => "verb, -ing",
        Role::Past => "verb, past",
        Role::Lack => "fails to",
        Role::Phrase => "phrase",
    }
}

pub(super) fn start(stages: &Stages<'_>, tokens: &Range<usize>) -> f64 {
    seconds(stages.span(tokens).0)
}

/// The place that a clause speaks of.
pub(super) fn place(stages: &Stages<'_>, clause: usize, _lexicon: &Lexicon) -> Option<Whereabouts> {
    let places = &stages.places;
    let path = |p: usize| places.house.places[p].path.clone();
    if let Some(a) = places
        .asides
        .iter()
        .rev()
        .find(|a| a.clauses.contains(&clause))
    {
        let words = &stages.clauses[a.clauses.start].tokens;
        return Some(Whereabouts {
            path: path(a.place),
            since: None,
            words: stages.said(words).to_string(),
            frame: "remembered of another place; the speaker stays where they are".to_string(),
        });
    }
    let last = stages.clauses[clause].tokens.end;
    let n = places.arrivals.partition_point(|a| a.token < last);
    let (at, frame) = match n.checked_sub(1) {
        Some(i) => (&places.arrivals[i], places.arrivals[i].frame.to_string()),
        // Before the first arrival, what is said belongs to the first place there is.
        None => (
            places.arrivals.first()?,
            "nothing was named yet: the first place that is".to_string(),
        ),
    };
    let held = stages
        .clauses
        .iter()
        .find(|c| c.tokens.contains(&at.token))
        .map_or(at.token..at.token + 1, |c| {
            c.tokens.start..c.tokens.end.min(at.token + 8)
        });
    Some(Whereabouts {
        path: path(at.place),
        since: Some(start(stages, &(at.token..at.token + 1))),
        words: stages.said(&held).to_string(),
        frame,
    })
}

/// The entries found in some words.
pub(super) fn found(stages: &Stages<'_>, tokens: &Range<usize>, lexicon: &Lexicon) -> Vec<Found> {
    stages
        .scan
        .within(tokens)
        .map(|m| Found {
            words: stages.said(&m.tokens).to_string(),
            start: start(stages, &m.tokens),
            entry: entry(m.kind, m.entry, lexicon),
            role: role(m.role).to_string(),
        })
        .collect()
}

/// The cues of some clauses, each with the mentions that it makes something else of.
pub(super) fn cues(stages: &Stages<'_>, clauses: &Range<usize>, lexicon: &Lexicon) -> Vec<CueSeen> {
    let mut out = Vec::new();
    for clause in &stages.clauses[clauses.clone()] {
        let cx = Context::new(&stages.speech, &stages.scan, clause);
        for (kind, cue) in stages.scan.cues_within(&clause.tokens) {
            let reaches = stages
                .scan
                .within(&clause.tokens)
                .filter(|m| m.tokens.start >= cue.tokens.end)
                .filter(|m| reached(&cx, *kind, cue, m))
                .map(|m| stages.said(&m.tokens).to_string())
                .collect();
            out.push(CueSeen {
                words: stages.said(&cue.tokens).to_string(),
                start: start(stages, &cue.tokens),
                entry: entry(Kind::Cue, cue.entry, lexicon),
                kind: *kind,
                reaches,
            });
        }
    }
    out
}

fn reached(cx: &Context<'_, '_>, kind: CueKind, cue: &Mention, m: &Mention) -> bool {
    match kind {
        CueKind::Negation => cx.denied(&m.tokens),
        CueKind::Past => cx.past(&m.tokens),
        CueKind::Hypothetical => cx.supposed(&m.tokens),
        CueKind::Need => cx.needed(&m.tokens).is_some_and(|n| n == cue),
        _ => false,
    }
}

/// What some clauses say.
pub(super) fn events(
    stages: &Stages<'_>,
    clauses: &Range<usize>,
    lexicon: &Lexicon,
) -> Vec<EventSeen> {
    let mut out = Vec::new();
    for c in clauses.clone() {
        let cx = Context::new(&stages.speech, &stages.scan, &stages.clauses[c]);
        let read = events::read(&cx, lexicon, c, &stages.places.named);
        for e in &read.events {
            let (says, entry) = match e.saying {
                Saying::Fault(f)
                | Saying::WasFault(f)
                | Saying::NoFault(f)
                | Saying::AskedFault(f) => (
                    findings::name(&e.saying).to_string(),
                    Some(entry(Kind::Fault, f, lexicon)),
                ),
                Saying::Needed(w) | Saying::Worked(w) => (
                    findings::name(&e.saying).to_string(),
                    Some(entry(Kind::Work, w, lexicon)),
                ),
                Saying::Passed(reason) => (format!("passed over: {reason}"), None),
                _ => (findings::name(&e.saying).to_string(), None),
            };
            let names = |things: &[Thing]| things.iter().map(|t| t.name.clone()).collect();
            let (of, else_of) = match &e.target {
                Target::Things(t) => (names(t), None),
                Target::Topic => (Vec::new(), Some("what was spoken of last")),
                Target::TopicElse(t) | Target::BareElse(t) if t.is_empty() => {
                    (Vec::new(), Some("what was spoken of last"))
                }
                Target::TopicElse(t) => (names(t), Some("what was spoken of last, if anything")),
                Target::BareElse(t) => (names(t), Some("the part named just before, if any")),
                Target::Place => (Vec::new(), Some("the place as a whole")),
            };
            out.push(EventSeen {
                says,
                entry,
                of,
                else_of: else_of.map(str::to_string),
                words: stages.said(&e.tokens).to_string(),
                start: start(stages, &e.tokens),
            });
        }
    }
    out
}

/// Each field of an item with the rule or entry that decided it, by the item's own `why`.
pub(super) fn fields(item: &Item) -> Vec<Field> {
    let by = |head: &str| {
        item.why
            .iter()
            .find_map(|w| w.strip_prefix(head).map(str::trim))
            .map(str::to_string)
    };
    let event = |names: &[&str]| {
        item.why
            .iter()
            .find(|w| {
                names
                    .iter()
                    .any(|n| w.strip_prefix(n).is_some_and(|r| r.starts_with(": \"")))
            })
            .cloned()
    };
    let words = |part: &str| format!("details: {part} read from the words around");
    let mut out = Vec::new();
    let mut put = |name, value: Option<String>, by: String| {
        if let Some(value) = value {
            out.push(Field { name, value, by });
        }
    };
    put(
        "area",
        Some(item.area.join(" / ")),
        "places, as told above".to_string(),
    );
    put("where", item.spot.clone(), words("the spot"));
    put(
        "element",
        Some(
            item.element
                .clone()
                .unwrap_or_else(|| "the area as a whole".to_string()),
        ),
        by("element:").unwrap_or_default(),
    );
    put(
        "fault",
        item.fault.clone(),
        event(&["fault", "fault asked about"]).unwrap_or_default(),
    );
    put(
        "work",
        Some(item.work.to_string()),
        by("work:")
            .or_else(|| event(&["doubt", "to be asked", "not there", "a new one wanted"]))
            .unwrap_or_else(|| "findings: nobody can say yet".to_string()),
    );
    put(
        "trade",
        Some(item.trade.to_string()),
        by("trade:").unwrap_or_default(),
    );
    let standing = event(&["doubt", "to be asked", "fault asked about"])
        .filter(|_| item.standing == crate::list::Standing::Query)
        .unwrap_or_else(|| "findings: a fault or a need, and no doubt that stands".to_string());
    put("standing", Some(item.standing.to_string()), standing);
    put(
        "count",
        item.count.map(|c| c.to_string()),
        words("the number"),
    );
    put(
        "measure",
        item.measure.as_ref().map(|m| {
            let of = m.of.as_ref().map_or(String::new(), |o| format!(" ({o})"));
            format!("{} {}{of}", m.value, m.unit)
        }),
        words("the size"),
    );
    put(
        "urgent",
        item.urgent.then(|| "yes".to_string()),
        "details: a cue of kind urgent".to_string(),
    );
    put("by", item.by.clone(), words("the time"));
    put(
        "hazard",
        item.hazard.map(|h| h.to_string()),
        by("hazard:").unwrap_or_else(|| "the fault's own entry".to_string()),
    );
    put(
        "follow_up",
        item.follow_up.map(|f| f.to_string()),
        "details/promise: a cue of kind promise".to_string(),
    );
    put(
        "confidence",
        Some(format!("{:.2}", item.confidence)),
        by("confidence:").map_or_else(|| "model".to_string(), |w| format!("model: {w}")),
    );
    out
}
