//! The main job on marked walks of our own (`tests/walks/own`), which need no `../shared`. They were invented and marked by people
//! of the project after the same guide as the shared ones; v to y were used to fit the weights, u and z were read by nobody who
//! writes rules. The floors guard against going back; they say little of unseen walks.

use std::path::Path;

use storystick::grade::{self, Grade};
use storystick::lexicon::Lexicon;

/// The letter of a set, and the floors of found, right, cleared and arrivals, F1 by `storystick grade`.
const FLOORS: [(char, [f64; 4]); 6] = [
    ('u', [0.53, 0.16, 0.31, 0.52]),
    ('v', [0.55, 0.15, 0.32, 0.52]),
    ('w', [0.45, 0.11, 0.30, 0.59]),
    ('x', [0.60, 0.18, 0.33, 0.50]),
    ('y', [0.55, 0.18, 0.30, 0.48]),
    ('z', [0.50, 0.19, 0.36, 0.57]),
];

#[test]
fn figures_stay_above_their_floors() {
    let lexicon = Lexicon::builtin();
    let walks = grade::load(Path::new("tests/walks/own"), &[]).expect("the walks are read");
    for (set, floors) in FLOORS {
        let mut total = Grade::default();
        for w in walks.iter().filter(|w| w.name.starts_with(set)) {
            total.add(grade::grade(w, &lexicon));
        }
        let figures = [
            ("found", total.found.f1()),
            ("right", total.right.f1()),
            ("cleared", total.cleared.f1()),
            ("arrivals", total.arrivals.f1()),
        ];
        for ((name, f1), floor) in figures.into_iter().zip(floors) {
            assert!(f1 >= floor, "{set}: {name} F1 {f1:.3} is under {floor}");
        }
    }
}
