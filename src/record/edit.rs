//! Changes of the arrays of a list, kept so that they can be taken back.

use serde_json::{Value, json};

use super::derived;
use super::error::RecordError;
use super::operation::Step;

/// A list while an operation changes it.
pub(super) struct Edit {
    /// The list.
    pub(super) list: Value,
    /// What was changed, in order.
    pub(super) steps: Vec<Step>,
}

impl Edit {
    /// The things of one array.
    pub(super) fn all(&self, list: &str) -> &[Value] {
        self.list[list]
            .as_array()
            .map(Vec::as_slice)
            .unwrap_or_default()
    }

    fn array(&mut self, list: &str) -> (&mut Vec<Value>, bool) {
        let new = !self.list[list].is_array();
        if new {
            self.list[list] = json!([]);
        }
        match &mut self.list[list] {
            Value::Array(all) => (all, new),
            _ => unreachable!("just made an array"),
        }
    }

    /// Other content for what stands at `index`.
    pub(super) fn replace(&mut self, list: &str, index: usize, after: Value) {
        let (all, _) = self.array(list);
        let before = std::mem::replace(&mut all[index], after.clone());
        if before != after {
            self.step(list, index, Some(before), Some(after), false);
        }
    }

    /// Takes out what stands at `index`.
    pub(super) fn remove(&mut self, list: &str, index: usize) -> Value {
        let before = self.array(list).0.remove(index);
        self.step(list, index, Some(before.clone()), None, false);
        before
    }

    /// Puts something in before `index`.
    pub(super) fn insert(&mut self, list: &str, index: usize, after: Value) {
        let (all, new) = self.array(list);
        all.insert(index, after.clone());
        self.step(list, index, None, Some(after), new);
    }

    fn step(
        &mut self,
        list: &str,
        index: usize,
        before: Option<Value>,
        after: Option<Value>,
        new_list: bool,
    ) {
        self.steps.push(Step {
            list: list.to_string(),
            index,
            before,
            after,
            new_list,
            follows: list == "areas",
        });
    }

    /// Makes the areas of these paths stand as their items have it; a path that is new becomes an area.
    pub(super) fn settle(&mut self, paths: &[Value]) {
        for path in paths {
            let state = derived::state(&self.list, path);
            match self.all("areas").iter().position(|a| a["path"] == *path) {
                Some(i) => {
                    let mut area = self.all("areas")[i].clone();
                    area["state"] = json!(state);
                    self.replace("areas", i, area);
                }
                None if self.all("items").iter().any(|i| i["area"] == *path) => {
                    let free = |n: &usize| {
                        let id = format!("a{n}");
                        self.all("areas").iter().all(|a| a["id"] != *id)
                    };
                    let count = self.all("areas").len();
                    let n = (count + 1..).find(free).unwrap_or(count + 1);
                    let area = json!({"id": format!("a{n}"), "path": path, "kind": null, "state": state, "visits": []});
                    self.insert("areas", count, area);
                }
                None => {}
            }
        }
    }
}

/// Takes steps back, the last first. Gives the paths of areas that stand otherwise by now, for [`Edit::settle`].
///
/// # Errors
/// Where something stands no more as the step left it; `list` is then of no use.
pub(super) fn take_back(list: &mut Value, steps: &[Step]) -> Result<Vec<Value>, RecordError> {
    let mut unsettled = Vec::new();
    for step in steps.iter().rev() {
        let gone = || RecordError::ChangedSince {
            what: name(step.after.as_ref().or(step.before.as_ref())),
        };
        // An area that was made with its first item stays while others are there.
        if let (true, None, Some(area)) = (step.follows, &step.before, &step.after) {
            let items = list["items"].as_array().into_iter().flatten();
            if items.into_iter().any(|i| i["area"] == area["path"]) {
                unsettled.push(area["path"].clone());
                continue;
            }
        }
        let Some(all) = list[&step.list].as_array_mut() else {
            return Err(gone());
        };
        let at = step.after.as_ref().and_then(|after| {
            let there = all.get(step.index) == Some(after);
            let at = there.then_some(step.index);
            at.or_else(|| all.iter().position(|v| v == after))
        });
        match (&step.before, &step.after, at) {
            (Some(before), Some(_), Some(at)) => all[at] = before.clone(),
            (None, Some(_), Some(at)) => {
                all.remove(at);
            }
            (Some(before), None, _) => {
                // Two of one id must never stand side by side.
                if !before["id"].is_null() && all.iter().any(|v| v["id"] == before["id"]) {
                    return Err(gone());
                }
                all.insert(step.index.min(all.len()), before.clone());
            }
            _ if step.follows => {
                let area = step.after.as_ref().or(step.before.as_ref());
                unsettled.extend(area.map(|a| a["path"].clone()));
            }
            _ => return Err(gone()),
        }
        let empty = all.is_empty();
        if step.new_list
            && empty
            && let Value::Object(top) = list
        {
            top.shift_remove(&step.list);
        }
    }
    Ok(unsettled)
}

fn name(thing: Option<&Value>) -> String {
    let thing = thing.unwrap_or(&Value::Null);
    match (&thing["number"], thing["id"].as_str()) {
        (Value::Number(n), _) => format!("item {n}"),
        (_, Some(id)) => id.to_string(),
        _ => "the stretch".to_string(),
    }
}
