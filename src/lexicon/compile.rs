//! From YAML to the compact form, with the checks that need no transcript: unknown keys, duplicate ids, forms that two
//! entries claim, entries without examples, words that name nothing, rules that are never reached.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;

use super::data::{Data, Examples, Kind, Role, Sense};
use super::layers::{Entry, Layers};
use super::listing::{Listing, Owner, Taken};
use super::refs;
use super::source::{
    AreaKind, Caution, Cue, Danger, Description, Dispatch, Element, Fault, Limit, TradeEntry,
    Weight, WorkWord,
};
use super::typed::typed;
use super::words::fold;
use super::yaml::Place;
use crate::list::Trade;

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
    for (weight, _) in c.each::<Weight>(&layers, "model") {
        c.data.model.push(weight);
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
    c.data.forms = forms;
    lost_names(&mut c.data, &taken);
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
struct Compiler {
    data: Data,
    examples: Vec<Examples>,
    errors: Vec<(Place, String)>,
    gaps: Vec<(Place, String)>,
    listing: Listing,
}

/// The phrases of an entry that are run by the checker, taken out of it.
macro_rules! take_examples {
    ($e:ident) => {
        (
            std::mem::take(&mut $e.finds),
            std::mem::take(&mut $e.ignores),
        )
    };
}

impl Compiler {
    /// The entries of a kind as their type, in order; those that do not fit are left out and told.
    fn each<'l, T: DeserializeOwned>(
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

    fn lacks(&mut self, entry: &Entry, what: &str) {
        self.errors.push((
            entry.place(),
            format!("{}: {:?} has no {what}", entry.list, entry.id),
        ));
    }

    fn examples(&mut self, entry: &Entry, (finds, ignores): (Vec<String>, Vec<String>)) {
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
    fn words(entry: &Entry, key: &str) -> Vec<(String, Place)> {
        entry
            .get(key)
            .map(|n| n.members())
            .unwrap_or_default()
            .iter()
            .filter_map(|n| n.text().map(|t| (t.to_string(), n.place)))
            .collect()
    }

    fn nouns(&mut self, entry: &Entry, key: &str, claim: &str, sense: Sense, plural: bool) {
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

    fn areas(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<AreaKind>(layers, "areas") {
            let sense = sense(Kind::Area, self.data.areas.len());
            if e.name.is_empty() {
                self.lacks(
                    entry,
                    &format!(
                        "`name`: how is it written in a path?{}",
                        slip(layers, entry)
                    ),
                );
            }
            self.nouns(entry, "forms", "Area", sense, true);
            e.forms = Vec::new();
            self.examples(entry, take_examples!(e));
            self.data.areas.push(e);
        }
    }

    fn elements(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Element>(layers, "elements") {
            let sense = sense(Kind::Element, self.data.elements.len());
            if e.names.is_empty() {
                match &e.shown {
                    // It is met by its other forms alone, and shown as this.
                    Some(shown) => e.names.push(shown.clone()),
                    None => self.lacks(
                        entry,
                        &format!(
                            "`names`: what does the trade call it?{}",
                            slip(layers, entry)
                        ),
                    ),
                }
            }
            if e.group.is_empty() {
                self.lacks(
                    entry,
                    "`group`: which family of parts is it of? lexicon/README.md lists them",
                );
            }
            let name = format!("elements/{}", entry.id);
            for (i, (form, place)) in Self::words(entry, "names").into_iter().enumerate() {
                let Ok(i) = u8::try_from(i) else { break };
                let owner = Owner {
                    entry: &name,
                    claim: "Element",
                    sense: Sense { name: i, ..sense },
                };
                self.listing.noun(&owner, &form, place, !e.mass);
            }
            self.nouns(entry, "forms", "Element", sense, !e.mass);
            let heard = Sense {
                name: Sense::HEARD,
                ..sense
            };
            self.nouns(entry, "heard", "Element", heard, !e.mass);
            (e.forms, e.heard) = Default::default();
            self.examples(entry, take_examples!(e));
            self.data.elements.push(e);
        }
    }

    fn faults(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Fault>(layers, "faults") {
            let sense = sense(Kind::Fault, self.data.faults.len());
            if e.work.is_none() {
                self.lacks(
                    entry,
                    &format!(
                        "`work`: which class of work does it ask for?{}",
                        slip(layers, entry)
                    ),
                );
            }
            if e.name.is_empty() {
                self.lacks(entry, "`name`: what does the trade call it?");
            }
            self.nouns(entry, "noun", "Fault", sense, true);
            let name = format!("faults/{}", entry.id);
            let owner = |claim, role| Owner {
                entry: &name,
                claim,
                sense: Sense { role, ..sense },
            };
            for (key, role) in [("state", Role::State), ("phrase", Role::Phrase)] {
                for (form, place) in Self::words(entry, key) {
                    self.listing.as_is(&owner("Fault", role), &form, place);
                }
            }
            for (form, place) in Self::words(entry, "verb") {
                self.listing
                    .verb(&owner("Fault", Role::Base), &form, place, None);
            }
            for (form, place) in Self::words(entry, "lacks") {
                self.listing.lack(&owner("lack", Role::Lack), &form, place);
            }
            (e.noun, e.state, e.verb, e.lacks, e.phrase) = Default::default();
            self.examples(entry, take_examples!(e));
            self.data.faults.push(e);
        }
    }

    fn works(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<WorkWord>(layers, "works") {
            let sense = sense(Kind::Work, self.data.works.len());
            if e.class.is_none() {
                self.lacks(
                    entry,
                    &format!("`class`: which class of work is it?{}", slip(layers, entry)),
                );
            }
            let name = format!("works/{}", entry.id);
            let owner = Owner {
                entry: &name,
                claim: "Work",
                sense,
            };
            for (form, place) in Self::words(entry, "verb") {
                let irregular = e.irregular.get(&form).map(Vec::as_slice);
                self.listing.verb(&owner, &form, place, irregular);
            }
            self.nouns(entry, "noun", "Work", sense, true);
            (e.verb, e.noun, e.irregular) = Default::default();
            self.examples(entry, take_examples!(e));
            self.data.works.push(e);
        }
    }

    fn trades(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<TradeEntry>(layers, "trades") {
            let sense = sense(Kind::Trade, self.data.trades.len());
            e.trade = e.trade.or_else(|| Trade::from_word(&e.id));
            if e.trade.is_none() {
                self.lacks(
                    entry,
                    "`trade`: its word in the list, lower case, joined by \"-\"",
                );
            }
            if e.name.is_empty() {
                self.lacks(entry, "`name`: how is it written for people?");
            }
            e.own = entry.place().layer > 0;
            self.nouns(entry, "people", "Trade", sense, true);
            e.people = Vec::new();
            self.examples(entry, take_examples!(e));
            self.data.trades.push(e);
        }
    }

    fn cues(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Cue>(layers, "cues") {
            let sense = Sense {
                role: Role::Phrase,
                ..sense(Kind::Cue, self.data.cues.len())
            };
            let (name, claim) = (format!("cues/{}", entry.id), format!("cue {:?}", e.kind));
            let owner = Owner {
                entry: &name,
                claim: &claim,
                sense,
            };
            for (form, place) in Self::words(entry, "forms") {
                self.listing.as_is(&owner, &form, place);
            }
            e.forms = Vec::new();
            self.examples(entry, take_examples!(e));
            self.data.cues.push(e);
        }
    }

    fn dispatch(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Dispatch>(layers, "dispatch") {
            if e.trade.is_none() {
                self.lacks(entry, "`trade`: who is sent?");
            }
            self.near(entry, &mut e.near);
            self.examples(entry, take_examples!(e));
            self.data.dispatch.push(e);
        }
    }

    fn dangers(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Danger>(layers, "dangers") {
            if e.hazard.is_none() {
                self.lacks(entry, "`hazard`: which danger is it?");
            }
            self.near(entry, &mut e.near);
            self.examples(entry, take_examples!(e));
            self.data.dangers.push(e);
        }
    }

    fn descriptions(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Description>(layers, "descriptions") {
            if e.heads.is_empty() || e.by.is_empty() {
                self.lacks(entry, "`heads` and `by`: how is the part told?");
            }
            self.examples(entry, take_examples!(e));
            self.data.descriptions.push(e);
        }
    }

    fn cautions(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Caution>(layers, "cautions") {
            if e.hazard.is_none() || e.text.trim().is_empty() {
                self.lacks(
                    entry,
                    "`hazard` or no `text`: which danger, and what holds for it?",
                );
            }
            self.examples(entry, take_examples!(e));
            self.data.cautions.push(e);
        }
    }

    fn limits(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Limit>(layers, "limits") {
            if e.unit.is_none() || e.of.is_empty() || e.elements.is_empty() {
                self.lacks(
                    entry,
                    "`elements`, `of` or `unit`: what was measured, and in what?",
                );
            }
            if e.source.is_none() || e.provenance.is_none() {
                self.lacks(
                    entry,
                    "`source` or `provenance`: where does the figure stand, and who read it there?",
                );
            }
            let orderly = |a: Option<f64>, b: Option<f64>| match (a, b) {
                (Some(a), Some(b)) => a <= b,
                _ => true,
            };
            if e.min.is_none() && e.max.is_none() {
                self.lacks(entry, "`min` or `max`");
            } else if !orderly(e.min, e.max) || !orderly(e.lowest, e.highest) {
                self.errors.push((
                    entry.place(),
                    format!(
                        "limits: {:?} can never be met: its least is more than its most",
                        e.id
                    ),
                ));
            }
            self.near(entry, &mut e.near);
            self.examples(entry, take_examples!(e));
            self.data.limits.push(e);
        }
    }

    /// Words that must stand near: folded as the speech is.
    fn near(&mut self, entry: &Entry, near: &mut [String]) {
        for word in near {
            let folded = fold(word);
            if folded.is_empty() {
                self.errors.push((
                    entry.place_of(word),
                    format!(
                        "{}: {:?}: {word:?} has no word in it and can never be met: leave it out",
                        entry.list, entry.id
                    ),
                ));
            }
            *word = folded;
        }
    }
}

/// A name that a later layer took away is shown no more; a part that lost all of them is shown by its first still.
fn lost_names(data: &mut Data, taken: &[Taken]) {
    // Which name stands where now, for each part that lost any.
    let mut moved: BTreeMap<u16, Vec<Option<u8>>> = BTreeMap::new();
    for (i, e) in data.elements.iter_mut().enumerate() {
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
    for s in data.forms.iter_mut().flat_map(|f| &mut f.senses) {
        if s.kind == Kind::Element
            && let Some(map) = moved.get(&s.entry)
            && let Some(Some(now)) = map.get(usize::from(s.name))
        {
            s.name = *now;
        }
    }
}

/// Where a new entry lacks what it must have, the id below it that it may have been meant to change.
fn slip(layers: &Layers, entry: &Entry) -> String {
    let below = layers.list(entry.list).iter();
    let below = below.filter(|e| e.defined.layer < entry.defined.layer);
    let hint = super::layers::nearest(&entry.id, below.map(|e| e.id.as_str()));
    if hint.is_empty() {
        hint
    } else {
        format!("{hint} An entry is changed by its own id")
    }
}

fn sense(kind: Kind, entry: usize) -> Sense {
    Sense {
        kind,
        entry: u16::try_from(entry).unwrap_or(u16::MAX),
        role: Role::Noun,
        name: 0,
    }
}
