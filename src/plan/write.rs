//! The plan for people (plain text, Markdown) and as JSON.

use std::fmt::Write as _;

use jiff::civil::Date;

use super::{Plan, Visit};
use crate::report::words::{counted, heading, steers};

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

fn late(plan: &Plan) -> Vec<String> {
    let join = |n: &[u32]| n.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
    let missed = plan.missed.iter().map(|m| {
        format!(
            "Deadline missed: number {} was wanted {} ({}) and would be done on {}.",
            m.number,
            safe(&m.by),
            day(m.by_date),
            day(m.end)
        )
    });
    plan.late
        .iter()
        .map(|l| {
            let chain = if l.chain.len() > 1 {
                format!(" In turn: {}.", join(&l.chain))
            } else {
                String::new()
            };
            format!(
                "Not in time: {} would be done on {} (number {}). Number {} holds it up most.{chain}",
                l.trade,
                day(l.end),
                join(&l.numbers),
                l.cause
            )
        })
        .chain(missed)
        .collect()
}

/// Plain text.
pub fn table(plan: &Plan) -> String {
    let mut out = format!(
        "From {} to be ready by {}\n",
        day(plan.from),
        day(plan.ready_by)
    );
    for l in late(plan) {
        let _ = write!(out, "\n{l}\n");
    }
    for v in &plan.visits {
        let _ = write!(out, "\n{}  {}\n", span(v), head(v));
        for s in &v.steps {
            let _ = writeln!(
                out,
                "  {:>4}  {}: {} [{}]",
                s.number,
                safe(&heading(&s.area)),
                safe(&s.todo),
                s.phase
            );
        }
    }
    if plan.visits.is_empty() {
        out.push_str("\nNothing is open.\n");
    }
    if !plan.promises.is_empty() {
        out.push_str("\nPromises\n");
        for p in &plan.promises {
            let _ = writeln!(
                out,
                "  {:>4}  {} ({}): {}",
                p.number,
                safe(&p.who),
                p.what,
                safe(&p.about)
            );
        }
    }
    out.push_str("\nAssumed:\n");
    for a in &plan.assumptions {
        let _ = writeln!(out, "  {a}");
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
            let _ = writeln!(
                out,
                "- [ ] {}: {} ({}): {}",
                p.number,
                plain(&p.who),
                p.what,
                plain(&p.about)
            );
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
