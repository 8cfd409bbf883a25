//! One file for each output format.
