//! Look-ups into a list, so that a clause is held only against the areas and items that its words may name.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::hash::Hash;
use std::rc::Rc;

use super::matching::{Place, numbered};
use super::named::Fit;
use super::scene::Earlier;
use super::words::stem;
use crate::pipeline::grammar;

/// How much longer one of two names may be that are spelt almost alike.
const LONGER: f64 = 1.5;

/// Areas by what may be named of them.
#[derive(Debug, Default)]
pub(super) struct Areas {
    /// By the word of their names that fewest have.
    word: HashMap<String, Vec<usize>>,
    owner: HashMap<String, Vec<usize>>,
    number: HashMap<u32, Vec<usize>>,
    /// By kind of place and by group of names, those with another number than the one told left out.
    kind: HashMap<u16, Split<u32>>,
    group: HashMap<u16, Split<u32>>,
    /// The same by the end of the whole name.
    like_kind: HashMap<u16, Split<String>>,
    like_group: HashMap<u16, Split<String>>,
    last: BTreeMap<String, Vec<usize>>,
}

/// Areas with a number and without.
#[derive(Debug)]
struct Split<K> {
    plain: Vec<usize>,
    numbered: HashMap<K, Vec<usize>>,
    all: Vec<usize>,
}

impl<K> Default for Split<K> {
    fn default() -> Self {
        Split {
            plain: Vec::new(),
            numbered: HashMap::new(),
            all: Vec::new(),
        }
    }
}

impl<K: Hash + Eq> Split<K> {
    fn add(&mut self, area: usize, key: Option<K>) {
        self.all.push(area);
        match key {
            Some(key) => self.numbered.entry(key).or_default().push(area),
            None => self.plain.push(area),
        }
    }

    /// All, or those of one number with those that have none.
    fn get<'s>(&'s self, key: Option<&K>) -> impl Iterator<Item = usize> + use<'s, K> {
        let (one, two) = match key {
            None => (self.all.as_slice(), None),
            Some(key) => (self.plain.as_slice(), self.numbered.get(key)),
        };
        one.iter().chain(two.into_iter().flatten()).copied()
    }
}

impl Areas {
    /// Those of a list: each with the words of its own name and the groups of names that this belongs to.
    pub(super) fn new(places: &[Place], own: &[Vec<String>], groups: &[BTreeSet<u16>]) -> Areas {
        let mut out = Areas::default();
        let mut common: HashMap<&String, usize> = HashMap::new();
        for word in own.iter().flatten() {
            *common.entry(word).or_default() += 1;
        }
        for (a, place) in places.iter().enumerate() {
            let name = &own[a];
            if let Some(rare) = name.iter().min_by_key(|w| common[w]) {
                out.word.entry(rare.clone()).or_default().push(a);
            }
            if let Some(owner) = owner(name) {
                out.owner.entry(owner.clone()).or_default().push(a);
            }
            let number = name.last().and_then(|w| w.parse::<u32>().ok());
            if let Some(n) = number {
                out.number.entry(n).or_default().push(a);
            }
            let end = numbered(&place.last).then(|| place.last.clone());
            if let Some(kind) = place.kind {
                out.kind.entry(kind).or_default().add(a, number);
                let like = out.like_kind.entry(kind).or_default();
                like.add(a, end.clone());
            }
            for group in &groups[a] {
                out.group.entry(*group).or_default().add(a, number);
                let like = out.like_group.entry(*group).or_default();
                like.add(a, end.clone());
            }
            out.last.entry(place.last.clone()).or_default().push(a);
        }
        out
    }

    /// Those whose name may be among these words, as `figure` writes them.
    pub(super) fn literal<'w>(&self, words: impl Iterator<Item = &'w str>) -> BTreeSet<usize> {
        let mut out = BTreeSet::new();
        for w in words {
            singular_too(w, |w| out.extend(self.word.get(w).into_iter().flatten()));
        }
        out
    }

    /// Those that may be told by a number or an owner alone.
    pub(super) fn by_number_or_owner(&self, said: &[&str]) -> BTreeSet<usize> {
        let mut out = BTreeSet::new();
        for w in said {
            let numbers = grammar::number(w).into_iter().chain(grammar::ordinal(w));
            for n in numbers {
                out.extend(self.number.get(&n).into_iter().flatten());
            }
            singular_too(w, |w| out.extend(self.owner.get(w).into_iter().flatten()));
        }
        out
    }

    /// Those of a kind of place, without those that have another number than this.
    pub(super) fn of_kind(&self, kind: u16, number: Option<u32>) -> impl Iterator<Item = usize> {
        let all = self.kind.get(&kind).into_iter();
        all.flat_map(move |s| s.get(number.as_ref()))
    }

    /// Those whose name is of a group of names, without those that have another number than this.
    pub(super) fn of_group(&self, group: u16, number: Option<u32>) -> impl Iterator<Item = usize> {
        let all = self.group.get(&group).into_iter();
        all.flat_map(move |s| s.get(number.as_ref()))
    }

    /// Those that may be the same as a place of the new walk.
    pub(super) fn like(&self, new: &Place, groups: &BTreeSet<u16>) -> BTreeSet<usize> {
        let end = numbered(&new.last).then_some(&new.last);
        let mut out: BTreeSet<usize> = BTreeSet::new();
        out.extend(self.last.get(&new.last).into_iter().flatten());
        if let Some(all) = new.kind.and_then(|k| self.like_kind.get(&k)) {
            out.extend(all.get(end));
        }
        for all in groups.iter().filter_map(|g| self.like_group.get(g)) {
            out.extend(all.get(end));
        }
        if end.is_none() {
            let near = |w: &str| {
                let (a, b) = (w.len().max(1) as f64, new.last.len().max(1) as f64);
                a <= b * LONGER && b <= a * LONGER && !numbered(w)
            };
            let alike = self.last.iter().filter(|(w, _)| near(w));
            let alike = alike.filter(|(w, _)| strsim::jaro_winkler(w, &new.last) > 0.94);
            out.extend(alike.flat_map(|(_, a)| a));
        }
        out
    }
}

/// The owner in the name of a room that is called by its owner: "Girls Room".
pub(super) fn owner(name: &[String]) -> Option<&String> {
    let [owner, kind] = name else { return None };
    let own = matches!(
        kind.as_str(),
        "room" | "bedroom" | "bathroom" | "closet" | "office"
    );
    (own && owner.len() > 3 && !grammar::is_function(owner)).then_some(owner)
}

/// A word, its plural and its singular.
fn singular_too(word: &str, mut see: impl FnMut(&str)) {
    see(word);
    see(&format!("{word}s"));
    if let Some(one) = word.strip_suffix('s') {
        see(one);
    }
}

/// Items that the same words fit alike: of one part, told by the same words.
#[derive(Debug, Default)]
pub(super) struct Kinds {
    /// The items of each kind.
    pub(super) items: Vec<Vec<usize>>,
    /// The kind of each item.
    of: Vec<usize>,
    number: HashMap<u64, Vec<usize>>,
    entry: HashMap<u16, Vec<usize>>,
    group: HashMap<u16, Vec<usize>>,
    stem: HashMap<String, Vec<usize>>,
    /// The kinds of each head of a part's name.
    head: BTreeMap<String, Vec<usize>>,
}

impl Kinds {
    /// Those of a list.
    pub(super) fn new(all: &[Earlier]) -> Kinds {
        let mut out = Kinds::default();
        let mut known = HashMap::new();
        for (i, item) in all.iter().enumerate() {
            let name = item.part.as_ref().map(|p| &p.name);
            let next = out.items.len();
            let kind = *known.entry((name, &item.stems, &item.told)).or_insert(next);
            if kind == next {
                out.items.push(Vec::new());
                out.add(kind, item);
            }
            out.items[kind].push(i);
            out.of.push(kind);
            out.number.entry(item.number).or_default().push(i);
        }
        out
    }

    fn add(&mut self, kind: usize, item: &Earlier) {
        for group in item.groups.union(&item.told) {
            self.group.entry(*group).or_default().push(kind);
        }
        let mut stems: BTreeSet<&String> = item.stems.iter().collect();
        if let Some(p) = &item.part {
            if let Some(entry) = p.entry {
                self.entry.entry(entry).or_default().push(kind);
            }
            self.head.entry(p.head.clone()).or_default().push(kind);
            stems.extend(&p.stems);
        }
        for stem in stems {
            self.stem.entry(stem.clone()).or_default().push(kind);
        }
    }

    /// The kinds that any of these may name: parts of the lexicon, groups of names, stems of words.
    pub(super) fn named<'w>(
        &self,
        entries: &BTreeSet<u16>,
        groups: &BTreeSet<u16>,
        stems: impl Iterator<Item = &'w String>,
    ) -> BTreeSet<usize> {
        let entries = entries.iter().filter_map(|e| self.entry.get(e));
        let groups = groups.iter().filter_map(|g| self.group.get(g));
        let mut out: BTreeSet<usize> = entries.chain(groups).flatten().copied().collect();
        for stem in stems {
            out.extend(self.stem.get(stem).into_iter().flatten());
            out.extend(self.head.get(stem).into_iter().flatten());
        }
        out
    }

    /// Each head of a part's name, with its kinds.
    pub(super) fn heads(&self) -> impl Iterator<Item = (&String, &Vec<usize>)> {
        self.head.iter()
    }

    /// The items of a number.
    pub(super) fn numbered(&self, number: u64) -> &[usize] {
        self.number.get(&number).map_or(&[], Vec::as_slice)
    }
}

/// Which items a clause fits, and how well.
#[derive(Debug, Clone, Default)]
pub struct Fits {
    kinds: Rc<Kinds>,
    /// By kind, in order.
    of: Vec<(usize, Fit)>,
    /// Those of items named by their numbers; they come before those of their kinds.
    own: BTreeMap<usize, Fit>,
}

impl Fits {
    pub(super) fn new(kinds: &Rc<Kinds>, of: Vec<(usize, Fit)>, own: BTreeMap<usize, Fit>) -> Fits {
        Fits {
            kinds: Rc::clone(kinds),
            of,
            own,
        }
    }

    /// How it fits an item, where it does.
    pub fn get(&self, item: &usize) -> Option<&Fit> {
        if let Some(fit) = self.own.get(item) {
            return Some(fit);
        }
        let kind = self.kinds.of.get(*item)?;
        let at = self.of.binary_search_by(|f| f.0.cmp(kind)).ok()?;
        Some(&self.of[at].1)
    }

    /// Whether it fits an item.
    pub fn contains_key(&self, item: &usize) -> bool {
        self.get(item).is_some()
    }

    /// All that it fits, in no order.
    pub fn iter(&self) -> impl Iterator<Item = (usize, &Fit)> {
        let rest = self.of.iter().flat_map(|(k, fit)| {
            let items = self.kinds.items[*k].iter();
            items.map(move |i| (*i, fit))
        });
        let own = self.own.iter().map(|(i, fit)| (*i, fit));
        own.chain(rest.filter(|(i, _)| !self.own.contains_key(i)))
    }
}

/// How like each area a place of the new walk is, from 0 to 1; those that are like it not at all are left out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Like {
    /// By area, in order.
    pub(super) areas: Vec<(usize, f64)>,
}

impl Like {
    /// How like an area it is.
    pub fn of(&self, area: usize) -> f64 {
        let at = self.areas.binary_search_by(|a| a.0.cmp(&area));
        at.map_or(0.0, |at| self.areas[at].1)
    }

    /// It is like none of them.
    pub fn strange(&self) -> bool {
        self.areas.iter().all(|(_, s)| *s < 0.5)
    }
}

/// Whether a word is the end or the beginning of a part's head: "bell" for "doorbell", "spots" for "spotlight".
pub(super) fn ends(head: &str, word: &str, begins: impl Fn() -> bool) -> bool {
    word.len() >= 4
        && !grammar::is_function(word)
        && (head.ends_with(word)
            || head.len() > word.len() + 2 && head.starts_with(word) && begins())
}

/// The stems of all words of all areas' names.
pub(super) fn stems_of(own: &[Vec<String>]) -> BTreeSet<String> {
    own.iter().flatten().map(|w| stem(w)).collect()
}
