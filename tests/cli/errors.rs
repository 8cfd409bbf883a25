//! Bad arguments and bad input: exit code 2, nothing on standard output, and what, where and what to do on standard error.

use std::fs;

use super::{WALKS, done, example, run, storystick, trouble};

/// A run over one file of these bytes, which must fail.
fn refused(name: &str, bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    fs::write(&path, bytes).unwrap();
    let err = trouble(&mut storystick(&["list", path.to_str().unwrap()]));
    assert!(err.starts_with("error: ") && err.contains(name), "{err}");
    assert_eq!(err.lines().count(), 1, "{err}");
    err
}

#[test]
fn no_arguments_show_how() {
    assert!(trouble(&mut storystick(&[])).contains("Usage: storystick"));
    assert!(trouble(&mut storystick(&["list"])).contains("WALK"));
}

#[test]
fn a_word_that_is_not_known() {
    let err = trouble(&mut storystick(&["list", "x.vtt", "--format", "pdf"]));
    assert!(err.contains("pdf") && err.contains("jsonl"), "{err}");
    assert!(trouble(&mut storystick(&["wander"])).contains("wander"));
    assert!(trouble(&mut storystick(&["completions", "sh97"])).contains("sh97"));
    assert!(trouble(&mut storystick(&["man", "wander"])).contains("the commands are list, "));
    assert!(trouble(&mut storystick(&["list", "x.vtt", "--width", "7"])).contains("32"));
}

#[test]
fn a_missing_file() {
    let err = trouble(&mut storystick(&["list", "no/such.vtt"]));
    assert!(err.starts_with("error: no/such.vtt: no such file"), "{err}");
}

#[test]
fn an_empty_file() {
    assert!(refused("nothing.vtt", b"").contains("empty"));
    refused("blank.txt", b"\n \n");
}

#[test]
fn a_binary_file() {
    refused("hall.mp4", b"\0\0\0\x18ftypmp42\0\0\0\0");
}

#[test]
fn bytes_that_are_no_utf8() {
    let err = refused(
        "latin.vtt",
        b"WEBVTT\n\n00:01.000 --> 00:02.000\nthe caf\xe9 door\n",
    );
    assert!(err.contains("--lossy"), "{err}");
}

#[test]
fn text_without_times() {
    refused("letter.txt", b"Dear all, the sill is chipped.\n");
}

#[test]
fn a_saved_list_is_no_walk() {
    let saved = b"{\"schema\": \"storystick/list/1\", \"walks\": []}";
    // Named alone it would be printed, were it whole.
    let err = refused("saved.json", saved);
    assert!(err.contains("missing field"), "{err}");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("saved.json");
    std::fs::write(&path, saved).unwrap();
    let err = trouble(&mut storystick(&["why", path.to_str().unwrap(), "1:02"]));
    assert!(err.contains("not a transcript"), "{err}");
}

#[test]
fn a_table_saved_before_is_no_walk() {
    let csv = done(&["list", &example(WALKS[0]), "--format", "csv"]);
    refused("saved.csv", csv.as_bytes());
}

#[test]
fn standard_input_twice() {
    assert!(trouble(&mut storystick(&["list", "-", "-"])).contains("twice"));
}

#[test]
fn one_bad_walk_spoils_the_job() {
    let err = trouble(&mut storystick(&[
        "list",
        &example(WALKS[0]),
        "gone.vtt",
        "lost.srt",
    ]));
    assert!(
        err.contains("gone.vtt") && err.contains("lost.srt"),
        "{err}"
    );
}

#[test]
fn one_bad_walk_leaves_the_others_their_lists() {
    let (code, out, err) = run(&mut storystick(&[
        "list",
        "--each",
        "gone.vtt",
        &example(WALKS[0]),
    ]));
    assert_eq!(code, 1);
    assert!(
        out.starts_with("Punch list from ") && err.contains("gone.vtt"),
        "{err}"
    );
}

#[test]
fn folders() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_str().unwrap();
    assert!(trouble(&mut storystick(&["list", path])).contains("no transcript in this folder"));
    fs::write(folder.path().join("broken.vtt"), b"").unwrap();
    fs::copy(example(WALKS[0]), folder.path().join("whole.vtt")).unwrap();
    assert!(trouble(&mut storystick(&["list", path])).contains("broken.vtt"));
}
