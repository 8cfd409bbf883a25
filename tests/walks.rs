//! Accuracy on the opened marked walks must not fall (`../shared/walks`, marked by `../shared/MARKING.md`).

mod common;

use std::process::Command;

/// A figure of score.py and its floor, F1.
type Floor = (&'static str, f64);

/// Floors over each opened batch of eight walks, a little under what was measured: batches differ in kind, and one that is
/// opened later must not hide what an earlier one lost.
const FLOORS: [[Floor; 4]; 3] = [
    [
        ("found", 0.74),
        ("right", 0.50),
        ("cleared", 0.57),
        ("arrivals", 0.88),
    ],
    [
        ("found", 0.47),
        ("right", 0.23),
        ("cleared", 0.47),
        ("arrivals", 0.83),
    ],
    [
        ("found", 0.54),
        ("right", 0.22),
        ("cleared", 0.48),
        ("arrivals", 0.76),
    ],
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
    for (batch, floors) in names.chunks(8).zip(FLOORS) {
        let out = Command::new("python3")
            .arg(shared.join("score.py"))
            .arg(shared.join("walks"))
            .args([
                "--json",
                "--only",
                &batch.join(","),
                "--",
                env!("CARGO_BIN_EXE_storystick"),
                "list",
                "--format",
                "json",
            ])
            .output()
            .expect("python3 runs");
        let json: serde_json::Value = serde_json::from_slice(&out.stdout).expect("figures as JSON");
        for (figure, floor) in floors {
            let f1 = json["total"][figure]["f1"].as_f64().expect("a figure");
            assert!(
                f1 >= floor,
                "{}: {figure} F1 {f1:.3} is under {floor}",
                batch[0]
            );
        }
    }
}
