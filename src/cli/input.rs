//! The walks as they are named on the command line: files, folders, standard input.

use std::cmp::Ordering;
use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow, bail};

use super::say;
use crate::record::Record;
use crate::transcript::{self, ReadOptions, Transcript};

/// Endings of files that can only be meant as transcripts: in a folder, one that cannot be read is an error.
const TRANSCRIPTS: [&str; 5] = ["vtt", "srt", "ttml", "dfxp", "imsc"];

/// How many skipped files a note names.
const NAMED: usize = 5;

/// What was read.
#[derive(Debug, Default)]
pub(super) struct Input {
    /// The walks, in the order named; those of a folder in the order of their names.
    pub(super) walks: Vec<Transcript>,
    /// The files they came from.
    pub(super) files: Vec<PathBuf>,
    /// What could not be read.
    pub(super) errors: Vec<anyhow::Error>,
}

/// What is named: walks to be read, or one saved list.
pub(super) enum Named {
    /// Walks.
    Walks(Input),
    /// A list that was saved before.
    List(Record),
}

/// Reads a saved list where one is named alone, else all walks as [`read`] does.
pub(super) fn walks_or_list(
    paths: &[PathBuf],
    target: Option<&Path>,
    lossy: bool,
    fail_fast: bool,
) -> anyhow::Result<Named> {
    let all = expanded(paths);
    let [path] = all.as_slice() else {
        return read(paths, target, lossy, fail_fast).map(Named::Walks);
    };
    if is_folder(path) {
        return read(paths, target, lossy, fail_fast).map(Named::Walks);
    }
    let mut input = Input::default();
    match bytes(path) {
        Ok(bytes) if is_list(&bytes) => {
            return Ok(Named::List(Record::from_bytes(&shown(path), &bytes)?));
        }
        read => input.add(path, read.and_then(|bytes| named(path, &bytes, lossy))),
    }
    Ok(Named::Walks(input))
}

/// Reads all walks; what went otherwise than expected without being wrong is said on standard error. `target` is the file
/// to be written: in a folder it is not taken for a walk.
pub(super) fn read(
    paths: &[PathBuf],
    target: Option<&Path>,
    lossy: bool,
    fail_fast: bool,
) -> anyhow::Result<Input> {
    if paths.iter().filter(|p| is_stdin(p)).count() > 1 {
        bail!("'-' stands twice, and standard input can be read once; name it once");
    }
    let mut input = Input::default();
    for path in &expanded(paths) {
        if fail_fast && !input.errors.is_empty() {
            break;
        }
        if is_folder(path) {
            if let Err(error) = input.folder(path, target, lossy) {
                input.errors.push(error);
            }
        } else {
            input.add(path, file(path, lossy));
        }
    }
    Ok(input)
}

impl Input {
    fn add(&mut self, path: &Path, read: anyhow::Result<Transcript>) {
        let transcript = match read {
            Ok(transcript) => transcript,
            Err(error) => return self.errors.push(error),
        };
        for warning in &transcript.warnings {
            say("warning", &format!("{}: {warning}", path.display()));
        }
        if let Some(same) = self
            .walks
            .iter()
            .position(|w| w.sha256 == transcript.sha256)
        {
            let first = self.files[same].display();
            return say(
                "note",
                &format!(
                    "{}: the same, byte for byte, as {first}; read once",
                    path.display()
                ),
            );
        }
        self.walks.push(transcript);
        self.files.push(path.to_path_buf());
    }

    fn folder(&mut self, folder: &Path, target: Option<&Path>, lossy: bool) -> anyhow::Result<()> {
        let cannot = || format!("{}: cannot read the folder", folder.display());
        let mut names = Vec::new();
        for entry in fs::read_dir(folder).with_context(cannot)? {
            let name = entry
                .with_context(cannot)?
                .file_name()
                .to_string_lossy()
                .into_owned();
            if !name.starts_with('.') {
                names.push(name);
            }
        }
        names.sort_by(|a, b| natural(a, b));
        let target = target.and_then(|t| t.canonicalize().ok());
        let (before, mut skipped) = (self.walks.len() + self.errors.len(), Vec::new());
        for name in names {
            let path = folder.join(&name);
            let is_target = target.is_some() && path.canonicalize().ok() == target;
            // A lexicon that lies beside the walks is known for what it is.
            if path.is_dir() || is_target || name == super::layers::BESIDE {
                continue;
            }
            let meant = path
                .extension()
                .is_some_and(|e| TRANSCRIPTS.iter().any(|t| e.eq_ignore_ascii_case(t)));
            if !meant && !might_be_text(&path) {
                skipped.push(name);
                continue;
            }
            match file(&path, lossy) {
                Err(_) if !meant => skipped.push(name),
                read => self.add(&path, read),
            }
        }
        if self.walks.len() + self.errors.len() == before {
            bail!(
                "{}: no transcript in this folder; name the files, or the folder that holds them",
                folder.display()
            );
        }
        if !skipped.is_empty() {
            say(
                "note",
                &format!(
                    "{}: skipped, no transcript: {}",
                    folder.display(),
                    some_of(&skipped)
                ),
            );
        }
        Ok(())
    }
}

/// Patterns that no shell has filled in (`walks/*.vtt`): `*` and `?` in the last part of a path, in the order of the names.
fn expanded(paths: &[PathBuf]) -> Vec<PathBuf> {
    let mut out = Vec::new();
    for path in paths {
        let pattern = path.file_name().unwrap_or_default().to_string_lossy();
        if path.exists() || !pattern.contains(['*', '?']) {
            out.push(path.clone());
            continue;
        }
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
        let mut names: Vec<String> = fs::read_dir(folder.unwrap_or(Path::new(".")))
            .into_iter()
            .flatten()
            .filter_map(|e| e.ok().map(|e| e.file_name().to_string_lossy().into_owned()))
            .filter(|n| !n.starts_with('.') && fits(pattern.as_bytes(), n.as_bytes()))
            .collect();
        names.sort_by(|a, b| natural(a, b));
        if names.is_empty() {
            // Nothing fits: the error names the pattern.
            out.push(path.clone());
        }
        out.extend(names.iter().map(|n| path.with_file_name(n)));
    }
    out
}

/// Whether a name fits a pattern: back to the last `*` where it does not, so never more than pattern times name.
fn fits(pattern: &[u8], name: &[u8]) -> bool {
    let (mut p, mut n, mut star) = (0, 0, None);
    while n < name.len() {
        if pattern.get(p) == Some(&b'*') {
            star = Some((p, n));
            p += 1;
        } else if pattern.get(p).is_some_and(|c| *c == b'?' || *c == name[n]) {
            (p, n) = (p + 1, n + 1);
        } else if let Some((at, from)) = star {
            star = Some((at, from + 1));
            (p, n) = (at + 1, from + 1);
        } else {
            return false;
        }
    }
    pattern[p..].iter().all(|c| *c == b'*')
}

fn is_folder(path: &Path) -> bool {
    !is_stdin(path) && path.is_dir()
}

fn is_stdin(path: &Path) -> bool {
    path.as_os_str() == "-"
}

pub(super) fn file(path: &Path, lossy: bool) -> anyhow::Result<Transcript> {
    named(path, &bytes(path)?, lossy)
}

/// How errors name a file: with its folder.
fn shown(path: &Path) -> String {
    if is_stdin(path) {
        return "standard input".to_string();
    }
    path.display().to_string()
}

/// What stands in a file or, for `-`, in standard input.
fn bytes(path: &Path) -> anyhow::Result<Vec<u8>> {
    let shown = shown(path);
    if is_stdin(path) {
        let mut bytes = Vec::new();
        io::stdin()
            .lock()
            .read_to_end(&mut bytes)
            .with_context(|| format!("{shown}: cannot be read"))?;
        return Ok(bytes);
    }
    fs::read(path).map_err(|error| match error.kind() {
        io::ErrorKind::NotFound => anyhow!("{shown}: no such file; check its name and folder"),
        _ => anyhow!("{shown}: cannot be read: {error}"),
    })
}

/// The transcript in these bytes, under its name without the folder: the list is the same wherever the folder lies.
fn named(path: &Path, bytes: &[u8], lossy: bool) -> anyhow::Result<Transcript> {
    let read = transcript(bytes, &shown(path), lossy)?;
    let name = path
        .file_name()
        .unwrap_or(path.as_os_str())
        .to_string_lossy()
        .into_owned();
    Ok(Transcript { file: name, ..read })
}

/// The one place where bytes become a transcript. Errors name the file as shown.
fn transcript(bytes: &[u8], shown: &str, lossy: bool) -> anyhow::Result<Transcript> {
    if is_list(bytes) {
        bail!(
            "{shown}: a list that storystick saved, not a transcript; name the walk it was made from, or the list alone to print it with \
             `storystick list LIST.json`"
        );
    }
    Ok(transcript::read(bytes, shown, &ReadOptions { lossy })?)
}

/// Whether the bytes begin as a saved list does.
fn is_list(bytes: &[u8]) -> bool {
    let start = String::from_utf8_lossy(&bytes[..bytes.len().min(256)]);
    start.trim_start().starts_with('{') && start.contains("\"storystick/list/")
}

/// Looks at the first bytes alone, so that a folder's films and pictures are not read whole.
fn might_be_text(path: &Path) -> bool {
    let mut start = Vec::new();
    let read = File::open(path).and_then(|f| f.take(4096).read_to_end(&mut start));
    let utf16 = start.starts_with(&[0xff, 0xfe]) || start.starts_with(&[0xfe, 0xff]);
    read.is_ok() && (utf16 || !start.contains(&0))
}

fn some_of(names: &[String]) -> String {
    let mut text = names[..names.len().min(NAMED)].join(", ");
    if names.len() > NAMED {
        text.push_str(&format!(" and {} more", names.len() - NAMED));
    }
    text
}

/// The order in which people number files: "walk 2" stands before "walk 10".
fn natural(a: &str, b: &str) -> Ordering {
    parts(a).cmp(parts(b)).then_with(|| a.cmp(b))
}

/// Runs of digits and what stands between them. Digits compare by length first, then by value.
fn parts(name: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut rest = name;
    std::iter::from_fn(move || {
        let digits = rest.starts_with(|c: char| c.is_ascii_digit());
        let end = rest
            .find(|c: char| c.is_ascii_digit() != digits)
            .unwrap_or(rest.len());
        let (part, after) = rest.split_at(end);
        rest = after;
        let part = if digits {
            part.trim_start_matches('0')
        } else {
            part
        };
        // Digits sort before letters, as in plain text.
        (!part.is_empty() || digits).then_some((if digits { part.len() } else { usize::MAX }, part))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_sort_as_people_number_them() {
        let mut names = [
            "walk10.vtt",
            "walk2.vtt",
            "attic.vtt",
            "walk02.vtt",
            "7.srt",
        ]
        .map(String::from);
        names.sort_by(|a, b| natural(a, b));
        assert_eq!(
            names,
            [
                "7.srt",
                "attic.vtt",
                "walk02.vtt",
                "walk2.vtt",
                "walk10.vtt"
            ]
        );
    }

    #[test]
    fn patterns() {
        let fit = |p: &str, n: &str| fits(p.as_bytes(), n.as_bytes());
        assert!(fit("*.vtt", "attic.vtt") && fit("walk?.*", "walk2.srt") && fit("a*c*e", "abcde"));
        assert!(!fit("*.vtt", "attic.srt") && !fit("walk?.*", "walk10.srt") && !fit("a*c", "abcd"));
    }

    #[test]
    fn tells_a_saved_list() {
        assert!(is_list(b" {\n  \"schema\": \"storystick/list/1\","));
        assert!(!is_list(b"{\"segments\": []}"));
    }
}
