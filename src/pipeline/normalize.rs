//! Stage 1: the words as they are compared. Hesitations and stammered repeats are taken out; where sentences end is kept.

use std::borrow::Cow;
use std::ops::Range;

use crate::lexicon::{Lexicon, words};
use crate::transcript::Reading;

use super::grammar;

/// The silence that a hesitation ("um") stands for, in seconds.
const HESITATION: f64 = 0.4;
/// A breath between cues where none is timed, in seconds: long enough to end a thought.
const BREATH: f64 = 1.0;
/// A silence that ends a sentence whatever is written there, in seconds.
const QUIET: f64 = 1.2;
/// The least mean length of cues, in words, by which each is a passage of its own.
const PASSAGE: usize = 18;
/// How many edges of cues it takes to tell where they lie.
const FEWEST_EDGES: usize = 10;

/// The punctuation that follows a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stop {
    /// None.
    None,
    /// A comma, a dash, a colon: the thought goes on.
    Comma,
    /// A full stop, an exclamation mark.
    End,
    /// A question mark.
    Question,
}

/// One word of the speech.
#[derive(Debug, Clone, PartialEq)]
pub struct Token {
    /// Where it stands in the folded text.
    pub folded: Range<usize>,
    /// Where it stands in the reading's text.
    pub said: Range<usize>,
    /// What follows it.
    pub stop: Stop,
    /// Silence before it, in seconds.
    pub pause: f64,
    /// Another person begins to speak here.
    pub turn: bool,
    /// A passage begins here, where the transcript is written in passages and not in lines.
    pub passage: bool,
}

/// What was said, as compared: folded words joined by single blanks, each tied to the transcript.
#[derive(Debug)]
pub struct Speech<'r> {
    /// The transcript's text and clock.
    pub reading: &'r Reading,
    /// The words, joined by single blanks.
    pub folded: String,
    /// Each word.
    pub tokens: Vec<Token>,
    /// Whether the transcript has punctuation to go by.
    pub punctuated: bool,
    /// Whether the transcript tells of silences, or is written in passages.
    pub silences: bool,
}

impl<'r> Speech<'r> {
    /// The speech of a reading.
    pub fn new(reading: &'r Reading, lexicon: &Lexicon) -> Speech<'r> {
        let text = &reading.text;
        let mut raw = words::words(text);
        if !text.contains(['\'', '’']) {
            // A recognizer that writes no apostrophes means "it's" by "its" far more often than an owner.
            let mut before = Cow::Borrowed("");
            let mut opened = |w: words::Word<'r>| {
                // "has its cover on", "off its pins": an owner after all.
                let owner = grammar::is_host(&before)
                    || grammar::is_beside(&before)
                    || matches!(
                        &*before,
                        "has" | "have" | "got" | "lost" | "needs" | "wants" | "does" | "and"
                    );
                before = w.norm.clone();
                if owner {
                    return vec![w];
                }
                let part = |norm: &'static str| words::Word {
                    norm: Cow::Borrowed(norm),
                    range: w.range.clone(),
                };
                if w.norm == "its" {
                    vec![part("it"), part("is")]
                } else {
                    vec![w]
                }
            };
            raw = raw.into_iter().flat_map(&mut opened).collect();
        }
        let keep = kept(&raw, text, lexicon);
        let mut folded = String::with_capacity(text.len());
        let mut tokens: Vec<Token> = Vec::with_capacity(raw.len());
        let mut speaker = None;
        let mut hesitated = false;
        for (i, w) in raw.iter().enumerate() {
            let until = raw
                .get(i + 1)
                .map_or(text.len(), |n| n.range.start.max(w.range.end));
            let mut stop = stop_in(text.get(w.range.end..until).unwrap_or(""));
            // "dept. regulation", "approx. two feet": the point belongs to the word.
            if stop == Stop::End && is_abbreviation(&w.norm) {
                stop = Stop::None;
            }
            if !keep[i] {
                // What was taken out leaves its punctuation behind.
                if let Some(last) = tokens.last_mut() {
                    last.stop = last.stop.max(stop);
                }
                hesitated |= lexicon.is_hesitation(&w.norm);
                continue;
            }
            if !folded.is_empty() {
                folded.push(' ');
            }
            let start = folded.len();
            folded.push_str(&w.norm);
            let now = reading.speaker_at(w.range.start);
            let first_part = i == 0 || raw[i - 1].range != w.range;
            tokens.push(Token {
                folded: start..folded.len(),
                said: w.range.clone(),
                stop,
                pause: if first_part {
                    reading.pause_before(w.range.start).max(if hesitated {
                        HESITATION
                    } else {
                        0.0
                    })
                } else {
                    0.0
                },
                turn: speaker.is_some() && now.is_some() && now != speaker,
                passage: false,
            });
            speaker = now.or(speaker);
            hesitated = false;
        }
        let ends = tokens.iter().filter(|t| t.stop >= Stop::End).count();
        let punctuated = ends * 40 >= tokens.len();
        let mut speech = Speech {
            reading,
            folded,
            tokens,
            punctuated,
            silences: false,
        };
        if !punctuated {
            speech.breathe_at_edges();
        }
        speech.end_at_silences();
        speech.begin_passages();
        speech.silences = speech.tokens.iter().any(|t| t.pause >= QUIET || t.passage);
        speech
    }

    /// A long silence ends a sentence, also where the recognizer wrote no stop.
    fn end_at_silences(&mut self) {
        for i in 1..self.tokens.len() {
            if self.tokens[i].pause >= QUIET && !grammar::leads_on(self.word(i - 1)) {
                let last = &mut self.tokens[i - 1].stop;
                *last = (*last).max(Stop::End);
            }
        }
    }

    /// Marks where passages begin, if the cues are long enough to be such.
    fn begin_passages(&mut self) {
        let mut cue = None;
        let mut starts = Vec::new();
        for (i, t) in self.tokens.iter().enumerate() {
            let now = Some(self.reading.cue_at(t.said.start));
            if cue != now {
                starts.push(i);
            }
            cue = now;
        }
        if starts.len() > 1 && self.tokens.len() >= PASSAGE * starts.len() {
            for i in starts {
                self.tokens[i].passage = true;
            }
        }
    }

    /// Where no time is told between cues, a cue may still begin with a breath. It does where few cues end in a word that
    /// leads on ("the", "of"): cues cut at any place end in such words as often as the speech has them.
    fn breathe_at_edges(&mut self) {
        let mut starts = Vec::new();
        let mut cue = None;
        for (i, t) in self.tokens.iter().enumerate() {
            let now = self.reading.cue_at(t.said.start);
            if cue.is_some_and(|c| c != now) {
                starts.push(i);
            }
            cue = Some(now);
        }
        let timed = |i: &usize| self.reading.pause_before(self.tokens[*i].said.start) > 0.0;
        let timed = starts.iter().any(timed);
        let leading = |i: &usize| grammar::needs_more(self.word(*i));
        let all = (0..self.tokens.len()).filter(leading).count();
        let cut = starts.iter().filter(|i| leading(&(**i - 1))).count();
        // As many as chance would give, halved: cut * tokens / all < starts / 2.
        if timed || starts.len() < FEWEST_EDGES || 2 * cut * self.tokens.len() >= all * starts.len()
        {
            return;
        }
        starts.retain(|i| !grammar::leads_on(self.word(*i - 1)));
        for i in starts {
            self.tokens[i].pause = BREATH;
        }
    }

    /// A word as compared; empty past the end.
    #[inline]
    pub fn word(&self, i: usize) -> &str {
        self.tokens
            .get(i)
            .map_or("", |t| &self.folded[t.folded.clone()])
    }

    /// The words of a stretch, joined by blanks.
    pub fn words(&self, range: &Range<usize>) -> &str {
        if range.is_empty() || range.end > self.tokens.len() {
            return "";
        }
        &self.folded[self.tokens[range.start].folded.start..self.tokens[range.end - 1].folded.end]
    }

    /// The token that begins at a place of the folded text.
    pub fn token_at(&self, folded: usize) -> usize {
        self.tokens.partition_point(|t| t.folded.end <= folded)
    }

    /// The stretch of the transcript that some tokens cover, in bytes of the reading's text.
    pub fn said(&self, range: &Range<usize>) -> Range<usize> {
        if range.is_empty() {
            return 0..0;
        }
        let first = self.tokens[range.start].said.start;
        let last = self.tokens[range.clone()]
            .iter()
            .map(|t| t.said.end)
            .max()
            .unwrap_or(first);
        first..last
    }
}

fn is_abbreviation(word: &str) -> bool {
    matches!(
        word,
        "dept"
            | "approx"
            | "misc"
            | "incl"
            | "sq"
            | "bldg"
            | "apt"
            | "vs"
            | "mr"
            | "mrs"
            | "ms"
            | "dr"
            | "etc"
    )
}

fn stop_in(between: &str) -> Stop {
    if matches!(between, "" | " ") {
        return Stop::None;
    }
    let mut stop = Stop::None;
    if between.contains("...") || between.contains('…') {
        return Stop::Comma;
    }
    for c in between.chars() {
        stop = stop.max(match c {
            '?' => Stop::Question,
            '.' | '!' => Stop::End,
            ',' | ';' | ':' | '—' | '–' => Stop::Comma,
            _ => Stop::None,
        });
    }
    stop.max(if between.contains(" - ") {
        Stop::Comma
    } else {
        Stop::None
    })
}

/// Which words stay: hesitations go, and of a stammered run of small words ("it's, it's", "in the in the") the first.
fn kept(raw: &[words::Word<'_>], text: &str, lexicon: &Lexicon) -> Vec<bool> {
    // "40 mm" is a size, "mm" alone a hesitation.
    let unit = |i: usize| {
        i > 0
            && raw[i].norm == "mm"
            && raw[i - 1]
                .norm
                .ends_with(|c: char| c.is_ascii_digit() || "½¼¾".contains(c))
            && text
                .get(raw[i - 1].range.end..raw[i].range.start)
                .is_some_and(|between| between.trim().is_empty())
    };
    let mut keep: Vec<bool> = (0..raw.len())
        .map(|i| !lexicon.is_hesitation(&raw[i].norm) || unit(i))
        .collect();
    let left: Vec<usize> = (0..raw.len()).filter(|i| keep[*i]).collect();
    let same = |a: usize, b: usize| raw[a].norm == raw[b].norm;
    let mut i = 0;
    while i < left.len() {
        let mut step = 1;
        for n in (1..=3usize).rev() {
            let again =
                i + 2 * n <= left.len() && (0..n).all(|k| same(left[i + k], left[i + n + k]));
            if !again || !(0..n).all(|k| grammar::is_small(&raw[left[i + k]].norm)) {
                continue;
            }
            let gap = text
                .get(raw[left[i + n - 1]].range.end..raw[left[i + n]].range.start)
                .unwrap_or("");
            if !gap.contains(['.', '?', '!']) {
                for k in 0..n {
                    keep[left[i + k]] = false;
                }
                step = n;
                break;
            }
        }
        i += step;
    }
    keep
}
