//! `-o`: which format, which file, and what must not be written over.

use std::fs;

use serde_json::Value;

use super::{WALKS, done, example, storystick, trouble};

#[test]
fn the_ending_picks_the_format() {
    let folder = tempfile::tempdir().unwrap();
    for (name, starts) in [
        ("list.json", "{\n  \"schema\""),
        ("list.csv", "number,id,"),
        ("list.md", "# Punch list from "),
        ("list.txt", "Punch list from "),
    ] {
        let path = folder.path().join(name);
        assert_eq!(
            done(&["list", &example(WALKS[0]), "-o", path.to_str().unwrap()]),
            ""
        );
        assert!(
            fs::read_to_string(&path).unwrap().starts_with(starts),
            "{name}"
        );
    }
    let path = folder.path().join("list.jsonl");
    done(&["list", &example(WALKS[0]), "-o", path.to_str().unwrap()]);
    assert!(
        fs::read_to_string(&path)
            .unwrap()
            .lines()
            .all(|l| l.starts_with("{\"file\""))
    );
    assert_eq!(
        fs::read_dir(folder.path()).unwrap().count(),
        5,
        "nothing is left beside"
    );
}

#[test]
fn format_wins_over_the_ending() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.dat");
    let to = path.to_str().unwrap();
    assert!(trouble(&mut storystick(&["list", &example(WALKS[0]), "-o", to])).contains("--format"));
    done(&["list", &example(WALKS[0]), "-o", to, "--format", "csv"]);
    assert!(fs::read_to_string(&path).unwrap().starts_with("number,id,"));
}

#[test]
fn saved_is_what_would_be_printed() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("list.json");
    done(&["list", &example(WALKS[0]), "-o", path.to_str().unwrap()]);
    assert_eq!(
        fs::read_to_string(&path).unwrap(),
        done(&["list", &example(WALKS[0]), "-f", "json"])
    );
    assert!(done(&["list", &example(WALKS[0]), "-o", "-"]).starts_with("Punch list from "));
}

#[test]
fn the_walk_is_never_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("walk.json");
    fs::copy(example("before-the-keys-hang.json"), &path).unwrap();
    let before = fs::read(&path).unwrap();
    let (walk, dir) = (path.to_str().unwrap(), folder.path().to_str().unwrap());
    assert!(trouble(&mut storystick(&["list", walk, "-o", walk])).contains("one of the walks"));
    assert!(
        trouble(&mut storystick(&["list", "--each", dir, "-o", dir])).contains("one of the walks")
    );
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn a_list_in_the_walks_folder_is_saved_again() {
    let folder = tempfile::tempdir().unwrap();
    fs::copy(example(WALKS[0]), folder.path().join("walk.vtt")).unwrap();
    let path = folder.path().join("list.csv");
    let args = [
        "list",
        folder.path().to_str().unwrap(),
        "-o",
        path.to_str().unwrap(),
    ];
    done(&args);
    let first = fs::read(&path).unwrap();
    done(&args);
    assert_eq!(fs::read(&path).unwrap(), first);
}

#[test]
fn each_saves_one_file_a_walk() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("lists");
    done(&[
        "list",
        "--each",
        &example(WALKS[0]),
        &example(WALKS[1]),
        "-o",
        to.to_str().unwrap(),
    ]);
    for walk in [WALKS[0], WALKS[1]] {
        let path = to.join(walk).with_extension("json");
        let list: Value = serde_json::from_slice(&fs::read(path).unwrap()).unwrap();
        assert_eq!(list["walks"][0]["file"], *walk);
    }
    done(&[
        "list",
        "--each",
        &example(WALKS[2]),
        "-o",
        to.to_str().unwrap(),
        "-f",
        "md",
    ]);
    assert!(to.join(WALKS[2]).with_extension("md").exists());
}

#[test]
fn where_nothing_can_be_saved() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().to_str().unwrap();
    assert!(trouble(&mut storystick(&["list", &example(WALKS[0]), "-o", dir])).contains("--each"));
    let missing = folder.path().join("no").join("list.json");
    let err = trouble(&mut storystick(&[
        "list",
        &example(WALKS[0]),
        "-o",
        missing.to_str().unwrap(),
    ]));
    assert!(err.contains("list.json") && err.contains("folder"), "{err}");
}
