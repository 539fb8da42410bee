//! Whether a point lies inside a ring or a region: winding number of the chords, corrected where the
//! point lies between a chord and its arc.
//!
//! The winding number of a polygon is the count of its edges that cross a ray, up less down: K. Hormann and
//! A. Agathos, "The point in polygon problem for arbitrary polygons", Computational Geometry 20, 2001 (from
//! memory). The correction for arcs is our own: a chord and its arc together wind once round what lies
//! between them.

use super::{Point, Region, Ring, Segment};

impl Ring {
    /// How often the ring winds round `point`, counter-clockwise positive. On the boundary itself the
    /// answer is that of one side or the other.
    /// ```
    /// use spile::shape::{Point, Ring};
    /// let circle = Ring::circle(Point::ORIGIN, 100.0);
    /// // Inside the circle, though outside of the chords of its four quarters.
    /// let beside = Point::new(70.0, 70.0);
    /// assert_eq!(circle.winding(beside), 1);
    /// assert_eq!(circle.reversed().winding(beside), -1);
    /// assert_eq!(circle.winding(Point::new(71.0, 71.0)), 0);
    /// ```
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
    /// Whether the rings together wind round it more than not at all. On the boundary itself the answer is that of
    /// one side or the other.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        self.rings()
            .iter()
            .map(|ring| ring.winding(point))
            .sum::<i32>()
            > 0
    }
}

/// How a segment winds round `point`, so that the sum over a closed chain is its winding number.
pub(super) fn segment_winding(segment: &Segment, point: Point) -> i32 {
    let (a, b) = (segment.start(), segment.end());
    let left_of_chord = lies_left(a, b, point);
    // A chord counts where it crosses the ray from the point along +x.
    let chord = if a.y <= point.y && b.y > point.y && left_of_chord {
        1
    } else if a.y > point.y && b.y <= point.y && !left_of_chord {
        -1
    } else {
        0
    };
    match segment {
        // An arc of a whole turn has no chord.
        Segment::Arc(arc) if a == b && arc.sweep.abs() > std::f64::consts::PI => {
            if point.distance(arc.centre) < arc.radius {
                if arc.sweep > 0.0 { 1 } else { -1 }
            } else {
                0
            }
        }
        // The arc lies right of its chord where it turns left, and the other way about.
        Segment::Arc(arc)
            if left_of_chord != (arc.sweep > 0.0) && point.distance(arc.centre) < arc.radius =>
        {
            chord + if arc.sweep > 0.0 { 1 } else { -1 }
        }
        _ => chord,
    }
}

/// Whether `point` lies left of the chord; one exactly on it counts as a hair up and to the east of
/// where it is, so that chord and arc agree about it.
fn lies_left(a: Point, b: Point, point: Point) -> bool {
    let side = (b - a).cross(point - a);
    if side != 0.0 {
        return side > 0.0;
    }
    if a.y == b.y { b.x > a.x } else { b.y < a.y }
}
