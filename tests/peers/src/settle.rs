//! Who is right where two boundaries differ: the definition is asked along slanting lines across them,
//! wherever one has a point inside and the other does not. It is asked for the deck as it is and for the same
//! deck with every margin and radius 0.02 mm either side, in all combinations: where these do not all say the
//! same, the place is on a knife edge (or within that of the boundary) and nobody is wrong there.

use crate::deck::Deck;
use crate::definition::{Definition, Side, Stage};
use crate::knife_edge::{HAND, variations};
use spile::shape::{BoundingBox, Point, Ring, Segment};
use std::cell::OnceCell;

/// How near to the true boundary a point is left undecided, millimetres.
const HAIR: f64 = 1e-4;

/// Measures off by this much decide only where a tie does, millimetres.
const TIE: f64 = 1e-6;

/// A boundary that moves further than this for measures 0.02 mm off has jumped, millimetres.
const JUMP: f64 = 0.1;

/// The lines run at this angle, so that they cross slivers along x and along y alike; radians.
const SLANT: f64 = 0.55;

/// Questions asked for one dispute, about.
const QUESTIONS: f64 = 2000.0;

/// The definition for a deck and for its variations, each worked out when it is first asked for.
#[derive(Debug)]
pub struct Judge {
    exact: Definition,
    varied: Lazy,
    tied: Lazy,
}

impl Judge {
    /// The judge of a deck.
    #[must_use]
    pub fn of(deck: &Deck) -> Self {
        let lazy = |nudge| {
            variations(deck, nudge)
                .map(|deck| (deck, OnceCell::new()))
                .collect::<Lazy>()
        };
        Self {
            exact: Definition::of(deck),
            varied: lazy(HAND),
            tied: lazy(TIE),
        }
    }

    /// The definition for the deck as it is.
    #[must_use]
    pub const fn exact(&self) -> &Definition {
        &self.exact
    }

    /// Whether a point's side hangs on a tie: measures off by a millionth of a millimetre decide otherwise, or
    /// measures off by 0.02 mm change the depth of the point in the pattern by far more than that.
    #[must_use]
    pub fn is_knife_edge(&self, stage: Stage, at: Point) -> bool {
        let (exact, side) = (
            self.exact.depth(stage, at),
            self.exact.side(stage, at, HAIR),
        );
        made(&self.tied).any(|definition| definition.side(stage, at, HAIR) != side)
            || made(&self.varied)
                .any(|definition| (definition.depth(stage, at) - exact).abs() > JUMP)
    }

    /// The side on which a point lies whichever way the measures are off; on the boundary where that
    /// depends on them.
    #[must_use]
    pub fn side(&self, stage: Stage, at: Point) -> Side {
        let side = self.exact.side(stage, at, HAIR);
        let same = side != Side::Boundary
            && made(&self.varied).all(|definition| definition.side(stage, at, HAIR) == side);
        if same { side } else { Side::Boundary }
    }
}

/// Definitions for decks, each worked out when it is first asked for.
type Lazy = Vec<(Deck, OnceCell<Definition>)>;

fn made(lazy: &Lazy) -> impl Iterator<Item = &Definition> {
    lazy.iter()
        .map(|(deck, definition)| definition.get_or_init(|| Definition::of(deck)))
}

/// Area that each of two is wrong about, mm².
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Settled {
    /// Where the first is wrong.
    pub first: f64,
    /// Where the second is wrong.
    pub second: f64,
    /// Too near to the boundary to say.
    pub undecided: f64,
}

/// Asks the definition wherever two boundaries of one stage differ; places on a knife edge are left
/// undecided.
#[must_use]
pub fn settle(judge: &Judge, stage: Stage, first: &[Ring], second: &[Ring]) -> Settled {
    ask_between(first, second, |at| judge.side(stage, at))
}

/// The same for a deck without a knife edge, where the definition for the deck as it is decides up to a hair.
#[must_use]
pub fn settle_exactly(judge: &Judge, stage: Stage, first: &[Ring], second: &[Ring]) -> Settled {
    ask_between(first, second, |at| judge.exact().side(stage, at, HAIR))
}

/// The area that rings enclose, whichever way and however often they run round it, mm²: an independent
/// measure of what an engine says of them.
#[must_use]
pub fn covered(rings: &[Ring]) -> f64 {
    const SPACING: f64 = 0.5;
    let lengths = stretches(&slanted(rings), &[], SPACING);
    lengths
        .iter()
        .map(|stretch| stretch.length() * SPACING)
        .sum()
}

fn slanted(rings: &[Ring]) -> Vec<Ring> {
    rings
        .iter()
        .map(|ring| ring.moved(&|at| at.turned(SLANT)))
        .collect()
}

fn ask_between(first: &[Ring], second: &[Ring], side: impl Fn(Point) -> Side) -> Settled {
    let (first, second) = (&slanted(first), &slanted(second));
    // First how much is in dispute, to choose how densely to ask.
    let disputed: f64 = stretches(first, second, 3.0)
        .iter()
        .map(|stretch| 3.0 * stretch.length())
        .sum();
    let spacing = (disputed / QUESTIONS).sqrt().clamp(0.2, 12.0);
    let mut settled = Settled::default();
    for stretch in stretches(first, second, spacing) {
        // Long stretches piece by piece.
        let pieces = (stretch.length() / spacing).ceil().max(1.0);
        let length = stretch.length() / pieces;
        let mut piece = 0.5;
        while piece < pieces {
            let at = Point::new(stretch.from + piece * length, stretch.y).turned(-SLANT);
            let area = length * spacing;
            match (side(at), stretch.in_first) {
                (Side::Boundary, _) => settled.undecided += area,
                (Side::Inside, true) | (Side::Outside, false) => settled.second += area,
                (Side::Inside, false) | (Side::Outside, true) => settled.first += area,
            }
            piece += 1.0;
        }
    }
    settled
}

/// Part of a line along x that lies in one of two regions only.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    y: f64,
    from: f64,
    to: f64,
    in_first: bool,
}

impl Stretch {
    fn length(&self) -> f64 {
        self.to - self.from
    }
}

fn stretches(first: &[Ring], second: &[Ring], spacing: f64) -> Vec<Stretch> {
    let bounds = first
        .iter()
        .chain(second)
        .map(Ring::bounding_box)
        .fold(BoundingBox::EMPTY, |all, one| all.joined(&one));
    let mut found = Vec::new();
    // Off round numbers, where edges lie.
    let mut y = bounds.least.y + 0.381_966 * spacing;
    while y < bounds.greatest.y {
        let mut events: Vec<(f64, i32, i32)> = Vec::new();
        for (rings, is_first) in [(first, true), (second, false)] {
            for segment in rings.iter().flat_map(|ring| ring.segments()) {
                crossings(segment, y, |x, turn| {
                    events.push(if is_first { (x, turn, 0) } else { (x, 0, turn) });
                });
            }
        }
        events.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut in_first, mut in_second) = (0, 0);
        let mut from = f64::NEG_INFINITY;
        for (x, first_turn, second_turn) in events {
            if (in_first > 0) != (in_second > 0) && x > from {
                found.push(Stretch {
                    y,
                    from,
                    to: x,
                    in_first: in_first > 0,
                });
            }
            in_first += first_turn;
            in_second += second_turn;
            from = x;
        }
        y += spacing;
    }
    found
}

/// Where a segment crosses the line at `y`, and whether the inside begins (1) or ends (-1) there, going
/// along x.
fn crossings(segment: &Segment, y: f64, mut found: impl FnMut(f64, i32)) {
    match segment {
        Segment::Line(a, b) => {
            if (a.y <= y) != (b.y <= y) {
                let x = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
                // The inside is on the left: going down it lies towards greater x.
                found(x, if b.y < a.y { 1 } else { -1 });
            }
        }
        Segment::Arc(arc) => {
            // Cut where the circle is level, so that each piece rises or falls all the way.
            let quarter = std::f64::consts::FRAC_PI_2;
            let from = arc.start_angle();
            let to = from + arc.sweep;
            let (low, high) = (from.min(to), from.max(to));
            let mut cuts = vec![low];
            let mut level = (2.0 * ((low / quarter - 1.0) / 2.0).ceil() + 1.0) * quarter;
            while level < high {
                if level > low {
                    cuts.push(level);
                }
                level += 2.0 * quarter;
            }
            cuts.push(high);
            let end = |angle: f64| {
                // The arc's own ends, so that it meets its neighbours.
                if angle == from {
                    arc.start
                } else if angle == to {
                    arc.end
                } else {
                    arc.centre + Point::at_angle(angle) * arc.radius
                }
            };
            for pair in cuts.windows(2) {
                let (a, b) = (end(pair[0]), end(pair[1]));
                if (a.y <= y) != (b.y <= y) {
                    let reach = (arc.radius * arc.radius - (y - arc.centre.y).powi(2))
                        .max(0.0)
                        .sqrt();
                    let east = f64::midpoint(pair[0], pair[1]).cos() > 0.0;
                    let x = arc.centre.x + if east { reach } else { -reach };
                    let rises = (b.y > a.y) == (arc.sweep > 0.0);
                    found(x, if rises { -1 } else { 1 });
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::deck::{Deck, Shape};

    fn disc(radius: f64) -> Deck {
        Deck {
            margin: 0.0,
            round: 10.0,
            hollow: 0.0,
            outline: Shape::Disc {
                x: 0.0,
                y: 0.0,
                radius,
            },
            obstacles: Vec::new(),
            strips: Vec::new(),
        }
    }

    #[test]
    fn the_wrong_one_is_found_with_the_area_it_is_wrong_about() {
        let right = vec![disc(100.0).outline.ring()];
        let wrong = vec![disc(90.0).outline.ring()];
        let judge = Judge::of(&disc(100.0));
        let ring = std::f64::consts::PI * (100.0 * 100.0 - 90.0 * 90.0);
        for stage in [Stage::Bare, Stage::Opened, Stage::Closed] {
            let settled = settle(&judge, stage, &right, &wrong);
            assert_eq!(settled.first, 0.0, "{settled:?}");
            assert!(
                (settled.second / ring - 1.0).abs() < 0.01,
                "{settled:?} {ring}"
            );
            let turned = settle(&judge, stage, &wrong, &right);
            assert_eq!(
                (turned.first, turned.second),
                (settled.second, settled.first)
            );
        }
    }
}
