//! What a person can do to a saved list, as it is handed in and sent as JSON.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::list::Closed;

/// Where words stand in the recording.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// The walk's id.
    pub walk: String,
    /// The first word's start, in seconds.
    pub start: f64,
    /// The last word's end, in seconds.
    pub end: f64,
}

/// One thing that a person does to a list. Items are named by `id`, which may be an id (`k4t7`) or a number (`14`, `#14`).
///
/// As JSON it is an object whose `op` is the name in kebab-case: `{"op": "set", "id": "#14", "fields": {"trade": "painter"}}`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "op", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Operation {
    /// Other values for these fields.
    Set {
        /// The item.
        id: String,
        /// The fields by their names in the list; null empties a field that may be empty.
        fields: Map<String, Value>,
    },
    /// Looked at and right as it is.
    Accept {
        /// The item.
        id: String,
    },
    /// Nothing to do there: it leaves the list, and its id and number stay its own.
    Drop {
        /// The item.
        id: String,
    },
    /// A dropped item is one again.
    Restore {
        /// The dropped item.
        id: String,
    },
    /// An item that was missed.
    Add {
        /// The walk in which it belongs; the first if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        walk: Option<String>,
        /// When, in seconds of the walk; left out where nobody said it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<f64>,
        /// The words that say so, exact; without `at` there can be none.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        text: Option<String>,
        /// Its fields.
        fields: Map<String, Value>,
    },
    /// Closed without work; with `as` null open again, as by [`Operation::Reopen`].
    Close {
        /// The item.
        id: String,
        /// How.
        #[serde(rename = "as")]
        how: Option<Closed>,
    },
    /// A closed or made-good item has to be done after all.
    Reopen {
        /// The item.
        id: String,
    },
    /// One item holds two matters.
    Split {
        /// The item.
        id: String,
        /// Which of its words go to the new item, counted from 0; none where both keep all.
        #[serde(default)]
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
        /// The stretch, by [`passed_id`].
        id: String,
        /// Its fields; where `area` is left out, it is where the speaker was.
        #[serde(default)]
        fields: Map<String, Value>,
    },
}

/// Who decided, and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Decision {
    /// The role of the person, never a name: `owner`, `superintendent`, `reviewer`.
    pub by: String,
    /// When, as RFC 3339.
    pub when: String,
}

/// What takes an operation back. It names what it changed by its content, so it holds even after others have changed other things.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Undo {
    /// What was done, in a few words: `drop 14`.
    pub label: String,
    /// The id of the item that was made, if one was.
    pub made: Option<String>,
    /// The ids of the items that were changed.
    pub touched: Vec<String>,
    pub(super) steps: Vec<Step>,
}

/// One change of an array of the list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Step {
    pub(super) list: String,
    pub(super) index: usize,
    /// What stood there; none where something was put in.
    pub(super) before: Option<Value>,
    /// What stands there now; none where something was taken out.
    pub(super) after: Option<Value>,
    /// The array itself was made.
    #[serde(default)]
    pub(super) new_list: bool,
    /// It follows from other changes and is not insisted on.
    #[serde(default)]
    pub(super) follows: bool,
}

/// By what a stretch that was passed over is named: its place in the recording, `w1@80.0-83.1`.
pub fn passed_id(said: &Value) -> String {
    format!(
        "{}@{}-{}",
        said["walk"].as_str().unwrap_or_default(),
        said["start"],
        said["end"]
    )
}
