//! `storystick grade` measures what `../shared/score.py` measures, by the lexicon's own words for what is the same.

mod common;

use std::process::Command;

/// How far its figures may lie from those of the script.
const APART: f64 = 0.05;

#[test]
fn figures_lie_close_to_those_of_the_script() {
    let Some(shared) = common::shared() else {
        return;
    };
    let names: Vec<&str> = include_str!("walks/OPENED")
        .lines()
        .filter(|l| !l.starts_with('#') && !l.is_empty())
        .collect();
    let program = env!("CARGO_BIN_EXE_storystick");
    let out = Command::new("python3")
        .arg(shared.join("score.py"))
        .arg(shared.join("walks"))
        .args(["--json", "--only", &names.join(","), "--", program])
        .args(["list", "--format", "json"])
        .output()
        .expect("python3 runs");
    let script: serde_json::Value = serde_json::from_slice(&out.stdout).expect("figures as JSON");
    let out = Command::new(program)
        .arg("grade")
        .arg(shared.join("walks"))
        .args(["--only", &names.join(",")])
        .output()
        .expect("the program runs");
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    let table = String::from_utf8(out.stdout).unwrap();
    let last = table.lines().last().unwrap();
    let ours: Vec<f64> = last
        .split_whitespace()
        .skip(1)
        .map(|f| f.parse().expect("a figure"))
        .collect();
    assert!(last.starts_with("together") && ours.len() == 4, "{table}");
    for (figure, ours) in ["found", "right", "cleared", "arrivals"].iter().zip(ours) {
        let theirs = script["total"][figure]["f1"].as_f64().expect("a figure");
        assert!(
            (ours - theirs).abs() <= APART,
            "{figure}: grade says {ours:.2}, the script {theirs:.3}"
        );
    }
}
