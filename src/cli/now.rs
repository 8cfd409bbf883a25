//! The one clock: `--now`, else SOURCE_DATE_EPOCH, else the system's.

use anyhow::{Context, bail};
use jiff::{Timestamp, civil};

use crate::pipeline::deadlines::day_of;

/// Seconds since 1970, UTC. `given` is a date (`2026-03-02`) or a time with its offset (`2026-03-02T08:00:00Z`).
pub(super) fn now(given: Option<&str>) -> anyhow::Result<i64> {
    if let Some(text) = given {
        if let Ok(time) = text.parse::<Timestamp>() {
            return Ok(time.as_second());
        }
        if let Ok(date) = text.parse::<civil::Date>() {
            return Ok(midnight(date));
        }
        bail!("--now {text} is no time; write 2026-03-04 or 2026-03-04T05:06:07Z");
    }
    if let Some(epoch) = std::env::var_os("SOURCE_DATE_EPOCH") {
        return epoch
            .to_str()
            .and_then(|s| s.trim().parse::<i64>().ok())
            .filter(|s| Timestamp::from_second(*s).is_ok())
            .with_context(|| {
                format!("SOURCE_DATE_EPOCH is {epoch:?}; it must be whole seconds since 1970")
            });
    }
    Ok(Timestamp::now().as_second())
}

/// The same as RFC 3339 writes it, in whole seconds: `2026-03-04T05:06:07Z`.
pub(super) fn written(given: Option<&str>) -> anyhow::Result<String> {
    Ok(Timestamp::from_second(now(given)?)?.to_string())
}

/// A time at which a walk was recorded, as it stands in the list.
pub(super) fn recorded(given: &str) -> Result<String, String> {
    let text = given.trim();
    match day_of(text) {
        Some(_) => Ok(text.to_string()),
        None => Err("it is no date; write 2026-03-02, or with its time 2026-03-02T09:15:00".into()),
    }
}

/// The first second of a day, UTC.
fn midnight(date: civil::Date) -> i64 {
    let epoch = civil::date(1970, 1, 1);
    epoch
        .until(date)
        .map_or(0, |span| i64::from(span.get_days()))
        * 86_400
}
