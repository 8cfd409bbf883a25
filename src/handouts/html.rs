//! The frame of a page, and what several pages have in common.

use super::picture::{Picture, link};
use super::{Options, public_words};
use crate::list::{Item, List, Trade};
use crate::report::words::{
    besides, file_name, first_said, heading, number, steers, todo, trade_card,
};

const STYLE: &str = include_str!("style.css");

/// Text made safe for HTML, in elements as in quoted attributes. What would steer a terminal or turn the direction of
/// writing becomes a blank.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if steers(c) => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// Text from outside in its own direction of writing.
pub(crate) fn apart(text: &str) -> String {
    format!("<bdi>{}</bdi>", escape(text))
}

/// A whole page. `body` is HTML already.
pub(crate) fn page(language: &str, title: &str, body: &str) -> String {
    let foot = foot(title);
    let title = escape(title);
    format!(
        "<!DOCTYPE html>\n<html lang=\"{language}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"robots\" content=\"noindex\">\n<title>{title}</title>\n<style>\n{STYLE}{foot}</style>\n</head>\n\
         <body>\n<h1>{title}</h1>\n{body}</body>\n</html>\n"
    )
}

/// What stands at the foot of each printed page, so that a loose sheet can be told: the title and the page's number.
fn foot(title: &str) -> String {
    let plain: String = title
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || ",.:-()".contains(c) {
                c
            } else {
                ' '
            }
        })
        .take(80)
        .collect();
    format!(
        "@page{{@bottom-right{{content:\"{}, \" counter(page) \" / \" counter(pages);font:8pt sans-serif;color:#6b6457}}}}\n",
        plain.trim()
    )
}

/// How an item is signed off on a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    /// A box to tick, a date, initials.
    Tick,
    /// Lines for an answer.
    Answer,
}

/// Items of one area each under its heading.
pub(super) fn by_area(list: &List, items: &[&Item], options: &Options, sign: Sign) -> String {
    let mut out = String::new();
    for (area, items) in super::areas(items) {
        out.push_str(&format!("<h2>{}</h2>\n<ol>\n", apart(&heading(area))));
        for i in items {
            out.push_str(&item(list, i, options, sign));
        }
        out.push_str("</ol>\n");
    }
    out
}

fn item(list: &List, item: &Item, options: &Options, sign: Sign) -> String {
    let mut flags = String::new();
    if let Some((danger, _)) = super::caution_of(item) {
        flags.push_str(&format!(
            "<span class=\"flag danger\">{} hazard</span> ",
            escape(&danger)
        ));
    }
    if item.urgent {
        flags.push_str("<span class=\"flag\">urgent</span> ");
    }
    // The part and its spot, where the sentence does not name them already.
    let todo = todo(item);
    let named = |text: &str| super::folded(&todo).contains(&super::folded(text));
    let mut at = String::new();
    if let Some(element) = item.element.as_deref().filter(|e| !named(e)) {
        at.push_str(&format!(
            "<span>{}</span>",
            apart(&super::sentence(element))
        ));
    }
    if let Some(spot) = item.spot.as_deref().filter(|s| !named(s)) {
        at.push_str(&format!("<span>Where: {}</span>", apart(spot)));
    }
    let time = when(list, item, options);
    if !time.is_empty() {
        at.push_str(&format!("<span>Said at\u{a0}{time}</span>"));
    }
    for more in besides(list, item) {
        at.push_str(&format!("<span>{}</span>", apart(&super::sentence(&more))));
    }
    let mut words = String::new();
    if options.words {
        for said in public_words(item) {
            words.push_str(&format!(
                "<div class=\"words\">As said: “{}”</div>\n",
                apart(&said.text)
            ));
        }
    }
    let at_in_list = list.items.iter().position(|i| std::ptr::eq(i, item));
    let pictures: String = at_in_list
        .and_then(|i| options.pictures.get(i))
        .into_iter()
        .flatten()
        .map(Picture::html)
        .collect();
    let sign = match sign {
        Sign::Tick => {
            "<div class=\"sign\"><span><span class=\"box\"></span>Done</span><span>Date<span class=\"rule\"></span></span>\
             <span>Initials<span class=\"rule\"></span></span></div>"
        }
        Sign::Answer => "<div class=\"answer\"></div>",
    };
    format!(
        "<li class=\"item\"><span class=\"no\">{}</span><div><div class=\"do\">{flags}{}</div>\
         <div class=\"at\">{at}</div></div>\n{words}{pictures}{sign}</li>\n",
        number(item),
        apart(&todo)
    )
}

/// When an item was said first, as a link into the recording where that is known.
pub(super) fn when(list: &List, item: &Item, options: &Options) -> String {
    let time = escape(&first_said(list, &item.said));
    let link = item
        .said
        .first()
        .and_then(|s| link(list, &options.media, s));
    match link {
        Some(link) => format!("<a href=\"{}\">{time}</a>", escape(&link)),
        None => time,
    }
}

/// What the firm's own lexicon has on a trade's sheet besides its items: whom to turn to, and what always holds.
pub(super) fn card(list: &List, trade: Trade, language: &str) -> String {
    let foreign = if language == "en" { "" } else { " lang=\"en\"" };
    trade_card(list, trade)
        .map(|card| {
            format!(
                "<p{foreign}>{}.</p>\n",
                apart(super::sentence(&card).trim_end_matches('.'))
            )
        })
        .unwrap_or_default()
}

/// The cautions that hold for these items, each in a frame.
pub(super) fn cautions(items: &[&Item]) -> String {
    super::cautions(items)
        .iter()
        .map(|(danger, text, numbers)| {
            let mut numbers = numbers.clone();
            numbers.retain(|n| *n > 0);
            numbers.sort_unstable();
            let all: Vec<String> = numbers.iter().map(ToString::to_string).collect();
            let which = match all.len() {
                0 => String::new(),
                1 => format!(", number {}", all[0]),
                _ => format!(", numbers {}", all.join(", ")),
            };
            format!(
                "<div class=\"caution\"><strong>{} hazard{which}:</strong> {}</div>\n",
                escape(danger),
                escape(text)
            )
        })
        .collect()
}

/// The line at the foot: where it comes from, and what it is.
pub(super) fn tail(list: &List) -> String {
    let walks: Vec<String> = list
        .walks
        .iter()
        .map(|w| file_name(&w.file).to_string())
        .collect();
    let key = if walks.len() > 1 {
        let names: Vec<String> = list
            .walks
            .iter()
            .map(|w| format!("{} is {}", w.id, file_name(&w.file)))
            .collect();
        format!(" {}.", names.join(", "))
    } else {
        String::new()
    };
    format!(
        "<p class=\"tail\">From the recording of {}. Times are minutes and seconds into it.{} Made by a program from what was \
         said; it may be wrong. Where a thing is not as written here, ask before you start.</p>\n",
        apart(&super::source(list)),
        apart(&key)
    )
}
