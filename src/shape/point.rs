//! Points and vectors of the plane: coordinates in millimetres, no meaning beyond that.

use std::ops::{Add, Mul, Neg, Sub};

/// A position in the plane, or the difference of two; millimetres.
/// ```
/// use spile::shape::Point;
/// let (east, north) = (Point::new(3.0, 0.0), Point::new(0.0, 4.0));
/// assert_eq!(east.distance(north), 5.0);
/// // Positive: north lies to the left of east.
/// assert_eq!(east.cross(north), 12.0);
/// assert_eq!(north.left(), Point::new(-4.0, 0.0));
/// assert_eq!(north.angle(), std::f64::consts::FRAC_PI_2);
/// assert_eq!(east.towards(north, 0.5), Point::new(1.5, 2.0));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// First coordinate, millimetres.
    pub x: f64,
    /// Second coordinate, millimetres.
    pub y: f64,
}

impl Point {
    /// The origin.
    pub const ORIGIN: Self = Self { x: 0.0, y: 0.0 };

    /// A point from its two coordinates in millimetres.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The unit vector at `angle` radians, counter-clockwise from the x axis.
    #[must_use]
    pub fn at_angle(angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self::new(cos, sin)
    }

    /// Scalar product.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Third component of the vector product: positive where `other` lies to the left of `self`.
    #[must_use]
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length as a vector.
    #[must_use]
    pub fn length(self) -> f64 {
        // Millimetres never come near where the squares would overflow, and this is much quicker than `hypot`.
        self.dot(self).sqrt()
    }

    /// Distance between two positions.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        (self - other).length()
    }

    /// The vector turned a quarter left.
    #[must_use]
    pub const fn left(self) -> Self {
        Self::new(-self.y, self.x)
    }

    /// The vector scaled to length 1; the zero vector stays zero.
    #[must_use]
    pub fn unit(self) -> Self {
        let length = self.length();
        if length > 0.0 {
            self * (1.0 / length)
        } else {
            Self::ORIGIN
        }
    }

    /// Direction of the vector, radians in (-π, π].
    #[must_use]
    pub fn angle(self) -> f64 {
        self.y.atan2(self.x)
    }

    /// The point `share` of the way to `other`.
    #[must_use]
    pub fn towards(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }

    /// Mirror image in the x axis.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        Self::new(self.x, -self.y)
    }

    /// The vector turned by `angle` radians, counter-clockwise.
    #[must_use]
    pub fn turned(self, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self::new(self.x * cos - self.y * sin, self.x * sin + self.y * cos)
    }
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }
}

impl Mul<f64> for Point {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor)
    }
}

impl Neg for Point {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y)
    }
}
