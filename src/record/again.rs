//! A walk read again into a list that people worked on: what was read is new, what was decided stays.
//!
//! Items of the new reading are tied to those of the list by id, else by the words they rest on. A tied item takes the new
//! reading's fields, except those that a person decided; `decided.disagrees` holds what the new reading has instead. Items that were
//! added, dropped, closed, split or joined stay so. Of walks that are not read again everything stays.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value, json};

use super::add::last_number;
use super::derived;
use super::edit::Edit;
use super::error::RecordError;
use super::fields::FIELDS;
use super::shape::Record;
use crate::list::List;

/// How much of the shorter of two stretches of words must be in the other for them to be the same words.
const SAME: f64 = 0.5;

/// How much of it must be there for what is read besides to be a part of it.
const WITHIN: f64 = 0.9;

/// Where the new reading has something else than a person decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Disagreement {
    /// The item's number.
    pub number: u64,
    /// The field.
    pub field: String,
    /// What was decided.
    pub decided: Value,
    /// What is read now.
    pub read: Value,
}

/// What came of a new reading.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Again {
    /// Where it disagrees with what was decided, by item.
    pub disagreements: Vec<Disagreement>,
    /// Items that are read no more and were taken out: nobody had decided anything about them.
    pub gone: Vec<(u64, String)>,
    /// The numbers of items that are new.
    pub new: Vec<u64>,
    /// Items of which a person decided something and that are read no more; they stay.
    pub only_decided: Vec<u64>,
}

/// Puts a new reading of its walks into a list.
///
/// # Errors
/// Where the list rests on none of these walks; nothing is then changed.
pub fn read_again(record: &mut Record, new: &List) -> Result<Again, RecordError> {
    let mut reading = json!(new);
    let read = walks(record, &mut reading)?;
    let mut told = Again::default();
    let old = record.value.clone();
    let tied = tie(&old, &reading);
    let mut items = Vec::new();
    for (i, item) in of(&old, "items").iter().enumerate() {
        match tied.get(&("items", i)) {
            Some(n) => {
                let fresh = &of(&reading, "items")[*n];
                items.push(renew(item, fresh, &read, &mut told.disagreements));
            }
            None if decided(item) || elsewhere(item, &read) => {
                if decided(item)
                    && of(item, "said")
                        .iter()
                        .any(|s| read.contains(word(s, "walk")))
                {
                    told.only_decided.extend(item["number"].as_u64());
                }
                items.push(item.clone());
            }
            None => told.gone.push((
                item["number"].as_u64().unwrap_or(0),
                word(item, "text").to_string(),
            )),
        }
    }
    let taken: BTreeSet<usize> = tied.values().copied().collect();
    let mut ids: BTreeSet<String> = ["items", "dropped", "cleared"]
        .iter()
        .flat_map(|l| of(&old, l))
        .map(|x| word(x, "id").to_string())
        .collect();
    let mut number = last_number(&old);
    for (n, fresh) in of(&reading, "items").iter().enumerate() {
        if taken.contains(&n) {
            continue;
        }
        number += 1;
        let mut item = fresh.clone();
        item["id"] = json!(free(word(fresh, "id"), &mut ids));
        item["number"] = json!(number);
        told.new.push(number);
        items.push(item);
    }
    let mut value = old.clone();
    // A number that was given is never given again.
    if number > highest(&items).max(highest(of(&old, "dropped"))) {
        value["last_number"] = json!(number);
    }
    let order: Vec<Value> = of(&old, "walks").iter().map(|w| w["id"].clone()).collect();
    items.sort_by(|a, b| when(a, &order).total_cmp(&when(b, &order)));
    value["items"] = json!(items);
    stretches(&mut value, &old, &reading, &read);
    areas(&mut value, &old, &reading, &read);
    record.replace(value)?;
    Ok(told)
}

fn of<'v>(value: &'v Value, list: &str) -> &'v [Value] {
    value[list]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default()
}

fn word<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

fn highest(items: &[Value]) -> u64 {
    let all = items.iter().filter_map(|i| i["number"].as_u64());
    all.max().unwrap_or(0)
}

fn free(wanted: &str, taken: &mut BTreeSet<String>) -> String {
    let mut id = wanted.to_string();
    let mut n = 2;
    while !taken.insert(id.clone()) {
        id = format!("{wanted}{n}");
        n += 1;
    }
    id
}

/// Somebody decided something about an item, or closed it.
fn decided(item: &Value) -> bool {
    !item["decided"].is_null() || !item["closed"].is_null()
}

/// An item rests on a walk that is not read again, or a later walk told of it.
fn elsewhere(item: &Value, read: &BTreeSet<String>) -> bool {
    let walks = of(item, "said").iter().chain(of(item, "history"));
    walks.into_iter().any(|s| !read.contains(word(s, "walk")))
}

/// When an item was first said, for the order of the list; what nobody said comes last.
fn when(item: &Value, walks: &[Value]) -> f64 {
    let first = &item["said"][0];
    let Some(start) = first["start"].as_f64() else {
        return f64::MAX;
    };
    let walk = walks.iter().position(|w| *w == first["walk"]);
    walk.unwrap_or(walks.len()) as f64 * 1e9 + start
}

/// Gives the reading's walks the ids that they have in the list, and the list the walks that are new; gives the ids read.
fn walks(record: &mut Record, reading: &mut Value) -> Result<BTreeSet<String>, RecordError> {
    let old = of(&record.value, "walks").to_vec();
    let mut ids: BTreeSet<String> = old.iter().map(|w| word(w, "id").to_string()).collect();
    let mut names: BTreeMap<String, String> = BTreeMap::new();
    let mut all = old.clone();
    let mut known = false;
    for walk in of(reading, "walks") {
        let at = old
            .iter()
            .position(|w| w["sha256"] == walk["sha256"])
            .or_else(|| old.iter().position(|w| w["file"] == walk["file"]));
        let id = match at {
            Some(at) => {
                known = true;
                let id = word(&old[at], "id").to_string();
                for (key, value) in walk.as_object().into_iter().flatten() {
                    if key != "id" && !value.is_null() {
                        all[at][key] = value.clone();
                    }
                }
                id
            }
            None => {
                let id = free(&format!("w{}", all.len() + 1), &mut ids);
                let mut walk = walk.clone();
                walk["id"] = json!(id);
                all.push(walk);
                id
            }
        };
        names.insert(word(walk, "id").to_string(), id);
    }
    if !known {
        return Err(RecordError::Unfit(
            "it holds what people decided about other walks than these; choose another name for -o, or carry it forward with `storystick rewalk`".into(),
        ));
    }
    rename(reading, &names);
    record.value["walks"] = json!(all);
    Ok(names.into_values().collect())
}

/// Other names for walks, wherever they stand.
fn rename(value: &mut Value, names: &BTreeMap<String, String>) {
    match value {
        Value::Object(map) => {
            if let Some(Value::String(walk)) = map.get_mut("walk")
                && let Some(name) = names.get(walk)
            {
                *walk = name.clone();
            }
            map.values_mut().for_each(|v| rename(v, names));
        }
        Value::Array(all) => all.iter_mut().for_each(|v| rename(v, names)),
        _ => (),
    }
}

/// Which item of the reading each item of the list is, dropped ones too: by id, then by what most of its words are. A dropped or
/// joined item takes its reading with it, so that it does not come back.
fn tie<'l>(old: &Value, reading: &Value) -> BTreeMap<(&'l str, usize), usize> {
    let fresh = of(reading, "items");
    let mut pairs: Vec<(f64, (&'l str, usize), usize)> = Vec::new();
    for list in ["items", "dropped"] {
        for (i, item) in of(old, list).iter().enumerate() {
            for (n, new) in fresh.iter().enumerate() {
                let mut score = words_in_common(item, new);
                if item["id"] == new["id"] {
                    score += 4.0;
                } else if score < SAME {
                    continue;
                }
                for field in ["element", "work", "area"] {
                    score += if first_read(item, field) == &new[field] {
                        0.5
                    } else {
                        0.0
                    };
                }
                // Other words on another part are another matter.
                if score >= SAME + 0.5 {
                    pairs.push((score, (list, i), n));
                }
            }
        }
    }
    pairs.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let (mut out, mut taken) = (BTreeMap::new(), BTreeSet::new());
    for (_, i, n) in pairs {
        if !out.contains_key(&i) && taken.insert(n) {
            out.insert(i, n);
        }
    }
    // What was joined into another item is read there.
    for (n, new) in fresh.iter().enumerate() {
        let held = |i: &&Value| {
            of(&i["decided"], "fields").iter().any(|f| f == "said")
                && words_in_common(i, new) >= SAME
        };
        if !taken.contains(&n)
            && let Some(at) = of(old, "items").iter().position(|i| held(&i))
        {
            out.insert(("joined", at * fresh.len() + n), n);
        }
    }
    // What was dropped may be read in several parts now, or be told by several walks.
    let read: BTreeSet<usize> = out.values().copied().collect();
    for (n, new) in fresh.iter().enumerate().filter(|(n, _)| !read.contains(n)) {
        let away = |d: &Value| {
            first_read(d, "element") == &new["element"] && words_in_common(d, new) >= WITHIN
        };
        if let Some(at) = of(old, "dropped").iter().position(away) {
            out.insert(("within dropped", at * fresh.len() + n), n);
        }
    }
    out
}

/// A field as it was read, whatever was decided since.
fn first_read<'v>(item: &'v Value, field: &str) -> &'v Value {
    let read = item["decided"]["read"].get(field);
    read.filter(|v| !v.is_null()).unwrap_or(&item[field])
}

/// How much of the words of the one with fewer is in the other's, by time.
fn words_in_common(a: &Value, b: &Value) -> f64 {
    let long = |v: &Value| -> f64 { of(v, "said").iter().map(length).sum() };
    let mut both = 0.0;
    for x in of(a, "said") {
        for y in of(b, "said").iter().filter(|y| y["walk"] == x["walk"]) {
            let (from, to) = (
                time(x, "start").max(time(y, "start")),
                time(x, "end").min(time(y, "end")),
            );
            both += (to - from).max(0.0);
        }
    }
    let least = long(a).min(long(b));
    if least > 0.0 { both / least } else { 0.0 }
}

/// A time in seconds; what was put down at one moment lasts a little.
fn time(said: &Value, key: &str) -> f64 {
    let at = |k: &str| said[k].as_f64().unwrap_or(0.0);
    if key == "end" {
        at("end").max(at("start") + 0.01)
    } else {
        at(key)
    }
}

fn length(said: &Value) -> f64 {
    (time(said, "end") - time(said, "start")).max(0.0)
}

/// An item with the new reading's fields, but a person's where they decided.
fn renew(
    item: &Value,
    fresh: &Value,
    read: &BTreeSet<String>,
    disagreements: &mut Vec<Disagreement>,
) -> Value {
    let mut out = item.clone();
    let kept = kept(item);
    for (key, value) in fresh.as_object().into_iter().flatten() {
        let own = matches!(key.as_str(), "id" | "number" | "said") || kept.contains(key.as_str());
        if !own {
            out[key] = value.clone();
        }
    }
    if !kept.contains("said") {
        let mut said: Vec<Value> = of(fresh, "said").to_vec();
        for s in of(item, "said") {
            if !read.contains(word(s, "walk")) {
                said.push(s.clone());
            } else if s["private"] == true {
                said.iter_mut()
                    .filter(|n| overlap(n, s))
                    .for_each(|n| n["private"] = json!(true));
            }
        }
        out["said"] = json!(said);
    }
    let worded = ["element", "fault", "work", "count", "where"];
    if worded.iter().any(|f| kept.contains(f)) && !kept.contains("text") {
        let empty = Map::new();
        let text = derived::text(
            fresh.as_object().unwrap_or(&empty),
            out.as_object().unwrap_or(&empty),
        );
        out["text"] = json!(text);
    }
    // These follow from the field before them.
    for (field, follows) in [
        ("trade", &["section"][..]),
        ("hazard", &["caution", "caution_source"]),
        ("follow_up", &["promised_by"]),
        ("by", &["by_date"]),
    ] {
        for f in follows.iter().filter(|_| kept.contains(field)) {
            match (item.get(*f), out.as_object_mut()) {
                (Some(v), _) => out[*f] = v.clone(),
                (None, Some(map)) => drop(map.shift_remove(*f)),
                _ => (),
            }
        }
    }
    disagree(&mut out, item, fresh, &kept, disagreements);
    out
}

/// The fields that a new reading leaves as they are: a person's, and those that a later walk wrote.
fn kept(item: &Value) -> BTreeSet<&str> {
    let fields = of(&item["decided"], "fields")
        .iter()
        .filter_map(Value::as_str);
    let mut kept: BTreeSet<&str> = fields.collect();
    if matches!(word(&item["decided"], "how"), "accepted" | "added") {
        kept.extend(FIELDS);
    }
    if !item["closed"].is_null() {
        kept.insert("closed");
    }
    if of(item, "history").len() > 1 {
        kept.extend(["standing", "history", "count"]);
    }
    kept
}

/// Puts down where the new reading has something else.
fn disagree(
    out: &mut Value,
    item: &Value,
    fresh: &Value,
    kept: &BTreeSet<&str>,
    told: &mut Vec<Disagreement>,
) {
    let Some(decided) = out.get_mut("decided").and_then(Value::as_object_mut) else {
        return;
    };
    let mut other = Map::new();
    // A sentence follows its fields; a later walk's standing is no decision.
    let later = of(item, "history").len() > 1;
    for field in FIELDS
        .iter()
        .filter(|f| kept.contains(**f) && **f != "text")
    {
        if later && matches!(*field, "standing" | "count") {
            continue;
        }
        if item[*field] != fresh[*field] {
            other.insert((*field).to_string(), fresh[*field].clone());
            told.push(Disagreement {
                number: item["number"].as_u64().unwrap_or(0),
                field: (*field).to_string(),
                decided: item[*field].clone(),
                read: fresh[*field].clone(),
            });
        }
    }
    if other.is_empty() {
        decided.shift_remove("disagrees");
    } else {
        decided.insert("disagrees".to_string(), Value::Object(other));
    }
}

fn overlap(a: &Value, b: &Value) -> bool {
    a["walk"] == b["walk"] && time(a, "start") < time(b, "end") && time(b, "start") < time(a, "end")
}

/// Cleared marks and what was passed over: the new reading's, with those of other walks; private words stay private, and what a
/// person made an item of is passed over no more.
fn stretches(value: &mut Value, old: &Value, reading: &Value, read: &BTreeSet<String>) {
    let other = |said: &Value| !read.contains(word(said, "walk"));
    let mut cleared: Vec<Value> = of(reading, "cleared").to_vec();
    let mut ids: BTreeSet<String> = ["items", "dropped"]
        .iter()
        .flat_map(|l| of(value, l))
        .map(|x| word(x, "id").to_string())
        .collect();
    for mark in &mut cleared {
        mark["id"] = json!(free(word(mark, "id"), &mut ids));
    }
    cleared.extend(
        of(old, "cleared")
            .iter()
            .filter(|c| other(&c["said"][0]))
            .cloned(),
    );
    let taken: Vec<Value> = of(value, "items")
        .iter()
        .flat_map(|i| of(i, "said"))
        .cloned()
        .collect();
    let mut passed: Vec<Value> = of(reading, "passed_over")
        .iter()
        .filter(|p| {
            let same = |s: &Value| {
                ["walk", "start", "end"]
                    .iter()
                    .all(|k| s[*k] == p["said"][*k])
            };
            !taken.iter().any(same)
        })
        .cloned()
        .collect();
    for p in of(old, "passed_over") {
        if other(&p["said"]) {
            passed.push(p.clone());
        } else if p["said"]["private"] == true {
            passed
                .iter_mut()
                .filter(|n| overlap(&n["said"], &p["said"]))
                .for_each(|n| n["said"]["private"] = json!(true));
        }
    }
    value["cleared"] = json!(cleared);
    value["passed_over"] = json!(passed);
}

/// The areas of the new reading, with the ids and other walks' visits that they have in the list, and those that items are still in.
fn areas(value: &mut Value, old: &Value, reading: &Value, read: &BTreeSet<String>) {
    let mut ids: BTreeSet<String> = of(old, "areas")
        .iter()
        .map(|a| word(a, "id").to_string())
        .collect();
    let later = |a: &Value| -> Vec<Value> {
        let visits = of(a, "visits").iter();
        visits
            .filter(|v| !read.contains(word(v, "walk")))
            .cloned()
            .collect()
    };
    let mut all: Vec<Value> = Vec::new();
    for area in of(reading, "areas") {
        let mut one = area.clone();
        match of(old, "areas").iter().find(|a| a["path"] == area["path"]) {
            Some(known) => {
                one = known.clone();
                for (key, v) in area.as_object().into_iter().flatten() {
                    if key != "id" {
                        one[key] = v.clone();
                    }
                }
                let mut visits = of(area, "visits").to_vec();
                visits.extend(later(known));
                one["visits"] = json!(visits);
            }
            None => {
                let n = of(old, "areas").len() + all.len() + 1;
                one["id"] = json!(free(&format!("a{n}"), &mut ids));
            }
        }
        all.push(one);
    }
    for area in of(old, "areas") {
        let known = all.iter().any(|a| a["path"] == area["path"]);
        let used = of(value, "items").iter().any(|i| i["area"] == area["path"]);
        let visits = later(area);
        if !known && (used || !visits.is_empty()) {
            let mut one = area.clone();
            one["visits"] = json!(visits);
            all.push(one);
        }
    }
    value["areas"] = json!(all);
    let mut paths: Vec<Value> = all.iter().map(|a| a["path"].clone()).collect();
    for item in of(value, "items") {
        if !paths.contains(&item["area"]) {
            paths.push(item["area"].clone());
        }
    }
    let mut edit = Edit {
        list: value.take(),
        steps: Vec::new(),
    };
    edit.settle(&paths);
    *value = edit.list;
}
