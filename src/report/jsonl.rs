//! One item a line, for tools that read line by line.
//!
//! Each line is an item as the schema describes it, with one key more: `file`, the transcript it was first said in, since a
//! line stands without the list's `walks`.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::{Map, Value, json};

use super::words::file_of;
use crate::list::{Item, List};

#[derive(Serialize)]
struct Row<'a> {
    file: Option<&'a str>,
    #[serde(flatten)]
    item: &'a Item,
}

/// Writes the items, one JSON object a line.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write(list: &List, out: &mut impl Write) -> io::Result<()> {
    for item in &list.items {
        serde_json::to_writer(
            &mut *out,
            &Row {
                file: file_of(list, &item.said),
                item,
            },
        )?;
        out.write_all(b"\n")?;
    }
    Ok(())
}

/// Writes the items of a saved list with all that stands on them, also what people decided.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write_kept(list: &List, kept: &Value, out: &mut impl Write) -> io::Result<()> {
    let kept = kept["items"].as_array().into_iter().flatten();
    for (item, kept) in list.items.iter().zip(kept) {
        let mut row = Map::new();
        row.insert("file".to_string(), json!(file_of(list, &item.said)));
        row.extend(kept.as_object().cloned().unwrap_or_default());
        serde_json::to_writer(&mut *out, &row)?;
        out.write_all(b"\n")?;
    }
    Ok(())
}
