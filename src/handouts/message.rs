//! Short messages for a phone: a head line, then whole items; never split inside an item.

use super::labels::Labels;
use super::office::{Given, promise};
use super::picture::link;
use super::{Options, caution_of, public_words, spanish, trade_name};
use crate::list::{FollowUp, Item, List, Standing, Trade};
use crate::report::words::{besides, deadline, first_said, heading, number, steers, todo};

/// A message has fewer characters than this.
pub const LONGEST: usize = 700;

/// What the head may take at the most: "Finish carpenter, 10 of 12", the walk that it comes from, and the line ends.
const HEAD: usize = 130;

/// What the heading of an area may take at the most, with its line end.
const PLACE: usize = 150;

/// What one item may take at the most, so that it stands whole in a message with the heads.
const ITEM: usize = LONGEST - 1 - HEAD - PLACE - 1;

/// An item in a message: the heading of its area, and its line.
type Entry = (String, String);

/// The messages of a trade.
pub(super) fn of_trade(
    list: &List,
    trade: Trade,
    items: &[&Item],
    options: &Options,
    spanish: Option<&Labels>,
) -> Vec<String> {
    let entry = |item: &&Item| match spanish {
        Some(labels) => (
            spanish::heading(labels, &item.area),
            spanish::line(list, labels, item, options),
        ),
        None => (heading(&item.area), line(list, item, options)),
    };
    let entries: Vec<Entry> = items.iter().map(entry).collect();
    match spanish {
        Some(labels) => split(
            &spanish::name(labels, trade),
            "de",
            &from(list, "Recorrido"),
            &entries,
        ),
        None => split(
            &trade_name(list, trade),
            "of",
            &from(list, "Walk"),
            &entries,
        ),
    }
}

/// The superintendent's messages: the questions first, then their own work.
pub(super) fn of_superintendent(list: &List, items: &[&Item], options: &Options) -> Vec<String> {
    let (ask, own): (Vec<&Item>, Vec<&Item>) =
        items.iter().partition(|i| i.standing == Standing::Query);
    let entries = |items: &[&Item]| -> Vec<Entry> {
        let entry = |i: &&Item| (heading(&i.area), line(list, i, options));
        items.iter().map(entry).collect()
    };
    let walk = from(list, "Walk");
    let mut all = split("Superintendent: to answer", "of", &walk, &entries(&ask));
    all.extend(split("Superintendent: to do", "of", &walk, &entries(&own)));
    all
}

/// The promises, in messages for each who gave any.
pub(super) fn of_promises(list: &List, given: &Given<'_>, options: &Options) -> Vec<String> {
    let messages = given.iter().flat_map(|(who, promises)| {
        let entry = |(item, what): &(&Item, FollowUp)| {
            let mut out = format!("{}. {}: {}", number(item), promise(*what), todo(item));
            if let Some(by) = deadline(item) {
                out.push_str(&format!("; when: {by}"));
            }
            let time = first_said(list, &item.said);
            if !time.is_empty() {
                out.push_str(&format!(" ({time})"));
            }
            if options.words {
                quote(&mut out, "", item);
            }
            (heading(&item.area), out)
        };
        let entries: Vec<Entry> = promises.iter().map(entry).collect();
        split(
            &format!("Promises of the {who}"),
            "of",
            &from(list, "Walk"),
            &entries,
        )
    });
    messages.collect()
}

/// The line that tells of which walk a message is, for whoever works in more than one house.
fn from(list: &List, label: &str) -> String {
    cut(&flat(&format!("{label}: {}", super::source(list))), 60)
}

/// Entries in messages under a head line and the line of the walk. An entry too long for a message of its own is cut at its end, marked by `…`.
fn split(name: &str, of: &str, walk: &str, entries: &[Entry]) -> Vec<String> {
    let room = LONGEST - 1 - HEAD;
    let mut bodies: Vec<String> = Vec::new();
    let mut place: Option<&str> = None;
    for (area, text) in entries {
        let head = cut(&format!("{}:\n", flat(area)), PLACE);
        let text = cut(&flat(text), ITEM);
        let bare = if place == Some(area.as_str()) {
            text.clone()
        } else {
            format!("{head}{text}")
        };
        let fits = bodies
            .last()
            .is_some_and(|b| length(b) + 1 + length(&bare) <= room);
        match bodies.last_mut() {
            Some(body) if fits => {
                body.push('\n');
                body.push_str(&bare);
            }
            _ => bodies.push(format!("{head}{text}")),
        }
        place = Some(area);
    }
    let total = bodies.len();
    let name = cut(&flat(name), 50);
    bodies
        .iter()
        .enumerate()
        .map(|(i, body)| match total {
            1 => format!("{name}\n{walk}\n{body}\n"),
            _ => format!("{name}, {} {of} {total}\n{walk}\n{body}\n", i + 1),
        })
        .collect()
}

fn line(list: &List, item: &Item, options: &Options) -> String {
    let mut out = format!("{}. ", item.number);
    let caution = caution_of(item);
    if let Some((danger, _)) = &caution {
        out.push_str(&format!("{} HAZARD. ", danger.to_uppercase()));
    }
    if item.urgent {
        out.push_str("URGENT. ");
    }
    let todo = todo(item);
    out.push_str(&todo);
    if let Some(spot) = item.spot.as_ref().filter(|s| !todo.contains(s.as_str())) {
        out.push_str(&format!(", {spot}"));
    }
    for more in besides(list, item) {
        out.push_str(&format!("; {more}"));
    }
    let time = first_said(list, &item.said);
    if !time.is_empty() {
        out.push_str(&format!(" ({time})"));
    }
    if let Some((_, text)) = &caution {
        out.push_str(&format!(" {text}"));
    }
    let link = item
        .said
        .first()
        .and_then(|s| link(list, &options.media, s));
    if let Some(link) = link.filter(|l| l.len() <= 120) {
        out.push_str(&format!(" {link}"));
    }
    if options.words {
        quote(&mut out, "", item);
    }
    out
}

/// Adds the speaker's words as far as they fit, so that they never push out what is to be done.
pub(super) fn quote(out: &mut String, label: &str, item: &Item) {
    for said in public_words(item) {
        let words = format!(" {label}“{}”", said.text);
        if length(out) + length(&words) > ITEM - 2 {
            out.push_str(" …");
            return;
        }
        out.push_str(&words);
    }
}

/// On one line, without what would steer a terminal.
fn flat(text: &str) -> String {
    text.chars()
        .map(|c| if steers(c) { ' ' } else { c })
        .collect()
}

fn length(text: &str) -> usize {
    text.chars().count()
}

/// At most so many characters; a line end at the end stays.
fn cut(text: &str, most: usize) -> String {
    if length(text) <= most {
        return text.to_string();
    }
    let end = if text.ends_with('\n') { "…\n" } else { "…" };
    let kept: String = text.chars().take(most - length(end)).collect();
    format!("{}{end}", kept.trim_end())
}
