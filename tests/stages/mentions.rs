//! Stage 4: which building part is named.

use super::{item, read};

#[test]
fn parts_as_spoken_in_the_singular() {
    for (text, element) in [
        ("Hall. The shelf is loose.", "shelf"),
        ("Hall. Several shelves are loose.", "shelf"),
        ("Hall. The skirting is scuffed.", "skirting"),
        ("Hall. The baseboard is scuffed.", "baseboard"),
        ("Kitchen. The tap drips.", "tap"),
        ("Kitchen. The faucet drips.", "faucet"),
        ("Kitchen. The cabinet door is crooked.", "cabinet door"),
        ("Hall. The smoke alarm is dead.", "smoke alarm"),
        ("Bathroom. The shower door leaks.", "shower door"),
        ("Garage. The garage door is dented.", "garage door"),
    ] {
        assert_eq!(item(text).element.as_deref(), Some(element), "{text}");
    }
}

#[test]
fn a_part_told_only_for_its_place_is_not_the_part_at_fault() {
    for (text, element) in [
        ("Hall. The wall behind the door is scuffed.", "wall"),
        ("Bathroom. The tile is loose by the tub.", "tile"),
        ("Hall. There's a chip in the sill by the door.", "sill"),
    ] {
        assert_eq!(item(text).element.as_deref(), Some(element), "{text}");
    }
}

#[test]
fn a_seal_is_named_with_what_it_seals() {
    for (text, element) in [
        (
            "Bathroom. The caulk around the tub is cracked.",
            "tub caulk",
        ),
        (
            "Bathroom. The caulk around the sink is split.",
            "sink caulk",
        ),
    ] {
        assert_eq!(item(text).element.as_deref(), Some(element), "{text}");
    }
}

#[test]
fn it_takes_the_part_named_before() {
    for (text, element) in [
        ("Kitchen. The tap is dripping. It needs replacing.", "tap"),
        ("Kitchen. This tile is cracked. Replace it.", "tile"),
        (
            "Kitchen. The tap is dripping. Somebody needs to fix it.",
            "tap",
        ),
    ] {
        assert_eq!(item(text).element.as_deref(), Some(element), "{text}");
    }
}

#[test]
fn ordinary_talk_names_no_part() {
    for text in [
        "Kitchen. Nice kitchen.",
        "Kitchen. The coffee's cold.",
        "Kitchen. I painted my own house last year.",
        "Kitchen. The hose is on the floor.",
        "Hang on. Good morning everybody.",
    ] {
        let list = read(text);
        assert!(list.items.is_empty(), "{text}: {:#?}", list.items);
    }
}

#[test]
fn a_trades_term_is_kept_as_spoken() {
    for (text, element) in [
        ("Hall. The call panel is loose.", "call panel"),
        ("Kitchen. The pop up waste is stuck.", "pop up waste"),
        ("Kitchen. The pull-out spray drips.", "pull out spray"),
        ("Plant room. The drive belt is frayed.", "drive belt"),
        ("Stable yard. The feed trough is cracked.", "feed trough"),
        ("Kitchen. The rinse arm is bent.", "rinse arm"),
        ("Hall. The lead came is loose.", "lead came"),
        // What is only written otherwise is shown as the lexicon writes it.
        ("Yard. The down spout is loose.", "downspout"),
    ] {
        assert_eq!(item(text).element.as_deref(), Some(element), "{text}");
    }
}

#[test]
fn everyday_words_for_a_thing_and_a_bit_of_some_material() {
    for (text, element) in [
        (
            "Hall. The yoke that shuts the door is leaking oil.",
            "door closer",
        ),
        (
            "Hall. The bit of wood along the bottom of the wall is split.",
            "baseboard",
        ),
        ("Hall. The wee flap on the front door is stiff.", "mailbox"),
        (
            "Hall. The thingy you turn the light on with is cracked.",
            "light switch",
        ),
        (
            "Loft. The panel you lift to get to the attic is cracked.",
            "attic hatch",
        ),
        (
            "Kitchen. The runners on the drawer are bent.",
            "drawer slide",
        ),
    ] {
        assert_eq!(item(text).element.as_deref(), Some(element), "{text}");
    }
}
