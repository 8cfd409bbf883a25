//! A walk read again into a list that people worked on.

use serde_json::{Value, json};
use storystick::lexicon::{Lexicon, Text};
use storystick::list::List;
use storystick::pipeline;
use storystick::record::{Again, Record, read_again};
use storystick::transcript::{self, Transcript};

use super::apply;

const WALK: &str = "[0:00] Kitchen.
[0:03] The faucet drips.
[0:08] There are two scuffs on the wall by the pantry.
[0:14] The countertop is chipped.
[0:20] One cabinet door is out of line.
[0:26] The window sill is zonked.
[0:31] Hall.
[0:34] The baseboard is dinged.
[0:40] The light switch is missing its cover plate.
";

fn walk(name: &str, text: &str) -> Transcript {
    transcript::read(text.as_bytes(), name, &Default::default()).unwrap()
}

fn reading(lexicon: &Lexicon) -> List {
    pipeline::list(&[walk("first.txt", WALK)], lexicon)
}

/// The built-in lexicon with this laid over.
fn laid(overlay: &str) -> Lexicon {
    let files = Lexicon::builtin_files();
    let mut texts: Vec<Text<'_>> = files
        .iter()
        .map(|(file, text)| Text {
            file,
            text,
            layer: 0,
        })
        .collect();
    texts.push(Text {
        file: "own.yaml",
        text: overlay,
        layer: 1,
    });
    Lexicon::from_texts(&texts).unwrap()
}

fn record() -> Record {
    let list = json!(reading(&Lexicon::builtin()));
    Record::from_bytes("first", list.to_string().as_bytes()).unwrap()
}

fn number_of(record: &Record, element: &str) -> String {
    let items = record.value()["items"].as_array().unwrap();
    let item = items.iter().find(|i| i["element"] == element);
    format!(
        "#{}",
        item.unwrap_or_else(|| panic!("no {element}"))["number"]
    )
}

fn again(record: &mut Record, lexicon: &Lexicon) -> Again {
    read_again(record, &reading(lexicon)).unwrap()
}

#[test]
fn the_same_reading_changes_nothing_of_a_decided_list() {
    let mut r = record();
    for (op, element) in [("accept", "faucet"), ("drop", "countertop")] {
        let id = number_of(&r, element);
        apply(&mut r, json!({"op": op, "id": id})).unwrap();
    }
    let id = number_of(&r, "baseboard");
    apply(&mut r, json!({"op": "close", "id": id, "as": "accepted"})).unwrap();
    apply(
        &mut r,
        json!({"op": "add", "at": 30.0, "fields": {"element": "sill", "work": "clean", "area": "Kitchen"}}),
    )
    .unwrap();
    let before = r.value().clone();
    let told = again(&mut r, &Lexicon::builtin());
    assert_eq!(r.value(), &before);
    assert_eq!(told.disagreements, []);
    assert!(told.new.is_empty() && told.gone.is_empty());
}

#[test]
fn a_decided_field_stays_and_the_other_reading_is_told() {
    let mut r = record();
    let id = number_of(&r, "faucet");
    apply(
        &mut r,
        json!({"op": "set", "id": id, "fields": {"trade": "tile", "count": 3}}),
    )
    .unwrap();
    // A firm that swaps faucets that drip.
    let told = again(
        &mut r,
        &laid("faults: [{id: drip, works: {plumbing: replace}}]"),
    );
    let item = r.item(&id).unwrap();
    assert_eq!(
        (&item["trade"], &item["count"]),
        (&json!("tile"), &json!(3))
    );
    assert_eq!(item["work"], "replace", "what nobody decided is read anew");
    assert_eq!(
        item["decided"]["disagrees"],
        json!({"trade": "plumber", "count": null})
    );
    assert_eq!(item["decided"]["read"]["trade"], "plumber");
    let fields: Vec<&str> = told
        .disagreements
        .iter()
        .map(|d| d.field.as_str())
        .collect();
    assert_eq!(fields, ["trade", "count"]);
    // A reading that has come round to the decision disagrees no more.
    apply(
        &mut r,
        json!({"op": "set", "id": id, "fields": {"trade": "plumber", "count": null}}),
    )
    .unwrap();
    assert_eq!(again(&mut r, &Lexicon::builtin()).disagreements, []);
    assert!(r.item(&id).unwrap()["decided"]["disagrees"].is_null());
}

#[test]
fn what_was_dropped_joined_split_or_added_stays_so() {
    let mut r = record();
    let count = r.value()["items"].as_array().unwrap().len();
    let (faucet, wall) = (number_of(&r, "faucet"), number_of(&r, "wall"));
    let (top, door) = (number_of(&r, "countertop"), number_of(&r, "cabinet door"));
    apply(&mut r, json!({"op": "drop", "id": faucet})).unwrap();
    apply(&mut r, json!({"op": "join", "id": top, "with": door})).unwrap();
    apply(
        &mut r,
        json!({"op": "split", "id": wall, "said": [], "fields": {"work": "clean"}}),
    )
    .unwrap();
    apply(
        &mut r,
        json!({"op": "add", "fields": {"element": "sill", "work": "clean", "area": "Attic"}}),
    )
    .unwrap();
    let before = r.value().clone();
    // A lexicon that reads one matter more.
    let told = again(
        &mut r,
        &laid(
            "faults: [{id: zonked, name: zonked, state: [zonked], work: repair, finds: [the sill is zonked]}]",
        ),
    );
    let after = r.value();
    assert_eq!(after["dropped"], before["dropped"]);
    let items = after["items"].as_array().unwrap();
    // One dropped, one joined away; one split off, one added by hand, one read anew.
    assert_eq!(items.len(), count - 2 + 3);
    assert_eq!(told.new.len(), 1);
    let zonked = items.iter().find(|i| i["fault"] == "zonked").unwrap();
    assert!(zonked["number"].as_u64().unwrap() > before["items"].as_array().unwrap().len() as u64);
    for old in before["items"].as_array().unwrap() {
        let same = items.iter().find(|i| i["id"] == old["id"]).unwrap();
        for field in ["number", "element", "work", "said", "area", "split_from"] {
            assert_eq!(same[field], old[field], "{field} of {}", old["number"]);
        }
    }
    assert!(
        after["areas"]
            .as_array()
            .unwrap()
            .iter()
            .any(|a| a["path"] == json!(["Attic"]))
    );
}

#[test]
fn what_is_read_no_more_goes_and_its_number_stays_taken() {
    let mut r = record();
    let (faucet, wall) = (number_of(&r, "faucet"), number_of(&r, "wall"));
    apply(
        &mut r,
        json!({"op": "set", "id": faucet, "fields": {"by": "Friday"}}),
    )
    .unwrap();
    let last = r.value()["items"].as_array().unwrap().len() as u64;
    let less = laid(
        "elements: [{id: faucet, replace: true, names: [zibtap], group: plumbing, finds: [the zibtap]}, {id: wall, replace: true, names: [zibwall], group: wall, finds: [the zibwall]}]\nfaults: [{id: scuff, replace: true, name: zib, noun: [zib], work: touch-up, finds: [a zib]}]",
    );
    let told = again(&mut r, &less);
    assert!(
        told.gone.iter().any(|g| format!("#{}", g.0) == wall),
        "{told:?}"
    );
    let kept: u64 = faucet.trim_start_matches('#').parse().unwrap();
    assert_eq!(told.only_decided, [kept]);
    assert_eq!(r.item(&faucet).unwrap()["by"], "Friday");
    let told = again(&mut r, &Lexicon::builtin());
    assert!(told.new.iter().all(|n| *n > last), "{:?}", told.new);
    assert!(r.item(&wall).is_err());
    assert_eq!(r.item(&faucet).unwrap()["by"], "Friday");
}

#[test]
fn a_later_walk_and_private_words_stay() {
    let mut r = record();
    let lexicon = Lexicon::builtin();
    let wall = number_of(&r, "wall");
    let said = r.item(&wall).unwrap()["said"][0].clone();
    apply(
        &mut r,
        json!({"op": "private", "id": wall, "private": true,
               "said": {"walk": said["walk"], "start": said["start"], "end": said["end"]}}),
    )
    .unwrap();
    let next = walk(
        "second.txt",
        "[0:00] Kitchen.\n[0:03] The faucet has been swapped.\n[0:08] The wall still has those scuffs.\n",
    );
    storystick::rewalk::rewalk(&mut r, &next, &lexicon, &Default::default()).unwrap();
    let before = r.value().clone();
    again(&mut r, &lexicon);
    let faucet = r.item(&number_of(&r, "faucet")).unwrap();
    assert_eq!(faucet["standing"], "made-good");
    assert_eq!(faucet["history"][1]["walk"], "w2");
    let words: Vec<&Value> = r.item(&wall).unwrap()["said"]
        .as_array()
        .unwrap()
        .iter()
        .collect();
    assert_eq!(words[0]["private"], true);
    assert!(words.iter().any(|s| s["walk"] == "w2"));
    assert_eq!(r.value()["walks"], before["walks"]);
    assert_eq!(r.value()["areas"], before["areas"]);
}

#[test]
fn other_walks_are_refused() {
    let mut r = record();
    let before = r.value().clone();
    let other = pipeline::list(
        &[walk(
            "other.txt",
            "[0:00] Attic.\n[0:02] The sill is chipped.\n",
        )],
        &Lexicon::builtin(),
    );
    let error = read_again(&mut r, &other).unwrap_err().to_string();
    assert!(error.contains("other walks"), "{error}");
    assert_eq!(r.value(), &before);
}
