//! Weighs what was said of each item and writes it into the list: `history`, `fate`, standing, counts, new items.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use serde_json::{Value, json};

use crate::list::{Item, List, Said};

use super::dropped::said_again;
use super::hearing::{By, Evidence, Heard};
use super::scene::Scene;
use super::words::Verdict;
use super::{Fate, Told};

/// Carries the list forward: its earlier items first, in their order, then the new ones.
pub fn carry(value: &mut Value, scene: &Scene<'_>, all: &Heard, new: List, id: &str) -> Vec<Told> {
    let heard = all.evidence.as_slice();
    let mut of: BTreeMap<usize, Vec<&Evidence>> = BTreeMap::new();
    for e in heard {
        of.entry(e.item).or_default().push(e);
    }
    let mut told = Vec::new();
    for i in 0..scene.items.len() {
        let heard = of.get(&i).map(Vec::as_slice).unwrap_or_default();
        let area = scene.items[i].area;
        let visited = scene.visited(area, &all.visited);
        let came = settle(scene, i, heard, visited, value);
        write(&mut value["items"][i], &came, id);
        if matches!(came.fate, Fate::Outstanding | Fate::Back) {
            press(&mut value["items"][i], &came.said, &new);
        }
        told.push(came);
    }
    let taken = absorbed(scene, all);
    merge(value, scene, new, id, (&taken, &all.areas), &mut told);
    states(value);
    told
}

/// What becomes of one item.
fn settle(scene: &Scene<'_>, i: usize, heard: &[&Evidence], visited: bool, value: &Value) -> Told {
    let item = &value["items"][i];
    let own = &scene.items[i];
    let came = |fate, why: &str, said: Vec<Said>| Told {
        number: own.number,
        text: item["text"].as_str().unwrap_or_default().to_string(),
        area: scene.areas[own.area].clone(),
        fate,
        partly: false,
        count: None,
        said,
        why: why.to_string(),
        dropped: None,
    };
    let last = heard
        .iter()
        .filter(|e| e.by != By::Room)
        .max_by_key(|e| (e.by != By::Spoken, e.clause, e.by));
    let general = |e: &&Evidence| e.by == By::Room && e.verdict == Verdict::Good;
    let last = last.filter(|l| l.by != By::Spoken || !heard.iter().any(general));
    let Some(last) = last else {
        let room = heard
            .iter()
            .filter(|e| e.by == By::Room)
            .max_by_key(|e| e.clause);
        return match room {
            Some(e) if e.verdict == Verdict::Good => came(Fate::ToConfirm, &e.why, e.said.clone()),
            Some(e) => came(Fate::Outstanding, &e.why, e.said.clone()),
            None if visited => came(
                Fate::NotSpoken,
                "its area was visited, nothing said of it",
                Vec::new(),
            ),
            None => came(Fate::NotReached, "its area was not visited", Vec::new()),
        };
    };
    // The words of all that agree with the last, in the order said, each once.
    let good = last.verdict == Verdict::Good;
    let mut said: Vec<Said> = heard
        .iter()
        .filter(|e| e.by != By::Room && (e.verdict == Verdict::Good) == good)
        .flat_map(|e| e.said.iter().cloned())
        .collect();
    said.sort_by(|a, b| a.start.total_cmp(&b.start).then(b.end.total_cmp(&a.end)));
    said.dedup_by(|b, a| b.start >= a.start && b.end <= a.end);
    if good {
        return came(Fate::MadeGood, &last.why, said);
    }
    let returned = last.said.iter().any(|s| s.text.contains("back"));
    let back = own.was_good
        || heard.iter().any(|e| e.again && e.verdict != Verdict::Good)
            && (heard
                .iter()
                .any(|e| e.once || (e.verdict == Verdict::Good && e.by != By::Spoken))
                || returned)
        || cleared_before(scene, i, value);
    let mut out = came(
        if back { Fate::Back } else { Fate::Outstanding },
        &last.why,
        said,
    );
    let shares = heard.iter().rev().find_map(|e| match e.verdict {
        Verdict::Partly(done, left) => Some((done, left)),
        _ => None,
    });
    if let Some((done, left)) = shares {
        out.partly = true;
        let fewer = own
            .count
            .zip(done)
            .and_then(|(all, done)| all.checked_sub(done));
        out.count = left
            .or(fewer)
            .filter(|n| *n > 0 && own.count.is_none_or(|all| *n < all));
    }
    out
}

/// Whether a mark of another walk than that of the item's own words called its part made good before this walk.
fn cleared_before(scene: &Scene<'_>, i: usize, value: &Value) -> bool {
    let own = &scene.items[i];
    let Some(part) = &own.part else { return false };
    let when = |x: &Value| {
        let last = x["said"].as_array().and_then(|s| s.last()).cloned();
        last.unwrap_or_default()["walk"].clone()
    };
    let item = &value["items"][i];
    value["cleared"].as_array().into_iter().flatten().any(|c| {
        c["kind"] == "made-good"
            && c["area"] == item["area"]
            && c["element"]
                .as_str()
                .is_some_and(|e| scene.names.same_part(&scene.names.part(e), part) >= 0.9)
            && when(c) != when(item)
    })
}

fn write(item: &mut Value, came: &Told, id: &str) {
    begin(item);
    let mut entry =
        json!({"walk": id, "fate": came.fate.word(), "said": came.said, "why": came.why});
    if came.partly {
        entry["partly"] = json!(true);
    }
    if let Some(history) = item["history"].as_array_mut() {
        history.push(entry);
    }
    match came.fate {
        Fate::MadeGood => item["standing"] = json!("made-good"),
        Fate::Back => item["standing"] = json!("outstanding"),
        _ => (),
    }
    if let Some(n) = came.count {
        item["count"] = json!(n);
    }
    if matches!(came.fate, Fate::Outstanding | Fate::Back)
        && let Some(said) = item["said"].as_array_mut()
    {
        said.extend(came.said.iter().map(|s| json!(s)));
    }
}

/// A deadline or a press that the new walk tells of an item that is still open. What a person decided stays.
fn press(item: &mut Value, said: &[Said], new: &List) {
    let decided = |field: &str| {
        item["decided"]["fields"]
            .as_array()
            .is_some_and(|f| f.iter().any(|n| n == field))
    };
    let (by, urgent) = (!decided("by"), !decided("urgent"));
    let over = |a: &Said, b: &Said| a.start < b.end && b.start < a.end;
    let of_it = |n: &&Item| n.said.iter().any(|s| said.iter().any(|o| over(s, o)));
    for n in new.items.iter().filter(of_it) {
        if by && n.by.is_some() {
            item["by"] = json!(n.by);
            item["by_date"] = json!(n.by_date);
        }
        if urgent && n.urgent {
            item["urgent"] = json!(true);
        }
    }
}

/// The first word on an item, where its history was never written.
pub(super) fn begin(item: &mut Value) {
    if item["history"].is_array() {
        return;
    }
    let first = item["said"][0]["walk"].as_str().unwrap_or("w1").to_string();
    let fate = if item["standing"] == "made-good" {
        Fate::MadeGood
    } else {
        Fate::New
    };
    let said = item["said"].clone();
    item["history"] = json!([{"walk": first, "fate": fate.word(), "said": said}]);
}

/// Items of the new walk that only say what was taken for an earlier item.
fn absorbed(scene: &Scene<'_>, all: &Heard) -> BTreeSet<usize> {
    let heard = all.evidence.as_slice();
    let mut taken: BTreeSet<usize> = heard
        .iter()
        .filter_map(|e| match e.by {
            By::Item(n) => Some(n),
            _ => None,
        })
        .collect();
    let words = |e: &&Evidence| {
        matches!(
            e.by,
            By::Words | By::StillWords | By::Certain | By::Spoken | By::Leaning
        )
    };
    let mut of: BTreeMap<usize, Vec<&Evidence>> = BTreeMap::new();
    for e in heard.iter().filter(words) {
        of.entry(scene.items[e.item].area).or_default().push(e);
    }
    for (n, new) in scene.new.items.iter().enumerate() {
        let part = new.element.as_deref().map(|e| scene.names.part(e));
        let area = all.areas[n];
        let same = |e: &Evidence| {
            let own = &scene.items[e.item];
            match (&part, &own.part) {
                (Some(a), Some(b)) => scene.names.same_part(a, b) >= 0.7,
                (None, _) => true,
                _ => false,
            }
        };
        let here = area.and_then(|a| of.get(&a)).into_iter().flatten();
        let covered = |s: &Said| {
            here.clone().any(|e| {
                same(e)
                    && e.said
                        .iter()
                        .any(|x| x.start <= s.start + 0.02 && s.end <= x.end + 0.02)
            })
        };
        if new.said.iter().all(covered) {
            taken.insert(n);
        }
    }
    taken
}

/// The new walk's own parts join the list, with ids that are not taken and the earlier names of places.
fn merge(
    value: &mut Value,
    scene: &Scene<'_>,
    new: List,
    id: &str,
    (absorbed, places): (&BTreeSet<usize>, &[Option<usize>]),
    told: &mut Vec<Told>,
) {
    let path_of = |path: &[String]| {
        scene
            .area(path)
            .map_or(path.to_vec(), |a| scene.areas[a].clone())
    };
    let ids = |value: &Value, lists: &[&str]| -> BTreeSet<String> {
        let all = lists.iter().filter_map(|l| value[*l].as_array()).flatten();
        all.filter_map(|x| x["id"].as_str().map(String::from))
            .collect()
    };
    let mut next = ["items", "dropped"]
        .iter()
        .filter_map(|l| value[*l].as_array())
        .flatten()
        .filter_map(|i| i["number"].as_u64())
        .chain(value["last_number"].as_u64())
        .max()
        .unwrap_or(0);
    let mut taken = ids(value, &["items", "dropped", "cleared"]);
    let mut free = |wanted: &str| {
        let mut id = wanted.to_string();
        let mut n = 2;
        while !taken.insert(id.clone()) {
            id = format!("{wanted}{n}");
            n += 1;
        }
        id
    };
    push(value, "walks", new.walks.iter().map(|w| json!(w)));
    let mut known = by_path(value, "areas", "path");
    let mut names = ids(value, &["areas"]);
    for area in &new.areas {
        let path = path_of(&area.path);
        let all = value["areas"].as_array_mut();
        let Some(all) = all else { continue };
        if let Some(at) = known.get(&json!(path).to_string()) {
            if let Some(visits) = all[at[0]]["visits"].as_array_mut() {
                visits.extend(area.visits.iter().map(|v| json!(v)));
            }
            continue;
        }
        let mut n = all.len() + 1;
        while !names.insert(format!("a{n}")) {
            n += 1;
        }
        known.insert(json!(path).to_string(), vec![all.len()]);
        let mut area = json!(area);
        area["id"] = json!(format!("a{n}"));
        area["path"] = json!(path);
        all.push(area);
    }
    for (n, item) in new.items.iter().enumerate() {
        if absorbed.contains(&n) {
            continue;
        }
        let path = places[n].map_or_else(|| path_of(&item.area), |a| scene.areas[a].clone());
        if let Some(again) = said_again(value, scene, &path, item, id) {
            told.push(again);
            continue;
        }
        next += 1;
        let before = good_before(value, scene, &path, item);
        let mut one = json!(item);
        one["id"] = json!(free(&item.id));
        one["number"] = json!(next);
        one["area"] = json!(path);
        let fate = if before.is_some() {
            Fate::Back
        } else {
            Fate::New
        };
        let mut history: Vec<Value> = before.into_iter().collect();
        history.push(json!({"walk": id, "fate": fate.word(), "said": item.said}));
        one["history"] = json!(history);
        told.push(Told {
            number: next,
            text: item.text.clone(),
            area: path,
            fate,
            partly: false,
            count: None,
            said: item.said.clone(),
            why: match fate {
                Fate::Back => "an earlier walk had called it made good".to_string(),
                _ => "no earlier item is like it".to_string(),
            },
            dropped: None,
        });
        push(value, "items", [one].into_iter());
    }
    let cleared: Vec<Value> = new
        .cleared
        .iter()
        .map(|c| {
            let mut one = json!(c);
            one["id"] = json!(free(&c.id));
            one["area"] = json!(path_of(&c.area));
            one
        })
        .collect();
    push(value, "cleared", cleared.into_iter());
    push(
        value,
        "passed_over",
        new.passed_over.iter().map(|p| json!(p)),
    );
}

/// The entry of a history for what only a cleared mark of an earlier walk told of.
fn good_before(value: &Value, scene: &Scene<'_>, path: &[String], item: &Item) -> Option<Value> {
    let part = scene.names.part(item.element.as_deref()?);
    let mark = value["cleared"].as_array()?.iter().rev().find(|c| {
        c["kind"] == "made-good"
            && c["area"] == json!(path)
            && c["element"]
                .as_str()
                .is_some_and(|e| scene.names.same_part(&scene.names.part(e), &part) >= 0.9)
    })?;
    let walk = mark["said"][0]["walk"].clone();
    Some(json!({"walk": walk, "fate": Fate::MadeGood.word(), "said": mark["said"]}))
}

fn push(value: &mut Value, list: &str, more: impl Iterator<Item = Value>) {
    if !value[list].is_array() {
        value[list] = json!([]);
    }
    if let Some(all) = value[list].as_array_mut() {
        all.extend(more);
    }
}

/// Where in a list of the list those stand that have the same path in a field, by the path as JSON.
fn by_path(value: &Value, list: &str, field: &str) -> HashMap<String, Vec<usize>> {
    let mut out: HashMap<String, Vec<usize>> = HashMap::new();
    for (at, one) in value[list].as_array().into_iter().flatten().enumerate() {
        out.entry(one[field].to_string()).or_default().push(at);
    }
    out
}

/// How each area stands after the walk.
fn states(value: &mut Value) {
    let open = |i: &Value| i["standing"] != "made-good" && i["closed"].is_null();
    let n = value["areas"].as_array().map_or(0, Vec::len);
    let (items, cleared) = (
        by_path(value, "items", "area"),
        by_path(value, "cleared", "area"),
    );
    for a in 0..n {
        let path = value["areas"][a]["path"].to_string();
        let items = items.get(&path).map_or(&[][..], Vec::as_slice);
        let state = if items.iter().any(|i| open(&value["items"][*i])) {
            "outstanding"
        } else if !items.is_empty() || cleared.contains_key(&path) {
            "clear"
        } else {
            "unjudged"
        };
        value["areas"][a]["state"] = json!(state);
    }
}
