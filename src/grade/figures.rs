//! Compares lists with marks, by the lexicon's own sense of what is the same.

use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::{Item, List, Said};
use crate::pipeline;
use crate::pipeline::normalize::Speech;
use crate::pipeline::scan;
use crate::transcript::{Cue, Format, Reading, Transcript};
use std::cell::RefCell;
use std::collections::BTreeMap;

use super::marks::Marked;

/// How far apart what was said and what was marked may lie, in seconds.
const SLACK: f64 = 4.0;
/// How far apart an arrival and its mark may lie, in seconds.
const ARRIVAL: f64 = 12.0;

/// Hits against what was marked and what was listed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Marks that the list has.
    pub hit: usize,
    /// Marks.
    pub marked: usize,
    /// Entries of the list.
    pub listed: usize,
}

impl Tally {
    /// The harmonic mean of the shares found and right; 0 where nothing was marked or listed.
    pub fn f1(&self) -> f64 {
        let all = self.marked + self.listed;
        if all == 0 {
            0.0
        } else {
            2.0 * count(self.hit) / count(all)
        }
    }

    fn add(&mut self, other: Tally) {
        self.hit += other.hit;
        self.marked += other.marked;
        self.listed += other.listed;
    }
}

fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// The figures of one walk, or of several together.
#[derive(Debug, Clone, Default)]
pub struct Grade {
    /// Items found: time and part agree.
    pub found: Tally,
    /// Items right: work, trade, standing and area agree too.
    pub right: Tally,
    /// Cleared marks: time, part and area agree.
    pub cleared: Tally,
    /// Arrivals: place and time agree.
    pub arrivals: Tally,
    /// Each listed item's features and whether it is right, for fitting.
    pub judged: Vec<(Vec<String>, f64, bool)>,
}

impl Grade {
    /// Adds another walk's figures.
    pub fn add(&mut self, other: Grade) {
        self.found.add(other.found);
        self.right.add(other.right);
        self.cleared.add(other.cleared);
        self.arrivals.add(other.arrivals);
        self.judged.extend(other.judged);
    }
}

/// Makes the list of a marked walk and compares.
pub fn grade(walk: &Marked, lexicon: &Lexicon) -> Grade {
    let list = pipeline::list(std::slice::from_ref(&walk.transcript), lexicon);
    compare(walk, &list, lexicon)
}

/// Compares a list of the walk with its marks.
pub fn compare(walk: &Marked, list: &List, lexicon: &Lexicon) -> Grade {
    let same = Same::new(lexicon);
    let spans = |said: &[Said]| said.iter().map(|s| (s.start, s.end)).collect::<Vec<_>>();
    let agrees = |i: usize, o: &Item| {
        let m = &walk.items[i];
        m.work == o.work
            && m.trade == o.trade
            && m.standing == o.standing
            && same.place(&m.area, &o.area)
    };
    let pairs = pair(walk.items.len(), list.items.len(), |i, j| {
        let (m, o) = (&walk.items[i], &list.items[j]);
        let part = same.part(m.element.as_deref(), o.element.as_deref());
        (near(&m.times, &spans(&o.said)) && (part || m.element.is_none() && m.work == o.work)).then(
            || {
                8 * u32::from(part)
                    + 4 * u32::from(m.work == o.work)
                    + 3 * u32::from(same.place(&m.area, &o.area))
            },
        )
    });
    let right: Vec<usize> = pairs
        .iter()
        .filter(|(i, j)| agrees(*i, &list.items[*j]))
        .map(|(_, j)| *j)
        .collect();
    let cleared = pair(walk.cleared.len(), list.cleared.len(), |i, j| {
        let (m, o) = (&walk.cleared[i], &list.cleared[j]);
        (near(&m.times, &spans(&o.said))
            && same.part(m.element.as_deref(), o.element.as_deref())
            && same.place(&m.area, &o.area))
        .then_some(1)
    });
    let visits: Vec<(&Vec<String>, f64)> = list
        .areas
        .iter()
        .flat_map(|a| a.visits.iter().map(|v| (&a.path, v.start)))
        .collect();
    let arrivals = pair(walk.areas.len(), visits.len(), |i, j| {
        let (m, (path, start)) = (&walk.areas[i], visits[j]);
        let apart = (m.at - start).abs();
        // The nearest first: 12 s apart weighs nothing.
        (apart <= ARRIVAL && same.place(&m.path, path))
            .then_some(((ARRIVAL - apart) * 100.0) as u32)
    });
    let tally = |hit: usize, marked: usize, listed: usize| Tally {
        hit,
        marked,
        listed,
    };
    Grade {
        found: tally(pairs.len(), walk.items.len(), list.items.len()),
        right: tally(right.len(), walk.items.len(), list.items.len()),
        cleared: tally(cleared.len(), walk.cleared.len(), list.cleared.len()),
        arrivals: tally(arrivals.len(), walk.areas.len(), visits.len()),
        judged: list
            .items
            .iter()
            .enumerate()
            .map(|(j, o)| {
                let features = o.features.iter().map(|f| (*f).to_string()).collect();
                (features, o.confidence, right.contains(&j))
            })
            .collect(),
    }
}

/// Pairs one to one, the best fit first; of equals the earlier.
fn pair(
    marks: usize,
    listed: usize,
    fit: impl Fn(usize, usize) -> Option<u32>,
) -> Vec<(usize, usize)> {
    let mut all: Vec<(u32, usize, usize)> = Vec::new();
    for i in 0..marks {
        for j in 0..listed {
            if let Some(w) = fit(i, j) {
                all.push((w, i, j));
            }
        }
    }
    all.sort_by_key(|(w, i, j)| (std::cmp::Reverse(*w), *i, *j));
    let (mut left, mut right) = (vec![false; marks], vec![false; listed]);
    let mut out = Vec::new();
    for (_, i, j) in all {
        if !left[i] && !right[j] {
            (left[i], right[j]) = (true, true);
            out.push((i, j));
        }
    }
    out
}

fn near(a: &[(f64, f64)], b: &[(f64, f64)]) -> bool {
    a.iter().any(|(s1, e1)| {
        b.iter()
            .any(|(s2, e2)| *s1 <= e2 + SLACK && *s2 <= e1 + SLACK)
    })
}

/// What the lexicon takes for the same part or place.
pub(super) struct Same<'a> {
    lexicon: &'a Lexicon,
    /// What names were found to mean, so that each is read once.
    known: RefCell<BTreeMap<(String, Kind), Option<u16>>>,
}

impl<'a> Same<'a> {
    pub(super) fn new(lexicon: &'a Lexicon) -> Same<'a> {
        Same {
            lexicon,
            known: RefCell::default(),
        }
    }

    pub(super) fn part(&self, a: Option<&str>, b: Option<&str>) -> bool {
        match (a, b) {
            (None, None) => true,
            (Some(a), Some(b)) => {
                let head = |n: &str| {
                    let last = n.rsplit(' ').next().unwrap_or(n).to_lowercase();
                    last.strip_suffix('s').map_or(last.clone(), str::to_string)
                };
                a.eq_ignore_ascii_case(b)
                    || head(a) == head(b)
                    || self.entry(a).is_some_and(|e| self.entry(b) == Some(e))
            }
            _ => false,
        }
    }

    /// The lexicon's entry for a part's name, if it has one.
    fn entry(&self, name: &str) -> Option<u16> {
        self.mention(name, Kind::Element)
    }

    fn mention(&self, name: &str, kind: Kind) -> Option<u16> {
        let key = (name.to_string(), kind);
        if let Some(known) = self.known.borrow().get(&key) {
            return *known;
        }
        let meant = self.read(name, kind);
        self.known.borrow_mut().insert(key, meant);
        meant
    }

    fn read(&self, name: &str, kind: Kind) -> Option<u16> {
        let walk = Transcript {
            file: String::new(),
            format: Format::Stamped,
            sha256: String::new(),
            cues: vec![Cue {
                start: 0.0,
                end: 1.0,
                text: format!("the {name}."),
                speaker: None,
                words: Vec::new(),
            }],
            warnings: Vec::new(),
        };
        let reading = Reading::new(&walk);
        let speech = Speech::new(&reading, self.lexicon);
        scan::scan(&speech, self.lexicon)
            .mentions
            .iter()
            .rfind(|m| m.kind == kind && matches!(m.role, Role::Noun | Role::Nouns))
            .map(|m| m.entry)
    }

    /// Two paths name the same place: storeys are left out, and words of one kind of place are the same.
    fn place(&self, a: &[String], b: &[String]) -> bool {
        a == b || self.names(a) == self.names(b)
    }

    fn names(&self, path: &[String]) -> Vec<String> {
        let named: Vec<(bool, String)> = path
            .iter()
            .map(|p| {
                let kind = self.mention(&p.to_lowercase(), Kind::Area);
                let level = kind.is_some_and(|k| self.lexicon.area(k).level);
                let number: String = p.chars().filter(char::is_ascii_digit).collect();
                let plain = kind.map(|k| self.lexicon.area(k)).filter(|k| {
                    !k.own
                        && k.name.split(' ').count()
                            >= p.split(' ').count() - usize::from(!number.is_empty())
                });
                let name = plain.map_or(p.to_lowercase(), |k| {
                    if number.is_empty() {
                        k.name.to_lowercase()
                    } else {
                        format!("{} {number}", k.name.to_lowercase())
                    }
                });
                (level, name)
            })
            .collect();
        let kept: Vec<String> = named
            .iter()
            .filter(|(l, _)| !l)
            .map(|(_, n)| n.clone())
            .collect();
        if kept.is_empty() {
            named
                .into_iter()
                .map(|(_, n)| n)
                .next_back()
                .into_iter()
                .collect()
        } else {
            kept
        }
    }
}
