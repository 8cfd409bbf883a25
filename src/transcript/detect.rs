//! Tells the format by content, never by the file's ending.

use super::Format;
use super::stamped;
use super::subrip;
use super::table;
use super::text::lines;

/// What `text` is, or `None` where there are no times in it that any reader knows.
pub(crate) fn detect(text: &str) -> Option<Format> {
    let body = text.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{FEFF}');
    if let Some(after) = body.strip_prefix("WEBVTT")
        && after
            .chars()
            .next()
            .is_none_or(|c| matches!(c, ' ' | '\t' | '\n' | '\r'))
    {
        return Some(Format::Webvtt);
    }
    let mut signs = body.chars().filter(|c| !c.is_whitespace());
    match (signs.next(), signs.next()) {
        (Some('{'), Some('"' | '}')) | (Some('['), Some('{' | '[' | ']' | '"')) => {
            return Some(Format::Json);
        }
        (Some('<'), Some('?' | '!')) => return Some(Format::Ttml),
        (Some('<'), Some(c)) if c.is_ascii_alphabetic() && is_element(body) => {
            return Some(Format::Ttml);
        }
        _ => {}
    }
    if table::looks_like(body) {
        return Some(Format::Table);
    }
    let arrow = lines(body).find_map(|line| subrip::timing(line.text));
    if arrow.is_some() {
        return Some(Format::Subrip);
    }
    if stamped::looks_like(body) {
        return Some(Format::Stamped);
    }
    None
}

/// `<tt ...>`, or any other element in a file with closing tags.
fn is_element(body: &str) -> bool {
    let name: &str = body[1..]
        .split(|c: char| c.is_whitespace() || c == '>' || c == '/')
        .next()
        .unwrap_or("");
    name == "tt"
        || name.ends_with(":tt")
        || (name.len() >= 2 && name.len() < 40 && body.contains("</"))
}
