//! From paths on the command line to jobs worked out, or everything that is wrong with any of them said.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::console::Console;
use super::{Status, Stop};
use crate::layout::{self, Fault, Place};
use crate::{Job, work_out};

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
    let shown = path.display();
    let bytes = bytes_of(path)
        .map_err(|error| Status::File.with(format!("cannot read {shown}: {error}")))?;
    let at_fault = |text: &str, faults: &[Fault]| {
        console.faults(&path.to_string_lossy(), text, faults);
        Status::Layout.said()
    };
    let text = String::from_utf8(bytes).map_err(|error| {
        let (text, fault) = not_text(error.as_bytes(), error.utf8_error().valid_up_to());
        at_fault(&text, &[fault])
    })?;
    let job = layout::read(&text)
        .and_then(work_out)
        .map_err(|faults| at_fault(&text, &faults))?;
    Ok(Worked {
        path: path.to_owned(),
        text,
        job,
    })
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
