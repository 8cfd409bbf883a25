//! Short messages for a phone: a head line, then whole items; never split inside an item.

use super::picture::link;
use super::{Options, caution_of, public_words, spanish, trade_name};
use crate::list::{Item, List, Trade};
use crate::report::words::{besides, first_said, heading, steers, todo};

/// A message has fewer characters than this.
pub const LONGEST: usize = 700;

/// What the head line may take at the most: "Finish carpenter, 10 of 12", and its line end.
const HEAD: usize = 80;

/// The messages of a trade. An item too long for a message of its own is cut at its end, marked by `…`.
pub(super) fn split(
    list: &List,
    trade: Trade,
    items: &[&Item],
    options: &Options,
    spanish: Option<&spanish::Labels>,
) -> Vec<String> {
    let room = LONGEST - 1 - HEAD;
    let mut bodies: Vec<String> = Vec::new();
    let mut place: Option<&[String]> = None;
    for item in items {
        let head = format!(
            "{}:\n",
            flat(&match spanish {
                Some(labels) => spanish::heading(labels, &item.area),
                None => heading(&item.area),
            })
        );
        let head = cut(&head, 150);
        let text = match spanish {
            Some(labels) => flat(&spanish::line(list, labels, item, options)),
            None => line(list, item, options),
        };
        let text = cut(&text, room - 151);
        let bare = if place == Some(item.area.as_slice()) {
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
        place = Some(&item.area);
    }
    let total = bodies.len();
    let name = match spanish {
        Some(labels) => spanish::name(labels, trade),
        None => trade_name(trade),
    };
    let name = cut(&name, 50);
    let of = if spanish.is_some() { "de" } else { "of" };
    bodies
        .iter()
        .enumerate()
        .map(|(i, body)| match total {
            1 => format!("{name}\n{body}\n"),
            _ => format!("{name}, {} {of} {total}\n{body}\n", i + 1),
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
        for said in public_words(item) {
            out.push_str(&format!(" “{}”", said.text));
        }
    }
    flat(&out)
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
