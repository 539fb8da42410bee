//! Boxes with sides along the axes.

use super::{Point, Ring};

/// A box with sides along the axes; empty until a point is included.
/// The empty box touches and holds nothing, and its width and height are negative infinity.
///
/// ```
/// use spile::shape::{Arc, BoundingBox, Point, Segment};
/// // From 45 to 135 degrees: the box reaches up to the crown, 100 from the centre.
/// let quarter = std::f64::consts::FRAC_PI_2;
/// let arc = Segment::Arc(Arc::about(Point::ORIGIN, 100.0, quarter / 2.0, quarter));
/// let bounds = arc.bounding_box();
/// assert!((bounds.width() - 100.0 * 2_f64.sqrt()).abs() < 1e-9);
/// assert!((bounds.greatest.y - 100.0).abs() < 1e-9);
/// assert!(!BoundingBox::EMPTY.touches(&bounds));
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoundingBox {
    /// Corner with the least coordinates.
    pub least: Point,
    /// Corner with the greatest coordinates.
    pub greatest: Point,
}

impl BoundingBox {
    /// The box that holds nothing.
    pub const EMPTY: Self = Self {
        least: Point::new(f64::INFINITY, f64::INFINITY),
        greatest: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
    };

    /// The smallest box around some points.
    #[must_use]
    pub fn of_points(points: impl IntoIterator<Item = Point>) -> Self {
        let mut bounds = Self::EMPTY;
        for point in points {
            bounds.include(point);
        }
        bounds
    }

    /// Grows to hold `point`.
    pub fn include(&mut self, point: Point) {
        self.least = Point::new(self.least.x.min(point.x), self.least.y.min(point.y));
        self.greatest = Point::new(self.greatest.x.max(point.x), self.greatest.y.max(point.y));
    }

    /// The smallest box that holds both.
    #[must_use]
    pub fn joined(&self, other: &Self) -> Self {
        Self {
            least: Point::new(
                self.least.x.min(other.least.x),
                self.least.y.min(other.least.y),
            ),
            greatest: Point::new(
                self.greatest.x.max(other.greatest.x),
                self.greatest.y.max(other.greatest.y),
            ),
        }
    }

    /// The box with `by` millimetres added on every side.
    #[must_use]
    pub fn grown(&self, by: f64) -> Self {
        Self {
            least: self.least - Point::new(by, by),
            greatest: self.greatest + Point::new(by, by),
        }
    }

    /// Whether `point` lies in the box or on its sides.
    #[must_use]
    pub fn holds(&self, point: Point) -> bool {
        self.least.x <= point.x
            && point.x <= self.greatest.x
            && self.least.y <= point.y
            && point.y <= self.greatest.y
    }

    /// Whether the boxes overlap or touch.
    #[must_use]
    pub fn touches(&self, other: &Self) -> bool {
        self.least.x <= other.greatest.x
            && other.least.x <= self.greatest.x
            && self.least.y <= other.greatest.y
            && other.least.y <= self.greatest.y
    }

    /// The box that both cover; it holds nothing where they do not touch.
    #[must_use]
    pub fn common(&self, other: &Self) -> Self {
        Self {
            least: Point::new(
                self.least.x.max(other.least.x),
                self.least.y.max(other.least.y),
            ),
            greatest: Point::new(
                self.greatest.x.min(other.greatest.x),
                self.greatest.y.min(other.greatest.y),
            ),
        }
    }

    /// Extent along x, millimetres.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.greatest.x - self.least.x
    }

    /// Extent along y, millimetres.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.greatest.y - self.least.y
    }

    /// The box as a ring, counter-clockwise.
    #[must_use]
    pub fn rectangle(&self) -> Ring {
        let (low, high) = (self.least, self.greatest);
        Ring::polygon(&[
            low,
            Point::new(high.x, low.y),
            high,
            Point::new(low.x, high.y),
        ])
    }

    /// Middle of the box.
    #[must_use]
    pub fn centre(&self) -> Point {
        self.least.towards(self.greatest, 0.5)
    }

    /// Distance between two boxes, 0 where they overlap: no two points of theirs lie nearer.
    #[must_use]
    pub fn distance(&self, other: &Self) -> f64 {
        let gap = |a_least: f64, a_greatest: f64, b_least: f64, b_greatest: f64| {
            (b_least - a_greatest).max(a_least - b_greatest).max(0.0)
        };
        gap(
            self.least.x,
            self.greatest.x,
            other.least.x,
            other.greatest.x,
        )
        .hypot(gap(
            self.least.y,
            self.greatest.y,
            other.least.y,
            other.greatest.y,
        ))
    }
}
