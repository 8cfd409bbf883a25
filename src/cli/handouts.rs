//! `storystick handouts LIST -o FOLDER`.

use std::path::Path;

use super::args::{HandoutsArgs, HandoutsFormat, LanguageArg};
use super::{Exit, output, pictures, saved, say};
use crate::handouts::{self, Language, Options, Sheet};

/// Reads the list and writes one file a person.
pub(super) fn run(raw: &HandoutsArgs) -> anyhow::Result<Exit> {
    let list = saved::list(&raw.list)?;
    output::folder(&raw.output)?;
    let mut options = Options {
        words: raw.words,
        language: match raw.language {
            LanguageArg::En => Language::English,
            LanguageArg::Es => Language::Spanish,
        },
        media: raw
            .media
            .iter()
            .map(|m| seen_from(&raw.output, m))
            .collect(),
        pictures: vec![Vec::new(); list.items.len()],
    };
    if raw.stills {
        pictures::stills(&list, &raw.media, &mut options.pictures);
    }
    if let Some(folder) = &raw.photos {
        pictures::photos(
            &list,
            folder,
            raw.recorded.as_deref(),
            &raw.media,
            &mut options.pictures,
        )?;
    }
    let sheets = match raw.format {
        HandoutsFormat::Html => handouts::pages(&list, &options),
        HandoutsFormat::Text => handouts::messages(&list, &options),
    };
    for sheet in &sheets {
        output::file(&raw.output.join(&sheet.file), sheet.text.as_bytes())?;
    }
    let files = if sheets.len() == 1 { "file" } else { "files" };
    say(
        "note",
        &format!("{} {files} in {}", sheets.len(), raw.output.display()),
    );
    if raw.format == HandoutsFormat::Html {
        let left = left_over(&raw.output, &sheets);
        if !left.is_empty() {
            say(
                "note",
                &format!(
                    "left in {} from an earlier time and no part of this list: {}; remove what is not wanted",
                    raw.output.display(),
                    left.join(", ")
                ),
            );
        }
    }
    Ok(Exit::Done)
}

/// The HTML pages in the folder that were not written now, by name.
fn left_over(folder: &Path, sheets: &[Sheet]) -> Vec<String> {
    let mut left: Vec<String> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| name.ends_with(".html") && sheets.iter().all(|s| s.file != *name))
        .collect();
    left.sort();
    left
}

/// A recording's path as a page in the folder has to name it; as given where it is not there.
fn seen_from(folder: &Path, media: &Path) -> String {
    let given = || media.to_string_lossy().into_owned();
    let (Ok(from), Ok(to)) = (folder.canonicalize(), media.canonicalize()) else {
        return given();
    };
    let (from, to): (Vec<_>, Vec<_>) = (from.components().collect(), to.components().collect());
    let same = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let up = std::iter::repeat_n("..".to_string(), from.len() - same);
    let down = to[same..]
        .iter()
        .map(|c| c.as_os_str().to_string_lossy().into_owned());
    up.chain(down).collect::<Vec<_>>().join("/")
}
