//! Whether two regions are one drawn a little differently: neither boundary strays from the other.

use super::{Boundary, Region};
use crate::units::Length;

impl Region {
    /// Whether every joint and middle of a segment of either lies within `within` of the other's
    /// boundary. So a part that only one of them has, wider than that, tells them apart: its boundary
    /// has a joint somewhere.
    /// Not a distance between the two: what strays between a joint and a middle alone escapes it. Regions of
    /// different numbers of rings are never alike, and two empty ones are.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use spile::units::Length;
    /// let disc = |radius: f64| Region::inside(Ring::circle(Point::ORIGIN, radius));
    /// assert!(disc(100.0).is_alike(&disc(100.5), Length::mm(0.6)));
    /// assert!(!disc(100.0).is_alike(&disc(100.5), Length::mm(0.4)));
    /// ```
    #[must_use]
    pub fn is_alike(&self, other: &Self, within: Length) -> bool {
        self.rings().len() == other.rings().len()
            && self.keeps_to(&other.boundary(), within)
            && other.keeps_to(&self.boundary(), within)
    }

    fn keeps_to(&self, boundary: &Boundary<'_>, within: Length) -> bool {
        self.segments().all(|segment| {
            boundary.comes_within(within, segment.start())
                && boundary.comes_within(within, segment.point_at(0.5))
        })
    }
}
