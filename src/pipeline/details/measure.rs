//! Sizes and other quantities as spoken: "half an inch", "three eighths", "forty mil", "reading seventy-four".

use std::ops::Range;

use crate::list::{Measure, Unit};

use super::super::grammar;
use super::super::normalize::{Speech, Stop};
use super::super::numbers;
use super::super::scan::{Mention, Scan};
use crate::lexicon::Kind;

/// A number with a unit: "half an inch", "three eighths", "forty mil", "twenty-six degrees".
///
/// `degrees` says that the part has a temperature, so that a reading without a unit counts.
pub fn measure(scope: &Range<usize>, speech: &Speech<'_>, degrees: bool) -> Option<Measure> {
    let mut best: Option<Measure> = None;
    let mut i = scope.start;
    while i < scope.end {
        if let Some((value, unit, used)) = quantity(speech, i, scope.end) {
            // Of a range the larger.
            if best
                .as_ref()
                .is_none_or(|b| b.unit == unit && value > b.value && speech.word(i - 1) == "to")
            {
                best = Some(Measure {
                    value,
                    unit,
                    of: measured(scope, speech),
                });
            }
            i += used;
        } else {
            i += 1;
        }
    }
    best.or_else(|| {
        if degrees {
            reading(scope, speech)
        } else {
            None
        }
    })
}

/// How many words a size that stands before what it is of may have, and how many may be between.
const LED_BY: usize = 8;
const BETWEEN: usize = 3;

/// A size that stands right before the fault with which a matter's words begin: "a two foot crack", "half an inch wide gap".
pub(super) fn before(start: usize, speech: &Speech<'_>, scan: &Scan) -> Option<Measure> {
    let fault = |m: &Mention| m.kind == Kind::Fault && m.tokens.start == start;
    if !scan.mentions_near(start, start).iter().any(fault) {
        return None;
    }
    let far = start.saturating_sub(LED_BY);
    let from = (far..start)
        .rev()
        .find(|i| speech.tokens[*i].stop > Stop::None)
        .map_or(far, |i| i + 1);
    let (value, unit, end) = (from..start).find_map(|i| {
        let (value, unit, used) = quantity(speech, i, start)?;
        let end = i + used;
        let beside = (end..start).all(|k| {
            let w = speech.word(k);
            grammar::is_describing(w) || SIZED.contains(&w) || matches!(w, "or" | "so" | "of")
        });
        (start - end <= BETWEEN && beside).then_some((value, unit, end))
    })?;
    let of = measured(&(end..start + 1), speech);
    Some(Measure { value, unit, of })
}

/// Words behind a size that tell what of a thing it is.
const SIZED: &[&str] = &["long", "wide", "deep", "high", "tall", "thick"];

/// "it's reading seventy-four", "down at sixteen", "Thermostat, eighty-one": a temperature without its unit. Up to 45 it is taken for
/// Celsius, above for Fahrenheit: no room or tap is meant to be at the other scale's figure.
fn reading(scope: &Range<usize>, speech: &Speech<'_>) -> Option<Measure> {
    for i in scope.clone() {
        let led = matches!(
            speech.word(i.wrapping_sub(1)),
            "reading"
                | "reads"
                | "says"
                | "say"
                | "at"
                | "on"
                | "showing"
                | "shows"
                | "is"
                | "be"
                | "to"
        ) && i > scope.start
            || i > 0 && speech.tokens[i - 1].stop > Stop::None;
        if !led {
            continue;
        }
        let Some((value, used)) = amount(speech, i, scope.end) else {
            continue;
        };
        let next = i + used;
        let closes = next >= scope.end
            || speech.tokens[next - 1].stop > Stop::None
            || matches!(
                speech.word(next),
                "on" | "and" | "in" | "at" | "when" | "or"
            );
        if closes && (10.0..=180.0).contains(&value) {
            let unit = if value <= 45.0 { Unit::C } else { Unit::F };
            return Some(Measure {
                value,
                unit,
                of: Some("temperature".to_string()),
            });
        }
    }
    None
}

fn measured(scope: &Range<usize>, speech: &Speech<'_>) -> Option<String> {
    for i in scope.clone() {
        let of = match speech.word(i) {
            "high" | "tall" | "height" | "higher" | "lower" => "height",
            "wide" | "width" => "width",
            // "Ten inches across", not "a scratch across it".
            "across" if i > 0 && unit_word(speech.word(i - 1)).is_some() => "width",
            "long" | "length" | "run" => "length",
            "deep" | "depth" => "depth",
            "gap" => "gap",
            "diameter" => "diameter",
            "degrees" => "temperature",
            "slope" | "fall" | "pitch" => "slope",
            "moisture" | "damp" => "moisture",
            "pressure" | "psi" => "pressure",
            "lip" | "lippage" | "vary" | "varies" | "variation" => "offset",
            "centreline" | "centerline" => "distance",
            _ => continue,
        };
        return Some(of.to_string());
    }
    None
}

fn unit_of(speech: &Speech<'_>, i: usize) -> Option<(Unit, usize)> {
    Some(match speech.word(i) {
        "degrees" | "degree" | "°" => match speech.word(i + 1) {
            "celsius" | "c" | "centigrade" => (Unit::C, 2),
            "fahrenheit" | "f" => (Unit::F, 2),
            _ => (Unit::Deg, 1),
        },
        word => (unit_word(word)?, 1),
    })
}

fn unit_word(word: &str) -> Option<Unit> {
    Some(match word {
        "inch" | "inches" | "in." | "\"" | "″" => Unit::In,
        "foot" | "feet" | "ft" => Unit::Ft,
        "mil" | "mill" | "mils" | "mm" | "millimetre" | "millimetres" | "millimeter"
        | "millimeters" => Unit::Mm,
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Unit::Cm,
        "metre" | "metres" | "meter" | "meters" => Unit::M,
        "psi" => Unit::Psi,
        "percent" | "%" => Unit::Pct,
        _ => return None,
    })
}

/// A figure with its unit in one word, as recognizers write them: "40mm", "2.5m", "6ft".
fn glued(word: &str) -> Option<(f64, Unit)> {
    let edge = word.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))?;
    let unit = match &word[edge..] {
        "m" => Unit::M,
        "in" => Unit::In,
        unit => unit_word(unit)?,
    };
    let (value, _) = numbers::decimal(&|k| if k == 0 { &word[..edge] } else { "" })?;
    Some((value, unit))
}

/// Denominators from which a part without a unit is an inch's: nobody says "three eighths" of a foot so.
const OF_AN_INCH: &[u32] = &[8, 16, 32, 64];

/// A quantity that begins here: its value, unit and how many words it takes.
fn quantity(speech: &Speech<'_>, at: usize, end: usize) -> Option<(f64, Unit, usize)> {
    let first = speech.word(at);
    if !numbers::may_begin(first) && first != "couple" {
        return None;
    }
    let w = from(speech, at, end);
    let unit = |k: usize| unit_of(speech, at + k).filter(|(_, n)| at + k + n <= end);
    if let Some((value, unit)) = glued(w(0)) {
        return Some((value, unit, 1));
    }
    if let Some((value, of, used)) = numbers::fraction(&w) {
        // "half an inch", "three eighths", with or without "of an inch".
        let skip = match (w(used), w(used + 1)) {
            ("of", "an" | "a") => 2,
            ("of" | "an" | "a", _) => 1,
            _ => 0,
        };
        return match unit(used + skip) {
            Some((u, n)) => Some((value, u, used + skip + n)),
            None => (OF_AN_INCH.contains(&of) && value < 1.0).then_some((value, Unit::In, used)),
        };
    }
    let (mut value, mut used) = amount(speech, at, end)?;
    // "an inch and a half", "thirty-four and a quarter", "2 and three eighths inches"
    let part = |k: usize| {
        if w(k) != "and" {
            return None;
        }
        let (part, of, n) = numbers::fraction(&|i| w(k + 1 + i))?;
        (part < 1.0).then_some((part, of, n + 1))
    };
    if let Some((part, of, n)) = part(used) {
        used += n;
        value += part;
        return match unit(used) {
            Some((u, n)) => Some((value, u, used + n)),
            None => OF_AN_INCH.contains(&of).then_some((value, Unit::In, used)),
        };
    }
    let (unit, n) = unit(used)?;
    used += n;
    if let Some((part, _, n)) = part(used) {
        value += part;
        used += n;
    } else if unit == Unit::Ft
        && let Some((inches, n)) = odd_inches(speech, at + used, end)
    {
        return Some((value * 12.0 + inches, Unit::In, used + n));
    }
    Some((value, unit, used))
}

/// The inches after feet: "two foot six", "six feet two inches", "five foot ten and a half".
fn odd_inches(speech: &Speech<'_>, at: usize, end: usize) -> Option<(f64, usize)> {
    let w = from(speech, at, end);
    if matches!(w(0), "a" | "an") {
        return None;
    }
    let (mut inches, mut used) =
        amount(speech, at, end).filter(|(n, _)| (1.0..12.0).contains(n))?;
    if w(used) == "and"
        && let Some((part, _, n)) = numbers::fraction(&|i| w(used + 1 + i))
    {
        inches += part;
        used += n + 1;
    }
    if let Some((Unit::In, n)) = unit_of(speech, at + used) {
        return Some((inches, used + n));
    }
    let closes = at + used >= end
        || speech.tokens[at + used - 1].stop > Stop::None
        || matches!(
            w(used),
            "high" | "tall" | "wide" | "long" | "deep" | "across" | "off" | "up" | "from" | "or"
        );
    closes.then_some((inches, used))
}

/// No quantity has more words.
const LONGEST: usize = 20;

/// The words from one on, empty from `end` or behind a stop.
fn from<'a>(speech: &'a Speech<'_>, at: usize, end: usize) -> impl Fn(usize) -> &'a str {
    let end = end.min(at + LONGEST).min(speech.tokens.len());
    let stop = (at..end)
        .find(|i| speech.tokens[*i].stop > Stop::None)
        .map_or(end, |i| i + 1);
    move |k| {
        if at + k < stop {
            speech.word(at + k)
        } else {
            ""
        }
    }
}

/// A number in words or figures: "a", "two", "twenty-six", "a hundred and ten", "1 1/2", "½", "3/8", "two point five".
pub fn amount(speech: &Speech<'_>, at: usize, end: usize) -> Option<(f64, usize)> {
    let w = from(speech, at, end);
    let written = |k: usize| {
        numbers::fraction(&|i| w(k + i)).filter(|_| w(k).starts_with(|c: char| !c.is_alphabetic()))
    };
    if let Some((value, _, used)) = written(0) {
        return Some((value, used));
    }
    if let Some((value, used)) = numbers::decimal(&w) {
        return Some(match written(used) {
            Some((part, _, n)) if part < 1.0 => (value + part, used + n),
            _ => (value, used),
        });
    }
    let article = usize::from(matches!(w(0), "a" | "an"));
    match w(article) {
        "couple" => Some((2.0, article + 1 + usize::from(w(article + 1) == "of"))),
        "good" | "full" => None,
        _ => (article == 1).then_some((1.0, 1)),
    }
}
