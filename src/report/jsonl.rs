//! One item a line, for tools that read line by line.
//!
//! Each line is an item as the schema describes it, with one key more: `file`, the transcript it was first said in, since a
//! line stands without the list's `walks`.

use std::io::{self, Write};

use serde::Serialize;

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
