//! Between context and findings: what a clause says happened, is wrong or is to be done, and of which part.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::Work;

use super::context::Context;
use super::grammar;
use super::mentions::{self, Hold, Thing};
use super::normalize::Stop;
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

struct Reader<'c, 'a, 'r> {
    cx: &'c Context<'a, 'r>,
    lexicon: &'a Lexicon,
    index: usize,
    things: Vec<Thing>,
    one: Option<Range<usize>>,
    events: Vec<Event>,
}

fn speech_is_i(word: &str) -> bool {
    matches!(word, "i" | "we")
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
    r.faults();
    r.debris(&debris);
    r.works();
    r.absence();
    r.new_ones();
    r.wanted();
    r.owed();
    r.left_open();
    r.verdicts();
    r.questions();
    r.calls();
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

    /// The parts joined to this one by "and" and commas.
    fn with_joined(&self, i: usize) -> Vec<Thing> {
        let mut from = i;
        while from > 0 {
            let (a, b) = (&self.things[from - 1], &self.things[from]);
            let between = a.tokens.end..b.phrase.start;
            let joined = between.len() <= 1
                && between
                    .clone()
                    .all(|k| matches!(self.cx.speech.word(k), "and" | "or" | "both"));
            if !joined || a.hold == Hold::Beside && b.hold != Hold::Beside {
                break;
            }
            from -= 1;
        }
        self.things[from..=i].to_vec()
    }

    fn free_before(&self, at: usize) -> Option<usize> {
        self.things
            .iter()
            .rposition(|t| t.tokens.end <= at && t.hold == Hold::Free)
    }

    /// The subject of a predicate at these words.
    fn subject(&self, at: &Range<usize>) -> Target {
        // "the hinge of the door": the first free part is the head; a later free one is the nearer subject.
        if let Some(i) = self.free_before(at.start) {
            // "it" between a part and the predicate still means that part, or the topic; a "one" means one of the topic's.
            if self
                .one
                .as_ref()
                .is_some_and(|o| o.start >= self.things[i].tokens.end)
            {
                return Target::Topic;
            }
            return Target::Things(self.with_joined(i));
        }
        if self.one.is_some() || self.points_back(at) {
            return Target::Topic;
        }
        if let Some(t) =
            mentions::open_subject(&self.cx.clause.tokens, self.cx.opens, self.cx.speech)
            && t.tokens.end <= at.start
            && !self.is_other_mention(&t)
        {
            return Target::Things(vec![t]);
        }
        Target::Topic
    }

    fn is_other_mention(&self, t: &Thing) -> bool {
        let inside = |m: &Mention| m.tokens.start < t.tokens.end && t.tokens.start < m.tokens.end;
        self.cx
            .scan
            .within(&self.cx.clause.tokens)
            .any(|m| m.kind != Kind::Element && inside(m))
            || self
                .cx
                .scan
                .cues_within(&self.cx.clause.tokens)
                .any(|(k, m)| inside(m) && !matches!(k, CueKind::Beside))
    }

    fn points_back(&self, at: &Range<usize>) -> bool {
        (self.cx.opens..at.start).any(|i| self.points(i))
    }

    /// Whether the word points back at a thing: "that is loose", not "that hole".
    fn points(&self, i: usize) -> bool {
        let (w, next) = (self.cx.speech.word(i), self.cx.speech.word(i + 1));
        match w {
            "thing" => true,
            "this" | "that" | "these" | "those" | "both" | "which" | "one" => {
                grammar::is_function(next)
                    && !grammar::is_describing(next)
                    && grammar::number(next).is_none()
                    || self.cx.speech.tokens[i].stop > Stop::None
                    || next.ends_with('s')
            }
            _ => grammar::points_back(w),
        }
    }

    /// A part that follows these words closely, free or as host: "a chip in the sill", "cracked tile".
    fn after(&self, at: &Range<usize>, reach: usize, host: bool) -> Option<usize> {
        self.things.iter().position(|t| {
            let gap = t.phrase.start.saturating_sub(at.end);
            t.tokens.start >= at.end
                && gap <= reach
                && if host {
                    t.hold == Hold::Host
                } else {
                    t.hold == Hold::Free
                }
                && (at.end..t.phrase.start)
                    .all(|i| self.cx.speech.tokens[i].stop < Stop::Comma || host)
        })
    }

    /// What is said of a mere piece (a joint, an edge) is said of the part that it belongs to: one named before it in the
    /// clause, else what was spoken of last.
    fn whole(&self, target: Target) -> Target {
        let Target::Things(things) = &target else {
            return target;
        };
        // "that's a dead fixture": the thing at hand by another word.
        if let Some(t) = things.first()
            && matches!(
                self.cx.speech.word(self.cx.opens),
                "it" | "that" | "this" | "they" | "those"
            )
            && matches!(self.cx.speech.word(self.cx.opens + 1), "is" | "are")
            && t.phrase.start <= self.cx.opens + 4
            && t.phrase.start > self.cx.opens
        {
            return Target::TopicElse(things.clone());
        }
        // "Right faucet, the handle hits the wall": an everyday word for a piece of the part named just before.
        if things.iter().all(|t| {
            t.entry
                .is_some_and(|e| self.lexicon.element(e).weak && !self.lexicon.element(e).piece)
        }) && things
            .iter()
            .all(|t| self.cx.speech.word(t.phrase.start) == "the")
        {
            return Target::BareElse(things.clone());
        }
        let Some(t) = things
            .first()
            .filter(|t| t.entry.is_some_and(|e| self.lexicon.element(e).piece))
        else {
            return target;
        };
        let owner = self.things.iter().rposition(|o| {
            o.tokens.end <= t.phrase.start
                && o.hold == Hold::Free
                && !o.entry.is_some_and(|e| self.lexicon.element(e).piece)
        });
        match owner {
            Some(i)
                if (self.things[i].tokens.end..t.phrase.start)
                    .any(|k| matches!(self.cx.speech.word(k), "has" | "'s" | "got" | "have")) =>
            {
                Target::Things(vec![self.things[i].clone()])
            }
            _ => Target::TopicElse(things.clone()),
        }
    }

    fn fault_target(&self, m: &Mention) -> Target {
        // "hole in the wall": the part is named inside.
        if let Some(t) = self
            .things
            .iter()
            .find(|t| m.tokens.start < t.tokens.start && t.tokens.end <= m.tokens.end)
            && self.free_before(m.tokens.start).is_none()
            && (matches!(m.role, Role::Noun | Role::Nouns)
                || self.one.is_none() && !self.points_back(&m.tokens))
        {
            return Target::Things(vec![t.clone()]);
        }
        let speech = self.cx.speech;
        let attributive = self.things.iter().position(|t| {
            t.tokens.start >= m.tokens.end
                && t.tokens.start <= m.tokens.end + 1
                && t.phrase.start <= m.tokens.start.max(t.phrase.start)
        });
        match m.role {
            Role::Noun | Role::Nouns => {
                // "a chip in the sill"; "the sill has a chip": in both the sill.
                let host = self.after(&m.tokens, 7, true);
                let subject = self.free_before(m.tokens.start);
                if let Some(h) = host {
                    let weak = self.things[h]
                        .entry
                        .is_some_and(|e| self.lexicon.element(e).weak);
                    if subject.is_none() || !weak && !self.has_verb_between(subject, m) {
                        return Target::Things(vec![self.things[h].clone()]);
                    }
                }
                if let Some(i) = subject {
                    return self.subject_or(m, i);
                }
                if let Some(h) = host {
                    return Target::Things(vec![self.things[h].clone()]);
                }
                if self.one.is_some()
                    || self.points_back(&m.tokens)
                        && !matches!(speech.word(self.cx.opens), "there" | "that")
                {
                    return Target::Topic;
                }
                if let Some(i) = self
                    .things
                    .iter()
                    .rposition(|t| t.tokens.end <= m.tokens.start && t.hold == Hold::Host)
                {
                    return Target::Things(vec![self.things[i].clone()]);
                }
                if let Some(t) = self.open_host(m) {
                    return Target::Things(vec![t]);
                }
                let shown = (self.cx.opens..m.tokens.start).all(|i| {
                    matches!(
                        speech.word(i),
                        "this"
                            | "that"
                            | "these"
                            | "those"
                            | "the"
                            | "a"
                            | "an"
                            | "there"
                            | "is"
                            | "are"
                            | "another"
                            | "some"
                            | "one"
                            | "two"
                            | "three"
                    ) || grammar::is_describing(speech.word(i))
                });
                if shown && self.things.iter().all(|t| t.tokens.start >= m.tokens.end) {
                    return Target::TopicElse(self.usual_part(m));
                }
                self.subject(&m.tokens)
            }
            Role::State
                if attributive.is_some()
                    && m.tokens.end == self.things[attributive.unwrap_or(0)].tokens.start =>
            {
                Target::Things(vec![self.things[attributive.unwrap_or(0)].clone()])
            }
            _ => {
                if let Some(i) = self.free_before(m.tokens.start) {
                    return self.subject_or(m, i);
                }
                // "they beat up the casing": somebody did it to the part that follows.
                let agent = (self.cx.opens..m.tokens.start).any(|i| {
                    matches!(
                        speech.word(i),
                        "they" | "he" | "she" | "somebody" | "someone" | "you" | "i" | "we"
                    )
                });
                let object = self.things.iter().position(|t| {
                    t.tokens.start >= m.tokens.end
                        && t.phrase.start <= m.tokens.end + 1
                        && t.hold != Hold::Beside
                });
                if agent && let Some(i) = object {
                    return Target::Things(self.joined_after(i));
                }
                if self.one.is_some() || self.points_back(&m.tokens) {
                    return Target::Topic;
                }
                if let Some(i) = self.after(&m.tokens, 2, false) {
                    return Target::Things(vec![self.things[i].clone()]);
                }
                match self.subject(&m.tokens) {
                    Target::Topic => self
                        .after(&m.tokens, 3, true)
                        .filter(|_| m.tokens.start <= self.cx.opens + 3)
                        .map_or(Target::Topic, |i| {
                            Target::Things(vec![self.things[i].clone()])
                        }),
                    t => t,
                }
            }
        }
    }

    fn subject_or(&self, m: &Mention, i: usize) -> Target {
        if self
            .one
            .as_ref()
            .is_some_and(|o| o.start >= self.things[i].tokens.end && o.end <= m.tokens.start)
        {
            return Target::Topic;
        }
        Target::Things(self.with_joined(i))
    }

    /// The part that a fault is usually of, where none is named.
    fn usual_part(&self, m: &Mention) -> Vec<Thing> {
        let part = self
            .lexicon
            .fault(m.entry)
            .part
            .as_deref()
            .and_then(|p| self.lexicon.element_by_id(p));
        part.map(|entry| Thing {
            tokens: m.tokens.clone(),
            phrase: m.tokens.clone(),
            entry: Some(entry),
            name: self.lexicon.element(entry).names[0].clone(),
            hold: Hold::Free,
            plural: false,
            fresh: false,
        })
        .into_iter()
        .collect()
    }

    fn has_verb_between(&self, subject: Option<usize>, m: &Mention) -> bool {
        subject.is_some_and(|i| {
            (self.things[i].tokens.end..m.tokens.start).any(|k| {
                matches!(
                    self.cx.speech.word(k),
                    "has" | "have" | "had" | "got" | "'s" | "is" | "are"
                )
            })
        })
    }

    /// A host that the lexicon does not hold: "a dent in the birdcage".
    fn open_host(&self, m: &Mention) -> Option<Thing> {
        let speech = self.cx.speech;
        let at = m.tokens.end;
        if !matches!(
            speech.word(at),
            "in" | "on" | "of" | "across" | "along" | "down" | "through"
        ) || speech.tokens[at - 1].stop > Stop::None
        {
            return None;
        }
        let mut i = at + 1;
        while i < self.cx.clause.tokens.end
            && (grammar::is_determiner(speech.word(i)) || grammar::is_describing(speech.word(i)))
        {
            i += 1;
        }
        if grammar::is_spot(speech.word(i)) && speech.word(i + 1) == "of" {
            i += 2;
            while grammar::is_determiner(speech.word(i)) {
                i += 1;
            }
        }
        mentions::open_noun(i, &self.cx.clause.tokens, speech, false)
            .filter(|t| !self.is_other_mention(t) && !grammar::is_spot(&t.name))
    }

    /// What lies about is a fault of what it lies on: "sawdust all over the floor", "they left a bucket in here".
    fn debris(&mut self, debris: &[Thing]) {
        let (Some(full), Some(flagged)) = (
            self.lexicon.fault_by_id("full-of"),
            self.lexicon.fault_by_id("flagged"),
        ) else {
            return;
        };
        let speech = self.cx.speech;
        for d in debris {
            // Tape marks a spot to be looked to; anything else that lies about is to be cleaned up.
            let tape = d
                .entry
                .is_some_and(|e| self.lexicon.element(e).id == "tape");
            let fault = if tape { flagged } else { full };
            let here = (self.cx.clause.tokens.start..self.cx.clause.tokens.end).any(|i| {
                matches!(
                    speech.word(i),
                    "still"
                        | "full"
                        | "left"
                        | "leave"
                        | "leaving"
                        | "everywhere"
                        | "covered"
                        | "all"
                        | "there"
                        | "some"
                        | "stuck"
                        | "smeared"
                        | "stuffed"
                        | "bunch"
                        | "piled"
                        | "packed"
                )
            });
            let host = self.after(&d.tokens, 7, true);
            if !here
                && host.is_none()
                && !(speech.word(self.cx.opens) == "that" && self.cx.clause.tokens.len() <= 6)
            {
                continue;
            }
            // A mark of tape, and whatever a fault or a work is said of by name, is read there.
            if self
                .events
                .iter()
                .any(|e| e.tokens.start < d.tokens.end + 2 && d.tokens.start < e.tokens.end + 2)
            {
                continue;
            }
            let worked = self.mentions(Kind::Work).iter().any(|w| {
                w.role == Role::Past
                    && w.tokens.end <= d.tokens.start
                    && !self.cx.denied(&w.tokens)
                    && self.cx.needed(&w.tokens).is_none()
                    && speech.word(w.tokens.start) != "left"
            });
            let weak = |i: &usize| {
                self.things[*i]
                    .entry
                    .is_some_and(|e| self.lexicon.element(e).weak)
            };
            let target = match host
                .or_else(|| self.free_before(d.tokens.start))
                .filter(|i| !weak(i))
            {
                Some(i) => Target::Things(vec![self.things[i].clone()]),
                None if matches!(
                    speech.word(self.cx.opens),
                    "there" | "they" | "somebody" | "someone"
                ) =>
                {
                    Target::TopicElse(Vec::new())
                }
                None => Target::Topic,
            };
            let saying = if self.cx.denied(&d.tokens) {
                Saying::NoFault(fault)
            } else if worked || self.cx.has(CueKind::Done) {
                Saying::Done
            } else if self.cx.past(&d.tokens) {
                Saying::WasFault(fault)
            } else if self.cx.clause.question {
                continue;
            } else {
                Saying::Fault(fault)
            };
            self.push(saying, target, d.phrase.clone());
        }
    }

    fn faults(&mut self) {
        for m in self.mentions(Kind::Fault) {
            let mut target = self.whole(self.fault_target(&m));
            // "the bench has epoxy smeared on it": what is smeared is no part of the building.
            if self.lexicon.fault(m.entry).work == Some(Work::Clean)
                && let Target::Things(t) = &target
                && let Some(last) = t.last()
                && let Some(i) = self
                    .things
                    .iter()
                    .rposition(|o| o.tokens.end < last.phrase.start && o.hold == Hold::Free)
                && (self.things[i].tokens.end..last.phrase.start)
                    .any(|k| matches!(self.cx.speech.word(k), "has" | "have" | "'s" | "got"))
            {
                target = Target::Things(vec![self.things[i].clone()]);
            }
            // Without a part told, the one that such a fault is usually of.
            let pointed = (self.cx.opens..m.tokens.start)
                .any(|i| self.points(i) && !matches!(self.cx.speech.word(i), "they" | "them"));
            if target == Target::Topic && !pointed && self.one.is_none() {
                let usual = self.usual_part(&m);
                if !usual.is_empty() {
                    target = Target::TopicElse(usual);
                }
            }
            // Some faults are of some parts alone: a light that is out.
            let only = &self.lexicon.fault(m.entry).only;
            if !only.is_empty() {
                let named = match &target {
                    Target::Things(t) | Target::TopicElse(t) | Target::BareElse(t) => {
                        t.first().or(self.things.first())
                    }
                    _ => self.things.first(),
                };
                let fits = named.and_then(|t| t.entry).is_some_and(|e| {
                    only.iter().any(|o| {
                        *o == self.lexicon.element(e).id || *o == self.lexicon.element(e).group
                    })
                });
                if !fits || !self.closed(&m) {
                    continue;
                }
                target = named.map_or(target.clone(), |t| Target::Things(vec![t.clone()]));
            }
            let denied = self.cx.denied(&m.tokens) && self.lexicon.fault(m.entry).id != "no-air";
            // "I'm leaning my full weight on it" is the speaker's own doing.
            if m.role == Role::Ing
                && (self.cx.opens..m.tokens.start).any(|i| speech_is_i(self.cx.speech.word(i)))
            {
                continue;
            }
            // "in the hole", "next to the crack": a place told by a fault that is known.
            let start = m.tokens.start;
            let placed = matches!(m.role, Role::Noun | Role::Nouns)
                && start >= self.cx.clause.tokens.start + 2
                && self.cx.speech.word(start - 1) == "the"
                && (grammar::is_host(self.cx.speech.word(start - 2))
                    || grammar::is_beside(self.cx.speech.word(start - 2)))
                && !matches!(
                    self.cx.speech.word(start - 2),
                    "with" | "like" | "about" | "for"
                );
            if placed {
                continue;
            }
            // "the dirty side" is a name, not a fault.
            if m.role == Role::State
                && m.tokens.len() == 1
                && matches!(
                    self.cx.speech.word(m.tokens.end),
                    "side" | "end" | "room" | "area" | "zone" | "linen" | "laundry" | "utility"
                )
            {
                continue;
            }
            let past = self.cx.past(&m.tokens) || self.mended(&m);
            let e = m.entry;
            // "it's going to catch lint": what may come of it is no fault yet.
            let before = if m.tokens.start > self.cx.clause.tokens.start {
                self.cx.speech.word(m.tokens.start - 1)
            } else {
                ""
            };
            let to_come = m.role == Role::Base
                && (matches!(before, "will" | "would" | "could" | "might" | "may")
                    || before == "to"
                        && (self.cx.opens..m.tokens.start)
                            .any(|i| self.cx.speech.word(i) == "going"));
            let nobody = m.role == Role::Lack
                && (self.cx.opens..m.tokens.start).any(|i| {
                    matches!(
                        self.cx.speech.word(i),
                        "nobody" | "they" | "he" | "i" | "we" | "you" | "somebody"
                    )
                });
            if nobody && self.things.iter().all(|t| t.tokens.end > m.tokens.start) {
                continue;
            }
            let saying = if to_come {
                Saying::Passed("only supposed")
            } else if m.role == Role::Lack {
                match (denied, past) {
                    (true, true) => Saying::WasFault(e),
                    (true, false) if self.cx.clause.question => Saying::AskedFault(e),
                    (true, false) => Saying::Fault(e),
                    (false, _) => continue,
                }
            } else if denied {
                Saying::NoFault(e)
            } else if past {
                Saying::WasFault(e)
            } else if self.cx.supposed(&m.tokens) {
                Saying::Passed("only supposed")
            } else if self.cx.cues(CueKind::Leave).any(|l| {
                l.tokens.end <= m.tokens.start
                    && m.tokens.start - l.tokens.end <= 3
                    && !self.cx.denied(&l.tokens)
            }) {
                Saying::Passed("meant to be like that")
            } else if self.cx.clause.question {
                // "is that a chip?" points at something new.
                if matches!(target, Target::Topic)
                    && self.things.is_empty()
                    && matches!(
                        self.cx.speech.word(self.cx.opens + 1),
                        "that" | "this" | "it" | "there"
                    )
                    && m.role == Role::Noun
                {
                    self.push(Saying::AskedFault(e), Target::Place, m.tokens.clone());
                    continue;
                }
                Saying::AskedFault(e)
            } else {
                Saying::Fault(e)
            };
            self.push(saying, target, m.tokens.clone());
        }
    }

    /// "they fixed the scratch", "they got the stain out": the fault is the object of work done.
    fn mended(&self, m: &Mention) -> bool {
        let noun = matches!(m.role, Role::Noun | Role::Nouns);
        let done = self.cx.cues(CueKind::Done).any(|d| {
            d.tokens.end <= m.tokens.start
                && m.tokens.start - d.tokens.end <= 3
                && !self.cx.denied(&d.tokens)
        });
        noun && (done
            || self.cx.scan.within(&self.cx.clause.tokens).any(|w| {
                w.kind == Kind::Work
                    && w.role == Role::Past
                    && w.tokens.end <= m.tokens.start
                    && m.tokens.start - w.tokens.end <= 3
                    && !self.cx.denied(&w.tokens)
                    && self.cx.needed(&w.tokens).is_none()
                    && w.tokens.start > self.cx.opens
            }))
    }

    fn work_target(&self, m: &Mention) -> Target {
        let speech = self.cx.speech;
        let before = self.free_before(m.tokens.start);
        let after = self.after(&m.tokens, 4, false);
        let passive = m.role == Role::Past || m.role == Role::Ing;
        let pronoun_object = matches!(
            speech.word(m.tokens.end),
            "it" | "them" | "that" | "this" | "those" | "these"
        );
        if let Some(i) = after.filter(|_| !passive || before.is_none()) {
            return Target::Things(self.joined_after(i));
        }
        if pronoun_object {
            return before.map_or(Target::Topic, |i| Target::Things(self.with_joined(i)));
        }
        if let Some(i) = before {
            if self
                .one
                .as_ref()
                .is_some_and(|o| o.start >= self.things[i].tokens.end)
            {
                return Target::Topic;
            }
            return Target::Things(self.with_joined(i));
        }
        if let Some(i) = after {
            return Target::Things(self.joined_after(i));
        }
        match self.subject(&m.tokens) {
            Target::Topic if !self.points_back(&m.tokens) => match self.after(&m.tokens, 4, true) {
                Some(i) if m.role != Role::Past => Target::Things(vec![self.things[i].clone()]),
                _ => Target::Topic,
            },
            t => t,
        }
    }

    fn joined_after(&self, i: usize) -> Vec<Thing> {
        let mut to = i;
        while to + 1 < self.things.len() {
            let (a, b) = (&self.things[to], &self.things[to + 1]);
            let between = a.tokens.end..b.phrase.start;
            if between.len() != 1 || self.cx.speech.word(between.start) != "and" {
                break;
            }
            to += 1;
        }
        self.things[i..=to].to_vec()
    }

    fn works(&mut self) {
        let speech = self.cx.speech;
        for m in self.mentions(Kind::Work) {
            let target = self.whole(self.work_target(&m));
            // "they fixed the scratch in the top": what was fixed is the fault's own part.
            let target =
                match self.mentions(Kind::Fault).into_iter().find(|f| {
                    m.role == Role::Past && self.mended(f) && f.tokens.start >= m.tokens.end
                }) {
                    Some(f) => self.fault_target(&f),
                    None => target,
                };
            let need = self.cx.needed(&m.tokens);
            let denied = self.cx.denied(&m.tokens);
            let before = if m.tokens.start > self.cx.clause.tokens.start {
                speech.word(m.tokens.start - 1)
            } else {
                ""
            };
            let check = self.lexicon.work(m.entry).class == Some(Work::Check);
            let trade = self
                .cx
                .scan
                .within(&self.cx.clause.tokens)
                .any(|t| t.kind == Kind::Trade && t.tokens.end <= m.tokens.start);
            let agent = (self.cx.opens..m.tokens.start).any(|i| {
                matches!(
                    speech.word(i),
                    "they"
                        | "he"
                        | "she"
                        | "somebody"
                        | "someone"
                        | "lads"
                        | "guys"
                        | "them"
                        | "him"
                )
            });
            let next = speech.word(m.tokens.end);
            let object = m.tokens.len() > 1
                || m.tokens.end >= self.cx.clause.tokens.end
                || grammar::is_determiner(next)
                || grammar::is_pronoun(next)
                || grammar::number(next).is_some()
                || matches!(
                    next,
                    "all"
                        | "around"
                        | "along"
                        | "up"
                        | "out"
                        | "off"
                        | "down"
                        | "and"
                        | "in"
                        | "over"
                        | "color"
                        | "new"
                        | "with"
                )
                || self.things.iter().any(|t| t.phrase.start == m.tokens.end);
            if m.role == Role::Base
                && (matches!(before, "be" | "is" | "are" | "'s") || before == "the")
                || m.role == Role::Base && m.tokens.len() == 1 && grammar::is_spot(next)
            {
                continue;
            }
            let imperative = object && m.tokens.start <= self.cx.opens
                || matches!(before, "and" | "then" | "just" | "or" | "please" | "so")
                    && self.follows_work(&m);
            // "you were going to fix", "they said they'd fix": told of what was promised, not of what is needed.
            let promised = (self.cx.opens..m.tokens.start).any(|i| {
                matches!(speech.word(i), "were" | "was" | "said")
                    && (i + 1..m.tokens.start)
                        .any(|k| matches!(speech.word(k), "going" | "would" | "to"))
            });
            // "water's going to lay in there": what a thing will do is no work.
            let by_thing = before == "to"
                && m.tokens.start >= 2
                && speech.word(m.tokens.start - 2) == "going"
                && self.free_before(m.tokens.start).is_some()
                && m.role == Role::Base;
            if (promised && m.role == Role::Base || by_thing) && !denied {
                self.push(
                    Saying::Passed("promised or foretold"),
                    target,
                    m.tokens.clone(),
                );
                continue;
            }
            let saying = match m.role {
                // "I never turned it on" is the speaker's own doing.
                Role::Past
                    if denied
                        && (self.cx.opens..m.tokens.start)
                            .any(|i| matches!(speech.word(i), "i" | "we")) =>
                {
                    continue;
                }
                Role::Past if denied && !self.denied_need(&m) => Saying::Needed(m.entry),
                Role::Past if need.is_some() && self.need_takes_past(need, &m) => {
                    Saying::Needed(m.entry)
                }
                Role::Past if self.cx.clause.question || self.cx.supposed(&m.tokens) => {
                    Saying::Passed("asked or supposed")
                }
                Role::Past
                    if (m.tokens.start.saturating_sub(3).max(self.cx.opens)..m.tokens.start)
                        .any(|i| matches!(speech.word(i), "will" | "would")) =>
                {
                    Saying::Passed("only supposed")
                }
                Role::Past if check => continue,
                Role::Past
                    if m.tokens.start <= self.cx.opens
                        && self.things.iter().any(|t| t.tokens.start == m.tokens.end) =>
                {
                    continue;
                }
                Role::Past => Saying::Worked(m.entry),
                Role::Base
                    if matches!(before, "not" | "never")
                        && (self.cx.opens..m.tokens.start).any(|i| {
                            matches!(speech.word(i), "did" | "they" | "he" | "has" | "have")
                        })
                        && speech.word(m.tokens.start.saturating_sub(2)) != "do" =>
                {
                    Saying::Needed(m.entry)
                }
                Role::Base | Role::Noun | Role::Nouns if denied => Saying::Passed("denied"),
                Role::Base
                    if self.cx.clause.question
                        && !trade
                        && !matches!(
                            speech.word(self.cx.opens),
                            "can" | "could" | "will" | "would"
                        ) =>
                {
                    Saying::Passed("only asked")
                }
                Role::Base
                    if need.is_some()
                        || imperative
                        || trade
                        || matches!(before, "to" | "gets" | "somebody" | "someone" | "we") =>
                {
                    Saying::Needed(m.entry)
                }
                Role::Base
                    if matches!(
                        before,
                        "will" | "can" | "would" | "should" | "must" | "might" | "could"
                    ) && !check =>
                {
                    Saying::Needed(m.entry)
                }
                Role::Base => Saying::Passed("no need spoken"),
                Role::Third if trade || agent => Saying::Needed(m.entry),
                Role::Third => Saying::Passed("no need spoken"),
                Role::Ing if denied => Saying::Passed("denied"),
                Role::Ing
                    if need.is_some()
                        || matches!(before, "needs" | "wants" | "need" | "want" | "worth") =>
                {
                    Saying::Needed(m.entry)
                }
                Role::Ing => Saying::Passed("under way or only described"),
                Role::Noun | Role::Nouns if need.is_some() || trade => Saying::Needed(m.entry),
                Role::Noun | Role::Nouns
                    if !check
                        && self.things.is_empty()
                        && self.cx.clause.tokens.end - self.cx.opens <= 5 =>
                {
                    Saying::Needed(m.entry)
                }
                _ => Saying::Passed("no need spoken"),
            };
            // "I'm not tearing it out for that": it stays.
            if matches!(saying, Saying::Passed("denied"))
                && (self.cx.opens..m.tokens.start).any(|i| matches!(speech.word(i), "i" | "we"))
            {
                self.push(Saying::Leave, Target::Topic, m.tokens.clone());
                continue;
            }
            if check {
                if matches!(saying, Saying::Needed(_)) {
                    self.push(Saying::Ask, target, m.tokens.clone());
                }
                continue;
            }
            self.push(saying, target, m.tokens.clone());
        }
    }

    fn follows_work(&self, m: &Mention) -> bool {
        self.events
            .iter()
            .any(|e| matches!(e.saying, Saying::Needed(_)) && e.tokens.end <= m.tokens.start)
            || m.tokens.start <= self.cx.opens + 1
    }

    /// "doesn't need painting": the need itself is denied.
    fn denied_need(&self, m: &Mention) -> bool {
        self.cx.needed(&m.tokens).is_some_and(|n| {
            self.cx.denied(&n.tokens)
                && !matches!(self.cx.speech.word(n.tokens.start), "get" | "gets" | "got")
        })
    }

    /// "needs painted", "that gets shimmed", "I'd like it swapped": of needs, those that a participle can follow.
    fn need_takes_past(&self, need: Option<&Mention>, m: &Mention) -> bool {
        let Some(n) = need else { return false };
        let between = n.tokens.end..m.tokens.start;
        // "they should have painted": a duty unmet, no less a need; "I want to say they painted" is none.
        !self.cx.denied(&n.tokens)
            && !between.clone().any(|i| {
                matches!(
                    self.cx.speech.word(i),
                    "they" | "he" | "she" | "was" | "were" | "but"
                )
            })
    }

    fn absence(&mut self) {
        let speech = self.cx.speech;
        let mut taken: Vec<usize> = Vec::new();
        let cues: Vec<Mention> = self.cx.cues(CueKind::Absent).cloned().collect();
        for m in cues {
            let after = self.after(&m.tokens, 1, false).filter(|i| {
                self.things[*i].phrase.start <= m.tokens.end
                    || self.things[*i].tokens.start <= m.tokens.end + 2
            });
            let leads = matches!(
                speech.word(m.tokens.end - 1),
                "no" | "a"
                    | "an"
                    | "any"
                    | "have"
                    | "missing"
                    | "put"
                    | "the"
                    | "short"
                    | "for"
                    | "got"
                    | "one"
                    | "awaiting"
                    | "on"
            );
            if !self.closed(&m)
                && matches!(
                    speech.word(m.tokens.end - 1),
                    "in" | "on" | "up" | "there" | "here" | "off"
                )
                && !speech.words(&m.tokens).contains("waiting")
                && m.tokens.len() <= 4
            {
                continue;
            }
            let fault_after = self.fault_in(m.tokens.end..m.tokens.end + 3);
            if leads && fault_after {
                continue;
            }
            // "I haven't got a screwdriver" tells of the speaker.
            let own = m.tokens.start > self.cx.clause.tokens.start
                && matches!(speech.word(m.tokens.start - 1), "i" | "we" | "you")
                || matches!(speech.word(m.tokens.start), "have")
                    && matches!(speech.word(self.cx.opens), "i" | "we");
            if own {
                continue;
            }
            if self.cx.past(&m.tokens) {
                let target = self.subject(&m.tokens);
                self.push(
                    Saying::Passed("told of an earlier time"),
                    target,
                    m.tokens.clone(),
                );
                continue;
            }
            if self.cx.clause.question {
                continue;
            }
            if leads
                && after.is_some_and(|i| self.is_small(&self.things[i]))
                && speech.word(m.tokens.start.saturating_sub(1)) == "with"
            {
                continue;
            }
            if leads && let Some(i) = after {
                taken.push(i);
                let target = Target::Things(self.joined_after(i));
                self.push(
                    Saying::Absent,
                    target,
                    m.tokens.start..self.things[i].tokens.end,
                );
                continue;
            }
            if leads
                && matches!(
                    speech.word(m.tokens.end - 1),
                    "no" | "a" | "any" | "an" | "have" | "got"
                )
            {
                if let Some(t) = self.open_after(m.tokens.end) {
                    let tokens = m.tokens.start..t.tokens.end;
                    self.push(Saying::Absent, Target::Things(vec![t]), tokens);
                }
                continue;
            }
            if speech.word(m.tokens.start) == "where" {
                continue;
            }
            let target = self.whole(self.subject(&m.tokens));
            // Lights, water and machines that are "off" are switched off.
            if speech.word(m.tokens.end - 1) == "off"
                && !matches!(&target, Target::Things(t) if t.iter().all(|t| t.entry.is_some_and(|e| !matches!(self.lexicon.element(e).group.as_str(), "lighting" | "plumbing" | "hvac" | "appliance" | "low-voltage" | "alarm"))))
            {
                continue;
            }
            self.push(Saying::Absent, target, m.tokens.clone());
        }
        // "No door stop." "Still no mirror."
        for i in 0..self.things.len() {
            let t = &self.things[i];
            let no = (t.phrase.start..t.tokens.start)
                .find(|k| speech.word(*k) == "no")
                .or_else(|| {
                    (t.phrase.start > self.cx.clause.tokens.start
                        && speech.word(t.phrase.start - 1) == "no")
                        .then(|| t.phrase.start - 1)
                });
            let Some(at) = no else { continue };
            // "a hole with no screw in it" tells of the hole.
            if at > 0 && speech.word(at - 1) == "with" && self.is_small(t) {
                continue;
            }
            let comma = speech.tokens[at].stop > Stop::None;
            let verb_after = speech.word(t.tokens.end);
            if taken.contains(&i)
                || comma
                || self.fault_in(t.tokens.end..t.tokens.end + 1)
                || self.cx.past(&(at..t.tokens.end))
                || self.cx.clause.question
                || matches!(verb_after, "for")
            {
                continue;
            }
            if t.entry.is_some_and(|e| {
                self.lexicon.element(e).weak && self.lexicon.element(e).group == "debris"
            }) {
                continue;
            }
            let tokens = at..t.tokens.end;
            self.push(Saying::Absent, Target::Things(vec![t.clone()]), tokens);
        }
        // "Two knobs to go."
        for i in 0..self.things.len() {
            let end = self.things[i].tokens.end;
            if speech.word(end) == "to"
                && speech.word(end + 1) == "go"
                && self.things[i].hold == Hold::Free
                && end + 2 <= self.cx.clause.tokens.end
            {
                let target = Target::Things(self.with_joined(i));
                self.push(Saying::Absent, target, end..end + 2);
            }
        }
        // "no racks in it", of a part that the lexicon does not hold.
        if self.cx.opens < self.cx.clause.tokens.end {
            let at = self.cx.opens;
            let no = if speech.word(at) == "no" {
                Some(at)
            } else if speech.word(at) == "still" && speech.word(at + 1) == "no" {
                Some(at + 1)
            } else {
                None
            };
            if let Some(at) = no
                && speech.tokens[at].stop == Stop::None
                && self.things.is_empty()
                && self.events.is_empty()
                && !self.cx.clause.question
                && let Some(t) = self.open_after(at + 1)
            {
                let tokens = at..t.tokens.end;
                self.push(Saying::Absent, Target::Things(vec![t]), tokens);
            }
        }
    }

    fn is_small(&self, t: &Thing) -> bool {
        t.entry
            .is_none_or(|e| self.lexicon.element(e).weak || self.lexicon.element(e).piece)
    }

    /// "is in", "not up": the word must end the thought, not lead to a place ("not in the drawer").
    fn closed(&self, m: &Mention) -> bool {
        let last = self.cx.speech.word(m.tokens.end - 1);
        let next = self.cx.speech.word(m.tokens.end);
        !matches!(
            last,
            "in" | "on" | "up" | "there" | "here" | "back" | "come" | "out" | "off"
        ) || m.tokens.end >= self.cx.clause.tokens.end
            || matches!(
                next,
                "yet"
                    | "here"
                    | "there"
                    | "either"
                    | "at"
                    | "now"
                    | "again"
                    | "and"
                    | "but"
                    | "so"
                    | "properly"
                    | "too"
                    | "nicely"
                    | "finally"
                    | "today"
                    | "straight"
                    | "as"
                    | "already"
                    | "because"
                    | "though"
                    | "right"
                    | "good"
                    | "level"
                    | "solid"
                    | "it"
                    | "they"
                    | "all"
            )
    }

    fn open_after(&self, at: usize) -> Option<Thing> {
        let mut i = at;
        while grammar::is_describing(self.cx.speech.word(i))
            || grammar::is_determiner(self.cx.speech.word(i))
        {
            i += 1;
        }
        mentions::open_noun(i, &self.cx.clause.tokens, self.cx.speech, false)
            .filter(|t| !self.is_other_mention(t))
    }

    fn fault_in(&self, range: Range<usize>) -> bool {
        self.cx.scan.mentions.iter().any(|m| {
            m.kind == Kind::Fault
                && m.role != Role::Lack
                && m.tokens.start >= range.start
                && m.tokens.start < range.end
                && m.tokens.start < self.cx.clause.tokens.end
        })
    }

    /// "needs a new one", "new screen": a replacement, where a need or a fault speaks for it.
    /// "It wants silicone all down there", "needs paint": the seal or the coat is what is missing.
    fn wanted(&mut self) {
        for i in 0..self.things.len() {
            let t = &self.things[i];
            let Some(entry) = t.entry.filter(|e| {
                matches!(
                    self.lexicon.element(*e).group.as_str(),
                    "sealant" | "paint" | "insulation"
                )
            }) else {
                continue;
            };
            let led = self.cx.cues(CueKind::Need).any(|n| {
                n.tokens.end <= t.tokens.start
                    && t.tokens.start - n.tokens.end <= 2
                    && !self.cx.denied(&n.tokens)
            });
            if !led || self.cx.clause.question {
                continue;
            }
            let tokens = t.phrase.clone();
            let target = match self
                .things
                .iter()
                .position(|o| o.tokens.end <= t.phrase.start && o.hold == Hold::Free)
            {
                Some(o) => Target::Things(vec![self.things[o].clone()]),
                None => Target::TopicElse(vec![t.clone()]),
            };
            self.events.push(Event {
                saying: Saying::Absent,
                target,
                tokens,
                clause: self.index,
                via: Some(entry),
            });
        }
    }

    /// "Shelf isn't." "The right one doesn't.": denied, with what it is left to what was said before.
    fn left_open(&mut self) {
        let range = self.cx.clause.tokens.clone();
        let end = range.end;
        let speech = self.cx.speech;
        if end < range.start + 3
            || speech.word(end - 1) != "not"
            || self.cx.clause.question
            || !self.events.is_empty()
        {
            return;
        }
        if !matches!(
            speech.word(end - 2),
            "is" | "are" | "does" | "do" | "did" | "has" | "have"
        ) {
            return;
        }
        let at = end - 2..end;
        let target = match self.free_before(at.start) {
            Some(i) if self.things[i].tokens.end == at.start => {
                Target::Things(vec![self.things[i].clone()])
            }
            _ if self.one.as_ref().is_some_and(|o| o.end == at.start) => Target::Topic,
            _ => return,
        };
        self.push(Saying::NotEither, target, at);
    }

    /// "I want a bracket", "they owe you a blind": what is asked for is not there.
    fn owed(&mut self) {
        let speech = self.cx.speech;
        for i in 0..self.things.len() {
            let t = &self.things[i];
            let counted = (t.phrase.start..t.tokens.start).any(|k| {
                matches!(speech.word(k), "a" | "an" | "another" | "some")
                    || grammar::number(speech.word(k)).is_some()
            });
            let fresh = (t.phrase.start..t.tokens.start).any(|k| speech.word(k) == "new");
            let led = self.cx.cues(CueKind::Need).any(|n| {
                let last = speech.word(n.tokens.end - 1);
                n.tokens.end == t.phrase.start
                    && matches!(
                        last,
                        "need"
                            | "needs"
                            | "want"
                            | "wants"
                            | "me"
                            | "us"
                            | "you"
                            | "require"
                            | "requires"
                            | "with"
                            | "use"
                    )
                    && !self.cx.denied(&n.tokens)
            });
            let sealed = t.entry.is_some_and(|e| {
                matches!(
                    self.lexicon.element(e).group.as_str(),
                    "sealant" | "paint" | "insulation"
                )
            });
            if !led
                || !counted
                || fresh
                || sealed
                || self.cx.clause.question
                || self.cx.past(&t.tokens)
            {
                continue;
            }
            let (target, tokens) = (Target::Things(vec![t.clone()]), t.phrase.clone());
            if !self.events.iter().any(|e| {
                matches!(e.saying, Saying::Needed(_) | Saying::Absent)
                    && e.tokens.start >= tokens.start
            }) {
                self.push(Saying::Absent, target, tokens);
            }
        }
    }

    fn new_ones(&mut self) {
        let speech = self.cx.speech;
        for i in 0..self.things.len() {
            let t = self.things[i].clone();
            let Some(at) = (t.phrase.start..t.tokens.start).find(|k| speech.word(*k) == "new")
            else {
                continue;
            };
            if at > 0 && speech.word(at - 1) == "brand"
                || self.cx.has(CueKind::Done)
                || self.cx.past(&(at..at + 1))
                || self.cx.clause.question
            {
                continue;
            }
            let weak = t.entry.is_none_or(|e| self.lexicon.element(e).weak);
            let short = self.cx.clause.tokens.end - self.cx.opens <= 4 && !weak;
            let so = self.cx.opens > self.cx.clause.tokens.start
                && speech.word(self.cx.opens - 1) == "so"
                || speech.word(self.cx.opens) == "so";
            let result = so && (self.cx.opens..at).any(|k| speech.word(k) == "is");
            if self.cx.needed(&(at..at + 1)).is_some() || short || result {
                self.push(
                    Saying::New,
                    Target::Things(vec![t.clone()]),
                    at..t.tokens.end,
                );
            }
        }
        for k in self.cx.opens..self.cx.clause.tokens.end {
            if speech.word(k) == "new"
                && speech.word(k + 1) == "one"
                && self.cx.needed(&(k..k + 1)).is_some()
            {
                let target = self.free_before(k).map_or(Target::Topic, |i| {
                    Target::Things(vec![self.things[i].clone()])
                });
                self.push(Saying::New, target, k..k + 2);
            }
        }
    }

    fn verdicts(&mut self) {
        let cues: Vec<(CueKind, Mention)> = self
            .cx
            .scan
            .cues_within(&self.cx.clause.tokens)
            .cloned()
            .collect();
        let good: Vec<Range<usize>> = cues
            .iter()
            .filter(|(k, _)| *k == CueKind::AllGood)
            .map(|(_, m)| m.tokens.clone())
            .collect();
        for (kind, m) in &cues {
            let subject_ends = self
                .free_before(m.tokens.start)
                .map(|i| self.things[i].tokens.end);
            match kind {
                CueKind::Fine => self.fine(m, subject_ends, &good),
                CueKind::Done => self.done(m, subject_ends),
                CueKind::AllGood => {
                    let alone = m.tokens.start <= self.cx.opens
                        && (m.tokens.end == self.cx.clause.tokens.end
                            || self.cx.speech.tokens[m.tokens.end - 1].stop > Stop::None
                            || matches!(
                                self.cx.speech.word(m.tokens.end),
                                "on" | "in" | "here" | "to" | "about" | "wrong"
                            ));
                    if m.tokens.len() == 1 && !alone {
                        continue;
                    }
                    if self.cx.clause.question
                        || self.events.iter().any(|e| {
                            matches!(e.saying, Saying::Fault(_) | Saying::Absent)
                                && e.tokens.start < m.tokens.end
                        })
                    {
                        continue;
                    }
                    let target = match self
                        .after(&m.tokens, 1, true)
                        .or_else(|| self.free_before(m.tokens.start))
                    {
                        Some(i) => Target::Things(vec![self.things[i].clone()]),
                        None if m.tokens.len() == 1
                            && !matches!(self.cx.speech.word(m.tokens.start), "otherwise") =>
                        {
                            Target::Topic
                        }
                        None => Target::Place,
                    };
                    self.push(Saying::AllGood, target, m.tokens.clone());
                }
                CueKind::NoMore => {
                    let target = self.subject(&m.tokens);
                    self.push(Saying::Done, target, m.tokens.clone());
                }
                _ => {}
            }
        }
    }

    fn fine(&mut self, m: &Mention, subject_ends: Option<usize>, good: &[Range<usize>]) {
        if good
            .iter()
            .any(|g| g.start <= m.tokens.start && m.tokens.end <= g.end)
            || self.cx.clause.question
        {
            return;
        }
        if self.events.iter().any(|e| {
            e.tokens.start < m.tokens.end
                && m.tokens.start < e.tokens.end
                && !matches!(e.saying, Saying::Passed(_))
        }) {
            return;
        }
        // "Okay." and "all right" by themselves only open the next thought.
        let opener = matches!(
            self.cx.speech.words(&m.tokens),
            "okay" | "all right" | "right" | "work" | "clear" | "on"
        );
        if opener
            && subject_ends.is_none()
            && !(m.tokens.start > self.cx.opens && self.points_back(&m.tokens))
        {
            return;
        }
        // Longer wordings say it by themselves; single words must stand as a predicate.
        if m.tokens.len() < 3 && !self.cx.predicate(&m.tokens, subject_ends) {
            return;
        }
        if self.cx.needed(&m.tokens).is_some() || self.cx.supposed(&m.tokens) {
            return;
        }
        let object = self.after(&m.tokens, 2, false).filter(|_| {
            m.tokens.len() >= 2 || matches!(self.cx.speech.word(m.tokens.end - 1), "with")
        });
        let target = match (subject_ends, object) {
            (None, Some(i)) => Target::Things(vec![self.things[i].clone()]),
            _ => match self.subject(&m.tokens) {
                Target::Topic => match self.after(&m.tokens, 1, true) {
                    Some(i) if m.tokens.start <= self.cx.opens => {
                        Target::Things(vec![self.things[i].clone()])
                    }
                    _ => Target::Topic,
                },
                t => t,
            },
        };
        // An everyday word is no part unless the verdict is plainly of it.
        if let Target::Things(t) = &target
            && t.iter()
                .all(|t| t.entry.is_some_and(|e| self.lexicon.element(e).weak))
            && t.last()
                .is_some_and(|t| m.tokens.start.saturating_sub(t.tokens.end) > 2)
        {
            return;
        }
        let denied = self.cx.denied(&m.tokens);
        let starts_denied = matches!(
            self.cx.speech.word(m.tokens.start),
            "not" | "no" | "nothing" | "can" | "could" | "never"
        );
        if denied && !starts_denied {
            self.push(Saying::Passed("praise denied"), target, m.tokens.clone());
            return;
        }
        let target = match self.whole(target) {
            Target::BareElse(t) => Target::Things(t),
            t => t,
        };
        self.push(Saying::Fine, target, m.tokens.clone());
    }

    fn done(&mut self, m: &Mention, subject_ends: Option<usize>) {
        if self.cx.clause.question
            || self.cx.needed(&m.tokens).is_some()
            || self.cx.supposed(&m.tokens)
            || self.cx.denied(&m.tokens)
        {
            return;
        }
        let adjective = self.cx.speech.words(&m.tokens) == "brand new";
        if (m.tokens.len() < 2 || adjective) && !self.cx.predicate(&m.tokens, subject_ends)
            || !self.closed(m)
        {
            return;
        }
        // "is on", "are in": something must be that is.
        let copula = matches!(self.cx.speech.word(m.tokens.start), "is" | "are" | "'s");
        if copula && subject_ends.is_none() && self.one.is_none() && !self.points_back(&m.tokens) {
            return;
        }
        if self.events.iter().any(|e| {
            matches!(e.saying, Saying::Absent | Saying::Fault(_))
                && e.tokens.start < m.tokens.end
                && m.tokens.start < e.tokens.end
        }) {
            return;
        }
        let target = match self.subject(&m.tokens) {
            Target::Topic if subject_ends.is_none() => {
                self.after(&m.tokens, 4, false).map_or(Target::Topic, |i| {
                    Target::Things(vec![self.things[i].clone()])
                })
            }
            t => t,
        };
        // "the padlock's gone": a part that is gone is missing; a fault that is gone is mended.
        let gone = self
            .cx
            .speech
            .words(&m.tokens)
            .split(' ')
            .any(|w| w == "gone");
        if gone
            && matches!(target, Target::Things(_))
            && subject_ends.is_some()
            && !self.events.iter().any(|e| {
                matches!(e.saying, Saying::Absent)
                    && e.tokens.start < m.tokens.end
                    && m.tokens.start < e.tokens.end
            })
        {
            self.push(Saying::Absent, target, m.tokens.clone());
            return;
        }
        self.push(Saying::Done, target, m.tokens.clone());
    }

    fn questions(&mut self) {
        let cues: Vec<(CueKind, Mention)> = self
            .cx
            .scan
            .cues_within(&self.cx.clause.tokens)
            .cloned()
            .collect();
        for (kind, m) in cues {
            let saying = match kind {
                CueKind::Doubt => Saying::Doubt,
                CueKind::Ask => Saying::Ask,
                CueKind::Leave => Saying::Leave,
                CueKind::TakeBack => Saying::TakeBack,
                _ => continue,
            };
            if saying == Saying::Ask && !self.asks(&m) {
                continue;
            }
            // "supposed to be like that" leaves it; "supposed to be four" tells what is wanted.
            let last = self.cx.speech.word(m.tokens.end - 1);
            if saying == Saying::Leave
                && matches!(last, "be" | "to")
                && m.tokens.end < self.cx.clause.tokens.end
                && !matches!(
                    self.cx.speech.word(m.tokens.end),
                    "like" | "that" | "there" | "so" | "this" | "the"
                )
            {
                continue;
            }
            if saying == Saying::Leave && (self.cx.denied(&m.tokens) || self.cx.past(&m.tokens)) {
                continue;
            }
            let target = match self.subject(&m.tokens) {
                Target::Topic => self.after(&m.tokens, 3, false).map_or(Target::Topic, |i| {
                    Target::Things(vec![self.things[i].clone()])
                }),
                t => t,
            };
            self.push(saying, target, m.tokens.clone());
        }
    }

    /// Whether words of looking and asking ask for it: "take a look" needs a need, a person sent, or an order.
    fn asks(&self, m: &Mention) -> bool {
        let words = self.cx.speech.words(&m.tokens);
        let strong = [
            "will ",
            "need",
            "want",
            "going to",
            "have not",
            "has not",
            "have to",
            "has to",
            "could not",
            "can not",
            "to be ",
            "not been",
            "plan",
            "question",
            "somebody",
            "someone",
            "ask",
            "has it been",
            "have they been",
            "in writing",
            "is that right",
            "is this right",
            "what is going",
            "whose",
            "who owns",
        ];
        if strong.iter().any(|w| words.contains(w)) {
            return true;
        }
        let sent = (self.cx.opens..m.tokens.start).any(|i| {
            matches!(
                self.cx.speech.word(i),
                "somebody" | "someone" | "him" | "them" | "they" | "he" | "us"
            )
        }) || self
            .cx
            .scan
            .within(&self.cx.clause.tokens)
            .any(|t| t.kind == Kind::Trade);
        let past = m.role == Role::Past
            || words.starts_with("looked")
            || words.starts_with("checked")
            || words.starts_with("verified")
            || words.starts_with("confirmed");
        let order = matches!(
            words,
            "take a look" | "find out" | "double check" | "verify" | "confirm" | "look into"
        ) && (self.cx.opens..m.tokens.start).all(|i| {
            !grammar::is_pronoun(self.cx.speech.word(i))
                && !grammar::is_auxiliary(self.cx.speech.word(i))
        });
        self.cx.needed(&m.tokens).is_some() || sent && !past || order
    }

    /// "Plumber, please." "Painter.": a trade called for with no other word of work.
    fn calls(&mut self) {
        let work = self.events.iter().any(|e| {
            matches!(
                e.saying,
                Saying::Needed(_) | Saying::Worked(_) | Saying::New | Saying::Done
            )
        });
        let trades = self.mentions(Kind::Trade);
        if let Some(m) = trades.first()
            && !work
            && !self.cx.has(CueKind::Past)
        {
            self.push(Saying::Call, Target::Topic, m.tokens.clone());
        }
    }
}
