//! Stage 6: what comes of what was said. Events of one part that follow each other make a matter; a matter becomes
//! items, a cleared mark, or is passed over with a reason.

pub mod compound;
mod decide;
mod gather;

use std::ops::Range;

use crate::list::{ClearedKind, Standing, Work};

use super::events::{Event, Saying};
use super::mentions::Thing;
use super::segment::Clause;

pub use decide::{decide, forced};
pub use gather::matters;

/// Events of one part (or of parts named in one breath) that follow each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Matter {
    /// The parts; empty for the place as a whole.
    pub things: Vec<Thing>,
    /// What was said, in order.
    pub events: Vec<Event>,
    /// The place.
    pub place: Option<usize>,
    /// Its words, from the first naming to the last event.
    pub tokens: Range<usize>,
    /// The clause of its first naming.
    pub first: usize,
    /// The clause of its last event or naming.
    pub last: usize,
    /// The entry of a seal of the parts that was named after them.
    pub via: Option<u16>,
}

/// What became of a matter.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Something to do.
    Item {
        /// The class of work.
        work: Work,
        /// The fault's entry.
        fault: Option<u16>,
        /// The work's entry.
        deed: Option<u16>,
        /// How it stands.
        standing: Standing,
    },
    /// Looked at and fine.
    Cleared(ClearedKind),
    /// Neither, and why.
    Passed(&'static str),
}

/// One finding: an outcome for one part, with the words that carry it.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What became of it.
    pub outcome: Outcome,
    /// The part; none for the place as a whole.
    pub thing: Option<Thing>,
    /// The place.
    pub place: Option<usize>,
    /// The stretches of words that carry it.
    pub said: Vec<Range<usize>>,
    /// The matter's words, for counts, measures and the like.
    pub scope: Range<usize>,
    /// How it was decided.
    pub why: Vec<String>,
    /// The chance that it is right, from 0 to 1.
    pub confidence: f64,
    /// What is known of it that may speak for or against it.
    pub features: Vec<&'static str>,
}

/// The clause that holds these words whole; clauses follow each other.
fn holding(clauses: &[Clause], tokens: &Range<usize>) -> Option<usize> {
    let c = clauses.partition_point(|c| c.tokens.end < tokens.end);
    clauses
        .get(c)
        .is_some_and(|k| k.tokens.start <= tokens.start)
        .then_some(c)
}

/// Whether an event speaks of something wrong or to be done.
fn bad(e: &Event) -> bool {
    matches!(
        e.saying,
        Saying::Fault(_) | Saying::AskedFault(_) | Saying::Absent | Saying::Needed(_) | Saying::New
    )
}

/// Whether what is said makes an item, or else a cleared mark.
pub fn tells(s: &Saying, item: bool) -> bool {
    match s {
        Saying::Fault(_)
        | Saying::AskedFault(_)
        | Saying::Absent
        | Saying::Needed(_)
        | Saying::New
        | Saying::Doubt
        | Saying::Ask
        | Saying::Call => item,
        Saying::Fine
        | Saying::Done
        | Saying::Worked(_)
        | Saying::NoFault(_)
        | Saying::WasFault(_)
        | Saying::AllGood => !item,
        Saying::NotEither | Saying::Leave | Saying::TakeBack | Saying::Passed(_) => false,
    }
}

/// What is said, in a word or two.
pub fn name(s: &Saying) -> &'static str {
    match s {
        Saying::Fault(_) => "fault",
        Saying::WasFault(_) => "fault of an earlier time",
        Saying::NoFault(_) => "fault denied",
        Saying::AskedFault(_) => "fault asked about",
        Saying::Absent => "not there",
        Saying::Needed(_) => "work needed",
        Saying::New => "a new one wanted",
        Saying::NotEither => "denied",
        Saying::Worked(_) => "work done",
        Saying::Done => "put right",
        Saying::Fine => "fine",
        Saying::AllGood => "all fine",
        Saying::Doubt => "doubt",
        Saying::Ask => "to be asked",
        Saying::Leave => "to stay",
        Saying::TakeBack => "taken back",
        Saying::Call => "trade called",
        Saying::Passed(_) => "passed over",
    }
}
