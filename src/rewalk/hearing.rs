//! The second reading: what a walk says of the earlier items, by the pipeline's findings and by the words alone.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use crate::lexicon::source::{CueKind, VerdictKind as K};
use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::Said;
use crate::pipeline::trace::Stages;
use crate::transcript::{Reading, Transcript};

use super::cues::Cues;
use super::cut::cut;
use super::named::Named;
use super::passages::keep_in_mind;
use super::scene::Scene;
use super::track::{self, Track};
use super::words::{self, Verdict};

/// Why a fate is told by a word for all of a place.
pub(super) const ROOM: &str = "only a word for the whole place";
/// How well an item must fit the words of a clause to be the one that is spoken of.
pub(super) const NAMED: f64 = 0.55;
/// How plainly a place must be named to count as come to.
const PLAIN: f64 = 0.6;
/// How many clauses of one place make a visit, where something in it is spoken of.
const STAY: usize = 4;
/// In how many clauses from its beginning a place is said not to be gone into.
const SOON: usize = 3;
/// For how many clauses a matter stays in mind that is not named again.
pub(super) const MIND: usize = 3;
/// For how many clauses what is said without a name may be of it still.
pub(super) const LONG: usize = 6;
/// How many words an answer or a description has at least.
pub(super) const DESCRIBED: usize = 4;

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
                place: named.place_of(c).cloned(),
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
    let own = h.out.iter().filter(|e| e.by != By::Room);
    let own = Times::new(own.flat_map(|e| &e.said));
    h.out.retain(|e| {
        e.by != By::Room || e.why == ROOM || !e.said.iter().any(|s| own.over(s.start, s.end))
    });
    h.finish()
}

/// Stretches of time, to be asked what lies over them.
struct Times {
    /// Where each begins, and the last end of all until there; in order.
    all: Vec<(f64, f64)>,
}

impl Times {
    fn new<'s>(said: impl Iterator<Item = &'s Said>) -> Times {
        let mut all: Vec<(f64, f64)> = said.map(|s| (s.start, s.end)).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut last = f64::NEG_INFINITY;
        for s in &mut all {
            last = last.max(s.1);
            s.1 = last;
        }
        Times { all }
    }

    /// Whether one of them lies over a stretch.
    fn over(&self, start: f64, end: f64) -> bool {
        let before = self.all.partition_point(|s| s.0 < end);
        before > 0 && start < self.all[before - 1].1
    }
}

pub(super) struct Hearing<'h, 'r> {
    pub(super) scene: &'h Scene<'h>,
    pub(super) stages: &'h Stages<'r>,
    id: &'h str,
    pub(super) out: Vec<Evidence>,
    pub(super) cues: &'h Cues,
    pub(super) heard: Vec<words::Heard<'h>>,
    pub(super) clauses: Vec<track::Said>,
    pub(super) track: Track,
    /// The earlier areas that the walk came to.
    pub(super) visited: BTreeSet<usize>,
}

impl Hearing<'_, '_> {
    fn finish(self) -> Heard {
        let scene = self.scene;
        let mut starts: Vec<(f64, usize)> = (0..self.heard.len())
            .map(|c| (self.stages.span(&self.stages.clauses[c].tokens).0, c))
            .collect();
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        let met = scene
            .new
            .areas
            .iter()
            .map(|a| {
                let mut votes: BTreeMap<Option<usize>, usize> = BTreeMap::new();
                let mut within: BTreeSet<usize> = BTreeSet::new();
                for v in &a.visits {
                    let from = starts.partition_point(|s| s.0 + 0.01 < v.start);
                    let all = starts[from..].iter().take_while(|s| s.0 < v.end);
                    within.extend(all.map(|s| s.1));
                }
                for c in within {
                    let words = self.stages.clauses[c].tokens.len();
                    *votes.entry(self.track.area[c]).or_default() += words;
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
    pub(super) fn verdict(&self, c: usize, lacking: bool) -> Option<Verdict> {
        if self.stages.clauses[c].question {
            return None;
        }
        let h = &self.heard[c];
        h.verdict()
            .or_else(|| (lacking && h.there()).then_some(Verdict::Good))
    }

    /// What the pipeline's own cues and the faults named make of a clause that says nothing plainer.
    pub(super) fn leaning(&self, c: usize) -> Option<Verdict> {
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

    pub(super) fn said(&self, clauses: Range<usize>) -> Vec<Said> {
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

    pub(super) fn tell(
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
}
