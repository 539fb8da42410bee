//! `spile new`: a commented starter layout to fill in.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use clap::Args;

use super::console::Console;
use super::size::{Units, length_of};
use super::{Status, Stop, write_fault};
use crate::export::files::{Existing, NewFile, write_whole};
use crate::layout;

/// Writes a commented starter layout to fill in
#[derive(Args)]
#[command(after_help = "Example: spile new foredeck.toml --length \"3.4 m\" --beam \"2.8 m\"")]
pub(super) struct New {
    /// Where to write it; printed where none is given
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// Length of the deck; a bare number is in --units
    #[arg(long, allow_negative_numbers = true)]
    length: String,
    /// Its greatest beam, likewise
    #[arg(long, allow_negative_numbers = true)]
    beam: String,
    /// Unit of bare numbers, here and in the layout
    #[arg(long, value_enum, default_value = "mm")]
    units: Units,
    /// Title of the job
    #[arg(long, default_value = "My deck")]
    title: String,
    /// Replace a file that is there already
    #[arg(long)]
    force: bool,
}

impl New {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let units = self.units.unit();
        let length = length_of("--length", &self.length, units)?;
        let beam = length_of("--beam", &self.beam, units)?;
        let text = layout::starter(length, beam, units, &self.title);
        match &self.file {
            None => console.output(text),
            Some(path) => self.write(path, text, console),
        }
    }

    fn write(&self, path: &Path, text: String, console: &Console) -> Result<(), Stop> {
        let existing = if self.force {
            Existing::Replace
        } else {
            Existing::Keep
        };
        let shown = path.display();
        write_whole(&[NewFile::new(path, text)], existing).map_err(|fault| {
            if fault.error.kind() == ErrorKind::AlreadyExists {
                Status::File.with(format!(
                    "{shown} is there already; give another name, or --force to replace it"
                ))
            } else {
                write_fault(fault)
            }
        })?;
        console.output(format!("{shown}\n"))
    }
}
