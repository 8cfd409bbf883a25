//! What is to be done, and what was.

use crate::lexicon::{Kind, Role};
use crate::list::Work;

use super::super::grammar;
use super::super::mentions::Hold;
use super::super::normalize::Stop;
use super::super::scan::Mention;
use super::{Reader, Saying, Target};

impl Reader<'_, '_, '_> {
    pub(super) fn works(&mut self) {
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
                        | "again"
                        | "metal"
                        | "or"
                )
                || self
                    .things
                    .iter()
                    .any(|t| t.tokens.start >= m.tokens.end && t.phrase.start <= m.tokens.end + 1);
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
            // "we ordered the brass": the speaker's own doing, and nothing done yet.
            if m.role == Role::Past
                && self.lexicon.work(m.entry).id == "order"
                && m.tokens.start > self.cx.opens
                && matches!(speech.word(m.tokens.start - 1), "i" | "we" | "you")
            {
                continue;
            }
            // "nobody ever came back to fix it": what they did not come for is to be done.
            let no_show = m.role == Role::Base
                && before == "to"
                && denied
                && (self.cx.opens..m.tokens.start).any(|i| {
                    matches!(
                        speech.word(i),
                        "came" | "come" | "been" | "showed" | "got" | "turned" | "get"
                    )
                });
            if no_show && !check {
                self.push(Saying::Needed(m.entry), target, m.tokens.clone());
                continue;
            }
            // "they did swap that": said with weight, and done.
            if matches!(m.role, Role::Base | Role::Noun)
                && before == "did"
                && m.tokens.start >= self.cx.opens + 2
                && !denied
                && !check
                && !self.cx.clause.question
            {
                let tokens = m.tokens.start - 1..m.tokens.end;
                self.push(Saying::Worked(m.entry), target, tokens);
                continue;
            }
            // "if the door sticks we'll plane it": only then.
            if m.role == Role::Base && self.only_if(&m) {
                self.push(Saying::Passed("only supposed"), target, m.tokens.clone());
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
                && !check
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

    /// Work that hangs on a condition told before it in the sentence: "if it sticks we'll plane it".
    fn only_if(&self, m: &Mention) -> bool {
        let speech = self.cx.speech;
        let from = self.cx.clause.tokens.start;
        let mut start = from;
        while start > 0 && from - start < 14 && speech.tokens[start - 1].stop < Stop::End {
            start -= 1;
        }
        (start..m.tokens.start).any(|i| {
            speech.word(i) == "if"
                && (i == start
                    || matches!(
                        speech.word(i.saturating_sub(1)),
                        "and" | "so" | "but" | "well" | "then" | "okay"
                    ))
                && !matches!(
                    speech.word(i + 1),
                    "you" | "they" | "he" | "she" | "anything" | "possible" | "need"
                )
        }) && (m.tokens.start.saturating_sub(3)..m.tokens.start)
            .any(|i| matches!(speech.word(i), "will" | "would" | "can" | "could"))
    }

    /// "do the whole ceiling again", "do that wall over": the work is told by two words apart.
    pub(super) fn again(&mut self) {
        let speech = self.cx.speech;
        let Some(redo) = self
            .lexicon
            .data()
            .works
            .iter()
            .position(|w| w.id == "redo")
        else {
            return;
        };
        for i in self.cx.opens..self.cx.clause.tokens.end {
            if !matches!(speech.word(i), "do" | "doing" | "done") || self.cx.clause.question {
                continue;
            }
            let again = (i + 2..(i + 8).min(self.cx.clause.tokens.end))
                .find(|k| matches!(speech.word(*k), "again" | "over"));
            let Some(again) = again else { continue };
            let wanted = self.cx.needed(&(i..i + 1)).is_some()
                || i > self.cx.opens && matches!(speech.word(i - 1), "to" | "will" | "can" | "we")
                || i == self.cx.opens;
            let thing = self
                .things
                .iter()
                .find(|t| t.tokens.start > i && t.tokens.end <= again && t.hold != Hold::Beside);
            if let Some(t) = thing.filter(|_| wanted) {
                let target = Target::Things(vec![t.clone()]);
                self.push(Saying::Needed(redo as u16), target, i..again + 1);
                return;
            }
        }
    }

    pub(super) fn follows_work(&self, m: &Mention) -> bool {
        self.events
            .iter()
            .any(|e| matches!(e.saying, Saying::Needed(_)) && e.tokens.end <= m.tokens.start)
            || m.tokens.start <= self.cx.opens + 2
    }

    /// "doesn't need painting": the need itself is denied.
    pub(super) fn denied_need(&self, m: &Mention) -> bool {
        self.cx.needed(&m.tokens).is_some_and(|n| {
            self.cx.denied(&n.tokens)
                && !matches!(self.cx.speech.word(n.tokens.start), "get" | "gets" | "got")
        })
    }

    /// "needs painted", "that gets shimmed", "I'd like it swapped": of needs, those that a participle can follow.
    pub(super) fn need_takes_past(&self, need: Option<&Mention>, m: &Mention) -> bool {
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
}
