//! Non-speech notes: what is in brackets, between notes of music or in a recognizer's own tokens.

use std::ops::Range;

/// A remark: where it stands, and whether it is a known one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Remark {
    /// The bytes it takes, brackets included.
    pub range: Range<usize>,
    /// Its words are those of non-speech notes; false where only the square brackets say so.
    pub known: bool,
}

/// Words that name a sound or the lack of one.
const SOUNDS: &str = " applause audio background bang banging barking barks beep beeping beeps bell blank breath breathes breathing \
    buzz buzzing cheering chuckle chuckles chuckling clank clanking clap clapping clatter click clicking clicks closes closing \
    clunk cough coughing coughs creak creaking creaks cross-talk crosstalk crying drilling exhales foreign footsteps gap \
    garbled grunts hammering hesitation hum humming hums inaudible indecipherable indiscernible indistinct inhales instrumental \
    interference jingle jingling knock knocking knocks laugh laughing laughs laughter lipsmack mumbles mumbling music \
    muffled muttering mutters noise noises opens overlapping panting pause pauses rattle rattling redacted ringing rings rustling sawing \
    scoffs scraping screeching sigh sighing sighs sil silence silent singing siren sirens slam slamming slams sneeze sneezes sniff \
    sniffing sniffles sniffs snorts throat sound sounds speech spn squeak squeaking squeaks static tapping thud thump thunder typing \
    unclear unintelligible unk vocalized whir whirring whispering whispers whistle whistles whistling wind yawns ";

/// Words that stand beside those.
const BESIDE: &str = " a and car cell chair clears clearing continues continuing dog dogs door drawer faint from gate heavy \
    hesitantly horn in inaudibly is keys language light lip lips long loud loudly low multiple music nervous nervously no non \
    not of on people person phone plays playing quiet quietly short side soft softly someone something speaker speakers speaking \
    telephone the to traffic tv two up upbeat various vehicle voice voices water window with ";

fn listed(list: &str, word: &str) -> bool {
    !word.is_empty() && list.contains(&format!(" {word} "))
}

/// Whether all words of `inside` are those of a non-speech note, at least one naming a sound.
fn is_sound(inside: &str) -> bool {
    let mut named = false;
    let mut count = 0;
    for word in inside
        .split(|c: char| !(c.is_alphanumeric() || matches!(c, '-' | '\'' | '’')))
        .filter(|w| !w.is_empty())
    {
        count += 1;
        let lower = word.to_lowercase();
        let sound = listed(SOUNDS, &lower);
        let number = lower.bytes().all(|b| b.is_ascii_digit());
        if count > 6 || !(sound || number || listed(BESIDE, &lower)) {
            return false;
        }
        named |= sound;
    }
    named
}

/// An editor's guess or filled-in small word in square brackets, which stays: `[tarp?]`, `[the]`.
fn is_guess(inside: &str) -> bool {
    const SMALL: &str = " a an and are at he in is it it's its of on or our she that the their they this to was we were with you your ";
    let inside = inside.trim();
    let spoken = inside.ends_with('?') && inside.len() > 1 && !is_sound(inside);
    spoken || inside.split_whitespace().all(|w| listed(SMALL, w)) && !inside.is_empty()
}

/// How long a remark may be, in bytes between its signs.
const LONGEST: usize = 120;

/// Finds the remarks in a cue's text, in order, not overlapping; the brackets around an editor's guess count as remarks too.
pub(crate) fn find(text: &str) -> Vec<Remark> {
    let mut out: Vec<Remark> = Vec::new();
    let mut push = |range: Range<usize>, known: bool| out.push(Remark { range, known });
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let close = |sign: u8| {
            bytes[at + 1..]
                .iter()
                .take(LONGEST)
                .position(|b| *b == sign)
                .map(|n| at + 1 + n)
        };
        match bytes[at] {
            b'[' => {
                if let Some(end) = close(b']') {
                    let inside = &text[at + 1..end];
                    if is_guess(inside) {
                        push(at..at + 1, true);
                        push(end..end + 1, true);
                    } else {
                        let token = !inside.chars().any(char::is_lowercase) && inside.contains('_');
                        push(
                            at..end + 1,
                            token || inside.trim().is_empty() || is_sound(inside),
                        );
                    }
                    at = end;
                }
            }
            open @ (b'(' | b'{' | b'*' | b'<') => {
                let sign = match open {
                    b'(' => b')',
                    b'{' => b'}',
                    b'<' => b'>',
                    _ => b'*',
                };
                if let Some(end) = close(sign) {
                    let inside = &text[at + 1..end];
                    let token = open == b'<'
                        && inside.len() > 1
                        && inside.starts_with('|')
                        && inside.ends_with('|');
                    if token || is_sound(inside) {
                        push(at..end + 1, true);
                        at = end;
                    }
                }
            }
            b'%' if text[at..].len() > 10
                && text[at + 1..]
                    .get(..10)
                    .is_some_and(|w| w.eq_ignore_ascii_case("hesitation")) =>
            {
                push(at..at + 11, true);
                at += 10;
            }
            // ♩ ♪ ♫ ♬ are E2 99 A9 to E2 99 AC: what lies between two of them, or up to the end of the line, is sung.
            0xE2 if is_note(bytes, at) => {
                let next = (at + 3..bytes.len()).find(|&i| bytes[i] == b'\n' || is_note(bytes, i));
                let end = next.map_or(bytes.len(), |i| if bytes[i] == b'\n' { i } else { i + 3 });
                push(at..end, true);
                at = end - 1;
            }
            _ => {}
        }
        at += 1;
    }
    out
}

fn is_note(bytes: &[u8], at: usize) -> bool {
    bytes[at] == 0xE2
        && bytes.get(at + 1) == Some(&0x99)
        && matches!(bytes.get(at + 2), Some(0xA9..=0xAC))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left(text: &str) -> String {
        let cuts: Vec<_> = find(text).into_iter().map(|r| r.range).collect();
        super::super::text::squeeze(text, &[], &cuts).0
    }

    #[test]
    fn remarks_go_and_words_stay() {
        for (text, kept) in [
            ("[Music]", ""),
            ("(inaudible)", ""),
            ("[BLANK_AUDIO]", ""),
            ("[ Silence ]", ""),
            ("the sink [laughs], it drips", "the sink, it drips"),
            ("the sink[cough]drips", "the sink drips"),
            ("(about two inches) of gap", "(about two inches) of gap"),
            ("(the music room)", "(the music room)"),
            ("(dog barking) down, boy", "down, boy"),
            ("(clears throat) so", "so"),
            ("[the] door and a [tarp?]", "the door and a tarp?"),
            ("[inaudible 00:12:03] and", "and"),
            ("[door slams] that door", "that door"),
            ("♪ la la la ♪ okay", "okay"),
            ("♪♪", ""),
            ("♪ humming along\nthe tap drips", "the tap drips"),
            ("*coughs* so *really* wide", "so *really* wide"),
            ("<|0.00|> Okay.<|2.00|>", "Okay."),
            ("um %HESITATION the", "um the"),
            ("it's 3 < 5 > 2", "it's 3 < 5 > 2"),
            ("an [open bracket", "an [open bracket"),
            ("  two   blanks\n\nand lines  ", "two blanks\nand lines"),
        ] {
            assert_eq!(left(text), kept, "{text}");
        }
    }
}
