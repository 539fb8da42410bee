//! `spile sheet`: one drawing to scale.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::slice;

use clap::{Args, ValueEnum};

use super::console::Console;
use super::{Status, Stop, read, write_and_name};
use crate::Job;
use crate::drawing::{self, Drawing, Paper, Scale, SheetRequest};
use crate::export::files::NewFile;
use crate::export::{pdf, png, svg};

/// Draws a layout to scale, as SVG, PNG or PDF
#[derive(Args)]
#[command(
    after_help = "Example: spile sheet layouts/guillemot.toml --deck foredeck --paper A2 --scale 1:10 --out foredeck.svg"
)]
pub(super) struct Sheet {
    /// Layout file
    #[arg(value_name = "LAYOUT")]
    layout: PathBuf,
    #[command(flatten)]
    paper: PaperArguments,
    /// 1:10, 1:20, ...; the largest standard scale that fits where none is given
    #[arg(long, value_parser = scale)]
    scale: Option<Scale>,
    /// The finished pattern, where tape and film lie in one of the passes, the survey, the deck laid flat, how far grip is, or the
    /// order of painting
    #[arg(long, value_enum, default_value = "pattern")]
    view: View,
    /// Only the deck with this id
    #[arg(long, value_name = "ID")]
    deck: Option<String>,
    /// Where to write it, .svg, .png or .pdf; SVG on standard output where none is given
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// What every sheet of a command is drawn on.
#[derive(Args)]
pub(super) struct PaperArguments {
    /// A4 to A0, Letter, Tabloid, "ANSI C" to "ANSI E"; A3, or Tabloid for feet and inches, where none is given
    #[arg(long, value_parser = paper)]
    paper: Option<Paper>,
    /// Date for the title block; left blank where none is given
    #[arg(long, value_name = "TEXT")]
    date: Option<String>,
    /// Resolution of a PNG, dots per inch
    #[arg(long, default_value_t = 150.0, allow_negative_numbers = true)]
    dpi: f64,
}

impl PaperArguments {
    /// Draws `job` on this paper.
    pub(super) fn draw(
        &self,
        job: &Job,
        view: drawing::View,
        scale: Option<Scale>,
        deck: Option<String>,
    ) -> Result<Drawing, Stop> {
        let usual = if job.layout.units.is_imperial() {
            Paper::Tabloid
        } else {
            Paper::A3
        };
        let request = SheetRequest {
            paper: self.paper.unwrap_or(usual),
            scale,
            view,
            date: self.date.clone(),
            deck,
        };
        drawing::draw(job, &request).map_err(|fault| Status::Usage.with(fault.to_string()))
    }

    /// The picture of a drawing's SVG.
    pub(super) fn picture(&self, svg: &str) -> Result<Vec<u8>, Stop> {
        png(svg, self.dpi).map_err(|fault| Status::Usage.with(fault.to_string()))
    }
}

/// What to do about labels without room.
pub(super) const LARGER_PAPER: &str = "a larger --paper shows more";

/// Says which labels found no room, and what to do about it.
pub(super) fn say_unplaced(drawing: &Drawing, advice: &str, console: &Console) {
    if !drawing.unplaced.is_empty() {
        console.note(&format!(
            "{} at {}: no room for {}; {advice}",
            drawing.title,
            drawing.scale,
            drawing.unplaced.join(", ")
        ));
    }
}

#[derive(Clone, Copy, ValueEnum)]
enum View {
    /// The finished pattern with its dimensions.
    Pattern,
    /// The first masking: fields covered, border painted.
    First,
    /// The masking in reverse: border covered, fields painted.
    Reversed,
    /// The sides' curvature, and half-breadths that disagree with the others.
    Fairness,
    /// Points and ties of the survey, with how well they agree.
    Survey,
    /// The pattern of one deck with camber or sheer, laid flat.
    Developed,
    /// How far from everywhere on the deck the nearest non-skid is.
    Underfoot,
    /// In which order the first coat over border and fields is painted.
    OrderAll,
    /// In which order the first coat on the border is painted.
    OrderBorder,
    /// In which order the first coat on the fields is painted.
    OrderFields,
}

impl View {
    const fn of_drawing(self) -> drawing::View {
        match self {
            Self::Pattern => drawing::View::Pattern,
            Self::First => drawing::View::First,
            Self::Reversed => drawing::View::Reversed,
            Self::Fairness => drawing::View::Fairness,
            Self::Survey => drawing::View::Survey,
            Self::Developed => drawing::View::Developed,
            Self::Underfoot => drawing::View::Underfoot,
            Self::OrderAll => drawing::View::OrderAll,
            Self::OrderBorder => drawing::View::OrderBorder,
            Self::OrderFields => drawing::View::OrderFields,
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Svg,
    Png,
    Pdf,
}

impl Sheet {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let format = match &self.out {
            None => Format::Svg,
            Some(path) => format_of(path)?,
        };
        let worked = read::one(&self.layout, console)?;
        worked.say_warnings(console);
        let drawing = self.paper.draw(
            &worked.job,
            self.view.of_drawing(),
            self.scale,
            self.deck.clone(),
        )?;
        say_unplaced(&drawing, LARGER_PAPER, console);
        let svg = svg(&drawing);
        let bytes = match format {
            Format::Svg => svg.into_bytes(),
            Format::Png => self.paper.picture(&svg)?,
            Format::Pdf => pdf(&drawing.title, slice::from_ref(&drawing))
                .map_err(|fault| Status::Usage.with(fault.to_string()))?,
        };
        match &self.out {
            None => console.output(bytes),
            Some(path) => write_and_name(&[NewFile::new(path, bytes)], console),
        }
    }
}

pub(super) fn format_of(path: &Path) -> Result<Format, Stop> {
    let extension = path.extension().unwrap_or(OsStr::new(""));
    if extension.eq_ignore_ascii_case("svg") {
        Ok(Format::Svg)
    } else if extension.eq_ignore_ascii_case("png") {
        Ok(Format::Png)
    } else if extension.eq_ignore_ascii_case("pdf") {
        Ok(Format::Pdf)
    } else {
        Err(Status::Usage.with(format!(
            "--out {}: end the name in .svg, .png or .pdf",
            path.display()
        )))
    }
}

pub(super) fn paper(text: &str) -> Result<Paper, String> {
    Paper::named(text).ok_or_else(|| {
        let names: Vec<&str> = Paper::ALL.iter().map(|paper| paper.name()).collect();
        format!("one of {}", names.join(", "))
    })
}

fn scale(text: &str) -> Result<Scale, String> {
    text.trim()
        .strip_prefix("1:")
        .and_then(|divisor| divisor.trim().parse().ok())
        .and_then(Scale::one_to)
        .ok_or_else(|| "write it as 1:20".to_owned())
}
