//! Parts told by what they look like and where they are: "the rubber strip along the bottom of the door". The patterns stand
//! in `lexicon/descriptions.yaml`.

use crate::lexicon::data::Sense;
use crate::lexicon::source::Description;
use crate::lexicon::table::Hashed;
use crate::lexicon::{Kind, Lexicon, Role};

use super::grammar;
use super::mentions::singular;
use super::normalize::{Speech, Stop};
use super::scan::Mention;

/// How many words may stand between the vague word and what tells where it is: "the strip that runs all along".
const LINK: usize = 4;
/// How many words a form has at most.
const FORM: usize = 16;
/// How many describing words may stand before the part it is at: "the bottom of the big front door".
const LEAD: usize = 4;

/// The parts told by description, each over all the words that tell it.
pub fn described(speech: &Speech<'_>, content: &[Mention], lexicon: &Lexicon) -> Vec<Mention> {
    let rows = &lexicon.data().descriptions;
    let mut sorted: Vec<&Mention> = content.iter().collect();
    sorted.sort_by_key(|m| m.tokens.start);
    let begin = Beginnings::of(lexicon);
    let mut out = Vec::new();
    for at in 0..speech.tokens.len() {
        let word = singular(speech.word(at));
        if !begin.has(&word) {
            continue;
        }
        let candidates = lexicon.descriptions_of(&word);
        if candidates.is_empty() {
            continue;
        }
        // "cover plate", "run a bead": the word is part of something better known.
        let near = about(&sorted, at);
        let better = near.iter().any(|m| {
            m.tokens.contains(&at)
                && (m.kind == Kind::Work && m.tokens.len() > 1
                    || m.kind == Kind::Element && m.tokens.start < at)
        });
        if better {
            continue;
        }
        let told = candidates.iter().find_map(|(_, row, head)| {
            let row = usize::from(*row);
            let end = after(speech, at, &rows[row].heads[usize::from(*head)])?;
            let end = located(speech, &sorted, lexicon, &rows[row], end)?;
            Some((row, end))
        });
        if let Some((row, end)) = told
            && let Some(entry) = lexicon.element_by_id(&rows[row].element)
        {
            let plural = speech.word(at) != word;
            out.push(Mention {
                tokens: at..end,
                kind: Kind::Element,
                entry,
                role: if plural { Role::Nouns } else { Role::Noun },
                // The trade's word is shown for it.
                name: Sense::HEARD,
            });
        }
    }
    out
}

/// The words with which descriptions begin, to be found by their hash.
struct Beginnings<'l>(Vec<&'l str>);

impl<'l> Beginnings<'l> {
    fn of(lexicon: &'l Lexicon) -> Beginnings<'l> {
        let heads = &lexicon.data().heads;
        let mut all = Beginnings(vec![""; (2 * heads.len() + 1).next_power_of_two()]);
        for (word, ..) in heads {
            let at = all.place(word);
            all.0[at] = word;
        }
        all
    }

    /// Where a word stands, or the empty place where it would.
    fn place(&self, word: &str) -> usize {
        let mut at = Hashed::default().and(word).slot(self.0.len());
        while !self.0[at].is_empty() && self.0[at] != word {
            at = (at + 1) % self.0.len();
        }
        at
    }

    fn has(&self, word: &str) -> bool {
        !self.0[self.place(word)].is_empty()
    }
}

/// The mentions that begin at most a form's length before a word, up to the reach of a description.
fn about<'m, 's>(sorted: &'s [&'m Mention], at: usize) -> &'s [&'m Mention] {
    let from = sorted.partition_point(|m| m.tokens.start + FORM < at);
    let to = sorted.partition_point(|m| m.tokens.start <= at + FORM);
    &sorted[from..to]
}

/// The word after a phrase, where the phrase stands here; its last word may be in the plural.
fn after(speech: &Speech<'_>, at: usize, phrase: &str) -> Option<usize> {
    // A singular has the first letter of its plural.
    if speech.word(at).as_bytes().first() != phrase.as_bytes().first() {
        return None;
    }
    let mut i = at;
    for want in phrase.split(' ') {
        let word = speech.word(i);
        // A plural is longer.
        if word != want && (word.len() <= want.len() || singular(word) != want) {
            return None;
        }
        if i > at && speech.tokens[i - 1].stop > Stop::None {
            return None;
        }
        i += 1;
    }
    Some(i)
}

/// The end of the words that tell where it is, where they fit the row.
fn located(
    speech: &Speech<'_>,
    content: &[&Mention],
    lexicon: &Lexicon,
    row: &Description,
    from: usize,
) -> Option<usize> {
    for skip in 0..=LINK {
        let at = from + skip;
        if at >= speech.tokens.len() || at > 0 && speech.tokens[at - 1].stop > Stop::None {
            return None;
        }
        let mut ends: Vec<usize> = row
            .by
            .iter()
            .filter_map(|by| after(speech, at, by))
            .collect();
        ends.sort_unstable();
        if let Some(end) = ends
            .into_iter()
            .rev()
            .find_map(|e| host(speech, content, lexicon, row, e))
        {
            return Some(end);
        }
        let links = matches!(
            speech.word(at),
            "that"
                | "which"
                | "what"
                | "is"
                | "'s"
                | "are"
                | "goes"
                | "go"
                | "runs"
                | "run"
                | "going"
                | "running"
                | "comes"
                | "sits"
                | "all"
                | "right"
                | "just"
                | "up"
                | "down"
                | "over"
                | "out"
                | "in"
                | "thing"
                | "thingy"
                | "bit"
                | "piece"
        );
        if !links {
            return None;
        }
    }
    None
}

/// The end of the part or place that the row asks for, after articles and describing words.
fn host(
    speech: &Speech<'_>,
    content: &[&Mention],
    lexicon: &Lexicon,
    row: &Description,
    from: usize,
) -> Option<usize> {
    if row.hosts.is_empty() {
        return Some(from);
    }
    for at in from..from + LEAD {
        if at >= speech.tokens.len() || at > 0 && speech.tokens[at - 1].stop > Stop::None {
            return None;
        }
        let content = about(content, at);
        let fits = |m: &&&Mention| {
            let names: [&str; 2] = match m.kind {
                Kind::Element => {
                    let e = lexicon.element(m.entry);
                    [&e.id, &e.group]
                }
                Kind::Area => [&lexicon.area(m.entry).id, ""],
                _ => return false,
            };
            m.tokens.start == at && row.hosts.iter().any(|h| names.contains(&h.as_str()))
        };
        if let Some(end) = content.iter().filter(fits).map(|m| m.tokens.end).max() {
            return Some(end);
        }
        let word = singular(speech.word(at));
        if row.hosts.iter().any(|h| *h == word || h == speech.word(at)) {
            return Some(at + 1);
        }
        let leads = grammar::is_determiner(speech.word(at))
            || grammar::is_describing(speech.word(at))
            || super::house::tells(speech.word(at))
            || content
                .iter()
                .any(|m| m.kind == Kind::Area && m.tokens.start == at);
        if !leads {
            return None;
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pipeline::scan;
    use crate::transcript::{ReadOptions, Reading, read};

    fn told(words: &str) -> Vec<String> {
        let lexicon = Lexicon::builtin();
        let text = format!("[0:01] {words}\n[0:09] Bye.\n");
        let transcript = read(text.as_bytes(), "walk.txt", &ReadOptions::default()).unwrap();
        let reading = Reading::new(&transcript);
        let speech = Speech::new(&reading, &lexicon);
        scan::scan(&speech, &lexicon)
            .mentions
            .iter()
            .filter(|m| m.kind == Kind::Element)
            .map(|m| lexicon.element(m.entry).id.clone())
            .collect()
    }

    #[test]
    fn a_vague_word_and_where_it_is_name_a_part() {
        for (words, part) in [
            (
                "The wood strip that runs along the bottom of the wall is off.",
                "baseboard",
            ),
            (
                "The white stuff in between the tiles is crumbling.",
                "grout",
            ),
            ("The rubber around the back door is torn.", "weatherstrip"),
        ] {
            assert_eq!(told(words), [part], "{words}");
        }
    }

    #[test]
    fn a_vague_word_by_itself_names_none() {
        assert_eq!(told("There's some stuff in here."), Vec::<String>::new());
    }
}
