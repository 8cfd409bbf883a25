//! The letter to the owner: room by room what was put right, what is fine, what is open, in everyday words.
//!
//! Only what the list holds is told: no reasons, no promises, no names of faults. A part whose name says little to who does not build
//! is told with what it belongs to: "Sash (window)".

use super::Sheet;
use super::html::{self, apart, escape};
use crate::lexicon::Lexicon;
use crate::list::{ClearedKind, Item, List, Standing, Work};
use crate::report::groups::{by_area, open};

/// Names that need no telling to what they belong.
const EVERYDAY: &[&str] = &[
    "backsplash",
    "bathtub",
    "blind",
    "bulb",
    "cabinet",
    "carpet",
    "ceiling",
    "chimney",
    "counter",
    "countertop",
    "cupboard",
    "curtain",
    "deck",
    "dishwasher",
    "door",
    "doorbell",
    "drawer",
    "dryer",
    "faucet",
    "fence",
    "floor",
    "garage",
    "gate",
    "glass",
    "gutter",
    "handrail",
    "knob",
    "lamp",
    "light",
    "lock",
    "mirror",
    "oven",
    "paint",
    "patio",
    "pipe",
    "porch",
    "radiator",
    "railing",
    "roof",
    "shelf",
    "shower",
    "sink",
    "stair",
    "step",
    "switch",
    "tap",
    "thermostat",
    "tile",
    "toilet",
    "towel",
    "tub",
    "wall",
    "washer",
    "window",
];

/// What the parts of a group belong to, in everyday words.
const BELONGS: &[(&str, &str)] = &[
    ("door", "door"),
    ("door-hardware", "door"),
    ("window", "window"),
    ("stair", "stairs"),
    ("railing", "railing"),
    ("trim", "woodwork"),
    ("cabinet", "cabinets"),
    ("countertop", "countertop"),
    ("tile", "tiling"),
    ("sealant", "joint filling"),
    ("plumbing", "plumbing"),
    ("electrical", "electrics"),
    ("hvac", "heating and air"),
    ("roof", "roof"),
    ("gutter", "gutters"),
    ("siding", "outside walls"),
    ("masonry", "masonry"),
    ("framing", "frame of the building"),
    ("garage-door", "garage door"),
    ("fence", "fence"),
    ("deck", "deck"),
];

/// The letter.
pub(super) fn letter(list: &List) -> Sheet {
    let lexicon = Lexicon::builtin();
    let groups = by_area(list);
    let told: Vec<_> = groups
        .iter()
        .filter(|g| !g.items.is_empty() || !g.cleared.is_empty())
        .collect();
    let walked = format!("We walked through the building{}", dates(list));
    let mut body = String::from("<div class=\"letter\">\n<p>Dear owner,</p>\n");
    if told.is_empty() {
        body.push_str(&format!(
            "<p>{walked}. Nothing was noted that needs work, and nothing was noted as checked.</p>\n"
        ));
    } else {
        body.push_str(&format!(
            "<p>{walked} and noted what we saw. Below you find it room by room. The number beside each open matter is the one to \
             name when you ask about it.</p>\n"
        ));
    }
    for g in told {
        body.push_str(&format!("<h2>{}</h2>\n", apart(&place(g.path))));
        let named = |e: Option<&str>| name(&lexicon, e);
        let good = g
            .items
            .iter()
            .filter(|i| !open(i) && i.closed.is_none())
            .map(|i| named(i.element.as_deref()));
        let of = |kind: ClearedKind| {
            g.cleared
                .iter()
                .filter(move |c| c.kind == kind)
                .map(|c| named(c.element.as_deref()))
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
            .map(|i| line(&lexicon, i))
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

/// On which days the walks were, where each has a date: " on March 2, 2026".
fn dates(list: &List) -> String {
    let day = |text: &String| -> Option<String> {
        let date: jiff::civil::Date = text.get(..10)?.parse().ok()?;
        Some(date.strftime("%B %-d, %Y").to_string())
    };
    let days: Option<Vec<String>> = list
        .walks
        .iter()
        .map(|w| w.recorded.as_ref().and_then(day))
        .collect();
    match once(days.unwrap_or_default().into_iter()).as_slice() {
        [] => String::new(),
        [before @ .., last] if !before.is_empty() => {
            format!(" on {} and {last}", before.join(", "))
        }
        [only, ..] => format!(" on {only}"),
    }
}

/// A place as a letter names it, the room first: "Pantry, Kitchen".
fn place(path: &[String]) -> String {
    let names: Vec<&str> = path.iter().rev().map(String::as_str).collect();
    if names.is_empty() {
        "Place not told".to_string()
    } else {
        names.join(", ")
    }
}

/// A part with what it belongs to, where its own name does not say.
fn name(lexicon: &Lexicon, element: Option<&str>) -> String {
    let Some(element) = element else {
        return "The area as a whole".to_string();
    };
    let name = super::sentence(element);
    let has = |words: &str| {
        let singular = words.trim_end_matches('s');
        element.to_lowercase().contains(singular)
    };
    if EVERYDAY.iter().any(|word| has(word)) {
        return name;
    }
    let elements = &lexicon.data().elements;
    let group = elements
        .iter()
        .find(|e| e.names.iter().any(|n| n == element))
        .map(|e| e.group.as_str());
    BELONGS
        .iter()
        .find(|(of, words)| Some(*of) == group && !has(words))
        .map_or_else(|| name.clone(), |(_, words)| format!("{name} ({words})"))
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

fn line(lexicon: &Lexicon, item: &Item) -> String {
    let what = name(lexicon, item.element.as_deref());
    let many = item
        .count
        .filter(|n| *n > 1)
        .map(|n| format!(", {n} of them"))
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
    let safety = super::caution_of(item)
        .map(|(_, text)| format!(" Please note for your safety: {text}"))
        .unwrap_or_default();
    let number = match item.number {
        0 => String::new(),
        n => format!(" (number\u{a0}{n})"),
    };
    format!("{what}{many}: {state}{number}.{safety}")
}
