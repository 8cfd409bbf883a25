//! What is the same place and the same building part in two walks, though named otherwise.

use std::collections::{BTreeMap, BTreeSet};

use crate::lexicon::source::Element;
use crate::lexicon::{Lexicon, words};
use crate::list::Work;

use super::words::stem;

/// How alike two things must be to be taken for one, from 0 to 1.
pub const ENOUGH: f64 = 0.66;

/// A building part as it is compared.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The lexicon's entry, where it has one.
    pub entry: Option<u16>,
    /// Its name, folded.
    pub name: String,
    /// The stem of the last word of its name.
    pub head: String,
    /// The stems of all words of its name.
    pub stems: BTreeSet<String>,
}

/// The names of parts and places, ready to be compared.
#[derive(Debug)]
pub struct Names<'l> {
    lexicon: &'l Lexicon,
    elements: BTreeMap<String, u16>,
}

impl<'l> Names<'l> {
    /// The names of a lexicon.
    pub fn new(lexicon: &'l Lexicon) -> Names<'l> {
        let mut elements = BTreeMap::new();
        for (i, e) in lexicon.data().elements.iter().enumerate() {
            let Ok(i) = u16::try_from(i) else { break };
            let own = e.names.iter().chain(&e.shown).chain(&e.forms);
            for name in own.chain([&e.id]) {
                elements.entry(words::fold(name)).or_insert(i);
            }
        }
        Names { lexicon, elements }
    }

    /// A part by the name that stands in a list.
    pub fn part(&self, name: &str) -> Part {
        let name = words::fold(name);
        let entry = self.elements.get(&name).copied().or_else(|| {
            let cut = name.strip_suffix('s').unwrap_or(&name);
            self.elements.get(cut).copied()
        });
        Part {
            entry,
            head: stem(name.split(' ').next_back().unwrap_or_default()),
            stems: name.split(' ').filter(|w| w.len() > 2).map(stem).collect(),
            name,
        }
    }

    /// How surely two parts are the same, from 0 to 1.
    pub fn same_part(&self, a: &Part, b: &Part) -> f64 {
        if a.name == b.name {
            return 1.0;
        }
        if a.entry.is_some() && a.entry == b.entry {
            return 0.95;
        }
        let bare = |p: &Part| matches!(p.name.as_str(), "wall" | "drywall" | "plaster");
        if bare(a) && bare(b) {
            return 0.85;
        }
        if a.head == b.head {
            // "door" for "closet door", but not "closet door" for "shower door".
            let inside = a.stems.is_subset(&b.stems) || b.stems.is_subset(&a.stems);
            return if inside { 0.85 } else { 0.55 };
        }
        // "cabinet" for "cabinet door".
        if a.stems.contains(&b.head) && b.stems.len() == 1
            || b.stems.contains(&a.head) && a.stems.len() == 1
        {
            return 0.7;
        }
        let group = |p: &Part| p.entry.map(|e| self.lexicon.element(e).group.as_str());
        let family = if group(a).is_some() && group(a) == group(b) {
            0.3
        } else {
            0.0
        };
        let alike = strsim::jaro_winkler(&a.name, &b.name);
        if alike > 0.93 { 0.8 } else { family }
    }

    /// Which earlier area a path is by its name alone, if any.
    pub fn area(&self, path: &[String], earlier: &[Vec<String>]) -> Option<usize> {
        let new = self.place(path);
        let alike = |a: usize| new.same(&self.place(&earlier[a]));
        let best = (0..earlier.len()).max_by(|a, b| alike(*a).total_cmp(&alike(*b)))?;
        (alike(best) >= ENOUGH).then_some(best)
    }

    /// The lexicon's entry of a part.
    pub(super) fn element(&self, entry: u16) -> &Element {
        self.lexicon.element(entry)
    }

    /// The class of work that a word for work tells of.
    pub(super) fn work(&self, entry: u16) -> Option<Work> {
        self.lexicon.work(entry).class
    }

    /// A path as it is compared.
    pub(super) fn place(&self, path: &[String]) -> Place {
        let mut level = String::new();
        let mut rooms = Vec::new();
        for name in path {
            let name = words::fold(name);
            let kind = self.kind(&name);
            if kind.is_some_and(|k| self.lexicon.area(k).level) || name == "exterior" {
                level = name;
            } else {
                rooms.push((name, kind));
            }
        }
        let (last, kind) = match rooms.last() {
            Some((name, kind)) => (name.clone(), *kind),
            None => (level.clone(), self.kind(&level)),
        };
        rooms.pop();
        Place {
            level,
            within: rooms.into_iter().map(|r| r.0).collect(),
            last,
            kind,
        }
    }

    /// The kind of place that a name leads to.
    pub(super) fn kind(&self, name: &str) -> Option<u16> {
        self.lexicon.area_by_form(name).or_else(|| {
            let (bare, number) = name.rsplit_once(' ')?;
            (number.len() <= 3).then(|| self.lexicon.area_by_form(bare))?
        })
    }
}

/// A place as it is compared.
#[derive(Debug)]
pub(super) struct Place {
    level: String,
    within: Vec<String>,
    /// Its own name, folded.
    pub(super) last: String,
    /// The lexicon's kind of place, where it has one.
    pub(super) kind: Option<u16>,
}

impl Place {
    /// How surely two places are the same by name, storey and what they lie in.
    pub(super) fn same(&self, other: &Place) -> f64 {
        let levels = self.level.is_empty() || other.level.is_empty() || self.level == other.level;
        let within = if self.within == other.within {
            0.0
        } else if self.within.is_empty() || other.within.is_empty() {
            0.1
        } else {
            0.5
        };
        let name = if self.last == other.last {
            1.0
        } else if strsim::jaro_winkler(&self.last, &other.last) > 0.94
            && !numbered(&self.last)
            && !numbered(&other.last)
        {
            0.85
        } else {
            0.0
        };
        name - within - if levels { 0.0 } else { 0.2 }
    }
}

/// Whether a name ends in a number.
pub(super) fn numbered(name: &str) -> bool {
    name.ends_with(|c: char| c.is_ascii_digit())
}

/// Pairs by falling score, one to one; equal scores in the order given. Only scores that are [`ENOUGH`] count.
pub fn one_to_one(mut pairs: Vec<(f64, usize, usize)>) -> Vec<(f64, usize, usize)> {
    pairs.retain(|p| p.0 >= ENOUGH);
    pairs.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let (mut left, mut right) = (BTreeSet::new(), BTreeSet::new());
    pairs.retain(|(_, i, j)| {
        if left.contains(i) || right.contains(j) {
            return false;
        }
        left.insert(*i) && right.insert(*j)
    });
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paths(all: &[&str]) -> Vec<Vec<String>> {
        all.iter()
            .map(|p| p.split('/').map(String::from).collect())
            .collect()
    }

    #[test]
    fn a_place_is_the_same_without_its_storey() {
        let lexicon = Lexicon::builtin();
        let names = Names::new(&lexicon);
        let earlier = paths(&["Upstairs/Bathroom", "Upstairs/Bedroom 2", "Kitchen"]);
        for (path, found) in [
            ("Bedroom 2", Some(1)),
            ("Kitchen", Some(2)),
            ("Bedroom 3", None),
            ("Garage", None),
        ] {
            assert_eq!(names.area(&paths(&[path])[0], &earlier), found, "{path}");
        }
    }

    #[test]
    fn parts_are_the_same_by_entry_or_head() {
        let lexicon = Lexicon::builtin();
        let names = Names::new(&lexicon);
        let same = |a: &str, b: &str| names.same_part(&names.part(a), &names.part(b)) >= ENOUGH;
        assert!(same("baseboard", "skirting board") || same("faucet", "tap"));
        assert!(same("closet door", "door"));
        assert!(!same("closet door", "shower door"));
        assert!(!same("window", "range hood"));
    }

    #[test]
    fn pairs_are_one_to_one_best_first() {
        let got = one_to_one(vec![
            (0.7, 0, 0),
            (0.9, 1, 0),
            (0.8, 1, 1),
            (0.67, 0, 1),
            (0.2, 2, 2),
        ]);
        assert_eq!(got, [(0.9, 1, 0), (0.67, 0, 1)]);
    }
}
