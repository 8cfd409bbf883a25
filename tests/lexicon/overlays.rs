//! What a layer does to those below it.

use storystick::lexicon::compile::compile;
use storystick::lexicon::{Lexicon, Text, dump, show};
use storystick::list::Trade;
use storystick::report;

use super::{item, laid, lexicon, read};

/// The part of a short walk's one item, with this laid over.
#[test]
fn entries_are_added_changed_and_removed() {
    for (overlay, said, element) in [
        // Added.
        (
            "elements: [{id: zibbo, names: [zibbo], group: trim, finds: [the zibbo]}]",
            "Hall. The zibbo is loose.",
            "zibbo",
        ),
        // More words, beside those that are there.
        (
            "elements: [{id: baseboard, forms: [mopstrip]}]",
            "Hall. The mopstrip is loose.",
            "baseboard",
        ),
        (
            "elements: [{id: baseboard, forms: [mopstrip]}]",
            "Hall. The skirting is loose.",
            "skirting",
        ),
        // What a later file says stands first: its name is the one shown.
        (
            "elements: [{id: baseboard, names: [mopstrip]}]",
            "Hall. The wooden strip along the floor is loose.",
            "mopstrip",
        ),
        // Misheard.
        (
            "elements: [{id: baseboard, heard: [basil board]}]",
            "Hall. The basil board is loose.",
            "baseboard",
        ),
        // A form of another entry changes hands, its plural with it.
        (
            "elements: [{id: towel-bar, forms: [skirting]}]",
            "Hall. The skirtings are loose.",
            "towel bar",
        ),
        // Replaced whole: the old words are gone, the entry stays.
        (
            "elements: [{id: baseboard, replace: true, names: [mopstrip], group: trim, finds: [the mopstrip]}]",
            "Hall. The mopstrip is loose.",
            "mopstrip",
        ),
    ] {
        let made = item(said, &lexicon(&[overlay]));
        assert_eq!(made.element.as_deref(), Some(element), "{overlay}: {said}");
    }
    for (overlay, said) in [
        (
            "elements: [{id: baseboard, drop: [skirting]}]",
            "Hall. The skirting is loose.",
        ),
        (
            "elements: [{id: baseboard, remove: true}]",
            "Hall. The skirting is loose.",
        ),
        (
            "elements: [{id: baseboard, replace: true, names: [mopstrip], group: trim, finds: [x]}]",
            "Hall. The skirting is loose.",
        ),
    ] {
        let list = read(said, &lexicon(&[overlay]), None);
        let named =
            |i: &storystick::list::Item| i.why.contains(&"element: elements/baseboard".to_string());
        assert!(!list.items.iter().any(named), "{overlay}");
    }
}

#[test]
fn the_later_layer_wins() {
    let one = "elements: [{id: baseboard, names: [mopstrip], trade: painter}]";
    let two = "elements: [{id: baseboard, names: [floorfence], trade: tile}]";
    for (layers, name, trade) in [
        ([one, two], "floorfence", Trade::Tile),
        ([two, one], "mopstrip", Trade::Painter),
    ] {
        let made = item(
            "Hall. The wooden strip along the floor is loose.",
            &lexicon(&layers),
        );
        assert_eq!((made.element.as_deref(), made.trade), (Some(name), trade));
    }
    // `~` takes a value away again.
    let three = "elements: [{id: baseboard, trade: ~}]";
    let made = item(
        "Hall. The wooden strip along the floor is loose.",
        &lexicon(&[one, three]),
    );
    assert_eq!(made.trade, Trade::FinishCarpenter);
}

#[test]
fn areas_faults_works_cues_and_rules() {
    let over = lexicon(&["
areas: [{id: zibbo-room, name: Zibbo room, forms: [zibbo room], finds: [now the zibbo room]}, {id: mudroom, name: Boot room}]
faults: [{id: zorched, name: zorched, state: [zorched], work: replace, works: {wall: repair}, hazard: fire, finds: [zorched]}]
works: [{id: flange-up, name: flange up, class: adjust, verb: [flange up], finds: [flange up the door]}]
cues: [{id: need-frobbing, kind: need, forms: [cries out for], finds: [it cries out for paint]}]
dangers: [{id: loose-base, elements: [baseboard], faults: [loose], hazard: trip, caution: \"Mind your step; the site office decides.\", finds: [the baseboard is loose]}]
"]);
    let made = item("Now the zibbo room. The door is zorched.", &over);
    assert_eq!(made.area, ["Zibbo room"]);
    assert_eq!(made.work.word(), "replace");
    assert_eq!(made.hazard.map(|h| h.word()), Some("fire"));
    let made = item("Now the mudroom. The wall is zorched.", &over);
    assert_eq!(
        (made.area.concat().as_str(), made.work.word()),
        ("Boot room", "repair")
    );
    let made = item("Hall. You need to flange up the door.", &over);
    assert_eq!(made.work.word(), "adjust");
    let made = item("Hall. The baseboard is loose.", &over);
    assert_eq!(
        made.caution.as_deref(),
        Some("Mind your step; the site office decides.")
    );
    assert_eq!(made.caution_source.as_deref(), Some("common practice"));
}

#[test]
fn trades_are_renamed_split_and_given_groups() {
    let over = lexicon(&["
trades:
  - {id: painter, trade: decorator, name: Decorators, contact: paint foreman, sheet: Two coats.}
  - {id: hangers, of: finish-carpenter, name: Door hangers, people: [hanging crew], groups: [door-hardware], finds: [the hanging crew]}
dispatch:
  - {id: doors, elements: [door], works: [adjust], trade: hangers, finds: [the door sticks]}
"]);
    for (said, trade, section) in [
        // The list's word is the new one, wherever rules say the old id.
        ("Hall. The wall is scuffed.", "decorator", "09 90 00"),
        // Before the built-in rules.
        ("Hall. The door sticks.", "hangers", "06 20 00"),
        // A group changes hands.
        ("Hall. The hinge is loose.", "hangers", "06 20 00"),
        // Named by the speaker.
        (
            "Hall. The tread is loose, get the hanging crew back.",
            "hangers",
            "06 20 00",
        ),
        // All else is as it was.
        ("Hall. The tread is loose.", "finish-carpenter", "06 20 00"),
    ] {
        let made = item(said, &over);
        assert_eq!(
            (made.trade.word(), made.section.as_deref()),
            (trade, Some(section)),
            "{said}"
        );
    }
    let list = read(
        "Hall. The wall is scuffed. The tread is loose.",
        &over,
        None,
    );
    assert_eq!(list.trades.len(), 1, "only those a firm has spoken of");
    assert_eq!(list.trades[0].name, "Decorators");
    assert_eq!(list.trades[0].sheet.as_deref(), Some("Two coats."));
    let plain = read("Hall. The wall is scuffed.", &Lexicon::builtin(), None);
    assert_eq!(plain.trades, []);
    assert!(
        !serde_json::to_string(&plain)
            .unwrap()
            .contains("\"trades\"")
    );
}

/// What is printed reads back as the same lexicon.
#[test]
fn a_dump_reads_back_as_the_same() {
    let firm = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/firm/storystick.yaml"),
    )
    .unwrap();
    let takes = "elements: [{id: gutter-strap, names: [ledge, \"3/8 strap\", \"a \\\"b\\\": {c}\"], group: gutter, finds: [x]}, {id: towel-bar, forms: [skirting]}]";
    for layers in [&[][..], &[&firm, takes]] {
        let made = laid(layers).unwrap();
        let text = dump::dump(&made);
        let again = compile(&[Text {
            file: "dump.yaml",
            text: &text,
            layer: 0,
        }])
        .unwrap_or_else(|e| panic!("{e:#?}"));
        assert_eq!(made.data.forms.len(), again.data.forms.len());
        for (a, b) in made.data.forms.iter().zip(again.data.forms.iter()) {
            assert_eq!(a.text, b.text);
            assert_eq!(a.senses, b.senses, "{}", a.text);
        }
        let rules = |c: &storystick::lexicon::Compiled| {
            serde_json::to_value((
                &c.data.dispatch,
                &c.data.dangers,
                &c.data.limits,
                &c.data.model,
            ))
            .unwrap()
        };
        assert_eq!(rules(&made), rules(&again));
        // What lies below no more says nothing of it: only the comment on the files differs.
        let body = |t: &str| t.split_once("\n\n").unwrap().1.to_string();
        assert_eq!(body(&dump::dump(&again)), body(&text));
    }
}

#[test]
fn an_entry_tells_where_it_comes_from_and_leads_to() {
    let made = laid(&[
        "elements: [{id: baseboard, forms: [mopstrip]}, {id: towel-bar, forms: [skirting]}, {id: ledge, remove: true}]",
    ])
    .unwrap();
    for (asked, says) in [
        (
            "baseboard",
            "elements/baseboard\n  defined    lexicon/elements-carpentry.yaml:",
        ),
        ("baseboard", "changed    0.yaml:1:17"),
        ("elements/baseboard", "mopstrips"),
        ("Mopstrips", "elements/baseboard"),
        (
            "baseboard",
            "lost       \"skirting\" to elements/towel-bar (0.yaml:1:",
        ),
        (
            "skirting",
            "took       \"skirting\" from elements/baseboard",
        ),
        (
            "baseboard",
            "leads to   trade finish-carpenter (group trim)",
        ),
        (
            "handrail",
            "limit of height by limits/handrail-height-public",
        ),
        ("ramp-slope-public", "from memory, not looked up"),
        ("drips", "faults/drip"),
        ("drywall guys", "trades/drywall"),
        ("guard-fall", "rule "),
    ] {
        let text = show::show(&made, asked).unwrap_or_else(|e| panic!("{asked}: {e}"));
        assert!(text.contains(says), "{asked}: {text}");
    }
    for (asked, says) in [
        ("bassboard", "did you mean \"bass board\"?"),
        ("ledge", "removed at 0.yaml:1:"),
    ] {
        let error = show::show(&made, asked).unwrap_err();
        assert!(error.contains(says), "{asked}: {error}");
    }
}

/// Lists that were saved before cautions were part of them get the same words.
#[test]
fn the_lexicons_cautions_are_those_of_the_reports() {
    let lexicon = Lexicon::builtin();
    for hazard in storystick::list::Hazard::ALL {
        let entry = lexicon
            .data()
            .cautions
            .iter()
            .find(|c| c.hazard == Some(*hazard))
            .unwrap_or_else(|| panic!("no caution for {hazard}"));
        assert_eq!(entry.text, report::caution(*hazard), "{hazard}");
    }
    for d in &lexicon.data().dangers {
        if let Some(text) = &d.caution {
            let defers = ["code", "licensed", "contractor", "plumber"];
            assert!(defers.iter().any(|w| text.contains(w)), "{}: {text}", d.id);
            assert!(text.ends_with('.') && text.len() < 95, "{}: {text}", d.id);
        }
    }
}
