//! A part of the plane bounded by rings of lines and arcs, the plain value every operation takes and gives.

use super::{BoundingBox, Point, Ring, Segment};

/// A part of the plane: outer rings counter-clockwise, holes clockwise, the inside always on the left.
/// Rings may touch at points but never cross. The empty region has no rings.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Region {
    rings: Vec<Ring>,
}

impl Region {
    /// A region from rings that keep the rule above.
    #[must_use]
    pub const fn new(rings: Vec<Ring>) -> Self {
        Self { rings }
    }

    /// The inside of one simple ring, whichever way it runs.
    #[must_use]
    pub fn inside(ring: Ring) -> Self {
        Self::new(vec![ring.counter_clockwise()])
    }

    /// Its rings.
    #[must_use]
    pub fn rings(&self) -> &[Ring] {
        &self.rings
    }

    /// Every segment of every ring.
    pub fn segments(&self) -> impl Iterator<Item = &Segment> {
        self.rings.iter().flat_map(|ring| ring.segments())
    }

    /// Whether nothing is in it.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.rings.is_empty()
    }

    /// Area in mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        // Not `sum`, whose nothing is -0.
        self.rings
            .iter()
            .fold(0.0, |sum, ring| sum + ring.signed_area())
    }

    /// Length of all its rings, millimetres.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.rings.iter().fold(0.0, |sum, ring| sum + ring.length())
    }

    /// Centre of its area; the origin where it is empty.
    #[must_use]
    pub fn centroid(&self) -> Point {
        let area = self.area();
        if area == 0.0 {
            return Point::ORIGIN;
        }
        let moment = self
            .rings
            .iter()
            .fold(Point::ORIGIN, |sum, ring| sum + ring.first_moment());
        moment * (1.0 / area)
    }

    /// Its unconnected parts, each an outer ring first, then the holes in it.
    #[must_use]
    pub fn components(&self) -> Vec<Self> {
        let (outer, holes): (Vec<&Ring>, Vec<&Ring>) =
            self.rings.iter().partition(|ring| ring.signed_area() > 0.0);
        let mut parts: Vec<Self> = outer
            .iter()
            .map(|ring| Self::new(vec![(*ring).clone()]))
            .collect();
        let areas: Vec<f64> = outer.iter().map(|ring| ring.signed_area()).collect();
        for hole in holes {
            // The smallest outer ring round it owns it.
            let owner = (0..outer.len())
                .filter(|index| outer[*index].encloses(hole))
                .min_by(|a, b| areas[*a].total_cmp(&areas[*b]));
            if let Some(owner) = owner {
                parts[owner].rings.push(hole.clone());
            }
        }
        parts
    }

    /// Mirror image in the x axis.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self::new(self.rings.iter().map(Ring::mirrored).collect())
    }

    /// The region moved by a map that keeps distances and handedness.
    #[must_use]
    pub fn moved(&self, motion: &impl Fn(Point) -> Point) -> Self {
        Self::new(self.rings.iter().map(|ring| ring.moved(motion)).collect())
    }

    /// The smallest box, sides along the axes, that holds it.
    #[must_use]
    pub fn bounding_box(&self) -> BoundingBox {
        self.rings
            .iter()
            .map(Ring::bounding_box)
            .fold(BoundingBox::EMPTY, |all, one| all.joined(&one))
    }
}
