//! The entries of each kind: what each must have, and the forms it lists.

use super::compile::Compiler;
use super::data::{Kind, Role, Sense};
use super::layers::{Entry, Layers};
use super::listing::Owner;
use super::source::{
    AreaKind, Caution, Cue, Danger, Description, Dispatch, Element, Fault, Fitting, Limit,
    TradeEntry, VerdictWords, WorkWord,
};
use super::words::fold;
use crate::list::Trade;

/// The phrases of an entry that are run by the checker, taken out of it.
macro_rules! take_examples {
    ($e:ident) => {{
        (
            std::mem::take(&mut $e.finds),
            std::mem::take(&mut $e.ignores),
        )
    }};
}

impl Compiler {
    pub(super) fn areas(&mut self, layers: &Layers) {
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

    pub(super) fn elements(&mut self, layers: &Layers) {
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

    pub(super) fn faults(&mut self, layers: &Layers) {
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

    pub(super) fn works(&mut self, layers: &Layers) {
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

    pub(super) fn trades(&mut self, layers: &Layers) {
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
            let name = format!("trades/{}", entry.id);
            let owner = Owner {
                entry: &name,
                claim: "Trade",
                sense,
            };
            for (form, place) in Self::words(entry, "people") {
                self.listing.people(&owner, &form, place);
            }
            e.people = Vec::new();
            self.examples(entry, take_examples!(e));
            self.data.trades.push(e);
        }
    }

    pub(super) fn cues(&mut self, layers: &Layers) {
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

    pub(super) fn dispatch(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Dispatch>(layers, "dispatch") {
            if e.trade.is_none() && e.hosts.is_empty() {
                self.lacks(entry, "`trade`: who is sent?");
            }
            self.near(entry, &mut e.near);
            self.examples(entry, take_examples!(e));
            self.data.dispatch.push(e);
        }
    }

    pub(super) fn descriptions(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Description>(layers, "descriptions") {
            if e.heads.is_empty() || e.by.is_empty() {
                self.lacks(entry, "`heads` and `by`: how is the part told?");
            }
            self.examples(entry, take_examples!(e));
            self.data.descriptions.push(e);
        }
    }

    /// After the places and parts: which stand where.
    pub(super) fn fittings(&mut self, layers: &Layers) {
        let data = &mut self.data;
        data.area_sorts = vec![0; data.areas.len()];
        data.element_sorts = vec![0; data.elements.len()];
        for (sort, (e, entry)) in self
            .each::<Fitting>(layers, "fittings")
            .into_iter()
            .enumerate()
        {
            let Some(bit) = u32::try_from(sort).ok().and_then(|s| 1u16.checked_shl(s)) else {
                self.errors.push((
                    entry.place(),
                    format!(
                        "fittings: {:?} is one sort too many: {} can be told apart",
                        e.id,
                        u16::BITS
                    ),
                ));
                continue;
            };
            let data = &mut self.data;
            for (area, sorts) in data.areas.iter().zip(&mut data.area_sorts) {
                if e.outdoor && area.outdoor || e.areas.contains(&area.id) {
                    *sorts |= bit;
                }
            }
            for (part, sorts) in data.elements.iter().zip(&mut data.element_sorts) {
                if e.parts.contains(&part.id) {
                    *sorts |= bit;
                }
            }
        }
    }

    pub(super) fn verdicts(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<VerdictWords>(layers, "verdicts") {
            if e.forms.is_empty() {
                self.lacks(entry, "`forms`: by what words is it told?");
            }
            for form in &mut e.forms {
                *form = fold(form);
            }
            self.examples(entry, take_examples!(e));
            self.data.verdicts.push(e);
        }
    }

    pub(super) fn dangers(&mut self, layers: &Layers) {
        for (mut e, entry) in self.each::<Danger>(layers, "dangers") {
            if e.hazard.is_none() {
                self.lacks(entry, "`hazard`: which danger is it?");
            }
            self.near(entry, &mut e.near);
            self.examples(entry, take_examples!(e));
            self.data.dangers.push(e);
        }
    }

    pub(super) fn cautions(&mut self, layers: &Layers) {
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

    pub(super) fn limits(&mut self, layers: &Layers) {
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
