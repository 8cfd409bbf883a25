//! Runs the lexicon's own examples.
