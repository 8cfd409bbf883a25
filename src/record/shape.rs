//! A list's JSON, checked to be one.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde::Deserialize;
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::error::RecordError;
use crate::list::List;

/// A saved list, opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    pub(super) value: Value,
    revision: String,
}

impl Record {
    /// Reads a file.
    ///
    /// # Errors
    /// Where it cannot be read, or is no list of this version.
    pub fn open(path: &Path) -> Result<Record, RecordError> {
        let bytes = fs::read(path).map_err(|source| RecordError::Read {
            path: path.to_path_buf(),
            source,
        })?;
        Record::from_bytes(&path.display().to_string(), &bytes)
    }

    /// Reads a list from JSON; `name` is what errors call it.
    ///
    /// # Errors
    /// Where the bytes are no list of this version.
    pub fn from_bytes(name: &str, bytes: &[u8]) -> Result<Record, RecordError> {
        let no_list = |what: String| RecordError::NoList {
            name: name.to_string(),
            what,
        };
        let mut value: Value =
            serde_json::from_slice(bytes).map_err(|e| no_list(format!("not JSON ({e})")))?;
        number(&mut value);
        check(&value).map_err(no_list)?;
        Ok(Record {
            value,
            revision: digest(bytes),
        })
    }

    /// SHA-256 of the bytes that were read, in hexadecimal: another one means that the file was saved since.
    pub fn revision(&self) -> &str {
        &self.revision
    }

    /// The list as it stands, with all fields.
    pub fn value(&self) -> &Value {
        &self.value
    }

    /// Puts another state of the list in the place of the one that was read.
    ///
    /// # Errors
    /// Where it is no list of this version; the record is then as it was.
    pub fn replace(&mut self, value: Value) -> Result<(), RecordError> {
        check(&value).map_err(|what| RecordError::NoList {
            name: "the changed list".to_string(),
            what,
        })?;
        self.value = value;
        Ok(())
    }

    /// The list as this version knows it.
    ///
    /// # Errors
    /// None after opening and operations; typed because the JSON could be any.
    pub fn list(&self) -> Result<List, RecordError> {
        List::deserialize(&self.value).map_err(|e| RecordError::NoList {
            name: "the list".to_string(),
            what: e.to_string(),
        })
    }

    /// The item with this id or number (`k4t7`, `14`, `#14`); dropped ones are not looked at.
    ///
    /// # Errors
    /// Where there is none.
    pub fn item(&self, name: &str) -> Result<&Value, RecordError> {
        let at = super::apply::find(&self.value, "items", name)?;
        Ok(&self.value["items"][at])
    }

    /// The dropped item with this id or number.
    pub fn dropped(&self, name: &str) -> Option<&Value> {
        let at = super::apply::find(&self.value, "dropped", name).ok()?;
        Some(&self.value["dropped"][at])
    }

    /// Whether people decided anything in it.
    pub fn has_decisions(&self) -> bool {
        let mut all = ["items", "dropped"]
            .into_iter()
            .filter_map(|l| self.value[l].as_array())
            .flatten();
        all.any(|i| !i["decided"].is_null() || !i["closed"].is_null())
    }

    /// Whether it holds what a new reading of its first walk alone would lose: decisions, or what later walks told.
    pub fn was_worked_on(&self) -> bool {
        let items = self.value["items"].as_array().into_iter().flatten();
        let later = |i: &Value| i["history"].as_array().is_some_and(|h| h.len() > 1);
        self.has_decisions() || items.into_iter().any(later)
    }

    /// The bytes to be saved: indented JSON with a line feed at its end.
    pub fn to_bytes(&self) -> Vec<u8> {
        format!("{:#}\n", self.value).into_bytes()
    }
}

pub(super) fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect()
}

/// Gives items that a plainer program left without a number the next ones, in their order.
fn number(value: &mut Value) {
    let lists = ["items", "dropped"];
    let taken = |v: &Value| {
        let all = lists.iter().filter_map(|l| v[*l].as_array()).flatten();
        all.filter_map(|i| i["number"].as_u64()).max().unwrap_or(0)
    };
    let mut next = taken(value) + 1;
    for list in lists {
        let items = value.get_mut(list).and_then(Value::as_array_mut);
        for item in items.into_iter().flatten().filter_map(Value::as_object_mut) {
            if !item.contains_key("number") {
                item.insert("number".to_string(), next.into());
                next += 1;
            }
        }
    }
}

fn check(value: &Value) -> Result<(), String> {
    if !value.is_object() {
        return Err("it is not one JSON object".to_string());
    }
    match value["schema"].as_str() {
        Some(s) if s == crate::list::SCHEMA => {}
        Some(s) => {
            return Err(format!(
                "its schema is {s:?}, not {:?}",
                crate::list::SCHEMA
            ));
        }
        None => return Err("it has no \"schema\"".to_string()),
    }
    List::deserialize(value).map_err(|e| e.to_string())?;
    if !(value["dropped"].is_null() || value["dropped"].is_array()) {
        return Err("\"dropped\" is no array".to_string());
    }
    let (mut ids, mut numbers) = (BTreeSet::new(), BTreeSet::new());
    for list in ["items", "dropped"] {
        for item in value[list].as_array().into_iter().flatten() {
            let (id, number) = (item["id"].as_str(), item["number"].as_u64());
            if !item.is_object() || id.unwrap_or_default().is_empty() || number.unwrap_or(0) == 0 {
                return Err(format!(
                    "an item in \"{list}\" has no id or no number from 1"
                ));
            }
            if !ids.insert(id) {
                return Err(format!("two items have the id {}", item["id"]));
            }
            if !numbers.insert(number) {
                return Err(format!("two items have the number {}", item["number"]));
            }
        }
    }
    Ok(())
}
