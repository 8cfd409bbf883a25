//! The places of a building by their names, so that a building of thousands of rooms is asked as fast as a house of ten.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::ops::Bound;

use super::Place;

/// What a place is known by.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) enum Key {
    /// Its name as the path has it.
    Whole(String),
    /// The last word of a name of several, in lower case.
    Tail(String),
    /// What stands before the number at its end.
    Before(String),
}

/// The places by their names. Places are only ever added.
#[derive(Debug, Default)]
pub(super) struct Names {
    paths: HashMap<Vec<String>, usize>,
    /// The place that was added last under a key.
    last: HashMap<Key, usize>,
    /// The first child of a place under a key.
    child: HashMap<(usize, Key), usize>,
    /// All names, for what begins with a word.
    names: BTreeSet<String>,
    /// The figures of the numbers that names end with.
    figures: BTreeSet<usize>,
    /// Each unit's rooms that are counted, and those of all of them.
    counted: BTreeMap<Option<String>, Counted>,
    /// The last place that is a bedroom.
    pub(super) bedroom: Option<usize>,
    /// Whether a room is known that only dwellings have.
    pub(super) homely: bool,
}

/// The rooms of one unit that are told apart by number alone.
#[derive(Debug, Default)]
struct Counted {
    /// How many names begin so.
    begin: HashMap<String, usize>,
    names: BTreeSet<String>,
    /// Up to which number all are taken.
    taken: HashMap<String, usize>,
}

/// The kinds of rooms that are told apart by number alone.
pub(super) const COUNTED: [&str; 2] = ["Bedroom", "Bathroom"];

impl Names {
    /// Takes in a new place.
    pub(super) fn add(&mut self, index: usize, place: &Place) {
        self.paths.entry(place.path.clone()).or_insert(index);
        let Some(name) = place.path.last() else {
            return;
        };
        for key in keys(name) {
            if let Some(parent) = place.parent {
                self.child.entry((parent, key.clone())).or_insert(index);
            }
            self.last.insert(key, index);
        }
        self.names.insert(name.clone());
        let word = name.rsplit(' ').next().unwrap_or(name);
        if word.bytes().all(|b| b.is_ascii_digit()) {
            self.figures.insert(word.len());
        }
        if name.ends_with("edroom") || name.contains("edroom ") {
            self.bedroom = Some(index);
        }
        self.homely |= name.contains("edroom")
            || matches!(
                name.as_str(),
                "Living room" | "Family room" | "Garage" | "Deck" | "Pantry"
            );
        for begin in COUNTED.iter().filter(|c| name.starts_with(**c)) {
            let whole = std::iter::once(None);
            let mut units: Vec<Option<String>> =
                whole.chain(place.path.iter().cloned().map(Some)).collect();
            units.sort();
            units.dedup();
            for unit in units {
                let here = self.counted.entry(unit).or_default();
                *here.begin.entry((*begin).to_string()).or_default() += 1;
                here.names.insert(name.clone());
            }
        }
    }

    /// The place with this path.
    pub(super) fn with_path(&self, path: &[String]) -> Option<usize> {
        self.paths.get(path).copied()
    }

    /// The place of this name that was added last.
    pub(super) fn with_name(&self, name: &str) -> Option<usize> {
        self.last.get(&Key::Whole(name.to_string())).copied()
    }

    /// The place under any of these keys: the first child of this parent, else the last of all.
    pub(super) fn under(&self, keys: &[Key], parent: Option<usize>) -> Option<usize> {
        let child = |key: &Key| self.child.get(&(parent?, key.clone())).copied();
        let near = keys.iter().filter_map(child).min();
        near.or_else(|| keys.iter().filter_map(|k| self.last.get(k).copied()).max())
    }

    /// Whether a name begins so.
    pub(super) fn any_begins(&self, begin: &str) -> bool {
        let from = (Bound::Included(begin), Bound::Unbounded);
        let mut names = self.names.range::<str, _>(from);
        names.next().is_some_and(|name| name.starts_with(begin))
    }

    /// Whether a name ends with a number of so many figures.
    pub(super) fn any_figures(&self, figures: usize) -> bool {
        self.figures.contains(&figures)
    }

    /// How many rooms of a unit, or of all, have a name that begins like this one of [`COUNTED`].
    pub(super) fn count(&self, unit: Option<&String>, name: &str) -> usize {
        let here = self.counted.get(&unit.cloned());
        here.and_then(|h| h.begin.get(name)).copied().unwrap_or(0)
    }

    /// The first number from this one on that no room of a unit, or of all, has.
    pub(super) fn free(&mut self, unit: Option<&String>, name: &str, from: usize) -> usize {
        let Some(here) = self.counted.get_mut(&unit.cloned()) else {
            return from;
        };
        let taken = here.taken.entry(name.to_string()).or_insert(0);
        let next = |n: usize| {
            let mut n = n;
            while here.names.contains(&format!("{name} {n}")) {
                n += 1;
            }
            n
        };
        *taken = next(*taken + 1) - 1;
        if from > *taken {
            next(from)
        } else {
            *taken + 1
        }
    }
}

/// Whether a name is known by any of these keys.
pub(super) fn known_as(name: &str, by: &[Key]) -> bool {
    keys(name).iter().any(|key| by.contains(key))
}

/// All that a name is known by.
fn keys(name: &str) -> Vec<Key> {
    let mut keys = vec![Key::Whole(name.to_string())];
    let lower = name.to_lowercase();
    if let Some((_, tail)) = lower.rsplit_once(' ') {
        keys.push(Key::Tail(tail.to_string()));
    }
    let before = name.char_indices().map(|(at, _)| name.split_at(at));
    for (before, _) in before.filter(|(_, n)| n.trim_start().parse::<u32>().is_ok()) {
        keys.push(Key::Before(before.to_string()));
    }
    keys
}
