//! Where the tape lies: level over a flat deck, on the deck itself where it has camber or sheer. Comes in: places in plan.
//! Goes out: what the tape shows between them, and how two tapes cross.
//!
//! On a deck that is round both ways no straight line lies on it. A tape pulled from one place to another and pressed down
//! lies over the straight line in plan, or over the shortest way: on a deck the two differ in length by some hundredths of
//! a millimetre (of fourth order in the deck's slope), so the first is what is computed.

use crate::shape::{Point, Segment};
use crate::surface::Surface;
use crate::units::{Length, LengthUnit};

use super::tape;

/// Half the step over which a slope is differenced, millimetres.
const ASIDE: f64 = 1.0;

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
