//! The printed schema against lists that it must take and lists that it must not.

use serde_json::{Value, json};

fn list(name: &str) -> Value {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/lists")
        .join(name);
    serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap()
}

fn validator() -> jsonschema::Validator {
    jsonschema::draft202012::new(&storystick::list::schema()).unwrap()
}

/// The example of the format's description: nothing but its fields.
fn plain() -> Value {
    json!({
        "schema": "storystick/list/1",
        "walks": [{"id": "w1", "file": "harbour.vtt", "format": "webvtt", "sha256": "00", "seconds": 612.4,
                   "words": 1320, "recorded": null, "media": null}],
        "areas": [{"id": "a1", "path": ["Kitchen"], "kind": "kitchen", "state": "outstanding",
                   "visits": [{"walk": "w1", "start": 61.2, "end": 75.0}]}],
        "items": [{"id": "k4t7", "number": 14, "area": ["Kitchen"], "where": null, "element": "baseboard",
                   "fault": "ding", "work": "touch-up", "trade": "painter", "section": "09 90 00",
                   "standing": "outstanding", "text": "Touch up baseboard", "count": 2,
                   "measure": {"value": 0.25, "unit": "in", "of": "width"}, "urgent": false, "by": null,
                   "hazard": null, "follow_up": null, "promised_by": null, "confidence": 0.86,
                   "said": [{"walk": "w1", "start": 61.2, "end": 64.0, "text": "dings in the baseboard"}],
                   "why": []}],
        "cleared": [{"id": "c1", "area": ["Kitchen"], "element": null, "kind": "sound", "confidence": 0.9,
                     "said": [], "why": []}],
        "passed_over": [{"said": {"walk": "w1", "start": 80.0, "end": 83.1, "text": "…"}, "reason": "negated"}]
    })
}

#[test]
fn is_a_valid_schema_of_2020_12() {
    let schema = storystick::list::schema();
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    assert!(schema["$id"].is_string() && schema["title"].is_string());
    assert!(jsonschema::draft202012::meta::is_valid(&schema));
}

#[test]
fn takes_lists() {
    let validator = validator();
    for value in [list("tinkers-row.json"), list("edges.json"), plain()] {
        let wrong: Vec<String> = validator
            .iter_errors(&value)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{wrong:#?}");
    }
}

#[test]
fn takes_what_this_program_writes() {
    let read: storystick::list::List = serde_json::from_value(list("edges.json")).unwrap();
    assert!(validator().is_valid(&serde_json::to_value(read).unwrap()));
}

#[test]
fn takes_fields_it_does_not_know() {
    let mut value = plain();
    value["items"][0]["history"] = json!([]);
    value["later"] = json!(true);
    assert!(validator().is_valid(&value));
}

#[test]
fn takes_what_the_program_reads_without_optional_fields() {
    let mut value = plain();
    for key in [
        "id", "number", "where", "fault", "section", "text", "count", "measure", "urgent", "by",
        "why",
    ] {
        value["items"][0].as_object_mut().unwrap().shift_remove(key);
    }
    value.as_object_mut().unwrap().shift_remove("passed_over");
    assert!(validator().is_valid(&value));
    assert!(serde_json::from_value::<storystick::list::List>(value).is_ok());
}

#[test]
fn refuses_what_is_wrong() {
    let validator = validator();
    let wrong: [(&str, Value); 9] = [
        ("/schema", json!("other/1")),
        ("/items/0/work", json!("polish")),
        ("/items/0/trade", json!(7)),
        ("/items/0/area", json!("Kitchen")),
        ("/items/0/said/0/start", json!("1:01")),
        ("/items/0/said/0/start", json!(-1.0)),
        ("/items/0/confidence", json!(1.5)),
        ("/items/0/measure/unit", json!("cubit")),
        ("/areas/0/state", json!("lost")),
    ];
    for (pointer, value) in wrong {
        let mut list = plain();
        *list.pointer_mut(pointer).unwrap() = value;
        assert!(!validator.is_valid(&list), "{pointer}");
    }
    let mut list = plain();
    list.as_object_mut().unwrap().shift_remove("items");
    assert!(!validator.is_valid(&list));
}
