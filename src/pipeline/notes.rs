//! What is told of finished items besides their own words: cautions, published limits, a firm's trades.

use crate::lexicon::Lexicon;
use crate::lexicon::source::{Limit, Provenance};
use crate::list::{Item, List, Measure, Note, Trade, TradeCard, Unit, Use, Verdict};

/// Where a caution stands that names no other source.
const USUAL: &str = "common practice";

/// Gives each item with a danger the caution of the rule that told it, or the one of its danger.
pub fn cautions(list: &mut List, lexicon: &Lexicon) {
    let data = lexicon.data();
    for item in &mut list.items {
        let Some(hazard) = item.hazard else { continue };
        let told = ids(item, "hazard: dangers/").find_map(|id| {
            let rule = data.dangers.iter().find(|d| d.id == id)?;
            let text = rule
                .caution
                .clone()
                .filter(|_| rule.hazard == Some(hazard))?;
            Some((text, rule.source.clone(), format!("caution: dangers/{id}")))
        });
        let usual = || {
            let c = data.cautions.iter().find(|c| c.hazard == Some(hazard))?;
            Some((
                c.text.clone(),
                c.source.clone(),
                format!("caution: cautions/{}", c.id),
            ))
        };
        if let Some((text, source, why)) = told.or_else(usual) {
            item.caution = Some(text);
            item.caution_source = Some(source.unwrap_or_else(|| USUAL.to_string()));
            item.why.push(why);
        }
    }
}

/// Tells what a firm's own lexicon says of the trades that items are sent to, in the order of trades.
pub fn trades(list: &mut List, lexicon: &Lexicon) {
    let mut sent: Vec<Trade> = list.items.iter().map(|i| i.trade).collect();
    sent.sort_unstable();
    sent.dedup();
    list.trades = sent
        .into_iter()
        .filter_map(|t| lexicon.entry_of(t))
        .filter(|e| e.own)
        .filter_map(|e| {
            Some(TradeCard {
                trade: e.trade?,
                name: e.name.clone(),
                contact: e.contact.clone(),
                sheet: e.sheet.clone(),
            })
        })
        .collect();
}

/// Holds spoken measures against published limits; `use_of` says what an item's place is for. Where that is not known,
/// where another quantity was measured or where the figure is not to be believed, nothing is said.
pub fn limits(list: &mut List, lexicon: &Lexicon, use_of: impl Fn(&Item) -> Option<Use>) {
    for item in &mut list.items {
        let note = use_of(item).and_then(|u| limit(item, u, lexicon));
        item.notes.extend(note);
    }
}

fn limit(item: &Item, known: Use, lexicon: &Lexicon) -> Option<Note> {
    let measure = item.measure.as_ref()?;
    let of = measure.of.as_deref()?;
    let part = ids(item, "element: elements/").next()?;
    let part = lexicon.element(lexicon.element_by_id(part)?);
    let fault = item
        .fault
        .as_deref()
        .and_then(|name| lexicon.data().faults.iter().find(|f| f.name == name));
    // A handrail is in the group of railings and is no guard: where a part has the name, that part alone is meant.
    let is_part =
        |n: &String| *n == part.id || *n == part.group && lexicon.element_by_id(n).is_none();
    let rule = lexicon.data().limits.iter().find(|l| {
        l.use_.is_none_or(|u| u == known)
            && l.of == of
            && l.elements.iter().any(is_part)
            && (l.near.is_empty() || l.near.iter().any(|w| has_words(&item.words, w)))
            && match fault {
                Some(f) if l.faults.is_empty() => !f.sized,
                Some(f) => l.faults.contains(&f.id),
                None => l.faults.is_empty(),
            }
    })?;
    held(measure, rule)
}

/// A measure held against a limit; none where the units are of different kinds or the figure is not to be believed.
pub fn held(measure: &Measure, rule: &Limit) -> Option<Note> {
    let unit = rule.unit?;
    let value = measure.unit.convert(measure.value, unit)?;
    let believed =
        rule.lowest.is_none_or(|l| value >= l) && rule.highest.is_none_or(|h| value <= h);
    if !believed {
        return None;
    }
    // A spoken eighth is not to fail by the last bit of a conversion.
    let slack = 1e-6;
    let verdict = if rule.min.is_some_and(|m| value < m - slack) {
        Verdict::Below
    } else if rule.max.is_some_and(|m| value > m + slack) {
        Verdict::Above
    } else {
        Verdict::Within
    };
    let range = match (rule.min, rule.max) {
        (Some(a), Some(b)) => format!("{} to {}", figure(a, None), figure(b, Some(unit))),
        (Some(a), None) => format!("at least {}", figure(a, Some(unit))),
        (None, Some(b)) => format!("at most {}", figure(b, Some(unit))),
        (None, None) => return None,
    };
    let source = rule.source.as_deref().unwrap_or(USUAL);
    let read = match rule.provenance {
        Some(Provenance::Quoted) => "",
        Some(Provenance::SecondHand) => ", read second-hand",
        Some(Provenance::Memory) | None => ", from memory, not looked up",
    };
    let stands = match verdict {
        Verdict::Within => "within",
        Verdict::Below => "below it",
        Verdict::Above => "above it",
    };
    let applies = if rule.applies.is_empty() {
        String::new()
    } else {
        format!(" ({})", rule.applies)
    };
    Some(Note {
        text: format!(
            "{} {}: {range}{applies} by {source}{read}; {stands}. The local code decides.",
            capital(&rule.quantity),
            figure(measure.value, Some(measure.unit)),
        ),
        verdict: Some(verdict),
        source: Some(format!("{source}{read}")),
        entry: Some(format!("limits/{}", rule.id)),
    })
}

/// The ids that an item's `why` names after this beginning.
fn ids<'a>(item: &'a Item, beginning: &'static str) -> impl Iterator<Item = &'a str> {
    item.why
        .iter()
        .filter_map(move |w| w.strip_prefix(beginning))
}

fn has_words(text: &str, words: &str) -> bool {
    text.match_indices(words).any(|(i, _)| {
        let end = i + words.len();
        (i == 0 || text.as_bytes()[i - 1] == b' ')
            && (end == text.len() || text.as_bytes()[end] == b' ')
    })
}

/// A figure as it is read: at most four places after the point, no idle zeros.
fn figure(value: f64, unit: Option<Unit>) -> String {
    let mut text = format!("{value:.5}");
    while text.ends_with('0') {
        text.pop();
    }
    let text = text.trim_end_matches('.');
    match unit {
        None => text.to_string(),
        Some(Unit::Pct) => format!("{text} %"),
        Some(Unit::F) => format!("{text} °F"),
        Some(Unit::C) => format!("{text} °C"),
        Some(Unit::Deg) => format!("{text}°"),
        Some(u) => format!("{text} {u}"),
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}
