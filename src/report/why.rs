//! What came of the words at a moment, stage by stage: for people, and as JSON.

use std::io::{self, Write};

use serde::Serialize;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::words::{clock, fine, path, steers};
use crate::list::Said;
use crate::pipeline::trace::{Decided, Moment, Near};

/// The value of `schema` in the JSON form.
pub const SCHEMA: &str = "storystick/why/1";

/// The width of the text form, in columns.
const WIDTH: usize = 80;
/// Where what is said of a thing begins.
const COLUMN: usize = 24;

/// The answer to "why?".
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Why {
    /// [`SCHEMA`].
    pub schema: &'static str,
    /// The walk's file, or `-` for words that were given.
    pub file: String,
    /// What was asked for, as typed.
    pub asked: String,
    /// Each moment that it leads to, in the order said.
    pub moments: Vec<Moment>,
}

/// Writes the answer as one JSON document.
///
/// # Errors
///
/// Only what `out` gives.
pub fn json(why: &Why, out: &mut impl Write) -> io::Result<()> {
    serde_json::to_writer_pretty(&mut *out, why)?;
    writeln!(out)
}

/// Writes the answer for people, at most 80 columns wide.
///
/// # Errors
///
/// Only what `out` gives.
pub fn text(why: &Why, out: &mut impl Write) -> io::Result<()> {
    let mut page = Page(Vec::new());
    for (i, m) in why.moments.iter().enumerate() {
        if i > 0 {
            page.blank();
        }
        moment(&mut page, m);
    }
    for line in page.0 {
        writeln!(out, "{line}")?;
    }
    Ok(())
}

fn moment(page: &mut Page, m: &Moment) {
    page.line(&format!("{} to {}", clock(m.start), clock(m.end)));
    page.put(2, 2, &format!("\"{}\"", m.words));
    if m.clauses.len() > 1 {
        page.head("Read in pieces");
        for c in &m.clauses {
            page.put(2, 4, &format!("- {c}"));
        }
    }
    page.head("Place");
    match &m.place {
        None => page.put(2, 2, "None was named in this walk."),
        Some(p) => {
            page.put(2, 2, &path(&p.path));
            let since = p.since.map_or(String::new(), |s| format!("{}, ", clock(s)));
            page.put(4, 4, &format!("{since}\"{}\": {}", p.words, p.frame));
        }
    }
    page.head("Found in the words");
    page.or_none(m.found.is_empty());
    for f in &m.found {
        page.row(&f.words, &format!("{} ({})", f.entry, f.role));
    }
    page.head("Cues, and what each reaches");
    page.or_none(m.cues.is_empty());
    for c in &m.cues {
        let reaches = if c.reaches.is_empty() {
            String::new()
        } else {
            format!("; reaches {}", quoted(&c.reaches))
        };
        page.row(&c.words, &format!("{}{reaches}", c.entry));
    }
    page.head("What is said of what");
    page.or_none(m.events.is_empty());
    for e in &m.events {
        let entry = e.entry.as_ref().map_or(String::new(), |e| format!(", {e}"));
        let of = match (e.of.is_empty(), &e.else_of) {
            (true, Some(other)) => other.clone(),
            (false, Some(other)) => format!("{}; {other}", e.of.join(", ")),
            (false, None) => e.of.join(", "),
            (true, None) => "nothing".to_string(),
        };
        page.row(&e.words, &format!("{}{entry}; of {of}", e.says));
    }
    outcome(page, m);
    page.head("What nearly counted");
    page.or_none(m.near.is_empty());
    for n in &m.near {
        page.row(&n.words, &nearly(n));
    }
}

fn outcome(page: &mut Page, m: &Moment) {
    page.head("What came of it");
    page.or_none(m.items.is_empty() && m.cleared.is_empty() && m.passed_over.is_empty());
    for d in &m.items {
        item(page, d);
    }
    for c in &m.cleared {
        page.put(
            2,
            4,
            &format!(
                "Cleared {}: {} in {}",
                c.id,
                fine(c.element.as_deref(), c.kind),
                path(&c.area)
            ),
        );
        said(page, &c.said);
        for w in &c.why {
            page.put(4, 6, w);
        }
    }
    for p in &m.passed_over {
        page.put(
            2,
            4,
            &format!("Passed over \"{}\": {}", p.said.text, p.reason),
        );
    }
}

fn item(page: &mut Page, d: &Decided) {
    let i = &d.item;
    page.put(2, 4, &format!("Item #{} {}: {}", i.number, i.id, i.text));
    said(page, &i.said);
    for f in &d.fields {
        page.field(f.name, &f.value, &f.by);
    }
    // What no field stands for: the events that carry the item.
    let told = |w: &str| {
        ["element:", "work:", "trade:", "hazard:", "confidence:"]
            .iter()
            .any(|h| w.starts_with(h))
    };
    for w in i.why.iter().filter(|w| !told(w)) {
        page.put(4, 6, &format!("because of {w}"));
    }
}

fn said(page: &mut Page, said: &[Said]) {
    for s in said {
        page.put(4, 6, &format!("{} \"{}\"", clock(s.start), s.text));
    }
}

fn nearly(n: &Near) -> String {
    let mut out = String::new();
    if let (Some(form), Some(d)) = (&n.form, n.distance) {
        let letters = if d == 1 { "one letter" } else { "two letters" };
        out.push_str(&format!("{letters} from {form:?}"));
    }
    if let Some(entry) = &n.entry {
        if out.is_empty() {
            out.push_str(entry);
        } else {
            out.push_str(&format!(" ({entry})"));
        }
    }
    if out.is_empty() {
        return n.why_not.clone();
    }
    format!("{out}: {}", n.why_not)
}

fn quoted(words: &[String]) -> String {
    words
        .iter()
        .map(|w| format!("\"{w}\""))
        .collect::<Vec<_>>()
        .join(", ")
}

/// Lines of at most [`WIDTH`] columns.
struct Page(Vec<String>);

impl Page {
    fn line(&mut self, text: &str) {
        self.put(0, 0, text);
    }

    fn blank(&mut self) {
        self.0.push(String::new());
    }

    fn head(&mut self, text: &str) {
        self.blank();
        self.line(text);
    }

    fn or_none(&mut self, none: bool) {
        if none {
            self.put(2, 2, "nothing");
        }
    }

    /// A text, its first line set in by `first` columns, the others by `rest`.
    fn put(&mut self, first: usize, rest: usize, text: &str) {
        let mut line = " ".repeat(first);
        let mut at = first;
        let mut empty = true;
        for word in tidy(text).split_whitespace() {
            let w = word.width();
            if !empty && at + 1 + w > WIDTH {
                self.0.push(std::mem::replace(&mut line, " ".repeat(rest)));
                (at, empty) = (rest, true);
            }
            if !empty {
                line.push(' ');
                at += 1;
            }
            for c in word.chars() {
                let w = c.width().unwrap_or(0);
                if at + w > WIDTH {
                    self.0.push(std::mem::replace(&mut line, " ".repeat(rest)));
                    at = rest;
                }
                line.push(c);
                at += w;
            }
            empty = false;
        }
        self.0.push(line);
    }

    /// Quoted words, and beside or below them what is said of them.
    fn row(&mut self, words: &str, text: &str) {
        self.beside(2, &format!("\"{}\"", tidy(words)), text);
    }

    /// A field with its value, and below it what decided it.
    fn field(&mut self, name: &str, value: &str, by: &str) {
        self.beside(4, &name.replace('_', " "), &format!("{value}  <- {by}"));
    }

    fn beside(&mut self, indent: usize, left: &str, right: &str) {
        if indent + left.width() + 2 > COLUMN {
            self.put(indent, indent + 2, left);
            self.put(COLUMN, COLUMN, right);
            return;
        }
        let from = self.0.len();
        self.put(COLUMN, COLUMN, right);
        let line = &mut self.0[from];
        let rest = line.trim_start().to_string();
        let gap = COLUMN - indent - left.width();
        *line = format!("{}{left}{}{rest}", " ".repeat(indent), " ".repeat(gap));
    }
}

/// Without what would steer a terminal.
fn tidy(text: &str) -> String {
    text.chars()
        .map(|c| if steers(c) { ' ' } else { c })
        .collect()
}
