//! How many, how large, how pressing, how dangerous, where exactly, what was promised.

use storystick::list::{FollowUp, Hazard, Trade, Unit, Work};

use super::item;

#[test]
fn counts() {
    for (text, count) in [
        ("Hall. There are three nail pops in the wall.", Some(3)),
        (
            "Garage. There are a couple of dings in the baseboard.",
            Some(2),
        ),
        ("Garage. Three outlets are dead.", Some(3)),
        ("Garage. The slab has a dozen cracks.", Some(12)),
        ("Hall. Twelve tiles are cracked.", Some(12)),
        ("Hall. 3 tiles are cracked.", Some(3)),
        ("Hall. Twenty-one tiles are cracked.", Some(21)),
        ("Hall. A hundred and twenty tiles are cracked.", Some(120)),
        ("Hall. Two hundred tiles are cracked.", Some(200)),
        ("Hall. Two dozen tiles are cracked.", Some(24)),
        ("Hall. One shelf is loose.", Some(1)),
        // What was taken back does not count.
        ("Kitchen. Two, sorry, three tiles are cracked.", Some(3)),
        ("Garage. There's a few chips in the sill.", None),
        ("Hall. Several shelves are loose.", None),
        ("Hall. The shelf is loose.", None),
    ] {
        assert_eq!(item(text).count, count, "{text}");
    }
}

#[test]
fn measures() {
    for (words, value, unit) in [
        ("half an inch", 0.5, Unit::In),
        ("a quarter of an inch", 0.25, Unit::In),
        ("three eighths", 0.375, Unit::In),
        ("three eighths of an inch", 0.375, Unit::In),
        ("an eighth", 0.125, Unit::In),
        ("3/8 inch", 0.375, Unit::In),
        ("an inch and a half", 1.5, Unit::In),
        ("two and a half inches", 2.5, Unit::In),
        ("9 1/4\"", 9.25, Unit::In),
        ("9 1/4 inches", 9.25, Unit::In),
        ("two foot", 2.0, Unit::Ft),
        ("two feet", 2.0, Unit::Ft),
        ("forty mil", 40.0, Unit::Mm),
        ("twenty-six millimetres", 26.0, Unit::Mm),
        ("a hundred and ten mil", 110.0, Unit::Mm),
        ("2.5 cm", 2.5, Unit::Cm),
        ("half a metre", 0.5, Unit::M),
        ("three quarter inch", 0.75, Unit::In),
        ("two and three eighths inches", 2.375, Unit::In),
        ("an inch and five sixteenths", 1.3125, Unit::In),
        ("two point five centimetres", 2.5, Unit::Cm),
        ("two foot six", 30.0, Unit::In),
        ("six feet two inches", 74.0, Unit::In),
        ("three foot ten and a half", 46.5, Unit::In),
        ("a foot and a half", 1.5, Unit::Ft),
        ("twenty-four hundred millimetres", 2400.0, Unit::Mm),
        ("a thousand and fifty mil", 1050.0, Unit::Mm),
        ("12 mm", 12.0, Unit::Mm),
        ("1,200 mm", 1200.0, Unit::Mm),
        ("40mm", 40.0, Unit::Mm),
        ("2.5m", 2.5, Unit::M),
        // Of a range the larger.
        ("five to ten mil", 10.0, Unit::Mm),
    ] {
        let text = format!("Hall. The shelf is loose, it moves {words}.");
        let item = item(&text);
        let measure = item.measure.unwrap_or_else(|| panic!("no measure: {text}"));
        assert!(
            (measure.value - value).abs() < 1e-9,
            "{text}: {}",
            measure.value
        );
        assert_eq!(measure.unit, unit, "{text}");
        assert_eq!(item.count, None, "{text}: a size is no count");
    }
    assert_eq!(item("Hall. The shelf is loose.").measure, None);
}

#[test]
fn what_was_measured() {
    for (text, of) in [
        ("Hall. There's a crack two foot long in the wall.", "length"),
        (
            "Hall. The stain on the ceiling is about two feet across.",
            "width",
        ),
        (
            "Kitchen. The gap at the sill is three eighths of an inch.",
            "gap",
        ),
    ] {
        let measure = item(text)
            .measure
            .unwrap_or_else(|| panic!("no measure: {text}"));
        assert_eq!(measure.of.as_deref(), Some(of), "{text}");
    }
}

#[test]
fn a_size_before_what_it_is_of() {
    for (text, value, unit) in [
        (
            "Hall. There's a three foot crack in the ceiling.",
            3.0,
            Unit::Ft,
        ),
        ("Hall. A quarter inch gap at the baseboard.", 0.25, Unit::In),
        ("Hall. Six inch long scratch on the door.", 6.0, Unit::In),
        (
            "Hall. One eighth of an inch gap in the flooring.",
            0.125,
            Unit::In,
        ),
        ("Hall. A good ten inch tear in the carpet.", 10.0, Unit::In),
    ] {
        let item = item(text);
        let measure = item.measure.unwrap_or_else(|| panic!("no measure: {text}"));
        assert_eq!((measure.value, measure.unit), (value, unit), "{text}");
        assert_eq!(item.count, None, "{text}");
    }
    // What is across a thing is no width.
    let scratch = item("Hall. The window has a ten inch scratch across it.");
    assert_eq!(scratch.measure.unwrap().of, None);
}

#[test]
fn what_is_told_in_a_clause_of_its_own() {
    for text in [
        "Hall. The socket by the cot has scorch marks. Nobody plugs anything in till that's swapped.",
        "Hall. There's no rail on the ramp. They can't open without that.",
        "Hall. The boiler is leaking. First thing tomorrow, please.",
        "Hall. The tread is loose. Has to be screwed down before she comes home.",
    ] {
        assert!(item(text).urgent, "{text}");
    }
    for text in [
        "Hall. The baseboard is dinged before you get to the stairs.",
        "Hall. The wall is scuffed. You don't see it till that's lit.",
    ] {
        assert!(!item(text).urgent, "{text}");
    }
    let item = item("Hall. The tread is cracked. Right through, see. I'll send you a photo.");
    assert_eq!(item.follow_up, Some(FollowUp::Photo));
}

#[test]
fn urgency() {
    for text in [
        "Office. The window is cracked and that's the biggest concern.",
        "Office. The window is cracked, fix that today.",
        "Office. The window is cracked, it's urgent.",
    ] {
        assert!(item(text).urgent, "{text}");
    }
    assert!(!item("Office. The window is cracked.").urgent);
    let by = item("Kitchen. The wall needs to be painted before closing.").by;
    assert_eq!(by.as_deref(), Some("before closing"));
}

#[test]
fn hazards() {
    for (text, hazard) in [
        ("Hall. The smoke alarm is dead.", Hazard::Fire),
        ("Stairs. The handrail is missing.", Hazard::Fall),
        (
            "Hall. There's a wire hanging out of the ceiling.",
            Hazard::Electric,
        ),
        (
            "Hall. There's exposed wiring at the light.",
            Hazard::Electric,
        ),
        ("Kitchen. I can smell gas at the range.", Hazard::Gas),
        ("Basement. The pipe is leaking.", Hazard::Water),
        ("Bathroom. There's mold in the corner.", Hazard::Mould),
        (
            "Bathroom. The tile is loose by the tub, that's a trip hazard.",
            Hazard::Trip,
        ),
    ] {
        assert_eq!(item(text).hazard, Some(hazard), "{text}");
    }
    for text in [
        "Kitchen. There's a chip in the sill.",
        "Hall. The wall is scuffed.",
        "Hall. The door sticks.",
        "Hall. The fire door has a scratch across it.",
    ] {
        assert_eq!(item(text).hazard, None, "{text}");
    }
}

#[test]
fn promises() {
    for (text, promise) in [
        (
            "Kitchen. The disposal only hums, I'll tell the plumber.",
            FollowUp::Tell,
        ),
        (
            "Office. The carpet might need cleaning, I'll ask the super.",
            FollowUp::Ask,
        ),
    ] {
        let item = item(text);
        assert_eq!(item.follow_up, Some(promise), "{text}");
        assert_eq!(item.promised_by.as_deref(), Some("speaker"), "{text}");
    }
    let item = item("Office. The painter needs to touch up the wall.");
    assert_eq!((item.follow_up, item.promised_by), (None, None));
}

#[test]
fn spots_in_the_speakers_own_words() {
    for (text, spot) in [
        (
            "Hall. The wall behind the door is scuffed.",
            Some("behind the door"),
        ),
        (
            "Kitchen. The gap at the sill is three eighths of an inch.",
            Some("at the sill"),
        ),
        ("Hall. The wall is scuffed.", None),
    ] {
        assert_eq!(item(text).spot.as_deref(), spot, "{text}");
    }
}

/// The matter is what must be kept free, not what stands there.
#[test]
fn what_stands_in_the_way() {
    for (text, element, hazard) in [
        (
            "Corridor. A stack of doors left across the fire exit.",
            "fire exit",
            Hazard::Egress,
        ),
        (
            "Corridor. There are boxes of tiles parked in front of the electrical panel.",
            "electrical panel",
            Hazard::Electric,
        ),
        (
            "Corridor. Somebody stored a ladder against the extinguisher.",
            "extinguisher",
            Hazard::Fire,
        ),
        (
            "Corridor. A trolley is standing right across the escape route.",
            "escape route",
            Hazard::Egress,
        ),
    ] {
        let item = item(text);
        assert_eq!(item.element.as_deref(), Some(element), "{text}");
        assert_eq!(
            (item.work, item.hazard),
            (Work::Clean, Some(hazard)),
            "{text}"
        );
        assert_eq!(item.fault.as_deref(), Some("blocked"), "{text}");
    }
}

/// "The head" alone is that of the part beside it.
#[test]
fn a_piece_by_the_part_beside_it() {
    for (text, element, trade) in [
        (
            "Landing. The head is missing off the smoke detector.",
            "detector head",
            Trade::Electrician,
        ),
        (
            "Landing. The sprinkler up here has no head on it.",
            "sprinkler head",
            Trade::FireProtection,
        ),
    ] {
        let item = item(text);
        assert_eq!(item.element.as_deref(), Some(element), "{text}");
        assert_eq!(item.trade, trade, "{text}");
    }
}
