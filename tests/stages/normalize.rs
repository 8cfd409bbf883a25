//! Stage 1: the words as they are compared.

use storystick::lexicon::check::spoken;
use storystick::pipeline::normalize::{Speech, Stop};
use storystick::transcript::Reading;

use super::lexicon;

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
