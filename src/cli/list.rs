//! `storystick list WALK...`.

use std::io::IsTerminal;
use std::path::PathBuf;

use anyhow::{Context, bail};
use rayon::prelude::*;

use super::args::{ColorArg, LexiconArgs, ListArgs};
use super::input::{self, Input};
use super::{Exit, layers, output, say};
use crate::building::Building;
use crate::lexicon::Lexicon;
use crate::list::Use;
use crate::pipeline::{self, Job};
use crate::report::{self, Format, Look};
use crate::transcript::Transcript;

/// The widest that a table gets unasked: longer lines are hard to read.
const WIDEST: usize = 120;

/// What the arguments, the environment and the terminal come to.
#[derive(Debug)]
pub(super) struct Options {
    walks: Vec<PathBuf>,
    format: Format,
    look: Look,
    to: To,
    each: bool,
    fail_fast: bool,
    lossy: bool,
    lexicon: LexiconArgs,
    building_use: Option<Use>,
    house: Option<PathBuf>,
}

#[derive(Debug)]
enum To {
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
        if crate::record::Record::open(target).is_ok_and(|r| r.has_decisions()) {
            bail!(
                "{} holds what people decided, which a new reading would lose; choose another name for -o",
                target.display()
            );
        }
    }
    let input = input::read(&options.walks, target, options.lossy, options.fail_fast)?;
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
    let job = Job {
        building_use: options.building_use,
        building,
    };
    let make = |walks: &[Transcript]| pipeline::list_of(walks, lexicon, &job);
    let mut bytes = Vec::new();
    if !options.each {
        report::write(&make(walks), format, look, &mut bytes)?;
    } else {
        return each(options, input, &make);
    }
    match &options.to {
        To::File(path) => output::file(path, &bytes),
        To::StandardOutput | To::Folder(_) => output::print(&bytes),
    }
}

/// How many walks are worked on before what they gave is written: enough for all cores, few enough for the memory.
const BATCH: usize = 64;

/// Makes one list a walk on all cores and writes them in the order of the walks.
fn each(
    options: &Options,
    input: &Input,
    make: &(dyn Fn(&[Transcript]) -> crate::list::List + Sync),
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
            .map(|w| {
                let list = make(std::slice::from_ref(w));
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
