//! Reads cues with `-->`, lines with stamps and JSON segments until the transcript readers stand; then this file goes.

use anyhow::bail;
use sha2::{Digest, Sha256};

use crate::transcript::{Cue, Format, Transcript};

pub(super) fn read(bytes: &[u8], name: &str, lossy: bool) -> anyhow::Result<Transcript> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        bail!("the file is empty; is it the right one?");
    }
    if bytes.contains(&0) {
        bail!(
            "byte {}: this is no text; name the transcript, not the recording",
            bytes.iter().take_while(|b| **b != 0).count()
        );
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.to_string(),
        Err(_) if lossy => String::from_utf8_lossy(bytes).into_owned(),
        Err(e) => bail!(
            "byte {}: not UTF-8; save the file as UTF-8, or read on with --lossy",
            e.valid_up_to()
        ),
    };
    let (format, cues) = if text.contains("-->") {
        let format = if text.trim_start_matches('\u{feff}').starts_with("WEBVTT") {
            Format::Webvtt
        } else {
            Format::Subrip
        };
        (format, arrows(&text))
    } else if let Ok(json) = serde_json::from_str::<serde_json::Value>(&text) {
        (Format::Json, segments(&json))
    } else {
        (Format::Stamped, stamps(&text))
    };
    if cues.is_empty() {
        bail!("no times were found; a transcript needs them");
    }
    let sha256 = Sha256::digest(bytes)
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect();
    Ok(Transcript {
        file: name.to_string(),
        format,
        sha256,
        cues,
        warnings: Vec::new(),
    })
}

fn seconds(stamp: &str) -> Option<f64> {
    let stamp = stamp.trim().replace(',', ".");
    let parts: Option<Vec<f64>> = stamp.split(':').map(|p| p.parse().ok()).collect();
    parts
        .filter(|p| p.len() > 1)
        .map(|p| p.iter().fold(0.0, |s, p| s * 60.0 + p))
}

fn cue(start: f64, end: f64, text: String) -> Cue {
    Cue {
        start,
        end,
        text,
        speaker: None,
        words: Vec::new(),
    }
}

fn arrows(text: &str) -> Vec<Cue> {
    let mut cues: Vec<Cue> = Vec::new();
    for line in text.lines() {
        if let Some((from, to)) = line.split_once("-->") {
            let to = to.split_whitespace().next().unwrap_or_default();
            if let (Some(start), Some(end)) = (seconds(from), seconds(to)) {
                cues.push(cue(start, end, String::new()));
            }
        } else if let Some(last) = cues.last_mut().filter(|_| !line.trim().is_empty()) {
            last.text = format!("{} {}", last.text, line.trim()).trim().to_string();
        }
    }
    cues
}

fn segments(json: &serde_json::Value) -> Vec<Cue> {
    let all = json["segments"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    all.iter()
        .filter_map(|s| {
            Some(cue(
                s["start"].as_f64()?,
                s["end"].as_f64()?,
                s["text"].as_str()?.trim().to_string(),
            ))
        })
        .collect()
}

fn stamps(text: &str) -> Vec<Cue> {
    let mut cues: Vec<Cue> = Vec::new();
    for line in text.lines() {
        let Some((stamp, rest)) = line
            .trim_start_matches(['[', '('])
            .split_once([']', ')', ' '])
        else {
            continue;
        };
        if let Some(start) = seconds(stamp) {
            if let Some(last) = cues.last_mut() {
                last.end = start;
            }
            cues.push(cue(start, start + 5.0, rest.trim().to_string()));
        }
    }
    cues
}
