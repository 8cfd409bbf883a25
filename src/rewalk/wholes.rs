//! What is said of a place as a whole, of all work of a kind in it, and of the one item that is left in it.

use std::collections::BTreeSet;

use crate::lexicon::source::VerdictKind as K;
use crate::list::Work;

use super::hearing::{By, Evidence, Hearing, MIND, ROOM};
use super::words::Verdict;

impl Hearing<'_, '_> {
    /// What is said of a place as a whole, or of all work of a kind in it.
    pub(super) fn places(&mut self) {
        let told = |e: &&Evidence| !matches!(e.by, By::Room | By::Item(_) | By::Cleared(_));
        let told: BTreeSet<usize> = self.out.iter().filter(told).map(|e| e.clause).collect();
        for c in 0..self.heard.len() {
            let Some(a) = self.track.area[c].filter(|a| self.visited.contains(a)) else {
                continue;
            };
            if told.contains(&c) {
                continue;
            }
            let here = self.scene.of(Some(a)).to_vec();
            let h = &self.heard[c];
            let weak = || self.leaning(c).filter(|_| h.has(K::General) || h.every());
            let Some(v) = self.verdict(c, false).or_else(weak) else {
                continue;
            };
            let every = h.every();
            let by_work = |works: &[Work]| -> Vec<usize> {
                let all = here.iter().copied();
                all.filter(|i| works.contains(&self.scene.items[*i].work))
                    .collect()
            };
            if every && let Some(works) = works_told(&h.all) {
                let all = by_work(works);
                self.tell(
                    &all,
                    v,
                    c..c + 1,
                    "all work of its kind in this place",
                    None,
                );
            } else if self.clauses[c].part {
                continue;
            } else if h.has(K::General)
                || every
                || self.clauses[c].areas.get(&a).is_some_and(|s| *s >= 0.8)
            {
                self.room(&here, v, c);
            } else if v == Verdict::Good
                && let Some(work) = h.deed(self.cues)
                && let &[i] = by_work(&[work]).as_slice()
            {
                self.tell(
                    &[i],
                    v,
                    c..c + 1,
                    "the only work of its kind in this place",
                    None,
                );
            }
        }
    }

    /// The clauses that speak of no part and of no place as a whole, nor do those just before them.
    pub(super) fn alone(&self) -> Vec<bool> {
        let other = |c: &usize| {
            self.clauses[*c].part || self.clauses[*c].whole || self.track.item[*c].is_some()
        };
        (0..self.heard.len())
            .map(|c| {
                !(c.saturating_sub(MIND)..=c)
                    .any(|b| other(&b) && self.track.area[b] == self.track.area[c])
            })
            .collect()
    }

    /// A verdict in a place where all items but one are told speaks of that one.
    pub(super) fn left_over(&mut self) {
        let told: BTreeSet<usize> = self
            .out
            .iter()
            .filter(|e| e.by != By::Room)
            .map(|e| e.item)
            .collect();
        let alone = self.alone();
        let loose: Vec<usize> = (0..self.heard.len())
            .filter(|c| {
                self.track.item[*c].is_none()
                    && !self.clauses[*c].part
                    && alone[*c]
                    && self.heard[*c].points()
            })
            .collect();
        for (a, items) in self.scene.within.clone() {
            if !self.visited.contains(&a) {
                continue;
            }
            let open: Vec<usize> = items
                .iter()
                .copied()
                .filter(|i| !told.contains(i))
                .collect();
            let &[i] = open.as_slice() else { continue };
            let around = |b: Option<usize>| {
                b.is_some_and(|b| {
                    b == a
                        || self.scene.areas[b].starts_with(&self.scene.areas[a])
                            && self.scene.areas[a].len() > 1
                })
            };
            let verdicts: Vec<(usize, Verdict)> = loose
                .iter()
                .filter(|c| around(self.track.area[**c]))
                .filter_map(|c| Some((*c, self.verdict(*c, false)?)))
                .filter(|(c, v)| match v {
                    Verdict::Good => !self.heard[*c].only_fine(),
                    _ => self.heard[*c].again(),
                })
                .collect();
            for (c, v) in verdicts {
                self.tell(&[i], v, c..c + 1, "the only one left in this place", None);
            }
        }
    }

    pub(super) fn room(&mut self, items: &[usize], verdict: Verdict, clause: usize) {
        // "still warm in here" says nothing of the items.
        let untouched = [
            "nobody",
            "nothing",
            "no one",
            "none",
            "same",
            "never",
            "untouched",
        ];
        if verdict != Verdict::Good && !self.heard[clause].all.iter().any(|w| untouched.contains(w))
        {
            return;
        }
        let said = self.said(clause..clause + 1);
        for &item in items {
            self.out.push(Evidence {
                item,
                verdict,
                by: By::Room,
                clause,
                said: said.clone(),
                again: false,
                once: false,
                why: ROOM.to_string(),
            });
        }
    }
}

/// The classes of work that a word for all of a kind names: "all the caulking".
fn works_told(all: &[&str]) -> Option<&'static [Work]> {
    all.iter().find_map(|w| match *w {
        "paint" | "painting" | "paintwork" | "touch" | "scuffs" | "dings" => {
            Some(&[Work::TouchUp][..])
        }
        "caulk" | "caulking" | "grout" | "sealant" | "silicone" => Some(&[Work::Seal][..]),
        "cleaning" | "dust" | "mess" => Some(&[Work::Clean][..]),
        _ => None,
    })
}
