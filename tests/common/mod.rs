//! What several tests need.

use std::path::{Path, PathBuf};

/// The folder of outside material beside the repository, where it is there.
///
/// Without it the test says so and passes; on the build machine (`CI=true`) it fails, as nothing would be tested.
#[allow(dead_code)]
pub fn shared() -> Option<PathBuf> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared");
    if path.is_dir() {
        return Some(path);
    }
    let ci = std::env::var("CI").is_ok_and(|v| v == "true");
    assert!(
        !ci,
        "no ../shared, and CI=true: the outside material must be there"
    );
    println!("skipped: no ../shared");
    None
}

/// A transcript as lines, one for each cue: `1.5-2.25 Speaker: text`, with `word@1.5-1.75` behind it where words have times.
#[allow(dead_code)]
pub fn rows(transcript: &storystick::transcript::Transcript) -> Vec<String> {
    let row = |cue: &storystick::transcript::Cue| {
        let mut out = format!("{}-{} ", round(cue.start), round(cue.end));
        if let Some(speaker) = &cue.speaker {
            out.push_str(speaker);
            out.push_str(": ");
        }
        out.push_str(&cue.text);
        for word in &cue.words {
            out.push_str(&format!(
                " {}@{}-{}",
                &cue.text[word.range.clone()],
                round(word.start),
                round(word.end)
            ));
        }
        out
    };
    transcript.cues.iter().map(row).collect()
}

/// Rounded to milliseconds.
#[allow(dead_code)]
pub fn round(seconds: f64) -> f64 {
    (seconds * 1000.0).round() / 1000.0
}

/// Reads a text, which must be readable, without warnings, in the format.
#[allow(dead_code)]
pub fn read_clean(text: &str, format: storystick::transcript::Format) -> Vec<String> {
    let options = storystick::transcript::ReadOptions::default();
    let transcript = storystick::transcript::read(text.as_bytes(), "walk", &options)
        .unwrap_or_else(|e| panic!("{e}\n{text}"));
    assert_eq!(transcript.warnings, [""; 0], "{text}");
    assert_eq!(transcript.format, format, "{text}");
    rows(&transcript)
}
