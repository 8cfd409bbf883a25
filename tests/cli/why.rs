//! `storystick why` and `storystick lexicon try`: what they tell of a moment, and what they refuse.

use serde_json::Value;

use super::{WALKS, done, example, run, storystick, trouble};

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&done(args)).unwrap()
}

/// A walk of one cue at 4 to 9 s in a kitchen.
fn kitchen(words: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("walk.vtt");
    let text = format!(
        "WEBVTT\n\n00:00.000 --> 00:02.000\nInto the kitchen.\n\n00:04.000 --> 00:09.000\n{words}\n"
    );
    std::fs::write(&path, text).unwrap();
    let path = path.to_str().unwrap().to_string();
    (folder, path)
}

#[test]
fn a_moment_is_told_stage_by_stage() {
    let (_folder, walk) = kitchen("The faucet drips.");
    let text = done(&["why", &walk, "0:05"]);
    for part in [
        "0:04 to 0:08\n  \"The faucet drips\"\n",
        "\nPlace\n  Kitchen\n    0:01, \"Into the kitchen\": ",
        "  \"faucet\"              elements/faucet (noun)\n",
        "  \"drips\"               faults/",
        "; of faucet\n",
        "  Item #1 ",
        "    work                repair <- faults/",
        "    trade               plumber <- group ",
        "\nWhat nearly counted\n  nothing\n",
    ] {
        assert!(text.contains(part), "{part:?} is not in:\n{text}");
    }
}

#[test]
fn a_denial_is_told_with_what_it_reaches() {
    let (_folder, walk) = kitchen("There's no crack in the window.");
    let why = json(&["why", &walk, "5", "--format", "json"]);
    let m = &why["moments"][0];
    let cue = m["cues"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["kind"] == "negation")
        .unwrap_or_else(|| panic!("no denial in {m}"));
    assert_eq!(cue["words"], "no");
    assert_eq!(cue["reaches"][0], "crack");
    assert_eq!(m["items"], Value::Array(Vec::new()));
    assert!(
        m["events"]
            .as_array()
            .unwrap()
            .iter()
            .any(|e| e["says"] == "fault denied")
    );
}

#[test]
fn what_nearly_counted_is_told_with_its_reason() {
    let (_folder, walk) = kitchen("The cabinat here. Toilet by the window. It's cracked or so.");
    let why = json(&["why", &walk, "4", "--format", "json"]);
    let near = &why["moments"][0]["near"];
    let word = near
        .as_array()
        .unwrap()
        .iter()
        .find(|n| n["words"] == "cabinat")
        .unwrap_or_else(|| panic!("{near}"));
    assert_eq!(
        (&word["form"], &word["distance"]),
        (&"cabinet".into(), &1.into())
    );
    assert_eq!(word["entry"], "elements/cabinet");
    let why = json(&["why", &walk, "6", "--format", "json"]);
    let near = why["moments"][0]["near"].to_string();
    assert!(near.contains("a part, and no fault"), "{near}");
}

#[test]
fn an_item_is_found_by_number_and_by_id() {
    for name in &WALKS[..2] {
        let walk = example(name);
        let list = json(&["list", "--format", "json", &walk]);
        for item in list["items"].as_array().unwrap().iter().step_by(6) {
            let number = format!("#{}", item["number"]);
            let by_number = json(&["why", &walk, &number, "--format", "json"]);
            let by_id = json(&["why", &walk, item["id"].as_str().unwrap(), "-f", "json"]);
            assert_eq!(by_number["moments"], by_id["moments"]);
            let carried = by_id["moments"].as_array().unwrap().iter().any(|m| {
                let items = m["items"].as_array().unwrap();
                items.iter().any(|i| i["item"] == *item)
            });
            assert!(carried, "{name} {number}: {by_id}");
        }
    }
}

#[test]
fn every_decided_field_names_what_decided_it() {
    let walk = example(WALKS[0]);
    let list = json(&["list", "--format", "json", &walk]);
    let mut n = 0;
    for i in (1..=list["items"].as_array().unwrap().len()).step_by(4) {
        let why = json(&["why", &walk, &format!("#{i}"), "-f", "json"]);
        for m in why["moments"].as_array().unwrap() {
            for item in m["items"].as_array().unwrap() {
                for f in item["fields"].as_array().unwrap() {
                    let (value, by) = (f["value"].as_str(), f["by"].as_str());
                    assert!(value != Some("") && by != Some(""), "{item}");
                    n += 1;
                }
            }
        }
    }
    assert!(n > 30, "{n}");
}

#[test]
fn text_fits_in_80_columns() {
    for name in WALKS {
        for at in (0..240).step_by(59) {
            let (code, out, err) = run(&mut storystick(&["why", &example(name), &at.to_string()]));
            if code == 2 {
                assert!(err.contains("the walk ends at"), "{err}");
                continue;
            }
            assert!(out.contains("What came of it"), "{out}");
            for line in out.lines() {
                assert!(line.chars().count() <= 80, "{name} {at}: {line:?}");
                assert_eq!(line.trim_end(), line);
            }
        }
    }
}

#[test]
fn what_is_no_moment_is_refused_with_a_mend() {
    let walk = example(WALKS[0]);
    for (at, mend) in [
        ("1:75", "write 1:02"),
        ("soon enough", "write 1:02"),
        ("99:00", "the walk ends at 4:04"),
        ("#999", "no item #999; the list of this walk has"),
        ("zzzz9", "storystick list --format json"),
    ] {
        let err = trouble(&mut storystick(&["why", &walk, at]));
        assert!(err.contains(mend), "{at}: {err}");
    }
    let err = trouble(&mut storystick(&["why", "no/such.vtt", "1:00"]));
    assert!(err.contains("no/such.vtt: no such file"), "{err}");
}

#[test]
fn a_sentence_is_tried() {
    let text = done(&["lexicon", "try", "the caulk is split", "--in", "Kitchen"]);
    assert!(text.contains("\nPlace\n  Kitchen\n"), "{text}");
    assert!(text.contains("<- elements/caulk"), "{text}");
    assert!(!text.contains("Into the"), "only its own words: {text}");
    let why = json(&[
        "lexicon",
        "try",
        "The door sticks. The tap drips.",
        "--in",
        "Bedroom 2",
        "-f",
        "json",
    ]);
    let moments = why["moments"].as_array().unwrap();
    assert_eq!(moments.len(), 2);
    assert_eq!(moments[0]["place"]["path"][0], "Bedroom 2");
    assert_eq!(moments[1]["items"][0]["item"]["trade"], "plumber");
}

#[test]
fn a_sentence_without_a_place_is_noted() {
    let (code, out, err) = run(&mut storystick(&["lexicon", "try", "the door sticks"]));
    assert_eq!(code, 0);
    assert!(out.contains("Item #1"), "{out}");
    assert!(
        err.starts_with("note: ") && err.contains("--in Kitchen"),
        "{err}"
    );
    trouble(&mut storystick(&["lexicon", "try", " ... "]));
    let err = trouble(&mut storystick(&[
        "lexicon",
        "try",
        "the door sticks",
        "--in",
        "qq",
    ]));
    assert!(err.contains("no place"), "{err}");
}
