//! In which earlier area each clause of the new walk is spoken, where the pipeline alone does not know the list's own names.

use std::collections::{BTreeMap, BTreeSet};

use crate::lexicon::{Kind, words};
use crate::pipeline::grammar;
use crate::pipeline::trace::Stages;

use super::scene::Scene;

/// How many parts must be spoken of that an area's items have, for the words alone to tell the area.
const PARTS: usize = 2;

/// Words before a place's name that only point at it.
const POINTING: &[&str] = &[
    "from", "outside", "by", "near", "like", "behind", "beside", "than", "above", "below", "under",
    "for", "as",
];

/// The earlier area of each clause. `told` is what the pipeline found: the place it thinks of, and the earlier area that it is.
///
/// Names of earlier areas that the pipeline did not come to are looked for in the words; a stretch in a place that is none of them is
/// given to the one area left whose items are spoken of there.
pub fn route(
    scene: &Scene<'_>,
    stages: &Stages<'_>,
    told: &[(Option<usize>, Option<usize>)],
) -> Vec<Option<usize>> {
    let names: Vec<Vec<String>> = scene.areas.iter().map(|p| plain(p.last())).collect();
    let met: BTreeSet<usize> = scene.met.iter().flatten().copied().collect();
    let mut out = Vec::with_capacity(told.len());
    let (mut named, mut before) = (None, None);
    for (c, clause) in stages.clauses.iter().enumerate() {
        if before != Some(told[c].0) {
            named = None;
            before = Some(told[c].0);
        }
        let text = stages.speech.words(&clause.tokens);
        let here = named.or(told[c].1);
        if let Some(a) = spoken(text, &names, &met, scene, here) {
            named = Some(a);
        }
        out.push(named.or(told[c].1));
    }
    by_contents(scene, stages, told, &mut out);
    out
}

/// The words of a name, without articles and owners' endings, numbers in figures.
fn plain(name: Option<&String>) -> Vec<String> {
    tokens(&words::fold(name.map_or("", String::as_str)))
}

fn tokens(text: &str) -> Vec<String> {
    text.split(' ')
        .filter(|w| !matches!(*w, "'s" | "is" | "the" | "a" | "an" | "um" | ""))
        .map(|w| match grammar::number(w) {
            Some(n) => n.to_string(),
            None => w.trim_end_matches('\'').to_string(),
        })
        .collect()
}

/// The area that the words name, of those that the pipeline did not come to.
fn spoken(
    text: &str,
    names: &[Vec<String>],
    met: &BTreeSet<usize>,
    scene: &Scene<'_>,
    here: Option<usize>,
) -> Option<usize> {
    let said = tokens(text);
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (a, name) in names.iter().enumerate() {
        if met.contains(&a) || name.is_empty() {
            continue;
        }
        let whole = (0..said.len()).find(|i| same(&said[*i..], name));
        // "thirteen next": a numbered room by its number alone.
        let number = name
            .last()
            .filter(|n| n.bytes().all(|b| b.is_ascii_digit()));
        let alone = number.and_then(|n| {
            let small = |w: &String| w == n || grammar::is_function(w) || w == "next";
            (name.len() > 1 && said.len() <= 4 && said.iter().all(small))
                .then(|| said.iter().position(|w| w == n))
                .flatten()
        });
        let Some(at) = whole.or(alone) else { continue };
        if at > 0 && POINTING.contains(&said[at - 1].as_str()) {
            continue;
        }
        found.push((name.len(), a));
    }
    let most = found.iter().map(|f| f.0).max()?;
    let best: Vec<usize> = found.iter().filter(|f| f.0 == most).map(|f| f.1).collect();
    let inside = |a: &&usize| here.is_some_and(|h| scene.areas[**a].starts_with(&scene.areas[h]));
    match best.as_slice() {
        [one] => Some(*one),
        all => all.iter().find(inside).copied(),
    }
}

fn same(said: &[String], name: &[String]) -> bool {
    said.len() >= name.len()
        && name.iter().zip(said).all(|(n, s)| {
            n == s || n.strip_suffix('s') == Some(s) || s.strip_suffix('s') == Some(n)
        })
}

/// Stretches in no earlier area go to the one area not come to whose parts are spoken of most there.
fn by_contents(
    scene: &Scene<'_>,
    stages: &Stages<'_>,
    told: &[(Option<usize>, Option<usize>)],
    out: &mut [Option<usize>],
) {
    let mut stretches: Vec<(usize, usize)> = Vec::new();
    for c in 0..out.len() {
        if out[c].is_some() {
            continue;
        }
        match stretches.last_mut() {
            Some((_, end)) if *end == c && told[c].0 == told[*end - 1].0 => *end = c + 1,
            _ => stretches.push((c, c + 1)),
        }
    }
    for (from, to) in stretches {
        let taken: BTreeSet<usize> = out.iter().flatten().copied().collect();
        let range = stages.clauses[from].tokens.start..stages.clauses[to - 1].tokens.end;
        let heard: BTreeSet<u16> = stages
            .scan
            .within(&range)
            .filter(|m| m.kind == Kind::Element)
            .map(|m| m.entry)
            .collect();
        let mut votes: BTreeMap<usize, BTreeSet<u16>> = BTreeMap::new();
        for item in scene.items.iter().filter(|i| !taken.contains(&i.area)) {
            if let Some(e) = item
                .part
                .as_ref()
                .and_then(|p| p.entry)
                .filter(|e| heard.contains(e))
            {
                votes.entry(item.area).or_default().insert(e);
            }
        }
        let most = votes.values().map(BTreeSet::len).max().unwrap_or(0);
        // One part in common ("glass") is found in many places; an item settled in the wrong one is lost.
        if most < PARTS {
            continue;
        }
        let best: Vec<usize> = votes
            .iter()
            .filter(|v| v.1.len() == most)
            .map(|v| *v.0)
            .collect();
        if let &[a] = best.as_slice() {
            out[from..to].fill(Some(a));
        }
    }
}
