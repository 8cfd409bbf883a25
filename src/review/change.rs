//! What the page asks to be changed, as it sends it.

use serde_json::Value;

use crate::record::Operation;

/// One change that a person makes.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// An operation on the list.
    Do(Operation),
    /// The last change is taken back.
    Undo,
}

impl Change {
    /// Reads a change from its JSON: an operation, or `{"op": "undo"}`.
    ///
    /// # Errors
    /// Where it is neither.
    pub fn from_json(bytes: &[u8]) -> Result<Change, serde_json::Error> {
        let value: Value = serde_json::from_slice(bytes)?;
        if value["op"] == "undo" {
            return Ok(Change::Undo);
        }
        serde_json::from_value(value).map(Change::Do)
    }
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
