//! The pages for who runs the job: the summary, the superintendent's page, the promises.

use std::collections::BTreeMap;

use super::html::{self, Sign, apart, escape};
use super::{Options, Sheet, trade_name, trades, walking};
use crate::list::{FollowUp, Item, List, Standing, Trade};
use crate::report::groups::{by_area, open};
use crate::report::words::{counted, deadline, heading, number, numbers, todo, totals};

/// One page: counts, dangers, how much each trade and each place has.
pub(super) fn summary(list: &List) -> Sheet {
    let count = |f: fn(&Item) -> bool| list.items.iter().filter(|i| f(i)).count();
    let tally = [
        (
            count(|i| open(i) && i.standing == Standing::Outstanding),
            "to do",
        ),
        (
            count(|i| open(i) && i.standing == Standing::Query),
            "to ask",
        ),
        (count(|i| open(i) && i.urgent), "urgent"),
        (count(|i| open(i) && i.hazard.is_some()), "with a hazard"),
        (list.cleared.len(), "found fine"),
    ];
    let tally: String = tally
        .iter()
        .map(|(n, what)| format!("<div><b>{n}</b>{what}</div>"))
        .collect();
    let all = walking(list);
    let mut body = format!(
        "<p class=\"lead\">{}</p>\n<div class=\"tally\">{tally}</div>\n{}",
        escape(&totals(list)),
        html::cautions(&all)
    );
    let rows: String = trades(list)
        .iter()
        .map(|(t, items)| row(&trade_name(list, *t), &format!("{}.html", t.word()), items))
        .chain({
            let own = for_superintendent(list);
            (!own.is_empty()).then(|| row("Superintendent", "superintendent.html", &own))
        })
        .collect();
    if !rows.is_empty() {
        body.push_str(&format!(
            "<h2>By trade</h2>\n<table><thead><tr><th>Trade</th><th class=\"n\">Items</th><th>Numbers</th></tr></thead>\
             <tbody>\n{rows}</tbody></table>\n"
        ));
    }
    let places: String = by_area(list)
        .iter()
        .filter(|g| !g.unjudged())
        .map(|g| {
            let left: Vec<&Item> = g.items.iter().copied().filter(|i| open(i)).collect();
            format!(
                "<tr><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>\n",
                apart(&heading(g.path)),
                left.len(),
                g.cleared.len()
            )
        })
        .collect();
    if !places.is_empty() {
        body.push_str(&format!(
            "<h2>By place</h2>\n<div class=\"many\"><table><thead><tr><th>Place</th><th class=\"n\">Open</th><th class=\"n\">Fine</th></tr></thead>\
             <tbody>\n{places}</tbody></table></div>\n"
        ));
    }
    body.push_str("<p class=\"also\">Also here: <a href=\"promises.html\">promises</a>, <a href=\"owner.html\">letter to the owner</a>.</p>\n");
    body.push_str(&html::tail(list));
    Sheet {
        file: "summary.html".to_string(),
        text: html::page("en", "Summary", &body),
    }
}

fn row(name: &str, file: &str, items: &[&Item]) -> String {
    let mut by_number = items.to_vec();
    by_number.sort_by_key(|i| i.number);
    format!(
        "<tr><td><a href=\"{file}\">{}</a></td><td class=\"n\">{}</td><td>{}</td></tr>\n",
        escape(name),
        items.len(),
        numbers(&by_number)
    )
}

/// The queries, whoever would be sent, and what is the superintendent's own.
pub(super) fn for_superintendent(list: &List) -> Vec<&Item> {
    walking(list)
        .into_iter()
        .filter(|i| i.standing == Standing::Query || i.trade == Trade::Superintendent)
        .collect()
}

/// The superintendent's page: what is to be answered, then their own work.
pub(super) fn superintendent(list: &List, options: &Options) -> Sheet {
    let all = for_superintendent(list);
    let (ask, own): (Vec<&Item>, Vec<&Item>) =
        all.iter().partition(|i| i.standing == Standing::Query);
    let lead = match (ask.len(), own.len()) {
        (0, 0) => "Nothing to answer and nothing to do.".to_string(),
        (ask, own) => format!("{ask} to answer, {own} to do."),
    };
    let mut body = format!("<p class=\"lead\">{lead}</p>\n{}", html::cautions(&all));
    if !ask.is_empty() {
        body.push_str("<p><strong>To answer</strong>, before anybody is sent:</p>\n");
        body.push_str(&html::by_area(list, &ask, options, Sign::Answer));
    }
    if !own.is_empty() {
        body.push_str("<p><strong>To do</strong></p>\n");
        body.push_str(&html::by_area(list, &own, options, Sign::Tick));
    }
    body.push_str(&html::tail(list));
    Sheet {
        file: "superintendent.html".to_string(),
        text: html::page("en", "Superintendent", &body),
    }
}

/// What was promised of which item, by who promised it.
pub(super) type Given<'a> = BTreeMap<String, Vec<(&'a Item, FollowUp)>>;

/// The promises by who gave them.
pub(super) fn given(list: &List) -> Given<'_> {
    let mut given = Given::new();
    for item in walking(list) {
        if let Some(what) = item.follow_up {
            let who = item.promised_by.as_deref().unwrap_or("speaker");
            given.entry(who.to_string()).or_default().push((item, what));
        }
    }
    given
}

/// The page of the promises.
pub(super) fn promises(list: &List, options: &Options) -> Sheet {
    let given = given(list);
    let total: usize = given.values().map(Vec::len).sum();
    let lead = match total {
        0 => "No promises were given.".to_string(),
        n => format!("{}, by who gave them.", counted(n, "promise", "promises")),
    };
    let mut body = format!("<p class=\"lead\">{lead}</p>\n");
    for (who, promises) in &given {
        body.push_str(&format!(
            "<h2>{}</h2>\n<ol>\n",
            apart(&super::sentence(who))
        ));
        for (item, what) in promises {
            let mut words = String::new();
            if options.words {
                for said in super::public_words(item) {
                    words.push_str(&format!(
                        "<div class=\"words\">As said: “{}”</div>\n",
                        apart(&said.text)
                    ));
                }
            }
            let time = match html::when(list, item, options) {
                time if time.is_empty() => time,
                time => format!("<span>Said at\u{a0}{time}</span>"),
            };
            let by = deadline(item)
                .map(|by| format!("<span>When: {}</span>", apart(&by)))
                .unwrap_or_default();
            body.push_str(&format!(
                "<li class=\"item\"><span class=\"no\">{}</span><div><div class=\"do\">{}</div><div class=\"at\"><span>{}</span>\
                 <span>{}</span>{time}{by}</div></div>\n{words}<div class=\"sign\"><span><span class=\"box\"></span>\
                 Kept</span><span>Date<span class=\"rule\"></span></span></div></li>\n",
                number(item),
                promise(*what),
                apart(&todo(item)),
                apart(&heading(&item.area)),
            ));
        }
        body.push_str("</ol>\n");
    }
    body.push_str(&html::tail(list));
    Sheet {
        file: "promises.html".to_string(),
        text: html::page("en", "Promises", &body),
    }
}

pub(super) fn promise(what: FollowUp) -> &'static str {
    match what {
        FollowUp::Ask => "Ask somebody",
        FollowUp::Tell => "Tell or send somebody",
        FollowUp::Photo => "Take or send a picture",
        FollowUp::Return => "Come back and look",
        FollowUp::Do => "Do it",
    }
}
