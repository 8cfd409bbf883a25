//! Saving a file so that a reader finds the old bytes or the new ones, never half of them.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why a file was not saved.
#[derive(Debug, thiserror::Error)]
#[error("cannot save {}; check that its folder exists and can be written to", path.display())]
pub struct SaveError {
    /// The file.
    pub path: PathBuf,
    /// What the system said.
    pub source: io::Error,
}

/// Writes the bytes to `path`, whole or not at all: to a new file beside it, through to the disk, then renamed over it.
///
/// A link is followed, an existing file keeps its permissions, and what is no regular file (`/dev/null`, a named pipe) is
/// written to as it is.
///
/// # Errors
///
/// Where the folder is missing or may not be written to, the disk is full, or `path` is a folder. What stood at `path` is
/// then as it was.
pub fn save(path: &Path, bytes: &[u8]) -> Result<(), SaveError> {
    put(path, bytes).map_err(|source| SaveError {
        path: path.to_path_buf(),
        source,
    })
}

fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let there = fs::metadata(path).ok();
    if there.as_ref().is_some_and(|m| !m.is_file() && !m.is_dir()) {
        return OpenOptions::new().write(true).open(path)?.write_all(bytes);
    }
    let path = if there.is_some() {
        fs::canonicalize(path)?
    } else {
        path.to_path_buf()
    };
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    // Asked first, since the error of the file beside would name that file.
    fs::metadata(folder)?;
    let mut new = beside(folder)?;
    new.write_all(bytes)?;
    if let Some(there) = there {
        new.as_file().set_permissions(there.permissions())?;
    }
    new.as_file().sync_all()?;
    new.persist(&path)?;
    if cfg!(unix) {
        // The name is safe only once the folder is; some file systems cannot sync a folder, and the file is whole anyway.
        let _ = File::open(folder).and_then(|f| f.sync_all());
    }
    Ok(())
}

fn beside(folder: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".storystick-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new file: what the umask leaves of it.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn replaces_and_leaves_nothing_beside() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("loft.json");
        save(&path, b"one").unwrap();
        save(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn names_what_it_could_not_save() {
        let folder = tempfile::tempdir().unwrap();
        let missing = folder.path().join("no").join("loft.json");
        assert!(
            save(&missing, b"")
                .unwrap_err()
                .to_string()
                .contains("loft.json")
        );
        assert!(save(folder.path(), b"").is_err());
    }

    #[cfg(unix)]
    #[test]
    fn keeps_permissions_follows_links_and_writes_to_devices() {
        use std::os::unix::fs::{FileTypeExt, PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (
            folder.path().join("loft.json"),
            folder.path().join("latest.json"),
        );
        fs::write(&path, b"one").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        symlink(&path, &link).unwrap();
        save(&link, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(
            fs::metadata(&path).unwrap().permissions().mode() & 0o777,
            0o640
        );
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        save(Path::new("/dev/null"), b"x").unwrap();
        assert!(
            fs::metadata("/dev/null")
                .unwrap()
                .file_type()
                .is_char_device()
        );
    }
}
