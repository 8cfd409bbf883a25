//! `storystick change LIST ...`.

use std::path::Path;

use anyhow::{Context, bail};
use serde_json::{Map, Value, json};

use super::args::ChangeArgs;
use super::{Exit, now, say};
use crate::record::{self, Closed, Decision, FIELDS, Operation, Record, RecordError};

/// Changes the list file as asked.
pub(super) fn run(raw: &ChangeArgs) -> anyhow::Result<Exit> {
    let operation = operation(&raw.what)?;
    let decision = Decision {
        by: role(&raw.by)?,
        when: now::written(raw.now.as_deref())?,
    };
    let path: &Path = &raw.list;
    let change = |r: &mut Record| {
        let undo = record::apply(r, &operation, &decision)?;
        let undated = undated(r, &operation, undo.made.as_deref())?;
        Ok((undo, undated))
    };
    let ((undo, undated), _) = record::update(path, change)
        .map_err(|e: RecordError| anyhow::Error::new(e))
        .with_context(|| format!("{}: not changed", path.display()))?;
    let made = undo.made.map(|id| format!(" ({id})")).unwrap_or_default();
    say("note", &format!("{}: {}{made}", path.display(), undo.label));
    if let Some(by) = undated {
        say(
            "note",
            &format!(
                "no date could be read in by={by:?}; it is kept as words; give a date as in by=2026-03-10, or a day the program knows \
                 where the walk's date is in the list (`list --recorded`)"
            ),
        );
    }
    Ok(Exit::Done)
}

/// The words of a deadline that was just set and has no date.
fn undated(
    record: &Record,
    operation: &Operation,
    made: Option<&str>,
) -> Result<Option<String>, RecordError> {
    let (id, fields) = match operation {
        Operation::Set { id, fields } => (id.as_str(), fields),
        Operation::Split { id, fields, .. } => (made.unwrap_or(id), fields),
        Operation::Add { fields, .. } => (made.unwrap_or_default(), fields),
        _ => return Ok(None),
    };
    if !fields.contains_key("by") {
        return Ok(None);
    }
    let item = record.item(id)?;
    let words = item["by"].as_str().filter(|_| item["by_date"].is_null());
    Ok(words.map(str::to_string))
}

pub(super) fn role(by: &str) -> anyhow::Result<String> {
    let by = by.trim();
    if by.is_empty() {
        bail!("--by names nobody; give a role, as in --by owner");
    }
    Ok(by.to_string())
}

/// What the words after the list ask for.
fn operation(what: &[String]) -> anyhow::Result<Operation> {
    let (first, rest) = what
        .split_first()
        .context("nothing to change; name an item and field=value, or drop, add, close, ...")?;
    let words: Vec<&str> = rest.iter().map(String::as_str).collect();
    let id = |name: &&str| (*name).to_string();
    Ok(match (first.as_str(), words.as_slice()) {
        ("drop", [item]) => Operation::Drop { id: id(item) },
        ("restore", [item]) => Operation::Restore { id: id(item) },
        ("accept", [item]) => Operation::Accept { id: id(item) },
        ("reopen", [item]) => Operation::Reopen { id: id(item) },
        ("join", [item, with]) => Operation::Join {
            id: id(item),
            with: id(with),
        },
        ("split", [item, ..]) => Operation::Split {
            id: id(item),
            said: Vec::new(),
            fields: fields(&rest[1..])?,
        },
        ("close", [item, how]) => Operation::Close {
            id: id(item),
            how: Some(Closed::from_word(how).with_context(|| {
                let all = ways_to_close(", ");
                format!("{how:?} is no way to close an item; it can be {all}")
            })?),
        },
        ("add", _) => add(rest)?,
        (verb @ ("drop" | "restore" | "accept" | "reopen" | "split"), _) => {
            bail!("{verb} takes one item, as in `storystick change LIST {verb} 14`")
        }
        ("join", _) => bail!("join takes two items, as in `storystick change LIST join 14 17`"),
        ("close", _) => {
            let all = ways_to_close("|");
            bail!("close takes an item and how, as in `storystick change LIST close 14 {all}`")
        }
        _ => Operation::Set {
            id: first.clone(),
            fields: fields(rest)?,
        },
    })
}

fn ways_to_close(between: &str) -> String {
    let all: Vec<&str> = Closed::ALL.iter().map(|c| c.word()).collect();
    all.join(between)
}

fn add(pairs: &[String]) -> anyhow::Result<Operation> {
    let mut fields = fields(pairs)?;
    let mut own = |name: &str| match fields.shift_remove(name) {
        Some(Value::String(text)) => Some(text),
        _ => None,
    };
    let (walk, text, at) = (own("walk"), own("said"), own("at"));
    let at = at.map(|at| seconds(&at)).transpose()?;
    for needed in ["element", "work"] {
        if !fields.contains_key(needed) {
            bail!(
                "add needs {needed}=..., as in `storystick change LIST add area=Kitchen element=sill work=clean`"
            );
        }
    }
    Ok(Operation::Add {
        walk,
        at,
        text,
        fields,
    })
}

fn fields(pairs: &[String]) -> anyhow::Result<Map<String, Value>> {
    let mut fields = Map::new();
    for pair in pairs {
        let (name, value) = pair.split_once('=').with_context(|| {
            format!(
                "{pair:?} is no field=value; the fields are {}",
                FIELDS.join(", ")
            )
        })?;
        if fields.insert(name.to_string(), json!(value)).is_some() {
            bail!("{name} is given twice; give it once");
        }
    }
    Ok(fields)
}

/// `1:02`, `0:01:02`, `62` or `62.5` as seconds.
fn seconds(text: &str) -> anyhow::Result<f64> {
    let bad = || format!("at={text} is no time; give m:ss or seconds, as in at=1:02");
    let parts: Vec<&str> = text.split(':').collect();
    let mut total = 0.0;
    for (i, part) in parts.iter().enumerate() {
        let digits = part.chars().all(|c| c.is_ascii_digit() || c == '.');
        let n: f64 = part.parse().ok().filter(|_| digits).with_context(bad)?;
        if parts.len() > 3 || i > 0 && n >= 60.0 {
            bail!(bad());
        }
        total = total * 60.0 + n;
    }
    Ok(total)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times() {
        assert_eq!(seconds("1:02").unwrap(), 62.0);
        assert_eq!(seconds("1:00:02.5").unwrap(), 3602.5);
        assert!(seconds("1:62").is_err() && seconds("x").is_err() && seconds("-3").is_err());
    }
}
