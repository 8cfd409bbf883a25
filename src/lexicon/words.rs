//! Words as they are compared: folded to lower case, contractions opened, hyphens as blanks.
//!
//! The lexicon's forms and the transcript go through the same function, so that "won't latch", "wont latch" and
//! "will not latch" meet.

use std::borrow::Cow;
use std::ops::Range;

/// One word of a text: how it is compared, and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word<'t> {
    /// Lower case, without punctuation; a contraction gives several.
    pub norm: Cow<'t, str>,
    /// Where it stands in the text, in bytes; the parts of a contraction share the word's range between them.
    pub range: Range<usize>,
}

/// Whole words whose parts are compared one by one: spoken short forms, and those that recognizers write without
/// their apostrophe.
fn opened(word: &str) -> Option<&'static [&'static str]> {
    Some(match word {
        "cannot" | "cant" | "can't" => &["can", "not"],
        "won't" | "wont" => &["will", "not"],
        "shan't" => &["shall", "not"],
        "ain't" | "aint" => &["is", "not"],
        "isnt" => &["is", "not"],
        "arent" => &["are", "not"],
        "wasnt" => &["was", "not"],
        "werent" => &["were", "not"],
        "dont" => &["do", "not"],
        "doesnt" => &["does", "not"],
        "didnt" => &["did", "not"],
        "hasnt" => &["has", "not"],
        "havent" => &["have", "not"],
        "hadnt" => &["had", "not"],
        "shouldnt" => &["should", "not"],
        "couldnt" => &["could", "not"],
        "wouldnt" => &["would", "not"],
        "thats" => &["that", "is"],
        "theres" => &["there", "is"],
        "heres" => &["here", "is"],
        "whats" => &["what", "is"],
        "im" => &["i", "am"],
        "ive" => &["i", "have"],
        "youve" => &["you", "have"],
        "weve" => &["we", "have"],
        "theyve" => &["they", "have"],
        "theyre" => &["they", "are"],
        "youre" => &["you", "are"],
        "let's" => &["let", "us"],
        "gonna" => &["going", "to"],
        "gotta" => &["got", "to"],
        "wanna" => &["want", "to"],
        "needa" => &["need", "to"],
        "lemme" => &["let", "me"],
        "gimme" => &["give", "me"],
        "dunno" => &["do", "not", "know"],
        "'em" | "em" => &["them"],
        "'cause" | "cos" | "cuz" => &["because"],
        "ok" | "okey" => &["okay"],
        "alright" => &["all", "right"],
        "till" | "'til" | "til" => &["until"],
        "yep" | "yup" | "yeah" | "aye" => &["yes"],
        "nope" | "nah" => &["no"],
        _ => return None,
    })
}

/// Words after which "'s" stands for "is" or "has", never for an owner.
fn takes_is(word: &str) -> bool {
    matches!(
        word,
        "it" | "that"
            | "there"
            | "here"
            | "he"
            | "she"
            | "what"
            | "where"
            | "who"
            | "this"
            | "how"
            | "everything"
            | "something"
            | "nothing"
            | "which"
    )
}

/// The words of a text, in order.
pub fn words(text: &str) -> Vec<Word<'_>> {
    let mut out = Vec::new();
    let mut start = None;
    let bytes = text
        .char_indices()
        .chain(std::iter::once((text.len(), ' ')));
    let mut prev = ' ';
    for (at, c) in bytes {
        let next = || {
            text[at + c.len_utf8().min(text.len() - at)..]
                .chars()
                .next()
                .unwrap_or(' ')
        };
        let joins = match c {
            _ if c.is_alphanumeric() => true,
            '\'' | '’' | '‘' => {
                next().is_alphanumeric() || prev.is_alphanumeric() && start.is_some()
            }
            '.' | ',' | '/' | ':' => prev.is_ascii_digit() && next().is_ascii_digit(),
            _ => false,
        };
        let lone = matches!(c, '%' | '"' | '″' | '°' | '½' | '¼' | '¾')
            && (prev.is_ascii_digit() || !c.is_ascii() && c != '″');
        if joins && !(lone && start.is_some()) {
            start.get_or_insert(at);
        } else {
            if let Some(s) = start.take() {
                push(text, s..at, &mut out);
            }
            if lone && at < text.len() {
                out.push(Word {
                    norm: c.to_string().into(),
                    range: at..at + c.len_utf8(),
                });
            }
        }
        prev = c;
    }
    out
}

fn push<'t>(text: &'t str, range: Range<usize>, out: &mut Vec<Word<'t>>) {
    let raw = &text[range.clone()];
    // Most words stand as they are compared.
    if raw.bytes().all(|b| b.is_ascii_lowercase()) {
        match opened(raw) {
            Some(parts) => spread(range, parts, out),
            None => out.push(Word {
                norm: Cow::Borrowed(raw),
                range,
            }),
        }
        return;
    }
    let mut norm = if raw.is_ascii() {
        raw.to_ascii_lowercase()
    } else {
        raw.to_lowercase().replace(['’', '‘'], "'")
    };
    if norm.starts_with('\'') && opened(&norm).is_none() {
        norm.remove(0);
    }
    let end = range.end;
    if let Some(parts) = opened(&norm) {
        spread(range, parts, out);
        return;
    }
    if !norm.is_empty() && !norm.contains('\'') {
        let norm = Cow::Owned(norm);
        out.push(Word { norm, range });
        return;
    }
    for (suffix, word) in [
        ("n't", "not"),
        ("'re", "are"),
        ("'ve", "have"),
        ("'ll", "will"),
        ("'d", "would"),
        ("'m", "am"),
        ("'s", "'s"),
    ] {
        if let Some(stem) = norm.strip_suffix(suffix)
            && !stem.is_empty()
        {
            // Cut at the same distance from the end; a suffix is ASCII but for the apostrophe itself.
            let cut = raw
                .char_indices()
                .rev()
                .nth(suffix.chars().count() - 1)
                .map_or(end, |(i, _)| range.start + i);
            out.push(Word {
                norm: stem.to_string().into(),
                range: range.start..cut,
            });
            // "it's" is "it is", "the wall's" may be the wall's own.
            let word = if word == "'s" && takes_is(stem) {
                "is"
            } else {
                word
            };
            out.push(Word {
                norm: Cow::Borrowed(word),
                range: cut..end,
            });
            return;
        }
    }
    let norm = norm.trim_end_matches('\'').to_string();
    if !norm.is_empty() {
        let norm = Cow::Owned(norm);
        out.push(Word { norm, range });
    }
}

fn spread(range: Range<usize>, parts: &[&'static str], out: &mut Vec<Word<'_>>) {
    // The parts share the word's range: only its outer edges are ever shown.
    for norm in parts {
        out.push(Word {
            norm: Cow::Borrowed(norm),
            range: range.clone(),
        });
    }
}

/// A form of the lexicon as it is compared: its words joined by single blanks.
pub fn fold(form: &str) -> String {
    let words = words(form);
    let mut out = String::with_capacity(form.len());
    for w in words {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(&w.norm);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folds_as_spoken() {
        for (text, folded) in [
            ("Touch-up", "touch up"),
            ("won't latch", "will not latch"),
            ("wont latch", "will not latch"),
            ("It isn’t in", "it is not in"),
            ("the wall's cracked", "the wall 's cracked"),
            ("the girls' room", "the girls room"),
            ("3/8 of 1.5, 10:30", "3/8 of 1.5 10:30"),
            ("pull 'em", "pull them"),
            ("9 1/4\" off", "9 1/4 \" off"),
            ("P-trap", "p trap"),
            ("20% down", "20 % down"),
            ("", ""),
        ] {
            assert_eq!(fold(text), folded, "{text}");
        }
    }

    #[test]
    fn ranges_lie_in_the_text() {
        let text = "“Don’t” — it’s 9½° off… the ÉLAN's";
        for w in words(text) {
            assert!(text.get(w.range.clone()).is_some(), "{w:?}");
        }
    }
}
