//! The sheet: which way round it lies, where the panels stand, the largest standard scale that fits, the
//! frame; and the one call that draws a view on it.

use std::fmt;

use super::canvas::{Canvas, Projection};
use super::developed::{self, LaidFlat};
use super::figure;
use super::marks::{Anchor, Drawing, Fill, Layer, Pen, Weight};
use super::panel::{self, Row};
use super::paper::{Paper, Scale, Style};
use super::scene::{self, Bands, Dimensions, Scene};
use super::signs;
use super::text;
use super::title_block::{self, TitleBlock};
use super::{view_fairness, view_masking, view_order, view_pattern, view_survey, view_underfoot};
use crate::figures::Figures;
use crate::figures::survey::SurveyFigures;
use crate::layout::Surface;
use crate::order::orders;
use crate::shape::{BoundingBox, Point};
use crate::takeoff::Takeoff;
use crate::units::LengthUnit;
use crate::{DeckJob, Job, NoSuchDeck};

/// Frame to the sheet's edge: on the left, where sheets are bound, and elsewhere (ISO 5457), millimetres.
const BINDING: f64 = 20.0;
const EDGE: f64 = 10.0;
/// White between the frame or a dividing line and what stands beside it.
const PAD: f64 = 3.0;

/// What to draw, and on what.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SheetRequest {
    /// The sheet.
    pub paper: Paper,
    /// The scale; none: the largest standard one that fits.
    pub scale: Option<Scale>,
    /// What to show.
    pub view: View,
    /// The date for the title block; none leaves its place blank, to write in.
    pub date: Option<String>,
    /// One deck by its id; none: all decks where they stand.
    pub deck: Option<String>,
}

/// What a sheet shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum View {
    /// Fields, border and dimensions.
    #[default]
    Pattern,
    /// The first masking pass: fields covered, border painted.
    First,
    /// The reversed pass: border covered, fields painted.
    Reversed,
    /// Points, ties and marks of the survey, with how well they agree.
    Survey,
    /// How fair the sides are, of decks measured by half-breadths.
    Fairness,
    /// Fields, border and dimensions of one deck that has camber or sheer, laid flat.
    Developed,
    /// How far from everywhere on the deck the nearest non-skid is.
    Underfoot,
    /// In which order a coat over border and fields is painted.
    OrderAll,
    /// In which order a coat on the border is painted.
    OrderBorder,
    /// In which order a coat on the fields is painted.
    OrderFields,
}

impl View {
    /// The views that every layout has; those of a survey and of a deck laid flat are for layouts that have them.
    pub const ALL: [Self; 3] = [Self::Pattern, Self::First, Self::Reversed];

    /// One word for it, as it is asked for.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Pattern => "pattern",
            Self::First => "first",
            Self::Reversed => "reversed",
            Self::Fairness => "fairness",
            Self::Survey => "survey",
            Self::Developed => "developed",
            Self::Underfoot => "underfoot",
            Self::OrderAll => "order-all",
            Self::OrderBorder => "order-border",
            Self::OrderFields => "order-fields",
        }
    }

    const fn title(self) -> &'static str {
        match self {
            Self::Pattern => "Pattern",
            Self::First => "First masking: paint the border",
            Self::Reversed => "Reversed masking: paint the fields",
            Self::Fairness => "Fairness of the half-breadths",
            Self::Survey => "Survey: points, ties, marks",
            Self::Developed => "Pattern on the deck laid flat",
            Self::Underfoot => "Underfoot: distance to the nearest grip",
            Self::OrderAll => "Order of painting: whole deck",
            Self::OrderBorder => "Order of painting: border",
            Self::OrderFields => "Order of painting: fields",
        }
    }

    /// The surface whose coat's order it shows.
    #[must_use]
    pub const fn ordered(self) -> Option<Surface> {
        match self {
            Self::OrderAll => Some(Surface::All),
            Self::OrderBorder => Some(Surface::Border),
            Self::OrderFields => Some(Surface::Field),
            _ => None,
        }
    }
}

/// Why there is no drawing.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetFault {
    /// The layout has no deck of this id.
    NoSuchDeck(NoSuchDeck),
    /// None of the decks asked for was measured by half-breadths, whose fairness was to be shown.
    NoHalfBreadths,
    /// No deck asked for has both a way off and a coat on what was to be shown.
    NoOrder,
    /// The layout has no points by ties and no marks of a drawing.
    NoSurvey,
    /// Only one deck at a time can be laid flat, and the layout has several.
    SeveralDecks {
        /// What there is.
        known: Vec<String>,
    },
    /// The deck has neither camber nor sheer, so there is nothing to lay flat.
    FlatAlready {
        /// Its id.
        id: String,
    },
    /// The decks do not fit at the scale asked for, or at any standard scale where none was.
    TooLarge {
        /// The sheet.
        paper: Paper,
        /// The scale asked for.
        scale: Option<Scale>,
        /// The largest standard scale that fits.
        largest: Option<Scale>,
    },
}

impl fmt::Display for SheetFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSuchDeck(fault) => fault.fmt(formatter),
            Self::SeveralDecks { known } => write!(
                formatter,
                "one deck at a time can be laid flat; name one of {} with --deck",
                listed(known)
            ),
            Self::FlatAlready { id } => write!(
                formatter,
                "the deck {id:?} has neither camber nor sheer, so it is flat as it is: its pattern is drawn by the view \
                 \"pattern\""
            ),
            Self::NoHalfBreadths => write!(
                formatter,
                "no deck here was measured by half-breadths; only such have a fairness to show"
            ),
            Self::NoOrder => formatter.write_str(
                "an order is shown of decks that have a way off, [[deck.way_off]], and a coat on what is asked for",
            ),
            Self::NoSurvey => formatter
                .write_str("this layout has no points by ties and no marks of a drawing to show"),
            Self::TooLarge {
                paper,
                scale: Some(scale),
                largest: Some(largest),
            } => write!(
                formatter,
                "at {scale} the drawing does not fit on {paper}; {largest} is the largest standard scale \
                 that does"
            ),
            Self::TooLarge {
                paper,
                scale,
                largest,
            } => {
                match (scale, largest) {
                    (Some(scale), _) => write!(formatter, "at {scale}")?,
                    _ => write!(formatter, "at every standard scale")?,
                }
                write!(
                    formatter,
                    " the drawing does not fit on {paper}; take a larger sheet, or one deck at a time"
                )
            }
        }
    }
}

fn listed(ids: &[String]) -> String {
    let quoted: Vec<String> = ids.iter().map(|id| format!("{id:?}")).collect();
    quoted.join(", ")
}

impl std::error::Error for SheetFault {}

/// What a view gives: its marks, and the labels that found no room.
pub(super) struct Picture {
    pub(super) canvas: Canvas,
    pub(super) unplaced: Vec<String>,
}

/// Draws one view of a job on a sheet.
///
/// # Errors
/// Where there is no such deck, the drawing does not fit, or what should be laid flat is flat or several decks.
pub fn draw(job: &Job, request: &SheetRequest) -> Result<Drawing, SheetFault> {
    let decks = decks(job, request)?;
    match request.view {
        View::Survey => {
            let survey = SurveyFigures::of(job);
            if !survey.has_points() {
                return Err(SheetFault::NoSurvey);
            }
            drawn(job, &decks, request, Subject::Survey(&survey))
        }
        View::Developed => {
            let [deck] = decks.as_slice() else {
                let known = decks.iter().map(|deck| deck.plan.id.clone()).collect();
                return Err(SheetFault::SeveralDecks { known });
            };
            let Some(surface) = &deck.surface else {
                let id = deck.plan.id.clone();
                return Err(SheetFault::FlatAlready { id });
            };
            let flat = developed::laid_flat(job, deck, surface);
            let decks: Vec<&DeckJob> = flat.job.decks.iter().collect();
            drawn(&flat.job, &decks, request, Subject::Flat(&flat))
        }
        View::Underfoot => {
            let shown = view_underfoot::Shown::of(job, &decks);
            drawn(job, &decks, request, Subject::Underfoot(&shown))
        }
        View::Fairness => drawn(job, &decks, request, Subject::Fairness),
        View::Pattern => drawn(job, &decks, request, Subject::Pattern),
        View::First | View::Reversed => drawn(job, &decks, request, Subject::Masking),
        View::OrderAll | View::OrderBorder | View::OrderFields => {
            let all = orders(job, &Takeoff::of(job, &Figures::of(job)));
            let mut own = all;
            own.retain(|order| decks.iter().any(|deck| deck.plan.id == order.deck));
            let on = request.view.ordered().unwrap_or(Surface::All);
            let shown = view_order::Shown::of(job, own, on).ok_or(SheetFault::NoOrder)?;
            drawn(job, &decks, request, Subject::Order(&shown))
        }
    }
}

/// What a sheet is about, with what only that view needs.
#[derive(Clone, Copy)]
enum Subject<'a> {
    Pattern,
    Flat(&'a LaidFlat),
    Masking,
    Fairness,
    Survey(&'a SurveyFigures),
    /// What a foot meets, deck by deck.
    Underfoot(&'a view_underfoot::Shown),
    Order(&'a view_order::Shown),
}

impl<'a> Subject<'a> {
    const fn flat(self) -> Option<&'a LaidFlat> {
        match self {
            Self::Flat(flat) => Some(flat),
            Self::Pattern
            | Self::Masking
            | Self::Fairness
            | Self::Survey(_)
            | Self::Underfoot(_)
            | Self::Order(_) => None,
        }
    }
}

fn drawn(
    job: &Job,
    decks: &[&DeckJob],
    request: &SheetRequest,
    subject: Subject<'_>,
) -> Result<Drawing, SheetFault> {
    let units = job.layout.units;
    let style = Style::of(request.paper);
    let dimensions = Dimensions::of(decks, units);
    let bands = dimensions.bands(&style);
    let mut bounds = scene::bounds(decks);
    if let Subject::Survey(survey) = subject {
        survey.places().for_each(|point| bounds.include(point));
    }
    if let Subject::Order(_) = subject {
        let ways = decks.iter().flat_map(|deck| &deck.plan.ways_off);
        ways.for_each(|way| bounds.include(way.at));
    }
    let size = (bounds.width(), bounds.height());
    let mut content = Content::new(job, decks, request, subject);
    let arrangements = Arrangement::all(request.paper, &style, &content);
    let (arrangement, scale) = choose(&arrangements, size, &bands, units, request)?;
    content.title.scale = scale.to_string();
    content.title.sheet = format!("{}, {}", request.paper, arrangement.orientation);
    content
        .legend
        .push(scale_bar(scale, units, arrangement.legend.width));

    let area = arrangement.area;
    let share = 1.0 / scale.divisor();
    let middle = Point::new(
        area.centre().x + (bands.left - bands.right) / 2.0,
        area.centre().y + (bands.below - bands.above) / 2.0,
    );
    let scene = Scene {
        decks,
        units,
        style,
        warnings: signs::placed(job, decks),
        bounds,
        line_tape: job.layout.tape.line.width,
        projection: Projection {
            share,
            origin: middle - bounds.centre() * share,
        },
        area,
        flat: subject.flat(),
    };
    let picture = match subject {
        Subject::Survey(survey) => view_survey::draw(&scene, &dimensions, survey),
        Subject::Underfoot(shown) => view_underfoot::draw(&scene, &dimensions, shown),
        Subject::Fairness => view_fairness::draw(&scene, &dimensions),
        Subject::Order(shown) => view_order::draw(&scene, &dimensions, shown),
        Subject::Masking => view_masking::draw(&scene, &dimensions, request.view),
        Subject::Pattern | Subject::Flat(_) => view_pattern::draw(&scene, &dimensions),
    };
    let mut canvas = picture.canvas;
    arrangement.draw(&mut canvas, &style, &content);
    if !picture.unplaced.is_empty() {
        let words = format!("No room on this sheet for: {}", picture.unplaced.join("; "));
        let words = text::shortened(
            &text::drawable(&words),
            style.small,
            Weight::Regular,
            area.width(),
        );
        let at = Point::new(area.least.x, area.least.y - style.small * 1.6);
        canvas.text(
            Layer::Sheet,
            at,
            Anchor::Start,
            style.small,
            Weight::Regular,
            &words,
        );
    }
    let title = text::drawable(&job.layout.title);
    Ok(Drawing {
        width: arrangement.width,
        height: arrangement.height,
        description: format!(
            "{}: {} of {} at {scale}",
            title, content.title.view, content.title.deck
        ),
        title,
        scale,
        frame: arrangement.frame,
        marks: canvas.marks,
        unplaced: picture.unplaced,
    })
}

fn decks<'a>(job: &'a Job, request: &SheetRequest) -> Result<Vec<&'a DeckJob>, SheetFault> {
    let chosen = job
        .decks_of(request.deck.as_deref())
        .map_err(SheetFault::NoSuchDeck)?;
    if request.view != View::Fairness {
        return Ok(chosen);
    }
    let chosen: Vec<&DeckJob> = chosen
        .into_iter()
        .filter(|deck| view_fairness::can_show(deck))
        .collect();
    if chosen.is_empty() {
        return Err(SheetFault::NoHalfBreadths);
    }
    Ok(chosen)
}

/// The arrangement that takes the largest scale, the first of equals.
fn choose<'a>(
    arrangements: &'a [Arrangement],
    size: (f64, f64),
    bands: &Bands,
    units: LengthUnit,
    request: &SheetRequest,
) -> Result<(&'a Arrangement, Scale), SheetFault> {
    let at = |scale: Scale| {
        arrangements
            .iter()
            .find(|one| scene::fits(size, bands, one.area, scale))
            .map(|one| (one, scale))
    };
    let standard = Scale::standard(units.is_imperial());
    let largest = standard.iter().copied().find_map(at);
    request
        .scale
        .map_or(largest, at)
        .ok_or(SheetFault::TooLarge {
            paper: request.paper,
            scale: request.scale,
            largest: largest.map(|(_, scale)| scale),
        })
}

/// What the panels say.
struct Content {
    legend: Vec<Row>,
    notes: Vec<Row>,
    title: TitleBlock,
}

impl Content {
    fn new(job: &Job, decks: &[&DeckJob], request: &SheetRequest, subject: Subject<'_>) -> Self {
        let units = job.layout.units;
        let (legend, mut notes) = match subject {
            Subject::Survey(survey) => (
                view_survey::legend(decks, &Style::of(request.paper), survey),
                view_survey::notes(survey),
            ),
            Subject::Underfoot(shown) => (
                view_underfoot::legend(decks, shown, units),
                view_underfoot::notes(decks, shown, units),
            ),
            Subject::Fairness => (
                view_fairness::legend(decks, units),
                view_fairness::notes(decks, units),
            ),
            Subject::Order(shown) => (view_order::legend(decks), view_order::notes(shown, units)),
            Subject::Masking => (
                view_masking::legend(decks, request.view),
                view_masking::notes(decks, units, request.view),
            ),
            Subject::Pattern | Subject::Flat(_) => {
                let flat = subject.flat();
                let said =
                    flat.map_or_else(|| view_pattern::of_plan(decks), |flat| flat.notes.clone());
                let mut notes = view_pattern::notes(said);
                notes.extend(signs::listed(&signs::placed(job, decks), units));
                (view_pattern::legend(decks, units, flat.is_some()), notes)
            }
        };
        let warnings = job
            .warnings
            .iter()
            .filter(|warning| {
                warning.deck.is_empty() || decks.iter().any(|deck| deck.plan.id == warning.deck)
            })
            .count();
        if warnings > 0 {
            let many = if warnings == 1 {
                "1 warning stands".to_owned()
            } else {
                format!("{warnings} warnings stand")
            };
            notes.push(Row::Paragraph(format!(
                "{many} against this layout: read the report before cutting tape."
            )));
        }
        let deck = decks
            .iter()
            .map(|deck| deck.plan.title.as_str())
            .collect::<Vec<_>>()
            .join(", ");
        Self {
            legend,
            notes,
            title: TitleBlock {
                title: job.layout.title.clone(),
                deck,
                view: request.view.title().to_owned(),
                scale: String::new(),
                sheet: String::new(),
                units: figure::units_name(units).to_owned(),
                date: request.date.clone().unwrap_or_default(),
            },
        }
    }
}

/// A bar of four steps, at most 80 mm long.
fn scale_bar(scale: Scale, units: LengthUnit, width: f64) -> Row {
    let most = (width * 0.8).min(80.0) / 4.0;
    let foot = 304.8;
    let steps: &[f64] = if units.is_imperial() {
        &[25.4, 76.2, 152.4, foot, 2.0 * foot, 5.0 * foot, 10.0 * foot]
    } else {
        &[
            10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0,
        ]
    };
    let step = steps
        .iter()
        .rev()
        .copied()
        .find(|step| step / scale.divisor() <= most)
        .unwrap_or(steps[0]);
    let marks = (0..=4_u32)
        .map(|number| {
            let length = crate::units::Length::mm(step * f64::from(number));
            match number {
                0 => "0".to_owned(),
                4 if !units.is_imperial() => {
                    format!("{} {}", figure::mark(length, units), unit_sign(units))
                }
                2 | 4 => figure::mark(length, units),
                _ => String::new(),
            }
        })
        .collect();
    Row::ScaleBar {
        marks,
        step: step / scale.divisor(),
    }
}

const fn unit_sign(units: LengthUnit) -> &'static str {
    match units {
        LengthUnit::Millimetre => "mm",
        LengthUnit::Centimetre => "cm",
        LengthUnit::Metre => "m",
        LengthUnit::Inch | LengthUnit::Foot => "",
    }
}

/// Where a panel stands: its upper left corner and its width.
#[derive(Debug, Clone, Copy)]
struct Slot {
    corner: Point,
    width: f64,
}

/// One way of dividing up a sheet.
struct Arrangement {
    width: f64,
    height: f64,
    orientation: &'static str,
    frame: BoundingBox,
    /// Room for the drawing.
    area: BoundingBox,
    legend: Slot,
    notes: Slot,
    title: Slot,
    /// Lines between the panels and the drawing.
    dividers: Vec<[Point; 2]>,
}

impl Arrangement {
    /// All ways, the preferred first: landscape before portrait, panels below before panels beside.
    fn all(paper: Paper, style: &Style, content: &Content) -> Vec<Self> {
        let (long, short) = (paper.long_side(), paper.short_side());
        [(long, short, "landscape"), (short, long, "portrait")]
            .into_iter()
            .flat_map(|(width, height, orientation)| {
                let below = Self::below(width, height, orientation, style, content);
                let beside = Self::beside(width, height, orientation, style, content);
                [Some(below), beside].into_iter().flatten()
            })
            .collect()
    }

    fn frame(width: f64, height: f64) -> BoundingBox {
        BoundingBox {
            least: Point::new(BINDING, EDGE),
            greatest: Point::new(width - EDGE, height - EDGE),
        }
    }

    /// The legend with the scale bar it will get.
    fn legend_height(style: &Style, content: &Content, width: f64) -> f64 {
        let bar = Row::ScaleBar {
            marks: vec!["0".to_owned()],
            step: 1.0,
        };
        panel::height(style, &content.legend, width) + panel::height(style, &[bar], width) + PAD
    }

    fn area(frame: BoundingBox, least: Point, greatest: Point, style: &Style) -> BoundingBox {
        // A line is kept for what found no room.
        let _ = frame;
        BoundingBox {
            least: least + Point::new(PAD, style.small * 2.6),
            greatest: greatest - Point::new(PAD, PAD),
        }
    }

    fn below(
        width: f64,
        height: f64,
        orientation: &'static str,
        style: &Style,
        content: &Content,
    ) -> Self {
        let frame = Self::frame(width, height);
        let stacked = frame.width() < 230.0;
        let title_width = if stacked {
            frame.width().min(title_block::MOST_WIDTH)
        } else {
            (frame.width() * 0.4).min(title_block::MOST_WIDTH)
        };
        let title_height = content.title.height(title_width, style);
        let panels = if stacked {
            frame.width()
        } else {
            frame.width() - title_width
        };
        let legend_width = panels * 0.46 - 2.0 * PAD;
        let notes_width = panels * 0.54 - 2.0 * PAD;
        let panel_height = Self::legend_height(style, content, legend_width)
            .max(panel::height(style, &content.notes, notes_width) + PAD);
        let (low, top) = if stacked {
            let low = frame.least.y + title_height;
            (low, low + panel_height)
        } else {
            (
                frame.least.y,
                frame.least.y + panel_height.max(title_height),
            )
        };
        let mut dividers = vec![[
            Point::new(frame.least.x, top),
            Point::new(frame.greatest.x, top),
        ]];
        let notes_left = frame.least.x + panels * 0.46;
        dividers.push([Point::new(notes_left, low), Point::new(notes_left, top)]);
        let title_left = frame.greatest.x - title_width;
        if stacked {
            dividers.push([
                Point::new(frame.least.x, low),
                Point::new(frame.greatest.x, low),
            ]);
        } else {
            dividers.push([Point::new(title_left, low), Point::new(title_left, top)]);
        }
        Self {
            width,
            height,
            orientation,
            frame,
            area: Self::area(frame, Point::new(frame.least.x, top), frame.greatest, style),
            legend: Slot {
                corner: Point::new(frame.least.x + PAD, top),
                width: legend_width,
            },
            notes: Slot {
                corner: Point::new(notes_left + PAD, top),
                width: notes_width,
            },
            title: Slot {
                corner: Point::new(title_left, frame.least.y + title_height),
                width: title_width,
            },
            dividers,
        }
    }

    fn beside(
        width: f64,
        height: f64,
        orientation: &'static str,
        style: &Style,
        content: &Content,
    ) -> Option<Self> {
        let frame = Self::frame(width, height);
        let column = (frame.width() * 0.27).clamp(style.small * 40.0, 150.0);
        let inner = column - 2.0 * PAD;
        let title_height = content.title.height(column, style);
        let legend_height = Self::legend_height(style, content, inner);
        let notes_height = panel::height(style, &content.notes, inner) + PAD;
        let left = frame.greatest.x - column;
        let notes_top = frame.least.y + title_height + notes_height;
        if notes_top + legend_height > frame.greatest.y || column > frame.width() / 2.0 {
            return None;
        }
        Some(Self {
            width,
            height,
            orientation,
            frame,
            area: Self::area(
                frame,
                frame.least,
                Point::new(left, frame.greatest.y),
                style,
            ),
            legend: Slot {
                corner: Point::new(left + PAD, frame.greatest.y),
                width: inner,
            },
            notes: Slot {
                corner: Point::new(left + PAD, notes_top),
                width: inner,
            },
            title: Slot {
                corner: Point::new(left, frame.least.y + title_height),
                width: column,
            },
            dividers: vec![
                [
                    Point::new(left, frame.least.y),
                    Point::new(left, frame.greatest.y),
                ],
                [
                    Point::new(left, notes_top),
                    Point::new(frame.greatest.x, notes_top),
                ],
            ],
        })
    }

    fn draw(&self, canvas: &mut Canvas, style: &Style, content: &Content) {
        let layer = Layer::Sheet;
        let thin = Pen::solid(style.thin);
        for divider in &self.dividers {
            canvas.line(layer, thin, divider);
        }
        for (slot, rows) in [(self.legend, &content.legend), (self.notes, &content.notes)] {
            panel::draw(
                canvas,
                style,
                rows,
                slot.corner.x,
                slot.corner.y,
                slot.width,
            );
        }
        content
            .title
            .draw(canvas, style, self.title.corner, self.title.width);
        let heavy = Pen::solid(style.frame);
        canvas.rectangle(layer, Some(heavy), Fill::None, self.frame);
        // Centring marks (ISO 5457): at the middle of each side of the sheet, 5 mm from the frame outward.
        let (least, greatest) = (self.frame.least, self.frame.greatest);
        let (x, y) = (self.width / 2.0, self.height / 2.0);
        for (start, out) in [
            (Point::new(x, least.y), Point::new(0.0, -5.0)),
            (Point::new(x, greatest.y), Point::new(0.0, 5.0)),
            (Point::new(least.x, y), Point::new(-5.0, 0.0)),
            (Point::new(greatest.x, y), Point::new(5.0, 0.0)),
        ] {
            canvas.line(layer, heavy, &[start, start + out]);
        }
    }
}
