//! One stamp: a time or two, with or without brackets.

use super::super::time;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Style {
    Square,
    Round,
    Angle,
    Bare,
}

/// A stamp: its times in seconds, and how many bytes it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stamp {
    pub start: f64,
    pub end: Option<f64>,
    pub used: usize,
    pub style: Style,
}

/// Reads a stamp at the start of `s`: `[1:02]`, `(0:01:02)`, `00:01:02.500`, `[0:01 --> 0:05]`, `0:01 - 0:05`, `[62.5s]`.
pub(super) fn stamp(s: &str) -> Option<Stamp> {
    let (style, close) = match s.as_bytes().first()? {
        b'[' => (Style::Square, b']'),
        b'(' => (Style::Round, b')'),
        b'<' => (Style::Angle, b'>'),
        b'0'..=b'9' => return bare(s),
        _ => return None,
    };
    let end = s
        .bytes()
        .take(60)
        .position(|b| b == close && b != b'-')
        .filter(|e| *e > 1)?;
    // An arrow's head is no closing sign.
    let end = if style == Style::Angle && s[..end].ends_with('-') {
        end + 1 + s[end + 1..].bytes().take(40).position(|b| b == close)?
    } else {
        end
    };
    let inner = s[1..end].trim();
    let (start, end_time) = match split_range(inner) {
        Some((left, right)) => (
            moment(left, style, true)?,
            Some(moment(right, style, true)?),
        ),
        None => (moment(inner, style, false)?, None),
    };
    Some(Stamp {
        start,
        end: end_time,
        used: end + 1,
        style,
    })
}

/// One time inside brackets. Units and plain seconds only in square ones: "(2 m)" is a measure.
fn moment(s: &str, style: Style, range: bool) -> Option<f64> {
    let s = s.trim();
    time::clock(s).or_else(|| {
        if style != Style::Square {
            return None;
        }
        let plain = if range {
            time::number(s).filter(|v| *v >= 0.0)
        } else {
            None
        };
        time::with_unit(s).or(plain)
    })
}

const ARROWS: [&str; 9] = ["-->", "->", "→", "–", "—", " - ", " to ", "-", ","];

fn split_range(s: &str) -> Option<(&str, &str)> {
    ARROWS.iter().find_map(|arrow| {
        s.split_once(arrow)
            .filter(|(l, r)| !l.trim().is_empty() && !r.trim().is_empty() && is_range(l, r))
    })
}

/// A comma also stands before a fraction, so both sides must be times of their own.
fn is_range(left: &str, right: &str) -> bool {
    let whole = |s: &str| {
        time::clock(s).is_some() || time::with_unit(s).is_some() || time::number(s).is_some()
    };
    let (left, right) = (left.trim(), right.trim());
    whole(left) && whole(right) && (right.contains(':') == left.contains(':'))
}

/// A stamp without brackets: a clock time or two, then the end of the line, a blank or a separator.
pub(super) fn bare(s: &str) -> Option<Stamp> {
    let (start, mut used) = time::clock_prefix(s)?;
    let mut end = None;
    let rest = &s[used..];
    for arrow in ARROWS {
        let lead = rest.len() - rest.trim_start().len();
        if let Some(after) = rest[lead..].strip_prefix(arrow.trim()) {
            let gap = after.len() - after.trim_start().len();
            if let Some((time, n)) = time::clock_prefix(after.trim_start()) {
                end = Some(time);
                used += lead + arrow.trim().len() + gap + n;
            }
            break;
        }
    }
    let rest = &s[used..];
    let next = rest.chars().next();
    let clear = next.is_none_or(|c| {
        c.is_whitespace() || matches!(c, ':' | '-' | '–' | '—' | '|' | ']' | ')' | '*' | '\t')
    });
    let word: String = rest
        .trim_start()
        .chars()
        .take(7)
        .collect::<String>()
        .to_lowercase();
    let of_day = ["am", "pm", "a.m", "p.m", "o'clock", "o’clock"]
        .iter()
        .any(|d| {
            word.strip_prefix(d)
                .is_some_and(|r| !r.starts_with(|c: char| c.is_alphanumeric()))
        });
    (clear && !of_day).then_some(Stamp {
        start,
        end,
        used,
        style: Style::Bare,
    })
}
