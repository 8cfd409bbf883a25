//! JSON with timed pieces, in the shapes that speech-to-text programs write.
//!
//! Known are, by their keys:
//!
//! - a list of pieces with start, end and text, on top or under `segments`, `utterances`, `transcription`, `chunks`,
//!   `captions` and the like, each piece with or without `words`;
//! - `results` as such a list, as a list of `alternatives` with `words`, or as an object with `channels`, `utterances` or
//!   `items`;
//! - `monologues` with `elements`; `words` alone; one JSON object a line.
//!
//! Words without a piece around them are parted into cues at sentence ends, pauses and changes of speaker. Plain numbers
//! are seconds or milliseconds as `UnitGuess` in `time.rs` says; keys that name their unit (`start_ms`) decide by themselves.

mod fields;
mod pieces;
mod raw;
mod shapes;
mod words;

use super::draft::{Draft, Kind, Notes};
use super::error::TranscriptError;
use raw::Node;
use shapes::Reader;

/// Reads JSON.
///
/// # Errors
///
/// Malformed JSON with line and column; an unknown shape with the keys that were seen; a known shape without words.
pub(crate) fn read(
    text: &str,
    file: &str,
    notes: &mut Notes,
) -> Result<Vec<Draft>, TranscriptError> {
    let values = raw::values(text).map_err(|e| malformed(&e, file))?;
    let mut reader = Reader::new(text);
    let mut out = Vec::new();
    if let [value] = values[..] {
        out = reader.any(value, 0);
    } else {
        // One object a line: each is a piece.
        let list = reader.entries(&values);
        out.extend(reader.list(list, 0));
    }
    for (at, why) in &reader.skipped {
        notes.add(Kind::Skipped, *at, || format!("piece skipped, {why}"));
    }
    notes.more(Kind::Skipped, reader.more_skipped);
    if out.is_empty() && reader.empty {
        return Err(TranscriptError::NoWords {
            file: file.to_owned(),
            format: "json",
            cues: 0,
        });
    }
    if out.is_empty() {
        return Err(TranscriptError::JsonShape {
            file: file.to_owned(),
            keys: keys(&values),
        });
    }
    Ok(out)
}

fn malformed(error: &serde_json::Error, file: &str) -> TranscriptError {
    let message = error.to_string();
    let message = message
        .split(" at line ")
        .next()
        .unwrap_or(&message)
        .to_owned();
    TranscriptError::Json {
        file: file.to_owned(),
        line: error.line(),
        column: error.column(),
        message,
    }
}

/// The keys of a value, two levels of them, for people.
fn keys(values: &[Node]) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut more = |key: String| {
        if out.len() < 16 && !out.contains(&key) {
            out.push(key);
        }
    };
    for value in values.iter().take(3) {
        let (top, mark) = if value.is_array() {
            (value.first(), "[].")
        } else {
            (Some(*value), "")
        };
        for (key, inner) in top.map(|t| t.fields()).unwrap_or_default() {
            let brackets = if inner.is_array() { "[]" } else { "" };
            more(format!("{mark}{key}{brackets}"));
            let inner = if inner.is_array() {
                inner.first()
            } else {
                Some(inner)
            };
            for (below, _) in inner.map(|i| i.fields()).unwrap_or_default().iter().take(6) {
                more(format!("{mark}{key}{brackets}.{below}"));
            }
        }
    }
    if out.is_empty() {
        "none".to_owned()
    } else {
        out.join(", ")
    }
}
