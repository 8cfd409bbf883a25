//! Where in a file the timed pieces are: known keys first, then whatever holds a known shape.

use std::ops::ControlFlow;

use super::super::draft::Draft;
use super::super::time::UnitGuess;
use super::fields::{self, Entry, Names, entry, plain};
use super::pieces::{drop_summary, merge};
use super::raw::{Field, Node};
use super::words::{self, Spoken};

/// Lists of pieces, the better first.
const LISTS: [&str; 16] = [
    "utterances",
    "segments",
    "transcription",
    "chunks",
    "monologues",
    "captions",
    "cues",
    "subtitles",
    "entries",
    "sentences",
    "phrases",
    "recognizedphrases",
    "lines",
    "turns",
    "snippets",
    "results",
];
/// What pieces or words can lie under.
const HOLDERS: [&str; 12] = [
    "results",
    "result",
    "transcript",
    "transcription",
    "channels",
    "alternatives",
    "output",
    "response",
    "data",
    "payload",
    "paragraphs",
    "json",
];
/// Lists of words.
const WORDS: [&str; 5] = ["words", "items", "elements", "wordsegments", "tokens"];
/// How deep shapes may nest; also what keeps the reading linear.
const DEPTH: usize = 7;

/// How many skipped pieces are held for notes; the rest is counted.
const HELD: usize = 8;

pub(super) struct Reader<'a> {
    text: &'a str,
    names: Names,
    /// The first pieces that could not be read, and why.
    pub skipped: Vec<(usize, &'static str)>,
    /// How many more there were.
    pub more_skipped: usize,
    /// A list under a known key was there and had nothing in it.
    pub empty: bool,
}

impl<'a> Reader<'a> {
    /// For values that stand in `text`, the whole file.
    pub(super) fn new(text: &'a str) -> Self {
        Reader {
            text,
            names: Names::default(),
            skipped: Vec::new(),
            more_skipped: 0,
            empty: false,
        }
    }

    /// Finds the pieces in any value.
    pub(super) fn any(&mut self, node: Node<'a>, depth: usize) -> Vec<Draft> {
        if depth > DEPTH {
            return Vec::new();
        }
        if node.is_array() {
            if !self.promises(node) {
                return Vec::new();
            }
            let list = self.entries_of(node);
            return self.list(list, depth);
        }
        let fields = node.fields();
        self.object(&fields, depth)
    }

    fn object(&mut self, fields: &[Field<'a>], depth: usize) -> Vec<Draft> {
        let under = |wanted: &str| {
            fields
                .iter()
                .find(|(key, _)| plain(key) == wanted)
                .map(|(_, value)| *value)
        };
        for key in LISTS {
            if let Some(list) = under(key).filter(Node::is_array) {
                let found = self.any(list, depth + 1);
                if !found.is_empty() {
                    return found;
                }
                self.empty |= list.first().is_none();
            }
        }
        for key in HOLDERS {
            if let Some(inner) =
                under(key).filter(|n| n.is_object() || (n.is_array() && !LISTS.contains(&key)))
            {
                let found = match key {
                    "channels" => self.channels(inner, depth),
                    _ => self.any(inner, depth + 1),
                };
                if !found.is_empty() {
                    return found;
                }
            }
        }
        for key in WORDS {
            if let Some(list) = under(key).filter(Node::is_array) {
                let mut spoken = self.spoken(list);
                if let Some(labels) = under("speakerlabels") {
                    self.label(&mut spoken, labels);
                }
                let found = group(&spoken);
                if !found.is_empty() {
                    return found;
                }
                self.empty |= list.first().is_none();
            }
        }
        // A key of another name may hold a known shape.
        for (key, inner) in fields {
            let key = plain(key);
            let tried =
                LISTS.contains(&&*key) || HOLDERS.contains(&&*key) || WORDS.contains(&&*key);
            if !tried && (inner.is_object() || inner.is_array()) {
                let found = self.any(*inner, depth + 1);
                if !found.is_empty() {
                    return found;
                }
            }
        }
        Vec::new()
    }

    /// Several recordings of one talk, side by side.
    fn channels(&mut self, list: Node<'a>, depth: usize) -> Vec<Draft> {
        let mut found = Vec::new();
        list.each(|channel| {
            found.push(self.any(channel, depth + 1));
            ControlFlow::Continue(())
        });
        merge(found)
    }

    /// Whether the first elements of a list have anything to look into: a long list of numbers is not opened up.
    fn promises(&mut self, list: Node<'a>) -> bool {
        let mut left = 64;
        let mut promises = false;
        list.each(|node| {
            left -= 1;
            let fields = node.fields();
            let entry = entry(node, &fields, self.text, &mut self.names);
            let nested = fields
                .iter()
                .any(|(_, value)| value.is_object() || value.is_array());
            promises = node.is_array() || nested || entry.has_words() || entry.start.is_some();
            if promises || left == 0 {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        });
        promises
    }

    pub(super) fn entries_of(&mut self, list: Node<'a>) -> Vec<Listed<'a>> {
        let mut out = Vec::new();
        list.each(|node| {
            if node.is_object() || node.is_array() {
                out.push(self.listed(node));
            }
            ControlFlow::Continue(())
        });
        out
    }

    pub(super) fn entries(&mut self, nodes: &[Node<'a>]) -> Vec<Listed<'a>> {
        nodes.iter().map(|node| self.listed(*node)).collect()
    }

    fn listed(&mut self, node: Node<'a>) -> Listed<'a> {
        let entry = if node.is_array() {
            triple(node, self.text)
        } else {
            entry(node, &node.fields(), self.text, &mut self.names)
        };
        Listed { node, entry }
    }

    /// The words of a list.
    pub(super) fn spoken(&mut self, list: Node<'a>) -> Vec<Spoken> {
        let mut out = Vec::new();
        list.each(|node| {
            out.extend(Spoken::of(self.listed(node).entry));
            ControlFlow::Continue(())
        });
        out
    }

    /// Makes cues of the objects of one list.
    pub(super) fn list(&mut self, mut list: Vec<Listed<'a>>, depth: usize) -> Vec<Draft> {
        let timed = list
            .iter()
            .filter(|l| l.entry.start.is_some() && l.entry.has_words())
            .count();
        let any_words = list.iter().any(|l| l.entry.words.is_some());
        let single = list.iter().filter(|l| l.entry.is_single_word()).count();
        let all_words = list.iter().any(|l| l.entry.is_word)
            || (list.len() >= 20 && single * 10 >= list.len() * 9);
        if timed > 0 && !any_words && all_words {
            let spoken: Vec<Spoken> = list
                .into_iter()
                .filter_map(|l| Spoken::of(l.entry))
                .collect();
            return group(&spoken);
        }
        if timed == 0 && !any_words && list.iter().all(|l| l.entry.result_end.is_none()) {
            let objects = list.into_iter().filter(|l| l.node.is_object());
            return merge(objects.map(|l| self.any(l.node, depth + 1)).collect());
        }
        drop_summary(&mut list, self);
        self.pieces(list)
    }

    pub(super) fn skip(&mut self, at: usize, why: &'static str) {
        if self.skipped.len() < HELD {
            self.skipped.push((at, why));
        } else {
            self.more_skipped += 1;
        }
    }
}

/// An element of a list: as it stands, and as understood.
pub(super) struct Listed<'a> {
    pub node: Node<'a>,
    pub entry: Entry<'a>,
}

impl Entry<'_> {
    fn has_words(&self) -> bool {
        self.text.is_some() || self.words.is_some()
    }

    fn is_single_word(&self) -> bool {
        self.text
            .as_ref()
            .is_some_and(|t| t.split_whitespace().nth(1).is_none())
    }
}

/// `["word", 1.2, 1.5]` or `[1.2, 1.5, "text"]`.
fn triple<'a>(node: Node<'a>, file: &str) -> Entry<'a> {
    let mut out = Entry {
        at: node.at(file),
        ..Entry::default()
    };
    let mut index = 0;
    node.each(|value| {
        if let Some(text) = value
            .text()
            .filter(|_| out.text.is_none() && (index == 0 || out.end.is_some()))
        {
            out.text = Some(text);
        } else if let Some(time) = fields::moment(value, None).filter(|_| out.end.is_none()) {
            (out.start, out.end) = if out.start.is_none() {
                (Some(time), None)
            } else {
                (out.start, Some(time))
            };
        }
        index += 1;
        if index < 4 {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    });
    out
}

/// Cues of a list of words that has nothing around it.
fn group(spoken: &[Spoken]) -> Vec<Draft> {
    let mut guess = UnitGuess::default();
    words::measure(spoken, &mut guess);
    words::group(spoken, None, guess.scale())
}
