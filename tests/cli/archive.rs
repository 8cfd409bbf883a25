//! Many walks in one run: `--each` over folders and patterns, `--lines`, and a watched folder.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::process::{Command as Plain, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::{WALKS, done, example, examples, run, storystick};

const GOOD: &str = "[0:01] Kitchen.\n[0:03] The door is scratched.\n";

#[test]
fn one_bad_walk_does_not_stop_the_rest() {
    let folder = tempfile::tempdir().unwrap();
    for n in [2, 10, 1] {
        fs::write(
            folder.path().join(format!("walk {n}.txt")),
            format!("{GOOD}[0:0{}] Right.\n", n % 7 + 4),
        )
        .unwrap();
    }
    fs::write(folder.path().join("walk 3.vtt"), "no transcript").unwrap();
    let path = folder.path().to_str().unwrap();
    let (code, out, err) = run(&mut storystick(&["list", "--each", "-f", "json", path]));
    assert_eq!(code, 1);
    assert!(err.contains("walk 3.vtt"), "{err}");
    let files: Vec<Value> = out
        .lines()
        .map(|l| serde_json::from_str::<Value>(l).unwrap()["walks"][0]["file"].clone())
        .collect();
    assert_eq!(files, ["walk 1.txt", "walk 2.txt", "walk 10.txt"]);
    let (code, out, err) = run(&mut storystick(&[
        "list",
        "--each",
        "--fail-fast",
        "-f",
        "json",
        path,
    ]));
    assert_eq!((code, out.as_str()), (1, ""));
    assert!(err.contains("walk 3.vtt"), "{err}");
}

#[test]
fn a_pattern_that_no_shell_filled_in() {
    let pattern = examples().join("*-*.vtt");
    let by_pattern = done(&["list", "--each", "-f", "json", pattern.to_str().unwrap()]);
    assert_eq!(
        by_pattern,
        done(&["list", "--each", "-f", "json", &example(WALKS[0])])
    );
    let (code, _, err) = run(&mut storystick(&["list", "--each", "no-such-*.vtt"]));
    assert_eq!(code, 2);
    assert!(err.contains("no-such-*.vtt: no such file"), "{err}");
}

#[test]
fn many_walks_come_in_their_order() {
    let folder = tempfile::tempdir().unwrap();
    for n in 0..200 {
        fs::write(
            folder.path().join(format!("{n}.txt")),
            format!("{GOOD}[0:09] Room {n}. The sash sticks.\n"),
        )
        .unwrap();
    }
    let path = folder.path().to_str().unwrap();
    let out = done(&["list", "--each", "-f", "json", path]);
    assert_eq!(out.lines().count(), 200);
    for (n, line) in out.lines().enumerate() {
        let list: Value = serde_json::from_str(line).unwrap();
        assert_eq!(list["walks"][0]["file"], format!("{n}.txt"));
    }
}

#[test]
fn lines_give_a_list_or_an_error_each() {
    let mut input = String::new();
    for name in WALKS {
        let text = fs::read_to_string(examples().join(name)).unwrap();
        input.push_str(&json!({"name": name, "text": text}).to_string());
        input.push('\n');
    }
    let segments = json!([{"start": 1.0, "end": 3.0, "text": "Kitchen. The door is scratched."}]);
    input.push_str(&json!({"name": "s", "segments": segments}).to_string());
    input.push_str(
        "\n\nnot json\n{\"name\": \"empty\", \"text\": \"\"}\n{\"text\": \"[0:01] x\"}\n",
    );
    let (code, out, err) = run(storystick(&["list", "--lines"]).write_stdin(input));
    assert_eq!((code, err.as_str()), (0, ""));
    let answers: Vec<Value> = out
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    assert_eq!(answers.len(), 8);
    for (answer, name) in answers.iter().zip(WALKS) {
        let alone: Value =
            serde_json::from_str(&done(&["list", "-f", "json", &example(name)])).unwrap();
        assert_eq!((&answer["name"], &answer["list"]), (&json!(name), &alone));
    }
    assert_eq!(answers[4]["list"]["items"][0]["element"], "door");
    assert!(
        answers[5]["error"]
            .as_str()
            .unwrap()
            .starts_with("line 7: ")
    );
    assert_eq!(answers[6]["name"], "empty");
    assert!(answers[6]["error"].is_string() && answers[7]["error"].is_string());
}

#[test]
fn a_line_is_answered_before_the_next_one_comes() {
    let mut child = Plain::new(assert_cmd::cargo::cargo_bin("storystick"))
        .args(["list", "--lines"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut to = child.stdin.take().unwrap();
    let mut from = BufReader::new(child.stdout.take().unwrap());
    for n in 0..3 {
        writeln!(to, "{}", json!({"name": n.to_string(), "text": GOOD})).unwrap();
        let mut answer = String::new();
        from.read_line(&mut answer).unwrap();
        assert!(
            answer.starts_with(&format!("{{\"name\":\"{n}\",\"list\":")),
            "{answer}"
        );
    }
    // Whoever leaves early has what they wanted.
    drop(from);
    let _ = writeln!(to, "{}", json!({"name": "x", "text": GOOD}));
    drop(to);
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

/// Waits for a file to be there, and gives it.
fn wait_for(path: &std::path::Path) -> String {
    let until = Instant::now() + Duration::from_secs(60);
    while Instant::now() < until {
        if let Ok(text) = fs::read_to_string(path) {
            return text;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    panic!("{} never came", path.display());
}

#[test]
fn a_watched_folder() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::write(at("before.txt"), GOOD).unwrap();
    fs::write(at("had.txt"), GOOD).unwrap();
    fs::write(at("had.txt.list.json"), "a person's own").unwrap();
    let watch = || {
        Plain::new(assert_cmd::cargo::cargo_bin("storystick"))
            .args(["watch", "--settle", "0.6"])
            .arg(folder.path())
            .stderr(Stdio::null())
            .spawn()
            .unwrap()
    };
    let mut child = watch();
    wait_for(&at("before.txt.list.json"));
    // Dropped in by halves: read once it is whole.
    let mut file = fs::File::create(at("slow.txt")).unwrap();
    for line in GOOD.lines() {
        writeln!(file, "{line}").unwrap();
        file.sync_all().unwrap();
        std::thread::sleep(Duration::from_millis(200));
    }
    drop(file);
    let slow: Value = serde_json::from_str(&wait_for(&at("slow.txt.list.json"))).unwrap();
    assert_eq!(slow["items"].as_array().unwrap().len(), 1);
    child.kill().unwrap();
    child.wait().unwrap();
    // What comes while nobody watches is made after the next start.
    fs::write(at("between.txt"), GOOD).unwrap();
    fs::write(at("broken.vtt"), "no transcript").unwrap();
    let mut child = watch();
    wait_for(&at("between.txt.list.json"));
    child.kill().unwrap();
    child.wait().unwrap();
    assert_eq!(
        fs::read_to_string(at("had.txt.list.json")).unwrap(),
        "a person's own"
    );
    assert!(!at("broken.vtt.list.json").exists());
    assert!(!at("had.txt.list.json.list.json").exists());
}
