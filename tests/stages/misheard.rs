//! Trade words that a recognizer wrote as others: what is meant where the words around speak for it, and what stays.

use super::*;

fn list_of(place: &str, words: &str) -> List {
    read(&format!("Into the {place}. {words}"))
}

#[test]
fn the_part_meant_is_named_and_the_words_are_kept() {
    for (place, words, element, heard) in [
        (
            "bathroom",
            "The cough around the tub is cracked.",
            "caulk",
            "cough",
        ),
        (
            "bathroom",
            "The cog around the tub is cracked.",
            "caulk",
            "cog",
        ),
        (
            "back yard",
            "The socket under the eaves is sagging by the gutter.",
            "soffit",
            "socket",
        ),
        (
            "back yard",
            "The saw fit by the gutter is rotten.",
            "soffit",
            "saw fit",
        ),
        (
            "bathroom",
            "The scutch and behind the faucet is missing.",
            "escutcheon",
            "scutch and",
        ),
        (
            "bathroom",
            "The scotch and on the shower valve is loose.",
            "escutcheon",
            "scotch and",
        ),
        (
            "dining room",
            "The wane scote under the chair rail is cracked.",
            "wainscoting",
            "wane scote",
        ),
        ("hall", "The trancem is cracked.", "transom", "trancem"),
        (
            "back yard",
            "The down spot by the gutter is loose.",
            "downspout",
            "down spot",
        ),
        (
            "back yard",
            "The weak hole in the brick is plugged.",
            "weep hole",
            "weak hole",
        ),
        (
            "back yard",
            "The we poll in the brick is plugged.",
            "weep hole",
            "we poll",
        ),
        (
            "hall",
            "The cord around along the baseboard is missing.",
            "quarter round",
            "cord around",
        ),
        (
            "bathroom",
            "The groud is missing in the corner.",
            "grout",
            "groud",
        ),
        (
            "bathroom",
            "The crowd between the tiles is cracked.",
            "grout",
            "crowd",
        ),
        (
            "kitchen",
            "The brought at the backsplash is missing.",
            "grout",
            "brought",
        ),
        (
            "hall",
            "The shin behind the hinge is sticking out.",
            "shim",
            "shin",
        ),
    ] {
        let list = list_of(place, words);
        let item = list
            .items
            .iter()
            .find(|i| i.element.as_deref() == Some(element))
            .unwrap_or_else(|| panic!("{words}: {:?}", list.items));
        assert!(
            item.said.iter().any(|s| s.text.contains(heard)),
            "{words}: {item:?}"
        );
        assert!(
            item.why
                .iter()
                .any(|w| w.starts_with(&format!("heard: {heard:?}, taken for"))),
            "{words}: {:?}",
            item.why
        );
    }
}

#[test]
fn faults_and_works_are_heard_as_well() {
    let list = list_of("bathroom", "There's lipage at the tile.");
    assert_eq!(list.items[0].fault.as_deref(), Some("lippage"));
    let list = list_of("hall", "There's a nail hop on the wall.");
    assert_eq!(list.items[0].fault.as_deref(), Some("nail pop"));
    let list = list_of("hall", "There's an ale pop in the ceiling.");
    assert_eq!(list.items[0].fault.as_deref(), Some("nail pop"));
    let list = list_of(
        "bathroom",
        "Somebody needs to cough the gap around the tub.",
    );
    assert_eq!(list.items[0].work.word(), "seal");
    let list = list_of("hall", "They need to chop the baseboard.");
    assert_eq!(list.items[0].work.word(), "touch-up");
}

#[test]
fn what_is_itself_stays_itself() {
    for (place, words) in [
        ("kitchen", "The socket by the sink is loose."),
        ("hall", "The socket under the window is dead."),
        ("back yard", "The outside socket by the gutter is loose."),
        ("hall", "There's a crowd in the lobby and the door sticks."),
        ("hall", "The route to the stairs is blocked."),
        ("bathroom", "I have a cough and the tub is chipped."),
        ("bathroom", "My cough is bad today. The tub is fine."),
        (
            "bathroom",
            "We brought the tile in yesterday, it's scratched.",
        ),
        ("bathroom", "The crowd broke the tile."),
        ("hall", "A bunch of tape is left on the door."),
        ("hall", "It is sitting on the floor, the cover is off."),
        ("hall", "They tried all four locks and one is loose."),
        ("kitchen", "The tester at the outlet is dead."),
        ("kitchen", "They're live, I saw the tester light up."),
    ] {
        let list = list_of(place, words);
        let heard: Vec<&String> = list
            .items
            .iter()
            .flat_map(|i| &i.why)
            .chain(list.cleared.iter().flat_map(|c| &c.why))
            .filter(|w| w.starts_with("heard:"))
            .collect();
        assert!(heard.is_empty(), "{words}: {heard:?}");
    }
}
