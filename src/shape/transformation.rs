//! Maps of the plane that keep lines straight: shifts, turns, scales, skews, and what a camera does to a flat
//! thing seen aslant (projective maps, also called homographies).

use super::Point;

/// A map of the plane as a matrix of homogeneous coordinates: (x, y) goes to (X/W, Y/W) with
/// (X, Y, W) = rows · (x, y, 1). The line where W is 0 goes to infinity (a horizon); what lies beyond it, where W
/// is negative, has no image.
///
/// ```
/// use spile::shape::{Point, Transformation};
/// use std::f64::consts::FRAC_PI_2;
///
/// // First doubled, then turned a quarter to the left, then shifted.
/// let map = Transformation::shift(Point::new(10.0, 0.0))
///     .after(&Transformation::turn(FRAC_PI_2))
///     .after(&Transformation::scale(2.0, 2.0));
/// let there = map.apply(Point::new(3.0, 1.0)).expect("an affine map has no horizon");
/// assert!(there.distance(Point::new(8.0, 6.0)) < 1e-12);
/// assert!((map.similarity().expect("shape is kept") - 2.0).abs() < 1e-12);
/// let back = map.inverse().expect("it is one to one");
/// assert!(back.apply(there).expect("affine").distance(Point::new(3.0, 1.0)) < 1e-12);
///
/// let aslant = Transformation { rows: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.01, 1.0]] };
/// assert_eq!(aslant.apply(Point::new(0.0, 100.0)), Some(Point::new(0.0, 50.0)));
/// assert_eq!(aslant.apply(Point::new(0.0, -100.0)), None);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transformation {
    /// The matrix, row by row.
    pub rows: [[f64; 3]; 3],
}

impl Transformation {
    /// The map that leaves everything where it is.
    pub const IDENTITY: Self = Self::affine(
        Point::new(1.0, 0.0),
        Point::new(0.0, 1.0),
        Point::new(0.0, 0.0),
    );

    /// The affine map that takes the unit vectors to `x` and `y` and the origin to `origin`.
    #[must_use]
    pub const fn affine(x: Point, y: Point, origin: Point) -> Self {
        Self {
            rows: [[x.x, y.x, origin.x], [x.y, y.y, origin.y], [0.0, 0.0, 1.0]],
        }
    }

    /// A shift.
    #[must_use]
    pub const fn shift(by: Point) -> Self {
        Self::affine(Point::new(1.0, 0.0), Point::new(0.0, 1.0), by)
    }

    /// A turn about the origin by `angle` radians, counter-clockwise.
    #[must_use]
    pub fn turn(angle: f64) -> Self {
        let x = Point::at_angle(angle);
        Self::affine(x, x.left(), Point::ORIGIN)
    }

    /// A scale along the axes; negative factors mirror.
    #[must_use]
    pub const fn scale(x: f64, y: f64) -> Self {
        Self::affine(Point::new(x, 0.0), Point::new(0.0, y), Point::ORIGIN)
    }

    /// The map that does `first` and then this one.
    #[must_use]
    pub fn after(&self, first: &Self) -> Self {
        let rows = std::array::from_fn(|row| {
            std::array::from_fn(|column| {
                (0..3)
                    .map(|i| self.rows[row][i] * first.rows[i][column])
                    .sum()
            })
        });
        Self { rows }
    }

    /// Determinant of the matrix; of an affine map, what areas are multiplied by, negative where it mirrors.
    #[must_use]
    pub fn determinant(&self) -> f64 {
        let [a, b, c] = self.rows;
        a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
    }

    /// The map that undoes it; none where the whole plane goes to one line or is not finite.
    #[must_use]
    pub fn inverse(&self) -> Option<Self> {
        let determinant = self.determinant();
        let r = &self.rows;
        let cofactor = |row: usize, column: usize| {
            let (a, b) = ((row + 1) % 3, (row + 2) % 3);
            let (c, d) = ((column + 1) % 3, (column + 2) % 3);
            r[a][c] * r[b][d] - r[a][d] * r[b][c]
        };
        let mut rows: [[f64; 3]; 3] = std::array::from_fn(|row| {
            std::array::from_fn(|column| cofactor(column, row) / determinant)
        });
        if self.is_affine() {
            rows[2] = [0.0, 0.0, 1.0];
        }
        rows.iter()
            .flatten()
            .all(|value| value.is_finite())
            .then_some(Self { rows })
    }

    /// Whether it has no horizon.
    #[must_use]
    pub fn is_affine(&self) -> bool {
        self.rows[2] == [0.0, 0.0, 1.0]
    }

    /// The third homogeneous coordinate W of the image: positive on this side of the horizon.
    #[must_use]
    pub fn weight_at(&self, point: Point) -> f64 {
        let [x, y, one] = self.rows[2];
        x * point.x + y * point.y + one
    }

    /// The image of a point; none on the horizon and beyond.
    #[must_use]
    pub fn apply(&self, point: Point) -> Option<Point> {
        let weight = self.weight_at(point);
        let [a, b, _] = self.rows;
        (weight > 0.0).then(|| {
            Point::new(
                (a[0] * point.x + a[1] * point.y + a[2]) / weight,
                (b[0] * point.x + b[1] * point.y + b[2]) / weight,
            )
        })
    }

    /// The image of a vector under an affine map.
    #[must_use]
    pub fn apply_to_vector(&self, vector: Point) -> Point {
        let [a, b, _] = self.rows;
        Point::new(
            a[0] * vector.x + a[1] * vector.y,
            b[0] * vector.x + b[1] * vector.y,
        )
    }

    /// The factor of lengths where it keeps shapes (shift, turn, even scale, mirror), to within 1e-12; none
    /// where it does not.
    #[must_use]
    pub fn similarity(&self) -> Option<f64> {
        if !self.is_affine() {
            return None;
        }
        let [a, b, _] = self.rows;
        let (x, y) = (Point::new(a[0], b[0]), Point::new(a[1], b[1]));
        let size = x.dot(x).max(y.dot(y));
        let is_similar =
            x.dot(y).abs() <= 1e-12 * size && (x.dot(x) - y.dot(y)).abs() <= 1e-12 * size;
        (is_similar && size > 0.0).then(|| ((x.dot(x) + y.dot(y)) / 2.0).sqrt())
    }

    /// Derivatives of the image by the point's x and by its y.
    #[must_use]
    pub fn derivatives_at(&self, point: Point) -> Option<[Point; 2]> {
        let image = self.apply(point)?;
        let weight = self.weight_at(point);
        let [a, b, c] = self.rows;
        Some(
            [0, 1]
                .map(|i| Point::new(a[i] - c[i] * image.x, b[i] - c[i] * image.y) * (1.0 / weight)),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ASLANT: Transformation = Transformation {
        rows: [[1.2, -0.3, 40.0], [0.2, 0.9, -7.0], [1e-4, 3e-4, 0.8]],
    };

    #[test]
    fn undone_it_leaves_every_point_where_it_was() {
        let back = ASLANT.inverse().expect("one to one");
        for x in [-500.0, 0.0, 730.0] {
            for y in [-200.0, 0.0, 1100.0] {
                let point = Point::new(x, y);
                let there = ASLANT.apply(point).expect("this side of the horizon");
                let again = back.apply(there).expect("likewise");
                assert!(again.distance(point) < 1e-9, "{again:?} for {point:?}");
            }
        }
    }

    #[test]
    fn derivatives_are_those_of_small_steps() {
        let point = Point::new(120.0, -75.0);
        let derivatives = ASLANT.derivatives_at(point).expect("in sight");
        for (step, derivative) in [Point::new(1e-3, 0.0), Point::new(0.0, 1e-3)]
            .into_iter()
            .zip(derivatives)
        {
            let ahead = ASLANT.apply(point + step).expect("in sight");
            let behind = ASLANT.apply(point - step).expect("in sight");
            let slope = (ahead - behind) * (0.5 / 1e-3);
            assert!(
                slope.distance(derivative) < 1e-8,
                "{slope:?} {derivative:?}"
            );
        }
    }

    #[test]
    fn a_flattening_map_cannot_be_undone() {
        assert!(Transformation::scale(1.0, 0.0).inverse().is_none());
        assert!(Transformation::scale(f64::NAN, 1.0).inverse().is_none());
    }

    #[test]
    fn skews_and_uneven_scales_keep_no_shapes() {
        assert_eq!(Transformation::scale(2.0, 3.0).similarity(), None);
        assert_eq!(Transformation::scale(0.0, 0.0).similarity(), None);
        assert_eq!(ASLANT.similarity(), None);
        assert_eq!(Transformation::scale(-2.0, 2.0).similarity(), Some(2.0));
    }
}
