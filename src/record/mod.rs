//! A saved list as a record: what people decided about it is kept, apart from what was read, whatever else the file holds.
//!
//! A [`Record`] is the list's JSON as it stands in the file, so fields that a newer version wrote survive. An
//! [`Operation`] is applied with a [`Decision`] (who, by role, and when) and gives an [`Undo`]. [`update`] does so to a file,
//! under a lock, so that several programs can write. Items carry `decided`: `{by, when, how, fields, read}`, where `read` has for
//! each decided field what was read before. Dropped items move to `dropped`; ids and numbers are never given again.

mod add;
mod again;
mod apply;
mod derived;
mod edit;
mod error;
mod fields;
mod file;
mod operation;
mod shape;

pub use crate::list::Closed;
pub use again::{Again, Disagreement, read_again};
pub use apply::{apply, undo};
pub use error::RecordError;
pub use fields::FIELDS;
pub use file::update;
pub use operation::{Decision, Operation, Place, Undo, passed_id};
pub use shape::Record;
