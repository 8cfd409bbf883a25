//! A known building held against walks.

use storystick::building::Building;
use storystick::lexicon::Lexicon;
use storystick::lexicon::check::spoken;
use storystick::list::{List, Use};
use storystick::pipeline::{self, Job};

use super::lexicon;

fn held(house: &str, said: &str) -> List {
    let plain = Lexicon::builtin();
    let building = Building::read("house.yaml", house, &plain).unwrap_or_else(|e| panic!("{e:#?}"));
    let overlay = building.overlay(&plain);
    let lexicon = lexicon(&overlay.iter().map(String::as_str).collect::<Vec<_>>());
    let job = Job {
        building: Some(&building),
        ..Job::default()
    };
    pipeline::list_of(&[spoken(said)], &lexicon, &job)
}

fn paths(list: &List) -> Vec<String> {
    list.areas.iter().map(|a| a.path.join("/")).collect()
}

#[test]
fn areas_get_their_known_names() {
    for (house, said, expected) in [
        // By name, with the places around it.
        (
            "areas: [{name: Kitchen, under: [Ground floor]}]",
            "Now the kitchen. The door sticks.",
            &["Ground floor/Kitchen"][..],
        ),
        // By what it is called, known to the lexicon or not.
        (
            "areas: [{name: Front room, called: [lounge]}]",
            "Into the lounge. The door sticks.",
            &["Front room"],
        ),
        (
            "areas: [{name: The Zibboery, called: [zibbo house]}]",
            "Now the zibbo house. The door sticks.",
            &["The Zibboery"],
        ),
        // Whatever its letters.
        (
            "areas: [{name: \"Gr\\u0301onk \\\"nest\\\": #1\", called: [zibbo nest]}]",
            "Now the zibbo nest. The door sticks.",
            &["Gr\u{301}onk \"nest\": #1"],
        ),
        // By a kind that both have once.
        (
            "areas: [{name: Boot room, kind: mudroom}]",
            "Now the mudroom. The door sticks.",
            &["Boot room"],
        ),
        // Two of a kind are not guessed at.
        (
            "areas: [{name: Blue room, kind: bedroom}, {name: Red room, kind: bedroom}]",
            "Into the bedroom. The door sticks.",
            &["Bedroom 1"],
        ),
        // A room in a known room follows it.
        (
            "areas: [{name: Kitchen, under: [Ground floor]}]",
            "Now the kitchen. Into the pantry. The door sticks.",
            &["Ground floor/Kitchen", "Ground floor/Kitchen/Pantry"],
        ),
        // What the file does not know stays as it is.
        (
            "areas: [{name: Kitchen}]",
            "Now the garage. The door sticks.",
            &["Garage"],
        ),
    ] {
        let list = held(house, said);
        assert_eq!(paths(&list), expected, "{house}");
        assert_eq!(list.items.len(), 1, "{house}");
        assert_eq!(
            list.items[0].area.join("/"),
            *expected.last().unwrap(),
            "{house}"
        );
    }
}

#[test]
fn what_was_not_looked_at_is_told() {
    let house = "
name: The Zibboery
areas:
  - {name: Kitchen, elements: [window, smoke detector, faucet, cabinet]}
  - {name: Garage, elements: [garage-door]}
  - {name: Attic}
";
    // A tap is the faucet's own word; a cabinet door is of the group cabinet; a window is spoken of in passing.
    let list = held(
        house,
        "Now the kitchen. The tap drips. The cabinet door by the window is crooked. Into the garage. The floor is cracked.",
    );
    let check = list.house.unwrap();
    assert_eq!(check.name.as_deref(), Some("The Zibboery"));
    assert_eq!(check.not_visited, [["Attic"]]);
    let silent: Vec<(String, String)> = check
        .not_spoken
        .iter()
        .map(|n| (n.area.join("/"), n.elements.join(", ")))
        .collect();
    assert_eq!(
        silent,
        [
            ("Kitchen".to_string(), "smoke detector".to_string()),
            ("Garage".to_string(), "garage-door".to_string())
        ]
    );
}

#[test]
fn a_use_is_the_areas_the_one_asked_for_or_the_buildings() {
    let text = "use: dwelling\nareas: [{name: Shop, use: public}, {name: Kitchen}]\n";
    let building = Building::read("house.yaml", text, &Lexicon::builtin()).unwrap();
    let at = |place: &str, asked| building.use_of(&[place.to_string()], asked);
    assert_eq!(at("Shop", None), Some(Use::Public));
    assert_eq!(at("Shop", Some(Use::Site)), Some(Use::Public));
    assert_eq!(at("Kitchen", None), Some(Use::Dwelling));
    assert_eq!(at("Kitchen", Some(Use::Site)), Some(Use::Site));
    assert_eq!(at("Garage", None), Some(Use::Dwelling));
    let list = held(
        text,
        "Now the kitchen. The railing is too low, it's thirty inches high.",
    );
    assert_eq!(list.items[0].notes.len(), 1);
}

#[test]
fn faults_of_the_file_are_told_with_place_and_mend() {
    for (text, place, says) in [
        ("", "1:1", "`areas`"),
        ("name: x\n", "1:1", "no `areas`"),
        ("areas: [{nam: Kitchen}]\n", "1:9", "has no `name`"),
        (
            "areas:\n  - {name: Kitchen, elemnts: [window]}\n",
            "2:21",
            "did you mean \"elements\"?",
        ),
        (
            "areas:\n  - {name: Kitchen, elements: [windw]}\n",
            "2:32",
            "did you mean \"window\"?",
        ),
        (
            "areas:\n  - {name: Kitchen, kind: kichen}\n",
            "2:27",
            "did you mean \"kitchen\"?",
        ),
        (
            "use: public hall\nareas: [{name: Kitchen}]\n",
            "1:6",
            "dwelling, public and site",
        ),
        (
            "areas: [{name: Kitchen}, {name: Kitchen}]\n",
            "1:1",
            "two areas are \"Kitchen\"",
        ),
        (
            "areas: [{name: Kitchen}]\nrooms: []\n",
            "2:1",
            "unknown key \"rooms\"",
        ),
    ] {
        let errors = Building::read("house.yaml", text, &Lexicon::builtin()).unwrap_err();
        let told = errors[0].to_string();
        assert!(
            told.starts_with(&format!("house.yaml:{place}: ")),
            "{text}: {told}"
        );
        assert!(told.contains(says), "{text}: {told}");
    }
}
