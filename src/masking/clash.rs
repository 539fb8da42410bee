//! Clashes: two paint lines nearer to each other than the tape is wide, so that the tape of one lies
//! where the other's belongs. The length is that of the middles of both tapes that lie over each
//! other's ground.

use std::collections::BTreeMap;

use crate::pattern::Pattern;
use crate::shape::{Boundary, Nearest, Region, Ring, Rows};
use crate::units::Length;

use super::line_tape::middle_line;
use super::{Clash, Side};

/// Shorter than this is rounding, millimetres.
const NOTHING: f64 = 1e-6;

/// The ground up to the middle of one ring's tape.
struct Ground {
    moved: Region,
    /// True where the ground is what lies outside of `moved`: a boundary taped from within.
    is_outside: bool,
}

/// All clashes of a pass, by pairs of rings.
pub(super) fn find(pattern: &Pattern, side: Side, width: Length) -> Vec<Clash> {
    match side {
        // Tape inside a field meets only tape of the same field.
        Side::IntoField => pattern
            .fields
            .iter()
            .flat_map(|field| {
                among(
                    &field.region.rings().iter().collect::<Vec<_>>(),
                    side,
                    width,
                )
            })
            .collect(),
        Side::OutOfField => {
            let rings: Vec<&Ring> = pattern
                .fields
                .iter()
                .flat_map(|field| field.region.rings())
                .collect();
            among(&rings, side, width)
        }
    }
}

fn among(rings: &[&Ring], side: Side, width: Length) -> Vec<Clash> {
    let mut grounds: Vec<Option<Ground>> = rings.iter().map(|_| None).collect();
    let mut clashes = Vec::new();
    for ([one, two], nearest) in nearer_than(rings, width - Length::mm(NOTHING)) {
        for index in [one, two] {
            grounds[index].get_or_insert_with(|| Ground::of(rings[index], side, width));
        }
        let (Some(a), Some(b)) = (&grounds[one], &grounds[two]) else {
            continue;
        };
        let length = a.shared_middle(b);
        if length > NOTHING {
            clashes.push(Clash {
                length: Length::mm(length),
                at: nearest.here.towards(nearest.there, 0.5),
                width_that_would_do: nearest.distance,
            });
        }
    }
    clashes
}

/// Every two rings nearer to each other than `limit`, with their nearest points.
fn nearer_than(rings: &[&Ring], limit: Length) -> BTreeMap<[usize; 2], Nearest> {
    let boundary = Boundary::of(rings.iter().copied());
    let segments = boundary.segments();
    let half = limit.to_mm() / 2.0;
    let boxes = segments
        .iter()
        .map(|segment| segment.bounding_box().grown(half))
        .collect();
    let mut found: BTreeMap<[usize; 2], Nearest> = BTreeMap::new();
    Rows::new(boxes).touching_pairs(|a, b| {
        // In the order of the rings, whatever the order they were met in.
        let (a, b) = (a.min(b), a.max(b));
        let pair = [a, b].map(|index| boundary.owner(index).ring);
        if pair[0] == pair[1] {
            return;
        }
        let nearest = segments[a].nearest(segments[b]);
        let known = found.get(&pair).map_or(limit, |known| known.distance);
        if nearest.distance < known {
            found.insert(pair, nearest);
        }
    });
    found
}

impl Ground {
    fn of(ring: &Ring, side: Side, width: Length) -> Self {
        let is_outer = ring.signed_area() > 0.0;
        Self {
            moved: middle_line(ring, side, width / 2.0),
            is_outside: is_outer == (side == Side::IntoField),
        }
    }

    /// Length of both middle lines that lies inside the other's ground.
    fn shared_middle(&self, other: &Self) -> f64 {
        let alone = self.moved.perimeter() + other.moved.perimeter();
        let together = match (self.is_outside, other.is_outside) {
            (false, false) => self.moved.union(&[&other.moved]),
            (true, false) => self.moved.difference(&[&other.moved]),
            (false, true) => other.moved.difference(&[&self.moved]),
            // Two boundaries each taped from within lie apart.
            (true, true) => return 0.0,
        };
        // A ring that the tape closes up has no middle line of its own to lose.
        if self.moved.is_empty() || other.moved.is_empty() {
            return 0.0;
        }
        alone - together.perimeter()
    }
}
