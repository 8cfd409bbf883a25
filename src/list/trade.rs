//! Who would be sent: the 25 trades that come with the program, and those that a firm's own lexicon adds.

use std::collections::BTreeSet;
use std::sync::{Mutex, PoisonError};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A trade, by the word that stands in the list: lower-case words joined by `-`, at most [`Trade::LONGEST`] bytes.
///
/// The built-in ones are constants; a lexicon may add others, which sort after them.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Trade(&'static str);

/// Words of trades that are not built in. They are few, live as long as the program and are kept once each, so that a
/// trade can be copied like a number.
static OTHERS: Mutex<BTreeSet<&'static str>> = Mutex::new(BTreeSet::new());

macro_rules! trades {
    ($($(#[$doc:meta])* $variant:ident = $word:literal,)+) => {
        #[allow(non_upper_case_globals)]
        impl Trade {
            $($(#[$doc])* pub const $variant: Trade = Trade($word);)+

            /// The built-in trades, in the order in which they are listed in documents.
            pub const ALL: &'static [Trade] = &[$(Trade::$variant,)+];
        }
    };
}

trades! {
    /// Painting and coating.
    Painter = "painter",
    /// Plaster and gypsum board.
    Drywall = "drywall",
    /// Doors, trim, stairs, bath accessories.
    FinishCarpenter = "finish-carpenter",
    /// Casework.
    Cabinets = "cabinets",
    /// Countertops.
    Countertops = "countertops",
    /// Carpet, wood, vinyl.
    Flooring = "flooring",
    /// Tiling.
    Tile = "tile",
    /// Plumbing.
    Plumber = "plumber",
    /// Electrical.
    Electrician = "electrician",
    /// Heating, ventilating, air conditioning.
    Hvac = "hvac",
    /// Communications.
    LowVoltage = "low-voltage",
    /// Residential equipment.
    Appliances = "appliances",
    /// Windows, glass, blinds.
    Windows = "windows",
    /// Cleaning and waste.
    Cleaner = "cleaner",
    /// Roofs and gutters.
    Roofing = "roofing",
    /// Siding, soffit, fascia.
    Siding = "siding",
    /// Brick and stone.
    Masonry = "masonry",
    /// Driveways, walks, slabs.
    Concrete = "concrete",
    /// Grading, drainage, planting.
    Landscape = "landscape",
    /// Fences and gates.
    Fencing = "fencing",
    /// Insulation.
    Insulation = "insulation",
    /// Overhead doors and dock gear.
    GarageDoor = "garage-door",
    /// Rough carpentry.
    Framing = "framing",
    /// Sprinklers, extinguishers, fire stopping.
    FireProtection = "fire-protection",
    /// What no trade owns, and questions.
    Superintendent = "superintendent",
}

impl Trade {
    /// The most bytes that a trade's word may have.
    pub const LONGEST: usize = 40;

    /// The word that stands in the list.
    pub fn word(self) -> &'static str {
        self.0
    }

    /// The trade of a word as it stands in the list; none where the word is not lower-case letters and digits joined by
    /// single `-`, or is too long.
    pub fn from_word(word: &str) -> Option<Trade> {
        if let Some(known) = Trade::ALL.iter().find(|t| t.0 == word) {
            return Some(*known);
        }
        let plain = |part: &str| {
            !part.is_empty()
                && part
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        };
        if word.len() > Trade::LONGEST || !word.split('-').all(plain) {
            return None;
        }
        let mut others = OTHERS.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(word) = others.get(word) {
            return Some(Trade(word));
        }
        let kept: &'static str = Box::leak(word.to_string().into_boxed_str());
        others.insert(kept);
        Some(Trade(kept))
    }

    /// Its place in [`Trade::ALL`]; those of a lexicon come after all of them.
    fn rank(self) -> usize {
        Trade::ALL
            .iter()
            .position(|t| *t == self)
            .unwrap_or(Trade::ALL.len())
    }
}

impl Ord for Trade {
    fn cmp(&self, other: &Trade) -> std::cmp::Ordering {
        (self.rank(), self.0).cmp(&(other.rank(), other.0))
    }
}

impl PartialOrd for Trade {
    fn partial_cmp(&self, other: &Trade) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl std::fmt::Debug for Trade {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Trade({})", self.0)
    }
}

impl std::fmt::Display for Trade {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.0)
    }
}

impl Serialize for Trade {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0)
    }
}

impl<'de> Deserialize<'de> for Trade {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Trade, D::Error> {
        struct Word;
        impl serde::de::Visitor<'_> for Word {
            type Value = Trade;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(
                    f,
                    "a trade: lower-case words joined by \"-\", at most {} letters",
                    Trade::LONGEST
                )
            }
            fn visit_str<E: serde::de::Error>(self, word: &str) -> Result<Trade, E> {
                Trade::from_word(word)
                    .ok_or_else(|| E::invalid_value(serde::de::Unexpected::Str(word), &self))
            }
        }
        deserializer.deserialize_str(Word)
    }
}

impl JsonSchema for Trade {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Trade".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let words: Vec<&str> = Trade::ALL.iter().map(|t| t.0).collect();
        json_schema!({
            "description": "Who would be sent. The examples come with the program; a firm's own lexicon may add others.",
            "type": "string",
            "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$",
            "maxLength": Trade::LONGEST,
            "examples": words,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_kept_as_written() {
        for word in ["painter", "second-fix", "crew-2"] {
            let trade = Trade::from_word(word).unwrap();
            assert_eq!(trade.word(), word);
            assert_eq!(Trade::from_word(word), Some(trade));
        }
        for word in ["", "Painter", "second fix", "a--b", "-a", &"x".repeat(41)] {
            assert_eq!(Trade::from_word(word), None, "{word}");
        }
    }

    #[test]
    fn a_firms_own_trades_come_last() {
        let own = Trade::from_word("attic-crew").unwrap();
        assert!(Trade::Painter < Trade::Drywall && Trade::Superintendent < own);
        assert_eq!(format!("{:<18}|", Trade::GarageDoor), "garage-door       |");
    }
}
