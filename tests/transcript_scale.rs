//! Long walks, long cues, and shapes that could make a reader slow.

mod common;

use storystick::transcript::{ReadOptions, Reading, TranscriptError, read};

fn cues(text: &str) -> usize {
    read(text.as_bytes(), "walk", &ReadOptions::default())
        .unwrap()
        .cues
        .len()
}

#[test]
fn a_walk_of_three_hours() {
    let stamp = |s: usize| format!("{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60);
    let text: String = (0..5400)
        .map(|i| format!("[{}] The tap in room {i} drips.\n", stamp(2 * i)))
        .collect();
    let transcript = read(text.as_bytes(), "walk", &ReadOptions::default()).unwrap();
    assert_eq!(transcript.warnings, [""; 0]);
    assert_eq!(
        (transcript.cues.len(), transcript.cues[5399].start),
        (5400, 10798.0)
    );
    let reading = Reading::new(&transcript);
    let at = reading.text.find("room 5000").unwrap();
    assert_eq!(reading.cue_at(at), 5000);
    assert!(reading.span(at..at + 9).0 > 10_000.0);
}

#[test]
fn a_cue_of_100_kb() {
    let long = "The tap drips and somebody has to look at it. ".repeat(2300);
    let text = format!(
        "1\n00:00:01,000 --> 01:00:00,000\n{long}\n\n2\n01:00:00,000 --> 01:00:05,000\nDone.\n"
    );
    let transcript = read(text.as_bytes(), "walk", &ReadOptions::default()).unwrap();
    assert_eq!(
        (transcript.cues.len(), transcript.cues[0].text.len()),
        (2, long.len() - 1)
    );
    let reading = Reading::new(&transcript);
    for at in (0..reading.text.len()).step_by(10) {
        let (start, end) = reading.span(at..at + 8);
        assert!(start <= end && reading.pause_before(at) == 0.0);
    }
}

#[test]
fn a_file_of_20_mb() {
    let text: String = (0..200_000)
        .map(|i| format!("00:{:02}:{:02},{:03} --> 00:{0:02}:{1:02},999\nThe tap in the room with the number {i} drips, and so on.\n\n", i / 12_000, i / 200 % 60, i * 5 % 1000))
        .collect();
    assert!(text.len() > 18_000_000);
    assert_eq!(cues(&text), 200_000);
}

#[test]
fn text_that_could_take_long() {
    let head = "[0:01] tap ";
    for piece in [
        "(", "[", "[0:01", "♪", "<", "&", "*", ":", "- a\n", "a ", "A\n", ">> ", "{\\",
    ] {
        assert!(
            cues(&format!("{head}{}", piece.repeat(200_000))) > 0,
            "{piece}"
        );
        let vtt = format!(
            "WEBVTT\n\n00:01.000 --> 00:02.000\ntap {}\n",
            piece.repeat(200_000)
        );
        assert!(cues(&vtt) > 0, "{piece}");
        let srt = format!(
            "1\n00:00:01,000 --> 00:00:02,000\ntap {}\n",
            piece.repeat(200_000)
        );
        assert!(cues(&srt) > 0, "{piece}");
    }
    let numbers = format!("{{\"weights\":[{}0]}}", "0,".repeat(2_000_000));
    let error = read(numbers.as_bytes(), "walk", &ReadOptions::default()).unwrap_err();
    assert!(
        matches!(error, TranscriptError::JsonShape { .. }),
        "{error}"
    );
}
