//! Where the data goes: standard output or files.

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};

use crate::list::save;
use crate::report::Format;

/// Writes to standard output.
pub(super) fn print(bytes: &[u8]) -> anyhow::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)
        .and_then(|()| out.flush())
        .context("cannot write to standard output")
}

/// Refuses to write over a file that is read.
pub(super) fn not_one_of(target: &Path, sources: &[PathBuf]) -> anyhow::Result<()> {
    let Ok(there) = target.canonicalize() else {
        return Ok(());
    };
    if sources
        .iter()
        .any(|s| s.canonicalize().is_ok_and(|s| s == there))
    {
        bail!(
            "{} is one of the walks; choose another name for -o",
            target.display()
        );
    }
    Ok(())
}

/// The names of one file for each walk in a folder: the walk's name with the format's ending. Where two walks differ in
/// their endings alone, these keep them (`attic.srt.json`).
pub(super) fn names(walks: &[&str], format: Format) -> anyhow::Result<Vec<OsString>> {
    let stem = |file: &str| match file {
        "-" => "standard-input".to_string(),
        file => Path::new(file)
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned(),
    };
    let mut names: Vec<OsString> = Vec::new();
    for file in walks {
        let alike = walks.iter().filter(|f| stem(f) == stem(file)).count() > 1;
        let name = if alike {
            (*file).to_string()
        } else {
            stem(file)
        };
        let name = OsString::from(format!("{name}.{}", format.ending()));
        if names.contains(&name) {
            bail!(
                "two walks are called {file}, and one list would be written over the other; rename one"
            );
        }
        names.push(name);
    }
    Ok(names)
}

/// Makes the folder where it is missing.
pub(super) fn folder(path: &Path) -> anyhow::Result<()> {
    std::fs::create_dir_all(path).with_context(|| {
        format!(
            "cannot make the folder {}; -o names a folder here",
            path.display()
        )
    })
}

/// Saves a file whole.
pub(super) fn file(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    Ok(save(path, bytes)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_walk_gets_a_name_of_its_own() {
        let made = names(&["attic.srt", "attic.vtt", "byre.vtt", "-"], Format::Json).unwrap();
        assert_eq!(
            made,
            [
                "attic.srt.json",
                "attic.vtt.json",
                "byre.json",
                "standard-input.json"
            ]
        );
        assert!(names(&["attic.srt", "attic.srt"], Format::Csv).is_err());
    }
}
