//! How well lists agree with what a person marked: for people who tune a lexicon.
//!
//! A marked walk is a transcript `NAME.vtt` (or .srt, .json, .txt, .ttml) beside `NAME.marks.json`: areas with the second of arrival,
//! items and cleared marks with the exact words that carry them. [`marks`] reads it, [`figures`] compares, [`fit`] gives the weights
//! of `lexicon/model.yaml` with [`moves`] of `lexicon/moves.yaml` and with [`parts`] of `lexicon/weigh.yaml`, and tells how far confidence can be trusted.

pub mod figures;
pub mod fit;
pub mod marks;
pub mod moves;
pub mod parts;

pub use figures::{Grade, grade};
pub use marks::{Marked, MarksError, load};

/// The judged without the features that are seen less often than this.
pub fn frequent(judged: Vec<fit::Judged>, least: usize) -> Vec<fit::Judged> {
    let mut seen: std::collections::BTreeMap<String, usize> = std::collections::BTreeMap::new();
    for f in judged.iter().flat_map(|(features, _)| features) {
        *seen.entry(f.clone()).or_insert(0) += 1;
    }
    judged
        .into_iter()
        .map(|(features, right)| {
            let kept = features.into_iter().filter(|f| seen[f] >= least).collect();
            (kept, right)
        })
        .collect()
}
