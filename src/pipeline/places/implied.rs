//! Moves that nobody tells: a window is in no closet, a toilet stands in a hotel room's bath.

use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::house::Named;
use super::Walker;

impl Walker<'_, '_> {
    /// Follows the speaker where the part named cannot be in the place where they were last.
    pub(super) fn follow_the_parts(&mut self, c: usize) {
        let Some(last) = self.out.arrivals.last() else {
            return;
        };
        let range = &self.clauses[c].tokens;
        if last.token >= range.start || self.clauses[c].question || self.tells_of_memory(c) {
            return;
        }
        let here = last.place;
        // "stacked in the tub": where something else is.
        let part = |m: &&super::Mention| {
            let led =
                (m.tokens.start.saturating_sub(2).max(range.start)..m.tokens.start).any(|i| {
                    let w = self.speech.word(i);
                    grammar::is_host(w) || grammar::is_beside(w)
                });
            m.kind == Kind::Element && matches!(m.role, Role::Noun | Role::Nouns) && !led
        };
        if let Some(room) = self.room_of_the_closet(here) {
            let window = self.scan.within(range).filter(part).find(|m| {
                matches!(
                    self.lexicon.element(m.entry).group.as_str(),
                    "window" | "blind"
                )
            });
            if let Some(m) = window {
                let (token, place) = (m.tokens.start, self.out.house.return_to(room));
                self.out.arrivals.push(super::Arrival {
                    token,
                    place,
                    frame: "no closet has a window",
                });
            }
        } else if self.in_a_numbered_room(here) {
            let fixture = self.scan.within(range).filter(part).find(|m| {
                let id = self.lexicon.element(m.entry).id.as_str();
                ["toilet", "shower", "bathtub", "grab-bar"]
                    .iter()
                    .any(|f| id.starts_with(f))
            });
            let (Some(m), Some(bath)) = (fixture, self.lexicon.area_by_id("ensuite")) else {
                return;
            };
            let named = Named::plain(m.tokens.start..m.tokens.start + 1, Some(bath));
            let place = self.out.house.enter(&named, self.lexicon);
            self.out.arrivals.push(super::Arrival {
                token: m.tokens.start,
                place,
                frame: "a bath's fixture",
            });
        }
    }

    /// The room that a closet without windows belongs to.
    fn room_of_the_closet(&self, place: usize) -> Option<usize> {
        let here = &self.out.house.places[place];
        let closet = here.path.last().is_some_and(|l| {
            matches!(
                l.as_str(),
                "Closet" | "Linen closet" | "Coat closet" | "Cupboard"
            )
        });
        here.parent.filter(|_| closet)
    }

    /// A hotel's, a ward's, a home's room that is told by number, and the speaker in the room itself.
    fn in_a_numbered_room(&self, place: usize) -> bool {
        let path = &self.out.house.places[place].path;
        path.last().is_some_and(|l| {
            l.strip_prefix("Room ")
                .is_some_and(|n| n.parse::<u32>().is_ok())
        })
    }
}
