//! What a part will not do: "the blind doesn't come down", "won't go all the way". The verb may be one that no entry holds.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::mentions::Hold;
use super::{Reader, Saying, Target};

/// Verbs that are no doing of a building part, or whose denial is no fault.
const NO_DEED: &[&str] = &[
    "need",
    "want",
    "have",
    "know",
    "think",
    "see",
    "like",
    "mind",
    "matter",
    "care",
    "say",
    "look",
    "get",
    "be",
    "believe",
    "remember",
    "understand",
    "count",
    "bother",
    "worry",
    "find",
    "feel",
    "hear",
    "smell",
    "give",
    "tell",
    "mean",
    "do",
    "seem",
    "require",
    "hurt",
    "exist",
    "show",
    "make",
    "take",
    "leave",
    "want",
    "let",
    "trust",
    "use",
    "even",
    "only",
    "change",
    "include",
    "belong",
    "own",
    "cover",
    "come",
    "go",
    "owe",
    "cost",
    "bear",
    "put",
    "call",
];

/// Moves that count as a doing where more follows or where the part is one that moves.
const MOVES: &[&str] = &["come", "go"];

impl Reader<'_, '_, '_> {
    /// "won't V", "doesn't V", "can't V" of a free part before it, where nothing was read of it so far.
    pub(super) fn inability(&mut self) {
        let speech = self.cx.speech;
        let range = self.cx.clause.tokens.clone();
        if self.cx.clause.question {
            return;
        }
        for i in self.cx.opens..range.end.saturating_sub(2) {
            if speech.word(i + 1) != "not"
                || !matches!(
                    speech.word(i),
                    "do" | "does" | "will" | "can" | "did" | "would" | "could"
                )
            {
                continue;
            }
            let mut at = i + 2;
            while at < range.end
                && matches!(
                    speech.word(at),
                    "really"
                        | "quite"
                        | "even"
                        | "always"
                        | "fully"
                        | "ever"
                        | "properly"
                        | "actually"
                        | "want"
                        | "to"
                        | "all"
                )
            {
                at += 1;
            }
            if at >= range.end {
                continue;
            }
            let verb = speech.word(at);
            let follows = at + 1 < range.end;
            let moves = MOVES.contains(&verb) && follows;
            if grammar::is_function(verb) && !moves
                || NO_DEED.contains(&verb) && !moves
                || verb.ends_with("ing")
                || verb.ends_with("ed")
            {
                continue;
            }
            let Some(s) = self.free_before(i) else {
                continue;
            };
            let thing = &self.things[s];
            let between = thing.tokens.end..i;
            let plain = between.len() <= 2
                && between.clone().all(|k| {
                    matches!(
                        speech.word(k),
                        "still"
                            | "really"
                            | "both"
                            | "all"
                            | "just"
                            | "here"
                            | "also"
                            | "either"
                            | "that"
                            | "it"
                            | "they"
                            | "one"
                    )
                });
            let known = thing.entry.is_some();
            if !plain || !known || thing.hold != Hold::Free {
                continue;
            }
            // What the lexicon reads in the same words goes before.
            let read: Range<usize> = at..(at + 2).min(range.end);
            let fault = self
                .cx
                .scan
                .mentions_near(read.start, read.end)
                .iter()
                .any(|m| {
                    m.kind == Kind::Fault
                        && m.tokens.start < read.end
                        && at < m.tokens.end
                        && (m.role == Role::Lack || !matches!(speech.word(i), "will" | "can"))
                });
            let cue = self
                .cx
                .cues(CueKind::Fine)
                .chain(self.cx.cues(CueKind::Done))
                .any(|m| m.tokens.start <= at && at < m.tokens.end);
            if fault || cue {
                continue;
            }
            let at_words = i..at + 1;
            let told = self.events.iter().any(|e| {
                matches!(e.saying, Saying::Fault(_) | Saying::Absent | Saying::Needed(_))
                    && matches!(&e.target, Target::Things(t) if t.iter().any(|t| t.tokens == self.things[s].tokens))
            });
            if told {
                continue;
            }
            let Some(fault) = self.lexicon.fault_by_id("will-not-do") else {
                return;
            };
            // "won't come out of the wall": the denial is of what it should do.
            self.events.retain(|e| {
                !(matches!(e.saying, Saying::NoFault(_))
                    && e.tokens.start >= at
                    && e.tokens.start <= at + 1)
            });
            let target = Target::Things(self.with_joined(s));
            self.push(Saying::Fault(fault), target, at_words);
            return;
        }
    }
}
