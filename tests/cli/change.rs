//! `change`: what it does to a saved list, and what it refuses.

use std::fs;

use serde_json::{Value, json};

use super::{WALKS, done, example, run, storystick, trouble};

#[test]
fn changes_a_saved_list() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.json");
    let list = path.to_str().unwrap();
    done(&["list", &example(WALKS[0]), "-o", list]);
    let read = || -> Value { serde_json::from_slice(&fs::read(&path).unwrap()).unwrap() };
    let count = read()["items"].as_array().unwrap().len();
    let change = |what: &[&str]| {
        let mut args = vec![
            "change",
            list,
            "--by",
            "owner",
            "--now",
            "2026-03-04T05:06:07Z",
        ];
        args.extend(what);
        let (code, out, err) = run(&mut storystick(&args));
        assert_eq!((code, out.as_str()), (0, ""), "{err}");
        err
    };
    change(&["#1", "trade=tile", "by=Friday noon"]);
    let item = &read()["items"][0];
    assert_eq!(
        (&item["trade"], &item["by"]),
        (&json!("tile"), &json!("Friday noon"))
    );
    assert_eq!(item["decided"]["by"], "owner");
    assert_eq!(item["decided"]["when"], "2026-03-04T05:06:07Z");
    change(&["drop", "2"]);
    assert_eq!(read()["dropped"][0]["number"], 2);
    change(&["close", "1", "not-ours"]);
    assert_eq!(read()["items"][0]["closed"], "not-ours");
    let said = change(&["add", "area=Attic", "element=sill", "work=clean", "at=0:02"]);
    assert!(said.contains(&format!("add {}", count + 1)), "{said}");
    assert_eq!(read()["items"].as_array().unwrap().len(), count);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    // Read again, the list keeps all that was decided.
    let before = read();
    let again = ["list", &example(WALKS[0]), "-o", list];
    let (code, out, err) = run(&mut storystick(&again));
    assert_eq!((code, out.as_str()), (0, ""), "{err}");
    for says in [
        "people decided is kept",
        "item 1: trade stays tile, as decided; it is read as ",
        "item 1: by stays Friday noon, as decided; it is read as nothing",
    ] {
        assert!(err.contains(says), "{err}");
    }
    let after = read();
    assert_eq!(after["dropped"], before["dropped"]);
    assert_eq!(after["items"].as_array().unwrap().len(), count);
    let numbers = |v: &Value| -> Vec<Value> {
        let all = v["items"].as_array().unwrap().iter();
        all.map(|i| i["number"].clone()).collect()
    };
    assert_eq!(numbers(&after), numbers(&before));
    let first = |i: &&Value| i["number"] == 1;
    let item = after["items"]
        .as_array()
        .unwrap()
        .iter()
        .find(first)
        .unwrap();
    assert_eq!(
        (&item["trade"], &item["by"], &item["closed"]),
        (&json!("tile"), &json!("Friday noon"), &json!("not-ours"))
    );
    assert_eq!(item["decided"]["disagrees"]["by"], Value::Null);
    assert!(item["decided"]["disagrees"]["trade"].is_string());
    // Once more: nothing is left to change. A format that holds no decisions, or other walks, are refused.
    let bytes = fs::read(&path).unwrap();
    assert_eq!(run(&mut storystick(&again)).0, 0);
    assert_eq!(fs::read(&path).unwrap(), bytes);
    let err = trouble(&mut storystick(&[
        "list",
        &example(WALKS[0]),
        "-o",
        list,
        "-f",
        "csv",
    ]));
    assert!(err.contains("people decided"), "{err}");
    let err = trouble(&mut storystick(&["list", &example(WALKS[1]), "-o", list]));
    assert!(err.contains("other walks"), "{err}");
    assert_eq!(fs::read(&path).unwrap(), bytes);
}

#[test]
fn refuses_with_a_mend_and_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.json");
    let list = path.to_str().unwrap();
    done(&["list", &example(WALKS[0]), "-o", list]);
    let before = fs::read(&path).unwrap();
    for (what, says) in [
        (&["1", "trad=tile"][..], "did you mean \"trade\"?"),
        (&["1", "work=mend"], "touch-up, seal"),
        (&["1", "tile"], "field=value"),
        (&["1"], "no field is named"),
        (&["9999", "work=seal"], "no item 9999"),
        (&["drop"], "one item"),
        (
            &["close", "1", "done"],
            "accepted, credit, not-ours, duplicate",
        ),
        (&["add", "element=sill", "work=clean"], "area="),
        (&["add", "area=Attic", "work=clean"], "element="),
        (
            &["add", "area=Attic", "element=sill", "work=clean", "at=soon"],
            "m:ss",
        ),
        (
            &["1", "work=seal", "--now", "today"],
            "2026-03-04T05:06:07Z",
        ),
    ] {
        let mut args = vec!["change", list];
        args.extend(what);
        let err = trouble(&mut storystick(&args));
        assert!(err.contains(says), "{what:?}: {err}");
    }
    assert_eq!(fs::read(&path).unwrap(), before);
    let err = trouble(&mut storystick(&[
        "change",
        &example(WALKS[0]),
        "drop",
        "1",
    ]));
    assert!(err.contains("no list"), "{err}");
}

#[test]
fn a_written_date_is_a_deadline_and_words_without_one_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.json");
    let list = path.to_str().unwrap();
    done(&["list", &example(WALKS[0]), "-o", list]);
    let read = || -> Value { serde_json::from_slice(&fs::read(&path).unwrap()).unwrap() };
    let set = |by: &str| {
        let (code, out, err) = run(&mut storystick(&["change", list, "--by", "owner", "3", by]));
        assert_eq!((code, out.as_str()), (0, ""), "{err}");
        let items = read()["items"].as_array().unwrap().clone();
        let item = items.into_iter().find(|i| i["number"] == 3).unwrap();
        (item["by"].clone(), item["by_date"].clone(), err)
    };
    for (by, date) in [
        ("2026-03-10", json!("2026-03-10")),
        ("by 2026-03-12", json!("2026-03-12")),
        ("before 2026-03-01", json!("2026-02-28")),
        // What is no day, and a day counted from a walk whose date nobody knows.
        ("2026-02-30", Value::Null),
        ("Friday", Value::Null),
        ("once the crew is back", Value::Null),
    ] {
        let (words, dated, err) = set(&format!("by={by}"));
        assert_eq!((&words, &dated), (&json!(by), &date));
        let told = format!("no date could be read in by={by:?}");
        assert_eq!(err.contains(&told), date.is_null(), "{err}");
    }
    set("by=2026-03-10");
    // Read again, the date stays with the words.
    assert_eq!(
        run(&mut storystick(&["list", &example(WALKS[0]), "-o", list])).0,
        0
    );
    let items = read()["items"].as_array().unwrap().clone();
    let item = items.iter().find(|i| i["number"] == 3).unwrap();
    assert_eq!(item["by_date"], "2026-03-10");
    let (words, dated, err) = set("by=none");
    assert_eq!((words, dated), (Value::Null, Value::Null));
    assert!(!err.contains("no date"), "{err}");
}

#[test]
fn handouts_tell_pages_left_from_an_earlier_time() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.json");
    let list = path.to_str().unwrap();
    done(&["list", &example(WALKS[0]), "-o", list]);
    let sheets = folder.path().join("sheets");
    let hand_out = || {
        let args = ["handouts", list, "-o", sheets.to_str().unwrap()];
        let (code, _, err) = run(&mut storystick(&args));
        assert_eq!(code, 0, "{err}");
        err
    };
    assert!(!hand_out().contains("earlier time"));
    fs::write(sheets.join("glazier.html"), "old").unwrap();
    let err = hand_out();
    assert!(err.contains("no part of this list: glazier.html;"), "{err}");
    assert_eq!(
        fs::read_to_string(sheets.join("glazier.html")).unwrap(),
        "old"
    );
}
