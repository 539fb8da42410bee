//! Lines added to a file that others may be adding to: under a lock, behind what is there, safe on the disk before it is
//! said to be done. Comes in: a path, and what to add to the bytes found there; nothing that is there is ever changed.

use std::fs::{File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::Path;

/// Why nothing was added.
#[derive(Debug)]
pub enum AppendFault<E> {
    /// The file could not be opened, locked, read or written.
    File(io::Error),
    /// What is there does not let it be added.
    Refused(E),
}

/// A file may be replaced by another program between opening and locking it so often before we give up.
const MOST_TRIES: usize = 100;

/// Adds to the file at `path`, which is made where it is missing; its folder is not. `addition` is given all that is there
/// while nobody else that locks can write; what it returns is written at once.
///
/// # Errors
/// What the file system refuses, or `addition`. Nothing is written then, but where a disk ran full, of which a
/// torn line may remain.
pub fn append<E>(
    path: &Path,
    addition: impl FnOnce(&[u8]) -> Result<Vec<u8>, E>,
) -> Result<(), AppendFault<E>> {
    let mut file = locked(path).map_err(AppendFault::File)?;
    let mut existing = Vec::new();
    file.read_to_end(&mut existing).map_err(AppendFault::File)?;
    let added = addition(&existing).map_err(AppendFault::Refused)?;
    let written = file.write_all(&added).and_then(|()| file.sync_all());
    if existing.is_empty() {
        // The new name has to last as well; where folders cannot be synced, it does without.
        let folder = path.parent().filter(|one| !one.as_os_str().is_empty());
        let _ = File::open(folder.unwrap_or(Path::new("."))).and_then(|folder| folder.sync_all());
    }
    // Closing unlocks too; this says when.
    let _ = file.unlock();
    written.map_err(AppendFault::File)
}

/// The file, open and locked, and still the one that has this name.
fn locked(path: &Path) -> io::Result<File> {
    for _ in 0..MOST_TRIES {
        let file = OpenOptions::new()
            .read(true)
            .append(true)
            .create(true)
            .open(path)?;
        file.lock()?;
        if is_still(&file, path)? {
            return Ok(file);
        }
    }
    Err(io::Error::other("another program keeps replacing it"))
}

/// A program that saves by renaming leaves whoever had the old file open with one that nobody sees.
#[cfg(unix)]
fn is_still(file: &File, path: &Path) -> io::Result<bool> {
    use std::os::unix::fs::MetadataExt;
    let ours = file.metadata()?;
    match path.metadata() {
        Ok(there) => Ok((ours.dev(), ours.ino()) == (there.dev(), there.ino())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(error),
    }
}

/// Elsewhere an open file cannot be replaced.
#[cfg(not(unix))]
const fn is_still(_: &File, _: &Path) -> io::Result<bool> {
    Ok(true)
}
