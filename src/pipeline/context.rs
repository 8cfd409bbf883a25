//! Stage 5: what the words around a mention make of it: denied, past, needed, asked. Cues reach forwards inside their
//! clause up to a limit, as in the clinical context algorithms since NegEx (Chapman 2001) and ConText (Harkema 2009).

use std::ops::Range;

use crate::lexicon::source::CueKind;

use super::grammar;
use super::normalize::{Speech, Stop};
use super::scan::{Mention, Scan};
use super::segment::Clause;

/// How many words a denial reaches.
const DENIAL_REACH: usize = 6;
/// How many words a need reaches.
const NEED_REACH: usize = 12;

/// One clause with its cues.
pub struct Context<'a, 'r> {
    /// The speech.
    pub speech: &'a Speech<'r>,
    /// The scan.
    pub scan: &'a Scan,
    /// The clause.
    pub clause: &'a Clause,
    /// The first word after what merely opens the thought.
    pub opens: usize,
}

impl<'a, 'r> Context<'a, 'r> {
    /// The context of a clause.
    pub fn new(speech: &'a Speech<'r>, scan: &'a Scan, clause: &'a Clause) -> Self {
        let mut c = Context {
            speech,
            scan,
            clause,
            opens: clause.tokens.start,
        };
        c.opens = c.opening();
        c
    }

    fn opening(&self) -> usize {
        let range = &self.clause.tokens;
        let mut i = range.start;
        while i < range.end {
            let here = self.scan.cues_at(i).iter();
            let here = here.filter(|(_, m)| m.tokens.end <= range.end);
            let cue = [CueKind::Opener, CueKind::Filler, CueKind::Except]
                .into_iter()
                .find_map(|kind| here.clone().find(|(k, _)| *k == kind))
                .map(|(_, m)| m);
            match cue {
                Some(m) if m.tokens.end < range.end => i = m.tokens.end,
                _ if matches!(
                    self.speech.word(i),
                    "and"
                        | "or"
                        | "so"
                        | "because"
                        | "then"
                        | "but"
                        | "yes"
                        | "oh"
                        | "except"
                        | "just"
                        | "properly"
                        | "please"
                        | "carefully"
                        | "simply"
                        | "immediately"
                ) && i + 1 < range.end =>
                {
                    i += 1
                }
                _ => break,
            }
        }
        i
    }

    /// The cues of a kind in the clause.
    pub fn cues(&self, kind: CueKind) -> impl Iterator<Item = &'a Mention> + use<'a, 'r> {
        self.scan
            .cues_within(&self.clause.tokens)
            .filter(move |(k, _)| *k == kind)
            .map(|(_, m)| m)
    }

    /// Whether the clause has a cue of a kind.
    pub fn has(&self, kind: CueKind) -> bool {
        self.cues(kind).next().is_some()
    }

    /// Whether what stands at these words is denied; two denials cancel.
    pub fn denied(&self, at: &Range<usize>) -> bool {
        let mut last_end = 0;
        let mut n = 0;
        for m in self.cues(CueKind::Negation) {
            if m.tokens.start >= at.start
                || m.tokens.end > at.start && m.tokens.start < at.start && m.tokens.len() < 3
            {
                continue;
            }
            if m.tokens.start < last_end {
                continue;
            }
            let gap = at.start.saturating_sub(m.tokens.end)..at.start;
            let gap = m.tokens.end.min(at.start)..gap.end;
            if gap.len() > DENIAL_REACH
                || gap.clone().any(|i| {
                    matches!(
                        self.speech.word(i),
                        "but" | "because" | "so" | "until" | "if"
                    )
                })
            {
                continue;
            }
            // "it's not in, needs fitting": a need ends a denial's reach.
            if self.cues(CueKind::Need).any(|n| {
                n.tokens.start >= m.tokens.end
                    && n.tokens.end <= at.start
                    && n.tokens.len() < 3
                    && !matches!(
                        self.speech.word(n.tokens.start),
                        "get" | "gets" | "want" | "need" | "supposed" | "to" | "got"
                    )
            }) {
                continue;
            }
            last_end = m.tokens.end;
            n += 1;
        }
        n % 2 == 1
    }

    /// Whether what stands at these words is told of an earlier time.
    pub fn past(&self, at: &Range<usize>) -> bool {
        if self.has(CueKind::Still) {
            return false;
        }
        self.cues(CueKind::Past).any(|m| {
            let whole = m.tokens.len() > 1 && self.speech.word(m.tokens.start) != "used"
                || matches!(
                    self.speech.word(m.tokens.start),
                    "remember" | "previously" | "originally" | "earlier"
                );
            let led = m.tokens.end <= at.start;
            let duty = matches!(
                self.speech.word(m.tokens.end),
                "to" | "better" | "meant" | "supposed"
            );
            let now = (m.tokens.end..at.start).any(|i| {
                matches!(
                    self.speech.word(i),
                    "is" | "'s" | "are" | "has" | "have" | "now"
                ) && i > m.tokens.end
            });
            let never = (m.tokens.end..at.start).any(|i| self.speech.word(i) == "never")
                || self.speech.word(at.start) == "never";
            !duty && !now && !never && (led || whole)
        })
    }

    /// Whether what stands at these words is only supposed.
    pub fn supposed(&self, at: &Range<usize>) -> bool {
        self.cues(CueKind::Hypothetical)
            .any(|m| m.tokens.end <= at.start && at.start - m.tokens.end <= 8)
    }

    /// The need that reaches these words, unless it is denied.
    pub fn needed(&self, at: &Range<usize>) -> Option<&'a Mention> {
        self.cues(CueKind::Need)
            .filter(|m| {
                m.tokens.start < at.start
                    && m.tokens.end <= at.end
                    && at.start.saturating_sub(m.tokens.end) <= NEED_REACH
            })
            .last()
    }

    /// Whether the words stand as a predicate: after a form of be or the like, or alone after their subject.
    pub fn predicate(&self, at: &Range<usize>, subject_ends: Option<usize>) -> bool {
        let range = &self.clause.tokens;
        let closed = at.end == range.end
            || self.speech.tokens[at.end - 1].stop > Stop::None
            || matches!(
                self.speech.word(at.end),
                "and"
                    | "or"
                    | "in"
                    | "now"
                    | "too"
                    | "again"
                    | "here"
                    | "there"
                    | "on"
                    | "at"
                    | "as"
                    | "up"
                    | "all"
                    | "to"
                    | "with"
                    | "for"
                    | "today"
                    | "everywhere"
                    | "so"
                    | "by"
                    | "then"
                    | "apart"
                    | "except"
                    | "but"
                    | "this"
                    | "from"
                    | "since"
                    | "throughout"
                    | "enough"
                    | "either"
            );
        let mut i = at.start;
        while i > self.opens
            && matches!(
                self.speech.word(i - 1),
                "really"
                    | "very"
                    | "all"
                    | "nice"
                    | "pretty"
                    | "just"
                    | "looking"
                    | "quite"
                    | "actually"
                    | "perfectly"
                    | "dead"
                    | "still"
                    | "now"
                    | "back"
                    | "so"
                    | "absolutely"
                    | "totally"
                    | "completely"
                    | "both"
                    | "mostly"
                    | "generally"
                    | "otherwise"
                    | "well"
                    | "rather"
                    | "fairly"
                    | "good"
                    | "and"
                    | "also"
                    | "always"
                    | "perfect"
                    | "even"
                    | "too"
                    | "about"
                    | "finally"
                    | "being"
                    | "been"
                    | "a"
                    | "bit"
                    | "much"
                    | "fully"
                    | "nicely"
            )
        {
            i -= 1;
        }
        if i <= self.opens {
            return closed;
        }
        let before = self.speech.word(i - 1);
        let joined = (grammar::is_auxiliary(before) && before != "do" && before != "had")
            || matches!(
                before,
                "looks"
                    | "look"
                    | "looked"
                    | "feels"
                    | "feel"
                    | "seems"
                    | "seem"
                    | "came"
                    | "come"
                    | "comes"
                    | "got"
                    | "get"
                    | "gets"
                    | "runs"
                    | "went"
                    | "out"
                    | "turned"
                    | "sits"
                    | "goes"
                    | "tests"
                    | "tested"
                    | "reads"
                    | "stays"
                    | "opens"
                    | "closes"
                    | "stands"
                    | "up"
                    | "not"
                    | "smells"
                    | "tastes"
                    | "call"
            );
        // "doors all close nicely", "flushes fine": a way of doing, after a verb that no entry holds.
        let manner = matches!(
            self.speech.word(at.end - 1),
            "fine"
                | "nicely"
                | "well"
                | "great"
                | "good"
                | "smooth"
                | "smoothly"
                | "easy"
                | "easily"
                | "properly"
                | "perfect"
                | "perfectly"
                | "beautifully"
                | "freely"
                | "tight"
                | "okay"
        ) && closed
            && subject_ends.is_some_and(|e| {
                e < i
                    && i - e <= 4
                    && (e..i).all(|k| {
                        let w = self.speech.word(k);
                        matches!(w, "all" | "both" | "and" | "really")
                            || !grammar::is_function(w) && !w.ends_with("ing")
                    })
                    && !grammar::is_function(before)
            });
        joined && (closed || at.len() > 1)
            || manner
            || subject_ends == Some(i) && closed
            || self.is_verb(at) && (subject_ends == Some(i) || grammar::is_pronoun(before))
    }

    fn is_verb(&self, at: &Range<usize>) -> bool {
        let w = self.speech.word(at.start);
        w.ends_with('s') && !w.ends_with("ss")
            || matches!(
                w,
                "work" | "run" | "open" | "close" | "drain" | "latch" | "match"
            )
    }
}
