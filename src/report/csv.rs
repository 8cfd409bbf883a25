//! One item a row, for spreadsheets (RFC 4180: commas, quotes where needed, CRLF).
//!
//! | column | what stands there |
//! | --- | --- |
//! | `number` | what people say aloud; counts up from 1 |
//! | `id` | short, stable under re-reading the same walk |
//! | `area` | the path, joined by ` › ` |
//! | `where` | the speaker's words for the spot |
//! | `element` | the building part; empty where the whole area is meant |
//! | `fault`, `work`, `trade`, `section`, `standing` | as in the list |
//! | `todo` | the item as a sentence |
//! | `count` | how many, where a number was spoken |
//! | `measure`, `unit`, `measured` | a spoken size, its unit, and what was measured |
//! | `urgent` | `yes` or `no` |
//! | `by` | a spoken deadline |
//! | `hazard` | the danger that the state as told holds |
//! | `follow_up`, `promised_by` | what was promised and by whom |
//! | `confidence` | from 0 to 1 |
//! | `file` | the transcript it was first said in |
//! | `time` | when it was first said, m:ss |
//! | `from_second`, `to_second` | the same in seconds, start and end |
//! | `said` | all that carries the item in the transcript's own wording, joined by ` / ` |
//! | `caution` | what usually holds for the danger, and its source |
//! | `notes` | spoken measures held against published limits, joined by ` / ` |
//! | `by_date` | the deadline as a date, where it is known |
//! | `closed` | how a person closed it without work |
//!
//! A spreadsheet takes a cell that begins with `=`, `+`, `-`, `@`, a tab or a line end for a formula. Such text gets an
//! apostrophe before it, as OWASP advises against CSV injection. Cells that hold numbers are left as they are.

use std::io::{self, Write};

use super::words::{clock, file_of, path, todo};
use crate::list::{Item, List};

const COLUMNS: [&str; 30] = [
    "number",
    "id",
    "area",
    "where",
    "element",
    "fault",
    "work",
    "trade",
    "section",
    "standing",
    "todo",
    "count",
    "measure",
    "unit",
    "measured",
    "urgent",
    "by",
    "hazard",
    "follow_up",
    "promised_by",
    "confidence",
    "file",
    "time",
    "from_second",
    "to_second",
    "said",
    "caution",
    "notes",
    "by_date",
    "closed",
];

/// Writes the items of all lists under one heading row, which stands there even without items.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write(lists: &[List], out: &mut impl Write) -> io::Result<()> {
    let mut rows = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .from_writer(out);
    rows.write_record(COLUMNS)?;
    for list in lists {
        for item in &list.items {
            rows.write_record(row(list, item))?;
        }
    }
    rows.flush()
}

fn row(list: &List, item: &Item) -> [String; COLUMNS.len()] {
    let text = |t: Option<&str>| harmless(t.unwrap_or_default());
    let first = item.said.first();
    let said: Vec<&str> = item.said.iter().map(|s| s.text.as_str()).collect();
    let notes: Vec<&str> = item.notes.iter().map(|n| n.text.as_str()).collect();
    let caution = match (&item.caution, &item.caution_source) {
        (Some(text), Some(source)) => format!("{text} ({source})"),
        (text, _) => text.clone().unwrap_or_default(),
    };
    [
        item.number.to_string(),
        harmless(&item.id),
        harmless(&path(&item.area)),
        text(item.spot.as_deref()),
        text(item.element.as_deref()),
        text(item.fault.as_deref()),
        item.work.to_string(),
        item.trade.to_string(),
        text(item.section.as_deref()),
        item.standing.to_string(),
        harmless(&todo(item)),
        item.count.map(|n| n.to_string()).unwrap_or_default(),
        item.measure
            .as_ref()
            .map(|m| m.value.to_string())
            .unwrap_or_default(),
        item.measure
            .as_ref()
            .map(|m| m.unit.to_string())
            .unwrap_or_default(),
        text(item.measure.as_ref().and_then(|m| m.of.as_deref())),
        if item.urgent { "yes" } else { "no" }.to_string(),
        text(item.by.as_deref()),
        item.hazard.map(|h| h.to_string()).unwrap_or_default(),
        item.follow_up.map(|f| f.to_string()).unwrap_or_default(),
        text(item.promised_by.as_deref()),
        item.confidence.to_string(),
        text(file_of(list, &item.said)),
        first.map(|s| clock(s.start)).unwrap_or_default(),
        first.map(|s| s.start.to_string()).unwrap_or_default(),
        first.map(|s| s.end.to_string()).unwrap_or_default(),
        harmless(&said.join(" / ")),
        harmless(&caution),
        harmless(&notes.join(" / ")),
        text(item.by_date.as_deref()),
        item.closed.map(|c| c.to_string()).unwrap_or_default(),
    ]
}

/// The text such that no spreadsheet takes it for a formula.
fn harmless(text: &str) -> String {
    match text.chars().next() {
        Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠') => {
            format!("'{text}")
        }
        _ => text.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn text_that_would_run_is_made_harmless() {
        for risky in ["=1+1", "+1", "-2", "@SUM(A1)", "\tx", "\r=1", "\n=1", "＝1"] {
            assert_eq!(harmless(risky), format!("'{risky}"));
        }
        for plain in ["", "door", "a=b", " =1", "'tis"] {
            assert_eq!(harmless(plain), plain);
        }
    }
}
