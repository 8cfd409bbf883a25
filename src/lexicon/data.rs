//! The lexicon compiled: the entries without their examples, and every form with what it may mean.

use serde::{Deserialize, Serialize};

use super::table::Table;
use super::yaml::Place;

use super::source::{
    AreaKind, Caution, Cue, Danger, Description, Dispatch, Element, Fault, Limit, TradeEntry,
    VerdictWords, Weight, WorkWord,
};

/// The most letters of a mere sound of hesitation ("um").
pub const HESITATION: usize = 4;

/// The kind of entry that a form leads to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Kind {
    /// A kind of place.
    Area,
    /// A building part.
    Element,
    /// What is wrong.
    Fault,
    /// What is to be done.
    Work,
    /// A trade's people.
    Trade,
    /// A word about the words around it.
    Cue,
}

/// How a form is used in a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Role {
    /// A noun in the singular.
    Noun,
    /// A noun in the plural.
    Nouns,
    /// An adjective or participle.
    State,
    /// A verb's base form.
    Base,
    /// Its third person.
    Third,
    /// Its -ing form.
    Ing,
    /// Its past or participle.
    Past,
    /// What a thing fails to do: counts only where negated.
    Lack,
    /// Taken as it stands.
    Phrase,
}

impl Role {
    /// Its name, as features of a model have it.
    pub fn name(self) -> &'static str {
        match self {
            Role::Noun => "noun",
            Role::Nouns => "nouns",
            Role::State => "state",
            Role::Base => "base",
            Role::Third => "third",
            Role::Ing => "ing",
            Role::Past => "past",
            Role::Lack => "lack",
            Role::Phrase => "phrase",
        }
    }
}

/// One thing that a form may mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Sense {
    /// The kind of entry.
    pub kind: Kind,
    /// Its place in the list of that kind.
    pub entry: u16,
    /// How the form is used.
    pub role: Role,
    /// For elements: which of the entry's names is shown.
    pub name: u8,
}

impl Sense {
    /// The `name` of a form that is only what recognizers write for the first name.
    pub const HEARD: u8 = u8::MAX;
}

/// A form and all that it may mean.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Form {
    /// As compared ([`super::words::fold`]).
    pub text: String,
    /// What it may mean, in the order of kinds.
    pub senses: Vec<Sense>,
}

/// A lexicon in its compact form.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Data {
    /// Kinds of places.
    pub areas: Vec<AreaKind>,
    /// Building parts.
    pub elements: Vec<Element>,
    /// What goes wrong.
    pub faults: Vec<Fault>,
    /// What is done about it.
    pub works: Vec<WorkWord>,
    /// Who does it.
    pub trades: Vec<TradeEntry>,
    /// Words about words.
    pub cues: Vec<Cue>,
    /// Who is sent.
    pub dispatch: Vec<Dispatch>,
    /// What could hurt somebody.
    pub dangers: Vec<Danger>,
    /// What usually holds for each danger.
    pub cautions: Vec<Caution>,
    /// Published limits of measures.
    pub limits: Vec<Limit>,
    /// Parts told by what they look like and where they are.
    pub descriptions: Vec<Description>,
    /// Of which sorts each kind of place is, a bit for each row of `fittings`, by the places of [`Data::areas`].
    pub area_sorts: Vec<u16>,
    /// In which sorts of places each part stands, by the places of [`Data::elements`].
    pub element_sorts: Vec<u16>,
    /// Words of a later walk about earlier items.
    pub verdicts: Vec<VerdictWords>,
    /// What speaks for and against a finding.
    pub model: Vec<Weight>,
    /// What speaks for and against an arrival, sorted by id.
    pub moves: Vec<Weight>,
    /// What speaks for and against a part that was named being the matter of an item, sorted by id.
    pub wanting: Vec<Weight>,
    /// The same for a cleared mark.
    pub fine: Vec<Weight>,
    /// The first word of each vague word that a description begins with, in order: the row, and which of its heads.
    pub heads: Vec<(String, u16, u16)>,
    /// The entries that are asked for by their ids.
    pub by_id: ById,
    /// Mere sounds of hesitation ("um").
    pub hesitations: Vec<String>,
    /// All forms, sorted by their text. They are kept apart from the rest, as they lie.
    #[serde(skip)]
    pub forms: Table,
}

/// The entries of some kinds in the order of their ids.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct ById {
    /// Kinds of places.
    pub areas: Vec<u16>,
    /// Building parts.
    pub elements: Vec<u16>,
    /// What goes wrong.
    pub faults: Vec<u16>,
}

/// An entry's own examples, kept apart so that reading a walk does not load them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Examples {
    /// The kind of the entry: `areas`, `elements`, …
    pub list: String,
    /// The entry's id.
    pub id: String,
    /// Phrases in which it must be found.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
    /// Where each phrase stands, those of `finds` first.
    pub places: Vec<Place>,
}
