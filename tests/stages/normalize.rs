//! Stage 1: the words as they are compared.

use storystick::lexicon::check::spoken;
use storystick::pipeline::normalize::{Speech, Stop};
use storystick::transcript::Reading;

use super::{lexicon, walk};

fn folded(text: &str) -> String {
    let transcript = spoken(text);
    let reading = Reading::new(&transcript);
    Speech::new(&reading, lexicon()).folded
}

#[test]
fn hesitations_and_stammers_go() {
    for (text, words) in [
        ("Um, the drawer, uh, sticks.", "the drawer sticks"),
        ("The, the drawer sticks.", "the drawer sticks"),
        ("in the in the hall", "in the hall"),
        ("THE DRAWER STICKS", "the drawer sticks"),
        ("  the\n drawer   sticks ", "the drawer sticks"),
        ("", ""),
        ("...", ""),
    ] {
        assert_eq!(folded(text), words, "{text}");
    }
}

#[test]
fn words_that_carry_something_stay() {
    // Said twice in two sentences, and a word doubled for weight.
    assert_eq!(folded("Fine. Fine."), "fine fine");
    assert_eq!(folded("very loose, very loose"), "very loose very loose");
}

#[test]
fn spellings_of_one_word_are_one() {
    assert_eq!(folded("touch-up"), folded("touch up"));
    assert_eq!(folded("it’s loose"), folded("it's loose"));
}

#[test]
fn stops_are_kept() {
    for (text, stop) in [
        ("loose.", Stop::End),
        ("loose!", Stop::End),
        ("loose?", Stop::Question),
        ("loose,", Stop::Comma),
        ("loose", Stop::None),
        ("loose, um.", Stop::End),
    ] {
        let transcript = spoken(text);
        let reading = Reading::new(&transcript);
        let speech = Speech::new(&reading, lexicon());
        assert_eq!(speech.tokens.last().unwrap().stop, stop, "{text}");
    }
}

#[test]
fn words_point_at_the_transcript() {
    let transcript = spoken("Um, the DRAWER sticks.");
    let reading = Reading::new(&transcript);
    let speech = Speech::new(&reading, lexicon());
    for (i, said) in ["the", "DRAWER", "sticks"].iter().enumerate() {
        let bytes = speech.said(&(i..i + 1));
        assert_eq!(&reading.text[bytes], *said);
    }
}

#[test]
fn a_long_silence_ends_a_sentence_and_long_cues_are_passages() {
    let cues = [
        (0.0, 2.0, "the tap drips"),
        (5.0, 7.0, "the light is on"),
        (7.1, 9.0, "and it flickers in the"),
        (12.0, 13.0, "hall"),
    ];
    let reading = Reading::new(&walk(&cues));
    let speech = Speech::new(&reading, lexicon());
    let ends = |word: &str| {
        let at = (0..speech.tokens.len()).find(|i| speech.word(*i) == word);
        speech.tokens[at.unwrap()].stop
    };
    assert_eq!(ends("drips"), Stop::End, "three seconds of silence");
    assert_eq!(ends("on"), Stop::None, "a tenth of a second");
    assert_eq!(ends("flickers"), Stop::None);
    // A thought that is not at its end goes on after the silence.
    let last_the = (0..speech.tokens.len()).rfind(|i| speech.word(*i) == "the");
    assert_eq!(speech.tokens[last_the.unwrap()].stop, Stop::None);
    assert!(speech.silences && speech.tokens.iter().all(|t| !t.passage));

    let long = "the tap in here drips all day long and nobody has been to look at it since we told them in the spring";
    let passages = [(0.0, 9.0, long), (9.0, 18.0, long)];
    let reading = Reading::new(&walk(&passages));
    let speech = Speech::new(&reading, lexicon());
    assert_eq!(speech.tokens.iter().filter(|t| t.passage).count(), 2);
    // One cue tells nothing of passages.
    let reading = Reading::new(&walk(&passages[..1]));
    assert!(!Speech::new(&reading, lexicon()).silences);
}
