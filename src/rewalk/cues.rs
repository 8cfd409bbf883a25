//! The words that a later walk is read by, from the lexicon's `verdicts`, ready to be looked up.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::lexicon::Lexicon;
use crate::lexicon::source::VerdictKind;
use crate::list::Work;

use super::words::stem;

/// What a later walk is read by.
#[derive(Debug, Default)]
pub struct Cues {
    forms: HashMap<String, Vec<(VerdictKind, u16)>>,
    works: BTreeMap<u16, Work>,
    faults: BTreeSet<String>,
    empty: BTreeSet<String>,
    longest: usize,
}

/// A form that stands in a clause: what it says, its entry, its first word and the one after its last.
pub type Hit = (VerdictKind, u16, usize, usize);

impl Cues {
    /// Those of a lexicon.
    pub fn new(lexicon: &Lexicon) -> Cues {
        let mut cues = Cues::default();
        for (i, v) in (0u16..).zip(&lexicon.data().verdicts) {
            cues.works.extend(v.work.map(|w| (i, w)));
            for form in &v.forms {
                match v.kind {
                    VerdictKind::Fault => drop(cues.faults.insert(stem(form))),
                    VerdictKind::Empty => drop(cues.empty.insert(stem(form))),
                    _ => (),
                }
                cues.longest = cues.longest.max(form.split(' ').count());
                let all = cues.forms.entry(form.clone()).or_default();
                all.push((v.kind, i));
            }
        }
        cues
    }

    /// All forms that stand in some words, in the order of their first words.
    pub fn hits(&self, all: &[&str]) -> Vec<Hit> {
        let mut out = Vec::new();
        for from in 0..all.len() {
            let mut text = String::new();
            for (to, word) in all.iter().enumerate().skip(from).take(self.longest) {
                if to > from {
                    text.push(' ');
                }
                text.push_str(word);
                let hit = |(kind, entry): &(VerdictKind, u16)| (*kind, *entry, from, to + 1);
                match (self.forms.get(&text), text.strip_suffix('s')) {
                    (Some(found), _) => out.extend(found.iter().map(hit)),
                    // Parts are spoken of in the plural as well.
                    (None, Some(one)) => {
                        let found = self.forms.get(one).into_iter().flatten();
                        out.extend(found.filter(|f| f.0 == VerdictKind::Part).map(hit));
                    }
                    _ => (),
                }
            }
        }
        out
    }

    /// The class of work that an entry tells of.
    pub fn work(&self, entry: u16) -> Option<Work> {
        self.works.get(&entry).copied()
    }

    /// Whether a word tells what a thing does or has that it should not.
    pub fn is_fault(&self, word: &str) -> bool {
        self.faults.contains(&stem(word))
    }

    /// Whether a word, by its stem, says too little to know an item by.
    pub fn is_empty(&self, stem: &str) -> bool {
        self.empty.contains(stem)
    }
}
