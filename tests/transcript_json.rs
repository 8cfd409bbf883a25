//! JSON in the shapes that speech-to-text programs write, told by their keys.

mod common;

use common::{read_clean, rows};
use storystick::transcript::{Format, ReadOptions, TranscriptError, read};

/// The same two sentences in many shapes.
const PLAIN: [&str; 2] = ["1.5-2.5 The tap drips.", "4-5.25 Door sticks."];

#[test]
fn pieces_with_start_end_and_text() {
    let pieces = [
        r#"[{"start":1.5,"end":2.5,"text":"The tap drips."},{"start":4,"end":5.25,"text":"Door sticks."}]"#,
        r#"[{"start":"1.5","end":"2.5","text":" The tap drips."},{"start":"4.0","end":"5.25","text":" Door sticks."}]"#,
        r#"[{"start":1500,"end":2500,"text":"The tap drips."},{"start":4000,"end":5250,"text":"Door sticks."}]"#,
        r#"[{"start_ms":1500,"end_ms":2500,"text":"The tap drips."},{"start_ms":4000,"end_ms":5250,"text":"Door sticks."}]"#,
        r#"[{"startMs":"1500","endMs":"2500","text":"The tap drips."},{"startMs":"4000","endMs":"5250","text":"Door sticks."}]"#,
        r#"[{"startTime":"1.500s","endTime":"2.5s","transcript":"The tap drips."},{"startTime":"4s","endTime":"5.250s","transcript":"Door sticks."}]"#,
        r#"[{"start_time":"00:00:01.500","end_time":"00:00:02,500","text":"The tap drips."},{"start_time":"0:04","end_time":"0:05.25","text":"Door sticks."}]"#,
        r#"[{"offsets":{"from":1500,"to":2500},"text":" The tap drips."},{"offsets":{"from":4000,"to":5250},"text":" Door sticks."}]"#,
        r#"[{"timestamps":{"from":"00:00:01,500","to":"00:00:02,500"},"text":"The tap drips."},{"timestamps":{"from":"00:00:04,000","to":"00:00:05,250"},"text":"Door sticks."}]"#,
        r#"[{"timestamp":[1.5,2.5],"text":" The tap drips."},{"timestamp":[4.0,5.25],"text":" Door sticks."}]"#,
        r#"[{"start":1.5,"duration":1,"text":"The tap drips."},{"start":4,"dur":1.25,"text":"Door sticks."}]"#,
        r#"[{"offset":"PT1.5S","duration":"PT1S","display":"The tap drips."},{"offset":"PT4S","duration":"PT1.25S","display":"Door sticks."}]"#,
        r#"[{"offsetInTicks":15000000,"durationInTicks":10000000,"nBest":[{"display":"The tap drips."}]},{"offsetInTicks":40000000,"durationInTicks":12500000,"nBest":[{"display":"Door sticks."}]}]"#,
        r#"[{"startTime":{"seconds":"1","nanos":500000000},"endTime":{"seconds":2,"nanos":500000000},"text":"The tap drips."},{"startTime":{"seconds":4},"endTime":{"seconds":5,"nanos":250000000},"text":"Door sticks."}]"#,
        r#"[[1.5,2.5,"The tap drips."],[4.0,5.25,"Door sticks."]]"#,
        r#"[["The tap drips.",1.5,2.5],["Door sticks.",4.0,5.25]]"#,
    ];
    for list in pieces {
        assert_eq!(read_clean(list, Format::Json), PLAIN, "{list}");
        for holder in [
            r#"{"segments":LIST}"#,
            r#"{"text":"all","language":"en","segments":LIST,"word_segments":[]}"#,
            r#"{"params":{"model":"x"},"result":{"language":"en"},"transcription":LIST}"#,
            r#"{"chunks":LIST,"text":"all"}"#,
            r#"{"results":LIST}"#,
            r#"{"results":{"utterances":LIST}}"#,
            r#"{"utterances":LIST,"words":null}"#,
            r#"{"id":3,"response":{"body":{"captions":LIST}}}"#,
            r#"{"job":{"made":"by hand"},"pieces of talk":LIST}"#,
        ] {
            let json = holder.replace("LIST", list);
            assert_eq!(read_clean(&json, Format::Json), PLAIN, "{json}");
        }
    }
}

#[test]
fn one_object_a_line() {
    let json = "{\"start\":1.5,\"end\":2.5,\"text\":\"The tap drips.\"}\n{\"start\":4,\"end\":5.25,\"text\":\"Door sticks.\"}\n";
    assert_eq!(read_clean(json, Format::Json), PLAIN);
}

#[test]
fn an_open_end_is_the_next_start() {
    let json = r#"{"chunks":[{"timestamp":[1.5,null],"text":"The tap drips."},{"timestamp":[4.0,null],"text":"Door sticks."}]}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        ["1.5-4 The tap drips.", "4-6 Door sticks."]
    );
}

#[test]
fn words_inside_pieces() {
    let want = ["1.5-2.5 The tap drips. The@1.5-1.7 tap@1.8-2 drips.@2.1-2.5"];
    for json in [
        r#"{"segments":[{"start":1.5,"end":2.5,"text":" The tap drips.","words":[{"word":" The","start":1.5,"end":1.7},{"word":" tap","start":1.8,"end":2.0},{"word":" drips.","start":2.1,"end":2.5}]}]}"#,
        r#"{"segments":[{"start":1.5,"end":2.5,"words":[{"word":"The","start":1.5,"end":1.7},{"word":"tap","start":1.8,"end":2.0},{"word":"drips.","start":2.1,"end":2.5}]}]}"#,
        r#"{"utterances":[{"start":1500,"end":2500,"text":"The tap drips.","words":[{"text":"The","start":1500,"end":1700},{"text":"tap","start":1800,"end":2000},{"text":"drips.","start":2100,"end":2500}]}]}"#,
        r#"{"transcription":[{"offsets":{"from":1500,"to":2500},"text":" The tap drips.","tokens":[{"text":"[_BEG_]","offsets":{"from":0,"to":0}},{"text":" The","offsets":{"from":1500,"to":1700}},{"text":" tap","offsets":{"from":1800,"to":2000}},{"text":" drips.","offsets":{"from":2100,"to":2500}}]}]}"#,
    ] {
        assert_eq!(read_clean(json, Format::Json), want, "{json}");
    }
    // Pieces of words, numbers without times, and words that the text writes otherwise.
    let json = r#"{"segments":[{"start":0,"end":3,"text":"Base board, 2 \"nicks\".","words":[{"word":"base","start":0,"end":0.5},{"word":"board","start":0.5,"end":1},{"word":"2"},{"word":"Nicks","start":2,"end":3}]}]}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        ["0-3 Base board, 2 \"nicks\". Base@0-0.5 board@0.5-1 nicks@2-3"]
    );
}

#[test]
fn words_alone_are_parted_at_sentences_pauses_and_turns() {
    let json = r#"{"words":[
        {"word":"the","start":0.0,"end":0.2},{"word":"tap","start":0.3,"end":0.5},
        {"word":"door","start":2.0,"end":2.2},{"word":"sticks.","start":2.3,"end":2.6},
        {"word":"Right.","start":2.7,"end":3.0,"speaker":1},{"word":"no","start":3.1,"end":3.2,"speaker":2}]}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        [
            "0-0.5 the tap the@0-0.2 tap@0.3-0.5",
            "2-2.6 door sticks. door@2-2.2 sticks.@2.3-2.6",
            "2.7-3 Speaker 1: Right. Right.@2.7-3",
            "3.1-3.2 Speaker 2: no no@3.1-3.2",
        ]
    );
    let list = r#"[{"text":"The","start":1500,"end":1700},{"text":"tap","start":1800,"end":2000,"x":0},{"text":"drips.","start":2100,"end":2500}]"#;
    let words = list.replace("\"text\"", "\"word\"");
    assert_eq!(
        read_clean(&words, Format::Json),
        ["1.5-2.5 The tap drips. The@1.5-1.7 tap@1.8-2 drips.@2.1-2.5"]
    );
}

#[test]
fn results_with_alternatives() {
    let want = [
        "1.2-2.5 Tap drips. Tap@1.2-1.5 drips.@2-2.5",
        "4-5 Door. Door.@4-5",
    ];
    let json = r#"{"results":[
        {"alternatives":[{"transcript":"Tap drips.","confidence":0.9,"words":[{"startTime":"1.200s","endTime":"1.500s","word":"Tap"},{"startTime":"2s","endTime":"2.500s","word":"drips."}]},{"transcript":"Cap drips."}]},
        {"alternatives":[{"transcript":"Door.","words":[{"startTime":"4s","endTime":"5s","word":"Door."}]}]}]}"#;
    assert_eq!(read_clean(json, Format::Json), want);
    let json = r#"{"results":{"channels":[{"alternatives":[{"transcript":"Tap drips. Door.","words":[
        {"word":"tap","start":1.2,"end":1.5,"punctuated_word":"Tap"},{"word":"drips","start":2,"end":2.5,"punctuated_word":"drips."},{"word":"door","start":4,"end":5,"punctuated_word":"Door."}]}]}]}}"#;
    assert_eq!(read_clean(json, Format::Json), want);
    let json = r#"{"jobName":"x","results":{"transcripts":[{"transcript":"Tap drips. Door."}],"items":[
        {"type":"pronunciation","start_time":"1.2","end_time":"1.5","alternatives":[{"content":"Tap","confidence":"0.9"}]},
        {"type":"pronunciation","start_time":"2.0","end_time":"2.5","alternatives":[{"content":"drips"}]},
        {"type":"punctuation","alternatives":[{"content":"."}]},
        {"type":"pronunciation","start_time":"4.0","end_time":"5.0","alternatives":[{"content":"Door"}]},
        {"type":"punctuation","alternatives":[{"content":"."}]}]}}"#;
    let bare = [
        "1.2-2.5 Tap drips. Tap@1.2-1.5 drips@2-2.5",
        "4-5 Door. Door@4-5",
    ];
    assert_eq!(read_clean(json, Format::Json), bare);
    let json = r#"{"format":"2.9","metadata":{"created_at":"x"},"results":[
        {"type":"word","start_time":1.2,"end_time":1.5,"alternatives":[{"content":"Tap","speaker":"S1"}]},
        {"type":"word","start_time":2.0,"end_time":2.5,"alternatives":[{"content":"drips","speaker":"S1"}]},
        {"type":"punctuation","start_time":2.5,"end_time":2.5,"alternatives":[{"content":".","speaker":"S1"}]},
        {"type":"word","start_time":4.0,"end_time":5.0,"alternatives":[{"content":"Door","speaker":"S2"}]}]}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        [
            "1.2-2.5 S1: Tap drips. Tap@1.2-1.5 drips@2-2.5",
            "4-5 S2: Door Door@4-5"
        ]
    );
    let json = r#"{"results":[{"alternatives":[{"transcript":"tap drips ","timestamps":[["tap",1.2,1.5],["drips",2,2.5]]}],"final":true}]}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        ["1.2-2.5 tap drips tap@1.2-1.5 drips@2-2.5"]
    );
    let json = r#"{"results":[{"alternatives":[{"transcript":"tap drips"}],"resultEndTime":"2.5s"},{"alternatives":[{"transcript":"door"}],"resultEndTime":"5s"}]}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        ["0-2.5 tap drips", "2.5-5 door"]
    );
}

#[test]
fn a_last_result_that_repeats_all_for_the_speakers_counts_once() {
    let json = r#"{"results":[
        {"alternatives":[{"transcript":"tap.","words":[{"startTime":"1s","endTime":"1.5s","word":"tap."}]}]},
        {"alternatives":[{"transcript":"door.","words":[{"startTime":"2s","endTime":"2.5s","word":"door."}]}]},
        {"alternatives":[{"words":[{"startTime":"1s","endTime":"1.5s","word":"tap.","speakerTag":1},{"startTime":"2s","endTime":"2.5s","word":"door.","speakerTag":2}]}]}]}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        [
            "1-1.5 Speaker 1: tap. tap.@1-1.5",
            "2-2.5 Speaker 2: door. door.@2-2.5"
        ]
    );
}

#[test]
fn speakers_beside_the_items() {
    let json = r#"{"results":{"speaker_labels":{"speakers":2,"segments":[
        {"start_time":"1.2","end_time":"1.5","speaker_label":"spk_0","items":[{"start_time":"1.2","end_time":"1.5","speaker_label":"spk_0"}]},
        {"start_time":"2.0","end_time":"2.5","speaker_label":"spk_1","items":[{"start_time":"2.0","end_time":"2.5"}]}]},
        "items":[{"type":"pronunciation","start_time":"1.2","end_time":"1.5","alternatives":[{"content":"Tap"}]},
        {"type":"pronunciation","start_time":"2.0","end_time":"2.5","alternatives":[{"content":"drips"}]}]}}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        [
            "1.2-1.5 spk_0: Tap Tap@1.2-1.5",
            "2-2.5 spk_1: drips drips@2-2.5"
        ]
    );
}

#[test]
fn monologues() {
    let json = r#"{"monologues":[{"speaker":0,"elements":[
        {"type":"text","value":"Tap","ts":1.2,"end_ts":1.5,"confidence":0.9},{"type":"punct","value":" "},
        {"type":"text","value":"drips","ts":2.0,"end_ts":2.5},{"type":"punct","value":". "},
        {"type":"text","value":"Door","ts":4.0,"end_ts":5.0},{"type":"punct","value":"."}]},
        {"speaker":1,"elements":[{"type":"text","value":"No","ts":6.0,"end_ts":6.5},{"type":"punct","value":"?"}]}]}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        [
            "1.2-2.5 Speaker 0: Tap drips. Tap@1.2-1.5 drips@2-2.5",
            "4-5 Speaker 0: Door. Door@4-5",
            "6-6.5 Speaker 1: No? No@6-6.5",
        ]
    );
}

#[test]
fn speakers_of_pieces() {
    for (speaker, want) in [
        (r#""A""#, "A"),
        ("1", "Speaker 1"),
        (r#""2""#, "Speaker 2"),
        (r#""SPEAKER_00""#, "SPEAKER_00"),
        (r#"{"id":"7","name":"Dave"}"#, "Dave"),
    ] {
        for key in ["speaker", "speaker_id", "speakerLabel", "Speaker Name"] {
            let json = format!(r#"[{{"start":0,"end":1.5,"text":"Right.","{key}":{speaker}}}]"#);
            assert_eq!(
                read_clean(&json, Format::Json),
                [format!("0-1.5 {want}: Right.")],
                "{json}"
            );
        }
    }
}

#[test]
fn two_channels_are_one_talk() {
    let json = r#"{"results":{"channels":[
        {"alternatives":[{"words":[{"word":"tap?","start":1,"end":1.5},{"word":"Good.","start":4.5,"end":5}]}]},
        {"alternatives":[{"words":[{"word":"drips.","start":2,"end":2.5}]}]}]}}"#;
    assert_eq!(
        read_clean(json, Format::Json),
        [
            "1-1.5 Channel 1: tap? tap?@1-1.5",
            "2-2.5 Channel 2: drips. drips.@2-2.5",
            "4.5-5 Channel 1: Good. Good.@4.5-5",
        ]
    );
}

#[test]
fn whole_seconds_are_no_milliseconds() {
    let json =
        r#"[{"start":0,"end":30,"text":"Okay."},{"start":30,"end":90,"text":"A long silence."}]"#;
    assert_eq!(read_clean(json, Format::Json)[1], "30-90 A long silence.");
    let json = r#"[{"start":0,"end":3,"text":"The tap drips."},{"start":1790,"end":1795,"text":"That is the end of the walk."}]"#;
    assert_eq!(
        read_clean(json, Format::Json)[1],
        "1790-1795 That is the end of the walk."
    );
}

#[test]
fn what_cannot_be_read_says_why() {
    let fails = |json: &str| read(json.as_bytes(), "w.json", &ReadOptions::default()).unwrap_err();
    let error = fails(r#"{"foo":{"bar":1},"list":[{"x":2}],"baz":"s"}"#).to_string();
    for part in ["w.json", "foo, foo.bar, list[], list[].x, baz", "segments"] {
        assert!(error.contains(part), "{error}");
    }
    assert!(matches!(
        fails(r#"{"segments":[]}"#),
        TranscriptError::NoWords { .. }
    ));
    assert!(matches!(
        fails(r#"{"segments":[{"start":1,"end":2,"text":" "}]}"#),
        TranscriptError::NoWords { .. } | TranscriptError::JsonShape { .. }
    ));
    let error = fails("{\"segments\":[\n{\"start\":1,\"end\":2,\"text\":\"cut off");
    assert!(
        matches!(error, TranscriptError::Json { line: 2, .. }),
        "{error}"
    );
    let deep = "[".repeat(100_000);
    assert!(matches!(
        fails(&format!("{deep}{{")),
        TranscriptError::Json { .. }
    ));
    let deep = format!("{}{{\"a\":1}}{}", "[".repeat(100_000), "]".repeat(100_000));
    assert!(matches!(fails(&deep), TranscriptError::JsonShape { .. }));
}

#[test]
fn a_bad_piece_is_skipped_with_its_line() {
    let json = "[{\"start\":1,\"end\":2,\"text\":\"Tap.\"},\n{\"start\":\"soon\",\"text\":\"lost\"},\n{\"text\":\"lost too\"},\n{\"start\":3,\"end\":4.5,\"text\":\"Door.\"}]";
    let transcript = read(json.as_bytes(), "w", &ReadOptions::default()).unwrap();
    assert_eq!(rows(&transcript), ["1-2 Tap.", "3-4.5 Door."]);
    assert_eq!(transcript.warnings.len(), 2, "{:?}", transcript.warnings);
    assert!(
        transcript.warnings[0].starts_with("line 2: piece skipped"),
        "{:?}",
        transcript.warnings
    );
    assert!(
        transcript.warnings[1].starts_with("line 3: piece skipped"),
        "{:?}",
        transcript.warnings
    );
}
