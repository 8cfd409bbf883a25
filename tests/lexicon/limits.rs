//! Spoken measures against published limits.

use std::collections::BTreeSet;

use storystick::lexicon::Lexicon;
use storystick::lexicon::source::Provenance;
use storystick::list::{Use, Verdict};

use super::{common, read};

/// Every figure is the table's, with its source and how it was read; none is left out, none is added.
#[test]
fn figures_are_those_of_the_table() {
    let Some(shared) = common::shared() else {
        return;
    };
    let table = std::fs::read_to_string(shared.join("data/limits.tsv")).unwrap();
    let number = |t: &str| (!t.is_empty()).then(|| t.parse::<f64>().unwrap());
    let row =
        |quantity: &str,
         min: Option<f64>,
         max: Option<f64>,
         unit: &str,
         of: &str,
         source: &str,
         read: &str| { format!("{quantity} {min:?} {max:?} {unit} {of} {source} {read}") };
    let theirs: BTreeSet<String> = table
        .lines()
        .filter(|l| !l.starts_with('#'))
        .skip(1)
        .map(|l| {
            let f: Vec<&str> = l.split('\t').collect();
            row(f[1], number(f[2]), number(f[3]), f[4], f[6], f[7], f[8])
        })
        .collect();
    let lexicon = Lexicon::builtin();
    let ours: BTreeSet<String> = lexicon
        .data()
        .limits
        .iter()
        .map(|l| {
            let read = match l.provenance.unwrap() {
                Provenance::Quoted => "quoted",
                Provenance::SecondHand => "second-hand",
                Provenance::Memory => "memory",
            };
            row(
                &l.quantity,
                l.min,
                l.max,
                l.unit.unwrap().word(),
                l.use_.map_or("any", |u| u.word()),
                l.source.as_deref().unwrap(),
                read,
            )
        })
        .collect();
    assert_eq!(theirs, ours);
    assert_eq!(lexicon.data().limits.len(), ours.len());
}

#[test]
fn a_measure_is_held_against_the_limit_of_its_use() {
    use Use::{Dwelling, Public, Site};
    use Verdict::{Above, Below, Within};
    let lexicon = Lexicon::builtin();
    for (said, known, verdict) in [
        (
            "Hall. The handrail is too low, it's thirty inches high.",
            Public,
            Some(Below),
        ),
        (
            "Hall. The handrail is loose, it's thirty-six inches high.",
            Public,
            Some(Within),
        ),
        (
            "Hall. The handrail is too high, it's forty inches high.",
            Public,
            Some(Above),
        ),
        // In other units.
        (
            "Hall. The handrail is too high, it's a hundred and ten centimetres high.",
            Public,
            Some(Above),
        ),
        (
            "Hall. The handrail is loose, it's nine hundred millimetres high.",
            Public,
            Some(Within),
        ),
        // A figure for the public says nothing of a house.
        (
            "Hall. The handrail is too low, it's thirty inches high.",
            Dwelling,
            None,
        ),
        (
            "Hall. The handrail is too low, it's thirty inches high.",
            Site,
            None,
        ),
        // A guard is no handrail; each use has its own figure.
        (
            "Hall. The railing is too low, it's thirty inches high.",
            Dwelling,
            Some(Below),
        ),
        (
            "Hall. The railing is loose, it's thirty-seven inches high.",
            Dwelling,
            Some(Within),
        ),
        (
            "Hall. The railing is too low, it's thirty-seven inches high.",
            Site,
            Some(Below),
        ),
        (
            "Hall. The railing is too low, it's thirty inches high.",
            Public,
            None,
        ),
        // Another quantity was measured, or none was told.
        (
            "Hall. The handrail is loose, it wobbles an inch.",
            Public,
            None,
        ),
        (
            "Hall. The handrail is loose, it's four inches wide.",
            Public,
            None,
        ),
        // What is measured is the fault, not the part.
        (
            "Hall. There's a crack in the threshold an inch high.",
            Public,
            None,
        ),
        (
            "Hall. There's a crack in the slab half an inch wide.",
            Dwelling,
            Some(Above),
        ),
        (
            "Hall. There's a crack in the slab an eighth of an inch wide.",
            Dwelling,
            Some(Within),
        ),
        (
            "Hall. There's a chip in the slab half an inch wide.",
            Dwelling,
            None,
        ),
        // Not to be believed.
        (
            "Hall. The handrail is too low, it's three inches high.",
            Public,
            None,
        ),
        (
            "Hall. The handrail is too high, it's thirty feet high.",
            Public,
            None,
        ),
        // A leaf's width is no clear width.
        (
            "Hall. The door is too narrow, it's thirty inches wide.",
            Public,
            None,
        ),
    ] {
        let list = read(said, &lexicon, Some(known));
        assert_eq!(list.items.len(), 1, "{said}: {:#?}", list.items);
        let notes = &list.items[0].notes;
        assert_eq!(
            notes.first().and_then(|n| n.verdict),
            verdict,
            "{said} ({known}): {notes:?}"
        );
        for note in notes {
            assert!(
                note.text.ends_with("The local code decides."),
                "{}",
                note.text
            );
            assert!(
                note.text.contains(
                    lexicon
                        .data()
                        .limits
                        .iter()
                        .find(|l| note.entry == Some(format!("limits/{}", l.id)))
                        .unwrap()
                        .source
                        .as_deref()
                        .unwrap()
                )
            );
        }
        // Where the use is not known nothing is held against anything, and nothing is written.
        let list = read(said, &lexicon, None);
        assert!(list.items[0].notes.is_empty());
        assert!(!serde_json::to_string(&list).unwrap().contains("\"notes\""));
    }
}

#[test]
fn how_far_a_figure_can_be_trusted_is_said() {
    let lexicon = Lexicon::builtin();
    for (said, known, says) in [
        (
            "Hall. The handrail is too low, it's thirty inches high.",
            Use::Public,
            "34 to 38 in (top of gripping surface above walking surface or stair nosing) by ADA Standards 2010, 505.4; below it.",
        ),
        (
            "Hall. The railing is too low, it's thirty inches high.",
            Use::Dwelling,
            "by IRC R312.1, from memory, not looked up; below it.",
        ),
        (
            "Hall. The tile has a lip of an eighth of an inch.",
            Use::Dwelling,
            "by ANSI A108.02, 4.3.7, read second-hand; above it.",
        ),
    ] {
        let list = read(said, &lexicon, Some(known));
        let text = &list.items[0].notes[0].text;
        assert!(text.contains(says), "{text}");
    }
}
