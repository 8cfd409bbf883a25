//! The command line: arguments, then one file for each command.
//!
//! Data goes to standard output, notes and errors to standard error. Only this module prints.

mod args;
mod change;
mod completions;
mod grade;
mod handouts;
mod input;
mod kept;
mod layers;
mod lexicon;
mod lexicon_try;
mod lines;
mod list;
mod man;
mod now;
mod output;
mod pictures;
mod plan;
mod recording;
mod review;
mod rewalk;
mod saved;
mod schema;
mod watch;
mod why;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command, LexiconCommand};

/// How the program ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Exit {
    /// Done.
    Done = 0,
    /// A check that was asked for failed.
    Failed = 1,
    /// The arguments or the input could not be used, or the output not be written.
    Trouble = 2,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(exit as u8)
    }
}

/// Runs the program on the process's own arguments.
pub fn run() -> ExitCode {
    let exit = match Args::try_parse() {
        Ok(args) => command(args.command).unwrap_or_else(|error| failed(&error)),
        Err(error) => {
            let exit = if error.use_stderr() {
                Exit::Trouble
            } else {
                Exit::Done
            };
            // Nobody may be there to read it.
            let _ = error.print();
            exit
        }
    };
    exit.into()
}

fn command(command: Command) -> anyhow::Result<Exit> {
    match command {
        Command::List(raw) if raw.lines => lines::run(raw.lossy),
        Command::List(raw) => list::run(&list::Options::resolve(raw)?),
        Command::Handouts(raw) => handouts::run(&raw),
        Command::Plan(raw) => plan::run(&raw),
        Command::Review(args) => review::run(&args),
        Command::Change(raw) => change::run(&raw),
        Command::Rewalk(args) => rewalk::run(&args),
        Command::History(args) => rewalk::history(&args),
        Command::Schema => schema::run(),
        Command::Watch {
            folder,
            settle,
            lossy,
        } => watch::run(&watch::Options {
            folder,
            settle: std::time::Duration::from_secs_f64(settle.clamp(0.0, 3600.0)),
            lossy,
        }),
        Command::Grade {
            folders,
            only,
            calibration,
            fit,
        } => grade::run(&grade::Options {
            folders,
            only,
            calibration,
            fit,
        }),
        Command::Why(args) => why::run(&args),
        Command::Lexicon { command } => match command {
            LexiconCommand::Try(args) => lexicon_try::run(&args),
            LexiconCommand::Check { paths, lexicon } => lexicon::check(&paths, lexicon),
            LexiconCommand::Dump { lexicon } => lexicon::dump(&lexicon),
            LexiconCommand::Words {
                walks,
                most,
                lossy,
                lexicon,
            } => lexicon::words(&lexicon::Words {
                walks,
                most,
                lossy,
                lexicon,
            }),
            LexiconCommand::Show { asked, lexicon } => lexicon::show(&asked, &lexicon),
        },
        Command::Completions { shell } => completions::run(shell),
        Command::Man { command } => man::run(command.as_deref()),
    }
}

/// What an error that ended the program comes to. Whoever stops reading early has what they wanted.
fn failed(error: &anyhow::Error) -> Exit {
    let pipe = |cause: &(dyn std::error::Error + 'static)| {
        cause
            .downcast_ref::<io::Error>()
            .is_some_and(|e| e.kind() == io::ErrorKind::BrokenPipe)
    };
    if error.chain().any(pipe) {
        return Exit::Done;
    }
    say("error", &format!("{error:#}"));
    Exit::Trouble
}

/// Writes a line to standard error: `error: …`, `warning: …` or `note: …`.
fn say(kind: &str, text: &str) {
    // With standard error closed there is nowhere left to say so.
    let _ = writeln!(io::stderr(), "{kind}: {text}");
}
