//! Where the speaker went, as marked, against each name that may be a place: what `lexicon/moves.yaml` is fitted on.

use std::collections::BTreeSet;

use crate::lexicon::check::spoken;
use crate::lexicon::{Examples, Lexicon};
use crate::pipeline::places::{self, Considered};
use crate::pipeline::trace::Stages;
use crate::transcript::Reading;

use super::fit::Judged;
use super::marks::{Marked, Stay};

/// How far a name may lie from the second of a marked arrival there, in seconds.
const NEAR: f64 = 7.0;
/// Words that tell no place from another.
const EMPTY: [&str; 10] = [
    "the", "a", "an", "of", "and", "room", "number", "your", "our", "my",
];

/// Each name that may be a place, with what speaks for and against an arrival, and whether one is marked there. Names of the place
/// where the speaker is marked to be already are left out: either answer is right.
pub fn considered(walk: &Marked, lexicon: &Lexicon) -> Vec<Judged> {
    let reading = Reading::new(&walk.transcript);
    let stages = Stages::new(&reading, lexicon);
    let considered = places::considered(&stages.speech, &stages.clauses, &stages.scan, lexicon);
    let names: Vec<(f64, BTreeSet<String>, &Considered)> = considered
        .iter()
        .map(|c| {
            let speech = &stages.speech;
            let said = speech.tokens[c.named.tokens.start].said.clone();
            let kind = c.named.kind.map(|k| lexicon.area(k).name.as_str());
            let texts = [
                Some(speech.words(&c.named.tokens)),
                kind,
                c.named.own.as_deref(),
                c.named.number.as_deref(),
            ];
            let words = texts.into_iter().flatten().flat_map(telling).collect();
            (speech.reading.span(said).0, words, c)
        })
        .collect();
    let mut hit = vec![false; names.len()];
    let last = |path: &[String]| -> BTreeSet<String> {
        path.last()
            .map(|p| telling(p).collect())
            .unwrap_or_default()
    };
    for stay in &walk.areas {
        let place = last(&stay.path);
        let nearest = names
            .iter()
            .enumerate()
            .filter(|(i, (at, words, _))| {
                !hit[*i] && (at - stay.at).abs() <= NEAR && !words.is_disjoint(&place)
            })
            .min_by(|(_, a), (_, b)| (a.0 - stay.at).abs().total_cmp(&(b.0 - stay.at).abs()));
        if let Some((i, _)) = nearest {
            hit[i] = true;
        }
    }
    names
        .iter()
        .zip(hit)
        .filter(|((at, words, _), hit)| {
            let here = walk.areas.iter().rev().find(|s| s.at <= at + 1.0);
            *hit || here.is_none_or(|s| words.is_disjoint(&last(&s.path)))
        })
        .map(|((_, _, c), hit)| (c.evidence.clone(), hit))
        .collect()
}

/// The same from the lexicon's own examples: an arrival in each phrase in which a place must be found, and none where it must not.
pub fn of_examples(examples: &[Examples], lexicon: &Lexicon) -> Vec<Judged> {
    let mut out = Vec::new();
    for e in examples.iter().filter(|e| e.list == "areas") {
        let Some(kind) = lexicon.area_by_id(&e.id).map(|k| lexicon.area(k)) else {
            continue;
        };
        let found = e.finds.iter().map(|phrase| (phrase, true));
        let ignored = e.ignores.iter().map(|phrase| (phrase, false));
        for (phrase, arrives) in found.chain(ignored) {
            let stay = Stay {
                path: vec![kind.name.clone()],
                at: 0.0,
            };
            let walk = Marked {
                name: e.id.clone(),
                transcript: spoken(phrase),
                areas: arrives.then_some(stay).into_iter().collect(),
                items: Vec::new(),
                cleared: Vec::new(),
            };
            out.extend(considered(&walk, lexicon));
        }
    }
    out
}

/// The words of a name that tell it from others.
fn telling(name: &str) -> impl Iterator<Item = String> {
    name.to_lowercase()
        .replace("'s", "")
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty() && !EMPTY.contains(w))
        .map(str::to_string)
        .collect::<Vec<_>>()
        .into_iter()
}
