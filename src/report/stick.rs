//! The list as a page: the walk as a batten with time down the page, a long cut for each arrival, a tick for each item.

use std::io::{self, Write};

use super::groups::open;
use super::words::{clock, fine, heading, number, todo, totals};
use crate::handouts::html::{apart, escape, page};
use crate::list::{List, Standing};

/// Seconds between two marks for each further step of space between them; there are nine steps.
const STEP: f64 = 8.0;

const STYLE: &str = "<style>\n\
.stick{padding:0;margin:1rem 0}\
.stick li{position:relative;display:grid;grid-template-columns:3.4rem 1fr;gap:0 .7rem;padding:.2rem 0;break-inside:avoid}\
.stick li::before{content:\"\";position:absolute;left:-2.25rem;top:.85rem;width:.8rem;border-top:2px solid var(--cut)}\
.stick .here{font-weight:700}.stick .here::before{width:1.9rem;border-top-width:3px}\
.stick .ask::before{border-top-style:dotted}.stick .danger::before{border-top-width:6px;border-top-color:var(--warn)}\
.g1{margin-top:.4rem}.g2{margin-top:.8rem}.g3{margin-top:1.2rem}.g4{margin-top:1.6rem}.g5{margin-top:2rem}\
.g6{margin-top:2.4rem}.g7{margin-top:2.8rem}.g8{margin-top:3.2rem}.g9{margin-top:3.6rem}\
.stick .fine{color:var(--soft)}.stick .fine::before{width:.35rem}\
.stick time{color:var(--soft);font-variant-numeric:tabular-nums;text-align:end}\
@media (max-width:30rem){.stick li::before{left:-1.5rem}.stick .here::before{width:1.2rem}}\
@media print{.stick li::before{left:-6mm;width:2.5mm}.stick .here::before{width:5mm}}\n</style>\n";

struct Mark {
    at: f64,
    class: &'static str,
    html: String,
}

/// Writes several lists as one page, one stick for each walk.
///
/// # Errors
///
/// Only what `out` gives.
pub fn write(lists: &[List], out: &mut impl Write) -> io::Result<()> {
    let mut body = String::new();
    for list in lists {
        body.push_str(&format!(
            "<p class=\"lead\">{}</p>\n",
            escape(&totals(list))
        ));
        for walk in &list.walks {
            let file = super::words::file_name(&walk.file);
            body.push_str(&format!(
                "<h2>{} <span class=\"lead\">{}</span></h2>\n",
                apart(file),
                clock(walk.seconds)
            ));
            body.push_str(&stick(list, &walk.id));
        }
    }
    body.push_str(
        "<p class=\"tail\">Time runs down the page. A long cut is an arrival, a tick an item; dotted it is a question, thick a \
         hazard, short found fine.</p>\n",
    );
    let html = page("en", "The walk", &body).replacen("</head>", &format!("{STYLE}</head>"), 1);
    out.write_all(html.as_bytes())
}

fn stick(list: &List, walk: &str) -> String {
    let mut marks = Vec::new();
    for area in &list.areas {
        for visit in area.visits.iter().filter(|v| v.walk == walk) {
            marks.push(Mark {
                at: visit.start,
                class: "here",
                html: apart(&heading(&area.path)),
            });
        }
    }
    for item in &list.items {
        let Some(said) = item.said.iter().find(|s| s.walk == walk) else {
            continue;
        };
        let class = match (item.hazard, item.standing) {
            _ if !open(item) => "fine",
            (Some(_), _) => "danger",
            (None, Standing::Query) => "ask",
            (None, _) => "todo",
        };
        let flag = super::marks::Mark::of(item)
            .iter()
            .map(|m| format!("<span class=\"flag\">{}</span> ", escape(&m.word())))
            .collect::<String>();
        marks.push(Mark {
            at: said.start,
            class,
            html: format!(
                "<b>{}</b> {flag}{} ({})",
                number(item),
                apart(&todo(item)),
                item.trade
            ),
        });
    }
    for cleared in &list.cleared {
        let Some(said) = cleared.said.iter().find(|s| s.walk == walk) else {
            continue;
        };
        marks.push(Mark {
            at: said.start,
            class: "fine",
            html: format!(
                "fine: {}",
                apart(&fine(cleared.element.as_deref(), cleared.kind))
            ),
        });
    }
    if marks.is_empty() {
        return "<p>Nothing was marked.</p>\n".to_string();
    }
    marks.sort_by(|a, b| a.at.total_cmp(&b.at));
    let mut out = String::from("<ol class=\"stick\">\n");
    let mut before = 0.0;
    for mark in &marks {
        let gap = ((mark.at - before) / STEP).clamp(0.0, 9.0) as u32;
        out.push_str(&format!(
            "<li class=\"{} g{gap}\"><time datetime=\"PT{}S\">{}</time><div>{}</div></li>\n",
            mark.class,
            mark.at.max(0.0) as u64,
            clock(mark.at),
            mark.html
        ));
        before = mark.at;
    }
    out.push_str("</ol>\n");
    out
}
