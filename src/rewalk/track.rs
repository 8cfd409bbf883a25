//! Which earlier area, and which of its items, each clause of the new walk speaks of: the likeliest way through all of them at once.
//!
//! A clause speaks of an item, of none of an area's items, or of no earlier area. What it names speaks for a way through it; every
//! change of place costs, less so where a place is named or the speaker is seen to come to it, and where it is the next of the
//! first walk. The way that costs least in all is found as Viterbi (1967) did.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::index::{Fits, Like};
use super::scene::Scene;

/// What a change of place costs.
const MOVE: f64 = 2.0;
/// What a name takes off that.
const NAME: f64 = 2.6;
/// What it costs to stay where the speaker is seen to go elsewhere.
const LEFT: f64 = 0.9;
/// What the next area of the first walk takes off it.
const NEXT: f64 = 0.6;
/// What an area inside or around takes off it.
const KIN: f64 = 0.5;
/// What speaks for a place just after the pipeline came to it, for each clause.
const AGREED: f64 = 0.08;
/// What it costs to come to another matter.
const TURN: f64 = 0.12;
/// What it costs to stay at a matter with words that do not point at it.
const IDLE: f64 = 0.06;
/// What it costs to take a verdict for no item's.
const LOOSE: f64 = 0.04;
/// What it costs to be at a matter before it is named.
const EARLY: f64 = 0.3;
/// What it costs to begin where the first walk began, of a whole change of place.
const BEGIN: f64 = 0.3;
/// How plainly a place that is like no earlier one is named by coming there.
const STRANGE: f64 = 0.55;
/// What an area costs in which nothing is to be done.
const EMPTY: f64 = 0.15;
/// What words of going on take off the cost of a change of place.
const ONWARD: f64 = 0.7;
/// What it costs to stay at a matter while another part is named.
const FOREIGN: f64 = 0.35;

/// What one clause says.
#[derive(Debug, Clone, Default)]
pub struct Said {
    /// The earlier areas it names.
    pub areas: BTreeMap<usize, f64>,
    /// The items it fits.
    pub items: Fits,
    /// How like each area the place is that the pipeline thinks of.
    pub place: Option<Rc<Like>>,
    /// The speaker is seen to come there.
    pub arrives: bool,
    /// It names a part.
    pub part: bool,
    /// Its words point back at something.
    pub points: bool,
    /// It says that something is done or not.
    pub judged: bool,
    /// It speaks of a place as a whole.
    pub whole: bool,
    /// The speaker goes on, wherever to.
    pub moves: bool,
}

/// What each clause speaks of.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// The earlier area.
    pub area: Vec<Option<usize>>,
    /// The item.
    pub item: Vec<Option<usize>>,
}

/// The likeliest way through the clauses.
pub fn track(scene: &Scene<'_>, clauses: &[Said]) -> Track {
    let map = Map::new(scene);
    let mut score = map.start();
    let mut back: Vec<Vec<u32>> = Vec::with_capacity(clauses.len());
    for said in clauses {
        let (next, from) = map.step(&score, said);
        score = next;
        back.push(from);
    }
    let mut at = (0..score.len()).fold(
        map.unknown(),
        |t, s| if score[s] > score[t] { s } else { t },
    );
    let mut out = Track {
        area: vec![None; clauses.len()],
        item: vec![None; clauses.len()],
    };
    for c in (0..clauses.len()).rev() {
        out.area[c] = Some(map.area_of(at)).filter(|a| *a < map.areas);
        out.item[c] = map.item_of(at);
        at = back[c][at] as usize;
    }
    out
}

/// Where one can be: in each area at none of its items, in no earlier area, at each item; numbered in this order.
struct Map<'s> {
    scene: &'s Scene<'s>,
    areas: usize,
    /// The items of each area, and of none.
    held: Vec<&'s [usize]>,
    near: Vec<Vec<(usize, f64)>>,
}

/// One clause, as it speaks of each area.
struct Here<'c> {
    said: &'c Said,
    /// The place that the pipeline thinks of is like none of the earlier areas.
    strange: f64,
    /// How like each area, and none, the place is that the pipeline thinks of.
    like: Vec<f64>,
    /// How plainly each area, and none, is named.
    named: Vec<f64>,
    /// What speaks for each item that it fits.
    tells: Vec<Option<f64>>,
    /// Of each area the likeliest state so far.
    best: Vec<usize>,
    /// Of each area, and of none, what it costs to come there now, and from which state.
    entry: Vec<(f64, usize)>,
}

impl<'s> Map<'s> {
    fn new(scene: &'s Scene<'s>) -> Map<'s> {
        Map {
            scene,
            areas: scene.areas.len(),
            held: (0..=scene.areas.len()).map(|a| scene.of(Some(a))).collect(),
            near: neighbours(scene),
        }
    }

    fn unknown(&self) -> usize {
        self.areas
    }

    fn item_of(&self, state: usize) -> Option<usize> {
        (state > self.areas).then(|| state - self.areas - 1)
    }

    fn area_of(&self, state: usize) -> usize {
        self.item_of(state)
            .map_or(state, |i| self.scene.items[i].area)
    }

    fn empty(&self, area: usize) -> bool {
        area < self.areas && self.held[area].is_empty()
    }

    /// What speaks for each state before anything is said.
    fn start(&self) -> Vec<f64> {
        let mut score = vec![-MOVE; self.areas + 1 + self.scene.items.len()];
        score[self.unknown()] = 0.0;
        // People begin where they began.
        if let Some(first) = (0..self.areas).find(|a| !self.empty(*a)) {
            score[first] = -BEGIN * MOVE;
        }
        score
    }

    /// What speaks for each state after a clause, and by which state one came to it.
    fn step(&self, score: &[f64], said: &Said) -> (Vec<f64>, Vec<u32>) {
        let here = self.here(score, said);
        let mut next = vec![0.0; score.len()];
        let mut from = vec![0; score.len()];
        // A verdict belongs to something.
        let verdict = said.judged && said.points && !said.part;
        for area in 0..=self.areas {
            let agrees = if area < self.areas {
                AGREED * here.like[area]
            } else {
                0.0
            };
            let leaves = here.leaves(area);
            let items = self.held[area].iter().map(|i| Some(*i));
            for item in std::iter::once(None).chain(items) {
                let s = item.map_or(area, |i| self.areas + 1 + i);
                let tells = item.and_then(|i| here.tells[i]);
                let unnamed = item.is_some() && tells.is_none();
                let (came, by) = came(score, &here, (area, s), unnamed, leaves);
                let loose = if verdict && item.is_none() {
                    LOOSE
                } else {
                    0.0
                };
                next[s] = came + tells.unwrap_or(0.0) + agrees - loose;
                from[s] = u32::try_from(by).unwrap_or(0);
            }
        }
        (next, from)
    }

    fn here<'c>(&self, score: &[f64], said: &'c Said) -> Here<'c> {
        let best = (0..=self.areas)
            .map(|a| {
                self.held[a].iter().fold(a, |best, i| {
                    let s = self.areas + 1 + i;
                    if score[s] > score[best] { s } else { best }
                })
            })
            .collect();
        let strange = f64::from(u8::from(said.place.as_ref().is_some_and(|p| p.strange())));
        let mut like = vec![0.0; self.areas + 1];
        if let Some(place) = &said.place {
            for (a, s) in &place.areas {
                like[*a] = *s;
            }
            like[self.unknown()] = strange;
        }
        let mut named = vec![0.0; self.areas + 1];
        if said.arrives {
            named[self.unknown()] = strange * STRANGE;
        }
        for (a, s) in &said.areas {
            named[*a] = *s;
        }
        let mut tells = vec![None; self.scene.items.len()];
        for (i, fit) in said.items.iter() {
            tells[i] = Some(fit.tells);
        }
        let mut here = Here {
            said,
            strange,
            like,
            named,
            tells,
            best,
            entry: Vec::new(),
        };
        let top = (0..=self.areas).fold(self.unknown(), |t, a| {
            if score[here.best[a]] > score[here.best[t]] {
                a
            } else {
                t
            }
        });
        here.entry = (0..=self.areas)
            .map(|b| self.entry(score, &here, top, b))
            .collect();
        here
    }

    /// The cheapest way from another area into one, and from which state.
    fn entry(&self, score: &[f64], here: &Here<'_>, top: usize, area: usize) -> (f64, usize) {
        let named = here.named[area];
        let empty = if self.empty(area) { EMPTY } else { 0.0 };
        let onward = if here.said.moves { ONWARD } else { 0.0 };
        let price = MOVE + empty - NAME * named - onward;
        // A name alone is worth a little more than the way there costs.
        let floor = empty - 0.3 * named * named;
        let mut came = (score[here.best[top]] - price.max(floor), here.best[top]);
        for (a, nearness) in self.near.get(area).into_iter().flatten() {
            let by = here.best[*a];
            let s = score[by] - (price - nearness).max(floor - 0.1 * nearness);
            if s > came.0 {
                came = (s, by);
            }
        }
        if self.area_of(came.1) == area {
            came.0 = f64::NEG_INFINITY;
        }
        came
    }
}

/// The best way to a state: to stay, to turn to another matter of the area, or to come from another area. `unnamed` is an item
/// that the clause does not fit; `leaves` what it costs to be in the area still.
fn came(
    score: &[f64],
    here: &Here<'_>,
    (area, state): (usize, usize),
    unnamed: bool,
    leaves: f64,
) -> (f64, usize) {
    let said = here.said;
    let stays = match unnamed {
        true if said.part || said.whole => FOREIGN,
        true if !said.points => IDLE,
        _ => 0.0,
    };
    // A matter is not begun before it is named.
    let early = if unnamed { EARLY } else { 0.0 };
    let mut came = (score[state] - stays - leaves, state);
    let within = score[here.best[area]] - TURN - early - leaves;
    if within > came.0 {
        came = (within, here.best[area]);
    }
    let turn = if state == area { 0.0 } else { TURN + early };
    let (entry, by) = here.entry[area];
    // Where it makes no difference one comes late, not early.
    if entry - turn >= came.0 - 1e-9 {
        came = (entry - turn, by);
    }
    came
}

impl Here<'_> {
    /// What it costs to stay in an area where the speaker is seen to come elsewhere.
    fn leaves(&self, area: usize) -> f64 {
        if !self.said.arrives {
            return 0.0;
        }
        let seen = if self.strange > 0.0 { LEFT * 0.6 } else { LEFT };
        seen * (1.0 - self.like[area])
    }
}

/// Of each area those from which one comes to it more easily: the one before it on the first walk, those inside and around it.
fn neighbours(scene: &Scene<'_>) -> Vec<Vec<(usize, f64)>> {
    let all = &scene.areas;
    let mut out: Vec<BTreeMap<usize, f64>> = vec![BTreeMap::new(); all.len()];
    let mut sorted: Vec<usize> = (0..all.len()).collect();
    sorted.sort_by_key(|a| &all[*a]);
    for (n, &outer) in sorted.iter().enumerate() {
        for &inner in sorted[n + 1..]
            .iter()
            .take_while(|b| all[**b].starts_with(&all[outer]))
        {
            out[outer].insert(inner, KIN);
            out[inner].insert(outer, KIN);
        }
    }
    let held: Vec<usize> = (0..all.len())
        .filter(|a| !scene.of(Some(*a)).is_empty())
        .collect();
    for pair in held.windows(2) {
        *out[pair[1]].entry(pair[0]).or_default() += NEXT;
    }
    out.into_iter().map(|n| n.into_iter().collect()).collect()
}
