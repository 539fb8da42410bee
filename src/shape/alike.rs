//! Whether two regions are one drawn a little differently: neither boundary strays from the other.

use super::{BoundingBox, Point, Region, Segment};
use crate::units::Length;

impl Region {
    /// Whether every joint and middle of a segment of either lies within `within` of the other's
    /// boundary. So a part that only one of them has, wider than that, tells them apart: its boundary
    /// has a joint somewhere.
    #[must_use]
    pub fn is_alike(&self, other: &Self, within: Length) -> bool {
        self.rings().len() == other.rings().len()
            && self.keeps_to(other, within.to_mm())
            && other.keeps_to(self, within.to_mm())
    }

    fn keeps_to(&self, other: &Self, within: f64) -> bool {
        let boxed: Vec<(BoundingBox, &Segment)> = other
            .segments()
            .map(|segment| (segment.bounding_box().grown(within), segment))
            .collect();
        let near = |point: Point| {
            boxed.iter().any(|(bounds, segment)| {
                bounds.holds(point) && segment.nearest_point(point).distance(point) <= within
            })
        };
        self.segments()
            .all(|segment| near(segment.start()) && near(segment.point_at(0.5)))
    }
}
