//! What is wrong, and what lies about.

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Role};
use crate::list::Work;

use super::super::grammar;
use super::super::mentions::{Hold, Thing};
use super::super::normalize::Stop;
use super::super::scan::Mention;
use super::super::segment::Joint;
use super::{Event, Reader, Saying, Target};

impl Reader<'_, '_, '_> {
    /// What lies about is a fault of what it lies on: "sawdust all over the floor", "they left a bucket in here".
    pub(super) fn debris(&mut self, debris: &[Thing]) {
        if debris.is_empty() {
            return;
        }
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
                        | "got"
                        | "has"
                )
            });
            let host = self.after(&d.tokens, 7, true);
            if !here
                && host.is_none()
                && !(speech.word(self.cx.opens) == "that" && self.cx.clause.tokens.len() <= 6)
            {
                continue;
            }
            // "spares in the container", "runs into a bucket": what it stands in is not what lies about.
            let lead = speech.word(d.phrase.start.saturating_sub(1));
            let holds = d.phrase.start >= self.cx.clause.tokens.start + 2
                && matches!(
                    lead,
                    "in" | "into"
                        | "on"
                        | "onto"
                        | "from"
                        | "at"
                        | "by"
                        | "behind"
                        | "near"
                        | "under"
                        | "off"
                )
                && !matches!(
                    speech.word(d.phrase.start - 2),
                    "covered" | "caked" | "coated" | "smothered" | "buried" | "taped" | "still"
                );
            if holds {
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

    pub(super) fn faults(&mut self) {
        let blocked = self.lexicon.fault_by_id("blocked");
        for m in self.mentions(Kind::Fault) {
            // What stands in the way was read with the part that it blocks.
            let read = |e: &Event| {
                e.tokens.start < m.tokens.end
                    && m.tokens.start < e.tokens.end
                    && matches!(e.saying, Saying::Fault(f) | Saying::NoFault(f) | Saying::WasFault(f) if Some(f) == blocked)
            };
            if Some(m.entry) == blocked && self.events.iter().any(read) {
                continue;
            }
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
            // "paint's peeling off the fascia", "a run in the paint on the door": the coat is the fault of what it is on.
            if let Target::Things(t) = &target
                && t.len() == 1
                && t[0]
                    .entry
                    .is_some_and(|e| self.lexicon.element(e).group == "paint")
                && let Some(under) = self.things.iter().find(|o| {
                    o.tokens.start >= t[0].tokens.end
                        && matches!(
                            self.cx.speech.word(o.phrase.start.saturating_sub(1)),
                            "on" | "off" | "from" | "of" | "along"
                        )
                        && (o.phrase.start <= t[0].tokens.end + 1
                            || o.phrase.start >= m.tokens.end && o.phrase.start <= m.tokens.end + 2)
                })
            {
                target = Target::Things(vec![under.clone()]);
            }
            // "the hinge stopped squeaking"
            if m.tokens.start > self.cx.opens
                && matches!(
                    self.cx.speech.word(m.tokens.start - 1),
                    "stopped" | "quit" | "ceased"
                )
            {
                let tokens = m.tokens.start - 1..m.tokens.end;
                self.push(Saying::NoFault(m.entry), target, tokens);
                continue;
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
                let lit = self.cx.speech.word(m.tokens.end - 1) == "out"
                    && matches!(
                        self.cx.speech.word(m.tokens.end),
                        "over" | "above" | "by" | "in" | "at" | "near" | "on" | "outside" | "under"
                    );
                if !fits || !self.closed(&m) && !lit {
                    continue;
                }
                target = named.map_or(target.clone(), |t| Target::Things(vec![t.clone()]));
            }
            // "the paint on the trim is bubbled": the coat itself, of which something else is said.
            if self.lexicon.fault(m.entry).id == "paint-on"
                && m.tokens.start <= self.cx.opens + 1
                && self.cx.speech.word(self.cx.opens) == "the"
            {
                continue;
            }
            // "the stain looks good", "the gap is fine": what is praised is no fault.
            let praised = matches!(m.role, Role::Noun | Role::Nouns)
                && m.tokens.start <= self.cx.opens + 1
                && self
                    .cx
                    .scan
                    .cues_near(m.tokens.end, m.tokens.end + 1)
                    .iter()
                    .any(|(k, q)| {
                        *k == CueKind::Fine
                            && (q.tokens.start == m.tokens.end
                                || q.tokens.start == m.tokens.end + 1
                                    && grammar::is_linking(self.cx.speech.word(m.tokens.end)))
                    });
            if praised {
                continue;
            }
            let denied = self.cx.denied(&m.tokens) && self.lexicon.fault(m.entry).id != "no-air";
            // "it has to come off", "those should come down": what is to be done with it is no fault.
            let to_come = matches!(m.role, Role::Base | Role::Phrase | Role::Noun)
                && self.cx.speech.word(m.tokens.start) == "come"
                && m.tokens.start > self.cx.clause.tokens.start
                && matches!(
                    self.cx.speech.word(m.tokens.start - 1),
                    "to" | "or" | "should" | "must" | "can" | "will"
                )
                && self.cx.needed(&m.tokens).is_some();
            if to_come {
                continue;
            }
            // "I'm leaning my full weight on it" is the speaker's own doing.
            if m.role == Role::Ing
                && (self.cx.opens..m.tokens.start)
                    .any(|i| matches!(self.cx.speech.word(i), "i" | "we"))
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
                )
                && !self
                    .cx
                    .cues(CueKind::Except)
                    .any(|x| x.tokens.end == start - 1);
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
            // "doesn't line up with the hole": what it should meet is no fault.
            let aim = matches!(m.role, Role::Noun | Role::Nouns)
                && m.tokens.start > self.cx.clause.tokens.start
                && self.cx.speech.word(m.tokens.start - 1) == "the"
                && self.events.iter().any(|e| {
                    matches!(e.saying, Saying::Fault(f) if f != m.entry)
                        && e.tokens.end <= m.tokens.start
                        && self.cx.denied(&e.tokens)
                });
            if aim {
                continue;
            }
            let past = self.cx.past(&m.tokens) || self.mended(&m) || self.put_right(&m);
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
            // "there's no more ripple"
            let gone = matches!(m.role, Role::Noun | Role::Nouns)
                && self.cx.cues(CueKind::NoMore).any(|n| {
                    n.tokens.end <= m.tokens.start
                        && m.tokens.start - n.tokens.end <= 1
                        && self.cx.speech.word(n.tokens.end - 1) == "more"
                });
            let denied = denied || gone;
            let saying = if to_come {
                Saying::Passed("only supposed")
            } else if m.role == Role::Lack {
                match (denied, past) {
                    (true, true) => Saying::WasFault(e),
                    (true, false) if self.cx.clause.question => Saying::AskedFault(e),
                    (true, false) => Saying::Fault(e),
                    (false, _) if self.does(&m) => Saying::Fine,
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

    /// "both sinks drain", "now they meet", "oven heats": it does what it should.
    fn does(&self, m: &Mention) -> bool {
        let speech = self.cx.speech;
        let start = m.tokens.start;
        if start <= self.cx.clause.tokens.start || self.cx.clause.question {
            return false;
        }
        let before = speech.word(start - 1);
        let plain = !matches!(
            before,
            "to" | "will"
                | "would"
                | "should"
                | "must"
                | "can"
                | "could"
                | "might"
                | "may"
                | "not"
                | "let"
                | "gets"
                | "the"
                | "a"
        );
        let from = if let Some(i) = self.free_before(start) {
            self.things[i].tokens.end
        } else if matches!(before, "it" | "they" | "that" | "those" | "these" | "both") {
            start
        } else {
            return false;
        };
        let near = start - from <= 2
            && (from..start).all(|k| {
                matches!(
                    speech.word(k),
                    "it" | "they"
                        | "that"
                        | "all"
                        | "both"
                        | "now"
                        | "just"
                        | "really"
                        | "finally"
                        | "do"
                        | "does"
                        | "still"
                )
            });
        let closed = m.tokens.end >= self.cx.clause.tokens.end
            || speech.tokens[m.tokens.end - 1].stop > Stop::None
            || matches!(
                speech.word(m.tokens.end),
                "fine"
                    | "now"
                    | "good"
                    | "well"
                    | "okay"
                    | "and"
                    | "nicely"
                    | "by"
                    | "right"
                    | "again"
                    | "perfectly"
                    | "too"
                    | "in"
                    | "on"
                    | "great"
            );
        // "it drains slow" tells of a fault.
        let fault = self
            .cx
            .scan
            .mentions_near(m.tokens.start, m.tokens.end)
            .iter()
            .any(|o| {
                o.kind == Kind::Fault
                    && o.tokens != m.tokens
                    && o.tokens.start <= m.tokens.end
                    && o.tokens.end > m.tokens.start
            });
        let verb = self
            .cx
            .speech
            .words(&m.tokens)
            .split(' ')
            .next()
            .unwrap_or("");
        plain
            && near
            && closed
            && !verb.ends_with("ing")
            && !verb.ends_with("ed")
            && !fault
            && self.cx.needed(&m.tokens).is_none()
            && !self.cx.supposed(&m.tokens)
            && !self.cx.has(CueKind::Past)
            && !self.cx.has(CueKind::Fine)
    }

    /// "they replaced the cracked tile": the fault belongs to the object of work done.
    fn put_right(&self, m: &Mention) -> bool {
        let object = self
            .things
            .iter()
            .any(|t| t.tokens.start >= m.tokens.end && t.tokens.start <= m.tokens.end + 1);
        object
            && m.role == Role::State
            && self.cx.scan.within(&self.cx.clause.tokens).any(|w| {
                w.kind == Kind::Work
                    && w.role == Role::Past
                    && w.tokens.end <= m.tokens.start
                    && m.tokens.start - w.tokens.end <= 2
                    && (w.tokens.end..m.tokens.start)
                        .all(|k| grammar::is_determiner(self.cx.speech.word(k)))
                    && w.tokens.start > self.cx.opens
                    && !self.cx.denied(&w.tokens)
                    && self.cx.needed(&w.tokens).is_none()
            })
    }

    /// "that scratch on the door is gone": a fault that is gone, named as the subject.
    pub(super) fn vanished(&mut self) {
        let speech = self.cx.speech;
        for i in self.cx.opens..self.cx.clause.tokens.end {
            let gone = matches!(speech.word(i), "gone" | "vanished" | "disappeared")
                && i > self.cx.opens
                && (grammar::is_auxiliary(speech.word(i - 1))
                    || matches!(speech.word(i - 1), "all" | "now" | "completely"));
            if !gone || self.cx.denied(&(i..i + 1)) {
                continue;
            }
            let Some(k) = self.events.iter().rposition(|e| {
                e.tokens.end <= i
                    && matches!(e.saying, Saying::Fault(_))
                    && self.cx.scan.within(&e.tokens).any(|m| {
                        m.kind == Kind::Fault && matches!(m.role, Role::Noun | Role::Nouns)
                    })
                    && !self.things.iter().any(|t| {
                        t.hold == Hold::Free && t.tokens.start >= e.tokens.end && t.tokens.end <= i
                    })
                    && e.tokens.start <= self.cx.opens + 4
            }) else {
                continue;
            };
            let Saying::Fault(f) = self.events[k].saying else {
                continue;
            };
            self.events[k].saying = Saying::WasFault(f);
            let target = self.events[k].target.clone();
            self.events
                .retain(|e| !(e.tokens.start <= i && i < e.tokens.end));
            self.push(Saying::Done, target, i..i + 1);
            return;
        }
    }

    /// "they fixed the scratch", "they got the stain out": the fault is the object of work done.
    pub(super) fn mended(&self, m: &Mention) -> bool {
        let noun = matches!(m.role, Role::Noun | Role::Nouns);
        let done = self.cx.cues(CueKind::Done).any(|d| {
            d.tokens.end <= m.tokens.start
                && m.tokens.start - d.tokens.end <= 3
                && !self.cx.denied(&d.tokens)
        });
        // "that's been fixed, the leak at the valve": told after the verdict of it.
        let from = self.cx.clause.tokens.start;
        let told_after = self.cx.clause.joint == Joint::Comma
            && m.tokens.start == self.cx.opens + 1
            && self.cx.speech.word(self.cx.opens) == "the"
            && !(m.tokens.end..self.cx.clause.tokens.end)
                .any(|i| grammar::is_auxiliary(self.cx.speech.word(i)))
            && self.cx.scan.cues_near(from, from).iter().any(|(k, d)| {
                *k == CueKind::Done && d.tokens.end == from && d.tokens.start + 6 > from
            });
        noun && (done
            || told_after
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
}
