//! The one place that writes to standard output and standard error.

use std::io::{self, ErrorKind, IsTerminal, Write};

use super::{Status, Stop};
use crate::layout::{Fault, Report};
use crate::outline::Warning;

/// Both streams, and whether the second may be coloured.
pub(super) struct Console {
    colour: bool,
}

impl Console {
    /// Colour only on a terminal that can show it, and where nobody asked for none (no-color.org).
    pub(super) fn new() -> Self {
        let says = |name: &str| std::env::var_os(name).unwrap_or_default();
        Self {
            colour: io::stderr().is_terminal()
                && says("NO_COLOR").is_empty()
                && says("TERM") != "dumb",
        }
    }

    /// Writes what was asked for. A reader that has gone away ends the command quietly.
    pub(super) fn output(&self, bytes: impl AsRef<[u8]>) -> Result<(), Stop> {
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
