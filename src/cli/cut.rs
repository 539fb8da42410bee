//! `spile cut`: the pattern at full size for a cutter or another program.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::console::Console;
use super::size::length_of;
use super::{Status, Stop, read, write_and_name};
use crate::drawing::{CutFile, CutLayer, CutRequest, Lettering, cut};
use crate::export::files::NewFile;
use crate::export::{cut_svg, dxf};
use crate::units::{Length, LengthUnit};

/// Writes the pattern at full size for a cutter, as DXF or SVG
///
/// Paint lines, tape, deck edge, openings, fittings and registration crosses, each on its own layer, as closed lines with
/// true arcs. A DXF is in millimetres (inches where the layout is in feet or inches), with the axes of the layout: x aft, y to starboard. An
/// SVG is in millimetres. A deck with camber or sheer is laid flat.
#[derive(Args)]
#[command(after_help = "\
Examples: spile cut layouts/guillemot.toml --deck foredeck --out foredeck.dxf
          spile cut layouts/guillemot.toml --deck foredeck --stencil --bridge \"8 mm\" --weed-box \"20 mm\" --out stencil.svg")]
pub(super) struct Cut {
    /// Layout file
    #[arg(value_name = "LAYOUT")]
    layout: PathBuf,
    /// Where to write it: .dxf or .svg
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Only the deck with this id
    #[arg(long, value_name = "ID")]
    deck: Option<String>,
    /// Only these fields
    #[arg(long, value_name = "FIELDS", value_delimiter = ',')]
    only: Vec<String>,
    /// What to write; everything but field where none is given, paint and registration with --stencil
    #[arg(long, value_enum, value_name = "LAYERS", value_delimiter = ',')]
    layers: Vec<Lines>,
    /// Names of fields; text where none is given, none with --stencil
    #[arg(long, value_enum)]
    text: Option<Names>,
    /// For stencil film: the windows alone, islands held by bridges
    #[arg(long)]
    stencil: bool,
    /// Width of the bridges; a bare number is in the layout's units; 8 mm where none is given
    #[arg(
        long,
        value_name = "WIDTH",
        requires = "stencil",
        allow_negative_numbers = true
    )]
    bridge: Option<String>,
    /// Rectangles to weed by, this far round each field
    #[arg(long, value_name = "DISTANCE", allow_negative_numbers = true)]
    weed_box: Option<String>,
    /// Least radius that the cutter follows: whatever bends tighter is listed
    #[arg(long, value_name = "RADIUS", allow_negative_numbers = true)]
    least_radius: Option<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Lines {
    /// Paint lines.
    Paint,
    /// Whole edges of fields, on the deck's edge too.
    Field,
    /// Middle of the line tape, both passes.
    Tape,
    /// Middle of the line tape, first pass.
    TapeFirst,
    /// Middle of the line tape, reversed pass.
    TapeReversed,
    /// Deck edge.
    Edge,
    /// Openings.
    Opening,
    /// Fittings.
    Fitting,
    /// Centreline.
    Centreline,
    /// Registration crosses.
    Registration,
}

impl Lines {
    const fn layers(self) -> &'static [CutLayer] {
        match self {
            Self::Paint => &[CutLayer::PaintLine],
            Self::Field => &[CutLayer::Field],
            Self::Tape => &[CutLayer::TapeFirst, CutLayer::TapeReversed],
            Self::TapeFirst => &[CutLayer::TapeFirst],
            Self::TapeReversed => &[CutLayer::TapeReversed],
            Self::Edge => &[CutLayer::DeckEdge],
            Self::Opening => &[CutLayer::Opening],
            Self::Fitting => &[CutLayer::Fitting],
            Self::Centreline => &[CutLayer::Centreline],
            Self::Registration => &[CutLayer::Registration],
        }
    }
}

#[derive(Clone, Copy, ValueEnum)]
enum Names {
    /// No names.
    None,
    /// As text.
    Text,
    /// As outlines of the letters.
    Paths,
}

/// Width of a bridge where none is given: common practice, no source.
const BRIDGE: Length = Length::mm(8.0);

impl Cut {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let write = writer_of(&self.out)?;
        let worked = read::one(&self.layout, console)?;
        let units = worked.job.layout.units;
        let request = self.request(units)?;
        let least = self
            .least_radius
            .as_ref()
            .map(|text| length_of("--least-radius", text, units))
            .transpose()?;
        let file =
            cut(&worked.job, &request).map_err(|fault| Status::Usage.with(fault.to_string()))?;
        worked.say_warnings(console);
        for [one, other] in &file.overlapping {
            console.note(&format!(
                "{one} and {other} lie over each other where they stand; write them one at a time with --deck"
            ));
        }
        for title in &file.developed {
            console.note(&format!("{title} has camber or sheer and is laid flat"));
        }
        if let Some(least) = least {
            for bend in file.tighter_than(least) {
                console.note(&format!(
                    "tighter than the cutter's {}: {}",
                    least.show_fine(units),
                    bend.sentence(units)
                ));
            }
        }
        write_and_name(
            &[NewFile::new(&self.out, write(&file).into_bytes())],
            console,
        )
    }

    fn request(&self, units: LengthUnit) -> Result<CutRequest, Stop> {
        let length = |option: &str, text: &Option<String>| {
            text.as_ref()
                .map(|text| length_of(option, text, units))
                .transpose()
        };
        let mut layers: Vec<CutLayer> = match (self.layers.as_slice(), self.stencil) {
            ([], false) => CutRequest::default().layers,
            ([], true) => vec![CutLayer::Registration],
            (given, _) => {
                let layers = given.iter().flat_map(|lines| lines.layers());
                layers.copied().collect()
            }
        };
        if self.stencil {
            // The windows are what is cut of paint lines and fields.
            layers.retain(|layer| !matches!(layer, CutLayer::PaintLine | CutLayer::Field));
            layers.push(CutLayer::Stencil);
        }
        let bridge = length("--bridge", &self.bridge)?;
        Ok(CutRequest {
            deck: self.deck.clone(),
            fields: self
                .only
                .iter()
                .map(|name| name.trim().to_owned())
                .collect(),
            layers,
            lettering: match (self.text, self.stencil) {
                (Some(Names::None), _) | (None, true) => Lettering::None,
                (Some(Names::Text), _) | (None, false) => Lettering::Text,
                (Some(Names::Paths), _) => Lettering::Outlines,
            },
            bridge: self.stencil.then(|| bridge.unwrap_or(BRIDGE)),
            weed_box: length("--weed-box", &self.weed_box)?,
        })
    }
}

fn writer_of(path: &Path) -> Result<fn(&CutFile) -> String, Stop> {
    let ending = path.extension().unwrap_or_default();
    if ending.eq_ignore_ascii_case("dxf") {
        Ok(dxf)
    } else if ending.eq_ignore_ascii_case("svg") {
        Ok(cut_svg)
    } else {
        Err(Status::Usage.with(format!(
            "--out {}: end the name in .dxf or .svg",
            path.display()
        )))
    }
}
