//! The list: what a reading of one job's walks gives, as data.
//!
//! The field names and meanings are a published format (`storystick schema` prints it); they are only ever added to.

mod save;
mod schema;
mod trade;
mod types;
mod unit;

pub use save::{SaveError, save};
pub use schema::schema;
pub use trade::Trade;
pub use types::*;

use crate::transcript::Transcript;

impl List {
    /// An empty list over these walks, which are named `w1`, `w2`, … in order.
    pub fn new(walks: &[Transcript]) -> List {
        List {
            schema: SCHEMA.to_string(),
            walks: walks
                .iter()
                .enumerate()
                .map(|(i, t)| Walk::of(i, t))
                .collect(),
            areas: Vec::new(),
            items: Vec::new(),
            cleared: Vec::new(),
            passed_over: Vec::new(),
            trades: Vec::new(),
            house: None,
        }
    }
}

impl Walk {
    fn of(index: usize, t: &Transcript) -> Walk {
        Walk {
            id: format!("w{}", index + 1),
            file: t.file.clone(),
            format: t.format.name().to_string(),
            sha256: t.sha256.clone(),
            seconds: t.cues.iter().map(|c| c.end).fold(0.0, f64::max),
            words: t
                .cues
                .iter()
                .map(|c| c.text.split_whitespace().count())
                .sum(),
            recorded: None,
            media: None,
        }
    }
}
