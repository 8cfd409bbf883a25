//! Operations, done and taken back.

use serde_json::{Map, Value, json};

use super::edit::{Edit, take_back};
use super::error::RecordError;
use super::operation::{Decision, Operation, Place, Step, Undo, passed_id};
use super::shape::Record;
use super::{add, derived, fields};
use crate::lexicon::layers::nearest;

/// Does one operation and tells how it is taken back.
///
/// # Errors
/// Where it does not fit the list; nothing is then changed.
pub fn apply(
    record: &mut Record,
    operation: &Operation,
    decision: &Decision,
) -> Result<Undo, RecordError> {
    let mut work = Work {
        edit: Edit {
            list: record.value.clone(),
            steps: Vec::new(),
        },
        decision,
    };
    let (label, made) = work.operate(operation)?;
    let Edit { list, steps } = work.edit;
    let touched = touched(&steps);
    record.value = list;
    Ok(Undo {
        label,
        made,
        touched,
        steps,
    })
}

/// Takes an operation back. What others did to other items meanwhile stays.
///
/// # Errors
/// Where what it changed was changed again; nothing is then changed.
pub fn undo(record: &mut Record, undo: &Undo) -> Result<(), RecordError> {
    let mut list = record.value.clone();
    let unsettled = take_back(&mut list, &undo.steps)?;
    let mut edit = Edit {
        list,
        steps: Vec::new(),
    };
    edit.settle(&unsettled);
    record.value = edit.list;
    Ok(())
}

fn touched(steps: &[Step]) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for step in steps.iter().filter(|s| !s.follows) {
        for thing in step.before.iter().chain(&step.after) {
            if let Some(id) = thing["id"]
                .as_str()
                .filter(|id| ids.iter().all(|i| i != id))
            {
                ids.push(id.to_string());
            }
        }
    }
    ids
}

/// Where in `items` or `dropped` the item of this id or number stands.
pub(super) fn find(value: &Value, list: &str, name: &str) -> Result<usize, RecordError> {
    let all = value[list]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    let asked = name.trim();
    let number: Option<u64> = asked.strip_prefix('#').unwrap_or(asked).parse().ok();
    let by_id = all.iter().position(|i| i["id"] == asked);
    let at = by_id.or_else(|| {
        all.iter()
            .position(|i| number.is_some() && i["number"].as_u64() == number)
    });
    at.ok_or_else(|| {
        let other = if list == "items" { "dropped" } else { "items" };
        let same =
            |i: &&Value| i["id"] == asked || number.is_some() && i["number"].as_u64() == number;
        let elsewhere = value[other]
            .as_array()
            .and_then(|all| all.iter().find(same));
        let near = match elsewhere {
            Some(_) if list == "items" => "; it was dropped, and can be restored".to_string(),
            Some(_) => " was dropped; it is in the list".to_string(),
            None if number.is_some() => match all.iter().filter_map(|i| i["number"].as_u64()).max()
            {
                Some(last) => format!("; the numbers go to {last}"),
                None => "; the list has no items".to_string(),
            },
            None => nearest(asked, all.iter().filter_map(|i| i["id"].as_str())),
        };
        RecordError::NoItem {
            name: asked.to_string(),
            near,
        }
    })
}

/// An operation under way.
pub(super) struct Work<'a> {
    pub(super) edit: Edit,
    pub(super) decision: &'a Decision,
}

type Made = Result<(String, Option<String>), RecordError>;

impl Work<'_> {
    fn operate(&mut self, operation: &Operation) -> Made {
        match operation {
            Operation::Set { id, fields } => self.set(id, fields),
            Operation::Accept { id } => {
                let (at, mut item) = self.item("items", id)?;
                self.decide(&mut item, "accepted", &[]);
                let label = format!("accept {}", item["number"]);
                self.edit.replace("items", at, item);
                Ok((label, None))
            }
            Operation::Drop { id } => {
                let (at, mut item) = self.item("items", id)?;
                self.decide(&mut item, "dropped", &[]);
                let label = format!("drop {}", item["number"]);
                self.edit.remove("items", at);
                self.put_away(item);
                Ok((label, None))
            }
            Operation::Restore { id } => {
                let (at, mut item) = self.item("dropped", id)?;
                self.decide(&mut item, "restored", &[]);
                if let Value::Object(item) = &mut item {
                    item.shift_remove("joined_into");
                }
                let label = format!("restore {}", item["number"]);
                self.edit.remove("dropped", at);
                self.put_in(item);
                Ok((label, None))
            }
            Operation::Close { id, how: Some(how) } => {
                let (at, mut item) = self.item("items", id)?;
                let before = item["closed"].take();
                item["closed"] = json!(how.word());
                self.decide(&mut item, "closed", &[("closed", before)]);
                let label = format!("close {}", item["number"]);
                self.change(at, item);
                Ok((label, None))
            }
            Operation::Close { id, how: None } | Operation::Reopen { id } => self.reopen(id),
            Operation::Split { id, said, fields } => self.split(id, said, fields),
            Operation::Join { id, with } => self.join(id, with),
            Operation::Private { id, said, private } => self.private(id.as_deref(), said, *private),
            Operation::Add {
                walk,
                at,
                text,
                fields,
            } => add::missed(self, walk.as_deref(), *at, text.as_deref(), fields),
            Operation::FromPassedOver { id, fields } => add::passed_over(self, id, fields),
        }
    }

    fn item(&self, list: &str, name: &str) -> Result<(usize, Value), RecordError> {
        let at = find(&self.edit.list, list, name)?;
        Ok((at, self.edit.all(list)[at].clone()))
    }

    /// Puts down on the item who decided what; `read` keeps the first value of each field.
    pub(super) fn decide(&self, item: &mut Value, how: &str, changed: &[(&str, Value)]) {
        let mut decided = match item["decided"].take() {
            Value::Object(decided) => decided,
            _ => Map::new(),
        };
        decided.insert("by".into(), json!(self.decision.by));
        decided.insert("when".into(), json!(self.decision.when));
        decided.insert("how".into(), json!(how));
        let mut fields = decided
            .get("fields")
            .and_then(Value::as_array)
            .cloned()
            .unwrap_or_default();
        let mut read = match decided.get_mut("read").map(Value::take) {
            Some(Value::Object(read)) => read,
            _ => Map::new(),
        };
        for (field, before) in changed {
            if fields.iter().all(|f| f != field) {
                fields.push(json!(field));
                read.entry(*field).or_insert_with(|| before.clone());
            }
        }
        decided.insert("fields".into(), Value::Array(fields));
        decided.insert("read".into(), Value::Object(read));
        item["decided"] = Value::Object(decided);
    }

    /// Other content for an item, and what follows for the areas.
    fn change(&mut self, at: usize, item: Value) {
        let paths = [
            self.edit.all("items")[at]["area"].clone(),
            item["area"].clone(),
        ];
        self.edit.replace("items", at, item);
        self.edit.settle(&paths);
    }

    /// A new place in the list, by when it was first said; what nobody said comes last.
    pub(super) fn put_in(&mut self, item: Value) {
        let walks = self.edit.all("walks");
        let said = |i: &Value| {
            let first = &i["said"][0];
            let walk = walks.iter().position(|w| w["id"] == first["walk"]);
            (
                walk.unwrap_or(usize::MAX),
                first["start"].as_f64().unwrap_or(f64::MAX),
            )
        };
        let items = self.edit.all("items");
        let at = items
            .iter()
            .position(|i| said(i) > said(&item))
            .unwrap_or(items.len());
        let area = item["area"].clone();
        self.edit.insert("items", at, item);
        self.edit.settle(&[area]);
    }

    fn put_away(&mut self, item: Value) {
        let (end, area) = (self.edit.all("dropped").len(), item["area"].clone());
        self.edit.insert("dropped", end, item);
        self.edit.settle(&[area]);
    }

    fn set(&mut self, id: &str, asked: &Map<String, Value>) -> Made {
        let (at, mut item) = self.item("items", id)?;
        let changed = self.fill(&mut item, asked)?;
        let names: Vec<&str> = changed.iter().map(|(f, _)| *f).collect();
        if asked.is_empty() {
            return Err(RecordError::Unfit(
                "no field is named; name one, as in trade=painter".into(),
            ));
        }
        let label = format!("{} of {}", names.join(", "), item["number"]);
        self.decide(&mut item, "changed", &changed);
        self.change(at, item);
        Ok((label, None))
    }

    /// Sets fields of an item and what follows from them; gives the fields with what they were.
    pub(super) fn fill(
        &self,
        item: &mut Value,
        asked: &Map<String, Value>,
    ) -> Result<Vec<(&'static str, Value)>, RecordError> {
        let mut checked = fields::check(asked)?;
        for (field, value) in &mut checked {
            if *field == "area" {
                *value = add::area(&self.edit, value)?;
            }
        }
        let before = item.as_object().cloned().unwrap_or_default();
        let mut changed = Vec::new();
        for (field, value) in checked {
            let old = std::mem::replace(&mut item[field], value);
            changed.push((field, old));
        }
        let set = |f: &str| changed.iter().any(|(c, _)| *c == f);
        let decided = |f: &str| {
            before.get("decided").is_some_and(|d| {
                d["fields"]
                    .as_array()
                    .is_some_and(|a| a.iter().any(|x| x == f))
            })
        };
        let worded = ["element", "fault", "work", "count", "where"];
        let now = item.as_object().cloned().unwrap_or_default();
        let differs =
            |f: &str| now.get(f).unwrap_or(&Value::Null) != before.get(f).unwrap_or(&Value::Null);
        if worded.iter().any(|f| differs(f)) && !set("text") && !decided("text") {
            item["text"] = json!(derived::text(&before, &now));
        }
        if differs("trade") {
            item["section"] =
                derived::section(&self.edit.list, item["trade"].as_str().unwrap_or_default());
        }
        if set("by") {
            let date = derived::by_date(&self.edit.list, item);
            if let Value::Object(item) = item {
                item.shift_remove("by_date");
                item.extend(date.map(|d| ("by_date".to_string(), json!(d))));
            }
        }
        // The caution told of the old danger, the promise of the old follow-up.
        if let Value::Object(item) = item {
            if differs("hazard") {
                item.shift_remove("caution");
                item.shift_remove("caution_source");
            }
            if differs("follow_up")
                && item["follow_up"].is_null()
                && item.contains_key("promised_by")
            {
                item.insert("promised_by".into(), Value::Null);
            }
        }
        Ok(changed)
    }

    fn reopen(&mut self, id: &str) -> Made {
        let (at, mut item) = self.item("items", id)?;
        if derived::open(&item) {
            return Err(RecordError::Unfit(format!(
                "item {} is open already",
                item["number"]
            )));
        }
        let mut changed = Vec::new();
        if !item["closed"].is_null() {
            changed.push((
                "closed",
                std::mem::replace(&mut item["closed"], Value::Null),
            ));
        }
        if item["standing"] == "made-good" {
            changed.push((
                "standing",
                std::mem::replace(&mut item["standing"], json!("outstanding")),
            ));
        }
        self.decide(&mut item, "reopened", &changed);
        let label = format!("reopen {}", item["number"]);
        self.change(at, item);
        Ok((label, None))
    }

    fn split(&mut self, id: &str, moved: &[usize], fields: &Map<String, Value>) -> Made {
        let (at, mut item) = self.item("items", id)?;
        let words = item["said"].as_array().cloned().unwrap_or_default();
        if let Some(i) = moved.iter().find(|i| **i >= words.len()) {
            return Err(RecordError::Unfit(format!(
                "item {} has {} stretches of words, counted from 0, and none at {i}",
                item["number"],
                words.len()
            )));
        }
        let part = |gone: bool| -> Vec<Value> {
            let all = words.iter().enumerate();
            all.filter(|(i, _)| moved.contains(i) == gone)
                .map(|(_, w)| w.clone())
                .collect()
        };
        if !moved.is_empty() && part(false).is_empty() {
            return Err(RecordError::Unfit(
                "each of the two items needs some of the words; leave some".into(),
            ));
        }
        let label = format!("split {}", item["number"]);
        let mut other = item.clone();
        let mut changed = self.fill(&mut other, fields)?;
        if !moved.is_empty() {
            other["said"] = json!(part(true));
            changed.push(("said", json!(words)));
            item["said"] = json!(part(false));
        }
        if let Value::Object(other) = &mut other {
            other.insert("split_from".into(), item["id"].clone());
        }
        let own = if moved.is_empty() {
            vec![]
        } else {
            vec![("said", json!(words))]
        };
        self.decide(&mut item, "split", &own);
        self.decide(&mut other, "split", &changed);
        add::number(&self.edit, &mut other);
        let made = other["id"].as_str().map(str::to_string);
        self.change(at, item);
        self.put_in(other);
        Ok((label, made))
    }

    fn join(&mut self, id: &str, with: &str) -> Made {
        let (at, mut item) = self.item("items", id)?;
        let (gone, mut other) = self.item("items", with)?;
        if at == gone {
            return Err(RecordError::Unfit(
                "an item cannot be joined with itself; name two".into(),
            ));
        }
        let before = item.as_object().cloned().unwrap_or_default();
        let mut changed = vec![("said", item["said"].clone())];
        let mut said = item["said"].as_array().cloned().unwrap_or_default();
        for words in other["said"].as_array().into_iter().flatten() {
            if !said.contains(words) {
                said.push(words.clone());
            }
        }
        let order: Vec<Value> = self
            .edit
            .all("walks")
            .iter()
            .map(|w| w["id"].clone())
            .collect();
        let walk = |s: &Value| {
            order
                .iter()
                .position(|w| *w == s["walk"])
                .unwrap_or(usize::MAX)
        };
        let start = |s: &Value| s["start"].as_f64().unwrap_or(0.0);
        said.sort_by(|a, b| walk(a).cmp(&walk(b)).then(start(a).total_cmp(&start(b))));
        item["said"] = json!(said);
        for field in [
            "where",
            "fault",
            "count",
            "measure",
            "by",
            "hazard",
            "follow_up",
        ] {
            if item[field].is_null() && !other[field].is_null() {
                changed.push((field, Value::Null));
                item[field] = other[field].clone();
            }
        }
        if item["urgent"] != true && other["urgent"] == true {
            changed.push((
                "urgent",
                std::mem::replace(&mut item["urgent"], json!(true)),
            ));
        }
        let decided = item["decided"]["fields"]
            .as_array()
            .is_some_and(|f| f.iter().any(|f| f == "text"));
        if let (Value::Object(now), false) = (&mut item, decided) {
            let text = derived::text(&before, now);
            now.insert("text".into(), json!(text));
        }
        self.decide(&mut item, "joined", &changed);
        self.decide(&mut other, "joined", &[]);
        other["joined_into"] = item["id"].clone();
        let label = format!("join {} and {}", item["number"], other["number"]);
        self.change(at, item);
        self.edit.remove("items", gone);
        self.put_away(other);
        Ok((label, None))
    }

    fn private(&mut self, id: Option<&str>, place: &Place, private: bool) -> Made {
        let here = |s: &Value| {
            s["walk"] == *place.walk
                && s["start"].as_f64() == Some(place.start)
                && s["end"].as_f64() == Some(place.end)
        };
        let none = || {
            RecordError::Unfit(format!(
                "these words ({} {}-{}) are not there; open the list again",
                place.walk, place.start, place.end
            ))
        };
        let label = if private {
            "keep words private"
        } else {
            "let words go again"
        };
        match id {
            Some(id) => {
                let (at, mut item) = self.item("items", id)?;
                let words = item["said"]
                    .as_array_mut()
                    .and_then(|all| all.iter_mut().find(|s| here(s)));
                words.ok_or_else(none)?["private"] = json!(private);
                self.decide(&mut item, "changed", &[("private", Value::Null)]);
                self.edit.replace("items", at, item);
            }
            None => {
                let at = self
                    .edit
                    .all("passed_over")
                    .iter()
                    .position(|p| here(&p["said"]))
                    .ok_or_else(none)?;
                let mut stretch = self.edit.all("passed_over")[at].clone();
                stretch["said"]["private"] = json!(private);
                self.edit.replace("passed_over", at, stretch);
            }
        }
        Ok((label.to_string(), None))
    }

    /// Where a stretch that was passed over stands.
    pub(super) fn stretch(&self, id: &str) -> Result<usize, RecordError> {
        let at = self
            .edit
            .all("passed_over")
            .iter()
            .position(|p| passed_id(&p["said"]) == id);
        at.ok_or_else(|| RecordError::Unfit(format!("no stretch {id} was passed over; name one as WALK@START-END, in seconds as in the file")))
    }
}
