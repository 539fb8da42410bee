//! Cubic curves through points, as an elastic batten lies: twice continuously differentiable in the
//! running chord length. Comes in: points and what happens at the ends. Goes out: a curve that can be
//! asked for its point and velocity anywhere, and gives its own points back bit for bit.
//!
//! The textbook construction (no one source): second derivatives at the knots from a tridiagonal system, for
//! closed curves a cyclic one solved by the Sherman-Morrison formula.

use super::Point;

/// What a curve does where it ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SplineEnd {
    /// Nothing holds it: no bending there (second derivative zero).
    Free,
    /// It goes on as its own mirror image in the x axis, which it crosses square.
    Mirrored,
}

/// A piecewise cubic curve; its parameter is the running length of the chords, in millimetres.
/// A parameter before the first knot or after the last one stands for that end.
///
/// ```
/// use spile::shape::{Point, Spline, SplineEnd};
/// let through = [[0.0, 0.0], [300.0, 400.0], [900.0, 400.0]].map(|[x, y]| Point::new(x, y));
/// let curve = Spline::through(&through, SplineEnd::Free, SplineEnd::Free).expect("a curve");
/// assert_eq!(curve.knots(), [0.0, 500.0, 1100.0]);
/// assert_eq!(curve.point_at(500.0), through[1]);
/// // It does not bend where nothing holds it.
/// assert!(curve.bend_at(curve.last()).length() < 1e-12);
/// assert!(Spline::through(&through[..1], SplineEnd::Free, SplineEnd::Free).is_none());
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Spline {
    knots: Vec<f64>,
    points: Vec<Point>,
    bends: Vec<Point>,
}

impl Spline {
    /// The curve through `points` in order; none for fewer than two points, where neighbours
    /// coincide, or where a number is not finite.
    #[must_use]
    pub fn through(points: &[Point], start: SplineEnd, end: SplineEnd) -> Option<Self> {
        let knots = running_chord(points)?;
        let spans: Vec<f64> = knots.windows(2).map(|pair| pair[1] - pair[0]).collect();
        // Mirrored in the x axis, x is even and y is odd: x has no slope there, y no bending.
        let slope = |end| end == SplineEnd::Mirrored;
        let x: Vec<f64> = points.iter().map(|point| point.x).collect();
        let y: Vec<f64> = points.iter().map(|point| point.y).collect();
        let bend_x = open_bends(&spans, &x, slope(start), slope(end));
        let bend_y = open_bends(&spans, &y, false, false);
        Self::assembled(knots, points.to_vec(), &bend_x, &bend_y)
    }

    /// The smooth closed curve through `points`, the last joined to the first; none for fewer than
    /// three, where neighbours coincide, or where a number is not finite.
    #[must_use]
    pub fn closed(points: &[Point]) -> Option<Self> {
        if points.len() < 3 {
            return None;
        }
        let mut round = points.to_vec();
        round.push(points[0]);
        let knots = running_chord(&round)?;
        let spans: Vec<f64> = knots.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let x: Vec<f64> = round.iter().map(|point| point.x).collect();
        let y: Vec<f64> = round.iter().map(|point| point.y).collect();
        let bend_x = closed_bends(&spans, &x);
        let bend_y = closed_bends(&spans, &y);
        Self::assembled(knots, round, &bend_x, &bend_y)
    }

    fn assembled(knots: Vec<f64>, points: Vec<Point>, x: &[f64], y: &[f64]) -> Option<Self> {
        let bends: Vec<Point> = x.iter().zip(y).map(|(x, y)| Point::new(*x, *y)).collect();
        bends
            .iter()
            .all(|bend| bend.x.is_finite() && bend.y.is_finite())
            .then_some(Self {
                knots,
                points,
                bends,
            })
    }

    /// The parameters of its points, rising from 0.
    #[must_use]
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// The parameter of its last point.
    #[must_use]
    pub fn last(&self) -> f64 {
        self.knots[self.knots.len() - 1]
    }

    /// Which span (from 0) the parameter `at` lies in.
    #[must_use]
    pub fn span_at(&self, at: f64) -> usize {
        let after = self.knots.partition_point(|knot| *knot <= at);
        after.clamp(1, self.knots.len() - 1) - 1
    }

    /// The point at parameter `at`.
    #[must_use]
    pub fn point_at(&self, at: f64) -> Point {
        let (i, length, u, v) = self.local(at);
        let square = length * length / 6.0;
        self.points[i] * v
            + self.points[i + 1] * u
            + self.bends[i] * ((v * v * v - v) * square)
            + self.bends[i + 1] * ((u * u * u - u) * square)
    }

    /// First derivative at parameter `at`; its length is near 1.
    #[must_use]
    pub fn velocity_at(&self, at: f64) -> Point {
        let (i, length, u, v) = self.local(at);
        (self.points[i + 1] - self.points[i]) * (1.0 / length)
            + self.bends[i] * ((1.0 - 3.0 * v * v) * length / 6.0)
            + self.bends[i + 1] * ((3.0 * u * u - 1.0) * length / 6.0)
    }

    /// Second derivative at parameter `at`.
    #[must_use]
    pub fn bend_at(&self, at: f64) -> Point {
        let (i, _, u, v) = self.local(at);
        self.bends[i] * v + self.bends[i + 1] * u
    }

    /// Span, its length, and how far from its start and from its end `at` is, as shares of it.
    fn local(&self, at: f64) -> (usize, f64, f64, f64) {
        let i = self.span_at(at);
        let length = self.knots[i + 1] - self.knots[i];
        let u = ((at - self.knots[i]) / length).clamp(0.0, 1.0);
        // At a knot one share is exactly 1 and the other 0, so the point comes back bit for bit.
        (i, length, u, 1.0 - u)
    }
}

/// Running chord length; none where it does not rise or is not finite.
fn running_chord(points: &[Point]) -> Option<Vec<f64>> {
    let mut knots = vec![0.0];
    let mut sum = 0.0;
    for pair in points.windows(2) {
        let next = sum + pair[0].distance(pair[1]);
        if next <= sum || !next.is_finite() {
            return None;
        }
        sum = next;
        knots.push(sum);
    }
    (knots.len() >= 2).then_some(knots)
}

/// Slope of the chord of span `i`.
fn slope(spans: &[f64], values: &[f64], i: usize) -> f64 {
    (values[i + 1] - values[i]) / spans[i]
}

/// Second derivatives at the knots; an end has no slope where it is level, else no bending.
pub(super) fn open_bends(
    spans: &[f64],
    values: &[f64],
    level_start: bool,
    level_end: bool,
) -> Vec<f64> {
    let last = spans.len();
    let mut rows: Vec<Row> = Vec::with_capacity(last + 1);
    rows.push(if level_start {
        Row {
            before: 0.0,
            here: 2.0 * spans[0],
            after: spans[0],
            right: 6.0 * slope(spans, values, 0),
        }
    } else {
        Row::FREE
    });
    for i in 1..last {
        rows.push(Row::inner(spans, values, i - 1, i));
    }
    rows.push(if level_end {
        Row {
            before: spans[last - 1],
            here: 2.0 * spans[last - 1],
            after: 0.0,
            right: -6.0 * slope(spans, values, last - 1),
        }
    } else {
        Row::FREE
    });
    solved(&rows)
}

/// Second derivatives at the knots of a closed curve, the first repeated at the end.
fn closed_bends(spans: &[f64], values: &[f64]) -> Vec<f64> {
    let count = spans.len();
    let mut rows: Vec<Row> = (0..count)
        .map(|i| Row::inner(spans, values, (i + count - 1) % count, i))
        .collect();
    // Sherman-Morrison: the two corner elements are a rank-one change of a tridiagonal matrix.
    let (corner_top, corner_bottom) = (rows[0].before, rows[count - 1].after);
    let gamma = -rows[0].here;
    rows[0].here -= gamma;
    rows[count - 1].here -= corner_top * corner_bottom / gamma;
    let plain = solved(&rows);
    for row in &mut rows {
        row.right = 0.0;
    }
    rows[0].right = gamma;
    rows[count - 1].right = corner_bottom;
    let change = solved(&rows);
    let share = corner_top / gamma;
    let factor =
        (plain[0] + share * plain[count - 1]) / (1.0 + change[0] + share * change[count - 1]);
    let mut bends: Vec<f64> = plain
        .iter()
        .zip(&change)
        .map(|(plain, change)| plain - factor * change)
        .collect();
    bends.push(bends[0]);
    bends
}

/// One row of a tridiagonal system.
#[derive(Clone, Copy)]
struct Row {
    before: f64,
    here: f64,
    after: f64,
    right: f64,
}

impl Row {
    const FREE: Self = Self {
        before: 0.0,
        here: 1.0,
        after: 0.0,
        right: 0.0,
    };

    /// Equal second derivatives from both sides at the knot between spans `left` and `right`.
    fn inner(spans: &[f64], values: &[f64], left: usize, right: usize) -> Self {
        Self {
            before: spans[left],
            here: 2.0 * (spans[left] + spans[right]),
            after: spans[right],
            right: 6.0 * (slope(spans, values, right) - slope(spans, values, left)),
        }
    }
}

/// Solves a tridiagonal system by elimination; the rows here are diagonally dominant.
fn solved(rows: &[Row]) -> Vec<f64> {
    let mut rows = rows.to_vec();
    for i in 1..rows.len() {
        let factor = rows[i].before / rows[i - 1].here;
        rows[i].here -= factor * rows[i - 1].after;
        rows[i].right -= factor * rows[i - 1].right;
    }
    let mut values = vec![0.0; rows.len()];
    let mut next = 0.0;
    for (value, row) in values.iter_mut().zip(&rows).rev() {
        next = (row.right - row.after * next) / row.here;
        *value = next;
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[[f64; 2]]) -> Vec<Point> {
        list.iter().map(|[x, y]| Point::new(*x, *y)).collect()
    }

    #[test]
    fn a_curve_gives_its_points_back_bit_for_bit() {
        let through = points(&[[0.1, 0.3], [400.7, 520.9], [900.0, 930.0], [1600.0, 1240.0]]);
        let curve = Spline::through(&through, SplineEnd::Free, SplineEnd::Free).expect("a curve");
        for (knot, point) in curve.knots().iter().zip(&through) {
            assert_eq!(curve.point_at(*knot), *point);
        }
    }

    #[test]
    fn velocity_and_bend_pass_the_knots_unbroken() {
        let through = points(&[[0.0, 0.0], [300.0, 400.0], [500.0, 450.0], [1500.0, 300.0]]);
        let mut curves = vec![
            Spline::through(&through, SplineEnd::Mirrored, SplineEnd::Free).expect("a curve"),
            Spline::closed(&through).expect("a closed curve"),
        ];
        for curve in curves.drain(..) {
            for knot in &curve.knots()[1..curve.knots().len() - 1] {
                let jump = curve.velocity_at(knot - 1e-7) - curve.velocity_at(*knot);
                assert!(jump.length() < 1e-8, "{jump:?}");
                let jump = curve.bend_at(knot - 1e-7) - curve.bend_at(*knot);
                assert!(jump.length() < 1e-8, "{jump:?}");
            }
        }
    }

    #[test]
    fn a_closed_curve_joins_itself_unbroken() {
        let through = points(&[[0.0, 0.0], [300.0, -100.0], [500.0, 450.0], [100.0, 300.0]]);
        let curve = Spline::closed(&through).expect("a closed curve");
        assert_eq!(curve.point_at(0.0), curve.point_at(curve.last()));
        let jump = curve.velocity_at(0.0) - curve.velocity_at(curve.last());
        assert!(jump.length() < 1e-12, "{jump:?}");
    }

    #[test]
    fn a_mirrored_end_stands_square_to_the_axis() {
        let through = points(&[[0.0, 0.0], [100.0, 300.0], [600.0, 500.0]]);
        let curve =
            Spline::through(&through, SplineEnd::Mirrored, SplineEnd::Free).expect("a curve");
        assert!(curve.velocity_at(0.0).x.abs() < 1e-14);
        assert!(curve.bend_at(0.0).y.abs() < 1e-14);
        assert!(curve.bend_at(curve.last()).length() < 1e-14);
    }

    #[test]
    fn points_that_coincide_make_no_curve() {
        let twice = points(&[[0.0, 0.0], [0.0, 0.0], [5.0, 5.0]]);
        assert!(Spline::through(&twice, SplineEnd::Free, SplineEnd::Free).is_none());
        assert!(Spline::closed(&twice).is_none());
        let unreal = points(&[[0.0, 0.0], [f64::NAN, 0.0], [5.0, 5.0]]);
        assert!(Spline::through(&unreal, SplineEnd::Free, SplineEnd::Free).is_none());
    }
}
