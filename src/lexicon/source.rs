//! The lexicon as its authors write it: one struct for each kind of entry. `lexicon/README.md` explains every field.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::list::{FollowUp, Hazard, Trade, Unit, Use, Work};

/// A kind of place.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct AreaKind {
    /// Unique in its kind.
    pub id: String,
    /// As written in a path.
    pub name: String,
    /// What people call it.
    pub forms: Vec<String>,
    /// A storey.
    pub level: bool,
    /// The path begins with `Exterior`.
    pub outdoor: bool,
    /// Entered from a room it is that room's child.
    pub child: bool,
    /// A building often has several, told apart by number or order.
    pub numbered: bool,
    /// The words also name a building part.
    pub part: bool,
    /// Lies outside the flats and rooms of a building that has them (corridor, lobby).
    pub common: bool,
    /// Found in buildings open to staff and public, not in dwellings.
    pub public: bool,
    /// The speaker's own word for it is kept in the path ("X-ray room"), not the kind's name.
    pub own: bool,
    /// Holds other places: a flat, a suite, a hotel room.
    pub unit: bool,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where a fact was taken from.
    pub source: Option<String>,
    /// Phrases in which it must be found.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// A building part.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Element {
    /// Unique in its kind.
    pub id: String,
    /// The trade's terms; the spoken one is shown.
    pub names: Vec<String>,
    /// Everyday wordings; the first name is shown for them.
    pub forms: Vec<String>,
    /// What recognizers write for it; the first name is shown.
    pub heard: Vec<String>,
    /// What the list shows instead of the spoken name, where that misleads ("bath").
    pub shown: Option<String>,
    /// The family it belongs to.
    pub group: String,
    /// Who owns it, where that is not the group's trade.
    pub trade: Option<Trade>,
    /// No plural and no count.
    pub mass: bool,
    /// A piece of another part: what is said of it is said of the part named before it.
    pub piece: bool,
    /// A building part only where something is said of it.
    pub weak: bool,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where a fact was taken from.
    pub source: Option<String>,
    /// Phrases in which it must be found.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// What goes wrong.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Fault {
    /// Unique in its kind.
    pub id: String,
    /// The trade's word.
    pub name: String,
    /// Nouns: "a crack".
    pub noun: Vec<String>,
    /// Said of a thing: "is cracked", "loose".
    pub state: Vec<String>,
    /// What the thing does: "drip".
    pub verb: Vec<String>,
    /// What the thing fails to do: "latch".
    pub lacks: Vec<String>,
    /// Longer wordings taken as they stand.
    pub phrase: Vec<String>,
    /// It has a size of its own: what is measured may be the fault, not the part (a crack's width).
    pub sized: bool,
    /// Counts only for parts of these ids or groups; empty for all.
    pub only: Vec<String>,
    /// The part meant where none is named, by id: a nail pop is a wall's.
    pub part: Option<String>,
    /// The class that a bare fault asks for.
    pub work: Option<Work>,
    /// The class by element id or group.
    pub works: BTreeMap<String, Work>,
    /// The danger that it holds by itself.
    pub hazard: Option<Hazard>,
    /// The danger by element id or group.
    pub hazards: BTreeMap<String, Hazard>,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where a fact was taken from.
    pub source: Option<String>,
    /// Phrases in which it must be found.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// A word for work.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct WorkWord {
    /// Unique in its kind.
    pub id: String,
    /// The imperative.
    pub name: String,
    /// The class of work.
    pub class: Option<Work>,
    /// Base forms.
    pub verb: Vec<String>,
    /// Base form to its other forms.
    pub irregular: BTreeMap<String, Vec<String>>,
    /// The work as a thing.
    pub noun: Vec<String>,
    /// The class by element id or group.
    pub works: BTreeMap<String, Work>,
    /// Who does it, whatever the element.
    pub trade: Option<Trade>,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where a fact was taken from.
    pub source: Option<String>,
    /// Phrases in which it must be found.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// A trade: its sections and the people who stand for it.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TradeEntry {
    /// Unique in its kind.
    pub id: String,
    /// The trade.
    pub trade: Option<Trade>,
    /// As written on a sheet.
    pub name: String,
    /// What its people are called.
    pub people: Vec<String>,
    /// The section of MasterFormat 2016, and its title.
    pub section: String,
    /// The section's title.
    pub title: String,
    /// The class of the industry classification (NAICS), where one fits.
    pub naics: Option<String>,
    /// The groups of elements that it owns.
    pub groups: Vec<String>,
    /// The trade that it was split off from: section, title and class are taken from there where they are not given.
    pub of: Option<Trade>,
    /// Whom to turn to, by role.
    pub contact: Option<String>,
    /// What stands on this trade's sheet besides its items.
    pub sheet: Option<String>,
    /// A layer above the built-in lexicon has changed or added it.
    #[serde(skip)]
    pub own: bool,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where a fact was taken from.
    pub source: Option<String>,
    /// Phrases in which it must be found.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// What a cue says of the words around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CueKind {
    /// Work is needed.
    Need,
    /// The thing is fine.
    Fine,
    /// It was corrected, finished or put in.
    Done,
    /// It is not there.
    Absent,
    /// What follows is not so.
    Negation,
    /// Looks like a negation or verdict and is none.
    Idle,
    /// The speaker does not know.
    Doubt,
    /// Somebody must look, answer or confirm.
    Ask,
    /// It was so, at an earlier time.
    Past,
    /// It is not so any more.
    NoMore,
    /// It is so still.
    Still,
    /// It is meant to be like that, not due, or can be lived with.
    Leave,
    /// The speaker takes back what was just said.
    TakeBack,
    /// All but what follows.
    Except,
    /// Would be so, might be so, only if.
    Hypothetical,
    /// The speaker presses it.
    Urgent,
    /// The speaker promises something.
    Promise,
    /// The speaker is on the way or has arrived somewhere.
    Arrive,
    /// The speaker leaves or turns back.
    Leaving,
    /// The speaker goes indoors.
    Indoors,
    /// The speaker goes out of doors.
    Outdoors,
    /// The speaker goes up a flight.
    Up,
    /// The speaker goes down a flight.
    Down,
    /// Something remembered of another place.
    Remember,
    /// A place named without going there.
    Beside,
    /// Nothing at all is wrong here.
    AllGood,
    /// A danger, told by the words alone.
    Danger,
    /// Put down for a while; `on` names what can be carried off.
    Stored,
    /// Where it is put down: what stands behind is not free (`on`).
    InTheWay,
    /// Words that carry nothing ("um", "you know").
    Filler,
    /// Begins a new thought ("okay", "so", "next").
    Opener,
}

impl CueKind {
    /// Its name, as features of a model have it.
    pub fn name(self) -> &'static str {
        match self {
            CueKind::Need => "Need",
            CueKind::Fine => "Fine",
            CueKind::Done => "Done",
            CueKind::Absent => "Absent",
            CueKind::Negation => "Negation",
            CueKind::Idle => "Idle",
            CueKind::Doubt => "Doubt",
            CueKind::Ask => "Ask",
            CueKind::Past => "Past",
            CueKind::NoMore => "NoMore",
            CueKind::Still => "Still",
            CueKind::Leave => "Leave",
            CueKind::TakeBack => "TakeBack",
            CueKind::Except => "Except",
            CueKind::Hypothetical => "Hypothetical",
            CueKind::Urgent => "Urgent",
            CueKind::Promise => "Promise",
            CueKind::Arrive => "Arrive",
            CueKind::Leaving => "Leaving",
            CueKind::Indoors => "Indoors",
            CueKind::Outdoors => "Outdoors",
            CueKind::Up => "Up",
            CueKind::Down => "Down",
            CueKind::Remember => "Remember",
            CueKind::Beside => "Beside",
            CueKind::AllGood => "AllGood",
            CueKind::Danger => "Danger",
            CueKind::Stored => "Stored",
            CueKind::InTheWay => "InTheWay",
            CueKind::Filler => "Filler",
            CueKind::Opener => "Opener",
        }
    }
}

/// Words that say something of the mentions near them.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cue {
    /// Unique in its kind.
    pub id: String,
    /// What it says.
    pub kind: CueKind,
    /// The words, as they stand.
    pub forms: Vec<String>,
    /// What is promised, for promises.
    #[serde(default)]
    pub follow_up: Option<FollowUp>,
    /// The danger, for dangers.
    #[serde(default)]
    pub hazard: Option<Hazard>,
    /// Counts only for elements of these ids or groups; empty for all.
    #[serde(default)]
    pub on: Vec<String>,
    /// Why it is as it is.
    #[serde(default)]
    pub note: Option<String>,
    /// Where a fact was taken from.
    #[serde(default)]
    pub source: Option<String>,
    /// Phrases in which it must be found.
    #[serde(default)]
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    #[serde(default)]
    pub ignores: Vec<String>,
}

/// Who is sent, from specific to general: the first rule that fits wins.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Dispatch {
    /// Unique in its kind.
    pub id: String,
    /// Element ids or groups; empty for all.
    pub elements: Vec<String>,
    /// Classes of work; empty for all.
    pub works: Vec<Work>,
    /// Words that must stand in what was said; empty for none.
    pub near: Vec<String>,
    /// Kinds of area, by id; empty for all.
    pub areas: Vec<String>,
    /// Element ids or groups of the parts that it may belong to; empty for none asked.
    pub hosts: Vec<String>,
    /// Who is sent; with `hosts` and none here, whoever the host's trade is.
    pub trade: Option<Trade>,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where a fact was taken from.
    pub source: Option<String>,
    /// Phrases in which it must decide.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// A part told by a vague word and where it is; the first that fits wins.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Description {
    /// Unique in its kind.
    pub id: String,
    /// Vague words, in the singular: "strip", "rubber thing".
    pub heads: Vec<String>,
    /// What tells where it is: "along the bottom of".
    pub by: Vec<String>,
    /// At what: element ids or groups, area ids, or plain words in the singular; empty where `by` says it all.
    pub hosts: Vec<String>,
    /// The id of the part meant.
    pub element: String,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where a fact was taken from.
    pub source: Option<String>,
    /// Phrases in which it must be found.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// Which parts stand in which sort of place, and hardly anywhere else.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Fitting {
    /// The sort of place; unique in its kind.
    pub id: String,
    /// Area ids.
    pub areas: Vec<String>,
    /// Every outdoor place is of this sort too.
    pub outdoor: bool,
    /// Element ids.
    pub parts: Vec<String>,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where a fact was taken from; `common practice` where left out.
    pub source: Option<String>,
}

/// What words of a later walk say of the items of an earlier one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum VerdictKind {
    /// The matter is over, also where "no" or "not" stands before.
    Over,
    /// It does not move: well where it was loose, not well where it was stuck.
    Holds,
    /// Nothing was done.
    Undone,
    /// It was seen to: a deed that settles it also where its fault is named.
    SeenTo,
    /// It is found fine, unless a fault is named with it.
    Fine,
    /// Looks like a verdict and is none.
    Idle,
    /// Deeds of which "nothing" and "nobody" say that they were not done.
    Deed,
    /// Some of it is done.
    Half,
    /// What a thing does or has that it should not; all forms of the word count.
    Fault,
    /// What is told is of the earlier walk.
    Earlier,
    /// It was corrected once.
    Once,
    /// It has come back.
    Again,
    /// The whole of a place is meant.
    General,
    /// All of a kind are meant.
    Every,
    /// A place was not gone into.
    Unvisited,
    /// A thing is there.
    There,
    /// Yes, as an answer to an item that was read aloud.
    Yes,
    /// No, as such an answer.
    No,
    /// The speaker goes on to another place.
    Onward,
    /// Words before a place's name that only point at it.
    Pointing,
    /// Words that say too little to know an item by; all forms of the word count.
    Empty,
    /// What people call the same place.
    Place,
    /// What people call the same part.
    Part,
}

/// Words of a later walk about earlier items.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VerdictWords {
    /// Unique in its kind.
    pub id: String,
    /// What they say.
    pub kind: VerdictKind,
    /// The words, as they stand.
    pub forms: Vec<String>,
    /// The class of work that they tell of by themselves.
    #[serde(default)]
    pub work: Option<Work>,
    /// Why it is as it is.
    #[serde(default)]
    pub note: Option<String>,
    /// Where a fact was taken from.
    #[serde(default)]
    pub source: Option<String>,
    /// Phrases in which it must be found.
    #[serde(default)]
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    #[serde(default)]
    pub ignores: Vec<String>,
}

/// What the state of a part could do to people or to the building; the first rule that fits wins.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Danger {
    /// Unique in its kind.
    pub id: String,
    /// Element ids or groups; empty for all.
    pub elements: Vec<String>,
    /// Fault ids, or `absent` where the part is not there; empty for any state but dirt and looks.
    pub faults: Vec<String>,
    /// Words that must stand in what was said; empty for none.
    pub near: Vec<String>,
    /// The danger.
    pub hazard: Option<Hazard>,
    /// What usually holds until somebody competent has looked; without it, the danger's own caution.
    pub caution: Option<String>,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where the caution was taken from; `common practice` where left out.
    pub source: Option<String>,
    /// Phrases in which it must decide.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// What usually holds for a kind of danger until somebody competent has looked.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Caution {
    /// Unique in its kind.
    pub id: String,
    /// The danger.
    pub hazard: Option<Hazard>,
    /// The caution: a plain sentence that leaves the decision to local codes and licensed people.
    pub text: String,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Where it was taken from; `common practice` where left out.
    pub source: Option<String>,
    /// Phrases in which it must be given.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// How far a figure can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Provenance {
    /// Read as a quotation of the source.
    Quoted,
    /// Read in a text that restates the source.
    SecondHand,
    /// Not looked up.
    Memory,
}

/// A published limit of a measure; the first that fits is used.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Limit {
    /// Unique in its kind.
    pub id: String,
    /// Element ids; a group only where no element has its name.
    pub elements: Vec<String>,
    /// Fault ids whose own size is limited (a crack's width); without them the part itself was measured.
    pub faults: Vec<String>,
    /// What was measured, as `measure.of` says it.
    pub of: String,
    /// The quantity in the source's words.
    pub quantity: String,
    /// Words of which one must stand in what was said; empty for none.
    pub near: Vec<String>,
    /// The least that is within.
    pub min: Option<f64>,
    /// The most that is within.
    pub max: Option<f64>,
    /// The unit of all four figures.
    pub unit: Option<Unit>,
    /// Below this a spoken figure is not believed.
    pub lowest: Option<f64>,
    /// Above this a spoken figure is not believed.
    pub highest: Option<f64>,
    /// What exactly it applies to.
    pub applies: String,
    /// The kind of building it is for; none where it is for any.
    #[serde(rename = "use")]
    pub use_: Option<Use>,
    /// Where the figure stands.
    pub source: Option<String>,
    /// How far it can be trusted.
    pub provenance: Option<Provenance>,
    /// Why it is as it is.
    pub note: Option<String>,
    /// Phrases in which it must be held against the measure.
    pub finds: Vec<String>,
    /// Phrases in which it must not.
    pub ignores: Vec<String>,
}

/// How much a feature of a finding speaks for it (above 0) or against it; `bias` stands for what is true of all.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Weight {
    /// The feature's name, as `src/pipeline/model.rs`, `places/evidence.rs` or `weigh/features.rs` gives it.
    pub id: String,
    /// Added to the log odds where the finding has the feature.
    pub weight: f64,
    /// Why it is as it is.
    pub note: Option<String>,
}
