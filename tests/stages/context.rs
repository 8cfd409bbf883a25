//! Stage 5, with the events of a clause: denied, past, put right, promised, asked, taken back.

use storystick::list::{ClearedKind, Standing, Work};

use super::{item, read};

/// No item, and this mark.
fn fine(text: &str, element: Option<&str>, kind: ClearedKind) {
    let list = read(text);
    assert!(list.items.is_empty(), "{text}: {:#?}", list.items);
    assert_eq!(list.cleared.len(), 1, "{text}: {:#?}", list.cleared);
    let mark = &list.cleared[0];
    assert_eq!(
        (mark.element.as_deref(), mark.kind),
        (element, kind),
        "{text}"
    );
}

#[test]
fn a_fault_denied_is_a_part_found_fine() {
    for (text, element) in [
        ("Kitchen. No chips in the countertop.", "countertop"),
        ("Kitchen. I can't see any scratches on the floor.", "floor"),
        ("Kitchen. Not a mark on the wall.", "wall"),
        ("Kitchen. Hardly any scuffs on the wall.", "wall"),
        ("Kitchen. The tile isn't cracked.", "tile"),
        ("Kitchen. The sink doesn't leak.", "sink"),
        ("Kitchen. The sink never leaked.", "sink"),
        ("Kitchen. Nothing wrong with the sink.", "sink"),
        (
            "Kitchen. There's no scratches, no dents, nothing on the fridge.",
            "fridge",
        ),
    ] {
        fine(text, Some(element), ClearedKind::Sound);
    }
}

#[test]
fn a_denial_that_is_the_fault() {
    for (text, element, work) in [
        ("Kitchen. The floor isn't level.", "floor", Work::Repair),
        ("Kitchen. The door won't close.", "door", Work::Adjust),
        ("Office. The outlet isn't working.", "outlet", Work::Repair),
        (
            "Bathroom. The exhaust fan doesn't work.",
            "exhaust fan",
            Work::Repair,
        ),
        ("Office. The lock doesn't latch.", "lock", Work::Adjust),
        (
            "Bathroom. There's no towel bar.",
            "towel bar",
            Work::Install,
        ),
        (
            "Hall. The outlet has no cover plate.",
            "cover plate",
            Work::Install,
        ),
        (
            "Kitchen. The patch on the wall still isn't painted.",
            "wall patch",
            Work::TouchUp,
        ),
    ] {
        let item = item(text);
        assert_eq!(
            (item.element.as_deref(), item.work),
            (Some(element), work),
            "{text}"
        );
    }
}

#[test]
fn what_was_put_right_is_no_item() {
    for (text, element) in [
        ("Kitchen. They fixed the faucet.", "faucet"),
        (
            "Kitchen. They finally replaced the range hood.",
            "range hood",
        ),
        ("Kitchen. The cracked tile has been replaced.", "tile"),
        (
            "Kitchen. The sink was leaking but that's been sorted.",
            "sink",
        ),
        ("Kitchen. The drawer doesn't stick any more.", "drawer"),
        ("Kitchen. The missing knob has been installed.", "knob"),
        ("Kitchen. They came and caulked the sink.", "sink"),
        ("Kitchen. The new faucet is in.", "faucet"),
        ("Kitchen. The door was replaced on Monday.", "door"),
        ("Bathroom. The mirror's up now.", "mirror"),
    ] {
        fine(text, Some(element), ClearedKind::MadeGood);
    }
}

#[test]
fn what_was_to_be_put_right_and_was_not_is_an_item() {
    for (text, element) in [
        ("Kitchen. The sink was leaking and it still is.", "sink"),
        (
            "Kitchen. They said they'd fix the tap but it's still dripping.",
            "tap",
        ),
        ("Kitchen. The door was supposed to be replaced.", "door"),
        ("Kitchen. The wall should have been painted.", "wall"),
    ] {
        let item = item(text);
        assert_eq!(item.element.as_deref(), Some(element), "{text}");
        assert_eq!(item.standing, Standing::Outstanding, "{text}");
    }
}

#[test]
fn what_is_only_told_of_is_passed_over_with_a_reason() {
    for text in [
        "Office. The door used to stick.",
        "Kitchen. Leave the scratched door, it's on purpose.",
        "Kitchen. The painter said he'd touch up the wall.",
    ] {
        let list = read(text);
        assert!(list.items.is_empty(), "{text}: {:#?}", list.items);
        assert!(!list.passed_over.is_empty(), "{text}");
        assert!(
            list.passed_over.iter().all(|p| !p.reason.is_empty()),
            "{text}"
        );
    }
}

#[test]
fn what_nobody_knows_is_asked() {
    for (text, element) in [
        (
            "Kitchen. I don't know what this pipe is for, I'll ask the plumber.",
            "pipe",
        ),
        (
            "Office. The carpet might need cleaning, I'll ask the super.",
            "carpet",
        ),
        (
            "Office. Somebody needs to check the thermostat.",
            "thermostat",
        ),
        ("Office. Can somebody check the thermostat?", "thermostat"),
    ] {
        let item = item(text);
        assert_eq!(
            (item.element.as_deref(), item.work, item.standing),
            (Some(element), Work::Check, Standing::Query),
            "{text}"
        );
    }
}

#[test]
fn what_was_taken_back_does_not_count() {
    let item = item("Kitchen. The tile's chipped, no wait, it's just dirt.");
    assert_eq!(item.work, Work::Clean);
    assert!(read("Kitchen. No wait, forget that.").items.is_empty());
}

#[test]
fn fine_but_for_one_part() {
    let list = read("Kitchen. All fine apart from the sill, which is chipped.");
    assert_eq!(list.items.len(), 1);
    assert_eq!(list.items[0].element.as_deref(), Some("sill"));
    assert_eq!(list.cleared.len(), 1);
    assert_eq!(list.cleared[0].element, None);
    fine("Kitchen. All good in here.", None, ClearedKind::Sound);
}
