//! `spile template`: the pattern at full size on sheets of paper.

use std::path::PathBuf;

use clap::Args;

use super::console::Console;
use super::pages::files;
use super::sheet::{format_of, paper};
use super::{Status, Stop, read, write_and_name};
use crate::drawing::{
    self, FullSize, Paper, Roll, SheetCount, TemplateRequest, Wanted, check_square, roll_length,
    sheet_counts, template,
};
use crate::units::{Length, LengthUnit, parse_length};

/// Prints the pattern at full size on sheets to be joined up
///
/// Instructions, a key for each deck, and every page that carries a line, with crosses to join it by, its neighbours'
/// names, and a square of 100 mm (4 in) to measure. A deck with camber or sheer is laid flat.
#[derive(Args)]
#[command(after_help = "\
Examples: spile template layouts/guillemot.toml --deck foredeck --paper A4 --out foredeck.pdf
          spile template layouts/guillemot.toml --deck foredeck --scale-x \"99.6 mm\" --scale-y \"100.1 mm\"
          spile template layouts/guillemot.toml --deck aft-deck --only F1,F3 --ring --paper A3")]
pub(super) struct Template {
    /// Layout file
    #[arg(value_name = "LAYOUT")]
    layout: PathBuf,
    /// Only the deck with this id
    #[arg(long, value_name = "ID")]
    deck: Option<String>,
    /// Only these fields
    #[arg(long, value_name = "F1,F2,...", value_delimiter = ',')]
    only: Vec<String>,
    /// Paint lines alone, without deck edge, openings, fittings and centreline
    #[arg(long)]
    ring: bool,
    /// The starboard half alone, to be turned over on the centreline for port
    #[arg(long)]
    half: bool,
    /// A4 to A0, Letter, Tabloid, "ANSI C" to "ANSI E"; A4, or Letter for feet and inches, where none is given
    #[arg(long, value_parser = paper)]
    paper: Option<Paper>,
    /// On a roll of this width instead, in lengths of at most 5 m: 914, "36 in"; instructions and keys stay on --paper
    #[arg(long, value_name = "WIDTH", allow_negative_numbers = true)]
    roll: Option<String>,
    /// Fore-and-aft across the roll rather than along it
    #[arg(long, requires = "roll")]
    across: bool,
    /// White that the printer leaves at each edge; a bare number is in mm, or inches for feet and inches
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "6 mm",
        allow_negative_numbers = true
    )]
    printer_margin: String,
    /// How far neighbouring pages show the same, likewise
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "10 mm",
        allow_negative_numbers = true
    )]
    overlap: String,
    /// What the square of 100 mm (4 in) on a print measured across the page, "99.6 mm"; or as a share of what it should
    /// be, 0.996
    #[arg(long, value_name = "MEASURED", allow_negative_numbers = true)]
    scale_x: Option<String>,
    /// What it measured up the page, likewise
    #[arg(long, value_name = "MEASURED", allow_negative_numbers = true)]
    scale_y: Option<String>,
    /// Where to write it: .pdf, or .svg or .png for a file a page
    #[arg(long, value_name = "FILE", default_value = "template.pdf")]
    out: PathBuf,
}

impl Template {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let format = format_of(&self.out)?;
        let worked = read::one(&self.layout, console)?;
        worked.say_warnings(console);
        let units = worked.job.layout.units;
        let wanted = Wanted {
            deck: self.deck.clone(),
            fields: self
                .only
                .iter()
                .map(|name| name.trim().to_owned())
                .collect(),
            paint_lines_only: self.ring,
            half: self.half,
        };
        let usage = |fault: String| Status::Usage.with(fault);
        let full =
            drawing::full_size(&worked.job, &wanted).map_err(|fault| usage(fault.to_string()))?;
        let request = TemplateRequest {
            paper: self.paper.unwrap_or(Paper::at_home(units)),
            printer_margin: length("--printer-margin", &self.printer_margin, units)?,
            overlap: length("--overlap", &self.overlap, units)?,
            printed_x: printed("--scale-x", self.scale_x.as_deref(), units)?,
            printed_y: printed("--scale-y", self.scale_y.as_deref(), units)?,
            half: self.half,
            roll: match &self.roll {
                None => None,
                Some(width) => Some(Roll {
                    width: length("--roll", width, units)?,
                    is_across: self.across,
                }),
            },
        };
        say_counts(&full, &request, console)?;
        let made = template(&full, &request).map_err(|fault| usage(fault.to_string()))?;
        let files = files(&self.out, format, &made.pages)?;
        write_and_name(&files, console)?;
        let front = 1 + full.decks.len();
        let way = if made.is_landscape {
            "landscape"
        } else {
            "portrait"
        };
        console.note(&match made.roll_length {
            None => format!(
                "{} pages on {}, {way}: {} with lines, {front} before them; {} without a line left out",
                made.pages.len(),
                request.paper,
                made.tiles,
                made.left_out,
            ),
            Some(length) => format!(
                "{} lengths of roll, {} altogether, with {} pieces; {front} pages on {}, {way}, before them",
                made.pages.len() - front,
                length.show_run(units),
                made.tiles,
                request.paper,
            ),
        });
        Ok(())
    }
}

/// Says how many sheets of each paper it takes, before it is written.
fn say_counts(full: &FullSize, request: &TemplateRequest, console: &Console) -> Result<(), Stop> {
    let counts =
        sheet_counts(full, request).map_err(|fault| Status::Usage.with(fault.to_string()))?;
    let mut said: Vec<String> = counts
        .iter()
        .map(|SheetCount { paper, sheets }| format!("{paper} {sheets}"))
        .collect();
    let widths = if full.units.is_imperial() {
        [24.0, 36.0].map(|inches| Length::of(inches, LengthUnit::Inch))
    } else {
        [610.0, 914.0].map(Length::mm)
    };
    let asked = request.roll.map(|roll| roll.width);
    for width in widths
        .into_iter()
        .chain(asked.filter(|one| !widths.contains(one)))
    {
        let roll = Roll {
            width,
            is_across: request.roll.is_some_and(|roll| roll.is_across),
        };
        let length = roll_length(full, request, roll)
            .map_err(|fault| Status::Usage.with(fault.to_string()))?;
        said.push(format!(
            "a roll of {} {}",
            width.show(full.units),
            length.show_run(full.units)
        ));
    }
    console.note(&format!("sheets that carry lines: {}", said.join(", ")));
    Ok(())
}

/// A length with its unit, or a bare number of millimetres or inches.
fn length(option: &str, text: &str, units: LengthUnit) -> Result<Length, Stop> {
    match text.trim().parse() {
        Ok(amount) => Ok(Length::of(amount, bare(units))),
        Err(_) => parse_length(text)
            .map_err(|fault| Status::Usage.with(format!("{option} {text}: {fault}"))),
    }
}

/// The unit of a bare number on a sheet of paper.
const fn bare(units: LengthUnit) -> LengthUnit {
    if units.is_imperial() {
        LengthUnit::Inch
    } else {
        LengthUnit::Millimetre
    }
}

/// How large the square was printed, as a share of what it should be: from a share or from what was measured.
fn printed(option: &str, text: Option<&str>, units: LengthUnit) -> Result<f64, Stop> {
    let Some(text) = text else {
        return Ok(1.0);
    };
    match text.trim().parse::<f64>() {
        // A square of 1 mm or 1 in there is none: it is a share.
        Ok(share) if share < 2.0 => Ok(share),
        _ => Ok(length(option, text, units)?.to_mm() / check_square(units).to_mm()),
    }
}
