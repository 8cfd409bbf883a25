//! The lexicon and the output against outside material in `../shared`.
//!
//! `data/trade-sections.tsv` holds MasterFormat 2016 sections and NAICS classes; the file says where each was read.

mod common;

use std::collections::BTreeSet;
use std::path::Path;

use storystick::lexicon::Lexicon;

#[test]
fn sections_are_those_of_the_table() {
    let Some(shared) = common::shared() else {
        return;
    };
    let table = std::fs::read_to_string(shared.join("data/trade-sections.tsv")).unwrap();
    let lexicon = Lexicon::builtin();
    let mut seen = BTreeSet::new();
    for line in table.lines().filter(|l| !l.starts_with('#')).skip(1) {
        let f: Vec<&str> = line.split('\t').collect();
        let entry = lexicon
            .data()
            .trades
            .iter()
            .find(|t| t.id == f[0])
            .unwrap_or_else(|| panic!("no trade {}", f[0]));
        assert_eq!(
            (
                entry.section.as_str(),
                entry.title.as_str(),
                entry.naics.as_deref().unwrap_or("")
            ),
            (f[1], f[2], f[3]),
            "{}",
            f[0]
        );
        assert!(seen.insert(f[0].to_string()), "{} stands twice", f[0]);
    }
    let ours: BTreeSet<String> = lexicon.data().trades.iter().map(|t| t.id.clone()).collect();
    assert_eq!(seen, ours);
}

#[test]
fn lists_of_the_examples_are_valid_by_the_printed_schema() {
    let run = |args: &[&str]| -> serde_json::Value {
        let out = std::process::Command::new(env!("CARGO_BIN_EXE_storystick"))
            .args(args)
            .output()
            .expect("the program runs");
        assert!(
            out.status.success(),
            "{args:?}: {}",
            String::from_utf8_lossy(&out.stderr)
        );
        serde_json::from_slice(&out.stdout).unwrap_or_else(|e| panic!("{args:?}: {e}"))
    };
    let validator = jsonschema::draft202012::new(&run(&["schema"])).expect("a schema of 2020-12");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut n = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            continue;
        }
        let list = run(&["list", "--format", "json", path.to_str().unwrap()]);
        let wrong: Vec<String> = validator
            .iter_errors(&list)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{}: {wrong:#?}", path.display());
        n += 1;
    }
    assert!(n >= 3, "only {n} examples");
}
