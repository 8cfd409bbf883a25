//! Word lists: joined to text, put on a text that is there, parted into cues.

use std::rc::Rc;

use super::super::draft::{Draft, Timed};
use super::super::time::UnitGuess;
use super::fields::{Entry, Moment};

/// One word of a list.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spoken {
    pub at: usize,
    pub text: String,
    pub start: Option<Moment>,
    pub end: Option<Moment>,
    pub speaker: Option<Rc<str>>,
    pub is_mark: bool,
}

impl Spoken {
    /// A word of an entry; none where it has no text, or is a recognizer's own token.
    pub(crate) fn of(entry: Entry) -> Option<Self> {
        let text = entry.text.filter(|t| !t.starts_with("[_"))?;
        let is_mark = entry.is_mark
            || (!text.trim().is_empty() && text.trim().chars().all(|c| ",.?!;:…".contains(c)));
        let (at, start, end, speaker) = (entry.at, entry.start, entry.end, entry.speaker);
        Some(Spoken {
            at,
            text,
            start,
            end,
            speaker,
            is_mark,
        })
    }
}

/// Whether the words bring their own blanks (`" base"`, `"board"`), so that they are joined without any.
fn brings_blanks(words: &[Spoken]) -> bool {
    let blank = words
        .iter()
        .filter(|w| w.text.starts_with(char::is_whitespace))
        .count();
    blank > 0 && blank * 4 >= words.len()
}

/// Takes these words into the measure of how fast was spoken, which tells the unit of plain numbers.
pub(crate) fn measure(words: &[Spoken], guess: &mut UnitGuess) {
    for word in words {
        if let (Some(start), Some(end)) = (word.start.filter(|s| !s.sure), word.end) {
            guess.add(
                start.value,
                end.value - start.value,
                word.text.trim().len() + 1,
            );
        }
    }
}

fn seconds(moment: Option<Moment>, scale: f64) -> Option<f64> {
    moment.map(|m| m.seconds(scale))
}

/// Joins words to one text with their times; `scale` is how many plain units make a second.
pub(crate) fn join(words: &[Spoken], scale: f64) -> (String, Vec<Timed>) {
    let bring = brings_blanks(words);
    let mut text = String::new();
    let mut times = Vec::with_capacity(words.len());
    for word in words {
        let bare = word.text.trim();
        if bare.is_empty() {
            if bring && !text.is_empty() {
                text.push(' ');
            }
            continue;
        }
        let starts = word.text.starts_with(char::is_whitespace);
        if !text.is_empty() && !word.is_mark && (!bring || starts) && !text.ends_with(' ') {
            text.push(' ');
        }
        let from = text.len();
        text.push_str(bare);
        if bring && word.text.ends_with(char::is_whitespace) {
            text.push(' ');
        }
        if let Some(start) = seconds(word.start, scale).filter(|_| !word.is_mark) {
            times.push(Timed {
                range: from..from + bare.len(),
                start,
                end: seconds(word.end, scale),
            });
        }
    }
    (text, times)
}

/// How far ahead a word is looked for in the text, in bytes beyond its own length.
const AHEAD: usize = 64;

/// Finds the words in a text that is there; words that are not in it have no place and stay out.
pub(crate) fn align(text: &str, words: &[Spoken], scale: f64) -> Vec<Timed> {
    let mut out = Vec::with_capacity(words.len());
    let mut from = 0;
    for word in words {
        let bare = word.text.trim();
        let Some(start) = seconds(word.start, scale).filter(|_| !bare.is_empty() && !word.is_mark)
        else {
            continue;
        };
        let core = bare.trim_matches(|c: char| !c.is_alphanumeric());
        let end = text.ceil_char_boundary((from + bare.len() + AHEAD).min(text.len()));
        let window = &text[from..end];
        let found = place(window, bare, bare.len()).or_else(|| {
            let lower = window.to_ascii_lowercase();
            place(&lower, &core.to_ascii_lowercase(), core.len()).filter(|_| !core.is_empty())
        });
        if let Some(range) = found {
            let range = from + range.start..from + range.end;
            from = range.end;
            out.push(Timed {
                range,
                start,
                end: seconds(word.end, scale),
            });
        }
    }
    out
}

/// The first place of `word` in `window` that is not inside another word.
fn place(window: &str, word: &str, length: usize) -> Option<std::ops::Range<usize>> {
    let lead = window.len() - window.trim_start().len();
    let mut places = window.match_indices(word).map(|(i, _)| i);
    let start = places.find(|&i| i <= lead || !window[..i].ends_with(char::is_alphanumeric))?;
    Some(start..start + length)
}

/// A pause that ends a cue, in seconds.
const PAUSE: f64 = 0.8;
/// A cue of words is parted at the next smaller pause once it is this long, in bytes, and at any word at twice that.
const LONG: usize = 300;

/// Parts a list of words into cues: at the ends of sentences, at pauses, where the speaker changes.
pub(crate) fn group(words: &[Spoken], speaker: Option<&Rc<str>>, scale: f64) -> Vec<Draft> {
    let bring = brings_blanks(words);
    let mut out: Vec<Draft> = Vec::new();
    let mut from = 0;
    let mut length = 0;
    let mut last_end: Option<f64> = None;
    let mut ended = false;
    let mut close = |part: &[Spoken]| {
        let (text, words) = join(part, scale);
        let Some((first, last)) = words.first().zip(words.last()) else {
            return false;
        };
        let (start, end) = (first.start, last.end);
        let who = part
            .iter()
            .find_map(|w| w.speaker.clone())
            .or_else(|| speaker.cloned());
        let speaker = who.map(|w| w.to_string());
        out.push(Draft {
            at: part[0].at,
            start,
            end,
            text,
            speaker,
            words,
        });
        true
    };
    for (i, word) in words.iter().enumerate() {
        let start = seconds(word.start, scale);
        let joined =
            word.is_mark || (bring && !word.text.starts_with(char::is_whitespace) && !ended);
        if i > from && !joined && !word.text.trim().is_empty() {
            let pause = start.zip(last_end).map_or(0.0, |(s, e)| s - e);
            let turn = word.speaker.is_some()
                && words[from].speaker.is_some()
                && word.speaker != words[from].speaker;
            let long = length > LONG && pause > 0.25 || length > 2 * LONG;
            if (ended || pause >= PAUSE || turn || long) && close(&words[from..i]) {
                from = i;
                length = 0;
            }
        }
        length += word.text.len();
        last_end = seconds(word.end, scale).or(start).or(last_end);
        let bare = word.text.trim_end();
        if !bare.is_empty() {
            ended = bare.ends_with(['.', '?', '!', '…']) && !is_short_form(bare);
        }
    }
    close(&words[from..]);
    out
}

/// `Mr.`, `no.`, `2.`: a full stop that ends no sentence.
fn is_short_form(word: &str) -> bool {
    let word = word.trim_start().trim_end_matches('.').to_lowercase();
    matches!(
        word.as_str(),
        "mr" | "mrs" | "ms" | "dr" | "st" | "vs" | "approx" | "e.g" | "i.e"
    )
}
