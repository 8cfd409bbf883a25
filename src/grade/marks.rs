//! Reads marked walks.

use std::path::{Path, PathBuf};

use serde::Deserialize;

use crate::list::{Standing, Trade, Work};
use crate::transcript::{self, ReadOptions, Reading, Transcript, TranscriptError};

/// Endings that a marked walk's transcript may have, in the order in which they are tried.
const ENDINGS: [&str; 6] = ["vtt", "srt", "txt", "json", "ttml", "tsv"];

/// Why a marked walk could not be read.
#[derive(Debug, thiserror::Error)]
pub enum MarksError {
    /// The file could not be opened.
    #[error("{path}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The marks are not as they should be.
    #[error("{path}: {source}; marks are JSON with `areas`, `items` and `cleared`")]
    Json {
        /// The file.
        path: PathBuf,
        /// What is wrong, with line and column.
        source: serde_json::Error,
    },
    /// There is no transcript beside the marks.
    #[error(
        "{0}: no transcript of this name beside the marks (.vtt, .srt, .txt, .json, .ttml, .tsv)"
    )]
    NoTranscript(PathBuf),
    /// The transcript cannot be read.
    #[error(transparent)]
    Transcript(#[from] TranscriptError),
    /// No marked walk in the folder.
    #[error("{0}: no marked walk (NAME.marks.json) in this folder")]
    Empty(PathBuf),
}

/// A stay as marked: where, and the second of arrival.
#[derive(Debug, Clone, PartialEq)]
pub struct Stay {
    /// From the outermost named place inwards.
    pub path: Vec<String>,
    /// Seconds from the start of the recording.
    pub at: f64,
}

/// An item as marked.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedItem {
    /// Where.
    pub area: Vec<String>,
    /// The part; none for the place as a whole.
    pub element: Option<String>,
    /// What has to be done.
    pub work: Work,
    /// Who.
    pub trade: Trade,
    /// To do or to ask.
    pub standing: Standing,
    /// When it was said: start and end in seconds.
    pub times: Vec<(f64, f64)>,
}

/// A cleared mark as marked.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedCleared {
    /// Where.
    pub area: Vec<String>,
    /// The part; none for the place as a whole.
    pub element: Option<String>,
    /// When it was said: start and end in seconds.
    pub times: Vec<(f64, f64)>,
}

/// A walk with what a person marked in it.
#[derive(Debug)]
pub struct Marked {
    /// The file's name without endings.
    pub name: String,
    /// The transcript.
    pub transcript: Transcript,
    /// The stays, in order.
    pub areas: Vec<Stay>,
    /// What is to be done.
    pub items: Vec<MarkedItem>,
    /// What is fine.
    pub cleared: Vec<MarkedCleared>,
}

#[derive(Deserialize)]
struct RawMarks {
    areas: Vec<RawArea>,
    items: Vec<RawItem>,
    #[serde(default)]
    cleared: Vec<RawCleared>,
}

#[derive(Deserialize)]
struct RawArea {
    at: serde_json::Value,
    path: Vec<String>,
}

#[derive(Deserialize)]
struct RawItem {
    area: Vec<String>,
    element: Option<String>,
    work: Work,
    trade: Trade,
    standing: Standing,
    #[serde(default)]
    times: Option<Vec<(f64, f64)>>,
    said: Vec<String>,
}

#[derive(Deserialize)]
struct RawCleared {
    area: Vec<String>,
    element: Option<String>,
    #[serde(default)]
    times: Option<Vec<(f64, f64)>>,
    said: Vec<String>,
}

/// Reads all marked walks of a folder, in the order of their names; with `only`, those named.
///
/// # Errors
/// A file that cannot be read, marks that are no marks, a transcript that is missing or cannot be read: each with its path.
pub fn load(folder: &Path, only: &[String]) -> Result<Vec<Marked>, MarksError> {
    let io = |path: &Path| {
        let path = path.to_path_buf();
        move |source| MarksError::Io { path, source }
    };
    let mut names: Vec<String> = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(io(folder))? {
        let file = entry.map_err(io(folder))?.file_name();
        if let Some(name) = file.to_string_lossy().strip_suffix(".marks.json")
            && (only.is_empty() || only.iter().any(|o| o == name))
        {
            names.push(name.to_string());
        }
    }
    names.sort();
    if names.is_empty() {
        return Err(MarksError::Empty(folder.to_path_buf()));
    }
    names.iter().map(|n| one(folder, n)).collect()
}

fn one(folder: &Path, name: &str) -> Result<Marked, MarksError> {
    let path = folder.join(format!("{name}.marks.json"));
    let text = std::fs::read_to_string(&path).map_err(|source| MarksError::Io {
        path: path.clone(),
        source,
    })?;
    let raw: RawMarks =
        serde_json::from_str(&text).map_err(|source| MarksError::Json { path, source })?;
    let walk = ENDINGS
        .iter()
        .map(|e| folder.join(format!("{name}.{e}")))
        .find(|p| p.is_file())
        .ok_or_else(|| MarksError::NoTranscript(folder.join(name)))?;
    let bytes = std::fs::read(&walk).map_err(|source| MarksError::Io {
        path: walk.clone(),
        source,
    })?;
    let transcript = transcript::read(&bytes, &walk.to_string_lossy(), &ReadOptions::default())?;
    let reading = Reading::new(&transcript);
    let folded = Folded::new(&reading.text);
    let when = |times: Option<Vec<(f64, f64)>>, said: &[String]| {
        times.unwrap_or_else(|| {
            said.iter()
                .flat_map(|q| folded.find(q))
                .map(|r| reading.span(r))
                .collect()
        })
    };
    Ok(Marked {
        name: name.to_string(),
        areas: raw
            .areas
            .into_iter()
            .map(|a| Stay {
                path: a.path,
                at: seconds(&a.at),
            })
            .collect(),
        items: raw
            .items
            .into_iter()
            .map(|i| MarkedItem {
                times: when(i.times, &i.said),
                area: i.area,
                element: i.element,
                work: i.work,
                trade: i.trade,
                standing: i.standing,
            })
            .collect(),
        cleared: raw
            .cleared
            .into_iter()
            .map(|c| MarkedCleared {
                times: when(c.times, &c.said),
                area: c.area,
                element: c.element,
            })
            .collect(),
        transcript,
    })
}

/// "1:02:03.5", "2:03" or a number, in seconds.
fn seconds(at: &serde_json::Value) -> f64 {
    match at {
        serde_json::Value::Number(n) => n.as_f64().unwrap_or(0.0),
        serde_json::Value::String(s) => s.trim().split(':').fold(0.0, |t, part| {
            t * 60.0 + part.replace(',', ".").parse::<f64>().unwrap_or(0.0)
        }),
        _ => 0.0,
    }
}

/// A text in lower case with its white space folded, and where each byte stood.
struct Folded {
    text: String,
    at: Vec<usize>,
}

impl Folded {
    fn new(text: &str) -> Folded {
        let (mut out, mut at) = (String::new(), Vec::new());
        let mut blank = false;
        for (i, c) in text.char_indices() {
            if c.is_whitespace() {
                blank = !out.is_empty();
                continue;
            }
            if std::mem::take(&mut blank) {
                out.push(' ');
                at.push(i);
            }
            for l in c.to_lowercase() {
                let from = out.len();
                out.push(l);
                at.extend(std::iter::repeat_n(i, out.len() - from));
            }
        }
        at.push(text.len());
        Folded { text: out, at }
    }

    /// Every place where the quote stands, in bytes of the text as it was.
    fn find(&self, quote: &str) -> Vec<std::ops::Range<usize>> {
        let quote = Folded::new(quote).text;
        if quote.is_empty() {
            return Vec::new();
        }
        self.text
            .match_indices(&quote)
            .map(|(i, _)| self.at[i]..self.at[i + quote.len()])
            .collect()
    }
}
