//! What stands where somebody begins to speak again after a silence: people walk to the next room in silence, and the first that
//! they say there is often its number.

use std::ops::Range;

use super::super::house::{Named, spoken_number};
use super::super::normalize::Stop;
use super::Walker;

/// A silence in which one may have walked on, in seconds.
const WALK: f64 = 1.2;

impl Walker<'_, '_> {
    /// Somebody begins to speak again here after a silence, or a passage of the transcript begins.
    fn begins_anew(&self, range: &Range<usize>) -> bool {
        let first = &self.speech.tokens[range.start];
        first.pause >= WALK || first.passage
    }

    /// "One oh four, okay.": a number with an "oh" in it after a silence is a room's or a flat's.
    pub(super) fn number_after_a_silence(&self, range: &Range<usize>) -> Option<Named> {
        if !self.begins_anew(range) {
            return None;
        }
        let at = self.opening(range);
        let (number, used) = spoken_number(self.speech, at, range.end)?;
        let spelled = used == 3
            && number.len() == 3
            && matches!(self.speech.word(at + 1), "oh" | "o" | "zero");
        let unit = number.len() >= 2 && self.out.house.numbers_rooms() && self.out.house.knows_number_like(&number);
        if !(spelled || unit) || self.measured_before(at) || self.counts(at + used) {
            return None;
        }
        let mut named = Named::plain(at..at + used, None);
        (named.number, named.number_only) = (Some(number), true);
        if !self.out.house.public && !self.out.house.has_named("Room ") {
            named.kind = self.lexicon.area_by_id("unit");
            named.number_only = named.kind.is_none();
            named.spoken = "Unit".to_string();
        }
        Some(named)
    }

    /// A word of measure follows: "one oh four degrees".
    fn counts(&self, at: usize) -> bool {
        let w = self.speech.word(at);
        self.speech.tokens.get(at - 1).is_none_or(|t| t.stop == Stop::None)
            && (matches!(w, "degrees" | "percent" | "point" | "volts" | "psi")
                || matches!(w.strip_suffix('s').unwrap_or(w), "inch" | "foot" | "mil" | "meter" | "metre" | "year" | "hour"))
    }
}
