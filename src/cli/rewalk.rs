//! `storystick rewalk LIST WALK` and `storystick history LIST [ID]`.

use std::path::{Path, PathBuf};

use anyhow::{Context, bail};

use super::args::{LexiconArgs, UseArg};
use super::{Exit, input, layers, now, output, say};
use crate::list::Use;
use crate::pipeline::Job;
use crate::record::{self, Record};
use crate::rewalk::{self, RewalkError, Told, report};

/// The arguments of `rewalk`.
#[derive(Debug, clap::Args)]
pub(super) struct RewalkArgs {
    /// The list, as JSON.
    #[arg(value_name = "LIST")]
    pub(super) list: PathBuf,

    /// The transcript of the next walk; `-` is standard input.
    #[arg(value_name = "WALK")]
    pub(super) walk: PathBuf,

    /// Save the list to this file; without it LIST itself is carried forward.
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,

    /// Tell what became of each item and save nothing.
    #[arg(long, conflicts_with = "output")]
    pub(super) dry_run: bool,

    #[command(flatten)]
    pub(super) lexicon: LexiconArgs,

    /// A house file (YAML): the building's known areas and the other names that people have for them.
    #[arg(long, value_name = "FILE")]
    pub(super) house: Option<PathBuf>,

    /// What the building is for: spoken measures are held against published limits for it.
    #[arg(long = "use", value_enum, value_name = "USE")]
    pub(super) building_use: Option<UseArg>,

    /// When the walk was recorded (2026-03-02): spoken deadlines become dates.
    #[arg(long, value_name = "DATE", value_parser = now::recorded)]
    pub(super) recorded: Option<String>,

    /// Read on past bytes that are no UTF-8, with a sign in their place.
    #[arg(long)]
    pub(super) lossy: bool,
}

/// The arguments of `history`.
#[derive(Debug, clap::Args)]
pub(super) struct HistoryArgs {
    /// The list, as JSON.
    #[arg(value_name = "LIST")]
    pub(super) list: PathBuf,

    /// An item's id or number; all items if left out, dropped ones last.
    #[arg(value_name = "ID")]
    pub(super) id: Option<String>,
}

pub(super) fn run(args: &RewalkArgs) -> anyhow::Result<Exit> {
    if args.walk.is_dir() {
        bail!(
            "{} is a folder; name the one walk that comes next",
            args.walk.display()
        );
    }
    if let Some(target) = &args.output {
        output::not_one_of(target, std::slice::from_ref(&args.walk))?;
    }
    let walks = std::slice::from_ref(&args.walk);
    let input = input::read(walks, None, args.lossy, false)?;
    for error in &input.errors {
        say("error", &format!("{error:#}"));
    }
    let Some(walk) = input.walks.first() else {
        return Ok(Exit::Trouble);
    };
    let Some((lexicon, building)) = layers::known(&args.lexicon, walks, args.house.as_deref())?
    else {
        return Ok(Exit::Trouble);
    };
    let job = Job {
        building_use: args.building_use.map(Use::from),
        building: building.as_ref(),
        recorded: args.recorded.as_slice(),
    };
    let carry = |r: &mut Record| rewalk::rewalk(r, walk, &lexicon, &job);
    let told: Result<Vec<Told>, RewalkError> = if args.dry_run {
        carry(&mut Record::open(&args.list)?)
    } else if let Some(target) = &args.output {
        let mut record = Record::open(&args.list)?;
        let told = carry(&mut record);
        if told.is_ok() {
            if target.as_os_str() == "-" {
                output::print(&record.to_bytes())?;
            } else {
                output::file(target, &record.to_bytes())?;
            }
        }
        told
    } else {
        record::update(&args.list, carry).map(|(told, _)| told)
    };
    let told = told.with_context(|| args.list.display().to_string())?;
    let text = report::report(&told);
    if args.output.as_deref() == Some(Path::new("-")) {
        // Data alone goes to standard output.
        for line in text.lines() {
            say("note", line);
        }
    } else {
        output::print(text.as_bytes())?;
    }
    Ok(Exit::Done)
}

pub(super) fn history(args: &HistoryArgs) -> anyhow::Result<Exit> {
    let record = Record::open(&args.list)?;
    let mut text = String::new();
    match &args.id {
        Some(id) => {
            let item = record.item(id);
            text.push_str(&report::history(record.dropped(id).map_or(item, Ok)?));
        }
        None => {
            let lists = ["items", "dropped"].map(|l| record.value()[l].as_array());
            for item in lists.into_iter().flatten().flatten() {
                text.push_str(&report::history(item));
            }
        }
    }
    output::print(text.as_bytes())?;
    Ok(Exit::Done)
}
