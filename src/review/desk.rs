//! The list on which the page works.

use serde_json::Value;

use super::change::{Change, Done};

/// Why the list could not be read or changed.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// What was asked for does not fit the list as it is now.
    #[error("{0}")]
    Unfit(String),
    /// The file could not be read or saved.
    #[error("{0}")]
    File(String),
}

/// The list as the page works on it: the file is the truth, and every change is in it before the answer.
pub trait Desk: Send {
    /// Which state of the file this is: another text for another state.
    ///
    /// # Errors
    /// Where the file cannot be read.
    fn revision(&mut self) -> Result<String, DeskError>;

    /// The list as the page shows it.
    ///
    /// # Errors
    /// Where the file cannot be read or is no list.
    fn view(&mut self) -> Result<Value, DeskError>;

    /// Makes one change and saves it.
    ///
    /// # Errors
    /// Where the change does not fit the list, or it cannot be saved; the file is then as it was.
    fn change(&mut self, change: Change) -> Result<Done, DeskError>;
}
