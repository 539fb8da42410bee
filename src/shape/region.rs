//! A part of the plane bounded by rings of lines and arcs, the plain value every operation takes and gives.

use super::rows::Rows;
use super::{BoundingBox, Point, Ring, Segment};

/// A part of the plane: outer rings counter-clockwise, holes clockwise, the inside always on the left.
/// Rings may touch at points but never cross. The empty region has no rings.
/// Rings that do cross, or that run the wrong way round, are neither refused nor repaired: an operation may
/// give such a ring back as it is, and [`area`](Self::area) adds up what each of them encloses.
/// [`Ring::self_crossing`] finds a ring that crosses itself.
///
/// ```
/// use spile::shape::{Point, Region, Ring};
/// use std::f64::consts::PI;
///
/// // A plate with a hole off its middle.
/// let plate = [[0.0, 0.0], [400.0, 0.0], [400.0, 300.0], [0.0, 300.0]];
/// let plate = Ring::polygon(&plate.map(|[x, y]| Point::new(x, y)));
/// let hole = Ring::circle(Point::new(300.0, 150.0), 50.0);
/// let region = Region::new(vec![plate, hole.reversed()]);
///
/// let hole_area = PI * 2500.0;
/// assert!((region.area() - (120_000.0 - hole_area)).abs() < 1e-9);
/// assert!((region.perimeter() - (1400.0 + 100.0 * PI)).abs() < 1e-9);
/// let x = (120_000.0 * 200.0 - hole_area * 300.0) / (120_000.0 - hole_area);
/// assert!(region.centroid().distance(Point::new(x, 150.0)) < 1e-9);
/// assert!(region.contains(Point::new(10.0, 10.0)));
/// assert!(!region.contains(Point::new(300.0, 150.0)));
/// assert_eq!(region.bounding_box().width(), 400.0);
/// ```
#[derive(Debug, Clone, Default)]
pub struct Region {
    rings: Vec<Ring>,
    recomputed: u32,
}

impl PartialEq for Region {
    fn eq(&self, other: &Self) -> bool {
        self.rings == other.rings
    }
}

impl Region {
    /// A region from rings that keep the rule above.
    #[must_use]
    pub const fn new(rings: Vec<Ring>) -> Self {
        Self {
            rings,
            recomputed: 0,
        }
    }

    /// How many steps on the way to this region were computed again with finer chords, because their
    /// answer hung on less than the chords' distance from their arcs. It takes no part in `==`.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// let disc = |x: f64| Region::inside(Ring::circle(Point::new(x, 0.0), 100.0));
    /// // Two discs that overlap by half: nothing hangs on a hair.
    /// assert_eq!(disc(0.0).union(&[&disc(100.0)]).recomputed(), 0);
    /// ```
    #[must_use]
    pub const fn recomputed(&self) -> u32 {
        self.recomputed
    }

    /// The same region, come by at that cost.
    #[must_use]
    pub(super) const fn after_recomputing(mut self, times: u32) -> Self {
        self.recomputed = times;
        self
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
    /// First moment over area, both by Green's theorem.
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

    /// Its unconnected parts in which `inner`, a region inside this one, has nothing.
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// let discs = [0.0, 500.0].map(|x| Ring::circle(Point::new(x, 0.0), 100.0));
    /// let islands = Region::of_overlapping(&discs);
    /// let spot = Region::inside(Ring::circle(Point::new(480.0, 10.0), 5.0));
    /// let free = islands.components_without(&spot);
    /// assert_eq!(free.len(), 1);
    /// assert!(free[0].contains(Point::ORIGIN));
    /// ```
    #[must_use]
    pub fn components_without(&self, inner: &Self) -> Vec<Self> {
        let places: Vec<Point> = inner
            .rings
            .iter()
            .filter_map(|ring| ring.segments().first().map(Segment::start))
            .collect();
        let spots = Rows::new(
            places
                .iter()
                .map(|place| BoundingBox::of_points([*place]))
                .collect(),
        );
        let mut parts = self.components();
        parts.retain(|part| {
            let mut is_held = false;
            spots.touching(&part.bounding_box(), |index| {
                is_held = is_held || part.contains(places[index]);
            });
            !is_held
        });
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
