//! Nothing vanishes: what names a fault or a work is carried by an item or a cleared mark, or is passed over with a reason.

use std::sync::OnceLock;

use proptest::prelude::*;
use storystick::lexicon::Lexicon;
use storystick::list::{List, Said};
use storystick::pipeline::{self, context::Context, passed, trace::Stages};
use storystick::transcript::{Cue, Format, ReadOptions, Reading, Transcript, read};

fn lexicon() -> &'static Lexicon {
    static LEXICON: OnceLock<Lexicon> = OnceLock::new();
    LEXICON.get_or_init(Lexicon::builtin)
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

fn hundredth(s: f64) -> f64 {
    (s * 100.0).round() / 100.0
}

/// What names a fault or a work and is nowhere on the list.
fn vanished(walk: &Transcript, list: &List) -> (usize, Vec<String>) {
    let reading = Reading::new(walk);
    let stages = Stages::new(&reading, lexicon());
    let said: Vec<&Said> = list
        .items
        .iter()
        .flat_map(|i| &i.said)
        .chain(list.cleared.iter().flat_map(|c| &c.said))
        .chain(list.passed_over.iter().map(|p| &p.said))
        .collect();
    let (mut named, mut gone) = (0, Vec::new());
    for clause in &stages.clauses {
        let cx = Context::new(&stages.speech, &stages.scan, clause);
        for m in stages.scan.within(&clause.tokens) {
            if !passed::names_matter(m, &cx) {
                continue;
            }
            named += 1;
            let (start, end) = stages.span(&m.tokens);
            let words = stages.said(&m.tokens);
            let carried = said.iter().any(|s| {
                s.start <= hundredth(start) && hundredth(end) <= s.end && s.text.contains(words)
            });
            if !carried {
                gone.push(format!("{words:?} at {start:.2} to {end:.2}"));
            }
        }
    }
    (named, gone)
}

fn speech() -> impl Strategy<Value = Vec<String>> {
    let words = prop::sample::select(vec![
        "kitchen",
        "bedroom",
        "in",
        "the",
        "to",
        "door",
        "tile",
        "caulk",
        "sink",
        "wall",
        "it",
        "one",
        "that",
        "sticks",
        "loose",
        "chip",
        "missing",
        "leaking",
        "scuffed",
        "needs",
        "paint",
        "replace",
        "fix",
        "no",
        "not",
        "isn't",
        "never",
        "fixed",
        "was",
        "is",
        "good",
        "fine",
        "all",
        "but",
        "except",
        "and",
        "if",
        "painter",
        "i'll",
        "ask",
        "sorry",
        "wait",
        "latch",
        "crack",
        "last time",
        "did they",
        "should",
        "swapped",
        "clean",
        "because",
        ".",
        ",",
        "?",
    ]);
    let phrase = prop::collection::vec(words, 1..16).prop_map(|w| w.join(" "));
    prop::collection::vec(phrase, 1..10)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_said_vanishes(texts in speech()) {
        let walk = walk(&texts);
        let list = pipeline::list(std::slice::from_ref(&walk), lexicon());
        let (_, gone) = vanished(&walk, &list);
        prop_assert!(gone.is_empty(), "{gone:?}");
        for p in &list.passed_over {
            prop_assert!(!p.reason.is_empty() && !p.said.text.is_empty());
        }
    }
}

#[test]
fn nothing_vanishes_from_the_examples() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut named = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            continue;
        }
        let bytes = std::fs::read(&path).unwrap();
        let walk = read(&bytes, "walk", &ReadOptions::default()).unwrap();
        let list = pipeline::list(std::slice::from_ref(&walk), lexicon());
        let (n, gone) = vanished(&walk, &list);
        named += n;
        assert!(gone.is_empty(), "{}: {gone:?}", path.display());
    }
    assert!(named > 40, "only {named} faults and works in the examples");
}

#[test]
fn reasons_are_told_in_words() {
    for (text, reason) in [
        (
            "Kitchen. There's a chip by the cooktop.",
            "no building part or place told",
        ),
        ("Kitchen. Can you see a crack in the window?", "only asked"),
    ] {
        let walk = walk(&[text.to_string()]);
        let list = pipeline::list(std::slice::from_ref(&walk), lexicon());
        assert!(
            list.passed_over.iter().any(|p| p.reason == reason),
            "{text}: {:?}",
            list.passed_over
        );
    }
}
