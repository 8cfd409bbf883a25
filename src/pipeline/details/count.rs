//! How many: "two nail pops", "three of them", "a couple of pulls", "all five", "just the one".

use std::ops::Range;

use crate::lexicon::Kind;

use super::super::findings::Finding;
use super::super::grammar;
use super::super::normalize::{Speech, Stop};
use super::super::numbers;
use super::super::scan::Scan;

/// Plural words that are counted without being the part or the fault: times, coats, people.
const NOT_COUNTED: &[&str] = &[
    "inches",
    "feet",
    "mils",
    "millimetres",
    "millimeters",
    "metres",
    "meters",
    "degrees",
    "times",
    "weeks",
    "days",
    "minutes",
    "hours",
    "years",
    "months",
    "coats",
    "tenants",
    "visits",
    "people",
    "guys",
    "men",
    "seconds",
    "eighths",
    "quarters",
    "sixteenths",
    "thirds",
    "halves",
    "dollars",
    "bucks",
    "steps",
    "storeys",
    "stories",
    "sides",
    "ways",
    "percent",
    "colors",
    "colours",
    "others",
    "else",
    "yards",
    "boys",
    "kids",
    "is",
    "has",
    "was",
    "this",
    "needs",
    "looks",
    "does",
    "us",
];

/// The most that is taken for a count; what is larger is a room's number, a year, a code.
const MOST: u32 = 500;

/// The number of parts or faults that an item is about, where the speaker gives one.
pub fn count(f: &Finding, scope: &Range<usize>, speech: &Speech<'_>, scan: &Scan) -> Option<u32> {
    let mut heads: Vec<usize> = f.thing.iter().map(|t| t.tokens.start).collect();
    for r in &f.said {
        heads.extend(
            scan.within(r)
                .filter(|m| m.kind == Kind::Fault)
                .map(|m| m.tokens.start),
        );
    }
    // Of them: what the speaker says of the group counts before its size.
    for i in scope.clone() {
        let of = speech.word(i + 1) == "of"
            && matches!(
                speech.word(i + 2),
                "them" | "those" | "these" | "em" | "the" | "my" | "your"
            );
        if of && i + 2 < scope.end {
            let pronoun = matches!(speech.word(i + 2), "them" | "those" | "these" | "em");
            let reaches = pronoun || heads.iter().any(|h| *h > i + 2 && *h <= i + 7);
            if reaches && let Some(n) = number(speech, i, true) {
                return Some(n);
            }
        }
    }
    for at in heads {
        let mut i = at;
        while i > 0 && i + 5 > at && speech.tokens[i - 1].stop == Stop::None {
            let w = speech.word(i - 1);
            if let Some(n) = number(speech, i - 1, false) {
                return Some(n);
            }
            if w == "both" {
                return Some(2);
            }
            if !(grammar::is_describing(w)
                || matches!(w, "of" | "the" | "these" | "those")
                || grammar::is_spot(w))
            {
                break;
            }
            i -= 1;
        }
    }
    alone(scope, speech).or_else(|| of_pieces(f, speech))
}

/// A number that is a thought by itself: "Glass, all five, stickers", "just the one", "three only".
fn alone(scope: &Range<usize>, speech: &Speech<'_>) -> Option<u32> {
    for i in scope.clone() {
        let opens = i == 0 || speech.tokens[i - 1].stop > Stop::None;
        if !opens {
            continue;
        }
        let mut at = i;
        while matches!(
            speech.word(at),
            "all" | "just" | "the" | "only" | "so" | "and"
        ) && at < i + 3
        {
            at += 1;
        }
        let led = at > i;
        let closes = speech.tokens.get(at).is_some_and(|t| t.stop > Stop::None)
            || matches!(speech.word(at + 1), "only")
                && speech
                    .tokens
                    .get(at + 1)
                    .is_some_and(|t| t.stop > Stop::None);
        if !closes || at >= scope.end {
            continue;
        }
        if let Some((n, _)) = numbers::whole_ending(at, &|k| speech.word(k)) {
            if n == 1 && !led || n > MOST {
                continue;
            }
            return Some(n);
        }
    }
    None
}

/// "four courses", "two posts": pieces of the part, in the words that carry the item.
fn of_pieces(f: &Finding, speech: &Speech<'_>) -> Option<u32> {
    for r in &f.said {
        for i in r.clone() {
            let Some(n) = number(speech, i, false).filter(|n| *n > 1) else {
                continue;
            };
            let mut k = i + 1;
            while k < r.end && k < i + 3 && grammar::is_describing(speech.word(k)) {
                k += 1;
            }
            let w = speech.word(k);
            let before = if i > 0 { speech.word(i - 1) } else { "" };
            let plain = !matches!(
                before,
                "at" | "to" | "says" | "reading" | "unit" | "room" | "number" | "on" | "about"
            );
            if k < r.end
                && plain
                && w.len() > 3
                && w.ends_with('s')
                && !w.ends_with("ss")
                && !NOT_COUNTED.contains(&w)
                && speech.tokens[k - 1].stop == Stop::None
            {
                return Some(n);
            }
        }
    }
    None
}

/// A counting number that ends at a word; `of` where "of the …" follows it.
fn number(speech: &Speech<'_>, i: usize, of: bool) -> Option<u32> {
    let (n, first) = spelled(speech, i)?;
    let w = speech.word(i);
    let before = if first > 0 {
        speech.word(first - 1)
    } else {
        ""
    };
    let next = speech.word(i + 1);
    // "Within five working days", "two weeks late" tell a time.
    if super::super::deadlines::is_span(first, speech) {
        return None;
    }
    // "two foot", "three eighths" tell a size.
    if matches!(
        next,
        "inch"
            | "inches"
            | "foot"
            | "feet"
            | "ft"
            | "mil"
            | "mm"
            | "cm"
            | "eighths"
            | "quarters"
            | "by"
            | "sixteenths"
            | "degrees"
            | "percent"
            | "hundred"
            | "o'clock"
    ) {
        return None;
    }
    match w {
        "couple" | "pair" | "dozen" => Some(n),
        "one" if first < i => Some(n),
        "one" if of => (!matches!(
            before,
            "this" | "that" | "which" | "no" | "any" | "every" | "each"
        ))
        .then_some(1),
        "one" => (next != "'s"
            && !grammar::is_auxiliary(next)
            && !matches!(
                before,
                "this"
                    | "that"
                    | "the"
                    | "which"
                    | "no"
                    | "any"
                    | "every"
                    | "each"
                    | "new"
                    | "other"
            )
            && !grammar::is_describing(before)
            && grammar::ordinal(before).is_none())
        .then_some(1),
        // "number four", "bedroom two" tell which, not how many.
        _ if matches!(
            before,
            "number" | "unit" | "room" | "suite" | "bedroom" | "level" | "station" | "lane" | "op"
        ) =>
        {
            None
        }
        _ => (1..=MOST).contains(&n).then_some(n),
    }
}

/// The number that ends at a word, and its first word: "three", "a hundred and twenty", "two dozen".
fn spelled(speech: &Speech<'_>, last: usize) -> Option<(u32, usize)> {
    // Words behind a stop belong to another thought: "two, sorry, three tiles".
    let start = (last.saturating_sub(numbers::LONGEST)..last)
        .rev()
        .find(|i| speech.tokens[*i].stop > Stop::None)
        .map_or(last.saturating_sub(numbers::LONGEST), |i| i + 1);
    let whole = |last: usize| {
        let read = numbers::whole_ending(last - start, &|k| speech.word(start + k));
        read.map(|(n, first)| (n, first + start))
    };
    match speech.word(last) {
        "couple" | "pair" => Some((2, last)),
        "dozen" => match (last > start).then(|| whole(last - 1)).flatten() {
            Some((n, first)) if n < MOST => Some((n * 12, first)),
            _ => Some((12, last)),
        },
        _ => whole(last),
    }
}
