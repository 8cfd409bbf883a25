//! What stands where somebody begins to speak again after a silence: people walk to the next room in silence, and the first that
//! they say there is often its number.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use crate::lexicon::{Kind, Lexicon, Role};

use super::super::house::{Named, spoken_number};
use super::super::normalize::{Speech, Stop};
use super::super::scan::Scan;
use super::super::segment::Clause;
use super::Walker;

/// A silence in which one may have walked on, in seconds.
const WALK: f64 = 1.2;
/// How many units of a row may be passed by.
const FEW: u32 = 3;

impl Walker<'_, '_> {
    /// "One oh four, okay.": a number with an "oh" in it after a silence is a room's or a flat's.
    pub(super) fn number_after_a_silence(&self, range: &Range<usize>) -> Option<Named> {
        if !begins_anew(self.speech, range) {
            return None;
        }
        let at = self.opening(range);
        let (number, used) = spoken_number(self.speech, at, range.end)?;
        let spelled = used == 3
            && number.len() == 3
            && matches!(self.speech.word(at + 1), "oh" | "o" | "zero");
        let house = &self.out.house;
        // "Unit one is …", and after a silence "two two's had new carpet": the next of the row.
        let next = house.unit_number(self.lexicon).is_some_and(|(_, last)| {
            let n = number.parse::<u32>().unwrap_or(0);
            (last + 1..=last + FEW).contains(&n)
        });
        let unit = next
            || number.len() >= 2
                && (self.row_of.heads || house.numbers_rooms() && house.knows_number_like(&number));
        if !(spelled || unit) || self.measured_before(at) || self.counts(at + used) {
            return None;
        }
        let mut named = Named::plain(at..at + used, None);
        (named.number, named.number_only) = (Some(number), true);
        if !self.out.house.public && !self.row_of.rooms && !self.out.house.has_named("Room ") {
            named.kind = self.row_of.unit;
            named.number_only = named.kind.is_none();
            named.spoken = named
                .kind
                .map_or(String::new(), |k| self.lexicon.area(k).name.clone());
        }
        Some(named)
    }

    /// "Bathroom off it.", "off here a little store": a room that opens off the one where the speaker is.
    pub(super) fn opens_off_here(&self, named: &Named) -> bool {
        let word = |i: usize| self.speech.word(i);
        let pointed = |i: usize| {
            matches!(word(i), "it" | "this" | "that" | "here" | "there")
                || word(i) == "the" && word(i + 1) == "room"
        };
        let end = named.tokens.end;
        let behind = word(end) == "off" && pointed(end + 1)
            || word(end) == "in" && word(end + 1) == "off" && pointed(end + 2);
        let start = named.whole(self.speech).start;
        let before = start >= 2 && word(start - 2) == "off" && pointed(start - 1);
        behind || before
    }

    /// A word of measure follows: "one oh four degrees".
    fn counts(&self, at: usize) -> bool {
        let w = self.speech.word(at);
        self.speech
            .tokens
            .get(at - 1)
            .is_none_or(|t| t.stop == Stop::None)
            && (matches!(w, "degrees" | "percent" | "point" | "volts" | "psi")
                || matches!(
                    w.strip_suffix('s').unwrap_or(w),
                    "inch" | "foot" | "mil" | "meter" | "metre" | "year" | "hour"
                ))
    }
}

/// What the numbers of a walk are of, settled once for the whole of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct RowOf {
    /// Several thoughts after a silence begin with numbers of as many figures.
    heads: bool,
    /// A hotel, a ward, a school is spoken of: what goes by numbers there are rooms, and not flats or houses.
    rooms: bool,
    /// What the units are called: as they were listed ("lots forty one, forty two and forty three"), else units.
    unit: Option<u16>,
}

impl RowOf {
    pub(super) fn read(
        speech: &Speech<'_>,
        clauses: &[Clause],
        scan: &Scan,
        lexicon: &Lexicon,
    ) -> RowOf {
        let listed = scan
            .mentions
            .iter()
            .find(|m| m.kind == Kind::Area && m.role == Role::Nouns && lexicon.area(m.entry).unit);
        RowOf {
            heads: numbers_head_thoughts(speech, clauses),
            rooms: (0..speech.tokens.len()).any(|i| is_of_numbered_rooms(speech.word(i))),
            unit: listed
                .map(|m| m.entry)
                .or_else(|| lexicon.area_by_id("unit")),
        }
    }
}

/// Words of buildings whose rooms go by numbers, and of the people in them.
fn is_of_numbered_rooms(word: &str) -> bool {
    matches!(
        word,
        "hotel"
            | "motel"
            | "hostel"
            | "inn"
            | "guests"
            | "ward"
            | "wards"
            | "patient"
            | "patients"
            | "resident"
            | "residents"
            | "student"
            | "students"
            | "school"
            | "pupils"
            | "teacher"
            | "teachers"
    )
}

/// Whether several thoughts after a silence begin with numbers of as many figures: the units of a building.
fn numbers_head_thoughts(speech: &Speech<'_>, clauses: &[Clause]) -> bool {
    let mut heads: BTreeMap<usize, BTreeSet<String>> = BTreeMap::new();
    for c in clauses.iter().filter(|c| begins_anew(speech, &c.tokens)) {
        let at = c.tokens.start
            + usize::from(matches!(
                speech.word(c.tokens.start),
                "okay" | "and" | "now" | "so" | "right"
            ));
        if let Some((number, _)) = spoken_number(speech, at, c.tokens.end)
            && (2..=3).contains(&number.len())
        {
            heads.entry(number.len()).or_default().insert(number);
        }
    }
    heads.values().any(|numbers| numbers.len() > 1)
}

/// Somebody begins to speak again here after a silence, or a passage of the transcript begins.
pub(super) fn begins_anew(speech: &Speech<'_>, range: &Range<usize>) -> bool {
    let first = &speech.tokens[range.start];
    first.pause >= WALK || first.passage
}
