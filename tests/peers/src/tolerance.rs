//! How far an engine's figures may lie from the exact ones for its chords alone, derived, not fitted.
//!
//! An engine that keeps arcs as chords with error e moves a boundary by at most e wherever it makes one: once
//! where it takes a ring in, once in each growing or shrinking. So after the margins a boundary lies within
//! 2e of where it should, after opening within 4e, after closing within 6e (a step whose distance is 0 does
//! nothing). Straight boundary is moved along its normal without error, so only arcs count. To first order
//!
//! * the area differs by at most that displacement times the length of the arcs, and where an arc about a
//!   sharp corner returns to the corner, by the displacement times the last chord on either side, whose
//!   length is √(8de) for a disc of radius d,
//! * the perimeter by the displacement times the turn of the arcs (the length of an arc is radius times
//!   angle), and at a sharp corner, where two boundaries moved by s meet at an angle φ, by 2s/sin φ and as much
//!   again for the other boundary.
//!
//! Both times 1.5: engines step round a join by the nearest whole number of chords, so that one can turn by
//! 1.5 times the stated angle, lies 2.25 times as far off its arc at the middle, and two thirds of that on
//! average. To this comes the grid the engine rounds coordinates to, along the whole boundary.
//!
//! What lies outside is a disagreement. Where the geometry itself is on a knife edge (a passage just as wide
//! as the disc) no bound of the first order holds: those are told apart by bracketing.

use crate::deck::Deck;
use crate::engine::{Figures, Stages};
use spile::shape::{Ring, Segment};

/// A join's chord may turn by 1.5 times the angle it was asked for; see the module's head.
const UNEVEN_CHORDS: f64 = 1.5;

/// Corners that turn by less than this are rounding: a tangent join.
const LEAST_TURN: f64 = 1e-4;

/// 1/sin φ counts for no more than this: whatever is nearer to a graze is looked at by bracketing.
const GRAZE: f64 = 10.0;

/// What an engine says of its own accuracy, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Greatest distance of a chord from its arc.
    pub chord_error: f64,
    /// The step or tolerance it rounds coordinates to.
    pub grid: f64,
}

/// How far figures may differ.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tolerance {
    /// mm².
    pub area: f64,
    /// Millimetres.
    pub perimeter: f64,
}

impl Accuracy {
    /// How far this engine may move the boundary of each stage.
    #[must_use]
    pub fn displacement(&self, deck: &Deck) -> Stages<f64> {
        let once = |distance: f64| {
            if distance > 0.0 {
                self.chord_error
            } else {
                0.0
            }
        };
        let margins = deck
            .obstacles
            .iter()
            .map(|obstacle| obstacle.margin)
            .fold(deck.margin, f64::max);
        let bare = self.chord_error + once(margins);
        let opened = bare + 2.0 * once(deck.round);
        let closed = opened + 2.0 * once(deck.hollow);
        Stages {
            bare,
            opened,
            closed,
        }
    }

    /// The tolerances for each stage of a deck, from its exact boundaries.
    #[must_use]
    pub fn tolerances(&self, deck: &Deck, exact: &Stages<Vec<Ring>>) -> Stages<Tolerance> {
        let moved = self.displacement(deck);
        let bare = Boundary::of(&exact.bare);
        let opened = bare.greater(Boundary::of(&exact.opened));
        let closed = opened.greater(Boundary::of(&exact.closed));
        let chord = |distance: f64| (8.0 * distance * self.chord_error).sqrt();
        let widest = deck.round.max(deck.hollow);
        Stages {
            bare: bare.tolerance(moved.bare, self.grid, 0.0),
            opened: opened.tolerance(moved.opened, 3.0 * self.grid, chord(deck.round)),
            closed: closed.tolerance(moved.closed, 5.0 * self.grid, chord(widest)),
        }
    }
}

/// What of a boundary decides how its figures change when it moves.
#[derive(Debug, Clone, Copy)]
struct Boundary {
    length: f64,
    arcs: f64,
    turn: f64,
    /// Number of sharp corners.
    corners: f64,
    /// Sum of 4/sin φ over them.
    slant: f64,
}

impl Boundary {
    fn of(rings: &[Ring]) -> Self {
        let mut found = Self {
            length: 0.0,
            arcs: 0.0,
            turn: 0.0,
            corners: 0.0,
            slant: 0.0,
        };
        for ring in rings {
            let segments = ring.segments();
            for (index, segment) in segments.iter().enumerate() {
                let next = &segments[(index + 1) % segments.len()];
                found.length += segment.length();
                if let Segment::Arc(arc) = segment {
                    found.arcs += segment.length();
                    found.turn += arc.sweep.abs();
                }
                let (into, out) = (segment.direction_at(1.0), next.direction_at(0.0));
                let turn = into.cross(out).atan2(into.dot(out)).abs();
                if turn > LEAST_TURN {
                    found.corners += 1.0;
                    found.slant += 4.0 * (1.0 / turn.sin().abs()).min(GRAZE);
                }
            }
        }
        found
    }

    /// The greater of each, for what a later step takes away was there in an earlier one.
    const fn greater(self, other: Self) -> Self {
        Self {
            length: self.length.max(other.length),
            arcs: self.arcs.max(other.arcs),
            turn: self.turn.max(other.turn),
            corners: self.corners.max(other.corners),
            slant: self.slant.max(other.slant),
        }
    }

    fn tolerance(&self, moved: f64, grid: f64, chord: f64) -> Tolerance {
        let arcs = self.arcs + 2.0 * self.corners * chord;
        Tolerance {
            area: UNEVEN_CHORDS * moved * arcs + grid * self.length,
            perimeter: (UNEVEN_CHORDS * moved + grid) * (self.turn + self.slant),
        }
    }
}

impl Tolerance {
    /// Whether two results are the same within it. Parts smaller than the tolerance may come and go.
    #[must_use]
    pub fn holds(&self, exact: &Figures, other: &Figures) -> bool {
        (exact.area - other.area).abs() <= self.area
            && (exact.perimeter - other.perimeter).abs() <= self.perimeter
            && self.parts(exact) == self.parts(other)
    }

    /// The number of parts larger than the tolerance in area.
    #[must_use]
    pub fn parts(&self, figures: &Figures) -> usize {
        figures
            .parts
            .iter()
            .filter(|area| **area > self.area.max(1.0))
            .count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chords::{figures_of_rings, vertices};
    use crate::deck::Shape;

    #[test]
    fn chords_of_a_disc_are_within_it_and_half_the_chords_are_not() {
        let ring = Shape::Disc {
            x: 0.0,
            y: 0.0,
            radius: 300.0,
        }
        .ring();
        let deck = Deck {
            margin: 0.0,
            round: 0.0,
            hollow: 0.0,
            outline: Shape::Disc {
                x: 0.0,
                y: 0.0,
                radius: 300.0,
            },
            obstacles: Vec::new(),
            strips: Vec::new(),
        };
        let exact = vec![ring.clone()];
        let stages = Stages {
            bare: exact.clone(),
            opened: exact.clone(),
            closed: exact.clone(),
        };
        let accuracy = Accuracy {
            chord_error: 0.1,
            grid: 1e-9,
        };
        let tolerance = accuracy.tolerances(&deck, &stages).bare;
        let polygon = |error| figures_of_rings(vec![Ring::polygon(&vertices(&ring, error))]);
        let exact = figures_of_rings(exact);
        assert!(tolerance.holds(&exact, &polygon(0.1)));
        assert!(!tolerance.holds(&exact, &polygon(0.4)));
    }
}
