//! A pattern laid out on a deck's development, carried back to the plan. What a field shares with the deck's edge,
//! an opening or a fitting becomes that very edge again; all else is fitted to 0.004 mm. The border is what the
//! fields leave of the deck in plan, so both sides of every paint line are the same lines and arcs.

use super::keep_off::Ground;
use super::{Clearance, Dropped, Field, Pattern};
use crate::outline::DeckPlan;
use crate::shape::{Arc, CutRing, Point, Region, Ring, Segment};
use crate::surface::Development;

/// A point this near to an edge of the plan that it is known to lie on has found it, millimetres.
const FOUND: f64 = 0.05;

/// Segments shorter than this, millimetres, are where two others meet, and are left out: their neighbours are drawn
/// together.
const LEAST: f64 = 1e-3;

/// The pattern in plan.
pub(super) fn back(plan: &DeckPlan, development: &Development, developed: Pattern) -> Pattern {
    let ground = Ground::of(plan);
    let paintable = |deck: &Region, openings: &Region, fittings: &Region| {
        if openings.is_empty() && fittings.is_empty() {
            deck.clone()
        } else {
            deck.difference(&[openings, fittings])
        }
    };
    let flat = paintable(&developed.deck, &developed.openings, &developed.fittings);
    let edges = Edges {
        development,
        in_plan: paintable(&ground.deck, &ground.openings, &ground.fittings),
    };
    let boundary = flat.boundary();
    let raised = |region: &Region| -> Region {
        let rings = region.rings().iter();
        Region::new(
            rings
                .map(|ring| edges.raised(&ring.cut_along(&boundary)))
                .collect(),
        )
    };
    let clearance = |found: Clearance| Clearance {
        distance: found.distance,
        on_field: development.raised(found.on_field),
        on_obstacle: development.raised(found.on_obstacle),
    };
    let fields: Vec<Field> = developed
        .fields
        .iter()
        .map(|field| Field {
            id: field.id.clone(),
            region: raised(&field.region),
            clearance: clearance(field.clearance),
            tightest_round: field.tightest_round,
            tightest_hollow: field.tightest_hollow,
        })
        .collect();
    let taken = Region::new(
        fields
            .iter()
            .flat_map(|field| field.region.rings())
            .cloned()
            .collect(),
    );
    let border = ground
        .deck
        .difference(&[&ground.openings, &ground.fittings, &taken]);
    Pattern {
        recomputed: developed.recomputed + border.recomputed(),
        dropped: developed
            .dropped
            .iter()
            .map(|piece| Dropped {
                region: raised(&piece.region),
                reason: piece.reason,
            })
            .collect(),
        warnings: developed.warnings.clone(),
        deck: ground.deck,
        openings: ground.openings,
        fittings: ground.fittings,
        border,
        fields,
        developed: Some(Box::new(developed)),
    }
}

/// The edges of what can be painted, in plan.
struct Edges<'a> {
    development: &'a Development,
    in_plan: Region,
}

impl Edges<'_> {
    /// A ring carried back; what of it lies on an edge becomes a part of that edge.
    fn raised(&self, cut: &CutRing) -> Ring {
        let (segments, on_boundary): (Vec<Segment>, Vec<bool>) = cut
            .ring
            .segments()
            .iter()
            .zip(&cut.on_boundary)
            .filter(|(segment, _)| segment.length() >= LEAST)
            .map(|(segment, on_boundary)| (*segment, *on_boundary))
            .unzip();
        let own: Vec<Option<&Segment>> = segments
            .iter()
            .zip(on_boundary)
            .map(|(segment, on_boundary)| on_boundary.then(|| self.edge_of(segment)).flatten())
            .collect();
        let count = segments.len();
        let vertices: Vec<Point> = (0..count)
            .map(|index| {
                let at = self.development.raised(segments[index].start());
                let before = own[(index + count - 1) % count];
                match (before, own[index]) {
                    (Some(one), Some(other)) if one != other => corner_of(one, other, at),
                    (Some(edge), _) | (None, Some(edge)) => edge.nearest_point(at),
                    (None, None) => at,
                }
            })
            .collect();
        let mut raised = Vec::new();
        for (index, segment) in segments.iter().enumerate() {
            let (from, to) = (vertices[index], vertices[(index + 1) % count]);
            match own[index] {
                Some(edge) => raised.push(part_of(edge, from, to)),
                None => raised.extend(self.development.raised_between(segment, from, to)),
            }
        }
        Ring::new(raised)
    }

    /// The edge in plan that a segment of the development lies on.
    fn edge_of(&self, segment: &Segment) -> Option<&Segment> {
        let places = [0.1, 0.5, 0.9].map(|share| self.development.raised(segment.point_at(share)));
        let off = |edge: &Segment| {
            places
                .iter()
                .map(|at| edge.nearest_point(*at).distance(*at))
                .fold(0.0, f64::max)
        };
        self.in_plan
            .segments()
            .map(|edge| (edge, off(edge)))
            .filter(|(_, off)| *off < FOUND)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(edge, _)| edge)
    }
}

/// Where one edge runs on into another, near a point.
fn corner_of(one: &Segment, other: &Segment, at: Point) -> Point {
    let ends = [one.start(), one.end(), other.start(), other.end()];
    ends.into_iter()
        .min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))
        .filter(|end| end.distance(at) < FOUND)
        .unwrap_or_else(|| one.nearest_point(at))
}

/// The part of an edge between two points on it, the short way.
fn part_of(edge: &Segment, from: Point, to: Point) -> Segment {
    match edge {
        Segment::Line(..) => Segment::Line(from, to),
        Segment::Arc(arc) => {
            let (u, v) = (from - arc.centre, to - arc.centre);
            Segment::Arc(Arc {
                start: from,
                end: to,
                sweep: u.cross(v).atan2(u.dot(v)),
                ..*arc
            })
        }
    }
}
