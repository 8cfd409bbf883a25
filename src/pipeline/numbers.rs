//! Numbers in words and figures: "a hundred and twenty", "twenty-one hundred", "1,200", "two point five", "three eighths".
//!
//! Each reader takes the words from one on (`word(0)` is the first, past the end they are empty) and gives the value and how
//! many words it takes.

use super::grammar;

/// The words from one on.
pub type Words<'w, 'a> = &'w dyn Fn(usize) -> &'a str;

/// The most words of a whole number that is looked for from its end: "nine thousand nine hundred and ninety nine".
pub const LONGEST: usize = 8;

/// A whole number: "three", "twenty-one hundred", "a thousand and five", "1,200".
pub fn whole(word: Words<'_, '_>) -> Option<(u32, usize)> {
    let (n, used) = below_thousand(word, 0)?;
    if n == 0 || n >= 1000 || word(used) != "thousand" {
        return Some((n, used));
    }
    let used = used + 1;
    Some(match rest(word, used, below_thousand) {
        Some((more, taken)) => (n * 1000 + more, used + taken),
        None => (n * 1000, used),
    })
}

/// The whole number of which the word at `last` is the last one, and its first word.
pub fn whole_ending(last: usize, word: Words<'_, '_>) -> Option<(u32, usize)> {
    if !of_whole(word(last)) {
        return None;
    }
    (last.saturating_sub(LONGEST)..=last).find_map(|first| {
        let (n, used) = whole(&|k| word(first + k))?;
        (first + used == last + 1).then_some((n, first))
    })
}

/// Whether a word can be the first or the last of a whole number; every other one is passed over at once.
fn of_whole(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
        || matches!(word, "a" | "an" | "thousand")
        || grammar::number(word).is_some()
}

/// Whether a word can be the first of a number or of a part of one.
pub fn may_begin(word: &str) -> bool {
    // A part of one may be a single sign: "½".
    !word.is_ascii() || of_whole(word) || matches!(word, "half" | "quarter" | "point")
}

/// A whole number or a decimal: "two point five", "point five", "2.5".
pub fn decimal(word: Words<'_, '_>) -> Option<(f64, usize)> {
    if let Some(n) = figure(word(0)).filter(|n| n.fract() != 0.0) {
        return Some((n, 1));
    }
    let (n, used) = match whole(word) {
        Some(whole) => whole,
        None if word(0) == "point" => (0, 0),
        None => return None,
    };
    let digit = |k: usize| match word(k) {
        "o" | "oh" | "nought" => Some(0),
        w => grammar::number(w).filter(|n| *n < 10),
    };
    if word(used) != "point" || digit(used + 1).is_none() {
        return (used > 0).then_some((f64::from(n), used));
    }
    let mut text = format!("{n}.");
    let mut at = used + 1;
    while let Some(d) = digit(at) {
        text.push_str(&d.to_string());
        at += 1;
    }
    Some((text.parse().ok()?, at))
}

/// A part of one: "half", "a quarter", "three eighths", "seven thirty-seconds", "3/8", "½"; the value, its denominator and the words.
pub fn fraction(word: Words<'_, '_>) -> Option<(f64, u32, usize)> {
    let figures = match word(0) {
        "½" => Some((1, 2)),
        "¼" => Some((1, 4)),
        "¾" => Some((3, 4)),
        w => w
            .split_once('/')
            .and_then(|(a, b)| Some((a.parse().ok()?, b.parse().ok()?))),
    };
    if let Some((part, of)) = figures {
        return (of > 0).then(|| (f64::from(part) / f64::from(of), of, 1));
    }
    let (part, used) = match word(0) {
        "half" | "quarter" => (1, 0),
        "a" | "an" => (1, 1),
        _ => whole(word)?,
    };
    let (of, taken) = denominator(word, used)?;
    Some((f64::from(part) / f64::from(of), of, used + taken))
}

fn denominator(word: Words<'_, '_>, at: usize) -> Option<(u32, usize)> {
    Some(match (word(at), word(at + 1)) {
        ("half" | "halves", _) => (2, 1),
        ("third" | "thirds", _) => (3, 1),
        ("quarter" | "quarters", _) => (4, 1),
        ("eighth" | "eighths", _) => (8, 1),
        ("tenth" | "tenths", _) => (10, 1),
        ("sixteenth" | "sixteenths", _) => (16, 1),
        ("thirty", "second" | "seconds") => (32, 2),
        ("sixty", "fourth" | "fourths") => (64, 2),
        _ => return None,
    })
}

/// A figure as it is written: "12", "1,200", "2.5".
fn figure(word: &str) -> Option<f64> {
    if !word.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let mut groups = word.split('.').next()?.split(',');
    let first = groups.next()?;
    let mut rest = groups.peekable();
    if rest.peek().is_some() && (first.len() > 3 || !rest.all(|g| g.len() == 3)) {
        return None;
    }
    word.replace(',', "").parse().ok()
}

fn below_hundred(word: Words<'_, '_>, at: usize) -> Option<(u32, usize)> {
    let n = grammar::number(word(at)).filter(|n| *n < 100)?;
    let tens = n >= 20 && n.is_multiple_of(10);
    let spelled = |k: usize| word(k).starts_with(|c: char| c.is_ascii_alphabetic());
    let unit = grammar::number(word(at + 1)).filter(|u| (1..10).contains(u));
    match unit {
        Some(u) if tens && spelled(at) && spelled(at + 1) => Some((n + u, 2)),
        _ => Some((n, 1)),
    }
}

/// Up to 9,999: what a figure or hundreds give.
fn below_thousand(word: Words<'_, '_>, at: usize) -> Option<(u32, usize)> {
    if let Some(n) = figure(word(at)).filter(|n| n.fract() == 0.0 && *n <= f64::from(u32::MAX))
        && word(at + 1) != "hundred"
    {
        return Some((n as u32, 1));
    }
    let (n, used) = match (word(at), word(at + 1)) {
        ("a" | "an", "hundred" | "thousand") => (1, 1),
        ("hundred" | "thousand", _) => (1, 0),
        _ => below_hundred(word, at)?,
    };
    if n == 0 || word(at + used) != "hundred" {
        return Some((n, used));
    }
    let used = used + 1;
    Some(match rest(word, at + used, below_hundred) {
        Some((more, taken)) => (n * 100 + more, used + taken),
        None => (n * 100, used),
    })
}

/// What follows the hundreds or thousands, with or without "and".
fn rest<'w, 'a>(
    word: Words<'w, 'a>,
    at: usize,
    read: impl Fn(Words<'w, 'a>, usize) -> Option<(u32, usize)>,
) -> Option<(u32, usize)> {
    let and = usize::from(word(at) == "and");
    if matches!(word(at + and), "hundred" | "thousand") {
        return None;
    }
    let (n, used) = read(word, at + and).filter(|(n, _)| (1..1000).contains(n))?;
    Some((n, used + and))
}
