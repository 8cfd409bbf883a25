//! Tells the columns of a table: by a header, or by what stands in them.

use csv::{ReaderBuilder, StringRecord};

use super::super::text::lines;
use super::super::time;

/// What the columns hold; numbers of columns, counted from 0.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Columns {
    pub start: usize,
    pub end: Option<usize>,
    /// The second time is how long it lasts, not when it ends.
    pub lasts: bool,
    pub text: usize,
    pub speaker: Option<usize>,
    /// How many of the unit of start and end make a second, where the header says.
    pub unit: Option<f64>,
    /// The first row is a header.
    pub header: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    pub delimiter: u8,
    pub columns: Columns,
}

/// How many lines are looked at to tell a table.
const SAMPLE: usize = 20;

pub(super) fn reader(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    // Tab-separated files are written without quoting: a quote there is part of what was said.
    let quoting = delimiter != b'\t'
        || text
            .lines()
            .take(SAMPLE)
            .any(|l| l.split('\t').any(is_quoted));
    ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .quoting(quoting)
        .trim(csv::Trim::None)
        .from_reader(text.as_bytes())
}

fn is_quoted(field: &str) -> bool {
    let field = field.trim_end_matches(['\r', '\n']);
    field.len() > 1 && field.starts_with('"') && field.ends_with('"')
}

/// Delimiter and columns of a table; none where `text` is none.
pub(super) fn layout(text: &str) -> Option<Layout> {
    let first = lines(text).find(|l| !l.is_blank())?.text;
    [b'\t', b',', b';', b'|']
        .into_iter()
        .filter(|d| first.as_bytes().contains(d))
        .find_map(|delimiter| {
            let mut rows = Vec::new();
            for row in reader(text, delimiter).into_records().take(SAMPLE) {
                rows.push(row.ok()?);
            }
            rows.retain(|r| r.iter().any(|f| !f.trim().is_empty()));
            let columns = rows.first().and_then(header).or_else(|| guess(&rows))?;
            Some(Layout { delimiter, columns })
        })
}

/// A header cell without unit, case and separators, and how many of its unit make a second.
fn cell(name: &str) -> (String, Option<f64>) {
    let lower = name.trim().to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    let (unit, base) = match words.split_last() {
        Some((last, base)) if !base.is_empty() => match *last {
            "ms" | "msec" | "millis" | "milliseconds" => (Some(1000.0), base),
            "s" | "sec" | "secs" | "seconds" => (Some(1.0), base),
            _ => (None, &words[..]),
        },
        _ => (None, &words[..]),
    };
    let plain = base.concat();
    match plain
        .strip_suffix("ms")
        .filter(|p| matches!(*p, "start" | "end" | "begin" | "duration"))
    {
        Some(bare) => (bare.to_owned(), Some(1000.0)),
        None => (plain, unit),
    }
}

/// Reads the first row as a header; it is one if it names a start and a text.
fn header(row: &StringRecord) -> Option<Columns> {
    let (mut start, mut text) = (None, None);
    let mut out = Columns {
        header: true,
        ..Columns::default()
    };
    for (index, name) in row.iter().enumerate() {
        let (plain, unit) = cell(name);
        match plain.as_str() {
            "start" | "starttime" | "begin" | "begintime" | "from" | "in" | "timein" | "tc"
            | "tcin" | "time" | "timestamp" | "timecode" | "offset" | "startoffset" | "t"
            | "startat"
                if start.is_none() =>
            {
                start = Some(index);
                out.unit = out.unit.or(unit);
            }
            "end" | "endtime" | "stop" | "to" | "out" | "timeout" | "tcout" | "finish"
            | "endoffset" | "stoptime" => {
                out.end = Some(index);
                out.lasts = false;
                out.unit = out.unit.or(unit);
            }
            "duration" | "dur" | "length" if out.end.is_none() => {
                out.end = Some(index);
                out.lasts = true;
            }
            "text" | "transcript" | "transcription" | "sentence" | "utterance" | "content"
            | "caption" | "words" | "word" | "body" | "speech" | "dialogue" | "dialog"
            | "subtitle"
                if text.is_none() =>
            {
                text = Some(index);
            }
            "speaker" | "speakername" | "speakerlabel" | "speakerid" | "who" | "name" | "voice" => {
                out.speaker = Some(index)
            }
            _ => {}
        }
    }
    (out.start, out.text) = (start?, text?);
    Some(out)
}

/// A time in a cell: seconds where `true`, else in a unit to be told.
pub(super) fn moment(cell: &str) -> Option<(f64, bool)> {
    let cell = cell.trim();
    let known = time::clock(cell)
        .or_else(|| time::with_unit(cell))
        .map(|t| (t, true));
    known.or_else(|| time::number(cell).map(|t| (t, false)))
}

/// Tells the columns of a table without header: two neighbouring columns of times, the first not after the second.
fn guess(rows: &[StringRecord]) -> Option<Columns> {
    let first = rows.first()?;
    let fits = |row: &StringRecord, at: usize| -> bool {
        let (Some(start), Some(end)) = (
            row.get(at).and_then(moment),
            row.get(at + 1).and_then(moment),
        ) else {
            return false;
        };
        let text = row.get(at + 2).is_some_and(|t| moment(t).is_none());
        text && start.1 == end.1 && start.0 <= end.0
    };
    // An index or a speaker may stand before the times.
    let at = (0..3.min(first.len()))
        .find(|&at| rows.iter().filter(|r| fits(r, at)).count() * 3 >= rows.len() * 2)?;
    let name = |i: usize| {
        rows.iter().all(|r| {
            r.get(i)
                .is_some_and(|f| moment(f).is_none() && !f.trim().is_empty() && f.len() < 40)
        })
    };
    let speaker = at.checked_sub(1).filter(|i| name(*i));
    let mut text = at + 2;
    let mut behind = None;
    if first.len() == at + 4 && rows.iter().all(|r| r.len() == at + 4) {
        // Four columns behind an index: the shorter of the last two is the speaker.
        let length = |i: usize| {
            rows.iter()
                .filter_map(|r| r.get(i))
                .map(str::len)
                .sum::<usize>()
        };
        let distinct = |i: usize| {
            rows.iter()
                .filter_map(|r| r.get(i))
                .collect::<std::collections::BTreeSet<_>>()
                .len()
        };
        if length(at + 2) < length(at + 3)
            && distinct(at + 2) <= rows.len().div_ceil(2)
            && name(at + 2)
        {
            (text, behind) = (at + 3, Some(at + 2));
        } else if distinct(at + 3) <= rows.len().div_ceil(2) && name(at + 3) {
            behind = Some(at + 3);
        }
    }
    Some(Columns {
        start: at,
        end: Some(at + 1),
        text,
        speaker: speaker.or(behind),
        ..Columns::default()
    })
}

impl Columns {
    /// One more than the last column that is known.
    pub(super) fn width(&self) -> usize {
        1 + self
            .start
            .max(self.text)
            .max(self.end.unwrap_or(0))
            .max(self.speaker.unwrap_or(0))
    }
}
