//! What entries say of one another: every name that is used must exist, and every rule must be reachable.

use std::collections::BTreeMap;

use super::data::Data;
use super::layers::{Layers, nearest};
use super::yaml::Place;
use crate::list::Trade;

/// Checks the names that entries use, and settles those of trades: a trade may be named by its entry's id, whatever word
/// the list shows for it. Groups that several trades own go to the one that a later layer gave them to.
pub fn check(data: &mut Data, layers: &Layers) -> Vec<(Place, String)> {
    let mut wrong = Vec::new();
    trades(data, layers, &mut wrong);
    let groups: Vec<&str> = data
        .trades
        .iter()
        .flat_map(|t| &t.groups)
        .map(String::as_str)
        .collect();
    let ids =
        |list: &str| -> Vec<&str> { layers.list(list).iter().map(|e| e.id.as_str()).collect() };
    let (elements, faults, areas) = (ids("elements"), ids("faults"), ids("areas"));
    let absent = ["absent"];
    let parts = Names {
        all: &[&groups, &elements],
        what: "is neither an element's id nor a trade's group",
    };
    let states = Names {
        all: &[&faults, &absent],
        what: "is no fault's id",
    };
    let places = Names {
        all: &[&areas],
        what: "is no area's id",
    };
    for (list, key, names) in [
        ("elements", "group", &parts),
        ("faults", "works", &parts),
        ("faults", "hazards", &parts),
        ("faults", "part", &parts),
        ("faults", "only", &parts),
        ("works", "works", &parts),
        ("cues", "on", &parts),
        ("dispatch", "elements", &parts),
        ("dispatch", "areas", &places),
        ("dispatch", "hosts", &parts),
        ("dangers", "elements", &parts),
        ("dangers", "faults", &states),
        ("descriptions", "element", &parts),
        ("fittings", "areas", &places),
        ("fittings", "parts", &parts),
        ("limits", "elements", &parts),
        ("limits", "faults", &states),
    ] {
        for entry in layers.list(list) {
            let Some(value) = entry.get(key) else {
                continue;
            };
            let mut used: Vec<(&str, Place)> =
                value.text().map(|t| (t, value.place)).into_iter().collect();
            used.extend(
                value
                    .members()
                    .iter()
                    .filter_map(|m| m.text().map(|t| (t, m.place))),
            );
            if let super::yaml::Value::Map(pairs) = &value.value {
                used.extend(pairs.iter().map(|(k, _)| (k.text.as_str(), k.place)));
            }
            for (name, place) in used {
                // A part that a later layer removed takes its descriptions with it.
                let removed = list == "descriptions"
                    && layers
                        .removed
                        .iter()
                        .any(|r| r.list == "elements" && r.id == name);
                if !names.has(name) && !removed {
                    let hint = nearest(name, names.all.iter().flat_map(|a| a.iter().copied()));
                    wrong.push((
                        place,
                        format!("{list}: {:?}: {name:?} {}{hint}", entry.id, names.what),
                    ));
                }
            }
        }
    }
    wrong
}

struct Names<'a> {
    all: &'a [&'a [&'a str]],
    what: &'static str,
}

impl Names<'_> {
    fn has(&self, name: &str) -> bool {
        self.all.iter().any(|a| a.contains(&name))
    }
}

fn trades(data: &mut Data, layers: &Layers, wrong: &mut Vec<(Place, String)>) {
    let mut known: BTreeMap<String, Trade> = BTreeMap::new();
    for e in &data.trades {
        if let Some(t) = e.trade {
            known.insert(t.word().to_string(), t);
        }
    }
    for e in &data.trades {
        if let Some(t) = e.trade {
            known.insert(e.id.clone(), t);
        }
    }
    let mut settle = |list: &str, id: &str, trade: &mut Option<Trade>| {
        let Some(named) = *trade else { return };
        if let Some(t) = known.get(named.word()) {
            *trade = Some(*t);
        } else if let Some(entry) = layers.entry(list, id) {
            let hint = nearest(named.word(), known.keys().map(String::as_str));
            let what = format!(
                "{list}: {id:?}: there is no trade {:?}{hint}; a new one needs an entry under `trades`",
                named.word()
            );
            wrong.push((entry.place_of(named.word()), what));
        }
    };
    for e in &mut data.elements {
        settle("elements", &e.id, &mut e.trade);
    }
    for e in &mut data.works {
        settle("works", &e.id, &mut e.trade);
    }
    for e in &mut data.dispatch {
        settle("dispatch", &e.id, &mut e.trade);
    }
    for e in &mut data.trades {
        settle("trades", &e.id, &mut e.of);
    }
    // A trade that was split off has the section of the one it was part of.
    for i in 0..data.trades.len() {
        let Some(of) = data.trades[i].of else {
            continue;
        };
        let Some(from) = data.trades.iter().find(|t| t.trade == Some(of)) else {
            continue;
        };
        let (section, title, naics) =
            (from.section.clone(), from.title.clone(), from.naics.clone());
        let e = &mut data.trades[i];
        if e.section.is_empty() {
            (e.section, e.title) = (section, title);
        }
        e.naics = e.naics.take().or(naics);
    }
    // A group has one owner: the one that the latest layer names.
    let mut owner: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    for (i, e) in data.trades.iter().enumerate() {
        let Some(entry) = layers.entry("trades", &e.id) else {
            continue;
        };
        for n in entry.get("groups").map(|n| n.members()).unwrap_or_default() {
            let Some(group) = n.text() else { continue };
            let held = owner.entry(group.to_string()).or_insert((n.place.layer, i));
            if held.0 < n.place.layer {
                *held = (n.place.layer, i);
            } else if held.1 != i && held.0 == n.place.layer {
                let other = &data.trades[held.1].id;
                wrong.push((n.place, format!("trades: {other:?} and {:?} both own the group {group:?}: leave it to one of them", e.id)));
            }
        }
    }
    for (i, e) in data.trades.iter_mut().enumerate() {
        e.groups
            .retain(|g| owner.get(g).is_none_or(|(_, o)| *o == i));
    }
}

/// Rules that are never reached, because one before them fits wherever they do.
pub fn unreached(data: &Data, layers: &Layers) -> Vec<(Place, String)> {
    let mut out = Vec::new();
    let covers = |a: &[String], b: &[String]| {
        a.is_empty() || !b.is_empty() && b.iter().all(|x| a.contains(x))
    };
    let mut tell = |list: &str, id: &str, before: &str| {
        let Some(entry) = layers.entry(list, id) else {
            return;
        };
        let Some(other) = layers.entry(list, before) else {
            return;
        };
        // That a firm's rule stands before a built-in one is what it is for.
        if entry.place().layer < other.place().layer {
            return;
        }
        out.push((
            entry.place(),
            format!("{list}: {id:?} can never be reached: {before:?} before it ({}) fits wherever it does; put it before that one, or make it narrower", layers.shown(other.place())),
        ));
    };
    for (i, b) in data.dispatch.iter().enumerate() {
        let before = data.dispatch[..i].iter().find(|a| {
            covers(&a.elements, &b.elements)
                && (a.works.is_empty()
                    || !b.works.is_empty() && b.works.iter().all(|w| a.works.contains(w)))
                && covers(&a.near, &b.near)
                && covers(&a.areas, &b.areas)
                && covers(&a.hosts, &b.hosts)
        });
        if let Some(a) = before {
            tell("dispatch", &b.id, &a.id);
        }
    }
    for (i, b) in data.dangers.iter().enumerate() {
        let before = data.dangers[..i].iter().find(|a| {
            covers(&a.elements, &b.elements)
                && a.faults.is_empty() == b.faults.is_empty()
                && covers(&a.faults, &b.faults)
                && covers(&a.near, &b.near)
        });
        if let Some(a) = before {
            tell("dangers", &b.id, &a.id);
        }
    }
    out
}
