//! No input makes the time grow faster than its length.
//!
//! What is compared is a piece of an input and one eight times as long: a quadratic stage takes 64 times as long for it, a
//! linear one 8 times. The limit lies between. What is measured is the thread's own time on the processor, so that a busy
//! machine changes little; each is the best of three.

use std::time::Duration;

use cpu_time::ThreadTime;
use storystick::lexicon::Lexicon;
use storystick::transcript::{ReadOptions, read};

/// How many times longer the longer input is, and how many times longer it may take.
const LONGER: usize = 8;
const LIMIT: f64 = 24.0;
/// Times below this say nothing.
const FLOOR: Duration = Duration::from_millis(4);

fn once(text: &str, lexicon: &Lexicon) -> Duration {
    let begun = ThreadTime::now();
    // What cannot be read must be told as fast.
    if let Ok(walk) = read(text.as_bytes(), "walk", &ReadOptions::default()) {
        std::hint::black_box(storystick::pipeline::list(&[walk], lexicon));
    }
    begun.elapsed()
}

fn best(text: &str, lexicon: &Lexicon) -> Duration {
    (0..3).map(|_| once(text, lexicon)).min().unwrap()
}

fn grows_evenly(name: &str, make: impl Fn(usize) -> String) {
    grows(16_000, name, make);
}

fn grows(bytes: usize, name: &str, make: impl Fn(usize) -> String) {
    let lexicon = Lexicon::builtin();
    let short = best(&make(bytes), &lexicon).max(FLOOR);
    let long = best(&make(bytes * LONGER), &lexicon);
    let times = long.as_secs_f64() / short.as_secs_f64();
    assert!(
        times < LIMIT,
        "{name}: {LONGER} times the text takes {times:.1} times as long ({short:?}, {long:?})"
    );
}

fn stamp(half_seconds: usize) -> String {
    let s = half_seconds / 2;
    let ms = half_seconds % 2 * 500;
    format!("{:02}:{:02}:{:02}.{ms:03}", s / 3600, s / 60 % 60, s % 60)
}

/// One cue of a repeated piece.
fn one_cue(piece: &str, bytes: usize) -> String {
    let text = piece.repeat(bytes / piece.len());
    format!("WEBVTT\n\n00:00:00.000 --> 01:00:00.000\n{text}\n")
}

/// Cues of three seconds, or of a minute where they overlap.
fn many_cues(bytes: usize, overlap: bool, text: impl Fn(usize) -> String) -> String {
    let mut out = String::from("WEBVTT\n");
    let mut i = 0;
    while out.len() < bytes {
        let start = if overlap { i } else { 6 * i };
        let end = start + if overlap { 120 } else { 6 };
        out.push_str(&format!(
            "\n{} --> {}\n{}\n",
            stamp(start),
            stamp(end),
            text(i)
        ));
        i += 1;
    }
    out
}

#[test]
fn one_word_again_and_again() {
    grows_evenly("no", |n| one_cue("no ", n));
    grows_evenly("kitchen", |n| one_cue("kitchen ", n));
    grows_evenly("a long word", |n| one_cue("a", n));
}

#[test]
fn a_phrase_again_and_again() {
    grows_evenly("and the door", |n| one_cue("and the door ", n));
    grows_evenly("the handle is loose", |n| {
        one_cue("the handle is loose ", n)
    });
    grows_evenly("sentences", |n| one_cue("The door is scratched. ", n));
}

#[test]
fn a_phrase_in_many_cues() {
    grows_evenly("no in cues", |n| {
        many_cues(n, false, |_| "no no no no no".into())
    });
    grows_evenly("doors in cues", |n| {
        many_cues(n, false, |_| "and the door and the door".into())
    });
}

#[test]
fn newlines_and_tags() {
    grows_evenly("newlines", |n| {
        one_cue("the door is loose\n", 40) + &"\n".repeat(n)
    });
    grows_evenly("tags", |n| one_cue("<b>the door ", n));
    grows_evenly("bare signs", |n| one_cue("<", n));
    grows_evenly("elements", |n| {
        format!(
            "<tt xmlns=\"http://www.w3.org/ns/ttml\"><body><div>{}",
            "<p begin=\"0s\">".repeat(n / 14)
        )
    });
    grows_evenly("brackets", |n| format!("{{\"segments\":{}", "[".repeat(n)));
}

#[test]
fn overlapping_cues() {
    grows_evenly("overlaps, all alike", |n| {
        many_cues(n, true, |_| "the door is loose here".into())
    });
    grows_evenly("overlaps", |n| {
        many_cues(n, true, |i| {
            format!("the {} door is loose", ["left", "back", "oak"][i % 3])
        })
    });
}

/// Buildings whose rooms are all different: by number, by name, in a unit, and bedrooms that nobody numbers.
#[test]
fn thousands_of_rooms() {
    let rooms = |name: &dyn Fn(usize) -> String, n| {
        many_cues(n, false, |i| format!("{} The door is scratched.", name(i)))
    };
    let letters = |i: usize| -> String {
        let letter = |k: u32| char::from(b'a' + (i / 26usize.pow(k) % 26) as u8);
        (0..4).map(letter).collect()
    };
    let named = |i| format!("Now we're in the {}ing room.", letters(i));
    // Long enough that what is done for each pair of rooms would outweigh the rest.
    grows(64_000, "numbers", |n| {
        rooms(&|i| format!("Okay, room {}.", 1000 + i), n)
    });
    grows(64_000, "names", |n| rooms(&named, n));
    grows(64_000, "a suite's", |n| {
        rooms(&|i| format!("Suite 400. Now into office {i}."), n)
    });
    grows(64_000, "bedrooms", |n| {
        rooms(&|_| "This is another bedroom.".into(), n)
    });
}

#[test]
fn a_walk_of_hours() {
    let walk = include_str!("../examples/walnut-house.vtt");
    let said: Vec<&str> = walk
        .lines()
        .filter(|l| !l.contains("-->") && l.contains(' '))
        .collect();
    let hours = |n| many_cues(n, false, |i| said[i % said.len()].to_string());
    grows_evenly("hours", hours);
    // Three hours, whole: 3,600 cues of three seconds.
    let three = many_cues(3600 * 80, false, |i| said[i % said.len()].to_string());
    let walk = read(three.as_bytes(), "walk", &ReadOptions::default()).unwrap();
    assert!(walk.cues.last().unwrap().end > 3.0 * 3600.0 * 0.8);
    let list = storystick::pipeline::list(&[walk], &Lexicon::builtin());
    assert!(list.items.len() > 20);
}
