//! A saved list as a record: operations, what they leave, and taking them back.
#![allow(clippy::excessive_precision)]

#[path = "record/again.rs"]
mod again;
#[path = "record/operations.rs"]
mod operations;
#[path = "record/properties.rs"]
mod properties;
#[path = "record/saving.rs"]
mod saving;

use serde_json::{Value, json};
use storystick::record::{self, Decision, Operation, Record, RecordError, Undo};

/// A list with only the fields that the list's page names, and two that a newer version wrote.
fn list() -> Value {
    json!({
        "schema": "storystick/list/1",
        "walks": [
            {"id": "w1", "file": "mill.vtt", "format": "webvtt", "sha256": "00", "seconds": 90.5, "words": 120, "recorded": null, "media": null}
        ],
        "areas": [
            {"id": "a1", "path": ["Kitchen"], "kind": "kitchen", "state": "outstanding", "visits": [{"walk": "w1", "start": 0.0, "end": 30.0}], "light": "north"},
            {"id": "a2", "path": ["Upstairs", "Bath"], "kind": "bath", "state": "outstanding", "visits": [{"walk": "w1", "start": 30.0, "end": 90.5}]}
        ],
        "items": [
            {"id": "k4t7", "number": 1, "area": ["Kitchen"], "where": "by the door", "element": "baseboard", "fault": "ding", "work": "touch-up",
             "trade": "painter", "section": "09 90 00", "standing": "outstanding", "text": "Touch up baseboard: ding, 2 of them, by the door",
             "count": 2, "measure": null, "urgent": false, "by": null, "hazard": null, "follow_up": null, "promised_by": null, "confidence": 0.86,
             "said": [{"walk": "w1", "start": 3.0, "end": 5.0, "text": "a couple of dings in the baseboard"},
                      {"walk": "w1", "start": 20.0, "end": 22.5, "text": "that baseboard again"}],
             "why": ["x"], "weather": {"rain": 0.1234567890123456789}},
            {"id": "m2p9", "number": 2, "area": ["Upstairs", "Bath"], "where": null, "element": "faucet", "fault": "drip", "work": "repair",
             "trade": "plumber", "section": "22 00 00", "standing": "outstanding", "text": "Repair faucet: drip",
             "count": null, "measure": null, "urgent": true, "by": null, "hazard": null, "follow_up": null, "promised_by": null, "confidence": 0.7,
             "said": [{"walk": "w1", "start": 40.0, "end": 42.0, "text": "the faucet drips"}], "why": []},
            {"id": "q7aa", "number": 3, "area": ["Upstairs", "Bath"], "where": null, "element": "faucet", "fault": null, "work": "check",
             "trade": "plumber", "section": "22 00 00", "standing": "query", "text": "Check faucet",
             "count": null, "measure": null, "urgent": false, "by": null, "hazard": null, "follow_up": null, "promised_by": null, "confidence": 0.5,
             "said": [{"walk": "w1", "start": 50.0, "end": 52.0, "text": "ask about that faucet"}], "why": []}
        ],
        "cleared": [],
        "passed_over": [
            {"said": {"walk": "w1", "start": 80.0, "end": 83.1, "text": "if the tile were cracked"}, "reason": "hypothetical"}
        ],
        "tomorrow": [1, {"a": null}]
    })
}

fn record_of(value: &Value) -> Record {
    Record::from_bytes("mill.json", value.to_string().as_bytes()).unwrap()
}

fn decision() -> Decision {
    Decision {
        by: "owner".into(),
        when: "2026-03-04T05:06:07Z".into(),
    }
}

fn apply(record: &mut Record, operation: Value) -> Result<Undo, RecordError> {
    let operation: Operation = serde_json::from_value(operation).unwrap();
    record::apply(record, &operation, &decision())
}

/// The bytes as they would be saved.
fn text(record: &Record) -> String {
    String::from_utf8(record.to_bytes()).unwrap()
}
