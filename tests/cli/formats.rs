//! What each command and format gives.

use serde_json::Value;

use super::{WALKS, done, example, examples, run, storystick};

#[test]
fn help_and_version_go_to_standard_output() {
    for args in [
        &["--help"][..],
        &["list", "--help"],
        &["lexicon", "check", "--help"],
    ] {
        let help = done(args);
        assert!(help.contains("Usage: storystick"), "{args:?}");
    }
    assert!(done(&["list", "--help"]).contains("Exit status:"));
    assert_eq!(
        done(&["--version"]),
        format!("storystick {}\n", env!("CARGO_PKG_VERSION"))
    );
}

#[test]
fn each_example_in_each_format() {
    for walk in WALKS {
        let path = example(walk);
        let table = done(&["list", &path]);
        assert!(
            table.starts_with(&format!("Punch list from {walk}, ")),
            "{table}"
        );
        assert!(table.lines().all(|l| l.chars().count() <= 80));

        let json = done(&["list", &path, "--format", "json"]);
        let list: Value = serde_json::from_str(&json).unwrap();
        assert_eq!(list["schema"], "storystick/list/1");
        assert_eq!(list["walks"][0]["file"], *walk);
        let items = list["items"].as_array().unwrap();

        let jsonl = done(&["list", &path, "--format", "jsonl"]);
        assert_eq!(jsonl.lines().count(), items.len());
        for line in jsonl.lines() {
            assert_eq!(serde_json::from_str::<Value>(line).unwrap()["file"], *walk);
        }

        let csv = done(&["list", &path, "--format", "csv"]);
        assert!(csv.starts_with("number,id,area,"));
        assert_eq!(
            csv::Reader::from_reader(csv.as_bytes())
                .records()
                .map(Result::unwrap)
                .count(),
            items.len()
        );

        let md = done(&["list", &path, "--format", "md"]);
        assert!(md.starts_with(&format!("# Punch list from {walk}, ")));

        let validator = jsonschema::draft202012::new(&storystick::list::schema()).unwrap();
        assert!(validator.is_valid(&list), "{walk}");
    }
}

#[test]
fn the_same_bytes_twice() {
    for format in ["table", "json", "jsonl", "csv", "md"] {
        let args = ["list", &example(WALKS[0]), "--format", format];
        assert_eq!(done(&args), done(&args), "{format}");
    }
}

#[test]
fn several_walks_are_one_job() {
    let list: Value = serde_json::from_str(&done(&[
        "list",
        &example(WALKS[1]),
        &example(WALKS[0]),
        "-f",
        "json",
    ]))
    .unwrap();
    let walks: Vec<&str> = list["walks"]
        .as_array()
        .unwrap()
        .iter()
        .map(|w| w["file"].as_str().unwrap())
        .collect();
    assert_eq!(walks, [WALKS[1], WALKS[0]]);
    assert_eq!(list["walks"][1]["id"], "w2");
}

#[test]
fn a_folder_is_read_in_the_order_of_its_names() {
    let folder = tempfile::tempdir().unwrap();
    let walk = std::fs::read_to_string(example(WALKS[0])).unwrap();
    for name in ["part 10.vtt", "part 2.vtt", "part 1.vtt"] {
        std::fs::write(folder.path().join(name), format!("{walk}\nNOTE {name}\n")).unwrap();
    }
    std::fs::write(folder.path().join("roof.jpg"), b"\xff\xd8\0\0").unwrap();
    std::fs::write(folder.path().join("notes.md"), "bring the ladder\n").unwrap();
    std::fs::write(
        folder.path().join("old.json"),
        r#"{"schema": "storystick/list/1"}"#,
    )
    .unwrap();
    std::fs::write(folder.path().join(".hidden"), "x").unwrap();
    std::fs::create_dir(folder.path().join("older")).unwrap();
    let (code, out, err) = run(&mut storystick(&[
        "list",
        folder.path().to_str().unwrap(),
        "-f",
        "json",
    ]));
    assert_eq!(code, 0, "{err}");
    let list: Value = serde_json::from_str(&out).unwrap();
    let walks: Vec<&str> = list["walks"]
        .as_array()
        .unwrap()
        .iter()
        .map(|w| w["file"].as_str().unwrap())
        .collect();
    assert_eq!(walks, ["part 1.vtt", "part 2.vtt", "part 10.vtt"]);
    let notes: Vec<&str> = err.lines().filter(|l| l.starts_with("note: ")).collect();
    assert_eq!(notes.len(), 1, "{err}");
    assert!(
        notes[0].ends_with("skipped, no transcript: notes.md, old.json, roof.jpg"),
        "{err}"
    );
}

#[test]
fn the_same_walk_named_twice_is_read_once() {
    let (code, out, err) = run(&mut storystick(&[
        "list",
        &example(WALKS[0]),
        &example(WALKS[0]),
        "-f",
        "json",
    ]));
    assert_eq!(code, 0);
    assert_eq!(
        serde_json::from_str::<Value>(&out).unwrap()["walks"]
            .as_array()
            .unwrap()
            .len(),
        1
    );
    assert!(
        err.starts_with("note: ") && err.contains("read once"),
        "{err}"
    );
}

#[test]
fn each_makes_one_list_a_walk() {
    let folder = examples();
    let folder = folder.to_str().unwrap();
    let lines = done(&["list", "--each", folder, "-f", "json"]);
    let files: Vec<String> = lines
        .lines()
        .map(|l| {
            serde_json::from_str::<Value>(l).unwrap()["walks"][0]["file"]
                .as_str()
                .unwrap()
                .to_string()
        })
        .collect();
    let mut names = WALKS.map(String::from);
    names.sort();
    assert_eq!(files, names);
    assert_eq!(
        done(&["list", "--each", folder])
            .matches("Punch list from ")
            .count(),
        WALKS.len()
    );
}

#[test]
fn a_dash_is_standard_input() {
    let walk = std::fs::read(example(WALKS[0])).unwrap();
    let (code, out, err) = run(storystick(&["list", "-"]).write_stdin(walk.clone()));
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.starts_with("Punch list from standard input, "));
    let (_, out, _) = run(storystick(&["list", "-", "-f", "json"]).write_stdin(walk));
    assert_eq!(
        serde_json::from_str::<Value>(&out).unwrap()["walks"][0]["file"],
        "-"
    );
}

#[test]
fn lossy_reads_past_what_is_no_utf8() {
    let walk = [
        std::fs::read(example(WALKS[0])).unwrap(),
        b"\n\xff\n".to_vec(),
    ]
    .concat();
    let (code, out, _) = run(storystick(&["list", "--lossy", "-"]).write_stdin(walk));
    assert_eq!(code, 0);
    assert!(out.starts_with("Punch list from "));
}

#[test]
fn the_schema_is_printed() {
    let printed: Value = serde_json::from_str(&done(&["schema"])).unwrap();
    assert_eq!(printed, storystick::list::schema());
}

#[test]
fn completions_for_each_shell() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        assert!(
            done(&["completions", shell]).contains("passed-over"),
            "{shell}"
        );
    }
}

#[test]
fn manual_pages() {
    assert!(done(&["man"]).contains(".TH storystick 1"));
    let page = done(&["man", "list"]);
    assert!(page.contains(".TH storystick-list 1") && page.contains("passed"));
}

#[test]
fn the_built_in_lexicon_is_sound() {
    let (code, _, err) = run(&mut storystick(&["lexicon", "check"]));
    assert_eq!(code, 0, "{err}");
}
