//! What is known around a part that was named, as features by name. What each weighs stands in `lexicon/weigh.yaml`.

use std::ops::Range;

use crate::lexicon::{Kind, Lexicon};

use super::super::findings::{self, Matter, Outcome};
use super::super::mentions::{Hold, Thing};
use super::super::normalize::{Speech, Stop};
use super::super::scan::Scan;
use super::super::segment::{Clause, Joint};

/// How many parts named before are looked at for the same part.
const BEFORE: usize = 12;
/// The clauses around a part's own that are looked at.
const AROUND: std::ops::RangeInclusive<isize> = -2..=3;
/// The same as text.
const SHIFTS: [&str; 6] = ["-2", "-1", "0", "1", "2", "3"];

/// Small words that are taken as they are; of others only the ending counts. Sorted.
const SMALL: [&str; 112] = [
    "'s", "a", "above", "again", "all", "along", "an", "and", "another", "any", "are", "around",
    "at", "be", "because", "been", "behind", "being", "below", "both", "but", "by", "can", "could",
    "did", "do", "does", "down", "each", "every", "five", "for", "four", "from", "get", "gets",
    "got", "had", "has", "have", "he", "her", "here", "his", "how", "i", "if", "in", "is", "it",
    "just", "like", "look", "may", "might", "must", "my", "need", "needs", "never", "no", "not",
    "now", "of", "off", "on", "one", "only", "or", "other", "our", "out", "over", "same", "see",
    "she", "should", "six", "so", "some", "still", "that", "the", "their", "then", "there",
    "these", "they", "this", "those", "three", "through", "to", "two", "under", "up", "want",
    "wants", "was", "we", "were", "what", "when", "where", "who", "will", "with", "without",
    "would", "yet", "you", "your",
];

/// How sure a finding is, in fifths.
const FIFTHS: [&str; 6] = ["0", "1", "2", "3", "4", "5"];

/// A part that was named, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Named {
    /// The part.
    pub thing: Thing,
    /// The clause that names it.
    pub clause: usize,
}

/// What the rules made of a part that was named: the matter it is of, and its finding there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ruled {
    /// The matter, by number.
    pub matter: usize,
    /// Its finding in that matter, by number.
    pub finding: Option<usize>,
}

/// All that a judgement looks at.
pub struct View<'a, 'r> {
    /// The words.
    pub speech: &'a Speech<'r>,
    /// What the lexicon knows of them.
    pub scan: &'a Scan,
    /// The clauses.
    pub clauses: &'a [Clause],
    /// The lexicon.
    pub lexicon: &'a Lexicon,
    /// What the rules found.
    pub matters: &'a [(Matter, Vec<findings::Finding>)],
    /// The parts named, in order.
    pub named: &'a [Named],
    /// What the rules made of each.
    pub ruled: &'a [Option<Ruled>],
}

/// Takes a feature by the pieces of its name.
type Sink<'t> = dyn FnMut(&[&str]) + 't;

/// Names a feature.
macro_rules! put {
    ($sink:expr, $($piece:expr),+) => { $sink(&[$($piece),+]) };
}

/// A number of words, roughly.
fn rough(n: usize) -> &'static str {
    match n {
        0 => "0",
        1 => "1",
        2..=3 => "2",
        4..=6 => "4",
        7..=12 => "7",
        13..=24 => "13",
        _ => "25",
    }
}

/// How a part is known.
fn sort(t: &Thing, lexicon: &Lexicon) -> &'static str {
    match t.entry.map(|e| lexicon.element(e)) {
        None => "unknown",
        Some(e) if e.weak => "everyday",
        Some(e) if e.piece => "piece",
        Some(_) => "known",
    }
}

fn hold(t: &Thing) -> &'static str {
    match t.hold {
        Hold::Free => "free",
        Hold::Host => "host",
        Hold::Beside => "beside",
    }
}

impl View<'_, '_> {
    fn finding(&self, r: Ruled) -> Option<&findings::Finding> {
        r.finding.map(|f| &self.matters[r.matter].1[f])
    }

    /// What the rules made of the part named at `at`, in a word.
    pub fn verdict(&self, at: usize) -> &'static str {
        match self.ruled[at] {
            None => "nothing",
            Some(r) => match self.finding(r).map(|f| &f.outcome) {
                Some(Outcome::Item { .. }) => "item",
                Some(Outcome::Cleared(_)) => "cleared",
                Some(Outcome::Passed(_)) => "passed",
                None => "topic",
            },
        }
    }

    /// A word as a feature: small words as they are, others by their ending; whether it lies in the clause.
    fn word(&self, i: Option<usize>, clause: &Range<usize>) -> (&'static str, &str) {
        let Some(i) = i.filter(|i| *i < self.speech.tokens.len()) else {
            return ("", "edge");
        };
        let w = self.speech.word(i);
        let class = if SMALL.binary_search(&w).is_ok() {
            w
        } else if w.ends_with("ed") {
            "-ed"
        } else if w.ends_with("ing") {
            "-ing"
        } else if w.ends_with("ly") {
            "-ly"
        } else if w.chars().all(|c| c.is_ascii_digit()) {
            "number"
        } else {
            "other"
        };
        (if clause.contains(&i) { "" } else { "out-" }, class)
    }

    /// Tells what is known around the part named at `at`.
    pub fn features(&self, at: usize, s: &mut Sink<'_>) {
        put!(s, "bias");
        self.part(at, s);
        self.words(at, s);
        self.ruling(at, s);
        self.signals(at, s);
        self.others(at, s);
    }

    fn part(&self, at: usize, s: &mut Sink<'_>) {
        let t = &self.named[at].thing;
        put!(s, "part-", hold(t));
        put!(s, "part-", sort(t, self.lexicon));
        if let Some(e) = t.entry {
            put!(s, "group-", &self.lexicon.element(e).group);
        }
        if t.plural {
            put!(s, "part-plural");
        }
        if t.tokens.len() > 1 {
            put!(s, "part-named-fully");
        }
    }

    fn words(&self, at: usize, s: &mut Sink<'_>) {
        let Named { thing: t, clause } = &self.named[at];
        let c = &self.clauses[*clause];
        let mode = if self.speech.punctuated { "p" } else { "u" };
        put!(s, "mode-", mode);
        put!(
            s,
            "joint-",
            match c.joint {
                Joint::Start => "start",
                Joint::Comma => "comma",
                Joint::And => "and",
                Joint::But => "but",
            }
        );
        if c.question {
            put!(s, "question");
        }
        put!(s, "clause-", mode, "-", rough(c.tokens.len()));
        put!(
            s,
            "lead-",
            rough(t.phrase.start.saturating_sub(c.tokens.start))
        );
        let tail = c.tokens.end.saturating_sub(t.tokens.end);
        put!(s, "tail-", rough(tail));
        if tail == 0 && self.speech.tokens[t.tokens.end - 1].stop == Stop::End {
            put!(s, "tail-stop");
        }
        let back = |n: usize| t.phrase.start.checked_sub(n);
        for (name, i) in [
            ("before", back(1)),
            ("before2", back(2)),
            ("first", Some(t.phrase.start)),
            ("after", Some(t.tokens.end)),
            ("after2", Some(t.tokens.end + 1)),
        ] {
            let (out, class) = self.word(i, &c.tokens);
            put!(s, name, "-", out, class);
        }
    }

    fn ruling(&self, at: usize, s: &mut Sink<'_>) {
        let Named { thing: t, clause } = &self.named[at];
        put!(s, "rules-", self.verdict(at));
        let Some(r) = self.ruled[at] else { return };
        if let Some(f) = self.finding(r)
            && let Outcome::Item { work, .. } = &f.outcome
        {
            put!(s, "rules-", work.word());
            put!(
                s,
                "rules-sure-",
                FIFTHS[((f.confidence * 5.0) as usize).min(5)]
            );
        }
        let m = &self.matters[r.matter].0;
        put!(s, "events-", rough(m.events.len()));
        for e in &m.events {
            put!(s, "event-", findings::name(&e.saying));
        }
        if let (Some(first), Some(last)) = (m.events.first(), m.events.last()) {
            put!(s, "event-last-", findings::name(&last.saying));
            let side = if first.tokens.start < t.tokens.start {
                "back"
            } else {
                "on"
            };
            put!(
                s,
                "event-",
                side,
                "-",
                rough(first.tokens.start.abs_diff(t.tokens.end))
            );
            put!(
                s,
                "event-",
                if first.clause == *clause {
                    "here"
                } else {
                    "apart"
                }
            );
        }
        if m.things.len() > 1 {
            put!(s, "event-of-several");
        }
    }

    /// Faults, works and cues in the part's clause and around it.
    fn signals(&self, at: usize, s: &mut Sink<'_>) {
        let Named { thing: t, clause } = &self.named[at];
        let own = &self.clauses[*clause];
        for (off, shift) in AROUND.zip(SHIFTS) {
            let Some(c) = clause
                .checked_add_signed(off)
                .filter(|c| *c < self.clauses.len())
            else {
                continue;
            };
            let k = &self.clauses[c];
            let near = if k.sentence == own.sentence {
                "same"
            } else {
                "other"
            };
            let mut nearest: [usize; 2] = [usize::MAX; 2];
            let mut parts = 0;
            for m in self.scan.within(&k.tokens) {
                let what = match m.kind {
                    Kind::Fault => "fault",
                    Kind::Work => "work",
                    Kind::Area if off == 0 => {
                        put!(s, "0-area");
                        continue;
                    }
                    Kind::Element => {
                        parts += 1;
                        continue;
                    }
                    _ => continue,
                };
                let role = m.role.name();
                if off != 0 {
                    put!(s, shift, "-", near, "-", what, "-", role);
                    continue;
                }
                let (side, gap) = if m.tokens.end <= t.tokens.start {
                    ("back", t.tokens.start - m.tokens.end)
                } else if m.tokens.start >= t.tokens.end {
                    ("on", m.tokens.start - t.tokens.end)
                } else {
                    ("in", 0)
                };
                put!(s, "0-", side, "-", what, "-", role);
                let class = if m.kind == Kind::Fault {
                    self.lexicon.fault(m.entry).work
                } else {
                    self.lexicon.work(m.entry).class
                };
                put!(
                    s,
                    "0-",
                    side,
                    "-",
                    what,
                    "-",
                    class.map_or("plain", |w| w.word())
                );
                let n = usize::from(m.kind == Kind::Work);
                nearest[n] = nearest[n].min(gap);
            }
            for (what, gap) in ["fault", "work"].iter().zip(nearest) {
                if gap < usize::MAX {
                    put!(s, "0-", what, "-gap-", rough(gap));
                }
            }
            for (kind, q) in self.scan.cues_within(&k.tokens) {
                let side = match off {
                    0 if q.tokens.end <= t.tokens.start => "-back",
                    0 => "-on",
                    _ => "",
                };
                put!(s, shift, "-", near, side, "-cue-", kind.name());
            }
            put!(s, shift, "-", near, "-parts-", rough(parts));
            if off > 0 {
                let (_, class) = self.word(Some(k.tokens.start), &k.tokens);
                put!(s, shift, "-", near, "-opens-", class);
            }
        }
    }

    /// The parts named before and after, and what the rules made of them.
    fn others(&self, at: usize, s: &mut Sink<'_>) {
        let Named { thing: t, clause } = &self.named[at];
        let mine = self.ruled[at];
        for (off, shift) in [(-2_isize, "-2"), (-1, "-1"), (1, "1"), (2, "2")] {
            let Some(other) = at.checked_add_signed(off).filter(|o| *o < self.named.len()) else {
                continue;
            };
            let (o, r) = (&self.named[other], self.ruled[other]);
            put!(s, "n", shift, "-rules-", self.verdict(other));
            put!(
                s,
                "n",
                shift,
                "-",
                if o.clause == *clause { "here" } else { "apart" }
            );
            put!(
                s,
                "n",
                shift,
                "-gap-",
                rough(o.thing.tokens.start.abs_diff(t.tokens.start))
            );
            put!(s, "n", shift, "-", hold(&o.thing));
            put!(s, "n", shift, "-", sort(&o.thing, self.lexicon));
            if o.thing.same(t) {
                put!(s, "n", shift, "-same-part");
            }
            if let (Some(a), Some(b)) = (mine, r)
                && a.matter == b.matter
            {
                put!(s, "n", shift, "-same-matter");
            }
        }
        let mut before = (at.saturating_sub(BEFORE)..at).rev();
        if let Some(o) = before.find(|o| self.named[*o].thing.same(t)) {
            put!(s, "named-before");
            put!(s, "named-before-", self.verdict(o));
        }
    }
}
