//! What each stage gave, kept: for whoever asks why an item stands on the list as it does, or why it does not.
//!
//! [`Stages`] holds the stages of one walk, and the list itself is made from it, so that what is told here is what
//! happened. [`moment`] tells what came of the words around one word.

mod near;
mod seen;

use std::ops::Range;

use serde::Serialize;

use crate::lexicon::Lexicon;
use crate::list::{Cleared, Item, List, PassedOver};
use crate::transcript::Reading;

use super::findings::{self, Finding, Matter};
use super::normalize::Speech;
use super::places::{self, Places};
use super::scan::{self, Scan};
use super::segment::{self, Clause};
use super::weigh;

pub use near::Near;
pub use seen::{CueSeen, EventSeen, Found, Whereabouts};

/// The most clauses on each side that belong to a moment: run-on speech has no sentences.
const CLAUSES: usize = 3;

/// What each stage made of one walk.
pub struct Stages<'r> {
    /// The words as compared.
    pub speech: Speech<'r>,
    /// What the lexicon knows of them.
    pub scan: Scan,
    /// The clauses.
    pub clauses: Vec<Clause>,
    /// Where the speaker was.
    pub places: Places,
    /// Each matter with what came of it.
    pub matters: Vec<(Matter, Vec<Finding>)>,
}

impl<'r> Stages<'r> {
    /// Runs the stages over a walk, up to the findings, weighed.
    pub fn new(reading: &'r Reading, lexicon: &Lexicon) -> Stages<'r> {
        let mut stages = Stages::by_rules(reading, lexicon);
        stages.matters = weigh::weigh(
            stages.matters,
            &stages.speech,
            &stages.scan,
            &stages.clauses,
            &stages.places,
            lexicon,
        );
        stages
    }

    /// As [`Stages::new`], with the findings as the rules made them.
    pub fn by_rules(reading: &'r Reading, lexicon: &Lexicon) -> Stages<'r> {
        let speech = Speech::new(reading, lexicon);
        let scan = scan::scan(&speech, lexicon);
        let clauses = segment::clauses(&speech, &scan);
        let places = places::places(&speech, &clauses, &scan, lexicon);
        let matters = findings::matters(&speech, &clauses, &scan, lexicon, &places)
            .into_iter()
            .map(|m| {
                let mut found = findings::decide(&m, &speech, &clauses, &scan, lexicon);
                findings::compound::name(&mut found, &speech, &clauses, &scan, lexicon);
                (m, found)
            })
            .collect();
        Stages {
            speech,
            scan,
            clauses,
            places,
            matters,
        }
    }

    /// The parts that the walk names, in order.
    pub fn named(&self, lexicon: &Lexicon) -> Vec<weigh::Named> {
        weigh::named(
            &self.speech,
            &self.scan,
            &self.clauses,
            &self.places,
            &self.matters,
            lexicon,
        )
    }

    /// The word said at a time in seconds: the last that has begun, or the first of all. None in a walk without words.
    pub fn word_at(&self, seconds: f64) -> Option<usize> {
        let reading = self.speech.reading;
        let begun = self
            .speech
            .tokens
            .partition_point(|t| reading.at_start(t.said.start) <= seconds);
        (!self.speech.tokens.is_empty()).then(|| begun.saturating_sub(1))
    }

    /// Start and end of some words, in seconds.
    pub fn span(&self, tokens: &Range<usize>) -> (f64, f64) {
        self.speech.reading.span(self.speech.said(tokens))
    }

    /// Some words as the transcript has them.
    pub fn said(&self, tokens: &Range<usize>) -> &str {
        &self.speech.reading.text[self.speech.said(tokens)]
    }

    /// The clauses of the sentence that a word belongs to, by number; of run-on speech those close to it.
    pub fn sentence(&self, word: usize) -> Range<usize> {
        let at = self
            .clauses
            .partition_point(|c| c.tokens.end <= word)
            .min(self.clauses.len().saturating_sub(1));
        let Some(clause) = self.clauses.get(at) else {
            return 0..0;
        };
        let same = |i: &usize| self.clauses[*i].sentence == clause.sentence;
        let first = (at.saturating_sub(CLAUSES)..=at)
            .rev()
            .take_while(same)
            .last()
            .unwrap_or(at);
        let last = (at..self.clauses.len().min(at + CLAUSES + 1))
            .take_while(same)
            .last()
            .unwrap_or(at);
        first..last + 1
    }
}

/// What came of one moment of a walk, stage by stage. Times are seconds, words those of the transcript.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Moment {
    /// The walk, as the list names it.
    pub walk: String,
    /// When the words begin.
    pub start: f64,
    /// When they end.
    pub end: f64,
    /// The words.
    pub words: String,
    /// The clauses that they were cut into.
    pub clauses: Vec<String>,
    /// Where the speaker was, and how that was told.
    pub place: Option<Whereabouts>,
    /// What the lexicon found in the words, cues aside.
    pub found: Vec<Found>,
    /// The cues among them, and what each reaches.
    pub cues: Vec<CueSeen>,
    /// What was said of which part.
    pub events: Vec<EventSeen>,
    /// The items that these words carry, each field with what decided it.
    pub items: Vec<Decided>,
    /// The cleared marks that they carry.
    pub cleared: Vec<Cleared>,
    /// What was passed over, with the reason.
    pub passed_over: Vec<PassedOver>,
    /// What nearly counted, and why it did not.
    pub near: Vec<Near>,
}

/// An item, and what decided each of its fields.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Decided {
    /// The item as it stands on the list.
    pub item: Item,
    /// Each field that says something, in the order of the list.
    pub fields: Vec<Field>,
}

/// One field of an item.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Field {
    /// Its name, as in the list's JSON.
    pub name: &'static str,
    /// Its value, in words.
    pub value: String,
    /// The rule or entry that decided it.
    pub by: String,
}

/// What came of some clauses of a walk.
///
/// `list` is the list made of the walk, `id` the walk's id in it.
pub fn moment(
    stages: &Stages<'_>,
    list: &List,
    id: &str,
    clauses: Range<usize>,
    lexicon: &Lexicon,
) -> Option<Moment> {
    let (first, last) = (clauses.start, clauses.end.checked_sub(1)?);
    let tokens = stages.clauses.get(first)?.tokens.start..stages.clauses.get(last)?.tokens.end;
    let (start, end) = stages.span(&tokens);
    let (start, end) = (super::seconds(start), super::seconds(end));
    // The list rounds to the hundredth.
    let over = |s: &crate::list::Said| s.walk == id && s.start < end && start < s.end;
    let items: Vec<&Item> = list
        .items
        .iter()
        .filter(|i| i.said.iter().any(over))
        .collect();
    let cleared: Vec<Cleared> = list
        .cleared
        .iter()
        .filter(|c| c.said.iter().any(over))
        .cloned()
        .collect();
    let passed_over: Vec<PassedOver> = list
        .passed_over
        .iter()
        .filter(|p| over(&p.said))
        .cloned()
        .collect();
    let place = seen::place(stages, first, lexicon);
    let near = near::near(stages, &clauses, lexicon, |tokens| {
        let (s, e) = stages.span(tokens);
        let (s, e) = (super::seconds(s), super::seconds(e));
        let holds = |x: &crate::list::Said| x.walk == id && x.start <= s && e <= x.end;
        items.iter().any(|i| i.said.iter().any(holds))
            || cleared.iter().any(|c| c.said.iter().any(holds))
    });
    Some(Moment {
        walk: id.to_string(),
        start,
        end,
        words: stages.said(&tokens).to_string(),
        clauses: clauses
            .clone()
            .map(|c| stages.said(&stages.clauses[c].tokens).to_string())
            .collect(),
        found: seen::found(stages, &tokens, lexicon),
        cues: seen::cues(stages, &clauses, lexicon),
        events: seen::events(stages, &clauses, lexicon),
        items: items
            .into_iter()
            .map(|i| Decided {
                fields: seen::fields(i),
                item: i.clone(),
            })
            .collect(),
        place,
        cleared,
        passed_over,
        near,
    })
}
