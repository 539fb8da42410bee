//! The curve of a deck's centreline fore and aft, as heights over its stations.

use super::quadrature::once;
use crate::shape::Graph;

/// A deck's sheer.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Sheer {
    /// None at all.
    Level,
    /// The fair curve through heights at stations, straight beyond them.
    Fair(Graph),
    /// A parabola found from heights all over the deck, straight beyond them.
    Fitted(Parabola),
}

/// Heights `slope (x - middle) + bend (x - middle)² / 2` between two stations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Parabola {
    pub(super) middle: f64,
    pub(super) slope: f64,
    pub(super) bend: f64,
    /// The stations between which it is known.
    pub(super) ends: [f64; 2],
}

impl Parabola {
    fn within(&self, x: f64) -> f64 {
        x.clamp(self.ends[0], self.ends[1])
    }

    fn slope_at(&self, x: f64) -> f64 {
        self.slope + self.bend * (self.within(x) - self.middle)
    }
}

impl Sheer {
    pub(super) fn height(&self, x: f64) -> f64 {
        match self {
            Self::Level => 0.0,
            Self::Fair(curve) => curve.height_at(x),
            Self::Fitted(curve) => {
                let off = curve.within(x) - curve.middle;
                curve.slope * off
                    + curve.bend * off * off / 2.0
                    + (x - curve.within(x)) * curve.slope_at(x)
            }
        }
    }

    pub(super) fn slope(&self, x: f64) -> f64 {
        match self {
            Self::Level => 0.0,
            Self::Fair(curve) => curve.slope_at(x),
            Self::Fitted(curve) => curve.slope_at(x),
        }
    }

    /// Second derivative.
    pub(super) fn bend(&self, x: f64) -> f64 {
        match self {
            Self::Level => 0.0,
            Self::Fair(curve) => curve.bend_at(x),
            Self::Fitted(curve) if curve.within(x) == x => curve.bend,
            Self::Fitted(_) => 0.0,
        }
    }

    /// The stations between which it is one smooth curve each, rising; none where it is level.
    pub(super) fn knots(&self) -> &[f64] {
        match self {
            Self::Level => &[],
            Self::Fair(curve) => curve.knots(),
            Self::Fitted(curve) => &curve.ends,
        }
    }

    /// Whether it is a straight line, level or not.
    pub(super) fn is_straight(&self) -> bool {
        match self {
            Self::Level => true,
            Self::Fair(curve) => curve.knots().iter().all(|x| curve.bend_at(*x) == 0.0),
            Self::Fitted(curve) => curve.bend == 0.0,
        }
    }

    /// Length of the centreline from one station to another, negative forward.
    pub(super) fn arc_length(&self, from: f64, to: f64) -> f64 {
        if to < from {
            return -self.arc_length(to, from);
        }
        let knots = self.knots().iter().copied();
        let mut at = from;
        let mut sum = 0.0;
        for knot in knots.filter(|knot| *knot > from && *knot < to).chain([to]) {
            sum += once(at, knot, |x| self.slope(x).hypot(1.0));
            at = knot;
        }
        sum
    }
}
