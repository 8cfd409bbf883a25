//! Stage 7: who is sent.

use storystick::list::Trade;

use super::{item, lexicon};

#[test]
fn who_is_sent() {
    for (text, trade) in [
        // Any cleaning is the cleaner's.
        ("Hall. There's mud on the carpet.", Trade::Cleaner),
        ("Office. Paint splashes on the window.", Trade::Cleaner),
        // Seals by what they seal.
        (
            "Bathroom. The caulk around the tub is cracked.",
            Trade::Tile,
        ),
        ("Bathroom. The grout is cracked.", Trade::Tile),
        (
            "Bathroom. The caulk around the sink is split.",
            Trade::Plumber,
        ),
        (
            "Bathroom. The caulk at the baseboard is missing.",
            Trade::Painter,
        ),
        // Finish against what is under it.
        ("Hall. There's a scuff on the door frame.", Trade::Painter),
        ("Hall. The wall is scuffed.", Trade::Painter),
        ("Hall. The drywall is cracked.", Trade::Drywall),
        // The part's own trade.
        ("Hall. The door sticks.", Trade::FinishCarpenter),
        ("Stairs. The handrail is missing.", Trade::FinishCarpenter),
        ("Bathroom. The towel bar is loose.", Trade::FinishCarpenter),
        ("Kitchen. The cabinet door is crooked.", Trade::Cabinets),
        ("Kitchen. The countertop has a chip.", Trade::Countertops),
        ("Hall. The carpet is frayed.", Trade::Flooring),
        ("Hall. Twelve tiles are cracked.", Trade::Tile),
        ("Kitchen. The tap drips.", Trade::Plumber),
        ("Hall. The smoke alarm is dead.", Trade::Electrician),
        ("Garage. Three outlets are dead.", Trade::Electrician),
        ("Hall. The thermostat is loose.", Trade::Hvac),
        ("Hall. The network jack is dead.", Trade::LowVoltage),
        ("Kitchen. The fridge is noisy.", Trade::Appliances),
        ("Hall. The window is foggy.", Trade::Windows),
        ("Roof. The gutter is loose.", Trade::Roofing),
        ("Hall. The siding is loose.", Trade::Siding),
        ("Front porch. A brick is loose.", Trade::Masonry),
        (
            "Out to the driveway. There's a crack in the concrete.",
            Trade::Concrete,
        ),
        ("Back yard. The fence is leaning.", Trade::Fencing),
        ("Attic. There's no insulation over here.", Trade::Insulation),
        ("Garage. The garage door is dented.", Trade::GarageDoor),
        ("Hall. The stud is split.", Trade::Framing),
        ("Hall. The extinguisher is missing.", Trade::FireProtection),
        ("Lobby. The sign is crooked.", Trade::Superintendent),
    ] {
        let item = item(text);
        assert_eq!(item.trade, trade, "{text}: {:?}", item.why);
        let entry = lexicon()
            .entry_of(trade)
            .expect("every trade has its entry");
        assert_eq!(
            item.section.as_deref(),
            Some(entry.section.as_str()),
            "{text}"
        );
    }
}

#[test]
fn who_is_named_is_sent() {
    for (text, trade) in [
        (
            "Kitchen. I don't know what this pipe is for, I'll ask the plumber.",
            Trade::Plumber,
        ),
        (
            "Office. Get the electrician to swap the outlet.",
            Trade::Electrician,
        ),
        (
            "Office. The painter needs to touch up the wall.",
            Trade::Painter,
        ),
        (
            "Office. The carpet might need cleaning, I'll ask the super.",
            Trade::Superintendent,
        ),
    ] {
        assert_eq!(item(text).trade, trade, "{text}");
    }
}

#[test]
fn all_trades_are_known() {
    assert_eq!(lexicon().data().trades.len(), Trade::ALL.len());
    for trade in Trade::ALL {
        let entry = lexicon().entry_of(*trade);
        assert!(entry.is_some_and(|e| !e.section.is_empty()), "{trade}");
    }
}
