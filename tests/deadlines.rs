//! Spoken deadlines: which words are one, and which date they come to. Every date was worked by hand on a calendar.

use jiff::civil::{Date, date};
use storystick::lexicon::Lexicon;
use storystick::lexicon::check::spoken;
use storystick::list::List;
use storystick::pipeline::deadlines::{date_of, day_of};
use storystick::pipeline::{self, Job};

fn day(text: &str) -> Date {
    text.parse().unwrap()
}

/// Checks rows of words and dates, all said on one day; an empty date is none.
fn said_on(said: Date, rows: &[(&str, &str)]) {
    for (words, expected) in rows {
        let expected = (!expected.is_empty()).then(|| day(expected));
        assert_eq!(date_of(words, said), expected, "{words:?} said on {said}");
    }
}

#[test]
fn on_a_wednesday() {
    said_on(
        date(2026, 3, 4),
        &[
            ("today", "2026-03-04"),
            ("by tonight", "2026-03-04"),
            ("before lunch", "2026-03-04"),
            ("by the end of the day", "2026-03-04"),
            ("by close of business", "2026-03-04"),
            ("tomorrow", "2026-03-05"),
            ("by tomorrow morning", "2026-03-05"),
            ("before tomorrow", "2026-03-04"),
            ("before tomorrow night", "2026-03-05"),
            ("by noon tomorrow", "2026-03-05"),
            ("by three o'clock on Friday", "2026-03-06"),
            ("the day after tomorrow", "2026-03-06"),
            ("by Friday", "2026-03-06"),
            ("before Friday", "2026-03-05"),
            ("before Friday night", "2026-03-06"),
            ("no later than Friday", "2026-03-06"),
            ("Friday at the latest", "2026-03-06"),
            ("by the end of Friday", "2026-03-06"),
            ("by this Friday", "2026-03-06"),
            ("by next Friday", "2026-03-13"),
            ("by next Monday", "2026-03-09"),
            ("by Monday", "2026-03-09"),
            ("by Tuesday", "2026-03-10"),
            // The day of the walk's own name is a week on.
            ("by Wednesday", "2026-03-11"),
            ("by this Wednesday", "2026-03-04"),
            ("by Friday week", "2026-03-13"),
            ("a week on Friday", "2026-03-13"),
            ("two weeks from Monday", "2026-03-23"),
            ("by the Friday after next", "2026-03-20"),
            ("this week", "2026-03-06"),
            ("by the end of the week", "2026-03-06"),
            ("before the weekend", "2026-03-06"),
            ("by the weekend", "2026-03-07"),
            ("before next week", "2026-03-08"),
            ("by next week", "2026-03-09"),
            ("next week", "2026-03-13"),
            ("by the middle of next week", "2026-03-11"),
            ("by the end of next week", "2026-03-13"),
            ("the week after next", "2026-03-20"),
            ("before the end of the month", "2026-03-31"),
            ("by month end", "2026-03-31"),
            ("before the month's end", "2026-03-31"),
            ("this month", "2026-03-31"),
            ("by next month", "2026-04-01"),
            ("before next month", "2026-03-31"),
            ("by the end of next month", "2026-04-30"),
            ("the month after next", "2026-05-31"),
            ("by mid April", "2026-04-15"),
            ("by the tenth", "2026-03-10"),
            ("before the tenth", "2026-03-09"),
            ("by the fourth", "2026-03-04"),
            ("by March", "2026-03-31"),
            ("before March", ""),
            // Gone by in March.
            ("by the third", "2026-04-03"),
            ("by the thirty-first", "2026-03-31"),
            ("by the 20th of April", "2026-04-20"),
            ("by April twentieth", "2026-04-20"),
            ("by April the 20th", "2026-04-20"),
            ("by 20 April", "2026-04-20"),
            ("by the tenth of next month", "2026-04-10"),
            ("by Friday the sixth", "2026-03-06"),
            ("by April", "2026-04-01"),
            ("before April", "2026-03-31"),
            ("by the end of April", "2026-04-30"),
            ("before Christmas", "2026-12-24"),
            ("before the new year", "2026-12-31"),
            ("by the end of the year", "2026-12-31"),
            ("in two weeks", "2026-03-18"),
            ("within ten days", "2026-03-14"),
            ("within five working days", "2026-03-11"),
            ("within a fortnight", "2026-03-18"),
            ("in a week's time", "2026-03-11"),
            ("within forty-eight hours", "2026-03-06"),
            ("in three months", "2026-06-04"),
            // No day is named, the day is over, or the words contradict each other.
            ("before closing", ""),
            ("before they move in", ""),
            ("before today", ""),
            ("last Friday", ""),
            ("by Friday the seventh", ""),
            ("by the thirty-first of April", ""),
            ("by February twenty-eighth", ""),
            ("by the second coat", ""),
            ("late by two weeks", ""),
            ("by the door", ""),
        ],
    );
}

#[test]
fn on_the_days_around_a_weekend() {
    // A Friday.
    said_on(
        date(2026, 11, 27),
        &[
            ("by Friday", "2026-12-04"),
            ("this Friday", "2026-11-27"),
            ("next Friday", "2026-12-04"),
            ("by the end of the week", "2026-11-27"),
            ("before the weekend", "2026-11-27"),
            ("by Monday", "2026-11-30"),
            ("within one working day", "2026-11-30"),
            ("by the thirty-first", "2026-12-31"),
            ("before Christmas", "2026-12-24"),
        ],
    );
    // A Saturday: the week that counts is the coming one.
    said_on(
        date(2026, 11, 28),
        &[
            ("this week", "2026-12-04"),
            ("by the end of the week", "2026-12-04"),
            ("next week", "2026-12-04"),
            ("before next week", "2026-11-29"),
            ("next Sunday", "2026-12-06"),
            ("by Sunday", "2026-11-29"),
            ("the week after next", "2026-12-11"),
        ],
    );
    // A Sunday.
    said_on(
        date(2026, 11, 29),
        &[
            ("next Friday", "2026-12-04"),
            ("by Monday", "2026-11-30"),
            ("before the end of the month", "2026-11-30"),
        ],
    );
}

#[test]
fn at_the_ends_of_months_and_years() {
    said_on(
        date(2026, 1, 31),
        &[
            ("by the end of the month", "2026-01-31"),
            ("in a month", "2026-02-28"),
            // February has no thirtieth.
            ("by the thirtieth", "2026-03-30"),
            ("by the end of February", "2026-02-28"),
            ("before March", "2026-02-28"),
            ("by February twenty-ninth", ""),
        ],
    );
    said_on(
        date(2028, 1, 31),
        &[
            ("in a month", "2028-02-29"),
            ("by the end of next month", "2028-02-29"),
            ("before March", "2028-02-29"),
            ("by February twenty-ninth", "2028-02-29"),
            ("by the twenty-ninth", "2028-02-29"),
        ],
    );
    // A leap day is a day like others.
    said_on(
        date(2028, 2, 29),
        &[
            ("tomorrow", "2028-03-01"),
            ("in a year", "2029-02-28"),
            ("by the end of the month", "2028-02-29"),
            ("by the twenty-ninth", "2028-02-29"),
        ],
    );
    said_on(
        date(2026, 12, 30),
        &[
            ("the day after tomorrow", "2027-01-01"),
            ("by Friday", "2027-01-01"),
            ("by the fifth", "2027-01-05"),
            ("by January fifth", "2027-01-05"),
            ("by the end of January", "2027-01-31"),
            ("by the end of the year", "2026-12-31"),
            ("next month", "2027-01-31"),
            // Over for less than three months.
            ("by November", ""),
            ("by October tenth", ""),
        ],
    );
    // The last day that the calendar has.
    said_on(
        date(9999, 12, 31),
        &[("tomorrow", ""), ("today", "9999-12-31")],
    );
}

#[test]
fn the_day_of_a_recording() {
    for (text, expected) in [
        ("2026-03-04", "2026-03-04"),
        ("2026-03-04T09:15:00", "2026-03-04"),
        ("2026-03-04T23:15:00-05:00", "2026-03-04"),
        ("2026-03-04T01:15:00Z", "2026-03-04"),
    ] {
        assert_eq!(day_of(text), Some(day(expected)), "{text}");
    }
    for text in [
        "",
        "yesterday",
        "2026-02-30",
        "04/03/2026",
        "2026-13-01T00:00:00",
    ] {
        assert_eq!(day_of(text), None, "{text}");
    }
}

fn read(text: &str, recorded: &[String]) -> List {
    let job = Job {
        recorded,
        ..Job::default()
    };
    pipeline::list_of(&[spoken(text)], &Lexicon::builtin(), &job)
}

#[test]
fn which_words_of_a_walk_are_a_deadline() {
    let recorded = ["2026-03-04".to_string()];
    for (text, by, date) in [
        (
            "Kitchen. The tap leaks, that needs fixing by Friday.",
            Some("by Friday"),
            Some("2026-03-06"),
        ),
        (
            "Kitchen. The wall needs to be painted before the end of the month.",
            Some("before the end of the month"),
            Some("2026-03-31"),
        ),
        (
            "Hall. The door sticks, it needs doing tomorrow.",
            Some("tomorrow"),
            Some("2026-03-05"),
        ),
        (
            "Hall. The door sticks and I want it done the week after next.",
            Some("the week after next"),
            Some("2026-03-20"),
        ),
        (
            "Bathroom. The tile is cracked, replace it by the tenth.",
            Some("by the tenth"),
            Some("2026-03-10"),
        ),
        (
            "Kitchen. The wall needs to be painted before closing.",
            Some("before closing"),
            None,
        ),
        // A work asked for is as good as a need.
        (
            "Hall. The baseboard is dinged, touch it up next week.",
            Some("next week"),
            Some("2026-03-13"),
        ),
        (
            "Hall. The door sticks, needs fixing next week.",
            Some("next week"),
            Some("2026-03-13"),
        ),
        (
            "Kitchen. The tap drips, to be fixed within five working days.",
            Some("within five working days"),
            Some("2026-03-11"),
        ),
        (
            "Kitchen. The tile is cracked, replace it by March.",
            Some("by March"),
            Some("2026-03-31"),
        ),
        // A place, a promise, an arrangement, a span.
        (
            "Hall. The wall by the second window is scuffed.",
            None,
            None,
        ),
        (
            "Hall. The wall is scuffed, the painter comes tomorrow.",
            None,
            None,
        ),
        (
            "Hall. The door is off by a week's worth of dust, clean it.",
            None,
            None,
        ),
        ("Hall. The wall is scuffed.", None, None),
    ] {
        let list = read(text, &recorded);
        assert_eq!(list.walks[0].recorded.as_deref(), Some("2026-03-04"));
        assert_eq!(list.items.len(), 1, "{text}: {:#?}", list.items);
        let item = &list.items[0];
        assert_eq!(item.by.as_deref(), by, "{text}");
        assert_eq!(item.by_date.as_deref(), date, "{text}");
        // A time is neither a place nor a number of things.
        assert!(
            by.is_none() || item.spot.is_none(),
            "{text}: {:?}",
            item.spot
        );
        assert_eq!(item.count, None, "{text}");
        // Without the walk's date the words stand alone.
        let undated = read(text, &[]);
        assert_eq!(undated.items[0].by.as_deref(), by, "{text}");
        assert_eq!(undated.items[0].by_date, None, "{text}");
    }
}
