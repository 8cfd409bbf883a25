//! Between context and findings: what a clause says happened, is wrong or is to be done, and of which part.

mod ability;
mod absence;
mod binding;
mod faults;
mod short;
mod verdicts;
mod way;
mod works;

use std::ops::Range;

use crate::lexicon::{Kind, Lexicon};

use super::context::Context;
use super::mentions::{self, Thing};
use super::scan::Mention;

/// What a clause says of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Saying {
    /// A fault, by its entry.
    Fault(u16),
    /// A fault of an earlier time.
    WasFault(u16),
    /// A fault that is said not to be there.
    NoFault(u16),
    /// Whether there is a fault is asked.
    AskedFault(u16),
    /// The part is not there.
    Absent,
    /// Work to be done, by its entry.
    Needed(u16),
    /// A new one is wanted.
    New,
    /// Denied, with what it is left to what was said of another: "the right one doesn't".
    NotEither,
    /// Work that has been done.
    Worked(u16),
    /// It was put right.
    Done,
    /// It is fine.
    Fine,
    /// The whole place is fine.
    AllGood,
    /// The speaker does not know.
    Doubt,
    /// Somebody must look or answer.
    Ask,
    /// It is to stay as it is.
    Leave,
    /// What was said before is taken back.
    TakeBack,
    /// A trade is named and nothing else: its work is wanted.
    Call,
    /// Named, and the reason why it is passed over.
    Passed(&'static str),
}

/// Of what something is said.
#[derive(Debug, Clone, PartialEq)]
pub enum Target {
    /// Of these parts.
    Things(Vec<Thing>),
    /// Of what was spoken of last.
    Topic,
    /// Of what was spoken of last, where there is such; else of these parts.
    TopicElse(Vec<Thing>),
    /// Of the part named alone just before in the sentence; else of these parts.
    BareElse(Vec<Thing>),
    /// Of the place as a whole.
    Place,
}

/// Something said of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// What is said.
    pub saying: Saying,
    /// Of what.
    pub target: Target,
    /// The words that say it.
    pub tokens: Range<usize>,
    /// The clause it stands in.
    pub clause: usize,
    /// The entry of the part that it was said of, where the matter is another part's: the caulk of a window.
    pub via: Option<u16>,
}

/// A clause as read: its parts and what it says of them.
pub struct Read {
    /// The parts named, in order.
    pub things: Vec<Thing>,
    /// What is said, in order.
    pub events: Vec<Event>,
    /// The words of "the left one", where one of several is meant.
    pub one: Option<Range<usize>>,
    /// Something points back at what was spoken of ("it", "those").
    pub points_back: bool,
}

/// Whether a part is one that can be tried and can fail to answer.
pub(super) fn answers(thing: &Thing, lexicon: &Lexicon) -> bool {
    thing.entry.is_some_and(|e| {
        matches!(
            lexicon.element(e).group.as_str(),
            "electrical"
                | "lighting"
                | "appliance"
                | "alarm"
                | "hvac"
                | "low-voltage"
                | "plumbing"
                | "equipment"
                | "fire"
                | "garage-door"
                | "sign"
        )
    })
}

struct Reader<'c, 'a, 'r> {
    cx: &'c Context<'a, 'r>,
    lexicon: &'a Lexicon,
    index: usize,
    things: Vec<Thing>,
    one: Option<Range<usize>>,
    events: Vec<Event>,
}

/// Reads one clause.
pub fn read(
    cx: &Context<'_, '_>,
    lexicon: &Lexicon,
    index: usize,
    places: &[Range<usize>],
) -> Read {
    let range = &cx.clause.tokens;
    let things = mentions::things(range, cx.speech, cx.scan, lexicon, places);
    let (debris, mut things): (Vec<Thing>, Vec<Thing>) = things.into_iter().partition(|t| {
        t.entry
            .is_some_and(|e| lexicon.element(e).group == "debris")
    });
    // "a panel of the soffit": the whole is meant.
    let mut i = 0;
    while i + 1 < things.len() {
        let (a, b) = (&things[i], &things[i + 1]);
        let of = a.tokens.end < b.phrase.start + 1
            && cx.speech.word(a.tokens.end) == "of"
            && b.phrase.start == a.tokens.end + 1;
        if of && a.entry.is_some_and(|e| lexicon.element(e).piece) {
            let a = things.remove(i);
            let b = &mut things[i];
            (b.hold, b.plural) = (a.hold, a.plural);
            b.phrase.start = a.phrase.start;
        } else {
            i += 1;
        }
    }
    let one = mentions::one_of(range, cx.opens, cx.speech);
    let mut r = Reader {
        cx,
        lexicon,
        index,
        things,
        one,
        events: Vec::new(),
    };
    r.in_the_way();
    r.faults();
    r.debris(&debris);
    r.works();
    r.again();
    r.absence();
    r.too_few();
    r.never_put();
    r.new_ones();
    r.wanted();
    r.owed();
    r.scheduled();
    r.ought_to_be();
    r.inability();
    r.left_open();
    r.verdicts();
    r.vanished();
    r.got_done();
    r.passive();
    r.questions();
    r.calls();
    r.no_answer();
    r.events.sort_by_key(|e| e.tokens.start);
    let points_back = (cx.opens..range.end.min(cx.opens + 3))
        .any(|i| r.points(i) && cx.speech.word(i + 1) != "one");
    Read {
        things: r.things,
        events: r.events,
        one: r.one,
        points_back,
    }
}

impl Reader<'_, '_, '_> {
    fn push(&mut self, saying: Saying, target: Target, tokens: Range<usize>) {
        self.events.push(Event {
            saying,
            target,
            tokens,
            clause: self.index,
            via: None,
        });
    }

    fn mentions(&self, kind: Kind) -> Vec<Mention> {
        self.cx
            .scan
            .within(&self.cx.clause.tokens)
            .filter(|m| m.kind == kind)
            .cloned()
            .collect()
    }
}
