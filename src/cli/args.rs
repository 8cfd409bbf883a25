//! The arguments as they are typed. Each command resolves its own once, into options.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use crate::list::Use;
use crate::report::{Format, Look};

const EXITS: &str = "\
Exit status:
  0  done
  1  a check that was asked for failed, or with --each a walk could not be read
  2  the arguments or the input could not be used, or the output not be written";

const PLAN_EXITS: &str = "\
Exit status:
  0  done; all can be ready in time
  1  something cannot be ready in time, or not by its spoken deadline (the plan is written all the same)
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
    /// Carry a list forward by the next walk: what was made good, what is still to do, what was not spoken of.
    ///
    /// Each item gets the walk's word on it; ids and numbers stay, new items are added. The words that say so stand in the report and
    /// in the list. Read the report before anybody acts on it.
    #[command(after_help = EXITS)]
    Rewalk(super::rewalk::RewalkArgs),
    /// Print what each walk said of the items of a list, or of one.
    #[command(after_help = EXITS)]
    History(super::rewalk::HistoryArgs),
    /// Print the JSON Schema of the list.
    #[command(after_help = EXITS)]
    Schema,
    /// Change a saved list: set fields, drop, add, close, and so on.
    ///
    /// What to change is one of
    ///   ID_OR_NUMBER field=value...          other values; by=2026-03-10 also sets the date, by=none clears it
    ///   drop|restore|accept|reopen ID        leave out, take back in, right as it is, open again
    ///   add area=.. element=.. work=.. [trade=..] [at=1:02] [said=..]
    ///   close ID accepted|credit|not-ours|duplicate
    ///   split ID [field=value...]            two items of the same words
    ///   join ID ID                           the second ends in the first
    #[command(after_help = EXITS, verbatim_doc_comment)]
    Change(ChangeArgs),
    /// Compare lists with what a person marked in the same walks.
    ///
    /// For people who tune a lexicon: each NAME.marks.json in the folder stands beside its transcript. The words of what is the same
    /// part or place are the lexicon's own.
    #[command(after_help = EXITS)]
    Grade {
        /// The folders of marked walks.
        #[arg(value_name = "FOLDER", required = true)]
        folders: Vec<PathBuf>,
        /// Only these walks, by name.
        #[arg(long, value_name = "NAME", value_delimiter = ',')]
        only: Vec<String>,
        /// Show how often items of a confidence are right, in ten bins.
        #[arg(long, conflicts_with = "fit")]
        calibration: bool,
        /// Print the weights of the two models fitted on these walks: of confidence, and of where the speaker is.
        #[arg(long)]
        fit: bool,
    },
    /// Go through a saved list and put it right, in the browser.
    ///
    /// Serves a page to this machine alone and opens it: the walk as a stick from top to bottom, the items with the words said, the
    /// least sure first. Every change is saved to the list at once. Prints the page's address, which holds a key: whoever has it can
    /// change the list. Ctrl-C ends it.
    #[command(after_help = EXITS)]
    Review(ReviewArgs),
    /// Tell why the list has what it has of one moment, stage by stage.
    ///
    /// The words at that moment, what the lexicon found in them, the place and how it was told, what each cue reaches, what is said
    /// of which part, what decided each field of the items, what was passed over, and what nearly counted and why it did not.
    #[command(after_help = EXITS)]
    Why(super::why::WhyArgs),
    /// Watch a folder and put beside each transcript dropped there its list, as NAME.list.json.
    ///
    /// A transcript is read once it has stopped changing. One that has a list beside it is left as it is, so nothing is written
    /// over, and a new start goes on where the last one ended. Ends when it is ended.
    #[command(after_help = EXITS)]
    Watch {
        /// The folder.
        #[arg(value_name = "FOLDER")]
        folder: PathBuf,
        /// How long a file must not have changed to be whole.
        #[arg(long, value_name = "SECONDS", default_value_t = 2.0)]
        settle: f64,
        /// Read on past bytes that are no UTF-8, with a sign in their place.
        #[arg(long)]
        lossy: bool,
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
    /// Tell what would come of a spoken sentence, stage by stage.
    #[command(after_help = EXITS)]
    Try(super::lexicon_try::TryArgs),
    /// Check lexicon files and run all examples; without a path, the lexicon in effect.
    ///
    /// The files are laid over the built-in lexicon and over those that are found by themselves, as `--lexicon` would do it.
    /// Errors name the file, the line, the column and a mend. An example of an entry below that no longer holds because of
    /// the files is a note, not an error: it shows what they change.
    #[command(after_help = EXITS)]
    Check {
        /// Lexicon files (YAML) or folders of them.
        #[arg(value_name = "FILE")]
        paths: Vec<PathBuf>,
        #[command(flatten)]
        lexicon: LexiconArgs,
    },
    /// Print the lexicon in effect as YAML that can be read again.
    #[command(after_help = EXITS)]
    Dump {
        #[command(flatten)]
        lexicon: LexiconArgs,
    },
    /// List words of your own walks that stand near a fault or a work and that the lexicon does not know.
    ///
    /// The most frequent come first: the list to teach the lexicon from.
    #[command(after_help = EXITS)]
    Words {
        /// Transcripts, or folders of them; `-` is standard input.
        #[arg(value_name = "WALK", required = true)]
        walks: Vec<PathBuf>,
        /// How many are shown.
        #[arg(long, value_name = "NUMBER", default_value_t = 50)]
        most: usize,
        /// Read on past bytes that are no UTF-8, with a sign in their place.
        #[arg(long)]
        lossy: bool,
        #[command(flatten)]
        lexicon: LexiconArgs,
    },
    /// Show an entry, or all that a word may mean: where it stands, its forms, what it leads to.
    #[command(after_help = EXITS)]
    Show {
        /// An entry's id (`baseboard`, `elements/baseboard`) or words as spoken (`skirting boards`).
        #[arg(value_name = "ID_OR_WORD")]
        asked: String,
        #[command(flatten)]
        lexicon: LexiconArgs,
    },
}

/// Which lexicon is used: the built-in one, over it those that are found by themselves, over these those that are named.
#[derive(Debug, Clone, Default, clap::Args)]
pub(super) struct LexiconArgs {
    /// Lay this lexicon file, or the files of this folder, over the lexicon; several are laid over one another in order.
    ///
    /// Below them lie, from the bottom: the built-in lexicon, the files in the folder `storystick` of the user's
    /// configuration, and each `storystick.yaml` beside a walk or in a folder above it, the nearest last.
    #[arg(long = "lexicon", value_name = "FILE_OR_FOLDER")]
    pub(super) files: Vec<PathBuf>,

    /// Use only what --lexicon names: neither the built-in lexicon nor files found by themselves.
    #[arg(long)]
    pub(super) no_default_lexicon: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct ChangeArgs {
    /// A list saved as JSON.
    #[arg(value_name = "LIST")]
    pub(super) list: PathBuf,

    /// What to change.
    #[arg(value_name = "CHANGE", required = true)]
    pub(super) what: Vec<String>,

    /// Who decides, by role.
    #[arg(long, value_name = "ROLE", default_value = "reviewer")]
    pub(super) by: String,

    /// When it is decided [default: SOURCE_DATE_EPOCH, else the system's time].
    #[arg(long, value_name = "TIME")]
    pub(super) now: Option<String>,
}

#[derive(Debug, clap::Args)]
pub(super) struct ListArgs {
    /// Transcripts, or folders of them; `-` is standard input. One list saved as JSON, named alone, is printed as it stands.
    #[arg(value_name = "WALK", required_unless_present = "lines")]
    pub(super) walks: Vec<PathBuf>,

    /// How the list is written [default: by the ending of -o, else table].
    #[arg(short, long, value_enum, hide_default_value = true)]
    pub(super) format: Option<FormatArg>,

    /// Save to this file instead of standard output; with --each, to one file a walk in this folder.
    ///
    /// The ending picks the format where --format does not: .json, .jsonl, .csv, .md, .html, .bcf, or .txt for the table.
    /// With --each the format is JSON unless --format says otherwise. An existing file is replaced whole or not at all; what people
    /// decided in it is kept.
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<PathBuf>,

    /// Make one list a walk, not one list of all.
    ///
    /// To standard output they follow each other; as JSON each list then stands on one line.
    #[arg(long)]
    pub(super) each: bool,

    #[command(flatten)]
    pub(super) lexicon: LexiconArgs,

    /// A house file (YAML): the building's known areas. The list names them as the file does, and tells which nobody went to
    /// and which of the parts to be looked at nobody spoke of.
    #[arg(long, value_name = "FILE")]
    pub(super) house: Option<PathBuf>,

    /// What the building is for: spoken measures are held against published limits for it.
    ///
    /// Without it, and without a house file that says so, no measure is held against anything.
    #[arg(long = "use", value_enum, value_name = "USE")]
    pub(super) building_use: Option<UseArg>,

    /// When the walk was recorded (2026-03-02, or with its time 2026-03-02T09:15:00): spoken deadlines become dates.
    ///
    /// Of several walks once for all, or once for each in their order.
    #[arg(long, value_name = "DATE", conflicts_with = "lines", value_parser = super::now::recorded)]
    pub(super) recorded: Vec<String>,

    /// With --each: stop at the first walk that cannot be read, and make no list.
    #[arg(long, requires = "each")]
    pub(super) fail_fast: bool,

    /// Read one walk a line from standard input and write one list or error a line.
    ///
    /// Each line is a JSON object with a `name` and either `text`, the whole transcript, or `segments`; `recorded` may give the
    /// walk's date. The answers come in the order of the lines: {"name", "list"} or {"name", "error"}.
    #[arg(long, conflicts_with_all = ["walks", "each", "output", "format"])]
    pub(super) lines: bool,

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
pub(super) enum UseArg {
    /// A house or flat.
    Dwelling,
    /// Open to the public.
    Public,
    /// A construction site.
    Site,
}

impl From<UseArg> for Use {
    fn from(arg: UseArg) -> Use {
        match arg {
            UseArg::Dwelling => Use::Dwelling,
            UseArg::Public => Use::Public,
            UseArg::Site => Use::Site,
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
    ///
    /// Without it the list's own time counts, else what the recording's file tells (--media): its container's start or time of
    /// creation by ffprobe, else the time at which the file was last changed less its length. What was taken is told.
    #[arg(long, value_name = "TIME", requires = "photos")]
    pub(super) recorded: Option<String>,
}

/// What handouts are written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum HandoutsFormat {
    /// A page for each person.
    Html,
    /// For each trade messages under 700 characters, and those of the superintendent's questions and of the promises.
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

#[derive(Debug, clap::Args)]
pub(super) struct ReviewArgs {
    /// The list, as `storystick list -o NAME.json` saved it.
    #[arg(value_name = "LIST")]
    pub(super) list: PathBuf,

    /// The walk's recording, sound or picture; for a list of several walks once for each, in their order or as w2=FILE.
    #[arg(long, value_name = "FILE", conflicts_with = "terminal")]
    pub(super) media: Vec<String>,

    /// Print the address and open no browser.
    #[arg(long)]
    pub(super) no_open: bool,

    /// Step through the uncertain items at the terminal with single keys, without a browser.
    #[arg(long, conflicts_with = "no_open")]
    pub(super) terminal: bool,

    /// Whose decisions these are: a role, not a name.
    #[arg(long, value_name = "ROLE", default_value = "reviewer")]
    pub(super) by: String,

    /// The time with which decisions are dated [default: SOURCE_DATE_EPOCH, else the system's clock].
    #[arg(long, value_name = "TIME")]
    pub(super) now: Option<String>,

    #[command(flatten)]
    pub(super) lexicon: LexiconArgs,
}

/// A language of handouts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum LanguageArg {
    /// English.
    En,
    /// Spanish; the labels are unreviewed.
    Es,
}
