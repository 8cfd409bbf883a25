//! What the words about a place's name tell: that it is part of another name, that one goes there, that it is only remembered.

use std::ops::Range;

use crate::lexicon::Kind;
use crate::lexicon::source::CueKind;

use super::super::grammar;
use super::super::house::Named;
use super::super::scan::Mention;
use super::super::segment::Clause;
use super::Walker;

impl Walker<'_, '_> {
    /// Whether what follows a place's name makes it the name of a part: an element, or a noun that no verb follows.
    pub(super) fn is_part_name(&self, next: usize, named: &Named) -> bool {
        // "the kitchen firm": people.
        if matches!(
            self.speech.word(next),
            "firm"
                | "people"
                | "company"
                | "guys"
                | "guy"
                | "fitter"
                | "fitters"
                | "lads"
                | "crew"
                | "team"
                | "man"
                | "fella"
                | "contractor"
                | "supplier"
                | "installer"
                | "installers"
                | "lady"
        ) {
            return true;
        }
        let range = next..(next + 4).min(self.speech.tokens.len());
        let part = self
            .scan
            .within(&range)
            .any(|m| m.kind == Kind::Element && m.tokens.start == next);
        let inside = self
            .scan
            .mentions_near(named.tokens.start, named.tokens.end)
            .iter()
            .any(|m| {
                m.kind == Kind::Element
                    && m.tokens.start <= named.tokens.start
                    && m.tokens.end > named.tokens.end
            });
        part || inside
    }

    /// The length of the arrival cue that leads up to a place's name, if one does.
    pub(super) fn led(&self, c: usize, whole: &Range<usize>, name: &Range<usize>) -> Option<usize> {
        let from = whole.start.saturating_sub(8)..name.start;
        self.scan
            .cues_near(from.start, name.start)
            .iter()
            .filter(|(k, m)| {
                *k == CueKind::Arrive
                    && self.speaker_moves(c, m)
                    && !(self.speech.word(m.tokens.start) == "that" && self.after_question(c))
                    && m.tokens.start >= from.start
                    && m.tokens.end >= whole.start
                    && m.tokens.end <= name.start
            })
            .map(|(_, m)| {
                m.tokens.len() - (m.tokens.end - whole.start.min(m.tokens.end)).min(m.tokens.len())
            })
            .max()
    }

    /// "What's above me? That's the kitchen.": an answer moves nobody.
    pub(super) fn after_question(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        self.clauses[..c]
            .iter()
            .rev()
            .find(|k| k.sentence != sentence)
            .is_some_and(|k| k.question)
    }

    /// Whether a move told here is the speaker's own: nothing else stands before it as a subject or a condition.
    pub(super) fn speaker_moves(&self, c: usize, m: &Mention) -> bool {
        let opens = self.opening(&self.clauses[c].tokens).min(m.tokens.start);
        // "it backs | onto the kitchen": cut before the way where there are no stops.
        let at = m.tokens.start;
        let thing = at >= 2
            && at == self.clauses[c].tokens.start
            && !self.speech.punctuated
            && self.speech.tokens[at].pause <= 0.0
            && matches!(
                self.speech.word(at - 2),
                "it" | "he" | "she" | "that" | "which" | "who" | "door" | "window"
            )
            && self.speech.word(at - 1).len() > 3
            && self.speech.word(at - 1).ends_with('s');
        if thing {
            return false;
        }
        (opens..m.tokens.start).all(|i| {
            let w = self.speech.word(i);
            let other = matches!(
                w,
                "it" | "they"
                    | "he"
                    | "she"
                    | "somebody"
                    | "someone"
                    | "nobody"
                    | "who"
                    | "which"
                    | "before"
                    | "when"
                    | "if"
                    | "until"
                    | "once"
                    | "after"
                    | "where"
                    | "whoever"
                    | "anybody"
                    | "not"
                    | "like"
                    | "same"
                    | "as"
                    | "than"
            );
            let thing = matches!(w, "that" | "this" | "which")
                && matches!(
                    self.speech.word(m.tokens.start),
                    "going" | "goes" | "go" | "coming" | "comes"
                );
            let own_if = w == "if" && matches!(self.speech.word(i + 1), "i" | "we");
            let place = self.named_from(i).any(|n| n.contains(&i));
            (!other || own_if)
                && !thing
                && (place
                    || grammar::is_function(w)
                    || w.ends_with("ing")
                    || matches!(
                        w,
                        "way"
                            | "cut"
                            | "nip"
                            | "pop"
                            | "duck"
                            | "slip"
                            | "step"
                            | "swing"
                            | "walk"
                            | "carry"
                            | "jump"
                            | "hop"
                            | "turn"
                            | "squeeze"
                            | "bit"
                            | "part"
                            | "door"
                            | "side"
                            | "end"
                            | "front"
                            | "back"
                            | "left"
                            | "right"
                    ))
        })
    }

    /// The length of the words directly before a name that only mention it.
    pub(super) fn beside(&self, whole: &Range<usize>, from: usize) -> Option<usize> {
        self.scan
            .cues_near(whole.start, whole.start)
            .iter()
            .filter(|(k, m)| {
                *k == CueKind::Beside && m.tokens.end == whole.start && m.tokens.start >= from
            })
            .map(|(_, m)| m.tokens.len())
            .max()
    }

    pub(super) fn compares(&self, clause: &Clause, at: usize) -> bool {
        (clause.tokens.start..at).any(|i| {
            matches!(
                self.speech.word(i),
                "same" | "like" | "as" | "than" | "similar" | "unlike" | "match" | "matches"
            )
        })
    }

    pub(super) fn says_here(&self, clause: &Clause) -> bool {
        (clause.tokens.start..clause.tokens.end)
            .any(|i| self.speech.word(i) == "i" && self.speech.word(i + 1) == "am")
    }

    /// The words of a sentence tell of something remembered.
    pub(super) fn tells_of_memory(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        let mut first = self.clauses[..c]
            .iter()
            .rposition(|k| k.sentence != sentence)
            .map_or(0, |i| i + 1);
        let mut last = self.clauses[c..]
            .iter()
            .position(|k| k.sentence != sentence)
            .map_or(self.clauses.len(), |i| c + i);
        if !self.speech.punctuated {
            // Without stops a sentence runs on and on: only the clauses beside this one tell of it.
            first = first.max(c.saturating_sub(1));
            last = last.min(c + 2);
        }
        let range = self.clauses[first].tokens.start..self.clauses[last - 1].tokens.end;
        let start = range.start;
        let oh = self.speech.word(start) == "oh"
            || self.speech.word(start) == "and" && self.speech.word(start + 1) == "oh";
        let before = if start > 0 {
            self.speech.word(start - 1)
        } else {
            ""
        };
        let oh = oh
            || self.speech.punctuated && before == "oh"
            || before == "miss"
            || before == "forget";
        oh || self
            .scan
            .cues_within(&range)
            .any(|(k, m)| *k == CueKind::Remember && m.tokens.len() > 1 && self.is_strong_memory(m))
    }

    pub(super) fn is_strong_memory(&self, m: &Mention) -> bool {
        let words = self.speech.words(&m.tokens);
        [
            "forg", "meant", "said", "say", "mention", "miss", "past", "more", "while", "add",
            "put down",
        ]
        .iter()
        .any(|w| words.contains(w))
    }

    /// The first word of a clause's sentence.
    pub(super) fn sentence_start(&self, c: usize) -> usize {
        let sentence = self.clauses[c].sentence;
        self.clauses[..=c]
            .iter()
            .rev()
            .take_while(|k| k.sentence == sentence)
            .last()
            .map_or(0, |k| k.tokens.start)
    }

    /// "Then, the closet, …": the sentence goes on to the next place.
    pub(super) fn opened_with_then(&self, c: usize) -> bool {
        let start = self.sentence_start(c);
        (start..self.clauses[c].tokens.end.min(start + 3))
            .any(|i| matches!(self.speech.word(i), "then" | "now" | "next" | "and"))
    }

    /// Whether a sentence names no part, no fault and no work: it only leads up to a place.
    pub(super) fn tells_only_the_place(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        self.clauses[..c]
            .iter()
            .rev()
            .take_while(|k| k.sentence == sentence)
            .all(|k| {
                k.tokens.len() <= 6
                    && !k.question
                    && !self.scan.within(&k.tokens).any(|m| {
                        matches!(
                            m.kind,
                            Kind::Element | Kind::Fault | Kind::Work | Kind::Area
                        )
                    })
                    && !self
                        .scan
                        .cues_within(&k.tokens)
                        .any(|(k, _)| *k == CueKind::Negation)
            })
    }

    /// Whether the clauses before this one in its sentence hold nothing but openers and places.
    pub(super) fn only_places_before(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        let before = || {
            self.clauses[..c]
                .iter()
                .rev()
                .take_while(|k| k.sentence == sentence)
        };
        if before().any(|k| {
            self.out
                .arrivals
                .last()
                .is_some_and(|a| k.tokens.contains(&a.token))
        }) {
            return true;
        }
        before().all(|k| {
            let rest = self.opening(&k.tokens);
            let gone = |i: usize| {
                self.named_from(i).any(|n| n.contains(&i))
                    || grammar::is_determiner(self.speech.word(i))
            };
            (rest..k.tokens.end).all(gone)
        })
    }
}
