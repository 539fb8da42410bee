//! spile's boundaries against the definition, point by point: a thousandth of a millimetre to the left of each
//! segment lies in the pattern, as far to the right does not, and points strewn over the deck are on the side
//! where the region says they are.

use crate::agreement::Case;
use crate::definition::{Side, Stage};
use crate::random::SplitMix;
use spile::shape::{Point, Region, Ring};

/// How far off the boundary points are taken, millimetres.
const ASIDE: f64 = 1e-3;

/// Segments shorter than this have no middle to speak of, millimetres.
const SHORT: f64 = 0.05;

/// Points strewn over each stage.
const STREWN: u32 = 200;

/// What came of asking.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Asked {
    /// Points where definition and region say the same.
    pub same: u64,
    /// Points where the definition itself is undecided: on a knife edge, or within a hair of the boundary.
    pub undecided: u64,
    /// Points where the region is wrong.
    pub wrong: u64,
    /// The first of these.
    pub first_wrong: Option<(Stage, Point)>,
}

impl Asked {
    /// Both together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self {
            same: self.same + other.same,
            undecided: self.undecided + other.undecided,
            wrong: self.wrong + other.wrong,
            first_wrong: self.first_wrong.or(other.first_wrong),
        }
    }

    fn count(&mut self, case: &Case, stage: Stage, at: Point, inside: bool) {
        let says = case.judge().exact().side(stage, at, ASIDE / 10.0);
        match (says, inside) {
            (Side::Boundary, _) => self.undecided += 1,
            (Side::Inside, true) | (Side::Outside, false) => self.same += 1,
            // Where measures 0.02 mm either side decide otherwise, nobody is wrong.
            _ if case.judge().is_knife_edge(stage, at) => self.undecided += 1,
            _ => {
                self.wrong += 1;
                self.first_wrong.get_or_insert((stage, at));
            }
        }
    }
}

/// Asks about every stage of a deck.
#[must_use]
pub fn ask(case: &Case, seed: u64) -> Asked {
    let mut asked = Asked::default();
    let mut random = SplitMix::new(seed);
    let rings = &case.ours().rings;
    for (stage, rings) in [
        (Stage::Bare, &rings.bare),
        (Stage::Opened, &rings.opened),
        (Stage::Closed, &rings.closed),
    ] {
        beside_boundary(case, stage, rings, &mut asked);
        let region = Region::new(rings.clone());
        let bounds = case.deck().outline.ring().bounding_box();
        for _ in 0..STREWN {
            let x = bounds.least.x + random.share() * bounds.width();
            let y = bounds.least.y + random.share() * bounds.height();
            let at = Point::new(x, y);
            asked.count(case, stage, at, region.contains(at));
        }
    }
    asked
}

fn beside_boundary(case: &Case, stage: Stage, rings: &[Ring], asked: &mut Asked) {
    for segment in rings.iter().flat_map(|ring| ring.segments()) {
        if segment.length() < SHORT {
            continue;
        }
        for share in [0.1, 0.5, 0.9] {
            let (on, along) = (segment.point_at(share), segment.direction_at(share));
            let left = Point::new(-along.y, along.x) * ASIDE;
            asked.count(case, stage, on + left, true);
            asked.count(case, stage, on - left, false);
        }
    }
}
