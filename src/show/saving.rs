//! A layout written over the old one: whole or not at all, whenever the power goes, and never over what another program has
//! written meanwhile. The new text goes into a file beside the old one and down to the disk; only then does it take the old
//! one's name, in one step.

use std::ffi::{OsStr, OsString};
use std::fs::{self, File, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::on_disk;

/// The steps that saving takes on a disk, so that a test can cut the power between any two.
pub trait Disk {
    /// All bytes of a file; none where there is no such file.
    ///
    /// # Errors
    /// Where it is there and cannot be read.
    fn read(&self, path: &Path) -> io::Result<Option<Vec<u8>>>;
    /// A new file at a path where there is none, as accessible as the one at `like`.
    ///
    /// # Errors
    /// Where there is one already, or none can be made.
    fn create(&self, path: &Path, like: &Path) -> io::Result<()>;
    /// Bytes written into a file that was created.
    ///
    /// # Errors
    /// Where they cannot all be.
    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    /// What was written into a file is on the disk when this comes back.
    ///
    /// # Errors
    /// Where that cannot be had.
    fn flush(&self, path: &Path) -> io::Result<()>;
    /// A file takes another's name and place.
    ///
    /// # Errors
    /// Where it cannot.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// The names in a folder are on the disk when this comes back.
    ///
    /// # Errors
    /// Where that cannot be had.
    fn flush_folder(&self, folder: &Path) -> io::Result<()>;
    /// The names in a folder.
    ///
    /// # Errors
    /// Where it cannot be listed.
    fn names(&self, folder: &Path) -> io::Result<Vec<OsString>>;
    /// A file taken away.
    ///
    /// # Errors
    /// Where it cannot be.
    fn remove(&self, path: &Path) -> io::Result<()>;
}

/// Why a layout was not saved; the old one stands as it was.
#[derive(Debug)]
pub enum SaveFault {
    /// Another program has changed the file: this is what it says now, nothing where it is gone.
    Changed(Option<Vec<u8>>),
    /// It cannot be written.
    Unwritable(io::Error),
}

impl From<io::Error> for SaveFault {
    fn from(error: io::Error) -> Self {
        Self::Unwritable(error)
    }
}

/// Writes `new` to `path` in place of `old`; where `old` is nothing there must be no file.
///
/// # Errors
/// Where the file is not `old` any more, or cannot be written.
pub fn save_over(
    disk: &impl Disk,
    path: &Path,
    old: Option<&[u8]>,
    new: &[u8],
) -> Result<(), SaveFault> {
    let folder = folder_of(path);
    // Left there by a power cut: it was nobody's yet. One that cannot be listed or taken away is in nobody's way.
    for name in disk.names(folder).unwrap_or_default() {
        if is_beside(path, &name) {
            let _ = disk.remove(&folder.join(name));
        }
    }
    let beside = beside(path)?;
    disk.create(&beside, path)?;
    let written = disk
        .write(&beside, new)
        .and_then(|()| disk.flush(&beside))
        .map_err(SaveFault::from)
        // As late as can be: what is there now is what is replaced.
        .and_then(|()| match disk.read(path)? {
            now if now.as_deref() == old => Ok(()),
            now => Err(SaveFault::Changed(now)),
        })
        .and_then(|()| Ok(disk.rename(&beside, path)?));
    if let Err(fault) = written {
        let _ = disk.remove(&beside);
        return Err(fault);
    }
    // Its name may not be down yet; the file is whole either way. Not every system can do this to a folder.
    let _ = disk.flush_folder(folder);
    Ok(())
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Letters of chance in the name beside.
const CHANCE: usize = 16;

/// The name beside it that the new file bears while it is written: another each time, for where two programs save at once,
/// neither may give the file's name to what the other has only begun to write.
fn beside(path: &Path) -> io::Result<PathBuf> {
    let chance = getrandom::u64().map_err(io::Error::other)?;
    Ok(path.with_file_name(format!("{}{chance:016x}{ENDING}", beginning(path))))
}

const ENDING: &str = ".new";

fn beginning(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    format!(".spile-{name}-")
}

/// Whether a name is one of those.
fn is_beside(path: &Path, name: &OsStr) -> bool {
    let chance = name
        .to_str()
        .and_then(|name| name.strip_prefix(&beginning(path))?.strip_suffix(ENDING));
    chance.is_some_and(|chance| {
        chance.len() == CHANCE && chance.bytes().all(|letter| letter.is_ascii_hexdigit())
    })
}

/// The machine's own disk.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn read(&self, path: &Path) -> io::Result<Option<Vec<u8>>> {
        match on_disk::ordinary(path).and_then(|()| on_disk::contents_of(path)) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error),
        }
    }

    fn create(&self, path: &Path, like: &Path) -> io::Result<()> {
        File::create_new(path)?;
        let Ok(old) = fs::metadata(like) else {
            return Ok(());
        };
        let permissions: Permissions = old.permissions();
        fs::set_permissions(path, permissions).inspect_err(|_| {
            let _ = fs::remove_file(path);
        })
    }

    fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        File::options().write(true).open(path)?.write_all(bytes)
    }

    fn flush(&self, path: &Path) -> io::Result<()> {
        File::options().write(true).open(path)?.sync_all()
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn flush_folder(&self, folder: &Path) -> io::Result<()> {
        File::open(folder)?.sync_all()
    }

    fn names(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        let names = fs::read_dir(folder)?.map(|entry| Ok(entry?.file_name()));
        names.collect()
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }
}
