//! The letter to the owner: room by room what was put right, what is fine, what is open, in everyday words.
//!
//! Only what the list holds is told: no dates, no reasons, no promises, no names of faults.

use super::Sheet;
use super::html::{self, apart, escape};
use crate::list::{ClearedKind, Item, List, Standing, Work};
use crate::report::groups::{by_area, open};
use crate::report::words::heading;

/// The letter.
pub(super) fn letter(list: &List) -> Sheet {
    let groups = by_area(list);
    let told: Vec<_> = groups
        .iter()
        .filter(|g| !g.items.is_empty() || !g.cleared.is_empty())
        .collect();
    let mut body = String::from("<div class=\"letter\">\n<p>Dear owner,</p>\n");
    if told.is_empty() {
        body.push_str("<p>We walked through the building. Nothing was noted that needs work, and nothing was noted as checked.</p>\n");
    } else {
        body.push_str(
            "<p>We walked through the building and noted what we saw. Below you find it room by room. The number beside each \
             open matter is the one to name when you ask about it.</p>\n",
        );
    }
    for g in told {
        body.push_str(&format!("<h2>{}</h2>\n", apart(&heading(g.path))));
        let name = |e: Option<&str>| super::sentence(e.unwrap_or("the room as a whole"));
        let good = g
            .items
            .iter()
            .filter(|i| !open(i) && i.closed.is_none())
            .map(|i| name(i.element.as_deref()));
        let of = |kind: ClearedKind| {
            g.cleared
                .iter()
                .filter(move |c| c.kind == kind)
                .map(|c| name(c.element.as_deref()))
        };
        part(
            &mut body,
            "Put right already:",
            once(good.chain(of(ClearedKind::MadeGood))),
        );
        part(
            &mut body,
            "Looked at and found fine:",
            once(of(ClearedKind::Sound)),
        );
        let left = g
            .items
            .iter()
            .filter(|i| open(i))
            .map(|i| line(i))
            .collect();
        part(&mut body, "Still open:", left);
    }
    body.push_str(
        "<p>If you have seen something that is not named here, please tell us.</p>\n<p>With kind regards,</p>\n<p><br></p>\n\
         </div>\n",
    );
    Sheet {
        file: "owner.html".to_string(),
        text: html::page("en", "How your building stands", &body),
    }
}

fn once(names: impl Iterator<Item = String>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for name in names {
        if !out.contains(&name) {
            out.push(name);
        }
    }
    out
}

fn part(body: &mut String, head: &str, lines: Vec<String>) {
    if lines.is_empty() {
        return;
    }
    let lines: String = lines
        .iter()
        .map(|l| format!("<li>{}</li>\n", apart(l)))
        .collect();
    body.push_str(&format!("<p>{}</p>\n<ul>\n{lines}</ul>\n", escape(head)));
}

fn line(item: &Item) -> String {
    let what = super::sentence(item.element.as_deref().unwrap_or("the room as a whole"));
    let many = item
        .count
        .filter(|n| *n > 1)
        .map(|n| format!(" (in {n} places)"))
        .unwrap_or_default();
    let state = match (item.standing, item.work) {
        (Standing::Query, _) | (_, Work::Check) => {
            "we still have a question here, to be looked into"
        }
        (_, Work::TouchUp) => "the surface is to be touched up",
        (_, Work::Seal) => "a joint or gap is to be sealed",
        (_, Work::Replace) => "to be replaced",
        (_, Work::Clean) => "to be cleaned",
        (_, Work::Install) => "still to be put in",
        (_, Work::Repair) => "to be repaired",
        (_, Work::Adjust) => "to be adjusted",
    };
    let safety = if item.hazard.is_some() {
        " Please keep clear of it until then; it concerns safety."
    } else {
        ""
    };
    let number = match item.number {
        0 => String::new(),
        n => format!(" (number\u{a0}{n})"),
    };
    format!("{what}{many}: {state}{number}.{safety}")
}
