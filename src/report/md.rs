//! The list for people as GitHub-flavoured Markdown: a table for each place, then what was found fine.
//!
//! Spoken words are escaped: none of them becomes markup, a link, a table's edge or an HTML element.

use std::io::{self, Write};

use super::Look;
use super::groups::{Group, by_area, by_caution, by_trade, open};
use super::marks::{Mark, danger_title};
use super::words::{
    self, besides, clock, counted, element, file_name, fine, first_said, heading, not_looked_at,
    number, numbers, steers, todo_beside, totals, trade_card, trade_name, when,
};
use crate::list::{Item, List};

/// Writes the list.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write(list: &List, look: &Look, out: &mut impl Write) -> io::Result<()> {
    head(list, out)?;
    let groups = by_area(list);
    for group in groups.iter().filter(|g| !g.items.is_empty()) {
        items(list, group, out)?;
    }
    cards(list, out)?;
    found_fine(list, &groups, out)?;
    for (title, lines) in not_looked_at(list) {
        let lines: Vec<String> = lines.iter().map(|l| escape(l)).collect();
        writeln!(out, "\n## {title}\n\n- {}", lines.join("\n- "))?;
    }
    passed_over(list, look.passed_over, out)?;
    let hazards = by_caution(list);
    if !hazards.is_empty() {
        writeln!(out, "\n## Hazards, until somebody competent has looked\n")?;
    }
    for (hazard, caution, items) in hazards {
        writeln!(
            out,
            "- **{}** ({}): {}",
            danger_title(hazard),
            numbers(&items),
            escape(caution)
        )?;
    }
    Ok(())
}

fn head(list: &List, out: &mut impl Write) -> io::Result<()> {
    match list.walks.as_slice() {
        [walk] => writeln!(
            out,
            "# Punch list from {}, {}\n",
            escape(file_name(&walk.file)),
            clock(walk.seconds)
        )?,
        walks => {
            let seconds = walks.iter().map(|w| w.seconds).sum();
            writeln!(
                out,
                "# Punch list from {}, {}\n",
                counted(walks.len(), "walk", "walks"),
                clock(seconds)
            )?;
            for walk in walks {
                writeln!(
                    out,
                    "- {} {}, {}",
                    escape(&walk.id),
                    escape(file_name(&walk.file)),
                    clock(walk.seconds)
                )?;
            }
            writeln!(out)?;
        }
    }
    writeln!(out, "{}", totals(list))
}

fn items(list: &List, group: &Group<'_>, out: &mut impl Write) -> io::Result<()> {
    writeln!(out, "\n## {}\n", escape(&heading(group.path)))?;
    writeln!(out, "| No. | Time | Element | What to do | Trade | Said |")?;
    writeln!(out, "| ---: | ---: | --- | --- | --- | --- |")?;
    for item in &group.items {
        let said: Vec<&str> = item.said.iter().map(|s| s.text.as_str()).collect();
        writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} |",
            number(item),
            escape(&first_said(list, &item.said)),
            escape(element(item.element.as_deref())),
            what(list, item),
            escape(trade_name(list, item.trade)),
            escape(&said.join(" / ")),
        )?;
    }
    Ok(())
}

fn what(list: &List, item: &Item) -> String {
    let mut text: String = Mark::of(item)
        .iter()
        .map(|m| format!("**{}** ", m.word()))
        .collect();
    text.push_str(&escape(&todo_beside(item)));
    for more in besides(list, item) {
        text.push_str("; ");
        text.push_str(&escape(&more));
    }
    if let Some(caution) = item.caution.as_ref().filter(|_| open(item)) {
        text.push_str(" — Caution: ");
        text.push_str(&escape(caution));
        if let Some(source) = &item.caution_source {
            text.push_str(&format!(" ({})", escape(source)));
        }
    }
    text
}

/// What the firm's lexicon says of its trades.
fn cards(list: &List, out: &mut impl Write) -> io::Result<()> {
    let cards: Vec<String> = by_trade(list)
        .iter()
        .filter_map(|(trade, items)| {
            let card = trade_card(list, *trade)?;
            let name = escape(trade_name(list, *trade));
            Some(format!(
                "- **{name}** ({}): {}",
                numbers(items),
                escape(&card)
            ))
        })
        .collect();
    if !cards.is_empty() {
        writeln!(out, "\n## Trades\n\n{}", cards.join("\n"))?;
    }
    Ok(())
}

fn found_fine(list: &List, groups: &[Group<'_>], out: &mut impl Write) -> io::Result<()> {
    if !list.cleared.is_empty() {
        writeln!(out, "\n## Found fine\n")?;
    }
    for group in groups.iter().filter(|g| !g.cleared.is_empty()) {
        let things: Vec<String> = group
            .cleared
            .iter()
            .map(|c| {
                escape(&format!(
                    "{} {}",
                    fine(c.element.as_deref(), c.kind),
                    first_said(list, &c.said)
                ))
            })
            .collect();
        writeln!(
            out,
            "- {}: {}",
            escape(&heading(group.path)),
            things.join(", ")
        )?;
    }
    let silent: Vec<String> = groups
        .iter()
        .filter(|g| g.unjudged())
        .map(|g| escape(&heading(g.path)))
        .collect();
    if !silent.is_empty() {
        writeln!(
            out,
            "\n## Walked through, nothing said\n\n- {}",
            silent.join("\n- ")
        )?;
    }
    Ok(())
}

fn passed_over(list: &List, show: bool, out: &mut impl Write) -> io::Result<()> {
    if list.passed_over.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n## Passed over\n")?;
    if !show {
        return writeln!(
            out,
            "{} `--passed-over` shows why.",
            words::passed_over(list)
        );
    }
    for p in &list.passed_over {
        let at = escape(&when(list, &p.said.walk, p.said.start));
        writeln!(
            out,
            "- {at} \"{}\": {}",
            escape(&p.said.text),
            escape(&p.reason)
        )?;
    }
    Ok(())
}

/// The text on one line, with everything escaped that Markdown would read as more than text.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text
        .split(|c: char| c.is_whitespace() || steers(c))
        .filter(|w| !w.is_empty())
    {
        if !out.is_empty() {
            out.push(' ');
        }
        let first = out.is_empty();
        for (i, c) in word.char_indices() {
            let everywhere = matches!(
                c,
                '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '&' | '$'
            );
            let opens = first
                && match c {
                    '-' | '+' | '=' => i == 0,
                    '.' | ')' => i > 0 && word[..i].bytes().all(|b| b.is_ascii_digit()),
                    _ => false,
                };
            if everywhere || opens {
                out.push('\\');
            }
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escape;

    #[test]
    fn words_never_become_markup() {
        assert_eq!(
            escape("a|b <i>x</i> *y* [z](u)"),
            r"a\|b \<i\>x\</i\> \*y\* \[z\](u)"
        );
        assert_eq!(
            escape("- no\nlist & `code` #14"),
            r"\- no list \& \`code\` \#14"
        );
        assert_eq!(escape("2. second, 2. third"), r"2\. second, 2. third");
        assert_eq!(escape("\t touch-up "), "touch-up");
    }
}
