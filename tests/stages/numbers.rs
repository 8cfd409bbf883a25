//! Numbers in words against the crate text2num, conversions against the crate uom, fractions by a table worked by hand.

use storystick::lexicon::words;
use storystick::list::Unit;
use storystick::pipeline::numbers;
use text2num::{Language, text2digits};

const SMALL: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// How a number is put into words.
#[derive(Debug, Clone, Copy)]
struct Wording {
    /// "twenty-one" or "twenty one".
    hyphen: bool,
    /// "a hundred and one" or "a hundred one".
    and: bool,
    /// "a hundred" or "one hundred".
    article: bool,
    /// "twenty-one hundred" or "two thousand one hundred".
    hundreds: bool,
}

impl Wording {
    fn all() -> impl Iterator<Item = Wording> {
        (0..16).map(|bits| Wording {
            hyphen: bits & 1 > 0,
            and: bits & 2 > 0,
            article: bits & 4 > 0,
            hundreds: bits & 8 > 0,
        })
    }

    fn below_hundred(self, n: usize) -> String {
        match (n / 10, n % 10) {
            (0 | 1, _) => SMALL[n].to_string(),
            (tens, 0) => TENS[tens].to_string(),
            (tens, unit) if self.hyphen => format!("{}-{}", TENS[tens], SMALL[unit]),
            (tens, unit) => format!("{} {}", TENS[tens], SMALL[unit]),
        }
    }

    /// "three hundred and five": how many of a size, and what is left over.
    fn of_size(self, n: usize, size: usize, name: &str, opens: bool) -> String {
        let many = match n / size {
            1 if self.article && opens => "a".to_string(),
            many => self.below_hundred(many),
        };
        let rest = match n % size {
            0 => String::new(),
            rest if rest >= 100 => format!(" {}", self.of_size(rest, 100, "hundred", false)),
            rest if self.and => format!(" and {}", self.below_hundred(rest)),
            rest => format!(" {}", self.below_hundred(rest)),
        };
        format!("{many} {name}{rest}")
    }

    fn of(self, n: usize) -> String {
        match n {
            ..100 => self.below_hundred(n),
            100..1000 => self.of_size(n, 100, "hundred", true),
            _ if self.hundreds && !(n / 100).is_multiple_of(10) => {
                self.of_size(n, 100, "hundred", true)
            }
            _ => self.of_size(n, 1000, "thousand", true),
        }
    }
}

/// A text's words as the pipeline compares them.
fn folded(text: &str) -> Vec<String> {
    words::words(text)
        .into_iter()
        .map(|w| w.norm.into_owned())
        .collect()
}

/// Our reading of a text that is one number and no more.
fn ours(text: &str) -> Option<u32> {
    let words = folded(text);
    let word = |k: usize| words.get(k).map_or("", String::as_str);
    let (n, used) = numbers::whole(&word)?;
    let backwards = numbers::whole_ending(words.len() - 1, &word);
    assert_eq!(backwards, Some((n, 0)), "{text}, from its end");
    (used == words.len()).then_some(n)
}

/// text2num knows no article before a hundred or a thousand; else the wording is the same.
fn theirs(text: &str, language: &Language) -> Option<u32> {
    let text = match text.strip_prefix("a ") {
        Some(rest) => format!("one {rest}"),
        None => text.to_string(),
    };
    text2digits(&text, language).ok()?.parse().ok()
}

#[test]
fn whole_numbers_agree_with_text2num() {
    let english = Language::english();
    let mut asked = 0;
    for wording in Wording::all() {
        for n in 0..10_000 {
            let text = wording.of(n);
            assert_eq!(ours(&text), Some(n as u32), "{text}");
            assert_eq!(
                theirs(&text, &english),
                Some(n as u32),
                "{text}, by text2num"
            );
            asked += 1;
        }
    }
    assert_eq!(asked, 160_000);
}

#[test]
fn decimals_agree_with_text2num() {
    let english = Language::english();
    for text in [
        "two point five",
        "zero point one",
        "twelve point seven five",
        "a hundred and one point zero five",
        "ninety-nine point nine",
    ] {
        let words = folded(text);
        let (value, used) =
            numbers::decimal(&|k| words.get(k).map_or("", String::as_str)).unwrap_or_default();
        assert_eq!(used, words.len(), "{text}");
        let plain = text.strip_prefix("a ").map(|t| format!("one {t}"));
        let other =
            text2num::replace_numbers_in_text(plain.as_deref().unwrap_or(text), &english, 0.0);
        assert_eq!(other.parse(), Ok(value), "{text}");
    }
}

#[test]
fn what_is_no_number_ends_one() {
    for (text, n, used) in [
        ("twenty twelve", 20, 1),
        ("two two", 2, 1),
        ("hundred hundred", 100, 1),
        ("two hundred and tiles", 200, 2),
        ("zero hundred", 0, 1),
        ("1,200 tiles", 1200, 1),
        ("3 hundred", 300, 2),
        ("20 5", 20, 1),
    ] {
        let words = folded(text);
        let got = numbers::whole(&|k| words.get(k).map_or("", String::as_str));
        assert_eq!(got, Some((n, used)), "{text}");
    }
    for text in ["tile", "1,20", "and five", ""] {
        let words = folded(text);
        let got = numbers::whole(&|k| words.get(k).map_or("", String::as_str));
        assert_eq!(got, None, "{text}");
    }
}

/// Worked by hand: part and whole as a rule shows them.
#[test]
fn fractions() {
    for (text, value) in [
        ("half", 0.5),
        ("a half", 0.5),
        ("one half", 0.5),
        ("a third", 1.0 / 3.0),
        ("two thirds", 2.0 / 3.0),
        ("quarter", 0.25),
        ("a quarter", 0.25),
        ("three quarters", 0.75),
        ("three quarter", 0.75),
        ("an eighth", 0.125),
        ("three eighths", 0.375),
        ("five eighths", 0.625),
        ("seven-eighths", 0.875),
        ("a sixteenth", 0.0625),
        ("three sixteenths", 0.1875),
        ("thirteen sixteenths", 0.8125),
        ("fifteen sixteenths", 0.9375),
        ("a thirty-second", 0.03125),
        ("five thirty-seconds", 0.15625),
        ("twenty-one thirty seconds", 0.65625),
        ("one sixty-fourth", 0.015625),
        ("seven tenths", 0.7),
        ("3/8", 0.375),
        ("1/2", 0.5),
        ("½", 0.5),
        ("¾", 0.75),
    ] {
        let words = folded(text);
        let got = numbers::fraction(&|k| words.get(k).map_or("", String::as_str));
        let (v, _, used) = got.unwrap_or_else(|| panic!("no fraction: {text}"));
        assert!((v - value).abs() < 1e-12, "{text}: {v}");
        assert_eq!(used, words.len(), "{text}");
    }
    for text in ["three", "second", "thirty tiles", "3/0", "half-way"] {
        let words = folded(text);
        let got = numbers::fraction(&|k| words.get(k).map_or("", String::as_str));
        assert!(got.is_none_or(|(_, _, used)| used < words.len()), "{text}");
    }
}

#[test]
fn conversions_agree_with_uom() {
    use uom::si::f64::{Length, ThermodynamicTemperature};
    use uom::si::length::{centimeter, foot, inch, meter, millimeter};
    use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit};

    let length = |value: f64, unit: Unit| match unit {
        Unit::In => Length::new::<inch>(value),
        Unit::Ft => Length::new::<foot>(value),
        Unit::Mm => Length::new::<millimeter>(value),
        Unit::Cm => Length::new::<centimeter>(value),
        Unit::M => Length::new::<meter>(value),
        other => panic!("{other} is no length"),
    };
    let in_unit = |length: Length, unit: Unit| match unit {
        Unit::In => length.get::<inch>(),
        Unit::Ft => length.get::<foot>(),
        Unit::Mm => length.get::<millimeter>(),
        Unit::Cm => length.get::<centimeter>(),
        Unit::M => length.get::<meter>(),
        other => panic!("{other} is no length"),
    };
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(1.0);
    let lengths = [Unit::In, Unit::Ft, Unit::Mm, Unit::Cm, Unit::M];
    for value in [0.0, 0.0625, 0.25, 1.0, 2.5, 19.0, 34.0, 110.0, 2400.0] {
        for from in lengths {
            for to in lengths {
                let ours = from.convert(value, to).expect("both are lengths");
                let theirs = in_unit(length(value, from), to);
                assert!(
                    close(ours, theirs),
                    "{value} {from} in {to}: {ours}, {theirs}"
                );
            }
        }
    }
    for value in [-40.0, 0.0, 20.5, 37.0, 49.0, 100.0, 212.0] {
        let warm = ThermodynamicTemperature::new::<degree_celsius>(value);
        let ours = Unit::C
            .convert(value, Unit::F)
            .expect("both are temperatures");
        assert!(
            close(ours, warm.get::<degree_fahrenheit>()),
            "{value} C: {ours}"
        );
        let warm = ThermodynamicTemperature::new::<degree_fahrenheit>(value);
        let ours = Unit::F
            .convert(value, Unit::C)
            .expect("both are temperatures");
        assert!(
            close(ours, warm.get::<degree_celsius>()),
            "{value} F: {ours}"
        );
    }
    for (from, to) in [
        (Unit::In, Unit::C),
        (Unit::Psi, Unit::Mm),
        (Unit::Deg, Unit::F),
        (Unit::Pct, Unit::In),
    ] {
        assert_eq!(from.convert(1.0, to), None, "{from} in {to}");
    }
}
