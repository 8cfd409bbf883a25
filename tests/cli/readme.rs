//! The README against the program.

use super::{done, run, storystick};

fn readme() -> String {
    std::fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md"))
        .unwrap()
}

/// The real run, where the README shows one: a `text` block after the mark.
#[test]
fn the_run_it_shows_is_what_comes_out() {
    let readme = readme();
    let walk = readme
        .lines()
        .find_map(|l| l.strip_prefix("cargo run --release -- list "))
        .expect("the README shows a run");
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(walk);
    let out = done(&["list", path.to_str().unwrap()]);
    let (_, after) = readme
        .split_once("<!-- real run -->\n")
        .expect("the README marks the real run");
    if let Some(block) = after.trim_start().strip_prefix("```text\n") {
        let (shown, _) = block.split_once("```").unwrap();
        assert_eq!(shown, out);
    }
}

#[test]
fn every_option_it_names_is_known() {
    let mut help = String::new();
    for args in [
        &["--help"][..],
        &["list", "--help"],
        &["handouts", "--help"],
        &["plan", "--help"],
        &["review", "--help"],
        &["rewalk", "--help"],
        &["lexicon", "try", "--help"],
    ] {
        help.push_str(&run(&mut storystick(args)).1);
    }
    let readme = readme();
    for word in readme.split(|c: char| c.is_whitespace() || c == '`' || c == ')') {
        let ours = word.starts_with("--")
            && word.as_bytes().get(2).is_some_and(u8::is_ascii_lowercase)
            && word != "--release";
        assert!(
            !ours || help.contains(word.trim_end_matches([',', '.', ';'])),
            "{word}"
        );
    }
}
