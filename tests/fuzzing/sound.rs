//! What every region must be, whatever it came from.

use spile::shape::{Point, Region, Segment, meetings};

use super::{Dice, Verdict};

/// Rings closed bit for bit, arcs' ends on their circles within `on_circle`, nothing crosses, no negative area.
pub(crate) fn sound(what: &str, region: &Region, on_circle: f64) -> Verdict {
    for ring in region.rings() {
        let segments = ring.segments();
        for (index, segment) in segments.iter().enumerate() {
            let next = &segments[(index + 1) % segments.len()];
            let (end, start) = (segment.end(), next.start());
            if !(end.x.is_finite() && end.y.is_finite()) {
                return Err(format!("{what}: a segment ends nowhere"));
            }
            if end != start {
                return Err(format!("{what}: a gap of {}", end.distance(start)));
            }
            if let Segment::Arc(arc) = segment {
                for point in [arc.start, arc.end] {
                    let off = (point.distance(arc.centre) - arc.radius).abs();
                    if off > on_circle {
                        return Err(format!("{what}: an arc ends {off} off its circle"));
                    }
                }
                if !(arc.sweep.abs() <= std::f64::consts::TAU + 1e-9 && arc.sweep != 0.0) {
                    return Err(format!("{what}: an arc sweeps {}", arc.sweep));
                }
            }
        }
        if ring.signed_area() == 0.0 {
            return Err(format!("{what}: a ring without area"));
        }
    }
    if region.area() < 0.0 {
        return Err(format!("{what}: an area of {}", region.area()));
    }
    match crossing(region) {
        Some(at) => Err(format!("{what}: boundaries cross at ({}, {})", at.x, at.y)),
        None => Ok(()),
    }
}

/// A place where two segments cross at a plain angle, away from their ends.
fn crossing(region: &Region) -> Option<Point> {
    let segments: Vec<(&Segment, _)> = region
        .segments()
        .map(|segment| (segment, segment.bounding_box()))
        .collect();
    for (index, (one, bounds)) in segments.iter().enumerate() {
        for (other, other_bounds) in &segments[index + 1..] {
            if bounds.distance(other_bounds) > 0.0 {
                continue;
            }
            for meeting in meetings(one, other) {
                let inside = |segment: &Segment| {
                    let ends = [segment.start(), segment.end()];
                    ends.iter().all(|end| end.distance(meeting.at) > 1e-4)
                };
                let (u, v) = (
                    one.direction_at(meeting.on_first),
                    other.direction_at(meeting.on_second),
                );
                if inside(one) && inside(other) && u.cross(v).abs() > 1e-3 {
                    return Some(meeting.at);
                }
            }
        }
    }
    None
}

/// Points all over the regions and beside their boundaries.
pub(crate) fn probes(regions: &[&Region], seed: u64) -> Vec<Point> {
    let mut dice = Dice(seed);
    let mut share =
        || f64::from(u32::try_from(dice.next() >> 33).expect("31 bits")) / 2f64.powi(31);
    let bounds = regions
        .iter()
        .map(|region| region.bounding_box())
        .reduce(|all, one| all.joined(&one));
    let Some(bounds) = bounds.filter(|bounds| bounds.width() >= 0.0) else {
        return Vec::new();
    };
    let mut points = Vec::new();
    for _ in 0..40 {
        let (x, y) = (share() * bounds.width(), share() * bounds.height());
        points.push(bounds.least + Point::new(x, y));
    }
    for region in regions {
        for segment in region.segments() {
            let at = share();
            let aside = segment.direction_at(at).left() * 10f64.powf(-4.0 + 3.0 * share());
            points.extend([segment.point_at(at) + aside, segment.point_at(at) - aside]);
        }
    }
    points
}

/// Whether no boundary comes nearer to the point than what rounding may move it.
pub(crate) fn is_clear(point: Point, regions: &[&Region]) -> bool {
    regions
        .iter()
        .all(|region| region.boundary_distance(point).to_mm() > 2e-5)
}
