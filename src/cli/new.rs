//! `spile new`: a commented starter layout to fill in.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::console::Console;
use super::{Status, Stop, write_fault};
use crate::export::files::{Existing, NewFile, write_whole};
use crate::layout;
use crate::units::{Length, LengthUnit, parse_length};

/// No deck is longer than a kilometre.
const MOST: Length = Length::mm(1e6);

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

/// A unit as a layout names it.
#[derive(Clone, Copy, ValueEnum)]
enum Units {
    Mm,
    Cm,
    M,
    In,
    Ft,
}

impl Units {
    const fn unit(self) -> LengthUnit {
        match self {
            Self::Mm => LengthUnit::Millimetre,
            Self::Cm => LengthUnit::Centimetre,
            Self::M => LengthUnit::Metre,
            Self::In => LengthUnit::Inch,
            Self::Ft => LengthUnit::Foot,
        }
    }
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

/// A length with its unit, or a bare number of `units`.
fn length_of(option: &str, text: &str, units: LengthUnit) -> Result<Length, Stop> {
    let length = match text.trim().parse() {
        Ok(amount) => Length::of(amount, units),
        Err(_) => parse_length(text)
            .map_err(|fault| Status::Usage.with(format!("{option} {text}: {fault}")))?,
    };
    if length > Length::ZERO && length <= MOST {
        Ok(length)
    } else {
        Err(Status::Usage.with(format!(
            "{option} {text}: a deck cannot have that size; write for example \"3.4 m\" or \"11 ft 2 in\""
        )))
    }
}
