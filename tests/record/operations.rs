//! Each operation, as the page sends it.

use serde_json::{Value, json};
use storystick::record::{self, Record, passed_id};

use super::{apply, list, record_of};

/// The record after one operation that must go through, and must go back.
fn after(operation: Value) -> Record {
    let before = record_of(&list());
    let mut record = before.clone();
    let undo = apply(&mut record, operation.clone()).unwrap();
    assert_ne!(record.value(), before.value(), "{operation}");
    record.list().unwrap();
    // It can be saved and opened.
    Record::from_bytes("again", &record.to_bytes()).unwrap();
    assert_eq!(record.value()["tomorrow"], json!([1, {"a": null}]));
    let mut back = record.clone();
    record::undo(&mut back, &undo).unwrap();
    assert_eq!(back.to_bytes(), before.to_bytes(), "{operation}");
    record
}

fn error(operation: Value) -> String {
    let mut record = record_of(&list());
    let error = apply(&mut record, operation).unwrap_err().to_string();
    assert_eq!(record.to_bytes(), record_of(&list()).to_bytes());
    error
}

#[test]
fn set_keeps_what_was_read_and_words_the_item_anew() {
    let r = after(
        json!({"op": "set", "id": "#1", "fields": {"element": "casing", "count": "3", "trade": "finish-carpenter"}}),
    );
    let item = r.item("k4t7").unwrap();
    assert_eq!(
        item["text"],
        "Touch up casing: ding, 3 of them, by the door"
    );
    assert_eq!(item["count"], 3);
    assert!(item["section"].is_string() && item["section"] != "09 90 00");
    assert_eq!(item["weather"], list()["items"][0]["weather"]);
    assert_eq!(
        item["decided"],
        json!({"by": "owner", "when": "2026-03-04T05:06:07Z", "how": "changed", "fields": ["element", "count", "trade"],
               "read": {"element": "baseboard", "count": 2, "trade": "painter"}})
    );
}

#[test]
fn what_was_read_first_is_kept_through_further_changes() {
    let mut r = record_of(&list());
    apply(
        &mut r,
        json!({"op": "set", "id": "2", "fields": {"work": "replace"}}),
    )
    .unwrap();
    apply(
        &mut r,
        json!({"op": "set", "id": "2", "fields": {"work": "adjust", "by": "Friday"}}),
    )
    .unwrap();
    let item = r.item("2").unwrap();
    assert_eq!(item["text"], "Adjust faucet: drip");
    assert_eq!(
        item["decided"]["read"],
        json!({"work": "repair", "by": null})
    );
}

#[test]
fn a_sentence_of_ones_own_stays() {
    let mut r = record_of(&list());
    apply(
        &mut r,
        json!({"op": "set", "id": "2", "fields": {"text": "See to the tap"}}),
    )
    .unwrap();
    apply(
        &mut r,
        json!({"op": "set", "id": "2", "fields": {"work": "replace"}}),
    )
    .unwrap();
    assert_eq!(r.item("2").unwrap()["text"], "See to the tap");
}

#[test]
fn values_are_checked() {
    let set = |field: &str, value: Value| {
        error(json!({"op": "set", "id": "1", "fields": {field: value}}))
    };
    for (field, value, says) in [
        ("elment", json!("sill"), "did you mean \"element\"?"),
        ("trade", json!("plumbr"), "did you mean \"plumber\"?"),
        ("trade", json!("Our Own Man"), "superintendent"),
        (
            "work",
            json!("mend"),
            "touch-up, seal, replace, clean, install, repair, adjust, check",
        ),
        ("work", json!(null), "touch-up"),
        ("standing", json!("done"), "outstanding, query, made-good"),
        ("hazard", json!("electrc"), "did you mean \"electric\"?"),
        ("follow_up", json!("call"), "ask, tell, photo, return, do"),
        ("count", json!(0), "whole number"),
        ("count", json!("many"), "whole number"),
        ("measure", json!("3 cubits"), "in, ft, mm"),
        ("urgent", json!("very"), "true or false"),
        ("area", json!("Upstairs / "), "path"),
        ("area", json!([]), "path"),
        ("text", json!(""), "sentence"),
        ("by", json!(3), "words"),
    ] {
        let said = set(field, value);
        assert!(said.contains(says), "{field}: {said}");
    }
    for (field, value, stands) in [
        (
            "measure",
            json!("0.25 in width"),
            json!({"value": 0.25, "unit": "in", "of": "width"}),
        ),
        (
            "measure",
            json!("3mm"),
            json!({"value": 3.0, "unit": "mm", "of": null}),
        ),
        ("hazard", json!(""), json!(null)),
        ("trade", json!("PLUMBER"), json!("plumber")),
        ("trade", json!("bell-founder"), json!("bell-founder")),
        ("urgent", json!("yes"), json!(true)),
        ("area", json!("bath"), json!(["Upstairs", "Bath"])),
        ("area", json!("Attic / Store"), json!(["Attic", "Store"])),
    ] {
        let mut r = record_of(&list());
        apply(
            &mut r,
            json!({"op": "set", "id": "1", "fields": {field: value}}),
        )
        .unwrap();
        assert_eq!(r.item("1").unwrap()[field], stands, "{field}");
    }
}

#[test]
fn a_place_that_several_names_end_in_must_be_whole() {
    let mut value = list();
    value["areas"]
        .as_array_mut()
        .unwrap()
        .push(json!({"id": "a3", "path": ["Below", "Bath"], "state": "unjudged", "visits": []}));
    let mut r = record_of(&value);
    let said = apply(
        &mut r,
        json!({"op": "set", "id": "1", "fields": {"area": "Bath"}}),
    )
    .unwrap_err()
    .to_string();
    assert!(said.contains("Upstairs / Bath, or Below / Bath"), "{said}");
}

#[test]
fn areas_follow_their_items() {
    let r = after(json!({"op": "set", "id": "1", "fields": {"area": ["Attic"]}}));
    assert_eq!(r.value()["areas"][0]["state"], "unjudged");
    assert_eq!(r.value()["areas"][0]["light"], "north");
    assert_eq!(
        r.value()["areas"][2],
        json!({"id": "a3", "path": ["Attic"], "kind": null, "state": "outstanding", "visits": []})
    );
    let r = after(json!({"op": "set", "id": "1", "fields": {"standing": "made-good"}}));
    assert_eq!(r.value()["areas"][0]["state"], "clear");
}

#[test]
fn dropped_items_lie_by_and_their_names_stay_theirs() {
    let mut r = after(json!({"op": "drop", "id": "q7aa"}));
    assert_eq!(r.value()["dropped"][0]["number"], 3);
    assert_eq!(r.value()["dropped"][0]["decided"]["how"], "dropped");
    let undo = apply(
        &mut r,
        json!({"op": "add", "fields": {"area": "Kitchen", "element": "sill", "work": "clean"}}),
    )
    .unwrap();
    assert_eq!(r.item(undo.made.as_ref().unwrap()).unwrap()["number"], 4);
    assert!(
        apply(&mut r, json!({"op": "accept", "id": "3"}))
            .unwrap_err()
            .to_string()
            .contains("dropped")
    );
    apply(&mut r, json!({"op": "restore", "id": "3"})).unwrap();
    assert_eq!(r.item("3").unwrap()["id"], "q7aa");
    assert_eq!(r.value()["dropped"], json!([]));
}

#[test]
fn add_finds_its_place_and_its_trade() {
    let r = after(
        json!({"op": "add", "at": 35.5, "text": "and the faucet", "fields": {"element": "faucet", "work": "adjust"}}),
    );
    let item = &r.value()["items"][1];
    assert_eq!(
        (&item["number"], &item["trade"], &item["area"]),
        (&json!(4), &json!("plumber"), &json!(["Upstairs", "Bath"]))
    );
    assert_eq!(
        item["said"],
        json!([{"walk": "w1", "start": 35.5, "end": 35.5, "text": "and the faucet"}])
    );
    assert_eq!(item["text"], "Adjust faucet");
    assert_eq!(item["decided"]["how"], "added");
    let r = after(
        json!({"op": "add", "fields": {"area": "Kitchen", "element": "baseboard", "work": "touch-up", "text": "Look here"}}),
    );
    assert_eq!(r.value()["items"][3]["text"], "Look here");
    assert!(error(json!({"op": "add", "fields": {"element": "sill"}})).contains("area="));
    assert!(
        error(json!({"op": "add", "at": 1000.0, "fields": {"element": "sill"}})).contains("90.5")
    );
    assert!(error(json!({"op": "add", "walk": "w9", "at": 1.0, "fields": {}})).contains("w9"));
    assert!(
        error(json!({"op": "add", "text": "x", "fields": {"area": "Kitchen"}})).contains("time")
    );
}

#[test]
fn close_and_reopen() {
    let mut r = after(json!({"op": "close", "id": "1", "as": "credit"}));
    assert_eq!(r.item("1").unwrap()["closed"], "credit");
    assert_eq!(r.value()["areas"][0]["state"], "clear");
    apply(&mut r, json!({"op": "reopen", "id": "1"})).unwrap();
    assert_eq!(r.item("1").unwrap()["closed"], json!(null));
    assert_eq!(r.value()["areas"][0]["state"], "outstanding");
    assert!(error(json!({"op": "close", "id": "1", "as": null})).contains("open already"));
}

#[test]
fn accept_says_that_somebody_looked() {
    let r = after(json!({"op": "accept", "id": "2"}));
    assert_eq!(r.item("2").unwrap()["decided"]["how"], "accepted");
    assert_eq!(r.item("2").unwrap()["decided"]["fields"], json!([]));
}

#[test]
fn split_divides_or_copies_the_words() {
    let r = after(json!({"op": "split", "id": "1", "said": [1], "fields": {"element": "casing"}}));
    assert_eq!(r.item("1").unwrap()["said"].as_array().unwrap().len(), 1);
    let other = r.item("4").unwrap();
    assert_eq!(
        (&other["said"][0]["start"], &other["element"]),
        (&json!(20.0), &json!("casing"))
    );
    assert_eq!(other["split_from"], "k4t7");
    let r = after(json!({"op": "split", "id": "2"}));
    assert_eq!(r.item("4").unwrap()["said"], r.item("2").unwrap()["said"]);
    assert!(error(json!({"op": "split", "id": "1", "said": [0, 1]})).contains("each"));
    assert!(error(json!({"op": "split", "id": "1", "said": [7]})).contains("none at 7"));
}

#[test]
fn join_takes_the_words_and_what_was_missing() {
    let r = after(json!({"op": "join", "id": "3", "with": "2"}));
    let item = r.item("3").unwrap();
    assert_eq!(item["said"][0]["start"], 40.0);
    assert_eq!(
        (&item["fault"], &item["urgent"]),
        (&json!("drip"), &json!(true))
    );
    assert_eq!(item["text"], "Check faucet: drip");
    assert_eq!(r.value()["dropped"][0]["joined_into"], "q7aa");
    assert!(error(json!({"op": "join", "id": "3", "with": "q7aa"})).contains("itself"));
}

#[test]
fn words_are_kept_private() {
    let said = json!({"walk": "w1", "start": 20.0, "end": 22.5});
    let r = after(json!({"op": "private", "id": "1", "said": said, "private": true}));
    assert_eq!(r.item("1").unwrap()["said"][1]["private"], true);
    let said = json!({"walk": "w1", "start": 80.0, "end": 83.1});
    let r = after(json!({"op": "private", "id": null, "said": said, "private": true}));
    assert_eq!(r.value()["passed_over"][0]["said"]["private"], true);
    let said = json!({"walk": "w1", "start": 1.0, "end": 2.0});
    assert!(
        error(json!({"op": "private", "id": "1", "said": said, "private": true}))
            .contains("not there")
    );
}

#[test]
fn what_was_passed_over_becomes_an_item() {
    let id = passed_id(&list()["passed_over"][0]["said"]);
    let r = after(
        json!({"op": "from-passed-over", "id": id, "fields": {"element": "tile", "work": "replace"}}),
    );
    assert_eq!(r.value()["passed_over"], json!([]));
    let item = r.item("4").unwrap();
    assert_eq!(
        (&item["area"], &item["trade"]),
        (&json!(["Upstairs", "Bath"]), &json!("tile"))
    );
    assert!(error(json!({"op": "from-passed-over", "id": "w1@1-2"})).contains("WALK@START-END"));
}

#[test]
fn items_that_are_not_there() {
    assert!(error(json!({"op": "drop", "id": "#9"})).contains("the numbers go to 3"));
    assert!(error(json!({"op": "drop", "id": "k4t8"})).contains("did you mean \"k4t7\"?"));
}

#[test]
fn undo_leaves_what_others_did_and_refuses_what_they_changed() {
    let mut r = record_of(&list());
    let undo = apply(&mut r, json!({"op": "drop", "id": "2"})).unwrap();
    apply(
        &mut r,
        json!({"op": "set", "id": "1", "fields": {"by": "Monday"}}),
    )
    .unwrap();
    record::undo(&mut r, &undo).unwrap();
    assert_eq!(r.item("2").unwrap(), &list()["items"][1]);
    assert_eq!(r.item("1").unwrap()["by"], "Monday");
    let undo = apply(
        &mut r,
        json!({"op": "set", "id": "2", "fields": {"by": "noon"}}),
    )
    .unwrap();
    apply(&mut r, json!({"op": "accept", "id": "2"})).unwrap();
    let before = r.clone();
    assert!(
        record::undo(&mut r, &undo)
            .unwrap_err()
            .to_string()
            .contains("item 2 was changed again")
    );
    assert_eq!(r, before);
}

#[test]
fn what_is_no_list_is_told() {
    let bad = |value: Value| {
        Record::from_bytes("mill.json", value.to_string().as_bytes())
            .unwrap_err()
            .to_string()
    };
    assert!(bad(json!([])).contains("mill.json"));
    assert!(bad(json!({"schema": "storystick/list/2"})).contains("list/2"));
    let mut twice = list();
    twice["items"][1]["number"] = json!(1);
    assert!(bad(twice).contains("two items have the number 1"));
    let mut odd = list();
    odd["items"][0]["work"] = json!("mend");
    assert!(bad(odd).contains("mend"));
}
