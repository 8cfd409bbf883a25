//! When a recording began, as far as its file tells.
//!
//! By ffprobe, where it is there: the start with its offset that some phones write into the container, else the container's time of
//! creation. Some devices stamp that when they end the file; where the file was last changed at that moment, the recording's length is
//! taken off. Without one: the time at which the file was last changed less the length. A copy may have lost that time, so what was
//! taken is told. Times of the world are turned into this machine's time zone, as a phone's pictures are dated by its own clock.

use std::path::Path;
use std::process::{Command, Stdio};

use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp, Zoned};
use serde::Deserialize;

/// Times before this are clocks that were never set (1970, 1904).
const CLOCK_SET: i16 = 2000;

/// How far the last change of a file may lie from the stamp in it to be the same moment, in seconds.
const SAME: f64 = 10.0;

/// When a recording began, by the clock of the place, and what tells it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Began {
    pub(super) time: DateTime,
    pub(super) told: &'static str,
}

/// What a container tells of itself.
#[derive(Debug, Clone, Default, PartialEq)]
struct Container {
    /// The start by the phone's clock, with its offset.
    start: Option<DateTime>,
    /// The stamp of creation.
    created: Option<Timestamp>,
    /// The length, in seconds.
    length: Option<f64>,
}

/// When the recording in a file began; `spoken` is the second of its last word, for a length that nothing else tells.
pub(super) fn began(file: &Path, spoken: f64) -> Option<Began> {
    let changed = std::fs::metadata(file)
        .and_then(|m| m.modified())
        .ok()
        .and_then(|t| Timestamp::try_from(t).ok());
    start(
        &container(file).unwrap_or_default(),
        changed,
        spoken,
        &TimeZone::system(),
    )
}

fn start(
    container: &Container,
    changed: Option<Timestamp>,
    spoken: f64,
    zone: &TimeZone,
) -> Option<Began> {
    if let Some(time) = container.start {
        let told = "the start that its container holds";
        return Some(Began { time, told });
    }
    let here = |t: Timestamp| zone.to_datetime(t);
    let length = container.length.unwrap_or(spoken);
    if let Some(created) = container.created {
        let ended = changed.is_some_and(|c| {
            (c.duration_since(created).as_secs_f64()).abs() <= SAME && length > 2.0 * SAME
        });
        return Some(if ended {
            Began {
                time: here(before(created, length)?),
                told: "the time at which its container was closed, less its length",
            }
        } else {
            Began {
                time: here(created),
                told: "its container's time of creation",
            }
        });
    }
    let told = match container.length {
        Some(_) => "the time at which the file was last changed, less its length",
        None => "the time at which the file was last changed, less the time of the last word",
    };
    Some(Began {
        time: here(before(changed?, length)?),
        told,
    })
}

fn before(time: Timestamp, seconds: f64) -> Option<Timestamp> {
    let span = Span::new()
        .try_milliseconds((seconds * 1000.0) as i64)
        .ok()?;
    time.checked_sub(span).ok()
}

fn container(file: &Path) -> Option<Container> {
    let out = Command::new("ffprobe")
        .args([
            "-v",
            "error",
            "-show_entries",
            "format=duration:format_tags",
            "-of",
            "json",
        ])
        .arg(file)
        .stdin(Stdio::null())
        .stderr(Stdio::null())
        .output()
        .ok()?;
    out.status.success().then(|| told(&out.stdout)).flatten()
}

/// Reads what ffprobe tells.
fn told(json: &[u8]) -> Option<Container> {
    #[derive(Deserialize)]
    struct Answer {
        format: Format,
    }
    #[derive(Deserialize)]
    struct Format {
        duration: Option<String>,
        #[serde(default)]
        tags: std::collections::BTreeMap<String, String>,
    }
    let Answer { format } = serde_json::from_slice(json).ok()?;
    let tag = |name: &str| format.tags.get(name).map(|t| t.trim());
    let length = format.duration.and_then(|d| d.parse().ok());
    Some(Container {
        start: tag("com.apple.quicktime.creationdate").and_then(local),
        created: tag("creation_time")
            .and_then(|t| t.parse::<Timestamp>().ok())
            .filter(|t| t.to_zoned(TimeZone::UTC).year() >= CLOCK_SET),
        length: length.filter(|l: &f64| l.is_finite() && *l > 0.0),
    })
}

/// A time with its offset, "2026-03-02T09:15:00-0500", as the clock of the place showed it.
fn local(text: &str) -> Option<DateTime> {
    let zoned = Zoned::strptime("%Y-%m-%dT%H:%M:%S%z", text).ok()?;
    (zoned.year() >= CLOCK_SET).then(|| zoned.datetime())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn at(text: &str) -> Option<Timestamp> {
        text.parse().ok()
    }

    fn begins(container: &Container, changed: Option<Timestamp>) -> Option<Began> {
        start(
            container,
            changed,
            120.0,
            &TimeZone::fixed(jiff::tz::offset(-5)),
        )
    }

    #[test]
    fn the_phones_own_start_comes_first() {
        let json = br#"{"format": {"duration": "61.5", "tags": {"creation_time": "2026-03-02T14:15:00.000000Z",
            "com.apple.quicktime.creationdate": "2026-03-02T09:14:58-0500"}}}"#;
        let read = told(json).unwrap();
        assert_eq!(read.length, Some(61.5));
        let began = begins(&read, None).unwrap();
        assert_eq!(began.time, date(2026, 3, 2).at(9, 14, 58, 0));
    }

    #[test]
    fn the_containers_stamp_is_the_start_or_the_end() {
        let json =
            br#"{"format": {"duration": "60", "tags": {"creation_time": "2026-03-02T14:15:00Z"}}}"#;
        let read = told(json).unwrap();
        // Closed a minute after its stamp, or copied since: the stamp is the start.
        for changed in [at("2026-03-02T14:16:01Z"), at("2026-04-01T00:00:00Z"), None] {
            let began = begins(&read, changed).unwrap();
            assert_eq!(began.time, date(2026, 3, 2).at(9, 15, 0, 0), "{changed:?}");
        }
        // Last changed when it was stamped: the stamp is the end.
        let began = begins(&read, at("2026-03-02T14:15:02Z")).unwrap();
        assert_eq!(began.time, date(2026, 3, 2).at(9, 14, 0, 0));
    }

    #[test]
    fn else_the_files_last_change_less_the_length() {
        let length = Some(60.0);
        let read = Container {
            length,
            ..Container::default()
        };
        let changed = at("2026-03-02T14:16:00Z");
        assert_eq!(
            begins(&read, changed).unwrap().time,
            date(2026, 3, 2).at(9, 15, 0, 0)
        );
        let nothing = Container::default();
        assert_eq!(
            begins(&nothing, changed).unwrap().time,
            date(2026, 3, 2).at(9, 14, 0, 0)
        );
        assert_eq!(begins(&nothing, None), None);
    }

    #[test]
    fn a_clock_that_was_never_set_tells_nothing() {
        for time in ["1904-01-01T00:00:00Z", "1970-01-01T00:00:00Z", "yesterday"] {
            let json = format!(r#"{{"format": {{"tags": {{"creation_time": "{time}"}}}}}}"#);
            assert_eq!(told(json.as_bytes()), Some(Container::default()), "{time}");
        }
        assert_eq!(told(b"not json"), None);
    }
}
