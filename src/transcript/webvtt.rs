//! WebVTT, by the parser algorithm of the W3C (<https://www.w3.org/TR/webvtt1/#file-parsing>).

use std::ops::Range;

use super::draft::{Draft, Kind, Notes, Timed};
use super::text::{self, Line, lines};

/// A cue as the parser algorithm gives it, before anything is done to it as speech.
#[derive(Debug, Clone, PartialEq)]
pub struct RawCue {
    /// Start, in seconds.
    pub start: f64,
    /// End, in seconds; may lie before the start, as the algorithm allows.
    pub end: f64,
    /// The cue text as written, lines joined by LF.
    pub raw: String,
    /// The cue text without tags, character references resolved.
    pub text: String,
    /// Byte offset of the line with the times.
    pub at: usize,
}

/// All cues of a WebVTT file that are well-formed, in the file's order; none where the signature is missing.
pub fn cues(text: &str) -> Vec<RawCue> {
    let mut out = Vec::new();
    if has_signature(text) {
        blocks(text, |block| {
            if let Block::Cue { at, times, raw } = block
                && let Some((start, end)) = timing(times)
            {
                let flat = flatten(&raw);
                out.push(RawCue {
                    start,
                    end,
                    text: flat.text,
                    raw,
                    at,
                });
            }
        });
    }
    out
}

fn has_signature(text: &str) -> bool {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    text.strip_prefix("WEBVTT")
        .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t', '\n', '\r']))
}

/// Reads a WebVTT file as speech. Times written loosely (a comma, one digit) are read all the same, with a note.
pub(crate) fn read(text: &str, notes: &mut Notes) -> Vec<Draft> {
    let mut out: Vec<Draft> = Vec::new();
    let lead = text.len() - text.trim_start().len();
    blocks(&text[lead..], |block| match block {
        Block::Cue { at, times, raw } => {
            let at = at + lead;
            let read = timing(times).or_else(|| {
                let loose = super::subrip::timing(times)?;
                notes.add(Kind::Stamp, at, || {
                    format!(
                        "time not as WebVTT writes it, read all the same: {}",
                        times.trim()
                    )
                });
                Some(loose)
            });
            let Some((start, end)) = read else {
                notes.add(Kind::Skipped, at, || {
                    format!("cue skipped, its times cannot be read: {}", short(times))
                });
                return;
            };
            spoken(at, start, end, &flatten(&raw), &mut out);
        }
        Block::Stray { at, line } => {
            notes.add(Kind::LeftOut, at + lead, || {
                format!("left out, as it has no times: {}", short(line))
            });
        }
    });
    out
}

/// The first 60 characters of a line, for a note.
pub(crate) fn short(line: &str) -> String {
    let line = line.trim();
    match line.char_indices().nth(60) {
        Some((i, _)) => format!("\"{}…\"", &line[..i]),
        None => format!("\"{line}\""),
    }
}

enum Block<'a> {
    /// A line with an arrow, and the lines below it.
    Cue {
        at: usize,
        times: &'a str,
        raw: String,
    },
    /// Text that is neither a cue nor a comment, a style sheet or a region.
    Stray { at: usize, line: &'a str },
}

/// Cuts the file into blocks: a line with `-->` begins a cue, which an empty line or the next arrow ends.
fn blocks<'a>(text: &'a str, mut give: impl FnMut(Block<'a>)) {
    let mut all = lines(text).peekable();
    // The header: the signature line, then lines up to an empty one or the first cue.
    all.next();
    while let Some(line) = all.peek() {
        if line.text.is_empty() {
            break;
        }
        if line.text.contains("-->") {
            break;
        }
        all.next();
    }
    let mut before: Option<Line<'a>> = None;
    let mut comment = false;
    while let Some(line) = all.next() {
        if line.text.contains("-->") {
            before = None;
            comment = false;
            let mut raw = String::new();
            while let Some(next) = all.next_if(|l| !l.text.is_empty() && !l.text.contains("-->")) {
                if !raw.is_empty() {
                    raw.push('\n');
                }
                if next.text.contains('\0') {
                    raw.push_str(&next.text.replace('\0', "\u{FFFD}"));
                } else {
                    raw.push_str(next.text);
                }
            }
            give(Block::Cue {
                at: line.at,
                times: line.text,
                raw,
            });
        } else if line.text.is_empty() {
            if let Some(stray) = before.take().filter(|_| !comment) {
                give(Block::Stray {
                    at: stray.at,
                    line: stray.text,
                });
            }
            comment = false;
        } else if before.is_none() {
            comment = is_comment(line.text);
            before = Some(line);
        }
    }
    if let Some(stray) = before.filter(|_| !comment) {
        give(Block::Stray {
            at: stray.at,
            line: stray.text,
        });
    }
}

/// `NOTE`, `STYLE` or `REGION`, alone or (NOTE) with text behind it.
fn is_comment(line: &str) -> bool {
    let word = line.split([' ', '\t']).next().unwrap_or("");
    word == "NOTE" || matches!(line.trim_end(), "STYLE" | "REGION")
}

/// The two times of a timing line, in seconds; settings behind them are passed over.
fn timing(line: &str) -> Option<(f64, f64)> {
    let blank = |c: char| matches!(c, ' ' | '\t' | '\x0C' | '\n' | '\r');
    let (start, rest) = timestamp(line.trim_start_matches(blank))?;
    let rest = rest.trim_start_matches(blank).strip_prefix("-->")?;
    let (end, _) = timestamp(rest.trim_start_matches(blank))?;
    Some((start, end))
}

/// "Collect a WebVTT timestamp": seconds, and what follows.
fn timestamp(s: &str) -> Option<(f64, &str)> {
    let digits = |s: &str| s.bytes().take_while(u8::is_ascii_digit).count();
    let n = digits(s);
    let mut first: u64 = if n == 0 || n > 9 {
        return None;
    } else {
        s[..n].parse().ok()?
    };
    let hours = n != 2 || first > 59;
    let two = |s: &str| -> Option<(u64, usize)> {
        let s = s.strip_prefix(':')?;
        (digits(s) == 2)
            .then(|| s[..2].parse().ok().map(|v| (v, 3)))
            .flatten()
    };
    let (mut second, used) = two(&s[n..])?;
    let mut rest = &s[n + used..];
    let third = if hours || rest.starts_with(':') {
        let (value, used) = two(rest)?;
        rest = &rest[used..];
        value
    } else {
        let value = second;
        second = first;
        first = 0;
        value
    };
    let rest = rest.strip_prefix('.')?;
    if digits(rest) != 3 || second > 59 || third > 59 {
        return None;
    }
    let ms: u64 = rest[..3].parse().ok()?;
    let total = ((first * 60 + second) * 60 + third) * 1000 + ms;
    Some((total as f64 / 1000.0, &rest[3..]))
}

/// Cue text without its tags, and what the tags said of it.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Flat {
    /// The text.
    pub text: String,
    /// Timestamps inside: byte offset in `text`, seconds.
    pub stamps: Vec<(usize, f64)>,
    /// Stretches spoken by a named voice.
    pub voices: Vec<(Range<usize>, String)>,
}

/// The cue text tokenizer: takes out tags, resolves character references, keeps voices and timestamps.
pub(crate) fn flatten(raw: &str) -> Flat {
    let mut flat = Flat::default();
    let mut voice: Option<(usize, String)> = None;
    let mut rest = raw;
    while let Some(i) = rest.find(['<', '&']) {
        flat.text.push_str(&rest[..i]);
        rest = &rest[i..];
        if rest.starts_with('&') {
            let (plain, used) = text::entity(rest).unwrap_or(("&".into(), 1));
            flat.text.push_str(&plain);
            rest = &rest[used..];
            continue;
        }
        let end = rest.find('>').unwrap_or(rest.len());
        let tag = &rest[1..end];
        rest = rest.get(end + 1..).unwrap_or("");
        if tag.starts_with(|c: char| c.is_ascii_digit()) {
            if let Some((seconds, "")) = timestamp(tag) {
                flat.stamps.push((flat.text.len(), seconds));
            }
            continue;
        }
        let closes = tag.starts_with('/');
        let name = tag
            .trim_start_matches('/')
            .split(|c: char| c == '.' || c.is_whitespace())
            .next()
            .unwrap_or("");
        if name == "v" {
            if let Some((from, who)) = voice.take() {
                flat.voices.push((from..flat.text.len(), who));
            }
            if !closes {
                let who = tag
                    .split_once(char::is_whitespace)
                    .map_or("", |(_, who)| who.trim());
                let who = text::entities(who)
                    .split_whitespace()
                    .collect::<Vec<_>>()
                    .join(" ");
                voice = (!who.is_empty()).then_some((flat.text.len(), who));
            }
        }
    }
    flat.text.push_str(rest);
    if let Some((from, who)) = voice {
        flat.voices.push((from..flat.text.len(), who));
    }
    flat
}

/// Makes drafts of one cue: one for each voice, or one for all.
fn spoken(at: usize, start: f64, end: f64, flat: &Flat, out: &mut Vec<Draft>) {
    let words = words(flat, start, end);
    let whole = Draft {
        at,
        start,
        end: Some(end),
        text: flat.text.clone(),
        speaker: None,
        words,
    };
    if let [(range, who)] = &flat.voices[..]
        && *range == (0..flat.text.len())
    {
        out.push(Draft {
            speaker: Some(who.clone()),
            ..whole
        });
        return;
    }
    let mut parts = Vec::new();
    let mut done = 0;
    for (range, who) in &flat.voices {
        parts.push((done..range.start, None));
        parts.push((range.clone(), Some(who.clone())));
        done = range.end;
    }
    parts.push((done..flat.text.len(), None));
    parts.retain(|(range, _)| !flat.text[range.clone()].trim().is_empty());
    match parts.len() {
        0 => out.push(whole),
        1 => out.push(Draft {
            start,
            end: Some(end),
            ..whole.parts(parts).remove(0)
        }),
        _ => out.extend(whole.parts(parts)),
    }
}

/// Word times from the timestamps inside a cue: the words between two of them share the time between them.
fn words(flat: &Flat, start: f64, end: f64) -> Vec<Timed> {
    let mut out = Vec::new();
    if flat.stamps.is_empty() {
        return out;
    }
    // Lines above the first timestamp are those of the cue before, rolled up.
    let lead = flat.text[..flat.stamps[0].0]
        .rfind('\n')
        .map_or(0, |i| i + 1);
    let mut from = (lead, start);
    for next in flat
        .stamps
        .iter()
        .copied()
        .chain([(flat.text.len(), end.max(start))])
    {
        let time = next.1.max(from.1);
        share(&flat.text, from.0..next.0, from.1, time, &mut out);
        from = (next.0, time);
    }
    out
}

/// Shares the time from `start` to `end` among the words of a stretch, by their characters.
///
/// Words do not last longer than they can be drawn out (0.4 s, and 0.3 s a word, and 0.1 s a character): the rest is silence.
pub(crate) fn share(text: &str, range: Range<usize>, start: f64, end: f64, out: &mut Vec<Timed>) {
    let stretch = &text[range.clone()];
    let all = stretch
        .chars()
        .filter(|c| !c.is_whitespace())
        .count()
        .max(1) as f64;
    let span = (end - start).min(0.4 + 0.1 * all + 0.3 * stretch.split_whitespace().count() as f64);
    let mut before = 0usize;
    let mut at = 0;
    for word in stretch.split_whitespace() {
        // The pieces of split_whitespace lie in the stretch in order, so each is found from where the last one ended.
        let from = at + stretch[at..].find(word).unwrap_or(0);
        at = from + word.len();
        let length = word.chars().count();
        let time = |n: usize| start + span * n as f64 / all;
        let range = range.start + from..range.start + at;
        out.push(Timed {
            range,
            start: time(before),
            end: Some(time(before + length)),
        });
        before += length;
    }
}
