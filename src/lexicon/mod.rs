//! The trade's words and rules: loaded, checked, compiled to one matcher.
//!
//! The YAML in `lexicon/` is the only source. `build.rs` compiles it with the very modules that stand here; the program
//! carries the compact form and builds one automaton over all forms when it starts.

pub mod check;
pub mod compile;
pub mod data;
pub mod dump;
mod entries;
pub mod forms;
pub mod layers;
mod listing;
mod merge;
mod refs;
pub mod show;
pub mod source;
pub(crate) mod typed;
pub mod unknown;
pub mod words;
pub mod yaml;

use aho_corasick::{AhoCorasick, AhoCorasickKind, MatchKind};

pub use compile::{Compiled, LexiconError, Text};
pub use data::{Data, Examples, Kind, Role, Sense};

use source::{AreaKind, Cue, CueKind, Element, Fault, TradeEntry, WorkWord};

use crate::list::Trade;

/// A lexicon ready for use: the entries, and one automaton over all their forms.
#[derive(Debug)]
pub struct Lexicon {
    data: Data,
    automaton: AhoCorasick,
    hesitations: Vec<String>,
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

impl Lexicon {
    /// The lexicon that is built into the program.
    pub fn builtin() -> Lexicon {
        let bytes = include_bytes!(concat!(env!("OUT_DIR"), "/lexicon.bin"));
        match postcard::from_bytes(bytes) {
            Ok(data) => Lexicon::new(data),
            Err(e) => unreachable!("build.rs wrote these bytes: {e}"),
        }
    }

    /// A lexicon made of these files' texts.
    ///
    /// # Errors
    /// Every fault found, each with file and line.
    pub fn from_texts(texts: &[compile::Text<'_>]) -> Result<Lexicon, Vec<LexiconError>> {
        compile::compile(texts).map(|c| Lexicon::new(c.data))
    }

    /// The lexicon that these files come to together.
    pub fn of(compiled: Compiled) -> Lexicon {
        Lexicon::new(compiled.data)
    }

    fn new(data: Data) -> Lexicon {
        let automaton = AhoCorasick::builder()
            .kind(Some(AhoCorasickKind::ContiguousNFA))
            .match_kind(MatchKind::Standard)
            .build(data.forms.iter().map(|f| &f.text));
        let is_filler =
            |s: &&Sense| s.kind == Kind::Cue && data.cues[s.entry as usize].kind == CueKind::Filler;
        let single = |f: &&data::Form| {
            !f.text.contains(' ') && f.senses.iter().any(|s| is_filler(&s)) && f.text.len() <= 4
        };
        let hesitations = data
            .forms
            .iter()
            .filter(single)
            .map(|f| f.text.clone())
            .collect();
        match automaton {
            Ok(automaton) => Lexicon {
                data,
                automaton,
                hesitations,
            },
            Err(e) => unreachable!("the forms are far fewer than the automaton's limit: {e}"),
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
    pub fn hits<'t>(&'t self, folded: &'t str) -> impl Iterator<Item = Hit> + 't {
        let bytes = folded.as_bytes();
        self.automaton
            .find_overlapping_iter(folded)
            .filter_map(move |m| {
                let whole = (m.start() == 0 || bytes[m.start() - 1] == b' ')
                    && (m.end() == bytes.len() || bytes[m.end()] == b' ');
                whole.then_some(Hit {
                    form: m.pattern().as_usize(),
                    start: m.start(),
                    end: m.end(),
                })
            })
    }

    /// Whether a word is a mere sound of hesitation ("um").
    pub fn is_hesitation(&self, word: &str) -> bool {
        self.hesitations.iter().any(|h| h == word)
    }

    /// What a form may mean.
    pub fn senses(&self, form: usize) -> &[Sense] {
        &self.data.forms[form].senses
    }

    /// All of the lexicon's data.
    pub fn data(&self) -> &Data {
        &self.data
    }

    /// A kind of place.
    pub fn area(&self, entry: u16) -> &AreaKind {
        &self.data.areas[entry as usize]
    }

    /// The kind of place with this id.
    pub fn area_by_id(&self, id: &str) -> Option<u16> {
        self.data
            .areas
            .iter()
            .position(|a| a.id == id)
            .and_then(|i| u16::try_from(i).ok())
    }

    /// The kind of place that a form, as folded, leads to.
    pub fn area_by_form(&self, form: &str) -> Option<u16> {
        let at = self
            .data
            .forms
            .binary_search_by(|f| f.text.as_str().cmp(form))
            .ok()?;
        self.data.forms[at]
            .senses
            .iter()
            .find(|s| s.kind == Kind::Area)
            .map(|s| s.entry)
    }

    /// The part with this id.
    pub fn element_by_id(&self, id: &str) -> Option<u16> {
        self.data
            .elements
            .iter()
            .position(|e| e.id == id)
            .and_then(|i| u16::try_from(i).ok())
    }

    /// The fault with this id.
    pub fn fault_by_id(&self, id: &str) -> Option<u16> {
        self.data
            .faults
            .iter()
            .position(|f| f.id == id)
            .and_then(|i| u16::try_from(i).ok())
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
