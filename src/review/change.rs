//! What the page asks to be changed, as it sends it.

use serde::Deserialize;
use serde_json::{Map, Value};

/// Where words stand in the recording, as the page names them.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// The walk's id.
    pub walk: String,
    /// The first word's start, in seconds.
    pub start: f64,
    /// The last word's end, in seconds.
    pub end: f64,
}

/// One change that a person makes.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(tag = "op", rename_all = "kebab-case")]
pub enum Change {
    /// Looked at and right as it is.
    Accept {
        /// The item.
        id: String,
    },
    /// Other values for these fields.
    Set {
        /// The item.
        id: String,
        /// The fields by their names in the list.
        fields: Map<String, Value>,
    },
    /// Nothing to do there.
    Drop {
        /// The item.
        id: String,
    },
    /// A dropped item is one again.
    Restore {
        /// The item.
        id: String,
    },
    /// Closed without work, or open again.
    Close {
        /// The item.
        id: String,
        /// `accepted`, `credit`, `not-ours`, `duplicate`; null opens it again.
        #[serde(rename = "as")]
        how: Option<String>,
    },
    /// Some of an item's words are another matter.
    Split {
        /// The item.
        id: String,
        /// Which of its words go to the new item, counted from 0; none where both keep all.
        said: Vec<usize>,
        /// What differs in the new item.
        #[serde(default)]
        fields: Map<String, Value>,
    },
    /// Two items are one matter.
    Join {
        /// The item that stays.
        id: String,
        /// The one that ends in it.
        with: String,
    },
    /// An item that was missed.
    Add {
        /// The walk's id.
        walk: String,
        /// When, in seconds of the walk.
        at: f64,
        /// Its fields.
        fields: Map<String, Value>,
    },
    /// Words that are not to be passed on, or may be again.
    Private {
        /// The item; null for words that were passed over.
        id: Option<String>,
        /// Which words.
        said: Place,
        /// Whether they are kept private.
        private: bool,
    },
    /// What was passed over is an item.
    FromPassedOver {
        /// The stretch's id in the view.
        id: String,
    },
    /// Takes the last change back.
    Undo,
}

/// What came of a change.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Done {
    /// The item that was made, if one was.
    pub made: Option<String>,
    /// The items that it changed.
    pub touched: Vec<String>,
    /// A note for the person.
    pub said: Option<String>,
}
