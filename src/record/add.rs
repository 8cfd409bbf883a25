//! Items that a person makes: where they are, what they are called.

use std::collections::BTreeSet;

use serde_json::{Map, Value, json};

use super::apply::Work;
use super::derived;
use super::edit::Edit;
use super::error::RecordError;
use crate::pipeline::merge::short_id;

type Made = Result<(String, Option<String>), RecordError>;

fn unfit<T>(why: String) -> Result<T, RecordError> {
    Err(RecordError::Unfit(why))
}

/// An item that was missed.
pub(super) fn missed(
    work: &mut Work<'_>,
    walk: Option<&str>,
    at: Option<f64>,
    text: Option<&str>,
    fields: &Map<String, Value>,
) -> Made {
    let walks = work.edit.all("walks");
    let said = match at {
        None if text.is_some() => {
            return unfit(
                "words that were said need the time at which they were; add at=m:ss".into(),
            );
        }
        None => json!([]),
        Some(at) => {
            let found = match walk {
                Some(id) => walks.iter().find(|w| w["id"] == id),
                None => walks.first(),
            };
            let Some(found) = found else {
                return unfit(format!(
                    "the list has no walk {:?}; leave it out for the first",
                    walk.unwrap_or_default()
                ));
            };
            let end = found["seconds"].as_f64().unwrap_or(f64::MAX);
            if !(0.0..=end).contains(&at) {
                return unfit(format!(
                    "walk {} ends at {end} seconds, before {at}",
                    found["id"]
                ));
            }
            json!([{"walk": found["id"], "start": at, "end": at, "text": text.unwrap_or_default()}])
        }
    };
    make(work, said, fields)
}

/// What was passed over is an item.
pub(super) fn passed_over(work: &mut Work<'_>, id: &str, fields: &Map<String, Value>) -> Made {
    let at = work.stretch(id)?;
    let stretch = work.edit.remove("passed_over", at);
    make(work, json!([stretch["said"]]), fields)
}

fn make(work: &mut Work<'_>, said: Value, fields: &Map<String, Value>) -> Made {
    let mut asked = fields.clone();
    if !asked.contains_key("area") {
        let Some(path) = visited(&work.edit, &said[0]) else {
            return unfit("nothing says where it is; add area=...".into());
        };
        asked.insert("area".into(), path);
    }
    let mut item = json!({
        "id": "", "number": 0, "area": [], "where": null, "element": null, "fault": null, "work": "check", "trade": null,
        "section": null, "standing": "outstanding", "text": "", "count": null, "measure": null, "urgent": false, "by": null,
        "hazard": null, "follow_up": null, "promised_by": null, "confidence": 1.0, "said": said, "why": []
    });
    let set: Vec<(&str, Value)> = work.fill(&mut item, &asked)?;
    if item["trade"].is_null() {
        item["trade"] = derived::trade(&work.edit.list, &item["element"], &item["work"]);
        item["section"] =
            derived::section(&work.edit.list, item["trade"].as_str().unwrap_or_default());
    }
    if set.iter().all(|(f, _)| *f != "text") {
        item["text"] = json!(derived::text(
            &Map::new(),
            item.as_object().unwrap_or(&Map::new())
        ));
    }
    // Nothing was read before.
    let fields: Vec<(&str, Value)> = set.into_iter().map(|(f, _)| (f, Value::Null)).collect();
    work.decide(&mut item, "added", &fields);
    number(&work.edit, &mut item);
    let label = format!("add {}", item["number"]);
    let made = item["id"].as_str().map(str::to_string);
    work.put_in(item);
    Ok((label, made))
}

/// Gives an item an id and a number that no other has or had.
pub(super) fn number(edit: &Edit, item: &mut Value) {
    let number = last_number(&edit.list) + 1;
    let mut taken: BTreeSet<String> = ["items", "dropped", "cleared"]
        .iter()
        .flat_map(|list| edit.all(list))
        .filter_map(|x| x["id"].as_str().map(str::to_string))
        .collect();
    let seed = [
        item["area"].to_string(),
        item["element"].to_string(),
        item["said"].to_string(),
        number.to_string(),
    ];
    item["id"] = json!(short_id(
        &["by hand", &seed[0], &seed[1], &seed[2], &seed[3]],
        &mut taken
    ));
    item["number"] = json!(number);
}

/// The highest number that was ever given.
pub(super) fn last_number(list: &Value) -> u64 {
    let all = ["items", "dropped"]
        .into_iter()
        .filter_map(|l| list[l].as_array())
        .flatten();
    let highest = all.filter_map(|i| i["number"].as_u64()).max().unwrap_or(0);
    highest.max(list["last_number"].as_u64().unwrap_or(0))
}

/// The area in which the speaker was.
fn visited(edit: &Edit, said: &Value) -> Option<Value> {
    let start = said["start"].as_f64()?;
    let inside = |v: &Value| {
        v["walk"] == said["walk"]
            && v["start"].as_f64() <= Some(start)
            && Some(start) <= v["end"].as_f64()
    };
    let here = |a: &&Value| {
        a["visits"]
            .as_array()
            .is_some_and(|all| all.iter().any(inside))
    };
    // At the second of passing on, the later one.
    let area = edit.all("areas").iter().filter(here).next_back()?;
    Some(area["path"].clone())
}

/// A path as the list has it: one that is there, whatever its case, or the one place whose path ends so; else a new one.
pub(super) fn area(edit: &Edit, asked: &Value) -> Result<Value, RecordError> {
    let low = |v: &Value| -> Vec<String> {
        let all = v.as_array().into_iter().flatten();
        all.map(|p| p.as_str().unwrap_or_default().to_lowercase())
            .collect()
    };
    let want = low(asked);
    let mut paths: Vec<&Value> = edit.all("areas").iter().map(|a| &a["path"]).collect();
    paths.extend(edit.all("items").iter().map(|i| &i["area"]));
    if let Some(path) = paths.iter().find(|p| low(p) == want) {
        return Ok((*path).clone());
    }
    let mut ends: Vec<&Value> = Vec::new();
    for path in paths {
        if low(path).ends_with(&want) && !ends.contains(&path) {
            ends.push(path);
        }
    }
    match ends[..] {
        [] => Ok(asked.clone()),
        [one] => Ok(one.clone()),
        _ => {
            let shown = |p: &&Value| {
                let parts: Vec<&str> = p
                    .as_array()
                    .into_iter()
                    .flatten()
                    .filter_map(Value::as_str)
                    .collect();
                parts.join(" / ")
            };
            let all: Vec<String> = ends.iter().map(shown).collect();
            Err(RecordError::BadValue {
                field: "area".into(),
                value: asked.to_string(),
                mend: format!("several end so; give the whole path: {}", all.join(", or ")),
            })
        }
    }
}
