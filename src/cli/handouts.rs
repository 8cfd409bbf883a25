//! `storystick handouts LIST -o FOLDER`.

use super::args::{HandoutsArgs, HandoutsFormat};
use super::{Exit, output, saved, say};
use crate::handouts::{self, Options};

/// Reads the list and writes one file a person.
pub(super) fn run(raw: &HandoutsArgs) -> anyhow::Result<Exit> {
    let list = saved::list(&raw.list)?;
    let options = Options { words: raw.words };
    let sheets = match raw.format {
        HandoutsFormat::Html => handouts::pages(&list, &options),
        HandoutsFormat::Text => handouts::messages(&list, &options),
    };
    output::folder(&raw.output)?;
    for sheet in &sheets {
        output::file(&raw.output.join(&sheet.file), sheet.text.as_bytes())?;
    }
    let files = if sheets.len() == 1 { "file" } else { "files" };
    say(
        "note",
        &format!("{} {files} in {}", sheets.len(), raw.output.display()),
    );
    Ok(Exit::Done)
}
