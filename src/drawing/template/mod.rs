//! A template at full size on sheets that any printer takes. Comes in: a pattern at full size and the paper. Goes out: a
//! page of instructions, a key for each deck, and the tiles that carry lines, each with what it takes to join it to its
//! neighbours and to see that it was printed true.

mod front;
mod ground;
mod tile;
mod tiling;

use std::fmt;

use super::full_size::FullSize;
use super::marks::Drawing;
use super::paper::Paper;
use super::text;
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

use tiling::{Sheet, Tiling};

/// No sheet is printed so far out of scale by a printer at 100 %.
const LEAST_PRINTED: f64 = 0.9;
const MOST_PRINTED: f64 = 1.1;
/// Overlap that has room for a cross, and that still leaves a sheet worth its paper, millimetres.
const LEAST_OVERLAP: f64 = 6.0;
const MOST_OVERLAP: f64 = 60.0;
/// No printer leaves more white, millimetres.
const MOST_MARGIN: f64 = 40.0;

/// How a template is put on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct TemplateRequest {
    /// The sheet.
    pub paper: Paper,
    /// White that the printer leaves at the sheet's edges.
    pub printer_margin: Length,
    /// How far neighbouring pages show the same.
    pub overlap: Length,
    /// How large a length across the page came out of the printer, as a share of what it should be.
    pub printed_x: f64,
    /// Likewise up the page.
    pub printed_y: f64,
    /// Whether half a pattern is shown, to be turned over.
    pub half: bool,
}

impl Default for TemplateRequest {
    fn default() -> Self {
        Self {
            paper: Paper::A4,
            printer_margin: Length::mm(6.0),
            overlap: Length::mm(10.0),
            printed_x: 1.0,
            printed_y: 1.0,
            half: false,
        }
    }
}

/// A template.
#[derive(Debug, Clone, PartialEq)]
pub struct Template {
    /// Instructions, then a key for each deck, then the tiles.
    pub pages: Vec<Drawing>,
    /// How many of them are tiles.
    pub tiles: usize,
    /// Pages without a line, which are left out.
    pub left_out: usize,
    /// Whether the sheets lie on their side.
    pub is_landscape: bool,
}

/// How many sheets of one paper a template takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SheetCount {
    /// The paper.
    pub paper: Paper,
    /// Tiles that carry lines.
    pub sheets: usize,
}

/// Why there is no template.
#[derive(Debug, Clone, PartialEq)]
pub enum TemplateFault {
    /// An overlap that cannot be.
    Overlap(LengthUnit),
    /// A margin that no printer has.
    Margin(LengthUnit),
    /// A print so far out of scale that it was no print at 100 %.
    Printed {
        /// What it came out at.
        share: f64,
    },
}

impl fmt::Display for TemplateFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let between = |least: f64, most: f64, units: LengthUnit| {
            let [least, most] = [least, most].map(|one| Length::mm(one).show(units));
            format!("between {least} and {most}")
        };
        match self {
            Self::Overlap(units) => write!(
                formatter,
                "an overlap is {}",
                between(LEAST_OVERLAP, MOST_OVERLAP, *units)
            ),
            Self::Margin(units) => write!(
                formatter,
                "a printer's margin is {}",
                between(0.0, MOST_MARGIN, *units)
            ),
            Self::Printed { share } => write!(
                formatter,
                "the square came out at {share:.3} of its size: that is no print at 100 %; set the printer to 100 % \
                 (\"actual size\"), print again and measure again"
            ),
        }
    }
}

impl std::error::Error for TemplateFault {}

/// Side of the square that is measured on a print: 100 mm, or 4 in.
#[must_use]
pub fn check_square(units: LengthUnit) -> Length {
    if units.is_imperial() {
        Length::of(4.0, LengthUnit::Inch)
    } else {
        Length::mm(100.0)
    }
}

/// A template of some decks.
///
/// # Errors
/// Where overlap, margin or what was measured on a print cannot be.
pub fn template(full: &FullSize, request: &TemplateRequest) -> Result<Template, TemplateFault> {
    check(full, request)?;
    let (is_landscape, _) = orientation(full, request, request.paper);
    let sheet = Sheet::new(request, request.paper, is_landscape);
    let tilings: Vec<Tiling> = full
        .decks
        .iter()
        .map(|deck| Tiling::best(deck, &sheet))
        .collect();
    let tiles: usize = tilings.iter().map(|tiling| tiling.used.len()).sum();
    let book = Book {
        full,
        request,
        sheet,
        tilings,
        title: text::drawable(&full.title),
    };
    let mut pages = vec![front::instructions(&book, tiles)];
    for (deck, tiling) in full.decks.iter().zip(&book.tilings) {
        pages.push(front::key(&book, deck, tiling));
    }
    for (deck, tiling) in full.decks.iter().zip(&book.tilings) {
        for cell in &tiling.used {
            pages.push(tile::draw(&book, deck, tiling, *cell));
        }
    }
    let cells: usize = book.tilings.iter().map(Tiling::cells).sum();
    Ok(Template {
        pages,
        tiles,
        left_out: cells - tiles,
        is_landscape,
    })
}

/// How many sheets of each paper a template would take.
///
/// # Errors
/// As for [`template`].
pub fn sheet_counts(
    full: &FullSize,
    request: &TemplateRequest,
) -> Result<Vec<SheetCount>, TemplateFault> {
    check(full, request)?;
    let count = |paper| {
        let (is_landscape, _) = orientation(full, request, paper);
        let sheet = Sheet::new(request, paper, is_landscape);
        let decks = full.decks.iter();
        SheetCount {
            paper,
            sheets: decks
                .map(|deck| Tiling::best(deck, &sheet).used.len())
                .sum(),
        }
    };
    Ok(Paper::ALL.into_iter().map(count).collect())
}

fn check(full: &FullSize, request: &TemplateRequest) -> Result<(), TemplateFault> {
    let within = |least: f64, value: f64, most: f64| (least..=most).contains(&value);
    if !within(LEAST_OVERLAP, request.overlap.to_mm(), MOST_OVERLAP) {
        return Err(TemplateFault::Overlap(full.units));
    }
    if !within(0.0, request.printer_margin.to_mm(), MOST_MARGIN) {
        return Err(TemplateFault::Margin(full.units));
    }
    for share in [request.printed_x, request.printed_y] {
        if !within(LEAST_PRINTED, share, MOST_PRINTED) {
            return Err(TemplateFault::Printed { share });
        }
    }
    Ok(())
}

/// Whether sheets lie on their side: the way that takes fewer. A print out of scale does not change it, so that a square
/// measured across the page is corrected across the page.
fn orientation(full: &FullSize, request: &TemplateRequest, paper: Paper) -> (bool, usize) {
    let true_print = TemplateRequest {
        printed_x: 1.0,
        printed_y: 1.0,
        ..request.clone()
    };
    let count = |is_landscape| -> usize {
        let sheet = Sheet::new(&true_print, paper, is_landscape);
        let decks = full.decks.iter();
        decks
            .map(|deck| Tiling::best(deck, &sheet).used.len())
            .sum()
    };
    let (upright, lying) = (count(false), count(true));
    (lying < upright, upright.min(lying))
}

/// What all pages of a template share.
struct Book<'a> {
    full: &'a FullSize,
    request: &'a TemplateRequest,
    sheet: Sheet,
    tilings: Vec<Tiling>,
    title: String,
}

impl Book<'_> {
    /// The square on paper, so that it comes out true.
    fn square(&self) -> Point {
        let side = check_square(self.full.units).to_mm();
        Point::new(side * self.sheet.scale.x, side * self.sheet.scale.y)
    }

    fn square_name(&self) -> &'static str {
        if self.full.units.is_imperial() {
            "4 in"
        } else {
            "100 mm"
        }
    }
}
