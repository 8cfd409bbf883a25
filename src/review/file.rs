//! A list file as the page works on it. The file is read anew for each change, so nobody else's work is lost.

use std::error::Error;
use std::fmt;
use std::path::{Path, PathBuf};

use serde_json::Value;

use super::change::{Change, Done};
use super::desk::{Desk, DeskError};
use super::view;
use crate::record::{self, Decision, Record, RecordError, Undo};

/// Gives the time of a decision, as RFC 3339.
pub type Clock = Box<dyn Fn() -> String + Send>;

/// A list file, and what was changed in it since it was opened.
pub struct FileDesk {
    path: PathBuf,
    /// Whose decisions these are: a role.
    by: String,
    clock: Clock,
    done: Vec<Undo>,
}

impl fmt::Debug for FileDesk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("FileDesk")
            .field("path", &self.path)
            .finish_non_exhaustive()
    }
}

impl FileDesk {
    /// Opens a list file for the decisions of a person in this role.
    ///
    /// # Errors
    /// Where the file cannot be read or is no list.
    pub fn open(path: &Path, by: &str, clock: Clock) -> Result<FileDesk, RecordError> {
        Record::open(path)?;
        Ok(FileDesk {
            path: path.to_path_buf(),
            by: by.to_string(),
            clock,
            done: Vec::new(),
        })
    }
}

impl Desk for FileDesk {
    fn revision(&mut self) -> Result<String, DeskError> {
        Ok(Record::open(&self.path)?.revision().to_string())
    }

    fn view(&mut self) -> Result<Value, DeskError> {
        let record = Record::open(&self.path)?;
        let name = self.path.file_name().unwrap_or_default().to_string_lossy();
        let undo = self.done.last().map(|u| u.label.as_str());
        Ok(view::view(record.value(), &name, record.revision(), undo))
    }

    fn change(&mut self, change: Change) -> Result<Done, DeskError> {
        let operation = match change {
            Change::Do(operation) => operation,
            Change::Undo => return self.undo(),
        };
        let decision = Decision {
            by: self.by.clone(),
            when: (self.clock)(),
        };
        let (undo, _) = record::update(&self.path, |r| record::apply(r, &operation, &decision))?;
        let done = Done {
            made: undo.made.clone(),
            touched: undo.touched.clone(),
            said: None,
        };
        self.done.push(undo);
        Ok(done)
    }
}

impl FileDesk {
    fn undo(&mut self) -> Result<Done, DeskError> {
        let Some(last) = self.done.last() else {
            return Err(DeskError::Unfit("nothing was changed here yet".to_string()));
        };
        let undone = record::update(&self.path, |r| record::undo(r, last));
        let done = Done {
            made: None,
            touched: last.touched.clone(),
            said: Some(format!("Undone: {}.", last.label)),
        };
        // What somebody else changed since can never be taken back; the changes before it may.
        if matches!(undone, Ok(_) | Err(RecordError::ChangedSince { .. })) {
            self.done.pop();
        }
        undone?;
        Ok(done)
    }
}

impl From<RecordError> for DeskError {
    fn from(error: RecordError) -> DeskError {
        let mut text = error.to_string();
        let mut cause = error.source();
        while let Some(why) = cause {
            // Some errors show their cause already.
            let why_text = why.to_string();
            if !text.contains(&why_text) {
                text.push_str(&format!(": {why_text}"));
            }
            cause = why.source();
        }
        match error {
            RecordError::NoItem { .. }
            | RecordError::NoField { .. }
            | RecordError::BadValue { .. }
            | RecordError::Unfit(_)
            | RecordError::ChangedSince { .. } => DeskError::Unfit(text),
            _ => DeskError::File(text),
        }
    }
}
