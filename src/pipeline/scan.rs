//! One pass of the automaton over the folded text, and what each hit may mean where it stands.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Role};

use super::grammar;
use super::misheard;
use super::normalize::{Speech, Stop};
use super::starts::Starts;

/// A lexicon form found in the speech.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mention {
    /// The words, by their place in [`Speech::tokens`].
    pub tokens: Range<usize>,
    /// The kind of entry.
    pub kind: Kind,
    /// Which entry.
    pub entry: u16,
    /// How the form is used.
    pub role: Role,
    /// For elements: which of the entry's names was spoken.
    pub name: u8,
}

/// All that was found, in the order said.
#[derive(Debug, Default)]
pub struct Scan {
    /// Places, parts, faults, works and trades; where they overlap, the longest.
    pub mentions: Vec<Mention>,
    /// Cues with their kind; of each kind the longest.
    pub cues: Vec<(CueKind, Mention)>,
    /// Names of places, with article, order and number; true where the word names a building part as well.
    pub rooms: Vec<(Range<usize>, bool)>,
    /// Units named by number alone, where the speaker said at the head of the walk which ones are walked.
    pub units: Vec<Unit>,
    /// The words of the longest mention or cue: how far back one may begin that reaches a word.
    longest: usize,
    /// Where mentions and cues begin.
    mention_starts: Starts,
    cue_starts: Starts,
    /// The numbers of `units` in the order of their words.
    units_in_order: Vec<usize>,
}

/// A unit by its number, as spoken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unit {
    /// The words of the number.
    pub tokens: Range<usize>,
    /// The number in figures.
    pub number: String,
    /// What the speaker called such units, in the singular ("lot"); empty where only numbers were said.
    pub word: String,
}

impl Scan {
    /// The mentions that touch the words from `first` to `last`, or end or begin beside them, in order: all that can be
    /// asked of a place in the speech, found without a look at the rest of it.
    pub fn mentions_near(&self, first: usize, last: usize) -> &[Mention] {
        let lowest = first.saturating_sub(self.longest);
        &self.mentions[self.mention_starts.within(lowest..last + 1)]
    }

    /// The units named by number in a stretch of words, in the order of [`Scan::units`].
    pub fn units_within(&self, range: &Range<usize>) -> Vec<&Unit> {
        let of = |i: &usize| &self.units[*i].tokens;
        let from = self
            .units_in_order
            .partition_point(|i| of(i).start < range.start);
        let mut found: Vec<usize> = self.units_in_order[from..]
            .iter()
            .take_while(|i| of(i).start < range.end)
            .filter(|i| of(i).end <= range.end)
            .copied()
            .collect();
        found.sort_unstable();
        found.into_iter().map(|i| &self.units[i]).collect()
    }

    /// The same for cues.
    pub fn cues_near(&self, first: usize, last: usize) -> &[(CueKind, Mention)] {
        let lowest = first.saturating_sub(self.longest);
        &self.cues[self.cue_starts.within(lowest..last + 1)]
    }

    /// The mentions that lie in a stretch of words.
    pub fn within<'s>(&'s self, range: &'s Range<usize>) -> impl Iterator<Item = &'s Mention> + 's {
        self.mentions[self.mention_starts.within(range.clone())]
            .iter()
            .filter(|m| m.tokens.end <= range.end)
    }

    /// The cues that begin at a word.
    pub fn cues_at(&self, word: usize) -> &[(CueKind, Mention)] {
        &self.cues[self.cue_starts.within(word..word + 1)]
    }

    /// The cues that lie in a stretch of words.
    pub fn cues_within<'s>(
        &'s self,
        range: &'s Range<usize>,
    ) -> impl Iterator<Item = &'s (CueKind, Mention)> + 's {
        self.cues[self.cue_starts.within(range.clone())]
            .iter()
            .filter(|(_, m)| m.tokens.end <= range.end)
    }
}

/// The longest silence inside a form, in seconds.
const FORM_PAUSE: f64 = 0.7;

/// Finds every form of the lexicon in the speech.
pub fn scan(speech: &Speech<'_>, lexicon: &Lexicon) -> Scan {
    let mut content = Vec::new();
    let mut cues = Vec::new();
    let mut last = 0;
    for hit in lexicon.hits(&speech.folded) {
        // Hits come in the order of their ends.
        while speech.tokens[last].folded.end < hit.end {
            last += 1;
        }
        let mut first = last;
        while speech.tokens[first].folded.start > hit.start {
            first -= 1;
        }
        let tokens = first..last + 1;
        // A sentence's end inside a form means that two thoughts only look like one.
        if speech.tokens[tokens.start..tokens.end - 1]
            .iter()
            .any(|t| t.stop >= Stop::End)
        {
            continue;
        }
        // Without punctuation a silence inside a form means the same.
        if !speech.punctuated
            && tokens
                .clone()
                .skip(1)
                .any(|i| speech.tokens[i].pause > FORM_PAUSE)
        {
            continue;
        }
        let split = speech.tokens[tokens.start..tokens.end - 1]
            .iter()
            .any(|t| t.stop == Stop::Comma);
        for s in lexicon.senses(hit.form) {
            if split && s.kind != Kind::Cue {
                continue;
            }
            let m = Mention {
                tokens: tokens.clone(),
                kind: s.kind,
                entry: s.entry,
                role: s.role,
                name: s.name,
            };
            if s.kind == Kind::Cue {
                cues.push((lexicon.cue(s.entry).kind, m))
            } else {
                content.push(m)
            }
        }
    }
    // "hang on", "good luck": what lies inside such words is none of the trade's.
    let idle: Spans = cues
        .iter()
        .filter(|(k, _)| *k == CueKind::Idle)
        .map(|(_, m)| m.tokens.clone())
        .collect();
    // "dead flat", "like new": words of praise hold no fault, "straightened out" no new one.
    let praise: Spans = cues
        .iter()
        .filter(|(k, _)| matches!(k, CueKind::Fine | CueKind::NoMore))
        .map(|(_, m)| m.tokens.clone())
        .collect();
    content.retain(|m| {
        m.kind != Kind::Fault
            || m.role == Role::Lack
            || !praise.about(&m.tokens).iter().any(|i| {
                i.start <= m.tokens.start && m.tokens.end <= i.end && i.len() > m.tokens.len()
            })
    });
    content.retain(|m| {
        !idle
            .about(&m.tokens)
            .iter()
            .any(|i| i.start <= m.tokens.start && m.tokens.end <= i.end && i.len() > m.tokens.len())
    });
    // "sort of", "you know" hold no work and no part.
    let filler: Spans = cues
        .iter()
        .filter(|(k, m)| *k == CueKind::Filler && m.tokens.len() > 1)
        .map(|(_, m)| m.tokens.clone())
        .collect();
    content.retain(|m| {
        !filler
            .about(&m.tokens)
            .iter()
            .any(|i| i.start <= m.tokens.start && m.tokens.end <= i.end)
    });
    // "the button sticks down": a thing does no work, it has a fault.
    let parts: BTreeSet<usize> = content
        .iter()
        .filter(|m| m.kind == Kind::Element)
        .map(|m| m.tokens.end)
        .collect();
    content.retain(|m| {
        !(m.kind == Kind::Work && m.role == Role::Third && parts.contains(&m.tokens.start))
    });
    let longest_hit = content.iter().map(|m| m.tokens.len()).max().unwrap_or(0);
    // "paint on the sprinkler" names its part inside: the part stays beside the fault.
    let inner: Vec<Mention> = content
        .iter()
        .filter(|m| m.kind == Kind::Element)
        .filter(|m| {
            let told = m.tokens.start > 0
                && matches!(
                    speech.word(m.tokens.start - 1),
                    "the" | "this" | "that" | "my" | "your"
                );
            // Hits come in the order of their ends.
            let from = content.partition_point(|f| f.tokens.end < m.tokens.end);
            let to = content.partition_point(|f| f.tokens.end < m.tokens.end + longest_hit);
            content[from..to].iter().any(|f| {
                let inside =
                    f.tokens.start + 1 < m.tokens.start && f.tokens.end >= m.tokens.end && told;
                // "clip is broken", "window lock does not line up": the phrase begins with its part.
                let leads = f.tokens.start >= m.tokens.start
                    && f.tokens.start < m.tokens.end
                    && f.tokens.end > m.tokens.end + 1;
                f.kind == Kind::Fault && f.tokens.len() >= 3 && (inside || leads)
            })
        })
        .cloned()
        .collect();
    let told = super::described::described(speech, &content, lexicon);
    content.extend(told);
    let mut content = longest(content, |m| m.tokens.clone());
    let settled = content.len();
    for m in longest(inner, |m| m.tokens.clone()) {
        // What is settled stands in order and overlaps nothing but its equals.
        let lowest = m.tokens.start.saturating_sub(longest_hit);
        let from = content[..settled].partition_point(|o| o.tokens.start < lowest);
        let to = content[..settled].partition_point(|o| o.tokens.start < m.tokens.end);
        let near = from..to.max(from);
        let over = |o: &Mention| {
            o.kind == Kind::Element
                && o.tokens.start < m.tokens.end
                && m.tokens.start < o.tokens.end
        };
        let added = content.len() > settled && content.last().is_some_and(over);
        if !added && !content[near.clone()].iter().any(over) {
            // What is left of the phrase is said of the part that it began with.
            for f in content[near].iter_mut().filter(|f| f.kind == Kind::Fault) {
                if f.tokens.start >= m.tokens.start
                    && f.tokens.start < m.tokens.end
                    && f.tokens.end > m.tokens.end
                    && (grammar::is_auxiliary(speech.word(m.tokens.end))
                        || matches!(speech.word(m.tokens.end), "not" | "'s"))
                {
                    f.tokens.start = m.tokens.end;
                }
            }
            content.push(m);
        }
    }
    content.sort_by_key(|m| (m.tokens.start, std::cmp::Reverse(m.tokens.end)));
    let mut kept: Vec<Mention> = content.into_iter().filter(|m| fits(m, speech)).collect();
    settle(&mut kept, speech);
    let cues = settle_cues(cues);
    misheard::hear(&mut kept, &cues, speech, lexicon);
    let mut rooms = rooms(&kept, speech, lexicon);
    let units = declared_units(speech, &kept, lexicon);
    rooms.extend(units.iter().map(|u| (u.tokens.clone(), false)));
    rooms.sort_by_key(|(r, _)| (r.start, r.end));
    let mut units_in_order: Vec<usize> = (0..units.len()).collect();
    units_in_order.sort_by_key(|i| units[*i].tokens.start);
    let longest = kept
        .iter()
        .chain(cues.iter().map(|(_, m)| m))
        .map(|m| m.tokens.len())
        .max()
        .unwrap_or(0);
    let words = speech.tokens.len();
    Scan {
        mention_starts: Starts::of(words, kept.iter().map(|m| m.tokens.start)),
        cue_starts: Starts::of(words, cues.iter().map(|(_, m)| m.tokens.start)),
        mentions: kept,
        cues,
        rooms,
        units,
        longest,
        units_in_order,
    }
}

/// How many words from the start a list of what is walked may stand.
const HEAD: usize = 90;

/// The number that begins at a word, in one or two words: "twelve", "twenty one".
fn unit_number(speech: &Speech<'_>, at: usize) -> Option<(u32, usize)> {
    let n = grammar::number(speech.word(at)).filter(|n| (2..1000).contains(n))?;
    let more = grammar::number(speech.word(at + 1)).filter(|m| *m < 10);
    match more {
        Some(m) if n >= 20 && n % 10 == 0 && n < 100 => Some((n + m, 2)),
        _ => Some((n, 1)),
    }
}

/// Rooms by three or four figures ("103"), where the speaker has said "room 101" or gives several such numbers.
fn codes(speech: &Speech<'_>, mentions: &[Mention]) -> Vec<Unit> {
    let code = |i: usize| {
        let w = speech.word(i);
        (3..=4).contains(&w.len()) && w.bytes().all(|b| b.is_ascii_digit()) && !w.ends_with("00")
    };
    let all: Vec<usize> = (0..speech.tokens.len()).filter(|i| code(*i)).collect();
    let named = mentions
        .iter()
        .any(|m| m.kind == Kind::Area && code(m.tokens.end));
    if speech.punctuated || all.len() < if named { 3 } else { 4 } {
        return Vec::new();
    }
    let areas: BTreeSet<usize> = mentions
        .iter()
        .filter(|m| m.kind == Kind::Area)
        .map(|m| m.tokens.end)
        .collect();
    all.into_iter()
        .filter(|i| {
            let before = if *i > 0 { speech.word(i - 1) } else { "" };
            !areas.contains(i)
                && !matches!(
                    before,
                    "about" | "in" | "at" | "like" | "from" | "as" | "number" | "of" | "by"
                )
                && !matches!(
                    speech.word(i + 1),
                    "inches" | "feet" | "degrees" | "percent" | "dollars"
                )
        })
        .map(|i| Unit {
            tokens: i..i + 1,
            number: speech.word(i).to_string(),
            word: String::new(),
        })
        .collect()
}

/// "I'm doing twelve, fourteen and fifteen": numbers listed at the head of a walk are units, and so is each of them later
/// on where it stands as a name: at the head of a thought, or after "in" or "back in".
fn declared_units(speech: &Speech<'_>, mentions: &[Mention], lexicon: &Lexicon) -> Vec<Unit> {
    let n = speech.tokens.len();
    let mut known: Vec<u32> = Vec::new();
    let mut word = String::new();
    let mut at = 0;
    while at < n.min(HEAD) {
        let mut list = Vec::new();
        let mut i = at;
        while i < n && (i == at || speech.tokens[i - 1].stop < Stop::End) {
            if let Some((number, used)) = unit_number(speech, i) {
                list.push(number);
                i += used;
                // "one through seven"
                if matches!(speech.word(i), "through" | "thru" | "to")
                    && let Some((last, more)) = unit_number(speech, i + 1)
                    && last > number
                    && last - number < 40
                {
                    list.extend(number + 1..=last);
                    i += 1 + more;
                }
            } else if list.is_empty()
                && speech.word(i) == "one"
                && matches!(speech.word(i + 1), "through" | "thru" | "to")
            {
                list.push(1);
                i += 1;
                if let Some((last, more)) = unit_number(speech, i + 1)
                    && last < 40
                {
                    list.extend(2..=last);
                    i += 1 + more;
                }
            } else if !list.is_empty() && matches!(speech.word(i), "and" | "or") {
                i += 1;
            } else {
                break;
            }
        }
        let led = (at.saturating_sub(4)..at).any(|k| {
            matches!(
                speech.word(k),
                "doing"
                    | "units"
                    | "apartments"
                    | "flats"
                    | "suites"
                    | "houses"
                    | "plots"
                    | "lots"
                    | "walking"
                    | "rooms"
                    | "bays"
                    | "cabins"
                    | "chalets"
                    | "cottages"
                    | "villas"
                    | "blocks"
            )
        });
        let called = (at.saturating_sub(4)..at)
            .rev()
            .map(|k| speech.word(k))
            .find(|w| w.ends_with('s') && w.len() > 3);
        let counted = mentions
            .iter()
            .any(|m| m.tokens.start == i && m.kind == Kind::Element);
        let rising = list.windows(2).all(|w| w[0] < w[1]);
        if list.len() >= 2 && led && !counted && rising {
            known.extend(&list);
            if let Some(w) = called {
                word = w.trim_end_matches('s').to_string();
            }
        }
        at = i.max(at + 1);
    }
    let mut out = codes(speech, mentions);
    if known.is_empty() {
        return out;
    }
    // "cabin one": what such units are called, where the list did not say.
    let small = known.iter().any(|n| *n < 10);
    let unit_word = |w: &str| {
        lexicon
            .area_by_form(w)
            .is_some_and(|k| lexicon.area(k).unit)
    };
    if word.is_empty() || !unit_word(&word) {
        let called = mentions.iter().find(|m| {
            m.kind == Kind::Area
                && grammar::number(speech.word(m.tokens.end)).is_some()
                && unit_word(speech.words(&m.tokens))
        });
        word = called.map_or(String::new(), |m| speech.words(&m.tokens).to_string());
    }
    let mut areas: Vec<usize> = mentions
        .iter()
        .filter(|m| m.kind == Kind::Area)
        .map(|m| m.tokens.end)
        .collect();
    areas.sort_unstable();
    let after_area = |i: usize| areas.binary_search(&i).is_ok();
    let mut last = known.iter().min().map_or(0, |n| n - 1);
    // Where the number before this one ended.
    let mut number_end = 0;
    let mut i = 0;
    while i < n {
        let Some((number, used)) = unit_number(speech, i) else {
            i += 1;
            continue;
        };
        let end = i + used;
        let goes_on = |k: usize| speech.tokens[k].stop < Stop::End;
        let earlier = std::mem::replace(&mut number_end, end);
        let listed = earlier > 0 && earlier == i && goes_on(i - 1)
            || goes_on(end - 1) && unit_number(speech, end).is_some()
            || i >= 2 && earlier == i - 1 && matches!(speech.word(i - 1), "and" | "or");
        let counts = mentions[mentions.partition_point(|m| m.tokens.start < end)..]
            .iter()
            .take_while(|m| m.tokens.start == end)
            .any(|m| m.tokens.start == end && m.kind == Kind::Element && m.role == Role::Nouns)
            || matches!(
                speech.word(end),
                "inches"
                    | "inch"
                    | "feet"
                    | "foot"
                    | "percent"
                    | "degrees"
                    | "hundred"
                    | "years"
                    | "days"
                    | "weeks"
                    | "or"
                    | "of"
                    | "minutes"
                    | "hours"
                    | "thousand"
                    | "times"
                    | "little"
                    | "more"
                    | "screws"
                    | "dollars"
                    | "bucks"
                    | "to"
            );
        let about = i > 0
            && matches!(
                speech.word(i - 1),
                "about"
                    | "like"
                    | "says"
                    | "at"
                    | "to"
                    | "the"
                    | "a"
                    | "number"
                    | "only"
                    | "got"
                    | "have"
                    | "from"
                    | "of"
                    | "for"
            );
        // Small numbers are said of many things: only the next in order, or where it is told as a place.
        let before = if i > 0 { speech.word(i - 1) } else { "" };
        let told = matches!(before, "in" | "of" | "inside") && !listed
            || before == "into"
            || i > 0 && after_area(i);
        let heads = i == 0
            || speech.tokens[i - 1].stop > Stop::None
            || speech.tokens[i].pause > 0.3
            || matches!(
                before,
                "okay" | "and" | "so" | "now" | "right" | "um" | "then"
            );
        let next = number == last + 1 && heads || told;
        if small && !listed && known.contains(&number) && after_area(i) {
            last = number;
        }
        if known.contains(&number) && !listed && !counts && !about && (!small || next) {
            last = number;
            out.push(Unit {
                tokens: i..end,
                number: number.to_string(),
                word: word.clone(),
            });
        }
        i = end;
    }
    out
}

/// The names of places, wherever they stand.
fn rooms(
    mentions: &[Mention],
    speech: &Speech<'_>,
    lexicon: &Lexicon,
) -> Vec<(Range<usize>, bool)> {
    let mut out = Vec::new();
    for m in mentions.iter().filter(|m| m.kind == Kind::Area) {
        let kind = lexicon.area(m.entry);
        let numbered =
            (kind.numbered || kind.unit) && grammar::number(speech.word(m.tokens.end)).is_some();
        if m.role == Role::Nouns || kind.unit && !numbered {
            continue;
        }
        let end = m.tokens.end + usize::from(numbered);
        let mut start = m.tokens.start;
        while start > 0
            && speech.tokens[start - 1].stop == Stop::None
            && (matches!(
                speech.word(start - 1),
                "the" | "this" | "your" | "our" | "my" | "next" | "last" | "other"
            ) || grammar::ordinal(speech.word(start - 1)).is_some())
        {
            start -= 1;
        }
        out.push((start..end, (kind.part || kind.level) && !numbered));
    }
    out
}

/// Stretches of words in order, to be asked which of them lie about others.
pub(super) struct Spans {
    all: Vec<Range<usize>>,
    longest: usize,
}

impl FromIterator<Range<usize>> for Spans {
    fn from_iter<I: IntoIterator<Item = Range<usize>>>(ranges: I) -> Spans {
        let mut all: Vec<Range<usize>> = ranges.into_iter().collect();
        all.sort_by_key(|r| (r.start, r.end));
        let longest = all.iter().map(|r| r.len()).max().unwrap_or(0);
        Spans { all, longest }
    }
}

impl Spans {
    /// Those that may reach into these words.
    pub(super) fn reaching(&self, tokens: &Range<usize>) -> &[Range<usize>] {
        let lowest = tokens.start.saturating_sub(self.longest);
        let from = self.all.partition_point(|r| r.start < lowest);
        let to = self.all.partition_point(|r| r.start < tokens.end);
        &self.all[from..to.max(from)]
    }

    /// Those that begin where one that holds these words may.
    fn about(&self, tokens: &Range<usize>) -> &[Range<usize>] {
        let lowest = tokens.end.saturating_sub(self.longest);
        let from = self.all.partition_point(|r| r.start < lowest);
        let to = self.all.partition_point(|r| r.start <= tokens.start);
        &self.all[from..to.max(from)]
    }
}

/// Keeps what lies in nothing longer; equals stay side by side.
fn longest<T>(mut all: Vec<T>, range: impl Fn(&T) -> Range<usize>) -> Vec<T> {
    all.sort_by_key(|m| (range(m).start, std::cmp::Reverse(range(m).end)));
    let mut out: Vec<T> = Vec::with_capacity(all.len());
    let mut reach: Option<Range<usize>> = None;
    for m in all {
        let r = range(&m);
        match &reach {
            Some(big) if *big == r => out.push(m),
            Some(big) if r.start < big.end => {
                // Two forms that only overlap: the longer one wins, the earlier of equals.
                if r.len() > big.len() {
                    let old = big.clone();
                    // Equals stand side by side at the end.
                    while out.last().is_some_and(|o| range(o) == old) {
                        out.pop();
                    }
                    reach = Some(r);
                    out.push(m);
                }
            }
            _ => {
                reach = Some(r);
                out.push(m);
            }
        }
    }
    out
}

fn settle_cues(cues: Vec<(CueKind, Mention)>) -> Vec<(CueKind, Mention)> {
    let idle: Spans = cues
        .iter()
        .filter(|(k, _)| *k == CueKind::Idle)
        .map(|(_, m)| m.tokens.clone())
        .collect();
    let mut cues = cues;
    cues.sort_by_key(|(k, _)| *k);
    let mut out = Vec::with_capacity(cues.len());
    for of_kind in cues.chunk_by(|a, b| a.0 == b.0) {
        let kind = of_kind[0].0;
        // Of the words that lead to a place all readings are kept: which of them reaches the name is told there.
        if matches!(kind, CueKind::Arrive | CueKind::Beside) {
            out.extend_from_slice(of_kind);
            continue;
        }
        out.extend(longest(of_kind.to_vec(), |(_, m): &(CueKind, Mention)| {
            m.tokens.clone()
        }));
    }
    let shadowed = |k: &CueKind, m: &Mention| {
        matches!(
            k,
            CueKind::Fine | CueKind::Negation | CueKind::AllGood | CueKind::Done
        ) && idle.about(&m.tokens).iter().any(|i| {
            i.start <= m.tokens.start && m.tokens.end <= i.end && (i.len() > m.tokens.len())
        })
    };
    out.retain(|(k, m)| !shadowed(k, m));
    out.sort_by_key(|(k, m)| (m.tokens.start, std::cmp::Reverse(m.tokens.end), *k));
    out
}

/// Whether the words around speak against this reading of an ambiguous form.
fn fits(m: &Mention, speech: &Speech<'_>) -> bool {
    let before = if m.tokens.start == 0 || speech.tokens[m.tokens.start - 1].stop >= Stop::Comma {
        ""
    } else {
        speech.word(m.tokens.start - 1)
    };
    let after = speech.word(m.tokens.end);
    let noun_place = grammar::is_determiner(before) && before != "that" && before != "all"
        || grammar::number(before).is_some()
        || grammar::is_describing(before) && before != "only" && before != "last";
    let verb_place = grammar::leads_to_verb(before) || before == "never";
    // "pull that down", "screen it off": an order, not a part.
    let order = m.kind == Kind::Element
        && m.role == Role::Noun
        && m.tokens.len() == 1
        && matches!(before, "" | "and" | "then" | "so" | "just")
        && matches!(after, "that" | "it" | "them" | "those" | "these")
        && speech.tokens[m.tokens.start].stop == Stop::None
        && speech.punctuated;
    if order {
        return false;
    }
    // "light colored paint": how a thing looks.
    if m.kind == Kind::Element && matches!(after, "colored" | "coloured") {
        return false;
    }
    match m.role {
        Role::Noun | Role::Nouns => match m.kind {
            Kind::Element | Kind::Fault | Kind::Work | Kind::Area => {
                !verb_place
                    || before == "to" && m.role == Role::Nouns
                    || before == "not"
                    || before == "to" && m.tokens.len() > 1
                    || before == "to" && m.kind == Kind::Area
            }
            _ => true,
        },
        // "the seal", "a patch", "two locks": a verb has no article.
        Role::Base | Role::Third => {
            !noun_place || matches!(after, "it" | "them" | "that" | "this" | "those")
        }
        // "got no slides": a verb has no such word before it.
        Role::Lack => !matches!(before, "no" | "any" | "the" | "a" | "these" | "those"),
        Role::Ing => !grammar::is_determiner(before) || matches!(before, "all" | "that" | "'s"),
        _ => true,
    }
}

/// Where one stretch has several readings, the surroundings choose; where they do not, the noun stays.
fn settle(mentions: &mut Vec<Mention>, speech: &Speech<'_>) {
    let mut drop = vec![false; mentions.len()];
    let mut i = 0;
    while i < mentions.len() {
        let mut j = i + 1;
        while j < mentions.len() && mentions[j].tokens == mentions[i].tokens {
            j += 1;
        }
        if j - i > 1 {
            let group = i..j;
            one_role(mentions, group.clone(), speech, &mut drop);
            people_or_part(mentions, group.clone(), speech, &mut drop);
            let verb = group.clone().any(|k| {
                matches!(
                    mentions[k].role,
                    Role::Base | Role::Third | Role::Ing | Role::Past
                )
            });
            let noun = group.clone().any(|k| {
                mentions[k].kind == Kind::Element
                    && matches!(mentions[k].role, Role::Noun | Role::Nouns)
            });
            if verb && noun {
                let as_verb = verb_here(&mentions[i].tokens, speech);
                for k in group {
                    let is_verb = matches!(
                        mentions[k].role,
                        Role::Base | Role::Third | Role::Ing | Role::Past
                    );
                    let is_element = mentions[k].kind == Kind::Element;
                    drop[k] = if as_verb { is_element } else { is_verb };
                }
            }
        }
        i = j;
    }
    let mut keep = drop.iter().map(|d| !d);
    mentions.retain(|_| keep.next().unwrap_or(true));
}

/// One entry read in several roles ("split": a split, is split): the word before tells which.
fn one_role(mentions: &[Mention], group: Range<usize>, speech: &Speech<'_>, drop: &mut [bool]) {
    let first = mentions[group.start].tokens.start;
    let before = if first > 0 {
        speech.word(first - 1)
    } else {
        ""
    };
    let said_of = grammar::is_auxiliary(before)
        || before == "'s"
        || matches!(
            before,
            "not"
                | "looks"
                | "feels"
                | "still"
                | "all"
                | "really"
                | "very"
                | "completely"
                | "got"
                | "getting"
        );
    for k in group.clone() {
        let m = &mentions[k];
        let noun = matches!(m.role, Role::Noun | Role::Nouns);
        let rival = group.clone().any(|o| {
            o != k
                && !drop[o]
                && mentions[o].kind == m.kind
                && mentions[o].entry == m.entry
                && mentions[o].role != m.role
                && matches!(mentions[o].role, Role::Noun | Role::Nouns) != noun
        });
        let twin = group.clone().take_while(|o| *o < k).any(|o| {
            !drop[o]
                && mentions[o].kind == m.kind
                && mentions[o].entry == m.entry
                && matches!(mentions[o].role, Role::Noun | Role::Nouns) == noun
                && (mentions[o].role == Role::Lack) == (m.role == Role::Lack)
        });
        drop[k] |= rival && m.kind == Kind::Fault && noun == said_of || twin;
    }
}

/// "siding." behind a comma, "drywall skims that": the trade's people; else the part.
fn people_or_part(
    mentions: &[Mention],
    group: Range<usize>,
    speech: &Speech<'_>,
    drop: &mut [bool],
) {
    let of = |kind: Kind| group.clone().find(|k| mentions[*k].kind == kind);
    let (Some(people), Some(part)) = (of(Kind::Trade), of(Kind::Element)) else {
        return;
    };
    let t = &mentions[part].tokens;
    let stop_before = t.start > 0 && speech.tokens[t.start - 1].stop == Stop::Comma;
    let alone = stop_before && speech.tokens[t.end - 1].stop >= Stop::Comma;
    let works = mentions[mentions.partition_point(|m| m.tokens.start < t.end)..]
        .iter()
        .take_while(|m| m.tokens.start == t.end)
        .any(|m| m.kind == Kind::Work && m.role == Role::Third && m.tokens.start == t.end);
    if alone || works {
        drop[part] = true;
    } else {
        drop[people] = true;
    }
}

fn verb_here(tokens: &Range<usize>, speech: &Speech<'_>) -> bool {
    let opens = tokens.start == 0 || speech.tokens[tokens.start - 1].stop >= Stop::Comma;
    let before = if opens {
        ""
    } else {
        speech.word(tokens.start - 1)
    };
    let after = speech.word(tokens.end);
    let ends = speech
        .tokens
        .get(tokens.end - 1)
        .is_none_or(|t| t.stop > Stop::None);
    if grammar::leads_to_verb(before) || matches!(before, "who" | "just") {
        return true;
    }
    // "needs caulking", "wants earthing": the work, not the thing.
    if matches!(
        before,
        "needs" | "need" | "wants" | "want" | "requires" | "needing" | "wanting"
    ) && speech.word(tokens.end - 1).ends_with("ing")
    {
        return true;
    }
    if grammar::is_determiner(before)
        || grammar::number(before).is_some()
        || grammar::is_describing(before)
    {
        return false;
    }
    // "caulk the tub", "trim that down": an order at the start of a thought.
    if (opens || matches!(before, "and" | "then" | "so" | "or")) && !ends {
        return matches!(
            after,
            "the"
                | "that"
                | "this"
                | "it"
                | "them"
                | "those"
                | "these"
                | "all"
                | "both"
                | "around"
                | "every"
                | "over"
                | "with"
                | "again"
        ) || before == "and" && matches!(after, "in" | "metal");
    }
    // "the door sticks", "it drains": something stands before that can do it.
    !opens
        && speech.word(tokens.start).ends_with('s')
        && !grammar::is_host(before)
        && !grammar::is_beside(before)
        && !grammar::is_auxiliary(before)
        && !grammar::is_joiner(before)
}
