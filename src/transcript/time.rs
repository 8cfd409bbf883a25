//! Time stamps as transcripts write them, to seconds and back.

/// A longer walk than this is a mistake in the file: 100 hours, in seconds.
pub(crate) const LONGEST: f64 = 360_000.0;

/// Reads a clock time that fills the whole of `s` (see [`clock_prefix`]).
pub(crate) fn clock(s: &str) -> Option<f64> {
    let s = s.trim();
    match clock_prefix(s) {
        Some((seconds, used)) if used == s.len() => Some(seconds),
        _ => None,
    }
}

/// Reads `m:ss`, `h:mm:ss`, each with an optional fraction after a dot or comma, from the start of `s`.
///
/// Gives seconds and how many bytes were read. `h:mm:ss:mmm` (three digits) is read as milliseconds and
/// `h:mm:ss:ff` (two digits) as frames of a thirtieth of a second, as edit lists write them.
pub(crate) fn clock_prefix(s: &str) -> Option<(f64, usize)> {
    let bytes = s.as_bytes();
    let mut groups = [0u64; 3];
    let mut count = 0;
    let mut i = 0;
    loop {
        let from = i;
        let mut value = 0u64;
        while i < bytes.len() && bytes[i].is_ascii_digit() && i - from < 7 {
            value = value * 10 + u64::from(bytes[i] - b'0');
            i += 1;
        }
        let digits = i - from;
        let fits = if count == 0 {
            (1..=6).contains(&digits)
        } else {
            digits == 2 && value < 60
        };
        if !fits {
            return None;
        }
        groups[count] = value;
        count += 1;
        let more = bytes.get(i) == Some(&b':') && bytes.get(i + 1).is_some_and(u8::is_ascii_digit);
        if count < 3 && more {
            i += 1;
        } else {
            break;
        }
    }
    let whole = match count {
        2 => groups[0] * 60 + groups[1],
        3 => groups[0] * 3600 + groups[1] * 60 + groups[2],
        _ => return None,
    };
    let digits_from = |at: usize| {
        bytes[at..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count()
    };
    let mut seconds = whole as f64;
    match bytes.get(i) {
        Some(b'.' | b',') => {
            let n = digits_from(i + 1);
            if n > 0 {
                seconds = with_fraction(whole, &s[i + 1..i + 1 + n]);
                i += 1 + n;
            }
        }
        Some(b':' | b';') if count == 3 && digits_from(i + 1) > 0 => {
            let n = digits_from(i + 1);
            let part = s[i + 1..i + 1 + n].parse::<u64>().unwrap_or(0);
            match n {
                3 => seconds = with_fraction(whole, &s[i + 1..i + 4]),
                2 => seconds = whole as f64 + part.min(29) as f64 / 30.0,
                _ => return None,
            }
            i += 1 + n;
        }
        _ => {}
    }
    let goes_on = bytes.get(i) == Some(&b':') && digits_from(i + 1) > 0;
    if goes_on || bytes.get(i).is_some_and(u8::is_ascii_digit) {
        return None;
    }
    Some((seconds, i))
}

/// Whole seconds and the digits after the point, rounded once.
pub(crate) fn with_fraction(whole: u64, digits: &str) -> f64 {
    let digits = &digits[..digits.len().min(9)];
    let scale = 10u64.pow(digits.len() as u32);
    let part = digits.parse::<u64>().unwrap_or(0);
    (whole as f64 * scale as f64 + part as f64) / scale as f64
}

/// Reads a time with its unit: `1.2s`, `850ms`, `1m02s`, `1h 2m 3s`, `PT1M2.5S`; in seconds.
pub(crate) fn with_unit(s: &str) -> Option<f64> {
    let s = s.trim();
    let iso = s.strip_prefix("PT").or_else(|| s.strip_prefix("pt"));
    let mut rest = iso.unwrap_or(s);
    let mut total = 0.0;
    let mut last = 0;
    while !rest.is_empty() {
        let n = rest
            .bytes()
            .take_while(|b| b.is_ascii_digit() || *b == b'.')
            .count();
        let value = number(&rest[..n])?;
        rest = rest[n..].trim_start();
        let n = rest.bytes().take_while(u8::is_ascii_alphabetic).count();
        let (rank, factor) = match rest[..n].to_ascii_lowercase().as_str() {
            "h" | "hr" | "hrs" => (1, 3600.0),
            "m" | "min" | "mins" => (2, 60.0),
            "s" | "sec" | "secs" | "second" | "seconds" => (3, 1.0),
            "ms" | "msec" => (4, 0.001),
            _ => return None,
        };
        if rank <= last {
            return None;
        }
        last = rank;
        // Division keeps 850 ms the same number as 0.85 written out.
        total += if rank == 4 {
            value / 1000.0
        } else {
            value * factor
        };
        rest = rest[n..].trim_start();
    }
    (last > 0).then_some(total)
}

/// A plain finite decimal number; a comma counts as the decimal point where no dot is there.
pub(crate) fn number(s: &str) -> Option<f64> {
    let s = s.trim();
    if s.is_empty()
        || s.len() > 40
        || !s
            .bytes()
            .all(|b| b.is_ascii_digit() || b"+-.,eE".contains(&b))
    {
        return None;
    }
    let parsed = if s.contains(',') && !s.contains('.') {
        s.replace(',', ".").parse()
    } else {
        s.parse::<f64>()
    };
    parsed.ok().filter(|v| v.is_finite())
}

/// Seconds as people read them: `1:02`, `1:00:05`.
pub fn show(seconds: f64) -> String {
    let whole = if seconds.is_finite() {
        seconds.max(0.0) as u64
    } else {
        0
    };
    let (h, m, s) = (whole / 3600, whole / 60 % 60, whole % 60);
    if h > 0 {
        format!("{h}:{m:02}:{s:02}")
    } else {
        format!("{m}:{s:02}")
    }
}

/// Whether plain numbers are milliseconds, told by how fast somebody would have spoken.
///
/// Speech runs at some 15 characters a second, so at 0.015 a millisecond; half a character for each unit lies between.
/// Milliseconds need whole numbers that reach at least 1000, or numbers that no recording could reach in seconds;
/// anything else is seconds.
#[derive(Debug, Default, Clone, Copy)]
pub(crate) struct UnitGuess {
    chars: f64,
    units: f64,
    largest: f64,
    fractions: bool,
}

impl UnitGuess {
    /// Takes in one timed piece: `length` is end minus start, in the unknown unit.
    pub(crate) fn add(&mut self, start: f64, length: f64, chars: usize) {
        self.chars += chars as f64;
        self.units += length.max(0.0);
        self.largest = self.largest.max(start + length.max(0.0));
        self.fractions |= start.fract() != 0.0 || length.fract() != 0.0;
    }

    /// How many of the unit make a second: 1 or 1000.
    pub(crate) fn scale(&self) -> f64 {
        if self.milliseconds() { 1000.0 } else { 1.0 }
    }

    /// True if the numbers are milliseconds.
    pub(crate) fn milliseconds(&self) -> bool {
        let whole = !self.fractions && self.largest >= 1000.0;
        (whole && self.units > 0.0 && self.chars / self.units < 0.5) || self.largest > LONGEST
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clock_times() {
        for (text, seconds) in [
            ("1:02", Some(62.0)),
            ("0:01:02", Some(62.0)),
            ("00:01:02.500", Some(62.5)),
            ("00:01:02,5", Some(62.5)),
            ("75:30", Some(4530.0)),
            ("00:01:02:500", Some(62.5)),
            ("00:01:02:15", Some(62.5)),
            ("00:01:02;15", Some(62.5)),
            ("1:2", None),
            ("1:60", None),
            ("1:02:03:04:05", None),
            ("62", None),
            (":02", None),
            ("1:022", None),
            ("", None),
        ] {
            assert_eq!(clock(text), seconds, "{text}");
        }
        assert_eq!(clock_prefix("0:02: so"), Some((2.0, 4)));
        assert_eq!(clock_prefix("0:02.  so"), Some((2.0, 4)));
    }

    #[test]
    fn times_with_units() {
        for (text, seconds) in [
            ("1.2s", Some(1.2)),
            ("850ms", Some(0.85)),
            ("1m02s", Some(62.0)),
            ("1h 2m 3s", Some(3723.0)),
            ("PT1M2.5S", Some(62.5)),
            ("2s1m", None),
            ("1.2", None),
            ("s", None),
            ("PT", None),
        ] {
            assert_eq!(with_unit(text), seconds, "{text}");
        }
    }

    #[test]
    fn times_for_people() {
        for (seconds, text) in [
            (62.9, "1:02"),
            (3605.0, "1:00:05"),
            (-1.0, "0:00"),
            (f64::NAN, "0:00"),
        ] {
            assert_eq!(show(seconds), text);
        }
    }

    #[test]
    fn the_unit_is_told_by_the_speed_of_speech() {
        let of = |rows: &[(f64, f64, usize)]| {
            let mut guess = UnitGuess::default();
            rows.iter()
                .for_each(|(start, length, chars)| guess.add(*start, *length, *chars));
            guess.scale()
        };
        assert_eq!(of(&[(0.0, 2500.0, 40), (2500.0, 1000.0, 12)]), 1000.0);
        assert_eq!(of(&[(0.0, 3.0, 40), (1790.0, 5.0, 70)]), 1.0);
        assert_eq!(of(&[(0.0, 30.0, 5)]), 1.0, "a silence");
        assert_eq!(of(&[(0.5, 2500.25, 40)]), 1.0, "fractions");
        assert_eq!(
            of(&[(400_000.0, 100.0, 90)]),
            1000.0,
            "111 hours of seconds"
        );
        assert_eq!(of(&[]), 1.0);
    }
}
