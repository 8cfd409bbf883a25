//! Stage 7: who is sent.

use storystick::lexicon::source::TradeEntry;
use storystick::list::{Trade, Work};
use storystick::pipeline::trades::{Facts, by_rules};

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

/// A general part is sent to whoever sets the part that it belongs to.
#[test]
fn a_part_goes_with_its_host() {
    for (text, trade) in [
        // By its name, by its owner, by what was told just before.
        ("Back yard. The gate handle is loose.", Trade::Fencing),
        ("Back yard. The gate has no spring.", Trade::Fencing),
        (
            "Kitchen. The hinge of the freezer is loose.",
            Trade::Appliances,
        ),
        (
            "Kitchen. The dishwasher. The latch is bent.",
            Trade::Appliances,
        ),
        ("Office. The window. The handle's broken.", Trade::Windows),
        (
            "Basement. The lid of the sump isn't sealed.",
            Trade::Plumber,
        ),
        ("Bathroom. The shower has no door.", Trade::Windows),
        (
            "Kitchen. The edging of the countertop has lifted.",
            Trade::Countertops,
        ),
        // By itself it is what it always was.
        ("Hall. The handle is loose.", Trade::FinishCarpenter),
        (
            "Bedroom. The window is fine. The door sticks.",
            Trade::FinishCarpenter,
        ),
        // A scratch on it is still the painter's.
        ("Back yard. The gate handle is scuffed.", Trade::Painter),
    ] {
        let item = item(text);
        assert_eq!(item.trade, trade, "{text}: {:?}", item.why);
    }
}

/// The trade named in the next breath, by any word for its people; who has been there is not sent.
#[test]
fn the_trade_named_right_after_is_sent() {
    for (text, trade) in [
        (
            "Hall. The wall has a dent, so the plasterer has to come back.",
            Trade::Drywall,
        ),
        (
            "Office. The shelf is loose. I'll ask the carpenter about that.",
            Trade::FinishCarpenter,
        ),
        (
            "Office. The door sticks, the window chap can ease it.",
            Trade::Windows,
        ),
        (
            "Kitchen. The drawer is stuck, let the kitchen crowd free it up.",
            Trade::Cabinets,
        ),
        (
            "Office. The sill is cracked. The roofing outfit can mend it.",
            Trade::Roofing,
        ),
        (
            "Office. The door sticks, the painter's been at it.",
            Trade::FinishCarpenter,
        ),
        (
            "Office. The door sticks, the painter painted it.",
            Trade::FinishCarpenter,
        ),
    ] {
        let item = item(text);
        assert_eq!(item.trade, trade, "{text}: {:?}", item.why);
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

/// Every part with every class of work has somebody to go, by a rule; the superintendent only where an entry says why.
#[test]
fn no_known_part_falls_to_the_superintendent_for_want_of_a_rule() {
    let lexicon = lexicon();
    let data = lexicon.data();
    let reason = |why: &str, group: &str| {
        let entry = |kind: &str| why.strip_prefix(&format!("trade: {kind}/"));
        let note = if let Some(id) = entry("elements") {
            data.elements.iter().find(|e| e.id == id)?.note.as_ref()
        } else if let Some(id) = entry("dispatch") {
            data.dispatch.iter().find(|e| e.id == id)?.note.as_ref()
        } else {
            let owner = |t: &&TradeEntry| t.groups.iter().any(|g| g == group);
            data.trades.iter().find(owner)?.note.as_ref()
        };
        note.filter(|n| !n.is_empty())
    };
    let (mut asked, mut unexplained) = (0, Vec::new());
    for element in &data.elements {
        for work in Work::ALL {
            let sent = by_rules(
                &Facts {
                    element: Some(element),
                    work: *work,
                    deed: None,
                    area: None,
                    words: "",
                    hosts: &Vec::new(),
                },
                lexicon,
            );
            asked += 1;
            let nobody = sent.why.contains("nothing told");
            let kept =
                sent.trade == Trade::Superintendent && reason(&sent.why, &element.group).is_none();
            if nobody || kept {
                unexplained.push(format!("{} {work}: {}", element.id, sent.why));
            }
        }
    }
    assert!(asked > 8 * 1000, "{asked} asked");
    assert!(unexplained.is_empty(), "{unexplained:#?}");
}
