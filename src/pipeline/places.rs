//! Stage 3: where the speaker is. Arrival is told from mere mention by the frame that a place's name stands in.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Role};

use super::grammar;
use super::house::{House, Named};
use super::normalize::{Speech, Stop};
use super::scan::{Mention, Scan};
use super::segment::{Clause, Joint};

mod evidence;

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
    /// Each name that may be a place, and what was made of it.
    pub considered: Vec<Considered>,
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
    fn evidence(self) -> Vec<String> {
        match self {
            Frame::Moved(how) => vec![
                "frame-moved".into(),
                format!("frame-{}", how.replace(' ', "-")),
            ],
            Frame::Recalled => vec!["frame-recalled".into()],
            Frame::Mentioned => vec!["frame-mentioned".into()],
        }
    }
}

struct Walker<'a, 'r> {
    speech: &'a Speech<'r>,
    clauses: &'a [Clause],
    scan: &'a Scan,
    lexicon: &'a Lexicon,
    out: Places,
    /// The clause and the word of the last move to another storey, until a place there is named.
    flight: Option<(usize, usize)>,
    /// The kind of place last named in the plural, and in which clause: "the phone rooms … first one".
    series: Option<(u16, String, usize)>,
    /// A row of like rooms that are told by number, and the last number told.
    row: Option<(u16, String, u32)>,
    /// Several houses are told by their numbers: "number four", "number five".
    goes_by_number: bool,
}

/// Follows the speaker through the building.
pub fn places(speech: &Speech<'_>, clauses: &[Clause], scan: &Scan, lexicon: &Lexicon) -> Places {
    let mut w = Walker {
        speech,
        clauses,
        scan,
        lexicon,
        out: Places::default(),
        flight: None,
        series: None,
        row: None,
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
/// How many words from the start the walk's own flat is told.
const HEADED: usize = 40;
/// How many words from the start a plan of the walk is told.
const PLAN: usize = 80;
/// The log odds from which an arrival is believed that its frame tells.
const WITH_THE_FRAME: f64 = -0.3;
/// The log odds from which the words about a name make an arrival of what its frame does not.
const AGAINST_THE_FRAME: f64 = 0.15;
/// The same for a flat, a suite, a numbered room.
const INTO_A_UNIT: f64 = 1.5;
/// How many words a plan runs on.
const PLANNED: usize = 14;
/// How many words the name of a place may at most reach into a later clause.
const NAME_SLACK: usize = 64;
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
            if self.locates(c, named) {
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
        moved
    }

    /// What a name in its clause tells: by the frame it stands in, and by all that is known about it.
    fn judge(&mut self, c: usize, named: &Named) -> Frame {
        let frame = self.frame(c, named);
        // A storey by itself is seldom where one stays, and yet all that follows lies on it.
        if named.kind.is_some_and(|k| self.lexicon.area(k).level) {
            return frame;
        }
        let mut evidence = self.evidence(c, named);
        evidence.extend(frame.evidence());
        let odds = self.odds_of_arrival(&evidence);
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
        self.out.considered.push(Considered {
            named: named.clone(),
            evidence,
            frame: format!("{frame:?}"),
        });
        frame
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
        let sentence = self.clauses[c].sentence;
        let start = self.clauses[..=c]
            .iter()
            .rev()
            .take_while(|k| k.sentence == sentence)
            .last()
            .map_or(0, |k| k.tokens.start);
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

    /// Moves told without a place's name: a flight up or down, indoors, out of a closet.
    fn by_cue(&mut self, c: usize) -> bool {
        let clause = &self.clauses[c];
        let mut moved = false;
        let opens = self.opening(&clause.tokens);
        for (kind, m) in self.scan.cues_within(&clause.tokens) {
            // "the run coming down the stairs" tells of a thing, "down the stairs" of the speaker.
            let loose = !self.speech.punctuated && *kind == CueKind::Indoors && m.tokens.len() > 2;
            let at_front = loose || m.tokens.start <= opens + 3 && self.speaker_moves(c, m);
            match kind {
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
            let cue = self.scan.cues_within(range).find(|(k, m)| {
                matches!(k, CueKind::Opener | CueKind::Filler) && m.tokens.start == i
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

    /// All that may name a place in a stretch of words, in order.
    fn candidates(&self, range: &Range<usize>) -> Vec<Named> {
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
            self.apposed(&mut named);
            // "the suite, four ten"
            if self.lexicon.area(m.entry).unit
                && named.number.is_none()
                && self.speech.tokens[m.tokens.end - 1].stop == Stop::Comma
                && let Some((n, _)) =
                    super::house::spoken_number(self.speech, m.tokens.end, m.tokens.end + 4)
                && n.len() >= 3
            {
                named.number = Some(n);
            }
            self.of_the_owner(&mut named);
            let kind = self.lexicon.area(m.entry);
            // A flat or a hotel room is known by its number; without one the word says nothing of where.
            // "the sink unit": a piece of furniture.
            if kind.unit
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
                    super::house::capital(&u.word)
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
        // "Thirteen.", where rooms go by number.
        let opens = self.opening(range);
        if out.is_empty()
            && let Some((number, used)) = super::house::spoken_number(self.speech, opens, range.end)
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

    /// "three b, tuesday": the flat that the walk is of, told at its head by number and letter.
    fn lettered(&self, range: &Range<usize>) -> Option<Named> {
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
    fn clipped(&self, range: &Range<usize>) -> Option<Named> {
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
        let number = super::house::spoken_number(speech, at + 1, range.end)
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
                || super::house::tells(word)
                || grammar::is_describing(word)
                || speech.tokens[at].stop < Stop::End)
        {
            return None;
        }
        let mut named = Named::plain(at..end, Some(kind));
        named.spoken = super::house::capital(&format!("{word} room"));
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
    fn measured_before(&self, at: usize) -> bool {
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
    fn next_number(&self, range: &Range<usize>) -> Option<Named> {
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
    fn of_somebody(&self, range: &Range<usize>) -> Option<Named> {
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
                named.own = Some(super::house::capital(&format!("{owner}'s {head}")));
                return Some(named);
            }
        }
        None
    }

    /// "Through to the backwash.": a word of motion and a name that nothing in the lexicon holds.
    fn newly_named(&self, range: &Range<usize>) -> Option<Named> {
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
            named.own = Some(super::house::capital(speech.words(&tokens)));
            return Some(named);
        }
        None
    }

    /// "your bedroom": the one of those who are spoken to; "the big bedroom" where others were met before.
    fn of_the_owner(&self, named: &mut Named) {
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
            named.another = false;
        }
    }

    /// "your bedroom, the main one": the words behind tell which.
    fn apposed(&self, named: &mut Named) {
        let at = named.tokens.end;
        let main = self.speech.word(at) == "the"
            && matches!(
                self.speech.word(at + 1),
                "main" | "master" | "primary" | "big" | "principal"
            )
            && self.speech.word(at + 2) == "one";
        let telling = self.speech.word(at) == "the" && self.speech.word(at + 2) == "one";
        let which = self.speech.word(at + 1).to_string();
        if telling
            && !main
            && named.own.is_none()
            && let Some(k) = named.kind.filter(|k| self.lexicon.area(*k).numbered)
            && super::house::tells(&which)
        {
            named.own = Some(super::house::capital(&format!(
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
    fn taken_back(&self, named: &Named, next: Option<&Named>) -> bool {
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
        if self
            .speech
            .word(named.whole(self.speech).start.saturating_sub(1))
            == "not"
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

    fn frame(&self, c: usize, named: &Named) -> Frame {
        let clause = &self.clauses[c];
        let speech = self.speech;
        let whole = named.whole(speech);
        let kind = named.kind.map(|k| self.lexicon.area(k));
        let declared = self
            .scan
            .units_within(&named.tokens)
            .iter()
            .any(|u| u.tokens == named.tokens);
        let storey = kind.is_some_and(|k| k.level) && named.number.is_some();
        // "105, that's the art room": another name for the room just told by its number.
        let by_number = self.out.arrivals.last().is_some_and(|a| {
            whole.start.saturating_sub(a.token) <= 4
                && self.out.house.places[a.place]
                    .path
                    .last()
                    .is_some_and(|l| l.ends_with(|c: char| c.is_ascii_digit()))
        });
        if by_number
            && named.number.is_none()
            && whole.start >= 2
            && matches!(speech.word(whole.start - 1), "is" | "'s")
            && matches!(speech.word(whole.start - 2), "that" | "this" | "which")
        {
            return Frame::Mentioned;
        }
        let part = kind.is_some_and(|k| k.part) && !declared && !storey;
        let stop = speech.tokens[named.tokens.end - 1].stop;
        let next = named.tokens.end;
        // Without punctuation a thought cut at a room's name has nothing to end it.
        let unmarked = !speech.punctuated && next >= clause.tokens.end;
        let stop = if unmarked && !part { Stop::End } else { stop };
        // "the walk-in one": a part told from others of its kind.
        if matches!(speech.word(next), "one" | "ones") && part {
            return Frame::Mentioned;
        }
        // "kitchen sink", "garage ceiling": the place only tells which part is meant.
        if stop == Stop::None && !unmarked && self.is_part_name(next, named) {
            return Frame::Mentioned;
        }
        if whole.start > 0 && speech.word(whole.start - 1) == "or" {
            return Frame::Mentioned;
        }
        // The flat or suite that the walk is of may be named anywhere at its start.
        // "Restrooms are base building, not ours": a place that is passed by.
        if self
            .scan
            .cues_within(&clause.tokens)
            .any(|(k, _)| *k == CueKind::Leave)
            || part
                && (clause.question || speech.tokens[named.tokens.end - 1].stop == Stop::Question)
        {
            return Frame::Mentioned;
        }
        let prepared = whole.start == 0
            || !matches!(
                speech.word(whole.start - 1),
                "like" | "as" | "than" | "above" | "below" | "from" | "by" | "behind" | "near"
            );
        if kind.is_some_and(|k| k.unit)
            && named.number.is_some()
            && prepared
            && (self.out.arrivals.is_empty()
                || whole.start <= self.opening(&clause.tokens)
                    && (stop >= Stop::Comma && stop != Stop::Question))
        {
            return Frame::Moved("the unit named");
        }
        if named.own.is_some()
            && named.tokens.len() == 1
            && grammar::number(speech.word(named.tokens.start)).is_some()
        {
            return Frame::Moved("number in a row");
        }
        // "I'm doing one through seven and then the dock": what is going to be walked, in the same breath.
        let planned = (whole.start.saturating_sub(PLANNED)..whole.start)
            .rev()
            .take_while(|i| speech.tokens[*i].stop < Stop::End)
            .any(|i| speech.word(i) == "doing");
        if whole.start < PLAN && planned && !declared {
            return Frame::Mentioned;
        }
        let opens = self.opening(&clause.tokens);
        // "Across the hall, four oh two.", "end of the hall, the suite, four ten.": a number that is a thought by itself.
        let numbered = named.number.is_some()
            && (named.number_only && named.is_code() || kind.is_some_and(|k| k.unit));
        if numbered
            && whole.start <= opens
            && (next >= clause.tokens.end && (unmarked || stop >= Stop::Comma)
                || !speech.punctuated
                    && kind.is_some_and(|k| k.unit)
                    && named.is_code()
                    && !self.tells_of_memory(c))
        {
            return Frame::Moved("number");
        }
        // "So, behind the counter.": the whole of a thought.
        if whole.start == opens + 1
            && matches!(
                speech.word(opens),
                "behind" | "round" | "around" | "inside" | "outside" | "under"
            )
            && next >= clause.tokens.end
            && stop >= Stop::End
            && self.only_places_before(c)
        {
            return Frame::Moved("behind or inside it");
        }
        // "there's a half bath down here"
        let after = (next..(next + 3).min(clause.tokens.end)).any(|i| speech.word(i) == "here");
        if after
            && !part
            && whole.start >= clause.tokens.start + 2
            && speech.word(whole.start - 2) == "there"
            && matches!(speech.word(whole.start - 1), "is" | "'s")
        {
            return Frame::Moved("there is one here");
        }
        let first = whole.start <= opens || named.tokens.start <= opens;
        let sentence_first = first && self.only_places_before(c);
        let led = self.led(c, &whole, &named.tokens);
        let beside = self.beside(&whole, clause.tokens.start);
        let told = self.tells_of_memory(c);
        if let Some(len) = led
            && beside.is_none_or(|b| b <= len)
            && !(told && self.out.house.current_is(named, self.lexicon))
        {
            return if told && !self.says_here(clause) {
                Frame::Recalled
            } else {
                Frame::Moved("arrival cue")
            };
        }
        let in_place = whole.start > clause.tokens.start
            && matches!(
                speech.word(whole.start - 1),
                "in" | "at" | "on" | "behind" | "inside"
            );
        if beside.is_some() && !in_place {
            return Frame::Mentioned;
        }
        // "kitchen end", "kitchen side": of the place and nothing more.
        let end_of = matches!(
            speech.word(next),
            "end" | "area" | "side" | "bit" | "then" | "now" | "next" | "first" | "again" | "last"
        ) && next + 1 == clause.tokens.end;
        let quick = matches!(
            (speech.word(next), speech.word(next + 1)),
            ("real", "quick") | ("really", "quick") | ("very", "quickly")
        ) && next + 2 == clause.tokens.end;
        let runs_on = !speech.punctuated
            && matches!(
                speech.word(next),
                "so" | "okay" | "oh" | "um" | "wow" | "now" | "alright" | "not"
            );
        let ends = next >= clause.tokens.end || end_of || quick || runs_on;
        if sentence_first
            && ends
            && (!part
                || !speech.punctuated && self.opened_plainly(c, &whole, next)
                || runs_on && kind.is_some_and(|k| k.child)
                || stop >= Stop::End
                || named.number.is_some()
                || kind.is_some_and(|k| k.child)
                    && stop == Stop::Comma
                    && (self.opened_with_then(c)
                        || self.clauses[c].tokens.start == whole.start
                            && matches!(
                                speech.word(next),
                                "they"
                                    | "there"
                                    | "you"
                                    | "we"
                                    | "i"
                                    | "the"
                                    | "in"
                                    | "off"
                                    | "under"
                            ))
                || self.clauses[c].tokens.start == whole.start
                    && stop == Stop::Comma
                    && kind.is_some_and(|k| k.outdoor || k.id == "stairs"))
        {
            return if told {
                Frame::Recalled
            } else {
                Frame::Moved("named alone")
            };
        }
        // "Across from it, Marcus, your office.": a sentence that tells of nothing else ends with the place.
        if speech.punctuated
            && (!part || kind.is_some_and(|k| k.id == "primary-short"))
            && !told
            && clause.joint == Joint::Comma
            && whole.start == clause.tokens.start
            && next >= clause.tokens.end
            && stop >= Stop::End
            && matches!(speech.word(whole.start), "your" | "the" | "our" | "my")
            && self.tells_only_the_place(c)
        {
            return Frame::Moved("last in its sentence");
        }
        // "a ledge, in an operating theatre": of any such place.
        if in_place && matches!(speech.word(whole.start), "a" | "an" | "any" | "every") {
            return Frame::Mentioned;
        }
        if in_place {
            let visited = self.out.house.known(named, self.lexicon);
            if told && visited {
                return Frame::Recalled;
            }
            let at_start = whole.start - 1 <= opens;
            let lead = speech.word(whole.start - 1);
            // "And in the big bedroom.", "In the bathroom, okay": the whole of a thought.
            let alone = at_start
                && !told
                && lead == "in"
                && next >= clause.tokens.end
                && (speech.punctuated || unmarked);
            // "on the patio they still haven't …"
            // "right at the top here on the landing", "in this closet here"
            // "the lock on the door in the bathroom", with no place told so far: that is the place spoken of.
            let only_place = self.out.arrivals.is_empty()
                && !at_start
                && matches!(lead, "in" | "at")
                && !kind.is_some_and(|k| k.unit || k.level)
                && named.number.is_none()
                && (!part || kind.is_some_and(|k| k.child));
            if only_place {
                return Frame::Recalled;
            }
            let here = whole.start >= clause.tokens.start + 2
                && speech.word(whole.start - 2) == "here"
                && !told
                || lead == "in"
                    && !told
                    && speech.word(whole.start) == "this"
                    && speech.word(next) == "here";
            if here {
                return Frame::Moved("here");
            }
            let on_it = at_start
                && !told
                && lead == "on"
                && kind.is_some_and(|k| k.outdoor || k.id == "landing");
            if alone && self.sentence_opens_at(c) || on_it {
                return Frame::Moved("in the place");
            }
            if at_start
                && (!part || kind.is_some_and(|k| k.child))
                && speech.word(whole.start - 1) == "in"
            {
                return if visited && !self.out.arrivals.is_empty() {
                    Frame::Recalled
                } else {
                    Frame::Moved("in the place")
                };
            }
            return if visited
                && !part
                && !self.compares(clause, whole.start)
                && speech.word(whole.start - 1) == "in"
            {
                Frame::Recalled
            } else {
                Frame::Mentioned
            };
        }
        let in_here = matches!(speech.word(next), "here")
            || speech.word(next) == "in" && speech.word(next + 1) == "here";
        let placed = in_here && kind.is_some_and(|k| k.numbered)
            || matches!(
                speech.word(next),
                "at" | "on"
                    | "over"
                    | "off"
                    | "through"
                    | "here"
                    | "up"
                    | "out"
                    | "with"
                    | "in"
                    | "they"
            ) && !part;
        // "the landing fine": a verdict of the whole place.
        let judged =
            self.scan.cues_near(next, next).iter().any(|(k, m)| {
                m.tokens.start == next && matches!(k, CueKind::Fine | CueKind::AllGood)
            });
        // "stairs up to the bonus room"
        let flight =
            kind.is_some_and(|k| k.id == "stairs") && matches!(speech.word(next), "up" | "down");
        if flight && sentence_first && !told {
            return Frame::Moved("flight of stairs");
        }
        let verb = placed
            || judged
            || grammar::is_auxiliary(speech.word(next))
            || matches!(
                speech.word(next),
                "looks"
                    | "next"
                    | "now"
                    | "then"
                    | "through"
                    | "here"
                    | "wise"
                    | "first"
                    | "has"
                    | "needs"
                    | "itself"
            );
        if sentence_first
            && (!part
                || self.only_a_place(&whole, named)
                || in_here && kind.is_some_and(|k| k.numbered)
                || matches!(speech.word(next), "next" | "now" | "then" | "first"))
            && (verb || ends)
            && !named.number_only
        {
            return if told {
                Frame::Recalled
            } else {
                Frame::Moved("subject of a sentence")
            };
        }
        if sentence_first && named.number_only && (stop >= Stop::Comma || verb || named.is_code()) {
            return if told {
                Frame::Recalled
            } else {
                Frame::Moved("number")
            };
        }
        Frame::Mentioned
    }

    /// Without punctuation: "okay deck so …", a part's word between an opening and another.
    fn opened_plainly(&self, c: usize, whole: &Range<usize>, next: usize) -> bool {
        let from = self.clauses[c].tokens.start;
        whole.start > from
            && matches!(
                self.speech.word(whole.start - 1),
                "okay" | "alright" | "right" | "now" | "next" | "so"
            )
            && (next >= self.clauses[c].tokens.end
                || matches!(
                    self.speech.word(next),
                    "so" | "okay" | "now" | "um" | "and" | "right"
                )
                || self.speech.tokens.get(next).is_some_and(|t| t.pause > 0.35))
    }

    /// Whether the clause begins its sentence but for opening words.
    fn sentence_opens_at(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        c == 0 || self.clauses[c - 1].sentence != sentence || self.only_places_before(c)
    }

    /// "Electric cupboard, in the passage.": where the place just named is; no move of its own.
    fn locates(&self, c: usize, named: &Named) -> bool {
        let clause = &self.clauses[c];
        let whole = named.whole(self.speech);
        c > 0
            && self.speech.punctuated
            && clause.joint == Joint::Comma
            && whole.start == clause.tokens.start + 1
            && matches!(
                self.speech.word(clause.tokens.start),
                "in" | "off" | "under" | "by" | "on" | "next"
            )
            && named.tokens.end == clause.tokens.end
            && self.out.arrivals.last().is_some_and(|a| {
                self.clauses[c - 1].tokens.contains(&a.token) && a.frame == "named alone"
            })
    }

    /// "the master": a clipped name that no building part shares.
    fn only_a_place(&self, whole: &Range<usize>, named: &Named) -> bool {
        matches!(
            self.speech.word(whole.start),
            "the" | "this" | "your" | "our"
        ) && !self
            .scan
            .mentions_near(named.tokens.start, named.tokens.end)
            .iter()
            .any(|m| {
                m.kind != Kind::Area
                    && m.tokens.start < named.tokens.end
                    && named.tokens.start < m.tokens.end
            })
    }

    /// Whether what follows a place's name makes it the name of a part: an element, or a noun that no verb follows.
    fn is_part_name(&self, next: usize, named: &Named) -> bool {
        // "the kitchen firm": people.
        if matches!(
            self.speech.word(next),
            "firm"
                | "people"
                | "company"
                | "guys"
                | "guy"
                | "fitter"
                | "fitters"
                | "lads"
                | "crew"
                | "team"
                | "man"
                | "fella"
                | "contractor"
                | "supplier"
                | "installer"
                | "installers"
                | "lady"
        ) {
            return true;
        }
        let range = next..(next + 4).min(self.speech.tokens.len());
        let part = self
            .scan
            .within(&range)
            .any(|m| m.kind == Kind::Element && m.tokens.start == next);
        let inside = self
            .scan
            .mentions_near(named.tokens.start, named.tokens.end)
            .iter()
            .any(|m| {
                m.kind == Kind::Element
                    && m.tokens.start <= named.tokens.start
                    && m.tokens.end > named.tokens.end
            });
        part || inside
    }

    /// The length of the arrival cue that leads up to a place's name, if one does.
    fn led(&self, c: usize, whole: &Range<usize>, name: &Range<usize>) -> Option<usize> {
        let from = whole.start.saturating_sub(8)..name.start;
        self.scan
            .cues_near(from.start, name.start)
            .iter()
            .filter(|(k, m)| {
                *k == CueKind::Arrive
                    && self.speaker_moves(c, m)
                    && !(self.speech.word(m.tokens.start) == "that" && self.after_question(c))
                    && m.tokens.start >= from.start
                    && m.tokens.end >= whole.start
                    && m.tokens.end <= name.start
            })
            .map(|(_, m)| {
                m.tokens.len() - (m.tokens.end - whole.start.min(m.tokens.end)).min(m.tokens.len())
            })
            .max()
    }

    /// "What's above me? That's the kitchen.": an answer moves nobody.
    fn after_question(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        self.clauses[..c]
            .iter()
            .rev()
            .find(|k| k.sentence != sentence)
            .is_some_and(|k| k.question)
    }

    /// Whether a move told here is the speaker's own: nothing else stands before it as a subject or a condition.
    fn speaker_moves(&self, c: usize, m: &Mention) -> bool {
        let opens = self.opening(&self.clauses[c].tokens).min(m.tokens.start);
        (opens..m.tokens.start).all(|i| {
            let w = self.speech.word(i);
            let other = matches!(
                w,
                "it" | "they"
                    | "he"
                    | "she"
                    | "somebody"
                    | "someone"
                    | "nobody"
                    | "who"
                    | "which"
                    | "before"
                    | "when"
                    | "if"
                    | "until"
                    | "once"
                    | "after"
                    | "where"
                    | "whoever"
                    | "anybody"
                    | "not"
                    | "like"
                    | "same"
                    | "as"
                    | "than"
            );
            let thing = matches!(w, "that" | "this" | "which")
                && matches!(
                    self.speech.word(m.tokens.start),
                    "going" | "goes" | "go" | "coming" | "comes"
                );
            let own_if = w == "if" && matches!(self.speech.word(i + 1), "i" | "we");
            let place = self.named_from(i).any(|n| n.contains(&i));
            (!other || own_if)
                && !thing
                && (place
                    || grammar::is_function(w)
                    || w.ends_with("ing")
                    || matches!(
                        w,
                        "way"
                            | "cut"
                            | "nip"
                            | "pop"
                            | "duck"
                            | "slip"
                            | "step"
                            | "swing"
                            | "walk"
                            | "carry"
                            | "jump"
                            | "hop"
                            | "turn"
                            | "squeeze"
                            | "bit"
                            | "part"
                            | "door"
                            | "side"
                            | "end"
                            | "front"
                            | "back"
                            | "left"
                            | "right"
                    ))
        })
    }

    /// The length of the words directly before a name that only mention it.
    fn beside(&self, whole: &Range<usize>, from: usize) -> Option<usize> {
        self.scan
            .cues_near(whole.start, whole.start)
            .iter()
            .filter(|(k, m)| {
                *k == CueKind::Beside && m.tokens.end == whole.start && m.tokens.start >= from
            })
            .map(|(_, m)| m.tokens.len())
            .max()
    }

    fn compares(&self, clause: &Clause, at: usize) -> bool {
        (clause.tokens.start..at).any(|i| {
            matches!(
                self.speech.word(i),
                "same" | "like" | "as" | "than" | "similar" | "unlike" | "match" | "matches"
            )
        })
    }

    fn says_here(&self, clause: &Clause) -> bool {
        (clause.tokens.start..clause.tokens.end)
            .any(|i| self.speech.word(i) == "i" && self.speech.word(i + 1) == "am")
    }

    /// The words of a sentence tell of something remembered.
    fn tells_of_memory(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        let mut first = self.clauses[..c]
            .iter()
            .rposition(|k| k.sentence != sentence)
            .map_or(0, |i| i + 1);
        let mut last = self.clauses[c..]
            .iter()
            .position(|k| k.sentence != sentence)
            .map_or(self.clauses.len(), |i| c + i);
        if !self.speech.punctuated {
            // Without stops a sentence runs on and on: only the clauses beside this one tell of it.
            first = first.max(c.saturating_sub(1));
            last = last.min(c + 2);
        }
        let range = self.clauses[first].tokens.start..self.clauses[last - 1].tokens.end;
        let start = range.start;
        let oh = self.speech.word(start) == "oh"
            || self.speech.word(start) == "and" && self.speech.word(start + 1) == "oh";
        let before = if start > 0 {
            self.speech.word(start - 1)
        } else {
            ""
        };
        let oh = oh
            || self.speech.punctuated && before == "oh"
            || before == "miss"
            || before == "forget";
        oh || self
            .scan
            .cues_within(&range)
            .any(|(k, m)| *k == CueKind::Remember && m.tokens.len() > 1 && self.is_strong_memory(m))
    }

    fn is_strong_memory(&self, m: &Mention) -> bool {
        let words = self.speech.words(&m.tokens);
        [
            "forg", "meant", "said", "say", "mention", "miss", "past", "more", "while", "add",
            "put down",
        ]
        .iter()
        .any(|w| words.contains(w))
    }

    /// "Then, the closet, …": the sentence goes on to the next place.
    fn opened_with_then(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        let start = self.clauses[..=c]
            .iter()
            .rev()
            .take_while(|k| k.sentence == sentence)
            .last()
            .map_or(0, |k| k.tokens.start);
        (start..self.clauses[c].tokens.end.min(start + 3))
            .any(|i| matches!(self.speech.word(i), "then" | "now" | "next" | "and"))
    }

    /// Whether a sentence names no part, no fault and no work: it only leads up to a place.
    fn tells_only_the_place(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        self.clauses[..c]
            .iter()
            .rev()
            .take_while(|k| k.sentence == sentence)
            .all(|k| {
                k.tokens.len() <= 6
                    && !k.question
                    && !self.scan.within(&k.tokens).any(|m| {
                        matches!(
                            m.kind,
                            Kind::Element | Kind::Fault | Kind::Work | Kind::Area
                        )
                    })
                    && !self
                        .scan
                        .cues_within(&k.tokens)
                        .any(|(k, _)| *k == CueKind::Negation)
            })
    }

    /// Whether the clauses before this one in its sentence hold nothing but openers and places.
    fn only_places_before(&self, c: usize) -> bool {
        let sentence = self.clauses[c].sentence;
        let before = || {
            self.clauses[..c]
                .iter()
                .rev()
                .take_while(|k| k.sentence == sentence)
        };
        if before().any(|k| {
            self.out
                .arrivals
                .last()
                .is_some_and(|a| k.tokens.contains(&a.token))
        }) {
            return true;
        }
        before().all(|k| {
            let rest = self.opening(&k.tokens);
            let gone = |i: usize| {
                self.named_from(i).any(|n| n.contains(&i))
                    || grammar::is_determiner(self.speech.word(i))
            };
            (rest..k.tokens.end).all(gone)
        })
    }
}
