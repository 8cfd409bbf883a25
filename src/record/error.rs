//! What can go wrong with a saved list.

use std::io;
use std::path::PathBuf;

use crate::list::SaveError;

/// Why a saved list was not read, changed or saved.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RecordError {
    /// The file cannot be read.
    #[error("{}: cannot be read; check its name and folder", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The bytes are no list.
    #[error(
        "{name}: is no list that can be changed: {what}; name one that `storystick list WALK -o NAME.json` saved"
    )]
    NoList {
        /// The file.
        name: String,
        /// What is wrong, and where.
        what: String,
    },
    /// Somebody else is saving it and does not come to an end.
    #[error("{}: another program has held it for {seconds} seconds; wait for it to end, then try again", path.display())]
    Busy {
        /// The file.
        path: PathBuf,
        /// How long was waited.
        seconds: u64,
    },
    /// The lock file beside it cannot be made.
    #[error("{}: cannot be locked; check that its folder can be written to", path.display())]
    Lock {
        /// The list.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// It was not saved.
    #[error(transparent)]
    Save(#[from] SaveError),
    /// No item has this id or number.
    #[error("no item {name}{near}")]
    NoItem {
        /// What was asked for.
        name: String,
        /// Ids or numbers that there are, as `; …`.
        near: String,
    },
    /// An item has no such field, or none that can be set.
    #[error("no field {name:?} that can be set{near}; the fields are {}", fields.join(", "))]
    NoField {
        /// What was asked for.
        name: String,
        /// The nearest field, as `; did you mean …?`.
        near: String,
        /// All fields.
        fields: Vec<&'static str>,
    },
    /// The value does not fit the field.
    #[error("{field} cannot be {value}; {mend}")]
    BadValue {
        /// The field.
        field: String,
        /// What was given, as JSON.
        value: String,
        /// What it can be.
        mend: String,
    },
    /// The operation does not fit the list as it stands.
    #[error("{0}")]
    Unfit(String),
    /// What an undo is to take back was changed again by somebody else.
    #[error("cannot be undone: {what} was changed again since; set it by hand")]
    ChangedSince {
        /// The thing, as people call it.
        what: String,
    },
}
