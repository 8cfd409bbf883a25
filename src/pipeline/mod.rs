//! The stages, in order: from a transcript to the list.

use crate::{lexicon::Lexicon, list::List, transcript::Transcript};

/// Reads the walks of one job, in the order given, and makes their list.
///
/// Walks are named `w1`, `w2`, … in that order. The same input gives the same list, byte for byte.
pub fn list(walks: &[Transcript], lexicon: &Lexicon) -> List {
    let _ = lexicon;
    List::new(walks)
}
