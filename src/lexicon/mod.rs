//! The trade's words and rules: loaded, checked, compiled to one matcher.
//!
//! The YAML in `lexicon/` is the only source. `build.rs` compiles it with the very modules that stand here; the program
//! carries the compact form and puts all forms in order when it starts.

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

pub use compile::{Compiled, LexiconError, Text};
pub use data::{Data, Examples, Kind, Role, Sense};

use source::{AreaKind, Cue, CueKind, Element, Fault, TradeEntry, WorkWord};

use crate::list::Trade;

/// A lexicon ready for use: the entries, and all their forms in order.
#[derive(Debug)]
pub struct Lexicon {
    data: Data,
    /// The forms by their text: all that a stretch of words may begin is found by halving, and nothing has to be built but
    /// this order when the program starts.
    by_text: Vec<u32>,
    /// The first word of each vague word that a description begins with, in order: the row, and which of its heads.
    by_head: Vec<(String, u16, u16)>,
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
        let mut by_text: Vec<u32> = (0u32..).take(data.forms.len()).collect();
        // Stable, so that equal texts keep their order; the forms mostly come in order.
        by_text.sort_by(|a, b| {
            let text = |i: &u32| data.forms[*i as usize].text.as_str();
            text(a).cmp(text(b))
        });
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
        let mut by_head: Vec<(String, u16, u16)> = Vec::new();
        for (row, d) in (0u16..).zip(&data.descriptions) {
            for (i, head) in (0u16..).zip(&d.heads) {
                let first = head.split(' ').next().unwrap_or(head);
                by_head.push((first.to_string(), row, i));
            }
        }
        by_head.sort();
        Lexicon {
            data,
            by_text,
            by_head,
            hesitations,
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
        let mut start = 0;
        for word in folded.split(' ') {
            self.hits_at(folded, start, &mut hits);
            start += word.len() + 1;
        }
        hits.sort_by_key(|h| (h.end, h.start, h.form));
        hits
    }

    /// The forms that begin at a word: one more word is taken in as long as a form goes on so.
    fn hits_at(&self, folded: &str, start: usize, hits: &mut Vec<Hit>) {
        let text = |i: &u32| self.data.forms[*i as usize].text.as_str();
        let mut rest = self.by_text.as_slice();
        let mut end = start;
        while end < folded.len() {
            let from = end + usize::from(end > start);
            end = folded[from..].find(' ').map_or(folded.len(), |n| from + n);
            let words = &folded[start..end];
            rest = &rest[rest.partition_point(|i| text(i) < words)..];
            while let Some(i) = rest.first().filter(|i| text(i) == words) {
                if !words.is_empty() {
                    hits.push(Hit {
                        form: *i as usize,
                        start,
                        end,
                    });
                }
                rest = &rest[1..];
            }
            // What goes on with a blank stands directly behind the words themselves.
            let goes_on = rest.first().is_some_and(|i| {
                let t = text(i);
                t.starts_with(words) && t.as_bytes().get(words.len()) == Some(&b' ')
            });
            if !goes_on {
                return;
            }
        }
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

    /// The descriptions of parts whose vague word begins with this one: the row, and which of its heads, in their order.
    pub fn descriptions_of(&self, word: &str) -> &[(String, u16, u16)] {
        let from = self.by_head.partition_point(|h| h.0.as_str() < word);
        let to = from + self.by_head[from..].partition_point(|h| h.0 == word);
        &self.by_head[from..to]
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
