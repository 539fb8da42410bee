//! The pattern straight from its definition, without any boolean operation: whether a given point belongs to
//! it. The judge where engines disagree, and a check of the exact boundary point by point.
//!
//! Let c(p) be the clearance of p: the least of its distances to the deck's edge, the obstacles and the strips,
//! each less its margin. Growing by a and then by b is growing by a + b, so with r and h the radii
//!
//! * the bare pattern shrunk by r is E = {p : c(p) >= r};
//! * opened, it is everything within r of E;
//! * opened and then grown by h it is everything within r + h of E; what lies outside that is
//!   Q = {p : dist(p, E) > r + h};
//! * closed, it is everything at least h from Q.
//!
//! The boundary of E lies on curves parallel to what was measured, that of Q on curves parallel to E's. Each such
//! line or circle is walked in small steps; where the condition changes between two steps the place is found by
//! bisection. So both boundaries are known as exact pieces, up to pieces shorter than a step.

use crate::deck::Deck;
use spile::shape::{BoundingBox, Point, Ring, Segment};
use std::cell::Cell;

/// Length of a step along a curve, millimetres. Pieces shorter than this may be missed.
const STEP: f64 = 0.5;

/// How far a point of a boundary may seem to lie within what bounds it, for rounding, millimetres. Where two
/// circles of radius r graze, this moves their meeting by √(2r) times the root of it: 0.0001 mm.
const ROUNDING: f64 = 1e-10;

/// Where a point lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// In the pattern.
    Inside,
    /// Not in it.
    Outside,
    /// So near to its boundary that rounding could decide.
    Boundary,
}

/// One of the three results.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// What margins, obstacles and strips leave.
    Bare,
    /// That, opened.
    Opened,
    /// That, closed.
    Closed,
}

/// The definition for one deck.
#[derive(Debug, Clone)]
pub struct Definition {
    kept_off: Vec<Boundary>,
    round: f64,
    hollow: f64,
    /// Boundary of E.
    shrunk: Pieces,
    /// Boundary of Q; empty where nothing is closed.
    beyond: Pieces,
}

/// A ring that the pattern keeps clear of.
#[derive(Debug, Clone)]
struct Boundary {
    ring: Ring,
    pieces: Pieces,
    bounds: BoundingBox,
    margin: f64,
    /// Whether the pattern lies inside (the deck's edge) or outside (all else).
    pattern_inside: bool,
}

impl Boundary {
    fn of(ring: Ring, margin: f64, pattern_inside: bool) -> Self {
        let mut pieces = Pieces::default();
        ring.segments()
            .iter()
            .for_each(|segment| pieces.push(*segment));
        Self {
            bounds: ring.bounding_box(),
            ring,
            pieces,
            margin,
            pattern_inside,
        }
    }

    fn clearance(&self, at: Point) -> f64 {
        let distance = self.pieces.distance(at);
        let inside = self.ring.winding(at) != 0;
        let signed = if inside == self.pattern_inside {
            distance
        } else {
            -distance
        };
        signed - self.margin
    }

    /// Whether the clearance is at least `least`, which is not below 0 but for rounding.
    fn is_clear(&self, at: Point, least: f64) -> bool {
        let reach = self.margin + least;
        if !self.pattern_inside && !self.bounds.grown(reach.max(0.0)).holds(at) {
            return true;
        }
        self.pieces.is_clear(at, reach) && self.clearance(at) >= least
    }
}

impl Definition {
    /// The definition with its boundaries found.
    #[must_use]
    pub fn of(deck: &Deck) -> Self {
        let mut kept_off = vec![Boundary::of(deck.outline.ring(), deck.margin, true)];
        kept_off.extend(
            deck.obstacles
                .iter()
                .map(|obstacle| Boundary::of(obstacle.shape.ring(), obstacle.margin, false)),
        );
        kept_off.extend(
            deck.strips
                .iter()
                .map(|strip| Boundary::of(strip.ring(), 0.0, false)),
        );
        let mut found = Self {
            kept_off,
            round: deck.round,
            hollow: deck.hollow,
            shrunk: Pieces::default(),
            beyond: Pieces::default(),
        };
        found.shrunk = found.boundary_of_shrunk();
        if deck.hollow > 0.0 {
            found.beyond = found.boundary_of_beyond();
        }
        found
    }

    /// Which side of a stage's boundary a point lies on, when within `hair` of it counts as on it.
    #[must_use]
    pub fn side(&self, stage: Stage, at: Point, hair: f64) -> Side {
        let depth = self.depth(stage, at);
        if depth.abs() <= hair {
            Side::Boundary
        } else if depth > 0.0 {
            Side::Inside
        } else {
            Side::Outside
        }
    }

    /// By how much a point meets the condition of a stage, millimetres; below 0 where it does not.
    #[must_use]
    pub fn depth(&self, stage: Stage, at: Point) -> f64 {
        let clearance = self.clearance(at);
        match stage {
            Stage::Bare => clearance,
            Stage::Opened => self.round - self.distance_to_shrunk(at, clearance),
            Stage::Closed if self.hollow > 0.0 => {
                let to_shrunk = self.distance_to_shrunk(at, clearance);
                let to_beyond = self.beyond.distance(at);
                let is_beyond = to_shrunk > self.round + self.hollow;
                (if is_beyond { -to_beyond } else { to_beyond }) - self.hollow
            }
            Stage::Closed => self.depth(Stage::Opened, at),
        }
    }

    fn clearance(&self, at: Point) -> f64 {
        self.kept_off
            .iter()
            .map(|boundary| boundary.clearance(at))
            .fold(f64::INFINITY, f64::min)
    }

    fn is_clear(&self, at: Point, least: f64) -> bool {
        self.kept_off
            .iter()
            .all(|boundary| boundary.is_clear(at, least))
    }

    /// Distance to E; for a point of E the distance to its boundary, below 0.
    fn distance_to_shrunk(&self, at: Point, clearance: f64) -> f64 {
        let distance = self.shrunk.distance(at);
        if clearance >= self.round {
            -distance
        } else {
            distance
        }
    }

    fn boundary_of_shrunk(&self) -> Pieces {
        let mut pieces = Pieces::default();
        let bounds = self.kept_off[0].ring.bounding_box().grown(1.0);
        for boundary in &self.kept_off {
            let off = boundary.margin + self.round;
            for segment in boundary.ring.segments() {
                for curve in Curve::beside(segment, off) {
                    pieces.walk(&curve, |at| {
                        bounds.holds(at) && self.is_clear(at, self.round - ROUNDING)
                    });
                }
            }
        }
        pieces
    }

    fn boundary_of_beyond(&self) -> Pieces {
        let mut pieces = Pieces::default();
        let reach = self.round + self.hollow;
        let is_beyond = |at: Point| {
            self.shrunk.is_clear(at, reach - ROUNDING) && !self.is_clear(at, self.round)
        };
        for piece in &self.shrunk.pieces {
            for curve in Curve::beside(&piece.segment, reach) {
                pieces.walk(&curve, is_beyond);
            }
        }
        pieces
    }
}

/// Pieces of a boundary.
#[derive(Debug, Clone, Default)]
struct Pieces {
    pieces: Vec<Piece>,
    /// The piece that was nearest last: neighbouring questions have neighbouring answers.
    last: Cell<usize>,
}

impl Pieces {
    fn push(&mut self, segment: Segment) {
        self.pieces.push(Piece::of(segment));
    }

    fn distance(&self, at: Point) -> f64 {
        let Some(first) = self.pieces.get(self.last.get()) else {
            return f64::INFINITY;
        };
        let mut least = first.distance(at);
        for (index, piece) in self.pieces.iter().enumerate() {
            if piece.is_farther(at, least) {
                continue;
            }
            let distance = piece.distance(at);
            if distance < least {
                least = distance;
                self.last.set(index);
            }
        }
        least
    }

    /// Whether no piece is nearer than `reach`.
    fn is_clear(&self, at: Point, reach: f64) -> bool {
        if self
            .pieces
            .get(self.last.get())
            .is_some_and(|piece| piece.distance(at) < reach)
        {
            return false;
        }
        for (index, piece) in self.pieces.iter().enumerate() {
            if !piece.is_farther(at, reach) && piece.distance(at) < reach {
                self.last.set(index);
                return false;
            }
        }
        true
    }

    /// Adds the parts of a curve where `holds`.
    fn walk(&mut self, curve: &Curve, holds: impl Fn(Point) -> bool) {
        let steps = curve.steps();
        let share = |step: u32| f64::from(step) / f64::from(steps);
        // The place between one where it holds and one where it does not.
        let change = |mut holding: f64, mut not: f64| {
            for _ in 0..50 {
                let middle = f64::midpoint(holding, not);
                if holds(curve.at(middle)) {
                    holding = middle;
                } else {
                    not = middle;
                }
            }
            holding
        };
        let mut begun = holds(curve.at(0.0)).then_some(0.0);
        for step in 1..=steps {
            let (before, here) = (share(step - 1), share(step));
            match (begun, holds(curve.at(here))) {
                (Some(from), false) => {
                    self.push(curve.part(from, change(before, here)));
                    begun = None;
                }
                (None, true) => begun = Some(change(here, before)),
                _ => {}
            }
        }
        if let Some(from) = begun {
            self.push(curve.part(from, 1.0));
        }
    }
}

/// A line or an arc about a centre, whose radius may be negative: the arc is then on the other side of it.
#[derive(Debug, Clone, Copy)]
enum Curve {
    Line(Point, Point),
    Arc {
        centre: Point,
        radius: f64,
        from: f64,
        sweep: f64,
    },
}

impl Curve {
    /// All that lies `distance` from a segment on either side, and the circles about its ends.
    fn beside(segment: &Segment, distance: f64) -> Vec<Self> {
        let about = |centre| Self::Arc {
            centre,
            radius: distance,
            from: 0.0,
            sweep: std::f64::consts::TAU,
        };
        let mut curves = Vec::with_capacity(4);
        if distance > 0.0 {
            curves.extend([about(segment.start()), about(segment.end())]);
        }
        for side in [distance, -distance] {
            match segment {
                Segment::Line(start, end) => {
                    let along = (*end - *start).unit();
                    let aside = Point::new(-along.y, along.x) * side;
                    curves.push(Self::Line(*start + aside, *end + aside));
                }
                Segment::Arc(arc) => curves.push(Self::Arc {
                    centre: arc.centre,
                    radius: arc.radius + side,
                    from: arc.start_angle(),
                    sweep: arc.sweep,
                }),
            }
        }
        curves
    }

    fn at(&self, share: f64) -> Point {
        match *self {
            Self::Line(start, end) => start.towards(end, share),
            Self::Arc {
                centre,
                radius,
                from,
                sweep,
            } => centre + Point::at_angle(from + share * sweep) * radius,
        }
    }

    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "positive, and a few thousand: curves are a few metres long"
    )]
    fn steps(&self) -> u32 {
        let length = match *self {
            Self::Line(start, end) => start.distance(end),
            Self::Arc { radius, sweep, .. } => (radius * sweep).abs(),
        };
        (length / STEP).ceil().clamp(4.0, 1e6) as u32
    }

    fn part(&self, from: f64, to: f64) -> Segment {
        match *self {
            Self::Line(..) => Segment::Line(self.at(from), self.at(to)),
            Self::Arc {
                centre,
                radius,
                from: angle,
                sweep,
            } => {
                let turned = if radius < 0.0 {
                    std::f64::consts::PI
                } else {
                    0.0
                };
                let start = angle + from * sweep + turned;
                Segment::Arc(spile::shape::Arc::about(
                    centre,
                    radius.abs(),
                    start,
                    (to - from) * sweep,
                ))
            }
        }
    }
}

/// A segment made ready for being asked how far it is.
#[derive(Debug, Clone, Copy)]
struct Piece {
    segment: Segment,
    bounds: BoundingBox,
    /// Of an arc: the direction from the centre to its middle, and the cosine of half its sweep.
    middle: Point,
    half: f64,
}

impl Piece {
    fn of(segment: Segment) -> Self {
        let (middle, half) = match segment {
            Segment::Line(..) => (Point::ORIGIN, 0.0),
            Segment::Arc(arc) => (
                Point::at_angle(arc.start_angle() + arc.sweep / 2.0),
                (arc.sweep.abs() / 2.0).cos(),
            ),
        };
        Self {
            segment,
            bounds: segment.bounding_box(),
            middle,
            half,
        }
    }

    /// Whether its box alone is at least `reach` away.
    fn is_farther(&self, at: Point, reach: f64) -> bool {
        let (least, greatest) = (self.bounds.least, self.bounds.greatest);
        let x = (least.x - at.x).max(at.x - greatest.x).max(0.0);
        let y = (least.y - at.y).max(at.y - greatest.y).max(0.0);
        x * x + y * y >= reach * reach
    }

    fn distance(&self, at: Point) -> f64 {
        match self.segment {
            Segment::Line(start, end) => {
                let along = end - start;
                let square = along.dot(along);
                let share = if square > 0.0 {
                    (at - start).dot(along) / square
                } else {
                    0.0
                };
                at.distance(start.towards(end, share.clamp(0.0, 1.0)))
            }
            Segment::Arc(arc) => {
                let out = at - arc.centre;
                let length = out.length();
                if out.dot(self.middle) >= self.half * length {
                    (length - arc.radius).abs()
                } else {
                    at.distance(arc.start).min(at.distance(arc.end))
                }
            }
        }
    }
}
