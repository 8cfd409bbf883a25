//! Of which larger part a general one is: the handle of a gate, the shelf of an oven. Told by its name ("gate latch"), by
//! its owner in the clause ("the gate has no handle"), or by what was spoken of just before it.

use crate::lexicon::Lexicon;
use crate::lexicon::source::Dispatch;

use super::grammar;
use super::mentions::{self, Hold, Thing};
use super::normalize::Speech;
use super::scan::Scan;
use super::segment::{self, Clause};

/// How many clauses before it may name the host.
const REACH: usize = 4;

/// The parts that may be the host, the likeliest first: each step is a clause or a place in one, and what it names.
pub type Steps = Vec<Vec<u16>>;

/// Looks for the host of a part.
pub fn steps(
    thing: &Thing,
    speech: &Speech<'_>,
    scan: &Scan,
    clauses: &[Clause],
    lexicon: &Lexicon,
) -> Steps {
    let mut out = Steps::new();
    let own: Vec<u16> = scan
        .within(&thing.tokens)
        .filter(|m| {
            m.kind == crate::lexicon::Kind::Element
                && m.tokens.end < thing.tokens.end
                && Some(m.entry) != thing.entry
        })
        .map(|m| m.entry)
        .collect();
    out.push(own.into_iter().rev().collect());
    let Some(at) = segment::about(clauses, &thing.tokens).next() else {
        return out;
    };
    let named = |c: &Clause| mentions::things(&c.tokens, speech, scan, lexicon, &[]);
    let other =
        |t: &&Thing| t.tokens.end <= thing.tokens.start || t.tokens.start >= thing.tokens.end;
    let here = named(&clauses[at]);
    let owner = here.iter().filter(other).filter(|t| {
        t.tokens.start > thing.tokens.end
            && t.phrase.start <= thing.tokens.end + 1
            && matches!(
                speech.word(thing.tokens.end),
                "of" | "on" | "in" | "to" | "for" | "off" | "from"
            )
    });
    out.push(owner.filter_map(|t| t.entry).collect());
    let known = |t: &&Thing| t.entry.is_some_and(|e| !lexicon.element(e).weak);
    let firm = |t: &&Thing| t.hold != Hold::Beside && known(t);
    // "the shower has no door": what has it is told first.
    let has = |t: &&Thing| {
        t.hold == Hold::Free && t.phrase.start <= clauses[at].tokens.start + 2 || firm(t)
    };
    let before = here.iter().filter(other).filter(has);
    let before = before.filter(|t| t.tokens.end <= thing.tokens.start).rev();
    let after = here.iter().filter(other).filter(firm);
    let after = after.filter(|t| t.tokens.start >= thing.tokens.end);
    out.push(before.chain(after).filter_map(|t| t.entry).collect());
    let leans = leans(thing, speech, lexicon);
    for c in clauses[at.saturating_sub(REACH)..at].iter().rev() {
        let apart = clauses[at].sentence - c.sentence;
        if apart > usize::from(leans) || clauses[at].turn && apart > 0 {
            break;
        }
        let things = named(c);
        // A part that may stand by itself hangs on one that was named alone, one that never does on what is spoken of.
        let topic = |t: &&Thing| {
            known(t)
                && if leans {
                    t.hold == Hold::Free
                } else {
                    t.hold != Hold::Beside && t.phrase.len() + 2 >= c.tokens.len()
                }
        };
        let step: Vec<u16> = things
            .iter()
            .find(topic)
            .and_then(|t| t.entry)
            .into_iter()
            .collect();
        if step.is_empty() && (!leans || !things.is_empty()) {
            break;
        }
        out.push(step);
    }
    out
}

/// A part that is never spoken of by itself, or one of several, leans on what was spoken of a sentence before.
fn leans(thing: &Thing, speech: &Speech<'_>, lexicon: &Lexicon) -> bool {
    let of = (thing.phrase.start.saturating_sub(2)..thing.tokens.start)
        .any(|i| speech.word(i) == "of" && i > 0 && grammar::number(speech.word(i - 1)).is_some());
    of || thing.fresh || thing.entry.is_none_or(|e| lexicon.element(e).weak)
}

/// The host that a rule asks for. A clause before that speaks of something else altogether ends the search.
pub fn asked_for(rule: &Dispatch, steps: &Steps, lexicon: &Lexicon) -> Option<u16> {
    let of = |list: &[String], e: u16| {
        let e = lexicon.element(e);
        list.iter().any(|n| *n == e.id || *n == e.group)
    };
    for (i, step) in steps.iter().enumerate() {
        let host = |e: &&u16| of(&rule.hosts, **e) && !of(&rule.elements, **e);
        if let Some(host) = step.iter().find(host) {
            return Some(*host);
        }
        let before = i >= 3;
        if before && step.iter().any(|e| !of(&rule.elements, *e)) {
            return None;
        }
    }
    None
}
