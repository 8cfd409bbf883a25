//! Rolling captions: each cue repeats the end of the one before, or grows by a word. Folded into one text.
//!
//! Speech repeats itself too ("Dry. Dry, dry."). So overlaps are folded only where they are the way of the whole file:
//! most neighbouring cues overlap, by whole lines or by three words or more.

use super::draft::{Draft, Kind, Notes, Timed};
use super::webvtt::share;

/// Cues further apart than this, in seconds, do not roll into each other.
const NEAR: f64 = 1.0;

/// A cue's words with the line each is on.
struct Tokens<'a> {
    words: Vec<(&'a str, usize)>,
}

impl<'a> Tokens<'a> {
    fn of(text: &'a str) -> Self {
        // A word and its blank have six letters or so.
        let mut words = Vec::with_capacity(text.len() / 4);
        for (line, text) in text.split('\n').enumerate() {
            words.extend(text.split_whitespace().map(|w| (w, line)));
        }
        Tokens { words }
    }

    fn len(&self) -> usize {
        self.words.len()
    }
}

/// Two words are one where only case and punctuation differ.
fn same(a: &str, b: &str) -> bool {
    if a == b {
        return true;
    }
    // Most words differ in their first letters.
    if let (Some(x), Some(y)) = (a.as_bytes().first(), b.as_bytes().first())
        && x.is_ascii_alphanumeric()
        && y.is_ascii_alphanumeric()
        && !x.eq_ignore_ascii_case(y)
    {
        return false;
    }
    fn bare(s: &str) -> impl Iterator<Item = char> {
        s.chars()
            .filter(|c| c.is_alphanumeric())
            .flat_map(char::to_lowercase)
    }
    bare(a).next().is_some() && bare(a).eq(bare(b))
}

/// How many words at the end of `before` are the first words of `now`: the longest such stretch, found in linear time.
fn overlap(before: &Tokens, now: &Tokens) -> usize {
    let pattern = &now.words;
    if pattern.is_empty() {
        return 0;
    }
    let tail = &before.words[before.len().saturating_sub(pattern.len())..];
    // Where the first word does not come, none of the stretch does.
    if !tail.iter().any(|(word, _)| same(word, pattern[0].0)) {
        return 0;
    }
    let mut fail = vec![0usize; pattern.len()];
    let mut k = 0;
    for i in 1..pattern.len() {
        while k > 0 && !same(pattern[i].0, pattern[k].0) {
            k = fail[k - 1];
        }
        if same(pattern[i].0, pattern[k].0) {
            k += 1;
        }
        fail[i] = k;
    }
    k = 0;
    for (word, _) in tail {
        if k == pattern.len() {
            k = fail[k - 1];
        }
        while k > 0 && !same(word, pattern[k].0) {
            k = fail[k - 1];
        }
        if same(word, pattern[k].0) {
            k += 1;
        }
    }
    k
}

/// What two neighbouring cues are to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tie {
    /// Nothing, or too far apart.
    None,
    /// The same words.
    Same,
    /// The first words of the later are the last of the earlier, in the way of rolling captions.
    Rolls(usize),
}

fn tie(before: &Draft, now: &Draft, a: &Tokens, b: &Tokens) -> Tie {
    let near = now.start <= before.end.unwrap_or(before.start) + NEAR;
    if !near || before.speaker != now.speaker {
        return Tie::None;
    }
    // Words that come again with later times of their own were said again.
    if let (Some(last), Some(first)) = (before.words.last(), now.words.first())
        && first.range.start == 0
        && first.start >= last.start
    {
        return Tie::None;
    }
    let k = overlap(a, b);
    if k == 0 {
        return Tie::None;
    }
    if k == a.len() && k == b.len() {
        return Tie::Same;
    }
    let exact = a.words[a.len() - k..]
        .iter()
        .zip(&b.words[..k])
        .all(|(x, y)| x.0 == y.0);
    let starts_line = k == a.len() || a.words[a.len() - k].1 != a.words[a.len() - k - 1].1;
    let ends_line = k == b.len() || b.words[k].1 != b.words[k - 1].1;
    let grows = k == a.len();
    if k >= 3 || (exact && (grows || (starts_line && ends_line))) {
        Tie::Rolls(k)
    } else {
        Tie::None
    }
}

/// Takes out cues that say the same at the same time.
fn drop_twins(drafts: Vec<Draft>, notes: &mut Notes) -> Vec<Draft> {
    let mut out: Vec<Draft> = Vec::with_capacity(drafts.len());
    for draft in drafts {
        let twin = out.iter_mut().rev().take(4).find(|d| {
            let (end, last) = (draft.end.unwrap_or(draft.start), d.end.unwrap_or(d.start));
            let both = end.min(last) - draft.start.max(d.start);
            let shorter = (end - draft.start).min(last - d.start);
            let at_once =
                (d.start - draft.start).abs() < 0.05 || (both > 0.0 && both >= shorter / 2.0);
            at_once && d.at != draft.at && d.speaker == draft.speaker && d.text == draft.text
        });
        match twin {
            Some(first) => {
                notes.add(Kind::Folded, draft.at, || {
                    format!(
                        "the same words at the same time twice, kept once: {}",
                        super::webvtt::short(&draft.text)
                    )
                });
                first.end = first.end.zip(draft.end).map(|(a, b)| a.max(b));
                if first.words.is_empty() {
                    first.words = draft.words;
                }
            }
            None => out.push(draft),
        }
    }
    out
}

/// Folds repeats; the drafts are in order and have ends, their text is folded to lines.
pub(crate) fn fold(drafts: Vec<Draft>, notes: &mut Notes) -> Vec<Draft> {
    let drafts = drop_twins(drafts, notes);
    if !prevails(&drafts) {
        return drafts;
    }
    let at = drafts.first().map_or(0, |d| d.at);
    let count = drafts.len();
    let mut out: Vec<Draft> = Vec::with_capacity(count / 2);
    let mut folded = 0usize;
    let mut last: Option<Draft> = None;
    for draft in drafts {
        let k = match &last {
            Some(before) => {
                let (a, b) = (Tokens::of(&before.text), Tokens::of(&draft.text));
                match tie(before, &draft, &a, &b) {
                    Tie::None => 0,
                    Tie::Same => b.len(),
                    Tie::Rolls(k) => k,
                }
            }
            None => 0,
        };
        if k == 0 {
            out.push(draft.clone());
        } else {
            folded += 1;
            add_rest(&draft, k, &mut out);
        }
        last = Some(draft);
    }
    if folded > 0 {
        notes.add(Kind::Folded, at, || {
            format!(
                "rolling captions: {folded} of {count} cues repeat the one before; repeats folded"
            )
        });
    }
    out
}

/// Whether rolling is the way of this file.
fn prevails(drafts: &[Draft]) -> bool {
    let (mut near, mut rolls, mut words) = (0usize, 0usize, 0usize);
    let mut before = Tokens::of(drafts.first().map_or("", |d| &d.text));
    for pair in drafts.windows(2) {
        let now = Tokens::of(&pair[1].text);
        let tied = tie(&pair[0], &pair[1], &before, &now);
        before = now;
        match tied {
            Tie::None => {
                near += usize::from(pair[1].start <= pair[0].end.unwrap_or(pair[0].start) + NEAR)
            }
            Tie::Same => {}
            Tie::Rolls(k) => {
                near += 1;
                rolls += 1;
                words += k;
            }
        }
    }
    rolls >= 2 && words >= 5 && rolls * 2 >= near
}

/// Adds what is new in `draft` after its first `k` words: to the cue it grows from, or as a cue of its own.
fn add_rest(draft: &Draft, k: usize, out: &mut Vec<Draft>) {
    let tokens = Tokens::of(&draft.text);
    let Some(last) = out.last_mut() else { return };
    let Some(&(next, line)) = tokens.words.get(k) else {
        // Nothing new; a cue that only shows on does not make the words last longer.
        return;
    };
    let from = next.as_ptr() as usize - draft.text.as_ptr() as usize;
    let end = draft.end.unwrap_or(draft.start);
    let given: Vec<Timed> = draft
        .words
        .iter()
        .filter(|w| w.range.start >= from)
        .cloned()
        .collect();
    let held = Tokens::of(&last.text).len();
    let grows = held == k && given.is_empty() && tokens.words[k - 1].1 == line;
    if !grows {
        let start = given
            .first()
            .map_or(draft.start, |w| w.start.min(draft.start.max(w.start)));
        clip(last, start);
        let words = given
            .into_iter()
            .map(|w| Timed {
                range: w.range.start - from..w.range.end - from,
                ..w
            })
            .collect();
        out.push(Draft {
            start,
            text: draft.text[from..].to_owned(),
            words,
            ..draft.clone()
        });
        return;
    }
    // Growing by the word: one cue, in which every word has the time at which it first came.
    clip(last, draft.start);
    if last.words.is_empty() {
        let (start, end) = (last.start, last.end.unwrap_or(last.start));
        share(&last.text, 0..last.text.len(), start, end, &mut last.words);
    }
    let mut text = draft.text.clone();
    let old = draft.text[..from].trim_end().len();
    let moved = remap(
        &last.text,
        &draft.text[..old],
        std::mem::take(&mut last.words),
    );
    last.words = moved;
    share(
        &text,
        from..draft.text.len(),
        draft.start,
        end.max(draft.start),
        &mut last.words,
    );
    std::mem::swap(&mut last.text, &mut text);
    last.end = Some(end);
}

/// A cue and its words end no later than what follows begins.
fn clip(draft: &mut Draft, at: f64) {
    let at = at.max(draft.start);
    if draft.end.is_some_and(|e| e > at) {
        draft.end = Some(at);
        for word in &mut draft.words {
            word.end = word.end.map(|e| e.min(at).max(word.start));
        }
    }
}

/// Word times of `old` put on `new`, which has the same words, perhaps punctuated otherwise.
fn remap(old: &str, new: &str, words: Vec<Timed>) -> Vec<Timed> {
    if old == new {
        return words;
    }
    let place = |text: &str| -> Vec<std::ops::Range<usize>> {
        let start = text.as_ptr() as usize;
        text.split_whitespace()
            .map(|w| w.as_ptr() as usize - start..w.as_ptr() as usize - start + w.len())
            .collect()
    };
    let (from, to) = (place(old), place(new));
    let mut out = Vec::with_capacity(words.len());
    let mut i = 0;
    for word in words {
        while i < from.len() && from[i].end <= word.range.start {
            i += 1;
        }
        if let Some(range) = to.get(i) {
            out.push(Timed {
                range: range.clone(),
                ..word
            });
        }
    }
    out
}
