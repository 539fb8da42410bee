//! Rational Bezier curves of any degree: parabolas and cubics, and with weights every conic exactly. Seen
//! aslant (mapped projectively) they are Bezier curves again, so nothing is lost before arcs are laid along
//! them. Comes in: control points with weights. Goes out: a [`Parametric`] curve.
//!
//! Definitions after G. Farin, "Curves and Surfaces for CAGD" (5th edition, 2002), chapters 5 and 13; from memory.

use std::f64::consts::FRAC_PI_2;

use super::{Parametric, Point, Transformation};

/// A control point in homogeneous coordinates: `at` is the point times its weight, so that a control point
/// at infinity (weight 0) or beyond the horizon of a view (weight negative) is nothing special.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Control {
    at: Point,
    weight: f64,
}

impl Control {
    fn towards(self, other: Self, share: f64) -> Self {
        Self {
            at: self.at * (1.0 - share) + other.at * share,
            weight: self.weight * (1.0 - share) + other.weight * share,
        }
    }

    fn place(self) -> Point {
        // A plain curve gives its points back bit for bit.
        if self.weight == 1.0 {
            self.at
        } else {
            self.at * (1.0 / self.weight)
        }
    }

    /// The way from this control point to another, times both weights.
    fn way_to(self, other: Self) -> Point {
        other.at * self.weight - self.at * other.weight
    }
}

/// A rational Bezier curve; its parameter runs from 0 to 1, and one beyond stands for that end. Its points
/// are finite throughout.
///
/// ```
/// use spile::shape::{Bezier, Point, Transformation, tangent_arcs};
/// // An ellipse of half axes 300 and 200: four rational parabolas, exactly.
/// let centre = Point::new(50.0, 0.0);
/// let (u, v) = (Point::new(300.0, 0.0), Point::new(0.0, 200.0));
/// let quarters = Bezier::ellipse(centre, u, v, 0.0, std::f64::consts::TAU);
/// assert_eq!(quarters.len(), 4);
/// for i in 0..=10 {
///     let off = quarters[1].point_at(f64::from(i) / 10.0) - centre;
///     assert!(((off.x / 300.0).powi(2) + (off.y / 200.0).powi(2) - 1.0).abs() < 1e-14);
/// }
/// // Pressed to a circle by an affine map, two arcs do for a quarter.
/// let pressed = quarters[0].mapped(&Transformation::scale(1.0, 1.5)).expect("finite");
/// assert!(tangent_arcs(&pressed, 0.0, 1.0, 0.01).len() <= 2);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Bezier {
    controls: Vec<Control>,
    /// Length of the polygon of its control points.
    pace: f64,
}

impl Bezier {
    /// The plain curve with these control points: its degree is one less than their number. None for fewer
    /// than two or where a number is not finite.
    #[must_use]
    pub fn new(points: &[Point]) -> Option<Self> {
        let control = |point: &Point| Control {
            at: *point,
            weight: 1.0,
        };
        Self::checked(points.iter().map(control).collect())
    }

    /// The curve with control points of given weights. None for fewer than two, for lists of different
    /// length, where a number is not finite, or where the curve itself goes through infinity.
    #[must_use]
    pub fn rational(points: &[Point], weights: &[f64]) -> Option<Self> {
        if points.len() != weights.len() {
            return None;
        }
        let control = |(point, weight): (&Point, &f64)| Control {
            at: *point * *weight,
            weight: *weight,
        };
        Self::checked(points.iter().zip(weights).map(control).collect())
    }

    /// The part of the ellipse `centre + u cos t + v sin t` that starts at t = `from` and sweeps `sweep` radians,
    /// as curves of at most a quarter turn each that share their ends bit for bit. Nothing where a
    /// number is not finite.
    #[must_use]
    pub fn ellipse(centre: Point, u: Point, v: Point, from: f64, sweep: f64) -> Vec<Self> {
        let on = |angle: f64| u * angle.cos() + v * angle.sin();
        let mut pieces = 1.0;
        while sweep.abs() > pieces * FRAC_PI_2 * (1.0 + 1e-12) && pieces < 1e3 {
            pieces += 1.0;
        }
        let step = sweep / pieces;
        let weight = (step / 2.0).cos();
        let mut found = Vec::new();
        let mut piece = 0.0;
        while piece < pieces {
            let middle = on(from + step * (piece + 0.5));
            let end = |at: f64| Control {
                at: centre + on(from + step * at),
                weight: 1.0,
            };
            let controls = vec![
                end(piece),
                Control {
                    at: centre * weight + middle,
                    weight,
                },
                end(piece + 1.0),
            ];
            found.extend(Self::checked(controls));
            piece += 1.0;
        }
        found
    }

    fn checked(controls: Vec<Control>) -> Option<Self> {
        let is_finite = controls.iter().all(|control| {
            [control.at.x, control.at.y, control.weight].map(f64::is_finite) == [true; 3]
        });
        let weights: Vec<f64> = controls.iter().map(|control| control.weight).collect();
        if controls.len() < 2 || !is_finite || !stays_positive(&weights, 0) {
            return None;
        }
        // Control points out of sight say nothing of the curve's length; those in sight do.
        let seen: Vec<Point> = controls
            .iter()
            .filter(|control| control.weight > 0.0)
            .map(|control| control.place())
            .collect();
        let pace = seen.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        f64::is_finite(pace).then_some(Self { controls, pace })
    }

    /// Its degree: 1 for a line, 2 for a parabola or a conic, 3 for a cubic.
    #[must_use]
    pub fn degree(&self) -> usize {
        self.controls.len() - 1
    }

    /// Where it begins.
    #[must_use]
    pub fn start(&self) -> Point {
        self.controls[0].place()
    }

    /// Where it ends.
    #[must_use]
    pub fn end(&self) -> Point {
        self.controls[self.degree()].place()
    }

    /// Its control points with their weights; a weight of 0 stands for a point at infinity, given as a direction.
    #[must_use]
    pub fn controls(&self) -> Vec<(Point, f64)> {
        let plain = |control: &Control| {
            let at = if control.weight == 0.0 {
                control.at
            } else {
                control.place()
            };
            (at, control.weight)
        };
        self.controls.iter().map(plain).collect()
    }

    /// The point at parameter `at`; at 0 and 1, the ends bit for bit.
    #[must_use]
    pub fn point_at(&self, at: f64) -> Point {
        bernstein(&self.controls, at.clamp(0.0, 1.0)).place()
    }

    /// First derivative at parameter `at`.
    #[must_use]
    pub fn velocity_at(&self, at: f64) -> Point {
        let at = at.clamp(0.0, 1.0);
        let here = bernstein(&self.controls, at);
        let steps: Vec<Control> = self
            .controls
            .windows(2)
            .map(|pair| Control {
                at: pair[1].at - pair[0].at,
                weight: pair[1].weight - pair[0].weight,
            })
            .collect();
        let change = bernstein(&steps, at);
        #[allow(clippy::cast_precision_loss, reason = "degrees are small")]
        let degree = self.degree() as f64;
        (change.at - here.place() * change.weight) * (degree / here.weight)
    }

    /// Unit vector of travel at parameter `at`. Where the velocity vanishes, as it does at an end whose control points coincide, the direction in
    /// which the curve goes on (at its end: in which it arrived).
    #[must_use]
    pub fn direction_at(&self, at: f64) -> Point {
        let velocity = self.velocity_at(at);
        let least = 1e-9 * self.pace;
        if velocity.length() > least {
            return velocity.unit();
        }
        let [before, after] = self.split(at);
        let far = |way: &Point| way.length() > least;
        if at < 1.0 {
            let here = after.controls[0];
            let mut ways = after.controls.iter().map(|next| here.way_to(*next));
            ways.find(far).unwrap_or_default().unit()
        } else {
            let here = before.controls[before.degree()];
            let mut ways = before.controls.iter().rev().map(|past| -here.way_to(*past));
            ways.find(far).unwrap_or_default().unit()
        }
    }

    /// Its two parts, before and after parameter `at`; they share that point bit for bit.
    #[must_use]
    pub fn split(&self, at: f64) -> [Self; 2] {
        let at = at.clamp(0.0, 1.0);
        let mut row = self.controls.clone();
        let (mut first, mut second) = (vec![row[0]], vec![row[self.degree()]]);
        while row.len() > 1 {
            row = row
                .windows(2)
                .map(|pair| pair[0].towards(pair[1], at))
                .collect();
            first.push(row[0]);
            second.push(row[row.len() - 1]);
        }
        second.reverse();
        [first, second].map(|controls| Self {
            controls,
            pace: self.pace,
        })
    }

    /// The same curve travelled the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let mut controls = self.controls.clone();
        controls.reverse();
        Self {
            controls,
            pace: self.pace,
        }
    }

    /// The same curve with its ends moved to these points (bit for bit where their weights are 1): for one that
    /// should join another and misses it by rounding.
    #[must_use]
    pub fn with_ends(mut self, start: Point, end: Point) -> Self {
        let last = self.degree();
        for (i, at) in [(0, start), (last, end)] {
            let control = &mut self.controls[i];
            if control.place() != at {
                control.at = at * control.weight;
            }
        }
        self
    }

    /// Its image, which is a Bezier curve of the same degree; none where part of it lies on the map's horizon
    /// or beyond.
    #[must_use]
    pub fn mapped(&self, map: &Transformation) -> Option<Self> {
        let [a, b, c] = map.rows;
        let image = |control: &Control| {
            let (at, weight) = (control.at, control.weight);
            let row = |row: [f64; 3]| row[0] * at.x + row[1] * at.y + row[2] * weight;
            Control {
                at: Point::new(row(a), row(b)),
                weight: row(c),
            }
        };
        Self::checked(self.controls.iter().map(image).collect())
    }
}

impl Parametric for Bezier {
    fn knots(&self) -> &[f64] {
        &[0.0, 1.0]
    }

    fn point_at(&self, at: f64) -> Point {
        self.point_at(at)
    }

    fn direction_at(&self, at: f64) -> Point {
        self.direction_at(at)
    }

    fn pace(&self) -> f64 {
        // A curve that is hardly more than a point is not worth a second chord.
        self.pace.max(1e-4)
    }
}

/// The sum of Bernstein polynomials times `controls`, by a scheme like Horner's. At 0 and 1 it is the first
/// and the last of them bit for bit.
fn bernstein(controls: &[Control], at: f64) -> Control {
    let back = 1.0 - at;
    let mut sum = Control {
        at: controls[0].at * back,
        weight: controls[0].weight * back,
    };
    let last = controls.len() - 1;
    if last == 0 {
        return controls[0];
    }
    let (mut power, mut binomial) = (1.0, 1.0);
    #[allow(clippy::cast_precision_loss, reason = "degrees are small")]
    for (i, control) in controls.iter().enumerate().take(last).skip(1) {
        power *= at;
        binomial *= (last - i + 1) as f64 / i as f64;
        let share = power * binomial;
        sum = Control {
            at: (sum.at + control.at * share) * back,
            weight: (sum.weight + control.weight * share) * back,
        };
    }
    power *= at;
    Control {
        at: sum.at + controls[last].at * power,
        weight: sum.weight + controls[last].weight * power,
    }
}

/// Whether a Bernstein sum of `weights` is positive from 0 to 1: plain where they all are, else halved until
/// it is.
fn stays_positive(weights: &[f64], depth: u32) -> bool {
    if weights.iter().all(|weight| *weight > 0.0) {
        return true;
    }
    let (Some(first), Some(last)) = (weights.first(), weights.last()) else {
        return false;
    };
    if *first <= 0.0 || *last <= 0.0 || depth > 30 {
        return false;
    }
    let mut row = weights.to_vec();
    let (mut left, mut right) = (vec![*first], vec![*last]);
    while row.len() > 1 {
        row = row
            .windows(2)
            .map(|pair| f64::midpoint(pair[0], pair[1]))
            .collect();
        left.push(row[0]);
        right.push(row[row.len() - 1]);
    }
    right.reverse();
    stays_positive(&left, depth + 1) && stays_positive(&right, depth + 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::{Fitted, Segment, tangent_arcs};

    fn points(list: &[[f64; 2]]) -> Vec<Point> {
        list.iter().map(|[x, y]| Point::new(*x, *y)).collect()
    }

    fn plain(list: &[[f64; 2]]) -> Bezier {
        Bezier::new(&points(list)).expect("a curve")
    }

    /// Largest distance between curve and arcs, each looked at densely from the other, and the largest
    /// break between neighbours.
    fn judged(curve: &Bezier, fitted: &[Fitted]) -> (f64, f64) {
        let segments: Vec<Segment> = fitted.iter().map(|piece| piece.segment).collect();
        let dense: Vec<Point> = (0..=20_000)
            .map(|i| curve.point_at(f64::from(i) / 20_000.0))
            .collect();
        let mut off = 0.0_f64;
        for piece in fitted {
            for i in 0..=2000 {
                let at = piece.from + (piece.to - piece.from) * f64::from(i) / 2000.0;
                let point = curve.point_at(at);
                off = off.max(match piece.segment {
                    Segment::Line(a, b) => (b - a).unit().cross(point - a).abs(),
                    Segment::Arc(arc) => (point.distance(arc.centre) - arc.radius).abs(),
                });
            }
            for i in 0..=50 {
                let point = piece.segment.point_at(f64::from(i) / 50.0);
                let near = dense.windows(2).map(|pair| {
                    let way = pair[1] - pair[0];
                    let share = way.dot(point - pair[0]) / way.dot(way).max(1e-300);
                    point.distance(pair[0].towards(pair[1], share.clamp(0.0, 1.0)))
                });
                off = off.max(near.fold(f64::INFINITY, f64::min));
            }
        }
        let breaks = segments.windows(2).map(|pair| {
            assert_eq!(pair[0].end(), pair[1].start());
            pair[0]
                .direction_at(1.0)
                .cross(pair[1].direction_at(0.0))
                .abs()
        });
        (off, breaks.fold(0.0, f64::max))
    }

    #[test]
    fn a_cubic_agrees_with_its_polynomial() {
        let curve = plain(&[[0.0, 0.0], [1.0, 2.0], [4.0, 2.0], [5.0, -1.0]]);
        for i in 0..=16 {
            let t = f64::from(i) / 16.0;
            // By hand: x = 3t + 6t² - 4t³, y = 6t - 6t² - t³.
            let there = Point::new(
                3.0 * t + 6.0 * t * t - 4.0 * t * t * t,
                6.0 * t - 6.0 * t * t - t * t * t,
            );
            let speed = Point::new(3.0 + 12.0 * t - 12.0 * t * t, 6.0 - 12.0 * t - 3.0 * t * t);
            assert!(curve.point_at(t).distance(there) < 1e-14);
            assert!(curve.velocity_at(t).distance(speed) < 1e-13);
        }
        assert_eq!(curve.point_at(1.0), Point::new(5.0, -1.0));
    }

    #[test]
    fn split_parts_lie_on_the_whole() {
        let curve = Bezier::rational(
            &points(&[[0.0, 0.0], [100.0, 300.0], [500.0, 300.0], [400.0, 0.0]]),
            &[1.0, 0.3, 2.0, 0.7],
        )
        .expect("a curve");
        let [before, after] = curve.split(0.3);
        assert_eq!(before.end(), after.start());
        for i in 0..=10 {
            let share = f64::from(i) / 10.0;
            assert!(before.point_at(share).distance(curve.point_at(0.3 * share)) < 1e-10);
            assert!(
                after
                    .point_at(share)
                    .distance(curve.point_at(0.3 + 0.7 * share))
                    < 1e-10
            );
            assert!(
                curve
                    .reversed()
                    .point_at(1.0 - share)
                    .distance(curve.point_at(share))
                    < 1e-10
            );
        }
    }

    #[test]
    fn seen_aslant_its_points_are_the_images_of_its_points() {
        let view = Transformation {
            rows: [[1.1, 0.2, 5.0], [-0.1, 0.8, 9.0], [2e-4, 9e-4, 1.0]],
        };
        let curve = plain(&[[0.0, 0.0], [100.0, 300.0], [500.0, 300.0], [400.0, 0.0]]);
        let image = curve.mapped(&view).expect("in sight");
        for i in 0..=20 {
            let at = f64::from(i) / 20.0;
            let there = view.apply(curve.point_at(at)).expect("in sight");
            assert!(image.point_at(at).distance(there) < 1e-11);
        }
    }

    #[test]
    fn a_curve_through_the_horizon_has_no_image_but_its_control_points_may_lie_beyond() {
        let view = Transformation {
            rows: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, -0.01, 1.0]],
        };
        // Its crown is at three quarters of the control points' height.
        assert!(
            plain(&[[0.0, 0.0], [0.0, 120.0], [90.0, 120.0], [90.0, 0.0]])
                .mapped(&view)
                .is_some()
        );
        assert!(
            plain(&[[0.0, 0.0], [0.0, 134.0], [90.0, 134.0], [90.0, 0.0]])
                .mapped(&view)
                .is_none()
        );
        assert!(plain(&[[0.0, 0.0], [90.0, 110.0]]).mapped(&view).is_none());
    }

    #[test]
    fn cubics_of_every_kind_become_arcs_within_a_hundredth() {
        for (kind, list) in [
            (
                "arch",
                [[0.0, 0.0], [0.0, 900.0], [2000.0, 900.0], [2000.0, 0.0]],
            ),
            (
                "wave",
                [[0.0, 0.0], [1500.0, 800.0], [500.0, -800.0], [2000.0, 0.0]],
            ),
            (
                "loop",
                [[0.0, 0.0], [3000.0, 900.0], [-1000.0, 900.0], [2000.0, 0.0]],
            ),
            (
                "doubled at the start",
                [[0.0, 0.0], [0.0, 0.0], [900.0, 900.0], [2000.0, 0.0]],
            ),
            (
                "doubled at the end",
                [[0.0, 0.0], [900.0, 900.0], [2000.0, 0.0], [2000.0, 0.0]],
            ),
            (
                "almost a cusp",
                [[0.0, 0.0], [2000.0, 1000.0], [1.0, 1000.0], [2000.0, 0.0]],
            ),
            ("small", [[0.0, 0.0], [0.1, 0.4], [0.9, 0.4], [1.0, 0.0]]),
        ] {
            let curve = plain(&list);
            let fitted = tangent_arcs(&curve, 0.0, 1.0, 0.01);
            let (off, turn) = judged(&curve, &fitted);
            assert!(off <= 0.01, "{kind}: {off}");
            assert!(turn < 1e-7, "{kind}: {turn}");
            assert!(fitted.len() < 100, "{kind}: {}", fitted.len());
            assert_eq!(fitted[0].segment.start(), curve.start());
            assert_eq!(fitted[fitted.len() - 1].segment.end(), curve.end());
        }
    }

    #[test]
    fn a_cusp_keeps_the_tolerance() {
        // The controls cross so that the velocity vanishes halfway: x' = y' = 0 at t = 1/2.
        let curve = plain(&[[0.0, 0.0], [1000.0, 600.0], [0.0, 600.0], [1000.0, 0.0]]);
        assert!(curve.velocity_at(0.5).length() < 1e-9);
        let fitted = tangent_arcs(&curve, 0.0, 1.0, 0.01);
        let (off, _) = judged(&curve, &fitted);
        assert!(off <= 0.01, "{off}");
        assert!(fitted.len() < 200, "{}", fitted.len());
    }

    #[test]
    fn a_straight_curve_is_one_line() {
        let curve = plain(&[[0.0, 0.0], [10.0, 20.0], [300.0, 600.0], [1000.0, 2000.0]]);
        let fitted = tangent_arcs(&curve, 0.0, 1.0, 0.01);
        assert_eq!(fitted.len(), 1);
        assert_eq!(fitted[0].segment, Segment::Line(curve.start(), curve.end()));
    }

    #[test]
    fn what_is_no_curve_is_refused() {
        assert!(Bezier::new(&points(&[[0.0, 0.0]])).is_none());
        assert!(Bezier::new(&points(&[[0.0, 0.0], [f64::NAN, 1.0]])).is_none());
        assert!(Bezier::new(&points(&[[-1e308, 0.0], [1e308, 0.0], [-1e308, 0.0]])).is_none());
        let three = points(&[[0.0, 0.0], [1.0, 1.0], [2.0, 0.0]]);
        assert!(Bezier::rational(&three, &[1.0, 1.0]).is_none());
        // The hyperbola's other branch lies between: the weight runs through 0.
        assert!(Bezier::rational(&three, &[1.0, -1.5, 1.0]).is_none());
        assert!(Bezier::rational(&three, &[1.0, -0.5, 1.0]).is_some());
    }
}
