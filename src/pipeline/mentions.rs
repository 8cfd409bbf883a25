//! Stage 4: the building parts that a clause speaks of, and how each stands in it.

use std::borrow::Cow;
use std::ops::Range;

use crate::lexicon::{Kind, Lexicon, Role};

use super::grammar;
use super::normalize::{Speech, Stop};
use super::scan::{Mention, Scan};

/// How a part hangs in its clause.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// Free: it can be the subject or the object.
    Free,
    /// After "in", "on", "of": a fault may be in or on it.
    Host,
    /// After "by", "behind": it only tells where.
    Beside,
}

/// A building part as spoken.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// The noun and what belongs to its name.
    pub tokens: Range<usize>,
    /// The whole phrase with article, number and describing words.
    pub phrase: Range<usize>,
    /// Its entry; none for a part that the lexicon does not hold.
    pub entry: Option<u16>,
    /// As shown, in the singular.
    pub name: String,
    /// How it hangs in its clause.
    pub hold: Hold,
    /// Spoken in the plural.
    pub plural: bool,
    /// One of several of which something else is said ("the left one").
    pub fresh: bool,
}

impl Thing {
    /// Whether two phrases mean the same part.
    pub fn same(&self, other: &Thing) -> bool {
        match (self.entry, other.entry) {
            (Some(a), Some(b)) => a == b,
            _ => self.name == other.name,
        }
    }
}

/// The parts that a clause names, in order; places named are left out.
pub fn things(
    clause: &Range<usize>,
    speech: &Speech<'_>,
    scan: &Scan,
    lexicon: &Lexicon,
    places: &[Range<usize>],
) -> Vec<Thing> {
    let mut out: Vec<Thing> = Vec::new();
    let is_noun =
        |m: &&Mention| m.kind == Kind::Element && matches!(m.role, Role::Noun | Role::Nouns);
    for m in scan.within(clause).filter(is_noun) {
        if places
            .iter()
            .any(|p| p.start <= m.tokens.start && m.tokens.end <= p.end)
        {
            continue;
        }
        // "the surface of the bath": the part is what it is the surface of.
        if lexicon.element(m.entry).id == "surface"
            && scan
                .within(clause)
                .filter(is_noun)
                .any(|o| o.tokens.start > m.tokens.end && lexicon.element(o.entry).group != "paint")
        {
            continue;
        }
        let entry = lexicon.element(m.entry);
        let mut name = entry.shown.clone().unwrap_or_else(|| {
            entry
                .names
                .get(m.name as usize)
                .unwrap_or(&entry.names[0])
                .clone()
        });
        let spoken = speech.words(&m.tokens);
        let term = m.tokens.len() >= 2
            && m.tokens
                .clone()
                .all(|i| grammar::is_of_term(speech.word(i)));
        let written = |n: &String| n == spoken || n.replace(' ', "") == spoken.replace(' ', "");
        if m.name == 0 && term && entry.shown.is_none() && !entry.names.iter().any(written) {
            // Another term of two words or more is kept as spoken; shorthand and descriptions are not.
            name = if m.role == Role::Nouns {
                singular(spoken).into_owned()
            } else {
                spoken.to_string()
            };
        }
        // "the toilet flushes fine": a verb, not the name of a part.
        if out
            .last()
            .is_some_and(|l| l.tokens.end == m.tokens.start && !l.plural)
            && m.role == Role::Nouns
            && m.tokens.len() == 1
            && (scan
                .cues_near(m.tokens.start, m.tokens.end)
                .iter()
                .any(|(k, c)| {
                    (c.tokens.start == m.tokens.end || c.tokens.start == m.tokens.start)
                        && *k == crate::lexicon::source::CueKind::Fine
                })
                || scan
                    .mentions_near(m.tokens.start, m.tokens.end)
                    .iter()
                    .any(|f| {
                        f.kind == Kind::Fault
                            && f.tokens.start == m.tokens.start
                            && f.tokens.len() > 1
                    })
                || matches!(
                    speech.word(m.tokens.end),
                    "now" | "on" | "by" | "itself" | "against" | "shut" | "again"
                ))
        {
            continue;
        }
        if let Some(last) = out.last_mut()
            && last.tokens.end == m.tokens.start
            && speech.tokens[m.tokens.start - 1].stop == Stop::None
        {
            // "oven rack", "shower door sweep": the last noun is the part, the ones before tell which.
            if !name.contains(&last.name)
                && last.name.split(' ').count() + name.split(' ').count() <= 4
            {
                name = format!("{} {name}", last.name);
            }
            last.tokens.end = m.tokens.end;
            last.phrase.end = m.tokens.end;
            // "heating equipment", "plumbing fixture": a general word takes its trade from the one before it.
            let general = entry.weak
                && (entry.group == "equipment"
                    || matches!(entry.id.as_str(), "fixture" | "light-fixture"))
                && last.entry.is_some_and(|e| !lexicon.element(e).weak);
            if !general {
                last.entry = Some(m.entry);
            }
            last.name = name;
            last.plural = m.role == Role::Nouns;
            continue;
        }
        let mut phrase = phrase(&m.tokens, clause, speech);
        // "the stairwell walls": the place's name belongs to the phrase.
        if let Some(a) = scan.within(clause).find(|a| {
            a.kind == Kind::Area
                && a.tokens.end == phrase.start
                && phrase.start == m.tokens.start
                && speech.tokens[a.tokens.end - 1].stop == Stop::None
        }) {
            phrase = self::phrase(&(a.tokens.start..m.tokens.end), clause, speech);
        }
        // "my level", "my key": the speaker's own things are no parts.
        if m.tokens.start > clause.start && speech.word(m.tokens.start - 1) == "my" && entry.weak
            || speech.word(phrase.start) == "my" && entry.group == "debris"
            || speech.word(m.tokens.start.saturating_sub(1)) == "my"
                && matches!(
                    entry.group.as_str(),
                    "furniture" | "door-hardware" | "equipment" | "low-voltage" | "electrical"
                )
        {
            continue;
        }
        // "window side", "closet end": where, not what.
        let aside = m.tokens.end < clause.end
            && speech.tokens[m.tokens.end - 1].stop == Stop::None
            && matches!(speech.word(m.tokens.end), "side" | "end");
        let hold = if aside {
            Hold::Beside
        } else {
            hold(&phrase, clause, speech)
        };
        // "touched up the wall": the little word belongs to the work.
        let lead = phrase.start.wrapping_sub(1);
        let hold = if hold != Hold::Free
            && phrase.start > clause.start
            && scan
                .within(clause)
                .any(|w| w.kind == Kind::Work && w.tokens.end == lead + 1 && w.tokens.len() > 1)
        {
            Hold::Free
        } else {
            hold
        };
        out.push(Thing {
            tokens: m.tokens.clone(),
            phrase,
            entry: Some(m.entry),
            name,
            hold,
            plural: m.role == Role::Nouns,
            fresh: false,
        });
    }
    out
}

/// A noun with its article, number and describing words.
pub fn phrase(noun: &Range<usize>, clause: &Range<usize>, speech: &Speech<'_>) -> Range<usize> {
    let mut start = noun.start;
    while start > clause.start && speech.tokens[start - 1].stop == Stop::None {
        let w = speech.word(start - 1);
        let possessor = w == "'s" && start >= clause.start + 2;
        if matches!(w, "inside" | "outside")
            && !(start >= clause.start + 2 && grammar::is_determiner(speech.word(start - 2)))
        {
            break;
        }
        if grammar::is_determiner(w) && !possessor
            || grammar::is_describing(w)
            || grammar::number(w).is_some()
        {
            start -= 1;
        } else if w == "of"
            && start >= clause.start + 2
            && matches!(
                speech.word(start - 2),
                "couple"
                    | "pair"
                    | "bunch"
                    | "lot"
                    | "all"
                    | "one"
                    | "both"
                    | "rest"
                    | "some"
                    | "most"
                    | "two"
                    | "three"
            )
        {
            start -= 2;
        } else {
            break;
        }
    }
    start..noun.end
}

/// The word that governs a phrase.
fn hold(phrase: &Range<usize>, clause: &Range<usize>, speech: &Speech<'_>) -> Hold {
    let mut at = phrase.start;
    // "at the bottom of the", "on the front edge of the": what governs the first governs all.
    while at > clause.start {
        let w = speech.word(at - 1);
        if speech.tokens[at - 1].stop > Stop::None {
            return Hold::Free;
        }
        if w == "of" && at >= clause.start + 2 && grammar::is_spot(speech.word(at - 2)) {
            at -= 2;
            while at > clause.start
                && (grammar::is_determiner(speech.word(at - 1))
                    || grammar::is_describing(speech.word(at - 1))
                    || grammar::is_spot(speech.word(at - 1)))
            {
                at -= 1;
            }
            if at == clause.start {
                return Hold::Free;
            }
            let lead = speech.word(at - 1);
            return if grammar::is_beside(lead) {
                Hold::Beside
            } else {
                Hold::Host
            };
        }
        if w == "next"
            || w == "to"
                && at >= clause.start + 2
                && matches!(
                    speech.word(at - 2),
                    "next" | "close" | "left" | "right" | "adjacent"
                )
        {
            return Hold::Beside;
        }
        if w == "of"
            && at >= clause.start + 2
            && matches!(speech.word(at - 2), "outside" | "left" | "right")
        {
            return Hold::Beside;
        }
        if w == "'s" || w == "over" && speech.word(at.saturating_sub(2)) != "all" && at >= 2 {
            return if w == "'s" { Hold::Free } else { Hold::Beside };
        }
        if matches!(w, "where" | "when" | "how") {
            return Hold::Free;
        }
        if grammar::is_beside(w) && !matches!(w, "with" | "like" | "for" | "as" | "about") {
            return Hold::Beside;
        }
        if matches!(w, "with" | "for" | "about") {
            return if w == "with" {
                Hold::Free
            } else {
                Hold::Beside
            };
        }
        if grammar::is_host(w) && w != "all" {
            return Hold::Host;
        }
        return Hold::Free;
    }
    Hold::Free
}

/// A part that the lexicon does not hold: the noun phrase at the head of a clause that a verb follows, or the whole of
/// a short piece.
pub fn open_subject(clause: &Range<usize>, opens: usize, speech: &Speech<'_>) -> Option<Thing> {
    let mut at = opens;
    while at < clause.end
        && (grammar::is_determiner(speech.word(at)) && speech.word(at) != "'s"
            || grammar::is_describing(speech.word(at)) && !matches!(speech.word(at), "only"))
    {
        at += 1;
    }
    open_noun(at, clause, speech, true)
}

/// A part that the lexicon does not hold, by these very words.
pub fn named(tokens: &Range<usize>, clause: &Range<usize>, speech: &Speech<'_>) -> Thing {
    let words = speech.words(tokens);
    let name = singular(words).into_owned();
    Thing {
        phrase: phrase(tokens, clause, speech),
        tokens: tokens.clone(),
        entry: None,
        plural: name != words,
        name,
        hold: Hold::Free,
        fresh: false,
    }
}

/// A part that the lexicon does not hold, after "no", "a", "the": one or two nouns up to a verb, a preposition or a stop.
pub fn open_noun(
    at: usize,
    clause: &Range<usize>,
    speech: &Speech<'_>,
    subject: bool,
) -> Option<Thing> {
    let mut end = at;
    while end < clause.end && end < at + 3 {
        let w = speech.word(end);
        if grammar::is_function(w)
            || !w.bytes().all(|b| b.is_ascii_alphabetic())
            || w.ends_with("ly")
            || w.ends_with("ing")
        {
            break;
        }
        end += 1;
        if speech.tokens[end - 1].stop > Stop::None {
            break;
        }
    }
    if end == at {
        return None;
    }
    let next = speech.word(end);
    let closed = end == clause.end || speech.tokens[end - 1].stop > Stop::None;
    let verb =
        grammar::is_auxiliary(next) || grammar::is_linking(next) || matches!(next, "not" | "never");
    if subject && !verb && !closed
        || !subject
            && !verb
            && !closed
            && !grammar::is_host(next)
            && !grammar::is_beside(next)
            && !matches!(
                next,
                "yet" | "here" | "there" | "either" | "at" | "so" | "and" | "or" | "now"
            )
    {
        return None;
    }
    let tokens = at..end;
    let name = singular(speech.words(&tokens)).into_owned();
    Some(Thing {
        phrase: phrase(&tokens, clause, speech),
        tokens,
        entry: None,
        plural: name != speech.words(&(at..end)),
        name,
        hold: Hold::Free,
        fresh: false,
    })
}

pub(super) fn singular(words: &str) -> Cow<'_, str> {
    let cut = |end: usize| Cow::Borrowed(&words[..words.len() - end]);
    match words.strip_suffix("ies") {
        Some(stem) if stem.len() > 2 => format!("{stem}y").into(),
        _ if words.ends_with("ches") || words.ends_with("shes") || words.ends_with("xes") => cut(2),
        _ if words.ends_with('s')
            && !words.ends_with("ss")
            && !words.ends_with("us")
            && words.len() > 3 =>
        {
            cut(1)
        }
        _ => words.into(),
    }
}

/// "the left one", "one of them", "number four", "the other": one of the parts spoken of just before. Gives its words.
pub fn one_of(clause: &Range<usize>, opens: usize, speech: &Speech<'_>) -> Option<Range<usize>> {
    let mut i = opens;
    if matches!(
        speech.word(i),
        "the" | "this" | "that" | "my" | "your" | "only"
    ) {
        i += 1;
    }
    let first = speech.word(i);
    let second = speech.word(i + 1);
    let third = speech.word(i + 2);
    let inside = |end: usize| (end <= clause.end).then_some(opens..end);
    if matches!(
        first,
        "one"
            | "two"
            | "three"
            | "four"
            | "five"
            | "some"
            | "all"
            | "both"
            | "most"
            | "none"
            | "couple"
    ) && second == "of"
        && matches!(third, "them" | "these" | "those" | "it")
    {
        return inside(i + 3);
    }
    if first == "other"
        && matches!(
            second,
            "one" | "ones" | "two" | "three" | "four" | "five" | "side" | "end"
        )
        || first == "number" && grammar::number(second).is_some()
    {
        return inside(i + 2);
    }
    if first == "other"
        && (grammar::is_auxiliary(second)
            || speech.tokens.get(i).is_some_and(|t| t.stop > Stop::None))
        && i > opens
    {
        return inside(i + 1);
    }
    if first == "others" || first == "rest" && i > opens && !matches!(second, "of") {
        return inside(i + 1);
    }
    if grammar::is_describing(first)
        && matches!(second, "one" | "ones" | "two")
        && !matches!(first, "more")
    {
        return inside(i + 2);
    }
    if first == "one"
        && i == opens
        && (grammar::is_auxiliary(second)
            || matches!(
                second,
                "by" | "near" | "at" | "over" | "needs" | "in" | "on" | "has"
            ))
    {
        return inside(i + 1);
    }
    if first == "one"
        && i > opens
        && matches!(speech.word(opens), "this" | "that" | "the")
        && (grammar::is_auxiliary(second)
            || grammar::is_host(second)
            || grammar::is_beside(second)
            || grammar::is_linking(second))
    {
        return inside(i + 1);
    }
    None
}
