//! Visits onto working days.

use std::collections::BTreeMap;

use crate::list::List;
use crate::report::words::todo;

use super::gather::Bundle;
use super::{Frame, Late, PlanError, Rules, Step, Visit, at_once, deadline};

/// Lays the visits on days; what ends after the last day is told.
pub(super) fn days(
    list: &List,
    rules: &Rules,
    frame: &Frame,
    bundles: &[Bundle],
    waits: &[Vec<usize>],
) -> Result<(Vec<Visit>, Vec<Late>), PlanError> {
    let hours: Vec<f64> = bundles
        .iter()
        .map(|b| {
            rules.setup
                + b.items
                    .iter()
                    .map(|i| rules.hours(&list.items[*i]))
                    .sum::<f64>()
        })
        .collect();
    let crew = |b: &Bundle| frame.crew.get(&b.trade).copied().unwrap_or(1).max(1);
    let length: Vec<i64> = bundles
        .iter()
        .zip(&hours)
        .map(|(b, h)| ((h / (rules.day * f64::from(crew(b)))).ceil() as i64).max(1))
        .collect();
    let before = edges(list, rules, bundles, waits);
    // Days are counted from the first working day, 0.
    let last = frame.calendar.between(frame.from, frame.ready_by) - 1;
    let mut early = vec![0i64; bundles.len()];
    for b in 0..bundles.len() {
        early[b] = earliest(b, &before, &early, &length);
    }
    let mut latest: Vec<i64> = (0..bundles.len())
        .map(|b| {
            let first = early[b] + length[b] - 1;
            let asked = bundles[b].items.iter().filter_map(|i| {
                let item = &list.items[*i];
                match deadline(item) {
                    // What cannot be kept is done as soon as can be.
                    Some(by) => Some((frame.calendar.between(frame.from, by) - 1).max(first)),
                    None => at_once(item).then_some(first),
                }
            });
            asked.min().unwrap_or(last).min(last) - length[b] + 1
        })
        .collect();
    for b in (0..bundles.len()).rev() {
        for &(a, gap) in &before[b] {
            latest[a] = latest[a].min(latest[b] - gap - length[a]);
        }
    }
    let fits = (0..bundles.len()).all(|b| early[b] <= latest[b]);
    let start: Vec<i64> = (0..bundles.len())
        .map(|b| {
            if fits && !bundles[b].now {
                latest[b]
            } else {
                early[b]
            }
        })
        .collect();
    let date = |n: i64| {
        frame
            .calendar
            .offset(frame.from, n)
            .ok_or(PlanError::NoDays)
    };
    let mut visits = Vec::new();
    let mut late = Vec::new();
    for (b, bundle) in bundles.iter().enumerate() {
        let end = start[b] + length[b] - 1;
        if end > last {
            let chain = chain(b, &before, &early, &length);
            let longest = |v: usize| {
                bundles[v]
                    .items
                    .iter()
                    .copied()
                    .reduce(|x, y| {
                        if rules.hours(&list.items[y]) > rules.hours(&list.items[x]) {
                            y
                        } else {
                            x
                        }
                    })
                    .unwrap_or(0)
            };
            let items: Vec<usize> = chain.iter().map(|v| longest(*v)).collect();
            let cause = items
                .iter()
                .copied()
                .reduce(|x, y| {
                    if rules.hours(&list.items[y]) > rules.hours(&list.items[x]) {
                        y
                    } else {
                        x
                    }
                })
                .unwrap_or(0);
            late.push(Late {
                trade: bundle.trade,
                end: date(end)?,
                numbers: bundle.items.iter().map(|i| list.items[*i].number).collect(),
                cause: list.items[cause].number,
                chain: items.iter().map(|i| list.items[*i].number).collect(),
            });
        }
        visits.push(Visit {
            trade: bundle.trade,
            crew: crew(bundle),
            start: date(start[b])?,
            end: date(end)?,
            days: length[b],
            hours: hours[b],
            steps: bundle.items.iter().map(|i| step(list, rules, *i)).collect(),
        });
    }
    Ok((visits, late))
}

fn step(list: &List, rules: &Rules, i: usize) -> Step {
    let item = &list.items[i];
    Step {
        id: item.id.clone(),
        number: item.number,
        area: item.area.clone(),
        todo: todo(item),
        phase: rules.phases[rules.phase(item)].id.clone(),
        hours: rules.hours(item),
    }
}

/// For each visit the visits before it, with the working days that must pass between.
fn edges(
    list: &List,
    rules: &Rules,
    bundles: &[Bundle],
    waits: &[Vec<usize>],
) -> Vec<Vec<(usize, i64)>> {
    let mut bundle = vec![None; list.items.len()];
    for (b, i) in bundles
        .iter()
        .enumerate()
        .flat_map(|(b, of)| of.items.iter().map(move |i| (b, *i)))
    {
        bundle[i] = Some(b);
    }
    let mut out = Vec::new();
    for (b, later) in bundles.iter().enumerate() {
        let same = |a: &usize| bundles[*a].trade == later.trade;
        let mut gaps: BTreeMap<usize, i64> = (0..b).filter(same).map(|a| (a, 0)).collect();
        for &x in later.items.iter().flat_map(|y| &waits[*y]) {
            if let Some(a) = bundle[x].filter(|a| *a != b) {
                let dry = rules.phases[rules.phase(&list.items[x])].dry;
                let gap = gaps.entry(a).or_insert(0);
                *gap = dry.max(*gap);
            }
        }
        out.push(gaps.into_iter().collect());
    }
    out
}

fn earliest(b: usize, before: &[Vec<(usize, i64)>], early: &[i64], length: &[i64]) -> i64 {
    before[b]
        .iter()
        .map(|&(a, gap)| early[a] + length[a] + gap)
        .max()
        .unwrap_or(0)
}

/// The visits that push this one to its earliest day, from the first.
fn chain(b: usize, before: &[Vec<(usize, i64)>], early: &[i64], length: &[i64]) -> Vec<usize> {
    let mut out = vec![b];
    let mut at = b;
    while let Some(&(a, _)) = before[at]
        .iter()
        .find(|&&(a, gap)| early[a] + length[a] + gap == early[at])
    {
        out.push(a);
        at = a;
    }
    out.reverse();
    out
}
