//! From paths on the command line to jobs worked out, or everything that is wrong with any of them said.

use std::io;
use std::path::{Path, PathBuf};

use super::console::Console;
use super::{Status, Stop};
use crate::layout::{self, Fault};
use crate::on_disk::{self, Reach, TextFault};
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
    if let Some(given) = console.given() {
        return Ok(given);
    }
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
    on_disk::text(path).map_err(|fault| match fault {
        TextFault::Unreadable(error) => {
            let hint = if error.kind() == io::ErrorKind::IsADirectory {
                "; name a layout file in it"
            } else {
                ""
            };
            Status::File.with(format!("cannot read {}: {error}{hint}", path.display()))
        }
        TextFault::NotText { text, fault } => {
            console.faults(&path.to_string_lossy(), &text, &[*fault]);
            Status::Layout.said()
        }
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
    let sources =
        on_disk::sources(&layout, path, Reach::Anywhere).map_err(at_fault(Status::File))?;
    work_out(layout, &sources).map_err(at_fault(Status::Layout))
}
