//! The trade words that a recognizer may have written as other words, each with the code of its sound.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use super::data::{Data, Kind, Role};
use super::{sounds, words};
use crate::list::Work;

/// The fewest letters of a word that is taken for a misspelling without more.
pub const MISSPELT: usize = 6;

/// A trade word that may be meant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Target<'t> {
    /// The code of its sound ([`sounds::code`]).
    #[serde(borrow)]
    pub code: Cow<'t, str>,
    /// Which sounds it has ([`mask`]).
    pub mask: u32,
    /// Its letters without the blanks.
    #[serde(borrow)]
    pub joined: Cow<'t, str>,
    /// The kind of entry.
    pub kind: Kind,
    /// Which entry.
    pub entry: u16,
    /// How the word is used.
    pub role: Role,
    /// The parts that it is spoken of with.
    company: Company,
    /// A building part only where something is said of it.
    pub weak: bool,
}

/// Parts that are spoken of together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
enum Company {
    None,
    Joints,
    Family(u8),
}

/// Families of parts that are spoken of together.
const FAMILIES: [&[&str]; 4] = [
    &[
        "sealant",
        "tile",
        "plumbing",
        "bath-accessory",
        "countertop",
    ],
    &[
        "trim",
        "door",
        "door-hardware",
        "stair",
        "floor",
        "window",
        "wall",
        "cabinet",
        "ceiling",
    ],
    &["siding", "gutter", "roof", "masonry"],
    &["electrical", "lighting", "alarm", "low-voltage"],
];
/// What is filled is spoken of with all that has joints.
const JOINTED: &[&str] = &[
    "sealant",
    "tile",
    "plumbing",
    "bath-accessory",
    "countertop",
    "trim",
    "window",
    "door",
];

impl Company {
    fn of(group: &str) -> Company {
        if group == "sealant" {
            return Company::Joints;
        }
        let family = (0u8..).zip(FAMILIES).find(|(_, f)| f.contains(&group));
        family.map_or(Company::None, |(i, _)| Company::Family(i))
    }
}

impl Target<'_> {
    /// The groups whose parts stand beside it.
    pub fn company(&self) -> &'static [&'static str] {
        match self.company {
            Company::None => &[],
            Company::Joints => JOINTED,
            Company::Family(i) => FAMILIES[usize::from(i)],
        }
    }

    /// Whether it is what fills a joint.
    pub fn fills(&self) -> bool {
        self.company == Company::Joints
    }
}

/// Which sounds a code has, one bit each.
pub fn mask(code: &str) -> u32 {
    code.bytes().fold(0, |m, b| m | 1 << (b & 31))
}

/// The trade words that may be meant: parts and faults by their names, and works whose word names a part as well.
pub fn targets(data: &Data) -> Vec<Target<'static>> {
    let mut out = Vec::new();
    let index = |i: usize| u16::try_from(i).unwrap_or(u16::MAX);
    let mut add = |text: &str, kind, entry, role, group: &str, weak| {
        let text = words::fold(text);
        let code = sounds::code(&text);
        if code.len() >= 2 {
            out.push(Target {
                mask: mask(&code),
                code: code.into(),
                joined: text.replace(' ', "").into(),
                kind,
                entry,
                role,
                company: Company::of(group),
                weak,
            });
        }
    };
    for (i, e) in data.elements.iter().enumerate() {
        for n in &e.names {
            add(n, Kind::Element, index(i), Role::Noun, &e.group, e.weak);
        }
    }
    for (i, f) in data.faults.iter().enumerate() {
        let part = |id| data.elements.iter().find(|e| e.id == id);
        let group = f.part.as_deref().and_then(part).map_or("", |e| &e.group);
        if !group.is_empty() || f.name.len() >= MISSPELT {
            add(&f.name, Kind::Fault, index(i), Role::Noun, group, false);
        }
    }
    for form in data.forms.iter() {
        let mut senses = form.senses.clone();
        let work = senses.find(|s| s.kind == Kind::Work && s.role == Role::Base);
        let Some(work) = work else { continue };
        let part = form.senses.clone().find(|s| s.kind == Kind::Element);
        let entry = &data.works[usize::from(work.entry)];
        let group = match part {
            Some(p) if entry.class == Some(Work::Seal) => {
                data.elements[usize::from(p.entry)].group.as_str()
            }
            None if form.text == entry.name
                && form.text.contains(' ')
                && entry.class == Some(Work::TouchUp) =>
            {
                "trim"
            }
            _ => continue,
        };
        add(form.text, Kind::Work, work.entry, Role::Base, group, false);
    }
    out
}
