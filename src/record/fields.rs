//! The fields of an item that a person may set, and what they can hold.

use serde_json::{Map, Value, json};

use super::error::RecordError;
use crate::lexicon::layers::nearest;
use crate::list::{FollowUp, Hazard, Measure, Standing, Trade, Unit, Work};

/// The fields of an item that can be set, by their names in the list.
pub const FIELDS: &[&str] = &[
    "element",
    "fault",
    "work",
    "trade",
    "standing",
    "area",
    "where",
    "text",
    "count",
    "measure",
    "urgent",
    "by",
    "hazard",
    "follow_up",
];

/// Checks fields and their values; gives the values as they stand in the list. `area` is checked for its form alone.
///
/// # Errors
/// The first field or value that does not fit, with what would.
pub(super) fn check(
    fields: &Map<String, Value>,
) -> Result<Vec<(&'static str, Value)>, RecordError> {
    fields
        .iter()
        .map(|(name, value)| {
            let field = known(name)?;
            Ok((field, value_of(field, value)?))
        })
        .collect()
}

/// The field of this name.
pub(super) fn known(name: &str) -> Result<&'static str, RecordError> {
    FIELDS
        .iter()
        .find(|f| **f == name)
        .copied()
        .ok_or_else(|| RecordError::NoField {
            name: name.to_string(),
            near: nearest(name, FIELDS.iter().copied()),
            fields: FIELDS.to_vec(),
        })
}

fn value_of(field: &'static str, value: &Value) -> Result<Value, RecordError> {
    let bad = |mend: String| RecordError::BadValue {
        field: field.to_string(),
        value: value.to_string(),
        mend,
    };
    // What is typed is trimmed, and an empty answer is none.
    let text = value.as_str().map(str::trim);
    let none = value.is_null() || text == Some("");
    let choice = |all: Vec<&'static str>, may_be_null: bool| {
        if may_be_null && (none || text == Some("null")) {
            return Ok(Value::Null);
        }
        let word = text.unwrap_or_default();
        match all.iter().find(|w| w.eq_ignore_ascii_case(word)) {
            Some(w) => Ok(json!(w)),
            None => {
                let null = if may_be_null { ", or nothing" } else { "" };
                Err(bad(format!(
                    "it can be {}{null}{}",
                    all.join(", "),
                    nearest(word, all.iter().copied())
                )))
            }
        }
    };
    match field {
        "work" => choice(Work::ALL.iter().map(|w| w.word()).collect(), false),
        "standing" => choice(Standing::ALL.iter().map(|s| s.word()).collect(), false),
        "hazard" => choice(Hazard::ALL.iter().map(|h| h.word()).collect(), true),
        "follow_up" => choice(FollowUp::ALL.iter().map(|f| f.word()).collect(), true),
        // A firm's own lexicon may add trades, so any well-formed word passes that is no slip of a known one.
        "trade" => {
            let all = Trade::ALL.iter().map(|t| t.word());
            let word = text.unwrap_or_default().to_lowercase();
            let near = nearest(&word, all.clone());
            let known = all.clone().any(|t| t == word);
            if known || near.is_empty() && Trade::from_word(&word).is_some() {
                return Ok(json!(word));
            }
            let all: Vec<_> = all.collect();
            Err(bad(format!(
                "it can be {}, or one that a lexicon adds{near}",
                all.join(", ")
            )))
        }
        "urgent" => match (value, text) {
            (Value::Bool(_), _) => Ok(value.clone()),
            (_, Some("true" | "yes")) => Ok(json!(true)),
            (_, Some("false" | "no" | "")) => Ok(json!(false)),
            _ => Err(bad("it can be true or false".into())),
        },
        "count" => {
            if none {
                return Ok(Value::Null);
            }
            let count = value.as_u64().or_else(|| text.and_then(|t| t.parse().ok()));
            count
                .filter(|n| (1..=u64::from(u32::MAX)).contains(n))
                .map(|n| json!(n))
                .ok_or_else(|| bad("it can be a whole number from 1, or nothing".into()))
        }
        "measure" => {
            if none {
                return Ok(Value::Null);
            }
            measure(value, text).ok_or_else(|| {
                let units: Vec<_> = Unit::ALL.iter().map(|u| u.word()).collect();
                bad(format!(
                    "it can be a number and a unit ({}) and what was measured, as in \"0.25 in width\", or nothing",
                    units.join(", ")
                ))
            })
        }
        "area" => area(value, text).ok_or_else(|| {
            bad(
                "it can be a path from the outside in, as in \"Upstairs / Bedroom 2 / Closet\""
                    .into(),
            )
        }),
        "text" => match text {
            Some(t) if !t.is_empty() => Ok(json!(t)),
            _ => Err(bad("it can be a sentence of at least one word".into())),
        },
        "by" if text.is_some_and(|t| t.eq_ignore_ascii_case("none")) => Ok(Value::Null),
        _ if none => Ok(Value::Null),
        _ => text
            .map(|t| json!(t))
            .ok_or_else(|| bad("it can be words, or nothing".into())),
    }
}

fn measure(value: &Value, text: Option<&str>) -> Option<Value> {
    if value.is_object() {
        let measure: Measure = serde_json::from_value(value.clone()).ok()?;
        return measure.value.is_finite().then(|| value.clone());
    }
    let text = text?;
    let edge = text
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .unwrap_or(text.len());
    let number: f64 = text[..edge].parse().ok().filter(|n: &f64| n.is_finite())?;
    let (unit, of) = match text[edge..].trim().split_once(char::is_whitespace) {
        Some((unit, of)) => (unit, Some(of.trim())),
        None => (text[edge..].trim(), None),
    };
    let unit = Unit::from_word(unit)?;
    Some(json!({"value": number, "unit": unit.word(), "of": of}))
}

fn area(value: &Value, text: Option<&str>) -> Option<Value> {
    let path: Vec<String> = match (value, text) {
        (Value::Array(parts), _) => parts
            .iter()
            .map(|p| p.as_str().map(|p| p.trim().to_string()))
            .collect::<Option<_>>()?,
        (_, Some(text)) => text.split('/').map(|p| p.trim().to_string()).collect(),
        _ => return None,
    };
    (!path.is_empty() && path.iter().all(|p| !p.is_empty())).then(|| json!(path))
}
