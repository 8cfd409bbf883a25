//! The plan for people (plain text, Markdown) and as JSON.

use std::fmt::Write as _;

use jiff::civil::Date;

use super::{Plan, Promise, Visit};
use crate::report::words::{counted, hang, heading, promised, steers};

fn day(date: Date) -> String {
    date.strftime("%a %Y-%m-%d").to_string()
}

fn span(v: &Visit) -> String {
    if v.start == v.end {
        day(v.start)
    } else {
        format!("{} to {}", day(v.start), day(v.end))
    }
}

fn safe(text: &str) -> String {
    text.chars()
        .map(|c| if steers(c) { ' ' } else { c })
        .collect()
}

fn head(v: &Visit) -> String {
    let crew = if v.crew > 1 {
        format!(", {} people", v.crew)
    } else {
        String::new()
    };
    format!(
        "{} ({}{crew})",
        v.trade,
        counted(v.days as usize, "day", "days")
    )
}

/// Numbers in words: "number 4", "numbers 4, 9".
pub(super) fn numbers(all: &[u32]) -> String {
    let one = if all.len() == 1 { "number" } else { "numbers" };
    format!("{one} {}", joined(all))
}

fn joined(all: &[u32]) -> String {
    let all: Vec<String> = all.iter().map(u32::to_string).collect();
    all.join(", ")
}

/// What an item is, with where it is: "Hall: Repair door: sticking".
fn what(plan: &Plan, number: u32) -> Option<String> {
    let steps = plan.visits.iter().flat_map(|v| &v.steps);
    let step = steps.into_iter().find(|s| s.number == number)?;
    Some(format!("{}: {}", heading(&step.area), step.todo))
}

/// What cannot be in time, a sentence each.
fn late(plan: &Plan) -> Vec<String> {
    let missed = plan.missed.iter().map(|m| {
        format!(
            "Deadline missed: number {} was wanted “{}” ({}) and would be done on {}.",
            m.number,
            safe(&m.by),
            day(m.by_date),
            day(m.end)
        )
    });
    let late = plan.late.iter().map(|l| {
        let about = what(plan, l.cause).map_or_else(String::new, |what| format!(" ({what})"));
        let cause = if l.numbers.contains(&l.cause) {
            format!("Number {}{about} takes the longest.", l.cause)
        } else {
            format!("It waits most for number {}{about}.", l.cause)
        };
        let chain = if l.chain.len() > 1 {
            format!(" One after another: {}.", joined(&l.chain))
        } else {
            String::new()
        };
        safe(&format!(
            "Not in time: {}, {}, would be done on {}. {cause}{chain}",
            l.trade,
            numbers(&l.numbers),
            day(l.end)
        ))
    });
    late.chain(missed).collect()
}

/// A promise as a sentence: "The speaker will ask: Hall: Check heater".
pub(super) fn promise(p: &Promise) -> String {
    format!("The {} {}", p.who, promised(p.what))
}

/// What a promise is about, and by when.
fn about(p: &Promise) -> String {
    let by = p
        .by_date
        .map(|date| format!(" (by {})", day(date)))
        .unwrap_or_default();
    format!("{}: {}{by}", promise(p), p.about)
}

/// Plain text, in lines of at most 80 columns.
pub fn table(plan: &Plan) -> String {
    let mut out = format!(
        "From {} to be ready by {}\n",
        day(plan.from),
        day(plan.ready_by)
    );
    for l in late(plan) {
        out.push('\n');
        hang(&mut out, "! ", &l);
    }
    for v in &plan.visits {
        let _ = write!(out, "\n{}  {}\n", span(v), head(v));
        for s in &v.steps {
            let text = format!("{}: {} [{}]", heading(&s.area), s.todo, s.phase);
            hang(&mut out, &format!("  {:>4}  ", s.number), &text);
        }
    }
    if plan.visits.is_empty() {
        out.push_str("\nNothing is open.\n");
    }
    if !plan.promises.is_empty() {
        out.push_str("\nPromises\n");
        for p in &plan.promises {
            hang(&mut out, &format!("  {:>4}  ", p.number), &about(p));
        }
    }
    out.push_str("\nAssumed\n");
    for a in &plan.assumptions {
        hang(&mut out, "  ", a);
    }
    out
}

/// Markdown.
pub fn md(plan: &Plan) -> String {
    let mut out = format!(
        "# Order of work\n\nFrom {} to be ready by {}.\n",
        day(plan.from),
        day(plan.ready_by)
    );
    for l in late(plan) {
        let _ = write!(out, "\n> {}\n", plain(&l));
    }
    for v in &plan.visits {
        let _ = write!(out, "\n## {}: {}\n\n", span(v), head(v));
        for s in &v.steps {
            let _ = writeln!(
                out,
                "- [ ] {}: {}: {} ({})",
                s.number,
                plain(&heading(&s.area)),
                plain(&s.todo),
                s.phase
            );
        }
    }
    if plan.visits.is_empty() {
        out.push_str("\nNothing is open.\n");
    }
    if !plan.promises.is_empty() {
        out.push_str("\n## Promises\n\n");
        for p in &plan.promises {
            let _ = writeln!(out, "- [ ] {}: {}", p.number, plain(&about(p)));
        }
    }
    out.push_str("\n## Assumed\n\n");
    for a in &plan.assumptions {
        let _ = writeln!(out, "- {a}");
    }
    out
}

/// Text in which Markdown and HTML see no marks.
fn plain(text: &str) -> String {
    let mut out = String::new();
    for c in safe(text).chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '&' => out.push_str("&amp;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '#' | '|' | '~' => {
                out.push('\\');
                out.push(c);
            }
            c => out.push(c),
        }
    }
    out
}

/// One JSON document.
pub fn json(plan: &Plan) -> serde_json::Result<String> {
    serde_json::to_string_pretty(plan).map(|text| text + "\n")
}
