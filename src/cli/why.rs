//! `storystick why WALK TIME`.

use std::collections::BTreeSet;
use std::path::PathBuf;

use anyhow::{Context, bail};
use clap::ValueEnum;

use super::{Exit, input, output, say};
use crate::lexicon::Lexicon;
use crate::list::{List, Said};
use crate::pipeline::{
    self,
    trace::{Stages, moment},
};
use crate::report::clock;
use crate::report::why::{self, SCHEMA, Why};
use crate::transcript::{Reading, Transcript};

/// The arguments of `why`.
#[derive(Debug, clap::Args)]
pub(super) struct WhyArgs {
    /// The transcript; `-` is standard input.
    #[arg(value_name = "WALK")]
    pub(super) walk: PathBuf,

    /// The moment: `1:02`, `62.5`, an item's number (`#14`), or the id of an item or a cleared mark.
    #[arg(value_name = "TIME")]
    pub(super) at: String,

    /// How the answer is written.
    #[arg(short, long, value_enum, default_value_t = WhyFormat::Text)]
    pub(super) format: WhyFormat,

    /// Read on past bytes that are no UTF-8, with a sign in their place.
    #[arg(long)]
    pub(super) lossy: bool,
}

/// How an answer is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum WhyFormat {
    /// For people.
    Text,
    /// As one JSON document.
    Json,
}

pub(super) fn run(args: &WhyArgs) -> anyhow::Result<Exit> {
    if args.walk.is_dir() {
        bail!(
            "{} is a folder; name the one walk that you ask about",
            args.walk.display()
        );
    }
    let at = At::parse(&args.at)?;
    let input = input::read(std::slice::from_ref(&args.walk), None, args.lossy)?;
    for error in &input.errors {
        say("error", &format!("{error:#}"));
    }
    let Some(walk) = input.walks.first() else {
        return Ok(Exit::Trouble);
    };
    let lexicon = Lexicon::builtin();
    let list = pipeline::list(std::slice::from_ref(walk), &lexicon);
    let seconds = at
        .seconds(&list)
        .with_context(|| args.walk.display().to_string())?;
    let answer = answer(walk, &list, &args.at, &seconds, &lexicon)
        .with_context(|| args.walk.display().to_string())?;
    write(&answer, args.format)?;
    Ok(Exit::Done)
}

/// What came of the words at some times of a walk of which the list was made.
pub(super) fn answer(
    walk: &Transcript,
    list: &List,
    asked: &str,
    seconds: &[f64],
    lexicon: &Lexicon,
) -> anyhow::Result<Why> {
    let reading = Reading::new(walk);
    let stages = Stages::new(&reading, lexicon);
    let end = walk.cues.iter().map(|c| c.end).fold(0.0, f64::max);
    let mut ranges = BTreeSet::new();
    for s in seconds {
        let Some(word) = stages.word_at(*s) else {
            bail!("not a word is said in this walk");
        };
        // A second of grace: players round.
        if *s > end + 1.0 {
            bail!(
                "nothing is said at {}; the walk ends at {}",
                clock(*s),
                clock(end)
            );
        }
        let r = stages.sentence(word);
        ranges.insert((r.start, r.end));
    }
    let id = list.walks.first().map_or("w1", |w| w.id.as_str());
    Ok(Why {
        schema: SCHEMA,
        file: walk.file.clone(),
        asked: asked.to_string(),
        moments: ranges
            .into_iter()
            .filter_map(|(from, to)| moment(&stages, list, id, from..to, lexicon))
            .collect(),
    })
}

pub(super) fn write(answer: &Why, format: WhyFormat) -> anyhow::Result<()> {
    let mut bytes = Vec::new();
    match format {
        WhyFormat::Text => why::text(answer, &mut bytes)?,
        WhyFormat::Json => why::json(answer, &mut bytes)?,
    }
    output::print(&bytes)
}

/// What is asked about.
#[derive(Debug, PartialEq)]
enum At {
    Seconds(f64),
    Number(u32),
    Id(String),
}

impl At {
    fn parse(text: &str) -> anyhow::Result<At> {
        let wrong = || {
            format!(
                "{text:?} is no time, number or id; write 1:02 or 62.5, #14, or an id from the list"
            )
        };
        if let Some(number) = text.strip_prefix('#') {
            return number.parse().map(At::Number).ok().with_context(wrong);
        }
        if text.starts_with(|c: char| c.is_ascii_digit()) {
            let mut seconds = 0.0;
            let parts: Vec<&str> = text.split(':').collect();
            for (i, part) in parts.iter().enumerate() {
                let last = i + 1 == parts.len();
                let plain = part.chars().all(|c| c.is_ascii_digit() || last && c == '.');
                let value: f64 = part.parse().ok().filter(|_| plain).with_context(wrong)?;
                if i > 0 && value >= 60.0 {
                    bail!("{}", wrong());
                }
                seconds = seconds * 60.0 + value;
            }
            if parts.len() > 3 {
                bail!("{}", wrong());
            }
            return Ok(At::Seconds(seconds));
        }
        let is_id = !text.is_empty() && text.chars().all(|c| c.is_ascii_alphanumeric());
        if !is_id {
            bail!("{}", wrong());
        }
        Ok(At::Id(text.to_ascii_lowercase()))
    }

    /// The seconds that it stands for in a list.
    fn seconds(&self, list: &List) -> anyhow::Result<Vec<f64>> {
        // The middle of what was said: its first word for one of a hundredth of a second.
        let mids = |said: &[Said]| said.iter().map(|s| (s.start + s.end) / 2.0).collect();
        match self {
            At::Seconds(s) => Ok(vec![*s]),
            At::Number(n) => match list.items.iter().find(|i| i.number == *n) {
                Some(i) => Ok(mids(&i.said)),
                None => bail!("no item #{n}; the list of this walk has {}", items(list)),
            },
            At::Id(id) => {
                let item = list.items.iter().find(|i| i.id == *id).map(|i| &i.said);
                let mark = list.cleared.iter().find(|c| c.id == *id).map(|c| &c.said);
                match item.or(mark) {
                    Some(said) => Ok(mids(said)),
                    None => bail!(
                        "no item and no cleared mark {id:?} on the list of this walk; storystick list --format json shows the ids"
                    ),
                }
            }
        }
    }
}

fn items(list: &List) -> String {
    match list.items.len() {
        0 => "no items".to_string(),
        1 => "one item, #1".to_string(),
        n => format!("{n} items, #1 to #{n}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_as_people_write_it() {
        for (text, at) in [
            ("1:02", At::Seconds(62.0)),
            ("62.5", At::Seconds(62.5)),
            ("1:00:01.5", At::Seconds(3601.5)),
            ("#14", At::Number(14)),
            ("K7gp", At::Id("k7gp".to_string())),
        ] {
            assert_eq!(At::parse(text).unwrap(), at, "{text}");
        }
        for text in ["", "#", "#x", "1:75", "1:2:3:4", "1..2", "-3", "a b", "1:"] {
            assert!(At::parse(text).is_err(), "{text}");
        }
    }
}
