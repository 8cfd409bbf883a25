//! The list on its way out: one file for each output format.
//!
//! A report takes a [`List`] and writes to whatever it is handed; it never prints, and it never looks at the terminal, the
//! clock or the environment. The same list and the same [`Look`] give the same bytes.

pub mod bcf;
pub mod csv;
pub mod groups;
pub mod json;
pub mod jsonl;
mod marks;
pub mod md;
mod page;
pub mod stick;
pub mod table;
pub mod why;
pub(crate) mod words;

use std::io::{self, Write};
use std::path::Path;

use crate::list::List;

pub use marks::caution;
pub(crate) use marks::danger_title;
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
    /// For people, as a page: the walk as a batten with time down the page.
    Html,
    /// BIM Collaboration Format 3.0, one topic an item.
    Bcf,
}

impl Format {
    /// The format that a file's ending asks for, if it is one of `.json`, `.jsonl`, `.csv`, `.md`, `.html`, `.bcf`
    /// and `.txt`.
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
            "html" => Some(Format::Html),
            "bcf" => Some(Format::Bcf),
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
            Format::Html => "html",
            Format::Bcf => "bcf",
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
    /// Whether CSV begins with a byte order mark, by which some spreadsheets know UTF-8.
    pub bom: bool,
    /// The time that BCF names as the topics' creation, in seconds since 1970, UTC.
    pub now: i64,
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
            bom: false,
            now: 0,
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
        Format::Csv => tables(std::slice::from_ref(list), look, out),
        Format::Md => md::write(list, look, out),
        Format::Html => stick::write(std::slice::from_ref(list), out),
        Format::Bcf => bcf::write(list, look, out),
    }
}

fn tables(lists: &[List], look: &Look, out: &mut impl Write) -> io::Result<()> {
    if look.bom {
        out.write_all("\u{feff}".as_bytes())?;
    }
    csv::write(lists, out)
}

/// Writes several lists one after another: tables and Markdown each under its own heading, JSON as one whole list a line,
/// CSV as one table, HTML as one page, JSON lines as one run of items (each row and line names its file).
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
    match format {
        Format::Csv => return tables(lists, look, out),
        Format::Html => return stick::write(lists, out),
        _ => (),
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
            Format::Jsonl | Format::Csv | Format::Html | Format::Bcf => {
                write(list, format, look, out)?
            }
        }
    }
    Ok(())
}
