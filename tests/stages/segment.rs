//! Stage 2: sentences and clauses.

use storystick::lexicon::check::spoken;
use storystick::pipeline::normalize::Speech;
use storystick::pipeline::{scan, segment};
use storystick::transcript::{Reading, Transcript};

use super::{lexicon, walk};

/// The clauses, each as its words.
fn clauses(transcript: &Transcript) -> Vec<(String, bool)> {
    let reading = Reading::new(transcript);
    let speech = Speech::new(&reading, lexicon());
    let scan = scan::scan(&speech, lexicon());
    segment::clauses(&speech, &scan)
        .iter()
        .map(|c| (speech.words(&c.tokens).to_string(), c.question))
        .collect()
}

fn words(transcript: &Transcript) -> Vec<String> {
    clauses(transcript).into_iter().map(|(w, _)| w).collect()
}

#[test]
fn with_punctuation() {
    for (text, wanted) in [
        (
            "The tap drips. The drawer sticks.",
            vec!["the tap drips", "the drawer sticks"],
        ),
        (
            "The window is fine but the sill is scratched.",
            vec!["the window is fine", "but the sill is scratched"],
        ),
        (
            "The wall is dented and the baseboard is scuffed.",
            vec!["the wall is dented", "and the baseboard is scuffed"],
        ),
        (
            "Fine except for the sill.",
            vec!["fine", "except for the sill"],
        ),
    ] {
        assert_eq!(words(&spoken(text)), wanted, "{text}");
    }
}

#[test]
fn a_sentence_may_run_over_the_edge_of_a_cue() {
    let walk = walk(&[(0.0, 1.0, "The tap"), (1.0, 2.0, "drips.")]);
    assert_eq!(words(&walk), ["the tap drips"]);
}

#[test]
fn without_punctuation() {
    let one = spoken("okay kitchen the faucet drips the drawer sticks");
    let words_of_one = words(&one);
    assert!(words_of_one.contains(&"the drawer sticks".to_string()));
    // A long silence ends a sentence.
    let two = walk(&[
        (0.0, 1.0, "the faucet drips"),
        (4.0, 5.0, "the drawer sticks"),
    ]);
    assert_eq!(words(&two), ["the faucet drips", "the drawer sticks"]);
}

#[test]
fn questions_by_their_form() {
    for (text, asked) in [
        ("Is the outlet live?", true),
        ("What is this pipe for?", true),
        ("See how it sits proud?", false),
        ("The outlet is live.", false),
    ] {
        assert_eq!(clauses(&spoken(text))[0].1, asked, "{text}");
    }
}

#[test]
fn clauses_cover_the_words_once_and_in_order() {
    for text in [
        "The tap drips, the drawer sticks, but the sill is fine. Is it? Okay.",
        "so kitchen the tap drips and the drawer sticks okay hall the light is out",
    ] {
        let transcript = spoken(text);
        let reading = Reading::new(&transcript);
        let speech = Speech::new(&reading, lexicon());
        let scan = scan::scan(&speech, lexicon());
        let mut at = 0;
        for c in segment::clauses(&speech, &scan) {
            assert_eq!(c.tokens.start, at, "{text}");
            assert!(c.tokens.end > at, "{text}");
            at = c.tokens.end;
        }
        assert_eq!(at, speech.tokens.len(), "{text}");
    }
}
