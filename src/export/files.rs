//! Files that appear whole or not at all: everything is written beside its target under a passing name,
//! and renamed only when all of it is safely there. A failure leaves what was there before.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

/// A file to be written.
#[derive(Debug, Clone)]
pub struct NewFile {
    /// Where.
    pub path: PathBuf,
    /// All of it.
    pub bytes: Vec<u8>,
}

impl NewFile {
    /// A file of `bytes` at `path`.
    pub fn new(path: impl Into<PathBuf>, bytes: impl Into<Vec<u8>>) -> Self {
        Self {
            path: path.into(),
            bytes: bytes.into(),
        }
    }
}

/// Whether a file that is there already may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing {
    /// It gives way.
    Replace,
    /// It stays, and the writing fails.
    Keep,
}

/// A file or folder that could not be written, and why.
#[derive(Debug)]
pub struct WriteFault {
    /// Which.
    pub path: PathBuf,
    /// Why.
    pub error: io::Error,
}

impl WriteFault {
    fn at(path: &Path) -> impl Fn(io::Error) -> Self {
        move |error| Self {
            path: path.to_owned(),
            error,
        }
    }
}

/// Writes all `files`, or none; missing folders are made, and taken away again on failure.
///
/// # Errors
/// The first file or folder that could not be written.
pub fn write_whole(files: &[NewFile], existing: Existing) -> Result<(), WriteFault> {
    let mut made = MadeFolders::default();
    let mut waiting = Vec::with_capacity(files.len());
    for file in files {
        // A rename onto a folder fails, and only then, after other files have gone to their places.
        if file.path.is_dir() {
            let error = io::Error::new(
                io::ErrorKind::IsADirectory,
                "a folder of that name is there",
            );
            return Err(WriteFault::at(&file.path)(error));
        }
        let folder = match file.path.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        made.make(folder)?;
        waiting.push((write_beside(folder, file)?, &file.path));
    }
    for (temporary, path) in waiting {
        match existing {
            Existing::Replace => temporary.persist(path),
            Existing::Keep => temporary.persist_noclobber(path),
        }
        .map_err(|failed| WriteFault::at(path)(failed.error))?;
    }
    made.keep();
    Ok(())
}

fn write_beside(folder: &Path, file: &NewFile) -> Result<NamedTempFile, WriteFault> {
    // In the person's words: the passing name would only puzzle.
    let fault = |error: io::Error| WriteFault::at(&file.path)(error.kind().into());
    let mut builder = tempfile::Builder::new();
    builder.prefix(".spile-");
    // As any other file the person writes; temporaries are private by default. The umask still applies.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut temporary = builder.tempfile_in(folder).map_err(fault)?;
    temporary.write_all(&file.bytes).map_err(fault)?;
    Ok(temporary)
}

/// Folders made on the way; those that nothing came into are removed again unless kept.
#[derive(Default)]
struct MadeFolders {
    outermost_first: Vec<PathBuf>,
}

impl MadeFolders {
    fn make(&mut self, folder: &Path) -> Result<(), WriteFault> {
        let nearest = folder.ancestors().find(|one| one.exists());
        if let Some(file) = nearest.filter(|one| !one.is_dir()) {
            let error = io::Error::new(io::ErrorKind::NotADirectory, "it is a file, not a folder");
            return Err(WriteFault::at(file)(error));
        }
        let missing: Vec<PathBuf> = folder
            .ancestors()
            .take_while(|one| !one.as_os_str().is_empty() && !one.exists())
            .map(Path::to_owned)
            .collect();
        for one in missing.into_iter().rev() {
            fs::create_dir(&one).map_err(WriteFault::at(&one))?;
            self.outermost_first.push(one);
        }
        Ok(())
    }

    fn keep(mut self) {
        self.outermost_first.clear();
    }
}

impl Drop for MadeFolders {
    fn drop(&mut self) {
        for folder in self.outermost_first.iter().rev() {
            // Not empty: something else came into it meanwhile, and it stays.
            let _ = fs::remove_dir(folder);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<PathBuf> {
        let mut names: Vec<PathBuf> = fs::read_dir(folder)
            .expect("the folder is there")
            .map(|entry| entry.expect("it can be listed").file_name().into())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn when_one_file_cannot_be_written_none_is() {
        let place = tempfile::tempdir().expect("a folder");
        fs::create_dir(place.path().join("b")).expect("a folder in the way");
        let files = [
            NewFile::new(place.path().join("new/a"), "one"),
            NewFile::new(place.path().join("b"), "two"),
        ];
        let fault = write_whole(&files, Existing::Replace).expect_err("b is a folder");
        assert_eq!(fault.path, place.path().join("b"));
        assert_eq!(names(place.path()), [PathBuf::from("b")]);
    }

    #[test]
    fn a_file_to_be_kept_is_kept() {
        let place = tempfile::tempdir().expect("a folder");
        let path = place.path().join("a");
        fs::write(&path, "old").expect("an old file");
        let files = [NewFile::new(&path, "new")];
        write_whole(&files, Existing::Keep).expect_err("it is there already");
        assert_eq!(fs::read(&path).expect("still there"), b"old");
        write_whole(&files, Existing::Replace).expect("it may be replaced");
        assert_eq!(fs::read(&path).expect("there"), b"new");
        assert_eq!(names(place.path()), [PathBuf::from("a")]);
    }
}
