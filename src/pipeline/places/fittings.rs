//! What the parts that are spoken of after a place's name say of it: a toilet stands in a bath, a downspout outdoors. Which part
//! stands where is told in `lexicon/fittings.yaml`.

use std::ops::Range;

use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::house::Named;
use super::Walker;

/// How many words after a name the parts of the place are looked for.
const REACH: usize = 45;

/// How the parts named after a place's name agree with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Fit {
    /// Parts that stand in such a place.
    fit: usize,
    /// Parts that stand elsewhere.
    unfit: usize,
    /// The first of them stands in such a place.
    first: Option<bool>,
}

impl Walker<'_, '_> {
    /// The parts named in these words that stand in some sorts of places only: the word, and the sorts.
    fn telling_parts(&self, range: Range<usize>) -> impl Iterator<Item = (usize, u16)> {
        let (from, to) = (range.start, range.end);
        self.scan
            .mentions_near(from, to.saturating_sub(1))
            .iter()
            .filter(move |m| {
                m.kind == Kind::Element
                    && matches!(m.role, Role::Noun | Role::Nouns)
                    && from <= m.tokens.start
                    && m.tokens.end <= to
            })
            .map(|m| (m.tokens.start, self.lexicon.element_sorts(m.entry)))
            .filter(|(_, sorts)| *sorts != 0)
            // "the wall behind the toilet" tells as much as the toilet; "stacked in the tub" tells of something else.
            .filter(move |(at, _)| !(*at > from && grammar::is_beside(self.speech.word(at - 1))))
    }

    /// Where the next place is named, or the look ahead ends.
    fn until_a_place(&self, from: usize) -> usize {
        let until = (from + REACH).min(self.speech.tokens.len());
        self.scan
            .within(&(from..until))
            .find(|m| m.kind == Kind::Area && !self.lexicon.area(m.entry).part)
            .map_or(until, |m| m.tokens.start)
    }

    fn fit(&self, range: Range<usize>, sorts: u16) -> Fit {
        let mut out = Fit::default();
        for (_, part) in self.telling_parts(range) {
            let fits = part & sorts != 0;
            out.first = out.first.or(Some(fits));
            *if fits { &mut out.fit } else { &mut out.unfit } += 1;
        }
        out
    }

    /// Of which sorts the place is where the speaker is; 0 where its parts tell nothing.
    pub(super) fn sorts_here(&self) -> u16 {
        self.out
            .arrivals
            .last()
            .and_then(|a| self.out.house.places[a.place].kind)
            .map_or(0, |k| self.lexicon.area_sorts(k))
    }

    /// What the parts named after a place's name say for and against an arrival there.
    pub(super) fn fitting_evidence(&self, named: &Named, take: &mut dyn FnMut(&[&str])) {
        let next = named.tokens.end;
        let other = self.until_a_place(next);
        let there = named.kind.map_or(0, |k| self.lexicon.area_sorts(k));
        let here = self.sorts_here();
        let some = |n: usize| match n {
            0 => "none",
            1 => "one",
            _ => "some",
        };
        let (a, b) = (self.fit(next..other, there), self.fit(next..other, here));
        if there != 0 {
            take(&["fit-", some(a.fit)]);
            take(&["unfit-", some(a.unfit)]);
            if let Some(first) = a.first {
                take(&["first-", if first { "fits" } else { "unfits" }]);
            }
        }
        if here != 0 {
            take(&["here-unfit-", some(b.unfit)]);
            if let Some(first) = b.first {
                take(&["here-first-", if first { "fits" } else { "unfits" }]);
            }
            if there != 0 && a.fit > b.fit {
                take(&["fits-better"]);
            }
            if there != 0 && a.fit < b.fit {
                take(&["fits-worse"]);
            }
        }
    }
}
