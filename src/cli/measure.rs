//! `spile measure`: an empty sheet to measure a deck with.

use std::path::PathBuf;

use clap::Args;

use super::console::Console;
use super::pages::files;
use super::sheet::{format_of, paper};
use super::size::{Units, length_of};
use super::{Status, Stop, read, write_and_name};
use crate::drawing::{self, Paper};
use crate::outline::DeckPlan;
use crate::outline::measuring::{Counts, MOST_ROWS, Measuring};

/// Prints an empty sheet to measure a deck with
///
/// What to bring, how to stretch the line, a row for every station, mark, point, opening and fitting, and a squared page
/// to plot them on. For a deck of a rough size, or for the decks of a layout, to be measured (again).
#[derive(Args)]
#[command(after_help = "\
Examples: spile measure --length \"3.4 m\" --beam \"2.8 m\" --out foredeck.pdf
          spile measure layouts/guillemot.toml --deck foredeck --out again.pdf")]
pub(super) struct Measure {
    /// Layout whose stations, marks, points, openings and fittings are to be measured
    #[arg(value_name = "LAYOUT")]
    layout: Option<PathBuf>,
    /// Rough length of the deck; a bare number is in --units
    #[arg(
        long,
        requires = "beam",
        conflicts_with = "layout",
        allow_negative_numbers = true
    )]
    length: Option<String>,
    /// Rough greatest beam, likewise
    #[arg(
        long,
        requires = "length",
        conflicts_with = "layout",
        allow_negative_numbers = true
    )]
    beam: Option<String>,
    /// Unit that figures are written in, and of bare numbers here
    #[arg(long, value_enum, default_value = "mm", conflicts_with = "layout")]
    units: Units,
    /// Title of the job
    #[arg(long, default_value = "My deck", conflicts_with = "layout")]
    title: String,
    /// Only the deck with this id
    #[arg(long, value_name = "ID", requires = "layout")]
    deck: Option<String>,
    /// How many stations on each deck; the layout's own, or as many as the length asks for, where none is given
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(2..=MOST_ROWS))]
    stations: Option<u16>,
    /// How many marks; the layout's own, or 5
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(2..=MOST_ROWS))]
    marks: Option<u16>,
    /// How many points; the layout's own, or as many as stations
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=MOST_ROWS))]
    points: Option<u16>,
    /// A4 to A0, Letter, Tabloid, "ANSI C" to "ANSI E"; A4, or Letter for feet and inches, where none is given
    #[arg(long, value_parser = paper)]
    paper: Option<Paper>,
    /// Date to print; left blank where none is given
    #[arg(long, value_name = "TEXT")]
    date: Option<String>,
    /// Where to write it: .pdf, or .svg or .png for a file a page
    #[arg(long, value_name = "FILE", default_value = "measuring-sheet.pdf")]
    out: PathBuf,
}

impl Measure {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let format = format_of(&self.out)?;
        let measuring = self.measuring(console)?;
        let paper = self.paper.unwrap_or(Paper::at_home(measuring.units));
        let pages = drawing::form(&measuring, paper, self.date.as_deref());
        let files = files(&self.out, format, &pages)?;
        write_and_name(&files, console)
    }

    fn measuring(&self, console: &Console) -> Result<Measuring, Stop> {
        let counts = Counts {
            stations: self.stations.map(usize::from),
            marks: self.marks.map(usize::from),
            points: self.points.map(usize::from),
        };
        if let Some(path) = &self.layout {
            let worked = read::one(path, console)?;
            worked.say_warnings(console);
            let decks = worked.job.decks_of(self.deck.as_deref());
            let decks = decks.map_err(|fault| Status::Usage.with(fault.to_string()))?;
            let plans: Vec<&DeckPlan> = decks.into_iter().map(|deck| &deck.plan).collect();
            return Ok(Measuring::again(&worked.job.layout, &plans, counts));
        }
        let units = self.units.unit();
        let (Some(length), Some(beam)) = (&self.length, &self.beam) else {
            return Err(Status::Usage.with(
                "give the deck's rough --length and --beam, or a layout whose decks are to be measured again",
            ));
        };
        let length = length_of("--length", length, units)?;
        let beam = length_of("--beam", beam, units)?;
        Ok(Measuring::of_size(&self.title, length, beam, units, counts))
    }
}
