//! Trade words that a recognizer wrote as other words, by their sound.
//!
//! A stretch is taken for a trade word only where the words around speak for one: it stands where a part or a work would stand,
//! something is wrong or needed there, and the stretch itself means nothing to the lexicon. A mere misspelling of a long word
//! needs no more than that; an everyday word ("crowd") must have a part beside it to which the word meant belongs ("tile").

use std::collections::HashMap;
use std::ops::Range;
use std::rc::Rc;

use crate::lexicon::heard::{MISSPELT, Target, mask};
use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Role, Sense, sounds};

use super::grammar;
use super::normalize::{Speech, Stop};
use super::scan::Mention;
use super::starts::Starts;

/// The most words that one trade word is heard as.
const WORDS: usize = 3;
/// How far off what is wrong or needed may stand, in words.
const EVIDENCE: usize = 6;
/// How far off a part that the word meant belongs to may stand, in words.
const COMPANY: usize = 14;
/// How alike sound and spelling must be together.
const ALIKE: f64 = 0.58;
/// How alike the sound alone must be.
const SOUND: f64 = 0.74;
/// How alike the sound of several words must be.
const SEVERAL: f64 = 0.84;
/// How alike the spelling of several words must be.
const SPELT: f64 = 0.42;
/// How alike the spelling of what fills a joint must be.
const FILLS: f64 = 0.39;
/// What no device in a wall does: it tells a "socket" that hangs under the eaves from one that carries power.
const OF_NO_DEVICE: [&str; 5] = ["sag", "rot", "rotten", "peeling", "warped"];

/// Finds what was misheard and puts the words meant among the mentions, their `name` being [`Sense::HEARD`].
pub fn hear(
    mentions: &mut Vec<Mention>,
    cues: &[(CueKind, Mention)],
    speech: &Speech<'_>,
    lexicon: &Lexicon,
) {
    let words = speech.tokens.len();
    let mut h = Hearing {
        mention_starts: Starts::of(words, mentions.iter().map(|m| m.tokens.start)),
        cue_starts: Starts::of(words, cues.iter().map(|(_, m)| m.tokens.start)),
        mentions,
        cues,
        longest: cues.iter().map(|(_, m)| m.tokens.len()).max().unwrap_or(0),
        speech,
        lexicon,
        like: HashMap::new(),
    };
    let mut heard = h.all();
    if heard.is_empty() {
        return;
    }
    // The surest first; of those that overlap the rest go.
    heard.sort_by(|a, b| {
        b.0.total_cmp(&a.0)
            .then(a.1.tokens.start.cmp(&b.1.tokens.start))
    });
    let mut kept: Vec<Mention> = Vec::new();
    let mut taken = vec![false; speech.tokens.len()];
    for (_, m) in heard {
        if !taken[m.tokens.clone()].contains(&true) {
            taken[m.tokens.clone()].fill(true);
            kept.push(m);
        }
    }
    mentions.retain(|m| !taken[m.tokens.clone()].contains(&true));
    mentions.extend(kept);
    mentions.sort_by_key(|m| (m.tokens.start, std::cmp::Reverse(m.tokens.end)));
}

fn touch(a: &Range<usize>, b: &Range<usize>) -> bool {
    a.start < b.end && b.start < a.end
}

/// What the lexicon itself makes of a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Known {
    /// Nothing, or a word of it a fault or a work.
    Nothing,
    /// A device in a wall.
    Device,
    /// One of its words is a part.
    Piece,
}

struct Hearing<'a, 'r> {
    mentions: &'a [Mention],
    cues: &'a [(CueKind, Mention)],
    /// Where mentions and cues begin.
    mention_starts: Starts,
    cue_starts: Starts,
    speech: &'a Speech<'r>,
    lexicon: &'a Lexicon,
    /// The words of the longest cue.
    longest: usize,
    /// The trade words that sound like words met before: the same are met again and again.
    like: HashMap<Spoken<'a>, Rc<[Like<'a>]>>,
}

/// Some words, whether an "n" of the article before may be theirs, and whether a noun could stand there.
type Spoken<'a> = (&'a str, bool, bool);

/// A trade word that sounds like what was said.
struct Like<'a> {
    target: &'a Target<'static>,
    sound: f64,
    spelt: f64,
    score: f64,
}

impl<'a> Hearing<'a, '_> {
    fn all(&mut self) -> Vec<(f64, Mention)> {
        let n = self.speech.tokens.len();
        let mut out = Vec::new();
        for from in 0..n {
            let (noun_opens, verb_opens) = self.opens(from);
            if !noun_opens && !verb_opens {
                continue;
            }
            for len in 1..=WORDS.min(n - from) {
                let at = from..from + len;
                if len > 1 && self.speech.tokens[from + len - 2].stop != Stop::None {
                    break;
                }
                let noun = noun_opens && self.noun_closes(&at);
                let verb = || verb_opens && self.verb_closes(&at);
                if !(noun || verb()) {
                    continue;
                }
                let Some(known) = self.strange(&at) else {
                    continue;
                };
                let evidence = self.evidence(&at);
                out.extend(self.best(&at, noun, known, evidence));
            }
        }
        out
    }

    /// The mentions that stand about some words, as far as anything is told of them there.
    fn near(&self, at: &Range<usize>) -> &[Mention] {
        const REACH: usize = 64;
        let words = at.start.saturating_sub(REACH)..at.end + REACH + 1;
        &self.mentions[self.mention_starts.within(words)]
    }

    fn over(&self, at: &Range<usize>) -> impl Iterator<Item = &Mention> {
        // In the order of their first words, and none is longer than this.
        const LONGEST: usize = 24;
        let words = at.start.saturating_sub(LONGEST)..at.end + 1;
        self.mentions[self.mention_starts.within(words)]
            .iter()
            .filter(|m| touch(&m.tokens, at))
    }

    /// What the lexicon has for the words; none where that is what they are.
    fn strange(&self, at: &Range<usize>) -> Option<Known> {
        let words = || at.clone().map(|i| self.speech.word(i));
        if !words().all(|w| w.bytes().all(|b| b.is_ascii_lowercase())) {
            return None;
        }
        if words().all(|w| grammar::is_function(w) || grammar::is_describing(w)) {
            return None;
        }
        // Small words are pieces of a name only where they sound like one: "to chop", "saw fit", "scutch and", "cord around".
        let last = at.end - 1;
        let piece = |i: usize| match self.speech.word(i) {
            "to" | "we" | "saw" => i == at.start,
            "and" | "around" | "out" | "up" => i == last,
            w => {
                !grammar::is_function(w)
                    && !grammar::is_describing(w)
                    && !grammar::is_determiner(w)
                    && !grammar::is_pronoun(w)
                    && !matches!(w, "thing" | "things" | "there" | "one" | "ones" | "all")
            }
        };
        if !at.clone().all(piece) {
            return None;
        }
        if at.len() == 1 {
            let word = self.speech.word(at.start);
            let device = self.over(at).any(|m| {
                m.kind == Kind::Element
                    && self.lexicon.element(m.entry).group == "electrical"
                    && m.tokens == *at
            });
            let known = if device {
                Known::Device
            } else {
                Known::Nothing
            };
            return ((device || !self.lexicon.knows(word)) && word.len() >= 3).then_some(known);
        }
        let length: usize = words().map(str::len).sum();
        // A single word of a part, a fault or a work may be a piece of it ("weak hole"); a place or a longer form is none.
        // "ale pop in the": what only begins at its last word is a chance.
        let chance = |m: &Mention| m.kind == Kind::Work && m.tokens.start > at.start;
        let taken = self.over(at).any(|m| {
            !matches!(m.kind, Kind::Fault | Kind::Work | Kind::Element)
                || !chance(m) && (m.tokens.len() > 1 || m.tokens.start < at.start)
        });
        let part = self.over(at).any(|m| m.kind == Kind::Element);
        let known = if part { Known::Piece } else { Known::Nothing };
        (length >= 5 && !taken).then_some(known)
    }

    fn before(&self, at: &Range<usize>) -> &str {
        self.word_before(at.start)
    }

    /// The word before; empty at a stop.
    fn word_before(&self, first: usize) -> &str {
        if first == 0 || self.speech.tokens[first - 1].stop >= Stop::Comma {
            ""
        } else {
            self.speech.word(first - 1)
        }
    }

    /// The word after; empty at a stop.
    fn after(&self, at: &Range<usize>) -> &str {
        if self.speech.tokens[at.end - 1].stop >= Stop::Comma {
            ""
        } else {
            self.speech.word(at.end)
        }
    }

    /// Whether a part, and whether a work could begin at a word: "the …", "a …"; "to …".
    fn opens(&self, first: usize) -> (bool, bool) {
        let before = self.word_before(first);
        if before.is_empty() {
            return (true, true);
        }
        let noun = matches!(
            before,
            "and" | "but" | "so" | "okay" | "of" | "with" | "is" | "got" | "have"
        ) || grammar::is_determiner(before)
            || grammar::is_describing(before)
            || grammar::number(before).is_some();
        let verb = matches!(
            before,
            "and" | "then" | "just" | "please" | "needs" | "need"
        ) || grammar::leads_to_verb(before) && !grammar::is_pronoun(before);
        (noun, verb)
    }

    /// "… is", "… at", "… missing": a part could end here.
    fn noun_closes(&self, at: &Range<usize>) -> bool {
        let after = self.after(at);
        // "the crowd broke the tile" does something; a part has something.
        let next = self.mention_starts.within(at.end..at.end + 1);
        let state = || {
            self.mentions[next].iter().any(|m| {
                m.kind == Kind::Fault && !grammar::is_determiner(self.speech.word(m.tokens.end))
            })
        };
        after.is_empty()
            || grammar::is_auxiliary(after)
            || matches!(after, "needs" | "need" | "wants" | "not" | "looks" | "has")
            || after != "to"
                && after != "for"
                && (grammar::is_host(after) || grammar::is_beside(after))
            || state()
    }

    /// "… the", "… around": a work could end here.
    fn verb_closes(&self, at: &Range<usize>) -> bool {
        matches!(
            self.after(at),
            "the"
                | "that"
                | "this"
                | "those"
                | "these"
                | "it"
                | "around"
                | "along"
                | "all"
                | "round"
        )
    }

    /// Something is wrong or needed close by, in the same thought.
    fn evidence(&self, at: &Range<usize>) -> bool {
        let near = |r: &Range<usize>| {
            !touch(r, at)
                && if r.start >= at.end {
                    r.start - at.end <= EVIDENCE && self.one_thought(at.end - 1..r.start)
                } else {
                    at.start - r.end <= EVIDENCE && self.one_thought(r.end - 1..at.start)
                }
        };
        let wrong = |m: &Mention| matches!(m.kind, Kind::Fault | Kind::Work) && near(&m.tokens);
        let needed = |(k, m): &(CueKind, Mention)| {
            matches!(k, CueKind::Need | CueKind::Absent) && near(&m.tokens)
        };
        let lowest = at.start.saturating_sub(EVIDENCE + self.longest);
        let words = lowest..at.end + EVIDENCE + 1;
        let mut cues = self.cues[self.cue_starts.within(words)].iter();
        self.near(at).iter().any(wrong) || cues.any(needed)
    }

    fn one_thought(&self, words: Range<usize>) -> bool {
        self.speech.tokens[words].iter().all(|t| t.stop < Stop::End)
    }

    fn best(
        &mut self,
        at: &Range<usize>,
        noun: bool,
        known: Known,
        evidence: bool,
    ) -> Option<(f64, Mention)> {
        let spoken = self.speech.words(at);
        let said_of = matches!(self.before(at), "is" | "'s" | "have" | "got");
        let an = self.before(at) == "an" && spoken.starts_with(['a', 'e', 'i', 'o', 'u']);
        let like = self.like((spoken, an, noun));
        if like.is_empty() {
            return None;
        }
        let (code, joined) = (code_of(spoken, an), spoken.replace(' ', ""));
        let mut best: Option<(f64, Mention)> = None;
        for l in like.iter() {
            let (t, sound, spelt, score) = (l.target, l.sound, l.spelt, l.score);
            // A part needs something said of it; a fault and a work say it themselves.
            if t.kind == Kind::Element && (!evidence || said_of)
                || best.as_ref().is_some_and(|(b, _)| *b >= score)
            {
                continue;
            }
            let off = strsim::levenshtein(&t.joined, &joined);
            let same = sound > 0.999;
            let several = at.len() > 1;
            let most = code.len().max(t.code.len());
            let alike = sound >= SEVERAL && spelt >= SPELT && (same && most > 2 || most > 3);
            let misspelt = !t.weak && same && code.len() >= 3 && off <= 2;
            // "deadfront" is "dead front"; "the trancem is cracked" is spoken of as a part.
            let split = off == 0 && joined.len() >= MISSPELT;
            // "tester": whoever or whatever does a thing is a word of its own.
            let long = joined.len() >= MISSPELT - 1
                && !joined.ends_with("er")
                && if t.kind == Kind::Fault {
                    self.linked(at, &[])
                } else {
                    self.direct(at)
                };
            // Only what fills a joint is known by the parts that meet there; other everyday words stay what they are.
            let fills = t.fills();
            let beside = || !t.company().is_empty() && self.linked(at, t.company());
            let filler = fills && (same || spelt >= FILLS);
            let meant = match known {
                Known::Nothing if t.role == Role::Base => {
                    (alike || !several && filler)
                        && (self.object(at, t.company()) || self.joint_follows(at))
                }
                Known::Nothing | Known::Piece if several && t.kind == Kind::Fault => {
                    alike && beside()
                }
                Known::Nothing if several => alike && (misspelt || beside()),
                Known::Nothing => {
                    noun && misspelt && (split || long || self.among(at, t.company()))
                        || t.weak && off == 1 && sound >= SEVERAL && beside()
                        || filler && beside()
                        || filler && same && self.among(at, &["tile"])
                }
                Known::Device => beside() && self.of_no_device(at),
                Known::Piece => several && same && beside(),
            };
            if meant && (several || known == Known::Device || !piece_of_name(self.lexicon, spoken))
            {
                best = Some((
                    score,
                    Mention {
                        tokens: at.clone(),
                        kind: t.kind,
                        entry: t.entry,
                        role: t.role,
                        name: Sense::HEARD,
                    },
                ));
            }
        }
        best
    }

    /// The trade words that sound like what was said, in the order of the lexicon.
    fn like(&mut self, spoken: Spoken<'a>) -> Rc<[Like<'a>]> {
        let targets = self.lexicon.targets();
        let make = || sounding_like(spoken, targets).into();
        Rc::clone(self.like.entry(spoken).or_insert_with(make))
    }

    fn is_of(&self, m: &Mention, groups: &[&str]) -> bool {
        m.kind == Kind::Element && groups.contains(&self.lexicon.element(m.entry).group.as_str())
    }

    /// A part of these groups (of any, where none is given) follows at once: "… around the tub".
    fn linked(&self, at: &Range<usize>, groups: &[&str]) -> bool {
        self.near(at).iter().any(|m| {
            let gap = at.end..m.tokens.start;
            let joins = |w: &str| grammar::is_host(w) || grammar::is_beside(w);
            (self.is_of(m, groups) || groups.is_empty() && m.kind == Kind::Element)
                && gap.start < gap.end
                && gap.len() <= 5
                && gap.clone().any(|i| joins(self.speech.word(i)))
                && (at.end - 1..m.tokens.start).all(|i| self.speech.tokens[i].stop == Stop::None)
                && !gap
                    .clone()
                    .any(|i| grammar::is_auxiliary(self.speech.word(i)))
        })
    }

    /// What is wrong is said of these words and no others: "the … is cracked", "the … cracked".
    fn direct(&self, at: &Range<usize>) -> bool {
        let said = at.end..at.end + 3;
        grammar::is_determiner(self.before(at))
            && self.near(at).iter().any(|m| {
                m.kind == Kind::Fault
                    && said.contains(&m.tokens.start)
                    && (at.end..m.tokens.start).all(|i| {
                        let w = self.speech.word(i);
                        grammar::is_auxiliary(w) || grammar::is_describing(w)
                    })
            })
    }

    /// A part of these groups is worked on: "… the baseboard".
    fn object(&self, at: &Range<usize>, groups: &[&str]) -> bool {
        self.near(at).iter().any(|m| {
            self.is_of(m, groups) && m.tokens.start >= at.end && m.tokens.start <= at.end + 2
        })
    }

    /// A joint is what is worked on: "… the gap", "… that seam".
    fn joint_follows(&self, at: &Range<usize>) -> bool {
        (at.end..at.end + 4).any(|i| {
            matches!(
                self.speech.word(i),
                "gap" | "gaps" | "joint" | "joints" | "seam" | "seams" | "crack" | "cracks"
            )
        })
    }

    /// A part of these groups is spoken of close by.
    fn among(&self, at: &Range<usize>, groups: &[&str]) -> bool {
        self.near(at).iter().any(|m| {
            self.is_of(m, groups)
                && !touch(&m.tokens, at)
                && m.tokens.start <= at.end + COMPANY
                && at.start <= m.tokens.end + COMPANY
        })
    }

    fn of_no_device(&self, at: &Range<usize>) -> bool {
        self.near(at).iter().any(|m| {
            m.kind == Kind::Fault
                && m.tokens.start >= at.end
                && m.tokens.start - at.end <= EVIDENCE + 3
                && OF_NO_DEVICE.contains(&self.lexicon.fault(m.entry).id.as_str())
        })
    }
}

/// The code of some words' sound; the "n" of "an" may belong to the word after it: "an ale pop".
fn code_of(spoken: &str, an: bool) -> String {
    let mut code = sounds::code(spoken);
    if an {
        code.insert(0, 'N');
    }
    code
}

/// The trade words that sound and are spelt enough like what was said.
fn sounding_like<'a>(
    (spoken, an, noun): Spoken<'_>,
    targets: &'a [Target<'static>],
) -> Vec<Like<'a>> {
    let (code, joined) = (code_of(spoken, an), spoken.replace(' ', ""));
    let own = mask(&code);
    // What several words must be like is asked of all readings of them.
    let least = if spoken.contains(' ') { SEVERAL } else { SOUND };
    let most = |t: &Target<'_>| (1.0 - least) * t.code.len().max(code.len()) as f64;
    let mut out = Vec::new();
    for target in targets {
        if noun != (target.role == Role::Noun)
            || (target.mask ^ own).count_ones() > 3
            || target.code.len().abs_diff(code.len()) > 1
            || sounds::least_cost(target.mask ^ own) > most(target) + 1e-6
        {
            continue;
        }
        let Some(sound) = sounds::alike_enough(&target.code, &code, least) else {
            continue;
        };
        let spelt = strsim::normalized_levenshtein(&target.joined, &joined);
        let score = 0.6 * sound + 0.4 * spelt;
        if score >= ALIKE {
            out.push(Like {
                target,
                sound,
                spelt,
                score,
            });
        }
    }
    out
}

/// Whether a word is a piece of some part's name ("kick" of "toe kick"): it then means that part, and is heard rightly.
fn piece_of_name(lexicon: &Lexicon, word: &str) -> bool {
    let has = |name: &String| name.split([' ', '-']).any(|w| w == word);
    lexicon
        .data()
        .elements
        .iter()
        .any(|e| e.names.iter().any(has))
}

/// The trade's word for an entry that was heard as another.
pub fn meant(lexicon: &Lexicon, kind: Kind, entry: u16) -> &str {
    match kind {
        Kind::Area => &lexicon.area(entry).name,
        Kind::Element => &lexicon.element(entry).names[0],
        Kind::Fault => &lexicon.fault(entry).name,
        Kind::Work => &lexicon.work(entry).name,
        Kind::Trade => &lexicon.trade(entry).name,
        Kind::Cue => &lexicon.cue(entry).id,
    }
}
