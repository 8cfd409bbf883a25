//! Which words of a clause may name a place.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::house::Named;
use super::super::normalize::Stop;
use super::Walker;

/// How many words from the start the walk's own flat is told.
const HEADED: usize = 40;
/// How many words from a yard "out the back" may be told.
const BEHIND: usize = 7;

impl Walker<'_, '_> {
    /// All that may name a place in a stretch of words, in order.
    pub(super) fn candidates(&self, range: &Range<usize>) -> Vec<Named> {
        let mut out: Vec<Named> = Vec::new();
        let taken = |out: &[Named], t: &Range<usize>| {
            let over = |o: &Range<usize>| o.start < t.end && t.start < o.end;
            out.iter().any(|o| over(&o.tokens)) || self.named_from(t.start).any(over)
        };
        for m in self.scan.within(range).filter(|m| m.kind == Kind::Area) {
            let mut named = Named::of(m, self.speech, self.lexicon, range, self.out.house.public);
            let said =
                |word: &str| (range.start..m.tokens.start).any(|i| self.speech.word(i) == word);
            named.again = said("back");
            named.apart = said("across")
                || said("opposite")
                || (range.start..m.tokens.start).any(|i| {
                    self.speech.word(i) == "next"
                        && matches!(self.speech.word(i + 1), "one" | "door")
                });
            named.within = self.opens_off_here(&named);
            self.apposed(&mut named);
            // "the suite, four ten"
            if self.lexicon.area(m.entry).unit
                && named.number.is_none()
                && self.speech.tokens[m.tokens.end - 1].stop == Stop::Comma
                && let Some((n, _)) =
                    super::super::house::spoken_number(self.speech, m.tokens.end, m.tokens.end + 4)
                && n.len() >= 3
            {
                named.number = Some(n);
            }
            self.of_the_owner(&mut named);
            self.of_this_room(&mut named);
            let kind = self.lexicon.area(m.entry);
            // A house has a back yard, a depot a yard; "the yard, up and out the back" is the one behind.
            let about = m.tokens.start.saturating_sub(BEHIND)..m.tokens.end + BEHIND;
            if kind.id == "back-yard"
                && self.out.house.public
                && named.spoken == "Yard"
                && !about.clone().any(|i| self.speech.word(i) == "back")
            {
                named.own = Some("Yard".to_string());
            }
            // "Good room.": praise; "the good room" is where visitors sit.
            if self.speech.words(&m.tokens) == "good room"
                && !(m.tokens.start > range.start
                    && grammar::is_determiner(self.speech.word(m.tokens.start - 1)))
            {
                continue;
            }
            // A flat or a hotel room is known by its number; without one the word says nothing of where.
            // "the sink unit": a piece of furniture.
            if kind.unit
                && m.tokens.start > range.start
                && self.speech.tokens[m.tokens.start - 1].stop == Stop::None
                && self
                    .scan
                    .mentions_near(m.tokens.start, m.tokens.start)
                    .iter()
                    .any(|o| o.kind == Kind::Element && o.tokens.end == m.tokens.start)
            {
                continue;
            }
            if kind.id == "number" && !self.goes_by_number {
                continue;
            }
            let part_of_site = matches!(kind.id.as_str(), "block" | "zone" | "wing" | "bed-short");
            if (kind.unit || part_of_site) && named.number.is_none() || taken(&out, &named.tokens) {
                continue;
            }
            // "lots forty one, forty two and forty three": several are no place to be in.
            if kind.unit && m.role == Role::Nouns {
                continue;
            }
            // "up to the bedrooms": several are no place to be in.
            if m.role == Role::Nouns
                && kind.id == "bedroom"
                && self.scan.cues_within(range).any(|(k, c)| {
                    matches!(k, CueKind::Arrive | CueKind::Up) && c.tokens.end <= m.tokens.start
                })
            {
                continue;
            }
            // "six yards": several of a kind are no place to be in.
            if m.role == Role::Nouns
                && m.tokens.start > 0
                && grammar::number(self.speech.word(m.tokens.start - 1)).is_some()
            {
                continue;
            }
            out.push(named);
        }
        if let Some(n) = self
            .inside_a_part(range)
            .filter(|n| !taken(&out, &n.tokens))
        {
            out.push(n);
        }
        for i in range.clone() {
            if let Some(n) = Named::open(i, self.speech, range, self.lexicon)
                && !taken(&out, &n.tokens)
            {
                out.push(n);
            }
        }
        for u in self.scan.units_within(range) {
            if !taken(&out, &u.tokens) {
                let word = if u.number.len() >= 3 && self.out.house.has_named("Room ") {
                    "room"
                } else {
                    "unit"
                };
                let called = self
                    .lexicon
                    .area_by_form(&u.word)
                    .filter(|k| self.lexicon.area(*k).unit);
                let kind = called.or_else(|| self.lexicon.area_by_id(word));
                let mut named = Named::plain(u.tokens.clone(), kind);
                named.number = Some(u.number.clone());
                named.spoken = if u.word.is_empty() {
                    "Unit".to_string()
                } else {
                    super::super::house::capital(&u.word)
                };
                out.push(named);
            }
        }
        if out.is_empty() && self.out.arrivals.is_empty() {
            out.extend(self.lettered(range));
        }
        if out.is_empty() {
            out.extend(self.clipped(range));
        }
        if out.is_empty() {
            out.extend(self.of_somebody(range));
        }
        if out.is_empty() {
            out.extend(self.newly_named(range));
        }
        if out.is_empty() {
            out.extend(self.next_number(range));
        }
        if out.is_empty() {
            out.extend(self.relative(range));
        }
        if out.is_empty() {
            out.extend(self.number_after_a_silence(range));
        }
        // "Thirteen.", where rooms go by number.
        let opens = self.opening(range);
        if out.is_empty()
            && let Some((number, used)) =
                super::super::house::spoken_number(self.speech, opens, range.end)
            && (self.out.house.numbers_rooms()
                || number.len() == 3
                    && used == 3
                    && opens + used == range.end
                    && matches!(self.speech.word(opens + 1), "oh" | "o" | "zero")
                    && !self.measured_before(opens))
            && (opens + used == range.end && self.speech.tokens[range.end - 1].stop >= Stop::End
                || matches!(self.speech.word(opens + used), "'s" | "is" | "has"))
            && number.len() >= 2
            && (self.out.house.knows_number_like(&number) || number.len() == 3 && used == 3)
        {
            let mut named = Named::plain(opens..opens + used, None);
            (named.number, named.number_only) = (Some(number), true);
            out.push(named);
        }
        out.sort_by_key(|n| n.tokens.start);
        out
    }

    /// "mudroom cubbies", "patio slab" at the head of a line without punctuation: the part's name begins with a place.
    fn inside_a_part(&self, range: &Range<usize>) -> Option<Named> {
        if self.speech.punctuated {
            return None;
        }
        let at = self.opening(range);
        let part = self
            .scan
            .within(range)
            .find(|m| m.kind == Kind::Element && m.tokens.start == at && m.tokens.len() > 1)?;
        let end = (at + 1..part.tokens.end).rev().find(|end| {
            let form = self.speech.words(&(at..*end));
            self.lexicon
                .area_by_form(form)
                .is_some_and(|k| !self.lexicon.area(k).part)
        })?;
        let kind = self.lexicon.area_by_form(self.speech.words(&(at..end)))?;
        let mut named = Named::plain(at..end, Some(kind));
        named.spoken = super::super::house::capital(self.speech.words(&(at..end)));
        Some(named)
    }

    /// "three b, tuesday": the flat that the walk is of, told at its head by number and letter.
    pub(super) fn lettered(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        let at = range.clone().take_while(|i| *i < HEADED).find(|i| {
            let letter = speech.word(i + 1);
            letter.len() == 1
                && matches!(letter.as_bytes()[0], b'b'..=b'h')
                && grammar::number(speech.word(*i)).is_some_and(|n| n < 100)
                && speech.tokens[*i].stop == Stop::None
                && i + 1 < range.end
        })?;
        let number = grammar::number(speech.word(at))?;
        let letter = speech.word(at + 1).to_uppercase();
        let mut named = Named::plain(at..at + 2, self.lexicon.area_by_id("unit"));
        named.number = Some(format!("{number}{letter}"));
        named.spoken = "Unit".to_string();
        Some(named)
    }

    /// "Consulting one", "this is prep", "X-ray.": the name of a room, "room" left out.
    pub(super) fn clipped(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        let mut at = self.opening(range);
        let first = at;
        let shown = matches!(
            (speech.word(at), speech.word(at + 1)),
            ("this" | "here", "is" | "'s")
        );
        if shown {
            at += 2;
        } else if matches!(
            (speech.word(at), speech.word(at + 1), speech.word(at + 2)),
            ("in", "here", "is" | "'s") | ("this", "one", "is" | "'s") | ("next", "is", _)
        ) {
            at += if speech.word(at) == "next" { 2 } else { 3 };
        }
        if at >= range.end
            || speech.tokens[at].stop == Stop::None && at + 1 >= range.end && speech.punctuated
        {
            return None;
        }
        let word = speech.word(at);
        let known = self.scan.mentions_near(at, at).iter().any(|m| {
            m.tokens.contains(&at) && matches!(m.kind, Kind::Area | Kind::Fault | Kind::Work)
        });
        if known || word.len() < 4 || grammar::is_function(word) {
            return None;
        }
        let kind = self.lexicon.area_by_form(&format!("{word} room"))?;
        let element = self
            .scan
            .mentions_near(at, at)
            .iter()
            .any(|m| m.tokens.contains(&at) && m.kind == Kind::Element);
        let number = super::super::house::spoken_number(speech, at + 1, range.end)
            .filter(|_| speech.tokens[at].stop == Stop::None && self.lexicon.area(kind).numbered);
        let end = at + 1 + number.as_ref().map_or(0, |(_, used)| *used);
        let whole = end >= range.end
            || number.is_some() && matches!(speech.word(end), "'s" | "is" | "has")
            || number.is_some() && !speech.punctuated;
        if !whole || element && number.is_none() {
            return None;
        }
        // Alone it must be the whole of a sentence, and no little word.
        if number.is_none()
            && at == first
            && (word.len() < 5
                || at != range.start
                || super::super::house::tells(word)
                || grammar::is_describing(word)
                || speech.tokens[at].stop < Stop::End)
        {
            return None;
        }
        let mut named = Named::plain(at..end, Some(kind));
        named.spoken = super::super::house::capital(&format!("{word} room"));
        named.number = number.map(|(n, _)| n);
        if let Some(n) = &named.number
            && !self
                .lexicon
                .area(kind)
                .name
                .eq_ignore_ascii_case(&named.spoken)
        {
            named.own = Some(format!("{} {n}", named.spoken));
            named.number = None;
        }
        Some(named)
    }

    /// A number that was read off: its sentence or the one before tells of a temperature, a pressure, a test.
    pub(super) fn measured_before(&self, at: usize) -> bool {
        (at.saturating_sub(10)..at).any(|i| {
            matches!(
                self.speech.word(i),
                "temperature"
                    | "temp"
                    | "degrees"
                    | "thermometer"
                    | "gauge"
                    | "pressure"
                    | "reading"
                    | "reads"
                    | "meter"
                    | "hot"
                    | "volts"
                    | "tape"
                    | "measure"
            )
        })
    }

    /// "Three." after bedroom two: the next of its kind.
    pub(super) fn next_number(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        let mut at = range.start;
        while matches!(
            speech.word(at),
            "okay" | "and" | "now" | "so" | "then" | "right"
        ) && at + 1 < range.end
        {
            at += 1;
        }
        let number = grammar::number(speech.word(at)).filter(|n| *n < 30)?;
        let alone = at + 1 == range.end && speech.tokens[at].stop >= Stop::End
            || matches!(speech.word(at + 1), "is" | "'s" | "has") && speech.punctuated;
        let comma = at + 1 == range.end && speech.tokens[at].stop >= Stop::Comma;
        // "There's six, and they're numbered. One. … Two, same as one."
        if let Some((kind, spoken, last)) = self.row.clone()
            && (alone || comma)
            && number == last + 1
        {
            let mut named = Named::plain(at..at + 1, Some(kind));
            named.own = Some(format!("{spoken} {number}"));
            return Some(named);
        }
        // "Room one. … Two, this is the one that was flooded.": the next in the row of like units.
        if (alone || comma)
            && let Some((kind, last)) = self.out.house.unit_number(self.lexicon)
            && (last + 1..=last + 2).contains(&number)
        {
            let mut named = Named::plain(at..at + 1, Some(kind));
            let spoken = self.out.house.unit_called().unwrap_or_default();
            (named.number, named.spoken) = (Some(number.to_string()), spoken);
            return Some(named);
        }
        if !alone {
            return None;
        }
        let last = &self.out.house.places[self.out.arrivals.last()?.place];
        let kind = last.kind.filter(|k| {
            let k = self.lexicon.area(*k);
            k.numbered && !k.unit
        })?;
        let (name, n) = last.path.last()?.rsplit_once(' ')?;
        if n.parse::<u32>().ok()? + 1 != number {
            return None;
        }
        let mut named = Named::plain(at..at + 1, Some(kind));
        if name == self.lexicon.area(kind).name {
            named.number = Some(number.to_string());
        } else {
            named.own = Some(format!("{name} {number}"));
        }
        Some(named)
    }

    /// "This is Maya's.", "Manager's.", "and this is you": a room told by whose it is.
    pub(super) fn of_somebody(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        let opens = self.opening(range);
        let shown = |i: usize| {
            matches!(speech.word(i), "this" | "that" | "here")
                && matches!(speech.word(i + 1), "is" | "'s" | "one")
        };
        for i in opens..range.end {
            let w = speech.word(i);
            if matches!(w, "you" | "us")
                && i >= range.start + 2
                && (shown(i - 2) || i >= range.start + 3 && shown(i - 3))
                && matches!(speech.word(i - 1), "is" | "'s")
                && (i + 1 == range.end
                    || !speech.punctuated
                    || speech.word(i + 1) == "two" && i + 2 >= range.end)
                && let Some(k) = self.lexicon.area_by_id("primary-bedroom")
            {
                return Some(Named::plain(i - 2..i + 1, Some(k)));
            }
            let ends = i + 1 == range.end
                || speech.tokens[i].stop > Stop::None
                || speech.word(i + 1) == "with";
            if w != "'s" || !ends || i <= opens {
                continue;
            }
            let owner = speech.word(i - 1);
            let plain = owner.len() > 2
                && !grammar::is_function(owner)
                && !grammar::is_weekday(owner)
                && !self
                    .scan
                    .mentions_near(i - 1, i - 1)
                    .iter()
                    .any(|m| m.kind != Kind::Trade && m.tokens.contains(&(i - 1)));
            let led = i - 1 == opens && range.len() <= 3
                || i >= range.start + 3
                    && matches!(
                        speech.word(i - 2),
                        "is" | "'s" | "be" | "in" | "to" | "into"
                    )
                // "I'll do the women's."
                || i >= range.start + 3
                    && matches!(owner, "women" | "men" | "ladies" | "gents")
                    && matches!(
                        speech.word(i - 3),
                        "do" | "is" | "'s" | "in" | "to" | "into" | "and" | "now" | "then" | "doing"
                    );
            if plain && led && speech.punctuated {
                let head = if matches!(owner, "manager" | "director" | "principal" | "doctor") {
                    "office"
                } else {
                    "room"
                };
                let sex = match owner {
                    "men" | "gents" => Some("restroom-men"),
                    "women" | "ladies" => Some("restroom-women"),
                    _ => None,
                };
                if let Some(k) = sex.and_then(|id| self.lexicon.area_by_id(id)) {
                    return Some(Named::plain(i - 1..i + 1, Some(k)));
                }
                let mut named = Named::plain(i - 1..i + 1, None);
                named.own = Some(super::super::house::capital(&format!("{owner}'s {head}")));
                return Some(named);
            }
        }
        None
    }

    /// "Through to the backwash.": a word of motion and a name that nothing in the lexicon holds.
    pub(super) fn newly_named(&self, range: &Range<usize>) -> Option<Named> {
        let speech = self.speech;
        if !speech.punctuated {
            return None;
        }
        for (k, m) in self.scan.cues_within(range) {
            if *k != CueKind::Arrive || m.tokens.start > self.opening(range) + 2 {
                continue;
            }
            let motion = m.tokens.clone().any(|i| {
                matches!(
                    speech.word(i),
                    "through" | "into" | "onto" | "over" | "across" | "to" | "from" | "in"
                )
            });
            let mut at = m.tokens.end;
            while at < range.end && grammar::is_determiner(speech.word(at)) {
                at += 1;
            }
            let article = at > 0 && matches!(speech.word(at - 1), "the" | "this" | "your" | "our");
            if !motion || !article || at >= range.end || range.end - at > 2 {
                continue;
            }
            let tokens = at..range.end;
            let known = self
                .scan
                .mentions_near(tokens.start, tokens.end)
                .iter()
                .any(|o| o.tokens.start < tokens.end && tokens.start < o.tokens.end);
            let plain = tokens.clone().all(|i| {
                let w = speech.word(i);
                w.len() > 2
                    && !grammar::is_function(w)
                    && !grammar::is_spot(w)
                    && !grammar::is_aside(w)
                    && !w.ends_with("ing")
                    && w.bytes().all(|b| b.is_ascii_lowercase() || b == b'-')
            });
            if known || !plain || speech.tokens[range.end - 1].stop < Stop::End {
                continue;
            }
            let mut named = Named::plain(tokens.clone(), None);
            named.own = Some(super::super::house::capital(speech.words(&tokens)));
            return Some(named);
        }
        None
    }

    /// "your bedroom": the one of those who are spoken to; "the big bedroom" where others were met before.
    pub(super) fn of_the_owner(&self, named: &mut Named) {
        if named.own.is_some() || named.number.is_some() || self.out.house.public {
            return;
        }
        let whole = named.whole(self.speech);
        let your = matches!(self.speech.word(whole.start), "your" | "our" | "my");
        let big = whole
            .clone()
            .any(|i| matches!(self.speech.word(i), "big" | "biggest"))
            && self.out.house.has_named("Bedroom");
        let id = named.kind.map(|k| self.lexicon.area(k).id.as_str());
        let primary = match id {
            Some("bedroom") if your || big => "primary-bedroom",
            Some("bathroom") if your => "primary-bathroom",
            _ => return,
        };
        if self.out.house.has_named("Primary bedroom") && id == Some("bedroom") && !your {
            return;
        }
        if let Some(k) = self.lexicon.area_by_id(primary) {
            named.kind = Some(k);
            named.spoken.clone_from(&self.lexicon.area(k).name);
            named.another = false;
        }
    }

    /// "your bedroom, the main one": the words behind tell which.
    pub(super) fn apposed(&self, named: &mut Named) {
        let at = named.tokens.end;
        let main = self.speech.word(at) == "the"
            && matches!(
                self.speech.word(at + 1),
                "main" | "master" | "primary" | "big" | "principal"
            )
            && self.speech.word(at + 2) == "one";
        let telling = named.number.is_none()
            && self.speech.word(at) == "the"
            && self.speech.word(at + 2) == "one";
        let which = self.speech.word(at + 1).to_string();
        if telling
            && !main
            && named.own.is_none()
            && let Some(k) = named.kind.filter(|k| self.lexicon.area(*k).numbered)
            && super::super::house::tells(&which)
        {
            named.own = Some(super::super::house::capital(&format!(
                "{which} {}",
                self.lexicon.area(k).name.to_lowercase()
            )));
            named.number = None;
        }
        if main
            && named.kind == self.lexicon.area_by_id("bedroom")
            && let Some(k) = self.lexicon.area_by_id("primary-bedroom")
        {
            named.kind = Some(k);
            named.number = None;
        }
    }

    /// "the laundry, no, not the laundry": what was taken back is no place to be.
    pub(super) fn taken_back(&self, named: &Named, next: Option<&Named>) -> bool {
        // "this front room's going to be the office": the second is its name.
        if let Some(next) = next {
            let between = named.tokens.end..next.whole(self.speech).start;
            if between.len() <= 6
                && between.end > between.start
                && matches!(self.speech.word(between.end - 1), "be" | "called")
            {
                return true;
            }
        }
        let start = named.whole(self.speech).start;
        if start > 0
            && self.speech.word(start - 1) == "not"
            && self.speech.tokens[start - 1].stop == Stop::None
        {
            return true;
        }
        let Some(next) = next else {
            let after = named.tokens.end;
            return matches!(self.speech.word(after), "no" | "sorry")
                && self
                    .speech
                    .tokens
                    .get(after)
                    .is_some_and(|t| t.stop >= Stop::Comma)
                && self.speech.word(after + 1) == "not";
        };
        let between = named.tokens.end..next.whole(self.speech).start;
        between.len() <= 3
            && between
                .clone()
                .any(|i| matches!(self.speech.word(i), "no" | "sorry" | "wait" | "rather"))
    }
}
