//! One entry, or all that a word may mean: where it was defined and changed, its forms as derived, what it leads to.

use std::fmt::Write;

use super::compile::Compiled;
use super::data::{Kind, Role, Sense};
use super::layers::{Entry, LISTS, nearest};
use super::source::Provenance;
use super::words::fold;
use super::yaml::Value;
use crate::report::words::hang;

/// Keys that are shown on lines of their own, or are the examples.
const APART: [&str; 15] = [
    "names",
    "forms",
    "heard",
    "noun",
    "state",
    "verb",
    "lacks",
    "phrase",
    "irregular",
    "people",
    "finds",
    "ignores",
    "works",
    "hazards",
    "note",
];

/// How many forms stand on the page before the rest is only counted.
const FORMS: usize = 80;

/// All entries that an id (`baseboard`, `elements/baseboard`) or a spoken word (`skirting boards`) leads to.
///
/// # Errors
/// What is near, where nothing is called so.
pub fn show(c: &Compiled, asked: &str) -> Result<String, String> {
    let mut found: Vec<&Entry> = Vec::new();
    for list in LISTS {
        let id = match asked.split_once('/') {
            Some((l, id)) if l == list => id,
            Some((l, _)) if LISTS.contains(&l) => continue,
            _ => asked,
        };
        found.extend(c.layers.entry(list, id));
    }
    let folded = fold(asked);
    if let Some(at) = c.data.forms.find(&folded) {
        for sense in c.data.forms.senses(at) {
            let (list, id) = named(c, sense);
            if let Some(entry) = c.layers.entry(list, id)
                && !found.iter().any(|f| f.list == list && f.id == id)
            {
                found.push(entry);
            }
        }
    }
    if found.is_empty() {
        let removed = c.layers.removed.iter().find(|r| r.id == asked);
        if let Some(r) = removed {
            return Err(format!(
                "{}/{} was defined at {} and removed at {}",
                r.list,
                r.id,
                c.layers.shown(r.defined),
                c.layers.shown(r.by)
            ));
        }
        let ids = LISTS
            .iter()
            .flat_map(|l| c.layers.list(l))
            .map(|e| e.id.as_str());
        let forms = c.data.forms.iter().map(|f| f.text);
        let hint = nearest(asked, ids.chain(forms));
        return Err(format!("no entry and no form is called {asked:?}{hint}"));
    }
    let mut out = String::new();
    for (i, entry) in found.iter().enumerate() {
        if i > 0 {
            out.push('\n');
        }
        one(&mut out, c, entry);
    }
    Ok(out)
}

/// The kind and id of what a form means.
fn named(c: &Compiled, sense: Sense) -> (&'static str, &str) {
    let i = usize::from(sense.entry);
    let d = &c.data;
    match sense.kind {
        Kind::Area => ("areas", &d.areas[i].id),
        Kind::Element => ("elements", &d.elements[i].id),
        Kind::Fault => ("faults", &d.faults[i].id),
        Kind::Work => ("works", &d.works[i].id),
        Kind::Trade => ("trades", &d.trades[i].id),
        Kind::Cue => ("cues", &d.cues[i].id),
    }
}

fn one(out: &mut String, c: &Compiled, entry: &Entry) {
    let me = format!("{}/{}", entry.list, entry.id);
    let _ = writeln!(out, "{me}");
    let mut row = |name: &str, text: &str| {
        hang(out, &format!("  {name:<10} "), text);
    };
    row("defined", &c.layers.shown(entry.defined));
    for place in &entry.changed {
        row("changed", &c.layers.shown(*place));
    }
    for (key, value) in &entry.keys {
        if !APART.contains(&key.text.as_str()) {
            let text = match &value.value {
                Value::List(members) => {
                    let words: Vec<&str> = members.iter().filter_map(|m| m.text()).collect();
                    words.join(", ")
                }
                Value::Text(t) | Value::Number(t) => t.clone(),
                Value::Bool(b) => b.to_string(),
                _ => continue,
            };
            row(&key.text, &text);
        }
    }
    if let Some(note) = entry.get("note").and_then(|n| n.text()) {
        row("note", note);
    }
    let forms = forms(c, &me);
    if !forms.is_empty() {
        let mut text = forms[..forms.len().min(FORMS)].join(", ");
        if forms.len() > FORMS {
            let _ = write!(text, " and {} more", forms.len() - FORMS);
        }
        row("forms", &text);
    }
    for t in c.taken.iter().filter(|t| t.from == me) {
        row(
            "lost",
            &format!("{:?} to {} ({})", t.form, t.to, c.layers.shown(t.place)),
        );
    }
    for t in c.taken.iter().filter(|t| t.to == me) {
        row(
            "took",
            &format!("{:?} from {} ({})", t.form, t.from, c.layers.shown(t.place)),
        );
    }
    for text in leads(c, entry) {
        row("leads to", &text);
    }
    for (key, name) in [("finds", "found in"), ("ignores", "not in")] {
        for phrase in entry.get(key).map(|n| n.members()).unwrap_or_default() {
            row(name, &format!("{:?}", phrase.text().unwrap_or_default()));
        }
    }
}

/// The forms of an entry, listed and derived, each with how it is used where that is not plain.
fn forms(c: &Compiled, me: &str) -> Vec<String> {
    let mut out = Vec::new();
    for f in c.data.forms.iter() {
        for s in f.senses {
            let (list, id) = named(c, s);
            if me.strip_prefix(list).and_then(|r| r.strip_prefix('/')) != Some(id) {
                continue;
            }
            let how = match s.role {
                _ if s.name == Sense::HEARD => " (as misheard)",
                Role::Lack => " (not)",
                _ => "",
            };
            let shown = format!("{}{how}", f.text);
            if !out.contains(&shown) {
                out.push(shown);
            }
        }
    }
    out
}

/// What an entry decides, and which rules speak of it.
fn leads(c: &Compiled, entry: &Entry) -> Vec<String> {
    let d = &c.data;
    let id = entry.id.as_str();
    let has = |all: &[String], names: &[&str]| all.iter().any(|a| names.contains(&a.as_str()));
    let mut out = Vec::new();
    match entry.list {
        "elements" => {
            let Some(e) = d.elements.iter().find(|e| e.id == id) else {
                return out;
            };
            let owner = d.trades.iter().find(|t| t.groups.contains(&e.group));
            let trade = e.trade.or(owner.and_then(|t| t.trade));
            let why = if e.trade.is_some() {
                "its own".to_string()
            } else {
                format!("group {}", e.group)
            };
            if let Some(t) = trade {
                out.push(format!("trade {t} ({why})"));
            }
            let names = [id, e.group.as_str()];
            for r in d.dispatch.iter().filter(|r| has(&r.elements, &names)) {
                let trade = r.trade.map_or("of its host", |t| t.word());
                out.push(format!(
                    "trade {trade} by dispatch/{}{}",
                    r.id,
                    when(&r.near)
                ));
            }
            for r in d.dangers.iter().filter(|r| has(&r.elements, &names)) {
                let hazard = r.hazard.map_or("", |h| h.word());
                out.push(format!(
                    "{hazard} hazard by dangers/{}{}",
                    r.id,
                    when(&r.faults)
                ));
            }
            for r in d.limits.iter().filter(|r| has(&r.elements, &names)) {
                out.push(format!("limit of {} by limits/{}", r.quantity, r.id));
            }
        }
        "faults" => {
            let Some(e) = d.faults.iter().find(|e| e.id == id) else {
                return out;
            };
            for (part, work) in &e.works {
                out.push(format!("work {work} on {part}"));
            }
            for (part, hazard) in &e.hazards {
                out.push(format!("{hazard} hazard on {part}"));
            }
            for r in d.dangers.iter().filter(|r| has(&r.faults, &[id])) {
                let hazard = r.hazard.map_or("", |h| h.word());
                out.push(format!("{hazard} hazard by dangers/{}", r.id));
            }
        }
        "works" => {
            let Some(e) = d.works.iter().find(|e| e.id == id) else {
                return out;
            };
            for (part, work) in &e.works {
                out.push(format!("work {work} on {part}"));
            }
        }
        "trades" => {
            let Some(e) = d.trades.iter().find(|e| e.id == id) else {
                return out;
            };
            if !e.section.is_empty() {
                out.push(format!("section {} {}", e.section, e.title));
            }
            for r in d.dispatch.iter().filter(|r| r.trade == e.trade) {
                out.push(format!("sent by dispatch/{}", r.id));
            }
            for x in d
                .elements
                .iter()
                .filter(|x| x.trade.is_some() && x.trade == e.trade)
            {
                out.push(format!("sent by elements/{}", x.id));
            }
        }
        "areas" => {
            for r in d.dispatch.iter().filter(|r| has(&r.areas, &[id])) {
                let trade = r.trade.map_or("", |t| t.word());
                out.push(format!("trade {trade} by dispatch/{}", r.id));
            }
        }
        "dispatch" => {
            if let Some(i) = d.dispatch.iter().position(|r| r.id == id) {
                out.push(format!(
                    "rule {} of {}; the first that fits wins",
                    i + 1,
                    d.dispatch.len()
                ));
            }
        }
        "dangers" => {
            if let Some(i) = d.dangers.iter().position(|r| r.id == id) {
                out.push(format!(
                    "rule {} of {}; the first that fits wins",
                    i + 1,
                    d.dangers.len()
                ));
                if d.dangers[i].caution.is_none() {
                    let usual = d.cautions.iter().find(|x| x.hazard == d.dangers[i].hazard);
                    out.extend(usual.map(|x| format!("caution: {}", x.text)));
                }
            }
        }
        "limits" => {
            let memory = d
                .limits
                .iter()
                .any(|l| l.id == id && l.provenance == Some(Provenance::Memory));
            if memory {
                out.push("a figure from memory, not looked up".to_string());
            }
        }
        _ => {}
    }
    out
}

fn when(words: &[String]) -> String {
    if words.is_empty() {
        String::new()
    } else {
        format!(" ({})", words.join(", "))
    }
}
