//! Places told by the one before: "next one along", "same again in the next", "and E", "back where we came in", "my room".

use std::ops::Range;

use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::house::{Named, capital};
use super::super::normalize::Stop;
use super::Walker;

/// How many words before "next one" a part in the plural may be that it means.
const MEANT: usize = 14;

/// Small words that lead in to a room: "and then this is …", "through to …".
fn leads_in(word: &str) -> bool {
    matches!(
        word,
        "this"
            | "that"
            | "is"
            | "'s"
            | "and"
            | "then"
            | "now"
            | "next"
            | "here"
            | "in"
            | "into"
            | "to"
            | "through"
    )
}

impl Walker<'_, '_> {
    /// A place that has no name of its own in this clause.
    pub(super) fn relative(&self, range: &Range<usize>) -> Option<Named> {
        self.next_letter(range)
            .or_else(|| self.of_the_speaker(range))
            .or_else(|| self.of_a_group(range))
            .or_else(|| self.headed(range))
    }

    /// The phrase from the head of a clause, where it ends there or at a stop.
    fn phrase(&self, range: &Range<usize>, phrases: &[&[&str]]) -> Option<Range<usize>> {
        let speech = self.speech;
        let at = self.opening(range);
        let found = phrases
            .iter()
            .filter(|p| {
                p.iter()
                    .enumerate()
                    .all(|(k, w)| at + k < range.end && speech.word(at + k) == *w)
            })
            .max_by_key(|p| p.len())?;
        let tokens = at..at + found.len();
        let ends = tokens.end >= range.end
            && (!speech.punctuated || speech.tokens[tokens.end - 1].stop >= Stop::Comma);
        ends.then_some(tokens)
    }

    /// "Next one along.", "same again in the next one": the next number in the row where the speaker is.
    pub(super) fn next_along(&self, range: &Range<usize>) -> Option<Named> {
        const NEXT: &[&[&str]] = &[
            &["next", "one"],
            &["next", "one", "along"],
            &["next", "one", "down"],
            &["next", "one", "up"],
            &["next", "one", "over"],
            &["next", "along"],
            &["next", "door"],
            &["next", "door", "along"],
            &["next", "door", "down"],
            &["next", "room"],
            &["next", "room", "along"],
            &["next", "room", "down"],
            &["next", "room", "over"],
            &["on", "to", "the", "next"],
            &["on", "to", "the", "next", "one"],
            &["onto", "the", "next", "one"],
            &["into", "the", "next", "one"],
            &["in", "the", "next", "one"],
            &["in", "the", "next"],
            &["same", "in", "the", "next", "one"],
            &["same", "again", "in", "the", "next"],
            &["same", "again", "in", "the", "next", "one"],
            &["same", "again", "next", "door"],
            &["same", "next", "door"],
        ];
        let tokens = self.phrase(range, NEXT)?;
        let before = range.start.saturating_sub(MEANT)..range.start;
        let parts = self.scan.within(&before).any(|m| {
            m.kind == Kind::Element && m.role == Role::Nouns && before.end - m.tokens.end < MEANT
        });
        if parts
            && !self.speech.words(&tokens).contains("door")
            && !self.speech.words(&tokens).contains("room")
        {
            return None;
        }
        let (kind, name, number) = self.last_of_a_row()?;
        let mut named = Named::plain(tokens, Some(kind));
        let step = self.step(&name, number);
        let next = (number + step).to_string();
        let k = self.lexicon.area(kind);
        if k.unit {
            (named.number, named.spoken) = (Some(next), name);
        } else if name == k.name {
            named.number = Some(next);
        } else {
            named.own = Some(format!("{name} {next}"));
        }
        Some(named)
    }

    /// The kind, the name and the number of the numbered place where the speaker is or which holds it.
    fn last_of_a_row(&self) -> Option<(u16, String, u32)> {
        let mut at = Some(self.out.arrivals.last()?.place);
        while let Some(p) = at {
            let place = &self.out.house.places[p];
            let numbered = place
                .path
                .last()
                .and_then(|l| l.rsplit_once(' '))
                .and_then(|(name, n)| Some((name.to_string(), n.parse::<u32>().ok()?)));
            if let (Some(kind), Some((name, n))) = (place.kind, numbered)
                && !self.lexicon.area(kind).level
                && !matches!(name.as_str(), "Bedroom" | "Bathroom")
            {
                return Some((kind, name, n));
            }
            at = place.parent;
        }
        None
    }

    /// By how much the numbers of a row go up: a corridor has odd doors on one side.
    fn step(&self, name: &str, number: u32) -> u32 {
        let before = self
            .out
            .house
            .places
            .iter()
            .filter_map(|p| {
                p.path
                    .last()?
                    .strip_prefix(name)?
                    .trim()
                    .parse::<u32>()
                    .ok()
            })
            .filter(|n| *n < number)
            .max();
        match before {
            Some(n) if number - n == 2 => 2,
            _ => 1,
        }
    }

    /// "And E, in the corner": the next letter after room D.
    fn next_letter(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        let at = self.opening(range);
        let letter = speech.word(at).to_uppercase();
        let single = letter.len() == 1 && letter.as_bytes()[0].is_ascii_uppercase();
        if at >= range.end || !single || letter == "S" {
            return None;
        }
        let ends = at + 1 >= range.end && speech.tokens[at].stop >= Stop::Comma
            || matches!(speech.word(at + 1), "is" | "has" | "now" | "next");
        let mut place = self.out.arrivals.last().map(|a| a.place);
        while let Some(p) = place {
            let here = &self.out.house.places[p];
            if let Some((name, last)) = here.path.last().and_then(|l| l.rsplit_once(' '))
                && last.len() == 1
                && last.as_bytes()[0].is_ascii_uppercase()
            {
                let near = (last.as_bytes()[0] + 1..=last.as_bytes()[0] + 3)
                    .contains(&letter.as_bytes()[0]);
                let kind = here.kind.filter(|_| ends && near)?;
                let mut named = Named::plain(at..at + 1, Some(kind));
                if name == self.lexicon.area(kind).name || self.lexicon.area(kind).unit {
                    (named.number, named.spoken) = (Some(letter), name.to_string());
                } else {
                    named.own = Some(format!("{name} {letter}"));
                }
                return Some(named);
            }
            place = here.parent;
        }
        None
    }

    /// "My room.", "in our room", "then mine": the bedroom of the one who speaks.
    fn of_the_speaker(&self, range: &Range<usize>) -> Option<Named> {
        if self.out.house.public || self.out.house.in_unit() {
            return None;
        }
        let speech = self.speech;
        let at = self.opening(range);
        let bedroom = self.lexicon.area_by_id("primary-bedroom")?;
        let i = (at..range.end.min(at + 5)).find(|i| {
            matches!(speech.word(*i), "my" | "our")
                && *i + 1 < range.end
                && matches!(speech.word(*i + 1), "room" | "bedroom")
        });
        if let Some(i) = i {
            let led = (at..i).all(|k| leads_in(speech.word(k)));
            return led.then(|| Named::plain(i..i + 2, Some(bedroom)));
        }
        let last = range.end - 1;
        let mine = matches!(speech.word(last), "mine" | "ours")
            && range.len() <= 4
            && speech.tokens[last].stop >= Stop::End
            && (at..last).all(|k| leads_in(speech.word(k)))
            && (last > range.start)
            && self.out.house.has_named("Landing")
                | self.out.house.has_named("Bedroom")
                | self.out.house.has_named("Stairs")
                | self.out.house.has_owned_room();
        mine.then(|| Named::plain(last..last + 1, Some(bedroom)))
    }

    /// "Across the hall, the girls.", "and the twins in here": the room of those who sleep there.
    fn of_a_group(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        let at = self.opening(range);
        if let Some(room) = self.of_the_little_ones(range) {
            return Some(room);
        }
        let i = (at.max(range.start + 1)..range.end).find(|i| {
            matches!(
                speech.word(*i),
                "girls"
                    | "boys"
                    | "twins"
                    | "kids"
                    | "children"
                    | "babies"
                    | "toddlers"
                    | "infants"
            ) && matches!(speech.word(*i - 1), "the" | "our" | "your" | "my")
        })?;
        let alone = i + 1 >= range.end && speech.tokens[i].stop >= Stop::Comma;
        let here = speech.word(i + 1) == "here"
            || speech.word(i + 1) == "in" && speech.word(i + 2) == "here";
        let led =
            (at..i).all(|k| leads_in(speech.word(k)) || grammar::is_determiner(speech.word(k)));
        // "Hall bath, this is the kids'.": whose the place just named is.
        let said = self
            .out
            .arrivals
            .last()
            .is_some_and(|a| range.start.saturating_sub(a.token) <= 4)
            && (at..i).any(|k| matches!(speech.word(k), "is" | "'s"));
        if !led || said || !alone && !here {
            return None;
        }
        let mut named = Named::plain(i..i + 1, self.lexicon.area_by_id("kids-room"));
        named.own = Some(capital(&format!("{}' room", speech.word(i))));
        Some(named)
    }

    /// "Babies first.", "and this is toddlers": a nursery's rooms are called after who is in them.
    fn of_the_little_ones(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        let at = self.opening(range);
        let shown = matches!(speech.word(at), "this" | "that" | "here")
            && matches!(speech.word(at + 1), "is" | "'s" | "are");
        let i = if shown { at + 2 } else { at };
        let who = match speech.word(i) {
            "babies" => "Baby",
            "infants" => "Infant",
            "toddlers" => "Toddler",
            _ => return None,
        };
        let ends = i + 1 >= range.end && speech.tokens[i].stop >= Stop::End
            || matches!(speech.word(i + 1), "first" | "next" | "now") && i + 2 >= range.end;
        if !self.out.house.public || i >= range.end || !ends {
            return None;
        }
        let mut named = Named::plain(i..i + 1, self.lexicon.area_by_id("toddler-room"));
        named.own = Some(format!("{who} room"));
        Some(named)
    }

    /// "Brew floor.", "Cycle store.": a heading of two words, the second a kind of place, the first nothing known.
    fn headed(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        if !speech.punctuated || range.len() < 2 {
            return None;
        }
        let head = range.end - 1;
        let what = head - 1;
        let at = self.opening(range);
        let heads = matches!(
            speech.word(head),
            "floor"
                | "store"
                | "hall"
                | "bay"
                | "shop"
                | "space"
                | "station"
                | "cage"
                | "wing"
                | "house"
                | "booth"
                | "bar"
                | "lounge"
                | "lab"
                | "studio"
                | "hut"
                | "shed"
                | "loft"
                | "den"
                | "closet"
                | "cupboard"
                | "area"
        );
        let word = speech.word(what);
        let unknown = self
            .scan
            .mentions_near(what, head)
            .iter()
            .all(|m| m.kind == Kind::Trade || m.tokens.end <= what || m.tokens.start > what);
        let plain = word.len() > 2
            && !grammar::is_function(word)
            && !grammar::is_describing(word)
            && !grammar::is_spot(word)
            && grammar::ordinal(word).is_none()
            && word.bytes().all(|b| b.is_ascii_lowercase());
        if !heads
            || !unknown
            || !plain
            || at > what
            || what - at > 1
            || what > range.start && grammar::is_determiner(speech.word(what - 1))
            || speech.tokens[what].stop != Stop::None
            || speech.tokens[head].stop < Stop::End
        {
            return None;
        }
        let tokens = what..head + 1;
        let mut named = Named::plain(tokens.clone(), None);
        named.own = Some(capital(speech.words(&tokens)));
        Some(named)
    }

    /// "Her bathroom", "its en suite": of the room where the speaker is, and called after whose it is.
    pub(super) fn of_this_room(&self, named: &mut Named) {
        let whole = named.whole(self.speech);
        if named.own.is_some()
            || !matches!(
                self.speech.word(whole.start),
                "his" | "her" | "their" | "its"
            )
            || !named.kind.is_some_and(|k| {
                matches!(
                    self.lexicon.area(k).id.as_str(),
                    "bathroom" | "bath-short" | "ensuite" | "shower-room"
                )
            })
        {
            return;
        }
        let Some(here) = self.out.arrivals.last().map(|a| a.place) else {
            return;
        };
        let Some(room) = self.out.house.places[here].path.last() else {
            return;
        };
        if let Some(owner) = room
            .strip_suffix(" room")
            .filter(|o| o.ends_with('\'') || o.ends_with("'s"))
        {
            named.own = Some(capital(&format!("{owner} bathroom")));
        }
    }

    /// "Back where we came in", "back at the start": the first place of the walk, or the first indoors.
    pub(super) fn where_it_began(&self, range: &Range<usize>) -> Option<(usize, usize)> {
        let speech = self.speech;
        let at = (range.start..range.end.saturating_sub(2)).find(|i| {
            let words = speech.words(&(*i..(*i + 3).min(range.end)));
            matches!(
                words,
                "where we started"
                    | "where i started"
                    | "where we began"
                    | "where we came"
                    | "where i came"
            )
        })?;
        if !(range.start..at)
            .any(|i| matches!(speech.word(i), "back" | "to" | "at" | "again" | "us"))
        {
            return None;
        }
        let came_in = matches!(speech.word(at + 2), "came");
        let first = self
            .out
            .arrivals
            .iter()
            .map(|a| a.place)
            .find(|p| !came_in || !self.out.house.outdoors(*p))?;
        Some((at, first))
    }
}
