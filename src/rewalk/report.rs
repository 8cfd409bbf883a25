//! What became of each item, as text for people.

use std::fmt::Write;

use serde_json::Value;

use crate::report::clock;
use crate::report::words::{hang, path};

use super::{Fate, Told};

/// Totals first, then a line an item with what happened and why.
pub fn report(told: &[Told]) -> String {
    let mut out = String::new();
    let totals: Vec<String> = Fate::ALL
        .iter()
        .filter_map(|f| {
            let n = told.iter().filter(|t| t.fate == *f).count();
            (n > 0).then(|| format!("{n} {}", f.word()))
        })
        .collect();
    let totals = if totals.is_empty() {
        "nothing on the list".to_string()
    } else {
        totals.join(", ")
    };
    let _ = writeln!(out, "{totals}");
    for t in told {
        let area = path(&t.area);
        let mut fate = t.fate.word().to_string();
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

/// What each walk said of one item of a saved list.
pub fn history(item: &Value) -> String {
    let text = |v: &Value| v.as_str().unwrap_or_default().to_string();
    let area: Vec<String> = item["area"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .map(str::to_string)
        .collect();
    let mut out = format!(
        "{} {}  {}: {} [{}]\n",
        item["number"],
        text(&item["id"]),
        path(&area),
        text(&item["text"]),
        text(&item["standing"])
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
    out
}
