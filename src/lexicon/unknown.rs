//! Words of somebody's own walks that stand near a fault or a work and that the lexicon does not know: the list to teach
//! it from.

use std::collections::{BTreeMap, BTreeSet};

use super::{Kind, Lexicon};
use crate::pipeline::normalize::{Speech, Stop};
use crate::pipeline::segment::Clause;
use crate::pipeline::{grammar, scan, segment};
use crate::transcript::{Reading, Transcript};

/// One word or pair of words.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// The word or the pair, folded.
    pub words: String,
    /// How often it was said near a fault or a work.
    pub times: usize,
    /// In how many of the walks.
    pub walks: usize,
    /// The file in which it was said first.
    pub file: String,
    /// When it was said first, in seconds.
    pub second: f64,
    /// The clause in which it was said first, in the transcript's own wording.
    pub said: String,
}

#[derive(Default)]
struct Count {
    times: usize,
    walks: BTreeSet<usize>,
    first: Option<(String, f64, String)>,
}

/// All such words and pairs, the most frequent first; those that are as frequent in the order of the alphabet. A pair
/// stands before its words where these are said in it alone, and they are then left out.
pub fn unknown(walks: &[Transcript], lexicon: &Lexicon) -> Vec<Unknown> {
    let mut found: BTreeMap<String, Count> = BTreeMap::new();
    for (i, walk) in walks.iter().enumerate() {
        let reading = Reading::new(walk);
        let speech = Speech::new(&reading, lexicon);
        let scan = scan::scan(&speech, lexicon);
        let known = covered(&speech, &scan, lexicon);
        for clause in segment::clauses(&speech, &scan) {
            let matters = scan
                .within(&clause.tokens)
                .any(|m| matches!(m.kind, Kind::Fault | Kind::Work));
            if matters {
                for (words, at) in strange(&speech, &clause, &known, lexicon) {
                    let count = found.entry(words).or_default();
                    count.times += 1;
                    count.walks.insert(i);
                    count.first.get_or_insert_with(|| {
                        let bytes = speech.said(&clause.tokens);
                        let second = reading.span(speech.tokens[at].said.clone()).0;
                        (walk.file.clone(), second, reading.text[bytes].to_string())
                    });
                }
            }
        }
    }
    let within: BTreeSet<String> = found
        .iter()
        .filter(|(pair, c)| pair.contains(' ') && c.times > 1)
        .flat_map(|(pair, c)| pair.split(' ').map(move |w| (w, c.times)))
        .filter(|(w, times)| found.get(*w).is_some_and(|c| c.times == *times))
        .map(|(w, _)| w.to_string())
        .collect();
    let mut out: Vec<Unknown> = found
        .into_iter()
        .filter(|(words, _)| !within.contains(words))
        .filter_map(|(words, c)| {
            let (file, second, said) = c.first?;
            Some(Unknown {
                words,
                times: c.times,
                walks: c.walks.len(),
                file,
                second,
                said,
            })
        })
        .collect();
    out.sort_by(|a, b| {
        b.times
            .cmp(&a.times)
            .then(b.words.contains(' ').cmp(&a.words.contains(' ')))
            .then_with(|| a.words.cmp(&b.words))
    });
    out
}

/// Which words the lexicon knows where they stand.
fn covered(speech: &Speech<'_>, scan: &scan::Scan, lexicon: &Lexicon) -> Vec<bool> {
    let mut known = vec![false; speech.tokens.len()];
    let all = scan.mentions.iter().chain(scan.cues.iter().map(|(_, m)| m));
    for m in all {
        known[m.tokens.clone()].fill(true);
    }
    // A form that was read as part of a longer one, or not at all here, is known all the same.
    for hit in lexicon.hits(&speech.folded) {
        let from = speech
            .tokens
            .partition_point(|t| t.folded.start < hit.start);
        let to = speech.tokens.partition_point(|t| t.folded.start < hit.end);
        known[from..to].fill(true);
    }
    known
}

/// The words and pairs of a clause that are not known, each with the token at which it begins.
fn strange(
    speech: &Speech<'_>,
    clause: &Clause,
    known: &[bool],
    lexicon: &Lexicon,
) -> Vec<(String, usize)> {
    let telling = |i: usize| {
        let w = speech.word(i);
        !grammar::is_function(w)
            && !grammar::is_joiner(w)
            && !lexicon.is_hesitation(w)
            && w.chars().all(char::is_alphabetic)
    };
    let mut out = Vec::new();
    for i in clause.tokens.clone() {
        if !telling(i) {
            continue;
        }
        if !known[i] {
            out.push((speech.word(i).to_string(), i));
        }
        let next = i + 1;
        let pair = next < clause.tokens.end
            && speech.tokens[i].stop == Stop::None
            && telling(next)
            && !(known[i] && known[next]);
        if pair {
            out.push((format!("{} {}", speech.word(i), speech.word(next)), i));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lexicon::check::spoken;

    fn words(phrases: &[&str]) -> Vec<(String, usize)> {
        let walks: Vec<Transcript> = phrases.iter().map(|p| spoken(p)).collect();
        unknown(&walks, &Lexicon::builtin())
            .into_iter()
            .map(|u| (u.words, u.times))
            .collect()
    }

    #[test]
    fn what_stands_near_a_fault_and_is_not_known() {
        let found = words(&[
            "The flumber is cracked. The flumber is loose.",
            "The gronk plate is bent. Another gronk plate is bent.",
        ]);
        assert_eq!(found[0].1, 2, "{found:?}");
        assert!(found.contains(&("gronk plate".into(), 2)), "{found:?}");
        assert!(found.contains(&("flumber".into(), 2)), "{found:?}");
        // It is only ever said in the pair.
        assert!(!found.iter().any(|(w, _)| w == "gronk"), "{found:?}");
    }

    #[test]
    fn what_is_known_or_far_from_any_fault_is_left_out() {
        assert_eq!(words(&["The door is cracked."]), []);
        assert_eq!(words(&["The flumber stands in the hall."]), []);
    }
}
