//! The figures of a deck as they are on its surface, over camber and sheer: true areas beside the plan's, true
//! lengths of tape, girths, and how far the deck laid flat is off.

use super::{Areas, Figures, PassFigures};
use crate::DeckJob;
use crate::masking::Pass;
use crate::shape::{Point, Segment};
use crate::surface::{Development, Distortion, HeightFit, Surface};
use crate::units::{Area, Length};

/// What a deck's surface adds to its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfaceFigures {
    /// Its areas on the surface; each part measured on its own shape.
    pub areas: Areas,
    /// Length of its outline.
    pub perimeter: Length,
    /// Its fields, in the order of the deck's.
    pub fields: Vec<FieldOnSurface>,
    /// The first pass.
    pub first: PassOnSurface,
    /// The reversed pass.
    pub reversed: PassOnSurface,
    /// The deck's breadth where it is widest.
    pub girth: Girth,
    /// Length of the centreline over the deck.
    pub centreline: Length,
    /// The same in plan.
    pub centreline_in_plan: Length,
    /// Rise of the camber over the deck's greatest breadth, or over what the layout gives.
    pub rise: Length,
    /// How the camber was found from heights, where it was.
    pub heights: Option<HeightFit>,
    /// How the deck laid flat is off.
    pub developed: Developed,
    /// Whether margins, radii and strips are kept on the surface.
    pub measured_on_surface: bool,
}

/// A field on the surface.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldOnSurface {
    /// Its area.
    pub area: Area,
    /// Length of all its rings.
    pub perimeter: Length,
    /// How much longer its outer ring comes out in the development.
    pub developed_excess: Length,
}

/// A masking pass on the surface.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PassOnSurface {
    /// The paint line's length.
    pub working_edge: Length,
    /// Line tape along its middle, without laps.
    pub line_tape: Length,
    /// The same with laps.
    pub line_to_lay: Length,
    /// Edge tape, without laps.
    pub edge_tape: Length,
    /// The same with laps.
    pub edge_to_lay: Length,
    /// Film or paper.
    pub cover: Area,
}

/// A deck's breadth at its widest, in plan and along the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Girth {
    /// Where.
    pub station: Length,
    /// From edge to edge in plan.
    pub breadth: Length,
    /// From edge to edge over the camber.
    pub girth: Length,
}

/// The deck laid flat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Developed {
    /// Its distortion.
    pub distortion: Distortion,
    /// Whether it has none, but for the last digits.
    pub is_exact: bool,
    /// How far from the centreline lengths fore and aft come out true; none where they do everywhere.
    pub true_off_the_centreline: Option<Length>,
}

impl SurfaceFigures {
    /// The figures of a deck that has camber or sheer.
    pub(super) fn of(deck: &DeckJob, surface: &Surface, plan: &super::DeckFigures) -> Self {
        let pattern = &deck.pattern;
        let outline = &deck.plan.outline.ring;
        let bounds = outline.bounding_box();
        let (fore, aft) = (Length::mm(bounds.least.x), Length::mm(bounds.greatest.x));
        let development = Development::of(surface, outline);
        let fields: Vec<FieldOnSurface> = pattern
            .fields
            .iter()
            .map(|field| FieldOnSurface {
                area: Area::mm2(surface.area(&field.region)),
                perimeter: surface.perimeter(&field.region),
                developed_excess: field
                    .region
                    .rings()
                    .first()
                    .map_or(Length::ZERO, |ring| development.excess(ring)),
            })
            .collect();
        let area = |region| Area::mm2(surface.area(region));
        let girth = widest(deck, surface);
        Self {
            areas: Areas {
                deck: area(&pattern.deck),
                field: fields.iter().map(|field| field.area).sum(),
                border: area(&pattern.border),
                openings: area(&pattern.openings),
                fittings: area(&pattern.fittings),
            },
            perimeter: surface.perimeter(&pattern.deck),
            fields,
            first: PassOnSurface::of(&deck.masking.first, surface, &plan.first),
            reversed: PassOnSurface::of(&deck.masking.reversed, surface, &plan.reversed),
            rise: surface.rise(girth.breadth),
            girth,
            centreline: surface.along_centreline(fore, aft),
            centreline_in_plan: aft - fore,
            heights: surface.heights.clone(),
            developed: Developed {
                distortion: development.distortion(&pattern.deck),
                is_exact: surface.is_cylinder(),
                true_off_the_centreline: development.true_off_the_centreline(),
            },
            measured_on_surface: pattern.developed.is_some(),
        }
    }
}

impl PassOnSurface {
    fn of(pass: &Pass, surface: &Surface, plan: &PassFigures) -> Self {
        let lines = &pass.lines;
        let line_tape = surface.length_of(&lines.line_tape) - surface.length_of(&lines.left_out);
        let edge_tape = surface.length_of(&lines.edge_tape);
        Self {
            working_edge: surface.length_of(&lines.paint_line),
            line_tape,
            line_to_lay: line_tape + (plan.line_tape.to_lay - plan.line_tape.length),
            edge_tape,
            edge_to_lay: edge_tape + (plan.edge_tape.to_lay - plan.edge_tape.length),
            cover: Area::mm2(surface.area(&pass.protected) - surface.area(&pass.line_bodies)),
        }
    }

    /// A pass of a deck without camber and sheer.
    fn flat(plan: &PassFigures) -> Self {
        Self {
            working_edge: plan.working_edge,
            line_tape: plan.line_tape.length,
            line_to_lay: plan.line_tape.to_lay,
            edge_tape: plan.edge_tape.length,
            edge_to_lay: plan.edge_tape.to_lay,
            cover: plan.cover,
        }
    }

    fn plus(self, other: Self) -> Self {
        Self {
            working_edge: self.working_edge + other.working_edge,
            line_tape: self.line_tape + other.line_tape,
            line_to_lay: self.line_to_lay + other.line_to_lay,
            edge_tape: self.edge_tape + other.edge_tape,
            edge_to_lay: self.edge_to_lay + other.edge_to_lay,
            cover: self.cover + other.cover,
        }
    }
}

impl Figures {
    /// True areas of all decks together, flat decks with their plan's; none where all are flat.
    #[must_use]
    pub fn true_areas(&self) -> Option<Areas> {
        self.has_surface().then(|| {
            self.decks.iter().fold(Areas::default(), |sum, deck| {
                sum.plus(deck.surface.as_ref().map_or(deck.areas, |own| own.areas))
            })
        })
    }

    /// The first pass of all decks on their surfaces; none where all are flat.
    #[must_use]
    pub fn true_first(&self) -> Option<PassOnSurface> {
        self.true_pass(|deck| &deck.first, |own| own.first)
    }

    /// The reversed pass likewise.
    #[must_use]
    pub fn true_reversed(&self) -> Option<PassOnSurface> {
        self.true_pass(|deck| &deck.reversed, |own| own.reversed)
    }

    /// Whether a deck has camber or sheer.
    #[must_use]
    pub fn has_surface(&self) -> bool {
        self.decks.iter().any(|deck| deck.surface.is_some())
    }

    fn true_pass(
        &self,
        plan: impl Fn(&super::DeckFigures) -> &PassFigures,
        own: impl Fn(&SurfaceFigures) -> PassOnSurface,
    ) -> Option<PassOnSurface> {
        self.has_surface().then(|| {
            self.decks
                .iter()
                .fold(PassOnSurface::default(), |sum, deck| {
                    let flat = || PassOnSurface::flat(plan(deck));
                    sum.plus(deck.surface.as_ref().map_or_else(flat, &own))
                })
        })
    }
}

/// The deck's breadth where it is widest, square to the centreline. A deck to one side of the centreline is
/// measured across itself.
fn widest(deck: &DeckJob, surface: &Surface) -> Girth {
    let ring = &deck.plan.outline.ring;
    let bounds = ring.bounding_box();
    let mut best = Girth {
        station: Length::mm(bounds.centre().x),
        breadth: Length::ZERO,
        girth: Length::ZERO,
    };
    let mut stations: Vec<f64> = ring
        .segments()
        .iter()
        .flat_map(|segment| [0.0, 0.25, 0.5, 0.75].map(|share| segment.point_at(share).x))
        .collect();
    stations.sort_by(f64::total_cmp);
    stations.dedup_by(|b, a| *b - *a < 1.0);
    for x in stations {
        for [from, to] in across(ring.segments(), x, bounds.least.y, bounds.greatest.y) {
            let breadth = Length::mm(to - from);
            let middle = Point::new(x, f64::midpoint(from, to));
            // The widest station is often an end of the deck: inside is on one side of it.
            let is_deck = [-0.5, 0.5]
                .iter()
                .any(|aside| deck.pattern.deck.contains(middle + Point::new(*aside, 0.0)));
            if is_deck && breadth.to_mm() > best.breadth.to_mm() + 1e-6 {
                best = Girth {
                    station: Length::mm(x),
                    breadth,
                    girth: surface.girth(Length::mm(to)) - surface.girth(Length::mm(from)),
                };
            }
        }
    }
    best
}

/// Where the deck lies at a station, from port to starboard.
fn across(segments: &[Segment], x: f64, port: f64, starboard: f64) -> Vec<[f64; 2]> {
    let line = Segment::Line(Point::new(x, port - 1.0), Point::new(x, starboard + 1.0));
    let mut met: Vec<f64> = segments
        .iter()
        .flat_map(|segment| segment.crossings(&line))
        .map(|at| at.y)
        .chain(segments.iter().flat_map(|segment| {
            let ends = [segment.start(), segment.end()];
            ends.into_iter()
                .filter(|end| (end.x - x).abs() < 1e-6)
                .map(|end| end.y)
        }))
        .collect();
    met.sort_by(f64::total_cmp);
    met.dedup_by(|b, a| *b - *a < 1e-6);
    met.windows(2).map(|pair| [pair[0], pair[1]]).collect()
}
