//! The clock: which second a stretch of the text was said in.

mod common;

use common::round;
use storystick::transcript::{Cue, Format, Reading, Transcript, Word};

fn cue(start: f64, end: f64, text: &str, words: &[(&str, f64, f64)]) -> Cue {
    let mut from = 0;
    let words = words.iter().map(|(word, start, end)| {
        let at = from + text[from..].find(word).expect("word");
        from = at + word.len();
        Word {
            range: at..from,
            start: *start,
            end: *end,
        }
    });
    let words = words.collect();
    Cue {
        start,
        end,
        text: text.to_owned(),
        speaker: None,
        words,
    }
}

fn reading(cues: Vec<Cue>) -> Reading {
    let (file, sha256) = ("walk".to_owned(), String::new());
    Reading::new(&Transcript {
        file,
        format: Format::Webvtt,
        sha256,
        cues,
        warnings: Vec::new(),
    })
}

#[test]
fn interpolates_over_characters() {
    let reading = reading(vec![
        cue(10.0, 20.0, "0123456789", &[]),
        cue(22.0, 26.0, "½½½½", &[]),
    ]);
    assert_eq!(reading.text, "0123456789 ½½½½");
    for (byte, start, end) in [
        (0, 10.0, 10.0),
        (3, 13.0, 13.0),
        (10, 22.0, 20.0), // the blank: what ends here ends the first cue, what begins here begins the second
        (11, 22.0, 20.0),
        (13, 23.0, 23.0),
        (19, 26.0, 26.0),
        (500, 26.0, 26.0),
    ] {
        assert_eq!(
            (reading.at_start(byte), reading.at_end(byte)),
            (start, end),
            "byte {byte}"
        );
    }
    assert_eq!(reading.span(2..5), (12.0, 15.0));
    assert_eq!(reading.span(8..13), (18.0, 23.0));
    assert_eq!(reading.span(0..reading.text.len()), (10.0, 26.0));
    // A range the wrong way round is an empty one.
    #[allow(clippy::reversed_empty_ranges)]
    let back = reading.span(5..2);
    assert_eq!(back, (15.0, 15.0));
}

#[test]
fn word_times_come_first() {
    let words = [("tap", 1.5, 1.75), ("drips", 3.0, 3.5), ("lot", 4.5, 4.75)];
    let reading = reading(vec![cue(1.0, 5.0, "The tap \"drips\", a lot.", &words)]);
    let of = |word: &str| {
        let at = reading.text.find(word).expect("word");
        let (start, end) = reading.span(at..at + word.len());
        (round(start), round(end))
    };
    assert_eq!(of("tap"), (1.5, 1.75));
    assert_eq!(of("drips"), (3.0, 3.5));
    assert_eq!(of("\"drips\","), (3.0, 3.5), "punctuation takes no time");
    assert_eq!(of("tap \"drips\""), (1.5, 3.5));
    assert_eq!(
        of("The"),
        (1.0, 1.375),
        "before the first word: between the cue's start and it"
    );
    assert_eq!(of("a lot."), (4.1, 4.75));
    assert_eq!(of("ap"), (1.583, 1.75), "inside a word");
}

#[test]
fn pauses() {
    let reading = reading(vec![
        cue(1.0, 2.0, "The tap", &[]),
        cue(
            3.5,
            6.0,
            "\"drips,\" a lot",
            &[("drips", 3.75, 4.0), ("a", 4.0, 4.25), ("lot", 5.0, 5.5)],
        ),
        cue(6.0, 7.0, "and", &[]),
        cue(6.5, 7.0, "then", &[]),
    ]);
    let before = |word: &str| reading.pause_before(reading.text.find(word).expect("word"));
    assert_eq!(before("The"), 0.0);
    assert_eq!(before("tap"), 0.0);
    assert_eq!(before("\"drips"), 1.75);
    assert_eq!(before("drips"), 1.75);
    assert_eq!(before("a lot"), 0.0);
    assert_eq!(before("lot"), 0.75);
    assert_eq!(before("and"), 0.5);
    assert_eq!(before("then"), 0.0, "overlapping cues");
    assert_eq!(reading.pause_before(9999), 0.0);
}

#[test]
fn cues_and_speakers() {
    let mut cues = vec![cue(1.0, 2.0, "Tap.", &[]), cue(2.0, 3.0, "No.", &[])];
    cues[1].speaker = Some("Sue".to_owned());
    let reading = reading(cues);
    let at: Vec<(usize, Option<&str>)> = (0..9)
        .map(|b| (reading.cue_at(b), reading.speaker_at(b)))
        .collect();
    assert_eq!(at[4], (0, None), "the blank belongs to the cue before it");
    assert_eq!(at[5], (1, Some("Sue")));
    assert_eq!(at[8], (1, Some("Sue")));
    assert_eq!(reading.cues[1].range, 5..8);
    assert_eq!((reading.cues[1].start, reading.cues[1].end), (2.0, 3.0));
}

#[test]
fn nothing_to_read_is_no_panic() {
    let reading = reading(Vec::new());
    assert_eq!(
        (
            reading.text.as_str(),
            reading.cue_at(3),
            reading.speaker_at(3)
        ),
        ("", 0, None)
    );
    assert_eq!(
        (reading.span(0..4), reading.pause_before(0)),
        ((0.0, 0.0), 0.0)
    );
}
