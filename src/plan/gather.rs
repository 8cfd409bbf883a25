//! Items into visits: as few as the order allows.

use crate::list::{List, Standing, Trade};
use crate::report::groups::open;

use super::Rules;

/// A visit before it has days: who, and which items by their place in the list, in the order of work.
#[derive(Debug, Clone)]
pub(super) struct Bundle {
    pub(super) trade: Trade,
    pub(super) items: Vec<usize>,
    /// Holds what could hurt somebody: to be done at once.
    pub(super) now: bool,
}

/// Who sees to an item: the superintendent to queries.
fn trade(list: &List, i: usize) -> Trade {
    match list.items[i].standing {
        Standing::Query => Trade::Superintendent,
        _ => list.items[i].trade,
    }
}

/// The visits, each after all that must precede it.
pub(super) fn visits(list: &List, rules: &Rules) -> Vec<Bundle> {
    let phase: Vec<usize> = list.items.iter().map(|i| rules.phase(i)).collect();
    let mut left: Vec<usize> = (0..list.items.len())
        .filter(|i| open(&list.items[*i]))
        .collect();
    let mut out = Vec::new();
    // What could hurt somebody comes before all else, whatever else that trade has to do.
    for now in [true, false] {
        while left.iter().any(|i| !now || rules.phases[phase[*i]].hazard) {
            let mut trades: Vec<Trade> = left
                .iter()
                .filter(|i| !now || rules.phases[phase[**i]].hazard)
                .map(|i| trade(list, *i))
                .collect();
            trades.sort();
            trades.dedup();
            let mut best: Option<(bool, usize, Trade, Vec<usize>)> = None;
            for t in trades {
                let ready = ready(list, rules, &phase, &left, t);
                let all = left.iter().filter(|i| trade(list, **i) == t).count() == ready.len();
                let better = best
                    .as_ref()
                    .is_none_or(|(a, n, ..)| (all, ready.len()) > (*a, *n));
                if better && !ready.is_empty() {
                    best = Some((all, ready.len(), t, ready));
                }
            }
            // In each area the earliest phase is always ready.
            let Some((all, _, t, mut items)) = best else {
                break;
            };
            if now && !all {
                items.retain(|i| rules.phases[phase[*i]].hazard);
            }
            items.sort_by_key(|i| (phase[*i], *i));
            left.retain(|i| !items.contains(i));
            out.push(Bundle {
                trade: t,
                items,
                now,
            });
        }
    }
    out
}

/// What a trade can do in one visit now: all of its items that wait for nobody else, and for no drying.
fn ready(list: &List, rules: &Rules, phase: &[usize], left: &[usize], t: Trade) -> Vec<usize> {
    let waits = |i: usize, j: usize| {
        list.items[i].area == list.items[j].area
            && phase[j] < phase[i]
            && (trade(list, j) != t || rules.phases[phase[j]].dry > 0)
    };
    // An item of the same trade that itself waits holds up those after it.
    let mut ready: Vec<usize> = left
        .iter()
        .copied()
        .filter(|i| trade(list, *i) == t && !left.iter().any(|j| waits(*i, *j)))
        .collect();
    loop {
        let before = ready.len();
        let now = ready.clone();
        ready.retain(|i| {
            !left.iter().any(|j| {
                list.items[*i].area == list.items[*j].area
                    && phase[*j] < phase[*i]
                    && !now.contains(j)
            })
        });
        if ready.len() == before {
            return ready;
        }
    }
}
