//! Whole lists of the examples, as snapshots: as data for each, as the table for one.

use std::path::{Path, PathBuf};

use storystick::lexicon::Lexicon;
use storystick::list::List;
use storystick::report::{self, Format, Look};
use storystick::{pipeline, transcript};

fn examples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.is_file())
        .collect();
    paths.sort();
    paths
}

fn list(path: &Path, lexicon: &Lexicon) -> List {
    let name = path.file_name().unwrap().to_string_lossy();
    let bytes = std::fs::read(path).unwrap();
    let walk = transcript::read(&bytes, &name, &Default::default())
        .unwrap_or_else(|e| panic!("{name}: {e}"));
    pipeline::list(&[walk], lexicon)
}

#[test]
fn of_every_example() {
    let lexicon = Lexicon::builtin();
    for path in examples() {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let list = list(&path, &lexicon);
        insta::assert_snapshot!(name, serde_json::to_string_pretty(&list).unwrap());
    }
}

#[test]
fn of_one_as_a_table() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/keys-came-back.txt");
    let list = list(&path, &Lexicon::builtin());
    let look = Look {
        passed_over: true,
        ..Look::default()
    };
    let mut table = Vec::new();
    report::write(&list, Format::Table, &look, &mut table).unwrap();
    insta::assert_snapshot!("keys-came-back.table", String::from_utf8(table).unwrap());
}
