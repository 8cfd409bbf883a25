//! The way told before the place: "across the landing is the den", "next door along, the medicine room", "up to the gallery".

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::house::Named;
use super::super::normalize::Stop;
use super::Walker;

/// How many words the way takes at most.
const WAY: usize = 12;

/// Words with which the way to a place begins.
pub(super) fn sets_off(word: &str) -> bool {
    matches!(
        word,
        "across"
            | "along"
            | "around"
            | "back"
            | "behind"
            | "beside"
            | "beyond"
            | "down"
            | "end"
            | "first"
            | "last"
            | "left"
            | "next"
            | "off"
            | "opposite"
            | "over"
            | "past"
            | "right"
            | "round"
            | "second"
            | "straight"
            | "third"
            | "through"
            | "under"
            | "up"
    )
}

/// Words that tell of the way and are neither places nor parts.
fn is_on_the_way(word: &str) -> bool {
    grammar::is_spot(word)
        || matches!(
            word,
            "door"
                | "doors"
                | "doorway"
                | "far"
                | "way"
                | "steps"
                | "stairs"
                | "stair"
                | "flight"
                | "lift"
                | "elevator"
                | "lawn"
                | "grass"
                | "path"
                | "aisle"
                | "road"
                | "street"
                | "wall"
                | "desk"
                | "counter"
                | "turn"
                | "turning"
                | "little"
                | "long"
                | "short"
                | "outside"
                | "inside"
                | "straight"
                | "immediately"
                | "directly"
                | "further"
                | "again"
                | "then"
                | "first"
                | "second"
                | "third"
                | "last"
                | "we"
                | "i"
                | "you"
        )
}

impl Walker<'_, '_> {
    /// The words from the head of its thought to a name, where they tell nothing but the way there.
    pub(super) fn way_to(&self, c: usize, named: &Named) -> Option<Range<usize>> {
        let speech = self.speech;
        let clause = &self.clauses[c];
        let whole = named.whole(speech);
        let from = if speech.punctuated {
            self.sentence_start(c)
        } else {
            clause.tokens.start
        };
        let mut start = self.opening(&(from..clause.tokens.end));
        // "First door along": what else would open a thought begins the way.
        while start > from && sets_off(speech.word(start - 1)) {
            start -= 1;
        }
        if start >= whole.start || whole.start - start > WAY {
            return None;
        }
        let way = start..whole.start;
        let head = speech.word(start);
        let at_the_end =
            matches!(head, "at" | "on" | "to") && grammar::is_spot(speech.word(start + 2));
        if !sets_off(head) && !at_the_end || !self.only_the_way(&way) {
            return None;
        }
        self.reaches(&way).then_some(way)
    }

    /// Whether nothing is told in these words but how one goes.
    fn only_the_way(&self, way: &Range<usize>) -> bool {
        let speech = self.speech;
        let told = self.scan.within(way).any(|m| {
            matches!(m.kind, Kind::Fault | Kind::Work)
                && !way
                    .clone()
                    .any(|i| i == m.tokens.start && is_on_the_way(speech.word(i)))
        });
        let compared = self.scan.cues_within(way).any(|(k, _)| {
            matches!(
                k,
                CueKind::Negation | CueKind::Past | CueKind::Need | CueKind::Remember
            )
        });
        !told
            && !compared
            && way.clone().all(|i| {
                let w = speech.word(i);
                let after = |words: &[&str]| i > way.start && words.contains(&speech.word(i - 1));
                let back = matches!(
                    w,
                    "it" | "that" | "this" | "them" | "there" | "here" | "yours" | "mine"
                );
                let preposition = [
                    "from", "behind", "off", "beside", "past", "to", "opposite", "of", "by",
                    "over", "up", "in", "through",
                ];
                let place = || {
                    self.scan.mentions_near(i, i).iter().any(|m| {
                        m.tokens.contains(&i)
                            && (m.kind == Kind::Area
                                || m.kind == Kind::Element
                                    && matches!(m.role, Role::Noun | Role::Nouns)
                                    && i >= 2)
                    })
                };
                if back {
                    return after(&preposition)
                        || matches!(w, "here" | "there") && i > way.start
                        || w == "there" && matches!(speech.word(i + 1), "is" | "'s");
                }
                sets_off(w)
                    || is_on_the_way(w)
                    || grammar::is_determiner(w)
                    || grammar::is_host(w)
                    || grammar::is_beside(w)
                        && !matches!(
                            w,
                            "like"
                                | "as"
                                | "than"
                                | "about"
                                | "for"
                                | "without"
                                | "before"
                                | "after"
                        )
                        && (w != "with" || matches!(speech.word(i + 1), "lift" | "elevator"))
                    || matches!(
                        w,
                        "is" | "are"
                            | "'s"
                            | "and"
                            | "now"
                            | "just"
                            | "there"
                            | "go"
                            | "going"
                            | "come"
                            | "coming"
                            | "um"
                            | "uh"
                    )
                    || place()
            })
    }

    /// Whether the last words of the way lead up to a place: a comma, "is", "to the".
    fn reaches(&self, way: &Range<usize>) -> bool {
        let speech = self.speech;
        let last = way.end - 1;
        if speech.tokens[last].stop >= Stop::Comma {
            return true;
        }
        let word = speech.word(last);
        let goes = matches!(
            speech.word(way.start),
            "over" | "across" | "down" | "up" | "along" | "through" | "back" | "round" | "straight"
        );
        matches!(word, "is" | "'s" | "are")
            || matches!(word, "to" | "into")
                && goes
                && last > way.start
                && !matches!(speech.word(last - 1), "next" | "close" | "near" | "due")
    }

    /// Whether a name ends its thought, or is told of: "the den.", "the den, where …", "the den is".
    pub(super) fn ends_its_thought(&self, c: usize, named: &Named) -> bool {
        let next = named.tokens.end;
        let clause = &self.clauses[c];
        let stop = self.speech.tokens[next - 1].stop;
        next >= clause.tokens.end
            && (stop >= Stop::Comma && stop != Stop::Question || !self.speech.punctuated)
            || matches!(
                self.speech.word(next),
                "is" | "'s"
                    | "has"
                    | "where"
                    | "which"
                    | "here"
                    | "now"
                    | "next"
                    | "they"
                    | "there"
            ) && !self.is_part_name(next, named)
    }

    /// "The toilets, across the passage.", "the loo is just opposite the desk": nothing is told of it but where it lies.
    pub(super) fn only_where_it_lies(&self, c: usize, named: &Named) -> bool {
        let speech = self.speech;
        let next = named.tokens.end;
        let mut end = self.clauses[c].tokens.end;
        let apart = next >= end;
        if apart {
            let sentence = self.clauses[c].sentence;
            let Some(k) = self.clauses.get(c + 1).filter(|k| k.sentence == sentence) else {
                return false;
            };
            end = k.tokens.end;
        }
        let mut at = next;
        while at < end && matches!(speech.word(at), "is" | "are" | "'s" | "just" | "right") {
            at += 1;
        }
        let begins = sets_off(speech.word(at))
            || speech.word(at) == "in" && at + 1 < end && sets_off(speech.word(at + 1))
            || matches!(speech.word(at), "at" | "on" | "to")
                && (grammar::is_spot(speech.word(at + 2)) || grammar::is_spot(speech.word(at + 1)));
        at < end
            && end - at <= WAY
            && begins
            && speech.word(end - 1) != "off"
            && (speech.tokens[end - 1].stop >= Stop::End || !speech.punctuated && !apart)
            && self.only_the_way(&(at..end))
    }
}
