//! The types of the list.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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
    /// Who would be sent.
    Trade {
        /// Painting and coating.
        Painter = "painter",
        /// Plaster and gypsum board.
        Drywall = "drywall",
        /// Doors, trim, stairs, bath accessories.
        FinishCarpenter = "finish-carpenter",
        /// Casework.
        Cabinets = "cabinets",
        /// Countertops.
        Countertops = "countertops",
        /// Carpet, wood, vinyl.
        Flooring = "flooring",
        /// Tiling.
        Tile = "tile",
        /// Plumbing.
        Plumber = "plumber",
        /// Electrical.
        Electrician = "electrician",
        /// Heating, ventilating, air conditioning.
        Hvac = "hvac",
        /// Communications.
        LowVoltage = "low-voltage",
        /// Residential equipment.
        Appliances = "appliances",
        /// Windows, glass, blinds.
        Windows = "windows",
        /// Cleaning and waste.
        Cleaner = "cleaner",
        /// Roofs and gutters.
        Roofing = "roofing",
        /// Siding, soffit, fascia.
        Siding = "siding",
        /// Brick and stone.
        Masonry = "masonry",
        /// Driveways, walks, slabs.
        Concrete = "concrete",
        /// Grading, drainage, planting.
        Landscape = "landscape",
        /// Fences and gates.
        Fencing = "fencing",
        /// Insulation.
        Insulation = "insulation",
        /// Overhead doors and dock gear.
        GarageDoor = "garage-door",
        /// Rough carpentry.
        Framing = "framing",
        /// Sprinklers, extinguishers, fire stopping.
        FireProtection = "fire-protection",
        /// What no trade owns, and questions.
        Superintendent = "superintendent",
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
    /// A danger that the state as told holds.
    #[serde(default)]
    pub hazard: Option<Hazard>,
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
    pub features: Vec<String>,
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
