//! The arguments as they are typed. Each command resolves its own once, into options.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use crate::report::{Format, Look};

const EXITS: &str = "\
Exit status:
  0  done
  1  a check that was asked for failed
  2  the arguments or the input could not be used, or the output not be written";

const PLAN_EXITS: &str = "\
Exit status:
  0  done; all can be ready in time
  1  something cannot be ready in time (the plan is written all the same)
  2  the arguments or the input could not be used, or the output not be written";

/// Reads the transcript of a walk through a building and gives the punch list.
#[derive(Debug, Parser)]
#[command(name = "storystick", version, after_help = EXITS, arg_required_else_help = true)]
pub(super) struct Args {
    #[command(subcommand)]
    pub(super) command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Make the list of one or several walks.
    ///
    /// Reads transcripts with times (WebVTT, SubRip, TTML, JSON, tables of start/end/text, text with time stamps) and
    /// writes what somebody must do, by place, each item with the second at which it was said. Several walks, or a
    /// folder of them, are parts of one job and make one list.
    ///
    /// A person goes through the list before anybody acts on it.
    #[command(after_help = EXITS)]
    List(ListArgs),
    /// Make what each person receives: a page for each trade, the superintendent, promises, the owner, and a summary.
    ///
    /// LIST is what `list --format json` wrote. Every page is one file that needs no other, fits a phone and prints on A4
    /// or Letter. Read them before you pass them on.
    #[command(after_help = EXITS)]
    Handouts(HandoutsArgs),
    /// Put the work in order: who comes when, scheduled back from the day on which all must be ready.
    ///
    /// LIST is what `list --format json` wrote. Order and durations are assumptions of common practice
    /// (lexicon/plan.yaml), not a builder's promise.
    #[command(after_help = PLAN_EXITS)]
    Plan(PlanArgs),
    /// Print the JSON Schema of the list.
    #[command(after_help = EXITS)]
    Schema,
    /// Compare lists with what a person marked in the same walks.
    ///
    /// For people who tune a lexicon: each NAME.marks.json in the folder stands beside its transcript. The words of what is the same
    /// part or place are the lexicon's own.
    #[command(after_help = EXITS)]
    Grade {
        /// The folder of marked walks.
        #[arg(value_name = "FOLDER")]
        folder: PathBuf,
        /// Only these walks, by name.
        #[arg(long, value_name = "NAME", value_delimiter = ',')]
        only: Vec<String>,
        /// Show how often items of a confidence are right, in ten bins.
        #[arg(long, conflicts_with = "fit")]
        calibration: bool,
        /// Print the weights of the model of confidence fitted on these walks.
        #[arg(long)]
        fit: bool,
    },
    /// See to the lexicon, the trade's words that the program knows.
    Lexicon {
        #[command(subcommand)]
        command: LexiconCommand,
    },
    /// Print a script that completes commands and options in a shell.
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Print the manual page of the program or of one command, for man(1).
    Man {
        /// The command; the whole program if left out.
        command: Option<String>,
    },
}

#[derive(Debug, Subcommand)]
pub(super) enum LexiconCommand {
    /// Read lexicon files and run their own examples; without a path, the built-in lexicon.
    #[command(after_help = EXITS)]
    Check {
        /// Lexicon files (YAML) or folders of them.
        #[arg(value_name = "PATH")]
        paths: Vec<PathBuf>,
    },
}

#[derive(Debug, clap::Args)]
pub(super) struct ListArgs {
    /// Transcripts, or folders of them; `-` is standard input.
    #[arg(value_name = "WALK", required = true)]
    pub(super) walks: Vec<PathBuf>,

    /// How the list is written [default: by the ending of -o, else table].
    #[arg(short, long, value_enum, hide_default_value = true)]
    pub(super) format: Option<FormatArg>,

    /// Save to this file instead of standard output; with --each, to one file a walk in this folder.
    ///
    /// The ending picks the format where --format does not: .json, .jsonl, .csv, .md, .html, .bcf, or .txt for the table.
    /// With --each the format is JSON unless --format says otherwise. An existing file is replaced whole or not at all.
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,

    /// Make one list a walk, not one list of all.
    ///
    /// To standard output they follow each other; as JSON each list then stands on one line.
    #[arg(long)]
    pub(super) each: bool,

    /// Show what was passed over and why (table and Markdown; JSON always has it).
    #[arg(long)]
    pub(super) passed_over: bool,

    /// Begin CSV with a byte order mark, by which some spreadsheets know UTF-8.
    #[arg(long)]
    pub(super) bom: bool,

    /// The time that BCF names as the topics' creation [default: SOURCE_DATE_EPOCH, else the system's clock].
    #[arg(long, value_name = "TIME")]
    pub(super) now: Option<String>,

    /// Read on past bytes that are no UTF-8, with a sign in their place.
    #[arg(long)]
    pub(super) lossy: bool,

    /// When the table is styled for the terminal.
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = ColorArg::Auto)]
    pub(super) color: ColorArg,

    /// The columns of the table [default: COLUMNS, else the terminal's, else 80].
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(Look::NARROWEST as i64..))]
    pub(super) width: Option<u16>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum FormatArg {
    /// For people, at the terminal.
    Table,
    /// The whole list as one document.
    Json,
    /// One item a line.
    Jsonl,
    /// One item a row, for spreadsheets.
    Csv,
    /// For people, as GitHub-flavoured Markdown.
    Md,
    /// For people, as a page: the walk as a batten, time down the page.
    Html,
    /// BIM Collaboration Format 3.0, one topic an item.
    Bcf,
}

impl From<FormatArg> for Format {
    fn from(arg: FormatArg) -> Format {
        match arg {
            FormatArg::Table => Format::Table,
            FormatArg::Json => Format::Json,
            FormatArg::Jsonl => Format::Jsonl,
            FormatArg::Csv => Format::Csv,
            FormatArg::Md => Format::Md,
            FormatArg::Html => Format::Html,
            FormatArg::Bcf => Format::Bcf,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum ColorArg {
    /// At a terminal, unless NO_COLOR is set.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

#[derive(Debug, clap::Args)]
pub(super) struct HandoutsArgs {
    /// The list, as JSON; `-` is standard input.
    #[arg(value_name = "LIST")]
    pub(super) list: PathBuf,

    /// The folder that the pages go to; made where it is missing.
    #[arg(short, long, value_name = "FOLDER")]
    pub(super) output: PathBuf,

    /// Pages to print, or short messages to paste into a phone.
    #[arg(short, long, value_enum, default_value_t = HandoutsFormat::Html)]
    pub(super) format: HandoutsFormat,

    /// Add the speaker's words, but never those marked as private.
    #[arg(long)]
    pub(super) words: bool,

    /// The language of the trades' pages and messages; the speaker's words stay as said.
    #[arg(long, value_enum, default_value_t = LanguageArg::En)]
    pub(super) language: LanguageArg,

    /// The walk's recording, for links to the second; with several walks one for each, in their order.
    #[arg(long, value_name = "FILE")]
    pub(super) media: Vec<PathBuf>,

    /// Put a frame of the recording to each item (needs ffmpeg and --media).
    #[arg(long, requires = "media")]
    pub(super) stills: bool,

    /// Put the photographs of this folder to the items spoken of when they were taken.
    #[arg(long, value_name = "FOLDER")]
    pub(super) photos: Option<PathBuf>,

    /// When the (first) walk began, by the clock of the phone that took the photographs (2026-03-02T09:15:00).
    #[arg(long, value_name = "TIME", requires = "photos")]
    pub(super) recorded: Option<String>,
}

/// What handouts are written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum HandoutsFormat {
    /// A page for each person.
    Html,
    /// For each trade messages under 700 characters.
    Text,
}

#[derive(Debug, clap::Args)]
pub(super) struct PlanArgs {
    /// The list, as JSON; `-` is standard input.
    #[arg(value_name = "LIST")]
    pub(super) list: PathBuf,

    /// The first day on which somebody can come (2026-03-02).
    #[arg(long, value_name = "DATE")]
    pub(super) from: String,

    /// The day by whose end all must be ready.
    #[arg(long, value_name = "DATE")]
    pub(super) ready_by: String,

    /// How the plan is written.
    #[arg(short, long, value_enum, default_value_t = PlanFormat::Table)]
    pub(super) format: PlanFormat,

    /// Save to this file instead of standard output.
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,

    /// Days on which nobody works besides Saturdays and Sundays: one date a line, `#` begins a remark.
    #[arg(long, value_name = "FILE")]
    pub(super) holidays: Option<PathBuf>,

    /// How many people a trade sends (painter=2); may be given several times.
    #[arg(long, value_name = "TRADE=N")]
    pub(super) crew: Vec<String>,

    /// The time stamped on calendar entries [default: SOURCE_DATE_EPOCH, else the system's clock].
    #[arg(long, value_name = "TIME")]
    pub(super) now: Option<String>,
}

/// What a plan is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PlanFormat {
    /// For people, as plain text.
    Table,
    /// For people, as Markdown.
    Md,
    /// One document.
    Json,
    /// A calendar (RFC 5545): an event for each visit, a to-do for each promise.
    Ics,
}

/// A language of handouts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum LanguageArg {
    /// English.
    En,
    /// Spanish; the labels are unreviewed.
    Es,
}
