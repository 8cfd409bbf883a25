//! The lexicon in effect as YAML that can be read again: one file, one layer.

use std::fmt::Write;

use super::compile::Compiled;
use super::layers::{Entry, LISTS};
use super::words::fold;
use super::yaml::{Node, Value};

/// All entries as all layers together make them, each on one line. Forms and groups that a later layer took away are left
/// out where they stood before, so that the text reads as one layer.
pub fn dump(c: &Compiled) -> String {
    let mut out = String::from("# The lexicon in effect. Made of, later ones over earlier ones:\n");
    for file in &c.layers.files {
        // A name may hold anything; it must not end the comment.
        let _ = writeln!(out, "# - {}", file.replace(['\n', '\r'], " "));
    }
    for list in LISTS {
        let entries = c.layers.list(list);
        if entries.is_empty() {
            continue;
        }
        let _ = writeln!(out, "\n{list}:");
        for entry in entries {
            let _ = writeln!(out, "  - {}", line(c, entry));
        }
    }
    out
}

/// One entry on one line.
pub fn line(c: &Compiled, entry: &Entry) -> String {
    let mut out = format!("{{id: {}", scalar(&entry.id));
    let names = entry.get("names").map(|n| n.members()).unwrap_or_default();
    let nameless = !names.is_empty()
        && !names
            .iter()
            .any(|n| n.text().is_some_and(|t| has(c, entry, "names", t)));
    if nameless && entry.get("shown").is_none() {
        // What it was called is another's now; it is shown so still.
        let first = names[0].text().unwrap_or_default();
        let _ = write!(out, ", shown: {}", scalar(first));
    }
    for (key, value) in &entry.keys {
        let _ = write!(out, ", {}: ", scalar(&key.text));
        let kept: Vec<&Node> = value
            .members()
            .iter()
            .filter(|n| n.text().is_none_or(|t| has(c, entry, &key.text, t)))
            .collect();
        match &value.value {
            Value::List(_) => list(&mut out, kept.into_iter()),
            _ => node(&mut out, value),
        }
    }
    out.push('}');
    out
}

/// Whether a member is still this entry's.
fn has(c: &Compiled, entry: &Entry, key: &str, word: &str) -> bool {
    if matches!(key, "finds" | "ignores") {
        return true;
    }
    if entry.list == "trades" && key == "groups" {
        let made = c.data.trades.iter().find(|t| t.id == entry.id);
        return made.is_none_or(|t| t.groups.iter().any(|g| g == word));
    }
    let me = format!("{}/{}", entry.list, entry.id);
    !c.taken
        .iter()
        .any(|t| t.from == me && t.lack == (key == "lacks") && t.form == fold(word))
}

fn list<'a>(out: &mut String, members: impl Iterator<Item = &'a Node>) {
    out.push('[');
    for (i, member) in members.enumerate() {
        if i > 0 {
            out.push_str(", ");
        }
        node(out, member);
    }
    out.push(']');
}

fn node(out: &mut String, n: &Node) {
    match &n.value {
        Value::Null => out.push('~'),
        Value::Bool(b) => out.push_str(if *b { "true" } else { "false" }),
        Value::Number(n) => out.push_str(n),
        Value::Text(t) => out.push_str(&scalar(t)),
        Value::List(members) => list(out, members.iter()),
        Value::Map(pairs) => {
            out.push('{');
            for (i, (k, v)) in pairs.iter().enumerate() {
                if i > 0 {
                    out.push_str(", ");
                }
                out.push_str(&scalar(&k.text));
                out.push_str(": ");
                node(out, v);
            }
            out.push('}');
        }
    }
}

/// Text as YAML: plain where it can be nothing else, in quotes elsewhere.
pub fn scalar(text: &str) -> String {
    let plain = text.starts_with(|c: char| c.is_ascii_alphabetic())
        && text
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || matches!(c, ' ' | '-' | '_' | '/'))
        && !text.ends_with(' ')
        && !matches!(
            text.to_ascii_lowercase().as_str(),
            "null" | "true" | "false" | "yes" | "no" | "on" | "off" | "y" | "n"
        );
    if plain {
        return text.to_string();
    }
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}' | '\u{feff}') => {
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
