//! How well lists agree with what a person marked: for people who tune a lexicon.
//!
//! A marked walk is a transcript `NAME.vtt` (or .srt, .json, .txt, .ttml) beside `NAME.marks.json`: areas with the second of arrival,
//! items and cleared marks with the exact words that carry them. [`marks`] reads it, [`figures`] compares, [`fit`] gives the weights
//! of `lexicon/model.yaml` and tells how far confidence can be trusted.

pub mod figures;
pub mod fit;
pub mod marks;

pub use figures::{Grade, grade};
pub use marks::{Marked, MarksError, load};
