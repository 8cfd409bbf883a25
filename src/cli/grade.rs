//! `storystick grade FOLDER`: accuracy against walks that somebody marked.

use std::fmt::Write;
use std::path::PathBuf;

use super::{Exit, output};
use crate::grade::{self, Grade, fit};
use crate::lexicon::{Lexicon, check};

/// How often a feature must be seen to get a weight.
const SEEN_OFTEN: usize = 3;
/// Weights nearer to nought are left out.
const TELLING: f64 = 0.06;

/// What to show.
pub(super) struct Options {
    pub(super) folders: Vec<PathBuf>,
    pub(super) only: Vec<String>,
    pub(super) calibration: bool,
    pub(super) fit: bool,
}

pub(super) fn run(options: &Options) -> anyhow::Result<Exit> {
    let lexicon = Lexicon::builtin();
    let mut walks = Vec::new();
    for folder in &options.folders {
        walks.extend(grade::load(folder, &options.only)?);
    }
    let grades: Vec<(String, Grade)> = walks
        .iter()
        .map(|w| (w.name.clone(), grade::grade(w, &lexicon)))
        .collect();
    let judged: Vec<Vec<fit::Judged>> = grades
        .iter()
        .map(|(_, g)| g.judged.iter().map(|(f, _, r)| (f.clone(), *r)).collect())
        .collect();
    let mut out = String::new();
    if options.fit {
        writeln!(out, "model:")?;
        let all: Vec<fit::Judged> = judged.concat();
        for (id, weight) in fit::fit(&all, fit::PRIOR) {
            writeln!(out, "  - {{id: {id}, weight: {weight}}}")?;
        }
        writeln!(out, "moves:")?;
        let mut names: Vec<fit::Judged> = Vec::new();
        for w in &walks {
            names.extend(grade::moves::considered(w, &lexicon));
        }
        names.extend(grade::moves::of_examples(
            &check::builtin_examples(),
            &lexicon,
        ));
        for (id, weight) in fit::fit(&grade::frequent(names, SEEN_OFTEN), fit::MOVES_PRIOR) {
            if weight.abs() >= TELLING {
                writeln!(out, "  - {{id: {id:?}, weight: {weight}}}")?;
            }
        }
        let mut parts = grade::parts::Parts::default();
        for w in &walks {
            let of = grade::parts::named(w, &lexicon);
            parts.wanting.extend(of.wanting);
            parts.fine.extend(of.fine);
        }
        for (name, judged) in [("wanting", parts.wanting), ("fine", parts.fine)] {
            writeln!(out, "{name}:")?;
            let judged = grade::frequent(judged, SEEN_OFTEN);
            for (id, weight) in fit::sparse(&judged, fit::PARTS_PRESS) {
                writeln!(out, "  - {{id: {id:?}, weight: {weight}}}")?;
            }
        }
    } else if options.calibration {
        let (bins, gap) = fit::calibration(&judged);
        writeln!(out, "items  confidence  right")?;
        for b in &bins {
            writeln!(
                out,
                "{:>5}  {:>10.2}  {:>5.2}",
                b.items, b.confidence, b.right
            )?;
        }
        writeln!(
            out,
            "mean gap {gap:.3}, each walk judged by weights fitted on others"
        )?;
    } else {
        writeln!(out, "walk      found  right  cleared  arrivals  (F1)")?;
        let mut total = Grade::default();
        for (name, g) in grades {
            row(&mut out, &name, &g)?;
            total.add(g);
        }
        row(&mut out, "together", &total)?;
    }
    output::print(out.as_bytes())?;
    Ok(Exit::Done)
}

fn row(out: &mut String, name: &str, g: &Grade) -> std::fmt::Result {
    writeln!(
        out,
        "{name:<8}  {:>5.2}  {:>5.2}  {:>7.2}  {:>8.2}",
        g.found.f1(),
        g.right.f1(),
        g.cleared.f1(),
        g.arrivals.f1()
    )
}
