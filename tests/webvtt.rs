//! The WebVTT files of the W3C test suite: all must agree with what the W3C group's own reference parser reads.

mod common;

use serde_json::Value;
use storystick::transcript::{Format, ReadOptions, read, webvtt};

#[test]
fn agrees_with_the_reference_parser() {
    let Some(shared) = common::shared() else {
        return;
    };
    let folder = shared.join("data/webvtt");
    let expected = std::fs::read_to_string(folder.join("expected.json")).expect("expected.json");
    let expected: Value = serde_json::from_str(&expected).expect("expected.json is JSON");
    let files = expected.as_object().expect("one entry for each file");
    assert_eq!(files.len(), 30, "files in expected.json");
    let mut cues = 0;
    for (file, wanted) in files {
        let bytes = std::fs::read(folder.join(file)).expect(file);
        let text = String::from_utf8(bytes).expect(file);
        let got = webvtt::cues(&text);
        let wanted = wanted.as_array().expect(file);
        assert_eq!(got.len(), wanted.len(), "{file}: number of cues");
        for (i, (got, wanted)) in got.iter().zip(wanted).enumerate() {
            assert_eq!(
                Some(got.start),
                wanted["start"].as_f64(),
                "{file}, cue {i}: start"
            );
            assert_eq!(
                Some(got.end),
                wanted["end"].as_f64(),
                "{file}, cue {i}: end"
            );
            assert_eq!(
                Some(got.raw.as_str()),
                wanted["raw"].as_str(),
                "{file}, cue {i}: raw"
            );
            assert_eq!(
                Some(got.text.as_str()),
                wanted["text"].as_str(),
                "{file}, cue {i}: text"
            );
            cues += 1;
        }
    }
    assert!(cues > 100, "only {cues} cues compared");
}

#[test]
fn each_is_read_as_webvtt_or_refused_with_a_reason() {
    let Some(shared) = common::shared() else {
        return;
    };
    let folder = std::fs::read_dir(shared.join("data/webvtt")).expect("data/webvtt");
    for path in folder
        .map(|entry| entry.expect("entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "vtt"))
    {
        let bytes = std::fs::read(&path).expect("file");
        let name = path.file_name().expect("name").to_string_lossy();
        match read(&bytes, &name, &ReadOptions::default()) {
            Ok(transcript) => assert_eq!(transcript.format, Format::Webvtt, "{name}"),
            Err(error) => assert!(error.to_string().starts_with(&*name), "{error}"),
        }
    }
}
