//! What holds for every input: no panic, times in order, words inside the text, the same bytes read the same way.

mod common;

use proptest::prelude::*;
use storystick::transcript::{ReadOptions, Reading, read};

/// A valid file of each format, to be bent.
const FILES: [&str; 9] = [
    "WEBVTT\n\nNOTE x\n\n1\n00:00:01.000 --> 00:00:02.500\n<v Dave>The <00:00:01.500>tap &amp; sink</v>\n\n00:03.000 --> 00:04.000\n- Right.\n- No. [Music]\n",
    "1\n00:00:01,000 --> 00:00:02,500\n{\\an8}SPEAKER 1: the tap\n\n2\n00:00:02,500 --> 00:00:04,000\nthe tap\ndrips ♪ la ♪\n\n3\n00:00:04,000 --> 00:00:05,000\ndrips\na lot, ½\n",
    "<?xml version=\"1.0\"?><tt xmlns=\"http://www.w3.org/ns/ttml\" xmlns:ttp=\"http://www.w3.org/ns/ttml#parameter\" ttp:frameRate=\"25\"><body><div begin=\"1s\"><p begin=\"0:00:01:05\" dur=\"30f\">The <span begin=\"10t\">tap</span><br/>drips</p></div></body></tt>",
    "{\"segments\":[{\"start\":1.0,\"end\":2.5,\"text\":\" The tap\",\"words\":[{\"word\":\" The\",\"start\":1,\"end\":1.2},{\"word\":\" tap\",\"start\":\"1.5\",\"end\":2}]},{\"start\":\"00:03\",\"end\":null,\"text\":\"d\\u00e9j\\u00e0 ½\",\"speaker\":2}]}",
    "{\"results\":[{\"alternatives\":[{\"words\":[{\"startTime\":\"1.2s\",\"endTime\":\"1.5s\",\"word\":\"Tap.\"},{\"startTime\":{\"seconds\":2,\"nanos\":5},\"endTime\":\"3s\",\"word\":\"Door\"}]}]}],\"monologues\":[{\"elements\":[{\"ts\":1,\"end_ts\":2,\"value\":\"x\"}]}]}",
    "start\tend\ttext\n1000\t2500\tThe tap\n2500\t4000\t\"drips\ta lot\"\n",
    "1.0,2.5,Dave,\"The, tap\"\n2.5,4.0,Dave,drips a lot\n",
    "Dave [0:01] The tap [0:02 - 0:03] drips\n\nSue:\n[0:05]\n7:30 in (0:06) the ½ morning\n",
    "0:01 - 0:02 Speaker 1\nThe tap\n\n0:03 Speaker 2\n\u{FEFF}drips [tarp?] (inaudible)\n1:00:05\nend\n",
];

/// Pieces that mean something to one reader or another.
const PIECES: [&str; 34] = [
    "-->",
    "\n\n",
    "\r",
    "<",
    ">",
    "[",
    "]",
    "(",
    ")",
    "{",
    "}",
    "\"",
    "0:05",
    "00:00:02.000",
    "99:59:59,999",
    "\t",
    ",",
    ":",
    "-",
    "♪",
    "½",
    "&#x0;",
    "&amp;",
    "<v Sue>",
    "Speaker 1:",
    "null",
    "1e999",
    "-3",
    "\u{0}",
    "\u{FEFF}",
    "WEBVTT",
    "[Music]",
    "\"start\":",
    "same same same",
];

fn check(bytes: &[u8]) {
    for lossy in [false, true] {
        let options = ReadOptions { lossy };
        let result = read(bytes, "walk", &options);
        assert_eq!(result, read(bytes, "walk", &options), "read twice");
        let transcript = match result {
            Ok(transcript) => transcript,
            Err(error) => {
                assert!(error.to_string().starts_with("walk: "), "{error}");
                continue;
            }
        };
        assert!(!transcript.cues.is_empty());
        let mut last = 0.0;
        for cue in &transcript.cues {
            assert!(
                cue.start >= last && cue.end >= cue.start && cue.end.is_finite(),
                "{cue:?}"
            );
            assert!(
                !cue.text.trim().is_empty() && cue.text.trim() == cue.text,
                "{cue:?}"
            );
            assert!(
                !cue.text.contains(['\n', '\r', '\t']) && !cue.text.contains("  "),
                "{cue:?}"
            );
            last = cue.start;
            let (mut from, mut time) = (0, 0.0);
            for word in &cue.words {
                assert!(
                    word.range.start >= from && word.range.end > word.range.start,
                    "{cue:?}"
                );
                assert!(cue.text.get(word.range.clone()).is_some(), "{cue:?}");
                assert!(
                    word.start >= time && word.end >= word.start && word.end.is_finite(),
                    "{cue:?}"
                );
                (from, time) = (word.range.end, word.start);
            }
        }
        let reading = Reading::new(&transcript);
        assert_eq!(reading.cues.len(), transcript.cues.len());
        for (cue, stretch) in transcript.cues.iter().zip(&reading.cues) {
            assert_eq!(
                reading.text.get(stretch.range.clone()),
                Some(cue.text.as_str())
            );
        }
        let length = reading.text.len();
        for from in (0..length + 3).step_by(1 + length / 50) {
            assert!(reading.pause_before(from) >= 0.0);
            let stretch = &reading.cues[reading.cue_at(from)];
            assert!(stretch.range.start <= from);
            for to in (from..length + 3).step_by(1 + length / 20) {
                let (start, end) = reading.span(from..to);
                assert!(
                    start <= end && start.is_finite() && end.is_finite(),
                    "{from}..{to}: {start} {end}"
                );
            }
        }
    }
}

#[test]
fn the_files_themselves_hold() {
    for file in FILES {
        assert!(
            read(file.as_bytes(), "walk", &ReadOptions::default()).is_ok(),
            "{file}"
        );
        check(file.as_bytes());
        for end in 0..file.len() {
            check(&file.as_bytes()[..end]);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        check(&bytes);
    }

    #[test]
    fn any_text_behind_any_head(head in 0..6usize, text in "\\PC{0,80}") {
        let head = ["", "WEBVTT\n\n", "[0:01] ", "1\n00:00:01,000 --> 00:00:02,000\n", "{\"segments\":", "start,end,text\n1,2,"][head];
        check(format!("{head}{text}").as_bytes());
    }

    #[test]
    fn bent_files(
        file in 0..FILES.len(),
        cuts in proptest::collection::vec((any::<prop::sample::Index>(), 0..12usize, 0..PIECES.len() + 8), 1..8),
    ) {
        let mut bytes = FILES[file].as_bytes().to_vec();
        for (at, length, piece) in cuts {
            let from = at.index(bytes.len() + 1);
            let to = (from + length).min(bytes.len());
            let piece = PIECES.get(piece).map_or(&b""[..], |p| p.as_bytes());
            bytes.splice(from..to, piece.iter().copied());
        }
        check(&bytes);
    }

    #[test]
    fn pieces_in_any_order(
        head in 0..FILES.len(),
        pieces in proptest::collection::vec(0..PIECES.len(), 0..60),
    ) {
        let text: String = pieces.into_iter().map(|i| PIECES[i]).collect();
        check(text.as_bytes());
        check(format!("{}{text}", FILES[head]).as_bytes());
    }

    #[test]
    fn cues_with_any_times_and_few_words(
        cues in proptest::collection::vec((0u32..30, 0u32..30, proptest::collection::vec(0..5usize, 0..6)), 1..12),
    ) {
        let mut text = String::new();
        for (start, end, words) in cues {
            let words: Vec<&str> = words.into_iter().map(|w| ["a", "b", "c.", "\n", "A"][w]).collect();
            text.push_str(&format!("00:00:{start:02},000 --> 00:00:{end:02},000\n{}\n\n", words.join(" ")));
        }
        check(text.as_bytes());
    }
}
