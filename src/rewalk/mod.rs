//! The next walk: what has become of each item of a list, told from the speech of a later walk alone.
//!
//! The new walk is read by the ordinary pipeline. Then its clauses are followed a second time: [`named`] says which of the earlier
//! places and items each one names, [`track`] which of them it speaks of, [`words`] what it says has become of it ("that's gone",
//! "they never came"). [`outcome`] weighs all that was heard and writes `history`, `fate`s and standing; [`report`] tells it.

pub mod cues;
mod cut;
mod dropped;
mod found;
pub mod hearing;
pub mod index;
pub mod matching;
pub mod named;
pub mod outcome;
mod passages;
pub mod report;
pub mod scene;
pub mod track;
mod wholes;
pub mod words;

use serde_json::Value;

use crate::lexicon::Lexicon;
use crate::list::{List, Said};
use crate::pipeline::{self, Job};
use crate::record::{Record, RecordError};
use crate::transcript::Transcript;

/// What a walk says of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    /// First listed.
    New,
    /// Corrected, or found fine.
    MadeGood,
    /// Spoken of, still to do.
    Outstanding,
    /// Was made good, is to do again.
    Back,
    /// Only a general word covers it.
    ToConfirm,
    /// Its area was visited, nothing said of it.
    NotSpoken,
    /// Its area was not visited.
    NotReached,
}

impl Fate {
    /// All of them, in the order of reports.
    pub const ALL: [Fate; 7] = [
        Fate::MadeGood,
        Fate::Outstanding,
        Fate::Back,
        Fate::ToConfirm,
        Fate::NotSpoken,
        Fate::NotReached,
        Fate::New,
    ];

    /// The word that stands in the list.
    pub fn word(self) -> &'static str {
        match self {
            Fate::New => "new",
            Fate::MadeGood => "made-good",
            Fate::Outstanding => "outstanding",
            Fate::Back => "back",
            Fate::ToConfirm => "to-confirm",
            Fate::NotSpoken => "not-spoken",
            Fate::NotReached => "not-reached",
        }
    }

    /// The value of a word as it stands in the list.
    pub fn from_word(word: &str) -> Option<Fate> {
        Fate::ALL.into_iter().find(|f| f.word() == word)
    }
}

/// What became of one item, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// The item's number.
    pub number: u64,
    /// The item as a sentence.
    pub text: String,
    /// The path of its area.
    pub area: Vec<String>,
    /// What became of it.
    pub fate: Fate,
    /// Some of it is done.
    pub partly: bool,
    /// How many are left, where said.
    pub count: Option<u32>,
    /// The words that say so.
    pub said: Vec<Said>,
    /// What the fate was told by.
    pub why: String,
    /// Who had dropped it and when, where what is said again is no item any more.
    pub dropped: Option<String>,
}

/// Why a walk was not carried into a list.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RewalkError {
    /// The list has this walk already.
    #[error("{file} is in the list already, as {walk}, byte for byte; name the next walk")]
    Known {
        /// The new walk's file.
        file: String,
        /// The walk's id in the list.
        walk: String,
    },
    /// The list cannot be read, changed or saved.
    #[error(transparent)]
    Record(#[from] RecordError),
}

/// Carries a list forward by a later walk and tells what became of each item, new items last.
///
/// # Errors
/// Where the list holds the walk already; the list is then as it was.
pub fn rewalk(
    record: &mut Record,
    walk: &Transcript,
    lexicon: &Lexicon,
    job: &Job<'_>,
) -> Result<Vec<Told>, RewalkError> {
    let earlier = record.list()?;
    if let Some(w) = earlier.walks.iter().find(|w| w.sha256 == walk.sha256) {
        return Err(RewalkError::Known {
            file: walk.file.clone(),
            walk: w.id.clone(),
        });
    }
    let id = next_walk(&earlier);
    let mut new = pipeline::list_of(std::slice::from_ref(walk), lexicon, job);
    rename(&mut new, &id);
    let names = matching::Names::new(lexicon);
    let cues = cues::Cues::new(lexicon);
    let mut scene = scene::Scene::new(record.value(), &earlier, &new, &names, &cues);
    let heard = hearing::hear(&scene, walk, &id, lexicon, &cues);
    scene.met = heard.met.clone();
    let mut value: Value = record.value().clone();
    let told = outcome::carry(&mut value, &scene, &heard, new, &id);
    record.replace(value)?;
    Ok(told)
}

fn next_walk(list: &List) -> String {
    let number = |w: &str| w.strip_prefix('w').and_then(|n| n.parse::<usize>().ok());
    let most = list.walks.iter().filter_map(|w| number(&w.id)).max();
    format!("w{}", most.unwrap_or(list.walks.len()) + 1)
}

/// The walk's own name in the list that it joins.
fn rename(list: &mut List, id: &str) {
    for w in &mut list.walks {
        w.id = id.to_string();
    }
    for v in list.areas.iter_mut().flat_map(|a| &mut a.visits) {
        v.walk = id.to_string();
    }
    let items = list.items.iter_mut().flat_map(|i| &mut i.said);
    let cleared = list.cleared.iter_mut().flat_map(|c| &mut c.said);
    let passed = list.passed_over.iter_mut().map(|p| &mut p.said);
    for said in items.chain(cleared).chain(passed) {
        said.walk = id.to_string();
    }
}
