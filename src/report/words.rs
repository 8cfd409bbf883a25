//! The wording that several reports share.

use unicode_width::UnicodeWidthStr;

use super::groups::open;
use crate::list::{ClearedKind, FollowUp, Item, List, Measure, Said, Standing, Trade, Unit, Work};

/// A second of the recording as a player shows it: `m:ss`, from one hour on `h:mm:ss`; parts of a second are cut off.
///
/// ```
/// use storystick::report::clock;
///
/// assert_eq!(clock(61.9), "1:01");
/// assert_eq!(clock(3725.0), "1:02:05");
/// ```
pub fn clock(seconds: f64) -> String {
    let s = seconds.max(0.0) as u64;
    match s / 3600 {
        0 => format!("{}:{:02}", s / 60, s % 60),
        h => format!("{h}:{:02}:{:02}", s % 3600 / 60, s % 60),
    }
}

/// The width of what is written for people, in columns.
const WIDTH: usize = 80;

/// Writes a text behind its head, broken at blanks where it is too wide; what follows hangs under its beginning. What would steer a
/// terminal becomes a blank.
pub(crate) fn hang(out: &mut String, head: &str, text: &str) {
    let indent = head.width();
    out.push_str(head);
    let mut at = indent;
    let plain: String = text
        .chars()
        .map(|c| if steers(c) { ' ' } else { c })
        .collect();
    for (i, word) in plain.split_whitespace().enumerate() {
        if i > 0 && at + 1 + word.width() > WIDTH {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            at = indent;
        } else if i > 0 {
            out.push(' ');
            at += 1;
        }
        out.push_str(word);
        at += word.width();
    }
    out.push('\n');
}

/// When it was said: `1:01`, or `w2 1:01` where the list is made of several walks.
pub(crate) fn when(list: &List, walk: &str, start: f64) -> String {
    if list.walks.len() > 1 {
        format!("{walk} {}", clock(start))
    } else {
        clock(start)
    }
}

/// When it was said first.
pub(crate) fn first_said(list: &List, said: &[Said]) -> String {
    said.first()
        .map(|s| when(list, &s.walk, s.start))
        .unwrap_or_default()
}

/// The file in which it was said first.
pub(crate) fn file_of<'a>(list: &'a List, said: &[Said]) -> Option<&'a str> {
    let walk = &said.first()?.walk;
    list.walks
        .iter()
        .find(|w| w.id == *walk)
        .map(|w| w.file.as_str())
}

/// The name of a walk's file for people.
pub(crate) fn file_name(file: &str) -> &str {
    if file == "-" { "standard input" } else { file }
}

/// The path of an area in one line.
pub(crate) fn path(area: &[String]) -> String {
    area.join(" › ")
}

/// The path of an area as a heading.
pub(crate) fn heading(area: &[String]) -> String {
    if area.is_empty() {
        "Place not told".to_string()
    } else {
        path(area)
    }
}

/// The element, or what stands for it where the whole area is meant.
pub(crate) fn element(element: Option<&str>) -> &str {
    element.unwrap_or("whole area")
}

/// The number by which people call an item.
pub(crate) fn number(item: &Item) -> String {
    if item.number == 0 {
        "-".to_string()
    } else {
        item.number.to_string()
    }
}

/// The numbers of several items.
pub(crate) fn numbers(items: &[&Item]) -> String {
    items
        .iter()
        .map(|i| number(i))
        .collect::<Vec<_>>()
        .join(", ")
}

/// What must be done, as a sentence that names the element.
pub(crate) fn todo(item: &Item) -> String {
    if !item.text.trim().is_empty() {
        return item.text.trim().to_string();
    }
    match &item.element {
        Some(element) => format!("{} {element}{}", verb(item.work), rest(item)),
        None => format!("{}{}", verb(item.work), rest(item)),
    }
}

/// What must be done, where the element already stands beside it: "Touch up baseboard: two dings" is "Touch up: two dings".
pub(crate) fn todo_beside(item: &Item) -> String {
    let text = item.text.trim();
    if text.is_empty() {
        return format!("{}{}", verb(item.work), rest(item));
    }
    let Some(element) = &item.element else {
        return text.to_string();
    };
    let head_end = text.find([':', ',', ';', '.', '(']).unwrap_or(text.len());
    let (head, tail) = text.split_at(head_end);
    let singular = head.trim_end();
    for plural in ["", "s", "es"] {
        let named = format!(" {element}{plural}");
        if let Some(verb) = singular.strip_suffix(named.as_str()) {
            let verb = verb.strip_suffix(" the").unwrap_or(verb);
            return format!("{verb}{tail}");
        }
    }
    text.to_string()
}

/// Fault and spot after the verb, for an item without its own sentence.
fn rest(item: &Item) -> String {
    let fault = item.fault.as_ref().map(|fault| match item.count {
        Some(n) => format!("{fault} ({n})"),
        None => fault.clone(),
    });
    let parts: Vec<String> = fault.into_iter().chain(item.spot.clone()).collect();
    if parts.is_empty() {
        String::new()
    } else {
        format!(": {}", parts.join(", "))
    }
}

fn verb(work: Work) -> &'static str {
    match work {
        Work::TouchUp => "Touch up",
        Work::Seal => "Seal",
        Work::Replace => "Replace",
        Work::Clean => "Clean",
        Work::Install => "Install",
        Work::Repair => "Repair",
        Work::Adjust => "Adjust",
        Work::Check => "Check",
    }
}

/// What else was said of the item that its sentence does not hold: size, deadline, promise, other places in the recording.
pub(crate) fn besides(list: &List, item: &Item) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(m) = &item.measure {
        let size = size(m);
        if !item.text.contains(&size) {
            // The number and its unit are not to be parted at a line's end.
            let size = size.replace(' ', "\u{a0}");
            all.push(match &m.of {
                Some(of) => format!("{of} {size}"),
                None => size,
            });
        }
    }
    if let Some(by) = deadline(item) {
        all.push(format!("when: {by}"));
    }
    if let Some(promise) = item.follow_up {
        let who = item.promised_by.as_deref().unwrap_or("speaker");
        all.push(format!("{who} {}", promised(promise)));
    }
    if item.said.len() > 1 {
        let again: Vec<String> = item.said[1..]
            .iter()
            .map(|s| when(list, &s.walk, s.start))
            .collect();
        all.push(format!("again {}", again.join(", ")));
    }
    all.extend(item.notes.iter().map(|n| format!("note: {}", n.text)));
    all
}

/// A spoken deadline with its date where it has one: "by Friday (2026-03-06)".
pub(crate) fn deadline(item: &Item) -> Option<String> {
    let Some(by) = item.by.as_deref() else {
        return item.by_date.as_ref().map(|date| format!("by {date}"));
    };
    match &item.by_date {
        Some(date) => Some(format!("{by} ({date})")),
        None => (!item.text.contains(by)).then(|| by.to_string()),
    }
}

/// How a trade is written: by the firm's own name for it, where its lexicon gives one.
pub(super) fn trade_name(list: &List, trade: Trade) -> &str {
    let card = list.trades.iter().find(|c| c.trade == trade);
    card.map_or(trade.word(), |c| c.name.as_str())
}

/// What a firm's lexicon says besides of the trade: "contact: the paint foreman. Two coats, always."
pub(crate) fn trade_card(list: &List, trade: Trade) -> Option<String> {
    let card = list.trades.iter().find(|c| c.trade == trade)?;
    let contact = card.contact.as_ref().map(|c| format!("contact: {c}"));
    let parts: Vec<String> = contact.into_iter().chain(card.sheet.clone()).collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

/// What of a known building was not looked at, one line each under its heading.
pub(super) fn not_looked_at(list: &List) -> Vec<(&'static str, Vec<String>)> {
    let Some(house) = &list.house else {
        return Vec::new();
    };
    let areas: Vec<String> = house.not_visited.iter().map(|p| path(p)).collect();
    let parts = house.not_spoken.iter();
    let parts: Vec<String> = parts
        .map(|n| format!("{}: {}", heading(&n.area), n.elements.join(", ")))
        .collect();
    [("Not visited", areas), ("Not spoken of", parts)]
        .into_iter()
        .filter(|(_, lines)| !lines.is_empty())
        .collect()
}

/// What somebody promised, after who it was: "speaker will ask".
pub(crate) fn promised(what: FollowUp) -> &'static str {
    match what {
        FollowUp::Ask => "will ask",
        FollowUp::Tell => "will pass it on",
        FollowUp::Photo => "will send a picture",
        FollowUp::Return => "will come back to it",
        FollowUp::Do => "will do it",
    }
}

pub(crate) fn size(m: &Measure) -> String {
    match m.unit {
        Unit::In => format!("{} in", inches(m.value)),
        Unit::Deg => format!("{}°", m.value),
        Unit::F => format!("{} °F", m.value),
        Unit::C => format!("{} °C", m.value),
        Unit::Pct => format!("{} %", m.value),
        unit => format!("{} {unit}", m.value),
    }
}

/// Inches as a rule shows them, in whole ones and parts down to a sixteenth: "1 1/2"; else as the number they are.
fn inches(value: f64) -> String {
    let sixteenths = value * 16.0;
    if sixteenths.fract() != 0.0 || !(0.0..16.0e6).contains(&sixteenths) {
        return value.to_string();
    }
    let (whole, mut part, mut of) = (sixteenths as u64 / 16, sixteenths as u64 % 16, 16);
    while part > 0 && part % 2 == 0 {
        (part, of) = (part / 2, of / 2);
    }
    match (whole, part) {
        (whole, 0) => whole.to_string(),
        (0, part) => format!("{part}/{of}"),
        (whole, part) => format!("{whole} {part}/{of}"),
    }
}

/// Whether a character would steer a terminal or turn the direction of writing, where a report for people puts a blank.
pub(crate) fn steers(c: char) -> bool {
    c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// What was found fine, in a few words: "range hood (made good)", "all of it".
pub(crate) fn fine(element: Option<&str>, kind: ClearedKind) -> String {
    let what = element.unwrap_or("all of it");
    match kind {
        ClearedKind::MadeGood => format!("{what} (made good)"),
        ClearedKind::Sound => what.to_string(),
    }
}

/// "1 walk", "2 walks".
pub(crate) fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// How many remarks were passed over, as the beginning of a sentence.
pub(crate) fn passed_over(list: &List) -> String {
    let what = counted(list.passed_over.len(), "remark names", "remarks name");
    format!("{what} a fault or a work but no item;")
}

/// How much there is, in one sentence: "12 to do and 3 to ask, in 5 areas; 7 found fine."
pub(crate) fn totals(list: &List) -> String {
    let closed = list.items.iter().filter(|i| i.closed.is_some()).count();
    let standing = |s| {
        let all = list.items.iter().filter(|i| i.closed.is_none());
        all.filter(|i| i.standing == s).count()
    };
    let (todo, ask, good) = (
        standing(Standing::Outstanding),
        standing(Standing::Query),
        standing(Standing::MadeGood),
    );
    let mut places: Vec<&[String]> = list
        .items
        .iter()
        .filter(|i| open(i))
        .map(|i| i.area.as_slice())
        .collect();
    places.sort();
    places.dedup();
    let places = counted(places.len(), "area", "areas");
    let mut parts = vec![match (todo, ask) {
        (0, 0) => "Nothing found to do".to_string(),
        (_, 0) => format!("{todo} to do, in {places}"),
        (0, _) => format!("{ask} to ask, in {places}"),
        (_, _) => format!("{todo} to do and {ask} to ask, in {places}"),
    }];
    if good > 0 {
        parts.push(format!("{good} made good"));
    }
    if closed > 0 {
        parts.push(format!("{closed} closed"));
    }
    if !list.cleared.is_empty() {
        parts.push(format!("{} found fine", list.cleared.len()));
    }
    format!("{}.", parts.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item(element: Option<&str>, text: &str) -> Item {
        Item {
            id: String::new(),
            number: 1,
            area: Vec::new(),
            spot: Some("by the stove".to_string()),
            element: element.map(String::from),
            fault: Some("chip".to_string()),
            work: Work::TouchUp,
            trade: Trade::Painter,
            section: None,
            standing: Standing::Outstanding,
            text: text.to_string(),
            count: Some(2),
            measure: None,
            urgent: false,
            by: None,
            closed: None,
            by_date: None,
            hazard: None,
            caution: None,
            caution_source: None,
            notes: Vec::new(),
            follow_up: None,
            promised_by: None,
            confidence: 0.0,
            said: Vec::new(),
            why: Vec::new(),
            features: Vec::new(),
            words: String::new(),
        }
    }

    #[test]
    fn times_as_a_player_shows_them() {
        for (seconds, shown) in [
            (0.0, "0:00"),
            (59.99, "0:59"),
            (3599.0, "59:59"),
            (3600.0, "1:00:00"),
            (-1.0, "0:00"),
        ] {
            assert_eq!(clock(seconds), shown);
        }
    }

    #[test]
    fn the_element_is_not_said_twice() {
        for (text, beside) in [
            ("Touch up sill: chip", "Touch up: chip"),
            ("Touch up the sills, both", "Touch up, both"),
            ("Touch up sill", "Touch up"),
            (
                "Plane the edge of the sill so it clears",
                "Plane the edge of the sill so it clears",
            ),
            ("Sill: chip", "Sill: chip"),
            ("", "Touch up: chip (2), by the stove"),
        ] {
            assert_eq!(todo_beside(&item(Some("sill"), text)), beside);
        }
        assert_eq!(
            todo(&item(Some("sill"), "")),
            "Touch up sill: chip (2), by the stove"
        );
        assert_eq!(todo(&item(None, "")), "Touch up: chip (2), by the stove");
        assert_eq!(todo_beside(&item(None, "Clean the room")), "Clean the room");
    }

    #[test]
    fn inches_as_a_rule_shows_them() {
        for (value, shown) in [
            (0.125, "1/8"),
            (0.25, "1/4"),
            (1.5, "1 1/2"),
            (3.0, "3"),
            (0.3, "0.3"),
            (0.0625, "1/16"),
        ] {
            assert_eq!(inches(value), shown);
        }
    }
}
