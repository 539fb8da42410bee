//! Smooth curves over an axis, y as a function of x: twice continuously differentiable, without bending at the
//! ends, straight beyond them. Comes in: points. Goes out: a curve that can be asked for height, slope and bend
//! at every x.
//!
//! The natural cubic spline, as [`Spline`](super::Spline) has it (the textbook construction, no one source).

use super::Point;
use super::spline::open_bends;

/// A piecewise cubic curve over the x axis.
///
/// ```
/// use spile::shape::{Graph, Point};
/// let through = [[0.0, 120.0], [1500.0, 60.0], [3000.0, 40.0]].map(|[x, y]| Point::new(x, y));
/// let curve = Graph::through(&through).expect("x rises");
/// assert_eq!(curve.height_at(1500.0), 60.0);
/// // Straight beyond its ends.
/// let slope = curve.slope_at(3000.0);
/// assert_eq!(curve.slope_at(3600.0), slope);
/// assert!((curve.height_at(3100.0) - (40.0 + 100.0 * slope)).abs() < 1e-12);
/// assert!(Graph::through(&through[..1]).is_none());
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Graph {
    at: Vec<f64>,
    heights: Vec<f64>,
    bends: Vec<f64>,
}

impl Graph {
    /// The curve through `points`; none for fewer than two, where x does not rise from each to the next, or where
    /// a number is not finite.
    #[must_use]
    pub fn through(points: &[Point]) -> Option<Self> {
        let spans: Vec<f64> = points
            .windows(2)
            .map(|pair| pair[1].x - pair[0].x)
            .collect();
        let finite = points
            .iter()
            .all(|point| point.x.is_finite() && point.y.is_finite());
        if spans.is_empty() || !finite || !spans.iter().all(|span| *span > 0.0) {
            return None;
        }
        let heights: Vec<f64> = points.iter().map(|point| point.y).collect();
        let bends = open_bends(&spans, &heights, false, false);
        bends.iter().all(|bend| bend.is_finite()).then(|| Self {
            at: points.iter().map(|point| point.x).collect(),
            heights,
            bends,
        })
    }

    /// Where its points are, rising.
    #[must_use]
    pub fn knots(&self) -> &[f64] {
        &self.at
    }

    /// Its height at x; at its own points, theirs bit for bit.
    #[must_use]
    pub fn height_at(&self, x: f64) -> f64 {
        let (i, length, u, v) = self.local(x);
        let square = length * length / 6.0;
        let within = self.heights[i] * v
            + self.heights[i + 1] * u
            + self.bends[i] * ((v * v * v - v) * square)
            + self.bends[i + 1] * ((u * u * u - u) * square);
        within + self.beyond(x) * self.slope_at(x)
    }

    /// Its slope at x.
    #[must_use]
    pub fn slope_at(&self, x: f64) -> f64 {
        let (i, length, u, v) = self.local(x);
        (self.heights[i + 1] - self.heights[i]) / length
            + self.bends[i] * ((1.0 - 3.0 * v * v) * length / 6.0)
            + self.bends[i + 1] * ((3.0 * u * u - 1.0) * length / 6.0)
    }

    /// Its second derivative at x; none beyond its ends.
    #[must_use]
    pub fn bend_at(&self, x: f64) -> f64 {
        if self.beyond(x) == 0.0 {
            let (i, _, u, v) = self.local(x);
            self.bends[i] * v + self.bends[i + 1] * u
        } else {
            0.0
        }
    }

    /// How far x lies beyond an end, negative before the first.
    fn beyond(&self, x: f64) -> f64 {
        x - x.clamp(self.at[0], self.at[self.at.len() - 1])
    }

    /// Span, its length, and how far from its start and from its end x is, as shares of it.
    fn local(&self, x: f64) -> (usize, f64, f64, f64) {
        let after = self.at.partition_point(|knot| *knot <= x);
        let i = after.clamp(1, self.at.len() - 1) - 1;
        let length = self.at[i + 1] - self.at[i];
        let u = ((x - self.at[i]) / length).clamp(0.0, 1.0);
        (i, length, u, 1.0 - u)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn height_slope_and_bend_are_each_the_slope_of_the_one_before() {
        let points = [[0.0, 120.0], [700.0, 90.0], [1500.0, 60.0], [3000.0, 75.0]];
        let points = points.map(|[x, y]| Point::new(x, y));
        let curve = Graph::through(&points).expect("a curve");
        for x in [-200.0, 10.0, 650.0, 1400.0, 2900.0, 3300.0] {
            let rise = |of: &dyn Fn(f64) -> f64| (of(x + 0.01) - of(x - 0.01)) / 0.02;
            assert!((rise(&|x| curve.height_at(x)) - curve.slope_at(x)).abs() < 1e-9);
            assert!((rise(&|x| curve.slope_at(x)) - curve.bend_at(x)).abs() < 1e-9);
        }
        for knot in curve.knots() {
            assert!((curve.bend_at(knot - 1e-9) - curve.bend_at(knot + 1e-9)).abs() < 1e-12);
        }
    }

    #[test]
    fn x_must_rise_and_be_finite() {
        let points = |list: &[[f64; 2]]| -> Vec<Point> {
            list.iter().map(|[x, y]| Point::new(*x, *y)).collect()
        };
        assert!(Graph::through(&points(&[[0.0, 1.0], [0.0, 2.0]])).is_none());
        assert!(Graph::through(&points(&[[5.0, 1.0], [0.0, 2.0]])).is_none());
        assert!(Graph::through(&points(&[[0.0, f64::NAN], [5.0, 2.0]])).is_none());
        assert!(Graph::through(&points(&[[0.0, 1.0], [f64::NAN, 2.0]])).is_none());
    }
}
