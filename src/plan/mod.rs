//! The order of work: which trade comes when, in as few visits as the order allows, back from the day on which all must be
//! ready.
//!
//! Inside an area a phase is done before the next ([`Rules`]); a trade may do several phases in one visit.
//! Visits are gathered first (while something presses the trade that needs not come back goes next, else the one with the most to do;
//! then in the order that takes the fewest), then laid on working
//! days. What could hurt somebody, what is asked and what is urgent is done as early as it can be, all else as late as it may, a
//! visit with spoken deadlines before the first of them, where it can be. A deadline that is not kept is told. Where not all can be ready in time,
//! everything is laid as early as it can be, and what ends after the day is told, with the item that holds it up.

mod days;
mod fewest;
mod gather;
pub mod ics;
mod lay;
mod rules;
pub mod write;

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::list::{FollowUp, Item, List, Standing, Trade};
use crate::report::groups::open;
use crate::report::words::{heading, todo};

pub use days::{Calendar, HolidayError};
pub use rules::{Fit, Phase, Rules};

/// What a plan is made from besides the list.
#[derive(Debug, Clone)]
pub struct Frame {
    /// The first day on which somebody can come.
    pub from: Date,
    /// The day by whose end all must be ready.
    pub ready_by: Date,
    /// Which days are worked.
    pub calendar: Calendar,
    /// How many people a trade sends; one where it is not named.
    pub crew: BTreeMap<Trade, u32>,
}

/// Why there can be no plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// The days are the wrong way round.
    #[error(
        "the work is to be ready by {ready_by}, before it begins on {from}; choose a later --ready-by or an earlier --from"
    )]
    Backwards {
        /// The first day.
        from: Date,
        /// The last day.
        ready_by: Date,
    },
    /// The calendar has no days left.
    #[error("the work runs past the calendar's end; choose an earlier --from")]
    NoDays,
}

/// Who comes when.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// The first day on which somebody can come.
    pub from: Date,
    /// The day by whose end all is to be ready.
    pub ready_by: Date,
    /// In the order of their first days.
    pub visits: Vec<Visit>,
    /// What cannot be made in time; empty where all can.
    pub late: Vec<Late>,
    /// Spoken deadlines that are not kept.
    pub missed: Vec<Missed>,
    /// What was promised, and by whom.
    pub promises: Vec<Promise>,
    /// What the durations and the order are assumed from, in words.
    pub assumptions: Vec<String>,
}

/// One visit of one trade.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Visit {
    /// Who comes.
    pub trade: Trade,
    /// How many people.
    pub crew: u32,
    /// The first day.
    pub start: Date,
    /// The last day.
    pub end: Date,
    /// Working days.
    pub days: i64,
    /// Hours of work of one person, with setting up.
    pub hours: f64,
    /// What is done, in this order.
    pub steps: Vec<Step>,
}

/// One item in a visit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// The item's id.
    pub id: String,
    /// The item's number.
    pub number: u32,
    /// The path of its area.
    pub area: Vec<String>,
    /// What is to be done.
    pub todo: String,
    /// The phase of the order.
    pub phase: String,
    /// Hours of one person.
    pub hours: f64,
}

/// A visit that ends too late.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Late {
    /// Who comes too late.
    pub trade: Trade,
    /// When it would end.
    pub end: Date,
    /// The items in it.
    pub numbers: Vec<u32>,
    /// The item that holds it up most: the longest in the chain of visits that leads up to it.
    pub cause: u32,
    /// The chain from the first day, as numbers of items, one for each visit.
    pub chain: Vec<u32>,
}

/// A spoken deadline before which an item is not done.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Missed {
    /// The item's number.
    pub number: u32,
    /// The deadline in the speaker's words.
    pub by: String,
    /// The same as a date.
    pub by_date: Date,
    /// When the item would be done.
    pub end: Date,
}

/// A promise.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Promise {
    /// The item's id.
    pub id: String,
    /// The item's number.
    pub number: u32,
    /// Who gave it.
    pub who: String,
    /// What was promised.
    pub what: FollowUp,
    /// What it is about.
    pub about: String,
    /// By when, where the item's spoken deadline is known as a date.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_date: Option<Date>,
}

/// The date of an item's spoken deadline.
fn deadline(item: &Item) -> Option<Date> {
    item.by_date.as_deref()?.parse().ok()
}

/// Whether an item is done as early as it can be: what is asked, and what the speaker pressed.
fn at_once(item: &Item) -> bool {
    item.urgent || item.standing == Standing::Query
}

/// The deadlines that the visits do not keep, the most pressing first.
fn missed(list: &List, visits: &[Visit]) -> Vec<Missed> {
    let mut all: Vec<Missed> = visits
        .iter()
        .flat_map(|v| v.steps.iter().map(move |s| (v.end, s)))
        .filter_map(|(end, step)| {
            let same = |i: &&Item| i.id == step.id && i.number == step.number;
            let item = list.items.iter().find(same)?;
            let by_date = deadline(item).filter(|d| *d < end)?;
            Some(Missed {
                number: step.number,
                by: item.by.clone().unwrap_or_default(),
                by_date,
                end,
            })
        })
        .collect();
    all.sort_by_key(|m| (m.by_date, m.number));
    all
}

/// Makes the plan of what is open.
///
/// # Errors
///
/// Where the days are the wrong way round or run out.
pub fn plan(list: &List, rules: &Rules, frame: &Frame) -> Result<Plan, PlanError> {
    if frame.ready_by < frame.from {
        return Err(PlanError::Backwards {
            from: frame.from,
            ready_by: frame.ready_by,
        });
    }
    let before = rules.before(list);
    let visits = gather::visits(list, rules, &before);
    let (mut visits, late) = lay::days(list, rules, frame, &visits, &before)?;
    // On one day they stand in the order in which they were gathered.
    visits.sort_by_key(|v| (v.start, v.end));
    let promises = list
        .items
        .iter()
        .filter(|i| open(i))
        .filter_map(|i| {
            Some(Promise {
                id: i.id.clone(),
                number: i.number,
                who: i
                    .promised_by
                    .clone()
                    .unwrap_or_else(|| "speaker".to_string()),
                what: i.follow_up?,
                about: format!("{}: {}", heading(&i.area), todo(i)),
                by_date: deadline(i),
            })
        })
        .collect();
    let mut assumptions = vec![format!(
        "Hours are rough, {} a day and {} for setting up: {}.",
        rules.day,
        rules.setup,
        rules
            .hours
            .iter()
            .map(|(w, h)| format!("{w} {h}"))
            .collect::<Vec<_>>()
            .join(", ")
    )];
    assumptions.push(format!(
        "Order inside an area: {}; what is fitted need not wait for services. Common practice; nobody on the job was asked.",
        rules
            .phases
            .iter()
            .map(|p| p.id.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    ));
    Ok(Plan {
        from: frame.from,
        ready_by: frame.ready_by,
        missed: missed(list, &visits),
        visits,
        late,
        promises,
        assumptions,
    })
}
