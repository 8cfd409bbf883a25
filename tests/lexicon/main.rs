//! The lexicon as its users lay it: overlays, errors, what is printed of it, limits, known buildings.

#[path = "../common/mod.rs"]
mod common;

mod building;
mod limits;
mod mistakes;
mod overlays;

use storystick::lexicon::check::spoken;
use storystick::lexicon::compile::compile;
use storystick::lexicon::{Compiled, Lexicon, LexiconError, Text};
use storystick::list::{Item, List, Use};
use storystick::pipeline::{self, Job};

/// The built-in lexicon with these texts laid over it, each a layer of its own.
fn laid(texts: &[&str]) -> Result<Compiled, Vec<LexiconError>> {
    let builtin = Lexicon::builtin_files();
    let names: Vec<String> = (0..texts.len()).map(|i| format!("{i}.yaml")).collect();
    let below = builtin.iter().map(|(file, text)| Text {
        file,
        text,
        layer: 0,
    });
    let above = texts.iter().zip(&names).enumerate();
    let above = above.map(|(i, (text, file))| Text {
        file,
        text,
        layer: i + 1,
    });
    compile(&below.chain(above).collect::<Vec<_>>())
}

/// The same, which must be without fault.
fn lexicon(texts: &[&str]) -> Lexicon {
    match laid(texts) {
        Ok(c) => Lexicon::of(c),
        Err(e) => panic!("{e:#?}"),
    }
}

/// The list of a very short walk.
fn read(text: &str, lexicon: &Lexicon, building_use: Option<Use>) -> List {
    let job = Job {
        building_use,
        ..Job::default()
    };
    pipeline::list_of(&[spoken(text)], lexicon, &job)
}

/// The one item of a very short walk.
fn item(text: &str, lexicon: &Lexicon) -> Item {
    let mut list = read(text, lexicon, None);
    assert_eq!(list.items.len(), 1, "{text}: {:#?}", list.items);
    list.items.remove(0)
}
