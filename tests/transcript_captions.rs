//! WebVTT and SubRip as speech: speakers, tags, loose writing, rolling captions.

mod common;

use common::{read_clean, rows};
use storystick::transcript::{Format, ReadOptions, read};

fn warned(text: &str) -> (Vec<String>, Vec<String>) {
    let transcript = read(text.as_bytes(), "walk", &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{e}\n{text}"));
    (rows(&transcript), transcript.warnings)
}

#[test]
fn webvtt() {
    let head = "WEBVTT - made by hand\nKind: captions\n\nNOTE\nno words of the walk\n\nSTYLE\n::cue { color: red }\n\nREGION\nid:a\n\n";
    for (cue, want) in [
        (
            "7\n00:01.500 --> 00:02.500 align:start position:0%\nThe tap\ndrips.",
            &["1.5-2.5 The tap drips."][..],
        ),
        (
            "00:01.500 --> 00:02.500\n<v Dave Orr>The <i>tap</i> <c.loud>drips</c>.</v>",
            &["1.5-2.5 Dave Orr: The tap drips."],
        ),
        (
            "00:01.500 --> 00:02.500\n<v.loud Dave>Tap.</v>\n<v Sue>No.",
            &["1.5-2 Dave: Tap.", "2.125-2.5 Sue: No."],
        ),
        (
            "00:01.500 --> 00:02.500\nR&amp;D &lt;1&gt;&nbsp;in. &#189; &#x2013; &c",
            &["1.5-2.5 R&D <1> in. ½ – &c"],
        ),
        (
            "00:01.000 --> 00:03.000\nThe <00:00:01.500><c>tap </c><00:00:02.000><c>drips.</c>",
            &["1-3 The tap drips. The@1-1.5 tap@1.5-2 drips.@2-3"],
        ),
        (
            "00:01.000 --> 00:02.000\n[Music]\n\n00:02.000 --> 00:03.000\n♪ la la ♪\n(sighs) Right.",
            &["2-3 Right."],
        ),
        (
            "00:01.000 --> 00:02.000\n\n\n00:02.000 --> 00:03.000\nRight.",
            &["2-3 Right."],
        ),
    ] {
        assert_eq!(
            read_clean(&format!("{head}{cue}\n"), Format::Webvtt),
            want,
            "{cue}"
        );
        let crlf = format!("\u{FEFF}{head}{cue}\n").replace('\n', "\r\n");
        assert_eq!(read_clean(&crlf, Format::Webvtt), want, "CRLF: {cue}");
        let cr = format!("{head}{cue}").replace('\n', "\r");
        assert_eq!(read_clean(&cr, Format::Webvtt), want, "CR: {cue}");
    }
}

#[test]
fn loose_webvtt_is_read_with_a_note() {
    let (cues, warnings) = warned(
        "WEBVTT\n\n00:00:01,500 --> 00:00:02,500\nTap.\n\n0:03.5 --> 0:04\nDoor.\n\n00:05.x00 --> 00:06.000\nLost.\n\nstray\nlines\n\n00:07.000 --> 00:06.000\nRight.\n",
    );
    assert_eq!(cues, ["1.5-2.5 Tap.", "3.5-4 Door.", "7-7 Right."]);
    assert_eq!(warnings.len(), 5, "{warnings:?}");
    for (i, start) in [
        "line 3: time not",
        "line 6: time not",
        "line 9: cue skipped",
        "line 12: left out",
        "line 15: ends at 0:06",
    ]
    .iter()
    .enumerate()
    {
        assert!(warnings[i].starts_with(start), "{warnings:?}");
    }
}

#[test]
fn subrip() {
    for (text, want) in [
        (
            "1\n00:00:01,500 --> 00:00:02,500\nThe tap\ndrips.\n\n2\n00:00:04,000 --> 00:00:05,250\nDoor.\n",
            &["1.5-2.5 The tap drips.", "4-5.25 Door."][..],
        ),
        (
            "00:00:01.500 --> 00:00:02.5\nTap.\n00:00:04 --> 00:00:05\nDoor.",
            &["1.5-2.5 Tap.", "4-5 Door."],
        ),
        (
            "1\n0:01 --> 0:02\nTap.\n2\n0:04 --> 0:05\nDoor.",
            &["1-2 Tap.", "4-5 Door."],
        ),
        (
            "1\n00:00:01,500-->00:00:02,500  X1:40 X2:600\n{\\an8}<i>Tap.</i>\n\n\n\n2\n00:00:04,000 -> 00:00:05,250\n<font color=\"#fff\">Door</font>.",
            &["1.5-2.5 Tap.", "4-5.25 Door."],
        ),
        // A blank line inside a cue, and a line that is only a number.
        (
            "1\n00:00:01,000 --> 00:00:02,000\nUnit\n\n12\nfirst.\n\n2\n00:00:04,000 --> 00:00:05,000\nDoor\n3",
            &["1-2 Unit 12 first.", "4-5 Door 3"],
        ),
        (
            "1\n00:00:01,000 --> 00:00:02,000\nSPEAKER 1: Tap.\n\n2\n00:00:02,000 --> 00:00:03,000\nAnd door.\n\n3\n00:00:03,000 --> 00:00:04,000\nSPEAKER 2: No.",
            &[
                "1-2 SPEAKER 1: Tap.",
                "2-3 SPEAKER 1: And door.",
                "3-4 SPEAKER 2: No.",
            ],
        ),
        (
            "1\n00:00:01,000 --> 00:00:02,000\nDave: Tap?\nSue: Tap.\n\n2\n00:00:03,000 --> 00:00:04,000\nDave: Right.",
            &[
                "1-1.524 Dave: Tap?",
                "1.762-2 Sue: Tap.",
                "3-4 Dave: Right.",
            ],
        ),
        (
            "1\n00:00:01,000 --> 00:00:02,000\n- Is it?\n- It is.\n",
            &["1-1.471 Is it?", "1.588-2 It is."],
        ),
    ] {
        let clean = |text: &str| read_clean(text, Format::Subrip);
        let got = clean(text);
        if text.contains("Dave") || text.contains("- Is") {
            // Times inside a cue are shared by characters; only their order matters here.
            let words = |rows: &[String]| {
                rows.iter()
                    .map(|r| r.split_once(' ').unwrap().1.to_owned())
                    .collect::<Vec<_>>()
            };
            let want: Vec<String> = want.iter().map(|w| (*w).to_owned()).collect();
            assert_eq!(words(&got), words(&want), "{text}");
        } else {
            assert_eq!(got, want, "{text}");
        }
        assert_eq!(clean(&text.replace('\n', "\r\n")), got, "CRLF: {text}");
    }
}

#[test]
fn times_out_of_order_are_sorted_and_named() {
    let (cues, warnings) = warned(
        "1\n00:00:05,000 --> 00:00:06,000\nTwo.\n\n2\n00:00:01,000 --> 00:00:02,000\nOne.\n\n3\n00:00:09,000 --> 00:00:08,000\nThree.\n\n4\n00:00:xx,000 --> 00:00:08,000\nLost.\n",
    );
    assert_eq!(cues, ["1-2 One.", "5-6 Two.", "9-9 Three."]);
    assert_eq!(warnings.len(), 3, "{warnings:?}");
    assert!(
        warnings
            .iter()
            .any(|w| w.starts_with("line 6: time goes back from 0:05 to 0:01")),
        "{warnings:?}"
    );
    assert!(
        warnings
            .iter()
            .any(|w| w.starts_with("line 10: ends at 0:08, before its start at 0:09")),
        "{warnings:?}"
    );
    assert!(
        warnings
            .iter()
            .any(|w| w.starts_with("line 14: cue skipped")),
        "{warnings:?}"
    );
}

#[test]
fn many_notes_of_a_kind_are_counted() {
    let text: String = (0..20)
        .map(|i| format!("{i}\n00:00:{i:02},500 --> 00:00:{i:02},000\nTap {i}.\n\n"))
        .collect();
    let (cues, warnings) = warned(&text);
    assert_eq!((cues.len(), warnings.len()), (20, 6));
    assert_eq!(warnings[5], "… and 15 more times mended");
}

fn texts(cues: &[String]) -> String {
    cues.iter()
        .map(|c| c.split_once(' ').unwrap().1.split(" so@").next().unwrap())
        .collect::<Vec<_>>()
        .join(" / ")
}

#[test]
fn rolling_lines_with_word_times() {
    let text = "WEBVTT\n\n00:00:01.000 --> 00:00:03.000 align:start\n \nthe<00:00:01.400><c> tap</c><00:00:02.000><c> here</c>\n\n\
        00:00:03.000 --> 00:00:03.010\nthe tap here\n \n\n\
        00:00:03.010 --> 00:00:05.000\nthe tap here\ndrips<00:00:03.500><c> and</c><00:00:04.000><c> drips</c>\n\n\
        00:00:05.000 --> 00:00:05.010\ndrips and drips\n \n\n\
        00:00:05.010 --> 00:00:07.000\ndrips and drips\nand<00:00:05.500><c> drips</c>\n\n\
        00:00:07.000 --> 00:00:07.010\nand drips\n \n\n";
    let (cues, warnings) = warned(text);
    assert_eq!(
        cues,
        [
            "1-3 the tap here the@1-1.4 tap@1.4-2 here@2-3",
            "3.01-5 drips and drips drips@3.01-3.5 and@3.5-4 drips@4-5",
            "5.01-7 and drips and@5.01-5.5 drips@5.5-6.7",
        ]
    );
    assert_eq!(warnings.len(), 1, "{warnings:?}");
    assert!(warnings[0].contains("rolling"), "{warnings:?}");
}

#[test]
fn rolling_lines_without_word_times() {
    let lines = [
        "so the tap",
        "drips a lot",
        "and the door",
        "sticks at the top",
        "right here",
    ];
    let cue = |i: usize, text: &str| {
        format!(
            "{}\n00:00:{:02},000 --> 00:00:{:02},000\n{text}\n\n",
            i + 1,
            2 * i,
            2 * i + 2
        )
    };
    let two: String = (0..5)
        .map(|i| cue(i, &lines[i.saturating_sub(1)..=i].join("\n")))
        .collect();
    let three: String = (0..5)
        .map(|i| cue(i, &lines[i.saturating_sub(2)..=i].join("\n")))
        .collect();
    for text in [two, three] {
        let (cues, _) = warned(&text);
        assert_eq!(
            texts(&cues),
            "so the tap / drips a lot / and the door / sticks at the top / right here",
            "{text}"
        );
        assert!(cues[3].starts_with("6-8 "), "{cues:?}");
    }
}

#[test]
fn captions_that_grow_by_the_word() {
    let words = ["So", "the", "tap", "drips", "a", "lot."];
    let cue = |i: usize, text: &str| {
        format!(
            "{}\n00:00:0{i},000 --> 00:00:0{},000\n{text}\n\n",
            i + 1,
            i + 1
        )
    };
    let text: String = (0..6).map(|i| cue(i, &words[..=i].join(" "))).collect();
    let (cues, _) = warned(&text);
    assert_eq!(
        cues,
        ["0-6 So the tap drips a lot. So@0-0.9 the@1-2 tap@2-3 drips@3-4 a@4-4.8 lot.@5-6"]
    );
}

#[test]
fn what_people_repeat_is_kept() {
    let said = [
        "Hello?",
        "Hello?",
        "Dry.",
        "Dry, dry.",
        "Dry. Dry. Dry.",
        "Sorry.",
        "Sorry! Sorry.",
        "No.",
        "No.",
    ];
    let text: String = said
        .iter()
        .enumerate()
        .map(|(i, s)| format!("00:00:{i:02},000 --> 00:00:{i:02},900\n{s}\n\n"))
        .collect();
    let (cues, warnings) = warned(&text);
    assert_eq!(texts(&cues), said.join(" / "));
    assert!(warnings.is_empty(), "{warnings:?}");
}

#[test]
fn the_same_cue_at_the_same_time_counts_once() {
    let cue = "00:00:01,000 --> 00:00:02,000\nTap drips.\n\n";
    let (cues, warnings) = warned(&format!(
        "{cue}{cue}00:00:01,020 --> 00:00:02,100\nTap drips.\n\n00:00:03,000 --> 00:00:04,000\nTap drips."
    ));
    assert_eq!(cues, ["1-2.1 Tap drips.", "3-4 Tap drips."]);
    assert_eq!(warnings.len(), 2, "{warnings:?}");
}
