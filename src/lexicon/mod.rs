//! The trade's words and rules: loaded, checked, compiled to one matcher.
//!
//! The YAML in `lexicon/` is the only source. `build.rs` compiles it with the very modules that stand here; the program
//! carries the compact form, in which the forms are read where they lie.

pub mod check;
pub mod compile;
pub mod data;
pub mod dump;
mod entries;
pub mod forms;
pub mod heard;
pub mod layers;
mod listing;
mod merge;
mod refs;
pub mod show;
pub mod sounds;
pub mod source;
pub mod table;
pub(crate) mod typed;
pub mod unknown;
pub mod weights;
pub mod words;
pub mod yaml;

pub use compile::{Compiled, LexiconError, Text};
pub use data::{Data, Examples, Kind, Role, Sense};

use std::sync::OnceLock;

use heard::Target;
use source::{AreaKind, Cue, Element, Fault, TradeEntry, WorkWord};
use table::{Hashed, Senses, Table};
use weights::Models;

use crate::list::Trade;

/// A lexicon ready for use: the entries, and all their forms in order.
#[derive(Debug)]
pub struct Lexicon {
    data: Data,
    /// The words that may have been misheard, unpacked or made where a walk asks for them.
    targets: OnceLock<Vec<Target<'static>>>,
    models: OnceLock<Models>,
    builtin: bool,
}

/// The entry with an id; `order` has them by their ids.
fn by_id<'e, T>(
    entries: &'e [T],
    order: &[u16],
    id: &str,
    id_of: impl Fn(&'e T) -> &'e String,
) -> Option<u16> {
    let of = |i: &u16| id_of(&entries[usize::from(*i)]).as_str();
    let at = order.partition_point(|i| of(i) < id);
    order.get(at).copied().filter(|i| of(i) == id)
}

/// Where the words of a text end that single blanks join.
fn ends_of_words(folded: &str) -> Vec<usize> {
    let blanks = folded.bytes().enumerate().filter(|(_, b)| *b == b' ');
    let mut ends: Vec<usize> = blanks.map(|(at, _)| at).collect();
    ends.push(folded.len());
    ends
}

/// A place where a form stands in folded text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hit {
    /// Which form.
    pub form: usize,
    /// Where it begins in the folded text, in bytes.
    pub start: usize,
    /// Where it ends.
    pub end: usize,
}

impl Hit {
    /// What hits are put in order by.
    fn place(&self) -> (usize, usize, usize) {
        (self.end, self.start, self.form)
    }
}

impl Lexicon {
    /// The lexicon that is built into the program.
    pub fn builtin() -> Lexicon {
        let bytes = include_bytes!(concat!(env!("OUT_DIR"), "/lexicon.bin"));
        let texts = include_str!(concat!(env!("OUT_DIR"), "/forms.txt"));
        let numbers = include_bytes!(concat!(env!("OUT_DIR"), "/forms.bin"));
        match postcard::from_bytes::<Data>(bytes) {
            Ok(mut data) => {
                data.forms = Table::laid(texts.into(), numbers.as_slice().into());
                Lexicon {
                    data,
                    targets: OnceLock::new(),
                    models: OnceLock::new(),
                    builtin: true,
                }
            }
            Err(e) => unreachable!("build.rs wrote these bytes: {e}"),
        }
    }

    /// A lexicon made of these files' texts.
    ///
    /// # Errors
    /// Every fault found, each with file and line.
    pub fn from_texts(texts: &[compile::Text<'_>]) -> Result<Lexicon, Vec<LexiconError>> {
        compile::compile(texts).map(Lexicon::of)
    }

    /// The lexicon that these files come to together.
    pub fn of(compiled: Compiled) -> Lexicon {
        Lexicon::new(compiled.data)
    }

    fn new(data: Data) -> Lexicon {
        Lexicon {
            data,
            targets: OnceLock::new(),
            models: OnceLock::new(),
            builtin: false,
        }
    }

    /// The built-in lexicon's files: name and text, for what is laid over them.
    pub fn builtin_files() -> Vec<(String, String)> {
        let bytes = include_bytes!(concat!(env!("OUT_DIR"), "/sources.bin"));
        match postcard::from_bytes(bytes) {
            Ok(files) => files,
            Err(e) => unreachable!("build.rs wrote these bytes: {e}"),
        }
    }

    /// Every place where a form stands as whole words in folded text (words joined by single blanks), overlaps included.
    ///
    /// In the order of their ends, the longer ones first.
    pub fn hits(&self, folded: &str) -> Vec<Hit> {
        let mut hits = Vec::new();
        let ends = ends_of_words(folded);
        let mut start = 0;
        for (word, end) in ends.iter().enumerate() {
            let known = hits.len();
            self.hits_at(folded, start, &ends[word..], &mut hits);
            // Nearly in order already: only forms that overlap change places.
            for new in known..hits.len() {
                let mut at = new;
                while at > 0 && hits[at - 1].place() > hits[at].place() {
                    hits.swap(at - 1, at);
                    at -= 1;
                }
            }
            start = end + 1;
        }
        hits
    }

    /// The forms that begin at a word: one more word is taken in as long as a form goes on so.
    fn hits_at(&self, folded: &str, start: usize, ends: &[usize], hits: &mut Vec<Hit>) {
        let mut hash = Hashed::default();
        let mut from = start;
        for &end in ends {
            hash = hash.and(&folded[from..end]);
            from = end + 1;
            let Some(begins) = self.data.forms.begins(&folded[start..end], hash) else {
                return;
            };
            hits.extend(begins.form.map(|form| Hit { form, start, end }));
            if !begins.goes_on {
                return;
            }
        }
    }

    /// The trade words that a recognizer may have written as other words.
    pub fn targets(&self) -> &[Target<'static>] {
        self.targets.get_or_init(|| {
            if !self.builtin {
                return heard::targets(&self.data);
            }
            let bytes = include_bytes!(concat!(env!("OUT_DIR"), "/heard.bin"));
            match postcard::from_bytes(bytes) {
                Ok(targets) => targets,
                Err(e) => unreachable!("build.rs wrote these bytes: {e}"),
            }
        })
    }

    /// The weights of what is known of findings, places and parts.
    pub fn models(&self) -> &Models {
        self.models.get_or_init(|| Models::of(&self.data))
    }

    /// Whether a word is a mere sound of hesitation ("um").
    pub fn is_hesitation(&self, word: &str) -> bool {
        word.len() <= data::HESITATION && self.data.hesitations.iter().any(|h| h == word)
    }

    /// What a form may mean.
    pub fn senses(&self, form: usize) -> Senses<'_> {
        self.data.forms.senses(form)
    }

    /// All of the lexicon's data.
    pub fn data(&self) -> &Data {
        &self.data
    }

    /// A kind of place.
    pub fn area(&self, entry: u16) -> &AreaKind {
        &self.data.areas[entry as usize]
    }

    /// Of which sorts a kind of place is, as bits; 0 where its parts tell nothing of it.
    pub fn area_sorts(&self, entry: u16) -> u16 {
        self.data
            .area_sorts
            .get(usize::from(entry))
            .copied()
            .unwrap_or(0)
    }

    /// In which sorts of places a part stands and hardly in another, as bits; 0 where it may stand anywhere.
    pub fn element_sorts(&self, entry: u16) -> u16 {
        self.data
            .element_sorts
            .get(usize::from(entry))
            .copied()
            .unwrap_or(0)
    }

    /// The kind of place with this id.
    pub fn area_by_id(&self, id: &str) -> Option<u16> {
        by_id(&self.data.areas, &self.data.by_id.areas, id, |e| &e.id)
    }

    /// The descriptions of parts whose vague word begins with this one: the row, and which of its heads, in their order.
    pub fn descriptions_of(&self, word: &str) -> &[(String, u16, u16)] {
        let heads = &self.data.heads;
        let from = heads.partition_point(|h| h.0.as_str() < word);
        let to = from + heads[from..].partition_point(|h| h.0 == word);
        &heads[from..to]
    }

    /// The kind of place that a form, as folded, leads to.
    pub fn area_by_form(&self, form: &str) -> Option<u16> {
        let mut senses = self.meanings(form);
        senses.find(|s| s.kind == Kind::Area).map(|s| s.entry)
    }

    /// What these words, as folded, may mean by themselves; nothing where they are no form.
    pub fn meanings<'l>(&'l self, form: &str) -> impl Iterator<Item = Sense> + use<'l> {
        let at = self.data.forms.find(form);
        at.into_iter().flat_map(|at| self.data.forms.senses(at))
    }

    /// Whether these words, as folded, are a form.
    pub fn knows(&self, form: &str) -> bool {
        self.data.forms.find(form).is_some()
    }

    /// The part with this id.
    pub fn element_by_id(&self, id: &str) -> Option<u16> {
        by_id(&self.data.elements, &self.data.by_id.elements, id, |e| {
            &e.id
        })
    }

    /// The fault with this id.
    pub fn fault_by_id(&self, id: &str) -> Option<u16> {
        by_id(&self.data.faults, &self.data.by_id.faults, id, |e| &e.id)
    }

    /// A building part.
    pub fn element(&self, entry: u16) -> &Element {
        &self.data.elements[entry as usize]
    }

    /// A fault.
    pub fn fault(&self, entry: u16) -> &Fault {
        &self.data.faults[entry as usize]
    }

    /// A word for work.
    pub fn work(&self, entry: u16) -> &WorkWord {
        &self.data.works[entry as usize]
    }

    /// A trade.
    pub fn trade(&self, entry: u16) -> &TradeEntry {
        &self.data.trades[entry as usize]
    }

    /// A cue.
    pub fn cue(&self, entry: u16) -> &Cue {
        &self.data.cues[entry as usize]
    }

    /// The entry of a trade.
    pub fn entry_of(&self, trade: Trade) -> Option<&TradeEntry> {
        self.data.trades.iter().find(|t| t.trade == Some(trade))
    }

    /// The trade that owns a group of elements.
    pub fn owner(&self, group: &str) -> Option<Trade> {
        self.data
            .trades
            .iter()
            .find(|t| t.groups.iter().any(|g| g == group))
            .and_then(|t| t.trade)
    }
}
