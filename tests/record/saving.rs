//! Two writers, and a writer that is killed.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::{sleep, spawn};
use std::time::Duration;

use serde_json::{Value, json};
use storystick::record::{self, Record, RecordError};

use super::{apply, list};

fn put(folder: &Path) -> std::path::PathBuf {
    let path = folder.join("mill.json");
    fs::write(&path, format!("{:#}\n", list())).unwrap();
    path
}

#[test]
fn no_change_of_two_writers_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let path = put(folder.path());
    let writers: Vec<_> = (0..4)
        .map(|_| {
            let path = path.clone();
            spawn(move || {
                for _ in 0..12 {
                    let add = json!({"op": "add", "fields": {"area": "Kitchen", "element": "sill", "work": "clean", "trade": "cleaner"}});
                    record::update(&path, |r| apply(r, add.clone())).unwrap();
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    let record = Record::open(&path).unwrap();
    assert_eq!(record.value()["items"].as_array().unwrap().len(), 3 + 48);
    let names: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(names, ["mill.json"]);
}

#[test]
fn revisions_tell_versions_apart_and_errors_save_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = put(folder.path());
    let first = Record::open(&path).unwrap().revision().to_string();
    let bytes = fs::read(&path).unwrap();
    let failed: Result<((), String), RecordError> = record::update(&path, |r| {
        apply(r, json!({"op": "drop", "id": "1"}))?;
        apply(r, json!({"op": "drop", "id": "1"}))?;
        Ok(())
    });
    assert!(failed.is_err());
    assert_eq!(fs::read(&path).unwrap(), bytes);
    let (_, second) =
        record::update(&path, |r| apply(r, json!({"op": "drop", "id": "1"}))).unwrap();
    assert_ne!(first, second);
    assert_eq!(Record::open(&path).unwrap().revision(), second);
}

#[test]
fn a_held_lock_is_waited_for() {
    let folder = tempfile::tempdir().unwrap();
    let path = put(folder.path());
    let (here, there) = (path.clone(), path.clone());
    let slow = spawn(move || {
        record::update(&here, |r| {
            sleep(Duration::from_millis(300));
            apply(r, json!({"op": "set", "id": "1", "fields": {"by": "noon"}}))
        })
        .unwrap();
    });
    sleep(Duration::from_millis(100));
    record::update(&there, |r| {
        assert_eq!(
            r.item("1").unwrap()["by"],
            "noon",
            "read after the other had saved"
        );
        apply(r, json!({"op": "accept", "id": "1"}))
    })
    .unwrap();
    slow.join().unwrap();
}

/// Saves without end, in a process of its own that [`killed_at_any_moment`] starts and kills; else nothing.
#[test]
fn saves_without_end() {
    let Some(path) = std::env::var_os("STORYSTICK_TEST_SAVES") else {
        return;
    };
    for n in 0u32.. {
        record::update(Path::new(&path), |r| apply(r, json!({"op": "set", "id": "1", "fields": {"by": format!("save {n} {}", "x".repeat(40_000))}})))
            .unwrap();
    }
}

#[test]
fn killed_at_any_moment() {
    let folder = tempfile::tempdir().unwrap();
    let path = put(folder.path());
    let mut seen = std::collections::BTreeSet::new();
    for round in 0..200u64 {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "saving::saves_without_end"])
            .env("STORYSTICK_TEST_SAVES", &path)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Not before it is at it, then at another moment each time.
        let before = fs::read(&path).unwrap();
        while fs::read(&path).unwrap() == before {
            assert!(child.try_wait().unwrap().is_none(), "it ended by itself");
            sleep(Duration::from_micros(200));
        }
        sleep(Duration::from_micros(round * 37 % 5000));
        child.kill().unwrap();
        child.wait().unwrap();
        let record = Record::open(&path).unwrap();
        let by: &Value = &record.value()["items"][0]["by"];
        let by = by.as_str().unwrap();
        assert!(by.starts_with("save ") && by.ends_with(&"x".repeat(40_000)));
        seen.insert(by.len());
        seen.insert(by[5..].split(' ').next().unwrap().len() + 100_000);
    }
    assert!(!seen.is_empty());
    // The next writer is not kept out by what the killed ones left.
    record::update(&path, |r| apply(r, json!({"op": "accept", "id": "2"}))).unwrap();
}
