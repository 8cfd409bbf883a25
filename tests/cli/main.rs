//! The program as it is run: arguments, streams, files and exit codes.

mod archive;
mod change;
mod dates;
mod errors;
mod formats;
mod lexicon;
mod readme;
mod saving;
mod screen;
mod why;

use std::path::{Path, PathBuf};

use assert_cmd::Command;

/// The walks that come with the program, each in another format.
const WALKS: [&str; 4] = [
    "walnut-house.vtt",
    "counter-to-kerb.srt",
    "keys-came-back.txt",
    "before-the-keys-hang.json",
];

/// The program, without what the developer's own terminal would tell it.
fn storystick(args: &[&str]) -> Command {
    let mut command = Command::cargo_bin("storystick").unwrap();
    for name in ["COLUMNS", "NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE"] {
        command.env_remove(name);
    }
    // Nor the developer's own lexicon.
    command.env("XDG_CONFIG_HOME", "/no/such/folder");
    command.args(args);
    command
}

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

fn example(name: &str) -> String {
    examples().join(name).to_str().unwrap().to_string()
}

/// What a run gave: exit code, standard output, standard error.
fn run(command: &mut Command) -> (i32, String, String) {
    let output = command.output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (
        output.status.code().unwrap(),
        text(output.stdout),
        text(output.stderr),
    )
}

/// Standard output of a run that must succeed and has nothing to note.
fn done(args: &[&str]) -> String {
    let (code, out, err) = run(&mut storystick(args));
    assert_eq!((code, err.as_str()), (0, ""), "{args:?}");
    out
}

/// Standard error of a run that must end with 2 and print no data.
fn trouble(command: &mut Command) -> String {
    let (code, out, err) = run(command);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    err
}
