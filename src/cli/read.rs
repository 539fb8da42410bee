//! From paths on the command line to jobs worked out, or everything that is wrong with any of them said.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::console::Console;
use super::{Status, Stop};
use crate::layout::{self, Fault, Layout, NamedFile, Place, Sources};
use crate::{Job, work_out};

/// The largest drawing that is read.
const MOST_BYTES: u64 = 64 << 20;

/// A layout file worked out.
pub(super) struct Worked {
    pub(super) path: PathBuf,
    pub(super) text: String,
    pub(super) job: Job,
}

impl Worked {
    /// Says the warnings.
    pub(super) fn say_warnings(&self, console: &Console) {
        let path = self.path.to_string_lossy();
        for warning in &self.job.warnings {
            console.warning(&path, &self.text, warning);
        }
    }
}

/// Works out every layout; where any cannot be, says all that is wrong with all of them.
pub(super) fn all(paths: &[PathBuf], console: &Console) -> Result<Vec<Worked>, Stop> {
    let mut done = Vec::new();
    let mut worst = Status::Done;
    for path in paths {
        match one(path, console) {
            Ok(worked) => done.push(worked),
            Err(stop) => {
                worst = worst.max(stop.status);
                if let Some(message) = stop.message {
                    console.error(&message);
                }
            }
        }
    }
    if worst == Status::Done {
        Ok(done)
    } else {
        Err(worst.said())
    }
}

/// Works out one layout, or says what is wrong with it.
pub(super) fn one(path: &Path, console: &Console) -> Result<Worked, Stop> {
    let text = text(path, console)?;
    let job = work(path, &text)
        .map_err(|failure| failure.say(&path.to_string_lossy(), &text, console))?;
    Ok(Worked {
        path: path.to_owned(),
        text,
        job,
    })
}

/// The text of a layout file.
pub(super) fn text(path: &Path, console: &Console) -> Result<String, Stop> {
    let bytes = bytes_of(path)
        .map_err(|error| Status::File.with(format!("cannot read {}: {error}", path.display())))?;
    String::from_utf8(bytes).map_err(|error| {
        let (text, fault) = not_text(error.as_bytes(), error.utf8_error().valid_up_to());
        console.faults(&path.to_string_lossy(), &text, &[fault]);
        Status::Layout.said()
    })
}

/// Why a layout could not be worked out.
pub(super) struct Failure {
    status: Status,
    faults: Vec<Fault>,
}

impl Failure {
    /// Says all of it, of a text that is called `name`.
    pub(super) fn say(&self, name: &str, text: &str, console: &Console) -> Stop {
        console.faults(name, text, &self.faults);
        self.status.said()
    }
}

/// Works out a layout that stands, or might stand, at `path`.
pub(super) fn work(path: &Path, text: &str) -> Result<Job, Failure> {
    let at_fault = |status| move |faults| Failure { status, faults };
    let layout = layout::read(text).map_err(at_fault(Status::Layout))?;
    let sources = sources(&layout, path).map_err(at_fault(Status::File))?;
    work_out(layout, &sources).map_err(at_fault(Status::Layout))
}

/// The files that a layout names, from its own folder; a fault for each that cannot be read.
fn sources(layout: &Layout, path: &Path) -> Result<Sources, Vec<Fault>> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let mut sources = Sources::default();
    let mut faults = Vec::new();
    for NamedFile { what, path: name } in layout.named_files() {
        match contents_of(&folder.join(&name.value)) {
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

/// A file's bytes, unless there are more than any drawing has.
pub(super) fn contents_of(path: &Path) -> io::Result<Vec<u8>> {
    let metadata = fs::metadata(path)?;
    if metadata.is_dir() {
        return Err(io::Error::new(
            io::ErrorKind::IsADirectory,
            "it is a folder",
        ));
    }
    if metadata.len() > MOST_BYTES {
        return Err(io::Error::new(
            io::ErrorKind::FileTooLarge,
            "it is larger than 64 MiB",
        ));
    }
    fs::read(path)
}

fn bytes_of(path: &Path) -> io::Result<Vec<u8>> {
    if path.is_dir() {
        return Err(io::Error::new(
            io::ErrorKind::IsADirectory,
            "it is a folder; name a layout file in it",
        ));
    }
    fs::read(path)
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
