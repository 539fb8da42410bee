//! `spile setout`: the measurements that put the pattern on the deck with a tape.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use clap::Args;

use super::console::Console;
use super::sheet::{self, paper};
use super::{Status, Stop, pages, read, write_and_name};
use crate::drawing::{Paper, SetOutDeck, set_out_pages};
use crate::export::files::NewFile;
use crate::export::setting_out;
use crate::setting_out::{Mark, SettingOut, marks_fault, marks_on, set_out};
use crate::shape::Point;
use crate::units::{Length, LengthUnit, parse_length};
use crate::{DeckJob, Job};

/// Prints the measurements with which two people and a tape set the pattern out
///
/// Every corner, tangent point and centre of an arc by station and distance off the centreline, and by two ties from marks
/// on the deck; radii, offsets for a batten, and distances that catch a slip.
#[derive(Args)]
#[command(after_help = "\
Examples: spile setout layouts/guillemot.toml --deck aft-deck --mark A=8600,-1500 --mark B=8600,1500 --out aft-deck.pdf
          spile setout layouts/sanderling.toml --mark A --mark B --mark C --csv > points.csv")]
pub(super) struct Setout {
    /// Layout file
    #[arg(value_name = "LAYOUT")]
    layout: PathBuf,
    /// A mark on the deck that ties are measured from: NAME=STATION,OFF (starboard positive, in the layout's units), or
    /// the name of a point of the layout's survey; two or more
    #[arg(long = "mark", value_name = "MARK", allow_hyphen_values = true)]
    marks: Vec<String>,
    /// Only the deck with this id
    #[arg(long, value_name = "ID")]
    deck: Option<String>,
    /// Print a table for a spreadsheet
    #[arg(long, conflicts_with = "out")]
    csv: bool,
    /// Of the pages of a .pdf: A4 to A0, Letter, Tabloid, "ANSI C" to "ANSI E"; A4, or Letter for feet and inches, where
    /// none is given
    #[arg(long, value_parser = paper)]
    paper: Option<Paper>,
    /// Where to write it: .pdf (with sheets of the points' names), .csv or .md; Markdown on standard output where none is
    /// given
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Format {
    Csv,
    Markdown,
    /// One PDF, or a picture a page.
    Pages(sheet::Format),
}

/// What is to be written, and where.
enum Written {
    /// On standard output.
    Text(String),
    Files(Vec<NewFile>),
}

impl Setout {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let format = match &self.out {
            _ if self.csv => Format::Csv,
            None => Format::Markdown,
            Some(path) => format_of(path)?,
        };
        let worked = read::one(&self.layout, console)?;
        let job = &worked.job;
        let decks = job.decks_of(self.deck.as_deref());
        let decks = decks.map_err(|fault| Status::Usage.with(fault.to_string()))?;
        let marks = self.marks(job, &decks)?;
        worked.say_warnings(console);
        if marks.is_empty() {
            console.note(
                "no marks were named, so no ties are given; name two or more with --mark NAME=STATION,OFF",
            );
        }
        let set: Vec<SettingOut> = decks
            .iter()
            .map(|deck| set_out(deck, &marks_on(&marks, deck)))
            .collect();
        for deck in set
            .iter()
            .filter(|deck| !marks.is_empty() && deck.marks.is_empty())
        {
            console.note(&format!(
                "deck {:?} has fewer than two of the marks on it, so it is given no ties",
                deck.id
            ));
        }
        let files = match format {
            Format::Csv => self.whole(setting_out::csv(&set)),
            Format::Markdown => self.whole(setting_out::markdown(&job.layout.title, &set)),
            Format::Pages(kind) => {
                let decks: Vec<SetOutDeck<'_>> = decks
                    .iter()
                    .zip(&set)
                    .map(|(deck, out)| SetOutDeck { deck, out })
                    .collect();
                let paper = self.paper.unwrap_or(Paper::at_home(job.layout.units));
                let made = set_out_pages(&job.layout.title, &decks, paper);
                let out = self.out.as_deref().unwrap_or(Path::new(""));
                Written::Files(pages::files(out, kind, &made)?)
            }
        };
        match files {
            Written::Text(text) => console.output(text),
            Written::Files(files) => write_and_name(&files, console),
        }
    }

    fn whole(&self, text: String) -> Written {
        match &self.out {
            None => Written::Text(text),
            Some(path) => Written::Files(vec![NewFile::new(path, text.into_bytes())]),
        }
    }

    fn marks(&self, job: &Job, decks: &[&DeckJob]) -> Result<Vec<Mark>, Stop> {
        let marks: Vec<Mark> = self
            .marks
            .iter()
            .map(|text| mark(text, job))
            .collect::<Result<_, _>>()?;
        match marks_fault(&marks, decks, job.layout.units) {
            Some(fault) => Err(Status::Usage.with(fault)),
            None => Ok(marks),
        }
    }
}

/// A mark as it is written on the command line.
fn mark(text: &str, job: &Job) -> Result<Mark, Stop> {
    let usage = |what: String| Status::Usage.with(format!("--mark {text}: {what}"));
    let Some((name, place)) = text.split_once('=') else {
        let name = text.trim();
        return match job.fixed.point(name) {
            Some(at) => Ok(Mark {
                name: name.to_owned(),
                at,
            }),
            None => Err(usage(unknown(job))),
        };
    };
    let name = name.trim();
    if name.is_empty() {
        return Err(usage("give it a name, as in A=0,0".to_owned()));
    }
    let Some((station, off)) = place.split_once(',') else {
        return Err(usage(format!(
            "write it as NAME=STATION,OFF, as in {name}=1200,-450 (starboard positive)"
        )));
    };
    let length = |part: &str| {
        coordinate(part, job.layout.units)
            .map_err(|fault| usage(format!("{}: {fault}", part.trim())))
    };
    let at = Point::new(length(station)?.to_mm(), length(off)?.to_mm());
    Ok(Mark {
        name: name.to_owned(),
        at,
    })
}

/// A bare number in the layout's units, or a length with its own.
fn coordinate(text: &str, units: LengthUnit) -> Result<Length, String> {
    match text.trim().parse::<f64>() {
        Ok(amount) if amount.is_finite() => Ok(Length::of(amount, units)),
        _ => parse_length(text).map_err(|fault| fault.to_string()),
    }
}

fn unknown(job: &Job) -> String {
    let known: Vec<&str> = job
        .fixed
        .network
        .iter()
        .flat_map(|network| &network.points)
        .map(|point| point.name.as_str())
        .collect();
    if known.is_empty() {
        "the layout has no surveyed points; say where the mark is, as in A=1200,-450".to_owned()
    } else {
        format!(
            "no surveyed point of that name with a known place; there are {}",
            known.join(", ")
        )
    }
}

fn format_of(path: &Path) -> Result<Format, Stop> {
    let extension = path.extension().unwrap_or(OsStr::new(""));
    if extension.eq_ignore_ascii_case("csv") {
        Ok(Format::Csv)
    } else if extension.eq_ignore_ascii_case("md") {
        Ok(Format::Markdown)
    } else {
        sheet::format_of(path).map(Format::Pages).map_err(|_| {
            Status::Usage.with(format!(
                "--out {}: end the name in .pdf, .csv or .md (.svg or .png for a picture a page)",
                path.display()
            ))
        })
    }
}
