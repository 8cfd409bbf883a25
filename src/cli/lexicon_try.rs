//! `storystick lexicon try "spoken sentence"`.

use anyhow::bail;

use super::why::{WhyFormat, answer, write};
use super::{Exit, say};
use crate::lexicon::Lexicon;
use crate::pipeline;
use crate::transcript::{Cue, Format, Transcript};

/// The arguments of `lexicon try`.
#[derive(Debug, clap::Args)]
pub(super) struct TryArgs {
    /// The words, as they would stand in a transcript.
    #[arg(value_name = "WORDS")]
    pub(super) words: String,

    /// The place where they are said, as a speaker would name it.
    #[arg(long = "in", value_name = "PLACE")]
    pub(super) place: Option<String>,

    /// How the answer is written.
    #[arg(short, long, value_enum, default_value_t = WhyFormat::Text)]
    pub(super) format: WhyFormat,
}

/// When the words begin, in seconds; before that the place is named.
const BEGIN: f64 = 10.0;
/// How long a word takes, in seconds.
const WORD: f64 = 0.4;

pub(super) fn run(args: &TryArgs) -> anyhow::Result<Exit> {
    let count = args.words.split_whitespace().count();
    if !args.words.chars().any(char::is_alphanumeric) {
        bail!("no words to try; write what would be said, in quotes");
    }
    let end = BEGIN + WORD * f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    let cue = |start, end, text: &str| Cue {
        start,
        end,
        text: text.to_string(),
        speaker: None,
        words: Vec::new(),
    };
    let mut walk = Transcript {
        file: "-".to_string(),
        format: Format::Stamped,
        sha256: String::new(),
        cues: Vec::new(),
        warnings: Vec::new(),
    };
    if let Some(place) = &args.place {
        // A stop where the words have stops, a silence where they have none.
        let stop = if args.words.contains(['.', '!', '?', ',']) {
            "."
        } else {
            ""
        };
        walk.cues
            .push(cue(0.0, 2.0, &format!("Into the {}{stop}", place.trim())));
    }
    let lexicon = Lexicon::builtin();
    if let Some(place) = &args.place
        && pipeline::list(std::slice::from_ref(&walk), &lexicon)
            .areas
            .is_empty()
    {
        bail!("{place:?} is no place that a speaker can come to; try Kitchen, or Bedroom 2");
    }
    walk.cues.push(cue(BEGIN, end, &args.words));
    let list = pipeline::list(std::slice::from_ref(&walk), &lexicon);
    // Every word is asked about, so that each sentence is told once.
    let times: Vec<f64> = (0..=count * 4)
        .map(|i| BEGIN + WORD / 4.0 * f64::from(u32::try_from(i).unwrap_or(u32::MAX)))
        .collect();
    let mut answer = answer(&walk, &list, &args.words, &times, &lexicon)?;
    if let Some(given) = &args.place {
        for place in answer.moments.iter_mut().filter_map(|m| m.place.as_mut()) {
            if place.since.is_some_and(|s| s < BEGIN) {
                place.since = None;
                place.words = given.clone();
                place.frame = "as given with --in".to_string();
            }
        }
    }
    if args.place.is_none() && list.areas.is_empty() {
        say(
            "note",
            "no place is named; --in Kitchen sets one, and the trade can turn on it",
        );
    }
    write(&answer, args.format)?;
    Ok(Exit::Done)
}
