//! Whether a point lies inside a ring or a region: winding number of the chords, corrected where the
//! point lies between a chord and its arc.

use super::{Arc, Point, Region, Ring, Segment};

impl Ring {
    /// How often the ring winds round `point`, counter-clockwise positive. On the boundary itself the
    /// answer is that of one side or the other.
    #[must_use]
    pub fn winding(&self, point: Point) -> i32 {
        self.segments()
            .iter()
            .map(|segment| segment_winding(segment, point))
            .sum()
    }

    /// Whether `inner`, which does not cross this ring, lies inside it.
    #[must_use]
    pub fn encloses(&self, inner: &Self) -> bool {
        // Rings may touch at a point or along an edge, so ask most of the inner ring's middles.
        let inside = inner
            .segments()
            .iter()
            .filter(|segment| self.winding(segment.point_at(0.5)) != 0)
            .count();
        2 * inside > inner.segments().len()
    }
}

impl Region {
    /// Whether `point` lies inside.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        self.rings()
            .iter()
            .map(|ring| ring.winding(point))
            .sum::<i32>()
            > 0
    }
}

fn segment_winding(segment: &Segment, point: Point) -> i32 {
    let (a, b) = (segment.start(), segment.end());
    let side = (b - a).cross(point - a);
    // A chord counts where it crosses the ray from the point along +x.
    let chord = if a.y <= point.y && b.y > point.y && side > 0.0 {
        1
    } else if a.y > point.y && b.y <= point.y && side < 0.0 {
        -1
    } else {
        0
    };
    match segment {
        Segment::Arc(arc) if between_chord_and_arc(arc, side, point) => {
            chord + if arc.sweep > 0.0 { 1 } else { -1 }
        }
        _ => chord,
    }
}

fn between_chord_and_arc(arc: &Arc, side: f64, point: Point) -> bool {
    // The arc lies right of its chord where it turns left, and the other way about.
    let on_arc_side = if arc.sweep > 0.0 {
        side < 0.0
    } else {
        side > 0.0
    };
    on_arc_side && point.distance(arc.centre) < arc.radius
}
