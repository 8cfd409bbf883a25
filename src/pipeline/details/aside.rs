//! What is told of a matter in clauses of their own after it: "that one first thing, please", "I'm sending you a picture", "nobody
//! sleeps in here till that's done".

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Role};

use super::super::findings::Finding;
use super::super::grammar;
use super::super::normalize::Speech;
use super::super::scan::{Mention, Scan};
use super::super::segment::Clause;

/// How many clauses after a matter's words it may still be spoken of.
const CLAUSES: usize = 6;

/// How many sentences after them.
const SENTENCES: usize = 4;

/// The clauses behind `from` that still speak of the matter: up to `until`, where the next one begins, while the speaker neither moves
/// on nor names another part without pointing back.
pub(super) fn clauses(
    f: &Finding,
    from: usize,
    until: usize,
    speech: &Speech<'_>,
    scan: &Scan,
    all: &[Clause],
) -> Vec<Range<usize>> {
    let own = f.thing.as_ref().and_then(|t| t.entry);
    let last = all.partition_point(|c| c.tokens.start < from);
    let sentence = all[..last].last().map_or(0, |c| c.sentence);
    let moves = |c: &Clause| {
        scan.within(&c.tokens).any(|m| m.kind == Kind::Area)
            || scan
                .cues_within(&c.tokens)
                .any(|(k, m)| matches!(k, CueKind::Arrive | CueKind::Leaving) && m.tokens.len() > 1)
    };
    // Where the other parts are named that a clause names.
    let others = |c: &Clause| -> Vec<usize> {
        let part = |m: &&Mention| {
            m.kind == Kind::Element
                && matches!(m.role, Role::Noun | Role::Nouns)
                && Some(m.entry) != own
        };
        let parts = scan.within(&c.tokens).filter(part);
        parts.map(|m| m.tokens.start).collect()
    };
    // "Look at that rail" points at the rail, not back.
    let back = |c: &Clause, others: &[usize]| {
        let mut words = c.tokens.clone();
        words.any(|i| points_back(&(i..i + 1), speech) && !others.contains(&(i + 1)))
    };
    all[last..]
        .iter()
        .take(CLAUSES)
        .take_while(|c| c.tokens.end <= until && c.sentence <= sentence + SENTENCES)
        .take_while(|c| {
            let others = others(c);
            !moves(c) && (others.is_empty() || back(c, &others))
        })
        .map(|c| c.tokens.clone())
        .collect()
}

/// "That", "it", "one": what was spoken of before.
fn points_back(tokens: &Range<usize>, speech: &Speech<'_>) -> bool {
    tokens.clone().any(|i| {
        matches!(
            speech.word(i),
            "that" | "it" | "those" | "them" | "these" | "one" | "there"
        )
    })
}

/// Whether words press a matter: by a word for it, or by what must not be before it is done.
pub(super) fn pressed(tokens: &Range<usize>, speech: &Speech<'_>, scan: &Scan) -> bool {
    scan.cues_within(tokens).any(|(k, _)| *k == CueKind::Urgent)
        || tokens
            .clone()
            .any(|i| withheld(tokens, i, speech) || awaited(tokens, i, speech, scan))
}

/// "Nobody sleeps in here till that's changed out", "they can't move in without it".
fn withheld(tokens: &Range<usize>, at: usize, speech: &Speech<'_>) -> bool {
    if !matches!(speech.word(at), "till" | "until" | "without") {
        return false;
    }
    let after = at + 1..tokens.end.min(at + 2);
    let points = points_back(&after, speech);
    // "You don't see it till that's wet" withholds nothing.
    let sees = (tokens.start..at)
        .any(|i| matches!(speech.word(i), "see" | "tell" | "know" | "hear" | "notice"));
    let denied = (tokens.start..at).any(|i| {
        matches!(
            speech.word(i),
            "nobody" | "not" | "never" | "no-one" | "n't" | "cannot"
        ) || speech.word(i) == "no" && speech.word(i + 1) == "one"
    });
    points && denied && !sees
}

/// "Untie it before she comes", "that goes in before we pour": wanted before somebody does something, who has not yet.
fn awaited(tokens: &Range<usize>, at: usize, speech: &Speech<'_>, scan: &Scan) -> bool {
    if speech.word(at) != "before" || at + 2 >= tokens.end {
        return false;
    }
    let who = matches!(
        speech.word(at + 1),
        "you" | "they" | "she" | "he" | "we" | "i" | "anybody" | "anyone" | "somebody" | "someone"
    );
    let verb = speech.word(at + 2);
    // "Before you get to the stairs" tells where, "before they painted it" when; "before I forget" nothing of it.
    let come = !grammar::is_auxiliary(verb)
        && !verb.ends_with("ed")
        && !matches!(
            verb,
            "get"
                | "forget"
                | "say"
                | "go"
                | "went"
                | "came"
                | "got"
                | "put"
                | "reach"
                | "turn"
                | "step"
                | "walk"
        );
    let wanted = (tokens.start..at).any(|i| {
        matches!(
            speech.word(i),
            "need" | "needs" | "must" | "want" | "wants" | "gets" | "goes" | "should"
        ) || matches!(speech.word(i), "has" | "have" | "got") && speech.word(i + 1) == "to"
    }) || scan
        .within(&(tokens.start..at))
        .any(|m| m.kind == Kind::Work);
    who && come && wanted
}

/// The danger that words after the matter tell of its part: "that's a broken ankle".
pub(super) fn danger<'l>(
    tokens: &Range<usize>,
    scan: &Scan,
    lexicon: &'l Lexicon,
) -> impl Iterator<Item = &'l crate::lexicon::source::Cue> {
    let cues: Vec<u16> = scan
        .cues_within(tokens)
        .filter(|(k, _)| *k == CueKind::Danger)
        .map(|(_, m)| m.entry)
        .collect();
    cues.into_iter().map(move |entry| lexicon.cue(entry))
}
