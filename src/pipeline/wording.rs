//! The sentence in which the list words an item.

use crate::lexicon::Lexicon;
use crate::list::Work;

/// An item in the program's own words: "Touch up baseboard: ding, two, behind the door".
pub fn sentence(
    work: Work,
    deed: Option<u16>,
    element: Option<&str>,
    fault: Option<&str>,
    count: Option<u32>,
    spot: Option<&str>,
    lexicon: &Lexicon,
) -> String {
    let verb = deed
        .map(|d| lexicon.work(d).name.clone())
        .filter(|n| !n.is_empty())
        .unwrap_or_else(|| self::verb(work).to_string());
    worded(&capital(&verb), element, fault, count, spot)
}

/// The verb of a class of work.
pub fn verb(work: Work) -> &'static str {
    match work {
        Work::TouchUp => "touch up",
        Work::Seal => "seal",
        Work::Replace => "replace",
        Work::Clean => "clean",
        Work::Install => "install",
        Work::Repair => "repair",
        Work::Adjust => "adjust",
        Work::Check => "check",
    }
}

/// A verb and what it is done to.
pub fn worded(
    verb: &str,
    element: Option<&str>,
    fault: Option<&str>,
    count: Option<u32>,
    spot: Option<&str>,
) -> String {
    let mut text = verb.to_string();
    text.push(' ');
    text.push_str(element.unwrap_or("the whole area"));
    let mut tail: Vec<String> = Vec::new();
    if let Some(f) = fault {
        tail.push(f.to_string());
    }
    if let Some(n) = count.filter(|n| *n > 1) {
        tail.push(format!("{n} of them"));
    }
    if let Some(s) = spot {
        tail.push(s.to_string());
    }
    if !tail.is_empty() {
        text.push_str(": ");
        text.push_str(&tail.join(", "));
    }
    text
}

/// With its first letter upper-case.
pub fn capital(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or(String::new(), |f| {
        f.to_uppercase().collect::<String>() + c.as_str()
    })
}
