//! Spoken deadlines: "by Friday", "before the end of the month", "needs doing the week after next".
//!
//! `spoken` finds one in the words of an item; [`date_of`] turns its words into a date, where the day on which they were said is
//! known. How each is read:
//!
//! - `by` a day is that day; `before` a day is the day before it. `by` a week, a month or a weekend is its first day, the reading
//!   that is never too late; where it runs already, its last. `before` one is the day before it begins. `before the end of` a time is
//!   within it.
//! - A week runs from Monday and ends with Friday, the last working day. On Saturday and Sunday "this week" and "the end of the week"
//!   mean the coming Friday. A week named without `by` ("next week") is done by its Friday.
//! - A weekday alone is the next one after the day of the walk: "by Friday" said on a Friday is a week on. "This Friday" may be the day
//!   itself. "Next Friday" is the one of the week that begins next Monday. "Friday week" and "a week on Friday" are seven days
//!   later than "Friday".
//! - "The tenth" is the first one from the day itself on; a month without such a day is passed over. With a month's name it is the next
//!   one from the day on, unless it went by less than three months ago; a day that the month does not have gives none.
//! - A number of months ends on the same day of the month, or on its last where it has no such day.
//! - What is over, and what names no day ("before closing"), has no date.

mod days;
mod when;

use std::ops::Range;

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};

use super::normalize::{Speech, Stop};
use super::numbers::Words;
use super::scan::Scan;
use crate::lexicon::{Kind, words};
use crate::list::List;
use when::When;

/// How a deadline is led in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lead {
    /// "By Friday", "no later than Friday", "Friday at the latest".
    By,
    /// "Before Friday".
    Before,
    /// "In two weeks", "within ten days".
    Within,
    /// "Needs doing Friday", "done on Friday", "I want it for Friday".
    Bare,
}

/// A deadline as spoken.
#[derive(Debug, Clone, PartialEq)]
struct Deadline {
    lead: Lead,
    when: When,
}

/// Reads a deadline that begins with these words; how many words it takes.
fn read(word: Words<'_, '_>) -> Option<(Deadline, usize)> {
    let (lead, used) = lead(word);
    let (when, taken) = when::read(&|k| word(used + k))?;
    let end = used + taken;
    let latest = match (word(end), word(end + 1), word(end + 2)) {
        ("at", "the", "latest") => 3,
        ("at", "latest", _) => 2,
        ("latest" | "sharp", ..) => 1,
        _ => 0,
    };
    let lead = if lead == Lead::Bare && latest > 0 {
        Lead::By
    } else {
        lead
    };
    debug_assert!((0..end).any(|k| when::tells_time(word(k))));
    fits(lead, when).then_some((Deadline { lead, when }, end + latest))
}

/// Whether a time is led in so: "late by two weeks", "needs a week to dry", "on the second" and "may" set none.
fn fits(lead: Lead, when: When) -> bool {
    match lead {
        Lead::Within => when.is_span() || when.is_period(),
        Lead::By => !when.is_span(),
        Lead::Before => !when.is_span() && when != When::TODAY,
        Lead::Bare => !when.is_span() && !when.is_vague(),
    }
}

fn lead(word: Words<'_, '_>) -> (Lead, usize) {
    match (word(0), word(1), word(2)) {
        ("no" | "not", "later", "than") => (Lead::By, 3),
        ("first", "thing", "on") => (Lead::Bare, 3),
        ("first", "thing", _) => (Lead::Bare, 2),
        ("by" | "until" | "due", "on", _) => (Lead::By, 2),
        ("by" | "until" | "due", ..) => (Lead::By, 1),
        ("before", ..) => (Lead::Before, 1),
        ("in" | "within" | "inside", ..) => (Lead::Within, 1),
        ("on" | "for" | "at", ..) => (Lead::Bare, 1),
        _ => (Lead::Bare, 0),
    }
}

/// The date of a deadline said on a day; none where the words name no day, or one that is over.
///
/// ```
/// use jiff::civil::date;
/// use storystick::pipeline::deadlines::date_of;
///
/// // A Wednesday.
/// let said = date(2026, 3, 4);
/// assert_eq!(date_of("by Friday", said), Some(date(2026, 3, 6)));
/// assert_eq!(date_of("before the end of the month", said), Some(date(2026, 3, 31)));
/// assert_eq!(date_of("before they move in", said), None);
/// ```
pub fn date_of(text: &str, said: Date) -> Option<Date> {
    let words: Vec<String> = words::words(text)
        .into_iter()
        .map(|w| w.norm.into_owned())
        .collect();
    let (deadline, _) = read(&|k| words.get(k).map_or("", String::as_str))?;
    deadline.date(said)
}

/// The date of a deadline that is written with its year ("2026-03-10", "by 2026-03-10", "before 2026-03-10"), which needs no
/// other day to be read.
///
/// ```
/// use jiff::civil::date;
/// use storystick::pipeline::deadlines::written;
///
/// assert_eq!(written("by 2026-03-10"), Some(date(2026, 3, 10)));
/// assert_eq!(written("before 2026-03-10"), Some(date(2026, 3, 9)));
/// assert_eq!(written("2026-02-30"), None);
/// ```
pub fn written(text: &str) -> Option<Date> {
    let text = text.to_lowercase();
    let words: Vec<&str> = text.split_whitespace().collect();
    let (lead, used) = lead(&|k| words.get(k).copied().unwrap_or_default());
    let [day] = words.get(used..)? else {
        return None;
    };
    // A shorter or longer form of ISO 8601 is not taken for a plain day.
    let day: Date = day.parse().ok().filter(|_| day.len() == 10)?;
    match lead {
        Lead::By | Lead::Bare => Some(day),
        Lead::Before => day.yesterday().ok(),
        Lead::Within => None,
    }
}

/// The day of a time as the list has it (ISO 8601): a date, or a time with or without its offset, by the clock of the place.
pub fn day_of(recorded: &str) -> Option<Date> {
    if let Ok(time) = recorded.parse::<DateTime>() {
        return Some(time.date());
    }
    recorded.parse::<Timestamp>().ok()?;
    recorded.get(..10)?.parse().ok()
}

/// Puts the dates of their deadlines to the items whose walk's date is known.
pub fn date(list: &mut List) {
    for item in &mut list.items {
        let walk = item.said.first().map(|s| s.walk.as_str());
        let recorded = list
            .walks
            .iter()
            .find(|w| Some(w.id.as_str()) == walk)
            .and_then(|w| w.recorded.as_deref());
        item.by_date = recorded
            .and_then(day_of)
            .zip(item.by.as_deref())
            .and_then(|(said, by)| date_of(by, said))
            .map(|d| d.to_string());
    }
}

/// Whether a time is told here ("by Friday", "next week", "within two days"), which tells no place.
pub(super) fn tells_time(at: usize, end: usize, speech: &Speech<'_>) -> bool {
    begins(at, end.min(speech.tokens.len()), speech)
        .is_some_and(|(d, _)| d.lead != Lead::Bare || !d.when.is_vague())
}

/// Whether so much time is told here: "five working days", "two weeks".
pub(super) fn is_span(at: usize, speech: &Speech<'_>) -> bool {
    let read = when::read(&|k| {
        speech
            .tokens
            .get(at + k)
            .map_or("", |_| speech.word(at + k))
    });
    read.is_some_and(|(when, _)| when.is_span())
}

/// No deadline has more words.
const LONGEST: usize = 20;

/// The deadline that begins at a word and ends before the next stop; how many words it takes.
fn begins(at: usize, end: usize, speech: &Speech<'_>) -> Option<(Deadline, usize)> {
    let end = end.min(at + LONGEST);
    let stop = (at..end)
        .find(|i| speech.tokens[*i].stop > Stop::None)
        .map_or(end, |i| i + 1);
    read(&|k| {
        if at + k < stop {
            speech.word(at + k)
        } else {
            ""
        }
    })
}

/// The words of a deadline in a stretch of the speech.
pub(super) fn spoken(
    scope: &Range<usize>,
    speech: &Speech<'_>,
    scan: &Scan,
) -> Option<Range<usize>> {
    let end = scope.end.min(speech.tokens.len());
    // Past the last word of time none begins.
    let last = (scope.start..end).rfind(|i| when::tells_time(speech.word(*i)))?;
    (scope.start..=last).find_map(|at| {
        let (deadline, used) = begins(at, end, speech)?;
        let before = sentence_before(at, speech);
        let said = |words: &[&str]| before.clone().any(|i| words.contains(&speech.word(i)));
        let told = match deadline.lead {
            // "You have until Friday" gives a time to do it; "away until Friday" does not.
            _ if speech.word(at) == "until" => said(&["have", "has", "got"]),
            _ if said(PAST) => false,
            Lead::By | Lead::Before => true,
            Lead::Within if speech.word(at) != "in" => true,
            // "Needs doing tomorrow" is a deadline; "the painter comes tomorrow" tells what will be.
            Lead::Within | Lead::Bare => {
                (said(WANTED) || asked(&before, speech, scan)) && !said(ARRANGED)
            }
        };
        told.then_some(at..at + used)
    })
}

/// "Touch it up next week": a work asked for; "he is touching it up next week" tells what will be.
fn asked(before: &Range<usize>, speech: &Speech<'_>, scan: &Scan) -> bool {
    let mut works = scan.within(before).filter(|m| m.kind == Kind::Work);
    works.any(|m| !speech.word(m.tokens.start).ends_with("ing"))
}

/// How many words back a deadline is led up to.
const LED_UP: usize = 8;

/// Words of the past: "it was fine before Friday".
const PAST: &[&str] = &["was", "were", "had", "did", "since", "already"];
/// Words by which something is wanted.
const WANTED: &[&str] = &[
    "need", "needs", "needed", "want", "wants", "wanted", "must", "should", "ready", "done",
    "doing", "fixed", "sorted", "finished", "fix", "repair", "replace", "complete",
];
/// Words by which something is told that will be without anybody's asking.
const ARRANGED: &[&str] = &[
    "will", "going", "comes", "coming", "back", "arrives", "arriving", "ordered", "said", "says",
];

/// The words of the same sentence before a word.
fn sentence_before(at: usize, speech: &Speech<'_>) -> Range<usize> {
    let far = at.saturating_sub(LED_UP);
    let from = (far..at)
        .rev()
        .find(|i| speech.tokens[*i].stop >= Stop::End)
        .map_or(far, |i| i + 1);
    from..at
}
