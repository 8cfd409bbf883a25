//! BIM Collaboration Format 3.0 of buildingSMART: a ZIP archive with one topic for each item.
//!
//! A topic has no viewpoint: a walk knows rooms, not coordinates. Its GUID is a UUID (version 5) of the first walk's hash and
//! the item's id, so that the same item keeps it. Words marked private are left out. Entries are stored, not compressed, with one fixed
//! date, in the order of the items: the same list and the same [`Look::now`](super::Look::now) give the same bytes.

use std::collections::BTreeSet;
use std::io::{self, Cursor, Write};

use jiff::Timestamp;
use uuid::Uuid;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use super::Look;
use super::groups::open;
use super::words::{besides, first_said, heading, todo};
use crate::list::{Item, List};

const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
const AUTHOR: &str = "storystick";

/// Writes one archive.
///
/// # Errors
///
/// What `out` gives, and where the archive would be too large for a ZIP file.
pub fn write(list: &List, look: &Look, out: &mut impl Write) -> io::Result<()> {
    let list = &crate::handouts::public(list);
    let date = Timestamp::from_second(look.now)
        .map_err(io::Error::other)?
        .to_string();
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let mut add = |name: &str, text: &str| -> io::Result<()> {
        zip.start_file(name, options).map_err(io::Error::other)?;
        zip.write_all(text.as_bytes())
    };
    add(
        "bcf.version",
        &format!("{HEAD}<Version VersionId=\"3.0\"/>\n"),
    )?;
    add("extensions.xml", &extensions(list))?;
    let mut taken = BTreeSet::new();
    for item in &list.items {
        let mut guid = guid(list, item);
        // Lists made by hand may repeat an id.
        while !taken.insert(guid) {
            guid = Uuid::new_v5(&guid, b"again");
        }
        add(
            &format!("{guid}/markup.bcf"),
            &markup(list, item, guid, &date),
        )?;
    }
    let bytes = zip.finish().map_err(io::Error::other)?.into_inner();
    out.write_all(&bytes)
}

fn guid(list: &List, item: &Item) -> Uuid {
    let walk = list.walks.first().map_or("", |w| w.sha256.as_str());
    let name = format!("storystick:{walk}:{}:{}", item.id, item.number);
    Uuid::new_v5(&Uuid::NAMESPACE_URL, name.as_bytes())
}

fn markup(list: &List, item: &Item, guid: Uuid, date: &str) -> String {
    let mut out = format!(
        "{HEAD}<Markup>\n  <Topic Guid=\"{guid}\" TopicType=\"{}\" TopicStatus=\"{}\">\n",
        item.work,
        status(item)
    );
    let mut line = |tag: &str, text: &str| {
        out.push_str(&format!("    <{tag}>{}</{tag}>\n", xml(text)));
    };
    let title = match item.number {
        0 => todo(item),
        n => format!("{n}. {}", todo(item)),
    };
    line("Title", &title);
    if let Some(priority) = priority(item) {
        line("Priority", priority);
    }
    let labels: String = labels(item)
        .iter()
        .map(|l| format!("<Label>{}</Label>", xml(l)))
        .collect();
    out.push_str(&format!("    <Labels>{labels}</Labels>\n"));
    let mut line = |tag: &str, text: &str| {
        out.push_str(&format!("    <{tag}>{}</{tag}>\n", xml(text)));
    };
    line("CreationDate", date);
    line("CreationAuthor", AUTHOR);
    if let Some(date) = &item.by_date {
        // The whole day is left for it, by the clock of the place.
        line("DueDate", &format!("{date}T23:59:59"));
    }
    line("AssignedTo", item.trade.word());
    line("Description", &description(list, item));
    out.push_str("  </Topic>\n</Markup>\n");
    out
}

fn description(list: &List, item: &Item) -> String {
    let mut parts = vec![heading(&item.area)];
    if let Some(spot) = &item.spot {
        parts.push(format!("Where: {spot}"));
    }
    let time = first_said(list, &item.said);
    if !time.is_empty() {
        parts.push(format!("Time: {time}"));
    }
    parts.extend(item.closed.map(|how| format!("Closed: {how}")));
    parts.extend(besides(list, item));
    if let Some(hazard) = item.hazard {
        let caution = item.caution.as_deref();
        let caution = caution.unwrap_or_else(|| super::caution(hazard));
        parts.push(format!("Caution: {caution}"));
    }
    for said in item.said.iter().filter(|s| !s.private) {
        parts.push(format!("As said: “{}”", said.text));
    }
    parts.join("\n")
}

/// How a topic stands: as its item, or closed.
fn status(item: &Item) -> &'static str {
    match item.closed {
        Some(_) => "closed",
        None => item.standing.word(),
    }
}

fn priority(item: &Item) -> Option<&'static str> {
    if !open(item) {
        None
    } else if item.hazard.is_some() {
        Some("hazard")
    } else if item.urgent {
        Some("urgent")
    } else {
        None
    }
}

fn labels(item: &Item) -> Vec<String> {
    let mut all = vec![item.trade.to_string(), heading(&item.area)];
    all.extend(item.hazard.map(|h| h.to_string()));
    all
}

fn extensions(list: &List) -> String {
    let mut out = format!("{HEAD}<Extensions>\n");
    let mut part = |outer: &str, inner: &str, values: BTreeSet<String>| {
        let values: String = values
            .iter()
            .map(|v| format!("<{inner}>{}</{inner}>", xml(v)))
            .collect();
        out.push_str(&format!("  <{outer}>{values}</{outer}>\n"));
    };
    let all = |f: fn(&Item) -> String| list.items.iter().map(f).collect::<BTreeSet<_>>();
    part("TopicTypes", "TopicType", all(|i| i.work.to_string()));
    part(
        "TopicStatuses",
        "TopicStatus",
        all(|i| status(i).to_string()),
    );
    part(
        "Priorities",
        "Priority",
        list.items
            .iter()
            .filter_map(priority)
            .map(String::from)
            .collect(),
    );
    part(
        "TopicLabels",
        "TopicLabel",
        list.items.iter().flat_map(labels).collect(),
    );
    let mut users = all(|i| i.trade.to_string());
    users.insert(AUTHOR.to_string());
    part("Users", "User", users);
    out.push_str("</Extensions>\n");
    out
}

/// Text made safe for XML 1.0; what it cannot hold becomes a blank, and nothing at all a dash.
fn xml(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' => out.push(c),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    if out.trim().is_empty() {
        out = "-".to_string();
    }
    out
}
