//! Trade words that a recognizer wrote as other words, by their sound.
//!
//! A stretch is taken for a trade word only where the words around speak for one: it stands where a part or a work would stand,
//! something is wrong or needed there, and the stretch itself means nothing to the lexicon. A mere misspelling of a long word
//! needs no more than that; an everyday word ("crowd") must have a part beside it to which the word meant belongs ("tile").

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Role, Sense, words};

use crate::list::Work;

use super::grammar;
use super::normalize::{Speech, Stop};
use super::scan::Mention;
use super::sounds;

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
/// The fewest letters of a word that is taken for a misspelling without more.
const MISSPELT: usize = 6;

/// A trade word that may be meant.
struct Target {
    code: String,
    mask: u32,
    joined: String,
    kind: Kind,
    entry: u16,
    role: Role,
    /// The groups whose parts stand beside it.
    company: &'static [&'static str],
    weak: bool,
}

/// Families of parts that are spoken of together.
const FAMILIES: [&[&str]; 4] = [
    &[
        "sealant",
        "tile",
        "plumbing",
        "bath-accessory",
        "countertop",
    ],
    &[
        "trim",
        "door",
        "door-hardware",
        "stair",
        "floor",
        "window",
        "wall",
        "cabinet",
        "ceiling",
    ],
    &["siding", "gutter", "roof", "masonry"],
    &["electrical", "lighting", "alarm", "low-voltage"],
];
/// What is filled is spoken of with all that has joints.
const JOINTED: &[&str] = &[
    "sealant",
    "tile",
    "plumbing",
    "bath-accessory",
    "countertop",
    "trim",
    "window",
    "door",
];
/// What no device in a wall does: it tells a "socket" that hangs under the eaves from one that carries power.
const OF_NO_DEVICE: [&str; 5] = ["sag", "rot", "rotten", "peeling", "warped"];

fn company(group: &str) -> &'static [&'static str] {
    if group == "sealant" {
        return JOINTED;
    }
    FAMILIES
        .iter()
        .find(|f| f.contains(&group))
        .copied()
        .unwrap_or(&[])
}

fn mask(code: &str) -> u32 {
    code.bytes().fold(0, |m, b| m | 1 << (b & 31))
}

fn target(
    text: &str,
    kind: Kind,
    entry: u16,
    role: Role,
    group: &str,
    weak: bool,
) -> Option<Target> {
    let text = words::fold(text);
    let code = sounds::code(&text);
    (code.len() >= 2).then(|| Target {
        mask: mask(&code),
        code,
        joined: text.replace(' ', ""),
        kind,
        entry,
        role,
        company: company(group),
        weak,
    })
}

/// The trade words that may be meant: parts and faults by their names, and works whose word names a part as well.
fn targets(lexicon: &Lexicon) -> Vec<Target> {
    let data = lexicon.data();
    let index = |i: usize| u16::try_from(i).unwrap_or(u16::MAX);
    let mut out = Vec::new();
    for (i, e) in data.elements.iter().enumerate() {
        for n in &e.names {
            let group = e.group.as_str();
            out.extend(target(
                n,
                Kind::Element,
                index(i),
                Role::Noun,
                group,
                e.weak,
            ));
        }
    }
    for (i, f) in data.faults.iter().enumerate() {
        let part = f.part.as_deref().and_then(|p| lexicon.element_by_id(p));
        let group = part.map_or("", |e| lexicon.element(e).group.as_str());
        if !group.is_empty() || f.name.len() >= MISSPELT {
            out.extend(target(
                &f.name,
                Kind::Fault,
                index(i),
                Role::Noun,
                group,
                false,
            ));
        }
    }
    for form in &data.forms {
        let work = form
            .senses
            .iter()
            .find(|s| s.kind == Kind::Work && s.role == Role::Base);
        let part = form.senses.iter().find(|s| s.kind == Kind::Element);
        let Some(work) = work else { continue };
        let entry = lexicon.work(work.entry);
        let group = match part {
            Some(p) if entry.class == Some(Work::Seal) => lexicon.element(p.entry).group.as_str(),
            None if form.text == entry.name
                && form.text.contains(' ')
                && entry.class == Some(Work::TouchUp) =>
            {
                "trim"
            }
            _ => continue,
        };
        out.extend(target(
            &form.text,
            Kind::Work,
            work.entry,
            Role::Base,
            group,
            false,
        ));
    }
    out
}

/// Finds what was misheard and puts the words meant among the mentions, their `name` being [`Sense::HEARD`].
pub fn hear(
    mentions: &mut Vec<Mention>,
    cues: &[(CueKind, Mention)],
    speech: &Speech<'_>,
    lexicon: &Lexicon,
) {
    let mut h = Hearing {
        mentions,
        cues,
        speech,
        lexicon,
        targets: None,
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
    for (_, m) in heard {
        if !kept.iter().any(|k| touch(&k.tokens, &m.tokens)) {
            kept.push(m);
        }
    }
    mentions.retain(|m| !kept.iter().any(|k| touch(&k.tokens, &m.tokens)));
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
    speech: &'a Speech<'r>,
    lexicon: &'a Lexicon,
    /// Made only where a stretch asks for it.
    targets: Option<Vec<Target>>,
}

impl Hearing<'_, '_> {
    fn all(&mut self) -> Vec<(f64, Mention)> {
        let n = self.speech.tokens.len();
        let mut out = Vec::new();
        for from in 0..n {
            for len in 1..=WORDS.min(n - from) {
                let at = from..from + len;
                if len > 1 && self.speech.tokens[from + len - 2].stop != Stop::None {
                    break;
                }
                let noun = self.noun_slot(&at);
                if !noun && !self.verb_slot(&at) {
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
        let from = self
            .mentions
            .partition_point(|m| m.tokens.start + REACH < at.start);
        let to = self
            .mentions
            .partition_point(|m| m.tokens.start <= at.end + REACH);
        &self.mentions[from..to.max(from)]
    }

    fn over(&self, at: &Range<usize>) -> impl Iterator<Item = &Mention> {
        // In the order of their first words, and none is longer than this.
        const LONGEST: usize = 24;
        let from = self
            .mentions
            .partition_point(|m| m.tokens.start + LONGEST < at.start);
        let to = self.mentions.partition_point(|m| m.tokens.start <= at.end);
        self.mentions[from..to.max(from)]
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
            return ((device || !knows(self.lexicon, word)) && word.len() >= 3).then_some(known);
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
        if at.start == 0 || self.speech.tokens[at.start - 1].stop >= Stop::Comma {
            ""
        } else {
            self.speech.word(at.start - 1)
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

    /// "the … is", "a … at", "… missing": a part could stand here.
    fn noun_slot(&self, at: &Range<usize>) -> bool {
        let (before, after) = (self.before(at), self.after(at));
        let opens = before.is_empty()
            || matches!(
                before,
                "and" | "but" | "so" | "okay" | "of" | "with" | "is" | "got" | "have"
            )
            || grammar::is_determiner(before)
            || grammar::is_describing(before)
            || grammar::number(before).is_some();
        // "the crowd broke the tile" does something; a part has something.
        let state = self.near(at).iter().any(|m| {
            m.kind == Kind::Fault
                && m.tokens.start == at.end
                && !grammar::is_determiner(self.speech.word(m.tokens.end))
        });
        let closes = after.is_empty()
            || grammar::is_auxiliary(after)
            || matches!(after, "needs" | "need" | "wants" | "not" | "looks" | "has")
            || after != "to"
                && after != "for"
                && (grammar::is_host(after) || grammar::is_beside(after))
            || state;
        opens && closes
    }

    /// "to … the", "… around": a work could stand here.
    fn verb_slot(&self, at: &Range<usize>) -> bool {
        let (before, after) = (self.before(at), self.after(at));
        (before.is_empty()
            || matches!(
                before,
                "and" | "then" | "just" | "please" | "needs" | "need"
            )
            || grammar::leads_to_verb(before) && !grammar::is_pronoun(before))
            && matches!(
                after,
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
        self.near(at).iter().any(wrong) || self.cues.iter().any(needed)
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
        let (mut code, joined) = (sounds::code(spoken), spoken.replace(' ', ""));
        // "an ale pop": the n belongs to the next word.
        if self.before(at) == "an" && joined.starts_with(['a', 'e', 'i', 'o', 'u']) {
            code.insert(0, 'N');
        }
        let own = mask(&code);
        let said_of = matches!(self.before(at), "is" | "'s" | "have" | "got");
        if self.targets.is_none() {
            self.targets = Some(targets(self.lexicon));
        }
        let mut best: Option<(f64, Mention)> = None;
        for t in self.targets.as_deref().unwrap_or_default() {
            // A part needs something said of it; a fault and a work say it themselves.
            if noun != (t.role == Role::Noun)
                || t.kind == Kind::Element && (!evidence || said_of)
                || (t.mask ^ own).count_ones() > 3
                || t.code.len().abs_diff(code.len()) > 1
            {
                continue;
            }
            let sound = sounds::alike(&t.code, &code);
            if sound < SOUND {
                continue;
            }
            let spelt = strsim::normalized_levenshtein(&t.joined, &joined);
            let score = 0.6 * sound + 0.4 * spelt;
            if score < ALIKE || best.as_ref().is_some_and(|(b, _)| *b >= score) {
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
            let fills = t.company.len() == JOINTED.len();
            let beside = || !t.company.is_empty() && self.linked(at, t.company);
            let filler = fills && (same || spelt >= FILLS);
            let meant = match known {
                Known::Nothing if t.role == Role::Base => {
                    (alike || !several && filler)
                        && (self.object(at, t.company) || self.joint_follows(at))
                }
                Known::Nothing | Known::Piece if several && t.kind == Kind::Fault => {
                    alike && beside()
                }
                Known::Nothing if several => alike && (misspelt || beside()),
                Known::Nothing => {
                    noun && misspelt && (split || long || self.among(at, t.company))
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

/// Whether a word is a form of the lexicon by itself.
fn knows(lexicon: &Lexicon, word: &str) -> bool {
    lexicon
        .data()
        .forms
        .binary_search_by(|f| f.text.as_str().cmp(word))
        .is_ok()
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
