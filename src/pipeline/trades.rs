//! Stage 7: who is sent. Whoever is named; else a table from specific to general; else the element's own trade; else its
//! group's; else the superintendent.

use std::ops::Range;

use crate::lexicon::{Kind, Lexicon};
use crate::list::{Trade, Work};

use super::context::Context;
use super::findings::Finding;
use super::grammar;
use super::hosts;
use super::normalize::Speech;
use super::scan::Scan;
use super::segment::{self, Clause};
use crate::lexicon::source::{CueKind, Dispatch, Element};

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
    /// Where the next matter begins.
    pub until: usize,
}

/// Chooses who is sent.
pub fn send(
    case: &Case<'_>,
    speech: &Speech<'_>,
    scan: &Scan,
    clauses: &[Clause],
    lexicon: &Lexicon,
) -> Sent {
    let scope = case.finding.scope.start..told_until(case, speech, scan, clauses);
    if let Some(sent) = named(&scope, speech, scan, clauses, lexicon) {
        return sent;
    }
    let element = case
        .finding
        .thing
        .as_ref()
        .and_then(|t| t.entry)
        .map(|e| lexicon.element(e));
    let words = segment::words_about(clauses, &case.finding.said, speech);
    let hosts = match (&case.finding.thing, element) {
        (Some(t), Some(e)) if asks_for_host(e, lexicon) => {
            hosts::steps(t, speech, scan, clauses, lexicon)
        }
        (Some(t), None) => hosts::steps(t, speech, scan, clauses, lexicon),
        _ => hosts::Steps::new(),
    };
    by_rules(
        &Facts {
            element,
            work: case.work,
            deed: case.deed,
            area: case.area,
            words: &words,
            hosts: &hosts,
        },
        lexicon,
    )
}

/// Whether a rule sends somebody to this part by the part that it belongs to.
fn asks_for_host(element: &Element, lexicon: &Lexicon) -> bool {
    let rules = &lexicon.data().dispatch;
    rules
        .iter()
        .any(|r| !r.hosts.is_empty() && of_element(r, Some(element)))
}

fn of_element(rule: &Dispatch, element: Option<&Element>) -> bool {
    rule.elements.is_empty()
        || element.is_some_and(|e| rule.elements.iter().any(|n| *n == e.id || *n == e.group))
}

/// Whose a part is by itself: its own trade, else its group's.
fn own_trade(element: &Element, lexicon: &Lexicon) -> Option<Trade> {
    element.trade.or_else(|| lexicon.owner(&element.group))
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
    /// The parts that it may belong to.
    pub hosts: &'a hosts::Steps,
}

/// Chooses who is sent by the lexicon alone.
pub fn by_rules(facts: &Facts<'_>, lexicon: &Lexicon) -> Sent {
    let Facts { element, words, .. } = *facts;
    for rule in &lexicon.data().dispatch {
        let of_work = rule.works.is_empty() || rule.works.contains(&facts.work);
        let of_area = rule.areas.is_empty()
            || facts
                .area
                .is_some_and(|a| rule.areas.iter().any(|n| n == a));
        // The words are looked at last: that costs most.
        let of_words = || rule.near.is_empty() || rule.near.iter().any(|n| whole_word(words, n));
        if !(of_element(rule, element) && of_work && of_area && of_words()) {
            continue;
        }
        let host = hosts::asked_for(rule, facts.hosts, lexicon).map(|e| lexicon.element(e));
        if host.is_none() && !rule.hosts.is_empty() {
            continue;
        }
        let of_host = host.and_then(|e| own_trade(e, lexicon));
        let Some(trade) = rule.trade.or(of_host) else {
            continue;
        };
        let of = host.map_or(String::new(), |e| format!(", part of elements/{}", e.id));
        return Sent {
            trade,
            why: format!("trade: dispatch/{}{of}", rule.id),
        };
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
    // A part that no entry holds is whoever's it was told of.
    let of_host = facts.hosts.iter().flatten().find_map(|e| {
        let e = lexicon.element(*e);
        let rules = &lexicon.data().dispatch;
        let hosts = rules
            .iter()
            .any(|r| r.hosts.iter().any(|h| *h == e.id || *h == e.group));
        own_trade(e, lexicon).filter(|_| hosts).map(|t| (t, &e.id))
    });
    if let (Some((trade, host)), None) = (of_host, element) {
        return Sent {
            trade,
            why: format!("trade: part of elements/{host}"),
        };
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
            let been = has_been(m.tokens.end, speech);
            // "drywall and paint are done": the part, not its people.
            let part = scan
                .within(&m.tokens)
                .any(|e| e.kind == Kind::Element && e.tokens == m.tokens)
                && !called_for(m.tokens.end, speech);
            if part {
                continue;
            }
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

/// Where what is told of a matter ends, for who is sent: the rest of its sentence, and a sentence after it that names a
/// trade and points back ("The plumber can do that"); never beyond the next matter.
fn told_until(case: &Case<'_>, speech: &Speech<'_>, scan: &Scan, clauses: &[Clause]) -> usize {
    let scope = &case.finding.scope;
    let last = segment::about(clauses, scope).last();
    let Some(last) = last.map(|c| &clauses[c]) else {
        return scope.end;
    };
    let mut end = scope.end;
    let from = clauses.partition_point(|c| c.tokens.start < scope.end);
    for clause in clauses[from..].iter().take(3) {
        let trades = scan.within(&clause.tokens).any(|m| m.kind == Kind::Trade);
        let apart = clause.sentence - last.sentence;
        let points = clause.tokens.clone().any(|i| {
            matches!(
                speech.word(i),
                "it" | "that" | "them" | "those" | "this" | "these" | "one"
            )
        });
        let called = clause.tokens.len() <= 3
            || scan
                .cues_within(&clause.tokens)
                .any(|(k, _)| *k == CueKind::Promise);
        let on = apart == 0 || apart == 1 && trades && (points || called);
        if !on || clause.turn || clause.tokens.start >= case.until {
            break;
        }
        end = clause.tokens.end.min(case.until);
    }
    end
}

/// "the plumber redid the trap", "the painter's been": told of what is done, not of who is sent.
fn has_been(after: usize, speech: &Speech<'_>) -> bool {
    let done = |word: &str| {
        word.ends_with("ed")
            || matches!(
                word,
                "been" | "done" | "had" | "put" | "left" | "gone" | "made" | "cut" | "hung" | "run"
            )
    };
    let next = speech.word(after);
    match next {
        "'s" => !matches!(
            speech.word(after + 1),
            "in" | "coming"
                | "booked"
                | "back"
                | "due"
                | "going"
                | "on"
                | "got"
                | "here"
                | "down"
                | "to"
                | "still"
        ),
        "has" | "have" | "'ve" | "had" => {
            let past = (after + 1..after + 3).any(|i| done(speech.word(i)));
            past && !matches!(speech.word(after + 1), "to" | "got")
        }
        "did" | "was" | "were" | "said" | "says" | "missed" | "forgot" | "left" | "put"
        | "redid" => true,
        _ => next.len() > 4 && next.ends_with("ed") && next != "need",
    }
}

/// "needs to", "can", "has to": somebody is spoken of, where the word also names a part.
fn called_for(after: usize, speech: &Speech<'_>) -> bool {
    matches!(
        speech.word(after),
        "needs"
            | "need"
            | "has"
            | "have"
            | "can"
            | "to"
            | "will"
            | "should"
            | "must"
            | "gets"
            | "could"
            | "is"
            | "'s"
    )
}
