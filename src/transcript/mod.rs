//! What was said and when: readers for the formats that speech-to-text programs write, and the clock.

use std::ops::Range;

/// The format a transcript was read from; told by content, never by the file's ending.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// WebVTT (W3C).
    Webvtt,
    /// SubRip.
    Subrip,
    /// TTML or IMSC text (W3C).
    Ttml,
    /// JSON with segments, utterances or words.
    Json,
    /// Tab- or comma-separated start, end, text.
    Table,
    /// Plain text with time stamps.
    Stamped,
}

impl Format {
    /// The name that stands in the list (`webvtt`, `subrip`, `ttml`, `json`, `table`, `stamped`).
    pub fn name(self) -> &'static str {
        match self {
            Format::Webvtt => "webvtt",
            Format::Subrip => "subrip",
            Format::Ttml => "ttml",
            Format::Json => "json",
            Format::Table => "table",
            Format::Stamped => "stamped",
        }
    }
}

/// One word with its own times, in seconds from the start of the recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    /// Where the word stands in the cue's text, in bytes.
    pub range: Range<usize>,
    /// Start, in seconds.
    pub start: f64,
    /// End, in seconds; never before `start`.
    pub end: f64,
}

/// One timed piece of a transcript.
#[derive(Debug, Clone, PartialEq)]
pub struct Cue {
    /// Start, in seconds from the start of the recording.
    pub start: f64,
    /// End, in seconds; never before `start`.
    pub end: f64,
    /// The words, white space folded, markup and non-speech notes taken out.
    pub text: String,
    /// The speaker's label, where the format gives one.
    pub speaker: Option<String>,
    /// Word times, where the format gives them, in order; empty otherwise.
    pub words: Vec<Word>,
}

/// A whole transcript as read.
#[derive(Debug, Clone, PartialEq)]
pub struct Transcript {
    /// The file's name, as shown to people (no folder).
    pub file: String,
    /// What it was read as.
    pub format: Format,
    /// SHA-256 of the file's bytes, in hexadecimal.
    pub sha256: String,
    /// The cues in order of their times.
    pub cues: Vec<Cue>,
    /// What was mended or left out in reading, for standard error.
    pub warnings: Vec<String>,
}
