//! Faults in lexicon files: where they are told, and what is said to mend them.

use proptest::prelude::*;
use storystick::lexicon::compile::compile;
use storystick::lexicon::{Compiled, Lexicon, LexiconError, Text, check};

use super::laid;

/// A small lexicon, since the whole built-in one takes a second to read where nothing is optimized.
const SMALL: &str = "
areas: [{id: kitchen, name: Kitchen, forms: [kitchen], finds: [now the kitchen]}]
elements:
  - {id: baseboard, names: [baseboard, skirting], group: trim, finds: [x]}
  - {id: door, names: [door], group: door, finds: [x]}
cues: [{id: um, kind: filler, forms: [um], finds: [x]}]
faults: [{id: loose, name: loose, state: [loose], work: repair, finds: [x]}]
trades:
  - {id: painter, name: Painter, people: [painter], groups: [door], finds: [x]}
  - {id: plumber, name: Plumber, people: [plumber], groups: [trim], finds: [x]}
  - {id: tile, name: Tile, people: [tiler], finds: [x]}
";

/// This laid over the small lexicon.
fn small(text: &str) -> Result<Compiled, Vec<LexiconError>> {
    compile(&[
        Text {
            file: "small.yaml",
            text: SMALL,
            layer: 0,
        },
        Text {
            file: "0.yaml",
            text,
            layer: 1,
        },
    ])
}

/// Each text, the place of its one fault, and what is said of it.
const FAULTS: [(&str, &str, &[&str]); 31] = [
    (
        "elemets:\n  - {id: x}\n",
        "1:1",
        &["did you mean \"elements\"?"],
    ),
    ("- {id: x}\n", "1:1", &["lists of entries by kind"]),
    (
        "elements: {id: x}\n",
        "1:11",
        &["a list of entries belongs here"],
    ),
    (
        "elements: [zibbo]\n",
        "1:12",
        &["an entry `{id: …}` belongs here", "text"],
    ),
    (
        "elements:\n  - {names: [zibbo], group: trim}\n",
        "2:5",
        &["has no id"],
    ),
    (
        "elements:\n  - {ids: zibbo, group: trim}\n",
        "2:5",
        &["is \"ids\" meant to be `id`?"],
    ),
    (
        "elements:\n  - {id: zibbo, nmaes: [zibbo], group: trim, finds: [x]}\n",
        "2:17",
        &["unknown key \"nmaes\"", "did you mean \"names\"?"],
    ),
    (
        "elements:\n  - {id: zibbo, names: [zibbo, 24], group: trim, finds: [x]}\n",
        "2:32",
        &["found integer `24`", "in quotes"],
    ),
    (
        "elements:\n  - {id: basebord, group: trim, forms: [zibbo], finds: [x]}\n",
        "2:10",
        &["has no `names`", "did you mean \"baseboard\"?"],
    ),
    (
        "elements:\n  - {id: zibbo, names: [zibbo], group: trimm, finds: [x]}\n",
        "2:40",
        &[
            "\"trimm\" is neither an element's id nor a trade's group",
            "did you mean \"trim\"?",
        ],
    ),
    (
        "elements:\n  - {id: zibbo, names: [zibbo], group: trim, trade: plumer, finds: [x]}\n",
        "2:53",
        &["there is no trade \"plumer\"", "did you mean \"plumber\"?"],
    ),
    (
        "elements:\n  - {id: zibbo, names: [zibbo], group: trim, trade: The Plumber, finds: [x]}\n",
        "2:53",
        &["lower-case words joined by"],
    ),
    (
        "elements:\n  - {id: zibbo, names: [zibbo], group: trim, finds: [x]}\n  - {id: zibbo, names: [zibbos], group: trim, finds: [x]}\n",
        "3:10",
        &["the id \"zibbo\" is taken by the entry at 0.yaml:2:10"],
    ),
    (
        "elements:\n  - {id: zibbo, names: [zibbo], group: trim, finds: [x]}\n  - {id: flonk, names: [Zibbo], group: trim, finds: [x]}\n",
        "3:25",
        &["\"elements/flonk\" and \"elements/zibbo\" both claim \"zibbo\""],
    ),
    (
        "elements:\n  - {id: zibbo, names: [zibbo, \"...\"], group: trim, finds: [x]}\n",
        "2:32",
        &["has no word in it and can never be met"],
    ),
    (
        "faults:\n  - {id: zorched, name: zorched, state: [zorched], finds: [x]}\n",
        "2:10",
        &["has no `work`"],
    ),
    (
        "faults:\n  - {id: zorched, name: zorched, work: repare, state: [zorched], finds: [x]}\n",
        "2:40",
        &["unknown word `repare`", "did you mean \"repair\"?"],
    ),
    (
        "faults:\n  - {id: zorched, name: zorched, work: repair, works: {dor: seal}, state: [zorched], finds: [x]}\n",
        "2:56",
        &["\"dor\" is neither", "did you mean \"door\"?"],
    ),
    (
        "cues:\n  - {id: zibbo, forms: [zibboly], finds: [x]}\n",
        "2:10",
        &["lacks the key `kind`"],
    ),
    (
        "dispatch:\n  - {id: zibbo, trade: painter, near: [\",\"], finds: [x]}\n",
        "2:40",
        &["can never be met"],
    ),
    (
        "dispatch:\n  - {id: zibbo, trade: painter, areas: [kichen], finds: [x]}\n",
        "2:41",
        &["is no area's id", "did you mean \"kitchen\"?"],
    ),
    (
        "dangers:\n  - {id: zibbo, hazard: fall, faults: [lose], finds: [x]}\n",
        "2:40",
        &["is no fault's id", "did you mean \"loose\"?"],
    ),
    (
        "limits:\n  - {id: zibbo, elements: [door], of: height, quantity: height, min: 9, max: 3, unit: in, source: x, provenance: memory, finds: [x]}\n",
        "2:10",
        &["can never be met"],
    ),
    (
        "limits:\n  - {id: zibbo, elements: [door], of: height, quantity: height, min: 9, unit: in, finds: [x]}\n",
        "2:10",
        &["where does the figure stand"],
    ),
    (
        "elements:\n  - {id: basebord, remove: true}\n",
        "2:10",
        &["there is no \"basebord\"", "did you mean \"baseboard\"?"],
    ),
    (
        "elements:\n  - {id: baseboard, drop: [skirtin]}\n",
        "2:28",
        &["no \"skirtin\" to drop", "did you mean \"skirting\"?"],
    ),
    (
        "elements:\n  - {id: baseboard, remove: yes}\n",
        "2:29",
        &["only `true` stands here"],
    ),
    (
        "trades:\n  - {id: zibbo, name: G, people: [zibboer], groups: [trim], finds: [x]}\n  - {id: flonk, name: F, people: [flonker], groups: [trim], finds: [x]}\n",
        "3:54",
        &["both own the group \"trim\""],
    ),
    (
        "elements: [&a {id: x}]\n",
        "1:12",
        &["anchors (&name) are not read here"],
    ),
    ("elements:\n\t- {id: x}\n", "2:2", &["this is no YAML"]),
    (
        "elements: []\n---\nelements: []\n",
        "2:1",
        &["a second document"],
    ),
];

#[test]
fn each_is_told_with_its_place_and_a_mend() {
    for (text, place, says) in FAULTS {
        let Err(errors) = small(text) else {
            panic!("no fault found in {text}");
        };
        let told: Vec<String> = errors.iter().map(ToString::to_string).collect();
        assert_eq!(told.len(), 1, "{text}: {told:#?}");
        assert!(
            told[0].starts_with(&format!("0.yaml:{place}: ")),
            "{text}: {}",
            told[0]
        );
        for word in says {
            assert!(told[0].contains(word), "{text}: {}", told[0]);
        }
    }
}

#[test]
fn all_faults_are_told_at_once() {
    let text = "elements:\n  - {id: a1, nmaes: [x]}\n  - {id: a2, names: [zibbo], group: trimm, finds: [x]}\nareas:\n  - {id: a3, forms: [zibbo]}\n";
    let errors = small(text).err().unwrap();
    let lines: Vec<usize> = errors.iter().map(|e| e.line).collect();
    assert_eq!(lines, [2, 3, 5], "{errors:#?}");
}

/// A bomb of aliases, YAML that is far too deep, a file that is far too large: refused, and quickly.
#[test]
fn yaml_that_would_do_harm_is_refused() {
    let mut bomb = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x]\n");
    for i in 1..12 {
        let last = vec![format!("*a{}", i - 1); 9].join(", ");
        bomb.push_str(&format!("a{i}: &a{i} [{last}]\n"));
    }
    let deep = format!("elements: {}", "[".repeat(100_000));
    let deep_maps: String = (0..2000)
        .map(|i| format!("{}a:\n", " ".repeat(i)))
        .collect();
    let huge = format!("# {}\n", "x".repeat(5 << 20));
    let began = std::time::Instant::now();
    for (text, says) in [
        (&bomb, "anchors"),
        (&deep, "deep"),
        (&deep_maps, "deep"),
        (&huge, "bytes"),
    ] {
        let errors = small(text).err().unwrap();
        assert!(errors[0].what.contains(says), "{}", errors[0]);
    }
    // A bomb that goes off takes more than memory has; this is no measure of speed.
    assert!(began.elapsed().as_secs() < 60);
}

/// Lists far longer than any lexicon's are laid over each other, taken out and refused in a moment: nothing is compared each
/// with each.
#[test]
fn long_lists_take_no_longer_than_they_are() {
    let short = lay_long_lists(2_500);
    let long = lay_long_lists(20_000);
    // Eight times the length: each with each would take 64 times as long.
    assert!(long < short * 24, "{short:?}, {long:?}");
}

/// Lays lists of so many words over each other; how long it took.
fn lay_long_lists(many: usize) -> std::time::Duration {
    let words = |head: &str| {
        let all: Vec<String> = (0..many).map(|i| format!("{head}{i}x")).collect();
        all.join(", ")
    };
    let entry = "id: zibbo, names: [zibbo], group: trim, finds: [the zibbo is loose]";
    let below = format!("elements:\n  - {{{entry}, forms: [{}]}}\n", words("a"));
    let keys: Vec<String> = (0..many).map(|i| format!("k{i}: a")).collect();
    let unknown: Vec<String> = (0..many / 4)
        .map(|i| format!("{{id: zib{i}, remove: true}}"))
        .collect();
    let began = std::time::Instant::now();
    let over = |above: String| {
        let files = [
            ("small.yaml", SMALL),
            ("below.yaml", below.as_str()),
            ("above.yaml", above.as_str()),
        ];
        let text = |layer| {
            let (file, text) = files[layer];
            Text { file, text, layer }
        };
        compile(&[0, 1, 2].map(text))
    };
    let plain = over(String::new()).unwrap_or_else(|e| panic!("{}", e[0]));
    let plain = plain.data.forms.len();
    for (above, forms) in [
        (format!("forms: [{}]", words("b")), 2 * many),
        (format!("forms: [{}]", words("a")), many),
        (format!("drop: [{}]", words("a")), 0),
    ] {
        let made = over(format!("elements:\n  - {{id: zibbo, {above}}}\n"));
        let made = made.unwrap_or_else(|e| panic!("{}", e[0]));
        // Each form with its plural.
        assert_eq!(made.data.forms.len() + 2 * many, plain + 2 * forms);
    }
    for (above, errors, says) in [
        (
            format!("{{id: zibbo, {}}}", keys.join(", ")),
            1,
            "keys stand together",
        ),
        (
            format!("{{id: zibbo, drop: [{}]}}", words("c")),
            many,
            "to drop",
        ),
        (unknown.join(", "), many / 4, "no \"zib"),
    ] {
        let found = over(format!("elements: [{above}]\n")).err().unwrap();
        assert_eq!(found.len(), errors, "{}", found[0]);
        assert!(found[0].what.contains(says), "{}", found[0]);
    }
    began.elapsed()
}

#[test]
fn what_only_a_check_tells() {
    for (text, place, says) in [
        (
            "elements:\n  - {id: zibbo, names: [zibbo], group: trim}\n",
            "2:10",
            "has no example",
        ),
        (
            "dispatch:\n  - {id: one, elements: [door], trade: tile, finds: [the door is loose]}\n  - {id: two, elements: [door], works: [adjust], trade: tile, finds: [the door is loose]}\n",
            "3:10",
            "can never be reached",
        ),
        (
            "elements:\n  - {id: zibbo, names: [zibbo, um zibbo], group: trim, finds: [the zibbo is loose]}\n",
            "2:32",
            "can never be met, since it is read as \"zibbo\"",
        ),
    ] {
        let made = small(text).unwrap_or_else(|e| panic!("{e:#?}"));
        let report = check::compiled(&made);
        let told: Vec<String> = report.gaps.iter().map(ToString::to_string).collect();
        assert!(
            told.iter()
                .any(|t| t.starts_with(&format!("0.yaml:{place}: ")) && t.contains(says)),
            "{text}: {told:#?}"
        );
    }
}

#[test]
fn an_example_that_fails_tells_what_was_found() {
    let text = "elements:\n  - {id: zibbo, names: [zibbo], group: trim, finds: [the zibbo, the bathtub], ignores: [the zibbo is loose]}\n  - {id: towel-bar, forms: [skirting], finds: [the skirting is loose]}\n";
    let report = check::compiled(&laid(&[text]).unwrap());
    let (below, own): (Vec<_>, Vec<_>) = report.failures.iter().partition(|f| f.below);
    let own: Vec<String> = own.iter().map(|f| f.to_string()).collect();
    assert_eq!(
        own,
        [
            "0.yaml:2:65: elements/zibbo should be found in \"the bathtub\"; found there: bathtub",
            "0.yaml:2:89: elements/zibbo should not be found in \"the zibbo is loose\"; found there: zibbo",
        ]
    );
    // What the file changes below it is told apart.
    assert!(
        below
            .iter()
            .any(|f| f.id == "baseboard" && f.found == ["towel-bar"]),
        "{below:#?}"
    );
}

/// The built-in files by themselves, and one of them cut short.
#[test]
fn a_lexicon_of_ones_own_stands_alone() {
    let text = "trades: [{id: zibboer, name: Zibboer, groups: [zibboery], people: [zibboer], finds: [x]}]\nelements: [{id: zibbo, names: [zibbo], group: zibboery, finds: [x]}]\nfaults: [{id: zorched, name: zorched, state: [zorched], work: repair, finds: [x]}]\nareas: [{id: hall, name: Hall, forms: [hall], finds: [x]}]\n";
    let lexicon = Lexicon::from_texts(&[Text {
        file: "own.yaml",
        text,
        layer: 0,
    }])
    .unwrap();
    let made = super::item("Hall. The zibbo is zorched.", &lexicon);
    assert_eq!(made.trade.word(), "zibboer");
    assert_eq!(made.section, None);
}

/// Pieces of lexicon files, put together at random.
fn pieces() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "elements:\n",
        "trades: ",
        "areas:",
        "limits:\n",
        "  - {id: door, ",
        "- id: zibbo\n",
        "names: [door]",
        "group: trim, ",
        "remove: true",
        "drop: [door]",
        "replace: true, ",
        "finds: [x]",
        "}\n",
        "{",
        "[",
        "]",
        ": ",
        ", ",
        "~",
        "1.5",
        "\"é\\n\"",
        "#",
        "&a ",
        "*a",
        "- ",
        "\n",
        "  ",
        "trade: painter, ",
        "min: x, ",
        "|\n  text\n",
        "? ",
        "!!str ",
        "%",
        "\t",
    ]);
    prop::collection::vec(piece, 0..24).prop_map(|p| p.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever a file holds, it is read or refused with places that lie in it.
    #[test]
    fn of_any_text(text in prop_oneof![pieces(), ".{0,80}"]) {
        if let Err(errors) = small(&text) {
            prop_assert!(!errors.is_empty());
            for e in errors {
                prop_assert!(e.line >= 1 && e.line <= text.split(['\n', '\r']).count() + 1, "{e}");
                prop_assert!(e.column >= 1 && !e.what.is_empty(), "{e}");
            }
        }
    }
}
