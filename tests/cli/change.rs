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
