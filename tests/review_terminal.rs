//! `review --terminal`, with its keys read as lines.

use std::fs;

use assert_cmd::Command;
use serde_json::{Value, json};

fn list() -> Value {
    let item = |id: &str, number: u32, sure: f64, text: &str| {
        json!({"id": id, "number": number, "area": ["Kitchen"], "element": "sill", "fault": "chip", "work": "touch-up", "trade": "painter",
            "standing": "outstanding", "text": text, "confidence": sure,
            "said": [{"walk": "w1", "start": 61.0, "end": 62.0, "text": format!("{text} said")}]})
    };
    json!({
        "schema": "storystick/list/1",
        "walks": [{"id": "w1", "file": "a.vtt", "format": "webvtt", "sha256": "0", "seconds": 90.0, "words": 30}],
        "areas": [],
        "items": [item("aa", 1, 0.9, "Sure"), item("bb", 2, 0.5, "Half"), item("cc", 3, 0.2, "Hardly\u{1b}[2J"), item("dd", 4, 0.6, "Rather")],
    })
}

/// What a review by these lines prints, and the list after it.
fn review(lines: &str) -> (String, Value) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.json");
    fs::write(&path, list().to_string()).unwrap();
    let output = Command::cargo_bin("storystick")
        .unwrap()
        .args(["review", "--terminal", path.to_str().unwrap()])
        .write_stdin(lines)
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{err}");
    let after = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    (String::from_utf8(output.stdout).unwrap(), after)
}

fn item<'v>(list: &'v Value, id: &str) -> Option<&'v Value> {
    list["items"]
        .as_array()
        .unwrap()
        .iter()
        .find(|i| i["id"] == id)
}

#[test]
fn steps_through_what_is_unsure_least_sure_first() {
    let (out, after) = review("s\ns\ns\n");
    let at = |text: &str| out.find(text).unwrap_or_else(|| panic!("{text}: {out}"));
    assert!(at("1 of 3  number 3, sure to 20 %") < at("2 of 3  number 2"));
    assert!(at("2 of 3  number 2") < at("3 of 3  number 4"));
    assert!(out.contains("1:01  \"Half said\"") && !out.contains("Sure said"));
    assert!(out.contains("0 changes saved, 3 uncertain left."));
    assert_eq!(after, list());
}

#[test]
fn accepts_drops_and_takes_back() {
    let (out, after) = review("a\nd\nu\nd\nq\n");
    assert!(out.contains("2 changes saved, 1 uncertain left."), "{out}");
    assert!(item(&after, "bb").is_none() && item(&after, "dd").is_some());
    assert!(!item(&after, "cc").unwrap()["decided"].is_null());
    assert!(item(&after, "dd").unwrap()["decided"].is_null());
    assert_eq!(item(&after, "aa"), item(&list(), "aa"));
}

#[test]
fn changes_fields_by_number_word_and_text() {
    let (out, after) = review(
        "c\nw\n3\nc\nt\ntile\nc\nr\nUpstairs > Loft\nc\nx\nNew words\nc\nc\nmany\n0\n\nc\nl\n\nq\n",
    );
    let item = item(&after, "cc").unwrap();
    assert_eq!(item["work"], "replace", "{out}");
    assert_eq!(item["trade"], "tile");
    assert_eq!(item["area"], json!(["Upstairs", "Loft"]));
    assert_eq!(item["text"], "New words");
    assert!(item["count"].is_null() && out.contains("\"many\" does not fit; a number from 1"));
    assert_eq!(out.matches("Nothing was changed.").count(), 2, "{out}");
}

#[test]
fn tells_the_keys_and_shows_an_item_once() {
    let (out, after) = review("?\nz\nC\nz\nA\n\nc\nt\n99\nPainter\n");
    assert!(
        out.contains("  d  drop: nothing is to be done there"),
        "{out}"
    );
    assert!(out.contains("'z' is none of the keys; ? tells"), "{out}");
    assert!(
        out.contains("\"99\" does not fit; its number or word"),
        "{out}"
    );
    // Neither help nor a slip shows the same item again.
    assert_eq!(out.matches("1 of 3").count(), 1, "{out}");
    assert!(!item(&after, "cc").unwrap()["decided"].is_null());
    assert_eq!(
        item(&after, "dd").unwrap()["decided"]["fields"],
        json!(["trade"])
    );
}

#[test]
fn ends_with_the_input_and_never_steers_the_terminal() {
    let (out, _) = review("");
    assert!(
        out.contains("Hardly [2J") && !out.contains('\u{1b}'),
        "{out:?}"
    );
}

#[test]
fn goes_with_neither_media_nor_no_open() {
    for more in [&["--no-open"][..], &["--media", "x.wav"]] {
        let code = Command::cargo_bin("storystick")
            .unwrap()
            .args(["review", "--terminal", "x.json"])
            .args(more)
            .output()
            .unwrap()
            .status
            .code();
        assert_eq!(code, Some(2));
    }
}
