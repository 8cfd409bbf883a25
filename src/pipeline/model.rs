//! How sure a finding is: a logistic model over named features. Its weights stand in `lexicon/model.yaml`, fitted on marked
//! walks by `storystick grade --fit`; what spoke for and against can be told.

use crate::lexicon::Lexicon;

use super::events::{Saying, Target};
use super::findings::{Matter, Outcome};
use super::mentions::{Hold, Thing};
use super::normalize::Speech;
use super::segment::Clause;
use crate::list::{Standing, Work};

/// Hardly any finding has more features.
const MOST: usize = 16;

/// What is known of a finding that may speak for or against it, by name, in the order of the alphabet.
pub fn features(
    m: &Matter,
    thing: Option<&Thing>,
    outcome: &Outcome,
    speech: &Speech<'_>,
    clauses: &[Clause],
    lexicon: &Lexicon,
) -> Vec<&'static str> {
    let mut out = Vec::with_capacity(MOST);
    let mut add = |name| out.push(name);
    add(if speech.punctuated {
        "punctuated"
    } else {
        "unpunctuated"
    });
    match thing {
        None => add("no-part"),
        Some(t) => {
            match t.entry {
                None => add("part-unknown"),
                Some(e) => {
                    let e = lexicon.element(e);
                    add(if e.weak {
                        "part-everyday"
                    } else if e.piece {
                        "part-piece"
                    } else {
                        "part-known"
                    });
                    if t.name.contains(' ') {
                        add("part-named-fully");
                    }
                }
            }
            add(match t.hold {
                Hold::Free => "part-free",
                Hold::Host => "part-host",
                Hold::Beside => "part-beside",
            });
            if t.fresh {
                add("one-of-several");
            }
            if t.plural {
                add("part-plural");
            }
        }
    }
    let bad = |s: &Saying| {
        matches!(
            s,
            Saying::Fault(_)
                | Saying::Absent
                | Saying::Needed(_)
                | Saying::New
                | Saying::AskedFault(_)
        )
    };
    let count = m.events.iter().filter(|e| bad(&e.saying)).count();
    add(match count {
        0 => "nothing-bad",
        1 => "one-bad",
        _ => "more-bad",
    });
    for e in &m.events {
        match e.saying {
            Saying::Fault(_) => add("fault"),
            Saying::Absent => add("absent"),
            Saying::Needed(_) => add("work-needed"),
            Saying::New => add("new-wanted"),
            Saying::Doubt => add("doubt"),
            Saying::Ask => add("asked"),
            Saying::Fine => add("praise"),
            Saying::Done | Saying::Worked(_) => add("done"),
            Saying::Call => add("trade-called"),
            Saying::WasFault(_) => add("past-fault"),
            Saying::NoFault(_) => add("fault-denied"),
            _ => {}
        }
        if bad(&e.saying) {
            match e.target {
                Target::Topic => add("of-topic"),
                Target::Things(_) => add("of-part"),
                _ => add("of-either"),
            }
        }
    }
    let firm = m.events.iter().find(|e| bad(&e.saying));
    if let (Some(e), Some(t)) = (firm, thing) {
        let held = clauses.partition_point(|c| c.tokens.end <= t.tokens.start);
        let apart = e.clause.abs_diff(held);
        add(match apart {
            0 => "same-clause",
            1 => "next-clause",
            _ => "clauses-apart",
        });
        let c = &clauses[e.clause];
        add(match c.tokens.len() {
            0..=4 => "clause-short",
            5..=10 => "clause-middling",
            11..=18 => "clause-long",
            _ => "clause-endless",
        });
        if c.question {
            add("question");
        }
        let gap = e.tokens.start.abs_diff(t.tokens.end);
        add(if gap <= 2 {
            "words-close"
        } else if gap <= 6 {
            "words-near"
        } else {
            "words-far"
        });
    }
    if m.things.len() > 1 {
        add("several-parts");
    }
    if let Outcome::Item { work, standing, .. } = outcome {
        add(match work {
            Work::TouchUp => "touch-up",
            Work::Seal => "seal",
            Work::Replace => "replace",
            Work::Clean => "clean",
            Work::Install => "install",
            Work::Repair => "repair",
            Work::Adjust => "adjust",
            Work::Check => "check",
        });
        if *standing == Standing::Query {
            add("query");
        }
    }
    out.sort();
    out.dedup();
    out
}

/// The chance that a finding with these features is right, from 0 to 1.
pub fn chance(features: &[&str], lexicon: &Lexicon) -> f64 {
    let weight = |name: &str| weight(name, lexicon).unwrap_or(0.0);
    let sum = weight("bias") + features.iter().map(|f| weight(f)).sum::<f64>();
    1.0 / (1.0 + (-sum).exp())
}

/// The weight of a feature, where it has one.
fn weight(name: &str, lexicon: &Lexicon) -> Option<f64> {
    let weights = &lexicon.models().sure;
    weights.row(&[name]).map(|row| weights.of(row)[0])
}

/// What spoke loudest for and against, for `why`: at most two each.
pub fn reasons(features: &[&str], lexicon: &Lexicon) -> String {
    let mut weighed: Vec<(f64, &str)> = features
        .iter()
        .filter_map(|f| Some((weight(f, lexicon)?, *f)))
        .collect();
    weighed.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    let names =
        |part: Vec<&(f64, &str)>| part.iter().map(|(_, f)| *f).collect::<Vec<_>>().join(", ");
    let up = names(weighed.iter().filter(|(w, _)| *w > 0.05).take(2).collect());
    let down = names(
        weighed
            .iter()
            .rev()
            .filter(|(w, _)| *w < -0.05)
            .take(2)
            .collect(),
    );
    format!(
        "confidence: for {}; against {}",
        if up.is_empty() { "nothing" } else { &up },
        if down.is_empty() { "nothing" } else { &down }
    )
}
