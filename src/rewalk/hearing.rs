//! The second reading: what a walk says of the earlier items, by the pipeline's findings and by the words alone.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use crate::lexicon::source::{CueKind, VerdictKind as K};
use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::{Said, Work};
use crate::pipeline::trace::Stages;
use crate::transcript::{Reading, Transcript};

use super::cues::Cues;
use super::named::Named;
use super::scene::Scene;
use super::track::{self, Track};
use super::words::{self, Verdict};

/// Why a fate is told by a word for all of a place.
const ROOM: &str = "only a word for the whole place";
/// How well an item must fit the words of a clause to be the one that is spoken of.
const NAMED: f64 = 0.55;
/// How plainly a place must be named to count as come to.
const PLAIN: f64 = 0.6;
/// How many clauses of one place make a visit, where something in it is spoken of.
const STAY: usize = 4;
/// In how many clauses from its beginning a place is said not to be gone into.
const SOON: usize = 3;
/// How many words an answer or a description has at least.
const DESCRIBED: usize = 4;

/// By what something was told of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    /// A word for all of a room.
    Room,
    /// It is spoken of, and no fault is told.
    Spoken,
    /// The words alone say that it is done.
    Words,
    /// A cleared mark of the new walk, by index.
    Cleared(usize),
    /// The words alone say that it is not.
    StillWords,
    /// An item of the new walk, by index.
    Item(usize),
    /// The words alone say beyond doubt that it is done.
    Certain,
}

/// Something said of an earlier item.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The item, by index.
    pub item: usize,
    /// What is said.
    pub verdict: Verdict,
    /// By what it was told.
    pub by: By,
    /// The clause, by index, for the order.
    pub clause: usize,
    /// The words.
    pub said: Vec<Said>,
    /// The speaker says that it has come back.
    pub again: bool,
    /// The speaker says that it was corrected once.
    pub once: bool,
    /// How it was tied to the item.
    pub why: String,
}

/// What was heard.
#[derive(Debug)]
pub struct Heard {
    /// What was said of items.
    pub evidence: Vec<Evidence>,
    /// The earlier area of each item of the new walk.
    pub areas: Vec<Option<usize>>,
    /// Which earlier area each area of the new walk is.
    pub met: Vec<Option<usize>>,
    /// The earlier areas that the walk came to.
    pub visited: BTreeSet<usize>,
}

/// All that the walk says of the earlier items.
pub fn hear(
    scene: &Scene<'_>,
    walk: &Transcript,
    id: &str,
    lexicon: &Lexicon,
    cues: &Cues,
) -> Heard {
    let reading = Reading::new(walk);
    let stages = Stages::new(&reading, lexicon);
    let texts: Vec<String> = stages
        .clauses
        .iter()
        // "barrier's up" is as good as "barrier is up".
        .map(|c| stages.speech.words(&c.tokens).to_string())
        .collect();
    let heard: Vec<words::Heard<'_>> = texts
        .iter()
        .zip(&stages.clauses)
        .map(|(text, clause)| {
            let faults = stages
                .scan
                .within(&clause.tokens)
                .filter(|m| m.kind == Kind::Fault && m.role != Role::Lack)
                .map(|m| m.tokens.start - clause.tokens.start);
            words::Heard::new(text, cues, faults.collect())
        })
        .collect();
    let named = Named::new(scene, &stages, cues);
    let clauses: Vec<track::Said> = (0..heard.len())
        .map(|c| track::Said {
            areas: named.areas(c, &heard[c]),
            items: named.items(c, &heard[c]),
            place: named.place_of(c).map(<[f64]>::to_vec),
            arrives: named.arrival(c).is_some(),
            part: !named.elements(c).is_empty(),
            points: heard[c].points(),
            judged: heard[c].verdict().is_some(),
        })
        .collect();
    let track = track::track(scene, &clauses);
    let mut h = Hearing {
        scene,
        stages: &stages,
        id,
        out: Vec::new(),
        cues,
        heard,
        clauses,
        track,
    };
    h.items();
    h.cleared();
    h.passages();
    h.places();
    h.left_over();
    // What speaks of one item speaks of no room.
    let over = |a: &Said, b: &Said| a.start < b.end && b.start < a.end;
    let own: Vec<Said> = h
        .out
        .iter()
        .filter(|e| e.by != By::Room)
        .flat_map(|e| e.said.iter().cloned())
        .collect();
    h.out.retain(|e| {
        e.by != By::Room || e.why == ROOM || !e.said.iter().any(|s| own.iter().any(|o| over(s, o)))
    });
    h.finish()
}

pub(super) struct Hearing<'h, 'r> {
    pub(super) scene: &'h Scene<'h>,
    pub(super) stages: &'h Stages<'r>,
    id: &'h str,
    pub(super) out: Vec<Evidence>,
    pub(super) cues: &'h Cues,
    pub(super) heard: Vec<words::Heard<'h>>,
    clauses: Vec<track::Said>,
    pub(super) track: Track,
}

impl Hearing<'_, '_> {
    fn finish(self) -> Heard {
        let visited = self.visited();
        let scene = self.scene;
        let met = scene
            .new
            .areas
            .iter()
            .map(|a| {
                let mut votes: BTreeMap<Option<usize>, usize> = BTreeMap::new();
                for (c, clause) in self.stages.clauses.iter().enumerate() {
                    let (start, _) = self.stages.span(&clause.tokens);
                    if a.visits
                        .iter()
                        .any(|v| v.start <= start + 0.01 && start < v.end)
                    {
                        *votes.entry(self.track.area[c]).or_default() += clause.tokens.len();
                    }
                }
                votes.into_iter().max_by_key(|v| v.1).and_then(|v| v.0)
            })
            .collect();
        Heard {
            areas: scene
                .new
                .items
                .iter()
                .map(|n| self.where_said(&n.said))
                .collect(),
            met,
            visited,
            evidence: self.out,
        }
    }

    /// The stretches of one earlier area.
    fn stretches(&self) -> Vec<(usize, Range<usize>)> {
        let mut out: Vec<(usize, Range<usize>)> = Vec::new();
        for (c, a) in self.track.area.iter().enumerate() {
            let Some(a) = *a else { continue };
            match out.last_mut() {
                Some((b, r)) if *b == a && r.end == c => r.end = c + 1,
                _ => out.push((a, c..c + 1)),
            }
        }
        out
    }

    /// The earlier areas that the walk came to: named plainly or stayed in, and not said to be passed by.
    fn visited(&self) -> BTreeSet<usize> {
        let stretches = self.stretches();
        let told = |r: &Range<usize>| -> BTreeSet<usize> {
            r.clone().filter_map(|c| self.track.item[c]).collect()
        };
        let mut out = BTreeSet::new();
        for (a, r) in &stretches {
            let name = |c: usize| self.clauses[c].areas.get(a).copied().unwrap_or(0.0);
            let items = told(r).len();
            if r.clone().any(|c| name(c) >= PLAIN) || items > 1 || (items > 0 && r.len() >= STAY) {
                out.insert(*a);
            }
        }
        let mut passed = BTreeSet::new();
        for (c, h) in self.heard.iter().enumerate() {
            if !h.has(K::Unvisited) {
                continue;
            }
            let named = self.clauses[c].areas.iter().filter(|(_, s)| **s >= 0.5);
            match named.max_by(|a, b| a.1.total_cmp(b.1)) {
                Some((a, _)) => passed.extend([*a]),
                None => passed.extend(
                    stretches
                        .iter()
                        .filter(|(_, r)| r.contains(&c) && c < r.start + SOON)
                        .map(|s| s.0),
                ),
            }
        }
        out.retain(|a| {
            let all = stretches
                .iter()
                .filter(|s| s.0 == *a)
                .flat_map(|s| told(&s.1));
            !passed.contains(a) || all.collect::<BTreeSet<_>>().len() > 1
        });
        out
    }

    pub(super) fn clause_at(&self, seconds: f64) -> usize {
        let at = self.stages.word_at(seconds + 0.01).unwrap_or(0);
        self.stages
            .clauses
            .partition_point(|c| c.tokens.end <= at)
            .min(self.stages.clauses.len().saturating_sub(1))
    }

    /// The earlier area of what the pipeline found.
    pub(super) fn where_said(&self, said: &[Said]) -> Option<usize> {
        let c = self.clause_at(said.first()?.start);
        self.track.area.get(c).copied().flatten()
    }

    /// What a clause says by itself; `lacking` where something was to be put in.
    fn verdict(&self, c: usize, lacking: bool) -> Option<Verdict> {
        if self.stages.clauses[c].question {
            return None;
        }
        let h = &self.heard[c];
        h.verdict()
            .or_else(|| (lacking && h.there()).then_some(Verdict::Good))
    }

    /// What the pipeline's own cues and the faults named make of a clause that says nothing plainer.
    fn leaning(&self, c: usize) -> Option<Verdict> {
        let clause = &self.stages.clauses[c];
        if clause.question {
            return None;
        }
        if self.heard[c].faulty() {
            return Some(Verdict::Still);
        }
        let cues: Vec<CueKind> = self
            .stages
            .scan
            .cues_within(&clause.tokens)
            .map(|m| m.0)
            .collect();
        let any = |all: &[CueKind]| cues.iter().any(|k| all.contains(k));
        if any(&[CueKind::Still, CueKind::Absent, CueKind::Need]) {
            return Some(Verdict::Still);
        }
        let good = any(&[
            CueKind::Fine,
            CueKind::Done,
            CueKind::NoMore,
            CueKind::AllGood,
        ]);
        good.then(|| {
            if any(&[CueKind::Negation]) {
                Verdict::Still
            } else {
                Verdict::Good
            }
        })
    }

    /// What is said of the items that the words are on, stretch by stretch.
    fn passages(&mut self) {
        let n = self.track.item.len();
        let mut c = 0;
        while c < n {
            let Some(i) = self.track.item[c] else {
                c += 1;
                continue;
            };
            let end = (c..n).find(|e| self.track.item[*e] != Some(i)).unwrap_or(n);
            self.passage(i, c..end);
            c = end;
        }
    }

    fn passage(&mut self, i: usize, range: Range<usize>) {
        let lacking = self.scene.items[i].work == Work::Install;
        let fit = |c: usize| self.clauses[c].items.get(&i).map_or(0.0, |f| f.all);
        let named: Vec<usize> = range.clone().filter(|c| fit(*c) >= NAMED).collect();
        if named.is_empty() {
            return;
        }
        let chosen = self.alike(i, &named);
        let mut told = Vec::new();
        let mut from = range.start;
        for c in range.clone() {
            let own = self.verdict(c, lacking).or_else(|| {
                let asked = c > range.start;
                asked.then(|| self.heard[c].answer()).flatten()
            });
            if let Some(v) = own {
                told.push((v, from..c + 1));
                from = c + 1;
            }
        }
        if told.is_empty() {
            let weak = range.clone().rev().find_map(|c| self.leaning(c));
            let words: usize = range.clone().map(|c| self.heard[c].all.len()).sum();
            let asked = range.clone().all(|c| self.stages.clauses[c].question);
            if let Some(v) = weak {
                self.tell(&chosen, v, range, "by what is named with it", None);
            } else if words >= DESCRIBED && !asked {
                let how = "spoken of, and no fault told";
                self.tell(&chosen, Verdict::Good, range, how, Some(By::Spoken));
            }
            return;
        }
        for (v, r) in told {
            let how = if r.len() > 1 {
                "said with its name"
            } else {
                "its own words"
            };
            self.tell(&chosen, v, r, how, None);
        }
    }

    /// The items that words on one of them are on as well: those that fit them as well, and where all of a kind are meant those of
    /// the same part, also in other places.
    fn alike(&self, i: usize, named: &[usize]) -> Vec<usize> {
        let scene = self.scene;
        let mut out = vec![i];
        let part = scene.items[i].part.as_ref();
        for &c in named {
            let fits = &self.clauses[c].items;
            let best = fits[&i].all;
            let every = self.heard[c].has(K::Every);
            let plural = self.heard[c]
                .all
                .iter()
                .any(|w| w.ends_with('s') && part.is_some_and(|p| words::stem(w) == p.head));
            for (&j, fit) in fits {
                let (a, b) = (&scene.items[i], &scene.items[j]);
                let here =
                    a.area == b.area && (fit.all + 0.05 >= best || (every && fit.part >= 0.8));
                let all = every
                    && plural
                    && a.part.as_ref().map(|p| &p.name) == b.part.as_ref().map(|p| &p.name);
                if (here || all) && !out.contains(&j) {
                    out.push(j);
                }
            }
        }
        out
    }

    /// What is said of a place as a whole, or of all work of a kind in it.
    fn places(&mut self) {
        for c in 0..self.heard.len() {
            let (Some(a), None) = (self.track.area[c], self.track.item[c]) else {
                continue;
            };
            let here = self.scene.of(Some(a)).to_vec();
            let Some(v) = self.verdict(c, false).or_else(|| self.leaning(c)) else {
                continue;
            };
            let h = &self.heard[c];
            let every = h.has(K::Every);
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

    /// A verdict in a place where all items but one are told speaks of that one.
    fn left_over(&mut self) {
        let told: BTreeSet<usize> = self
            .out
            .iter()
            .filter(|e| e.by != By::Room)
            .map(|e| e.item)
            .collect();
        for (a, items) in self.scene.within.clone() {
            let open: Vec<usize> = items
                .iter()
                .copied()
                .filter(|i| !told.contains(i))
                .collect();
            let &[i] = open.as_slice() else { continue };
            let orphan = |c: &usize| {
                self.track.area[*c] == Some(a)
                    && self.track.item[*c].is_none()
                    && !self.clauses[*c].part
                    && self.heard[*c].points()
                    && !self.heard[*c].has(K::General)
            };
            let verdicts: Vec<(usize, Verdict)> = (0..self.heard.len())
                .filter(orphan)
                .filter_map(|c| Some((c, self.verdict(c, false)?)))
                .collect();
            for (c, v) in verdicts {
                self.tell(&[i], v, c..c + 1, "the only one left in this place", None);
            }
        }
    }

    fn said(&self, clauses: Range<usize>) -> Vec<Said> {
        let all = &self.stages.clauses;
        let tokens = all[clauses.start].tokens.start..all[clauses.end - 1].tokens.end;
        let (start, end) = self.stages.span(&tokens);
        let round = |s: f64| (s * 100.0).round() / 100.0;
        vec![Said {
            walk: self.id.to_string(),
            start: round(start),
            end: round(end),
            text: self.stages.said(&tokens).to_string(),
            private: false,
        }]
    }

    fn tell(
        &mut self,
        items: &[usize],
        verdict: Verdict,
        clauses: Range<usize>,
        how: &str,
        by: Option<By>,
    ) {
        let clause = clauses.end - 1;
        let said = self.said(clauses.clone());
        let again = clauses.clone().any(|c| self.heard[c].again());
        let once = clauses.clone().any(|c| self.heard[c].has(K::Once));
        for &item in items {
            self.out.push(Evidence {
                item,
                verdict,
                by: by.unwrap_or(match verdict {
                    Verdict::Good if self.heard[clause].certain() => By::Certain,
                    Verdict::Good => By::Words,
                    _ => By::StillWords,
                }),
                clause,
                said: said.clone(),
                again,
                once,
                why: how.to_string(),
            });
        }
    }

    fn room(&mut self, items: &[usize], verdict: Verdict, clause: usize) {
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
