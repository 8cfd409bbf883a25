//! The frame in which a place's name stands: gone to, remembered, or only mentioned.

use std::ops::Range;

use crate::lexicon::Kind;
use crate::lexicon::source::CueKind;

use super::super::grammar;
use super::super::house::Named;
use super::super::normalize::Stop;
use super::super::segment::Joint;
use super::{Frame, Walker};

/// How many words from the start a plan of the walk is told.
const PLAN: usize = 80;
/// How many words a plan runs on.
const PLANNED: usize = 14;
/// A silence that sets words apart, in seconds.
pub(super) const SILENCE: f64 = 0.35;

impl Walker<'_, '_> {
    pub(super) fn frame(&self, c: usize, named: &Named) -> Frame {
        let clause = &self.clauses[c];
        let speech = self.speech;
        let whole = named.whole(speech);
        let kind = named.kind.map(|k| self.lexicon.area(k));
        let declared = self
            .scan
            .units_within(&named.tokens)
            .iter()
            .any(|u| u.tokens == named.tokens);
        let storey = kind.is_some_and(|k| k.level) && named.number.is_some();
        // "105, that's the art room": another name for the room just told by its number.
        let by_number = self.out.arrivals.last().is_some_and(|a| {
            whole.start.saturating_sub(a.token) <= 4
                && self.out.house.places[a.place]
                    .path
                    .last()
                    .is_some_and(|l| l.ends_with(|c: char| c.is_ascii_digit()))
        });
        if by_number
            && named.number.is_none()
            && whole.start >= 2
            && matches!(speech.word(whole.start - 1), "is" | "'s")
            && matches!(speech.word(whole.start - 2), "that" | "this" | "which")
        {
            return Frame::Mentioned;
        }
        let part = kind.is_some_and(|k| k.part) && !declared && !storey;
        let stop = speech.tokens[named.tokens.end - 1].stop;
        let next = named.tokens.end;
        // Without punctuation a thought cut at a room's name has nothing to end it.
        let unmarked = !speech.punctuated && next >= clause.tokens.end;
        let stop = if unmarked && !part { Stop::End } else { stop };
        // "the walk-in one": a part told from others of its kind.
        if matches!(speech.word(next), "one" | "ones") && part {
            return Frame::Mentioned;
        }
        // "kitchen sink", "garage ceiling": the place only tells which part is meant.
        if stop == Stop::None && (!unmarked || part) && self.is_part_name(next, named) {
            return if !part && self.heads_a_line(c, named) {
                Frame::Moved("heading of a line")
            } else {
                Frame::Mentioned
            };
        }
        if whole.start > 0 && speech.word(whole.start - 1) == "or" {
            return Frame::Mentioned;
        }
        // The flat or suite that the walk is of may be named anywhere at its start.
        // "Restrooms are base building, not ours": a place that is passed by.
        if self
            .scan
            .cues_within(&clause.tokens)
            .any(|(k, _)| *k == CueKind::Leave)
            || part
                && (clause.question || speech.tokens[named.tokens.end - 1].stop == Stop::Question)
        {
            return Frame::Mentioned;
        }
        let prepared = whole.start == 0
            || !matches!(
                speech.word(whole.start - 1),
                "like" | "as" | "than" | "above" | "below" | "from" | "by" | "behind" | "near"
            );
        if kind.is_some_and(|k| k.unit)
            && named.number.is_some()
            && prepared
            && (self.out.arrivals.is_empty()
                || whole.start <= self.opening(&clause.tokens)
                    && (stop >= Stop::Comma && stop != Stop::Question
                        || super::heading::begins_anew(speech, &clause.tokens)))
        {
            return Frame::Moved("the unit named");
        }
        if named.own.is_some()
            && named.tokens.len() == 1
            && grammar::number(speech.word(named.tokens.start)).is_some()
        {
            return Frame::Moved("number in a row");
        }
        // "I'm doing one through seven and then the dock": what is going to be walked, in the same breath.
        let planned = (whole.start.saturating_sub(PLANNED)..whole.start)
            .rev()
            .take_while(|i| speech.tokens[*i].stop < Stop::End)
            .any(|i| speech.word(i) == "doing");
        if whole.start < PLAN && planned && !declared {
            return Frame::Mentioned;
        }
        let opens = self.opening(&clause.tokens);
        // "Across the hall, four oh two.", "end of the hall, the suite, four ten.": a number that is a thought by itself.
        let numbered = named.number.is_some()
            && (named.number_only && named.is_code() || kind.is_some_and(|k| k.unit));
        if numbered
            && whole.start <= opens
            && (next >= clause.tokens.end && (unmarked || stop >= Stop::Comma)
                || !speech.punctuated
                    && kind.is_some_and(|k| k.unit)
                    && named.is_code()
                    && !self.tells_of_memory(c))
        {
            return Frame::Moved("number");
        }
        // "So, behind the counter.": the whole of a thought.
        if whole.start == opens + 1
            && matches!(
                speech.word(opens),
                "behind" | "round" | "around" | "inside" | "outside" | "under"
            )
            && next >= clause.tokens.end
            && stop >= Stop::End
            && self.only_places_before(c)
        {
            return Frame::Moved("behind or inside it");
        }
        // "there's a half bath down here"
        let after = (next..(next + 3).min(clause.tokens.end)).any(|i| speech.word(i) == "here");
        if after
            && !part
            && whole.start >= clause.tokens.start + 2
            && speech.word(whole.start - 2) == "there"
            && matches!(speech.word(whole.start - 1), "is" | "'s")
        {
            return Frame::Moved("there is one here");
        }
        let first = whole.start <= opens || named.tokens.start <= opens;
        let sentence_first = first && self.only_places_before(c);
        let led = self.led(c, &whole, &named.tokens);
        let beside = self.beside(&whole, clause.tokens.start);
        let told = self.tells_of_memory(c);
        if let Some(len) = led
            && beside.is_none_or(|b| b <= len)
            && !(told && self.out.house.current_is(named, self.lexicon))
        {
            return if told && !self.says_here(clause) {
                Frame::Recalled
            } else {
                Frame::Moved("arrival cue")
            };
        }
        if (!part || self.only_a_place(&whole, named))
            && !told
            && !clause.question
            && self.ends_its_thought(c, named)
            && self.way_to(c, named).is_some()
        {
            return Frame::Moved("told after the way");
        }
        let holds = kind
            .is_none_or(|k| !k.child && !k.level && !matches!(k.id.as_str(), "counter" | "bar"));
        if sentence_first && part && holds && !told && self.only_where_it_lies(c, named) {
            return Frame::Moved("where it lies");
        }
        let in_place = whole.start > clause.tokens.start
            && matches!(
                speech.word(whole.start - 1),
                "in" | "at" | "on" | "behind" | "inside"
            );
        if beside.is_some() && !in_place {
            return Frame::Mentioned;
        }
        // "kitchen end", "kitchen side": of the place and nothing more.
        let end_of = matches!(
            speech.word(next),
            "end" | "area" | "side" | "bit" | "then" | "now" | "next" | "first" | "again" | "last"
        ) && next + 1 == clause.tokens.end;
        let quick = matches!(
            (speech.word(next), speech.word(next + 1)),
            ("real", "quick") | ("really", "quick") | ("very", "quickly")
        ) && next + 2 == clause.tokens.end;
        let runs_on = !speech.punctuated
            && matches!(
                speech.word(next),
                "so" | "okay" | "oh" | "um" | "wow" | "now" | "alright" | "not"
            );
        let ends = next >= clause.tokens.end || end_of || quick || runs_on;
        if sentence_first
            && ends
            && (!part
                || !speech.punctuated && self.opened_plainly(c, &whole, next)
                || runs_on && kind.is_some_and(|k| k.child)
                || stop >= Stop::End
                || named.number.is_some()
                || kind.is_some_and(|k| k.child)
                    && stop == Stop::Comma
                    && (self.opened_with_then(c)
                        || self.clauses[c].tokens.start == whole.start
                            && matches!(
                                speech.word(next),
                                "they"
                                    | "there"
                                    | "you"
                                    | "we"
                                    | "i"
                                    | "the"
                                    | "in"
                                    | "off"
                                    | "under"
                            ))
                || self.clauses[c].tokens.start == whole.start
                    && stop == Stop::Comma
                    && kind.is_some_and(|k| k.outdoor || k.id == "stairs"))
        {
            return if told {
                Frame::Recalled
            } else {
                Frame::Moved("named alone")
            };
        }
        // "Across from it, Marcus, your office.": a sentence that tells of nothing else ends with the place.
        if speech.punctuated
            && (!part || kind.is_some_and(|k| k.id == "primary-short"))
            && !told
            && clause.joint == Joint::Comma
            && whole.start == clause.tokens.start
            && next >= clause.tokens.end
            && stop >= Stop::End
            && matches!(speech.word(whole.start), "your" | "the" | "our" | "my")
            && self.tells_only_the_place(c)
        {
            return Frame::Moved("last in its sentence");
        }
        // "a ledge, in an operating theatre": of any such place.
        if in_place && matches!(speech.word(whole.start), "a" | "an" | "any" | "every") {
            return Frame::Mentioned;
        }
        if in_place {
            let visited = self.out.house.known(named, self.lexicon);
            if told && visited {
                return Frame::Recalled;
            }
            let at_start = whole.start - 1 <= opens;
            let lead = speech.word(whole.start - 1);
            // "in the kitchen now okay": without stops a small word ends the thought.
            let then = !speech.punctuated
                && at_start
                && !told
                && lead == "in"
                && matches!(
                    speech.word(next),
                    "now" | "okay" | "alright" | "then" | "all"
                )
                && next < clause.tokens.end;
            if then && !part {
                return Frame::Moved("in the place");
            }
            // "And in the big bedroom.", "In the bathroom, okay": the whole of a thought.
            let alone = at_start
                && !told
                && lead == "in"
                && next >= clause.tokens.end
                && (speech.punctuated || unmarked);
            // "on the patio they still haven't …"
            // "right at the top here on the landing", "in this closet here"
            // "the lock on the door in the bathroom", with no place told so far: that is the place spoken of.
            let only_place = self.out.arrivals.is_empty()
                && !at_start
                && matches!(lead, "in" | "at")
                && !kind.is_some_and(|k| k.unit || k.level)
                && named.number.is_none()
                && (!part || kind.is_some_and(|k| k.child));
            if only_place {
                return Frame::Recalled;
            }
            let here = whole.start >= clause.tokens.start + 2
                && speech.word(whole.start - 2) == "here"
                && !told
                || lead == "in"
                    && !told
                    && speech.word(whole.start) == "this"
                    && speech.word(next) == "here";
            if here {
                return Frame::Moved("here");
            }
            let on_it = at_start
                && !told
                && lead == "on"
                && kind.is_some_and(|k| k.outdoor || k.id == "landing");
            if alone && self.sentence_opens_at(c) || on_it {
                return Frame::Moved("in the place");
            }
            if at_start
                && (!part || kind.is_some_and(|k| k.child))
                && speech.word(whole.start - 1) == "in"
            {
                return if visited && !self.out.arrivals.is_empty() {
                    Frame::Recalled
                } else {
                    Frame::Moved("in the place")
                };
            }
            return if visited
                && !part
                && !self.compares(clause, whole.start)
                && speech.word(whole.start - 1) == "in"
            {
                Frame::Recalled
            } else {
                Frame::Mentioned
            };
        }
        let in_here = matches!(speech.word(next), "here")
            || speech.word(next) == "in" && speech.word(next + 1) == "here";
        let placed = in_here && kind.is_some_and(|k| k.numbered)
            || matches!(
                speech.word(next),
                "at" | "on"
                    | "over"
                    | "off"
                    | "through"
                    | "here"
                    | "up"
                    | "out"
                    | "with"
                    | "in"
                    | "they"
            ) && !part;
        // "the landing fine": a verdict of the whole place.
        let judged =
            self.scan.cues_near(next, next).iter().any(|(k, m)| {
                m.tokens.start == next && matches!(k, CueKind::Fine | CueKind::AllGood)
            });
        // "stairs up to the bonus room"
        let flight =
            kind.is_some_and(|k| k.id == "stairs") && matches!(speech.word(next), "up" | "down");
        if flight && sentence_first && !told {
            return Frame::Moved("flight of stairs");
        }
        let verb = placed
            || judged
            || grammar::is_auxiliary(speech.word(next))
            || matches!(
                speech.word(next),
                "looks"
                    | "next"
                    | "now"
                    | "then"
                    | "through"
                    | "here"
                    | "wise"
                    | "first"
                    | "has"
                    | "needs"
                    | "itself"
            );
        if sentence_first
            && (!part
                || self.only_a_place(&whole, named)
                || in_here && kind.is_some_and(|k| k.numbered)
                || matches!(speech.word(next), "next" | "now" | "then" | "first"))
            && (verb || ends)
            && !named.number_only
        {
            return if told {
                Frame::Recalled
            } else {
                Frame::Moved("subject of a sentence")
            };
        }
        if sentence_first && named.number_only && (stop >= Stop::Comma || verb || named.is_code()) {
            return if told {
                Frame::Recalled
            } else {
                Frame::Moved("number")
            };
        }
        Frame::Mentioned
    }

    /// "That's the kitchen done.", "we already did the garage", "skipping the den": the speaker is through with it, or
    /// will not go there.
    pub(super) fn is_behind(&self, c: usize, named: &Named) -> bool {
        let speech = self.speech;
        let (whole, next) = (named.whole(speech), named.tokens.end);
        let done = matches!(
            speech.word(next),
            "done" | "finished" | "sorted" | "covered"
        ) && whole.start >= 2
            && matches!(speech.word(whole.start - 1), "is" | "'s")
            && matches!(speech.word(whole.start - 2), "that" | "this");
        let from = self.clauses[c].tokens.start;
        let left = whole.start > from
            && (matches!(
                speech.word(whole.start - 1),
                "skipping" | "skip" | "skipped" | "leaving"
            ) || whole.start >= from + 2
                && matches!(speech.word(whole.start - 1), "did" | "done" | "do")
                && ((whole.start - 2).saturating_sub(2).max(from)..whole.start - 1).any(|i| {
                    matches!(
                        speech.word(i),
                        "already" | "before" | "have" | "when" | "until"
                    )
                }));
        done || left
    }

    /// Without punctuation a silence sets a room off as well as a stop: "… done. [silence] patio slab's clean".
    fn heads_a_line(&self, c: usize, named: &Named) -> bool {
        let range = &self.clauses[c].tokens;
        let whole = named.whole(self.speech);
        let silence = (range.start..=whole.start).any(|i| self.speech.tokens[i].pause > SILENCE);
        let of_a_part = self
            .scan
            .mentions_near(named.tokens.end, named.tokens.end)
            .iter()
            .any(|m| m.kind == Kind::Element && m.tokens.end > named.tokens.end);
        !self.speech.punctuated
            && whole.start <= self.opening(range)
            && silence
            && of_a_part
            && !self.out.house.current_is(named, self.lexicon)
    }

    /// Without punctuation: "okay deck so …", a part's word between an opening and another.
    pub(super) fn opened_plainly(&self, c: usize, whole: &Range<usize>, next: usize) -> bool {
        let from = self.clauses[c].tokens.start;
        whole.start > from
            && matches!(
                self.speech.word(whole.start - 1),
                "okay" | "alright" | "right" | "now" | "next" | "so"
            )
            && (next >= self.clauses[c].tokens.end
                || matches!(
                    self.speech.word(next),
                    "so" | "okay" | "now" | "um" | "and" | "right"
                )
                || self.speech.tokens.get(next).is_some_and(|t| t.pause > 0.35))
    }

    /// Whether the clause begins its sentence but for opening words.
    pub(super) fn sentence_opens_at(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        c == 0 || self.clauses[c - 1].sentence != sentence || self.only_places_before(c)
    }

    /// "Electric cupboard, in the passage.": where the place just named is; no move of its own.
    pub(super) fn locates(&self, c: usize, named: &Named) -> bool {
        let clause = &self.clauses[c];
        let whole = named.whole(self.speech);
        c > 0
            && self.speech.punctuated
            && clause.joint == Joint::Comma
            && whole.start == clause.tokens.start + 1
            && matches!(
                self.speech.word(clause.tokens.start),
                "in" | "off" | "under" | "by" | "on" | "next"
            )
            && named.tokens.end == clause.tokens.end
            && self.out.arrivals.last().is_some_and(|a| {
                self.clauses[c - 1].tokens.contains(&a.token)
                    && matches!(a.frame, "named alone" | "told after the way")
            })
    }

    /// "the master": a clipped name that no building part shares.
    pub(super) fn only_a_place(&self, whole: &Range<usize>, named: &Named) -> bool {
        matches!(
            self.speech.word(whole.start),
            "the" | "this" | "your" | "our"
        ) && !self
            .scan
            .mentions_near(named.tokens.start, named.tokens.end)
            .iter()
            .any(|m| {
                m.kind != Kind::Area
                    && m.tokens.start < named.tokens.end
                    && named.tokens.start < m.tokens.end
            })
    }
}
