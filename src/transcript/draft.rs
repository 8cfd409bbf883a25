//! What a reader hands on before the steps that all formats share: drafts of cues, and notes on what was mended.

use std::ops::Range;

/// A word with a time, before mending.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Timed {
    /// Where it stands in the draft's text, in bytes.
    pub range: Range<usize>,
    /// Start, in seconds.
    pub start: f64,
    /// End, in seconds, if given.
    pub end: Option<f64>,
}

/// A cue as a reader found it: line breaks kept, markup taken out, everything else as written.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Draft {
    /// Where it was found: byte offset in the decoded text.
    pub at: usize,
    /// Start, in seconds.
    pub start: f64,
    /// End, in seconds; where none is given, the next start.
    pub end: Option<f64>,
    /// The text.
    pub text: String,
    /// The speaker, where the format says so outside the text.
    pub speaker: Option<String>,
    /// Word times, in order of the text.
    pub words: Vec<Timed>,
}

impl Draft {
    /// The stretch `range` of this draft as a draft of its own, its times shared out by words or characters.
    pub(crate) fn part(&self, range: Range<usize>, speaker: Option<String>) -> Draft {
        let words: Vec<Timed> = self
            .words
            .iter()
            .filter(|w| w.range.start >= range.start && w.range.end <= range.end)
            .map(|w| Timed {
                range: w.range.start - range.start..w.range.end - range.start,
                ..w.clone()
            })
            .collect();
        let whole = self.text.chars().count().max(1) as f64;
        let end = self.end.unwrap_or(self.start);
        let share = |byte: usize| {
            let part = self.text[..byte].chars().count() as f64 / whole;
            self.start + (end - self.start) * part
        };
        let start = words
            .first()
            .map_or_else(|| share(range.start), |w| w.start);
        let finish = words
            .last()
            .and_then(|w| w.end)
            .unwrap_or_else(|| share(range.end));
        Draft {
            at: self.at,
            start,
            end: Some(finish.max(start)),
            text: self.text[range].to_owned(),
            speaker,
            words,
        }
    }
}

/// The kinds of note; at most [`SHOWN`] of each are given in full.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Bytes that were no UTF-8.
    Replaced,
    /// A piece that could not be read.
    Skipped,
    /// A time that was written in another way than the format says.
    Stamp,
    /// A time before the one before it.
    Backwards,
    /// An end before its start, or a time before zero.
    Mended,
    /// Text that belongs to no time, or a bracketed remark.
    LeftOut,
    /// Repeats that were folded.
    Folded,
}

impl Kind {
    fn many(self) -> &'static str {
        match self {
            Kind::Replaced => "bytes replaced",
            Kind::Skipped => "pieces skipped",
            Kind::Stamp => "time stamps written otherwise",
            Kind::Backwards => "times going backwards",
            Kind::Mended => "times mended",
            Kind::LeftOut => "stretches left out",
            Kind::Folded => "repeats folded",
        }
    }
}

/// How many notes of a kind are given in full.
const SHOWN: usize = 5;

/// Collects warnings: the first few of each kind, then how many more there were.
pub(crate) struct Notes<'a> {
    text: &'a str,
    kinds: Vec<(Kind, Vec<String>, usize)>,
}

impl<'a> Notes<'a> {
    /// For notes on `text`, the decoded file.
    pub(crate) fn new(text: &'a str) -> Self {
        Notes {
            text,
            kinds: Vec::new(),
        }
    }

    /// Notes something found at byte `at` of the decoded text.
    pub(crate) fn add(&mut self, kind: Kind, at: usize, message: impl FnOnce() -> String) {
        let index = self
            .kinds
            .iter()
            .position(|k| k.0 == kind)
            .unwrap_or_else(|| {
                self.kinds.push((kind, Vec::new(), 0));
                self.kinds.len() - 1
            });
        let (_, shown, count) = &mut self.kinds[index];
        *count += 1;
        if shown.len() < SHOWN {
            let line = super::text::line_of(self.text, at);
            shown.push(format!("line {line}: {}", message()));
        }
    }

    /// Counts `count` more of a kind of which some were noted.
    pub(crate) fn more(&mut self, kind: Kind, count: usize) {
        if let Some(held) = self.kinds.iter_mut().find(|k| k.0 == kind) {
            held.2 += count;
        }
    }

    /// The line on which byte `at` lies.
    pub(crate) fn line(&self, at: usize) -> usize {
        super::text::line_of(self.text, at)
    }

    /// The warnings, kinds in the order in which they first came up.
    pub(crate) fn into_warnings(self) -> Vec<String> {
        let mut out = Vec::new();
        for (kind, shown, count) in self.kinds {
            let more = count - shown.len();
            out.extend(shown);
            if more > 0 {
                out.push(format!("… and {more} more {}", kind.many()));
            }
        }
        out
    }
}
