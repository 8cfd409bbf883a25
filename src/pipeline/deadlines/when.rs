//! Times as spoken: days, weekdays, days of a month, weeks, months, spans.

use jiff::civil::Weekday;

use super::super::grammar;
use super::super::numbers::{self, Words};

/// Which of several: this one, the next, the one after it.
pub(super) type Ahead = i64;

/// What part of a week, a month or a year is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// All of it.
    Whole,
    /// Its first day.
    Start,
    /// Its middle.
    Middle,
    /// Its last day.
    End,
}

/// Which weekday.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    /// "Friday": the next one after the day.
    Coming,
    /// "This Friday": may be the day itself.
    This,
    /// "Next Friday": of the next week.
    Next,
}

/// The unit of a span.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    /// Days.
    Day,
    /// Monday to Friday.
    WorkingDay,
    /// Weeks.
    Week,
    /// Months.
    Month,
    /// Years.
    Year,
}

/// The month of a day or of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Month {
    /// By its name, from 1.
    Named(i8),
    /// Of a day that comes every year, by its number.
    Yearly(i8),
    /// Counted from the running one.
    Ahead(Ahead),
}

/// A time as spoken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum When {
    /// So many days on; `late` where the day has begun by then ("tonight", "noon").
    Day { ahead: Ahead, late: bool },
    /// A weekday, and so many weeks later; `late` as for a day.
    Weekday {
        day: Weekday,
        which: Which,
        weeks: i64,
        late: bool,
    },
    /// A day of a month; none: of whichever month comes first. A weekday said with it must agree.
    Date {
        day: i8,
        month: Option<Month>,
        weekday: Option<Weekday>,
    },
    /// A week, counted from the running one.
    Week(Ahead, Part),
    /// Saturday and Sunday, counted from the coming ones.
    Weekend(Ahead),
    /// A month.
    Month(Month, Part),
    /// A year, counted from the running one.
    Year(Ahead, Part),
    /// So much time on.
    Span(i64, Unit),
}

impl When {
    /// The day itself.
    pub(super) const TODAY: When = When::Day {
        ahead: 0,
        late: false,
    };

    /// Whether its words mean other things as often, where nothing leads in a time: "the second", "may", "march".
    pub(super) fn is_vague(self) -> bool {
        matches!(
            self,
            When::Date {
                month: None,
                weekday: None,
                ..
            } | When::Month(Month::Named(_), Part::Whole)
        )
    }

    /// Whether it is so much time on.
    pub(super) fn is_span(self) -> bool {
        matches!(self, When::Span(..))
    }

    /// Whether it lasts longer than a day.
    pub(super) fn is_period(self) -> bool {
        matches!(
            self,
            When::Week(..) | When::Weekend(_) | When::Month(..) | When::Year(..)
        )
    }
}

/// Whether a word is one of those of which every time has one.
pub(super) fn tells_time(word: &str) -> bool {
    grammar::is_of_time(word)
        || matches!(
            word.as_bytes(),
            [.., b's', b't'] | [.., b'n' | b'r', b'd'] | [.., b't', b'h']
        ) && ordinal(&|k| if k == 0 { word } else { "" }).is_some()
}

/// Reads a time; how many words it takes.
pub(super) fn read(word: Words<'_, '_>) -> Option<(When, usize)> {
    hour(word)
        .or_else(|| end_of_day(word))
        .or_else(|| day(word))
        .or_else(|| counted_on(word))
        .or_else(|| weekday(word))
        .or_else(|| date(word))
        .or_else(|| span(word))
        .or_else(|| period(word))
}

/// "Three o'clock on Friday", "noon tomorrow", "5 pm": the day is what counts.
fn hour(word: Words<'_, '_>) -> Option<(When, usize)> {
    let clock = match word(0) {
        "noon" | "midday" | "lunch" | "lunchtime" => 1,
        w if grammar::number(w).is_some_and(|n| (1..=12).contains(&n)) => match word(1) {
            "o'clock" | "am" | "pm" => 2,
            "thirty" | "fifteen" if matches!(word(2), "am" | "pm") => 3,
            _ => return None,
        },
        _ => return None,
    };
    let on = usize::from(matches!(word(clock), "on" | "of"));
    let from = clock + on;
    let day = day(&|k| word(from + k)).or_else(|| weekday(&|k| word(from + k)));
    Some(match day {
        Some((when, used)) => (late(when), from + used),
        None => (
            When::Day {
                ahead: 0,
                late: true,
            },
            clock,
        ),
    })
}

/// "The end of Friday", "close of business tomorrow", "the end of the day".
fn end_of_day(word: Words<'_, '_>) -> Option<(When, usize)> {
    let the = usize::from(word(0) == "the");
    let led = match (word(the), word(the + 1), word(the + 2)) {
        ("end", "of", _) => the + 2,
        ("close", "of", "business" | "play") => the + 3,
        _ => return None,
    };
    let today = When::Day {
        ahead: 0,
        late: true,
    };
    if word(the) == "end" {
        let article = usize::from(word(led) == "the");
        if matches!(word(led + article), "day" | "play" | "business" | "shift") {
            let used = led + article + 1;
            return Some(match on_a_day(word, used) {
                Some((when, taken)) => (when, used + taken),
                None => (today, used),
            });
        }
    }
    match on_a_day(word, led) {
        Some((when, taken)) => Some((when, led + taken)),
        None => (word(the) == "close").then_some((today, led)),
    }
}

/// A day behind an end: "… on Friday", "… tomorrow".
fn on_a_day(word: Words<'_, '_>, at: usize) -> Option<(When, usize)> {
    let on = usize::from(word(at) == "on");
    let rest = |k: usize| word(at + on + k);
    let (when, used) = day(&rest).or_else(|| weekday(&rest))?;
    Some((late(when), on + used))
}

fn late(when: When) -> When {
    match when {
        When::Day { ahead, .. } => When::Day { ahead, late: true },
        When::Weekday {
            day, which, weeks, ..
        } => When::Weekday {
            day,
            which,
            weeks,
            late: true,
        },
        other => other,
    }
}

/// Words for a part of a day, and whether the day has begun by then.
fn part_of_day(word: &str) -> Option<bool> {
    Some(match word {
        "morning" => false,
        "noon" | "midday" | "lunch" | "lunchtime" | "afternoon" | "evening" | "night" => true,
        _ => return None,
    })
}

/// "Today", "tonight", "this afternoon", "tomorrow morning", "the day after tomorrow".
fn day(word: Words<'_, '_>) -> Option<(When, usize)> {
    let the = usize::from(word(0) == "the");
    if (word(the), word(the + 1), word(the + 2)) == ("day", "after", "tomorrow") {
        let late = false;
        return Some((When::Day { ahead: 2, late }, the + 3));
    }
    let (ahead, late, used) = match (word(0), word(1)) {
        ("today", _) => (0, false, 1),
        ("tonight", _) => (0, true, 1),
        ("this", part) => (0, part_of_day(part).map(|_| true)?, 2),
        ("tomorrow", part) => match part_of_day(part) {
            Some(late) => (1, late, 2),
            None => (1, false, 1),
        },
        _ => return None,
    };
    Some((When::Day { ahead, late }, used))
}

/// "A week from Friday", "two weeks on Monday", "a week tomorrow", "ten days from now".
fn counted_on(word: Words<'_, '_>) -> Option<(When, usize)> {
    let (When::Span(n, unit), used) = span(word)? else {
        return None;
    };
    let from = used + usize::from(matches!(word(used), "from" | "on" | "after"));
    if matches!(word(from), "now" | "today") {
        let when = match unit {
            Unit::Day => whole_days(n),
            Unit::Week => whole_days(7 * n),
            _ => When::Span(n, unit),
        };
        return Some((when, from + 1));
    }
    if unit != Unit::Week {
        return None;
    }
    let rest = |k: usize| word(from + k);
    if let Some((When::Day { ahead, late }, taken)) = day(&rest) {
        let ahead = ahead + 7 * n;
        return Some((When::Day { ahead, late }, from + taken));
    }
    let (
        When::Weekday {
            day, which, late, ..
        },
        taken,
    ) = weekday(&rest)?
    else {
        return None;
    };
    let when = When::Weekday {
        day,
        which,
        weeks: n,
        late,
    };
    Some((when, from + taken))
}

fn whole_days(ahead: Ahead) -> When {
    When::Day { ahead, late: false }
}

/// The day of a weekday's name.
fn named(word: &str) -> Option<Weekday> {
    Some(match word {
        "monday" => Weekday::Monday,
        "tuesday" => Weekday::Tuesday,
        "wednesday" => Weekday::Wednesday,
        "thursday" => Weekday::Thursday,
        "friday" => Weekday::Friday,
        "saturday" => Weekday::Saturday,
        "sunday" => Weekday::Sunday,
        _ => return None,
    })
}

/// "Friday", "this coming Friday", "next Friday", "Friday week", "the Friday after next", "Friday morning", "Friday the tenth".
fn weekday(word: Words<'_, '_>) -> Option<(When, usize)> {
    let (which, led) = match (word(0), word(1)) {
        ("this" | "the", "coming") => (Which::Coming, 2),
        ("the" | "coming", _) => (Which::Coming, 1),
        ("this", _) => (Which::This, 1),
        ("next", _) => (Which::Next, 1),
        _ => (Which::Coming, 0),
    };
    let day = named(word(led))?;
    let mut used = led + 1;
    if let Some((
        When::Date {
            day: of_month,
            month,
            ..
        },
        taken,
    )) = date(&|k| word(used + k))
    {
        let when = When::Date {
            day: of_month,
            month,
            weekday: Some(day),
        };
        return Some((when, used + taken));
    }
    let mut late = false;
    if let Some(begun) = part_of_day(word(used)) {
        late = begun;
        used += 1;
    }
    let (which, weeks, more) = match (word(used), word(used + 1)) {
        ("after", "next") => (Which::Next, 1, 2),
        ("week", _) => (which, 1, 1),
        ("fortnight", _) => (which, 2, 1),
        _ => (which, 0, 0),
    };
    let when = When::Weekday {
        day,
        which,
        weeks,
        late,
    };
    Some((when, used + more))
}

/// A month's name, from 1.
fn month(word: &str) -> Option<i8> {
    Some(match word {
        "january" => 1,
        "february" => 2,
        "march" => 3,
        "april" => 4,
        "may" => 5,
        "june" => 6,
        "july" => 7,
        "august" => 8,
        "september" => 9,
        "october" => 10,
        "november" => 11,
        "december" => 12,
        _ => return None,
    })
}

/// "First", "twenty-second", "31st".
fn ordinal(word: Words<'_, '_>) -> Option<(i8, usize)> {
    let small = |w: &str| {
        Some(match w {
            "eleventh" => 11,
            "twelfth" => 12,
            "thirteenth" => 13,
            "fourteenth" => 14,
            "fifteenth" => 15,
            "sixteenth" => 16,
            "seventeenth" => 17,
            "eighteenth" => 18,
            "nineteenth" => 19,
            "twentieth" => 20,
            "thirtieth" => 30,
            w => match grammar::ordinal(w) {
                Some(n) => i8::try_from(n).ok()?,
                None => {
                    let edge = w.find(|c: char| !c.is_ascii_digit())?;
                    matches!(&w[edge..], "st" | "nd" | "rd" | "th")
                        .then(|| w[..edge].parse().ok())??
                }
            },
        })
    };
    let tens = match word(0) {
        "twenty" => 20,
        "thirty" => 30,
        w => return small(w).filter(|n| (1..=31).contains(n)).map(|n| (n, 1)),
    };
    small(word(1))
        .filter(|n| *n < 10 && tens + n <= 31)
        .map(|n| (tens + n, 2))
}

/// A day as a number: "10", "ten", "thirty one".
fn plain_day(word: Words<'_, '_>) -> Option<(i8, usize)> {
    let (n, used) = numbers::whole(word)?;
    let n = i8::try_from(n).ok()?;
    (1..=31).contains(&n).then_some((n, used))
}

/// "The tenth", "the tenth of April", "April the tenth", "April 10", "10 April", "the tenth of next month".
fn date(word: Words<'_, '_>) -> Option<(When, usize)> {
    let dated = |day, month, used| {
        let weekday = None;
        Some((
            When::Date {
                day,
                month,
                weekday,
            },
            used,
        ))
    };
    if let Some(m) = month(word(0)) {
        let the = 1 + usize::from(word(1) == "the");
        let rest = |k: usize| word(the + k);
        let (day, used) = ordinal(&rest).or_else(|| plain_day(&rest))?;
        return dated(day, Some(Month::Named(m)), the + used);
    }
    let the = usize::from(word(0) == "the");
    let rest = |k: usize| word(the + k);
    let Some((day, used)) = ordinal(&rest) else {
        let (day, used) = plain_day(word)?;
        let of = used + usize::from(word(used) == "of");
        return dated(day, Some(Month::Named(month(word(of))?)), of + 1);
    };
    let end = the + used;
    let of = end + usize::from(word(end) == "of");
    if let Some(m) = month(word(of)) {
        return dated(day, Some(Month::Named(m)), of + 1);
    }
    if of > end {
        let (ahead, taken) = match (word(of), word(of + 1)) {
            ("this" | "the", "month") => (0, 2),
            ("next", "month") => (1, 2),
            _ => return None,
        };
        return dated(day, Some(Month::Ahead(ahead)), of + taken);
    }
    // "By the second coat", "the first door": what goes on is no date.
    let closes = matches!(
        word(end),
        "" | "or" | "but" | "so" | "please" | "because" | "at" | "latest" | "if" | "then"
    );
    (the == 1 && closes)
        .then(|| dated(day, None, end))
        .flatten()
}

/// "Two weeks", "a fortnight", "ten working days", "a couple of weeks", "forty-eight hours", "a week's time".
fn span(word: Words<'_, '_>) -> Option<(When, usize)> {
    let next = usize::from(matches!(word(0), "the"))
        + usize::from(matches!((word(0), word(1)), ("the", "next")));
    // "Within the week" is this week, no span.
    if next == 1 {
        return None;
    }
    let (n, used) = match (word(next), word(next + 1)) {
        ("a" | "an", "couple") => (2, 2 + usize::from(word(next + 2) == "of")),
        ("couple", _) => (2, 1 + usize::from(word(next + 1) == "of")),
        ("a" | "an", "hundred" | "thousand") => return None,
        ("a" | "an", _) => (1, 1),
        ("fortnight", _) => (1, 0),
        _ => numbers::whole(&|k| word(next + k))?,
    };
    let mut at = next + used;
    let working = matches!(word(at), "working" | "business");
    at += usize::from(working);
    let n = i64::from(n);
    let (n, unit) = match word(at) {
        "day" | "days" if working => (n, Unit::WorkingDay),
        "hour" | "hours" => ((n + 23) / 24 * i64::from(n >= 24), Unit::Day),
        "day" | "days" => (n, Unit::Day),
        "week" | "weeks" => (n, Unit::Week),
        "fortnight" | "fortnights" => (2 * n, Unit::Week),
        "month" | "months" => (n, Unit::Month),
        "year" | "years" => (n, Unit::Year),
        _ => return None,
    };
    at += 1;
    if word(at) == "'s" && word(at + 1) == "time" {
        at += 2;
    } else if word(at) == "time" {
        at += 1;
    }
    Some((When::Span(n, unit), at))
}

/// "This week", "the end of next month", "the week after next", "the weekend", "the new year", "March".
fn period(word: Words<'_, '_>) -> Option<(When, usize)> {
    let the = usize::from(word(0) == "the");
    let (part, led) = match (word(the), word(the + 1)) {
        ("end", "of") => (Part::End, the + 2),
        ("start" | "beginning", "of") => (Part::Start, the + 2),
        ("middle", "of") => (Part::Middle, the + 2),
        ("mid", _) => (Part::Middle, the + 1),
        ("month" | "year" | "week", "end" | "'s") => return named_end(word, the),
        _ => (Part::Whole, 0),
    };
    if let Some(m) = month(word(led)) {
        return Some((When::Month(Month::Named(m), part), led + 1));
    }
    match (word(led), word(led + 1), word(led + 2)) {
        ("christmas", ..) => return Some((fixed(25, 12), led + 1)),
        ("the", "new", "year") => return Some((fixed(1, 1), led + 3)),
        ("new", "year", _) => return Some((fixed(1, 1), led + 2)),
        _ => (),
    }
    let article = usize::from(word(led) == "the");
    let at = led + article;
    let (ahead, unit, used) = match (word(at), word(at + 1), word(at + 2)) {
        (unit, "after", "next") => (2, unit, 3),
        ("this", unit, _) => (0, unit, 2),
        ("next", unit, _) => (1, unit, 2),
        // "End of week", "the end of the month", "the week".
        (unit, ..) if part != Part::Whole || article > 0 => (0, unit, 1),
        _ => return None,
    };
    let when = match unit {
        "week" => When::Week(ahead, part),
        "weekend" => When::Weekend(ahead),
        "month" => When::Month(Month::Ahead(ahead), part),
        "year" => When::Year(ahead, part),
        _ => return None,
    };
    Some((when, at + used))
}

/// "Month end", "the week's end".
fn named_end(word: Words<'_, '_>, at: usize) -> Option<(When, usize)> {
    let end = at + 1 + usize::from(word(at + 1) == "'s");
    if word(end) != "end" {
        return None;
    }
    let when = match word(at) {
        "week" => When::Week(0, Part::End),
        "month" => When::Month(Month::Ahead(0), Part::End),
        _ => When::Year(0, Part::End),
    };
    Some((when, end + 1))
}

/// A day that comes every year.
fn fixed(day: i8, month: i8) -> When {
    When::Date {
        day,
        month: Some(Month::Yearly(month)),
        weekday: None,
    }
}
