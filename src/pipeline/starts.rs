//! One look in place of a search: where in a row, ordered by first words, those lie that begin at a word.

use std::ops::Range;

/// How many of a row begin before each word.
#[derive(Debug, Default)]
pub(super) struct Starts(Vec<u32>);

impl Starts {
    /// Of a row of mentions, by the first words of its members in order, in a speech of so many words.
    pub(super) fn of(words: usize, firsts: impl Iterator<Item = usize>) -> Starts {
        let mut before = Vec::with_capacity(words + 1);
        let mut all = 0;
        for first in firsts {
            while before.len() <= first {
                before.push(all);
            }
            all += 1;
        }
        before.resize(before.len().max(words) + 1, all);
        Starts(before)
    }

    /// How many begin before a word.
    pub(super) fn before(&self, word: usize) -> usize {
        let known = self.0.get(word).or(self.0.last());
        known.map_or(0, |n| *n as usize)
    }

    /// The places in the row of those that begin in a stretch of words.
    pub(super) fn within(&self, words: Range<usize>) -> Range<usize> {
        let from = self.before(words.start);
        from..self.before(words.end).max(from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gives_what_a_search_gives() {
        let firsts = [0, 2, 2, 5, 9];
        let starts = Starts::of(8, firsts.into_iter());
        for word in 0..14 {
            let searched = firsts.partition_point(|f| *f < word);
            assert_eq!(starts.before(word), searched, "{word}");
        }
        assert_eq!(starts.within(2..6), 1..4);
        let backwards = Range { start: 7, end: 3 };
        assert_eq!(starts.within(backwards), 4..4);
        assert_eq!(Starts::default().before(3), 0);
    }
}
