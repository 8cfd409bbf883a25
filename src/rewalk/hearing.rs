//! The second reading: what a walk says of the earlier items, by the pipeline's findings and by the words alone.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use crate::lexicon::source::{CueKind, VerdictKind as K};
use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::{Said, Work};
use crate::pipeline::trace::Stages;
use crate::transcript::{Reading, Transcript};

use super::cues::Cues;
use super::cut::cut;
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
/// For how many clauses a matter stays in mind that is not named again.
const MIND: usize = 3;
/// For how many clauses what is said without a name may be of it still.
const LONG: usize = 6;
/// How many words an answer or a description has at least.
const DESCRIBED: usize = 4;

/// By what something was told of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    /// A word for all of a room.
    Room,
    /// It is spoken of, and no fault is told.
    Spoken,
    /// A fault or a need is named with it, no more.
    Leaning,
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
    let mut stages = Stages::new(&reading, lexicon);
    cut(&mut stages, cues);
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
        .map(|c| {
            let areas = named.areas(c, &heard[c]);
            let judged = heard[c].verdict().is_some();
            let whole = heard[c].has(K::General) || areas.values().any(|s| *s >= 0.8);
            let moves = [
                CueKind::Up,
                CueKind::Down,
                CueKind::Outdoors,
                CueKind::Indoors,
                CueKind::Leaving,
            ];
            let mut cues = stages.scan.cues_within(&stages.clauses[c].tokens);
            track::Said {
                moves: !judged && (heard[c].has(K::Onward) || cues.any(|m| moves.contains(&m.0))),
                whole: judged && whole,
                areas,
                items: named.items(c, &heard[c]),
                place: named.place_of(c).map(<[f64]>::to_vec),
                arrives: named.arrival(c).is_some(),
                part: named.names_part(c, &heard[c]),
                points: heard[c].points(),
                judged,
            }
        })
        .collect();
    let track = keep_in_mind(scene, &heard, &clauses, track::track(scene, &clauses));
    let mut h = Hearing {
        scene,
        stages: &stages,
        id,
        out: Vec::new(),
        cues,
        heard,
        clauses,
        track,
        visited: BTreeSet::new(),
    };
    h.visited = h.come_to();
    h.items();
    h.cleared();
    h.passages();
    h.asides();
    h.new_about_old();
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
    /// The earlier areas that the walk came to.
    pub(super) visited: BTreeSet<usize>,
}

impl Hearing<'_, '_> {
    fn finish(self) -> Heard {
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
            visited: self.visited,
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
    fn come_to(&self) -> BTreeSet<usize> {
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
            // "we can't get / down to the cellar": run-on speech cuts it.
            let next = self.heard.get(c + 1).map_or(&[][..], |n| &n.all);
            let both: Vec<&str> = h.all.iter().chain(next).copied().collect();
            let over = |x: &super::cues::Hit| {
                x.0 == K::Unvisited && x.2 < h.all.len() && x.3 >= h.all.len()
            };
            let crossing = self.cues.hits(&both).iter().any(over);
            if !h.has(K::Unvisited) && !crossing {
                continue;
            }
            let of = |c: usize| self.clauses.get(c).into_iter().flat_map(|s| &s.areas);
            let named = of(c)
                .chain(of(if crossing { c + 1 } else { c }))
                .filter(|(_, s)| **s >= 0.5);
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

    /// Whether words that the pipeline took together are partly of another item.
    pub(super) fn mixed(&self, said: &[Said], item: usize) -> bool {
        said.iter().any(|s| {
            let (from, to) = (
                self.clause_at(s.start),
                self.clause_at((s.end - 0.02).max(s.start)),
            );
            let own = self.track.item.get(from..=to).unwrap_or_default();
            own.iter().flatten().any(|j| *j != item)
        })
    }

    /// The last clause of what the pipeline found that speaks of an item; where none does, its first.
    pub(super) fn clause_of(&self, said: &[Said], item: usize) -> usize {
        let all = || said.iter().map(|s| self.clause_at(s.start));
        let own = all().filter(|c| self.track.item.get(*c) == Some(&Some(item)));
        own.max().or_else(|| all().min()).unwrap_or(0)
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
        let mine = self.heard[c].all.iter().take(2).any(|w| *w == "i");
        if any(&[CueKind::Still, CueKind::Absent]) || (any(&[CueKind::Need]) && !mine) {
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
        let mut told: Vec<(Verdict, Range<usize>)> = Vec::new();
        let mut from = range.start;
        // The last clause that names it or says what came of it.
        let mut at = named[0];
        for c in range.clone() {
            if fit(c) > 0.0 {
                at = c;
            } else if c > at + LONG {
                break;
            } else if self.clauses[c].judged {
                at = c;
            }
            if self.other_work(i, c) && !told.is_empty() {
                continue;
            }
            let own = if self.heard[c].stuck(&self.scene.items[i].stems) {
                Some(Verdict::Still)
            } else if !lacking && self.heard[c].denies(&self.scene.items[i].stems) {
                Some(Verdict::Good)
            } else {
                self.verdict(c, lacking)
            };
            let own = own.or_else(|| {
                let asked = c > range.start && fit(c - 1) >= NAMED;
                asked.then(|| self.heard[c].answer()).flatten()
            });
            // What is only fine after it was not may be something else.
            let turns = own == Some(Verdict::Good)
                && fit(c) == 0.0
                && self.heard[c].only_fine()
                && told.last().is_some_and(|t| t.0 != Verdict::Good)
                && told
                    .last()
                    .is_some_and(|t| self.heard[t.1.end - 1].verdict().is_some());
            if let Some(v) = own.filter(|_| !turns && !self.other_deed(i, c)) {
                told.push((v, from..c + 1));
                from = c + 1;
            }
        }
        // "No. Nothing there. The soap dispenser?": said just before it was named.
        let before = range.start.checked_sub(1).filter(|b| {
            self.track.item[*b].is_none()
                && self.track.area[*b] == self.track.area[range.start]
                && !self.clauses[*b].part
                && !self.clauses[*b].whole
                && self.heard[*b].points()
        });
        if told.is_empty()
            && let Some(b) = before
            && let Some(v) = self.verdict(b, false)
        {
            self.tell(
                &chosen,
                v,
                b..range.end,
                "said just before it was named",
                None,
            );
            return;
        }
        if told.is_empty() {
            let weak = range.clone().rev().find_map(|c| self.leaning(c));
            let words: usize = range.clone().map(|c| self.heard[c].all.len()).sum();
            let asked = range.clone().all(|c| self.stages.clauses[c].question);
            if let Some(v) = weak {
                let how = "by what is named with it";
                self.tell(&chosen, v, range, how, Some(By::Leaning));
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
            // What was missing and is there is no more missing, whatever else is said of it.
            let there = lacking && v == Verdict::Good && self.heard[r.end - 1].there();
            self.tell(&chosen, v, r, how, there.then_some(By::Certain));
        }
    }

    /// An item of the new walk that asks for other work than the old one was, after that was told done, is new.
    fn new_about_old(&mut self) {
        let scene = self.scene;
        let done: Vec<(usize, usize)> = self
            .out
            .iter()
            .filter(|e| e.verdict == Verdict::Good && matches!(e.by, By::Words | By::Certain))
            .map(|e| (e.item, e.clause))
            .collect();
        self.out.retain(|e| {
            let By::Item(n) = e.by else { return true };
            let other = scene.new.items[n].work != scene.items[e.item].work;
            let told =
                |d: &(usize, usize)| d.0 == e.item && d.1 < e.clause && e.clause <= d.1 + LONG;
            !(other && done.iter().any(told))
        });
    }

    /// Whether a clause tells of a deed that is no answer to an item, but to another of its place: "they swept".
    fn other_deed(&self, i: usize, c: usize) -> bool {
        let own = &self.scene.items[i];
        let fits = self.clauses[c].items.contains_key(&i);
        let deed = self.heard[c]
            .deed(self.cues)
            .filter(|w| *w != own.work && !fits);
        deed.is_some_and(|w| {
            let here = self.scene.of(Some(own.area)).iter();
            here.filter(|j| self.scene.items[**j].work == w).count() == 1
        })
    }

    /// Whether a clause asks for other work than that of an item: what is new about a part is no word on the old.
    fn other_work(&self, i: usize, c: usize) -> bool {
        let clause = &self.stages.clauses[c];
        let needs = self
            .stages
            .scan
            .cues_within(&clause.tokens)
            .any(|m| matches!(m.0, CueKind::Need | CueKind::Negation));
        let mut named = self
            .stages
            .scan
            .within(&clause.tokens)
            .filter(|m| m.kind == Kind::Work)
            .map(|m| self.scene.names.work(m.entry));
        let fits = self.clauses[c]
            .items
            .get(&i)
            .is_some_and(|f| f.all >= NAMED);
        needs
            && !fits
            && named
                .next()
                .flatten()
                .is_some_and(|w| w != self.scene.items[i].work)
    }

    /// What is said of an item of another place in passing: its words are those of one item alone.
    fn asides(&mut self) {
        let told: BTreeSet<usize> = self.out.iter().map(|e| e.item).collect();
        for c in 0..self.heard.len() {
            let here = self.track.item[c].is_some_and(|i| self.clauses[c].items.contains_key(&i));
            let sure = |f: &super::named::Fit| f.tells >= NAMED;
            let mut fits = self.clauses[c].items.iter().filter(|(_, f)| sure(f));
            let (Some((&i, fit)), None) = (fits.next(), fits.next()) else {
                continue;
            };
            // One word in common is chance, unless it is the fault and denied: "no chirping up here".
            if fit.all < 1.0 && !(self.heard[c].denied() && fit.part == 0.0) {
                continue;
            }
            if here || told.contains(&i) || self.track.area[c] == Some(self.scene.items[i].area) {
                continue;
            }
            // Named by its part alone it must be the only one of its name, and the speaker may be a while at it.
            let reach = if fit.part >= 0.8 { MIND } else { 0 };
            let ends = (c..(c + reach + 1).min(self.heard.len()))
                .take_while(|e| *e == c || !self.clauses[*e].part)
                .find_map(|e| {
                    Some((
                        e,
                        self.verdict(e, self.scene.items[i].work == Work::Install)?,
                    ))
                });
            if let Some((e, v)) = ends {
                self.tell(&[i], v, c..e + 1, "named in passing", None);
            }
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
            let every = self.heard[c].every();
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
            let Some(a) = self.track.area[c].filter(|a| self.visited.contains(a)) else {
                continue;
            };
            let told = |e: &Evidence| {
                e.clause == c && !matches!(e.by, By::Room | By::Item(_) | By::Cleared(_))
            };
            if self.out.iter().any(told) {
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
    fn alone(&self) -> Vec<bool> {
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
    fn left_over(&mut self) {
        let told: BTreeSet<usize> = self
            .out
            .iter()
            .filter(|e| e.by != By::Room)
            .map(|e| e.item)
            .collect();
        let alone = self.alone();
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
            let orphan = |c: &usize| {
                around(self.track.area[*c])
                    && self.track.item[*c].is_none()
                    && !self.clauses[*c].part
                    && alone[*c]
                    && self.heard[*c].points()
            };
            let verdicts: Vec<(usize, Verdict)> = (0..self.heard.len())
                .filter(orphan)
                .filter_map(|c| Some((c, self.verdict(c, false)?)))
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

/// What is said of a matter a little later, without its name and with nothing else named between, is still of it.
fn keep_in_mind(
    scene: &Scene<'_>,
    heard: &[words::Heard<'_>],
    clauses: &[track::Said],
    mut track: Track,
) -> Track {
    let mut topic: Option<(usize, usize)> = None;
    let mut last_word: Option<bool> = None;
    for c in 0..clauses.len() {
        let good = heard[c].verdict().map(|v| v == Verdict::Good);
        if let Some(i) = track.item[c] {
            if topic.is_none_or(|t| t.0 != i) {
                last_word = None;
            }
            if clauses[c].items.contains_key(&i) {
                topic = Some((i, c));
            }
            last_word = good.or(last_word);
            continue;
        }
        let Some((i, last)) = topic else { continue };
        let said = &clauses[c];
        let away = track.area[c] != Some(scene.items[i].area);
        // What is told is told: the opposite is said of something else, unless it is set against it.
        // "no chirping up here" is of another place's item.
        let other = said.items.iter().any(|(j, f)| *j != i && f.all >= NAMED)
            && !said.items.contains_key(&i);
        let turns = last_word.is_some() && good.is_some() && good != last_word;
        if away
            || said.part
            || said.whole
            || c > last + LONG
            || other
            || (turns && !heard[c].contrasts())
        {
            topic = None;
        } else if said.judged {
            last_word = good;
            track.item[last + 1..=c].fill(Some(i));
            topic = Some((i, c));
        }
    }
    track
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
