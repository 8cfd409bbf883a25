//! The model of the building that grows as the speaker walks: which places there are, how they nest, how they are called.

mod names;

use std::collections::BTreeSet;
use std::ops::Range;

use crate::lexicon::Lexicon;

use super::grammar;
use super::normalize::{Speech, Stop};
use super::scan::Mention;
use names::{COUNTED, Key, Names};

/// A place's name as spoken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// The words of the name itself, number included.
    pub tokens: Range<usize>,
    /// The kind of place, where the lexicon knows one.
    pub kind: Option<u16>,
    /// The name, where the lexicon knows no kind or the speaker told more ("Oscar's room").
    pub own: Option<String>,
    /// The number or code that was spoken with it.
    pub number: Option<String>,
    /// Another one of its kind is meant: "another", "the next", "the last".
    pub another: bool,
    /// A number alone ("601").
    pub number_only: bool,
    /// The kind's name as spoken, capitalized.
    pub spoken: String,
    /// The speaker goes back to it.
    pub again: bool,
    /// It lies beside where the speaker is, not in there: "next door's the pantry".
    pub apart: bool,
    /// It opens off where the speaker is: "bathroom off it".
    pub within: bool,
}

impl Named {
    /// A kind of place named by these words.
    pub fn plain(tokens: Range<usize>, kind: Option<u16>) -> Named {
        Named {
            tokens,
            kind,
            own: None,
            number: None,
            another: false,
            number_only: false,
            spoken: String::new(),
            again: false,
            apart: false,
            within: false,
        }
    }
}

/// Words that tell one room from another without a name.
const TELLING: &[&str] = &[
    "guest",
    "kids",
    "kid",
    "boys",
    "girls",
    "children",
    "childrens",
    "nanny",
    "teen",
    "blue",
    "green",
    "red",
    "yellow",
    "pink",
    "grey",
    "gray",
    "white",
    "purple",
    "orange",
    "hall",
    "family",
    "spare",
    "front",
    "back",
    "rear",
    "middle",
    "corner",
    "small",
    "big",
    "little",
    "upstairs",
    "downstairs",
    "basement",
    "pool",
    "staff",
    "public",
    "ladies",
    "gents",
    "men",
    "mens",
    "women",
    "womens",
    "north",
    "south",
    "east",
    "west",
    "main",
    "side",
];

/// Whether a word tells one room from another.
pub fn tells(word: &str) -> bool {
    TELLING.contains(&word)
}

/// Heads that make a place's name with any noun before them: "sewing room".
const HEADS: &[&str] = &[
    "room", "rooms", "shop", "store", "yard", "chamber", "void", "booth", "flat", "shed", "barn",
    "gallery", "tower", "cupboard", "bay",
];

/// The text with its first letter made a capital.
pub fn capital(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or(String::new(), |f| {
        f.to_uppercase().collect::<String>() + c.as_str()
    })
}

/// A number or code spoken at a place: "204", "two oh four", "eighty-two", "b", with how many words it takes.
pub fn spoken_number(speech: &Speech<'_>, at: usize, end: usize) -> Option<(String, usize)> {
    let word = |i: usize| if i < end { speech.word(i) } else { "" };
    let joined = |i: usize| {
        i == at
            || i <= end
                && speech
                    .tokens
                    .get(i - 1)
                    .is_some_and(|t| t.stop == Stop::None)
    };
    let first = word(at);
    if first.bytes().next().is_some_and(|b| b.is_ascii_digit())
        && first.len() <= 5
        && first.chars().all(|c| c.is_ascii_alphanumeric())
    {
        let letter = word(at + 1);
        if letter.len() == 1
            && joined(at + 1)
            && letter.bytes().all(|b| b.is_ascii_lowercase())
            && !matches!(letter, "a" | "i" | "s")
        {
            return Some((format!("{first}{}", letter.to_uppercase()), 2));
        }
        return Some((first.to_uppercase(), 1));
    }
    let digit = |w: &str| match w {
        "oh" | "o" | "zero" => Some(0),
        _ => grammar::number(w).filter(|n| *n < 100),
    };
    let n = digit(first).filter(|_| first != "oh" && first != "o" && first != "zero")?;
    let mut text = n.to_string();
    let mut used = 1;
    while used < 4 && joined(at + used) {
        let w = word(at + used);
        let Some(d) = digit(w) else { break };
        let tens = text.parse::<u32>().unwrap_or(0);
        if used == 1 && tens >= 20 && tens.is_multiple_of(10) && (1..10).contains(&d) {
            text = (tens + d).to_string();
        } else {
            if text.len() >= 2
                && tens >= 20
                && tens.is_multiple_of(10)
                && text.len() > 2
                && (1..10).contains(&d)
                && text.ends_with('0')
            {
                text.pop();
            }
            text.push_str(&d.to_string());
        }
        used += 1;
    }
    Some((text, used))
}

/// "Room A.", "room A here": the letter is a name, no article.
fn names_alone(speech: &Speech<'_>, at: usize, end: usize) -> bool {
    speech.tokens[at].stop > Stop::None
        || at + 1 >= end
        || matches!(
            speech.word(at + 1),
            "here" | "is" | "'s" | "now" | "next" | "first"
        )
}

impl Named {
    /// The place that a mention of the lexicon names, with the words around that tell which one.
    pub fn of(
        m: &Mention,
        speech: &Speech<'_>,
        lexicon: &Lexicon,
        within: &Range<usize>,
        public: bool,
    ) -> Named {
        let kind = lexicon.area(m.entry);
        let mut tokens = m.tokens.clone();
        let mut named = Named::plain(tokens.clone(), Some(m.entry));
        named.spoken = capital(&speech.reading.text[speech.said(&m.tokens)].to_lowercase());
        let open = speech.tokens[tokens.end - 1].stop == Stop::None;
        let mut at = tokens.end;
        if open && matches!(speech.word(at), "number" | "no") {
            at += 1;
        }
        if (kind.numbered || kind.unit || kind.level)
            && open
            && let Some((n, used)) = spoken_number(speech, at, within.end)
        {
            named.number = Some(n);
            tokens.end = at + used;
        } else if (kind.numbered || kind.unit)
            && open
            && speech.word(at).len() == 1
            && speech.word(at) != "i"
            && (speech.word(at) != "a" || names_alone(speech, at, within.end))
            && speech.word(at).bytes().all(|b| b.is_ascii_lowercase())
            && at < within.end
        {
            named.number = Some(speech.word(at).to_uppercase());
            tokens.end = at + 1;
        }
        let head = tokens.start;
        let before = |k: usize| {
            if head >= within.start + k {
                speech.word(head - k)
            } else {
                ""
            }
        };
        if kind.numbered && named.number.is_none() {
            if let Some(n) = grammar::ordinal(before(1)) {
                named.number = Some(n.to_string());
                tokens.start -= 1;
            } else if matches!(before(1), "last" | "next" | "another" | "other" | "final") {
                named.another = true;
                tokens.start -= 1;
            }
        }
        // "corner office", "staff bathroom": which of them is told by the form itself.
        if m.tokens.len() > 1
            && kind.numbered
            && !matches!(kind.name.as_str(), "Corridor" | "Hall")
            && named.number.is_none()
            && matches!(
                speech.word(m.tokens.start),
                "corner"
                    | "back"
                    | "front"
                    | "guest"
                    | "staff"
                    | "north"
                    | "south"
                    | "east"
                    | "west"
                    | "private"
            )
        {
            named.own = Some(named.spoken.clone());
        }
        if named.own.is_none()
            && named.number.is_none()
            && !named.another
            && !kind.level
            && !kind.unit
            && tokens.start > within.start
        {
            let noun = speech.words(&m.tokens).to_string();
            if before(1) == "'s" && !grammar::is_function(before(2)) && !before(2).is_empty() {
                named.own = Some(capital(&format!("{}'s {noun}", before(2))));
                tokens.start -= 2;
            } else if TELLING.contains(&before(1))
                && !(matches!(kind.name.as_str(), "Corridor" | "Hall")
                    && matches!(
                        before(1),
                        "back" | "front" | "main" | "small" | "little" | "big"
                    ))
                && (kind.numbered
                    || !kind.outdoor
                        && !kind.child
                        && matches!(
                            before(1),
                            "corner" | "north" | "south" | "east" | "west" | "guest" | "staff"
                        ))
                && !((kind.name.contains("athroom") || kind.name.contains("edroom"))
                    && matches!(before(1), "big" | "small" | "little" | "white" | "main"))
            {
                named.own = Some(capital(&format!(
                    "{} {}",
                    before(1),
                    kind.name.to_lowercase()
                )));
                tokens.start -= 1;
            }
        }
        // "the internet closet", "the isolation yard": what it is for is its name.
        if matches!(
            speech.word(m.tokens.start),
            "closet"
                | "bathroom"
                | "yard"
                | "garden"
                | "store"
                | "shed"
                | "cupboard"
                | "lounge"
                | "lab"
                | "studio"
                | "ward"
                | "office"
                | "kitchen"
                | "bar"
                | "lobby"
                | "bay"
                | "court"
                | "hall"
                | "deck"
                | "terrace"
                | "loft"
        ) && (public || !matches!(kind.name.as_str(), "Kitchen" | "Hall" | "Deck" | "Bathroom"))
            && m.tokens.len() == 1
            && named.own.is_none()
            && named.number.is_none()
            && tokens.start == m.tokens.start
            && m.tokens.start > within.start
        {
            let what = before(1);
            let alone = before(2).is_empty()
                && m.tokens.end == within.end
                && speech.tokens[m.tokens.start - 1].stop == Stop::None;
            let article = alone || matches!(before(2), "the" | "this" | "your" | "our" | "their");
            let plain = what.len() > 1
                && !grammar::is_function(what)
                && (!grammar::is_describing(what)
                    || matches!(what, "wood" | "wooden" | "metal" | "plastic" | "glass")
                        && speech.word(m.tokens.start) == "shed")
                && grammar::ordinal(what).is_none()
                && !TELLING.contains(&what)
                && what.bytes().all(|b| b.is_ascii_lowercase());
            if article && plain {
                named.own = Some(capital(&format!("{what} {}", speech.word(m.tokens.start))));
                if !kind.outdoor {
                    named.kind = None;
                }
                tokens.start -= 1;
            }
        }
        named.tokens = tokens;
        named
    }

    /// A place that the lexicon does not know: "sewing room", "Gran's room", "601".
    pub fn open(
        i: usize,
        speech: &Speech<'_>,
        within: &Range<usize>,
        lexicon: &Lexicon,
    ) -> Option<Named> {
        let word = speech.word(i);
        let none = Named::plain(i..i + 1, None);
        if HEADS.contains(&word) && i > within.start {
            let before = speech.word(i - 1);
            let joined = speech.tokens[i - 1].stop == Stop::None;
            if before == "'s" && i >= within.start + 2 && !grammar::is_function(speech.word(i - 2))
            {
                let own = capital(&format!("{}'s {word}", speech.word(i - 2)));
                return Some(Named {
                    tokens: i - 2..i + 1,
                    own: Some(own),
                    ..none
                });
            }
            let telling = TELLING.contains(&before) && before != "whole";
            if joined
                && (telling
                    || !grammar::is_function(before)
                        && !grammar::is_describing(before)
                        && before.len() > 2
                        && before.bytes().all(|b| b.is_ascii_lowercase())
                        && !matches!(
                            before,
                            "entire"
                                | "enough"
                                | "whole"
                                | "rest"
                                | "hotel"
                                | "head"
                                | "empty"
                                | "same"
                                | "best"
                                | "worst"
                                | "nicest"
                                | "biggest"
                                | "smallest"
                                | "good"
                                | "each"
                                | "every"
                                | "nice"
                                | "great"
                        ))
            {
                // "Exercise yard": out of doors, whatever it is for.
                let outdoor = matches!(word, "yard" | "shed" | "barn");
                return Some(Named {
                    tokens: i - 1..i + 1,
                    own: Some(capital(&format!("{before} {word}"))),
                    kind: lexicon.area_by_id("outdoor-place").filter(|_| outdoor),
                    ..none
                });
            }
        }
        // A three- or four-figure number at the head of a sentence is a room's.
        if word.len() >= 3 && word.len() <= 4 && word.bytes().all(|b| b.is_ascii_digit()) {
            return Some(Named {
                number: Some(word.to_string()),
                number_only: true,
                ..none
            });
        }
        None
    }

    /// The name with its article and describing words.
    pub fn whole(&self, speech: &Speech<'_>) -> Range<usize> {
        let mut start = self.tokens.start;
        while start > 0
            && speech.tokens[start - 1].stop == Stop::None
            && (grammar::is_determiner(speech.word(start - 1)) && speech.word(start - 1) != "'s"
                || grammar::is_describing(speech.word(start - 1)))
        {
            start -= 1;
        }
        start..self.tokens.end
    }

    /// A number that can only be a room's.
    pub fn is_code(&self) -> bool {
        self.number.as_ref().is_some_and(|n| n.len() >= 3)
    }
}

/// One place of the building.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// From the outermost named place inwards.
    pub path: Vec<String>,
    /// The kind of place, where the lexicon knows one.
    pub kind: Option<u16>,
    /// The place it was entered from and belongs to.
    pub parent: Option<usize>,
    /// The storey and the unit it lies in.
    within: (Option<String>, Option<String>),
}

/// The building as far as it is known, and where the speaker is in it.
#[derive(Debug, Default)]
pub struct House {
    /// The places, in the order in which they were first named.
    pub places: Vec<Place>,
    names: Names,
    kinds: BTreeSet<u16>,
    current: Option<usize>,
    level: Option<String>,
    outside: bool,
    unit: Option<String>,
    /// A building whose rooms are numbered like a hotel's.
    unit_word: Option<String>,
    /// A building for staff and public, not a dwelling.
    pub public: bool,
    /// The flight just climbed, until a storey is named.
    storey: i32,
    /// An en suite is spoken of, so that a main bathroom is the family's.
    pub ensuite: bool,
    /// The unit is a small house or a deck of its own beside the main one, left by any way out.
    annexe: bool,
}

/// Kinds of places that hold rooms of their own: "the guest house … the little kitchen in the corner".
const ANNEXES: [&str; 4] = ["guest-house", "in-law-suite", "pool-house", "mezzanine"];

impl House {
    /// Whether the speaker is in a flat, a suite, a numbered room.
    pub fn in_unit(&self) -> bool {
        self.unit.is_some()
    }

    /// The kind of the unit that the speaker is in, and its small number: "Room 4".
    pub fn unit_number(&self, lexicon: &Lexicon) -> Option<(u16, u32)> {
        let (_, number) = self.unit.as_ref()?.rsplit_once(' ')?;
        let kind = self.places[self.unit_place()?].kind?;
        let number = number.parse().ok().filter(|n| *n < 100)?;
        lexicon.area(kind).unit.then_some((kind, number))
    }

    /// How the unit that the speaker is in is called, its number left out.
    pub fn unit_called(&self) -> Option<String> {
        Some(self.unit.as_ref()?.rsplit_once(' ')?.0.to_string())
    }

    /// Whether rooms are known by their numbers.
    pub fn numbers_rooms(&self) -> bool {
        self.unit_word.is_some() || self.has_named("Room ")
    }

    /// Whether a room with a number of as many figures is known.
    pub fn knows_number_like(&self, number: &str) -> bool {
        self.names.any_figures(number.len())
    }

    /// Whether the place is out of doors.
    pub fn outdoors(&self, place: usize) -> bool {
        self.places[place].path.iter().any(|p| p == "Exterior")
    }

    /// Whether a place is only a broad word for what will be named next.
    pub fn is_broad(&self, place: usize) -> bool {
        matches!(
            self.places[place].path.last().map(String::as_str),
            Some("Exterior" | "Back yard" | "Front yard" | "Side yard")
        )
    }

    /// Whether a place is a storey and nothing more.
    pub fn is_storey(&self, place: usize) -> bool {
        let path = &self.places[place].path;
        path.len() == 1 && self.level.as_ref() == path.first() && path[0] != "Basement"
    }

    /// Whether a place is a storey by itself, and no place to be.
    pub fn is_level_only(&self, place: usize) -> bool {
        let path = &self.places[place].path;
        path.len() == 1
            && self.places[place].parent.is_none()
            && path[0] != "Basement"
            && path[0] != "Exterior"
            && (path[0].ends_with("stairs")
                || path[0].ends_with(" floor")
                || path[0].ends_with(" level")
                || path[0].starts_with("Level "))
            && path[0] != "Sales floor"
    }

    /// Whether a place whose name begins so was met.
    pub fn has_named(&self, name: &str) -> bool {
        self.names.any_begins(name)
    }

    /// Whether the speaker is out of doors.
    pub fn is_outside(&self) -> bool {
        self.outside
    }

    /// The speaker goes up (1) or down (-1) a flight.
    pub fn climb(&mut self, by: i32) {
        self.outside = false;
        self.leave_annexe();
        self.storey += by;
        self.level = match (self.storey, by) {
            (0, _) if self.level.as_deref() == Some("Basement") => None,
            (_, 1) => Some("Upstairs".to_string()),
            _ => Some("Downstairs".to_string()),
        };
    }

    fn leave_annexe(&mut self) {
        if std::mem::take(&mut self.annexe) {
            self.unit = None;
        }
    }

    /// The speaker goes indoors; true if they were outside.
    pub fn indoors(&mut self) -> bool {
        std::mem::replace(&mut self.outside, false)
    }

    /// Just indoors, until a place is named: the entry.
    pub fn inside(&mut self, entry: Option<u16>) -> Option<usize> {
        let house = self.unit.as_ref().is_none_or(|u| {
            ["Plot ", "Lot ", "House ", "Townhouse "]
                .iter()
                .any(|w| u.starts_with(w))
        });
        (house && self.level.is_none())
            .then(|| self.place(vec!["Entry".to_string()], entry, None, false))
    }

    /// The speaker comes out of a closet or a room's bath into the room.
    pub fn leave(&mut self) -> Option<usize> {
        let parent = self.places[self.current?].parent?;
        // Out of a flat's room one is in no room in particular; out of a hotel room's bath one is in the room.
        if self.is_unit(parent) && !self.unit.as_ref().is_some_and(|u| u.starts_with("Room")) {
            return None;
        }
        self.current = Some(parent);
        Some(parent)
    }

    /// The speaker is back in a place where they were before.
    pub fn return_to(&mut self, place: usize) -> usize {
        self.outside = self.outdoors(place);
        (self.level, self.unit) = self.places[place].within.clone();
        self.annexe &= self.unit.is_some();
        self.storey = match self.level.as_deref() {
            Some("Basement" | "Downstairs" | "Lower level") => -1,
            Some("Upstairs" | "Upper level" | "Top floor" | "First floor" | "Second floor") => 1,
            _ => 0,
        };
        self.current = Some(place);
        place
    }

    /// Whether somebody's own room was met.
    pub fn has_owned_room(&self) -> bool {
        self.places
            .iter()
            .any(|p| p.path.last().is_some_and(|l| l.ends_with("'s room")))
    }

    /// Whether the place named is where the speaker is.
    pub fn current_is(&self, named: &Named, lexicon: &Lexicon) -> bool {
        self.current.is_some() && self.find(named, lexicon) == self.current
    }

    /// Whether the place named has been spoken of before.
    pub fn known(&self, named: &Named, lexicon: &Lexicon) -> bool {
        // The kitchen of the next flat is another one.
        let found = self.find(named, lexicon);
        found.is_some_and(|i| self.unit.is_none() || self.places[i].within.1 == self.unit)
    }

    /// The last part of the path for a name, numbered where its kind is and it has no name of its own.
    fn label(&self, named: &Named, lexicon: &Lexicon) -> String {
        if let Some(own) = &named.own {
            return own.clone();
        }
        let Some(kind) = named.kind else {
            return match &named.number {
                Some(n) => format!("{} {n}", self.unit_word.as_deref().unwrap_or("Room")),
                None => String::new(),
            };
        };
        let kind = lexicon.area(kind);
        if kind.id == "main-bathroom" && self.ensuite {
            return "Bathroom".to_string();
        }
        let staffed = |k: &u16| lexicon.area(*k).public && !lexicon.area(*k).part;
        let public = self.public || !self.names.homely && self.kinds.iter().any(staffed);
        if public && self.unit.is_none() && matches!(kind.name.as_str(), "Powder room" | "Toilet") {
            return "Restroom".to_string();
        }
        let head = |n: &str| n.rsplit(' ').next().unwrap_or("").to_lowercase();
        let spoken = named.spoken.to_lowercase();
        let known = kind.name.to_lowercase();
        // "electric room", "docks": the same word but for its ending.
        let same = |a: &str, b: &str| {
            a == b || a.len() > 3 && b.len() > 3 && (a.starts_with(b) || b.starts_with(a))
        };
        let shares = spoken
            .split(' ')
            .any(|w| !matches!(w, "room" | "area") && known.split(' ').any(|k| same(k, w)));
        if (kind.public || kind.common)
            && named.number.is_none()
            && (spoken.contains(' ') || kind.name.contains(' '))
            && (!same(&head(&named.spoken), &head(&kind.name)) || !shares)
            && !spoken.is_empty()
            && !kind.name.ends_with("restroom")
            && !matches!(
                kind.name.as_str(),
                "Restroom"
                    | "Corridor"
                    | "Lobby"
                    | "Stairwell"
                    | "Conference room"
                    | "Storage"
                    | "Reception"
                    | "Sales floor"
                    | "Dining area"
            )
        {
            return named.spoken.clone();
        }
        if kind.own && named.number.is_none() && !named.spoken.is_empty() {
            return named.spoken.clone();
        }
        match &named.number {
            Some(n) if kind.level => format!("Level {n}"),
            // As the site calls its houses: a lot, a plot, a cabin.
            Some(n) if kind.own && kind.unit && !named.spoken.is_empty() => {
                format!("{} {n}", named.spoken)
            }
            Some(n) if kind.public && !shares && spoken.len() > 3 && !kind.unit => {
                format!("{} {n}", capital(&super::mentions::singular(&spoken)))
            }
            Some(n) => format!("{} {n}", kind.name),
            None => kind.name.clone(),
        }
    }

    /// A place already known by this name: where the speaker is first, then the last one named.
    fn find(&self, named: &Named, lexicon: &Lexicon) -> Option<usize> {
        let label = self.label(named, lexicon);
        let numbered = named.kind.is_some_and(|k| lexicon.area(k).numbered)
            && named.number.is_none()
            && named.own.is_none();
        let spoken = named.spoken.to_lowercase();
        let spoken_alone = !spoken.is_empty()
            && !spoken.contains(' ')
            && named.number.is_none()
            && named.kind.is_some_and(|k| {
                let k = lexicon.area(k);
                (!k.numbered || k.part) && !k.child
            });
        if named.another {
            return None;
        }
        let mut keys = Vec::new();
        if spoken_alone {
            keys.push(Key::Tail(spoken));
        }
        if numbered {
            keys.push(Key::Before(label.clone()));
        }
        keys.push(Key::Whole(label));
        if self.current.is_some_and(|c| {
            self.places[c]
                .path
                .last()
                .is_some_and(|name| names::known_as(name, &keys))
        }) {
            return self.current;
        }
        self.names.under(&keys, self.current)
    }

    /// The place that something remembered belongs to; the speaker stays where they are.
    pub fn recall(&mut self, named: &Named, lexicon: &Lexicon) -> usize {
        match self.find(named, lexicon) {
            Some(i) => i,
            None => self.staying(|house| house.enter(named, lexicon)),
        }
    }

    /// The place in another unit that something remembered belongs to; the speaker stays where they are.
    pub fn recall_within(&mut self, unit: &Named, named: &Named, lexicon: &Lexicon) -> usize {
        self.staying(|house| {
            house.enter(unit, lexicon);
            house.enter(named, lexicon)
        })
    }

    /// Does what makes places known, and leaves the speaker where they are.
    fn staying(&mut self, does: impl FnOnce(&mut House) -> usize) -> usize {
        let held = (
            self.current,
            self.level.clone(),
            self.outside,
            self.unit.clone(),
            self.storey,
            self.annexe,
        );
        let place = does(self);
        (
            self.current,
            self.level,
            self.outside,
            self.unit,
            self.storey,
            self.annexe,
        ) = held;
        place
    }

    /// The speaker arrives at a place.
    pub fn enter(&mut self, named: &Named, lexicon: &Lexicon) -> usize {
        let kind = named.kind.map(|k| lexicon.area(k));
        let mut label = self.label(named, lexicon);
        if kind.is_some_and(|k| k.outdoor || k.level || k.unit) {
            self.leave_annexe();
        }
        if let Some(k) = kind
            && k.level
        {
            if k.name == "Basement" {
                self.unit = None;
            }
            return self.enter_level(label, k.outdoor, named.kind);
        }
        // "flat five … room one": a room by a small number lies in the flat that one is in.
        if kind.is_some_and(|k| k.id == "room")
            && self.unit.as_ref().is_some_and(|u| !u.starts_with("Room"))
            && named
                .number
                .as_ref()
                .is_some_and(|n| n.len() == 1 || n.parse::<u32>().is_ok_and(|n| n <= 20))
        {
            self.outside = false;
            let unit = self.unit_place();
            return self.place(vec![label], named.kind, unit, false);
        }
        if named.number_only || kind.is_some_and(|k| k.unit) {
            if let Some(k) = kind {
                self.unit_word = Some(k.name.clone());
            }
            self.outside = false;
            // Each house of a row has storeys of its own.
            let house = kind.is_some_and(|k| {
                matches!(
                    k.id.as_str(),
                    "plot" | "cabin" | "house-number" | "townhouse" | "number"
                )
            });
            if house && self.unit.as_ref() != Some(&label) {
                (self.level, self.storey) = (None, 0);
            }
            self.unit = Some(label.clone());
            return self.place(vec![label], named.kind, None, false);
        }
        if kind.is_some_and(|k| !k.numbered)
            && let Some(i) = self.find(named, lexicon)
            && self.places[i]
                .path
                .last()
                .is_some_and(|l| *l != label && l.contains(' '))
        {
            label = self.places[i].path.last().cloned().unwrap_or_default();
        }
        if kind.is_some_and(|k| ANNEXES.contains(&k.id.as_str())) && named.number.is_none() {
            self.outside = false;
            self.unit = Some(label.clone());
            self.annexe = true;
            (self.level, self.storey) = (None, 0);
            return self.place(vec![label], named.kind, None, false);
        }
        let outdoor = kind.is_some_and(|k| k.outdoor);
        let common = kind.is_some_and(|k| k.common);
        // "I'm back up in the corridor": the one left before, on its own storey.
        if named.again
            && !outdoor
            && !kind.is_some_and(|k| k.child || COUNTED.contains(&k.name.as_str()))
            && let Some(i) = self.find(named, lexicon)
            && (self.places[i].within.1.is_none() || self.places[i].within.1 == self.unit)
        {
            return self.return_to(i);
        }
        self.outside = outdoor;
        // A suite holds its own corridor and break room; of a hotel room or a classroom only the nearest rooms are part.
        let room = self.unit.as_ref().is_some_and(|u| u.starts_with("Room"));
        let near = kind.is_some_and(|k| {
            k.child
                || matches!(
                    k.name.as_str(),
                    "Bathroom"
                        | "Bedroom"
                        | "Primary bathroom"
                        | "Primary bedroom"
                        | "Closet"
                        | "Toilet"
                        | "Powder room"
                        | "Living room"
                        | "Sitting area"
                        | "Kitchen"
                        | "Balcony"
                        | "Entry"
                        | "Hall"
                        | "Deck"
                        | "Dining area"
                        | "Office"
                )
        });
        let suite = self.unit.as_ref().is_some_and(|u| u.starts_with("Suite"));
        // "Flat five. I'm in the corridor.": its own, where nothing of it was seen yet.
        let just_in = self.current.is_some_and(|c| self.is_unit(c));
        if common && !suite && !just_in || room && !near {
            self.unit = None;
        }
        if let Some(k) = kind {
            let by_primary = self.current_named("Primary bedroom")
                || self
                    .current
                    .and_then(|c| self.places[c].parent)
                    .is_some_and(|p| {
                        self.places[p]
                            .path
                            .last()
                            .is_some_and(|l| l == "Primary bedroom")
                    });
            if by_primary
                && matches!(k.name.as_str(), "Bathroom" | "Full bathroom")
                && named.own.is_none()
                && named.number.is_none()
            {
                label = "Primary bathroom".to_string();
            }
            // "back in the bedroom": out of its bath or closet, or the one left last.
            if named.again && k.name == "Bedroom" && named.number.is_none() && named.own.is_none() {
                let mut at = self.current;
                while let Some(p) = at {
                    if self.places[p]
                        .path
                        .last()
                        .is_some_and(|l| l.ends_with("edroom") || l.contains("edroom "))
                    {
                        break;
                    }
                    at = self.places[p].parent;
                }
                if let Some(p) = at.or(self.names.bedroom) {
                    self.current = Some(p);
                    return p;
                }
            }
            let many = COUNTED.contains(&k.name.as_str());
            if let Some(i) = self.find(named, lexicon).filter(|i| {
                (named.again || !many)
                    && self.places[*i]
                        .path
                        .last()
                        .is_some_and(|l| l.starts_with(&label))
                    && k.numbered
                    && named.number.is_none()
            }) {
                label = self.places[i].path.last().cloned().unwrap_or_default();
            } else if many && named.number.is_none() && named.own.is_none() && label == k.name {
                label = self.numbered(&k.name, named.another);
            }
        }
        // The bath of a numbered bedroom is that bedroom's.
        let own_bath = kind.is_some_and(|k| k.id == "ensuite")
            && self.current.is_some_and(|c| {
                self.places[c].path.last().is_some_and(|l| {
                    l.starts_with("Bedroom ")
                        || l.starts_with("Room ")
                        || l.ends_with(" bedroom") && l != "Primary bedroom"
                        || l.ends_with("'s room")
                })
            });
        if own_bath {
            label = "Bathroom".to_string();
        }
        // A pantry is a kitchen's, or a room by itself.
        let larder = kind.is_some_and(|k| k.id == "pantry" || k.id == "butlers-pantry")
            && !self.current.is_some_and(|c| {
                self.places[c].path.last().is_some_and(|l| {
                    ["itchen", "Dining", "nook", "Pantry", "pantry"]
                        .iter()
                        .any(|w| l.contains(w))
                })
            });
        let child =
            own_bath || named.within || !named.apart && !larder && kind.is_some_and(|k| k.child);
        let parent = if child {
            self.current
                .map(|c| {
                    if self.places[c].kind.is_some_and(|k| lexicon.area(k).child) {
                        self.places[c].parent.unwrap_or(c)
                    } else {
                        c
                    }
                })
                .filter(|c| !self.outdoors(*c) && !self.is_unit(*c))
                // The closet of a hotel room is not its bathroom's.
                .filter(|c| {
                    !(room
                        && self.places[*c]
                            .path
                            .last()
                            .is_some_and(|l| l.ends_with("athroom")))
                })
        } else {
            None
        };
        let mut tail = Vec::new();
        if let Some(p) = parent {
            tail.push(self.places[p].path.last().cloned().unwrap_or_default());
        }
        tail.push(label);
        let in_unit = self.unit_place().filter(|_| parent.is_none());
        self.place(tail, named.kind, parent.or(in_unit), outdoor)
    }

    fn enter_level(&mut self, label: String, outdoor: bool, kind: Option<u16>) -> usize {
        if outdoor {
            self.outside = true;
            if self.unit.is_none() {
                self.storey = 0;
            }
            return self.place(Vec::new(), kind, None, true);
        }
        self.outside = false;
        self.storey = match label.as_str() {
            "Basement" | "Downstairs" | "Lower level" => -1,
            "Upstairs" | "Upper level" | "Top floor" | "First floor" | "Second floor" => 1,
            _ => 0,
        };
        // The rooms of a hotel lie on one storey each.
        if self.unit.as_ref().is_some_and(|u| u.starts_with("Room ")) {
            self.unit = None;
        }
        self.level = Some(label);
        self.place(Vec::new(), kind, None, false)
    }

    fn current_named(&self, name: &str) -> bool {
        self.current
            .is_some_and(|c| self.places[c].path.last().is_some_and(|p| p == name))
    }

    fn is_unit(&self, place: usize) -> bool {
        self.unit.is_some() && self.places[place].path.last() == self.unit.as_ref()
    }

    fn unit_place(&self) -> Option<usize> {
        self.names.with_name(self.unit.as_ref()?)
    }

    /// "Bedroom" becomes the next bedroom without a name; in a hotel room there is only the one.
    fn numbered(&mut self, name: &str, another: bool) -> String {
        if self.unit.as_ref().is_some_and(|u| u.starts_with("Room")) {
            return name.to_string();
        }
        // Each unit counts its own.
        let any = self.names.count(self.unit.as_ref(), name);
        if name != "Bedroom" && any == 0 && !another {
            return name.to_string();
        }
        let first = if another && any > 0 { any + 1 } else { 1 };
        let n = self.names.free(self.unit.as_ref(), name, first);
        if name != "Bedroom" && n == 1 {
            format!("{name} {}", any + 1)
        } else {
            format!("{name} {n}")
        }
    }

    /// A lot or a house is told only where there are several of them: the walk's one house is no place in it.
    pub fn drop_only_house(&mut self) {
        let whole = |l: &str| {
            ["Plot ", "Lot ", "House ", "Townhouse "]
                .iter()
                .any(|w| l.starts_with(w))
        };
        let mut names: Vec<&String> = self
            .places
            .iter()
            .filter_map(|p| p.path.first())
            .filter(|l| whole(l))
            .collect();
        names.sort();
        names.dedup();
        if names.len() != 1 {
            return;
        }
        for p in &mut self.places {
            if p.path.len() > 1 && whole(&p.path[0]) {
                p.path.remove(0);
            }
        }
    }

    /// The place with this path under the present unit and level; made if it is new.
    fn place(
        &mut self,
        tail: Vec<String>,
        kind: Option<u16>,
        parent: Option<usize>,
        outdoor: bool,
    ) -> usize {
        let mut path = Vec::new();
        let unit_itself = tail.last() == self.unit.as_ref() && self.unit.is_some();
        let level_first = self.level.as_ref().is_some_and(|l| l.starts_with("Level"));
        if level_first && let Some(l) = &self.level {
            path.push(l.clone());
        }
        if let Some(u) = &self.unit
            && !unit_itself
        {
            path.push(u.clone());
        }
        if outdoor || self.outside {
            path.push("Exterior".to_string());
        } else if !level_first && let Some(l) = &self.level {
            path.push(l.clone());
        }
        path.extend(tail);
        if path.is_empty() {
            path.push("Exterior".to_string());
        }
        path.dedup();
        let place = self.names.with_path(&path).unwrap_or_else(|| {
            let within = (self.level.clone(), self.unit.clone());
            let new = Place {
                path,
                kind,
                parent,
                within,
            };
            self.names.add(self.places.len(), &new);
            self.kinds.extend(kind);
            self.places.push(new);
            self.places.len() - 1
        });
        self.current = Some(place);
        place
    }
}
