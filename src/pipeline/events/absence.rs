//! What is not there, asked for or owed.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::mentions::{self, Hold, Thing};
use super::super::normalize::Stop;
use super::super::scan::Mention;
use super::super::segment::Joint;
use super::{Event, Reader, Saying, Target};

/// How far before "a new one" its fault may be told, in words.
const FAULT_REACH: usize = 14;

impl Reader<'_, '_, '_> {
    pub(super) fn absence(&mut self) {
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
            let yet = (m.tokens.end..self.cx.clause.tokens.end).any(|i| speech.word(i) == "yet");
            if !self.closed(&m)
                && !yet
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
        // "Towel dispenser, none.": of the part named just before.
        let range = self.cx.clause.tokens.clone();
        if range.len() == 1
            && (matches!(
                speech.word(range.start),
                "none" | "missing" | "absent" | "gone"
            ) || speech.word(range.start) == "no"
                && speech.punctuated
                && speech.tokens[range.start].stop == Stop::End)
            && self.cx.clause.joint == Joint::Comma
            && self.events.is_empty()
        {
            self.push(Saying::Absent, Target::Topic, range.clone());
        }
        // "a knob off the vanity", "they took the drawer": it is gone.
        for i in 0..self.things.len() {
            let t = &self.things[i];
            if t.hold != Hold::Free || self.cx.clause.question {
                continue;
            }
            let end = t.tokens.end;
            let off = matches!(
                (speech.word(end), speech.word(end + 1)),
                (
                    "off" | "missing" | "gone",
                    "the" | "of" | "from" | "this" | "that"
                )
            ) && t.phrase.start >= 1
                && (matches!(speech.word(t.phrase.start - 1), "'s" | "is" | "are")
                    && t.phrase.start >= 2
                    && speech.word(t.phrase.start - 2) == "there");
            let covers = t.entry.is_some_and(|e| {
                let e = self.lexicon.element(e);
                ["cover", "cap", "lid", "plate", "grille", "knob", "trim"]
                    .iter()
                    .any(|w| e.id.ends_with(w) || e.id.starts_with(w))
            });
            let lifted = covers
                && (matches!(
                    (speech.word(end), speech.word(end + 1), speech.word(end + 2)),
                    ("'s" | "is" | "are", "off", "the" | "this" | "that" | "of")
                ) || matches!(
                    (speech.word(end), speech.word(end + 1)),
                    ("off", "the" | "this" | "that")
                ) && t.phrase.start == self.cx.opens);
            let off = off || lifted;
            let counted =
                (t.phrase.start..t.tokens.start).any(|k| grammar::number(speech.word(k)).is_some());
            let gone = counted && speech.word(end) == "gone" && end < self.cx.clause.tokens.end;
            let off = off || gone;
            let taken_away = t.phrase.start >= 2
                && matches!(
                    speech.word(t.phrase.start - 1),
                    "took" | "stole" | "nicked" | "swiped"
                )
                && matches!(
                    speech.word(t.phrase.start - 2),
                    "they" | "somebody" | "someone" | "he" | "she"
                );
            if (off || taken_away) && !self.cx.past(&(end..end + 1)) {
                let tokens = t.phrase.start..end;
                let target = Target::Things(vec![t.clone()]);
                if !self
                    .events
                    .iter()
                    .any(|e| e.saying == Saying::Absent && e.tokens.end > t.tokens.start)
                {
                    self.push(Saying::Absent, target, tokens);
                }
            }
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

    /// "there should be a handle on this drawer and there isn't": what ought to be is not.
    pub(super) fn ought_to_be(&mut self) {
        let speech = self.cx.speech;
        let end = self.cx.clause.tokens.end;
        let denied = (end..end + 3).any(|i| {
            matches!(speech.word(i), "there" | "it")
                && matches!(speech.word(i + 1), "is" | "was" | "are")
                && speech.word(i + 2) == "not"
                && (i + 3 >= speech.tokens.len() || speech.tokens[i + 2].stop > Stop::None)
        });
        if !denied {
            return;
        }
        let ought = (self.cx.opens..end).find(|i| {
            matches!(speech.word(*i), "should" | "ought" | "supposed" | "meant")
                && (*i..i + 4).any(|k| speech.word(k) == "be")
        });
        let Some(at) = ought else { return };
        if let Some(i) = self.things.iter().position(|t| {
            t.tokens.start > at
                && t.hold == Hold::Free
                && (t.phrase.start..t.tokens.start).any(|k| {
                    matches!(speech.word(k), "a" | "an" | "some" | "another")
                        || grammar::number(speech.word(k)).is_some()
                })
        }) {
            let target = Target::Things(vec![self.things[i].clone()]);
            let tokens = at..self.things[i].tokens.end;
            self.push(Saying::Absent, target, tokens);
        }
    }

    /// "carpet goes in Monday", "the glass is coming Thursday": what is to come is not there yet.
    pub(super) fn scheduled(&mut self) {
        let speech = self.cx.speech;
        let range = self.cx.clause.tokens.clone();
        if self.cx.clause.question || self.cx.has(CueKind::Done) {
            return;
        }
        for i in self.cx.opens + 1..range.end {
            let coming = matches!(
                speech.word(i),
                "goes"
                    | "go"
                    | "going"
                    | "comes"
                    | "come"
                    | "coming"
                    | "arrives"
                    | "arriving"
                    | "due"
                    | "scheduled"
                    | "ships"
                    | "lands"
                    | "not"
            );
            if !coming {
                continue;
            }
            let mut k = i + 1;
            while k < range.end
                && matches!(
                    speech.word(k),
                    "in" | "on"
                        | "up"
                        | "for"
                        | "till"
                        | "until"
                        | "here"
                        | "next"
                        | "this"
                        | "down"
                )
            {
                k += 1;
            }
            let late = speech.word(i) != "not" || matches!(speech.word(i + 1), "till" | "until");
            let day = k < range.end
                && (grammar::is_weekday(speech.word(k))
                    || matches!(speech.word(k), "tomorrow" | "week" | "afternoon" | "month"));
            if !late || !day || self.cx.past(&(i..k)) {
                continue;
            }
            let Some(s) = self.free_before(i) else {
                continue;
            };
            let t = &self.things[s];
            let plain = (t.tokens.end..i).all(|k| {
                grammar::is_auxiliary(speech.word(k))
                    || matches!(speech.word(k), "all" | "just" | "only")
            });
            // Machines of the site and everyday words come and go.
            let part = t.entry.is_some_and(|e| {
                let e = self.lexicon.element(e);
                !e.weak && !matches!(e.group.as_str(), "equipment" | "debris")
            });
            if !plain || !part {
                continue;
            }
            let target = Target::Things(self.with_joined(s));
            self.push(Saying::Absent, target, i..k + 1);
            return;
        }
    }

    pub(super) fn is_small(&self, t: &Thing) -> bool {
        t.entry
            .is_none_or(|e| self.lexicon.element(e).weak || self.lexicon.element(e).piece)
    }

    /// "is in", "not up": the word must end the thought, not lead to a place ("not in the drawer").
    pub(super) fn closed(&self, m: &Mention) -> bool {
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

    pub(super) fn open_after(&self, at: usize) -> Option<Thing> {
        let mut i = at;
        while grammar::is_describing(self.cx.speech.word(i))
            || grammar::is_determiner(self.cx.speech.word(i))
        {
            i += 1;
        }
        mentions::open_noun(i, &self.cx.clause.tokens, self.cx.speech, false)
            .filter(|t| !self.is_other_mention(t))
    }

    pub(super) fn fault_in(&self, range: Range<usize>) -> bool {
        self.cx
            .scan
            .mentions_near(range.start, range.end)
            .iter()
            .any(|m| {
                m.kind == Kind::Fault
                    && m.role != Role::Lack
                    && m.tokens.start >= range.start
                    && m.tokens.start < range.end
                    && m.tokens.start < self.cx.clause.tokens.end
            })
    }

    /// "needs a new one", "new screen": a replacement, where a need or a fault speaks for it.
    /// "It wants silicone all down there", "needs paint": the seal or the coat is what is missing.
    pub(super) fn wanted(&mut self) {
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
    pub(super) fn left_open(&mut self) {
        let range = self.cx.clause.tokens.clone();
        let end = range.end;
        let speech = self.cx.speech;
        // "every window opens except this one": it does not.
        if self
            .cx
            .cues(CueKind::Except)
            .any(|x| x.tokens.start <= range.start + 1)
            && let Some(one) = self.one.clone()
            && self.events.is_empty()
            && !self.cx.clause.question
            && speech.tokens[end - 1].stop >= Stop::End
            && (one.end..end).all(|i| !grammar::is_auxiliary(speech.word(i)))
        {
            self.push(Saying::NotEither, Target::Topic, one);
            return;
        }
        if end < range.start + 3
            || speech.word(end - 1) != "not"
            || self.cx.clause.question
            || !self.events.is_empty()
        {
            return;
        }
        if !matches!(
            speech.word(end - 2),
            "is" | "are" | "does" | "do" | "did" | "has" | "have" | "'s"
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
    pub(super) fn owed(&mut self) {
        let speech = self.cx.speech;
        for i in 0..self.things.len() {
            let t = &self.things[i];
            let counted = (t.phrase.start..t.tokens.start).any(|k| {
                matches!(speech.word(k), "a" | "an" | "another" | "some")
                    || grammar::number(speech.word(k)).is_some()
            });
            let fresh = (t.phrase.start..t.tokens.start).any(|k| speech.word(k) == "new");
            let waits = t.phrase.start >= 2
                && (matches!(
                    (
                        speech.word(t.phrase.start - 2),
                        speech.word(t.phrase.start - 1)
                    ),
                    ("waiting", "on" | "for") | ("owe" | "owes", "us" | "me" | "you" | "them")
                ))
                && !self.cx.clause.question
                && !self.cx.past(&t.phrase);
            if waits
                && !self.events.iter().any(|e| {
                    matches!(e.saying, Saying::Absent) && e.tokens.end > t.phrase.start - 2
                })
            {
                let (target, tokens) = (
                    Target::Things(self.joined_after(i)),
                    t.phrase.start - 2..t.tokens.end,
                );
                self.push(Saying::Absent, target, tokens);
                continue;
            }
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

    pub(super) fn new_ones(&mut self) {
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
            if self.cx.needed(&(at..at + 1)).is_some()
                || short
                || result
                || self.ordered(at)
                || self.after_a_fault(at)
            {
                self.push(
                    Saying::New,
                    Target::Things(vec![t.clone()]),
                    at..t.tokens.end,
                );
            }
        }
        for k in self.cx.opens..self.cx.clause.tokens.end {
            // "Put another one in" orders as much as a new one.
            let another = speech.word(k) == "another"
                && speech.word(k + 1) == "one"
                && matches!(speech.word(k + 2), "in" | "on" | "up" | "there");
            if speech.word(k) != "new" && !another
                || self.cx.clause.question
                || self.things.iter().any(|t| t.phrase.contains(&k))
            {
                continue;
            }
            let end = self.cx.clause.tokens.end;
            let one = matches!(speech.word(k + 1), "one" | "ones");
            // "put a new front on", "a new front for that": whatever it is called, it takes the place of the old.
            let called = k + 1 < end
                && k > self.cx.opens
                && matches!(speech.word(k - 1), "a" | "one" | "another")
                && (k + 2 >= end
                    || matches!(
                        speech.word(k + 2),
                        "for" | "in" | "on" | "there" | "of" | "up" | "down" | "and"
                    ));
            // "it has to be new"
            let be = k + 1 >= end && k > self.cx.opens && speech.word(k - 1) == "be";
            let so = (self.cx.clause.tokens.start..k).any(|i| speech.word(i) == "so")
                && k <= self.cx.opens + 3
                && !self.cx.has(CueKind::Done);
            let remedy = self.after_a_fault(k);
            let wanted = self.cx.needed(&(k..k + 1)).is_some()
                || remedy
                || (one || called) && (self.ordered(k) || so);
            if !(one || called || be || remedy && k + 1 < end) || !wanted {
                continue;
            }
            let target = self.free_before(k).map_or(Target::Topic, |i| {
                Target::Things(vec![self.things[i].clone()])
            });
            self.push(Saying::New, target, k..(k + 2).min(end));
        }
    }

    /// "The rollers are shot. New rollers.", "it's split, so a new basket", "that's a new lock": right after a fault what is called
    /// new is what is wanted.
    fn after_a_fault(&self, at: usize) -> bool {
        let speech = self.cx.speech;
        let opens = self.cx.opens;
        let from = (opens..at)
            .rev()
            .find(|i| matches!(speech.word(*i), "so" | "then"))
            .map_or(opens, |i| i + 1);
        let lead: Vec<&str> = (from..at).map(|i| speech.word(i)).collect();
        let called = matches!(
            lead.as_slice(),
            [] | ["a" | "some" | "one"]
                | ["that" | "it" | "this", "is" | "'s", "a"]
                | ["just", "a"]
        );
        let before = at.saturating_sub(FAULT_REACH)..at;
        let sentence = |i: usize| {
            (i..at)
                .filter(|k| speech.tokens[*k].stop >= Stop::End)
                .count()
                <= 1
        };
        called
            && !self.cx.has(CueKind::Done)
            && self
                .cx
                .scan
                .within(&before)
                .any(|m| m.kind == Kind::Fault && m.role != Role::Lack && sentence(m.tokens.start))
    }

    /// "put a new one on", "the joiner can make a new one": an order, or what somebody will do; not what somebody did.
    fn ordered(&self, at: usize) -> bool {
        let speech = self.cx.speech;
        let verb = (self.cx.opens..at).rev().find(|i| {
            matches!(
                speech.word(*i),
                "put"
                    | "get"
                    | "fit"
                    | "hang"
                    | "order"
                    | "send"
                    | "make"
                    | "cut"
                    | "do"
                    | "install"
                    | "stick"
                    | "pop"
                    | "screw"
                    | "buy"
                    | "bring"
                    | "supply"
                    | "fold"
                    | "set"
                    | "lay"
                    | "cost"
                    | "ask"
            )
        });
        let Some(verb) = verb.filter(|v| at - v <= 5) else {
            return false;
        };
        let lead = (self.cx.opens..verb).map(|i| speech.word(i));
        let told = lead.clone().any(|w| {
            matches!(
                w,
                "they"
                    | "he"
                    | "she"
                    | "somebody"
                    | "someone"
                    | "was"
                    | "were"
                    | "has"
                    | "have"
                    | "'ve"
                    | "did"
                    | "not"
                    | "if"
            )
        });
        let willed = lead.clone().any(|w| {
            matches!(
                w,
                "will" | "can" | "would" | "should" | "to" | "must" | "let" | "could" | "please"
            )
        });
        !self.cx.has(CueKind::Done)
            && (verb == self.cx.opens || willed || !told && lead.count() <= 2)
    }
}
