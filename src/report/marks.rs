//! What makes an item stand out, and what holds for each danger.

use super::groups::open;
use crate::list::{Closed, Hazard, Item, Standing};

/// One of the words that make an item stand out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    Urgent,
    Hazard(Hazard),
    Ask,
    MadeGood,
    Closed(Closed),
}

impl Mark {
    /// The marks of an item, the gravest first.
    pub(super) fn of(item: &Item) -> Vec<Mark> {
        let mut marks = Vec::new();
        if !open(item) {
            return vec![item.closed.map_or(Mark::MadeGood, Mark::Closed)];
        }
        marks.extend(item.hazard.map(Mark::Hazard));
        if item.urgent {
            marks.push(Mark::Urgent);
        }
        if item.standing == Standing::Query {
            marks.push(Mark::Ask);
        }
        marks
    }

    pub(super) fn word(self) -> String {
        match self {
            Mark::Urgent => "urgent".to_string(),
            Mark::Hazard(h) => format!("{} hazard", danger(h)),
            Mark::Ask => "ask".to_string(),
            Mark::MadeGood => "made good".to_string(),
            Mark::Closed(how) => format!("closed: {}", how.word().replace('-', " ")),
        }
    }
}

/// The danger in words.
pub(super) fn danger(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Egress => "way-out",
        other => other.word(),
    }
}

/// What usually holds for a danger until somebody competent has looked: one plain sentence. It is no instruction for the
/// place at hand; local codes and licensed people decide.
pub fn caution(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Gas => {
            "no flame, no switch, get out and call the gas utility; a licensed fitter decides."
        }
        Hazard::Electric => {
            "take it as live until a licensed electrician has isolated and tested it."
        }
        Hazard::Fire => {
            "see to it before anybody sleeps or works there; the local fire code decides."
        }
        Hazard::Fall => "close it off until a guard or rail to the local code is in.",
        Hazard::Egress => {
            "keep the way out clear and openable from inside; the local fire code decides."
        }
        Hazard::Water => {
            "shut the supply and keep clear of anything electric; a licensed plumber decides."
        }
        Hazard::Mould => {
            "leave it undisturbed until the damp is traced; local rules say who may remove it."
        }
        Hazard::Structure => "keep people and load off until a licensed engineer has looked.",
        Hazard::Glass => {
            "keep people away until it is out; the local code says where safety glass must go in."
        }
        Hazard::Air => {
            "leave the appliance off and the place aired until a licensed technician has tested it."
        }
        Hazard::Trip => {
            "mark it or cover it until it is mended; the local code says how flat a way must be."
        }
    }
}

/// A danger as the first word of a line.
pub(crate) fn danger_title(hazard: Hazard) -> String {
    let mut name = danger(hazard).to_string();
    name[..1].make_ascii_uppercase();
    name
}
