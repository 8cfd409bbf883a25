//! The trades against `../shared/data/trade-sections.tsv` (MasterFormat 2016 sections, NAICS classes; provenance in the file).

mod common;

use storystick::lexicon::Lexicon;

#[test]
fn sections_are_those_of_the_table() {
    let Some(shared) = common::shared() else {
        return;
    };
    let table = std::fs::read_to_string(shared.join("data/trade-sections.tsv")).unwrap();
    let lexicon = Lexicon::builtin();
    let mut rows = 0;
    for line in table.lines().filter(|l| !l.starts_with('#')).skip(1) {
        let f: Vec<&str> = line.split('\t').collect();
        let entry = lexicon
            .data()
            .trades
            .iter()
            .find(|t| t.id == f[0])
            .unwrap_or_else(|| panic!("no trade {}", f[0]));
        assert_eq!(
            (entry.section.as_str(), entry.title.as_str()),
            (f[1], f[2]),
            "{}",
            f[0]
        );
        assert_eq!(entry.naics.as_deref().unwrap_or(""), f[3], "{}", f[0]);
        rows += 1;
    }
    assert_eq!(rows, 25);
}
