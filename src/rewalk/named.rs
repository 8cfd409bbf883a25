//! What the words of a clause name: earlier areas, whatever they are called now, and earlier items.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::lexicon::source::VerdictKind as K;
use crate::lexicon::{Kind, words};
use crate::pipeline::grammar;
use crate::pipeline::trace::Stages;

use super::cues::Cues;
use super::index::{self, Areas, Fits, Kinds, Like};
use super::matching::Place;
use super::scene::Scene;
use super::words::{self as told, Heard};

/// How much a name counts that only points at a place: "the wall by the pantry".
const POINTED: f64 = 0.35;

/// For how many clauses an arrival is recent.
const LATELY: usize = 6;

/// How a clause fits an item.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// By the name of its part.
    pub part: f64,
    /// By its name and all other words.
    pub all: f64,
    /// As `all`, a name that stands in many areas counting less.
    pub tells: f64,
}

/// What is named in the clauses of a walk.
pub struct Named<'n, 'r> {
    scene: &'n Scene<'n>,
    stages: &'n Stages<'r>,
    cues: &'n Cues,
    places: Vec<Place>,
    /// Of each area the words of its own name.
    own: Vec<Vec<String>>,
    /// Of each area the groups of names that its own belongs to.
    groups: Vec<BTreeSet<u16>>,
    /// In how many areas there is an item with this part.
    spread: BTreeMap<String, usize>,
    /// In how many items a stem stands.
    stems: BTreeMap<String, usize>,
    /// The stems of all words of the areas' names.
    area_stems: BTreeSet<String>,
    areas: Areas,
    kinds: Rc<Kinds>,
    /// The names of places in the new walk by where they begin, and the words of the longest.
    rooms: (Vec<(usize, usize)>, usize),
    /// How like each area each place of the new walk is.
    like: Vec<Rc<Like>>,
}

impl<'n, 'r> Named<'n, 'r> {
    /// Lays out the names of a list.
    pub fn new(scene: &'n Scene<'n>, stages: &'n Stages<'r>, cues: &'n Cues) -> Named<'n, 'r> {
        let places: Vec<Place> = scene.areas.iter().map(|p| scene.names.place(p)).collect();
        let own: Vec<Vec<String>> = places.iter().map(|p| plain(&p.last)).collect();
        let groups: Vec<BTreeSet<u16>> = own.iter().map(|n| place_groups(n, cues)).collect();
        let areas = Areas::new(&places, &own, &groups);
        let mut rooms: Vec<(usize, usize)> = stages
            .scan
            .rooms
            .iter()
            .map(|(r, _)| (r.start, r.end))
            .collect();
        rooms.sort_unstable();
        let longest = rooms.iter().map(|r| r.1 - r.0).max().unwrap_or(0);
        let mut spread: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
        let mut stems: BTreeMap<String, usize> = BTreeMap::new();
        for i in &scene.items {
            if let Some(p) = &i.part {
                spread.entry(p.head.clone()).or_default().insert(i.area);
            }
            for s in &i.stems {
                *stems.entry(s.clone()).or_default() += 1;
            }
        }
        let mut named = Named {
            scene,
            stages,
            cues,
            area_stems: index::stems_of(&own),
            areas,
            kinds: Rc::new(Kinds::new(&scene.items)),
            rooms: (rooms, longest),
            places,
            own,
            groups,
            spread: spread.into_iter().map(|(k, v)| (k, v.len())).collect(),
            stems,
            like: Vec::new(),
        };
        named.like = stages
            .places
            .house
            .places
            .iter()
            .map(|p| Rc::new(named.likeness(&p.path)))
            .collect();
        named
    }

    /// How like each area a path of the new walk is, from 0 to 1.
    fn likeness(&self, path: &[String]) -> Like {
        let new = self.scene.names.place(path);
        let groups = place_groups(&plain(&new.last), self.cues);
        let all = self.areas.like(&new, &groups).into_iter();
        let areas = all
            .map(|a| {
                let old = &self.places[a];
                let same = new.same(old);
                let kind = if new.kind.is_some() && new.kind == old.kind {
                    0.7
                } else if groups.intersection(&self.groups[a]).next().is_some() {
                    0.6
                } else {
                    0.0
                };
                let numbers = super::matching::numbered(&new.last)
                    && super::matching::numbered(&old.last)
                    && new.last != old.last;
                (a, if numbers { 0.0 } else { same.max(kind) })
            })
            .filter(|(_, s)| *s > 0.0)
            .collect();
        Like { areas }
    }

    /// How like each area the place is that the pipeline thinks a clause speaks of; none where it knows no place.
    ///
    /// Only where it came there not long before: people go on without saying so.
    pub fn place_of(&self, c: usize) -> Option<&Rc<Like>> {
        if !(c.saturating_sub(LATELY)..=c).any(|c| self.arrival(c).is_some()) {
            return None;
        }
        let place = self.stages.places.of(c, &self.stages.clauses)?;
        self.like.get(place)
    }

    /// The place that the pipeline sees the speaker come to in a clause.
    pub fn arrival(&self, c: usize) -> Option<&Rc<Like>> {
        let tokens = &self.stages.clauses[c].tokens;
        let all = &self.stages.places.arrivals;
        let from = all.partition_point(|a| a.token < tokens.start);
        let last = all[from..]
            .iter()
            .take_while(|a| a.token < tokens.end)
            .last()?;
        self.like.get(last.place)
    }

    /// The earlier areas that the words of a clause name, with how plainly, from 0 to 1.
    pub fn areas(&self, c: usize, heard: &Heard<'_>) -> BTreeMap<usize, f64> {
        let mut out: BTreeMap<usize, f64> = BTreeMap::new();
        let mut note = |a: usize, score: f64| {
            let s = out.entry(a).or_default();
            *s = s.max(score);
        };
        let pointed = |at: usize| heard.of(K::Pointing).any(|h| h.3 == at || h.3 + 1 == at);
        let weigh = |at: usize, s: f64| if pointed(at) { s * POINTED } else { s };
        let figures: Vec<String> = heard.all.iter().map(|w| figure(w)).collect();
        for a in self.areas.literal(figures.iter().map(String::as_str)) {
            let name = &self.own[a];
            if let Some(at) = literal(&heard.all, name)
                && !self.part_of_a_name(c, at, at + name.len())
            {
                note(a, weigh(at, 1.0));
            }
        }
        for a in self.areas.by_number_or_owner(&heard.all) {
            let name = &self.own[a];
            if let Some(score) = numbered(&heard.all, name).or_else(|| owned(&heard.all, name)) {
                note(a, score);
            }
        }
        let tokens = self.stages.clauses[c].tokens.clone();
        for m in self
            .stages
            .scan
            .within(&tokens)
            .filter(|m| m.kind == Kind::Area)
        {
            let from = m.tokens.start - tokens.start;
            if self.part_of_a_name(c, from, m.tokens.end - tokens.start) {
                continue;
            }
            let base = if self.arrival(c).is_some() { 0.85 } else { 0.7 };
            let score = self.weight(c, heard, from, m.tokens.end - tokens.start, base);
            let number = number_at(heard, m.tokens.end - tokens.start);
            for a in self.areas.of_kind(m.entry, number) {
                note(a, weigh(from, score));
            }
        }
        for h in heard.of(K::Place) {
            if self.part_of_a_name(c, h.2, h.3) {
                continue;
            }
            let known = self
                .scene
                .names
                .kind(&heard.all[h.2..h.3].join(" "))
                .is_some();
            let filled = (h.3 - h.2) * 2 >= heard.all.len();
            let base = match (known || filled, h.3 - h.2) {
                (true, 1) => 0.7,
                (true, _) => 0.85,
                (false, _) => 0.3,
            };
            let score = self.weight(c, heard, h.2, h.3, base);
            for a in self.areas.of_group(h.1, number_at(heard, h.3)) {
                note(a, weigh(h.2, score));
            }
        }
        if let Some(like) = self.arrival(c) {
            for (a, s) in like.areas.iter().filter(|(_, s)| *s >= 0.5) {
                note(*a, *s);
            }
        }
        out
    }

    /// A word that names a part as well says less of where one is.
    fn weight(&self, c: usize, heard: &Heard<'_>, from: usize, to: usize, base: f64) -> f64 {
        let start = self.stages.clauses[c].tokens.start;
        let part = self
            .stages
            .scan
            .within(&self.stages.clauses[c].tokens)
            .any(|m| {
                m.kind == Kind::Element
                    && m.tokens.start == start + from
                    && m.tokens.end == start + to
            });
        let small = heard.all.len() <= to - from + 2;
        if part && !small { base * 0.4 } else { base }
    }

    /// A word inside the name of a part or of another place: the hall of "hall bathroom", the closet of "closet door".
    fn part_of_a_name(&self, c: usize, from: usize, to: usize) -> bool {
        let start = self.stages.clauses[c].tokens.start;
        let (from, to) = (start + from, start + to);
        let tokens = &self.stages.clauses[c].tokens;
        let inside = self.stages.scan.within(tokens).any(|m| {
            m.kind == Kind::Element
                && m.tokens.start <= from
                && to <= m.tokens.end
                && m.tokens.len() > to - from
        });
        inside
            || self.rooms_at(from).any(|end| {
                to < end && end - to < 3 && {
                    let next = self.stages.speech.word(to);
                    grammar::number(next).is_none()
                }
            })
    }

    /// Where the names of places end that begin at a word or so shortly before that they may hold it.
    fn rooms_at(&self, word: usize) -> impl Iterator<Item = usize> {
        let (rooms, longest) = &self.rooms;
        let from = rooms.partition_point(|r| r.0 + longest < word);
        let to = rooms.partition_point(|r| r.0 <= word);
        rooms[from..to.max(from)].iter().map(|r| r.1)
    }

    /// How a clause fits each item that it fits at all.
    pub fn items(&self, c: usize, heard: &Heard<'_>) -> Fits {
        let clause = &self.stages.clauses[c];
        let text = self.stages.speech.words(&clause.tokens);
        let said = told::stems(text, self.cues);
        let whole: BTreeSet<String> = heard.all.iter().map(|w| told::stem(w)).collect();
        let entries: BTreeSet<u16> = self.elements(c);
        let groups: BTreeSet<u16> = heard.of(K::Part).map(|h| h.1).collect();
        let most = Fit {
            part: 1.0,
            all: 3.0,
            tells: 3.0,
        };
        let number = spoken_item(&heard.all);
        let numbered = number.map_or(&[][..], |n| self.kinds.numbered(n));
        let mut kinds = self
            .kinds
            .named(&entries, &groups, said.iter().chain(&whole));
        let begins = |w: &str| !self.cues.is_empty(w) && self.scene.names.part(w).entry.is_none();
        // "bell" for "doorbell", "spots" for "spotlight"
        let mut ended: BTreeSet<&String> = BTreeSet::new();
        for (head, of) in self.kinds.heads() {
            if whole.iter().any(|w| index::ends(head, w, || begins(w))) {
                ended.insert(head);
                kinds.extend(of);
            }
        }
        let mut out: Vec<(usize, Fit)> = Vec::new();
        for kind in kinds {
            let own = &self.scene.items[self.kinds.items[kind][0]];
            let mut part = 0.0;
            let mut spread = 1.0;
            if let Some(p) = &own.part {
                spread = self.spread.get(&p.head).copied().unwrap_or(1) as f64;
                part = if p.entry.is_some_and(|e| entries.contains(&e)) {
                    1.0
                } else if whole.contains(&p.head) {
                    0.8
                } else if ended.contains(&p.head) {
                    0.7
                } else if own.groups.intersection(&groups).next().is_some() {
                    0.6
                } else if thing(&heard.all, p) {
                    0.7
                } else if p
                    .stems
                    .iter()
                    .any(|s| self.modifier(s, p) && whole.contains(s))
                {
                    // "carpet" for the only carpet tile
                    0.55
                } else {
                    0.0
                };
                if part > 0.0 {
                    part *= only_where(&heard.all, p);
                }
                let more = p
                    .stems
                    .iter()
                    .filter(|s| **s != p.head && whole.contains(*s));
                part += 0.2 * (more.count().min(2) as f64);
            }
            let named = own.part.as_ref().map(|p| &p.stems);
            let wording: f64 = said
                .intersection(&own.stems)
                .filter(|s| !named.is_some_and(|n| n.contains(*s)))
                .map(|s| 0.6 / (self.stems.get(s).copied().unwrap_or(1) as f64).sqrt())
                .sum();
            // What the words about it call otherwise: "plate" for the missing cover.
            let other = part < 0.6 && own.told.intersection(&groups).next().is_some();
            let wording = wording.min(0.9) + if other { 0.25 } else { 0.0 };
            // "the rest of my list for the kitchen" is of no item.
            let general = part < 0.6
                && heard.has(K::General)
                && heard
                    .all
                    .iter()
                    .any(|w| matches!(*w, "rest" | "everything"));
            if part + wording >= 0.3 && !general {
                let fit = Fit {
                    part,
                    all: part + wording,
                    tells: part * (0.45 + 0.55 / spread) + wording,
                };
                out.push((kind, fit));
            }
        }
        let numbered = numbered.iter().map(|i| (*i, most)).collect();
        Fits::new(&self.kinds, out, numbered)
    }

    /// Whether a word of a part's name tells it by itself: no other item has it, and no area is called so.
    fn modifier(&self, word: &str, part: &super::matching::Part) -> bool {
        let area = || self.area_stems.contains(word);
        word != part.head && self.stems.get(word) == Some(&1) && !area()
    }

    /// Whether a clause names a part that stands by itself, no piece of another and no everyday word.
    pub fn names_part(&self, c: usize, heard: &Heard<'_>) -> bool {
        let start = self.stages.clauses[c].tokens.start;
        let where_at = |at: usize| {
            let mut before = heard.all[..at.min(heard.all.len())].iter().rev();
            before.find(|w| !article(w)).is_some_and(|w| {
                matches!(
                    *w,
                    "on" | "in" | "by" | "under" | "behind" | "over" | "at" | "into" | "off"
                )
            })
        };
        let elements = self.stages.scan.within(&self.stages.clauses[c].tokens);
        let alone = elements.filter(|m| m.kind == Kind::Element).any(|m| {
            let e = self.scene.names.element(m.entry);
            !e.piece && !e.weak && !where_at(m.tokens.start - start)
        });
        alone || heard.of(K::Part).any(|h| !where_at(h.2))
    }

    /// The parts that the lexicon names in a clause.
    pub fn elements(&self, c: usize) -> BTreeSet<u16> {
        let all = self.stages.scan.within(&self.stages.clauses[c].tokens);
        all.filter(|m| m.kind == Kind::Element)
            .map(|m| m.entry)
            .collect()
    }
}

/// "that end thing" for the end cap.
fn thing(said: &[&str], part: &super::matching::Part) -> bool {
    said.windows(2)
        .any(|w| w[1] == "thing" && part.stems.contains(&told::stem(w[0])))
}

/// How much a part counts that may only be named as the place of something: "by the door", "on the carpet".
fn only_where(said: &[&str], part: &super::matching::Part) -> f64 {
    let at = said.iter().position(|w| told::stem(w) == part.head);
    at.map_or(1.0, |at| {
        let mut before = said[..at].iter().rev();
        let first = before.find(|w| !part.stems.contains(&told::stem(w)) && !article(w));
        match first.copied().unwrap_or_default() {
            "by" | "behind" | "beside" | "near" | "under" | "below" | "above" | "over" | "from"
            | "against" | "like" | "than" => 0.6,
            "on" | "in" | "to" | "into" => 0.8,
            _ => 1.0,
        }
    })
}

fn article(word: &str) -> bool {
    matches!(
        word,
        "the"
            | "a"
            | "an"
            | "this"
            | "that"
            | "my"
            | "your"
            | "our"
            | "its"
            | "their"
            | "his"
            | "her"
    )
}

/// The groups of names for places that a name belongs to: by itself, or by its last words.
fn place_groups(name: &[String], cues: &Cues) -> BTreeSet<u16> {
    let bare: Vec<&str> = name
        .iter()
        .map(String::as_str)
        .filter(|w| !w.bytes().all(|b| b.is_ascii_digit()))
        .collect();
    let hits = cues.hits(&bare);
    let of = hits.iter().filter(|h| h.0 == K::Place && h.3 == bare.len());
    let most = of.clone().map(|h| h.3 - h.2).max().unwrap_or(0);
    of.filter(|h| h.3 - h.2 == most).map(|h| h.1).collect()
}

/// The words of a name, without articles and owners' endings, numbers in figures.
fn plain(name: &str) -> Vec<String> {
    let name = words::fold(name);
    name.split(' ').filter(|w| !small(w)).map(figure).collect()
}

fn small(word: &str) -> bool {
    matches!(word, "'s" | "is" | "the" | "a" | "an" | "um" | "")
}

fn figure(word: &str) -> String {
    match grammar::number(word) {
        Some(n) => n.to_string(),
        None => word.trim_end_matches('\'').to_string(),
    }
}

/// Where the words of a name stand one after another, small words aside.
fn literal(said: &[&str], name: &[String]) -> Option<usize> {
    if name.is_empty() {
        return None;
    }
    (0..said.len()).find(|from| {
        let mut words = said[*from..].iter().filter(|w| !small(w));
        !small(said[*from])
            && name.iter().all(|n| {
                words.next().is_some_and(|w| {
                    let w = figure(w);
                    w == *n || n.strip_suffix('s') == Some(&w) || w.strip_suffix('s') == Some(n)
                })
            })
    })
}

/// A numbered area by its number: "thirteen next", "op one", "the second room".
fn numbered(said: &[&str], name: &[String]) -> Option<f64> {
    let own: u32 = name.last()?.parse().ok()?;
    if name.len() < 2 {
        return None;
    }
    let word = |w: &str| {
        // The kind by its name or its beginning.
        name[..name.len() - 1]
            .iter()
            .any(|n| n == w || (w.len() >= 2 && n.len() > 4 && n.starts_with(w)))
    };
    for (i, w) in said.iter().enumerate() {
        if grammar::number(w) == Some(own) {
            if i > 0 && (word(said[i - 1]) || matches!(said[i - 1], "room" | "number")) {
                return Some(1.0);
            }
            let tens = i > 0 && grammar::number(said[i - 1]).is_some_and(|n| n >= 20);
            let before = !tens && said[..i].iter().all(|w| opens(w));
            let after = said.get(i + 1);
            // "one, two, three" is counting; "twelve" is a room.
            let alone = own > 10 && said.len() <= i + 3;
            let owner = own > 10 && matches!(after, Some(&"'s" | &"is"));
            if before && (alone || owner) {
                return Some(0.9);
            }
        }
        let next = said
            .get(i + 1)
            .is_some_and(|w| word(w) || matches!(*w, "room" | "one"));
        if grammar::ordinal(w) == Some(own) && next && i <= 3 && said.len() <= i + 5 {
            return Some(0.8);
        }
    }
    None
}

/// A room by its owner alone: "the girls'".
fn owned(said: &[&str], name: &[String]) -> Option<f64> {
    let owner = index::owner(name)?;
    let is = |w: &str| w == owner || owner.strip_suffix('s') == Some(w);
    let told = said.windows(2).any(|w| w[0] == "the" && is(w[1]));
    told.then_some(0.55)
}

/// The number that follows a name: "bedroom three" is not bedroom 2.
fn number_at(heard: &Heard<'_>, end: usize) -> Option<u32> {
    heard.all.get(end).and_then(|w| grammar::number(w))
}

fn opens(word: &str) -> bool {
    grammar::is_function(word) || matches!(word, "next" | "room" | "right" | "then" | "number")
}

/// "number fourteen": the item that is named so.
fn spoken_item(all: &[&str]) -> Option<u64> {
    let at = all.iter().position(|w| matches!(*w, "number" | "item"))?;
    let n = |i: usize| {
        let w = all.get(i)?;
        w.parse::<u64>()
            .ok()
            .or_else(|| grammar::number(w).map(u64::from))
    };
    let first = n(at + 1)?;
    // "that's number one for me"
    if first == 1 && all.len() > at + 2 {
        return None;
    }
    match n(at + 2) {
        Some(more) if first >= 20 && first % 10 == 0 && more < 10 => Some(first + more),
        _ => Some(first),
    }
}
