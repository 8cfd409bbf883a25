//! What was said and when: readers for the formats that speech-to-text programs write, and the clock.
//!
//! [`read`] takes a file's bytes and gives a [`Transcript`]; [`Reading`] lays it out as one text in which every byte has
//! its second. Each format is one file: it gives drafts of cues, and what all formats share is done to these once, in this
//! order: times (`order`), speaker labels (`labels`), non-speech notes and white space (`remarks`, `text`), rolling
//! captions (`rolling`).

mod decode;
mod detect;
mod draft;
mod error;
mod json;
mod labels;
mod order;
mod reading;
mod remarks;
mod rolling;
mod stamped;
mod subrip;
mod table;
mod text;
mod time;
mod ttml;
pub mod webvtt;

use std::ops::Range;

use draft::{Draft, Kind, Notes};
pub use error::TranscriptError;
pub use reading::{Reading, Stretch};
use sha2::{Digest, Sha256};
pub use time::show as show_time;

/// How to read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReadOptions {
    /// Read on where bytes are no valid UTF-8: each bad stretch becomes U+FFFD, with a warning.
    pub lossy: bool,
}

/// Reads a transcript in any of the known formats, told apart by content.
///
/// `file` is the name shown to people in errors; it decides nothing. Cues come back in order of their times, in seconds
/// from the start of the recording; what was mended or left out on the way stands in [`Transcript::warnings`].
///
/// # Errors
///
/// Where nothing can be read: an empty or binary file, invalid UTF-8 (unless `lossy`), malformed JSON or XML, an unknown
/// shape of either, no times, or no words. See [`TranscriptError`]. A single bad cue is no error but a warning.
///
/// ```
/// use storystick::transcript::{ReadOptions, read};
///
/// let file = b"WEBVTT\n\n00:01.000 --> 00:02.500\n<v Dave>The tap drips.\n";
/// let transcript = read(file, "walk.vtt", &ReadOptions::default())?;
/// assert_eq!(transcript.cues[0].text, "The tap drips.");
/// assert_eq!(transcript.cues[0].speaker.as_deref(), Some("Dave"));
/// # Ok::<(), storystick::transcript::TranscriptError>(())
/// ```
pub fn read(
    bytes: &[u8],
    file: &str,
    options: &ReadOptions,
) -> Result<Transcript, TranscriptError> {
    let decoded = decode::decode(bytes, file, options.lossy)?;
    let text = decoded.text.as_ref();
    let mut notes = Notes::new(text);
    for at in &decoded.replaced {
        notes.add(Kind::Replaced, *at, || {
            "not valid UTF-8 here, replaced by U+FFFD".to_owned()
        });
    }
    let format = detect::detect(text).ok_or_else(|| TranscriptError::NoTimes {
        file: file.to_owned(),
        lines: text::lines(text).count(),
    })?;
    let drafts = match format {
        Format::Webvtt => webvtt::read(text, &mut notes),
        Format::Subrip => subrip::read(text, &mut notes),
        Format::Stamped => stamped::read(text, &mut notes),
        Format::Json => json::read(text, file, &mut notes)?,
        Format::Table => table::read(text, &mut notes),
        Format::Ttml => ttml::read(text, file, &mut notes)?,
    };
    if drafts.is_empty() {
        return Err(TranscriptError::NoTimes {
            file: file.to_owned(),
            lines: text::lines(text).count(),
        });
    }
    let found = drafts.len();
    let drafts = order::order(drafts, file, &mut notes)?;
    // Both can part a cue that another one overlaps, so the order is made anew.
    let drafts = in_order(labels::apply(drafts, format == Format::Json));
    let drafts = in_order(rolling::fold(clean(drafts, &mut notes), &mut notes));
    if drafts.is_empty() {
        return Err(TranscriptError::NoWords {
            file: file.to_owned(),
            format: format.name(),
            cues: found,
        });
    }
    Ok(Transcript {
        file: file.to_owned(),
        format,
        sha256: sha256(bytes),
        cues: drafts.into_iter().map(finish).collect(),
        warnings: notes.into_warnings(),
    })
}

fn in_order(mut drafts: Vec<Draft>) -> Vec<Draft> {
    drafts.sort_by(|a, b| a.start.total_cmp(&b.start));
    drafts
}

/// Takes out non-speech notes, folds white space to lines, drops what is empty then.
fn clean(drafts: Vec<Draft>, notes: &mut Notes) -> Vec<Draft> {
    let mut out = Vec::with_capacity(drafts.len());
    for draft in drafts {
        let remarks = remarks::find(&draft.text);
        for remark in remarks.iter().filter(|r| !r.known) {
            let inside = &draft.text[remark.range.clone()];
            notes.add(Kind::LeftOut, draft.at, || {
                format!("left out as a remark: {}", webvtt::short(inside))
            });
        }
        let cuts: Vec<Range<usize>> = remarks.into_iter().map(|r| r.range).collect();
        let (text, words) = text::squeeze(&draft.text, &draft.words, &cuts);
        if text.contains(char::is_alphanumeric) || text.contains('\u{FFFD}') {
            out.push(Draft {
                text,
                words,
                ..draft
            });
        }
    }
    out
}

fn finish(draft: Draft) -> Cue {
    let words = draft.words.into_iter().map(|w| Word {
        range: w.range,
        start: w.start,
        end: w.end.unwrap_or(w.start),
    });
    let end = draft.end.unwrap_or(draft.start).max(draft.start);
    // A line break is one byte, as a blank is: ranges stay.
    Cue {
        start: draft.start,
        end,
        text: draft.text.replace('\n', " "),
        speaker: draft.speaker,
        words: words.collect(),
    }
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect()
}

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
