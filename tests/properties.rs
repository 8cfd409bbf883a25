//! What must hold of any list, whatever was said.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use proptest::prelude::*;
use storystick::lexicon::Lexicon;
use storystick::list::List;
use storystick::pipeline::{self, merge};
use storystick::transcript::{Cue, Format, Transcript};

fn lexicon() -> &'static Lexicon {
    static LEXICON: OnceLock<Lexicon> = OnceLock::new();
    LEXICON.get_or_init(Lexicon::builtin)
}

/// A walk of these texts, a cue each: three seconds apart, half a second of silence between.
fn walk(texts: &[String], speakers: &[Option<String>]) -> Transcript {
    let cues = texts
        .iter()
        .enumerate()
        .map(|(i, t)| Cue {
            start: i as f64 * 3.0,
            end: i as f64 * 3.0 + 2.5,
            text: t.clone(),
            speaker: speakers.get(i % speakers.len().max(1)).cloned().flatten(),
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

/// Speech made of the words that the stages turn on.
fn speech() -> impl Strategy<Value = Vec<String>> {
    let words = prop::sample::select(vec![
        "kitchen", "upstairs", "bedroom", "closet", "back", "in", "the", "to", "now", "door",
        "tile", "caulk", "sink", "wall", "it", "one", "of", "them", "that", "sticks", "loose",
        "chip", "missing", "leaking", "scuffed", "needs", "paint", "replace", "fix", "no", "not",
        "isn't", "never", "any", "more", "fixed", "is", "was", "good", "fine", "all", "okay",
        "but", "except", "and", "if", "two", "half", "an", "inch", "plumber", "painter", "i'll",
        "ask", "tell", "sorry", "wait", "same", "as", "forgot", "by", "behind", "um", ".", ",",
        "?", "12", "9 1/4\"", "mil",
    ]);
    let phrase = prop::collection::vec(words, 1..14).prop_map(|w| w.join(" "));
    prop::collection::vec(phrase, 0..10)
}

fn speakers() -> impl Strategy<Value = Vec<Option<String>>> {
    let names = prop::sample::select(vec![None, Some("A".to_string()), Some("B".to_string())]);
    prop::collection::vec(names, 0..4)
}

fn bytes(list: &List) -> String {
    serde_json::to_string(list).unwrap()
}

/// What holds of the list of these walks.
fn holds(walks: &[Transcript]) -> Result<(), TestCaseError> {
    let list = pipeline::list(walks, lexicon());
    prop_assert_eq!(bytes(&list), bytes(&pipeline::list(walks, lexicon())));

    let ends: BTreeMap<String, f64> = walks
        .iter()
        .enumerate()
        .map(|(i, w)| {
            let end = w.cues.iter().map(|c| c.end).fold(0.0, f64::max);
            (format!("w{}", i + 1), end)
        })
        .collect();
    let text: Vec<String> = walks
        .iter()
        .map(|w| {
            folded(
                &w.cues
                    .iter()
                    .map(|c| c.text.as_str())
                    .collect::<Vec<_>>()
                    .join(" "),
            )
        })
        .collect();

    // Everything said lies in its walk, in its own words.
    let said = list
        .items
        .iter()
        .flat_map(|i| &i.said)
        .chain(list.cleared.iter().flat_map(|c| &c.said))
        .chain(list.passed_over.iter().map(|p| &p.said));
    for s in said {
        let end = ends.get(&s.walk).copied();
        prop_assert!(end.is_some(), "no walk {}", s.walk);
        prop_assert!(
            0.0 <= s.start && s.start <= s.end && s.end <= end.unwrap() + 0.01,
            "{s:?} in a walk of {end:?} s"
        );
        let at: usize = s.walk[1..].parse::<usize>().unwrap() - 1;
        prop_assert!(
            text[at].contains(&folded(&s.text)),
            "{:?} was not said",
            s.text
        );
    }
    for item in &list.items {
        prop_assert!(!item.said.is_empty() && !item.why.is_empty(), "{item:?}");
        prop_assert!(!item.area.is_empty() && !item.text.is_empty(), "{item:?}");
        prop_assert!(
            (0.0..=1.0).contains(&item.confidence),
            "{}",
            item.confidence
        );
        prop_assert_eq!(item.follow_up.is_some(), item.promised_by.is_some());
    }

    // Stays lie in their walks and follow one another; a place stands once.
    let mut paths = BTreeSet::new();
    for area in &list.areas {
        prop_assert!(
            paths.insert(area.path.clone()),
            "{:?} stands twice",
            area.path
        );
        prop_assert!(!area.visits.is_empty());
        for v in &area.visits {
            prop_assert!(0.0 <= v.start && v.start <= v.end, "{v:?}");
            prop_assert!(v.end <= ends[&v.walk] + 0.01, "{v:?}");
        }
        for pair in area.visits.windows(2) {
            prop_assert!(
                pair[0].walk < pair[1].walk
                    || pair[0].walk == pair[1].walk && pair[0].end <= pair[1].start,
                "{pair:?}"
            );
        }
    }

    // Ids tell things apart; numbers count from 1.
    let mut ids = BTreeSet::new();
    let all = list.items.iter().map(|i| &i.id);
    for id in all.chain(list.cleared.iter().map(|c| &c.id)) {
        prop_assert!(
            !id.is_empty() && ids.insert(id.clone()),
            "{id:?} stands twice"
        );
    }
    for (i, item) in list.items.iter().enumerate() {
        prop_assert_eq!(item.number as usize, i + 1);
    }

    // Merging twice changes nothing; for items that only their spots tell apart see below.
    if !told_apart_by_spots(&list) {
        let once = merge::merge_items(list.items.clone());
        prop_assert_eq!(&merge::merge_items(once.clone()), &once);
        prop_assert_eq!(&once, &list.items);
    }
    let once = merge::merge_cleared(list.cleared.clone());
    prop_assert_eq!(&merge::merge_cleared(once.clone()), &once);
    prop_assert_eq!(&once, &list.cleared);

    // What is written is read back as it was; what confidence was told from is not written.
    let back: List = serde_json::from_str(&bytes(&list)).unwrap();
    let mut list = list;
    for item in &mut list.items {
        item.features.clear();
    }
    prop_assert_eq!(back, list);
    Ok(())
}

/// Whether two items of one part and class of work differ in where they are.
fn told_apart_by_spots(list: &List) -> bool {
    let mut keys = BTreeSet::new();
    !list
        .items
        .iter()
        .all(|i| keys.insert((i.area.clone(), i.element.clone(), i.work)))
}

/// With white space as single blanks, as a stretch may run over the edge of a cue.
fn folded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn of_any_text(texts in prop::collection::vec("\\PC{0,80}", 0..6)) {
        holds(&[walk(&texts, &[])])?;
    }

    #[test]
    fn of_any_speech(texts in speech(), speakers in speakers()) {
        holds(&[walk(&texts, &speakers)])?;
    }

    #[test]
    fn of_several_walks(one in speech(), two in speech(), three in speech()) {
        holds(&[walk(&one, &[]), walk(&two, &[]), walk(&three, &[])])?;
    }
}

#[test]
fn of_nothing() {
    holds(&[]).unwrap();
    holds(&[walk(&[], &[])]).unwrap();
    holds(&[walk(&[String::new(), " ".into()], &[])]).unwrap();
}

fn texts(walks: &[&[&str]]) -> Vec<Transcript> {
    walks
        .iter()
        .map(|w| walk(&w.iter().map(|t| (*t).to_string()).collect::<Vec<_>>(), &[]))
        .collect()
}

/// An item without a spot joins the first that fits; its time then brings a second one near enough to join as well.
#[test]
fn merging_twice_changes_nothing_where_spots_tell_items_apart() {
    let walks = texts(&[
        &["closet ? wall behind chip"],
        &["wall by chip .", "door . wall chip", "kitchen"],
    ]);
    let list = pipeline::list(&walks, lexicon());
    assert_eq!(merge::merge_items(list.items.clone()), list.items);
}

/// `../shared/LIST.md`: items stand in the order in which they were first said.
#[test]
fn items_stand_in_the_order_first_said() {
    let walks = texts(&[&[
        "if except . plumber mil tile fine an is fix upstairs",
        "leaking more door back",
        "12 needs tell ? 12 okay is that",
        "no forgot forgot wall painter paint sink half caulk an",
        "it two half isn't",
        "two scuffed wait sorry plumber ask except chip behind",
    ]]);
    let list = pipeline::list(&walks, lexicon());
    for pair in list.items.windows(2) {
        assert!(
            pair[0].said[0].start <= pair[1].said[0].start,
            "{:?} is listed before {:?}",
            pair[0].said[0],
            pair[1].said[0]
        );
    }
}
