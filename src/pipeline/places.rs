//! Stage 3: where the speaker is. Arrival is told from mere mention by the frame that a place's name stands in.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::weights::Weights;
use crate::lexicon::{Kind, Lexicon, Role};

use super::grammar;
use super::house::{House, Named};
use super::normalize::{Speech, Stop};
use super::scan::{Mention, Scan};
use super::segment::{Clause, Joint};

mod evidence;
mod fittings;
mod frames;
mod heading;
mod implied;
mod names;
mod relative;
mod telling;
mod way;

/// From which word on the speaker is in which place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arrival {
    /// The word that names the place or begins the move.
    pub token: usize,
    /// The place, by its index in [`Places::house`].
    pub place: usize,
    /// The frame that told it, for `why`.
    pub frame: &'static str,
}

/// Clauses that speak of another place than the one where the speaker is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aside {
    /// The clauses.
    pub clauses: Range<usize>,
    /// The place spoken of.
    pub place: usize,
}

/// The walk through the building.
#[derive(Debug, Default)]
pub struct Places {
    /// The places known so far.
    pub house: House,
    /// The arrivals in order.
    pub arrivals: Vec<Arrival>,
    /// What was remembered of other places.
    pub asides: Vec<Aside>,
    /// Stretches that name a place, so that they are not taken for building parts.
    pub named: Vec<Range<usize>>,
}

/// A name that may be where the speaker is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Considered {
    /// The name.
    pub named: Named,
    /// What speaks for and against it.
    pub evidence: Vec<String>,
    /// What was made of it.
    pub frame: String,
}

impl Places {
    /// The place that a clause speaks of.
    pub fn of(&self, clause: usize, clauses: &[Clause]) -> Option<usize> {
        if let Some(a) = self
            .asides
            .iter()
            .rev()
            .take_while(|a| a.clauses.end > clause)
            .find(|a| a.clauses.contains(&clause))
        {
            return Some(a.place);
        }
        let last = clauses[clause].tokens.end;
        let n = self.arrivals.partition_point(|a| a.token < last);
        n.checked_sub(1).map(|i| self.arrivals[i].place)
    }
}

/// How a place's name stands in its clause.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Frame {
    Moved(&'static str),
    Recalled,
    Mentioned,
}

impl Frame {
    /// Told by a turn of speech that hardly means anything else.
    fn is_particular(self) -> bool {
        match self {
            Frame::Moved(how) => !matches!(how, "named alone" | "subject of a sentence" | "number"),
            _ => false,
        }
    }

    /// As evidence: what it is, and which of its kind.
    fn evidence(self, add: &mut dyn FnMut(&[&str])) {
        match self {
            Frame::Moved(how) => {
                add(&["frame-moved"]);
                let mut name = vec!["frame"];
                name.extend(how.split(' ').flat_map(|word| ["-", word]));
                add(&name);
            }
            Frame::Recalled => add(&["frame-recalled"]),
            Frame::Mentioned => add(&["frame-mentioned"]),
        }
    }
}

struct Walker<'a, 'r> {
    speech: &'a Speech<'r>,
    clauses: &'a [Clause],
    scan: &'a Scan,
    lexicon: &'a Lexicon,
    /// What each thing that is known of a name weighs.
    moves: &'a Weights<1>,
    out: Places,
    /// The clause and the word of the last move to another storey, until a place there is named.
    flight: Option<(usize, usize)>,
    /// The kind of place last named in the plural, and in which clause: "the phone rooms … first one".
    series: Option<(u16, String, usize)>,
    /// A row of like rooms that are told by number, and the last number told.
    row: Option<(u16, String, u32)>,
    /// What the numbers of the walk are of.
    row_of: heading::RowOf,
    /// Several houses are told by their numbers: "number four", "number five".
    goes_by_number: bool,
    /// Each name that may be a place, and what was made of it, for whoever asks.
    considered: Option<&'a mut Vec<Considered>>,
}

/// Follows the speaker through the building.
pub fn places(speech: &Speech<'_>, clauses: &[Clause], scan: &Scan, lexicon: &Lexicon) -> Places {
    follow(speech, clauses, scan, lexicon, None)
}

/// Each name in the walk that may be a place, and what was made of it.
pub fn considered(
    speech: &Speech<'_>,
    clauses: &[Clause],
    scan: &Scan,
    lexicon: &Lexicon,
) -> Vec<Considered> {
    let mut considered = Vec::new();
    follow(speech, clauses, scan, lexicon, Some(&mut considered));
    considered
}

fn follow<'a>(
    speech: &'a Speech<'_>,
    clauses: &'a [Clause],
    scan: &'a Scan,
    lexicon: &'a Lexicon,
    considered: Option<&'a mut Vec<Considered>>,
) -> Places {
    let mut w = Walker {
        considered,
        speech,
        clauses,
        scan,
        lexicon,
        moves: &lexicon.models().moves,
        out: Places::default(),
        flight: None,
        series: None,
        row: None,
        row_of: heading::RowOf::read(speech, clauses, scan, lexicon),
        goes_by_number: goes_by_number(speech, clauses, scan, lexicon),
    };
    let dwelling = |n: &str| {
        matches!(
            n,
            "Primary bedroom"
                | "Primary bathroom"
                | "Bedroom"
                | "Living room"
                | "Utility room"
                | "Linen closet"
                | "Bathroom"
                | "Dining room"
                | "Garage"
                | "Laundry room"
                | "Hall bathroom"
        )
    };
    let kinds = || {
        scan.mentions
            .iter()
            .filter(|m| m.kind == Kind::Area)
            .map(|m| lexicon.area(m.entry))
    };
    let public = || kinds().filter(|k| k.public && !k.part);
    let several = public()
        .map(|k| &k.id)
        .collect::<std::collections::BTreeSet<_>>()
        .len()
        > 1;
    let homely = kinds().filter(|k| dwelling(&k.name)).count();
    let any = kinds()
        .filter(|k| k.public)
        .map(|k| &k.id)
        .collect::<std::collections::BTreeSet<_>>()
        .len();
    w.out.house.public = several && public().count() > homely || homely == 0 && any > 1;
    w.out.house.ensuite = scan
        .mentions
        .iter()
        .any(|m| m.kind == Kind::Area && lexicon.area(m.entry).id == "ensuite");
    let mut open_aside: Option<usize> = None;
    for c in 0..clauses.len() {
        if clauses[c].joint == Joint::Start
            && open_aside.is_some()
            && matches!(
                speech.word(clauses[c].tokens.start),
                "okay" | "right" | "so" | "anyway" | "alright"
            )
        {
            open_aside = None;
        }
        let before = w.out.asides.len();
        let moved = w.clause(c);
        if moved {
            open_aside = None;
        } else if w.out.asides.len() > before {
            open_aside = Some(w.out.asides.len() - 1);
        } else if let Some(a) = open_aside {
            let first = w.out.asides[a].clauses.start;
            // A thing remembered lasts for its sentence and the short ones after it.
            if clauses[c].sentence <= clauses[first].sentence + 2 {
                w.out.asides[a].clauses.end = c + 1;
            } else {
                open_aside = None;
            }
        }
    }
    w.drop_passing();
    w.out.house.drop_only_house();
    // What is left of the house by itself is no place to be.
    let houses: Vec<usize> = (0..w.out.house.places.len())
        .filter(|p| {
            let path = &w.out.house.places[*p].path;
            path.len() == 1
                && ["Plot ", "Lot ", "House ", "Townhouse "]
                    .iter()
                    .any(|h| path[0].starts_with(h))
        })
        .collect();
    if houses.len() == 1 && w.out.arrivals.len() > 1 {
        w.out.arrivals.retain(|a| !houses.contains(&a.place));
    }
    w.out
}

/// Whether "number four", "number five" begin thoughts: the houses of a terrace.
fn goes_by_number(speech: &Speech<'_>, clauses: &[Clause], scan: &Scan, lexicon: &Lexicon) -> bool {
    let numbers: std::collections::BTreeSet<u32> = scan
        .mentions
        .iter()
        .filter(|m| m.kind == Kind::Area && lexicon.area(m.entry).id == "number")
        .filter(|m| {
            let c = clauses.partition_point(|k| k.tokens.end <= m.tokens.start);
            clauses
                .get(c)
                .is_some_and(|k| m.tokens.start - k.tokens.start <= 2)
        })
        .filter_map(|m| grammar::number(speech.word(m.tokens.end)))
        .collect();
    numbers.len() > 1
}

/// How many clauses after a move to another storey a part of the stairs is met on the flight.
const ON_THE_FLIGHT: usize = 3;
/// The log odds from which an arrival is believed that its frame tells.
const WITH_THE_FRAME: f64 = -0.3;
/// The log odds from which the words about a name make an arrival of what its frame does not.
const AGAINST_THE_FRAME: f64 = 0.15;
/// The same for a flat, a suite, a numbered room.
const INTO_A_UNIT: f64 = 0.4;
/// How many words the name of a place may at most reach into a later clause.
const NAME_SLACK: usize = 64;
/// How many words after a place was named its name may be said again more fully.
const JUST: usize = 6;
/// How many clauses a row of like rooms is remembered by the kind alone.
const SERIES_REACH: usize = 30;

impl Walker<'_, '_> {
    /// A storey or "inside" by itself is only passed through where nothing is said of a part before the next place.
    fn drop_passing(&mut self) {
        let arrivals = std::mem::take(&mut self.out.arrivals);
        let ends: Vec<usize> = arrivals.iter().skip(1).map(|a| a.token).collect();
        for (i, a) in arrivals.into_iter().enumerate() {
            let passing = self.out.house.is_level_only(a.place)
                || a.frame == "going indoors"
                || i == 0 && self.heads_the_walk(&a);
            let until = ends.get(i).copied();
            let spoken_of = |until: usize| {
                self.scan
                    .within(&(a.token + 1..until))
                    .any(|m| m.kind == Kind::Element && matches!(m.role, Role::Noun | Role::Nouns))
            };
            if passing && until.is_some_and(|u| !spoken_of(u)) {
                continue;
            }
            self.out.arrivals.push(a);
        }
    }

    /// "Hair salon on the corner, Tuesday.": what the walk is of, said at its head.
    fn heads_the_walk(&self, a: &Arrival) -> bool {
        a.token < 30
            && self
                .speech
                .reading
                .span(self.speech.tokens[a.token].said.clone())
                .0
                < 12.0
            && a.frame == "subject of a sentence"
    }

    /// After a move to another storey a part of the stairs puts the speaker on them.
    fn on_the_flight(&mut self, c: usize) {
        let Some((from, token)) = self.flight else {
            return;
        };
        if c > from + ON_THE_FLIGHT || self.out.arrivals.last().is_some_and(|a| a.token > token) {
            self.flight = None;
            return;
        }
        let range = &self.clauses[c].tokens;
        let part = self.scan.within(range).find(|m| {
            m.kind == Kind::Element
                && m.tokens.start > token
                && matches!(m.role, Role::Noun | Role::Nouns)
        });
        let Some(m) = part else { return };
        self.flight = None;
        if matches!(
            self.lexicon.element(m.entry).group.as_str(),
            "stair" | "railing"
        ) && let Some(stairs) = self.lexicon.area_by_id("stairs")
        {
            let level = self
                .out
                .arrivals
                .last()
                .is_some_and(|a| a.token == token && self.out.house.is_level_only(a.place));
            if level {
                self.out.arrivals.pop();
            }
            let place = self
                .out
                .house
                .enter(&Named::plain(token..token + 1, Some(stairs)), self.lexicon);
            if self.out.arrivals.last().is_none_or(|a| a.place != place) {
                self.out.arrivals.push(Arrival {
                    token,
                    place,
                    frame: "on the flight of stairs",
                });
            }
        }
    }

    /// "First one, …" after "the phone rooms": one of a row of like rooms.
    fn one_of_series(&self, c: usize) -> Option<Named> {
        let (kind, spoken, since) = self.series.clone()?;
        if c > since + SERIES_REACH {
            return None;
        }
        let range = &self.clauses[c].tokens;
        let mut i = range.start;
        while i < range.end
            && matches!(
                self.speech.word(i),
                "the" | "and" | "then" | "okay" | "so" | "now" | "um" | "in"
            )
        {
            i += 1;
        }
        let word = self.speech.word(i);
        let number = grammar::ordinal(word)?;
        let mut end = i + 1;
        let one = self.speech.word(end) == "one" && end < range.end;
        if one {
            end += 1;
        }
        if self.speech.word(end) == "of"
            && end < range.end
            && matches!(self.speech.word(end + 1), "these" | "them" | "those")
        {
            end += 2;
        } else if !one {
            return None;
        }
        // Where parts in the plural were named since, one of those may be meant.
        let between = self.clauses[since].tokens.end..range.start;
        let other = self.scan.within(&between).any(|m| {
            m.kind == Kind::Element && m.role == Role::Nouns && between.end - m.tokens.end < 12
        });
        if other {
            return None;
        }
        let mut named = Named::plain(i..end, Some(kind));
        if self.lexicon.area(kind).own {
            named.own = Some(format!("{spoken} {number}"));
        } else {
            named.number = Some(number.to_string());
        }
        Some(named)
    }

    /// Reads one clause; true if the speaker moved.
    fn clause(&mut self, c: usize) -> bool {
        let clause = &self.clauses[c];
        self.on_the_flight(c);
        if let Some((token, place)) = self.where_it_began(&clause.tokens) {
            let place = self.out.house.return_to(place);
            self.out.arrivals.push(Arrival {
                token,
                place,
                frame: "back where it began",
            });
            return true;
        }
        if let Some(named) = self.next_along(&clause.tokens) {
            self.arrive(&named, "the next along");
            return true;
        }
        let mut moved = self.by_cue(c);
        let candidates = self.candidates(&clause.tokens);
        if candidates.is_empty()
            && let Some(named) = self.one_of_series(c)
        {
            // "the phone rooms": the row itself is no place to be.
            let since = self.series.as_ref().map_or(c, |s| s.2);
            if self
                .out
                .arrivals
                .last()
                .is_some_and(|a| self.clauses[since].tokens.contains(&a.token))
            {
                self.out.arrivals.pop();
            }
            self.arrive(&named, "one of a row");
            return true;
        }
        let several = self.scan.within(&clause.tokens).find(|m| {
            m.kind == Kind::Area
                && m.role == Role::Nouns
                && self.lexicon.area(m.entry).numbered
                && !self.lexicon.area(m.entry).part
        });
        if let Some(m) = several {
            let spoken = super::mentions::singular(self.speech.words(&m.tokens));
            let name = super::house::capital(&spoken);
            self.series = Some((m.entry, name.clone(), c));
            self.row = Some((m.entry, name, 0));
        }
        let mut candidates = candidates;
        // "bathroom in five", "the laundry in forty one": of the unit told after it.
        let mut at = 0;
        while at + 1 < candidates.len() {
            let (place, unit) = (&candidates[at], &candidates[at + 1]);
            let of = unit.kind.is_some_and(|k| self.lexicon.area(k).unit)
                && unit.tokens.start == place.tokens.end + 1
                && matches!(self.speech.word(place.tokens.end), "in" | "of" | "inside")
                && !place.kind.is_some_and(|k| self.lexicon.area(k).unit);
            if of {
                let (place, unit) = (candidates[at].clone(), candidates.remove(at + 1));
                match self.judge(c, &place) {
                    Frame::Moved(frame) => {
                        let before = self.out.arrivals.len();
                        self.arrive(&unit, "the unit named");
                        self.out.arrivals.truncate(before.max(1));
                        self.arrive(&place, frame);
                        moved = true;
                    }
                    Frame::Recalled => {
                        let p = self.out.house.recall_within(&unit, &place, self.lexicon);
                        self.out.asides.push(Aside {
                            clauses: c..c + 1,
                            place: p,
                        });
                        self.out.named.push(place.tokens.clone());
                        self.out.named.push(unit.tokens.clone());
                    }
                    Frame::Mentioned => {}
                }
                candidates.remove(at);
            } else {
                at += 1;
            }
        }
        let mut put_right = false;
        for (i, named) in candidates.iter().enumerate() {
            if self.taken_back(named, candidates.get(i + 1)) {
                // "down to the cellar, sorry, plant room": the second is where one goes.
                put_right = candidates.get(i + 1).is_some()
                    && matches!(self.judge(c, named), Frame::Moved(_));
                self.out.named.push(named.tokens.clone());
                continue;
            }
            if self.locates(c, named) || self.is_behind(c, named) {
                self.out.named.push(named.tokens.clone());
                continue;
            }
            let mut frame = self.judge(c, named);
            if std::mem::take(&mut put_right) {
                frame = Frame::Moved("put right");
            }
            match frame {
                Frame::Moved(frame) => {
                    self.follow_row(named);
                    if let Some(way) = self.way_to(c, named) {
                        self.drop_on_the_way(&way);
                    }
                    self.arrive(named, frame);
                    moved = true;
                }
                Frame::Recalled => {
                    let place = self.out.house.recall(named, self.lexicon);
                    // Where nobody has arrived anywhere the whole sentence is about it.
                    let sentence = clause.sentence;
                    let from = if self.out.arrivals.is_empty() {
                        self.clauses[..c]
                            .iter()
                            .rposition(|k| k.sentence != sentence)
                            .map_or(0, |i| i + 1)
                    } else {
                        c
                    };
                    self.out.asides.push(Aside {
                        clauses: from..c + 1,
                        place,
                    });
                    self.out.named.push(named.tokens.clone());
                }
                Frame::Mentioned => {}
            }
        }
        self.on_the_flight(c);
        if !moved {
            self.follow_the_parts(c);
        }
        moved
    }

    /// What a name in its clause tells: by the frame it stands in, and by all that is known about it.
    fn judge(&mut self, c: usize, named: &Named) -> Frame {
        let frame = self.frame(c, named);
        // A storey by itself is seldom where one stays, and yet all that follows lies on it.
        if named.kind.is_some_and(|k| self.lexicon.area(k).level) {
            return frame;
        }
        let odds = self.odds_of_arrival(c, named, frame);
        let evidence = match self.considered {
            Some(_) => self.told_of_arrival(c, named, frame),
            None => Vec::new(),
        };
        // A unit wrongly entered takes every room after it along.
        let unit = named.number_only || named.kind.is_some_and(|k| self.lexicon.area(k).unit);
        let needed = if unit { INTO_A_UNIT } else { AGAINST_THE_FRAME };
        let (likely, surely) = (odds > WITH_THE_FRAME, odds > needed);
        let frame = match frame {
            Frame::Moved(how) if likely || frame.is_particular() => Frame::Moved(how),
            _ if surely => Frame::Moved("the words about it"),
            Frame::Recalled => Frame::Recalled,
            _ => Frame::Mentioned,
        };
        if let Some(considered) = &mut self.considered {
            considered.push(Considered {
                named: named.clone(),
                evidence,
                frame: format!("{frame:?}"),
            });
        }
        frame
    }

    /// "Along the passage, the den.": what is named on the way is no place to be.
    fn drop_on_the_way(&mut self, way: &Range<usize>) {
        if self.out.arrivals.last().is_some_and(|a| {
            way.contains(&a.token) && !matches!(a.frame, "flight of stairs" | "the unit named")
        }) {
            self.out.arrivals.pop();
        }
    }

    /// Keeps count of a row of rooms told by number; the row itself is no place to be.
    fn follow_row(&mut self, named: &Named) {
        let Some((_, spoken, last)) = self.row.as_mut() else {
            return;
        };
        let number = named
            .own
            .as_ref()
            .and_then(|o| o.strip_prefix(spoken.as_str()))
            .and_then(|n| n.trim().parse::<u32>().ok());
        let Some(number) = number else { return };
        if *last == 0
            && let Some(a) = self.out.arrivals.last()
            && self.out.house.places[a.place]
                .path
                .last()
                .is_some_and(|l| l.starts_with(spoken.as_str()))
        {
            self.out.arrivals.pop();
        }
        *last = number;
    }

    fn arrive(&mut self, named: &Named, frame: &'static str) {
        let place = self.out.house.enter(named, self.lexicon);
        self.out.named.push(named.tokens.clone());
        let token = named.tokens.start;
        if self.out.house.is_level_only(place) {
            let c = self.clauses.partition_point(|k| k.tokens.end <= token);
            self.flight = Some((c, token));
        }
        // "Staff lounge. No, sorry, that's the lab.": the first is taken back.
        let c = self
            .clauses
            .partition_point(|k| k.tokens.end <= token)
            .min(self.clauses.len().saturating_sub(1));
        let start = self.sentence_start(c);
        let corrected = matches!(self.speech.word(start), "no" | "sorry") && token - start <= 6;
        if corrected
            && self
                .out
                .arrivals
                .last()
                .is_some_and(|a| a.token + 4 >= start && a.token < start)
        {
            self.out.arrivals.pop();
        }
        if let Some(last) = self.out.arrivals.last() {
            if last.place == place {
                return;
            }
            let new = Arrival {
                token,
                place,
                frame,
            };
            if self.says_again(last, &new, named, start) {
                self.out.house.return_to(last.place);
                return;
            }
            // "out the back, so there's your patio": a broad word, then at once the place meant.
            let inside = last.frame == "going indoors";
            let broad = self.out.house.is_broad(last.place) && self.out.house.outdoors(place)
                || self.out.house.is_storey(last.place)
                || inside;
            let near = self
                .clauses
                .partition_point(|k| k.tokens.end <= token)
                .saturating_sub(self.clauses.partition_point(|k| k.tokens.end <= last.token))
                <= 2;
            if broad && near {
                self.out.arrivals.pop();
            }
        }
        self.out.arrivals.push(Arrival {
            token,
            place,
            frame,
        });
    }

    /// The place just arrived at, named more fully: "Office up here in the corner, the manager's office.", "Kitchen. This is
    /// mom's kitchen.". `start` is the first word of the name's sentence.
    fn says_again(&self, last: &Arrival, new: &Arrival, named: &Named, start: usize) -> bool {
        let places = &self.out.house.places;
        let Some(kind) = named.kind.filter(|k| places[last.place].kind == Some(*k)) else {
            return false;
        };
        let kind = self.lexicon.area(kind);
        if named.own.is_none() || named.number.is_some() || kind.unit {
            return false;
        }
        let beside = last.token >= start
            && new.frame == "named alone"
            && places[new.place].parent == places[last.place].parent;
        let plain = !kind.own && places[last.place].path.last() == Some(&kind.name);
        beside || plain && new.token.saturating_sub(last.token) <= JUST
    }

    /// Moves told without a place's name: a flight up or down, indoors, out of a closet.
    fn by_cue(&mut self, c: usize) -> bool {
        let clause = &self.clauses[c];
        let mut moved = false;
        let opens = self.opening(&clause.tokens);
        // "back in and up | the stairs rail …": a flight may be cut in two where there are no stops.
        let across = self
            .scan
            .cues_near(clause.tokens.start, clause.tokens.end.saturating_sub(1))
            .iter()
            .filter(|(k, m)| {
                matches!(k, CueKind::Up | CueKind::Down)
                    && clause.tokens.contains(&m.tokens.start)
                    && m.tokens.end > clause.tokens.end
                    && !self.speech.punctuated
            });
        let within: Vec<_> = self
            .scan
            .cues_within(&clause.tokens)
            .chain(across)
            .collect();
        for (kind, m) in within {
            // "the run coming down the stairs" tells of a thing, "down the stairs" of the speaker.
            let loose = !self.speech.punctuated && *kind == CueKind::Indoors && m.tokens.len() > 2;
            let at_front = loose || m.tokens.start <= opens + 3 && self.speaker_moves(c, m);
            match kind {
                // The steps of a porch or a deck lead to no other storey.
                CueKind::Up | CueKind::Down if self.outdoor_steps(m) => {}
                CueKind::Up | CueKind::Down if at_front && self.climbs(m, &clause.tokens) => {
                    self.flight = Some((c, m.tokens.start));
                    let flight = m
                        .tokens
                        .clone()
                        .any(|i| matches!(self.speech.word(i), "stairs" | "steps" | "stair"));
                    if flight && let Some(stairs) = self.lexicon.area_by_id("stairs") {
                        let tokens = m.tokens.end - 1..m.tokens.end;
                        self.arrive(&Named::plain(tokens, Some(stairs)), "flight of stairs");
                        moved = true;
                    }
                    self.out
                        .house
                        .climb(if *kind == CueKind::Up { 1 } else { -1 });
                }
                CueKind::Indoors if at_front => {
                    let named = self
                        .scan
                        .within(&clause.tokens)
                        .any(|a| a.kind == Kind::Area && !self.lexicon.area(a.entry).part);
                    if self.out.house.indoors()
                        && !named
                        && let Some(place) = self.out.house.inside(self.lexicon.area_by_id("entry"))
                    {
                        self.out.arrivals.push(Arrival {
                            token: m.tokens.start,
                            place,
                            frame: "going indoors",
                        });
                    }
                    let door = m.tokens.clone().any(|i| self.speech.word(i) == "door")
                        && self.speech.word(m.tokens.end - 2) == "front";
                    if door && let Some(entry) = self.lexicon.area_by_id("entry") {
                        self.arrive(
                            &Named::plain(m.tokens.clone(), Some(entry)),
                            "the front door",
                        );
                        moved = true;
                    }
                }
                CueKind::Outdoors if at_front && self.goes_out(m, &clause.tokens) => {
                    if !self.out.house.is_outside()
                        && let Some(exterior) = self.lexicon.area_by_id("exterior")
                    {
                        let tokens = m.tokens.start..m.tokens.start + 1;
                        self.arrive(&Named::plain(tokens, Some(exterior)), "going out");
                        moved = true;
                    }
                }
                CueKind::Leaving if m.tokens.start <= opens + 1 && m.tokens.len() > 1 => {
                    if let Some(place) = self.out.house.leave() {
                        self.out.arrivals.push(Arrival {
                            token: m.tokens.start,
                            place,
                            frame: "leaving",
                        });
                        moved = true;
                    }
                }
                _ => {}
            }
        }
        moved
    }

    /// "Out.", "let's go out the end.": the whole of a thought, with nothing named that comes out.
    fn goes_out(&self, m: &Mention, within: &Range<usize>) -> bool {
        let place = self.scan.within(within).any(|o| {
            o.kind == Kind::Area || o.kind == Kind::Element && o.tokens.start < m.tokens.start
        });
        let leaving = self.scan.cues_within(within).any(|(k, o)| {
            *k == CueKind::Leaving
                && o.tokens.start < m.tokens.start
                && m.tokens.start < o.tokens.end
        });
        let ends = m.tokens.end >= within.end;
        ends && !place && !leaving && self.speech.tokens[m.tokens.end - 1].stop >= Stop::Comma
    }

    /// "Up the steps, front porch.": out of doors, or before the door.
    fn outdoor_steps(&self, m: &Mention) -> bool {
        let steps = m.tokens.clone().any(|i| self.speech.word(i) == "steps");
        steps && (self.out.house.is_outside() || self.out.arrivals.is_empty())
    }

    /// "upstairs", "up the stairs", "down we go": a flight; "going down this hall" is none.
    fn climbs(&self, m: &Mention, within: &Range<usize>) -> bool {
        let flight = m.tokens.clone().any(|i| {
            matches!(
                self.speech.word(i),
                "stairs"
                    | "steps"
                    | "stair"
                    | "upstairs"
                    | "downstairs"
                    | "floor"
                    | "level"
                    | "flight"
                    | "we"
                    | "top"
            )
        });
        let ends = m.tokens.end >= within.end
            || matches!(self.speech.word(m.tokens.end), "now" | "then" | "again");
        let onto = grammar::is_determiner(self.speech.word(m.tokens.end))
            && matches!(
                self.speech.word(m.tokens.end + 1),
                "stairs" | "steps" | "stair"
            );
        if onto {
            return true;
        }
        flight || ends && self.speech.tokens[m.tokens.end - 1].stop > Stop::None
    }

    /// The first word after what merely opens a thought.
    fn opening(&self, range: &Range<usize>) -> usize {
        let mut i = range.start;
        while i < range.end {
            let cue = self.scan.cues_at(i).iter().find(|(k, m)| {
                matches!(k, CueKind::Opener | CueKind::Filler) && m.tokens.end <= range.end
            });
            match cue {
                Some((_, m)) => i = m.tokens.end,
                None if matches!(self.speech.word(i), "um" | "and" | "the" | "okay" | "so") => {
                    i += 1
                }
                None => break,
            }
        }
        i
    }

    /// The names of places that may reach this word or stand after it. They are noted clause by clause, and none reaches
    /// far out of its own.
    fn named_from(&self, word: usize) -> impl Iterator<Item = &Range<usize>> {
        self.out
            .named
            .iter()
            .rev()
            .take_while(move |n| n.end + NAME_SLACK > word)
    }
}
