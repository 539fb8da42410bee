//! The one place that writes to standard output and standard error. A command that is run for the page has a console too:
//! it is given its layout instead of reading one, and what it would have written is kept.

use std::cell::RefCell;
use std::io::{self, ErrorKind, IsTerminal, Write};

use super::read::Worked;
use super::{Status, Stop};
use crate::export::files::NewFile;
use crate::layout::{Fault, Report};
use crate::outline::Warning;
use crate::show::{Made, MadeFile};

/// Both streams, and whether the second may be coloured.
pub(super) struct Console {
    colour: bool,
    /// Where a command is run for the page.
    page: Option<RefCell<ForPage>>,
}

/// What a command that is run for the page works with.
struct ForPage {
    given: Option<Worked>,
    made: Made,
}

impl Console {
    /// Colour only on a terminal that can show it, and where nobody asked for none (no-color.org).
    pub(super) fn new() -> Self {
        let says = |name: &str| std::env::var_os(name).unwrap_or_default();
        Self {
            colour: io::stderr().is_terminal()
                && says("NO_COLOR").is_empty()
                && says("TERM") != "dumb",
            page: None,
        }
    }

    /// A console for the page: `given` is the layout, whichever is asked for.
    pub(super) fn for_page(given: Worked) -> Self {
        Self {
            colour: false,
            page: Some(RefCell::new(ForPage {
                given: Some(given),
                made: Made::default(),
            })),
        }
    }

    /// The layout that is given, the first time it is asked for.
    pub(super) fn given(&self) -> Option<Worked> {
        self.page.as_ref()?.borrow_mut().given.take()
    }

    /// Keeps files that would have been written; says whether it does.
    pub(super) fn keeps(&self, files: &[NewFile]) -> bool {
        let Some(page) = &self.page else {
            return false;
        };
        let kept = files.iter().map(|file| MadeFile {
            name: file
                .path
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
            bytes: file.bytes.clone(),
        });
        page.borrow_mut().made.files.extend(kept);
        true
    }

    /// What was kept.
    pub(super) fn made(self) -> Made {
        self.page
            .map(|page| page.into_inner().made)
            .unwrap_or_default()
    }

    /// Writes what was asked for. A reader that has gone away ends the command quietly.
    pub(super) fn output(&self, bytes: impl AsRef<[u8]>) -> Result<(), Stop> {
        if self.page.is_some() {
            return Ok(());
        }
        let mut stream = io::stdout().lock();
        match stream
            .write_all(bytes.as_ref())
            .and_then(|()| stream.flush())
        {
            Ok(()) => Ok(()),
            Err(error) if error.kind() == ErrorKind::BrokenPipe => Err(Status::Done.said()),
            Err(error) => {
                Err(Status::File.with(format!("cannot write to standard output: {error}")))
            }
        }
    }

    /// Says something beside the output. That it cannot be said is no reason to stop.
    pub(super) fn say(&self, text: &str) {
        if let Some(page) = &self.page {
            page.borrow_mut()
                .made
                .notes
                .push(text.trim_end().to_owned());
            return;
        }
        let _ = io::stderr().lock().write_all(text.as_bytes());
    }

    pub(super) fn error(&self, message: &str) {
        self.say(&format!("{} {message}\n", self.painted("error:", "1;31")));
    }

    pub(super) fn note(&self, message: &str) {
        self.say(&format!("{} {message}\n", self.painted("note:", "1;36")));
    }

    /// Shows what keeps a layout from being worked out, each at its place.
    pub(super) fn faults(&self, path: &str, text: &str, faults: &[Fault]) {
        self.say(&self.report(path, text).errors(faults));
    }

    /// Shows what a person should look at, at its place in the file where it has one.
    pub(super) fn warning(&self, path: &str, text: &str, warning: &Warning) {
        if self.page.is_some() {
            // The page shows them by itself.
            return;
        }
        match warning.place {
            Some(place) => {
                let fault = Fault::new(place, warning.sentence(), warning.code);
                self.say(&(self.report(path, text).warnings(&[fault]) + "\n"));
            }
            None => self.say(&format!(
                "{} {path}: {} [{}]\n",
                self.painted("warning:", "1;33"),
                warning.sentence(),
                warning.code
            )),
        }
    }

    const fn report<'a>(&self, path: &'a str, text: &'a str) -> Report<'a> {
        Report {
            path,
            text,
            colour: self.colour,
        }
    }

    fn painted(&self, word: &str, colour: &str) -> String {
        if self.colour {
            format!("\u{1b}[{colour}m{word}\u{1b}[0m")
        } else {
            word.to_owned()
        }
    }
}
