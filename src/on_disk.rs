//! Layouts as files on the disk: their text, and the files that they name. Comes in: a path. Goes out: a text, the
//! [`Sources`] of a layout, or why there are none, each at the entry that names them.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use crate::layout::{Fault, Layout, NamedFile, Place, Sources};

/// The largest file that is read.
pub const MOST_BYTES: u64 = 64 << 20;

/// How far a layout may reach for the files that it names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Wherever its paths lead: the person at the keyboard named it.
    Anywhere,
    /// Into its own folder and those below, wherever links lead: a page asks for it.
    OwnFolder,
}

/// Why there is no text.
#[derive(Debug)]
pub enum TextFault {
    /// The file cannot be read.
    Unreadable(io::Error),
    /// It holds something else than text.
    NotText {
        /// What can be shown of it.
        text: String,
        /// The fault at its first strange byte.
        fault: Box<Fault>,
    },
}

/// The text of a layout file.
///
/// # Errors
/// Where it cannot be read, or is no UTF-8.
pub fn text(path: &Path) -> Result<String, TextFault> {
    let bytes = contents_of(path).map_err(TextFault::Unreadable)?;
    String::from_utf8(bytes).map_err(|error| {
        let (text, fault) = not_text(error.as_bytes(), error.utf8_error().valid_up_to());
        TextFault::NotText {
            text,
            fault: Box::new(fault),
        }
    })
}

/// The files that a layout at `path` names, from its own folder; a fault for each that cannot be read.
///
/// # Errors
/// Every file that cannot be read, or may not.
pub fn sources(layout: &Layout, path: &Path, reach: Reach) -> Result<Sources, Vec<Fault>> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut sources = Sources::default();
    let mut faults = Vec::new();
    for NamedFile { what, path: name } in layout.named_files() {
        let file = match reach {
            Reach::Anywhere => Ok(folder.join(&name.value)),
            Reach::OwnFolder => within(folder, &name.value),
        };
        match file.and_then(|file| contents_of(&file)) {
            Ok(bytes) => sources.add(name.value.clone(), bytes),
            Err(error) => faults.push(
                Fault::new(
                    name.place,
                    format!("cannot read the {what} {}: {error}", name.value),
                    "looked for beside the layout",
                )
                .with_help("the path is taken from the folder the layout is in"),
            ),
        }
    }
    if faults.is_empty() {
        Ok(sources)
    } else {
        Err(faults)
    }
}

/// A file by its name from a folder, links followed, as far as it lies in that folder.
fn within(folder: &Path, name: &str) -> io::Result<PathBuf> {
    // One answer to all of it, so that nobody learns what there is outside.
    let outside = || {
        io::Error::new(
            io::ErrorKind::PermissionDenied,
            "it lies outside the layout's folder, which the page does not leave",
        )
    };
    if Path::new(name).is_absolute() || name.split(['/', '\\']).any(|part| part == "..") {
        return Err(outside());
    }
    let folder = folder.canonicalize()?;
    let mut file = folder.clone();
    // Part by part: beyond a link that leads out, nothing is looked for.
    for part in Path::new(name) {
        let next = file.join(part);
        file = match next.canonicalize() {
            Ok(found) if found.starts_with(&folder) => found,
            Err(error) if !next.is_symlink() => return Err(error),
            Ok(_) | Err(_) => return Err(outside()),
        };
    }
    ordinary(&file)?;
    Ok(file)
}

/// Whether a path is that of a file or a folder: reading a pipe or a device may never end.
///
/// # Errors
/// Where it is neither, or nothing is there.
pub fn ordinary(path: &Path) -> io::Result<()> {
    let kind = fs::metadata(path)?.file_type();
    if kind.is_file() || kind.is_dir() {
        return Ok(());
    }
    Err(io::Error::new(
        io::ErrorKind::InvalidInput,
        "it is a pipe or a device, no file",
    ))
}

/// A file's bytes, unless there are more than any drawing has.
///
/// # Errors
/// Where it cannot be read, is a folder, or is too large.
pub fn contents_of(path: &Path) -> io::Result<Vec<u8>> {
    let metadata = fs::metadata(path)?;
    if metadata.is_dir() {
        return Err(io::Error::new(
            io::ErrorKind::IsADirectory,
            "it is a folder",
        ));
    }
    let too_large = || io::Error::new(io::ErrorKind::FileTooLarge, "it is larger than 64 MiB");
    if metadata.len() > MOST_BYTES {
        return Err(too_large());
    }
    let mut bytes = Vec::new();
    // A device has no length beforehand, and a file may grow.
    File::open(path)?
        .take(MOST_BYTES + 1)
        .read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_large());
    }
    Ok(bytes)
}

/// What can be shown of a file that is no UTF-8, and the fault at its first strange byte.
fn not_text(bytes: &[u8], good: usize) -> (String, Fault) {
    let text = String::from_utf8_lossy(bytes).into_owned();
    let place = Place {
        start: good,
        end: good + char::REPLACEMENT_CHARACTER.len_utf8(),
    };
    let fault = Fault::new(
        place,
        "this file is not UTF-8 text",
        "this byte belongs to no character",
    )
    .with_help("save the file again with the encoding set to UTF-8");
    (text, fault)
}
