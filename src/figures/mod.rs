//! From a job worked out to the figures people ask for: areas that close, the fields one by one, tape
//! and film for both passes. Comes in: a [`Job`]. Goes out: [`Figures`], a plain value that every table
//! and file prints; what is counted here is counted nowhere else.

#[cfg(test)]
pub(crate) mod sample;
mod surface;
pub mod survey;

pub use surface::{Developed, FieldOnSurface, Girth, PassOnSurface, SurfaceFigures};

use crate::layout::Tape;
use crate::masking::{Clash, Pass, RollPlan, TapeRun};
use crate::outline::Warning;
use crate::pattern::{DropReason, Field};
use crate::shape::Point;
use crate::units::{Area, Length, LengthUnit};
use crate::{DeckJob, Job};

/// All figures of a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// Title of the job.
    pub title: String,
    /// The unit its people measure in.
    pub units: LengthUnit,
    /// Its decks in the file's order.
    pub decks: Vec<DeckFigures>,
    /// The tape it is masked with.
    pub tape: Tape,
    /// Which runs of tape are cut from which roll, for both passes of all decks.
    pub rolls: RollPlan,
    /// What a person should know.
    pub warnings: Vec<Warning>,
}

/// The figures of one deck.
#[derive(Debug, Clone, PartialEq)]
pub struct DeckFigures {
    /// Its id.
    pub id: String,
    /// What people call it.
    pub title: String,
    /// Length of its outline.
    pub perimeter: Length,
    /// Its areas.
    pub areas: Areas,
    /// Its fields, forward to aft, port to starboard.
    pub fields: Vec<FieldFigures>,
    /// Pieces that were too small to be a field.
    pub dropped: Vec<DroppedFigures>,
    /// First: fields covered, border painted.
    pub first: PassFigures,
    /// Reversed: border covered, fields painted.
    pub reversed: PassFigures,
    /// Steps of the pattern's geometry computed again with finer chords.
    pub recomputed: u32,
    /// The same on the surface; none where the deck is flat.
    pub surface: Option<SurfaceFigures>,
}

/// Where a deck's area goes; each part measured on its own shape.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Areas {
    /// The deck inside its outline.
    pub deck: Area,
    /// All fields.
    pub field: Area,
    /// All that stays smooth.
    pub border: Area,
    /// Openings, as far as they lie in the deck.
    pub openings: Area,
    /// Fittings in place.
    pub fittings: Area,
}

impl Areas {
    /// What the parts leave of the deck: nothing, but for the last digits of the arithmetic.
    #[must_use]
    pub fn closure(&self) -> Area {
        self.deck - (self.field + self.border + self.openings + self.fittings)
    }

    /// Whether the parts add up to the deck within a billionth of it.
    #[must_use]
    pub fn closes(&self) -> bool {
        self.closure().to_mm2().abs() <= 1e-9 * self.deck.to_mm2()
    }

    /// A part's share of the deck, in per cent; 0 where there is no deck.
    #[must_use]
    pub fn per_cent(&self, part: Area) -> f64 {
        if self.deck > Area::ZERO {
            100.0 * part.to_mm2() / self.deck.to_mm2()
        } else {
            0.0
        }
    }

    fn plus(self, other: Self) -> Self {
        Self {
            deck: self.deck + other.deck,
            field: self.field + other.field,
            border: self.border + other.border,
            openings: self.openings + other.openings,
            fittings: self.fittings + other.fittings,
        }
    }
}

/// One field.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldFigures {
    /// `F1`, `F2`, …
    pub id: String,
    /// Its area.
    pub area: Area,
    /// Length of all its rings.
    pub perimeter: Length,
    /// Its outer ring and the holes in it.
    pub rings: usize,
    /// Centre of its area.
    pub centroid: Point,
    /// Least distance to the deck edge, an opening or a fitting.
    pub clearance: Length,
    /// Least radius of an outward arc.
    pub tightest_round: Option<Length>,
    /// Least radius of an inward arc.
    pub tightest_hollow: Option<Length>,
}

/// A piece that was too small to be a field, and so stays smooth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DroppedFigures {
    /// Its area.
    pub area: Area,
    /// Centre of its area.
    pub centroid: Point,
    /// Why it went.
    pub reason: DropReason,
}

/// One masking pass.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PassFigures {
    /// The paint line's length.
    pub working_edge: Length,
    /// Line tape.
    pub line_tape: TapeFigures,
    /// Edge tape.
    pub edge_tape: TapeFigures,
    /// Both tapes run by run, each in the order of laying.
    pub runs: Vec<TapeRun>,
    /// Film or paper.
    pub cover: Area,
    /// Where paint lines lie nearer to each other than the tape is wide.
    pub clashes: Vec<Clash>,
}

impl PassFigures {
    fn plus(mut self, other: &Self) -> Self {
        self.working_edge = self.working_edge + other.working_edge;
        self.line_tape = self.line_tape.plus(other.line_tape);
        self.edge_tape = self.edge_tape.plus(other.edge_tape);
        self.cover = self.cover + other.cover;
        self.runs.extend(other.runs.iter().cloned());
        self.clashes.extend(other.clashes.iter().cloned());
        self
    }
}

/// One kind of tape in one pass.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TapeFigures {
    /// Length along its middle, without laps.
    pub length: Length,
    /// Its unbroken runs.
    pub runs: usize,
    /// Length with one lap for each run's end.
    pub to_lay: Length,
}

impl TapeFigures {
    fn new(length: Length, runs: usize, lap: Length) -> Self {
        Self {
            length,
            runs,
            to_lay: length + lap * runs as f64,
        }
    }

    fn plus(self, other: Self) -> Self {
        Self {
            length: self.length + other.length,
            runs: self.runs + other.runs,
            to_lay: self.to_lay + other.to_lay,
        }
    }
}

impl Figures {
    /// The figures of a job.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        Self {
            title: job.layout.title.clone(),
            units: job.layout.units,
            decks: job
                .decks
                .iter()
                .map(|deck| DeckFigures::of(deck, &job.layout.tape))
                .collect(),
            tape: job.layout.tape,
            rolls: job.rolls.clone(),
            warnings: job.warnings.clone(),
        }
    }

    /// The areas of all decks together.
    #[must_use]
    pub fn areas(&self) -> Areas {
        self.decks
            .iter()
            .fold(Areas::default(), |sum, deck| sum.plus(deck.areas))
    }

    /// The first pass of all decks together.
    #[must_use]
    pub fn first(&self) -> PassFigures {
        self.decks
            .iter()
            .fold(PassFigures::default(), |sum, deck| sum.plus(&deck.first))
    }

    /// The reversed pass of all decks together.
    #[must_use]
    pub fn reversed(&self) -> PassFigures {
        self.decks
            .iter()
            .fold(PassFigures::default(), |sum, deck| sum.plus(&deck.reversed))
    }
}

impl DeckFigures {
    fn of(deck: &DeckJob, tape: &Tape) -> Self {
        let pattern = &deck.pattern;
        let fields: Vec<FieldFigures> = pattern.fields.iter().map(FieldFigures::of).collect();
        let plan = Self {
            id: deck.plan.id.clone(),
            title: deck.plan.title.clone(),
            perimeter: Length::mm(pattern.deck.perimeter()),
            areas: Areas {
                deck: Area::mm2(pattern.deck.area()),
                field: fields.iter().map(|field| field.area).sum(),
                border: Area::mm2(pattern.border.area()),
                openings: Area::mm2(pattern.openings.area()),
                fittings: Area::mm2(pattern.fittings.area()),
            },
            fields,
            dropped: pattern
                .dropped
                .iter()
                .map(|piece| DroppedFigures {
                    area: Area::mm2(piece.region.area()),
                    centroid: piece.region.centroid(),
                    reason: piece.reason,
                })
                .collect(),
            first: PassFigures::of(&deck.masking.first, tape),
            reversed: PassFigures::of(&deck.masking.reversed, tape),
            recomputed: pattern.recomputed,
            surface: None,
        };
        let surface = deck.surface.as_ref();
        Self {
            surface: surface.map(|surface| SurfaceFigures::of(deck, surface, &plan)),
            ..plan
        }
    }
}

impl FieldFigures {
    fn of(field: &Field) -> Self {
        Self {
            id: field.id.clone(),
            area: Area::mm2(field.region.area()),
            perimeter: Length::mm(field.region.perimeter()),
            rings: field.region.rings().len(),
            centroid: field.region.centroid(),
            clearance: field.clearance.distance,
            tightest_round: field.tightest_round,
            tightest_hollow: field.tightest_hollow,
        }
    }
}

impl PassFigures {
    fn of(pass: &Pass, tape: &Tape) -> Self {
        Self {
            working_edge: pass.working_edge,
            line_tape: TapeFigures::new(pass.line_tape, pass.line_runs, tape.line.lap),
            edge_tape: TapeFigures::new(pass.edge_tape, pass.edge_runs, tape.edge.lap),
            runs: pass.runs.clone(),
            cover: Area::mm2(pass.cover_mm2),
            clashes: pass.clashes.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_run_of_tape_gets_one_lap() {
        let tape = TapeFigures::new(Length::mm(10_000.0), 3, Length::mm(50.0));
        assert_eq!(tape.to_lay, Length::mm(10_150.0));
    }

    #[test]
    fn areas_that_add_up_close_and_others_do_not() {
        let areas = sample::figures().areas();
        assert!(areas.closes());
        let short = Areas {
            border: areas.border - Area::mm2(1.0),
            ..areas
        };
        assert!(!short.closes());
        let lost = Areas {
            field: Area::mm2(f64::NAN),
            ..areas
        };
        assert!(!lost.closes());
    }

    #[test]
    fn decks_add_up() {
        let one = sample::figures();
        let two = Figures {
            decks: [one.decks.clone(), one.decks.clone()].concat(),
            ..one.clone()
        };
        assert_eq!(two.areas().deck, one.areas().deck + one.areas().deck);
        assert_eq!(two.reversed().line_tape.runs, 2);
        assert_eq!(two.reversed().clashes.len(), 2);
    }
}
