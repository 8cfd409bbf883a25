//! `storystick watch FOLDER`: a transcript dropped into a folder gets its list put beside it.
//!
//! What was done is told by the files alone: a walk that has a list beside it is left, whoever made the list, so nothing
//! is written over and a new start goes on where the last one ended.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::{Duration, SystemTime};

use anyhow::{Context, anyhow, bail};
use notify::{RecursiveMode, Watcher};

use super::{Exit, input, say};
use crate::lexicon::Lexicon;
use crate::report::{self, Format, Look};

/// Endings that a walk may have.
const WALKS: [&str; 9] = [
    "vtt", "srt", "ttml", "dfxp", "imsc", "txt", "json", "tsv", "csv",
];
/// What a list is called: the walk's name and this.
const LIST: &str = ".list.json";

/// What to watch, and how.
pub(super) struct Options {
    pub(super) folder: PathBuf,
    /// How long a file must not have changed to be whole.
    pub(super) settle: Duration,
    pub(super) lossy: bool,
}

/// How a file was when it was last looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Seen {
    size: u64,
    changed: Option<SystemTime>,
}

struct Watch<'a> {
    options: &'a Options,
    lexicon: Lexicon,
    /// Walks that wait to be whole: how they were, and since when they have been so.
    waiting: BTreeMap<PathBuf, (Seen, std::time::Instant)>,
    /// Walks that could not be read, as they were then.
    bad: BTreeMap<PathBuf, Seen>,
}

/// Watches until the program is ended.
pub(super) fn run(options: &Options) -> anyhow::Result<Exit> {
    if !options.folder.is_dir() {
        bail!(
            "{}: no such folder; name the one into which transcripts are dropped",
            options.folder.display()
        );
    }
    let (tell, told) = mpsc::channel();
    let mut watcher = notify::recommended_watcher(move |event| {
        // Nobody listens any more when the program ends.
        let _ = tell.send(event);
    })
    .context("cannot watch for changes of files")?;
    watcher
        .watch(&options.folder, RecursiveMode::NonRecursive)
        .with_context(|| format!("{}: cannot be watched", options.folder.display()))?;
    say("note", &format!("watching {}", options.folder.display()));
    let mut watch = Watch {
        options,
        lexicon: Lexicon::builtin(),
        waiting: BTreeMap::new(),
        bad: BTreeMap::new(),
    };
    // Now and then without being told as well: some file systems tell nothing.
    let idle = Duration::from_secs(30);
    loop {
        watch.look()?;
        let wait = if watch.waiting.is_empty() {
            idle
        } else {
            options.settle.max(Duration::from_millis(50))
        };
        match told.recv_timeout(wait) {
            Ok(_) => while told.try_recv().is_ok() {},
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => bail!("the watch on the folder has ended"),
        }
    }
}

impl Watch<'_> {
    /// Looks through the folder once.
    fn look(&mut self) -> anyhow::Result<()> {
        let folder = &self.options.folder;
        let cannot = || format!("{}: cannot read the folder", folder.display());
        let mut walks = Vec::new();
        for entry in fs::read_dir(folder).with_context(cannot)? {
            let path = entry.with_context(cannot)?.path();
            if is_walk(&path) && !list_of(&path).exists() {
                walks.push(path);
            }
        }
        walks.sort();
        self.waiting.retain(|path, _| walks.contains(path));
        self.bad.retain(|path, _| walks.contains(path));
        for path in walks {
            // One that is gone again is none.
            let Ok(meta) = fs::metadata(&path) else {
                continue;
            };
            let now = Seen {
                size: meta.len(),
                changed: meta.modified().ok(),
            };
            if self.bad.get(&path) == Some(&now) {
                continue;
            }
            let since = match self.waiting.get(&path) {
                Some((seen, since)) if *seen == now => *since,
                _ => std::time::Instant::now(),
            };
            if now.size == 0 || since.elapsed() < self.options.settle {
                self.waiting.insert(path, (now, since));
                continue;
            }
            self.waiting.remove(&path);
            match self.make(&path) {
                Ok(Some(list)) => say("note", &format!("{}: made", list.display())),
                Ok(None) => {}
                Err(error) => {
                    say("error", &format!("{error:#}"));
                    self.bad.insert(path, now);
                }
            }
        }
        Ok(())
    }

    /// Makes the list of one walk; none where somebody else has put one there in the meantime.
    fn make(&self, path: &Path) -> anyhow::Result<Option<PathBuf>> {
        let walk = input::file(path, self.options.lossy)?;
        let list = crate::pipeline::list(&[walk], &self.lexicon);
        let target = list_of(path);
        let cannot = || format!("{}: cannot be written", target.display());
        let mut file = tempfile::Builder::new()
            .prefix(".storystick-")
            .tempfile_in(&self.options.folder)
            .with_context(cannot)?;
        let mut bytes = Vec::new();
        report::write(&list, Format::Json, &Look::default(), &mut bytes)?;
        file.write_all(&bytes).with_context(cannot)?;
        file.as_file().sync_all().with_context(cannot)?;
        match file.persist_noclobber(&target) {
            Ok(_) => Ok(Some(target)),
            Err(e) if e.error.kind() == std::io::ErrorKind::AlreadyExists => Ok(None),
            Err(e) => Err(anyhow!(e.error).context(cannot())),
        }
    }
}

/// Whether a file may be a walk: by its ending, and no list nor a hidden file.
fn is_walk(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let ending = path.extension().unwrap_or_default();
    !name.starts_with('.')
        && !name.ends_with(LIST)
        && WALKS.iter().any(|w| ending.eq_ignore_ascii_case(w))
        && path.is_file()
}

fn list_of(walk: &Path) -> PathBuf {
    let mut name = walk.file_name().unwrap_or_default().to_os_string();
    name.push(LIST);
    walk.with_file_name(name)
}
