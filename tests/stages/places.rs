//! Stage 3: where the speaker is.

use storystick::pipeline;

use super::{lexicon, read, walk};

/// The paths arrived at, in order of first arrival, with the number of stays.
fn areas(text: &str) -> Vec<(String, usize)> {
    read(text)
        .areas
        .iter()
        .map(|a| (a.path.join(" / "), a.visits.len()))
        .collect()
}

fn once(paths: &[&str]) -> Vec<(String, usize)> {
    paths.iter().map(|p| ((*p).to_string(), 1)).collect()
}

#[test]
fn arrivals() {
    for (text, paths) in [
        ("Okay, kitchen.", &["Kitchen"][..]),
        ("So this is the pantry.", &["Pantry"]),
        ("Let's go into the laundry room.", &["Laundry room"]),
        ("Through to the dining room.", &["Dining room"]),
        ("Now we're in the garage.", &["Garage"]),
        ("Out to the back patio.", &["Exterior / Back patio"]),
        ("Master bathroom.", &["Primary bathroom"]),
        ("Owner's suite.", &["Primary bedroom"]),
        ("Lobby. Then reception.", &["Lobby", "Reception"]),
    ] {
        assert_eq!(areas(text), once(paths), "{text}");
    }
}

#[test]
fn a_mention_is_no_arrival() {
    for text in [
        "The wall behind the garage is cracked.",
        "The wall by the kitchen is cracked.",
        "Same stain as in the office.",
        "The kitchen sink is chipped.",
        "I'm hungry. It's a lovely day. Let's get coffee.",
    ] {
        assert_eq!(areas(text), [], "{text}");
    }
    let text = "Kitchen. The sink is chipped, same as in the garage.";
    assert_eq!(areas(text), once(&["Kitchen"]), "{text}");
}

#[test]
fn levels_and_the_outdoors() {
    for (text, paths) in [
        (
            "So we're going upstairs now. This is the nursery.",
            &["Upstairs / Nursery"][..],
        ),
        ("Level 3. Corridor.", &["Level 3 / Corridor"]),
        (
            "Out on the deck. A board is loose. Back inside. Kitchen. The tap drips.",
            &["Exterior / Deck", "Kitchen"],
        ),
        (
            "Basement. Mechanical room.",
            &["Basement", "Basement / Mechanical room"],
        ),
    ] {
        assert_eq!(areas(text), once(paths), "{text}");
    }
}

#[test]
fn numbers_and_order() {
    for (text, paths) in [
        ("Bedroom two. Walls are good.", &["Bedroom 2"][..]),
        (
            "First bedroom. The window sticks. Next bedroom. The window sticks.",
            &["Bedroom 1", "Bedroom 2"],
        ),
        ("Now the second bathroom.", &["Bathroom 2"]),
        ("Suite 204. The door sticks.", &["Suite 204"]),
        ("Room twelve. The blind is broken.", &["Room 12"]),
        ("Room 12. The blind is broken.", &["Room 12"]),
    ] {
        assert_eq!(areas(text), once(paths), "{text}");
    }
}

#[test]
fn a_closet_is_the_child_of_its_room() {
    assert_eq!(
        areas("Primary bedroom. Looking in the closet, the rod is loose."),
        once(&["Primary bedroom", "Primary bedroom / Closet"])
    );
    assert_eq!(
        areas("Bedroom one. Closet. The rod is loose. Bedroom two. Closet. The shelf is loose."),
        once(&[
            "Bedroom 1",
            "Bedroom 1 / Closet",
            "Bedroom 2",
            "Bedroom 2 / Closet"
        ])
    );
}

#[test]
fn going_back_is_another_stay_in_the_same_place() {
    let text = "Kitchen. The tap drips. Hall. The wall is scuffed. Back in the kitchen. The drawer sticks.";
    assert_eq!(
        areas(text),
        [("Kitchen".to_string(), 2), ("Hall".to_string(), 1)]
    );
    let list = read(text);
    let of: Vec<_> = list.items.iter().map(|i| i.area.join("/")).collect();
    assert_eq!(of, ["Kitchen", "Hall", "Kitchen"]);
}

#[test]
fn what_is_remembered_of_another_room_goes_there_and_the_speaker_stays() {
    let text = "Kitchen. The sill is chipped. Oh, back in the bathroom I forgot, the fan is noisy.";
    let list = read(text);
    assert_eq!(areas(text), once(&["Kitchen"]));
    let fan = list
        .items
        .iter()
        .find(|i| i.element.as_deref() == Some("fan"));
    assert_eq!(fan.expect("the fan is an item").area, ["Bathroom"]);
}

#[test]
fn units_and_rows_by_number() {
    for (text, paths) in [
        (
            "I'm doing lots seven, eight and nine. Seven, the kitchen. Tap drips. Eight, the kitchen. Tap drips.",
            &["Lot 7", "Lot 7 / Kitchen", "Lot 8", "Lot 8 / Kitchen"][..],
        ),
        (
            "Okay, phone booths. They're numbered. One. Fan works. Two, light is out.",
            &["Phone booth 1", "Phone booth 2"],
        ),
        (
            "Flat five. Room one. Desk is loose. Kitchen. Tap drips.",
            &["Flat 5", "Flat 5 / Room 1", "Flat 5 / Kitchen"],
        ),
    ] {
        let got: Vec<String> = areas(text).into_iter().map(|a| a.0).collect();
        assert_eq!(got, paths, "{text}");
    }
}

#[test]
fn rows_of_rooms_by_letter_and_by_number() {
    for (text, paths) in [
        (
            "Flat one. The kitchen. Tap drips. Room A. Desk is loose. Room B. Blind is torn. En suite. Tap drips.",
            &[
                "Flat 1",
                "Flat 1 / Kitchen",
                "Flat 1 / Room A",
                "Flat 1 / Room B",
                "Flat 1 / Room B / Bathroom",
            ][..],
        ),
        (
            "Room four. Lamp is out. Five. Door drags. Bathroom. Tap drips. Six, this one leaked. Carpet is torn.",
            &["Room 4", "Room 5", "Room 5 / Bathroom", "Room 6"],
        ),
        (
            "Number two. Hall. Door drags. Upstairs. Bathroom. Tap drips. Number three. Kitchen. Tap drips.",
            &[
                "Number 2",
                "Number 2 / Hall",
                "Number 2 / Upstairs",
                "Number 2 / Upstairs / Bathroom",
                "Number 3",
                "Number 3 / Kitchen",
            ],
        ),
    ] {
        let got: Vec<String> = areas(text).into_iter().map(|a| a.0).collect();
        assert_eq!(got, paths, "{text}");
    }
}

#[test]
fn the_way_there_told_in_any_words() {
    for (text, path) in [
        (
            "Kitchen. Tap drips. Next door along's the pantry. Shelf sags.",
            "Pantry",
        ),
        (
            "Study. Door drags. Down to the snug, sorry, utility room. Tap drips.",
            "Utility room",
        ),
        (
            "Terrace. Step is loose. Back in, and along to the library. Door drags.",
            "Library",
        ),
        (
            "Lobby. Mat is torn. Past the desks, weighing bay. Slab is cracked.",
            "Weighing bay",
        ),
        (
            "I'm in the hall, door drags. And I've seen the stain by the boiler room.",
            "Hall",
        ),
    ] {
        let got = areas(text);
        assert_eq!(
            got.last().map(|a| a.0.as_str()),
            Some(path),
            "{text}: {got:?}"
        );
    }
}

#[test]
fn lines_of_a_transcript_are_breaths_where_none_is_timed() {
    let line = |at: usize, text: &str| format!("[0:{at:02}] {text}\n");
    let rooms = [
        "hallway the skirting is scuffed and i think that is all",
        "kitchen the tap drips and so on and nothing more",
        "bathroom the mirror is cracked as we said last week",
        "study the door drags on the carpet when you open it",
        "laundry the shelf sags and that is it for now",
        "lounge the blind is torn all along the bottom edge",
        "garage the floor is stained right by the door",
        "landing the light is out and the switch is loose",
        "nursery the window sticks and there is a draught",
        "balcony the rail is loose at the far end",
        "attic the hatch does not close and it is dark",
    ];
    let text: String = (rooms.iter().enumerate())
        .map(|(i, r)| line(i * 4 + 1, r))
        .collect();
    assert_eq!(areas(&text).len(), rooms.len(), "{:?}", areas(&text));
}

#[test]
fn names_by_what_a_room_is_for_and_rooms_told_last() {
    for (text, path) in [
        (
            "Lobby. Reception. And the internet closet. It's hot.",
            "Internet closet",
        ),
        (
            "Kitchen. Tap drips. And across from it, Lena, your office. Shelf sags.",
            "Office",
        ),
        (
            "Starting on the porch. The light is out.",
            "Exterior / Front porch",
        ),
    ] {
        let got = areas(text);
        assert!(got.iter().any(|a| a.0 == path), "{text}: {got:?}");
    }
    // Of any such place, and people.
    for text in [
        "Kitchen. A ledge, in an operating theatre, is no use.",
        "Hall. The kitchen firm sent the wrong hinge.",
    ] {
        assert_eq!(areas(text).len(), 1, "{text}: {:?}", areas(text));
    }
}

#[test]
fn places_of_farms_churches_theatres_and_yards() {
    for (text, path) in [
        ("Belfry. The hatch sticks.", "Belfry"),
        ("Okay, the lady chapel. The door sticks.", "Lady chapel"),
        ("Up in the organ loft. The rail is loose.", "Organ loft"),
        ("Into the wings now. The door sticks.", "Wings"),
        ("Scene dock. The door sticks.", "Scene dock"),
        ("Hay barn. The door sticks.", "Exterior / Hay barn"),
        ("Into the byre now. The door sticks.", "Exterior / Byre"),
        ("Milking parlour. The tap drips.", "Milking parlour"),
        ("Stable three. The door sticks.", "Exterior / Stable 3"),
        (
            "Okay, the polytunnel. The door sticks.",
            "Exterior / Polytunnel",
        ),
        ("Portakabin. The door sticks.", "Portakabin"),
        ("Chair store. The door sticks.", "Chair store"),
        ("Sterile core. The door sticks.", "Sterile core"),
        ("Sub-wait. The door sticks.", "Sub-wait"),
        ("Juliet balcony. The rail is loose.", "Exterior / Balcony"),
        ("Glory hole. The door sticks.", "Glory hole"),
        ("Aisle four. A shelf is loose.", "Aisle 4"),
    ] {
        let list = read(text);
        let path_of: Vec<&str> = path.split(" / ").collect();
        assert_eq!(list.items[0].area, path_of, "{text}");
    }
    for text in [
        "The heater by the stables is loose.",
        "The gate by the paddock drags.",
        "The light by the churchyard is dead.",
    ] {
        assert_eq!(areas(text), [], "{text}");
    }
}

/// The paths arrived at by a walk of cues, in order.
fn stays(cues: &[(f64, f64, &str)]) -> Vec<String> {
    let list = pipeline::list(&[walk(cues)], lexicon());
    let mut stays: Vec<(f64, String)> = list
        .areas
        .iter()
        .flat_map(|a| a.visits.iter().map(|v| (v.start, a.path.join(" / "))))
        .collect();
    stays.sort_by(|a, b| a.0.total_cmp(&b.0));
    stays.into_iter().map(|s| s.1).collect()
}

#[test]
fn a_number_after_a_silence_is_a_unit_where_several_are_told_so() {
    let cues = |first: &'static str, second: &'static str| {
        [
            (
                0.0,
                3.0,
                "this is what the owner wants done before they look",
            ),
            (6.0, 9.0, first),
            (9.1, 11.0, "kitchen tap drips"),
            (14.0, 17.0, second),
            (17.1, 19.0, "kitchen door sticks"),
        ]
    };
    let paths = stays(&cues(
        "two oh one so the peephole is loose",
        "two oh four the bell is dead",
    ));
    assert!(paths.contains(&"Unit 201".to_string()), "{paths:?}");
    assert!(paths.contains(&"Unit 204".to_string()), "{paths:?}");
    // A count or a reading is no unit.
    let paths = stays(&cues(
        "twelve screws are missing in the deck",
        "sixty eight degrees at the tap",
    ));
    assert!(!paths.iter().any(|p| p.contains("Unit")), "{paths:?}");
}

#[test]
fn what_opens_off_a_room_lies_in_it_and_a_storey_ends_a_hotels_room() {
    for (text, path) in [
        (
            "Now the studio. The blind is torn. And the gym, off it. A mirror is cracked.",
            "Studio / Gym",
        ),
        (
            "This is the hotel, third floor. Room 31. The desk is loose. Down to the second floor. Corridor. The carpet is loose.",
            "Second floor / Corridor",
        ),
    ] {
        let got = areas(text);
        assert!(got.iter().any(|a| a.0 == path), "{text}: {got:?}");
    }
}
