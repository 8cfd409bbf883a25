//! Each stage on short spoken phrases: a table for what it gives, one for what it must leave alone.

mod context;
mod details;
mod findings;
mod mentions;
mod merge;
mod misheard;
mod normalize;
mod numbers;
mod places;
mod segment;
mod trades;

use std::sync::OnceLock;

use storystick::lexicon::{Lexicon, check::spoken};
use storystick::list::{Item, List};
use storystick::pipeline;
use storystick::transcript::{Cue, Format, Transcript};

/// The built-in lexicon, unpacked once for all tables.
fn lexicon() -> &'static Lexicon {
    static LEXICON: OnceLock<Lexicon> = OnceLock::new();
    LEXICON.get_or_init(Lexicon::builtin)
}

/// The list of a very short walk.
fn read(text: &str) -> List {
    pipeline::list(&[spoken(text)], lexicon())
}

/// The one item of a very short walk.
fn item(text: &str) -> Item {
    let list = read(text);
    assert_eq!(list.items.len(), 1, "{text}: {:#?}", list.items);
    list.items.into_iter().next().unwrap()
}

/// A walk of cues, each with its start and end in seconds.
fn walk(cues: &[(f64, f64, &str)]) -> Transcript {
    Transcript {
        file: "walk".into(),
        format: Format::Stamped,
        sha256: String::new(),
        cues: cues
            .iter()
            .map(|(start, end, text)| Cue {
                start: *start,
                end: *end,
                text: (*text).to_string(),
                speaker: None,
                words: Vec::new(),
            })
            .collect(),
        warnings: Vec::new(),
    }
}
