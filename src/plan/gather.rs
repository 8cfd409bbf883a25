//! Items into visits: as few as the order allows, and in them first what presses most.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::list::{Item, List, Standing, Trade};
use crate::report::groups::open;

use super::{Rules, at_once, deadline, fewest};

/// How an item presses, the most pressing least: a danger, what is asked and what the speaker pressed, a spoken deadline by its date, all
/// else.
type Press = (u8, Option<Date>);

/// How most items press: not at all.
const CALM: Press = (3, None);

fn press(item: &Item) -> Press {
    match deadline(item) {
        _ if item.hazard.is_some() => (0, None),
        _ if at_once(item) => (1, None),
        Some(by) => (2, Some(by)),
        None => CALM,
    }
}

/// How each item presses, or what waits for it.
fn pressing(list: &List, phase: &[usize], before: &[Vec<usize>]) -> Vec<Press> {
    let mut out: Vec<Press> = list.items.iter().map(press).collect();
    // From the last phase back, so that each has what waits for it already.
    let mut all: Vec<usize> = (0..out.len()).collect();
    all.sort_by_key(|i| Reverse(phase[*i]));
    for i in all {
        for &earlier in &before[i] {
            out[earlier] = out[earlier].min(out[i]);
        }
    }
    out
}

/// A visit before it has days: who, and which items by their place in the list, in the order of work.
#[derive(Debug, Clone)]
pub(super) struct Bundle {
    pub(super) trade: Trade,
    pub(super) items: Vec<usize>,
    /// Holds what could hurt somebody: to be done at once.
    pub(super) now: bool,
}

/// Who sees to an item: the superintendent to queries.
pub(super) fn trade(list: &List, i: usize) -> Trade {
    match list.items[i].standing {
        Standing::Query => Trade::Superintendent,
        _ => list.items[i].trade,
    }
}

/// What speaks for a trade to come next: it needs not come back, it does what presses most, it does most.
type Choice = (bool, Reverse<Option<Press>>, usize);

/// The visits, each after all that must precede it.
pub(super) fn visits(list: &List, rules: &Rules, before: &[Vec<usize>]) -> Vec<Bundle> {
    let phase: Vec<usize> = list.items.iter().map(|i| rules.phase(i)).collect();
    let pressing = pressing(list, &phase, before);
    let mut left: Vec<usize> = (0..list.items.len())
        .filter(|i| open(&list.items[*i]))
        .collect();
    let mut out = Vec::new();
    // What could hurt somebody comes before all else, whatever else that trade has to do.
    for now in [true, false] {
        while left.iter().any(|i| !now || rules.phases[phase[*i]].hazard) {
            if !now && left.iter().all(|i| pressing[*i] == CALM) {
                break;
            }
            let mut trades: Vec<Trade> = left
                .iter()
                .filter(|i| !now || rules.phases[phase[**i]].hazard)
                .map(|i| trade(list, *i))
                .collect();
            trades.sort();
            trades.dedup();
            let mut best: Option<(Choice, Trade, Vec<usize>)> = None;
            for t in trades {
                let mut ready = ready(list, rules, &phase, before, &left, t);
                let own = || left.iter().filter(move |i| trade(list, **i) == t);
                let all = own().count() == ready.len();
                // Who comes back anyway leaves for then what presses less than what is waited for.
                if let Some(most) = own().map(|i| pressing[*i]).min()
                    && !all
                    && !now
                {
                    if ready.iter().map(|i| pressing[*i]).min() > Some(most) {
                        continue;
                    }
                    if own().any(|i| pressing[*i] == most && !ready.contains(i)) {
                        ready.retain(|i| pressing[*i] == most);
                    }
                }
                let most = ready.iter().map(|i| pressing[*i]).min();
                let choice = (all, Reverse(most), ready.len());
                if !ready.is_empty() && best.as_ref().is_none_or(|(c, ..)| choice > *c) {
                    best = Some((choice, t, ready));
                }
            }
            // In each area the earliest phase is always ready, and presses as much as any after it.
            let Some(((all, ..), t, mut items)) = best else {
                break;
            };
            if now && !all {
                items.retain(|i| rules.phases[phase[*i]].hazard);
            }
            items.sort_by_key(|i| (pressing[*i], phase[*i], *i));
            left.retain(|i| !items.contains(i));
            out.push(Bundle {
                trade: t,
                items,
                now,
            });
        }
    }
    // Nothing of what is left presses: the fewest visits.
    for t in fewest::turns(list, rules, &phase, before, &left) {
        let mut items = ready(list, rules, &phase, before, &left, t);
        items.sort_by_key(|i| (phase[*i], *i));
        left.retain(|i| !items.contains(i));
        out.push(Bundle {
            trade: t,
            items,
            now: false,
        });
    }
    out
}

/// What a trade can do in one visit now: all of its items that wait for nobody else, for no drying, and for none of its own that waits.
pub(super) fn ready(
    list: &List,
    rules: &Rules,
    phase: &[usize],
    before: &[Vec<usize>],
    left: &[usize],
    t: Trade,
) -> Vec<usize> {
    let left: BTreeSet<usize> = left.iter().copied().collect();
    let mut own: Vec<usize> = left
        .iter()
        .copied()
        .filter(|i| trade(list, *i) == t)
        .collect();
    own.sort_by_key(|i| (phase[*i], *i));
    let mut ready = BTreeSet::new();
    for i in own {
        let done = |j: &usize| {
            !left.contains(j) || (ready.contains(j) && rules.phases[phase[*j]].dry == 0)
        };
        if before[i].iter().all(done) {
            ready.insert(i);
        }
    }
    ready.into_iter().collect()
}
