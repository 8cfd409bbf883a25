//! Pictures for items: which moment of the walk a picture belongs to, and links into the recording.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use super::html::escape;
use crate::list::{Item, List, Said};

/// A picture that goes into the pages, whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// `image/jpeg`, `image/png` or `image/webp`.
    pub mime: &'static str,
    /// The file's bytes.
    pub bytes: Vec<u8>,
    /// What stands under it.
    pub caption: String,
}

impl Picture {
    pub(super) fn html(&self) -> String {
        let caption = escape(&self.caption);
        format!(
            "<figure><img src=\"data:{};base64,{}\" alt=\"{caption}\"><figcaption>{caption}</figcaption></figure>\n",
            self.mime,
            STANDARD.encode(&self.bytes)
        )
    }
}

/// A place in a recording by W3C Media Fragments: `walk.mp4#t=131.2,137`. `media` is a path or an address; what may not stand in
/// an address is escaped, in a path also `?` and `#`.
///
/// ```
/// use storystick::handouts::fragment;
///
/// assert_eq!(fragment("site walk.mp4", 131.2, 137.0), "site%20walk.mp4#t=131.2,137");
/// ```
pub fn fragment(media: &str, start: f64, end: f64) -> String {
    let address = media.starts_with("https://") || media.starts_with("http://");
    let mut out = String::new();
    for b in media.bytes() {
        let plain = b.is_ascii_alphanumeric() || b"-._~/!$&'()*+,;=@".contains(&b);
        if plain || (address && b":?%".contains(&b)) {
            out.push(char::from(b));
        } else {
            out.push_str(&format!("%{b:02X}"));
        }
    }
    // An open end is written by leaving it out; a fragment's end must come after its start.
    let start = tidy(start);
    let end = tidy(end);
    if end.parse::<f64>().ok() > start.parse::<f64>().ok() {
        format!("{out}#t={start},{end}")
    } else {
        format!("{out}#t={start}")
    }
}

/// Seconds to the millisecond, without zeros at the end.
fn tidy(seconds: f64) -> String {
    let text = format!("{:.3}", seconds.max(0.0));
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// The link to where an item was said, if its walk's recording is known. `media` names one recording for each walk, in order; a walk's own
/// `media` stands in where none is named.
pub(super) fn link(list: &List, media: &[String], said: &Said) -> Option<String> {
    let at = list.walks.iter().position(|w| w.id == said.walk)?;
    let file = media
        .get(at)
        .map(String::as_str)
        .or(list.walks[at].media.as_deref())?;
    Some(fragment(file, said.start, said.end))
}

/// How far a picture may be from an item's words, in seconds.
pub const NEAR: f64 = 15.0;

/// The item spoken of at a second of a walk, by its place in the list: the one whose words are nearest, if nearer than [`NEAR`];
/// of several as near the one said first.
pub fn spoken_at(list: &List, walk: &str, second: f64) -> Option<usize> {
    let distance = |item: &Item| {
        item.said
            .iter()
            .filter(|s| s.walk == walk)
            .map(|s| (s.start - second).max(second - s.end).max(0.0))
            .min_by(f64::total_cmp)
    };
    list.items
        .iter()
        .enumerate()
        .filter_map(|(i, item)| Some((i, distance(item)?)))
        .filter(|(_, d)| *d <= NEAR)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(i, _)| i)
}
