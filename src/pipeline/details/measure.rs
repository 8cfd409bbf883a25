//! Sizes and other quantities as spoken: "half an inch", "three eighths", "forty mil", "reading seventy-four".

use std::ops::Range;

use crate::list::{Measure, Unit};

use super::super::grammar;
use super::super::normalize::{Speech, Stop};

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
            "wide" | "width" | "across" => "width",
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
        "inch" | "inches" | "in." | "\"" | "″" => (Unit::In, 1),
        "foot" | "feet" | "ft" => (Unit::Ft, 1),
        "mil" | "mill" | "mils" | "mm" | "millimetre" | "millimetres" | "millimeter"
        | "millimeters" => (Unit::Mm, 1),
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => (Unit::Cm, 1),
        "metre" | "metres" | "meter" | "meters" => (Unit::M, 1),
        "degrees" | "degree" | "°" => match speech.word(i + 1) {
            "celsius" | "c" | "centigrade" => (Unit::C, 2),
            "fahrenheit" | "f" => (Unit::F, 2),
            _ => (Unit::Deg, 1),
        },
        "psi" => (Unit::Psi, 1),
        "percent" | "%" => (Unit::Pct, 1),
        _ => return None,
    })
}

/// A quantity that begins here: its value, unit and how many words it takes.
fn quantity(speech: &Speech<'_>, at: usize, end: usize) -> Option<(f64, Unit, usize)> {
    let w = |k: usize| {
        if at + k < end {
            speech.word(at + k)
        } else {
            ""
        }
    };
    // "half an inch", "half a mil"
    if matches!(w(0), "half" | "quarter") {
        let part = if w(0) == "half" { 0.5 } else { 0.25 };
        let skip = if matches!(w(1), "a" | "an") {
            2
        } else if w(1) == "of" {
            if matches!(w(2), "a" | "an") { 3 } else { 2 }
        } else {
            1
        };
        if let Some((unit, n)) = unit_of(speech, at + skip) {
            return Some((part, unit, skip + n));
        }
    }
    let (mut value, mut used) = amount(speech, at, end)?;
    let of = |k: usize| match w(k) {
        "half" | "halves" => Some(2.0),
        "third" | "thirds" => Some(3.0),
        "quarter" | "quarters" => Some(4.0),
        "eighth" | "eighths" => Some(8.0),
        "sixteenth" | "sixteenths" => Some(16.0),
        "thirty" if w(k + 1).starts_with("second") => Some(32.0),
        _ => None,
    };
    if let Some(d) = of(used) {
        // "three eighths", with or without "of an inch"; an eighth is an inch's unless a unit says otherwise.
        used += 1;
        value /= d;
        let skip = match (w(used), w(used + 1)) {
            ("of", "an" | "a") => 2,
            ("of", _) => 1,
            _ => 0,
        };
        return Some(match unit_of(speech, at + used + skip) {
            Some((u, n)) => (value, u, used + skip + n),
            None if d >= 8.0 => (value, Unit::In, used),
            None => return None,
        });
    }
    // "an inch and a half", "thirty-four and a quarter"
    let fraction = |k: usize| match (w(k), w(k + 1), w(k + 2)) {
        ("and", "a", "half") => Some(0.5),
        ("and", "a", "quarter") => Some(0.25),
        ("and", "three", "quarters") => Some(0.75),
        _ => None,
    };
    if let Some(f) = fraction(used) {
        used += 3;
        value += f;
        return Some(match unit_of(speech, at + used) {
            Some((u, n)) => (value, u, used + n),
            None => return None,
        });
    }
    let (unit, n) = unit_of(speech, at + used)?;
    used += n;
    if let Some(f) = fraction(used) {
        value += f;
        used += 3;
    }
    Some((value, unit, used))
}

/// A number in words or figures: "a", "two", "twenty-six", "a hundred and ten", "1 1/2", "½", "3/8".
pub fn amount(speech: &Speech<'_>, at: usize, end: usize) -> Option<(f64, usize)> {
    let w = |k: usize| {
        if at + k < end {
            speech.word(at + k)
        } else {
            ""
        }
    };
    let figure = |s: &str| -> Option<f64> {
        if let Some((a, b)) = s.split_once('/') {
            let (a, b): (f64, f64) = (a.parse().ok()?, b.parse().ok()?);
            return (b > 0.0).then_some(a / b);
        }
        match s {
            "½" => Some(0.5),
            "¼" => Some(0.25),
            "¾" => Some(0.75),
            _ => s
                .parse()
                .ok()
                .filter(|_| s.bytes().next().is_some_and(|b| b.is_ascii_digit())),
        }
    };
    if let Some(v) = figure(w(0)) {
        if w(0).bytes().all(|b| b.is_ascii_digit())
            && let Some(f) = figure(w(1)).filter(|f| *f < 1.0)
        {
            return Some((v + f, 2));
        }
        return Some((v, 1));
    }
    if matches!(w(0), "a" | "an") {
        return match w(1) {
            "couple" => Some((2.0, if w(2) == "of" { 3 } else { 2 })),
            "hundred" => Some((100.0, 2)),
            "good" | "full" => None,
            _ => Some((1.0, 1)),
        };
    }
    if w(0) == "couple" {
        return Some((2.0, if w(1) == "of" { 2 } else { 1 }));
    }
    let mut total = f64::from(grammar::number(w(0))?);
    let mut used = 1;
    loop {
        match grammar::number(w(used)) {
            Some(100) => total *= 100.0,
            Some(n)
                if n < 10 && total >= 20.0 && total % 10.0 == 0.0 || total >= 100.0 && n < 100 =>
            {
                total += f64::from(n)
            }
            _ if w(used) == "and" && total >= 100.0 && grammar::number(w(used + 1)).is_some() => {}
            _ => return Some((total, used)),
        }
        used += 1;
    }
}
