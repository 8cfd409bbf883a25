//! What a person dropped and a later walk says again: it stays dropped, and the report tells of it.

use serde_json::{Value, json};

use super::outcome::begin;
use super::scene::Scene;
use super::{Fate, Told};
use crate::list::Item;

/// How alike two parts must be, where a person dropped the one.
const SAME_PART: f64 = 0.9;

/// How alike two spots must be to be one.
const SAME_SPOT: f64 = 0.8;

/// Puts a new item's words to the dropped item that it says again and tells so; none where no dropped item is like it. A danger
/// that nobody had told when it was dropped makes it another matter.
pub(super) fn said_again(
    value: &mut Value,
    scene: &Scene<'_>,
    path: &[String],
    item: &Item,
    walk: &str,
) -> Option<Told> {
    let dropped = value["dropped"].as_array_mut()?;
    let one = dropped
        .iter_mut()
        .find(|d| by_decision(d) && !told_in(d, walk) && same(d, scene, path, item))?;
    begin(one);
    if let Some(history) = one["history"].as_array_mut() {
        let why = "said again of what was dropped; it stays dropped";
        let fate = Fate::Outstanding.word();
        history.push(json!({"walk": walk, "fate": fate, "said": item.said, "why": why}));
    }
    if let Some(said) = one["said"].as_array_mut() {
        said.extend(item.said.iter().map(|s| json!(s)));
    }
    Some(Told {
        number: one["number"].as_u64().unwrap_or_default(),
        text: text(&one["text"]),
        area: path.to_vec(),
        fate: Fate::Outstanding,
        partly: false,
        count: None,
        said: item.said.clone(),
        why: format!(
            "it stays dropped; `storystick change LIST restore {}` brings it back",
            one["number"]
        ),
        dropped: Some(by_whom(one)),
    })
}

/// "dropped by owner, 2026-03-02".
fn by_whom(item: &Value) -> String {
    let decided = &item["decided"];
    let mut out = "dropped".to_string();
    if let Some(by) = decided["by"].as_str() {
        out.push_str(&format!(" by {by}"));
    }
    if let Some(day) = decided["when"].as_str().and_then(|w| w.get(..10)) {
        out.push_str(&format!(", {day}"));
    }
    out
}

/// Dropped, not joined into another item.
fn by_decision(item: &Value) -> bool {
    item["joined_into"].is_null()
}

/// One walk is put to a dropped item once.
fn told_in(item: &Value, walk: &str) -> bool {
    let history = item["history"].as_array();
    history.is_some_and(|all| all.iter().any(|h| h["walk"] == walk))
}

/// The same part, matter and spot in the same place.
fn same(dropped: &Value, scene: &Scene<'_>, path: &[String], item: &Item) -> bool {
    let part = match (dropped["element"].as_str(), item.element.as_deref()) {
        (Some(a), Some(b)) => {
            let (a, b) = (scene.names.part(a), scene.names.part(b));
            scene.names.same_part(&a, &b) >= SAME_PART
        }
        (None, None) => true,
        _ => false,
    };
    let matter = match (dropped["fault"].as_str(), item.fault.as_deref()) {
        (Some(a), Some(b)) => a == b,
        _ => dropped["work"] == item.work.word(),
    };
    let spot = match (dropped["where"].as_str(), item.spot.as_deref()) {
        (Some(a), Some(b)) => strsim::jaro_winkler(a, b) >= SAME_SPOT,
        _ => true,
    };
    let danger = item.hazard.is_some_and(|h| dropped["hazard"] != h.word());
    part && matter && spot && !danger && dropped["area"] == json!(path)
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_string()
}
