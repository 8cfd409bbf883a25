//! What is fine, put right, in doubt, to be asked.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::mentions::Hold;
use super::super::normalize::Stop;
use super::super::scan::Mention;
use super::{Reader, Saying, Target};

impl Reader<'_, '_, '_> {
    pub(super) fn verdicts(&mut self) {
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

    pub(super) fn fine(&mut self, m: &Mention, subject_ends: Option<usize>, good: &[Range<usize>]) {
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
        let object = self
            .after(&m.tokens, 2, false)
            .or_else(|| {
                let last = self.cx.speech.word(m.tokens.end - 1);
                matches!(last, "with" | "about" | "on" | "fault")
                    .then(|| {
                        self.things
                            .iter()
                            .position(|t| t.phrase.start == m.tokens.end)
                    })
                    .flatten()
            })
            .filter(|_| {
                m.tokens.len() >= 2
                    || matches!(
                        self.cx.speech.word(m.tokens.end - 1),
                        "with" | "about" | "fault"
                    )
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
        // "the closet through there is fine": the place is what is judged.
        let judged = self
            .cx
            .scan
            .within(&(self.cx.opens..m.tokens.start))
            .any(|a| a.kind == Kind::Area && a.tokens.start <= self.cx.opens + 2);
        let target = match target {
            Target::Topic if judged && self.one.is_none() => Target::Place,
            t => t,
        };
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

    pub(super) fn done(&mut self, m: &Mention, subject_ends: Option<usize>) {
        if self.cx.clause.question
            || self.cx.needed(&m.tokens).is_some()
            || self.cx.supposed(&m.tokens)
            || self.cx.denied(&m.tokens)
        {
            return;
        }
        // "that'll be gone": it is not yet.
        if (m.tokens.start.saturating_sub(3).max(self.cx.opens)..m.tokens.start)
            .any(|i| matches!(self.cx.speech.word(i), "will" | "going" | "gonna" | "would"))
        {
            return;
        }
        // Without punctuation a clause may end before "in | a bag".
        let end = m.tokens.end;
        if !self.cx.speech.punctuated
            && end == self.cx.clause.tokens.end
            && matches!(self.cx.speech.word(end - 1), "in" | "on" | "up" | "at")
            && matches!(
                self.cx.speech.word(end),
                "a" | "an" | "the" | "my" | "your" | "his"
            )
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

    /// "the bench got built", "it's been washed": done, by a participle that no entry holds.
    pub(super) fn passive(&mut self) {
        let speech = self.cx.speech;
        if self.cx.clause.question {
            return;
        }
        for i in self.cx.opens + 1..self.cx.clause.tokens.end.saturating_sub(1) {
            if !matches!(speech.word(i), "been" | "got" | "gotten") {
                continue;
            }
            let at = i + 1;
            let v = speech.word(at);
            let participle = v.len() > 4 && v.ends_with("ed")
                || matches!(
                    v,
                    "built"
                        | "hung"
                        | "put"
                        | "cut"
                        | "swapped"
                        | "redone"
                        | "done"
                        | "rebuilt"
                        | "laid"
                        | "set"
                        | "sorted"
                );
            let read = self.cx.scan.mentions_near(at, at).iter().any(|m| {
                matches!(m.kind, Kind::Fault | Kind::Work)
                    && m.tokens.start <= at
                    && at < m.tokens.end
            }) || self
                .events
                .iter()
                .any(|e| e.tokens.start <= at && at < e.tokens.end);
            if !participle
                || read
                || self.cx.denied(&(at..at + 1))
                || self.cx.needed(&(at..at + 1)).is_some()
                || self.cx.supposed(&(at..at + 1))
                || (self.cx.opens..i).any(|k| {
                    matches!(
                        speech.word(k),
                        "should" | "would" | "could" | "i" | "we" | "never" | "not"
                    )
                })
            {
                continue;
            }
            let target = match self.free_before(i) {
                Some(s) if i - self.things[s].tokens.end <= 3 => {
                    Target::Things(self.with_joined(s))
                }
                None if self.points_back(&(i..i + 1)) => Target::Topic,
                _ => continue,
            };
            self.push(Saying::Done, target, i..at + 1);
            return;
        }
    }

    /// "they finally got the door on", "they've put the mirror up": done, told around the part.
    pub(super) fn got_done(&mut self) {
        let speech = self.cx.speech;
        let end = self.cx.clause.tokens.end;
        if self.cx.clause.question || self.cx.has(CueKind::Need) || self.cx.has(CueKind::Still) {
            return;
        }
        for i in self.cx.opens..end {
            let did = matches!(speech.word(i), "got" | "gotten" | "put")
                || speech.word(i) == "get"
                    && i > self.cx.opens
                    && matches!(speech.word(i - 1), "did" | "finally");
            let only_if = (self.cx.opens..i)
                .any(|k| matches!(speech.word(k), "if" | "whether" | "until" | "when" | "once"));
            if !did || only_if || self.cx.denied(&(i..i + 1)) {
                continue;
            }
            let by_them = (self.cx.opens..i).any(|k| {
                matches!(
                    speech.word(k),
                    "they"
                        | "he"
                        | "she"
                        | "somebody"
                        | "someone"
                        | "you"
                        | "finally"
                        | "has"
                        | "have"
                )
            });
            let thing = self
                .things
                .iter()
                .position(|t| t.phrase.start == i + 1 && t.hold == Hold::Free);
            let Some(t) = thing.filter(|_| by_them) else {
                continue;
            };
            let at = self.things[t].tokens.end;
            let ends = at + 1 == end
                || at < end
                    && (speech.tokens[at].stop > Stop::None
                        || matches!(
                            speech.word(at + 1),
                            "now" | "finally" | "and" | "at" | "again" | "too"
                        ));
            if ends
                && matches!(
                    speech.word(at),
                    "on" | "in"
                        | "up"
                        | "back"
                        | "done"
                        | "finished"
                        | "fixed"
                        | "sorted"
                        | "working"
                        | "hung"
                        | "down"
                        | "installed"
                )
                && !self.events.iter().any(|e| {
                    e.tokens.start >= i
                        && matches!(
                            e.saying,
                            Saying::Needed(_) | Saying::Done | Saying::Worked(_)
                        )
                })
            {
                let target = Target::Things(self.joined_after(t));
                self.push(Saying::Done, target, i..at + 1);
                return;
            }
        }
    }

    pub(super) fn questions(&mut self) {
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
            if saying == Saying::Ask && !self.asks(&m)
                || saying == Saying::Doubt && self.counts_only(&m)
            {
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
            // "not sure if that's supposed to be there": what is meant is the very question.
            if saying == Saying::Leave
                && self
                    .cx
                    .cues(CueKind::Doubt)
                    .any(|d| d.tokens.end <= m.tokens.start)
            {
                continue;
            }
            let asked_of = |t: &super::super::mentions::Thing| {
                t.tokens.start >= m.tokens.end
                    && t.phrase.start > 0
                    && matches!(
                        self.cx.speech.word(t.phrase.start - 1),
                        "about"
                            | "whether"
                            | "if"
                            | "what"
                            | "why"
                            | "who"
                            | "how"
                            | "where"
                            | "is"
                            | "owns"
                    )
            };
            let target = match self.subject(&m.tokens) {
                Target::Topic => self
                    .after(&m.tokens, 3, false)
                    .or_else(|| self.things.iter().position(asked_of))
                    .map_or(Target::Topic, |i| {
                        Target::Things(vec![self.things[i].clone()])
                    }),
                t => t,
            };
            self.push(saying, target, m.tokens.clone());
        }
    }

    /// "no shelf either", "one of the two lights": words of doubt that only add or count.
    fn counts_only(&self, m: &Mention) -> bool {
        let speech = self.cx.speech;
        let ends = m.tokens.end >= self.cx.clause.tokens.end
            || speech.tokens[m.tokens.end - 1].stop > Stop::None;
        match speech.words(&m.tokens) {
            "either" => {
                let after = m.tokens.end..(m.tokens.end + 12).min(speech.tokens.len());
                !after.clone().any(|i| speech.word(i) == "or")
            }
            "one of the two" => !ends,
            _ => false,
        }
    }

    /// Whether words of looking and asking ask for it: "take a look" needs a need, a person sent, or an order.
    pub(super) fn asks(&self, m: &Mention) -> bool {
        let words = self.cx.speech.words(&m.tokens);
        let before = |w: &[&str]| {
            m.tokens.start > self.cx.clause.tokens.start
                && w.contains(&self.cx.speech.word(m.tokens.start - 1))
        };
        // "they tell me it catches now" tells; "they haven't run the bead yet" is work not done, "we haven't run it" a test.
        if words.starts_with("tell") && before(&["they", "he", "she", "people"])
            || words.starts_with("have not run") && before(&["they"])
        {
            return false;
        }
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
    pub(super) fn calls(&mut self) {
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
