//! The circle that fits a few neighbouring points best, by least squares, for the point and the direction
//! of the curve they were taken from: rounding of their coordinates spreads over all of them.
//!
//! In axes along and across the points every circle and every line is `y = a + b x + c (x² + y²)`, which is
//! linear in a, b, c (after I. Kåsa, IEEE Transactions on Instrumentation and Measurement 25,
//! 1976, pp. 8-14, with the leading coefficient where a line needs none).

use super::Point;

/// A point of a fitted circle and its direction there, of length 1.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tangent {
    pub(super) at: Point,
    pub(super) along: Point,
}

/// Sums of the normal equations of `y = a + b x + c q`, `q = x² + y²`.
#[derive(Default)]
struct Sums {
    count: f64,
    x: f64,
    q: f64,
    y: f64,
    xx: f64,
    xq: f64,
    qq: f64,
    xy: f64,
    qy: f64,
}

impl Sums {
    /// Sums about `origin` in axes along and across the unit vector `axis`, lengths divided by `scale`.
    fn of(origin: Point, axis: Point, scale: f64, points: impl Iterator<Item = Point>) -> Self {
        let mut sums = Self::default();
        let unit = axis * (1.0 / scale);
        for point in points {
            let off = point - origin;
            let (x, y) = (unit.dot(off), unit.cross(off));
            let q = x * x + y * y;
            sums.count += 1.0;
            sums.x += x;
            sums.q += q;
            sums.y += y;
            sums.xx += x * x;
            sums.xq += x * q;
            sums.qq += q * q;
            sums.xy += x * y;
            sums.qy += q * y;
        }
        sums
    }
}

/// Point and direction, at the foot of `around`, of the circle that fits `points` best; `axis` is roughly
/// the direction of travel, `scale` the size of the neighbourhood. None where they do not settle one.
pub(super) fn tangent_near(
    around: Point,
    axis: Point,
    scale: f64,
    points: impl Iterator<Item = Point>,
) -> Option<Tangent> {
    let s = Sums::of(around, axis, scale, points);
    // Cramer's rule for the three unknowns.
    let minor = |a: f64, b: f64, c: f64, d: f64| a * d - b * c;
    let whole = s.count * minor(s.xx, s.xq, s.xq, s.qq) - s.x * minor(s.x, s.xq, s.q, s.qq)
        + s.q * minor(s.x, s.xx, s.q, s.xq);
    let least = 1e-9 * s.count * s.xx * s.qq;
    if whole.is_nan() || whole <= least {
        return None;
    }
    let a = (s.y * minor(s.xx, s.xq, s.xq, s.qq) - s.x * minor(s.xy, s.xq, s.qy, s.qq)
        + s.q * minor(s.xy, s.xx, s.qy, s.xq))
        / whole;
    let b = (s.count * minor(s.xy, s.xq, s.qy, s.qq) - s.y * minor(s.x, s.xq, s.q, s.qq)
        + s.q * minor(s.x, s.xy, s.q, s.qy))
        / whole;
    let c = (s.count * minor(s.xx, s.xy, s.xq, s.qy) - s.x * minor(s.x, s.xy, s.q, s.qy)
        + s.y * minor(s.x, s.xx, s.q, s.xq))
        / whole;
    // Where it passes x = 0: c y² - y + a = 0.
    let inside = 1.0 - 4.0 * a * c;
    if inside < 0.0 {
        return None;
    }
    let y = 2.0 * a / (1.0 + inside.sqrt());
    finished(around, axis, scale, y, b, c)
}

/// Direction at `through` of the circle through it that fits `points` best.
pub(super) fn direction_at(
    through: Point,
    axis: Point,
    scale: f64,
    points: impl Iterator<Item = Point>,
) -> Option<Point> {
    let s = Sums::of(through, axis, scale, points);
    let whole = s.xx * s.qq - s.xq * s.xq;
    if whole.is_nan() || whole <= 1e-9 * s.xx * s.qq {
        return None;
    }
    let b = (s.xy * s.qq - s.qy * s.xq) / whole;
    finished(through, axis, scale, 0.0, b, 0.0).map(|tangent| tangent.along)
}

/// Centre and radius of the circle that fits `points` from all round it best.
pub(super) fn best_circle(points: impl Iterator<Item = Point> + Clone) -> Option<(Point, f64)> {
    let mut count = 0.0;
    let mut middle = Point::ORIGIN;
    for point in points.clone() {
        middle = middle + point;
        count += 1.0;
    }
    let middle = middle * (1.0 / count);
    // x² + y² = d + e x + f y about the middle, where the sums of x and y are 0.
    let (mut xx, mut xy, mut yy, mut qx, mut qy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for point in points {
        let off = point - middle;
        let q = off.dot(off);
        xx += off.x * off.x;
        xy += off.x * off.y;
        yy += off.y * off.y;
        qx += q * off.x;
        qy += q * off.y;
    }
    let whole = xx * yy - xy * xy;
    if whole.is_nan() || whole <= 1e-6 * (xx + yy) * (xx + yy) {
        return None;
    }
    let off = Point::new(qx * yy - qy * xy, qy * xx - qx * xy) * (0.5 / whole);
    let radius = ((xx + yy) / count + off.dot(off)).sqrt();
    Some((middle + off, radius))
}

fn finished(origin: Point, axis: Point, scale: f64, y: f64, slope: f64, c: f64) -> Option<Tangent> {
    let across = axis.left();
    let along = (axis * (1.0 - 2.0 * c * y) + across * slope).unit();
    (along != Point::ORIGIN && along.dot(axis) > 0.0).then(|| Tangent {
        at: origin + across * (y * scale),
        along,
    })
}

/// The line that fits `points` best (total least squares): the middle of them and the direction, along `axis`.
pub(super) fn best_line(axis: Point, points: &[Point]) -> Option<Tangent> {
    let first = points.first()?;
    let count = points.len() as f64;
    let middle = points
        .iter()
        .fold(Point::ORIGIN, |sum, point| sum + (*point - *first))
        * (1.0 / count);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for point in points {
        let off = *point - *first - middle;
        let (x, y) = (axis.dot(off), axis.cross(off));
        xx += x * x;
        xy += x * y;
        yy += y * y;
    }
    let angle = (2.0 * xy).atan2(xx - yy) / 2.0;
    let along = (axis * angle.cos() + axis.left() * angle.sin()).unit();
    (along != Point::ORIGIN && xx > yy).then(|| Tangent {
        at: *first + middle,
        along,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_of_a_circle_give_its_own_tangent() {
        let centre = Point::new(4000.0, -700.0);
        let on = |angle: f64| centre + Point::at_angle(angle) * 1234.5;
        let points: Vec<Point> = (0..9).map(|i| on(0.3 + 0.05 * f64::from(i))).collect();
        let found = tangent_near(
            points[4],
            (points[8] - points[0]).unit(),
            250.0,
            points.iter().copied(),
        )
        .expect("a circle");
        let due = Point::at_angle(0.5).left();
        assert!(found.at.distance(points[4]) < 1e-9, "{found:?}");
        assert!(found.along.cross(due).abs() < 1e-11, "{found:?}");
        let leaving = direction_at(
            points[0],
            (points[8] - points[0]).unit(),
            500.0,
            points[1..].iter().copied(),
        )
        .expect("a circle");
        assert!(leaving.cross(Point::at_angle(0.3).left()).abs() < 1e-11);
    }

    #[test]
    fn points_on_a_line_give_the_line() {
        let along = Point::new(3.0, 4.0).unit();
        let points: Vec<Point> = (0..7).map(|i| along * f64::from(i * i)).collect();
        let found =
            tangent_near(points[3], along, 40.0, points.iter().copied()).expect("a tangent");
        assert!(found.along.cross(along).abs() < 1e-14);
        let line = best_line(Point::new(1.0, 1.0).unit(), &points).expect("a line");
        assert!(line.along.cross(along).abs() < 1e-14);
    }
}
