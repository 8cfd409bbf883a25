//! Working days: Monday to Friday without holidays.

use std::collections::BTreeSet;

use jiff::civil::{Date, Weekday};

/// Which days are worked.
#[derive(Debug, Clone, Default)]
pub struct Calendar {
    holidays: BTreeSet<Date>,
}

/// A line of a list of holidays that is no date.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {text:?} is no date; write one date a line, as 2026-12-25")]
pub struct HolidayError {
    /// The line, from 1.
    pub line: usize,
    /// What stands there.
    pub text: String,
}

impl Calendar {
    /// Without these days.
    pub fn without(holidays: impl IntoIterator<Item = Date>) -> Calendar {
        Calendar {
            holidays: holidays.into_iter().collect(),
        }
    }

    /// Reads a list of holidays: one date a line (`2026-12-25`), what follows it and what follows `#` is a remark.
    ///
    /// # Errors
    ///
    /// The first line that does not begin with a date.
    pub fn read(text: &str) -> Result<Calendar, HolidayError> {
        let mut holidays = BTreeSet::new();
        for (i, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
            let bare = line.split('#').next().unwrap_or_default();
            let Some(word) = bare.split([' ', '\t', ',', ';']).find(|w| !w.is_empty()) else {
                continue;
            };
            let date = word.parse().map_err(|_| HolidayError {
                line: i + 1,
                text: line.trim().to_string(),
            })?;
            holidays.insert(date);
        }
        Ok(Calendar { holidays })
    }

    /// Whether people work on that day.
    pub fn works(&self, day: Date) -> bool {
        !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday)
            && !self.holidays.contains(&day)
    }

    /// The working day `n` working days on from `day` (back where `n` is negative). A day that is not worked counts as the
    /// next one that is. None past the calendar's end (year 9999).
    ///
    /// ```
    /// use jiff::civil::date;
    /// use storystick::plan::Calendar;
    ///
    /// let saturday = date(2026, 3, 7);
    /// assert_eq!(Calendar::default().offset(saturday, 0), Some(date(2026, 3, 9)));
    /// assert_eq!(Calendar::default().offset(saturday, -1), Some(date(2026, 3, 6)));
    /// ```
    pub fn offset(&self, day: Date, n: i64) -> Option<Date> {
        let mut day = day;
        while !self.works(day) {
            day = day.tomorrow().ok()?;
        }
        for _ in 0..n.unsigned_abs() {
            loop {
                day = if n > 0 {
                    day.tomorrow()
                } else {
                    day.yesterday()
                }
                .ok()?;
                if self.works(day) {
                    break;
                }
            }
        }
        Some(day)
    }

    /// How many working days there are from `from` to `to`, both counted; 0 where `to` is before `from`.
    pub fn between(&self, from: Date, to: Date) -> i64 {
        let (mut day, mut n) = (from, 0);
        while day <= to {
            n += i64::from(self.works(day));
            match day.tomorrow() {
                Ok(next) => day = next,
                Err(_) => break,
            }
        }
        n
    }
}
