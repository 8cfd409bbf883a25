//! What the keys of one timed object mean: start, end, text, speaker, words.
//!
//! Keys are compared without case, `_`, `-` and blanks, so `start_time`, `startTime` and `Start Time` are one.

use std::rc::Rc;

use super::super::time;
use super::raw::{Field, Node};

/// A time; `value` is in seconds where the file says its unit, else in a unit still to be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Moment {
    pub value: f64,
    /// Whether the unit is known.
    pub sure: bool,
}

impl Moment {
    /// In seconds; `scale` is how many of the unit make a second where the file does not say.
    pub(crate) fn seconds(self, scale: f64) -> f64 {
        if self.sure {
            self.value
        } else {
            self.value / scale
        }
    }
}

/// One object of a list, as far as its keys were understood.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Entry<'a> {
    /// Byte offset in the file.
    pub at: usize,
    pub text: Option<String>,
    pub start: Option<Moment>,
    pub end: Option<Moment>,
    /// The end of a result that has no start of its own.
    pub result_end: Option<Moment>,
    pub speaker: Option<Rc<str>>,
    /// The list of words inside.
    pub words: Option<Node<'a>>,
    /// The text stood under a key for single words.
    pub is_word: bool,
    /// Punctuation, which belongs to the word before.
    pub is_mark: bool,
    /// A time is there that cannot be read.
    pub bad_time: bool,
}

/// A key without case and separators.
pub(crate) fn plain(key: &str) -> String {
    key.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

/// Units that a key can end in, and how many make a second. Ticks are a ten-millionth of a second.
const UNITS: [(&str, f64); 10] = [
    ("inmilliseconds", 1000.0),
    ("milliseconds", 1000.0),
    ("millis", 1000.0),
    ("msec", 1000.0),
    ("ms", 1000.0),
    ("inticks", 10_000_000.0),
    ("ticks", 10_000_000.0),
    ("inseconds", 1.0),
    ("seconds", 1.0),
    ("sec", 1.0),
];

const STARTS: [&str; 10] = [
    "start",
    "starttime",
    "startoffset",
    "startts",
    "begin",
    "begintime",
    "from",
    "offset",
    "ts",
    "time",
];
const ENDS: [&str; 7] = [
    "end",
    "endtime",
    "endoffset",
    "endts",
    "stop",
    "to",
    "finish",
];
const TEXTS: [&str; 14] = [
    "text",
    "punctuatedword",
    "word",
    "transcript",
    "content",
    "sentence",
    "utterance",
    "caption",
    "displaytext",
    "display",
    "value",
    "body",
    "line",
    "lexical",
];
const SPEAKERS: [&str; 6] = [
    "speakername",
    "speaker",
    "speakerlabel",
    "speakerid",
    "speakertag",
    "spk",
];
const WORDS: [&str; 8] = [
    "words",
    "elements",
    "items",
    "wordtimestamps",
    "timedwords",
    "wordoffsets",
    "tokens",
    "timestamps",
];

/// A key cut into what it names and how many of its unit make a second.
fn with_unit(key: &str) -> (&str, Option<f64>) {
    let unit = UNITS
        .iter()
        .find_map(|(ending, n)| key.strip_suffix(ending).map(|base| (base, Some(*n))));
    unit.unwrap_or((key, None))
}

/// Reads a time: a number, a numeric string, a clock time, a time with unit, or seconds and nanoseconds apart.
pub(crate) fn moment(node: Node, per_second: Option<f64>) -> Option<Moment> {
    let scaled = |value: f64| Moment {
        value: value / per_second.unwrap_or(1.0),
        sure: per_second.is_some(),
    };
    if node.is_object() {
        let (mut seconds, mut nanos) = (None, None);
        for (key, value) in node.fields() {
            let number = value.number().or_else(|| time::number(&value.text()?));
            match plain(&key).as_str() {
                "seconds" | "sec" => seconds = number,
                "nanos" | "nanoseconds" => nanos = number,
                _ => {}
            }
        }
        if seconds.is_none() && nanos.is_none() {
            return None;
        }
        let value = seconds.unwrap_or(0.0) + nanos.unwrap_or(0.0) / 1e9;
        return Some(Moment { value, sure: true });
    }
    if let Some(number) = node.number() {
        return Some(scaled(number));
    }
    let text = node.text()?;
    let known = time::clock(&text)
        .or_else(|| time::with_unit(&text))
        .map(|value| Moment { value, sure: true });
    known.or_else(|| time::number(&text).map(scaled))
}

/// A pair of times: `[1.2, 3.4]`, or an object with `from` and `to`, `start` and `end`.
fn pair(node: Node, per_second: Option<f64>) -> (Option<Moment>, Option<Moment>) {
    let (mut start, mut end) = (None, None);
    if node.is_array() {
        let mut index = 0;
        node.each(|value| {
            match index {
                0 => start = moment(value, per_second),
                1 => end = moment(value, per_second),
                _ => return std::ops::ControlFlow::Break(()),
            }
            index += 1;
            std::ops::ControlFlow::Continue(())
        });
    }
    for (key, value) in node.fields() {
        match plain(&key).as_str() {
            "from" | "start" => start = moment(value, per_second),
            "to" | "end" => end = moment(value, per_second),
            _ => {}
        }
    }
    (start, end)
}

/// Keeps the value of the best-ranking key.
struct Best<T>(Option<(usize, T)>);

impl<T> Best<T> {
    fn offer(&mut self, rank: usize, value: Option<T>) {
        if let Some(value) = value
            && self.0.as_ref().is_none_or(|(held, _)| rank < *held)
        {
            self.0 = Some((rank, value));
        }
    }

    fn take(self) -> Option<T> {
        self.0.map(|(_, value)| value)
    }
}

/// Understands the fields of one object. `file` is the whole text, for the place.
pub(crate) fn entry<'a>(
    node: Node<'a>,
    fields: &[Field<'a>],
    file: &str,
    names: &mut Names,
) -> Entry<'a> {
    let (mut start, mut end, mut length) = (Best(None), Best(None), None);
    let (mut text, mut words, mut speaker, mut is_word) =
        (Best(None), Best(None), Best(None), Best(None));
    let mut out = Entry {
        at: node.at(file),
        ..Entry::default()
    };
    let mut inner = None;
    let rank = |list: &[&str], key: &str| list.iter().position(|k| *k == key);
    for (key, value) in fields {
        let key = plain(key);
        let (base, unit) = with_unit(&key);
        match base {
            "resultend" | "resultendtime" | "resultendoffset" => {
                out.result_end = moment(*value, unit)
            }
            "duration" | "dur" => length = moment(*value, unit),
            "alternatives" | "nbest" if value.is_array() => inner = value.first(),
            "type" => out.is_mark |= value.text().is_some_and(|t| plain(&t).starts_with("punct")),
            _ => {}
        }
        if matches!(
            base,
            "offsets" | "timestamp" | "timestamps" | "time" | "interval"
        ) && !value.json.starts_with('"')
        {
            // `offsets` are whole milliseconds wherever they were seen.
            let unit = if base == "offsets" {
                Some(1000.0)
            } else {
                unit
            };
            let (from, to) = pair(*value, unit);
            start.offer(20, from);
            end.offer(20, to);
        }
        if let Some(r) = rank(&STARTS, base) {
            let read = moment(*value, unit);
            out.bad_time |= read.is_none() && value.json != "null";
            start.offer(2 * r + usize::from(read.is_some_and(|m| !m.sure)), read);
        }
        if base == "timestamp" {
            start.offer(30, moment(*value, unit));
        }
        if let Some(r) = rank(&ENDS, base) {
            let read = moment(*value, unit);
            end.offer(2 * r + usize::from(read.is_some_and(|m| !m.sure)), read);
        }
        if let Some(r) = rank(&TEXTS, &key) {
            let read = value.text().filter(|t| !t.is_empty());
            is_word.offer(
                r,
                read.as_ref()
                    .map(|_| matches!(key.as_str(), "word" | "punctuatedword")),
            );
            text.offer(r, read);
        }
        if let Some(r) = rank(&SPEAKERS, &key) {
            speaker.offer(r, names.of(*value));
        }
        if let Some(r) = rank(&WORDS, &key) {
            let list = value.first().is_some_and(|f| f.is_object() || f.is_array());
            words.offer(r, list.then_some(*value));
        }
    }
    (out.start, out.end) = (start.take(), end.take());
    if let (Some(from), None, Some(length)) = (out.start, out.end, length) {
        out.end = Some(Moment {
            value: from.value + length.value,
            sure: from.sure && length.sure,
        });
    }
    (out.text, out.words, out.speaker) = (text.take(), words.take(), speaker.take());
    out.is_word = is_word.take().unwrap_or(false);
    if let Some(inner) = inner {
        let best = entry(inner, &inner.fields(), file, names);
        // An alternative that is only a word stands in a list of words.
        let single = best
            .text
            .as_ref()
            .is_some_and(|t| !t.trim().contains(char::is_whitespace));
        out.is_word |= out.text.is_none() && best.words.is_none() && out.start.is_some() && single;
        out.text = out.text.or(best.text);
        out.words = out.words.or(best.words);
        out.speaker = out.speaker.or(best.speaker);
        if out.start.is_none() {
            (out.start, out.end) = (best.start, out.end.or(best.end));
        }
    }
    out
}

/// Speaker labels, each held once.
#[derive(Debug, Default)]
pub(crate) struct Names(Vec<Rc<str>>);

impl Names {
    /// The label that a value gives: a string, a number (as `Speaker 1`), or an object with a name.
    pub(crate) fn of(&mut self, node: Node) -> Option<Rc<str>> {
        if node.is_object() {
            let fields = node.fields();
            let named = |wanted: &str| {
                fields
                    .iter()
                    .find(|(key, _)| plain(key) == wanted)
                    .map(|(_, value)| *value)
            };
            let inner = ["name", "displayname", "label", "id"]
                .iter()
                .find_map(|k| named(k))
                .filter(|v| !v.is_object())?;
            return self.of(inner);
        }
        let label = match node.number() {
            Some(number) => format!("Speaker {number}"),
            None => node.text()?,
        };
        let label = label.split_whitespace().collect::<Vec<_>>().join(" ");
        let label = if !label.is_empty() && label.bytes().all(|b| b.is_ascii_digit()) {
            format!("Speaker {label}")
        } else {
            label
        };
        self.hold(&label)
    }

    /// The label held for `label`; none for an empty one.
    pub(crate) fn hold(&mut self, label: &str) -> Option<Rc<str>> {
        if label.is_empty() {
            return None;
        }
        if let Some(held) = self.0.iter().find(|held| &***held == label) {
            return Some(held.clone());
        }
        let new: Rc<str> = label.into();
        // A file that names a new speaker for every word is no reason to search ever longer.
        if self.0.len() < 256 {
            self.0.push(new.clone());
        }
        Some(new)
    }
}
