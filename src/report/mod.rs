//! The list on its way out: one file for each output format.
//!
//! A report takes a [`List`] and writes to whatever it is handed; it never prints, and it never looks at the terminal, the
//! clock or the environment. The same list and the same [`Look`] give the same bytes.

pub mod csv;
pub mod groups;
pub mod json;
pub mod jsonl;
mod marks;
pub mod md;
mod page;
pub mod table;
pub mod why;
mod words;

use std::io::{self, Write};
use std::path::Path;

use crate::list::List;

pub use marks::caution;
pub use words::clock;

/// The formats a list can be written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// For people, at a terminal or as plain text.
    Table,
    /// The whole list, as one JSON document.
    Json,
    /// One item a line, each a JSON object.
    Jsonl,
    /// One item a row, for spreadsheets (RFC 4180).
    Csv,
    /// For people, as GitHub-flavoured Markdown.
    Md,
}

impl Format {
    /// The format that a file's ending asks for, if it is one of `.json`, `.jsonl`, `.csv`, `.md` and `.txt`.
    ///
    /// ```
    /// use std::path::Path;
    /// use storystick::report::Format;
    ///
    /// assert_eq!(Format::of_ending(Path::new("barn.csv")), Some(Format::Csv));
    /// assert_eq!(Format::of_ending(Path::new("barn")), None);
    /// ```
    pub fn of_ending(path: &Path) -> Option<Format> {
        match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
            "json" => Some(Format::Json),
            "jsonl" => Some(Format::Jsonl),
            "csv" => Some(Format::Csv),
            "md" => Some(Format::Md),
            "txt" => Some(Format::Table),
            _ => None,
        }
    }

    /// The ending of a file in this format, without the dot.
    pub fn ending(self) -> &'static str {
        match self {
            Format::Table => "txt",
            Format::Json => "json",
            Format::Jsonl => "jsonl",
            Format::Csv => "csv",
            Format::Md => "md",
        }
    }
}

/// How the formats for people look; the others take no notice of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// The columns that a line may take, at least [`Look::NARROWEST`].
    pub width: usize,
    /// Whether the table may use terminal styles. They only ever add to what stands there in words.
    pub color: bool,
    /// Whether what was passed over is shown, not only counted.
    pub passed_over: bool,
}

impl Look {
    /// The fewest columns that a table can be written in.
    pub const NARROWEST: usize = 32;
}

impl Default for Look {
    fn default() -> Look {
        Look {
            width: 80,
            color: false,
            passed_over: false,
        }
    }
}

/// Writes one list.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write(list: &List, format: Format, look: &Look, out: &mut impl Write) -> io::Result<()> {
    match format {
        Format::Table => table::write(list, look, out),
        Format::Json => json::write(list, out),
        Format::Jsonl => jsonl::write(list, out),
        Format::Csv => csv::write(std::slice::from_ref(list), out),
        Format::Md => md::write(list, look, out),
    }
}

/// Writes several lists one after another: tables and Markdown each under its own heading, JSON as one whole list a line,
/// CSV as one table, JSON lines as one run of items (each row and line names its file).
///
/// # Errors
///
/// Only what `out` gives.
pub fn write_each(
    lists: &[List],
    format: Format,
    look: &Look,
    out: &mut impl Write,
) -> io::Result<()> {
    if format == Format::Csv {
        return csv::write(lists, out);
    }
    for (i, list) in lists.iter().enumerate() {
        match format {
            Format::Json => json::write_line(list, out)?,
            Format::Table | Format::Md => {
                if i > 0 {
                    writeln!(out)?;
                }
                write(list, format, look, out)?;
            }
            Format::Jsonl | Format::Csv => write(list, format, look, out)?,
        }
    }
    Ok(())
}
