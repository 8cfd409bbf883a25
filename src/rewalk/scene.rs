//! The list before a walk and the walk's own list, side by side.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use serde_json::Value;

use crate::list::{List, Standing, Work};

use super::cues::Cues;
use super::matching::{Names, Part};
use super::words::stems;
use crate::lexicon::source::VerdictKind;
use crate::lexicon::words;

/// An item of the list before the walk.
#[derive(Debug)]
pub struct Earlier {
    /// Its number.
    pub number: u64,
    /// Its area, by index in [`Scene::areas`].
    pub area: usize,
    /// Its building part.
    pub part: Option<Part>,
    /// The groups of names that its part's belongs to.
    pub groups: BTreeSet<u16>,
    /// The groups of names for parts that its words name.
    pub told: BTreeSet<u16>,
    /// The stems of all words that tell of it.
    pub stems: BTreeSet<String>,
    /// The class of work.
    pub work: Work,
    /// The fault.
    pub fault: Option<String>,
    /// How many.
    pub count: Option<u32>,
    /// It was made good before this walk.
    pub was_good: bool,
}

/// The list and the new walk's own list, side by side.
#[derive(Debug)]
pub struct Scene<'a> {
    /// The paths of the earlier areas.
    pub areas: Vec<Vec<String>>,
    /// Which earlier area each area of the new walk is; told by what is said there.
    pub met: Vec<Option<usize>>,
    /// The items before.
    pub items: Vec<Earlier>,
    /// The items of each area.
    pub within: BTreeMap<usize, Vec<usize>>,
    /// The earlier areas by their paths, and by the last name of them.
    by_path: BTreeMap<Vec<String>, Vec<usize>>,
    by_last: HashMap<String, Vec<usize>>,
    /// The areas of the new walk by their paths.
    new_by_path: HashMap<Vec<String>, usize>,
    /// What the pipeline made of the new walk.
    pub new: List,
    /// The names of parts and places.
    pub names: &'a Names<'a>,
}

impl<'a> Scene<'a> {
    /// Lays the list and the new walk side by side.
    pub fn new(
        value: &Value,
        list: &List,
        new: &List,
        names: &'a Names<'a>,
        cues: &Cues,
    ) -> Scene<'a> {
        let mut areas: Vec<Vec<String>> = list.areas.iter().map(|a| a.path.clone()).collect();
        let mut known: HashMap<Vec<String>, usize> = HashMap::new();
        for (a, path) in areas.iter().enumerate() {
            known.entry(path.clone()).or_insert(a);
        }
        let mut items = Vec::new();
        let mut within: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (i, item) in list.items.iter().enumerate() {
            let area = *known.entry(item.area.clone()).or_insert_with(|| {
                areas.push(item.area.clone());
                areas.len() - 1
            });
            // The sentence only repeats these, with a verb of the program's own.
            let mut told: Vec<String> = item.element.iter().cloned().collect();
            told.extend(item.fault.clone());
            told.extend(item.spot.clone());
            told.extend(item.said.iter().map(|s| s.text.clone()));
            let last = value["items"][i]["history"]
                .as_array()
                .and_then(|h| h.last());
            let good = last.is_some_and(|h| h["fate"] == "made-good");
            within.entry(area).or_default().push(i);
            let part = item.element.as_deref().map(|e| names.part(e));
            items.push(Earlier {
                number: u64::from(item.number),
                area,
                groups: part
                    .as_ref()
                    .map(|p| groups(&p.name, cues))
                    .unwrap_or_default(),
                part,
                told: told_groups(&told.join(" "), cues),
                stems: stems(&told.join(" "), cues),
                work: item.work,
                fault: item.fault.clone(),
                count: item.count,
                was_good: good || item.standing == Standing::MadeGood,
            });
        }
        let mut by_path: BTreeMap<Vec<String>, Vec<usize>> = BTreeMap::new();
        let mut by_last: HashMap<String, Vec<usize>> = HashMap::new();
        for (a, path) in areas.iter().enumerate() {
            by_path.entry(path.clone()).or_default().push(a);
            by_last
                .entry(path.last().cloned().unwrap_or_default())
                .or_default()
                .push(a);
        }
        let mut new_by_path = HashMap::new();
        for (a, area) in new.areas.iter().enumerate() {
            new_by_path.entry(area.path.clone()).or_insert(a);
        }
        Scene {
            by_path,
            by_last,
            new_by_path,
            met: vec![None; new.areas.len()],
            areas,
            items,
            within,
            new: new.clone(),
            names,
        }
    }

    /// The items of the places that an area lies in or holds.
    pub(super) fn related(&self, area: Option<usize>) -> Vec<usize> {
        let Some(area) = area else { return Vec::new() };
        let own = &self.areas[area];
        // "Powder room" and "Downstairs / Powder room" may be one.
        let alike = |p: &Vec<String>| p.last() == own.last() && (p.len() == 1 || own.len() == 1);
        let near =
            |p: &Vec<String>| (p.starts_with(own) || own.starts_with(p) || alike(p)) && p != own;
        let inside = self.by_path.range(own.clone()..);
        let inside = inside.take_while(|(p, _)| p.starts_with(own)).map(|p| p.1);
        let around = (0..own.len()).filter_map(|n| self.by_path.get(&own[..n]));
        let last = own.last().and_then(|l| self.by_last.get(l));
        let all: BTreeSet<usize> = inside
            .chain(around)
            .chain(last)
            .flatten()
            .copied()
            .collect();
        all.into_iter()
            .filter(|a| near(&self.areas[*a]))
            .flat_map(|a| self.of(Some(a)).iter().copied())
            .collect()
    }

    /// The earlier area of a path of the new walk.
    pub fn area(&self, path: &[String]) -> Option<usize> {
        match self.new_by_path.get(path) {
            Some(i) => self.met[*i],
            None => self.names.area(path, &self.areas),
        }
    }

    /// Whether the walk came to an earlier area, or to a place inside it.
    pub fn visited(&self, area: usize, come: &BTreeSet<usize>) -> bool {
        let path = &self.areas[area];
        let inside = |m: &usize| {
            path.len() < self.areas[*m].len()
                && self.areas[*m].starts_with(path)
                && !self.storey(path)
        };
        come.contains(&area) || come.iter().any(inside)
    }

    fn storey(&self, path: &[String]) -> bool {
        path.len() == 1
            && self
                .areas
                .iter()
                .filter(|a| a.len() > 1 && a[0] == path[0])
                .count()
                > 2
    }

    pub(super) fn of(&self, area: Option<usize>) -> &[usize] {
        area.and_then(|a| self.within.get(&a))
            .map(Vec::as_slice)
            .unwrap_or_default()
    }

    /// In how many items of the same area a stem stands.
    fn shared(&self, item: usize, stem: &str) -> usize {
        let all = self.of(Some(self.items[item].area));
        all.iter()
            .filter(|i| self.items[**i].stems.contains(stem))
            .count()
    }

    /// How much the words of a text speak of an item beyond its part's name.
    pub(super) fn wording(&self, item: usize, said: &BTreeSet<String>) -> f64 {
        let own = &self.items[item];
        let named = own.part.as_ref().map(|p| &p.stems);
        let sum: f64 = said
            .intersection(&own.stems)
            .filter(|s| !named.is_some_and(|n| n.contains(*s)))
            .map(|s| match self.shared(item, s) {
                1 => 0.6,
                2 => 0.25,
                _ => 0.1,
            })
            .sum();
        sum.min(0.9)
    }
}

/// The groups of names for parts that some words name.
fn told_groups(text: &str, cues: &Cues) -> BTreeSet<u16> {
    let text = words::fold(text);
    let all: Vec<&str> = text.split(' ').collect();
    let hits = cues.hits(&all);
    let parts = hits.iter().filter(|h| h.0 == VerdictKind::Part);
    parts.map(|h| h.1).collect()
}

/// The groups of names for parts that a name belongs to: by itself, or by its last words.
fn groups(name: &str, cues: &Cues) -> BTreeSet<u16> {
    let all: Vec<&str> = name.split(' ').collect();
    let hits = cues.hits(&all);
    let own = hits
        .iter()
        .filter(|h| h.0 == VerdictKind::Part && h.3 == all.len());
    own.map(|h| h.1).collect()
}
