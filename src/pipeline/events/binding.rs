//! Which part something is said of.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::mentions::{self, Hold, Thing};
use super::super::normalize::Stop;
use super::super::scan::Mention;
use super::super::segment::Joint;
use super::{Reader, Target};

impl Reader<'_, '_, '_> {
    /// The parts joined to this one by "and" and commas.
    pub(super) fn with_joined(&self, i: usize) -> Vec<Thing> {
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

    pub(super) fn joined_after(&self, i: usize) -> Vec<Thing> {
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

    pub(super) fn free_before(&self, at: usize) -> Option<usize> {
        self.things
            .iter()
            .rposition(|t| t.tokens.end <= at && t.hold == Hold::Free)
    }

    /// The subject of a predicate at these words.
    pub(super) fn subject(&self, at: &Range<usize>) -> Target {
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

    pub(super) fn subject_or(&self, m: &Mention, i: usize) -> Target {
        if self
            .one
            .as_ref()
            .is_some_and(|o| o.start >= self.things[i].tokens.end && o.end <= m.tokens.start)
        {
            return Target::Topic;
        }
        Target::Things(self.with_joined(i))
    }

    pub(super) fn is_other_mention(&self, t: &Thing) -> bool {
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

    pub(super) fn points_back(&self, at: &Range<usize>) -> bool {
        (self.cx.opens..at.start).any(|i| self.points(i))
    }

    /// Whether the word points back at a thing: "that is loose", not "that hole".
    pub(super) fn points(&self, i: usize) -> bool {
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
    pub(super) fn after(&self, at: &Range<usize>, reach: usize, host: bool) -> Option<usize> {
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
    pub(super) fn whole(&self, target: Target) -> Target {
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
        }) && things.iter().all(|t| {
            self.cx.speech.word(t.phrase.start) == "the"
                || t.phrase.start == t.tokens.start
                    && t.phrase.start == self.cx.clause.tokens.start
                    && self.cx.clause.joint == Joint::Comma
        }) {
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

    /// The part that a fault is usually of, where none is named.
    pub(super) fn usual_part(&self, m: &Mention) -> Vec<Thing> {
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

    pub(super) fn has_verb_between(&self, subject: Option<usize>, m: &Mention) -> bool {
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
    pub(super) fn open_host(&self, m: &Mention) -> Option<Thing> {
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

    pub(super) fn fault_target(&self, m: &Mention) -> Target {
        // "hole in the wall": the part is named inside.
        if let Some(t) = self.things.iter().find(|t| {
            m.tokens.start < t.tokens.start
                && t.tokens.end <= m.tokens.end
                && self.lexicon.fault(m.entry).id != "sticker-on"
        }) && self.free_before(m.tokens.start).is_none()
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
                if self.usual_part(m).is_empty()
                    && let Some(i) = self.covering(m)
                {
                    return Target::Things(vec![self.things[i].clone()]);
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
                // "the stickers are still on the mirror": what is stuck on is no part.
                if self.lexicon.fault(m.entry).id == "sticker-on"
                    && let Some(h) = self.after(&m.tokens, 2, true)
                {
                    return Target::Things(vec![self.things[h].clone()]);
                }
                // "some nails have popped in the ceiling": the nails are the fault.
                if self.lexicon.fault(m.entry).id == "nail-pop"
                    && let Some(i) = self.free_before(m.tokens.start)
                    && self.things[i].entry.is_some_and(|e| {
                        matches!(self.lexicon.element(e).id.as_str(), "nail" | "screw")
                    })
                {
                    let host = self
                        .things
                        .iter()
                        .find(|t| t.tokens.start >= m.tokens.end && t.hold != Hold::Beside);
                    return match host {
                        Some(t) => Target::Things(vec![t.clone()]),
                        None => Target::TopicElse(self.usual_part(m)),
                    };
                }
                if let Some(i) = self.free_before(m.tokens.start) {
                    return self.subject_or(m, i);
                }
                // "it's filthy on the floor": "it" stands for nothing.
                if speech.word(self.cx.opens) == "it"
                    && self.lexicon.fault(m.entry).work == Some(crate::list::Work::Clean)
                    && m.tokens.start <= self.cx.opens + 4
                    && let Some(h) = self.after(&m.tokens, 1, true)
                {
                    return Target::Things(vec![self.things[h].clone()]);
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
                        .or_else(|| self.covering(m))
                        .filter(|_| m.tokens.start <= self.cx.opens + 3)
                        .map_or(Target::Topic, |i| {
                            Target::Things(vec![self.things[i].clone()])
                        }),
                    t => t,
                }
            }
        }
    }

    /// "a leak under the sink", "daylight around the door": a part named by where the fault shows, close behind it.
    fn covering(&self, m: &Mention) -> Option<usize> {
        let at = m.tokens.end;
        let place = matches!(
            self.cx.speech.word(at),
            "under"
                | "underneath"
                | "beneath"
                | "below"
                | "behind"
                | "around"
                | "round"
                | "between"
                | "above"
                | "inside"
                | "from"
        );
        (place && self.cx.speech.tokens[at - 1].stop == Stop::None)
            .then(|| {
                self.things.iter().position(|t| {
                    t.tokens.start > at && t.phrase.start <= at + 1 && t.hold != Hold::Free
                })
            })
            .flatten()
    }

    /// "Paint with a light color the ceiling": what is ordered stands further on, after how it is to be done.
    fn far_object(&self, m: &Mention) -> Option<usize> {
        let fits = |t: &Thing, hold: Hold| {
            t.tokens.start >= m.tokens.end
                && t.hold == hold
                && t.entry.is_some_and(|e| {
                    let e = self.lexicon.element(e);
                    !e.weak && !matches!(e.group.as_str(), "paint" | "lighting" | "sealant")
                })
        };
        let free = self.things.iter().position(|t| fits(t, Hold::Free));
        free.or_else(|| self.things.iter().position(|t| fits(t, Hold::Host)))
    }

    pub(super) fn work_target(&self, m: &Mention) -> Target {
        let speech = self.cx.speech;
        // "fixed the leak under the sink": what was worked on is told by its fault.
        if m.role == Role::Past
            && let Some(f) = self.cx.scan.within(&self.cx.clause.tokens).find(|f| {
                f.kind == Kind::Fault
                    && matches!(f.role, Role::Noun | Role::Nouns)
                    && f.tokens.start >= m.tokens.end
                    && f.tokens.start <= m.tokens.end + 1
            })
            && self.things.iter().any(|t| t.tokens.start >= f.tokens.end)
        {
            return self.fault_target(f);
        }
        let before = self.free_before(m.tokens.start);
        let coat = |i: &usize| {
            self.things[*i]
                .entry
                .is_some_and(|e| self.lexicon.element(e).group == "paint")
        };
        // "paint with a light paint the ceiling": the coat is not what is painted.
        let after = self.after(&m.tokens, 4, false).and_then(|i| {
            if coat(&i) {
                self.far_object(m).or(Some(i))
            } else {
                Some(i)
            }
        });
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
            Target::Topic
                if m.role == Role::Base
                    && m.tokens.start <= self.cx.opens + 1
                    && self.far_object(m).is_some() =>
            {
                Target::Things(self.joined_after(self.far_object(m).unwrap_or(0)))
            }
            Target::Topic if !self.points_back(&m.tokens) => match self.after(&m.tokens, 4, true) {
                Some(i) if m.role != Role::Past => Target::Things(vec![self.things[i].clone()]),
                _ => Target::Topic,
            },
            t => t,
        }
    }
}
