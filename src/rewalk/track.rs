//! Which earlier area, and which of its items, each clause of the new walk speaks of: the likeliest way through all of them at once.
//!
//! A clause speaks of an item, of none of an area's items, or of no earlier area. What it names speaks for a way through it; every
//! change of place costs, less so where a place is named or the speaker is seen to come to it, and where it is the next of the
//! first walk. The way that costs least in all is found as Viterbi (1967) did.

use std::collections::BTreeMap;

use super::named::Fit;
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
    pub items: BTreeMap<usize, Fit>,
    /// How like each area the place is that the pipeline thinks of.
    pub place: Option<Vec<f64>>,
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
    let areas = scene.areas.len();
    let unknown = areas;
    let states = areas + 1 + scene.items.len();
    let area_of = |s: usize| {
        if s <= areas {
            s
        } else {
            scene.items[s - areas - 1].area
        }
    };
    let near = neighbours(scene);
    let mut score = vec![-MOVE; states];
    score[unknown] = 0.0;
    // People begin where they began.
    if let Some(first) = (0..areas).find(|a| !scene.of(Some(*a)).is_empty()) {
        score[first] = -0.3 * MOVE;
    }
    let mut back: Vec<Vec<u32>> = Vec::with_capacity(clauses.len());
    for said in clauses {
        // The best state of each area, and of all.
        let mut best: Vec<usize> = (0..=areas).collect();
        for s in areas + 1..states {
            let a = area_of(s);
            if score[s] > score[best[a]] {
                best[a] = s;
            }
        }
        let top = (0..=areas).fold(unknown, |t, a| {
            if score[best[a]] > score[best[t]] {
                a
            } else {
                t
            }
        });
        let like = |a: usize| match &said.place {
            Some(p) if a < areas => p[a],
            Some(p) if p.iter().all(|s| *s < 0.5) => 1.0,
            _ => 0.0,
        };
        let named = |a: usize| {
            if a == unknown {
                return if said.arrives {
                    like(unknown) * 0.55
                } else {
                    0.0
                };
            }
            said.areas.get(&a).copied().unwrap_or(0.0)
        };
        // For each area: what it costs to be there now, and by which state one came.
        let entry: Vec<(f64, usize)> = (0..=areas)
            .map(|b| {
                let empty = if b < areas && scene.of(Some(b)).is_empty() {
                    EMPTY
                } else {
                    0.0
                };
                let price = MOVE + empty - NAME * named(b) - if said.moves { ONWARD } else { 0.0 };
                let floor = empty - 0.3 * named(b) * named(b);
                let mut came = (score[best[top]] - price.max(floor), best[top]);
                for (a, nearness) in near.get(b).into_iter().flatten() {
                    let s = score[best[*a]] - (price - nearness).max(floor - 0.1 * nearness);
                    if s > came.0 {
                        came = (s, best[*a]);
                    }
                }
                if area_of(came.1) == b {
                    came = (f64::NEG_INFINITY, came.1);
                }
                came
            })
            .collect();
        let mut next = vec![f64::NEG_INFINITY; states];
        let mut from = vec![0u32; states];
        for s in 0..states {
            let a = area_of(s);
            let item = (s > areas).then(|| s - areas - 1);
            let leaves = match (said.arrives, like(unknown) > 0.5) {
                (false, _) => 0.0,
                (true, true) => 0.6 * LEFT * (1.0 - like(a)),
                (true, false) => LEFT * (1.0 - like(a)),
            };
            let fit = item.and_then(|i| said.items.get(&i));
            let stay = match (item, fit) {
                (Some(_), None) if said.part || said.whole => -FOREIGN,
                (Some(_), None) if !said.points => -IDLE,
                (Some(_), None) => 0.0,
                _ => 0.0,
            };
            let mut came = (score[s] + stay - leaves, s);
            // A matter is not begun before it is named.
            let early = if item.is_some() && fit.is_none() {
                EARLY
            } else {
                0.0
            };
            let within = score[best[a]] - TURN - early - leaves;
            if within > came.0 {
                came = (within, best[a]);
            }
            let turn = if item.is_some() { TURN + early } else { 0.0 };
            // Where it makes no difference one comes late, not early.
            if entry[a].0 - turn >= came.0 - 1e-9 {
                came = (entry[a].0 - turn, entry[a].1);
            }
            let speaks = fit.map_or(0.0, |f| f.tells);
            let agrees = if a < areas { AGREED * like(a) } else { 0.0 };
            // A verdict belongs to something.
            let loose = if item.is_none() && said.judged && said.points && !said.part {
                LOOSE
            } else {
                0.0
            };
            next[s] = came.0 + speaks + agrees - loose;
            from[s] = u32::try_from(came.1).unwrap_or(0);
        }
        score = next;
        back.push(from);
    }
    let mut at = (0..states).fold(unknown, |t, s| if score[s] > score[t] { s } else { t });
    let mut out = Track {
        area: vec![None; clauses.len()],
        item: vec![None; clauses.len()],
    };
    for c in (0..clauses.len()).rev() {
        out.area[c] = (area_of(at) < areas).then(|| area_of(at));
        out.item[c] = (at > areas).then(|| at - areas - 1);
        at = back[c][at] as usize;
    }
    out
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
