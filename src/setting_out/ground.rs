//! Where the tape lies: level over a flat deck, on the deck itself where it has camber or sheer. Comes in: places in plan.
//! Goes out: what the tape shows between them, and how two tapes cross.
//!
//! On a deck that is round both ways no straight line lies on it. What is computed is the length over the straight line in
//! plan. A taut tape finds the shortest way, which leaves that line by about g L²/8 and is shorter by about g² L³/24, g the
//! line's sideways bend ([`Ground::sideways_bend`]; a parabola's length over its chord): some hundredths of a millimetre
//! on a usual deck. Where it would be more than [`SLACK`] the tape's length is not to be relied on.

use crate::shape::{Point, Segment};
use crate::surface::Surface;
use crate::units::{Length, LengthUnit};

use super::tape;

/// Half the step over which a slope is differenced, millimetres.
const ASIDE: f64 = 1.0;

/// The most that a taut tape may be shorter than what is printed, millimetres.
pub(super) const SLACK: f64 = 0.5;

/// The deck as the tape meets it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) surface: Option<&'a Surface>,
    pub(super) units: LengthUnit,
}

impl Ground<'_> {
    /// From one place to another, millimetres.
    pub(super) fn distance(&self, from: Point, to: Point) -> f64 {
        self.surface.map_or_else(
            || from.distance(to),
            |surface| surface.length(&Segment::Line(from, to)).to_mm(),
        )
    }

    /// The same as the tape shows it.
    pub(super) fn taped(&self, from: Point, to: Point) -> Length {
        tape::rounded(Length::mm(self.distance(from, to)), self.units)
    }

    /// About how much shorter a taut tape is than the line straight in plan that it is given for, millimetres.
    pub(super) fn slack(&self, from: Point, to: Point) -> f64 {
        let along = to - from;
        let bend = [0.25, 0.5, 0.75]
            .map(|share| self.sideways_bend(from.towards(to, share), along).abs())
            .into_iter()
            .fold(0.0, f64::max);
        bend * bend * along.length().powi(3) / 24.0
    }

    /// Sine and cosine of the angle at which tapes from two places cross at a third, the sine positive.
    pub(super) fn crossing(&self, at: Point, from: [Point; 2]) -> [f64; 2] {
        let slope = self
            .surface
            .map_or(Point::ORIGIN, |surface| surface.slope(at));
        let [u, v] = from.map(|from| {
            let along = (at - from).unit();
            let climb = slope.dot(along);
            let length = climb.hypot(1.0);
            [along.x / length, along.y / length, climb / length]
        });
        let cosine = (0..3).map(|axis| u[axis] * v[axis]).sum::<f64>();
        let cross = |a: usize, b: usize| u[a] * v[b] - u[b] * v[a];
        let sine = cross(0, 1).hypot(cross(1, 2)).hypot(cross(2, 0));
        [sine, cosine]
    }

    /// How sharply a line straight in plan bends sideways on the deck (its geodesic curvature), per millimetre: what a
    /// batten or a chalked line laid on the deck would not do by itself.
    ///
    /// With z'' the second derivative of the height along the line, s and c its slopes along and square to it, that is
    /// z'' c / (√(1 + s² + c²) (1 + s²)^(3/2)): the curvature vector's part in the tangent plane and square to the line.
    pub(super) fn sideways_bend(&self, at: Point, along: Point) -> f64 {
        let Some(surface) = self.surface else {
            return 0.0;
        };
        let along = along.unit();
        let [before, here, after] = [-ASIDE, 0.0, ASIDE].map(|by| surface.slope(at + along * by));
        let bend = (after - before).dot(along) / (2.0 * ASIDE);
        let (climb, across) = (here.dot(along), here.dot(along.left()));
        let steep = 1.0 + climb * climb;
        bend * across / ((steep + across * across).sqrt() * steep.powf(1.5))
    }
}
