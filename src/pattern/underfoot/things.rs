//! Openings and fittings, and places where people step: how far non-skid is from them.

use super::{Finding, Ground, Limit, PRECISION, What};
use crate::layout::Setting;
use crate::outline::Placement;
use crate::shape::{
    Boundary, BoundingBox, Furthest, Point, Region, Ring, Segment, furthest_along, path_parts,
};
use crate::units::Length;

/// What lies no further off an edge lies on it, millimetres: shapes may have been carried over a surface.
const ON_EDGE: f64 = 1e-4;

/// Edges of openings and fittings round which the deck is smooth for more than asked, but for those openings that
/// non-skid stops short of.
pub(super) fn smooth_round(ground: &Ground<'_>) -> Vec<Finding> {
    let asked = ground.settings.widest_smooth;
    let short = ground.settings.stops_short.value;
    let openings = edges_of(&ground.plan.openings, ground);
    let openings = openings
        .into_iter()
        .filter(|(_, far)| far.distance <= short);
    openings
        .chain(edges_of(&ground.plan.fittings, ground))
        .filter(|(_, far)| far.distance > asked.value)
        .map(|(thing, far)| far_off(What::Round, &thing.name, &far, asked))
        .collect()
}

/// Edges of openings, and places where people step, from which non-skid begins further off than asked.
pub(super) fn stop_short(ground: &Ground<'_>) -> Vec<Finding> {
    let asked = ground.settings.stops_short;
    let boundary = ground.fields.boundary();
    let footholds = ground.plan.footholds.iter().filter_map(|foothold| {
        let nearest = boundary.nearest_point(foothold.at)?;
        let far = Furthest {
            at: foothold.at,
            nearest,
            distance: Length::mm(nearest.distance(foothold.at)),
        };
        let is_far = !boundary.contains(foothold.at) && far.distance > asked.value;
        is_far.then(|| far_off(What::StopsShort, &foothold.name, &far, asked))
    });
    edges_of(&ground.plan.openings, ground)
        .into_iter()
        .filter(|(_, far)| far.distance > asked.value)
        .map(|(opening, far)| far_off(What::StopsShort, &opening.name, &far, asked))
        .chain(footholds)
        .collect()
}

fn far_off(what: What, name: &str, far: &Furthest, asked: Setting<Length>) -> Finding {
    Finding {
        what,
        name: name.to_owned(),
        at: far.at,
        width: far.distance,
        limit: Limit::Width(asked),
    }
}

/// Where the edge of each thing is furthest from non-skid, as far as people can stand at it.
fn edges_of<'a>(things: &'a [Placement], ground: &Ground<'_>) -> Vec<(&'a Placement, Furthest)> {
    let (fields, border) = (ground.fields.boundary(), ground.pattern.border.boundary());
    let far = |thing: &'a Placement| {
        let edge = if thing.in_place {
            border_along(&thing.ring, &border)
        } else {
            // Painted under; it stands there again when people walk.
            let segments = thing.ring.segments().iter().copied();
            segments
                .filter(|segment| ground.walkable.contains(segment.point_at(0.5)))
                .collect()
        };
        furthest_along(&edge, &fields, PRECISION).map(|far| (thing, far))
    };
    things.iter().filter_map(far).collect()
}

/// What of a border's boundary lies on a ring.
fn border_along(ring: &Ring, border: &Boundary<'_>) -> Vec<Segment> {
    let edge = Boundary::of([ring]);
    let mut found = Vec::new();
    border.near(&ring.bounding_box().grown(ON_EDGE), |index| {
        let segment = border.segments()[index];
        if edge.comes_within(Length::mm(ON_EDGE), segment.point_at(0.5)) {
            found.push(*segment);
        }
    });
    found
}

/// Glazed openings longer than asked that a walk crosses or that lie beside a place where people step.
pub(super) fn glazed(ground: &Ground<'_>) -> Vec<Finding> {
    let asked = ground.settings.glazed;
    let openings = ground.plan.openings.iter();
    openings
        .filter(|opening| opening.is_glazed && is_stepped_on(opening, ground))
        .filter_map(|opening| {
            let [longer, shorter] = sides(&opening.ring);
            (longer > asked.value).then(|| Finding {
                what: What::Glazed { shorter },
                name: opening.name.clone(),
                at: opening.ring.bounding_box().centre(),
                width: longer,
                limit: Limit::Width(asked),
            })
        })
        .collect()
}

fn is_stepped_on(opening: &Placement, ground: &Ground<'_>) -> bool {
    let beside = ground.settings.stops_short.value;
    let region = Region::inside(opening.ring.clone());
    let boundary = region.boundary();
    let plan = ground.plan;
    plan.walks.iter().any(|walk| {
        let parts = path_parts(&walk.points, &region);
        parts.iter().any(|part| part.is_inside)
    }) || plan
        .footholds
        .iter()
        .any(|foothold| boundary.contains(foothold.at) || boundary.distance(foothold.at) <= beside)
}

/// The longer and the shorter side of the box that a shape fits into, turned so that its shorter side is least. A straight
/// edge of the shape lies along such a box, or else it is round.
fn sides(ring: &Ring) -> [Length; 2] {
    let straight = ring
        .segments()
        .iter()
        .filter(|segment| matches!(segment, Segment::Line(..)))
        .map(|segment| (segment.end() - segment.start()).angle());
    let boxes = std::iter::once(0.0).chain(straight).map(|angle| {
        let turned = ring.moved(&|point: Point| point.turned(-angle));
        let bounds: BoundingBox = turned.bounding_box();
        let (a, b) = (bounds.width(), bounds.height());
        [a.max(b), a.min(b)]
    });
    let least = boxes.min_by(|a, b| a[1].total_cmp(&b[1]));
    least.unwrap_or_default().map(Length::mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sides_of_a_turned_rectangle_are_its_own() {
        let corners = [(0.0, 0.0), (600.0, 0.0), (600.0, 400.0), (0.0, 400.0)];
        let ring = Ring::polygon(&corners.map(|(x, y)| Point::new(x, y).turned(0.3)));
        let [longer, shorter] = sides(&ring).map(Length::to_mm);
        assert!((longer - 600.0).abs() < 1e-9 && (shorter - 400.0).abs() < 1e-9);
        let [longer, shorter] = sides(&Ring::circle(Point::ORIGIN, 250.0)).map(Length::to_mm);
        assert!((longer - 500.0).abs() < 1e-9 && (shorter - 500.0).abs() < 1e-9);
    }
}
