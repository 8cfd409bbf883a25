//! A known building: the areas that are to be walked and, for each, the parts that are to be looked at.
//!
//! It is read from a house file (YAML). Held against a list it names the areas as the file does, and tells the areas that
//! nobody went to and the parts that nobody spoke of.
//!
//! ```
//! use storystick::building::Building;
//! use storystick::lexicon::Lexicon;
//!
//! let text = "name: Plot 7\nuse: dwelling\nareas:\n  - {name: Kitchen, elements: [window]}\n";
//! let building = Building::read("house.yaml", text, &Lexicon::builtin()).unwrap();
//! assert_eq!(building.areas[0].path, ["Kitchen"]);
//! ```

mod held;

use serde::Deserialize;

use crate::lexicon::dump::scalar;
use crate::lexicon::layers::{Entry, nearest};
use crate::lexicon::words::fold;
use crate::lexicon::yaml::{self, Node, Value};
use crate::lexicon::{Kind, Lexicon, LexiconError, typed};
use crate::list::Use;

pub use held::Heard;

/// A known building.
#[derive(Debug, Clone, PartialEq)]
pub struct Building {
    /// What it is called.
    pub name: Option<String>,
    /// What it is for, where an area does not say otherwise.
    pub building_use: Option<Use>,
    /// Its areas, in the order of the file.
    pub areas: Vec<KnownArea>,
}

/// One area of a known building.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownArea {
    /// From the outermost place inwards, as the list shall show it.
    pub path: Vec<String>,
    /// What people call it besides its name.
    pub called: Vec<String>,
    /// The kind of area, by its id in the lexicon.
    pub kind: Option<String>,
    /// The kinds that it may be: that one, or else those that its names stand for.
    pub kinds: Vec<String>,
    /// What it is for, where that differs from the building.
    pub area_use: Option<Use>,
    /// The parts to be looked at: the file's word, and the lexicon's entries that it stands for.
    pub elements: Vec<(String, Vec<u16>)>,
}

impl KnownArea {
    /// Its own name.
    pub fn name(&self) -> &str {
        self.path.last().map_or("", String::as_str)
    }

    /// Its name and what else it is called.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.name()).chain(self.called.iter().map(String::as_str))
    }
}

/// One area as the file gives it; its name stands for the id.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct Written {
    #[serde(rename = "id")]
    name: String,
    under: Vec<String>,
    called: Vec<String>,
    kind: Option<String>,
    #[serde(rename = "use")]
    area_use: Option<Use>,
    elements: Vec<String>,
}

impl Building {
    /// Reads a house file; kinds of areas and parts are looked up in the lexicon.
    ///
    /// # Errors
    /// Every fault of the file with its line, its column and what to do: keys, kinds and parts that are not known, names that
    /// two areas share.
    pub fn read(file: &str, text: &str, lexicon: &Lexicon) -> Result<Building, Vec<LexiconError>> {
        let root = yaml::read(file, text, 0, 0).map_err(|e| vec![e])?;
        let mut reader = Reader {
            file,
            lexicon,
            errors: Vec::new(),
        };
        let building = reader.building(root);
        if reader.errors.is_empty() {
            Ok(building)
        } else {
            Err(reader.errors)
        }
    }

    /// The names of areas that the lexicon does not know as a place, as a lexicon file to be laid over it; nothing where it
    /// knows them all. What such an area is like comes from its kind.
    pub fn overlay(&self, lexicon: &Lexicon) -> Option<String> {
        let known = |name: &str| {
            let folded = fold(name);
            let digits = folded
                .split(' ')
                .any(|w| w.bytes().any(|b| b.is_ascii_digit()));
            digits || meant(lexicon, &folded, Kind::Area).next().is_some()
        };
        let mut lines = Vec::new();
        for (i, area) in self.areas.iter().enumerate() {
            let forms: Vec<String> = area.names().filter(|n| !known(n)).map(fold).collect();
            if forms.is_empty() {
                continue;
            }
            let kind = area.kind.as_deref().and_then(|k| lexicon.area_by_id(k));
            let kind = kind.map(|k| lexicon.area(k));
            let flag = |name: &str, is: bool| {
                if is {
                    format!(", {name}: true")
                } else {
                    String::new()
                }
            };
            let quoted: Vec<String> = forms.iter().map(|f| scalar(f)).collect();
            let mut line = format!(
                "  - {{id: {}, name: {}, forms: [{}], finds: [{}]",
                id_of(i),
                scalar(area.name()),
                quoted.join(", "),
                scalar(&format!("now the {}", forms[0]))
            );
            if let Some(k) = kind {
                line.push_str(&flag("outdoor", k.outdoor));
                line.push_str(&flag("child", k.child));
                line.push_str(&flag("public", k.public));
                line.push_str(&flag("common", k.common));
            }
            line.push('}');
            lines.push(line);
        }
        (!lines.is_empty()).then(|| format!("areas:\n{}\n", lines.join("\n")))
    }

    /// What an area is for: by its own word, else as asked, else as the building's.
    pub fn use_of(&self, path: &[String], asked: Option<Use>) -> Option<Use> {
        let area = self.areas.iter().filter(|a| path.starts_with(&a.path));
        let area = area.max_by_key(|a| a.path.len());
        area.and_then(|a| a.area_use)
            .or(asked)
            .or(self.building_use)
    }
}

/// The id of an area's entry in the overlay.
fn id_of(area: usize) -> String {
    format!("house-area-{}", area + 1)
}

/// The entries of a kind that a folded form may mean.
fn meant<'a>(
    lexicon: &'a Lexicon,
    folded: &str,
    kind: Kind,
) -> impl Iterator<Item = u16> + use<'a> {
    lexicon
        .meanings(folded)
        .filter(move |s| s.kind == kind)
        .map(|s| s.entry)
}

struct Reader<'a> {
    file: &'a str,
    lexicon: &'a Lexicon,
    errors: Vec<LexiconError>,
}

impl Reader<'_> {
    fn fault(&mut self, place: yaml::Place, what: String) {
        self.errors.push(LexiconError {
            file: self.file.to_string(),
            line: place.line,
            column: place.column,
            what,
        });
    }

    fn building(&mut self, root: Node) -> Building {
        let mut out = Building {
            name: None,
            building_use: None,
            areas: Vec::new(),
        };
        let Value::Map(top) = root.value else {
            self.fault(
                root.place,
                "a house file holds `name`, `use` and `areas`: a list of `- {name: …}`".to_string(),
            );
            return out;
        };
        for (key, value) in top {
            match (key.text.as_str(), &value.value) {
                ("name", Value::Text(t)) => out.name = Some(t.clone()),
                ("use", Value::Text(t)) if Use::from_word(t).is_some() => {
                    out.building_use = Use::from_word(t);
                }
                ("use", _) => self.fault(
                    value.place,
                    "use: one of dwelling, public and site stands here".to_string(),
                ),
                ("areas", Value::List(members)) => {
                    for member in members {
                        let area = self.area(member);
                        out.areas.extend(area);
                    }
                }
                ("name" | "areas", _) => {
                    let what = format!("{}: found {}", key.text, value.kind());
                    self.fault(value.place, what);
                }
                (other, _) => {
                    let hint = nearest(other, ["name", "use", "areas"].into_iter());
                    let what = format!(
                        "unknown key {other:?}{hint}; the keys of a house file are name, use, areas"
                    );
                    self.fault(key.place, what);
                }
            }
        }
        if out.areas.is_empty() && self.errors.is_empty() {
            self.fault(
                root.place,
                "no `areas`: what is there to be walked?".to_string(),
            );
        }
        out.areas.clone().iter().enumerate().for_each(|(i, a)| {
            if out.areas[..i].iter().any(|b| b.path == a.path) {
                let what = format!(
                    "two areas are {:?}: tell them apart by `under` or by name",
                    a.path.join(" › ")
                );
                self.fault(root.place, what);
            }
        });
        out
    }

    fn area(&mut self, member: &Node) -> Option<KnownArea> {
        let Value::Map(keys) = &member.value else {
            let what = format!(
                "an area `{{name: …}}` belongs here; found {}",
                member.kind()
            );
            self.fault(member.place, what);
            return None;
        };
        let mut keys = keys.clone();
        let at = keys.iter().position(|(k, _)| k.text == "name");
        let name = at.map(|i| keys.remove(i).1);
        let named = name.as_ref().and_then(|n| match &n.value {
            Value::Text(t) | Value::Number(t) => Some(t.clone()),
            _ => None,
        });
        let Some(id) = named.filter(|n| !fold(n).is_empty()) else {
            self.fault(
                name.map_or(member.place, |n| n.place),
                "an area has no `name`: how shall the list show it?".to_string(),
            );
            return None;
        };
        let entry = Entry {
            list: "areas",
            id,
            keys,
            defined: member.place,
            changed: Vec::new(),
        };
        let written: Written = match typed::typed(&entry) {
            Ok(w) => w,
            Err(faults) => {
                for (place, what) in faults {
                    self.fault(place, what);
                }
                return None;
            }
        };
        if let Some(kind) = &written.kind
            && self.lexicon.area_by_id(kind).is_none()
        {
            let areas = &self.lexicon.data().areas;
            let hint = nearest(kind, areas.iter().map(|a| a.id.as_str()));
            let what = format!(
                "{:?}: {kind:?} is no area's id in the lexicon{hint}",
                entry.id
            );
            self.fault(entry.place_of(kind), what);
        }
        let mut elements = Vec::new();
        for word in written.elements {
            let found = self.parts(&word);
            if found.is_empty() {
                let all = &self.lexicon.data().elements;
                let names = all
                    .iter()
                    .flat_map(|e| std::iter::once(&e.id).chain(&e.names));
                let hint = nearest(&word, names.map(String::as_str));
                let what = format!(
                    "{:?}: the lexicon knows no part called {word:?}{hint}",
                    entry.id
                );
                self.fault(entry.place_of(&word), what);
            }
            elements.push((word, found));
        }
        let names = std::iter::once(&written.name).chain(&written.called);
        let kinds = match &written.kind {
            Some(kind) => vec![kind.clone()],
            None => names
                .flat_map(|n| meant(self.lexicon, &fold(n), Kind::Area))
                .map(|k| self.lexicon.area(k).id.clone())
                .collect(),
        };
        let mut path = written.under;
        path.push(written.name);
        Some(KnownArea {
            path,
            called: written.called,
            kind: written.kind,
            kinds,
            area_use: written.area_use,
            elements,
        })
    }

    /// The parts that a word stands for: an id, a group, or a word that the lexicon knows.
    fn parts(&self, word: &str) -> Vec<u16> {
        let all = &self.lexicon.data().elements;
        let by_name = all.iter().enumerate();
        let by_name = by_name.filter(|(_, e)| e.id == word || e.group == word);
        let mut out: Vec<u16> = by_name.filter_map(|(i, _)| u16::try_from(i).ok()).collect();
        out.extend(meant(self.lexicon, &fold(word), Kind::Element));
        out.sort_unstable();
        out.dedup();
        out
    }
}
