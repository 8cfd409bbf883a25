//! A list file that several programs may change: locked, read anew, changed, saved whole.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::{Duration, Instant};

use super::error::RecordError;
use super::shape::{Record, digest};
use crate::list::save;

/// How long another program may hold the list.
const PATIENCE: Duration = Duration::from_secs(10);

/// Reads the list under a lock, lets `change` change it, and saves it whole; gives what `change` gave and the new revision.
///
/// The lock is a hidden file beside the list (`.NAME.lock`), held only for the while. Where `change` changed nothing, nothing is
/// written.
///
/// # Errors
/// What `change` gives, and then nothing is saved; or where the file cannot be locked, read or saved.
pub fn update<T, E: From<RecordError>>(
    path: &Path,
    change: impl FnOnce(&mut Record) -> Result<T, E>,
) -> Result<(T, String), E> {
    let _lock = Lock::take(path)?;
    let mut record = Record::open(path)?;
    let before = record.value.clone();
    let made = change(&mut record)?;
    if record.value == before {
        return Ok((made, record.revision().to_string()));
    }
    let bytes = record.to_bytes();
    save(path, &bytes).map_err(RecordError::Save)?;
    Ok((made, digest(&bytes)))
}

/// A lock on a list, until dropped.
#[derive(Debug)]
pub(crate) struct Lock {
    file: File,
    path: PathBuf,
}

impl Lock {
    /// Waits for the list at `path` to be free; the list itself may be missing.
    pub(crate) fn take(path: &Path) -> Result<Lock, RecordError> {
        let cannot = |source| RecordError::Lock {
            path: path.to_path_buf(),
            source,
        };
        // Two names of one file share the lock.
        let real = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
        let name = real.file_name().unwrap_or_default().to_string_lossy();
        let beside = real.with_file_name(format!(".{name}.lock"));
        let begun = Instant::now();
        loop {
            let file = OpenOptions::new()
                .create(true)
                .truncate(false)
                .write(true)
                .open(&beside)
                .map_err(cannot)?;
            match file.try_lock() {
                // Whoever held it before may have taken the file away after it was opened here.
                Ok(()) if same(&file, &beside).map_err(cannot)? => {
                    return Ok(Lock { file, path: beside });
                }
                Ok(()) => continue,
                Err(TryLockError::WouldBlock) if begun.elapsed() < PATIENCE => {
                    sleep(Duration::from_millis(5));
                }
                Err(TryLockError::WouldBlock) => {
                    return Err(RecordError::Busy {
                        path: path.to_path_buf(),
                        seconds: PATIENCE.as_secs(),
                    });
                }
                Err(TryLockError::Error(source)) => return Err(cannot(source)),
            }
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Elsewhere an open file cannot be taken away; it stays, empty and free.
        if cfg!(unix) {
            let _ = fs::remove_file(&self.path);
        }
        let _ = self.file.unlock();
    }
}

#[cfg(unix)]
fn same(file: &File, path: &Path) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let here = file.metadata()?;
    match fs::metadata(path) {
        Ok(there) => Ok((here.dev(), here.ino()) == (there.dev(), there.ino())),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(e) => Err(e),
    }
}

#[cfg(not(unix))]
fn same(_: &File, _: &Path) -> io::Result<bool> {
    Ok(true)
}
