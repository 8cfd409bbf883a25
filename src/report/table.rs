//! The list for people: what is to do by place, in the order walked, then the trades, what was found fine, what was passed
//! over, and the dangers.
//!
//! No line is wider than asked. In the first column `!` stands before what is urgent or dangerous and `?` before what
//! somebody must answer; the words themselves follow in the item. From about 70 columns on each item is a row of cells;
//! below that its sentence stands under its element.

use std::io::{self, Write};

use super::Look;
use super::groups::{Group, by_area, by_caution, by_hazard, by_trade, open};
use super::marks::{Mark, danger, danger_title};
use super::page::{Cell, Page, Piece, Tone, columns};
use super::words::{
    self, besides, clock, counted, element, file_name, fine, first_said, heading, not_looked_at,
    number, numbers, todo_beside, totals, trade_card, trade_name, when,
};
use crate::list::{Area, Item, List};

/// The fewest columns for the sentence beside the other cells.
const SENTENCE: usize = 26;
/// The fewest and the most columns for the element's cell.
const ELEMENT: (usize, usize) = (12, 18);
/// The most columns for the trade's cell.
const TRADE: usize = 20;
/// How many arrivals stand in a heading before the rest is only counted.
const ARRIVALS: usize = 4;

/// Writes the table.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write(list: &List, look: &Look, out: &mut impl Write) -> io::Result<()> {
    let mut page = Page::new(look.width.max(Look::NARROWEST), look.color);
    head(&mut page, list);
    let groups = by_area(list);
    items(&mut page, list, &groups);
    trades(&mut page, list);
    found_fine(&mut page, list, &groups);
    for (heading, lines) in not_looked_at(list) {
        title(&mut page, heading);
        for line in lines {
            page.paragraph(2, &[Piece::plain(line)]);
        }
    }
    passed_over(&mut page, list, look.passed_over);
    hazards(&mut page, list);
    out.write_all(page.finish().as_bytes())
}

fn head(page: &mut Page, list: &List) {
    match list.walks.as_slice() {
        [walk] => {
            let line = format!(
                "Punch list from {}, {}",
                file_name(&walk.file),
                clock(walk.seconds)
            );
            page.paragraph(0, &[Piece::new(line, Tone::Strong)]);
        }
        walks => {
            let seconds = walks.iter().map(|w| w.seconds).sum();
            let line = format!(
                "Punch list from {}, {}",
                counted(walks.len(), "walk", "walks"),
                clock(seconds)
            );
            page.paragraph(0, &[Piece::new(line, Tone::Strong)]);
            for walk in walks {
                let line = format!(
                    "{} {}, {}",
                    walk.id,
                    file_name(&walk.file),
                    clock(walk.seconds)
                );
                page.paragraph(2, &[Piece::plain(line)]);
            }
        }
    }
    page.paragraph(0, &[Piece::plain(totals(list))]);
    let dangers: Vec<String> = by_hazard(list)
        .iter()
        .map(|(h, items)| format!("{} {}", danger(*h), numbers(items)))
        .collect();
    if !dangers.is_empty() {
        page.paragraph(
            0,
            &[Piece::plain("! Hazards:"), Piece::plain(dangers.join("; "))],
        );
    }
    let urgent: Vec<&Item> = list.items.iter().filter(|i| open(i) && i.urgent).collect();
    if !urgent.is_empty() {
        page.paragraph(
            0,
            &[Piece::plain("! Urgent:"), Piece::plain(numbers(&urgent))],
        );
    }
}

/// The widths of an item's cells; `sentence` is none where the sentence goes on lines of its own.
struct Widths {
    number: usize,
    time: usize,
    element: usize,
    trade: usize,
    sentence: Option<usize>,
}

impl Widths {
    fn of(list: &List, width: usize) -> Widths {
        let widest = |of: &dyn Fn(&Item) -> usize| list.items.iter().map(of).max().unwrap_or(0);
        let number = widest(&|i| columns(&number(i))).max(2);
        let time = widest(&|i| columns(&first_said(list, &i.said))).max(4);
        let trade = widest(&|i| columns(trade_name(list, i.trade))).min(TRADE);
        // The mark with its blank, and two blanks between the other cells.
        let room = width.saturating_sub(2 + number + time + trade + 4 * 2);
        let wanted =
            widest(&|i| columns(element(i.element.as_deref()))).clamp(ELEMENT.0, ELEMENT.1);
        let element = wanted.min(room.saturating_sub(SENTENCE)).max(ELEMENT.0);
        let sentence = room.checked_sub(element).filter(|w| *w >= SENTENCE);
        Widths {
            number,
            time,
            element,
            trade,
            sentence,
        }
    }
}

fn items(page: &mut Page, list: &List, groups: &[Group<'_>]) {
    let widths = Widths::of(list, page.width);
    for group in groups.iter().filter(|g| !g.items.is_empty()) {
        page.gap();
        let mut title = vec![Piece::new(heading(group.path), Tone::Strong)];
        if let Some(area) = group.area.filter(|a| !a.visits.is_empty()) {
            title.push(Piece::plain(format!("({})", arrivals(list, area))));
        }
        page.paragraph(0, &title);
        for item in &group.items {
            match widths.sentence {
                Some(sentence) => row(page, list, item, &widths, sentence),
                None => stacked(page, list, item, &widths),
            }
        }
    }
}

fn arrivals(list: &List, area: &Area) -> String {
    let mut times: Vec<String> = area
        .visits
        .iter()
        .take(ARRIVALS)
        .map(|v| when(list, &v.walk, v.start))
        .collect();
    if area.visits.len() > ARRIVALS {
        times.push(format!("{} more", area.visits.len() - ARRIVALS));
    }
    times.join(", ")
}

fn row(page: &mut Page, list: &List, item: &Item, widths: &Widths, sentence: usize) {
    page.row(&[
        Cell::plain(mark(item), 1).close(),
        Cell::right(&number(item), widths.number),
        Cell::right(&first_said(list, &item.said), widths.time),
        Cell::plain(element(item.element.as_deref()), widths.element),
        Cell::new(&what(list, item), sentence),
        Cell::plain(trade_name(list, item.trade), widths.trade),
    ]);
}

fn stacked(page: &mut Page, list: &List, item: &Item, widths: &Widths) {
    let left = 1 + 1 + widths.number + 2;
    let rest = page.width - left;
    let time = first_said(list, &item.said);
    let line = format!(
        "{time}  {}, {}",
        element(item.element.as_deref()),
        trade_name(list, item.trade)
    );
    page.row(&[
        Cell::plain(mark(item), 1).close(),
        Cell::right(&number(item), widths.number),
        Cell::plain(&line, rest),
    ]);
    page.row(&[
        Cell::plain("", left - 2),
        Cell::new(&what(list, item), rest),
    ]);
}

/// The sign in the first column.
fn mark(item: &Item) -> &'static str {
    match Mark::of(item).first() {
        Some(Mark::Hazard(_) | Mark::Urgent) => "!",
        Some(Mark::Ask) => "?",
        Some(Mark::MadeGood | Mark::Closed(_)) | None => "",
    }
}

/// The marks, the sentence, and what else was said of it.
fn what(list: &List, item: &Item) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for mark in Mark::of(item) {
        let tone = match mark {
            Mark::Hazard(_) => Tone::Danger,
            Mark::Urgent => Tone::Urgent,
            Mark::Ask => Tone::Ask,
            Mark::MadeGood | Mark::Closed(_) => Tone::Plain,
        };
        pieces.push(Piece::new(format!("[{}]", mark.word()), tone));
    }
    let mut text = todo_beside(item);
    for more in besides(list, item) {
        text.push_str("; ");
        text.push_str(&more);
    }
    pieces.push(Piece::plain(text));
    pieces
}

fn trades(page: &mut Page, list: &List) {
    let trades = by_trade(list);
    if trades.is_empty() {
        return;
    }
    title(page, "By trade");
    let widest = trades
        .iter()
        .map(|(t, _)| columns(trade_name(list, *t)))
        .max()
        .unwrap_or(0)
        .min(TRADE);
    for (trade, items) in &trades {
        let rest = page.width - widest - 4;
        page.row(&[
            Cell::plain("", 0),
            Cell::plain(trade_name(list, *trade), widest),
            Cell::plain(&numbers(items), rest),
        ]);
        if let Some(card) = trade_card(list, *trade) {
            page.row(&[
                Cell::plain("", 0),
                Cell::plain("", widest),
                Cell::plain(&card, rest),
            ]);
        }
    }
}

fn found_fine(page: &mut Page, list: &List, groups: &[Group<'_>]) {
    if !list.cleared.is_empty() {
        title(page, "Found fine");
    }
    for group in groups.iter().filter(|g| !g.cleared.is_empty()) {
        let things: Vec<String> = group
            .cleared
            .iter()
            .map(|c| {
                format!(
                    "{} {}",
                    fine(c.element.as_deref(), c.kind),
                    first_said(list, &c.said)
                )
            })
            .collect();
        page.paragraph(
            2,
            &[Piece::plain(format!(
                "{}: {}",
                heading(group.path),
                things.join(", ")
            ))],
        );
    }
    let silent: Vec<String> = groups
        .iter()
        .filter(|g| g.unjudged())
        .map(|g| heading(g.path))
        .collect();
    if !silent.is_empty() {
        title(page, "Walked through, nothing said");
        page.paragraph(2, &[Piece::plain(silent.join(", "))]);
    }
}

fn passed_over(page: &mut Page, list: &List, show: bool) {
    if list.passed_over.is_empty() {
        return;
    }
    title(page, "Passed over");
    if !show {
        let line = format!("{} --passed-over shows why.", words::passed_over(list));
        page.paragraph(2, &[Piece::plain(line)]);
        return;
    }
    for p in &list.passed_over {
        let at = when(list, &p.said.walk, p.said.start);
        let line = format!("{at} \"{}\": {}", p.said.text, p.reason);
        page.paragraph(2, &[Piece::plain(line)]);
    }
}

fn hazards(page: &mut Page, list: &List) {
    let hazards = by_caution(list);
    if hazards.is_empty() {
        return;
    }
    title(page, "Hazards, until somebody competent has looked");
    for (hazard, caution, items) in &hazards {
        let line = format!("({}): {caution}", numbers(items));
        page.paragraph(
            2,
            &[
                Piece::new(danger_title(*hazard), Tone::Danger),
                Piece::plain(line),
            ],
        );
    }
}

fn title(page: &mut Page, text: &str) {
    page.gap();
    page.paragraph(0, &[Piece::new(text, Tone::Strong)]);
}
