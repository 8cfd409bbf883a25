//! The parts that a walk names, against what was marked: what `lexicon/weigh.yaml` is fitted on.

use crate::lexicon::Lexicon;
use crate::pipeline::trace::Stages;
use crate::pipeline::weigh::{self, View};
use crate::transcript::Reading;

use super::figures::Same;
use super::fit::Judged;
use super::marks::Marked;

/// How far a naming may lie from the words of its mark, in seconds: in them, else the nearest.
const IN_IT: f64 = 0.3;
const NEAR: f64 = 3.0;

/// What is marked of each part named, by its features.
#[derive(Debug, Clone, Default)]
pub struct Parts {
    /// Whether an item is marked.
    pub wanting: Vec<Judged>,
    /// Whether a cleared mark is.
    pub fine: Vec<Judged>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Label {
    Nothing,
    Item,
    Cleared,
    /// Named again in the words of one mark: either answer is right.
    Again,
}

/// Each part that is named, with what is known around it, and whether it is marked as an item or as cleared.
pub fn named(walk: &Marked, lexicon: &Lexicon) -> Parts {
    let reading = Reading::new(&walk.transcript);
    let stages = Stages::by_rules(&reading, lexicon);
    let named = stages.named(lexicon);
    let ruled = weigh::ruled(&named, &stages.matters);
    let view = View {
        speech: &stages.speech,
        scan: &stages.scan,
        clauses: &stages.clauses,
        lexicon,
        matters: &stages.matters,
        named: &named,
        ruled: &ruled,
    };
    let same = Same::new(lexicon);
    let spans: Vec<(f64, f64)> = named.iter().map(|n| stages.span(&n.thing.tokens)).collect();
    let mut labels = vec![Label::Nothing; named.len()];
    let mut mark = |element: &Option<String>, times: &[(f64, f64)], label: Label| {
        let Some(element) = element else { return };
        let within = |slack: f64| {
            (0..named.len())
                .filter(|i| {
                    times
                        .iter()
                        .any(|(s, e)| *s <= spans[*i].1 + slack && spans[*i].0 <= e + slack)
                        && same.part(Some(element), Some(&named[*i].thing.name))
                })
                .collect::<Vec<usize>>()
        };
        let mut fits = within(IN_IT);
        if fits.is_empty() {
            fits = within(NEAR);
            fits.truncate(1);
        }
        let free = |i: &&usize| labels[**i] == Label::Nothing;
        let wanted = match label {
            Label::Item => "item",
            _ => "cleared",
        };
        let first = fits
            .iter()
            .filter(free)
            .find(|i| view.verdict(**i) == wanted)
            .or_else(|| fits.iter().find(free))
            .copied();
        if let Some(i) = first {
            labels[i] = label;
        }
        for i in fits {
            if labels[i] == Label::Nothing {
                labels[i] = Label::Again;
            }
        }
    };
    for m in &walk.items {
        mark(&m.element, &m.times, Label::Item);
    }
    for m in &walk.cleared {
        mark(&m.element, &m.times, Label::Cleared);
    }
    let mut out = Parts::default();
    for (i, label) in labels.into_iter().enumerate() {
        if label == Label::Again {
            continue;
        }
        let mut features: Vec<String> = Vec::new();
        view.features(i, &mut |f| features.push(f.concat()));
        features.sort();
        features.dedup();
        out.wanting.push((features.clone(), label == Label::Item));
        out.fine.push((features, label == Label::Cleared));
    }
    out
}
