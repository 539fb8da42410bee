//! A template at full size on sheets that any printer takes. Comes in: a pattern at full size and the paper. Goes out: a
//! page of instructions, a key for each deck, and the tiles that carry lines, each with what it takes to join it to its
//! neighbours and to see that it was printed true.

mod front;
mod ground;
mod panels;
mod tile;
mod tiling;

use std::fmt;

use super::full_size::FullSize;
use super::marks::Drawing;
use super::paper::{Paper, Scale};
use super::text;
use crate::shape::{BoundingBox, Point};
use crate::units::{Length, LengthUnit};

use panels::Panel;
use tiling::{Sheet, Tiling};

/// No sheet is printed so far out of scale by a printer at 100 %.
const LEAST_PRINTED: f64 = 0.9;
const MOST_PRINTED: f64 = 1.1;
/// Overlap that has room for a cross, and that still leaves a sheet worth its paper, millimetres.
const LEAST_OVERLAP: f64 = 6.0;
const MOST_OVERLAP: f64 = 60.0;
/// No printer leaves more white, millimetres.
const MOST_MARGIN: f64 = 40.0;

/// Widths of rolls, millimetres.
const LEAST_ROLL: f64 = 250.0;
const MOST_ROLL: f64 = 3000.0;

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
    /// A roll to print the pattern on; the pages before it are on `paper`. None: sheets of `paper`.
    pub roll: Option<Roll>,
}

/// A roll of paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roll {
    /// Its width.
    pub width: Length,
    /// Whether fore-and-aft lies across it, rather than along.
    pub is_across: bool,
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
            roll: None,
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
    /// The length of roll it takes, where it is on one.
    pub roll_length: Option<Length>,
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
    /// A roll that cannot be.
    Roll(LengthUnit),
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
            Self::Roll(units) => write!(
                formatter,
                "a roll's width is {}",
                between(LEAST_ROLL, MOST_ROLL, *units)
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
    let cuts: Vec<(Sheet, Tiling)> = full
        .decks
        .iter()
        .map(|deck| match request.roll {
            None => (sheet, Tiling::best(deck, &sheet)),
            Some(roll) => panels::cut(deck, request, roll),
        })
        .collect();
    let count = |of: fn(&Tiling) -> usize| -> usize { cuts.iter().map(|(_, one)| of(one)).sum() };
    let tiles = count(|tiling| tiling.used.len());
    let left_out = count(Tiling::cells) - tiles;
    let book = Book {
        full,
        request,
        sheet,
        panels: request.roll.map(|roll| panels::nest(&cuts, roll)),
        title: text::drawable(&full.title),
    };
    let mut pages = vec![front::instructions(&book, tiles)];
    for (deck, (_, tiling)) in full.decks.iter().zip(&cuts) {
        pages.push(front::key(&book, deck, tiling));
    }
    match book.panels.as_ref().zip(request.roll) {
        None => {
            for (deck, (sheet, tiling)) in full.decks.iter().zip(&cuts) {
                for cell in &tiling.used {
                    pages.push(tile::draw(&book, *sheet, deck, tiling, *cell));
                }
            }
        }
        Some((panels, roll)) => {
            for (panel, number) in panels.iter().zip(1..) {
                pages.push(panel_page(&book, &cuts, panel, roll, number));
            }
        }
    }
    Ok(Template {
        pages,
        tiles,
        left_out,
        is_landscape,
        roll_length: book.panels.as_deref().map(panels::total),
    })
}

/// A length of the roll with the pieces on it.
fn panel_page(
    book: &Book<'_>,
    cuts: &[(Sheet, Tiling)],
    panel: &Panel,
    roll: Roll,
    number: usize,
) -> Drawing {
    let width = roll.width.to_mm();
    let (width, height) = if roll.is_across {
        (width, panel.length)
    } else {
        (panel.length, width)
    };
    let mut marks = Vec::new();
    for placed in &panel.placed {
        let (sheet, tiling) = &cuts[placed.deck];
        let deck = &book.full.decks[placed.deck];
        let corner = if roll.is_across {
            Point::new(placed.across, placed.along)
        } else {
            Point::new(placed.along, placed.across)
        };
        let piece = tile::draw(book, *sheet, deck, tiling, placed.cell);
        marks.extend(piece.marks.iter().map(|mark| mark.shifted(corner)));
    }
    let margin = book.sheet.margin;
    Drawing {
        width,
        height,
        title: book.title.clone(),
        description: format!("Length {number} of the roll, at full size"),
        scale: Scale::FULL,
        frame: BoundingBox {
            least: Point::ORIGIN,
            greatest: Point::new(width, height),
        }
        .grown(-margin),
        marks,
        unplaced: Vec::new(),
    }
}

/// The length of roll that a template would take.
///
/// # Errors
/// As for [`template`].
pub fn roll_length(
    full: &FullSize,
    request: &TemplateRequest,
    roll: Roll,
) -> Result<Length, TemplateFault> {
    let request = TemplateRequest {
        roll: Some(roll),
        ..request.clone()
    };
    check(full, &request)?;
    Ok(panels::length(full, &request, roll))
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
    if let Some(roll) = request.roll
        && !within(LEAST_ROLL, roll.width.to_mm(), MOST_ROLL)
    {
        return Err(TemplateFault::Roll(full.units));
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
    /// The sheet of the pages before, and of the tiles unless they are on a roll.
    sheet: Sheet,
    /// The lengths of the roll, where there is one.
    panels: Option<Vec<Panel>>,
    title: String,
}

impl Book<'_> {
    /// The square on paper, so that it comes out true.
    fn square(&self) -> Point {
        let side = check_square(self.full.units).to_mm();
        Point::new(side * self.sheet.scale.x, side * self.sheet.scale.y)
    }

    fn roll_width(&self) -> Length {
        self.request.roll.map_or(Length::ZERO, |roll| roll.width)
    }

    fn square_name(&self) -> &'static str {
        if self.full.units.is_imperial() {
            "4 in"
        } else {
            "100 mm"
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::full_size::{LineKind, Wanted, full_size};
    use super::super::marks::{Layer, Mark};
    use super::*;
    use crate::layout::Sources;
    use crate::shape::Segment;

    fn full(text: &str, wanted: &Wanted) -> FullSize {
        let layout = crate::layout::read(text).expect("a sound layout");
        let job = crate::work_out(layout, &Sources::default()).expect("sound decks");
        full_size(&job, wanted).expect("it has fields")
    }

    fn dabchick() -> FullSize {
        full(
            include_str!("../../../layouts/dabchick.toml"),
            &Wanted::default(),
        )
    }

    fn paint_line(full: &FullSize) -> f64 {
        let lines = full.decks.iter().flat_map(|deck| &deck.lines);
        lines
            .filter(|line| line.kind == LineKind::PaintLine)
            .flat_map(|line| &line.run.segments)
            .map(Segment::length)
            .sum()
    }

    /// The paint line on some pages, each page's own part alone.
    fn on_pages(pages: &[Drawing], own: &BoundingBox) -> f64 {
        let mut sum = 0.0;
        for mark in pages.iter().flat_map(|page| &page.marks) {
            if let Mark::Path(path) = mark
                && path.layer == Layer::Fields
            {
                let parts = path.runs.iter().flat_map(|run| run.parts_in(own));
                let lengths = parts.flat_map(|part| part.segments);
                sum += lengths.map(|segment| segment.length()).sum::<f64>();
            }
        }
        sum
    }

    fn tiles(made: &Template) -> &[Drawing] {
        &made.pages[made.pages.len() - made.tiles..]
    }

    #[test]
    fn every_millimetre_of_paint_line_is_on_one_page() {
        let full = dabchick();
        for paper in [Paper::A4, Paper::Letter, Paper::A2] {
            let request = TemplateRequest {
                paper,
                ..TemplateRequest::default()
            };
            let made = template(&full, &request).expect("it can be");
            let own = Sheet::new(&request, paper, made.is_landscape).own();
            let sum = on_pages(tiles(&made), &own);
            assert!((sum - paint_line(&full)).abs() < 1e-6, "{paper}: {sum}");
        }
    }

    #[test]
    fn a_printer_that_prints_short_is_given_so_much_more() {
        let full = dabchick();
        let request = TemplateRequest {
            printed_x: 0.99,
            printed_y: 0.99,
            ..TemplateRequest::default()
        };
        let made = template(&full, &request).expect("it can be");
        let own = Sheet::new(&request, Paper::A4, made.is_landscape).own();
        let sum = on_pages(tiles(&made), &own) * 0.99;
        assert!((sum - paint_line(&full)).abs() < 0.05, "{sum}");
    }

    #[test]
    fn what_a_paper_takes_is_said_as_it_comes() {
        let full = dabchick();
        let counts = sheet_counts(&full, &TemplateRequest::default()).expect("they can be");
        assert_eq!(counts.len(), Paper::ALL.len());
        for count in counts {
            let request = TemplateRequest {
                paper: count.paper,
                ..TemplateRequest::default()
            };
            let made = template(&full, &request).expect("it can be");
            assert_eq!(made.tiles, count.sheets, "{}", count.paper);
            assert_eq!(made.pages.len(), made.tiles + 1 + full.decks.len());
        }
    }

    #[test]
    fn a_roll_holds_all_of_it_in_lengths_that_viewers_open() {
        let guillemot = full(
            include_str!("../../../layouts/guillemot.toml"),
            &Wanted::default(),
        );
        for is_across in [false, true] {
            for width in [610.0, 914.0] {
                let roll = Roll {
                    width: Length::mm(width),
                    is_across,
                };
                let request = TemplateRequest {
                    roll: Some(roll),
                    ..TemplateRequest::default()
                };
                let made = template(&guillemot, &request).expect("it can be");
                let asked = roll_length(&guillemot, &TemplateRequest::default(), roll);
                assert_eq!(made.roll_length, asked.ok());
                let panels = &made.pages[1 + guillemot.decks.len()..];
                let mut length = 0.0;
                for panel in panels {
                    let (along, across) = if is_across {
                        (panel.height, panel.width)
                    } else {
                        (panel.width, panel.height)
                    };
                    assert!(along <= 5000.0 && across == width);
                    length += along;
                }
                assert!((length - made.roll_length.unwrap_or_default().to_mm()).abs() < 1e-6);
                // Overlaps show some of it twice.
                let everything = BoundingBox::EMPTY.joined(&BoundingBox {
                    least: Point::ORIGIN,
                    greatest: Point::new(1e5, 1e5),
                });
                let share = on_pages(panels, &everything) / paint_line(&guillemot);
                assert!((1.0..1.1).contains(&share), "{share}");
            }
        }
    }

    #[test]
    fn what_cannot_be_is_refused_with_what_can() {
        let full = dabchick();
        let fault = |request: TemplateRequest| {
            let fault = template(&full, &request).expect_err("it cannot be");
            fault.to_string()
        };
        let usual = TemplateRequest::default;
        let overlap = fault(TemplateRequest {
            overlap: Length::mm(200.0),
            ..usual()
        });
        assert!(overlap.contains("between 6 mm and 60 mm"), "{overlap}");
        let printed = fault(TemplateRequest {
            printed_x: 0.8,
            ..usual()
        });
        assert!(printed.contains("no print at 100 %"), "{printed}");
    }
}
