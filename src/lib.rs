//! Reads the transcript of somebody talking their way through a building and gives the punch list.

pub mod building;
pub mod cli;
pub mod grade;
pub mod handouts;
pub mod lexicon;
pub mod list;
pub mod pipeline;
pub mod plan;
pub mod record;
pub mod report;
pub mod review;
pub mod rewalk;
pub mod transcript;
