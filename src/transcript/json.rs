//! JSON with timed pieces.

use super::draft::{Draft, Notes};
use super::error::TranscriptError;

/// Reads JSON.
pub(crate) fn read(
    text: &str,
    file: &str,
    _notes: &mut Notes,
) -> Result<Vec<Draft>, TranscriptError> {
    let value: serde_json::Value =
        serde_json::from_str(text).map_err(|e| TranscriptError::Json {
            file: file.to_owned(),
            line: e.line(),
            column: e.column(),
            message: e.to_string(),
        })?;
    let mut out = Vec::new();
    for segment in value["segments"].as_array().into_iter().flatten() {
        let (Some(start), Some(text)) = (segment["start"].as_f64(), segment["text"].as_str())
        else {
            continue;
        };
        let mut draft = Draft {
            start,
            end: segment["end"].as_f64(),
            text: text.to_owned(),
            ..Draft::default()
        };
        draft.speaker = segment["speaker"].as_str().map(str::to_owned);
        let mut from = 0;
        for word in segment["words"].as_array().into_iter().flatten() {
            let (Some(w), Some(start)) = (word["word"].as_str(), word["start"].as_f64()) else {
                continue;
            };
            let w = w.trim();
            if let Some(i) = text[from..].find(w) {
                let range = from + i..from + i + w.len();
                from = range.end;
                draft.words.push(super::draft::Timed {
                    range,
                    start,
                    end: word["end"].as_f64(),
                });
            }
        }
        out.push(draft);
    }
    Ok(out)
}
