//! Bridges of a stencil: film on an island, a hole inside a field, would fall out with the field. Comes in: a field. Goes
//! out: its windows, the field less two bridges at each island, so that all film round the windows hangs together.
//!
//! A bridge runs from the island square to its edge to film that already holds, from a straight to a straight where there is one.
//! The windows come from the field by subtraction, so their edges are the field's own lines and arcs, broken at the bridges.

use std::f64::consts::FRAC_1_SQRT_2;

use crate::outline::whereabouts;
use crate::shape::{Point, Region, Ring, Segment};
use crate::units::{Length, LengthUnit};

/// Bridges that an island has at least.
const BRIDGES: usize = 2;
/// Places tried along one segment.
const PLACES: u32 = 15;
/// How much longer a bridge on a straight may be than one that begins or ends on a tight arc.
const ON_ARC: f64 = 10.0;
/// An arc whose radius is this many widths of a bridge is as good as a straight.
const FLAT: f64 = 25.0;
/// The two bridges of an island point at least this far apart, as the cosine of the angle between them: a right angle.
const APART: f64 = 1e-9;
/// Beyond everything, millimetres.
const FAR: f64 = 1e6;

/// Why an island cannot be held.
#[derive(Debug, Clone, PartialEq)]
pub enum BridgeFault {
    /// The bridge is as wide as the island.
    TooWide {
        /// The middle of the island.
        at: Point,
        /// The lesser of its length and breadth.
        island: Length,
        /// Width of the bridge.
        bridge: Length,
    },
    /// There is no place for two bridges.
    NoPlace {
        /// The middle of an island.
        at: Point,
        /// Width of the bridge.
        bridge: Length,
    },
}

impl BridgeFault {
    /// What is wrong, and what to write instead.
    #[must_use]
    pub fn sentence(&self, units: LengthUnit) -> String {
        match self {
            Self::TooWide { at, island, bridge } => format!(
                "a bridge of {} is too wide for the island at {}, which is {} across; give a --bridge of {} at most",
                bridge.show_fine(units),
                whereabouts(*at, units),
                island.show_fine(units),
                Length::mm(island.to_mm() / 2.0).show_fine(units)
            ),
            Self::NoPlace { at, bridge } => format!(
                "there is no place for two bridges of {} to the island at {}; give a narrower --bridge",
                bridge.show_fine(units),
                whereabouts(*at, units)
            ),
        }
    }
}

/// A place for a bridge.
struct Place {
    start: Point,
    direction: Point,
    length: f64,
    cost: f64,
}

/// The field less its bridges.
pub(super) fn windows(field: &Region, width: f64) -> Result<Region, BridgeFault> {
    let rings = field.rings();
    let mut is_held: Vec<bool> = rings.iter().map(|ring| ring.signed_area() > 0.0).collect();
    for (ring, held) in rings.iter().zip(&is_held) {
        let bounds = ring.bounding_box();
        let island = bounds.width().min(bounds.height());
        if !held && island < 2.0 * width {
            return Err(BridgeFault::TooWide {
                at: bounds.centre(),
                island: Length::mm(island),
                bridge: Length::mm(width),
            });
        }
    }
    let mut bridges = Vec::new();
    // The island that is easiest to hold first: what hangs on it may be out of reach of the rest.
    while let Some(unheld) = is_held.iter().position(|held| !held) {
        let mut best: Option<(f64, usize, Vec<Place>)> = None;
        for island in (0..rings.len()).filter(|&index| !is_held[index]) {
            let chosen = chosen(places(rings, island, &is_held, width));
            let cost = chosen.iter().map(|place| place.cost).sum();
            if chosen.len() == BRIDGES && best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                best = Some((cost, island, chosen));
            }
        }
        let Some((_, island, chosen)) = best else {
            return Err(BridgeFault::NoPlace {
                at: rings[unheld].bounding_box().centre(),
                bridge: Length::mm(width),
            });
        };
        is_held[island] = true;
        bridges.extend(chosen.iter().map(|place| place.strip(width)));
    }
    let windows = field.difference(&bridges.iter().collect::<Vec<_>>());
    // What a window still goes round would fall out.
    match windows.rings().iter().find(|ring| ring.signed_area() < 0.0) {
        Some(loose) => Err(BridgeFault::NoPlace {
            at: loose.bounding_box().centre(),
            bridge: Length::mm(width),
        }),
        None => Ok(windows),
    }
}

impl Place {
    /// The bridge itself, from well inside the island to well inside the film beyond: as far as it is wide, which covers the
    /// sagitta of the tightest arc it may stand on and the slant of what it meets.
    fn strip(&self, width: f64) -> Region {
        let along = self.direction;
        let side = along.left() * (width / 2.0);
        let (from, to) = (
            self.start - along * width,
            self.start + along * (self.length + width),
        );
        Region::inside(Ring::polygon(&[
            from - side,
            to - side,
            to + side,
            from + side,
        ]))
    }
}

/// The cheapest place, and the cheapest that points at least square to it.
fn chosen(mut places: Vec<Place>) -> Vec<Place> {
    places.sort_by(|one, other| one.cost.total_cmp(&other.cost));
    let mut chosen: Vec<Place> = Vec::new();
    for place in places {
        let apart = |other: &Place| place.direction.dot(other.direction) <= APART;
        if chosen.iter().all(apart) {
            chosen.push(place);
        }
        if chosen.len() == BRIDGES {
            break;
        }
    }
    chosen
}

/// Where an island can be held by what already holds.
fn places(rings: &[Ring], island: usize, is_held: &[bool], width: f64) -> Vec<Place> {
    let mut found = Vec::new();
    for segment in rings[island].segments() {
        let room = match segment {
            Segment::Line(..) => segment.length(),
            // Its sagitta under the bridge stays below a quarter of the bridge's width.
            Segment::Arc(arc) if arc.radius >= width => segment.length(),
            Segment::Arc(_) => 0.0,
        };
        if room <= width {
            continue;
        }
        // Its whole width from the ends, where there is room.
        let clear = if room > 4.0 * width {
            1.5 * width
        } else {
            width / 2.0
        };
        let edge = clear / room;
        for step in 0..PLACES {
            let share = edge + (1.0 - 2.0 * edge) * f64::from(step) / f64::from(PLACES - 1);
            let start = segment.point_at(share);
            // The field lies on the left of its rings.
            let direction = segment.direction_at(share).left();
            let side = direction.left() * (width / 2.0);
            let Some(first) = hit(rings, start, direction, width) else {
                continue;
            };
            let sides = [side, -side].map(|side| {
                hit(
                    rings,
                    start + side + direction * (width / 4.0),
                    direction,
                    width,
                )
            });
            let meets_alone = sides.iter().all(|one| {
                one.as_ref().is_some_and(|one| {
                    one.ring == first.ring
                        && (one.length + width / 4.0 - first.length).abs() <= width
                })
            });
            let is_square = first.facing >= FRAC_1_SQRT_2;
            if is_held[first.ring] && meets_alone && is_square {
                let on_arc = is_tight(segment, width) || first.is_tight;
                found.push(Place {
                    start,
                    direction,
                    length: first.length,
                    cost: first.length * if on_arc { ON_ARC } else { 1.0 },
                });
            }
        }
    }
    found
}

/// What a line across the field meets first.
struct Hit {
    ring: usize,
    length: f64,
    is_tight: bool,
    /// Cosine of the angle between the line and the normal of what it meets.
    facing: f64,
}

fn is_tight(segment: &Segment, width: f64) -> bool {
    matches!(segment, Segment::Arc(arc) if arc.radius < FLAT * width)
}

fn hit(rings: &[Ring], start: Point, direction: Point, width: f64) -> Option<Hit> {
    let across = Segment::Line(start, start + direction * FAR);
    let mut nearest: Option<Hit> = None;
    for (ring, segments) in rings.iter().enumerate() {
        for segment in segments.segments() {
            for at in across.crossings(segment) {
                let length = (at - start).dot(direction);
                let is_nearer = nearest.as_ref().is_none_or(|hit| length < hit.length);
                if length > 1e-6 && is_nearer {
                    let normal = match segment {
                        Segment::Line(from, to) => (*to - *from).unit().left(),
                        Segment::Arc(arc) => (at - arc.centre).unit(),
                    };
                    nearest = Some(Hit {
                        ring,
                        length,
                        is_tight: is_tight(segment, width),
                        facing: normal.dot(direction).abs(),
                    });
                }
            }
        }
    }
    nearest
}
