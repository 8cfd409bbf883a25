//! Accuracy on the opened marked walks must not fall (`../shared/walks`, marked by `../shared/MARKING.md`).

mod common;

use std::process::Command;

/// Floors of F1 over the opened walks, a little under what was measured.
const FLOORS: [(&str, f64); 4] = [
    ("found", 0.60),
    ("right", 0.35),
    ("cleared", 0.48),
    ("arrivals", 0.80),
];

#[test]
fn opened_walks_stay_as_good() {
    let Some(shared) = common::shared() else {
        return;
    };
    let opened = include_str!("walks/OPENED");
    let names: Vec<&str> = opened
        .lines()
        .filter(|l| !l.starts_with('#') && !l.is_empty())
        .collect();
    let out = Command::new("python3")
        .arg(shared.join("score.py"))
        .arg(shared.join("walks"))
        .args([
            "--json",
            "--only",
            &names.join(","),
            "--",
            env!("CARGO_BIN_EXE_storystick"),
            "list",
            "--format",
            "json",
        ])
        .output()
        .expect("python3 runs");
    let json: serde_json::Value = serde_json::from_slice(&out.stdout).expect("figures as JSON");
    for (figure, floor) in FLOORS {
        let f1 = json["total"][figure]["f1"].as_f64().expect("a figure");
        assert!(f1 >= floor, "{figure} F1 {f1:.3} is under {floor}");
    }
}
