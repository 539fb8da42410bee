//! One point from its distances to located ones: every place where two of the circles meet, judged by how many of the
//! other distances agree. Comes in: circles, each with its deviation. Goes out: places, the likeliest first.

use super::solve::direction;
use super::{Covariance, Hint};
use crate::shape::Point;

/// A misfit counts for no more than this, in squared deviations, so that one gross error does not outvote the rest.
pub(super) const MOST_MISFIT: f64 = 25.0;
/// A place on the wrong side of a hint counts as much as this: a little less than a distance that disagrees.
pub(super) const WRONG_SIDE: f64 = 22.0;
/// More circles than this about one point tell nothing new of where to begin.
const MOST_CIRCLES: usize = 9;

/// A distance to a located point.
#[derive(Debug, Clone, Copy)]
pub(super) struct Circle {
    pub(super) middle: Point,
    pub(super) radius: f64,
    /// Standard deviation of the radius, the middle's own uncertainty in it.
    pub(super) deviation: f64,
    /// Standard deviation of the radius as measured.
    pub(super) measured: f64,
}

/// A place where a point may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) at: Point,
    /// How badly the distances and the hint agree.
    pub(super) misfit: f64,
    /// Its standard deviation in the direction it is known worst, beside its neighbours.
    pub(super) spread: f64,
}

/// Where a point may be, the likeliest first, places a hair apart taken for one. On the x axis one circle is enough.
pub(super) fn candidates(circles: &[Circle], on_axis: bool, hint: Option<Hint>) -> Vec<Candidate> {
    let mut chosen = circles.to_vec();
    chosen.sort_by(|a, b| {
        (a.deviation, a.radius, a.middle.x, a.middle.y)
            .partial_cmp(&(b.deviation, b.radius, b.middle.x, b.middle.y))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    chosen.truncate(MOST_CIRCLES);
    let mut places = Vec::new();
    for (number, first) in chosen.iter().enumerate() {
        if on_axis {
            let half = (first.radius.powi(2) - first.middle.y.powi(2))
                .max(0.0)
                .sqrt();
            places.push(Point::new(first.middle.x + half, 0.0));
            places.push(Point::new(first.middle.x - half, 0.0));
        } else {
            for second in &chosen[number + 1..] {
                places.extend(meet(first, second));
            }
        }
    }
    let mut found: Vec<Candidate> = places
        .into_iter()
        .map(|place| {
            let at = settled(place, &chosen, on_axis);
            Candidate {
                at,
                misfit: misfit(at, &chosen) + against(at, hint),
                spread: covariance(at, &chosen, on_axis).ellipse().major,
            }
        })
        .collect();
    // Where two are as good: the greater x on the axis, the greater y elsewhere.
    found.sort_by(|a, b| {
        a.misfit
            .total_cmp(&b.misfit)
            .then(b.at.y.total_cmp(&a.at.y))
            .then(b.at.x.total_cmp(&a.at.x))
    });
    let mut distinct: Vec<Candidate> = Vec::new();
    for candidate in found {
        let near = |kept: &Candidate| {
            kept.at.distance(candidate.at) < 3.0 * kept.spread.min(candidate.spread)
        };
        if !distinct.iter().any(near) {
            distinct.push(candidate);
        }
    }
    // Mirror images differ by rounding only: the order must not hang on that.
    if let [first, second, ..] = distinct.as_mut_slice()
        && second.misfit - first.misfit < 1e-6
        && (second.at.y, second.at.x) > (first.at.y, first.at.x)
    {
        std::mem::swap(first, second);
    }
    distinct
}

/// How badly a place agrees with a hint.
pub(super) fn against(at: Point, hint: Option<Hint>) -> f64 {
    match hint {
        Some(Hint::Above) if at.y < 0.0 => WRONG_SIDE,
        Some(Hint::Below) if at.y > 0.0 => WRONG_SIDE,
        // Of two places as good, the nearer: never more than the wrong side counts.
        Some(Hint::Near(near)) => {
            let away = near.distance(at);
            WRONG_SIDE * away / (away + 500.0)
        }
        _ => 0.0,
    }
}

/// How badly a place agrees with the circles.
pub(super) fn misfit(at: Point, circles: &[Circle]) -> f64 {
    circles
        .iter()
        .map(|circle| {
            let ratio = (at.distance(circle.middle) - circle.radius) / circle.deviation;
            (ratio * ratio).min(MOST_MISFIT)
        })
        .sum()
}

/// Where two circles meet; where they do not, the place nearest to both.
pub(super) fn meet(first: &Circle, second: &Circle) -> Vec<Point> {
    let along = second.middle - first.middle;
    let apart = along.length();
    if apart < 1e-6 {
        return Vec::new();
    }
    let unit = along * (1.0 / apart);
    let (r, s) = (first.radius, second.radius);
    let foot = (apart * apart + r * r - s * s) / (2.0 * apart);
    let square = r * r - foot * foot;
    if square > 0.0 {
        let (foot, half) = (first.middle + unit * foot, unit.left() * square.sqrt());
        return vec![foot + half, foot - half];
    }
    let reach = if apart > r + s {
        f64::midpoint(r, apart - s)
    } else if r > s {
        f64::midpoint(r, apart + s)
    } else {
        f64::midpoint(-r, apart - s)
    };
    vec![first.middle + unit * reach]
}

/// The place near `at` that the circles agree on best, those far off counting for nothing.
pub(super) fn settled(mut at: Point, circles: &[Circle], on_axis: bool) -> Point {
    for _ in 0..6 {
        let near: Vec<Circle> = circles
            .iter()
            .copied()
            .filter(|circle| {
                let off = (at.distance(circle.middle) - circle.radius).abs();
                off < 6.0 * circle.deviation
            })
            .collect();
        let step = step(at, &near, on_axis);
        if !step.length().is_finite() || step.length() > 1e3 {
            break;
        }
        at = at + step;
        if step.length() < 1e-6 {
            break;
        }
    }
    at
}

/// The Gauss-Newton step of one point among fixed ones.
fn step(at: Point, circles: &[Circle], on_axis: bool) -> Point {
    let covariance = covariance(at, circles, on_axis);
    let (mut x, mut y) = (0.0, 0.0);
    for circle in circles {
        let unit = direction(circle.middle, at);
        let pull = (circle.radius - at.distance(circle.middle)) / circle.measured.powi(2);
        x += unit.x * pull;
        y += unit.y * pull;
    }
    Point::new(
        covariance.xx * x + covariance.xy * y,
        covariance.xy * x + covariance.yy * y,
    )
}

/// Covariance of a point's place from circles about fixed ones; in a direction that nothing holds, very large.
pub(super) fn covariance(at: Point, circles: &[Circle], on_axis: bool) -> Covariance {
    let (mut xx, mut xy, mut yy) = (1e-12, 0.0, 1e-12);
    for circle in circles {
        let unit = direction(circle.middle, at);
        let weight = circle.measured.powi(-2);
        xx += weight * unit.x * unit.x;
        xy += weight * unit.x * unit.y;
        yy += weight * unit.y * unit.y;
    }
    if on_axis {
        return Covariance {
            xx: 1.0 / xx,
            ..Covariance::default()
        };
    }
    let determinant = (xx * yy - xy * xy).max(1e-24);
    Covariance {
        xx: yy / determinant,
        xy: -xy / determinant,
        yy: xx / determinant,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn circle(x: f64, y: f64, radius: f64) -> Circle {
        Circle {
            middle: Point::new(x, y),
            radius,
            deviation: 3.0,
            measured: 3.0,
        }
    }

    /// Two distances, closed form: along = (c² + r² - s²) / 2c, across = ±sqrt(r² - along²).
    #[test]
    fn two_circles_meet_on_both_sides() {
        let places = meet(&circle(0.0, 0.0, 5.0), &circle(6.0, 0.0, 5.0));
        assert_eq!(places, [Point::new(3.0, 4.0), Point::new(3.0, -4.0)]);
    }

    #[test]
    fn circles_that_miss_each_other_give_the_place_between() {
        for (first, second, x) in [
            (circle(0.0, 0.0, 4.0), circle(10.0, 0.0, 4.0), 5.0),
            (circle(0.0, 0.0, 20.0), circle(10.0, 0.0, 4.0), 17.0),
            (circle(0.0, 0.0, 4.0), circle(10.0, 0.0, 20.0), -7.0),
        ] {
            assert_eq!(meet(&first, &second), [Point::new(x, 0.0)]);
        }
        assert!(meet(&circle(1.0, 1.0, 4.0), &circle(1.0, 1.0, 5.0)).is_empty());
    }

    #[test]
    fn one_wrong_distance_of_four_does_not_move_the_start() {
        let truth = Point::new(700.0, 900.0);
        let mut circles: Vec<Circle> =
            [(0.0, 0.0), (2000.0, 0.0), (2000.0, 1500.0), (100.0, 1800.0)]
                .map(|(x, y)| circle(x, y, truth.distance(Point::new(x, y))))
                .to_vec();
        circles[2].radius += 1000.0;
        let found = candidates(&circles, false, None);
        assert!(found[0].at.distance(truth) < 1e-3, "{found:?}");
    }
}
