//! Width, colour, and a reader who leaves early.

use std::io::Read;
use std::process::{Command, Stdio};

use super::{WALKS, done, example, run, storystick};

#[test]
fn no_color_unless_asked_where_there_is_no_terminal() {
    let path = example(WALKS[0]);
    assert!(!done(&["list", &path]).contains('\x1b'));
    assert!(!done(&["list", &path, "--color", "never"]).contains('\x1b'));
    assert!(done(&["list", &path, "--color", "always"]).contains("\x1b[1mPunch list from"));
}

#[test]
fn no_color_is_respected() {
    let path = example(WALKS[0]);
    let (_, forced, _) = run(storystick(&["list", &path]).env("CLICOLOR_FORCE", "1"));
    assert!(forced.contains('\x1b'));
    let (_, plain, _) = run(storystick(&["list", &path])
        .env("CLICOLOR_FORCE", "1")
        .env("NO_COLOR", "1"));
    assert!(!plain.contains('\x1b'));
    let (_, help, _) = run(storystick(&["--help"]).env("NO_COLOR", "1"));
    assert!(!help.contains('\x1b'));
}

#[test]
fn width_by_option_then_columns_then_80() {
    let path = example(WALKS[0]);
    let widest = |out: &str| out.lines().map(|l| l.chars().count()).max().unwrap();
    assert!(widest(&done(&["list", &path, "--width", "40"])) <= 40);
    let (_, out, _) = run(storystick(&["list", &path]).env("COLUMNS", "44"));
    assert!(widest(&out) <= 44);
    let (_, both, _) = run(storystick(&["list", &path, "--width", "60"]).env("COLUMNS", "44"));
    assert_eq!(both, done(&["list", &path, "--width", "60"]));
    assert_eq!(
        done(&["list", &path]),
        done(&["list", &path, "--width", "80"])
    );
    let (_, odd, _) = run(storystick(&["list", &path]).env("COLUMNS", "wide"));
    assert_eq!(odd, done(&["list", &path]));
}

#[test]
fn a_reader_who_leaves_early_is_no_error() {
    let path = example(WALKS[0]);
    let all: [&[&str]; 4] = [
        &["list", &path, "-f", "json"],
        &["schema"],
        &["completions", "zsh"],
        &["man", "list"],
    ];
    for args in all {
        let mut child = Command::new(env!("CARGO_BIN_EXE_storystick"))
            .args(args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let mut err = String::new();
        child
            .stderr
            .take()
            .unwrap()
            .read_to_string(&mut err)
            .unwrap();
        assert_eq!(
            (child.wait().unwrap().code(), err.as_str()),
            (Some(0), ""),
            "{args:?}"
        );
    }
}
