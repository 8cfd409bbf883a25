//! Tab- or comma-separated start, end, text.

/// Whether `text` is such a table.
pub(crate) fn looks_like(_text: &str) -> bool {
    false
}
