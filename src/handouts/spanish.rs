//! A trade's page and messages in Spanish. What the program words itself is Spanish; the speaker's words (a spot, a deadline,
//! what was said) stay as said and are marked so.

use super::html::{apart, card, escape, page, when};
use super::labels::{Labels, danger};
use super::message::quote;
use super::picture::Picture;
use super::{Options, Sheet, areas, public_words};
use crate::list::{FollowUp, Item, List, Trade};
use crate::report::words::{element, first_said, number, when as spoken};

/// The page of one trade with these items.
pub(super) fn sheet(
    list: &List,
    labels: &Labels,
    trade: Trade,
    items: &[&Item],
    options: &Options,
) -> Sheet {
    let count = |n: usize| {
        if n == 1 {
            "1 trabajo".to_string()
        } else {
            format!("{n} trabajos")
        }
    };
    let mut body = format!(
        "<p class=\"lead\">En el orden del recorrido. Identifique cada trabajo por su número.</p>\n{}",
        card(list, trade, "es")
    );
    let mut seen: Vec<((&str, String), Vec<String>)> = Vec::new();
    for item in items {
        if let Some(caution) = labels.caution(item) {
            match seen.iter_mut().find(|(c, _)| *c == caution) {
                Some((_, numbers)) => numbers.push(number(item)),
                None => seen.push((caution, vec![number(item)])),
            }
        }
    }
    for ((name, text), numbers) in seen {
        body.push_str(&format!(
            "<div class=\"caution\"><strong>Peligro: {name}, {} {}.</strong> {}</div>\n",
            if numbers.len() == 1 {
                "número"
            } else {
                "números"
            },
            numbers.join(", "),
            escape(&text)
        ));
    }
    for (area, items) in areas(items) {
        body.push_str(&format!("<h2>{}</h2>\n<ol>\n", apart(&labels.path(area))));
        for i in items {
            body.push_str(&item(list, labels, i, options));
        }
        body.push_str("</ol>\n");
    }
    body.push_str(&format!(
        "<p class=\"tail\">De la grabación {}. Los tiempos son minutos y segundos de ella. Lo hizo un programa a partir de lo que se \
         dijo y puede tener errores; la traducción no ha sido revisada. Si algo no está como aquí se dice, pregunte antes de empezar.</p>\n",
        apart(&super::source(list))
    ));
    Sheet {
        file: format!("{}.html", trade.word()),
        text: page(
            "es",
            &format!("{}: {}", labels.trade(trade), count(items.len())),
            &body,
        ),
    }
}

fn item(list: &List, labels: &Labels, item: &Item, options: &Options) -> String {
    let mut flags = String::new();
    if let Some(hazard) = item.hazard {
        flags.push_str(&format!(
            "<span class=\"flag danger\">Peligro: {}</span> ",
            danger(hazard).0
        ));
    }
    if item.urgent {
        flags.push_str("<span class=\"flag\">urgente</span> ");
    }
    let mut at = format!(
        "<span lang=\"en\">{}</span>",
        apart(element(item.element.as_deref()))
    );
    for (head, words, date) in told(item) {
        at.push_str(&format!(
            "<span>{head}: <q lang=\"en\">{}</q>{date}</span>",
            apart(words)
        ));
    }
    let time = when(list, item, options);
    if !time.is_empty() {
        at.push_str(&format!("<span>Dicho en\u{a0}{time}</span>"));
    }
    for more in besides(list, labels, item) {
        at.push_str(&format!("<span>{}</span>", apart(&super::sentence(&more))));
    }
    let mut rest = String::new();
    if options.words {
        for said in public_words(item) {
            rest.push_str(&format!(
                "<div class=\"words\">Como se dijo: <q lang=\"en\">{}</q></div>\n",
                apart(&said.text)
            ));
        }
    }
    let at_in_list = list.items.iter().position(|i| std::ptr::eq(i, item));
    let pictures = at_in_list.and_then(|i| options.pictures.get(i));
    rest.extend(pictures.into_iter().flatten().map(Picture::html));
    format!(
        "<li class=\"item\"><span class=\"no\">{}</span><div><div class=\"do\">{flags}{}</div><div class=\"at\">{at}</div></div>\n{rest}\
         <div class=\"sign\"><span><span class=\"box\"></span>Hecho</span><span>Fecha<span class=\"rule\"></span></span>\
         <span>Iniciales<span class=\"rule\"></span></span></div></li>\n",
        escape(&number(item)),
        apart(&labels.todo(item))
    )
}

/// What is told of an item in English: where it is, and by when, with the date where it is known, in the speaker's words; and
/// notes.
fn told(item: &Item) -> impl Iterator<Item = (&'static str, &String, String)> {
    let date = item.by_date.as_ref().map(|d| format!(" ({d})"));
    let spot = item
        .spot
        .as_ref()
        .map(|w| ("Lugar (como se dijo)", w, String::new()));
    let by = item
        .by
        .as_ref()
        .map(|w| ("Plazo (como se dijo)", w, date.unwrap_or_default()));
    let notes = item
        .notes
        .iter()
        .map(|n| ("Nota (en inglés)", &n.text, String::new()));
    spot.into_iter().chain(by).chain(notes)
}

/// What else is told of an item: a day without words, a promise, other places in the recording.
fn besides(list: &List, labels: &Labels, item: &Item) -> Vec<String> {
    let mut all = Vec::new();
    if let (None, Some(date)) = (&item.by, &item.by_date) {
        all.push(format!("plazo: {date}"));
    }
    if let Some(promise) = item.follow_up {
        let who = match item.promised_by.as_deref() {
            None | Some("speaker") => "quien habla".to_string(),
            Some("owner") => "el dueño".to_string(),
            Some("super") => "el superintendente".to_string(),
            Some(who) => Trade::from_word(who)
                .map_or_else(|| format!("«{who}»"), |t| labels.trade(t).to_lowercase()),
        };
        all.push(format!("{who} {}", promised(promise)));
    }
    let again: Vec<String> = item
        .said
        .iter()
        .skip(1)
        .map(|s| spoken(list, &s.walk, s.start))
        .collect();
    if !again.is_empty() {
        all.push(format!("otra vez {}", again.join(", ")));
    }
    all
}

fn promised(promise: FollowUp) -> &'static str {
    match promise {
        FollowUp::Ask => "va a preguntar",
        FollowUp::Tell => "va a avisar o a mandar a alguien",
        FollowUp::Photo => "va a mandar una foto",
        FollowUp::Return => "va a volver a verlo",
        FollowUp::Do => "lo va a hacer",
    }
}

/// The wording of messages: the trade's name, an area's heading, one item.
pub(super) fn name(labels: &Labels, trade: Trade) -> String {
    labels.trade(trade)
}

/// An area's heading.
pub(super) fn heading(labels: &Labels, area: &[String]) -> String {
    labels.path(area)
}

/// One item in a message.
pub(super) fn line(list: &List, labels: &Labels, item: &Item, options: &Options) -> String {
    let mut out = format!("{}. ", item.number);
    let caution = labels.caution(item);
    if let Some((name, _)) = &caution {
        out.push_str(&format!("PELIGRO: {}. ", name.to_uppercase()));
    }
    if item.urgent {
        out.push_str("URGENTE. ");
    }
    out.push_str(&labels.todo(item));
    for (head, words, date) in told(item) {
        let head = head.to_lowercase();
        out.push_str(&format!("; {head}: “{words}”{date}"));
    }
    for more in besides(list, labels, item) {
        out.push_str(&format!("; {more}"));
    }
    let time = first_said(list, &item.said);
    if !time.is_empty() {
        out.push_str(&format!(" ({time})"));
    }
    if let Some((_, text)) = &caution {
        out.push_str(&format!(" {text}"));
    }
    if options.words {
        quote(&mut out, "Como se dijo: ", item);
    }
    out
}
