//! From the pattern to both masking passes: where the tape lies, on which side of the paint line, how
//! much of it, and what film must cover. Comes in: a [`Pattern`](crate::pattern::Pattern) and the tape.
//! Goes out: a [`Masking`].

mod clash;
mod field_lines;
mod line_tape;
mod remarks;
mod rolls;
mod runs;

pub use field_lines::{Chain, FieldLines, field_lines};
use field_lines::{chains, less};
use line_tape::LineTape;

pub use remarks::remarks;
pub(crate) use rolls::plan as plan_rolls;
pub use rolls::{EXACT_UP_TO, Packing, Roll, RollPlan, Rolls, pack};
pub use runs::{
    FLAT, Footing, JOIN_CLEAR, Lap, Remedy, RunEnd, RunName, TapeKind, TapeRun, TightBend,
    flat_radius,
};

use crate::concurrent::both;
use crate::layout::Tape;
use crate::pattern::Pattern;
use crate::shape::{CutRing, Point, Region, Ring, Segment, bands_along};
use crate::surface::Surface;
use crate::units::Length;

/// Both passes of one deck.
#[derive(Debug, Clone)]
pub struct Masking {
    /// First: fields covered, border painted.
    pub first: Pass,
    /// Reversed: border covered, fields painted.
    pub reversed: Pass,
}

/// One masking pass.
#[derive(Debug, Clone)]
pub struct Pass {
    /// The paint line's length.
    pub working_edge: Length,
    /// Line tape along its middle, without laps.
    pub line_tape: Length,
    /// Edge tape, without laps.
    pub edge_tape: Length,
    /// Number of runs of line tape; a ring that a roll suffices for is one run.
    pub line_runs: usize,
    /// Number of runs of edge tape.
    pub edge_runs: usize,
    /// Both tapes run by run, each in the order of laying.
    pub runs: Vec<TapeRun>,
    /// Where paint line and tape lie.
    pub lines: Lines,
    /// Area of film or paper, mm².
    pub cover_mm2: f64,
    /// What is protected in this pass.
    pub protected: Region,
    /// What is painted in this pass.
    pub painted: Region,
    /// The bodies of the line tape, as far as they lie on what is protected.
    pub line_bodies: Region,
    /// The bodies of the edge tape, laid outward from the painted area.
    pub edge_bodies: Region,
    /// Where bodies of line tape lie over each other.
    pub clashes: Vec<Clash>,
    /// Middles of rings too small for the tape to go round inside them; each counts with its own length.
    pub too_tight: Vec<Point>,
}

/// The lines whose lengths a pass counts.
#[derive(Debug, Clone, Default)]
pub struct Lines {
    /// The paint line.
    pub paint_line: Vec<Segment>,
    /// The middle of the line tape, all round each ring.
    pub line_tape: Vec<Segment>,
    /// Parts of it that belong to no paint line, so that they do not count.
    pub left_out: Vec<Segment>,
    /// The edge tape, along the deck edge, openings and fittings themselves.
    pub edge_tape: Vec<Segment>,
}

/// Paint lines nearer to each other than the tape is wide.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// Length of tape (along its middle) that lies over other tape's ground.
    pub length: Length,
    /// Where.
    pub at: Point,
    /// The widest tape that would not clash.
    pub width_that_would_do: Length,
}

/// On which side of a field's boundary the tape lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    /// Inside the field: the first pass.
    IntoField,
    /// Outside it: the reversed pass.
    OutOfField,
}

/// Plans both masking passes of a pattern on a flat deck.
#[must_use]
pub fn mask(pattern: &Pattern, tape: &Tape) -> Masking {
    mask_on(pattern, None, tape)
}

/// Plans both masking passes of a pattern; runs are cut to the lengths that they have on the surface.
#[must_use]
pub fn mask_on(pattern: &Pattern, surface: Option<&Surface>, tape: &Tape) -> Masking {
    let fields = pattern.field_region();
    let paintable = paintable(pattern);
    let edges = paintable.boundary();
    let rings: Vec<CutRing> = fields
        .rings()
        .iter()
        .map(|ring| ring.cut_along(&edges))
        .collect();
    let plan = Plan {
        pattern,
        fields: &fields,
        paintable: &paintable,
        rings: &rings,
        surface,
        tape,
    };
    let (first, reversed) = both(
        || plan.pass(Side::IntoField),
        || plan.pass(Side::OutOfField),
    );
    Masking { first, reversed }
}

/// What can be painted at all; its boundary is deck edge, openings and fittings in place.
fn paintable(pattern: &Pattern) -> Region {
    if pattern.openings.is_empty() && pattern.fittings.is_empty() {
        pattern.deck.clone()
    } else {
        pattern
            .deck
            .difference(&[&pattern.openings, &pattern.fittings])
    }
}

/// What both passes look at.
struct Plan<'a> {
    pattern: &'a Pattern,
    fields: &'a Region,
    paintable: &'a Region,
    rings: &'a [CutRing],
    /// None where the deck is flat.
    surface: Option<&'a Surface>,
    tape: &'a Tape,
}

impl Plan<'_> {
    fn pass(&self, side: Side) -> Pass {
        let width = self.tape.line.width;
        let (protected, painted) = match side {
            Side::IntoField => (self.fields, &self.pattern.border),
            Side::OutOfField => (&self.pattern.border, self.fields),
        };
        let line_bodies = self.line_bodies(side, protected);
        let lines: Vec<_> = self
            .rings
            .iter()
            .map(|ring| line_tape::along(ring, side, width))
            .collect();
        let edge = self.edge_tape(side);
        let mut all = Lines {
            edge_tape: edge.lines,
            ..Lines::default()
        };
        for line in &lines {
            all.paint_line.extend(&line.lines.paint_line);
            all.line_tape.extend(&line.lines.line_tape);
            all.left_out.extend(&line.lines.left_out);
        }
        let line_runs = self.line_runs(&lines);
        let edge_runs = self.edge_runs(&all.edge_tape);
        Pass {
            working_edge: lines
                .iter()
                .fold(Length::ZERO, |sum, line| sum + line.paint_line),
            line_tape: lines.iter().fold(Length::ZERO, |sum, line| sum + line.tape),
            edge_tape: edge.length,
            line_runs: line_runs.len(),
            edge_runs: edge_runs.len(),
            runs: [line_runs, edge_runs].concat(),
            lines: all,
            cover_mm2: protected.area() - line_bodies.area(),
            protected: protected.clone(),
            painted: painted.clone(),
            line_bodies,
            edge_bodies: edge.bodies,
            clashes: clash::find(self.pattern, side, width),
            too_tight: lines.iter().filter_map(|line| line.closes_up).collect(),
        }
    }

    /// The line tape run by run.
    fn line_runs(&self, lines: &[LineTape]) -> Vec<TapeRun> {
        let names = self.pattern.fields.iter().flat_map(|field| {
            let rings = field.region.rings().iter();
            rings.map(|_| &field.id)
        });
        let all: Vec<runs::Lines> = lines
            .iter()
            .zip(names)
            .flat_map(|(line, name)| {
                let own = &line.lines;
                let chains = chains(&less(&own.line_tape, &own.left_out));
                chains.into_iter().map(|chain| runs::Lines {
                    field: Some(name.clone()),
                    chain,
                    line_is_left: line.line_is_left,
                })
            })
            .collect();
        runs::runs(TapeKind::Line, &all, &self.tape.line, self.surface)
    }

    /// The edge tape run by run. What is painted lies to the left of its lines, the tape to the right.
    fn edge_runs(&self, edge_tape: &[Segment]) -> Vec<TapeRun> {
        let all: Vec<runs::Lines> = chains(edge_tape)
            .into_iter()
            .map(|chain| runs::Lines {
                field: None,
                chain,
                line_is_left: true,
            })
            .collect();
        runs::runs(TapeKind::Edge, &all, &self.tape.edge, self.surface)
    }

    /// The tape beside the paint line, as far as it lies on what it is to protect.
    fn line_bodies(&self, side: Side, protected: &Region) -> Region {
        let width = self.tape.line.width;
        if self
            .rings
            .iter()
            .all(|cut| !cut.on_boundary.contains(&true))
        {
            // Paint lines all round: the field's boundary and the same moved by a tape's width.
            return match side {
                Side::IntoField => between(&self.fields.eroded(width), self.fields),
                Side::OutOfField => between(
                    self.fields,
                    &self.fields.dilated(width).intersection(&[self.paintable]),
                ),
            };
        }
        let bands: Vec<Ring> = self
            .rings
            .iter()
            .flat_map(|cut| {
                let count = cut.on_boundary.len();
                match side {
                    Side::IntoField => {
                        bands_along(&cut.ring, width, |index| !cut.on_boundary[index])
                    }
                    Side::OutOfField => bands_along(&cut.ring.reversed(), width, |index| {
                        !cut.on_boundary[count - 1 - index]
                    }),
                }
            })
            .collect();
        protected.intersection(&[&Region::of_overlapping(&bands)])
    }

    /// Edge tape: round everything that can be painted in the first pass, only where a field reaches the
    /// deck edge, an opening or a fitting in the reversed one.
    fn edge_tape(&self, side: Side) -> EdgeTape {
        let width = self.tape.edge.width;
        match side {
            Side::IntoField => EdgeTape {
                length: Length::mm(self.paintable.perimeter()),
                lines: self.paintable.segments().copied().collect(),
                bodies: between(self.paintable, &self.paintable.dilated(width)),
            },
            Side::OutOfField => {
                let mut tape = EdgeTape {
                    length: Length::ZERO,
                    lines: Vec::new(),
                    bodies: Region::default(),
                };
                let mut bands = Vec::new();
                for cut in self.rings {
                    let on = |index: usize| cut.on_boundary[index];
                    let segments = cut.ring.segments();
                    let count = segments.len();
                    let reached = (0..count).filter(|index| on(*index));
                    let reached: Vec<Segment> = reached.map(|index| segments[index]).collect();
                    tape.length =
                        tape.length + Length::mm(reached.iter().map(Segment::length).sum());
                    tape.lines.extend(reached);
                    bands.extend(bands_along(&cut.ring.reversed(), width, |index| {
                        on(count - 1 - index)
                    }));
                }
                if !bands.is_empty() {
                    tape.bodies = Region::of_overlapping(&bands).difference(&[self.paintable]);
                }
                tape
            }
        }
    }
}

/// What lies between a region and a larger one whose boundary keeps clear of its own.
fn between(inner: &Region, outer: &Region) -> Region {
    let cut_out = inner.rings().iter().map(Ring::reversed);
    Region::new(outer.rings().iter().cloned().chain(cut_out).collect())
}

struct EdgeTape {
    length: Length,
    lines: Vec<Segment>,
    bodies: Region,
}
