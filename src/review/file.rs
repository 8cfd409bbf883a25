//! A list file as the page works on it: read anew for each change, changed in its JSON so that unknown fields stay, saved whole.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};

use super::change::{Change, Done, Place};
use super::desk::{Desk, DeskError};
use super::view;
use crate::list::{Item, List, save};

/// A list file, and what was changed in it since it was opened.
#[derive(Debug)]
pub struct FileDesk {
    path: PathBuf,
    /// When decisions are made (RFC 3339).
    now: String,
    done: Vec<Step>,
}

/// One change, as it can be taken back.
#[derive(Debug)]
struct Step {
    label: String,
    /// What stood in the three lists under these keys before; null where nothing did.
    before: Vec<(Slot, Value)>,
}

/// A place in the file: an item, a dropped item, a stretch that was passed over.
#[derive(Debug, Clone, PartialEq)]
struct Slot {
    list: &'static str,
    key: String,
}

const ITEMS: &str = "items";
const DROPPED: &str = "dropped";
const PASSED: &str = "passed_over";

impl FileDesk {
    /// Opens a list file; `now` is what its decisions are dated with.
    ///
    /// # Errors
    /// Where the file cannot be read or is no list.
    pub fn open(path: &Path, now: &str) -> Result<FileDesk, DeskError> {
        let desk = FileDesk {
            path: path.to_path_buf(),
            now: now.to_string(),
            done: Vec::new(),
        };
        desk.read()?;
        Ok(desk)
    }

    fn read(&self) -> Result<(Value, String), DeskError> {
        let shown = self.path.display();
        let bytes = fs::read(&self.path).map_err(|e| {
            DeskError::File(format!(
                "{shown}: cannot be read: {e}; check its name and folder"
            ))
        })?;
        let list: Value = serde_json::from_slice(&bytes).map_err(|e| {
            DeskError::File(format!(
                "{shown}: is no JSON: {e}; name a list that storystick saved"
            ))
        })?;
        if let Err(e) = serde_json::from_value::<List>(list.clone()) {
            return Err(DeskError::File(format!(
                "{shown}: is no list: {e}; name one that `storystick list -o NAME.json` saved"
            )));
        }
        Ok((list, view::revision(&bytes)))
    }

    fn write(&self, list: &Value) -> Result<(), DeskError> {
        let mut text = serde_json::to_string_pretty(list)
            .map_err(|e| DeskError::File(format!("{}: {e}", self.path.display())))?;
        text.push('\n');
        save(&self.path, text.as_bytes()).map_err(|e| {
            let why = std::error::Error::source(&e)
                .map(|s| format!(": {s}"))
                .unwrap_or_default();
            DeskError::File(format!("{e}{why}"))
        })
    }
}

impl Desk for FileDesk {
    fn revision(&mut self) -> Result<String, DeskError> {
        let bytes = fs::read(&self.path).map_err(|e| {
            DeskError::File(format!("{}: cannot be read: {e}", self.path.display()))
        })?;
        Ok(view::revision(&bytes))
    }

    fn view(&mut self) -> Result<Value, DeskError> {
        let (list, revision) = self.read()?;
        let name = self
            .path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let undo = self.done.last().map(|s| s.label.as_str());
        Ok(view::view(&list, &name, &revision, undo))
    }

    fn change(&mut self, change: Change) -> Result<Done, DeskError> {
        let (mut list, _) = self.read()?;
        if change == Change::Undo {
            let Some(step) = self.done.pop() else {
                return Err(DeskError::Unfit("nothing was changed here yet".to_string()));
            };
            let touched = step.before.iter().map(|(s, _)| s.key.clone()).collect();
            for (slot, value) in &step.before {
                put(&mut list, slot, value.clone());
            }
            let said = Some(format!("Undone: {}.", step.label));
            if let Err(error) = self.write(&list) {
                self.done.push(step);
                return Err(error);
            }
            return Ok(Done {
                made: None,
                touched,
                said,
            });
        }
        let mut work = Work {
            list,
            now: &self.now,
            before: Vec::new(),
        };
        let (label, made) = work.make(change)?;
        let Work { list, before, .. } = work;
        // What a person typed may not make the list one that no command reads.
        serde_json::from_value::<List>(list.clone())
            .map_err(|e| DeskError::Unfit(format!("a list cannot hold that: {e}")))?;
        self.write(&list)?;
        let touched = before.iter().map(|(s, _)| s.key.clone()).collect();
        self.done.push(Step { label, before });
        Ok(Done {
            made,
            touched,
            said: None,
        })
    }
}

/// A change while it is being made.
struct Work<'a> {
    list: Value,
    now: &'a str,
    before: Vec<(Slot, Value)>,
}

impl Work<'_> {
    fn make(&mut self, change: Change) -> Result<(String, Option<String>), DeskError> {
        match change {
            Change::Accept { id } => {
                let item = self.item(&id)?;
                let label = format!("accept {}", item["number"]);
                self.store(ITEMS, &id, self.decided(item, "accepted"));
                Ok((label, None))
            }
            Change::Set { id, fields } => {
                let mut item = self.item(&id)?;
                let names: Vec<&str> = fields.keys().map(String::as_str).collect();
                let label = format!("{} of {}", names.join(", "), item["number"]);
                set(&mut item, fields)?;
                self.store(ITEMS, &id, self.decided(item, "changed"));
                Ok((label, None))
            }
            Change::Drop { id } => {
                let item = self.item(&id)?;
                let label = format!("drop {}", item["number"]);
                self.store(ITEMS, &id, Value::Null);
                self.store(DROPPED, &id, self.decided(item, "dropped"));
                Ok((label, None))
            }
            Change::Restore { id } => {
                let item = find(&self.list, DROPPED, &id)
                    .ok_or_else(|| unknown(&id))?
                    .clone();
                let label = format!("bring back {}", item["number"]);
                self.store(DROPPED, &id, Value::Null);
                self.store(ITEMS, &id, self.decided(item, "changed"));
                Ok((label, None))
            }
            Change::Close { id, how } => {
                let mut item = self.item(&id)?;
                let label = format!("close {}", item["number"]);
                item["closed"] = json!(how);
                self.store(ITEMS, &id, self.decided(item, "changed"));
                Ok((label, None))
            }
            Change::Split { id, said, fields } => self.split(&id, &said, fields),
            Change::Join { id, with } => self.join(&id, &with),
            Change::Add { walk, at, fields } => {
                let said = json!([{"walk": walk, "start": at, "end": at, "text": ""}]);
                let item = self.fresh(fields, said)?;
                Ok((format!("add {}", item["number"]), self.place(item)))
            }
            Change::Private { id, said, private } => self.keep(id.as_deref(), &said, private),
            Change::FromPassedOver { id } => {
                let stretch = find(&self.list, PASSED, &id)
                    .ok_or_else(|| unknown(&id))?
                    .clone();
                let item = self.fresh(Map::new(), json!([stretch["said"]]))?;
                self.store(PASSED, &id, Value::Null);
                Ok((format!("add {}", item["number"]), self.place(item)))
            }
            Change::Undo => Err(DeskError::Unfit("undo stands alone".to_string())),
        }
    }

    fn item(&self, id: &str) -> Result<Value, DeskError> {
        find(&self.list, ITEMS, id)
            .cloned()
            .ok_or_else(|| unknown(id))
    }

    fn store(&mut self, list: &'static str, key: &str, value: Value) {
        let slot = Slot {
            list,
            key: key.to_string(),
        };
        let old = find(&self.list, list, key).cloned().unwrap_or(Value::Null);
        // An undo goes back to what stood there first.
        if !self.before.iter().any(|(s, _)| *s == slot) {
            self.before.push((slot.clone(), old));
        }
        put(&mut self.list, &slot, value);
    }

    fn decided(&self, mut item: Value, how: &str) -> Value {
        item["decided"] = json!({"how": how, "at": self.now});
        item
    }

    fn split(
        &mut self,
        id: &str,
        said: &[usize],
        fields: Map<String, Value>,
    ) -> Result<(String, Option<String>), DeskError> {
        let mut item = self.item(id)?;
        let label = format!("split {}", item["number"]);
        let words = item["said"].as_array().cloned().unwrap_or_default();
        let (gone, stay): (Vec<_>, Vec<_>) = words
            .iter()
            .cloned()
            .enumerate()
            .partition(|(i, _)| said.contains(i));
        if !said.is_empty() && (stay.is_empty() || gone.len() != said.len()) {
            return Err(DeskError::Unfit(
                "each of the two items needs some of the words".to_string(),
            ));
        }
        let only = |all: Vec<(usize, Value)>| all.into_iter().map(|(_, s)| s).collect::<Vec<_>>();
        let moved = if said.is_empty() { words } else { only(gone) };
        let mut other = item.clone();
        if !said.is_empty() {
            item["said"] = json!(only(stay));
        }
        other["said"] = json!(moved);
        set(&mut other, fields)?;
        let other = self.numbered(other, id);
        self.store(ITEMS, id, self.decided(item, "changed"));
        Ok((label, self.place(other)))
    }

    fn join(&mut self, id: &str, with: &str) -> Result<(String, Option<String>), DeskError> {
        if id == with {
            return Err(DeskError::Unfit(
                "an item cannot be joined with itself".to_string(),
            ));
        }
        let (mut item, other) = (self.item(id)?, self.item(with)?);
        let label = format!("join {} and {}", item["number"], other["number"]);
        let mut said = item["said"].as_array().cloned().unwrap_or_default();
        for words in other["said"].as_array().into_iter().flatten() {
            if !said.contains(words) {
                said.push(words.clone());
            }
        }
        let key = |s: &Value| {
            (
                s["walk"].as_str().unwrap_or_default().to_string(),
                s["start"].as_f64().unwrap_or(0.0),
            )
        };
        said.sort_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        item["said"] = json!(said);
        self.store(ITEMS, with, Value::Null);
        self.store(DROPPED, with, self.decided(other, "joined"));
        self.store(ITEMS, id, self.decided(item, "changed"));
        Ok((label, None))
    }

    fn keep(
        &mut self,
        id: Option<&str>,
        place: &Place,
        private: bool,
    ) -> Result<(String, Option<String>), DeskError> {
        let here = |said: &Value| {
            said["walk"] == *place.walk && said["start"] == place.start && said["end"] == place.end
        };
        let label = if private {
            "keep words private"
        } else {
            "let words go again"
        };
        let gone = || DeskError::Unfit("these words are no longer in the list".to_string());
        match id {
            Some(id) => {
                let mut item = self.item(id)?;
                let words = item["said"]
                    .as_array_mut()
                    .and_then(|all| all.iter_mut().find(|s| here(s)))
                    .ok_or_else(gone)?;
                words["private"] = json!(private);
                self.store(ITEMS, id, item);
            }
            None => {
                let all = self.list[PASSED]
                    .as_array()
                    .map(Vec::as_slice)
                    .unwrap_or_default();
                let mut stretch = all
                    .iter()
                    .find(|p| here(&p["said"]))
                    .cloned()
                    .ok_or_else(gone)?;
                stretch["said"]["private"] = json!(private);
                let key = view::passed_id(&stretch["said"]);
                self.store(PASSED, &key, stretch);
            }
        }
        Ok((label.to_string(), None))
    }

    /// An item that a person made.
    fn fresh(&self, fields: Map<String, Value>, said: Value) -> Result<Value, DeskError> {
        let mut item = json!({"id": "", "number": 0, "area": [], "where": null, "element": null, "fault": null,
            "work": "check", "trade": "superintendent", "standing": "outstanding", "text": "", "confidence": 1.0, "said": said, "why": ["person"]});
        set(&mut item, fields)?;
        Ok(self.numbered(item, "new"))
    }

    fn numbered(&self, mut item: Value, seed: &str) -> Value {
        let all = || {
            [ITEMS, DROPPED]
                .into_iter()
                .flat_map(|l| self.list[l].as_array().into_iter().flatten())
        };
        let number = all()
            .filter_map(|i| i["number"].as_u64())
            .max()
            .unwrap_or(0)
            + 1;
        let id = (0u32..)
            .map(|n| {
                let digest = Sha256::digest(format!("{seed} {number} {n} {}", item["said"]));
                digest[..3]
                    .iter()
                    .map(|b| format!("{b:02x}"))
                    .collect::<String>()
            })
            .find(|id| all().all(|i| i["id"] != **id))
            .unwrap_or_default();
        item["id"] = json!(id);
        item["number"] = json!(number);
        self.decided(item, "added")
    }

    fn place(&mut self, item: Value) -> Option<String> {
        let id = item["id"].as_str()?.to_string();
        self.store(ITEMS, &id, item);
        Some(id)
    }
}

fn set(item: &mut Value, fields: Map<String, Value>) -> Result<(), DeskError> {
    for (name, value) in fields {
        item[&name] = value;
        if let Err(e) = serde_json::from_value::<Item>(item.clone()) {
            return Err(DeskError::Unfit(format!("{name}: {e}")));
        }
    }
    Ok(())
}

fn unknown(id: &str) -> DeskError {
    DeskError::Unfit(format!("{id} is no longer in the list; choose another"))
}

fn is(list: &str, value: &Value, key: &str) -> bool {
    if list == PASSED {
        view::passed_id(&value["said"]) == key
    } else {
        value["id"] == *key
    }
}

fn find<'v>(all: &'v Value, list: &str, key: &str) -> Option<&'v Value> {
    all[list].as_array()?.iter().find(|v| is(list, v, key))
}

/// Puts a value in its place: over the one of that key, else in the order of the recording; null takes it out.
fn put(all: &mut Value, slot: &Slot, value: Value) {
    if !all[slot.list].is_array() {
        all[slot.list] = json!([]);
    }
    let Some(list) = all[slot.list].as_array_mut() else {
        return;
    };
    let at = list.iter().position(|v| is(slot.list, v, &slot.key));
    match (at, value) {
        (Some(at), Value::Null) => {
            list.remove(at);
        }
        (None, Value::Null) => {}
        (Some(at), value) => list[at] = value,
        (None, value) => {
            let start = |v: &Value| {
                let said = v["said"].get(0).unwrap_or(&v["said"]);
                (
                    said["walk"].as_str().unwrap_or_default().to_string(),
                    said["start"].as_f64().unwrap_or(0.0),
                )
            };
            let new = start(&value);
            let at = list
                .iter()
                .position(|v| start(v) > new)
                .unwrap_or(list.len());
            list.insert(at, value);
        }
    }
}
