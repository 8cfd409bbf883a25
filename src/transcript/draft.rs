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
    /// Stretches of this draft, in order, as drafts of their own; times are shared out by words or else by characters.
    pub(crate) fn parts(&self, ranges: Vec<(Range<usize>, Option<String>)>) -> Vec<Draft> {
        let whole = self.text.chars().count().max(1) as f64;
        let end = self.end.unwrap_or(self.start);
        let (mut at, mut chars) = (0, 0);
        // Characters are counted on from the last place, so that many parts take no longer than few.
        let mut share = |byte: usize| {
            chars += self.text[at..byte].chars().count();
            at = byte;
            self.start + (end - self.start) * chars as f64 / whole
        };
        let mut words = self.words.iter().peekable();
        let mut out = Vec::with_capacity(ranges.len());
        for (range, speaker) in ranges {
            while words.next_if(|w| w.range.start < range.start).is_some() {}
            let mut own: Vec<Timed> = Vec::new();
            while let Some(word) = words.next_if(|w| w.range.end <= range.end) {
                let moved = word.range.start - range.start..word.range.end - range.start;
                own.push(Timed {
                    range: moved,
                    ..word.clone()
                });
            }
            let (shared, until) = (share(range.start), share(range.end));
            let start = own.first().map_or(shared, |w| w.start);
            let finish = own.last().and_then(|w| w.end).unwrap_or(until).max(start);
            let text = self.text[range].to_owned();
            out.push(Draft {
                at: self.at,
                start,
                end: Some(finish),
                text,
                speaker,
                words: own,
            });
        }
        out
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
