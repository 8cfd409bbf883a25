//! The types of the list.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::trade::Trade;

/// The value of `schema` that this version writes.
pub const SCHEMA: &str = "storystick/list/1";

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        pub enum $name {
            $($(#[$vdoc])* #[serde(rename = $word)] $variant,)+
        }

        impl $name {
            /// All values, in the order in which they are listed in documents.
            pub const ALL: &'static [$name] = &[$($name::$variant,)+];

            /// The word that stands in the list.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)+ }
            }

            /// The value of a word as it stands in the list.
            pub fn from_word(word: &str) -> Option<$name> {
                match word { $($word => Some($name::$variant),)+ _ => None }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }
    };
}

words! {
    /// The class of what has to be done.
    Work {
        /// Restoring a finish: paint, stain, scuffs, scratches, nail pops.
        TouchUp = "touch-up",
        /// Caulk, grout, sealant, weatherstrip, waterproofing, foam.
        Seal = "seal",
        /// The thing that is there must be swapped for another.
        Replace = "replace",
        /// Dirt, dust, splashes, stickers, debris.
        Clean = "clean",
        /// The thing is missing or not yet in.
        Install = "install",
        /// Mend what is there.
        Repair = "repair",
        /// It works but is off.
        Adjust = "adjust",
        /// Nobody can say yet: look, test, measure, ask.
        Check = "check",
    }
}

words! {
    /// How an item stands.
    Standing {
        /// Work is needed.
        Outstanding = "outstanding",
        /// Somebody must look, answer or confirm.
        Query = "query",
        /// Corrected since; only a later walk or a person sets it.
        MadeGood = "made-good",
    }
}

words! {
    /// How an item is closed without work.
    Closed {
        /// Taken as it is.
        Accepted = "accepted",
        /// Money is given back for it.
        Credit = "credit",
        /// Not for this job.
        NotOurs = "not-ours",
        /// Another item says the same.
        Duplicate = "duplicate",
    }
}

words! {
    /// Why a thing counts as fine.
    ClearedKind {
        /// Corrected, finished or installed since an earlier visit.
        MadeGood = "made-good",
        /// Looked at and fine.
        Sound = "sound",
    }
}

words! {
    /// What could hurt someone or quickly harm the building.
    Hazard {
        /// Gas.
        Gas = "gas",
        /// Electric shock.
        Electric = "electric",
        /// Fire or its spread.
        Fire = "fire",
        /// A fall.
        Fall = "fall",
        /// A way out that is blocked or unmarked.
        Egress = "egress",
        /// Water getting where it harms.
        Water = "water",
        /// Mould.
        Mould = "mould",
        /// Something that bears load.
        Structure = "structure",
        /// Broken glass.
        Glass = "glass",
        /// Bad air: carbon monoxide, fumes.
        Air = "air",
        /// Something to trip over.
        Trip = "trip",
    }
}

words! {
    /// What somebody promised to do.
    FollowUp {
        /// Ask somebody.
        Ask = "ask",
        /// Tell or send somebody.
        Tell = "tell",
        /// Take or send a picture.
        Photo = "photo",
        /// Come back and look.
        Return = "return",
        /// Do it themselves.
        Do = "do",
    }
}

words! {
    /// A unit of a spoken measure.
    Unit {
        /// Inches.
        In = "in",
        /// Feet.
        Ft = "ft",
        /// Millimetres.
        Mm = "mm",
        /// Centimetres.
        Cm = "cm",
        /// Metres.
        M = "m",
        /// Degrees of angle.
        Deg = "deg",
        /// Degrees Fahrenheit.
        F = "F",
        /// Degrees Celsius.
        C = "C",
        /// Pounds per square inch.
        Psi = "psi",
        /// Per cent.
        Pct = "pct",
    }
}

words! {
    /// What a building, or a part of it, is for.
    Use {
        /// A house or flat.
        Dwelling = "dwelling",
        /// Open to the public.
        Public = "public",
        /// A construction site.
        Site = "site",
    }
}

words! {
    /// How a spoken measure stands to a published limit.
    Verdict {
        /// Inside it.
        Within = "within",
        /// Less than the least.
        Below = "below",
        /// More than the most.
        Above = "above",
    }
}

words! {
    /// How an area stands.
    AreaState {
        /// An item is open there.
        Outstanding = "outstanding",
        /// Found fine, nothing open.
        Clear = "clear",
        /// Passed through; neither was said.
        Unjudged = "unjudged",
    }
}

/// The whole list, for one job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct List {
    /// The format and its version.
    pub schema: String,
    /// The recordings it was read from, in the order given.
    pub walks: Vec<Walk>,
    /// The places, in the order of first arrival.
    pub areas: Vec<Area>,
    /// What somebody must do, in the order first said.
    pub items: Vec<Item>,
    /// What was looked at and is fine, in the order first said.
    #[serde(default)]
    pub cleared: Vec<Cleared>,
    /// What names a fault or a work and became no item, with the reason.
    #[serde(default)]
    pub passed_over: Vec<PassedOver>,
    /// What a firm's own lexicon says of the trades that items are sent to.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub trades: Vec<TradeCard>,
    /// What of a known building was not looked at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub house: Option<HouseCheck>,
}

/// One recording.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Walk {
    /// `w1`, `w2`, … in the order given.
    pub id: String,
    /// The transcript's file name, without its folder.
    pub file: String,
    /// What it was read as: `webvtt`, `subrip`, `ttml`, `json`, `table` or `stamped`.
    pub format: String,
    /// SHA-256 of the file, in hexadecimal.
    pub sha256: String,
    /// When the last word ends, in seconds.
    #[schemars(range(min = 0.0))]
    pub seconds: f64,
    /// How many words were said.
    pub words: usize,
    /// The date of the recording, where known (ISO 8601).
    #[serde(default)]
    pub recorded: Option<String>,
    /// The recording's own file, where known.
    #[serde(default)]
    pub media: Option<String>,
}

/// A place that the speaker went to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Area {
    /// `a1`, `a2`, … in the order of first arrival.
    pub id: String,
    /// From the outermost named place inwards.
    pub path: Vec<String>,
    /// The kind of place by its lexicon entry; null where the lexicon has none.
    #[serde(default)]
    pub kind: Option<String>,
    /// How it stands.
    pub state: AreaState,
    /// When the speaker was there, in order.
    pub visits: Vec<Visit>,
}

/// One stay in an area.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Visit {
    /// The walk's id.
    pub walk: String,
    /// Arrival, in seconds from the start of the recording.
    #[schemars(range(min = 0.0))]
    pub start: f64,
    /// Leaving, in seconds; never before `start`.
    #[schemars(range(min = 0.0))]
    pub end: f64,
}

/// The words of the transcript that carry an item, and when they were said.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Said {
    /// The walk's id.
    pub walk: String,
    /// The first word's start, in seconds.
    #[schemars(range(min = 0.0))]
    pub start: f64,
    /// The last word's end, in seconds; never before `start`.
    #[schemars(range(min = 0.0))]
    pub end: f64,
    /// The transcript's own wording, exact.
    pub text: String,
    /// Not to be passed on to others.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub private: bool,
}

/// A spoken size.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Measure {
    /// The number.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
    /// What was measured (`height`, `width`, `gap`, …); null where the words do not say.
    #[serde(default)]
    pub of: Option<String>,
}

/// A note on an item: a spoken measure held against a published limit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Note {
    /// The note, in whole sentences.
    pub text: String,
    /// How the measure stands to the limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Verdict>,
    /// Where the limit stands, and how far it can be trusted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// The lexicon entry that it comes from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entry: Option<String>,
}

/// What a firm's own lexicon says of a trade that items are sent to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TradeCard {
    /// The trade, as the items have it.
    pub trade: Trade,
    /// How the firm writes it.
    pub name: String,
    /// Whom to turn to, by role.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contact: Option<String>,
    /// What stands on the trade's sheet besides its items.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheet: Option<String>,
}

/// A known building held against the walks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HouseCheck {
    /// The building's name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The paths of known areas that nobody went to.
    pub not_visited: Vec<Vec<String>>,
    /// The parts to be looked at that nobody spoke of in areas that were visited.
    pub not_spoken: Vec<NotSpoken>,
}

/// Parts of one visited area that nobody spoke of.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NotSpoken {
    /// The area's path.
    pub area: Vec<String>,
    /// The parts, as the house file names them.
    pub elements: Vec<String>,
}

/// What somebody must do.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Item {
    /// Short, stable under re-reading the same walk.
    #[serde(default)]
    pub id: String,
    /// Counts up from 1 in the order of first listing; what people say aloud.
    #[serde(default)]
    pub number: u32,
    /// The path of its area.
    pub area: Vec<String>,
    /// The speaker's own words for the spot inside the area.
    #[serde(default, rename = "where")]
    pub spot: Option<String>,
    /// The building part, singular; null where the whole area is meant.
    pub element: Option<String>,
    /// The fault, as the trade names it.
    #[serde(default)]
    pub fault: Option<String>,
    /// The class of work.
    pub work: Work,
    /// Who would be sent.
    pub trade: Trade,
    /// The trade's section of MasterFormat.
    #[serde(default)]
    pub section: Option<String>,
    /// How it stands.
    pub standing: Standing,
    /// How a person closed it without work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub closed: Option<Closed>,
    /// The item as a sentence, in the program's own wording.
    #[serde(default)]
    pub text: String,
    /// How many, where a number was spoken.
    #[serde(default)]
    pub count: Option<u32>,
    /// A spoken size.
    #[serde(default)]
    pub measure: Option<Measure>,
    /// The speaker pressed it.
    #[serde(default)]
    pub urgent: bool,
    /// A spoken deadline, in the speaker's words.
    #[serde(default)]
    pub by: Option<String>,
    /// The spoken deadline as a date (ISO 8601), where the walk's date is known and the words name a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("format" = "date"))]
    pub by_date: Option<String>,
    /// A danger that the state as told holds.
    #[serde(default)]
    pub hazard: Option<Hazard>,
    /// What usually holds for the danger until somebody competent has looked; no instruction for the place at hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// Where the caution was taken from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution_source: Option<String>,
    /// What else is to be known of it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Note>,
    /// What was promised.
    #[serde(default)]
    pub follow_up: Option<FollowUp>,
    /// Who promised it: `speaker`, a speaker's label, or a role.
    #[serde(default)]
    pub promised_by: Option<String>,
    /// From 0 to 1: of items given 0.8, about 80 in 100 should be right.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub confidence: f64,
    /// The words that carry it, in the order said.
    pub said: Vec<Said>,
    /// What decided each field: lexicon entries and rules by their ids.
    #[serde(default)]
    pub why: Vec<String>,
    /// What is known of it that spoke for or against it; not written.
    #[serde(skip)]
    pub features: Vec<&'static str>,
    /// The folded words in which its details were told; not written.
    #[serde(skip)]
    pub words: String,
}

/// What was looked at and is fine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Cleared {
    /// Short, stable under re-reading the same walk.
    #[serde(default)]
    pub id: String,
    /// The path of its area.
    pub area: Vec<String>,
    /// The building part; null where the area as a whole is meant.
    pub element: Option<String>,
    /// Corrected since, or simply fine.
    pub kind: ClearedKind,
    /// From 0 to 1, as for items.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub confidence: f64,
    /// The words that carry it.
    pub said: Vec<Said>,
    /// What decided each field.
    #[serde(default)]
    pub why: Vec<String>,
}

/// A stretch that names a fault or a work and became no item.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PassedOver {
    /// The words.
    pub said: Said,
    /// Why, in words.
    pub reason: String,
}
