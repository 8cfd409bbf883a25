//! `storystick list LIST.json`: a saved list printed as it stands, with what people decided.

use anyhow::bail;

use super::list::{Options, To, worked_on};
use super::{Exit, output};
use crate::record::Record;
use crate::report::{self, Format, jsonl};

/// Writes the list; no walk is read.
pub(super) fn write(options: &Options, record: &Record) -> anyhow::Result<Exit> {
    let lexicon = &options.lexicon;
    let only_for_walks = [
        ("--each", options.each),
        ("--recorded", !options.recorded.is_empty()),
        ("--house", options.house.is_some()),
        ("--use", options.building_use.is_some()),
        ("--lexicon", !lexicon.files.is_empty()),
        ("--no-default-lexicon", lexicon.no_default_lexicon),
    ];
    if let Some((name, _)) = only_for_walks.iter().find(|(_, given)| *given) {
        bail!(
            "a saved list is printed as it stands, so {name} would change nothing; leave it out, or name the walk it was made from"
        );
    }
    let list = record.list()?;
    let mut bytes = Vec::new();
    match options.format {
        Format::Json => bytes = record.to_bytes(),
        Format::Jsonl => jsonl::write_kept(&list, record.value(), &mut bytes)?,
        format => report::write(&list, format, &options.look, &mut bytes)?,
    }
    match &options.to {
        To::File(path) if worked_on(path) => bail!(
            "{} holds what people decided; choose another name for -o",
            path.display()
        ),
        To::File(path) => output::file(path, &bytes)?,
        To::StandardOutput | To::Folder(_) => output::print(&bytes)?,
    }
    Ok(Exit::Done)
}
