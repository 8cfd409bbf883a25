//! The whole list as JSON, as `storystick schema` describes it.

use std::io::{self, Write};

use crate::list::List;

/// Writes the list as one indented JSON document with a line feed at its end.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write(list: &List, out: &mut impl Write) -> io::Result<()> {
    serde_json::to_writer_pretty(&mut *out, list)?;
    out.write_all(b"\n")
}

/// Writes the list as one JSON document on one line.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write_line(list: &List, out: &mut impl Write) -> io::Result<()> {
    serde_json::to_writer(&mut *out, list)?;
    out.write_all(b"\n")
}
