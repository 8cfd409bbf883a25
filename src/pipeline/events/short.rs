//! What falls short: fewer than there should be, never put up, no answer when it is tried.

use super::super::grammar;
use super::{Reader, Saying, Target};

/// How many words on either side the number met is looked for.
const NUMBERS_APART: usize = 12;
/// How many words before silence the trial is looked for.
const TRIED: usize = 16;

impl Reader<'_, '_, '_> {
    /// "there should be four hooks and there's three", "shelves, four of them, should be five".
    pub(super) fn too_few(&mut self) {
        let speech = self.cx.speech;
        let clause = self.cx.clause.tokens.clone();
        for i in self.cx.opens..clause.end {
            let ought = matches!(
                (speech.word(i), speech.word(i + 1)),
                ("should", "be" | "have") | ("meant", "to") | ("supposed", "to") | ("paid", "for")
            );
            if !ought {
                continue;
            }
            let at = (i + 2..(i + 4).min(clause.end))
                .find(|k| grammar::number(speech.word(*k)).is_some_and(|n| (2..60).contains(&n)));
            let Some(at) = at else { continue };
            let wanted = grammar::number(speech.word(at)).unwrap_or(0);
            let fewer =
                |k: usize| k != at && grammar::number(speech.word(k)).is_some_and(|n| n < wanted);
            let last = speech.tokens.len();
            let met = (i.saturating_sub(NUMBERS_APART)..i).any(fewer)
                || (at + 1..(at + 1 + NUMBERS_APART).min(last)).any(fewer);
            if !met || self.cx.clause.question {
                continue;
            }
            let told = self
                .things
                .iter()
                .find(|t| t.phrase.start <= at + 1 && t.tokens.end > at)
                .or_else(|| self.things.iter().rev().find(|t| t.tokens.end <= i));
            let target = told.map_or(Target::Topic, |t| Target::Things(vec![t.clone()]));
            self.push(Saying::Absent, target, i..at + 1);
            return;
        }
    }

    /// "they never put the towel bar up", "nobody has hung it yet": the verb and its little word stand around the part.
    pub(super) fn never_put(&mut self) {
        let speech = self.cx.speech;
        for i in 0..self.things.len() {
            let t = self.things[i].clone();
            let verb = t.phrase.start.wrapping_sub(1);
            let put = t.phrase.start > self.cx.clause.tokens.start
                && matches!(
                    speech.word(verb),
                    "put" | "hung" | "got" | "hang" | "set" | "brought" | "stuck" | "screwed"
                );
            let up = matches!(
                speech.word(t.tokens.end),
                "up" | "in" | "on" | "back" | "down"
            );
            let denied =
                (verb.saturating_sub(3).max(self.cx.opens.saturating_sub(3))..verb).any(|k| {
                    matches!(
                        speech.word(k),
                        "never" | "not" | "nobody" | "forgot" | "without"
                    )
                });
            if put
                && up
                && denied
                && !self.cx.clause.question
                && !self.events.iter().any(|e| e.saying == Saying::Absent)
            {
                self.push(
                    Saying::Absent,
                    Target::Things(vec![t.clone()]),
                    verb..t.tokens.end + 1,
                );
            }
        }
    }

    /// "Press the button. Nothing.": what was tried does not answer. Of a part that could ([`super::answers`]).
    pub(super) fn no_answer(&mut self) {
        let speech = self.cx.speech;
        let clause = self.cx.clause.tokens.clone();
        let opens = self.cx.opens.min(clause.end);
        let words = speech.words(&(opens..clause.end));
        let silent = matches!(
            words,
            "nothing"
                | "nothing at all"
                | "nothing there"
                | "dead"
                | "nada"
                | "zilch"
                | "nope nothing"
        );
        if !silent {
            return;
        }
        let tried = (opens.saturating_sub(TRIED)..opens).any(|k| {
            matches!(
                speech.word(k),
                "push"
                    | "press"
                    | "pressed"
                    | "pushed"
                    | "flip"
                    | "flipped"
                    | "switch"
                    | "switched"
                    | "turn"
                    | "hit"
                    | "try"
                    | "tried"
                    | "plug"
                    | "plugged"
                    | "test"
                    | "tested"
                    | "trip"
                    | "tester"
                    | "click"
            )
        });
        if !tried || self.cx.clause.question || clause.end == opens {
            return;
        }
        self.events
            .retain(|e| !matches!(e.saying, Saying::AllGood | Saying::Fine));
        if let Some(fault) = self.lexicon.fault_by_id("not-working") {
            self.push(Saying::Fault(fault), Target::Topic, opens..clause.end);
        }
    }
}
