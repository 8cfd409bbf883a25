//! From a time as spoken and the day on which it was said to a date.

use jiff::civil::{Date, Weekday};
use jiff::{Span, ToSpan};

use super::when::{Month, Part, Unit, When, Which};
use super::{Deadline, Lead};

/// For so many months a named month or day that went by is taken for over, not for next year's.
const OVER: i8 = 3;

/// The days that a time covers.
#[derive(Debug, Clone, Copy)]
struct Days {
    first: Date,
    last: Date,
    /// The first day has begun by then: what comes before it may still be on it.
    late: bool,
}

impl Deadline {
    /// The last day on which it is kept, said on this one.
    pub(super) fn date(&self, said: Date) -> Option<Date> {
        let days = self.when.days(said)?;
        let runs = days.first < days.last && days.first <= said;
        let date = match self.lead {
            Lead::Before if days.late => days.last,
            Lead::Before => days.first.yesterday().ok()?,
            Lead::By if !runs => days.first,
            Lead::By | Lead::Within | Lead::Bare => days.last,
        };
        (date >= said).then_some(date)
    }
}

impl When {
    fn days(self, said: Date) -> Option<Days> {
        let one = |date: Date, late: bool| Days {
            first: date,
            last: date,
            late,
        };
        Some(match self {
            When::Day { ahead, late } => one(later(said, ahead.days())?, late),
            When::Weekday {
                day,
                which,
                weeks,
                late,
            } => one(later(weekday(said, day, which)?, (7 * weeks).days())?, late),
            When::Date {
                day,
                month,
                weekday,
            } => {
                let date = date(said, day, month)?;
                if weekday.is_some_and(|w| w != date.weekday()) {
                    return None;
                }
                one(date, false)
            }
            When::Week(ahead, part) => {
                let (first, last) = week(said, ahead)?;
                in_part(first, later(first, 2.days())?, last, part)
            }
            When::Weekend(ahead) => {
                let (monday, _) = calendar_week(said, ahead)?;
                Days {
                    first: later(monday, 5.days())?,
                    last: later(monday, 6.days())?,
                    late: false,
                }
            }
            When::Month(month, part) => {
                let first = first_of(said, month, part)?;
                in_part(first, later(first, 14.days())?, first.last_of_month(), part)
            }
            When::Year(ahead, part) => {
                let year = later(said, ahead.years())?;
                let first = year.first_of_year();
                let middle = Date::new(year.year(), 6, 30).ok()?;
                in_part(first, middle, year.last_of_year(), part)
            }
            When::Span(n, Unit::WorkingDay) => one(working_days(said, n)?, true),
            When::Span(n, unit) => one(
                later(
                    said,
                    match unit {
                        Unit::Day | Unit::WorkingDay => n.days(),
                        Unit::Week => (7 * n).days(),
                        Unit::Month => n.months(),
                        Unit::Year => n.years(),
                    },
                )?,
                true,
            ),
        })
    }
}

fn later(date: Date, span: Span) -> Option<Date> {
    date.checked_add(span).ok()
}

fn in_part(first: Date, middle: Date, last: Date, part: Part) -> Days {
    let (first, last) = match part {
        Part::Whole => (first, last),
        Part::Start => (first, first),
        Part::Middle => (middle, middle),
        Part::End => (last, last),
    };
    Days {
        first,
        last,
        late: part == Part::End,
    }
}

fn weekday(said: Date, day: Weekday, which: Which) -> Option<Date> {
    match which {
        Which::This if said.weekday() == day => Some(said),
        Which::Coming | Which::This => said.nth_weekday(1, day).ok(),
        Which::Next => {
            let (monday, _) = calendar_week(said, 1)?;
            later(monday, i64::from(day.to_monday_zero_offset()).days())
        }
    }
}

/// Monday and Sunday of a week.
fn calendar_week(said: Date, ahead: i64) -> Option<(Date, Date)> {
    let into = i64::from(said.weekday().to_monday_zero_offset());
    let monday = later(said, (7 * ahead - into).days())?;
    Some((monday, later(monday, 6.days())?))
}

/// Monday and Friday of a week; on a weekend the running week is the coming one.
fn week(said: Date, ahead: i64) -> Option<(Date, Date)> {
    let weekend = matches!(said.weekday(), Weekday::Saturday | Weekday::Sunday);
    let ahead = if weekend && ahead == 0 { 1 } else { ahead };
    let (monday, _) = calendar_week(said, ahead)?;
    Some((monday, later(monday, 4.days())?))
}

/// The first day of a month: the running or next one of that name.
fn first_of(said: Date, month: Month, part: Part) -> Option<Date> {
    match month {
        Month::Ahead(0) if part == Part::Middle && said.day() > 15 => {
            first_of(said, Month::Ahead(1), part)
        }
        Month::Ahead(ahead) => later(said.first_of_month(), ahead.months()),
        Month::Named(m) | Month::Yearly(m) => {
            let over = (1..=OVER).contains(&(said.month() - m));
            let year = said.year() + i16::from(m < said.month());
            if over {
                None
            } else {
                Date::new(year, m, 1).ok()
            }
        }
    }
}

/// A day of a month, from the day on which it was said on.
fn date(said: Date, day: i8, month: Option<Month>) -> Option<Date> {
    match month {
        Some(Month::Ahead(ahead)) => {
            let first = later(said.first_of_month(), ahead.months())?;
            Date::new(first.year(), first.month(), day).ok()
        }
        Some(Month::Yearly(m)) => (said.year()..=said.year() + 1)
            .find_map(|year| Date::new(year, m, day).ok().filter(|d| *d >= said)),
        Some(Month::Named(m)) => {
            let over = (0..=OVER).contains(&(said.month() - m));
            match Date::new(said.year(), m, day) {
                Ok(date) if date >= said => Some(date),
                _ if over || m >= said.month() => None,
                _ => Date::new(said.year() + 1, m, day).ok(),
            }
        }
        None => (0..=2).find_map(|ahead: i64| {
            let first = later(said.first_of_month(), ahead.months())?;
            Date::new(first.year(), first.month(), day)
                .ok()
                .filter(|d| *d >= said)
        }),
    }
}

/// So many working days on, Monday to Friday.
fn working_days(said: Date, n: i64) -> Option<Date> {
    let (weeks, odd) = (n / 5, n % 5);
    let mut date = later(said, (7 * weeks).days())?;
    for _ in 0..odd {
        date = date.tomorrow().ok()?;
        while matches!(date.weekday(), Weekday::Saturday | Weekday::Sunday) {
            date = date.tomorrow().ok()?;
        }
    }
    Some(date)
}
