//! The finer fields of an item: how many, how large, how pressing, how dangerous, what was promised, where exactly.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::{FollowUp, Hazard, Measure, Standing, Work};

use super::deadlines;
use super::findings::{Finding, Outcome};
use super::grammar;
use super::normalize::{Speech, Stop};
use super::scan::{Mention, Scan};
use super::segment::{self, Clause};

mod aside;
mod count;
mod measure;
mod promise;

pub use measure::{amount, measure};

/// The finer fields.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Details {
    /// How many.
    pub count: Option<u32>,
    /// How large.
    pub measure: Option<Measure>,
    /// Pressed.
    pub urgent: bool,
    /// Dangerous.
    pub hazard: Option<Hazard>,
    /// Which rule told the danger, for `why`.
    pub hazard_why: Option<String>,
    /// Promised.
    pub follow_up: Option<FollowUp>,
    /// By when, in the speaker's words.
    pub by: Option<String>,
    /// Where inside the area, in the speaker's words.
    pub spot: Option<String>,
    /// The folded words in which all of this was told.
    pub words: String,
}

/// Reads the finer fields of an item from the words of its matter, and of what is told of it up to `until`, where the next begins.
pub fn details(
    f: &Finding,
    until: usize,
    speech: &Speech<'_>,
    scan: &Scan,
    clauses: &[Clause],
    lexicon: &Lexicon,
) -> Details {
    let scope = &reach(f, speech, scan, clauses);
    let asides = aside::clauses(f, scope.end, until, speech, scan, clauses);
    let standing = match &f.outcome {
        Outcome::Item { standing, .. } => *standing,
        _ => Standing::Outstanding,
    };
    let degrees = f.thing.as_ref().and_then(|t| t.entry).is_some_and(|e| {
        let e = lexicon.element(e);
        matches!(e.group.as_str(), "hvac" | "appliance")
            || ["thermostat", "valve", "heater", "boiler", "water"]
                .iter()
                .any(|w| e.id.contains(w))
    });
    let (hazard, hazard_why) = match hazard(f, &asides, speech, scan, clauses, lexicon) {
        Some((h, why)) => (Some(h), why),
        None => (None, None),
    };
    Details {
        count: count::count(f, scope, speech, scan),
        measure: measure::before(scope.start, speech, scan)
            .or_else(|| measure(scope, speech, degrees)),
        urgent: aside::pressed(scope, speech, scan)
            || asides.iter().any(|r| aside::pressed(r, speech, scan)),
        hazard,
        hazard_why,
        follow_up: std::iter::once(scope)
            .chain(&asides)
            .find_map(|r| promise::follow_up(r, standing, speech, scan, lexicon)),
        by: std::iter::once(scope)
            .chain(&asides)
            .find_map(|r| deadline(r, speech, scan)),
        spot: spot(f, speech, scan),
        words: speech.words(scope).to_string(),
    }
}

/// How many clauses after its last words a matter's details may be told in.
const DETAIL_REACH: usize = 3;

/// The words in which a matter's details may be told: its own, and what follows until another part is named or the
/// speaker moves on.
fn reach(f: &Finding, speech: &Speech<'_>, scan: &Scan, clauses: &[Clause]) -> Range<usize> {
    let scope = f.scope.clone();
    let last = clauses.partition_point(|c| c.tokens.end < scope.end);
    let Some(c) = clauses.get(last) else {
        return scope;
    };
    let vow = (scope.end..c.tokens.end).any(|i| matches!(speech.word(i), "i" | "we"));
    let mut end = if vow {
        c.tokens.end
    } else {
        scope
            .end
            .max(c.tokens.end.min(next_part(scan, scope.end, c.tokens.end)))
    };
    let sentence = c.sentence;
    for next in clauses.iter().skip(last + 1).take(DETAIL_REACH) {
        // "I'll move the strike": what the speaker, or the other one, promises about it.
        let first = (next.tokens.start..next.tokens.end.min(next.tokens.start + 3)).find(|i| {
            !matches!(
                speech.word(*i),
                "so" | "and"
                    | "but"
                    | "okay"
                    | "then"
                    | "well"
                    | "yes"
                    | "um"
                    | "or"
                    | "because"
                    | "that"
            )
        });
        let vows = first.is_some_and(|i| {
            matches!(
                speech.word(i),
                "i" | "we" | "picture" | "photo" | "question" | "calling" | "ask"
            ) || speech.word(i) == "let" && speech.word(i + 1) == "me"
        });
        // "that gets sealed before anybody runs water": pressed, of what was just told.
        let pressed = scan
            .cues_within(&next.tokens)
            .any(|(k, _)| *k == CueKind::Urgent)
            && next
                .tokens
                .clone()
                .any(|i| matches!(speech.word(i), "that" | "it" | "those" | "them"))
            && !scan.within(&next.tokens).any(|m| m.kind == Kind::Area);
        if (vows || pressed) && end >= next.tokens.start && next.sentence <= sentence + 2 {
            end = next.tokens.end;
            continue;
        }
        if end < next.tokens.start
            || next.sentence > sentence + 1
            || next.turn
            || scan.within(&next.tokens).any(|m| {
                m.kind == Kind::Area
                    || m.kind == Kind::Element && matches!(m.role, Role::Noun | Role::Nouns)
            })
            || scan.cues_within(&next.tokens).any(|(k, m)| {
                matches!(k, CueKind::Arrive | CueKind::Leaving) && m.tokens.len() > 1
                    || matches!(k, CueKind::Fine | CueKind::AllGood | CueKind::Done)
            })
            || matches!(
                speech.word(next.tokens.start),
                "okay" | "next" | "now" | "right"
            )
        {
            break;
        }
        end = next.tokens.end;
    }
    scope.start..end
}

/// Where the next part is named in a stretch, or its end.
fn next_part(scan: &Scan, from: usize, to: usize) -> usize {
    scan.within(&(from..to))
        .find(|m| m.kind == Kind::Element && matches!(m.role, Role::Noun | Role::Nouns))
        .map_or(to, |m| m.tokens.start)
}

/// A deadline that names a time, else what the words that press it name.
fn deadline(scope: &Range<usize>, speech: &Speech<'_>, scan: &Scan) -> Option<String> {
    let text = |tokens: Range<usize>| speech.reading.text[speech.said(&tokens)].to_string();
    if let Some(tokens) = deadlines::spoken(scope, speech, scan) {
        return Some(text(tokens));
    }
    let (_, m) = scan.cues_within(scope).find(|(k, m)| {
        *k == CueKind::Urgent
            && matches!(
                speech.word(m.tokens.start),
                "before" | "today" | "tonight" | "by" | "until" | "this"
            )
    })?;
    let mut end = m.tokens.end;
    while end < scope.end && speech.tokens[end - 1].stop == Stop::None && end < m.tokens.end + 6 {
        end += 1;
    }
    Some(text(m.tokens.start..end))
}

fn hazard(
    f: &Finding,
    asides: &[Range<usize>],
    speech: &Speech<'_>,
    scan: &Scan,
    clauses: &[Clause],
    lexicon: &Lexicon,
) -> Option<(Hazard, Option<String>)> {
    let element = f
        .thing
        .as_ref()
        .and_then(|t| t.entry)
        .map(|e| lexicon.element(e));
    let Outcome::Item { fault, work, .. } = &f.outcome else {
        return None;
    };
    let mut faults: Vec<u16> = fault.iter().copied().collect();
    faults.extend(f.said.iter().flat_map(|r| {
        scan.within(r)
            .filter(|m| m.kind == Kind::Fault)
            .map(|m| m.entry)
            .collect::<Vec<_>>()
    }));
    let absent = *work == Work::Install;
    let words = segment::words_about(clauses, &f.said, speech);
    for rule in &lexicon.data().dangers {
        let of_part = rule.elements.is_empty()
            || element.is_some_and(|e| rule.elements.iter().any(|n| *n == e.id || *n == e.group));
        let of_state = || {
            if rule.faults.is_empty() {
                !matches!(work, Work::Clean | Work::TouchUp)
            } else {
                absent && rule.faults.iter().any(|n| n == "absent")
                    || faults
                        .iter()
                        .any(|x| rule.faults.contains(&lexicon.fault(*x).id))
            }
        };
        let of_words =
            || rule.near.is_empty() || rule.near.iter().any(|n| words.contains(n.as_str()));
        if of_part
            && of_state()
            && of_words()
            && let Some(h) = rule.hazard
        {
            return Some((h, Some(format!("hazard: dangers/{}", rule.id))));
        }
    }
    for e in faults {
        let fault = lexicon.fault(e);
        let by_part = element.and_then(|p| {
            fault
                .hazards
                .get(&p.id)
                .or_else(|| fault.hazards.get(&p.group))
        });
        if let Some(h) = by_part.copied().or(fault.hazard) {
            return Some((h, Some(format!("hazard: faults/{}", fault.id))));
        }
    }
    let told = std::iter::once(&f.scope).chain(asides);
    let cue = told
        .flat_map(|r| aside::danger(r, scan, lexicon))
        .find(|c| {
            c.on.is_empty()
                || element.is_some_and(|e| c.on.iter().any(|o| *o == e.id || *o == e.group))
        })?;
    Some((cue.hazard?, Some(format!("hazard: cues/{}", cue.id))))
}

/// The speaker's words for the spot: a phrase of place that names no other matter.
fn spot(f: &Finding, speech: &Speech<'_>, scan: &Scan) -> Option<String> {
    for r in &f.said {
        let mut i = r.start;
        while i < r.end {
            let w = speech.word(i);
            let starts = grammar::is_beside(w)
                && !matches!(
                    w,
                    "for"
                        | "with"
                        | "without"
                        | "before"
                        | "after"
                        | "like"
                        | "as"
                        | "than"
                        | "about"
                        | "where"
                        | "from"
                        | "off"
                        | "past"
                )
                || matches!(w, "left" | "right") && matches!(speech.word(i + 1), "of" | "hand")
                || w == "next" && speech.word(i + 1) == "to"
                || matches!(w, "at" | "along" | "down" | "across")
                    && matches!(speech.word(i + 1), "the" | "this" | "that");
            if starts && !deadlines::tells_time(i, r.end, speech) {
                let mut end = i + 1;
                while end < r.end
                    && speech.tokens[end - 1].stop == Stop::None
                    && end < i + 8
                    && !grammar::is_auxiliary(speech.word(end))
                    && !matches!(speech.word(end), "and" | "but" | "so" | "that" | "which")
                {
                    end += 1;
                }
                let fault =
                    |m: &Mention| m.kind == Kind::Fault && m.tokens.start < end && i < m.tokens.end;
                // "A scratch across the door" tells no place in the room, "hanging by its wires" none at all.
                let own = f.thing.as_ref().is_some_and(|t| t.tokens.end == end)
                    && matches!(w, "across" | "against" | "over");
                let nowhere = own || scan.mentions_near(i, end).iter().any(fault);
                if end > i + 1 && !nowhere {
                    return Some(
                        speech.reading.text[speech.said(&(i..end))]
                            .trim_end_matches([',', '.', ';', ':', '?', '!'])
                            .to_string(),
                    );
                }
            }
            i += 1;
        }
    }
    None
}
