//! Plain text with stamps, in the ways in which it is written.

mod common;

use common::{read_clean, rows};
use storystick::transcript::{Format, ReadOptions, TranscriptError, read};

#[test]
fn stamps() {
    let want = ["2-5 The tap drips.", "5-7 Door."];
    for text in [
        "[0:02] The tap drips.\n[0:05] Door.",
        "[00:02] The tap\n\ndrips.\n\n[00:05] Door.\n",
        "(0:00:02) The tap drips.\n(0:00:05) Door.",
        "00:00:02.000 The tap drips.\n00:00:05.000 Door.",
        "0:02\nThe tap drips.\n\n0:05\nDoor.\n",
        "[0:02]\nThe tap\ndrips.\n[0:05]\nDoor.\n",
        "0:02 - The tap drips.\n0:05 - Door.",
        "0:02: The tap drips.\n0:05: Door.",
        "0:02\tThe tap drips.\n0:05\tDoor.",
        "**[0:02]** The tap drips.\n**[0:05]** Door.",
        "- [0:02] The tap drips.\n- [0:05] Door.",
        "> 0:02 The tap drips.\n> 0:05 Door.",
        "[0:02 --> 0:05] The tap drips.\n[0:05 --> 0:07] Door.",
        "[00:00:02.000 --> 00:00:05.000]  The tap drips.\n[00:00:05.000 --> 00:00:07.000]  Door.",
        "[2.00s -> 5.00s] The tap drips.\n[5.00s -> 7.00s] Door.",
        "[2.00 - 5.00] The tap drips.\n[5.00 - 7.00] Door.",
        "0:02 - 0:05 The tap drips.\n0:05 – 0:07 Door.",
        "0:00:02.000,0:00:05.000\nThe tap drips.\n\n0:00:05.000,0:00:07.000\nDoor.",
        "(0:02-0:05) The tap drips. (0:05-0:07) Door.",
        "[0:02] The tap drips. [0:05] Door.",
        "[00:02.00]The tap drips.\n[00:05.00]Door.",
        "[0m2s] The tap drips.\n[0m5s] Door.",
        "<0:02> The tap drips.\n<0:05> Door.",
        "[0:02] The tap drips.\n[0:05] Door.\n[0:07]",
        "[00:00:02:00] The tap drips.\n[00:00:05:00] Door.",
    ] {
        let got = read_clean(text, Format::Stamped);
        assert_eq!(got, want, "{text}");
        assert_eq!(
            read_clean(&text.replace('\n', "\r\n"), Format::Stamped),
            want,
            "CRLF: {text}"
        );
    }
}

#[test]
fn speakers() {
    let want = [
        "2-5 Speaker 1: The tap drips.",
        "5-7 Speaker 2: No.",
        "7-9 Speaker 1: Door.",
    ];
    for text in [
        "[0:02] Speaker 1: The tap drips.\n[0:05] Speaker 2: No.\n[0:07] Speaker 1: Door.",
        "Speaker 1: [0:02] The tap drips.\nSpeaker 2: [0:05] No.\nSpeaker 1: [0:07] Door.",
        "Speaker 1 [0:02]: The tap drips.\nSpeaker 2 [0:05]: No.\nSpeaker 1 [0:07]: Door.",
        "Speaker 1 (0:02)\nThe tap drips.\n\nSpeaker 2 (0:05)\nNo.\n\nSpeaker 1 (0:07)\nDoor.",
        "Speaker 1  0:02\nThe tap drips.\n\nSpeaker 2  0:05\nNo.\n\nSpeaker 1  0:07\nDoor.",
        "Speaker 1:\n[0:02] The tap drips.\nSpeaker 2:\n[0:05] No.\nSpeaker 1:\n[0:07] Door.",
        "0:02 Speaker 1\nThe tap drips.\n\n0:05 Speaker 2\nNo.\n\n0:07 Speaker 1\nDoor.",
        "**Speaker 1** [0:02]\nThe tap drips.\n\n**Speaker 2** [0:05]\nNo.\n\n**Speaker 1** [0:07]\nDoor.",
        "Speaker 1 | 00:02\nThe tap drips.\n\nSpeaker 2 | 00:05\nNo.\n\nSpeaker 1 | 00:07\nDoor.",
        "[0:02] [Speaker 1] The tap drips.\n[0:05] [Speaker 2]: No.\n[0:07] [Speaker 1] Door.",
    ] {
        for (one, two) in [("Speaker 1", "Speaker 2"), ("SPEAKER_00", "SPEAKER_01")] {
            let text = text.replace("Speaker 1", one).replace("Speaker 2", two);
            let want = want.map(|w| w.replace("Speaker 1", one).replace("Speaker 2", two));
            assert_eq!(read_clean(&text, Format::Stamped), want, "{text}");
        }
    }
    let named = [
        "2-5 Dave Orr: The tap drips.",
        "5-7 Sue: No.",
        "7-9 Dave Orr: Door.",
    ];
    for text in [
        "[0:02] Dave Orr: The tap drips.\n[0:05] Sue: No.\n[0:07] Dave Orr: Door.",
        "Dave Orr [0:02]\nThe tap drips.\n\nSue [0:05]\nNo.\n\nDave Orr [0:07]\nDoor.",
        "Dave Orr\n0:02\nThe tap drips.\n\nSue\n0:05\nNo.\n\nDave Orr\n0:07\nDoor.",
        "0:02 Dave Orr\nThe tap drips.\n\n0:05 Sue\nNo.\n\n0:07 Dave Orr\nDoor.",
        "Dave Orr: (0:02) The tap drips.\nSue: (0:05) No.\nDave Orr: (0:07) Door.",
    ] {
        assert_eq!(read_clean(text, Format::Stamped), named, "{text}");
    }
}

#[test]
fn rooms_before_stamps_stay_in_the_text() {
    let text =
        "Kitchen (0:02)\nThe tap drips.\n\nBathroom (0:05)\nFan hums.\n\nKitchen (0:07)\nDoor.";
    assert_eq!(
        read_clean(text, Format::Stamped),
        [
            "2-5 Kitchen The tap drips.",
            "5-7 Bathroom Fan hums.",
            "7-9 Kitchen Door."
        ]
    );
    let text = "[0:02] Kitchen: the tap drips.\n[0:05] Bathroom: fan hums.\n[0:07] Kitchen: door.";
    assert_eq!(
        read_clean(text, Format::Stamped),
        [
            "2-5 Kitchen: the tap drips.",
            "5-7 Bathroom: fan hums.",
            "7-9 Kitchen: door."
        ]
    );
}

#[test]
fn one_word_answers_are_no_names() {
    let text = "[0:02] Perfect\n[0:05] Perfect\n[0:07] Lovely";
    assert_eq!(
        read_clean(text, Format::Stamped),
        ["2-5 Perfect", "5-7 Perfect", "7-9 Lovely"]
    );
    let text = "[0:02] Perfect\nAnd the door.\n[0:05] The tap drips.\n[0:07] So it does\n[0:09] Perfect\nand shut.";
    assert_eq!(
        read_clean(text, Format::Stamped)[0],
        "2-5 Perfect And the door."
    );
}

#[test]
fn times_that_are_said_are_no_stamps() {
    let text =
        "[0:02] The plumber came\n7:30 in the morning and left\nat (2 m) or so.\n[0:05] Door.";
    assert_eq!(
        read_clean(text, Format::Stamped),
        [
            "2-5 The plumber came 7:30 in the morning and left at (2 m) or so.",
            "5-7 Door."
        ]
    );
    let text = "0:02 The plumber came\n7:30 am and left.\n0:05 Door.";
    assert_eq!(
        read_clean(text, Format::Stamped),
        ["2-5 The plumber came 7:30 am and left.", "5-7 Door."]
    );
}

#[test]
fn pieces_at_one_second_share_it() {
    let text = "[0:02] aaaa\n[0:02] bbbb\n[0:06] The end of the walk, and a long way from where it began, thank you.";
    assert_eq!(
        read_clean(text, Format::Stamped),
        [
            "2-4 aaaa",
            "4-6 bbbb",
            "6-10.467 The end of the walk, and a long way from where it began, thank you."
        ]
    );
}

#[test]
fn what_is_left_out_is_said() {
    let text = "Walk of the third\nby Dave\n\n[0:09] Door.\n[0:02] Tap. [door slams]\n";
    let transcript = read(text.as_bytes(), "walk.txt", &ReadOptions::default()).unwrap();
    assert_eq!(rows(&transcript), ["2-9 Tap.", "9-11 Door."]);
    assert!(
        transcript.warnings[0].starts_with("line 1: left out, as no time stands before it: \"Walk"),
        "{:?}",
        transcript.warnings
    );
    assert!(
        transcript.warnings[1].starts_with("line 5: time goes back from 0:09 to 0:02"),
        "{:?}",
        transcript.warnings
    );
}

#[test]
fn whole_files_that_are_wrong() {
    let fails =
        |text: &str| read(text.as_bytes(), "walk.txt", &ReadOptions::default()).unwrap_err();
    assert!(matches!(fails(""), TranscriptError::Empty { .. }));
    assert!(matches!(
        fails("So the tap drips.\nAnd the door."),
        TranscriptError::NoTimes { lines: 2, .. }
    ));
    assert!(matches!(
        fails("[0:02] [Music]\n[0:05]\n"),
        TranscriptError::NoWords { cues: 2, .. }
    ));
    assert!(matches!(
        fails("[5000:00:00] tap"),
        TranscriptError::AbsurdTimes {
            hours: 5000,
            line: 1,
            ..
        }
    ));
    for error in [
        fails(""),
        fails("a"),
        fails("[0:02]"),
        fails("[5000:00:00] tap"),
    ] {
        assert!(error.to_string().starts_with("walk.txt: "), "{error}");
    }
}

#[test]
fn lossy_reading_says_where() {
    let bytes = b"[0:02] The tap \xFFdrips.\n[0:05] Door.\n";
    assert!(matches!(
        read(bytes, "w", &ReadOptions::default()),
        Err(TranscriptError::Utf8 {
            byte: 15,
            line: 1,
            ..
        })
    ));
    let transcript = read(bytes, "w", &ReadOptions { lossy: true }).unwrap();
    assert_eq!(
        rows(&transcript),
        ["2-5 The tap \u{FFFD}drips.", "5-7 Door."]
    );
    assert!(
        transcript.warnings[0].starts_with("line 1: not valid UTF-8"),
        "{:?}",
        transcript.warnings
    );
}
