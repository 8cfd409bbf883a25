//! What nearly counted: words close to the trade's, forms that were set aside, faults with no part, parts with no fault.

use std::ops::Range;

use serde::Serialize;

use crate::lexicon::{Kind, Lexicon};

use super::super::context::Context;
use super::super::events;
use super::super::findings::Outcome;
use super::super::grammar;
use super::super::scan::Mention;
use super::{Stages, seen};

/// The fewest letters of a word that is compared with the trade's words: short words are close to many.
const SHORTEST: usize = 4;
/// The fewest letters of a word that may differ in two letters.
const TWO_OFF: usize = 6;

/// Something that nearly counted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Near {
    /// The words.
    pub words: String,
    /// When they begin, in seconds.
    pub start: f64,
    /// The entry that they are close to or would have been.
    pub entry: Option<String>,
    /// The form of that entry, where the words are another.
    pub form: Option<String>,
    /// By how many letters they differ, where they do.
    pub distance: Option<usize>,
    /// Why it did not count.
    pub why_not: String,
}

/// What nearly counted in some clauses. `covered` tells whether an item or a cleared mark carries some words.
pub(super) fn near(
    stages: &Stages<'_>,
    clauses: &Range<usize>,
    lexicon: &Lexicon,
    covered: impl Fn(&Range<usize>) -> bool,
) -> Vec<Near> {
    let mut all: Vec<(usize, Near)> = Vec::new();
    for c in clauses.clone() {
        let tokens = &stages.clauses[c].tokens;
        close_words(stages, tokens, lexicon, &mut all);
        set_aside(stages, tokens, lexicon, &mut all);
        loose_faults(stages, tokens, lexicon, &covered, &mut all);
        idle_parts(stages, c, lexicon, &covered, &mut all);
    }
    all.sort_by_key(|(at, _)| *at);
    all.into_iter().map(|(_, n)| n).collect()
}

/// Words that the lexicon does not have, and its words that they are close to.
fn close_words(
    stages: &Stages<'_>,
    tokens: &Range<usize>,
    lexicon: &Lexicon,
    out: &mut Vec<(usize, Near)>,
) {
    let speech = &stages.speech;
    for i in tokens.clone() {
        let word = speech.word(i);
        let known = stages.scan.mentions.iter().any(|m| m.tokens.contains(&i))
            || stages.scan.cues.iter().any(|(_, m)| m.tokens.contains(&i));
        if known
            || word.len() < SHORTEST
            || !word.chars().all(char::is_alphabetic)
            || grammar::is_function(word)
        {
            continue;
        }
        let most = if word.len() >= TWO_OFF { 2 } else { 1 };
        let best = lexicon
            .data()
            .forms
            .iter()
            .filter(|f| f.text.len().abs_diff(word.len()) <= most && !f.text.contains(' '))
            .filter(|f| f.text.len() >= SHORTEST)
            .filter_map(|f| {
                let sense = f.senses.clone().find(|s| {
                    matches!(
                        s.kind,
                        Kind::Element | Kind::Fault | Kind::Work | Kind::Area
                    )
                })?;
                let d = strsim::levenshtein(f.text, word);
                (1..=most).contains(&d).then_some((d, f.text, sense))
            })
            .min_by_key(|(d, text, _)| (*d, *text));
        if let Some((distance, form, sense)) = best {
            let at = i..i + 1;
            out.push((
                i,
                Near {
                    words: stages.said(&at).to_string(),
                    start: seen::start(stages, &at),
                    entry: Some(seen::entry(sense.kind, sense.entry, lexicon)),
                    form: Some(form.to_string()),
                    distance: Some(distance),
                    why_not: "not a word of the lexicon; a word that is only close counts where \
                              the words beside it speak for it"
                        .to_string(),
                },
            ));
        }
    }
}

/// Forms of the lexicon that stand in the words and were read as something else.
fn set_aside(
    stages: &Stages<'_>,
    tokens: &Range<usize>,
    lexicon: &Lexicon,
    out: &mut Vec<(usize, Near)>,
) {
    let speech = &stages.speech;
    let kept: Vec<&Mention> = stages.scan.within(tokens).collect();
    for hit in lexicon.hits(speech.words(tokens)) {
        let from = speech.tokens[tokens.start].folded.start;
        let at = speech.token_at(from + hit.start)..speech.token_at(from + hit.end - 1) + 1;
        let inside_longer = |m: &Mention| {
            m.tokens.start <= at.start && at.end <= m.tokens.end && m.tokens.len() > at.len()
        };
        for s in lexicon.senses(hit.form) {
            let is_kept = |m: &&Mention| m.tokens == at && m.kind == s.kind && m.entry == s.entry;
            if s.kind == Kind::Cue
                || kept.iter().any(|m| is_kept(m) || inside_longer(m))
                || out.iter().any(|(_, n)| {
                    n.start == seen::start(stages, &at)
                        && n.entry.as_deref()
                            == Some(seen::entry(s.kind, s.entry, lexicon).as_str())
                })
            {
                continue;
            }
            let other = kept.iter().find(|m| m.tokens == at);
            let cue = stages
                .scan
                .cues_within(tokens)
                .find(|(_, m)| inside_longer(m));
            let why_not = if let Some(m) = other {
                format!("read as {} here", seen::entry(m.kind, m.entry, lexicon))
            } else if let Some((_, m)) = cue {
                format!(
                    "part of {:?} ({})",
                    stages.said(&m.tokens),
                    seen::entry(Kind::Cue, m.entry, lexicon)
                )
            } else {
                "the words around it speak against this reading".to_string()
            };
            out.push((
                at.start,
                Near {
                    words: stages.said(&at).to_string(),
                    start: seen::start(stages, &at),
                    entry: Some(seen::entry(s.kind, s.entry, lexicon)),
                    form: None,
                    distance: None,
                    why_not,
                },
            ));
        }
    }
}

/// Faults and works that no item and no cleared mark carries.
fn loose_faults(
    stages: &Stages<'_>,
    tokens: &Range<usize>,
    lexicon: &Lexicon,
    covered: &impl Fn(&Range<usize>) -> bool,
    out: &mut Vec<(usize, Near)>,
) {
    for m in stages.scan.within(tokens) {
        if !matches!(m.kind, Kind::Fault | Kind::Work) || covered(&m.tokens) {
            continue;
        }
        let reason = stages.matters.iter().flat_map(|(_, f)| f).find_map(|f| {
            let over = f
                .said
                .iter()
                .any(|r| r.start < m.tokens.end && m.tokens.start < r.end);
            match f.outcome {
                Outcome::Passed(reason) if over => Some(reason),
                _ => None,
            }
        });
        let what = if m.kind == Kind::Fault {
            "a fault"
        } else {
            "a work"
        };
        let why_not = match reason {
            Some(reason) => format!("{what} passed over: {reason}"),
            None => format!("{what}, and no part that it is said of"),
        };
        out.push((
            m.tokens.start,
            Near {
                words: stages.said(&m.tokens).to_string(),
                start: seen::start(stages, &m.tokens),
                entry: Some(seen::entry(m.kind, m.entry, lexicon)),
                form: None,
                distance: None,
                why_not,
            },
        ));
    }
}

/// Parts of which nothing is said that counts.
fn idle_parts(
    stages: &Stages<'_>,
    clause: usize,
    lexicon: &Lexicon,
    covered: &impl Fn(&Range<usize>) -> bool,
    out: &mut Vec<(usize, Near)>,
) {
    let cx = Context::new(&stages.speech, &stages.scan, &stages.clauses[clause]);
    for t in events::read(&cx, lexicon, clause, &stages.places.named).things {
        if covered(&t.tokens) {
            continue;
        }
        let beside = t.hold == super::super::mentions::Hold::Beside;
        out.push((
            t.tokens.start,
            Near {
                words: stages.said(&t.tokens).to_string(),
                start: seen::start(stages, &t.tokens),
                entry: t.entry.map(|e| seen::entry(Kind::Element, e, lexicon)),
                form: None,
                distance: None,
                why_not: if beside {
                    "a part that only tells where".to_string()
                } else {
                    "a part, and no fault, work or verdict that became its own".to_string()
                },
            },
        ));
    }
}
