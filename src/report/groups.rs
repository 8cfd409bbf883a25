//! The list sorted as the reports for people show it: by place, by trade, by danger.

use std::collections::HashMap;

use super::marks::caution;
use crate::list::{Area, AreaState, Cleared, Hazard, Item, List, Standing, Trade};

/// One place with what was said of it.
#[derive(Debug)]
pub struct Group<'a> {
    /// From the outermost named place inwards; empty where no place was told.
    pub path: &'a [String],
    /// The area as the list has it; none where a place was spoken of and not visited.
    pub area: Option<&'a Area>,
    /// What is to be done there.
    pub items: Vec<&'a Item>,
    /// What was found fine there.
    pub cleared: Vec<&'a Cleared>,
}

impl Group<'_> {
    /// Whether the speaker passed through and said nothing that counts.
    pub fn unjudged(&self) -> bool {
        self.items.is_empty()
            && self.cleared.is_empty()
            && self.area.is_some_and(|a| a.state == AreaState::Unjudged)
    }
}

/// All places in the order of first arrival, then those that were only spoken of, in the order spoken.
pub fn by_area(list: &List) -> Vec<Group<'_>> {
    let mut groups = Groups::default();
    for area in &list.areas {
        groups.of(&area.path).area.get_or_insert(area);
    }
    for item in &list.items {
        groups.of(&item.area).items.push(item);
    }
    for cleared in &list.cleared {
        groups.of(&cleared.area).cleared.push(cleared);
    }
    groups.all
}

#[derive(Default)]
struct Groups<'a> {
    all: Vec<Group<'a>>,
    at: HashMap<&'a [String], usize>,
}

impl<'a> Groups<'a> {
    fn of(&mut self, path: &'a [String]) -> &mut Group<'a> {
        let next = self.all.len();
        let i = *self.at.entry(path).or_insert(next);
        if i == next {
            self.all.push(Group {
                path,
                area: None,
                items: Vec::new(),
                cleared: Vec::new(),
            });
        }
        &mut self.all[i]
    }
}

/// The items still open for each trade that has any, in the order of [`Trade::ALL`], a firm's own after them.
pub fn by_trade(list: &List) -> Vec<(Trade, Vec<&Item>)> {
    let all: std::collections::BTreeSet<Trade> = list.items.iter().map(|i| i.trade).collect();
    let all: Vec<Trade> = all.into_iter().collect();
    sorted(&all, list, |item| Some(item.trade))
}

/// The items still open for each danger that is present, in the order of [`Hazard::ALL`].
pub fn by_hazard(list: &List) -> Vec<(Hazard, Vec<&Item>)> {
    sorted(Hazard::ALL, list, |item| item.hazard)
}

/// The items still open for each danger and caution, in the order of [`Hazard::ALL`], then of the items; without a caution
/// of its own an item has the usual one.
pub fn by_caution(list: &List) -> Vec<(Hazard, &str, Vec<&Item>)> {
    let mut out: Vec<(Hazard, &str, Vec<&Item>)> = Vec::new();
    for (hazard, items) in by_hazard(list) {
        let from = out.len();
        for item in items {
            let text = item.caution.as_deref().unwrap_or_else(|| caution(hazard));
            match out[from..].iter_mut().find(|(_, t, _)| *t == text) {
                Some((_, _, items)) => items.push(item),
                None => out.push((hazard, text, vec![item])),
            }
        }
    }
    out
}

fn sorted<'a, K: Copy + PartialEq>(
    all: &[K],
    list: &'a List,
    key: impl Fn(&Item) -> Option<K>,
) -> Vec<(K, Vec<&'a Item>)> {
    all.iter()
        .map(|&k| {
            (
                k,
                list.items
                    .iter()
                    .filter(|i| open(i) && key(i) == Some(k))
                    .collect::<Vec<_>>(),
            )
        })
        .filter(|(_, items)| !items.is_empty())
        .collect()
}

/// Whether somebody still has to do something.
pub fn open(item: &Item) -> bool {
    item.standing != Standing::MadeGood && item.closed.is_none()
}
