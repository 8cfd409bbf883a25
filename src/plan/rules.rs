//! The order of work and rough durations, from `lexicon/plan.yaml`.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::list::{Item, List, Standing, Work};
use crate::report::groups::open;

/// Order and durations. All of it is assumed.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    /// The order inside an area, first to last.
    pub phases: Vec<Phase>,
    /// Working hours in a day.
    pub day: f64,
    /// Hours added once for each visit.
    pub setup: f64,
    /// Hours of one person for one item, by class of work.
    pub hours: BTreeMap<Work, f64>,
}

/// One step of the order.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Phase {
    /// Its name.
    pub id: String,
    /// Takes items that could hurt somebody.
    #[serde(default)]
    pub hazard: bool,
    /// Takes queries.
    #[serde(default)]
    pub query: bool,
    /// Takes items that one of these fits.
    #[serde(default)]
    pub rules: Vec<Fit>,
    /// The phases before it for which it need not wait.
    #[serde(default)]
    pub beside: Vec<String>,
    /// Waits also for what lies in its area or around it.
    #[serde(default)]
    pub wide: bool,
    /// Working days that must pass before the next phase in the same area.
    #[serde(default)]
    pub dry: i64,
    /// Why it stands where it stands.
    pub note: String,
}

/// What a phase takes.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fit {
    /// Trades, by their words; none for all.
    #[serde(default)]
    pub trades: Vec<String>,
    /// Classes of work; none for all.
    #[serde(default)]
    pub works: Vec<Work>,
}

impl Rules {
    /// Those that come with the program.
    pub fn builtin() -> Rules {
        match serde_yaml::from_str(include_str!("../../lexicon/plan.yaml")) {
            Ok(rules) => rules,
            Err(e) => unreachable!("a test reads lexicon/plan.yaml: {e}"),
        }
    }

    /// The phase that takes an item: the first that fits, else the last.
    pub fn phase(&self, item: &Item) -> usize {
        let fits = |p: &Phase| {
            if p.hazard {
                return item.hazard.is_some();
            }
            if p.query {
                return item.standing == Standing::Query;
            }
            p.rules.iter().any(|r| {
                (r.trades.is_empty() || r.trades.iter().any(|t| t == item.trade.word()))
                    && (r.works.is_empty() || r.works.contains(&item.work))
            })
        };
        self.phases
            .iter()
            .position(fits)
            .unwrap_or(self.phases.len().saturating_sub(1))
    }

    /// Whether one phase is done before the other in an area.
    fn precedes(&self, first: usize, then: usize) -> bool {
        first < then && !self.phases[then].beside.contains(&self.phases[first].id)
    }

    /// For each item of the list the open items that must be done before it: those of an earlier phase in its own area; where its phase is
    /// `wide`, also in one that lies in it or in which it lies. What lies nowhere known waits only for its like.
    pub(super) fn before(&self, list: &List) -> Vec<Vec<usize>> {
        let phase: Vec<usize> = list.items.iter().map(|i| self.phase(i)).collect();
        let mut places: BTreeMap<&[String], Vec<usize>> = BTreeMap::new();
        for (n, item) in list.items.iter().enumerate().filter(|(_, i)| open(i)) {
            places.entry(&item.area).or_default().push(n);
        }
        let mut out = vec![Vec::new(); list.items.len()];
        for (place, items) in &places {
            // Paths that begin alike stand together in the map.
            let inside = places
                .range(*place..)
                .take_while(|(other, _)| other.starts_with(place))
                .filter(|(other, _)| place.is_empty() == other.is_empty());
            for (other, more) in inside {
                let own = other == place;
                let mut put = |first: usize, then: usize| {
                    let (p, q) = (phase[first], phase[then]);
                    if self.precedes(p, q) && (own || self.phases[q].wide) {
                        out[then].push(first);
                    }
                };
                for (&x, &y) in items.iter().flat_map(|x| more.iter().map(move |y| (x, y))) {
                    put(x, y);
                    if !own {
                        put(y, x);
                    }
                }
            }
        }
        out
    }

    /// The hours that an item takes one person: those of its class of work for each of what was counted.
    pub fn hours(&self, item: &Item) -> f64 {
        let one = self.hours.get(&item.work).copied().unwrap_or(1.0);
        one * f64::from(item.count.unwrap_or(1).clamp(1, 20))
    }
}
