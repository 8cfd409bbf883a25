//! The main job on short spoken phrases, and what must hold of any list.

use proptest::prelude::*;
use storystick::lexicon::{Lexicon, check::spoken};
use storystick::list::{List, Standing, Trade, Work};
use storystick::pipeline::{self, merge};
use storystick::transcript::{Cue, Format, Transcript};

fn read(text: &str) -> List {
    pipeline::list(&[spoken(text)], &Lexicon::builtin())
}

/// Common practice on site: what a careful person writes down.
#[test]
fn items() {
    for (text, element, work, trade) in [
        (
            "Kitchen. There's a chip in the sill.",
            "sill",
            Work::TouchUp,
            Trade::Painter,
        ),
        (
            "Kitchen. The faucet is loose.",
            "faucet",
            Work::Repair,
            Trade::Plumber,
        ),
        (
            "Hall. The door doesn't latch.",
            "door",
            Work::Adjust,
            Trade::FinishCarpenter,
        ),
        (
            "Bathroom. There's no towel bar.",
            "towel bar",
            Work::Install,
            Trade::FinishCarpenter,
        ),
        (
            "Office. The outlet cover is cracked.",
            "outlet cover",
            Work::Replace,
            Trade::Electrician,
        ),
        (
            "Bathroom. The caulk around the tub is cracked.",
            "tub caulk",
            Work::Seal,
            Trade::Tile,
        ),
        (
            "Hall. There's mud on the carpet.",
            "carpet",
            Work::Clean,
            Trade::Cleaner,
        ),
    ] {
        let list = read(text);
        assert_eq!(list.items.len(), 1, "{text}: {:?}", list.items);
        let item = &list.items[0];
        assert_eq!(
            (item.element.as_deref(), item.work, item.trade),
            (Some(element), work, trade),
            "{text}"
        );
        assert_eq!(item.standing, Standing::Outstanding, "{text}");
    }
}

#[test]
fn no_items() {
    for text in [
        "Kitchen. No cracks in the ceiling.",
        "Kitchen. The faucet was loose last time and it's been fixed.",
        "Kitchen. The drawer works fine.",
        "Hang on. Good morning everybody.",
    ] {
        let list = read(text);
        assert!(list.items.is_empty(), "{text}: {:?}", list.items);
    }
}

#[test]
fn cleared() {
    for (text, element) in [
        ("Kitchen. The countertop is perfect.", "countertop"),
        ("Bathroom. The mirror's up now.", "mirror"),
    ] {
        let list = read(text);
        assert!(
            list.cleared
                .iter()
                .any(|c| c.element.as_deref() == Some(element)),
            "{text}: {:?}",
            list.cleared
        );
    }
}

#[test]
fn arrivals() {
    for (text, path) in [
        ("Okay, kitchen.", vec!["Kitchen"]),
        ("So this is the pantry.", vec!["Pantry"]),
        ("Out to the back patio.", vec!["Exterior", "Back patio"]),
        ("Bedroom two. Walls are good.", vec!["Bedroom 2"]),
    ] {
        let list = read(text);
        assert_eq!(list.areas.len(), 1, "{text}");
        assert_eq!(list.areas[0].path, path, "{text}");
    }
    for text in [
        "The wall behind the garage is cracked.",
        "Same stain as in the office.",
    ] {
        assert!(read(text).areas.is_empty(), "{text}");
    }
}

#[test]
fn counts_and_measures() {
    let list = read("Hall. There are three nail pops in the wall.");
    assert_eq!(list.items[0].count, Some(3));
    let list = read("Hall. The shelf is loose, it moves half an inch.");
    let measure = list.items[0].measure.clone().expect("a measure was spoken");
    assert!((measure.value - 0.5).abs() < 1e-9);
}

fn walk(texts: &[String]) -> Transcript {
    let cues = texts
        .iter()
        .enumerate()
        .map(|(i, t)| Cue {
            start: i as f64 * 3.0,
            end: i as f64 * 3.0 + 2.5,
            text: t.clone(),
            speaker: None,
            words: Vec::new(),
        })
        .collect();
    Transcript {
        file: "walk".into(),
        format: Format::Stamped,
        sha256: String::new(),
        cues,
        warnings: Vec::new(),
    }
}

fn phrases() -> impl Strategy<Value = Vec<String>> {
    let words = prop::sample::select(vec![
        "kitchen", "the", "door", "sticks", "no", "is", "loose", ".", ",", "and", "but", "paint",
        "needs", "good", "it", "one", "of", "them", "two", "inch", "not", "chip", "in", "tile",
        "okay", "upstairs", "bedroom", "caulk", "missing", "?", "fine", "plumber",
    ]);
    prop::collection::vec(
        prop::collection::vec(words, 1..12).prop_map(|w| w.join(" ")),
        0..12,
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_gives_an_ordered_list(texts in prop::collection::vec(".{0,60}", 0..6)) {
        holds(&texts)?;
    }

    #[test]
    fn any_speech_gives_an_ordered_list(texts in phrases()) {
        holds(&texts)?;
    }
}

fn holds(texts: &[String]) -> Result<(), TestCaseError> {
    let lexicon = Lexicon::builtin();
    let t = walk(texts);
    let list = pipeline::list(std::slice::from_ref(&t), &lexicon);
    let again = pipeline::list(std::slice::from_ref(&t), &lexicon);
    prop_assert_eq!(
        serde_json::to_string(&list).unwrap(),
        serde_json::to_string(&again).unwrap()
    );
    for (i, item) in list.items.iter().enumerate() {
        prop_assert_eq!(item.number as usize, i + 1);
        for s in &item.said {
            prop_assert!(s.start <= s.end && s.start >= 0.0);
        }
    }
    for v in list.areas.iter().flat_map(|a| &a.visits) {
        prop_assert!(v.start <= v.end);
    }
    let once = merge::merge_items(list.items.clone());
    prop_assert_eq!(merge::merge_items(once.clone()), once);
    let once = merge::merge_cleared(list.cleared.clone());
    prop_assert_eq!(merge::merge_cleared(once.clone()), once);
    Ok(())
}
