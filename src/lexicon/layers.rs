//! Lexicon files laid over one another: entries of a later layer add to, change or remove those of earlier ones by id.
//!
//! This works on the YAML's own values, before they become types, since only there is told what an entry leaves unsaid.
//! Every value keeps the file, line and column it came from.

use std::collections::{BTreeMap, BTreeSet};

use super::compile::{LexiconError, Text};
use super::merge::{change, drop_words, words_of};
use super::yaml::{self, Key, Node, Place, Value};

/// The kinds of entries, in the order in which they are dumped.
pub const LISTS: [&str; 17] = [
    "areas",
    "elements",
    "faults",
    "works",
    "trades",
    "cues",
    "dispatch",
    "dangers",
    "cautions",
    "limits",
    "descriptions",
    "fittings",
    "verdicts",
    "model",
    "moves",
    "wanting",
    "fine",
];

/// Kinds in which the first entry that fits wins: those of a later layer stand before the earlier ones.
const FIRST_FITS: [&str; 4] = ["dispatch", "dangers", "limits", "descriptions"];

/// Keys that say what becomes of an earlier entry, and are none of its own.
const STEERS: [&str; 3] = ["remove", "replace", "drop"];

/// The ids of one layer, and where they stand.
type Ids = BTreeMap<(&'static str, String), Place>;

/// An entry as all layers together make it.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Its kind.
    pub list: &'static str,
    /// Its id.
    pub id: String,
    /// Its keys and values, `id` left out.
    pub keys: Vec<(Key, Node)>,
    /// Where it was defined first.
    pub defined: Place,
    /// Where later layers changed it, in order.
    pub changed: Vec<Place>,
}

impl Entry {
    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.keys
            .iter()
            .find(|(k, _)| k.text == key)
            .map(|(_, v)| v)
    }

    /// Where the entry was last touched.
    pub fn place(&self) -> Place {
        self.changed.last().copied().unwrap_or(self.defined)
    }

    /// Where a word stands in it: as a member of a list, a value, or the key of a map; else the entry's own place.
    pub fn place_of(&self, word: &str) -> Place {
        let is = |n: &Node| n.text() == Some(word);
        for (_, value) in &self.keys {
            if is(value) {
                return value.place;
            }
            if let Some(n) = value.members().iter().find(|n| is(n)) {
                return n.place;
            }
            if let Value::Map(pairs) = &value.value {
                for (k, v) in pairs {
                    if k.text == word {
                        return k.place;
                    }
                    if let Some(n) = v.members().iter().find(|n| is(n)) {
                        return n.place;
                    }
                }
            }
        }
        self.place()
    }
}

/// An entry that a later layer took out.
#[derive(Debug, Clone)]
pub struct Removed {
    /// Its kind.
    pub list: &'static str,
    /// Its id.
    pub id: String,
    /// Where it was defined.
    pub defined: Place,
    /// Where it was removed.
    pub by: Place,
}

/// All layers together.
#[derive(Debug, Default)]
pub struct Layers {
    /// The files' names, in the order given.
    pub files: Vec<String>,
    /// The entries of each kind, in the order in which they are tried.
    pub lists: BTreeMap<&'static str, Vec<Entry>>,
    /// What was taken out.
    pub removed: Vec<Removed>,
    /// What is wrong with the files.
    pub errors: Vec<LexiconError>,
}

impl Layers {
    /// Reads the texts and lays each layer over the earlier ones; the texts stand in the order of their layers.
    pub fn of(texts: &[Text<'_>]) -> Layers {
        let mut layers = Layers {
            files: texts.iter().map(|t| t.file.to_string()).collect(),
            ..Layers::default()
        };
        let mut at = 0;
        while at < texts.len() {
            let layer = texts[at].layer;
            let end = at + texts[at..].iter().take_while(|t| t.layer == layer).count();
            let mut own: BTreeMap<&'static str, Vec<Entry>> = BTreeMap::new();
            let mut ids = Ids::new();
            for (i, t) in texts[at..end].iter().enumerate() {
                match yaml::read(t.file, t.text, layer, at + i) {
                    Ok(root) => layers.entries(root, &mut own, &mut ids),
                    Err(e) => layers.errors.push(e),
                }
            }
            for (list, entries) in own {
                layers.lay(list, entries);
            }
            at = end;
        }
        layers
    }

    /// The entries of a kind.
    pub fn list(&self, list: &str) -> &[Entry] {
        self.lists.get(list).map(Vec::as_slice).unwrap_or_default()
    }

    /// The entry of a kind with this id.
    pub fn entry(&self, list: &str, id: &str) -> Option<&Entry> {
        self.list(list).iter().find(|e| e.id == id)
    }

    /// The number of the topmost layer in which an entry stands.
    pub fn top(&self) -> usize {
        let all = self.lists.values().flatten();
        let touched = all.map(|e| e.place().layer);
        touched
            .chain(self.removed.iter().map(|r| r.by.layer))
            .max()
            .unwrap_or(0)
    }

    /// A place as it is shown: file, line and column.
    pub fn shown(&self, place: Place) -> String {
        let file = self.files.get(place.file).map_or("", String::as_str);
        format!("{file}:{}:{}", place.line, place.column)
    }

    /// An error at a place.
    pub fn error(&self, place: Place, what: String) -> LexiconError {
        LexiconError {
            file: self.files.get(place.file).cloned().unwrap_or_default(),
            line: place.line,
            column: place.column,
            what,
        }
    }

    fn fault(&mut self, place: Place, what: String) {
        let error = self.error(place, what);
        self.errors.push(error);
    }

    /// The entries of one file, added to those of its layer.
    fn entries(&mut self, root: Node, own: &mut BTreeMap<&'static str, Vec<Entry>>, ids: &mut Ids) {
        let top = match root.value {
            Value::Null => return,
            Value::Map(pairs) => pairs,
            _ => {
                return self.fault(
                    root.place,
                    format!(
                        "a lexicon file holds lists of entries by kind ({}), and here stands {}",
                        LISTS.join(", "),
                        root.kind()
                    ),
                );
            }
        };
        for (key, value) in top {
            let Some(list) = LISTS.iter().find(|l| **l == key.text) else {
                let hint = nearest(&key.text, LISTS.iter().copied());
                self.fault(
                    key.place,
                    format!(
                        "{:?} is no kind of entry{hint}; the kinds are {}",
                        key.text,
                        LISTS.join(", ")
                    ),
                );
                continue;
            };
            let members = match value.value {
                Value::List(members) => members,
                Value::Null => continue,
                _ => {
                    let kind = value.kind();
                    self.fault(
                        value.place,
                        format!("{list}: a list of entries belongs here, each `- {{id: …}}`; found {kind}"),
                    );
                    continue;
                }
            };
            for member in members {
                self.one(list, member, own.entry(list).or_default(), ids);
            }
        }
    }

    fn one(&mut self, list: &'static str, member: Node, own: &mut Vec<Entry>, ids: &mut Ids) {
        let (place, kind) = (member.place, member.kind());
        let Value::Map(mut keys) = member.value else {
            return self.fault(
                place,
                format!("{list}: an entry `{{id: …}}` belongs here; found {kind}"),
            );
        };
        let at = keys.iter().position(|(k, _)| k.text == "id");
        let id = at.map(|i| keys.remove(i).1);
        let Some(id) = id else {
            let near = keys
                .iter()
                .find(|(k, _)| strsim::levenshtein(&k.text, "id") == 1)
                .map(|(k, _)| format!("; is {:?} meant to be `id`?", k.text))
                .unwrap_or_default();
            return self.fault(
                place,
                format!("{list}: an entry has no id: give it one{near}"),
            );
        };
        let text = match id.value {
            Value::Text(t) | Value::Number(t) if !t.is_empty() => t,
            _ => {
                return self.fault(
                    id.place,
                    format!("{list}: the id is no word: give one like `front-hall`"),
                );
            }
        };
        if let Some(there) = ids.insert((list, text.clone()), id.place) {
            let there = self.shown(there);
            return self.fault(
                id.place,
                format!("{list}: the id {text:?} is taken by the entry at {there}; choose another"),
            );
        }
        own.push(Entry {
            list,
            id: text,
            keys,
            defined: id.place,
            changed: Vec::new(),
        });
    }

    /// Lays one layer's entries of a kind over what is there.
    fn lay(&mut self, list: &'static str, entries: Vec<Entry>) {
        let mut below = self.lists.remove(list).unwrap_or_default();
        let index: BTreeMap<String, usize> = below
            .iter()
            .enumerate()
            .map(|(i, e)| (e.id.clone(), i))
            .collect();
        let mut gone: Vec<usize> = Vec::new();
        let mut fresh: Vec<Entry> = Vec::new();
        for mut entry in entries {
            let steers = self.steers(&mut entry);
            let Some(&at) = index.get(&entry.id) else {
                if steers.remove || steers.replace || !steers.drop.is_empty() {
                    let near = || nearest(&entry.id, index.keys().map(String::as_str));
                    let hint = hint(self.errors.len(), near);
                    self.fault(
                        entry.defined,
                        format!(
                            "{list}: there is no {:?} in the layers below to remove, replace or drop from{hint}",
                            entry.id
                        ),
                    );
                } else {
                    fresh.push(entry);
                }
                continue;
            };
            if steers.remove {
                if let Some((key, _)) = entry.keys.first() {
                    self.fault(
                        key.place,
                        format!(
                            "{list}: {:?} is removed, so {:?} does nothing: leave out one of them",
                            entry.id, key.text
                        ),
                    );
                }
                self.removed.push(Removed {
                    list,
                    id: entry.id,
                    defined: below[at].defined,
                    by: entry.defined,
                });
                gone.push(at);
                continue;
            }
            let old = &mut below[at];
            old.changed.push(entry.defined);
            if steers.replace {
                old.keys = entry.keys;
                continue;
            }
            let words: Vec<&str> = steers.drop.iter().filter_map(Node::text).collect();
            let missing: BTreeSet<&str> = drop_words(&mut old.keys, &words).into_iter().collect();
            for word in &steers.drop {
                if let Some(text) = word.text().filter(|t| missing.contains(t)) {
                    let near = || {
                        let all = words_of(&old.keys);
                        nearest(text, all.iter().map(String::as_str))
                    };
                    let hint = hint(self.errors.len(), near);
                    self.errors.push(LexiconError {
                        file: self.files[word.place.file].clone(),
                        line: word.place.line,
                        column: word.place.column,
                        what: format!("{list}: {:?} has no {text:?} to drop{hint}", entry.id),
                    });
                }
            }
            for (key, value) in entry.keys {
                change(&mut old.keys, key, value);
            }
        }
        let gone: BTreeSet<usize> = gone.into_iter().collect();
        let mut at = 0..;
        below.retain(|_| at.next().is_none_or(|at| !gone.contains(&at)));
        let all = if FIRST_FITS.contains(&list) {
            fresh.into_iter().chain(below).collect()
        } else {
            below.into_iter().chain(fresh).collect()
        };
        self.lists.insert(list, all);
    }

    /// Takes the steering keys out of an entry.
    fn steers(&mut self, entry: &mut Entry) -> Steers {
        let mut out = Steers::default();
        let keys = std::mem::take(&mut entry.keys);
        for (key, value) in keys {
            if !STEERS.contains(&key.text.as_str()) {
                entry.keys.push((key, value));
                continue;
            }
            match (key.text.as_str(), value.value) {
                ("remove", Value::Bool(b)) => out.remove = b,
                ("replace", Value::Bool(b)) => out.replace = b,
                ("drop", Value::List(words)) => {
                    for word in &words {
                        if word.text().is_none() {
                            self.fault(word.place, "drop: only words stand here".to_string());
                        }
                    }
                    out.drop = words;
                }
                ("drop", _) => self.fault(
                    value.place,
                    "drop: a list of words belongs here: `drop: [one, another]`".to_string(),
                ),
                (name, _) => self.fault(value.place, format!("{name}: only `true` stands here")),
            }
        }
        out
    }
}

#[derive(Default)]
struct Steers {
    remove: bool,
    replace: bool,
    drop: Vec<Node>,
}

/// A hint, as long as there are not so many errors already that nobody reads them.
fn hint(errors: usize, make: impl FnOnce() -> String) -> String {
    const HINTED: usize = 100;
    if errors < HINTED {
        make()
    } else {
        String::new()
    }
}

/// "; did you mean …?", where one of these words is near enough to be a slip of the hand.
pub fn nearest<'a>(word: &str, all: impl Iterator<Item = &'a str>) -> String {
    all.map(|a| (strsim::jaro_winkler(a, word), a))
        .filter(|(near, _)| *near > 0.8)
        .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)))
        .map(|(_, a)| format!("; did you mean {a:?}?"))
        .unwrap_or_default()
}
