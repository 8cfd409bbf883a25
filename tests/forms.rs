//! The lexicon's forms are found where a plain scan for all of them finds them as whole words.

use aho_corasick::{AhoCorasick, AhoCorasickKind};
use storystick::lexicon::{Hit, Lexicon};
use storystick::pipeline::normalize::Speech;
use storystick::transcript::{ReadOptions, Reading, read};

#[test]
fn the_same_as_a_scan_for_all_forms() {
    let lexicon = Lexicon::builtin();
    let scan = AhoCorasick::builder()
        .kind(Some(AhoCorasickKind::ContiguousNFA))
        .build(lexicon.data().forms.iter().map(|f| f.text))
        .unwrap();
    let mut all = 0;
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/examples")).unwrap() {
        let path = entry.unwrap().path();
        if !path.is_file() {
            continue;
        }
        let walk = read(
            &std::fs::read(&path).unwrap(),
            "walk",
            &ReadOptions::default(),
        )
        .unwrap();
        let reading = Reading::new(&walk);
        let folded = Speech::new(&reading, &lexicon).folded;
        let bytes = folded.as_bytes();
        let expected: Vec<Hit> = scan
            .find_overlapping_iter(&folded)
            .filter(|m| {
                (m.start() == 0 || bytes[m.start() - 1] == b' ')
                    && (m.end() == bytes.len() || bytes[m.end()] == b' ')
            })
            .map(|m| Hit {
                form: m.pattern().as_usize(),
                start: m.start(),
                end: m.end(),
            })
            .collect();
        assert_eq!(lexicon.hits(&folded), expected, "{}", path.display());
        all += expected.len();
    }
    assert!(all > 500, "{all}");
    assert_eq!(lexicon.hits(""), []);
}
