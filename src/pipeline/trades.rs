//! Stage 7: who is sent. Whoever is named; else a table from specific to general; else the element's own trade; else its
//! group's; else the superintendent.

use std::ops::Range;

use crate::lexicon::{Kind, Lexicon};
use crate::list::{Trade, Work};

use super::context::Context;
use super::findings::Finding;
use super::grammar;
use super::normalize::Speech;
use super::scan::Scan;
use super::segment::{self, Clause};
use crate::lexicon::source::{CueKind, Element};

/// A trade and what decided it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sent {
    /// Who.
    pub trade: Trade,
    /// For `why`.
    pub why: String,
}

/// What is known of an item when its trade is chosen.
pub struct Case<'a> {
    /// The finding.
    pub finding: &'a Finding,
    /// The class of work.
    pub work: Work,
    /// The work's entry, where one was spoken.
    pub deed: Option<u16>,
    /// The kind of area, by id.
    pub area: Option<&'a str>,
}

/// Chooses who is sent.
pub fn send(
    case: &Case<'_>,
    speech: &Speech<'_>,
    scan: &Scan,
    clauses: &[Clause],
    lexicon: &Lexicon,
) -> Sent {
    if let Some(sent) = named(&case.finding.scope, speech, scan, clauses, lexicon) {
        return sent;
    }
    let element = case
        .finding
        .thing
        .as_ref()
        .and_then(|t| t.entry)
        .map(|e| lexicon.element(e));
    let words = segment::words_about(clauses, &case.finding.said, speech);
    by_rules(
        &Facts {
            element,
            work: case.work,
            deed: case.deed,
            area: case.area,
            words: &words,
        },
        lexicon,
    )
}

/// What the table of who is sent goes by, where the speaker names nobody.
#[derive(Debug, Clone, Copy)]
pub struct Facts<'a> {
    /// The part, where the lexicon knows it.
    pub element: Option<&'a Element>,
    /// The class of work.
    pub work: Work,
    /// The work's entry, where one was spoken.
    pub deed: Option<u16>,
    /// The kind of area, by id.
    pub area: Option<&'a str>,
    /// The folded words in which it was said.
    pub words: &'a str,
}

/// Chooses who is sent by the lexicon alone.
pub fn by_rules(facts: &Facts<'_>, lexicon: &Lexicon) -> Sent {
    let Facts { element, words, .. } = *facts;
    for rule in &lexicon.data().dispatch {
        let Some(trade) = rule.trade else { continue };
        let of_element = rule.elements.is_empty()
            || element.is_some_and(|e| rule.elements.iter().any(|n| *n == e.id || *n == e.group));
        let of_work = rule.works.is_empty() || rule.works.contains(&facts.work);
        let of_area = rule.areas.is_empty()
            || facts
                .area
                .is_some_and(|a| rule.areas.iter().any(|n| n == a));
        // The words are looked at last: that costs most.
        let of_words = || rule.near.is_empty() || rule.near.iter().any(|n| whole_word(words, n));
        if of_element && of_work && of_area && of_words() {
            return Sent {
                trade,
                why: format!("trade: dispatch/{}", rule.id),
            };
        }
    }
    if let Some(deed) = facts.deed
        && let Some(trade) = lexicon.work(deed).trade
        && element.is_none_or(|e| !matches!(e.group.as_str(), "sealant"))
    {
        return Sent {
            trade,
            why: format!("trade: works/{}", lexicon.work(deed).id),
        };
    }
    if let Some(e) = element {
        if let Some(trade) = e.trade {
            return Sent {
                trade,
                why: format!("trade: elements/{}", e.id),
            };
        }
        if let Some(trade) = lexicon.owner(&e.group) {
            return Sent {
                trade,
                why: format!("trade: group {}", e.group),
            };
        }
    }
    Sent {
        trade: Trade::Superintendent,
        why: "trade: nothing told it".to_string(),
    }
}

fn whole_word(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(i, _)| {
        let before = i == 0 || text.as_bytes()[i - 1] == b' ';
        let end = i + word.len();
        let after = end == text.len()
            || text.as_bytes()[end] == b' '
            || text[end..].starts_with("s ")
            || &text[end..] == "s";
        before && after
    })
}

/// The trade that the speaker names for it, the last one if several.
fn named(
    scope: &Range<usize>,
    speech: &Speech<'_>,
    scan: &Scan,
    clauses: &[Clause],
    lexicon: &Lexicon,
) -> Option<Sent> {
    let mut out = None;
    for clause in &clauses[segment::about(clauses, scope)] {
        let cx = Context::new(speech, scan, clause);
        for m in scan.within(&clause.tokens).filter(|m| {
            m.kind == Kind::Trade && m.tokens.start >= scope.start && m.tokens.end <= scope.end
        }) {
            // "the plumber redid the trap", "the painter's been": told of what is done, not of who is sent.
            let next = speech.word(m.tokens.end);
            let been = matches!(
                next,
                "did"
                    | "was"
                    | "were"
                    | "had"
                    | "redid"
                    | "fixed"
                    | "left"
                    | "said"
                    | "says"
                    | "put"
                    | "missed"
                    | "forgot"
                    | "has"
                    | "have"
            ) || next == "'s"
                && !matches!(
                    speech.word(m.tokens.end + 1),
                    "in" | "coming" | "booked" | "back" | "due" | "going" | "on" | "got" | "here"
                );
            let asked =
                m.tokens.start > 0 && matches!(speech.word(m.tokens.start - 1), "by" | "from");
            if been
                || asked
                || cx.denied(&m.tokens)
                || cx.cues(CueKind::Past).any(|p| {
                    p.tokens.start < m.tokens.start
                        && !grammar::is_joiner(speech.word(p.tokens.start))
                })
            {
                continue;
            }
            if let Some(trade) = lexicon.trade(m.entry).trade {
                out = Some(Sent {
                    trade,
                    why: format!("trade: named, {:?}", speech.words(&m.tokens)),
                });
            }
        }
    }
    out
}
