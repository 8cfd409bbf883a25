//! TTML and IMSC text.
