//! The list as the page shows it.

use serde_json::{Value, json};
use sha2::{Digest, Sha256};

/// What the page gets to see of a list's JSON: the walks, areas and items as they stand in the file, the stretches passed over with
/// an id, how each item was looked at.
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
        .filter(|i| i["decided"]["how"] != "joined")
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

/// By what the page names a stretch that was passed over: its place in the recording.
pub(super) fn passed_id(said: &Value) -> String {
    format!(
        "{}@{}-{}",
        said["walk"].as_str().unwrap_or_default(),
        said["start"],
        said["end"]
    )
}

/// A text that differs for other bytes.
pub(super) fn revision(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest[..12].iter().map(|b| format!("{b:02x}")).collect()
}
