//! What became of each item, as text for people.

use std::fmt::Write;

use serde_json::Value;

use crate::report::clock;
use crate::report::words::{hang, path};

use super::{Fate, Told};

/// Totals first, then a line an item with what happened and why.
pub fn report(told: &[Told]) -> String {
    let mut out = String::new();
    let (again, of_items): (Vec<&Told>, Vec<&Told>) =
        told.iter().partition(|t| t.dropped.is_some());
    let totals: Vec<String> = Fate::ALL
        .iter()
        .map(|f| (of_items.iter().filter(|t| t.fate == *f).count(), f.word()))
        .chain([(again.len(), "dropped and said again")])
        .filter(|(n, _)| *n > 0)
        .map(|(n, what)| format!("{n} {what}"))
        .collect();
    let totals = if totals.is_empty() {
        "nothing on the list".to_string()
    } else {
        totals.join(", ")
    };
    let _ = writeln!(out, "{totals}");
    for t in told {
        let area = path(&t.area);
        let mut fate = match &t.dropped {
            Some(dropped) => format!("{dropped}, and said again"),
            None => t.fate.word().to_string(),
        };
        if t.partly {
            fate.push_str(", partly");
        }
        if let Some(n) = t.count {
            let _ = write!(fate, ", {n} left");
        }
        let mut line = format!("{fate}: {area}: {}", t.text);
        for s in &t.said {
            let _ = write!(line, " · {} “{}”", clock(s.start), s.text);
        }
        let _ = write!(line, " ({})", t.why);
        hang(&mut out, &format!("{:>4}  ", t.number), &line);
    }
    out
}

/// What each walk said of one item of a saved list, and what people decided; of a dropped item too.
pub fn history(item: &Value) -> String {
    let text = |v: &Value| v.as_str().unwrap_or_default().to_string();
    let area: Vec<String> = item["area"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .map(str::to_string)
        .collect();
    let standing = match item["decided"]["how"].as_str() {
        Some("dropped") => "dropped".to_string(),
        _ if item["joined_into"].is_string() => {
            format!("joined into {}", text(&item["joined_into"]))
        }
        _ => text(&item["standing"]),
    };
    let mut out = format!(
        "{} {}  {}: {} [{}]\n",
        item["number"],
        text(&item["id"]),
        path(&area),
        text(&item["text"]),
        standing
    );
    let first =
        [serde_json::json!({"walk": item["said"][0]["walk"], "fate": "new", "said": item["said"]})];
    for entry in item["history"].as_array().map_or(&first[..], Vec::as_slice) {
        let mut line = text(&entry["fate"]);
        if entry["partly"] == true {
            line.push_str(", partly");
        }
        for s in entry["said"].as_array().into_iter().flatten() {
            let _ = write!(
                line,
                " · {} “{}”",
                clock(s["start"].as_f64().unwrap_or(0.0)),
                text(&s["text"])
            );
        }
        if entry["why"].is_string() {
            let _ = write!(line, " ({})", text(&entry["why"]));
        }
        hang(&mut out, &format!("    {}  ", text(&entry["walk"])), &line);
    }
    if item["closed"].is_string() {
        let _ = writeln!(out, "    closed: {}", text(&item["closed"]));
    }
    if item["decided"].is_object() {
        let _ = writeln!(out, "    {}", decision(&item["decided"]));
    }
    out
}

/// What a person decided last, who and when: "changed trade, work, by superintendent, 2026-03-02".
fn decision(decided: &Value) -> String {
    let text = |v: &Value| v.as_str().unwrap_or_default().to_string();
    let mut out = text(&decided["how"]);
    let fields = decided["fields"].as_array().into_iter().flatten();
    let fields: Vec<&str> = fields.filter_map(Value::as_str).collect();
    if out == "changed" && !fields.is_empty() {
        let _ = write!(out, " {}", fields.join(", "));
    }
    let _ = write!(out, ", by {}", text(&decided["by"]));
    if let Some(day) = decided["when"].as_str().and_then(|w| w.get(..10)) {
        let _ = write!(out, ", {day}");
    }
    out
}
