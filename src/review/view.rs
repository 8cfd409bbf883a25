//! The list as the page shows it.

use serde_json::{Value, json};

use crate::record::passed_id;

/// What the page gets to see of a list's JSON: walks, areas and items as they stand in the file, the stretches passed over with an id;
/// of each item whether a person looked at it or dropped it.
pub(super) fn view(list: &Value, name: &str, revision: &str, undo: Option<&str>) -> Value {
    let all = |key: &str| list[key].as_array().map(Vec::as_slice).unwrap_or_default();
    let passed: Vec<Value> = all("passed_over")
        .iter()
        .map(|p| {
            let mut p = p.clone();
            p["id"] = json!(passed_id(&p["said"]));
            p
        })
        .collect();
    let here = all("items").iter().map(|i| {
        let mut i = i.clone();
        i["looked"] = json!(!i["decided"].is_null());
        i
    });
    let dropped = all("dropped")
        .iter()
        .filter(|i| i["joined_into"].is_null())
        .map(|i| {
            let mut i = i.clone();
            i["dropped"] = json!(true);
            i
        });
    let items: Vec<Value> = here.chain(dropped).collect();
    json!({
        "revision": revision,
        "name": name,
        "undo": undo,
        "walks": all("walks"),
        "areas": all("areas"),
        "items": items,
        "passed_over": passed,
    })
}
