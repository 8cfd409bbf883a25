//! `storystick list WALK...`.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use rayon::prelude::*;

use super::args::{ColorArg, LexiconArgs, ListArgs};
use super::input::{self, Input, Named};
use super::{Exit, kept, layers, output, say};
use crate::building::Building;
use crate::lexicon::Lexicon;
use crate::list::{List, Use};
use crate::pipeline::{self, Job};
use crate::record::{self, Record};
use crate::report::words::counted;
use crate::report::{self, Format, Look};
use crate::transcript::Transcript;

/// The widest that a table gets unasked: longer lines are hard to read.
const WIDEST: usize = 120;

/// What the arguments, the environment and the terminal come to.
#[derive(Debug)]
pub(super) struct Options {
    walks: Vec<PathBuf>,
    pub(super) format: Format,
    pub(super) look: Look,
    pub(super) to: To,
    pub(super) each: bool,
    fail_fast: bool,
    lossy: bool,
    pub(super) lexicon: LexiconArgs,
    pub(super) building_use: Option<Use>,
    pub(super) house: Option<PathBuf>,
    pub(super) recorded: Vec<String>,
}

/// Where the list goes.
#[derive(Debug)]
pub(super) enum To {
    StandardOutput,
    File(PathBuf),
    Folder(PathBuf),
}

impl Options {
    /// Looks at the environment and the terminal, once.
    pub(super) fn resolve(raw: ListArgs) -> anyhow::Result<Options> {
        let to = match raw.output {
            None => To::StandardOutput,
            Some(path) if path.as_os_str() == "-" => To::StandardOutput,
            Some(path) if raw.each => To::Folder(path),
            Some(path) if path.is_dir() => {
                bail!(
                    "{} is a folder; give -o a file name, or add --each for one file a walk",
                    path.display()
                )
            }
            Some(path) => To::File(path),
        };
        let format = match (raw.format, &to) {
            (Some(format), _) => format.into(),
            (None, To::StandardOutput) => Format::Table,
            (None, To::Folder(_)) => Format::Json,
            (None, To::File(path)) => Format::of_ending(path).with_context(|| {
                format!("the ending of {} names no format; end it in .json, .jsonl, .csv, .md, .html, .bcf or .txt, or add --format", path.display())
            })?,
        };
        if format == Format::Bcf {
            match &to {
                To::StandardOutput if raw.each => bail!(
                    "several BCF archives cannot follow each other; give -o a folder with --each"
                ),
                To::StandardOutput if std::io::stdout().is_terminal() => {
                    bail!("BCF is no text; save it with -o NAME.bcf")
                }
                _ => (),
            }
        }
        let screen = matches!(to, To::StandardOutput);
        let look = Look {
            width: raw.width.map(usize::from).unwrap_or_else(|| width(screen)),
            color: match raw.color {
                ColorArg::Always => true,
                ColorArg::Never => false,
                // Knows NO_COLOR, CLICOLOR, CLICOLOR_FORCE, TERM=dumb and what is no terminal.
                ColorArg::Auto => {
                    screen
                        && anstream::AutoStream::choice(&std::io::stdout())
                            != anstream::ColorChoice::Never
                }
            },
            passed_over: raw.passed_over,
            bom: raw.bom,
            now: match format {
                Format::Bcf => super::now::now(raw.now.as_deref())?,
                _ => 0,
            },
        };
        Ok(Options {
            walks: raw.walks,
            format,
            look,
            to,
            each: raw.each,
            fail_fast: raw.fail_fast,
            lossy: raw.lossy,
            lexicon: raw.lexicon,
            building_use: raw.building_use.map(Use::from),
            house: raw.house,
            recorded: raw.recorded,
        })
    }
}

/// The columns of the table where nobody gave them; a file is made for no one screen.
fn width(screen: bool) -> usize {
    if !screen {
        return Look::default().width;
    }
    let named = std::env::var("COLUMNS")
        .ok()
        .and_then(|c| c.trim().parse::<usize>().ok())
        .filter(|c| *c > 0);
    let terminal = || {
        let out = std::io::stdout();
        out.is_terminal()
            .then(|| terminal_size::terminal_size_of(&out))
            .flatten()
            .map(|(w, _)| usize::from(w.0))
    };
    named
        .or_else(terminal)
        .unwrap_or(Look::default().width)
        .clamp(Look::NARROWEST, WIDEST)
}

/// Reads the walks, makes the lists and writes them.
pub(super) fn run(options: &Options) -> anyhow::Result<Exit> {
    let target = match &options.to {
        To::File(path) => Some(path.as_path()),
        To::StandardOutput | To::Folder(_) => None,
    };
    if let Some(target) = target {
        output::not_one_of(target, &options.walks)?;
        // What people entered is never written over.
        if options.each && worked_on(target) {
            bail!(
                "{} holds what people decided; leave out --each",
                target.display()
            );
        }
    }
    let (walks, lossy) = (&options.walks, options.lossy);
    let input = match input::walks_or_list(walks, target, lossy, options.fail_fast)? {
        Named::List(record) => return kept::write(options, &record),
        Named::Walks(input) => input,
    };
    for error in &input.errors {
        say("error", &format!("{error:#}"));
    }
    let trouble = !input.errors.is_empty();
    // A list of a job from which one walk is missing would pass for whole.
    if input.walks.is_empty() || (trouble && !options.each) {
        return Ok(Exit::Trouble);
    }
    if trouble && options.fail_fast {
        return Ok(Exit::Failed);
    }
    let house = options.house.as_deref();
    let Some((lexicon, building)) = layers::known(&options.lexicon, &options.walks, house)? else {
        return Ok(Exit::Trouble);
    };
    write(options, &input, &lexicon, building.as_ref())?;
    // The program ends: nobody needs the lexicon's memory back.
    std::mem::forget(lexicon);
    Ok(if trouble { Exit::Failed } else { Exit::Done })
}

fn write(
    options: &Options,
    input: &Input,
    lexicon: &Lexicon,
    building: Option<&Building>,
) -> anyhow::Result<()> {
    let walks = &input.walks;
    let (format, look) = (options.format, &options.look);
    let recorded = &options.recorded;
    if recorded.len() > 1 && recorded.len() != walks.len() {
        bail!(
            "--recorded is given {} times for {}; give it once for all, or once for each in their order",
            recorded.len(),
            counted(walks.len(), "walk", "walks")
        );
    }
    let make = |walks: &[Transcript], recorded: &[String]| {
        let job = Job {
            building_use: options.building_use,
            building,
            recorded,
        };
        pipeline::list_of(walks, lexicon, &job)
    };
    if let To::File(path) = &options.to
        && worked_on(path)
    {
        if format != Format::Json {
            bail!(
                "{} holds what people decided, and --format {} cannot; choose another name for -o",
                path.display(),
                format.ending()
            );
        }
        return again(path, &make(walks, recorded));
    }
    let mut bytes = Vec::new();
    if !options.each {
        report::write(&make(walks, recorded), format, look, &mut bytes)?;
    } else {
        return each(options, input, &make);
    }
    match &options.to {
        To::File(path) => output::file(path, &bytes),
        To::StandardOutput | To::Folder(_) => output::print(&bytes),
    }
}

/// Whether a file is a list that people or later walks have added to.
pub(super) fn worked_on(path: &Path) -> bool {
    Record::open(path).is_ok_and(|r| r.was_worked_on())
}

/// Puts a new reading into a list that people worked on, and tells where it disagrees with them.
fn again(path: &Path, list: &List) -> anyhow::Result<()> {
    let read = |r: &mut Record| record::read_again(r, list);
    let (told, _) = record::update(path, read).with_context(|| path.display().to_string())?;
    let value = |v: &serde_json::Value| match v {
        serde_json::Value::String(s) => s.clone(),
        serde_json::Value::Null => "nothing".to_string(),
        serde_json::Value::Array(parts) => {
            let parts: Vec<&str> = parts.iter().filter_map(|p| p.as_str()).collect();
            parts.join(" / ")
        }
        other => other.to_string(),
    };
    say(
        "note",
        &format!(
            "{} was read again; what people decided is kept",
            path.display()
        ),
    );
    for d in &told.disagreements {
        let (kept, read) = (value(&d.decided), value(&d.read));
        say(
            "note",
            &format!(
                "item {}: {} stays {kept}, as decided; it is read as {read}",
                d.number, d.field
            ),
        );
    }
    for number in &told.only_decided {
        say(
            "note",
            &format!("item {number} is read no more; it stays, as decided"),
        );
    }
    for (number, text) in &told.gone {
        say("note", &format!("item {number} is read no more: {text}"));
    }
    for number in &told.new {
        say("note", &format!("item {number} is new"));
    }
    Ok(())
}

/// How many walks are worked on before what they gave is written: enough for all cores, few enough for the memory.
const BATCH: usize = 64;

/// Makes one list a walk on all cores and writes them in the order of the walks.
fn each(
    options: &Options,
    input: &Input,
    make: &(dyn Fn(&[Transcript], &[String]) -> crate::list::List + Sync),
) -> anyhow::Result<()> {
    let (format, look) = (options.format, &options.look);
    let names = match &options.to {
        To::Folder(folder) => {
            let files: Vec<&str> = input.walks.iter().map(|w| w.file.as_str()).collect();
            let names = output::names(&files, format)?;
            output::folder(folder)?;
            names
        }
        To::StandardOutput | To::File(_) => Vec::new(),
    };
    let bar = progress(input.walks.len(), &options.to);
    let mut all = Vec::new();
    for (batch, walks) in input.walks.chunks(BATCH).enumerate() {
        let lists: Vec<_> = walks
            .par_iter()
            .enumerate()
            .map(|(i, w)| {
                let recorded = match options.recorded.as_slice() {
                    [] | [_] => options.recorded.as_slice(),
                    all => std::slice::from_ref(&all[batch * BATCH + i]),
                };
                let list = make(std::slice::from_ref(w), recorded);
                bar.inc(1);
                list
            })
            .collect();
        let To::Folder(folder) = &options.to else {
            // CSV is one table with one head, the others follow each other.
            if format == Format::Csv {
                all.extend(lists);
                continue;
            }
            let mut bytes = Vec::new();
            if batch > 0 && matches!(format, Format::Table | Format::Md) {
                bytes.push(b'\n');
            }
            report::write_each(&lists, format, look, &mut bytes)?;
            output::print(&bytes)?;
            continue;
        };
        for (list, name) in lists.iter().zip(&names[batch * BATCH..]) {
            let path = folder.join(name);
            output::not_one_of(&path, &input.files)?;
            let mut bytes = Vec::new();
            report::write(list, format, look, &mut bytes)?;
            output::file(&path, &bytes)?;
        }
    }
    bar.finish_and_clear();
    if format == Format::Csv && !matches!(options.to, To::Folder(_)) {
        let mut bytes = Vec::new();
        report::write_each(&all, format, look, &mut bytes)?;
        output::print(&bytes)?;
    }
    Ok(())
}

/// A bar on standard error, where that is a terminal, standard output is none, and the wait may be long.
fn progress(walks: usize, to: &To) -> indicatif::ProgressBar {
    let screen = matches!(to, To::StandardOutput) && std::io::stdout().is_terminal();
    if walks < 2 || screen || !std::io::stderr().is_terminal() {
        return indicatif::ProgressBar::hidden();
    }
    indicatif::ProgressBar::new(walks as u64)
}
