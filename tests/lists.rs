//! Whole lists of the examples, as snapshots.

use std::path::Path;

use storystick::lexicon::Lexicon;
use storystick::{pipeline, transcript};

#[test]
fn of_every_example() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    paths.sort();
    let lexicon = Lexicon::builtin();
    for path in paths {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let bytes = std::fs::read(&path).unwrap();
        let Ok(walk) = transcript::read(&bytes, &name, &Default::default()) else {
            continue;
        };
        let list = pipeline::list(&[walk], &lexicon);
        insta::assert_snapshot!(name, serde_json::to_string_pretty(&list).unwrap());
    }
}
