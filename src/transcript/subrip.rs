//! SubRip, as loosely as it is written in the wild: there is no standard.

use super::draft::{Draft, Kind, Notes};
use super::text::{Line, entities, lines};
use super::time;
use super::webvtt::short;

/// The two times of a line such as `00:00:01,000 --> 00:00:02,500`, in seconds.
///
/// The fraction may be missing or follow a dot, hours may be missing; what follows the end (positions) is passed over.
pub(crate) fn timing(line: &str) -> Option<(f64, f64)> {
    let (left, right) = line.split_once("->")?;
    let start = time::clock(left.trim_end_matches(['-', ' ', '\t']))?;
    let (end, used) = time::clock_prefix(right.trim_start())?;
    let after = right.trim_start()[used..].chars().next();
    after
        .is_none_or(char::is_whitespace)
        .then_some((start, end))
}

/// Reads a SubRip file.
pub(crate) fn read(text: &str, notes: &mut Notes) -> Vec<Draft> {
    let mut out: Vec<Draft> = Vec::new();
    let mut cue: Option<(usize, f64, f64)> = None;
    let mut below: Vec<Line> = Vec::new();
    let mut bad = false;
    for line in lines(text) {
        let times = if line.text.contains("->") {
            timing(line.text)
        } else {
            None
        };
        let broken = times.is_none() && is_broken_timing(line.text, &below);
        if times.is_none() && !broken {
            below.push(line);
            continue;
        }
        drop_number(&mut below, out.len() + usize::from(cue.is_some()));
        close(cue.take(), &below, bad, &mut out, notes);
        below.clear();
        bad = broken;
        if let Some((start, end)) = times {
            cue = Some((line.at, start, end));
        } else {
            notes.add(Kind::Skipped, line.at, || {
                format!(
                    "cue skipped, its times cannot be read: {}",
                    short(line.text)
                )
            });
        }
    }
    close(cue, &below, bad, &mut out, notes);
    out
}

/// A line that stands where times belong and has an arrow, yet does not read as times.
fn is_broken_timing(line: &str, below: &[Line]) -> bool {
    let placed = below
        .last()
        .is_none_or(|l| l.is_blank() || is_number(l.text));
    placed
        && line.contains("-->")
        && line
            .trim_start()
            .starts_with(|c: char| c.is_ascii_digit() || c == '-')
}

fn is_number(line: &str) -> bool {
    let line = line.trim();
    !line.is_empty() && line.len() < 10 && line.bytes().all(|b| b.is_ascii_digit())
}

/// Takes the number of the next cue off the lines above its times.
fn drop_number(below: &mut Vec<Line>, so_far: usize) {
    let Some(last) = below.last().filter(|l| is_number(l.text)) else {
        return;
    };
    let above = below.len().checked_sub(2).map(|i| below[i]);
    let next = last
        .text
        .trim()
        .parse::<usize>()
        .ok()
        .is_some_and(|n| n == so_far || n == so_far + 1);
    if above.is_none_or(|l| l.is_blank()) || next {
        below.pop();
    }
}

/// Ends a cue with the lines below its times; lines that belong to no cue are noted.
fn close(
    cue: Option<(usize, f64, f64)>,
    below: &[Line],
    bad: bool,
    out: &mut Vec<Draft>,
    notes: &mut Notes,
) {
    let Some((at, start, end)) = cue else {
        if let Some(line) = below.iter().find(|l| !l.is_blank()).filter(|_| !bad) {
            notes.add(Kind::LeftOut, line.at, || {
                format!("left out, as it has no times: {}", short(line.text))
            });
        }
        return;
    };
    let mut text = String::new();
    for line in below.iter().filter(|l| !l.is_blank()) {
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(line.text);
    }
    let (text, speaker) = strip(&text);
    out.push(Draft {
        at,
        start,
        end: Some(end),
        text: entities(&text).into_owned(),
        speaker,
        words: Vec::new(),
    });
}

/// Takes out `{\an8}`, `{b}` and the tags that players know; `<v Name>` gives the speaker.
fn strip(text: &str) -> (String, Option<String>) {
    let mut out = String::with_capacity(text.len());
    let mut speaker = None;
    let mut rest = text;
    while let Some(i) = rest.find(['<', '{']) {
        out.push_str(&rest[..i]);
        rest = &rest[i..];
        let close = if rest.starts_with('<') { b'>' } else { b'}' };
        let end = rest.bytes().take(200).position(|b| b == close);
        let inside = end.map(|end| &rest[1..end]);
        match inside {
            Some(tag) if close == b'}' && (tag.starts_with('\\') || is_brace_tag(tag)) => {
                if tag.starts_with("\\N") {
                    out.push('\n');
                }
            }
            Some(tag) if close == b'>' && is_tag(tag) => {
                if tag_name(tag) == "br" {
                    out.push('\n');
                }
                if let Some(who) = tag.strip_prefix("v ") {
                    speaker = Some(who.trim().to_owned()).filter(|w| !w.is_empty());
                }
            }
            _ => {
                out.push_str(&rest[..1]);
                rest = &rest[1..];
                continue;
            }
        }
        rest = &rest[end.unwrap_or(0) + 1..];
    }
    out.push_str(rest);
    (out, speaker)
}

fn is_brace_tag(tag: &str) -> bool {
    matches!(tag, "b" | "i" | "u" | "s" | "/b" | "/i" | "/u" | "/s")
        || tag.starts_with("y:")
        || tag.starts_with("c:")
}

fn tag_name(tag: &str) -> String {
    let tag = tag.trim_start_matches('/');
    tag.split(|c: char| !c.is_ascii_alphanumeric())
        .next()
        .unwrap_or("")
        .to_ascii_lowercase()
}

fn is_tag(tag: &str) -> bool {
    const KNOWN: [&str; 17] = [
        "i", "b", "u", "s", "font", "c", "v", "br", "span", "ruby", "rt", "lang", "em", "strong",
        "p", "div", "small",
    ];
    KNOWN.contains(&tag_name(tag).as_str())
}
