//! From YAML to the compact form, with the checks that need no transcript: unknown keys, duplicate ids, forms that two
//! entries claim, entries without examples, words that name nothing, rules that are never reached.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;

use super::data::{ById, Data, Examples, Form, Kind, Sense};
use super::layers::{Entry, Layers};
use super::listing::{Listing, Owner, Taken};
use super::refs;
use super::source::{CueKind, Element, Weight};
use super::table::Table;
use super::typed::typed;
use super::words::fold;
use super::yaml::Place;

/// A fault in a lexicon file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}:{line}:{column}: {what}")]
pub struct LexiconError {
    /// The file, as given.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// What is wrong and what to do.
    pub what: String,
}

/// A file's name and its text.
#[derive(Debug, Clone, Copy)]
pub struct Text<'a> {
    /// The name shown in errors.
    pub file: &'a str,
    /// The YAML.
    pub text: &'a str,
    /// The layer that it belongs to: 0 at the bottom, later ones win. The files of one folder are one layer.
    pub layer: usize,
}

/// What the files together come to.
pub struct Compiled {
    /// The entries and all forms.
    pub data: Data,
    /// The entries' own examples.
    pub examples: Vec<Examples>,
    /// The entries as written, each with its places.
    pub layers: Layers,
    /// Forms that a later layer took from an earlier one's entry.
    pub taken: Vec<Taken>,
    /// What a check tells and a reading can do without: entries without examples, rules that are never reached.
    pub gaps: Vec<LexiconError>,
}

/// Reads all files, in the order of their layers, as one lexicon.
///
/// # Errors
/// Every fault found, each with its file, line and column.
pub fn compile(texts: &[Text<'_>]) -> Result<Compiled, Vec<LexiconError>> {
    let mut layers = Layers::of(texts);
    let mut c = Compiler::default();
    c.areas(&layers);
    c.elements(&layers);
    c.faults(&layers);
    c.works(&layers);
    c.trades(&layers);
    c.cues(&layers);
    c.dispatch(&layers);
    c.dangers(&layers);
    c.cautions(&layers);
    c.limits(&layers);
    c.descriptions(&layers);
    c.fittings(&layers);
    c.verdicts(&layers);
    for (weight, _) in c.each::<Weight>(&layers, "model") {
        c.data.model.push(weight);
    }
    c.data.model.sort_by(|a, b| a.id.cmp(&b.id));
    for (weight, _) in c.each::<Weight>(&layers, "moves") {
        c.data.moves.push(weight);
    }
    for (weight, _) in c.each::<Weight>(&layers, "wanting") {
        c.data.wanting.push(weight);
    }
    for (weight, _) in c.each::<Weight>(&layers, "fine") {
        c.data.fine.push(weight);
    }
    for weights in [&mut c.data.moves, &mut c.data.wanting, &mut c.data.fine] {
        weights.sort_by(|a, b| a.id.cmp(&b.id));
    }
    let mut wrong = refs::check(&mut c.data, &layers);
    wrong.append(&mut c.errors);
    let listing = std::mem::take(&mut c.listing);
    let (forms, taken) = listing.finish().unwrap_or_else(|faults| {
        wrong.extend(faults);
        Default::default()
    });
    wrong.sort();
    let mut errors = std::mem::take(&mut layers.errors);
    errors.extend(
        wrong
            .into_iter()
            .map(|(place, what)| layers.error(place, what)),
    );
    if !errors.is_empty() {
        return Err(errors);
    }
    let mut forms = forms;
    lost_names(&mut c.data.elements, &mut forms, &taken);
    for d in &mut c.data.descriptions {
        vague(&mut d.heads);
    }
    c.data.heads = heads(&c.data);
    c.data.by_id = ById {
        areas: by_id(&c.data.areas, |e| &e.id),
        elements: by_id(&c.data.elements, |e| &e.id),
        faults: by_id(&c.data.faults, |e| &e.id),
    };
    c.data.hesitations = hesitations(&c.data, &forms);
    c.data.forms = Table::of(&forms);
    c.gaps.extend(refs::unreached(&c.data, &layers));
    c.gaps.sort();
    let gaps = c
        .gaps
        .into_iter()
        .map(|(place, what)| layers.error(place, what))
        .collect();
    Ok(Compiled {
        data: c.data,
        examples: c.examples,
        layers,
        taken,
        gaps,
    })
}

#[derive(Default)]
pub(super) struct Compiler {
    pub(super) data: Data,
    pub(super) examples: Vec<Examples>,
    pub(super) errors: Vec<(Place, String)>,
    pub(super) gaps: Vec<(Place, String)>,
    pub(super) listing: Listing,
}

impl Compiler {
    /// The entries of a kind as their type, in order; those that do not fit are left out and told.
    pub(super) fn each<'l, T: DeserializeOwned>(
        &mut self,
        layers: &'l Layers,
        list: &str,
    ) -> Vec<(T, &'l Entry)> {
        let all = layers.list(list);
        if all.len() > usize::from(u16::MAX) {
            let what = format!(
                "{list}: more than {} entries; split off a lexicon",
                u16::MAX
            );
            self.errors.push((all[0].place(), what));
            return Vec::new();
        }
        let mut out = Vec::with_capacity(all.len());
        for entry in all {
            match typed(entry) {
                Ok(made) => out.push((made, entry)),
                Err(faults) => self.errors.extend(faults),
            }
        }
        out
    }

    pub(super) fn lacks(&mut self, entry: &Entry, what: &str) {
        self.errors.push((
            entry.place(),
            format!("{}: {:?} has no {what}", entry.list, entry.id),
        ));
    }

    pub(super) fn examples(&mut self, entry: &Entry, (finds, ignores): (Vec<String>, Vec<String>)) {
        if finds.is_empty() {
            self.gaps.push((
                entry.place(),
                format!(
                    "{}: {:?} has no example: add `finds` with a phrase in which it must be found",
                    entry.list, entry.id
                ),
            ));
        }
        let places = ["finds", "ignores"]
            .iter()
            .flat_map(|k| entry.get(k).map(|n| n.members()).unwrap_or_default())
            .map(|n| n.place)
            .collect();
        self.examples.push(Examples {
            list: entry.list.to_string(),
            id: entry.id.clone(),
            finds,
            ignores,
            places,
        });
    }

    /// The members of one of an entry's lists, each with its place.
    pub(super) fn words(entry: &Entry, key: &str) -> Vec<(String, Place)> {
        entry
            .get(key)
            .map(|n| n.members())
            .unwrap_or_default()
            .iter()
            .filter_map(|n| n.text().map(|t| (t.to_string(), n.place)))
            .collect()
    }

    pub(super) fn nouns(
        &mut self,
        entry: &Entry,
        key: &str,
        claim: &str,
        sense: Sense,
        plural: bool,
    ) {
        let name = format!("{}/{}", entry.list, entry.id);
        let owner = Owner {
            entry: &name,
            claim,
            sense,
        };
        for (form, place) in Self::words(entry, key) {
            self.listing.noun(&owner, &form, place, plural);
        }
    }
}

/// The numbers of some entries in the order of their ids.
fn by_id<T>(entries: &[T], id: impl Fn(&T) -> &String) -> Vec<u16> {
    let mut order: Vec<u16> = (0..=u16::MAX).take(entries.len()).collect();
    order.sort_by_key(|i| id(&entries[usize::from(*i)]).clone());
    order
}

/// What people say for "thing", and for a bit of some material, beside what is listed.
const VAGUE: [(&str, &[&str]); 5] = [
    (
        "thing",
        &[
            "thingy",
            "yoke",
            "doofer",
            "whatsit",
            "gizmo",
            "contraption",
            "jobby",
            "bit",
        ],
    ),
    (
        "wood",
        &[
            "bit of wood",
            "piece of wood",
            "bit of timber",
            "length of wood",
        ],
    ),
    (
        "metal",
        &["bit of metal", "piece of metal", "strip of metal"],
    ),
    (
        "plastic",
        &["bit of plastic", "piece of plastic", "strip of plastic"],
    ),
    (
        "rubber",
        &["bit of rubber", "piece of rubber", "strip of rubber"],
    ),
];

/// Adds to the vague words of a description the ones that mean the same.
fn vague(heads: &mut Vec<String>) {
    for (word, same) in VAGUE {
        let listed = |h: &String| {
            h == word
                || word != "thing"
                    && h.strip_prefix(word)
                        .is_some_and(|rest| matches!(rest, "en bit" | " bit" | " strip" | " thing"))
        };
        if heads.iter().any(listed) {
            let new: Vec<String> = same
                .iter()
                .map(|s| (*s).to_string())
                .filter(|s| !heads.contains(s))
                .collect();
            heads.extend(new);
        }
    }
}

/// The first word of each vague word that a description begins with, in order.
fn heads(data: &Data) -> Vec<(String, u16, u16)> {
    let mut out = Vec::new();
    for (row, d) in (0u16..).zip(&data.descriptions) {
        for (i, head) in (0u16..).zip(&d.heads) {
            let first = head.split(' ').next().unwrap_or(head);
            out.push((first.to_string(), row, i));
        }
    }
    out.sort();
    out
}

/// The short single words among the fillers.
fn hesitations(data: &Data, forms: &[Form]) -> Vec<String> {
    let is_filler =
        |s: &Sense| s.kind == Kind::Cue && data.cues[s.entry as usize].kind == CueKind::Filler;
    forms
        .iter()
        .filter(|f| {
            f.text.len() <= super::data::HESITATION
                && !f.text.contains(' ')
                && f.senses.iter().any(is_filler)
        })
        .map(|f| f.text.clone())
        .collect()
}

/// A name that a later layer took away is shown no more; a part that lost all of them is shown by its first still.
fn lost_names(elements: &mut [Element], forms: &mut [Form], taken: &[Taken]) {
    // Which name stands where now, for each part that lost any.
    let mut moved: BTreeMap<u16, Vec<Option<u8>>> = BTreeMap::new();
    for (i, e) in elements.iter_mut().enumerate() {
        let me = format!("elements/{}", e.id);
        let lost = |n: &String| taken.iter().any(|t| t.from == me && t.form == fold(n));
        if !e.names.iter().any(lost) {
            continue;
        }
        let mut next = 0;
        let map = e.names.iter().map(|n| {
            (!lost(n)).then(|| {
                next += 1;
                next - 1
            })
        });
        if let Ok(entry) = u16::try_from(i) {
            moved.insert(entry, map.collect());
        }
        let first = e.names[0].clone();
        e.names.retain(|n| !lost(n));
        if e.names.is_empty() {
            let shown = e.shown.get_or_insert(first).clone();
            e.names.push(shown);
        }
    }
    for s in forms.iter_mut().flat_map(|f| &mut f.senses) {
        if s.kind == Kind::Element
            && let Some(map) = moved.get(&s.entry)
            && let Some(Some(now)) = map.get(usize::from(s.name))
        {
            s.name = *now;
        }
    }
}
