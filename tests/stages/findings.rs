//! Stage 6: part, fault and work become an item.

use storystick::list::{Standing, Work};

use super::{item, read};

#[test]
fn a_bare_fault_takes_its_class() {
    for (text, element, fault, work) in [
        (
            "Kitchen. There's a chip in the sill.",
            "sill",
            "chip",
            Work::TouchUp,
        ),
        (
            "Kitchen. The faucet is loose.",
            "faucet",
            "loose",
            Work::Repair,
        ),
        ("Hall. The wall is scuffed.", "wall", "scuff", Work::TouchUp),
        (
            "Office. The outlet cover is cracked.",
            "outlet cover",
            "cracked",
            Work::Replace,
        ),
        (
            "Hall. The cabinet door is crooked.",
            "cabinet door",
            "crooked",
            Work::Adjust,
        ),
        (
            "Bathroom. The grout is cracked.",
            "grout",
            "cracked",
            Work::Seal,
        ),
        (
            "Office. Overspray on the hinges.",
            "hinge",
            "paint on it",
            Work::Clean,
        ),
        (
            "Hall. The window is foggy.",
            "window",
            "fogged glass",
            Work::Replace,
        ),
    ] {
        let item = item(text);
        assert_eq!(
            (item.element.as_deref(), item.fault.as_deref(), item.work),
            (Some(element), Some(fault), work),
            "{text}"
        );
        assert_eq!(item.standing, Standing::Outstanding, "{text}");
    }
}

#[test]
fn the_work_named_counts_not_the_fault() {
    for (text, work) in [
        (
            "Kitchen. The tap is dripping. It needs replacing.",
            Work::Replace,
        ),
        ("Kitchen. The wall needs painting.", Work::TouchUp),
        (
            "Office. The painter needs to touch up the wall.",
            Work::TouchUp,
        ),
        (
            "Office. Get the electrician to swap the outlet.",
            Work::Replace,
        ),
        (
            "Office. The window is cracked, fix that today.",
            Work::Repair,
        ),
        ("Kitchen. We need a new faucet.", Work::Replace),
        (
            "Hall. The ceiling has a crack, somebody should fill it.",
            Work::Repair,
        ),
    ] {
        assert_eq!(item(text).work, work, "{text}");
    }
}

#[test]
fn two_parts_in_one_breath_are_two_items() {
    for (text, elements) in [
        (
            "Office. The wall is dented and the baseboard is scuffed.",
            ["wall", "baseboard"],
        ),
        (
            "Office. The lock doesn't latch and the hinge is loose.",
            ["lock", "hinge"],
        ),
        (
            "okay kitchen the faucet drips the drawer sticks",
            ["faucet", "drawer"],
        ),
    ] {
        let found: Vec<_> = read(text)
            .items
            .into_iter()
            .filter_map(|i| i.element)
            .collect();
        assert_eq!(found, elements, "{text}");
    }
}

#[test]
fn two_works_on_one_part_are_two_items_where_the_classes_differ() {
    let works: Vec<_> = read("Office. The wall needs patching and painting.")
        .items
        .iter()
        .map(|i| i.work)
        .collect();
    assert_eq!(works, [Work::Repair, Work::TouchUp]);
}

#[test]
fn praise_and_fault_in_one_breath_are_kept_apart() {
    for (text, wrong, fine) in [
        (
            "Office. The window is fine but the sill is scratched.",
            "sill",
            "window",
        ),
        (
            "Office. The ceiling looks great. The carpet is stained.",
            "carpet",
            "ceiling",
        ),
    ] {
        let list = read(text);
        assert_eq!(list.items.len(), 1, "{text}");
        assert_eq!(list.items[0].element.as_deref(), Some(wrong), "{text}");
        assert_eq!(list.cleared.len(), 1, "{text}");
        assert_eq!(list.cleared[0].element.as_deref(), Some(fine), "{text}");
    }
}

#[test]
fn the_words_that_carry_it_are_the_transcripts_own() {
    let item = item("Kitchen. Um, there's a CHIP in the sill, I think.");
    assert!("Kitchen. Um, there's a CHIP in the sill, I think.".contains(&item.said[0].text));
    assert!(item.said[0].text.contains("CHIP"));
}

#[test]
fn every_item_says_why() {
    let item = item("Kitchen. There's a chip in the sill.");
    assert!(
        item.why.iter().any(|w| w.starts_with("trade: ")),
        "{:?}",
        item.why
    );
    assert!(item.why.len() > 1, "{:?}", item.why);
}

/// What the list has of a sentence: each item's part and work, then each part found fine.
fn told(text: &str) -> (Vec<(String, Work)>, Vec<String>) {
    let list = read(text);
    let part = |e: &Option<String>| e.clone().unwrap_or_default();
    (
        list.items
            .iter()
            .map(|i| (part(&i.element), i.work))
            .collect(),
        list.cleared.iter().map(|c| part(&c.element)).collect(),
    )
}

#[test]
fn work_on_a_small_part_after_its_hosts_fault_is_how_it_is_mended() {
    for (text, part, work) in [
        (
            "Hall. The pantry door drags on the floor. Tension the hinges.",
            "door",
            Work::Adjust,
        ),
        (
            "Hall. There's a crack at the top of the column. It needs a bead of caulk.",
            "column",
            Work::Seal,
        ),
    ] {
        assert_eq!(told(text).0, [(part.to_string(), work)], "{text}");
    }
    // Without a fault before it the small part is the matter itself.
    assert_eq!(told("Hall. Tighten the hinge.").0[0].0, "hinge");
}

#[test]
fn what_falls_short_is_to_be_put_in() {
    for (text, part) in [
        (
            "Hall. There should be four hooks and there's three.",
            "hook",
        ),
        ("Bathroom. They never put the towel bar up.", "towel bar"),
    ] {
        assert_eq!(told(text).0, [(part.to_string(), Work::Install)], "{text}");
    }
    assert_eq!(told("Hall. There should be four hooks.").0, []);
}

#[test]
fn what_was_done_or_is_praised_is_no_work() {
    for (text, part) in [
        (
            "Porch. The boards are tight, the stain looks good.",
            "board",
        ),
        (
            "Entry. Sidelight was cracked, they did swap that.",
            "sidelight",
        ),
        (
            "Entry. The hinge stopped squeaking, it's good now.",
            "hinge",
        ),
    ] {
        let (items, fine) = told(text);
        assert_eq!(items, [], "{text}");
        assert!(fine.iter().any(|f| f.ends_with(part)), "{text}: {fine:?}");
    }
}

#[test]
fn faults_in_plain_speech() {
    for (text, work) in [
        ("Hall. The door has a knock in it.", Work::TouchUp),
        (
            "Hall. The wall could do with a lick of paint.",
            Work::TouchUp,
        ),
        ("Hall. The door is foul of the frame.", Work::Adjust),
        ("Hall. The socket is squint.", Work::Adjust),
        ("Bathroom. The tap lets by.", Work::Repair),
        ("Roof. The roof is letting in water.", Work::Repair),
        ("Hall. The boiler keeps locking out.", Work::Repair),
        ("Kitchen. The drain backs up.", Work::Repair),
        ("Hall. The window wants chucking.", Work::Replace),
        ("Hall. The tile has a corner off it.", Work::Replace),
        ("Hall. The door was never put back.", Work::Install),
        ("Hall. The floor is covered in plaster.", Work::Clean),
    ] {
        assert_eq!(item(text).work, work, "{text}");
    }
}

#[test]
fn what_is_called_new_right_after_a_fault_is_wanted() {
    for (text, work) in [
        ("Bathroom. The bolt is bent. New bolt.", Work::Replace),
        ("Kitchen. The hinge is bent so a new hinge.", Work::Replace),
        ("Kitchen. The tap drips. That's a new tap.", Work::Replace),
        ("Hall. The lock is loose so change that.", Work::Replace),
        (
            "Bathroom. The fan rattles, just put another one in.",
            Work::Replace,
        ),
        // Nothing new is wanted, or it is in.
        ("Kitchen. The tap drips, tighten it.", Work::Adjust),
    ] {
        let list = read(text);
        assert_eq!(list.items.len(), 1, "{text}: {:#?}", list.items);
        assert_eq!(list.items[0].work, work, "{text}");
    }
    assert!(read("Kitchen. That's a new tap, lovely.").items.is_empty());
}
