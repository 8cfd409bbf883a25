//! Broken transcripts: a kept corpus, changed at random but always the same way, must be read or refused, never crash.
//!
//! `STORYSTICK_FUZZ=100000 cargo test --test fuzz` goes further than the bounded run. A file that crashed is printed; it
//! becomes a named test below, and its piece a file of `tests/fuzz/corpus`.

use std::fs;
use std::path::Path;

use storystick::lexicon::Lexicon;
use storystick::transcript::{Format, ReadOptions, Transcript, read};

/// Numbers that look random and are the same in each run (xorshift).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n.max(1) as u64) as usize
    }
}

/// What formats are made of, and what breaks them.
const PIECES: [&str; 32] = [
    "\n",
    "\n\n",
    "\r\n",
    "\r",
    " --> ",
    "-->",
    "00:00:01.000",
    "00:00:01,000",
    "99:59:59.999",
    "[1:02]",
    "<",
    ">",
    "</",
    "<v Ann>",
    "&amp;",
    "&#x1F6AA;",
    "{",
    "}",
    "[",
    "]",
    "\"",
    "\\u",
    "\t",
    ",",
    ";",
    "\u{feff}",
    "é",
    "🚪",
    "\0",
    "WEBVTT",
    "-1",
    "1e999",
];

fn corpus() -> Vec<(String, Vec<u8>)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for folder in ["examples", "tests/fuzz/corpus"] {
        for entry in fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                let mut bytes = fs::read(&path).unwrap();
                bytes.truncate(3000);
                files.push((name, bytes));
            }
        }
    }
    files.sort();
    files
}

/// A few changes: pieces put in, bytes changed, stretches cut out, doubled or moved, lines of another file.
fn change(bytes: &[u8], other: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut out = bytes.to_vec();
    for _ in 0..1 + dice.below(6) {
        let at = dice.below(out.len() + 1);
        let to = (at + dice.below(40)).min(out.len());
        match dice.below(7) {
            0 | 1 => {
                out.splice(at..at, PIECES[dice.below(PIECES.len())].bytes());
            }
            2 if at < out.len() => out[at] = dice.below(256) as u8,
            3 => {
                out.drain(at..to);
            }
            4 => {
                let again = out[at..to].to_vec();
                out.splice(at..at, again);
            }
            5 => {
                let cut: Vec<u8> = out.drain(at..to).collect();
                let at = dice.below(out.len() + 1);
                out.splice(at..at, cut);
            }
            _ => {
                let lines: Vec<&[u8]> = other.split(|b| *b == b'\n').collect();
                let line = lines[dice.below(lines.len())].to_vec();
                out.splice(at..at, line);
            }
        }
    }
    out
}

/// How many changed files a target tries.
fn rounds() -> usize {
    std::env::var("STORYSTICK_FUZZ")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(400)
}

/// What must hold of any transcript that was read.
fn sound(walk: &Transcript) {
    for cue in &walk.cues {
        assert!(cue.start.is_finite() && cue.end >= cue.start, "{cue:?}");
        for word in &cue.words {
            assert!(
                cue.text.get(word.range.clone()).is_some() && word.end >= word.start,
                "{cue:?}"
            );
        }
    }
}

fn try_all(format: Option<Format>, seed: u64, mut target: impl FnMut(&[u8])) {
    let files = corpus();
    let plain = ReadOptions::default();
    let of_format: Vec<&(String, Vec<u8>)> = files
        .iter()
        .filter(|(_, b)| {
            let lossy = ReadOptions { lossy: true };
            let found = read(b, "walk", &lossy).ok().map(|w| w.format);
            format.is_none() || found == format
        })
        .collect();
    assert!(!of_format.is_empty(), "no file of {format:?} in the corpus");
    let _ = plain;
    let mut dice = Dice(seed);
    for _ in 0..rounds() {
        let (name, bytes) = of_format[dice.below(of_format.len())];
        let other = &files[dice.below(files.len())].1;
        let changed = change(bytes, other, &mut dice);
        let done = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| target(&changed)));
        assert!(
            done.is_ok(),
            "crashed on a changed {name}: {:?}",
            String::from_utf8_lossy(&changed)
        );
    }
}

fn reader(format: Format, seed: u64) {
    try_all(Some(format), seed, |bytes| {
        for lossy in [false, true] {
            if let Ok(walk) = read(bytes, "walk", &ReadOptions { lossy }) {
                sound(&walk);
            }
        }
    });
}

#[test]
fn webvtt() {
    reader(Format::Webvtt, 11);
}

#[test]
fn subrip() {
    reader(Format::Subrip, 12);
}

#[test]
fn ttml() {
    reader(Format::Ttml, 13);
}

#[test]
fn json() {
    reader(Format::Json, 14);
}

#[test]
fn table() {
    reader(Format::Table, 15);
}

#[test]
fn stamped() {
    reader(Format::Stamped, 16);
}

#[test]
fn the_whole_pipeline() {
    let lexicon = Lexicon::builtin();
    let words: Vec<&str> = lexicon.data().forms.iter().map(|f| f.text).collect();
    let mut dice = Dice(99);
    // Words of the lexicon in no order: all that the stages look for, never as anybody says it.
    try_all(None, 17, |bytes| {
        let mut said = String::new();
        for i in 0..1 + dice.below(40) {
            said.push_str(words[dice.below(words.len())]);
            said.push_str([" ", ". ", ", ", "? ", " no, ", " and ", " the "][dice.below(7)]);
            if i % 8 == 7 {
                said.push_str("\n[0:09] ");
            }
        }
        let spoken = format!("[0:01] {said}");
        for text in [bytes, spoken.as_bytes()] {
            if let Ok(walk) = read(text, "walk", &ReadOptions { lossy: true }) {
                let list = storystick::pipeline::list(&[walk], &lexicon);
                for item in &list.items {
                    assert!(!item.said.is_empty() && item.said.iter().all(|s| s.start <= s.end));
                }
            }
        }
    });
}
