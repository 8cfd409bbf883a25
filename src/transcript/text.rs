//! Lines, entities, tags and white space.

use std::borrow::Cow;

use super::draft::Timed;

/// One line and where it begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Line<'a> {
    /// Byte offset of its first character.
    pub at: usize,
    /// The line without its ending.
    pub text: &'a str,
}

impl Line<'_> {
    /// Nothing but white space.
    pub(crate) fn is_blank(&self) -> bool {
        self.text.trim().is_empty()
    }
}

/// The lines of `text`, ended by CRLF, LF or CR alone; no empty line after the last ending.
pub(crate) fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        if at >= text.len() {
            return None;
        }
        let rest = &text.as_bytes()[at..];
        let length = rest
            .iter()
            .position(|b| matches!(b, b'\n' | b'\r'))
            .unwrap_or(rest.len());
        let ending = match (rest.get(length), rest.get(length + 1)) {
            (Some(b'\r'), Some(b'\n')) => 2,
            (Some(_), _) => 1,
            (None, _) => 0,
        };
        let line = Line {
            at,
            text: &text[at..at + length],
        };
        at += length + ending;
        Some(line)
    })
}

/// The number of the line on which byte `at` lies, counted from 1.
pub(crate) fn line_of(text: &str, at: usize) -> usize {
    line_of_bytes(text.as_bytes(), at)
}

/// As [`line_of`], for bytes that need not be text.
pub(crate) fn line_of_bytes(bytes: &[u8], at: usize) -> usize {
    let before = &bytes[..at.min(bytes.len())];
    let breaks = before.iter().enumerate().filter(|&(i, b)| match b {
        b'\n' => true,
        b'\r' => bytes.get(i + 1) != Some(&b'\n'),
        _ => false,
    });
    1 + breaks.count()
}

/// Reads one character reference at the start of `s` (`&amp;`, `&#39;`, `&#x27;`): its text and length in bytes.
pub(crate) fn entity(s: &str) -> Option<(Cow<'static, str>, usize)> {
    let end = s.bytes().take(12).position(|b| b == b';')?;
    let name = s.get(1..end)?;
    if let Some(number) = name.strip_prefix('#') {
        let hex = number.strip_prefix(['x', 'X']);
        let code = hex.map_or_else(|| number.parse().ok(), |h| u32::from_str_radix(h, 16).ok())?;
        let c = char::from_u32(code)
            .filter(|c| *c != '\0')
            .unwrap_or('\u{FFFD}');
        return Some((Cow::Owned(c.to_string()), end + 1));
    }
    let plain = match name {
        "amp" => "&",
        "lt" => "<",
        "gt" => ">",
        "quot" => "\"",
        "apos" => "'",
        "nbsp" => "\u{A0}",
        "lrm" => "\u{200E}",
        "rlm" => "\u{200F}",
        "hellip" => "…",
        "ndash" => "–",
        "mdash" => "—",
        "lsquo" => "‘",
        "rsquo" => "’",
        "ldquo" => "“",
        "rdquo" => "”",
        "frac12" => "½",
        "frac14" => "¼",
        "frac34" => "¾",
        "deg" => "°",
        "times" => "×",
        _ => return None,
    };
    Some((Cow::Borrowed(plain), end + 1))
}

/// Resolves all character references of `s`.
pub(crate) fn entities(s: &str) -> Cow<'_, str> {
    if !s.contains('&') {
        return Cow::Borrowed(s);
    }
    let mut out = String::with_capacity(s.len());
    let mut rest = s;
    while let Some(i) = rest.find('&') {
        out.push_str(&rest[..i]);
        rest = &rest[i..];
        let (text, used) = entity(rest).unwrap_or((Cow::Borrowed("&"), 1));
        out.push_str(&text);
        rest = &rest[used..];
    }
    out.push_str(rest);
    Cow::Owned(out)
}

/// Characters that carry no sound and no space: byte order marks, joiners, direction marks, controls.
fn is_unseen(c: char) -> bool {
    matches!(c, '\u{FEFF}' | '\u{AD}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{2069}')
        || (c.is_control() && !c.is_whitespace())
}

/// Folds white space and takes out `cuts` (sorted, not overlapping); word ranges move along.
///
/// A run of white space with a line break in it becomes one line break, any other one blank; nothing is left at the
/// edges. A cut counts as white space, except before punctuation. Words of which nothing is left go.
pub(crate) fn squeeze(
    text: &str,
    words: &[Timed],
    cuts: &[std::ops::Range<usize>],
) -> (String, Vec<Timed>) {
    if words.is_empty() && cuts.is_empty() && is_squeezed(text) {
        return (text.to_owned(), Vec::new());
    }
    let mut out = String::with_capacity(text.len());
    let mut kept: Vec<Timed> = Vec::with_capacity(words.len());
    let mut word = 0;
    let mut cut = 0;
    // What stands between the last character and the next: nothing, a cut, a blank, a line break.
    let mut gap = Gap::None;
    let mut open: Option<usize> = None;
    for (i, c) in text.char_indices() {
        while cut < cuts.len() && cuts[cut].end <= i {
            cut += 1;
        }
        while word < words.len() && words[word].range.end <= i {
            word += 1;
            open = None;
        }
        if cut < cuts.len() && cuts[cut].contains(&i) {
            gap = gap.max(if c == '\n' { Gap::Break } else { Gap::Cut });
            continue;
        }
        if c.is_whitespace() {
            gap = gap.max(if matches!(c, '\n' | '\r' | '\u{2028}' | '\u{2029}') {
                Gap::Break
            } else {
                Gap::Blank
            });
            continue;
        }
        if is_unseen(c) {
            continue;
        }
        if !out.is_empty() {
            match gap {
                Gap::Break => out.push('\n'),
                Gap::Blank if cut > 0 && cuts[cut - 1].end + 2 > i && is_closing(c) => {}
                Gap::Blank => out.push(' '),
                Gap::Cut if !is_closing(c) => out.push(' '),
                Gap::Cut | Gap::None => {}
            }
        }
        gap = Gap::None;
        let from = out.len();
        out.push(c);
        if word < words.len() && words[word].range.start <= i {
            if open == Some(word) {
                if let Some(last) = kept.last_mut() {
                    last.range.end = out.len();
                }
            } else {
                open = Some(word);
                kept.push(Timed {
                    range: from..out.len(),
                    ..words[word].clone()
                });
            }
        }
    }
    (out, kept)
}

/// Whether there is nothing to squeeze: plain letters and signs, with single blanks and line breaks between them.
fn is_squeezed(text: &str) -> bool {
    let is_gap = |b: &u8| matches!(b, b' ' | b'\n');
    let bytes = text.as_bytes();
    bytes.iter().all(|b| is_gap(b) || b.is_ascii_graphic())
        && !bytes.first().is_some_and(is_gap)
        && !bytes.last().is_some_and(is_gap)
        && !bytes.windows(2).any(|pair| pair.iter().all(is_gap))
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Gap {
    None,
    Cut,
    Blank,
    Break,
}

fn is_closing(c: char) -> bool {
    matches!(c, ',' | '.' | ';' | ':' | '!' | '?')
}
