//! Whatever is done can be taken back, and nothing done loses anything.

use proptest::prelude::*;
use serde_json::{Value, json};
use storystick::record::{self, Record};

use super::{apply, list, record_of};

fn operation() -> impl Strategy<Value = Value> {
    let id = (1..7u8).prop_map(|n| format!("#{n}"));
    let fields = prop::sample::select(vec![
        json!({"element": "casing"}),
        json!({"work": "seal", "count": 2}),
        json!({"trade": "tile", "urgent": true}),
        json!({"area": ["Attic"]}),
        json!({"area": "Kitchen", "where": "under the sill"}),
        json!({"standing": "made-good"}),
        json!({"text": "As I say", "measure": "3 mm gap"}),
        json!({"hazard": "gas", "follow_up": "ask", "by": "noon", "fault": null}),
    ]);
    (0..11u8, id.clone(), id, fields, 0..3usize, any::<bool>()).prop_map(|(op, id, with, fields, n, yes)| match op {
        0 | 1 => json!({"op": "set", "id": id, "fields": fields}),
        2 => json!({"op": "accept", "id": id}),
        3 => json!({"op": "drop", "id": id}),
        4 => json!({"op": "restore", "id": id}),
        5 => json!({"op": "add", "at": n as f64 * 35.0, "fields": fields}),
        6 => json!({"op": "close", "id": id, "as": if yes { json!("not-ours") } else { json!(null) }}),
        7 => json!({"op": "split", "id": id, "said": if yes { vec![n] } else { vec![] }, "fields": fields}),
        8 => json!({"op": "join", "id": id, "with": with}),
        9 => json!({"op": "private", "id": if yes { json!(id) } else { json!(null) },
            "said": if yes { json!({"walk": "w1", "start": 3.0, "end": 5.0}) } else { json!({"walk": "w1", "start": 80.0, "end": 83.1}) }, "private": n > 0}),
        _ => json!({"op": "from-passed-over", "id": "w1@80.0-83.1", "fields": fields}),
    })
}

/// Ids with numbers, of what is in the list or dropped.
fn names(record: &Record) -> Vec<(String, u64)> {
    let all =
        ["items", "dropped"].map(|l| record.value()[l].as_array().cloned().unwrap_or_default());
    let mut names: Vec<_> = all
        .concat()
        .iter()
        .map(|i| {
            (
                i["id"].as_str().unwrap().to_string(),
                i["number"].as_u64().unwrap(),
            )
        })
        .collect();
    names.sort();
    names
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn all_taken_back_gives_the_same_bytes(operations in prop::collection::vec(operation(), 1..14)) {
        let mut record = record_of(&list());
        let first = record.to_bytes();
        let mut undos = Vec::new();
        let mut done = 0;
        for operation in operations {
            let before = record.clone();
            let known = names(&record);
            match apply(&mut record, operation) {
                Ok(undo) => {
                    undos.push((undo, before));
                    done += 1;
                }
                Err(_) => prop_assert_eq!(&record, &before),
            }
            // Whole, and every item that ever was is there under its names.
            Record::from_bytes("now", &record.to_bytes()).unwrap();
            let now = names(&record);
            prop_assert!(known.iter().all(|n| now.contains(n)));
            prop_assert_eq!(&record.value()["tomorrow"], &list()["tomorrow"]);
        }
        prop_assert_eq!(undos.len(), done);
        for (undo, before) in undos.iter().rev() {
            // As it comes back from a file.
            let undo = serde_json::from_str(&serde_json::to_string(undo).unwrap()).unwrap();
            record::undo(&mut record, &undo).unwrap();
            prop_assert_eq!(record.to_bytes(), before.to_bytes());
        }
        prop_assert_eq!(record.to_bytes(), first);
    }
}
