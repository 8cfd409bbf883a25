//! In which order the trades come so that as few visits as can be do all that is left.

use std::collections::BTreeMap;

use crate::list::{List, Trade};

use super::Rules;
use super::gather::{ready, trade};

/// How many half-made orders are followed at once, times the items left; with few items that is each of them, so that the order is
/// the best there is.
const EFFORT: usize = 20_000;

/// The trades in their order, by following many orders at once and keeping those that have the least left.
pub(super) fn turns(
    list: &List,
    rules: &Rules,
    phase: &[usize],
    before: &[Vec<usize>],
    left: &[usize],
) -> Vec<Trade> {
    let kept = (EFFORT / left.len().max(1)).clamp(2, 200);
    let mut orders = vec![(left.to_vec(), Vec::new())];
    loop {
        let mut next: BTreeMap<Vec<usize>, Vec<Trade>> = BTreeMap::new();
        for (left, turns) in orders {
            if left.is_empty() {
                return turns;
            }
            for (t, done) in moves(list, rules, phase, before, &left) {
                let rest: Vec<usize> = left.iter().copied().filter(|i| !done.contains(i)).collect();
                let more = turns.iter().copied().chain([t]).collect();
                next.entry(rest).or_insert(more);
            }
        }
        orders = next.into_iter().collect();
        orders.sort_by_key(|(left, _)| left.len());
        orders.truncate(kept);
        // In each area the earliest phase is always ready, so there is a next step.
        if orders.is_empty() {
            return Vec::new();
        }
    }
}

/// Who can come next, each with what they do. Who can do all that is left for them may as well come now: they must come once, and
/// nobody waits longer for it.
fn moves(
    list: &List,
    rules: &Rules,
    phase: &[usize],
    before: &[Vec<usize>],
    left: &[usize],
) -> Vec<(Trade, Vec<usize>)> {
    let mut own: BTreeMap<Trade, usize> = BTreeMap::new();
    for i in left {
        *own.entry(trade(list, *i)).or_default() += 1;
    }
    let mut all = Vec::new();
    for (t, count) in own {
        let done = ready(list, rules, phase, before, left, t);
        if done.len() == count {
            return vec![(t, done)];
        }
        if !done.is_empty() {
            all.push((t, done));
        }
    }
    all
}
