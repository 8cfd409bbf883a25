//! The clock: one text for the whole transcript, and the second at which any stretch of it was said.

use std::ops::Range;

use super::Transcript;

/// Where a cue lies in [`Reading::text`], and what it says of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// The cue's bytes in the text.
    pub range: Range<usize>,
    /// The cue's start, in seconds.
    pub start: f64,
    /// The cue's end, in seconds; never before `start`.
    pub end: f64,
    /// The speaker's label, where there is one.
    pub speaker: Option<String>,
    /// Which of [`Reading`]'s words lie in the cue.
    words: Range<usize>,
}

#[derive(Debug, Clone, PartialEq)]
struct Spoken {
    range: Range<usize>,
    start: f64,
    end: f64,
}

/// How many bytes lie between two stored character counts.
const STEP: usize = 64;

/// All cue texts joined by one blank each, with the time of every byte.
///
/// Times come from word times where the cue has them, and are interpolated over the characters in between and in cues
/// without them. All lookups take logarithmic time; offsets past the end, or inside a character, are brought to the
/// nearest place and never panic. Nothing is rounded: that is for whoever prints.
///
/// ```
/// use storystick::transcript::{ReadOptions, Reading, read};
///
/// let file = b"[0:10] The tap drips.\n[0:14] The door sticks.\n[0:17] Right.";
/// let transcript = read(file, "walk.txt", &ReadOptions::default())?;
/// let reading = Reading::new(&transcript);
/// let door = reading.text.find("door").unwrap();
/// let (start, end) = reading.span(door..door + 4);
/// assert!(14.0 < start && start < end && end < 17.0);
/// # Ok::<(), storystick::transcript::TranscriptError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reading {
    /// The text: all cues in order, joined by one blank.
    pub text: String,
    /// One for each cue, in order; their ranges lie in `text` and do not overlap.
    pub cues: Vec<Stretch>,
    words: Vec<Spoken>,
    /// Characters before every `STEP`th byte.
    counts: Vec<usize>,
}

impl Reading {
    /// Lays out a transcript as one text.
    pub fn new(transcript: &Transcript) -> Self {
        let mut out = Reading::default();
        for cue in &transcript.cues {
            if !out.cues.is_empty() {
                out.text.push(' ');
            }
            let from = out.text.len();
            out.text.push_str(&cue.text);
            let first = out.words.len();
            out.words.extend(cue.words.iter().map(|w| Spoken {
                range: from + w.range.start..from + w.range.end,
                start: w.start,
                end: w.end.max(w.start),
            }));
            out.cues.push(Stretch {
                range: from..out.text.len(),
                start: cue.start,
                end: cue.end.max(cue.start),
                speaker: cue.speaker.clone(),
                words: first..out.words.len(),
            });
        }
        let mut chars = 0;
        for (i, byte) in out.text.bytes().enumerate() {
            if i % STEP == 0 {
                out.counts.push(chars);
            }
            chars += usize::from(is_first(byte));
        }
        out
    }

    /// The number of the cue that byte `byte` lies in, counted from 0; the blank after a cue belongs to it.
    pub fn cue_at(&self, byte: usize) -> usize {
        self.cues
            .partition_point(|c| c.range.start <= byte)
            .saturating_sub(1)
    }

    /// Who speaks at byte `byte`, where the transcript says.
    pub fn speaker_at(&self, byte: usize) -> Option<&str> {
        self.cues.get(self.cue_at(byte))?.speaker.as_deref()
    }

    /// The second at which a stretch that begins at byte `byte` begins; 0 in an empty text.
    pub fn at_start(&self, byte: usize) -> f64 {
        let index = self.cue_at(byte);
        let Some(cue) = self.cues.get(index) else {
            return 0.0;
        };
        // The blank between two cues: what follows is the next one.
        match self.cues.get(index + 1) {
            Some(next) if byte >= cue.range.end => self.moment(next, next.range.start, false),
            _ => self.moment(cue, byte.min(cue.range.end), false),
        }
    }

    /// The second at which a stretch that ends before byte `byte` ends; 0 in an empty text.
    pub fn at_end(&self, byte: usize) -> f64 {
        let Some(cue) = self.cues.get(self.cue_at(byte.saturating_sub(1))) else {
            return 0.0;
        };
        self.moment(cue, byte.clamp(cue.range.start, cue.range.end), true)
    }

    /// Start and end of a stretch, in seconds; the end is never before the start, whatever the times in the file.
    pub fn span(&self, range: Range<usize>) -> (f64, f64) {
        let start = self.at_start(range.start);
        (start, self.at_end(range.end.max(range.start)).max(start))
    }

    /// The silence in seconds before the word that begins at byte `byte`.
    ///
    /// Between words that have times it is the gap between them, between cues the gap between the cues (or their outer
    /// words); inside a cue without word times, and before the first word of all, it is 0.
    pub fn pause_before(&self, byte: usize) -> f64 {
        let index = self.cue_at(byte);
        let Some(cue) = self.cues.get(index) else {
            return 0.0;
        };
        let words = &self.words[cue.words.clone()];
        let next = words.partition_point(|w| w.range.end <= byte);
        let is_before = |i: usize| i == 0 || words[i - 1].range.end <= byte;
        if next > 0 && next < words.len() {
            let touches = words[next].range.start <= byte
                || self
                    .text
                    .get(byte..words[next].range.start)
                    .is_some_and(|s| !s.contains(char::is_whitespace));
            return if touches && is_before(next) {
                (words[next].start - words[next - 1].end).max(0.0)
            } else {
                0.0
            };
        }
        let opens = self
            .text
            .get(cue.range.start..byte)
            .is_some_and(|s| !s.contains(char::is_alphanumeric));
        if next > 0 || index == 0 || !opens {
            return 0.0;
        }
        let before = &self.cues[index - 1];
        (cue.start_of(self) - before.end_of(self)).max(0.0)
    }

    /// The time at a byte of a cue, as the start or the end of a stretch there.
    fn moment(&self, cue: &Stretch, byte: usize, ends: bool) -> f64 {
        let words = &self.words[cue.words.clone()];
        // The word that the byte lies in, or that begins (for an end: ends) there; else the gap between two.
        let next = words.partition_point(|w| {
            if ends {
                w.range.end < byte
            } else {
                w.range.end <= byte
            }
        });
        if let Some(word) = words.get(next)
            && (word.range.start < byte || (word.range.start == byte && !ends))
        {
            return self.between(word.range.clone(), word.start, word.end, byte);
        }
        // No word has its time here: between the one before and the one after, or the cue's edges.
        let (from, start) = match next.checked_sub(1).map(|i| &words[i]) {
            Some(word) => (word.range.end, word.end),
            None => (
                cue.range.start,
                words.first().map_or(cue.start, |w| cue.start.min(w.start)),
            ),
        };
        let (to, end) = match words.get(next) {
            Some(word) => (word.range.start, word.start),
            None => (
                cue.range.end,
                words.last().map_or(cue.end, |w| cue.end.max(w.end)),
            ),
        };
        let blank = |range: Range<usize>| {
            self.text
                .get(range)
                .is_none_or(|s| !s.contains(char::is_alphanumeric))
        };
        // Blanks and punctuation take no time: they go with the word at their side.
        if ends && next > 0 && blank(from..byte) {
            return start;
        }
        if !ends && next < words.len() && blank(byte..to) {
            return end;
        }
        self.between(from..to, start, end.max(start), byte)
    }

    fn between(&self, range: Range<usize>, start: f64, end: f64, byte: usize) -> f64 {
        let first = self.chars_before(range.start);
        let all = self.chars_before(range.end).saturating_sub(first);
        let part = self
            .chars_before(byte.clamp(range.start, range.end))
            .saturating_sub(first);
        match (part, all) {
            (0, _) | (_, 0) => start,
            (part, all) if part >= all => end,
            (part, all) => start + (end - start) * part as f64 / all as f64,
        }
    }

    fn chars_before(&self, byte: usize) -> usize {
        let byte = byte.min(self.text.len());
        let Some(step) = self
            .counts
            .len()
            .checked_sub(1)
            .map(|last| last.min(byte / STEP))
        else {
            return 0;
        };
        let rest = &self.text.as_bytes()[step * STEP..byte];
        self.counts[step] + rest.iter().filter(|b| is_first(**b)).count()
    }
}

impl Stretch {
    /// When its first word begins.
    fn start_of(&self, reading: &Reading) -> f64 {
        reading.words[self.words.clone()]
            .first()
            .map_or(self.start, |w| w.start)
    }

    /// When its last word ends.
    fn end_of(&self, reading: &Reading) -> f64 {
        reading.words[self.words.clone()]
            .last()
            .map_or(self.end, |w| w.end)
    }
}

/// Whether a byte begins a character.
fn is_first(byte: u8) -> bool {
    byte & 0xC0 != 0x80
}
