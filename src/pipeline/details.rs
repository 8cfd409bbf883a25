//! The finer fields of an item: how many, how large, how pressing, how dangerous, what was promised, where exactly.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon};
use crate::list::{FollowUp, Hazard, Measure, Unit};

use super::findings::{Finding, Outcome};
use super::grammar;
use super::normalize::{Speech, Stop};
use super::scan::Scan;

/// The finer fields.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Details {
    /// How many.
    pub count: Option<u32>,
    /// How large.
    pub measure: Option<Measure>,
    /// Pressed.
    pub urgent: bool,
    /// Dangerous.
    pub hazard: Option<Hazard>,
    /// Promised.
    pub follow_up: Option<FollowUp>,
    /// By when, in the speaker's words.
    pub by: Option<String>,
    /// Where inside the area, in the speaker's words.
    pub spot: Option<String>,
}

/// Reads the finer fields of an item from the words of its matter.
pub fn details(f: &Finding, speech: &Speech<'_>, scan: &Scan, lexicon: &Lexicon) -> Details {
    let scope = &f.scope;
    Details {
        count: count(f, speech, scan),
        measure: measure(scope, speech),
        urgent: scan.cues_within(scope).any(|(k, _)| *k == CueKind::Urgent),
        hazard: hazard(f, scan, lexicon),
        follow_up: follow_up(scope, scan, lexicon),
        by: deadline(scope, speech, scan),
        spot: spot(f, speech),
    }
}

fn follow_up(scope: &Range<usize>, scan: &Scan, lexicon: &Lexicon) -> Option<FollowUp> {
    let mut best: Option<(usize, FollowUp)> = None;
    for (_, m) in scan
        .cues_within(scope)
        .filter(|(k, _)| *k == CueKind::Promise)
    {
        if let Some(f) = lexicon.cue(m.entry).follow_up
            && best.is_none_or(|(n, _)| m.tokens.len() > n)
        {
            best = Some((m.tokens.len(), f));
        }
    }
    best.map(|(_, f)| f)
}

fn deadline(scope: &Range<usize>, speech: &Speech<'_>, scan: &Scan) -> Option<String> {
    let cue = scan.cues_within(scope).find(|(k, m)| {
        *k == CueKind::Urgent
            && matches!(
                speech.word(m.tokens.start),
                "before" | "today" | "tonight" | "by" | "until" | "this"
            )
    });
    if let Some((_, m)) = cue {
        let mut end = m.tokens.end;
        while end < scope.end && speech.tokens[end - 1].stop == Stop::None && end < m.tokens.end + 6
        {
            end += 1;
        }
        return Some(speech.reading.text[speech.said(&(m.tokens.start..end))].to_string());
    }
    for i in scope.clone() {
        if speech.word(i) == "by"
            && matches!(
                speech.word(i + 1),
                "monday"
                    | "tuesday"
                    | "wednesday"
                    | "thursday"
                    | "friday"
                    | "saturday"
                    | "sunday"
                    | "tomorrow"
                    | "noon"
                    | "tonight"
            )
        {
            return Some(speech.reading.text[speech.said(&(i..i + 2))].to_string());
        }
    }
    None
}

fn hazard(f: &Finding, scan: &Scan, lexicon: &Lexicon) -> Option<Hazard> {
    let element = f
        .thing
        .as_ref()
        .and_then(|t| t.entry)
        .map(|e| lexicon.element(e));
    if let Outcome::Item { fault, .. } = &f.outcome {
        let mut faults: Vec<u16> = fault.iter().copied().collect();
        faults.extend(f.said.iter().flat_map(|r| {
            scan.within(r)
                .filter(|m| m.kind == Kind::Fault)
                .map(|m| m.entry)
                .collect::<Vec<_>>()
        }));
        for e in faults {
            let fault = lexicon.fault(e);
            let by_part = element.and_then(|p| {
                fault
                    .hazards
                    .get(&p.id)
                    .or_else(|| fault.hazards.get(&p.group))
            });
            if let Some(h) = by_part.copied().or(fault.hazard) {
                return Some(h);
            }
        }
    }
    scan.cues_within(&f.scope)
        .filter(|(k, _)| *k == CueKind::Danger)
        .map(|(_, m)| lexicon.cue(m.entry))
        .find(|c| {
            c.on.is_empty()
                || element.is_some_and(|e| c.on.iter().any(|o| *o == e.id || *o == e.group))
        })?
        .hazard
}

/// A number that counts the part or the fault: "two nail pops", "three of them", "a couple of pulls".
fn count(f: &Finding, speech: &Speech<'_>, scan: &Scan) -> Option<u32> {
    let mut heads: Vec<usize> = Vec::new();
    if let Some(t) = &f.thing {
        heads.push(t.tokens.start);
    }
    for r in &f.said {
        heads.extend(
            scan.within(r)
                .filter(|m| m.kind == Kind::Fault)
                .map(|m| m.tokens.start),
        );
    }
    for at in heads {
        let mut i = at;
        while i > 0 && i + 5 > at && speech.tokens[i - 1].stop == Stop::None {
            let w = speech.word(i - 1);
            if let Some(n) = counted(speech, i - 1) {
                return Some(n);
            }
            if !(grammar::is_describing(w) || w == "of" || grammar::is_spot(w)) {
                break;
            }
            i -= 1;
        }
    }
    let scope = f.said.iter().flat_map(Clone::clone);
    for i in scope {
        if let Some(n) = counted(speech, i)
            && speech.word(i + 1) == "of"
            && matches!(speech.word(i + 2), "them" | "those" | "these")
        {
            return Some(n);
        }
    }
    None
}

fn counted(speech: &Speech<'_>, i: usize) -> Option<u32> {
    let w = speech.word(i);
    let before = if i > 0 { speech.word(i - 1) } else { "" };
    match w {
        "couple" | "pair" => Some(2),
        "dozen" => Some(12),
        "one"
            if matches!(
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
            ) =>
        {
            None
        }
        // "number four", "bedroom two" tell which, not how many.
        _ if before == "number" => None,
        _ => grammar::number(w).filter(|n| (1..=500).contains(n)),
    }
}

/// A number with a unit: "half an inch", "three eighths", "forty mil", "twenty-six degrees".
pub fn measure(scope: &Range<usize>, speech: &Speech<'_>) -> Option<Measure> {
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
    best
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
            _ => (Unit::F, 1),
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
fn amount(speech: &Speech<'_>, at: usize, end: usize) -> Option<(f64, usize)> {
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

/// The speaker's words for the spot: a phrase of place that names no other matter.
fn spot(f: &Finding, speech: &Speech<'_>) -> Option<String> {
    for r in &f.said {
        let mut i = r.start;
        while i < r.end {
            let w = speech.word(i);
            let starts = grammar::is_beside(w)
                && !matches!(
                    w,
                    "for"
                        | "with"
                        | "without"
                        | "before"
                        | "after"
                        | "like"
                        | "as"
                        | "than"
                        | "about"
                        | "where"
                        | "from"
                        | "off"
                        | "past"
                )
                || matches!(w, "left" | "right") && matches!(speech.word(i + 1), "of" | "hand")
                || w == "next" && speech.word(i + 1) == "to"
                || matches!(w, "at" | "along" | "down" | "across")
                    && matches!(speech.word(i + 1), "the" | "this" | "that");
            if starts {
                let mut end = i + 1;
                while end < r.end
                    && speech.tokens[end - 1].stop == Stop::None
                    && end < i + 8
                    && !grammar::is_auxiliary(speech.word(end))
                    && !matches!(speech.word(end), "and" | "but" | "so" | "that" | "which")
                {
                    end += 1;
                }
                if end > i + 1 {
                    return Some(
                        speech.reading.text[speech.said(&(i..end))]
                            .trim_end_matches([',', '.', ';', ':', '?', '!'])
                            .to_string(),
                    );
                }
            }
            i += 1;
        }
    }
    None
}
