//! The trade's words and rules: loaded, checked, compiled to one matcher.

/// A lexicon ready for use.
#[derive(Debug, Default)]
pub struct Lexicon {}

impl Lexicon {
    /// The built-in lexicon.
    pub fn builtin() -> Lexicon {
        Lexicon::default()
    }
}
