//! `-o`: which format, which file, and what must not be written over.

use std::fs;

use serde_json::Value;

use super::{WALKS, done, example, run, storystick, trouble};

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

/// A saved list on which people decided: item 1 closed, item 2 dropped, item 3 with another trade and a date.
fn decided(folder: &std::path::Path) -> String {
    let list = folder.join("list.json").to_str().unwrap().to_string();
    done(&["list", &example(WALKS[0]), "-o", &list]);
    for what in [
        &["close", "1", "not-ours"][..],
        &["drop", "2"],
        &["3", "trade=tile", "by=2026-03-10"],
    ] {
        let mut args = vec!["change", list.as_str(), "--by", "owner"];
        args.extend(what);
        assert_eq!(run(&mut storystick(&args)).0, 0, "{what:?}");
    }
    list
}

#[test]
fn a_saved_list_is_printed_as_people_left_it() {
    let folder = tempfile::tempdir().unwrap();
    let list = decided(folder.path());
    let bytes = fs::read(&list).unwrap();
    let saved: Value = serde_json::from_slice(&bytes).unwrap();
    let (left, dropped) = (&saved["items"], &saved["dropped"][0]);
    let gone = dropped["text"].as_str().unwrap();
    let count = left.as_array().unwrap().len();
    let print = |format: &str| done(&["list", &list, "-f", format]);

    let csv = print("csv");
    let mut rows = csv::Reader::from_reader(csv.as_bytes());
    let rows: Vec<std::collections::HashMap<String, String>> =
        rows.deserialize().map(Result::unwrap).collect();
    let column = |name: &str| -> Vec<&str> { rows.iter().map(|r| r[name].as_str()).collect() };
    assert_eq!(rows.len(), count);
    assert_eq!(column("number")[..3], ["1", "3", "4"]);
    assert_eq!(column("closed")[..3], ["not-ours", "", ""]);
    assert_eq!(column("trade")[1], "tile");
    assert_eq!(column("by_date")[1], "2026-03-10");

    let jsonl: Vec<Value> = print("jsonl")
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    assert_eq!(jsonl.len(), count);
    assert_eq!(jsonl[0]["file"], WALKS[0]);
    assert_eq!(jsonl[0]["closed"], "not-ours");
    assert_eq!(jsonl[1]["decided"], left[1]["decided"]);

    for (format, closed) in [
        ("table", "[closed: not ours]"),
        ("md", "**closed: not ours**"),
        ("html", ">closed: not ours<"),
    ] {
        let text = print(format);
        assert!(text.contains(closed), "{format}: {text}");
        assert!(text.contains("1 closed"), "{format}: {text}");
        assert!(!text.contains(gone), "{format}: {text}");
    }
    assert_eq!(
        serde_json::from_str::<Value>(&print("json")).unwrap(),
        saved
    );

    let bcf = folder.path().join("list.bcf");
    done(&[
        "list",
        &list,
        "-o",
        bcf.to_str().unwrap(),
        "--now",
        "2026-03-04T05:06:07Z",
    ]);
    // The entries of the archive are stored as they are.
    let bcf = String::from_utf8_lossy(&fs::read(&bcf).unwrap()).into_owned();
    assert_eq!(bcf.matches("TopicStatus=\"closed\"").count(), 1);
    assert_eq!(bcf.matches("<Topic Guid").count(), count);
    assert!(bcf.contains("<DueDate>2026-03-10T23:59:59</DueDate>"));

    // From standard input too, and the list itself is never touched.
    let (code, out, err) = run(storystick(&["list", "-", "-f", "csv"]).write_stdin(bytes.clone()));
    assert_eq!((code, out.as_str(), err.as_str()), (0, csv.as_str(), ""));
    assert_eq!(fs::read(&list).unwrap(), bytes);
}

#[test]
fn a_saved_list_is_printed_alone_and_only_elsewhere() {
    let folder = tempfile::tempdir().unwrap();
    let list = decided(folder.path());
    let before = fs::read(&list).unwrap();
    let other = folder.path().join("other.json");
    fs::copy(&list, &other).unwrap();
    let (walk, other) = (example(WALKS[0]), other.to_str().unwrap());
    for (args, says) in [
        (&[list.as_str(), walk.as_str()][..], "the list alone"),
        (&[list.as_str(), other], "the list alone"),
        (&[list.as_str(), "-o", &list], "another name for -o"),
        (&[list.as_str(), "-o", other], "another name for -o"),
        (
            &[list.as_str(), "--recorded", "2026-03-02"],
            "--recorded would change nothing",
        ),
        (&[list.as_str(), "--each"], "--each would change nothing"),
    ] {
        let mut all = vec!["list"];
        all.extend(args);
        let err = trouble(&mut storystick(&all));
        assert!(err.contains(says), "{args:?}: {err}");
    }
    assert_eq!(fs::read(&list).unwrap(), before);
    assert_eq!(fs::read(other).unwrap(), before);
}
