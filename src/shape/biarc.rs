//! Arcs for curves: a curve replaced by circular arcs that run on into each other without a
//! break and never leave it by more than a tolerance. Comes in: a [`Parametric`] curve. Goes out: few segments,
//! each as long as the tolerance lets it be.
//!
//! Each piece is a line, where the curve is straight, or a biarc: two arcs that share a tangent where they
//! join and take the curve's own point and direction at both ends (K. M. Bolton, "Biarc curves",
//! Computer-Aided Design 7(2), 1975, pp. 89-92). Of the family
//! `v·v = 2 d₁ v·t₀ + 2 d₂ v·t₁ + 2 d₁d₂ (1 - t₀·t₁)`, v the chord, t the end directions, d the tangent lengths
//! (derived here: the two tangents' far ends are d₁ + d₂ apart), it is the one of equal lengths, or another
//! where that has a radius too great to draw.

use super::{Arc, Point, Segment, Spline};

/// A curve that can be asked for its point and its direction at every parameter of a range, smooth but for
/// the parameters it names: what [`tangent_arcs`] needs to know of it.
pub trait Parametric {
    /// The parameters between which it is smooth, rising: the ends of its range among them.
    fn knots(&self) -> &[f64];

    /// The point at parameter `at`.
    fn point_at(&self, at: f64) -> Point;

    /// Unit vector of travel at parameter `at`; the zero vector only where it has no direction.
    fn direction_at(&self, at: f64) -> Point;

    /// Roughly how many millimetres a parameter of 1 stands for.
    fn pace(&self) -> f64;

    /// Which span between knots (from 0) the parameter `at` lies in.
    fn span_at(&self, at: f64) -> usize {
        let knots = self.knots();
        let after = knots.partition_point(|knot| *knot <= at);
        after.clamp(1, knots.len() - 1) - 1
    }
}

impl Parametric for Spline {
    fn knots(&self) -> &[f64] {
        self.knots()
    }

    fn point_at(&self, at: f64) -> Point {
        self.point_at(at)
    }

    fn direction_at(&self, at: f64) -> Point {
        self.velocity_at(at).unit()
    }

    /// Its parameter is the running length of its chords.
    fn pace(&self) -> f64 {
        1.0
    }
}

/// A segment and the stretch of the curve it stands for, as parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// The line or arc.
    pub segment: Segment,
    /// Where on the curve it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

/// A piece nearer to its chord than this, millimetres, is a line.
const STRAIGHT: f64 = 1e-5;
/// ... if it also leaves and meets its neighbours with no greater break than this, radians.
const STRAIGHT_BREAK: f64 = 2e-8;
/// Arcs are sought with radii up to this, millimetres: a person cannot tell more from a line.
pub(super) const PREFERRED_RADIUS: f64 = 1e7;
/// Beyond this radius an arc's end points no longer agree with its centre to a nanometre or so.
const GREATEST_RADIUS: f64 = 1e9;
/// Ratios of the two arcs' tangent lengths tried where the equal one has too great a radius.
pub(super) const RATIOS: [f64; 5] = [1.0, 0.7, 1.4, 0.5, 2.0];

/// Replaces the stretch of `curve` between two parameters by tangent arcs (lines where it is straight)
/// within `tolerance` millimetres everywhere. They share their end points bit for bit; the first
/// and last are the curve's own.
/// A stretch of no length gives nothing. Only at a cusp, where the curve has no direction, a chord too short to
/// matter stands in.
///
/// ```
/// use spile::shape::{Point, Spline, tangent_arcs};
/// // A closed curve through 24 points of a circle of radius 1000 mm strays from it by about
/// // r θ⁴/384, θ the angle from point to point: 0.012 mm.
/// let points: Vec<Point> = (0..24)
///     .map(|i| Point::at_angle(f64::from(15 * i).to_radians()) * 1000.0)
///     .collect();
/// let curve = Spline::closed(&points).expect("a curve");
/// let arcs = tangent_arcs(&curve, 0.0, curve.last(), 0.05);
/// assert!(arcs.len() <= 24);
/// for pair in arcs.windows(2) {
///     let (one, next) = (pair[0].segment, pair[1].segment);
///     assert_eq!(one.end(), next.start());
///     assert!(one.direction_at(1.0).cross(next.direction_at(0.0)).abs() < 1e-7);
///     assert!((one.point_at(0.5).length() - 1000.0).abs() < 0.05 + 0.02);
/// }
/// ```
#[must_use]
pub fn tangent_arcs<C: Parametric>(curve: &C, from: f64, to: f64, tolerance: f64) -> Vec<Fitted> {
    let fit = Fit { curve, tolerance };
    let mut cuts = vec![from];
    let mut pieces: Vec<Piece> = Vec::new();
    let (mut at, mut step) = (from, to - from);
    while at < to {
        let (end, piece) = fit.longest(at, to, step);
        step = end - at;
        at = end;
        cuts.push(end);
        pieces.push(piece);
    }
    fit.share_out_the_last_two(&mut cuts, &mut pieces);
    pieces
        .iter()
        .zip(cuts.windows(2))
        .flat_map(|(piece, cut)| piece.fitted(curve, cut[0], cut[1]))
        .collect()
}

/// One step of the fit.
#[derive(Debug, Clone, Copy)]
enum Piece {
    Line(Point, Point),
    Biarc(Biarc),
}

/// Two arcs with a common tangent.
#[derive(Debug, Clone, Copy)]
pub(super) struct Biarc {
    pub(super) first: Segment,
    pub(super) second: Segment,
    pub(super) joint: Point,
    /// Direction of travel at the joint.
    pub(super) tangent: Point,
}

struct Fit<'a, C> {
    curve: &'a C,
    tolerance: f64,
}

impl<C: Parametric> Fit<'_, C> {
    /// The longest piece from `at` towards `to` that keeps the tolerance: galloping from the `guess`,
    /// then bisection.
    fn longest(&self, at: f64, to: f64, guess: f64) -> (f64, Piece) {
        let least = ((to - at) * 1e-6)
            .max(1e-4 / self.curve.pace())
            .min(to - at);
        let (mut low, mut best) = (at, None);
        let mut high = None;
        let mut reach = guess;
        loop {
            let end = (at + reach).min(to);
            match self.piece(at, end) {
                Some(piece) => {
                    (low, best) = (end, Some(piece));
                    if end >= to || high.is_some() {
                        break;
                    }
                    reach *= 1.6;
                }
                None => {
                    high = Some(end);
                    if best.is_some() || reach <= least {
                        break;
                    }
                    reach *= 0.6;
                }
            }
        }
        if let Some(mut high) = high.filter(|_| best.is_some()) {
            for _ in 0..10 {
                let middle = low + (high - low) / 2.0;
                match self.piece(at, middle) {
                    Some(piece) => (low, best) = (middle, Some(piece)),
                    None => high = middle,
                }
            }
        }
        let Some(found) = best else {
            // Only at a cusp, where the curve has no direction: a chord too short to matter.
            let end = if to - at <= 2.0 * least {
                to
            } else {
                at + least
            };
            return (
                end,
                Piece::Line(self.curve.point_at(at), self.curve.point_at(end)),
            );
        };
        self.tame(at, low, found)
    }

    /// A piece a little shorter or otherwise divided, where that spares a radius no one can draw.
    fn tame(&self, at: f64, end: f64, found: Piece) -> (f64, Piece) {
        if found.greatest_radius() <= PREFERRED_RADIUS {
            return (end, found);
        }
        for length in [1.0, 0.95, 0.9, 0.8, 0.7, 0.6, 0.5] {
            let shorter = if length < 1.0 {
                at + (end - at) * length
            } else {
                end
            };
            for ratio in RATIOS {
                if let Some(piece) = self.piece_of_ratio(at, shorter, ratio)
                    && piece.greatest_radius() <= PREFERRED_RADIUS
                {
                    return (shorter, piece);
                }
            }
        }
        (end, found)
    }

    /// A greedy fit leaves a stub at the end; the last two pieces share their stretch instead.
    fn share_out_the_last_two(&self, cuts: &mut [f64], pieces: &mut [Piece]) {
        let count = pieces.len();
        if count < 2 {
            return;
        }
        let (start, cut, end) = (cuts[count - 2], cuts[count - 1], cuts[count]);
        if end - cut >= (cut - start) / 2.0 {
            return;
        }
        let middle = start + (end - start) / 2.0;
        for tenth in 0..10 {
            let middle = middle + (cut - middle) * f64::from(tenth) / 10.0;
            if let (Some(first), Some(second)) =
                (self.piece(start, middle), self.piece(middle, end))
                && first.greatest_radius().max(second.greatest_radius()) <= PREFERRED_RADIUS
            {
                cuts[count - 1] = middle;
                pieces[count - 2] = first;
                pieces[count - 1] = second;
                return;
            }
        }
    }

    fn piece(&self, from: f64, to: f64) -> Option<Piece> {
        self.piece_of_ratio(from, to, 1.0)
    }

    /// The piece between two parameters, if it keeps the tolerance.
    fn piece_of_ratio(&self, from: f64, to: f64, ratio: f64) -> Option<Piece> {
        let (start, end) = (self.curve.point_at(from), self.curve.point_at(to));
        let leave = self.curve.direction_at(from);
        let meet = self.curve.direction_at(to);
        let chord = end - start;
        let along = chord.unit();
        if !(along.dot(leave) > 0.0 && along.dot(meet) > 0.0 && leave.dot(meet) > 0.0) {
            return None;
        }
        if along.cross(leave).abs() <= STRAIGHT_BREAK && along.cross(meet).abs() <= STRAIGHT_BREAK {
            let off = |point: Point| along.cross(point - start).abs();
            if self.keeps(from, to, 12, STRAIGHT, along, off) {
                return Some(Piece::Line(start, end));
            }
        }
        let biarc = Biarc::between(start, leave, end, meet, ratio)?;
        let off = |point: Point| biarc.distance(point);
        // Few samples throw out what is far off, many confirm; a share of the tolerance is kept for
        // what lies between them.
        (self.keeps(from, to, 6, 0.95 * self.tolerance, along, off)
            && self.keeps(from, to, 48, 0.95 * self.tolerance, along, off))
        .then_some(Piece::Biarc(biarc))
    }

    /// Whether the curve runs on along `along` and stays within `limit` between two parameters, looked
    /// at `samples` times in all and at least four times in every span.
    fn keeps(
        &self,
        from: f64,
        to: f64,
        samples: u32,
        limit: f64,
        along: Point,
        off: impl Fn(Point) -> f64,
    ) -> bool {
        let knots = self.curve.knots();
        let (first, last) = (self.curve.span_at(from), self.curve.span_at(to));
        (first..=last).all(|span| {
            let (a, b) = (knots[span].max(from), knots[span + 1].min(to));
            let share = (b - a) / (to - from);
            if share <= 0.0 {
                return true;
            }
            let mut count = 4;
            while f64::from(count) < f64::from(samples) * share {
                count += 1;
            }
            (0..=count).all(|i| {
                let at = a + (b - a) * f64::from(i) / f64::from(count);
                off(self.curve.point_at(at)) <= limit
                    && self.curve.direction_at(at).dot(along) > 0.0
            })
        })
    }
}

impl Piece {
    fn greatest_radius(&self) -> f64 {
        match self {
            Self::Line(..) => 0.0,
            Self::Biarc(biarc) => biarc.greatest_radius(),
        }
    }

    fn fitted(&self, curve: &impl Parametric, from: f64, to: f64) -> Vec<Fitted> {
        match self {
            Self::Line(start, end) => vec![Fitted {
                segment: Segment::Line(*start, *end),
                from,
                to,
            }],
            Self::Biarc(biarc) => {
                // Where the curve passes the joint.
                let (mut low, mut high) = (from, to);
                for _ in 0..40 {
                    let middle = low + (high - low) / 2.0;
                    if (curve.point_at(middle) - biarc.joint).dot(biarc.tangent) < 0.0 {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                vec![
                    Fitted {
                        segment: biarc.first,
                        from,
                        to: low,
                    },
                    Fitted {
                        segment: biarc.second,
                        from: low,
                        to,
                    },
                ]
            }
        }
    }
}

impl Biarc {
    /// The greater of its two radii; infinite where either is a line.
    pub(super) fn greatest_radius(&self) -> f64 {
        [self.first, self.second]
            .iter()
            .map(|segment| match segment {
                Segment::Arc(arc) => arc.radius,
                Segment::Line(..) => f64::INFINITY,
            })
            .fold(0.0, f64::max)
    }

    /// The biarc from `start` in direction `leave` to `end` in direction `meet` whose tangent lengths
    /// stand in `ratio`; none where the ends are too wild for one.
    pub(super) fn between(
        start: Point,
        leave: Point,
        end: Point,
        meet: Point,
        ratio: f64,
    ) -> Option<Self> {
        let chord = end - start;
        let bend = (leave - meet).dot(leave - meet) * ratio;
        let lean = ratio * chord.dot(leave) + chord.dot(meet);
        let square = chord.dot(chord);
        let second_length = square / (lean + (lean * lean + bend * square).sqrt());
        let first_length = ratio * second_length;
        if !(second_length > 0.0 && second_length.is_finite()) {
            return None;
        }
        let (out, back) = (start + leave * first_length, end - meet * second_length);
        let joint = out.towards(back, first_length / (first_length + second_length));
        Some(Self {
            first: leaving(start, leave, joint)?,
            second: leaving(end, -meet, joint)?.reversed(),
            joint,
            tangent: (back - out).unit(),
        })
    }

    fn distance(&self, point: Point) -> f64 {
        let segment = if (point - self.joint).dot(self.tangent) < 0.0 {
            &self.first
        } else {
            &self.second
        };
        match segment {
            Segment::Line(start, end) => (*end - *start).unit().cross(point - *start).abs(),
            Segment::Arc(arc) => (point.distance(arc.centre) - arc.radius).abs(),
        }
    }
}

/// The arc that leaves `start` in direction `leave` and ends at `end`; a line where its radius would
/// be out of all proportion; none where the two coincide.
fn leaving(start: Point, leave: Point, end: Point) -> Option<Segment> {
    let chord = end - start;
    let (across, along) = (leave.cross(chord), leave.dot(chord));
    if along <= 0.0 {
        return None;
    }
    let radius = chord.dot(chord) / (2.0 * across.abs());
    if radius.is_nan() || radius > GREATEST_RADIUS {
        return Some(Segment::Line(start, end));
    }
    // On the chord's perpendicular bisector, so that both ends are equally far from the centre.
    let centre = start.towards(end, 0.5) + chord.left() * (along / (2.0 * across));
    Some(Segment::Arc(Arc {
        start,
        end,
        centre,
        radius: (start.distance(centre) + end.distance(centre)) / 2.0,
        sweep: 2.0 * across.atan2(along),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::SplineEnd;

    fn table() -> Vec<Point> {
        // A launch of 11 m: full forward, long run aft.
        [
            [0.0, 0.0],
            [400.0, 610.0],
            [1000.0, 1080.0],
            [2000.0, 1490.0],
            [3000.0, 1680.0],
            [4000.0, 1750.0],
            [5000.0, 1770.0],
            [6500.0, 1745.0],
            [8000.0, 1660.0],
            [9500.0, 1500.0],
            [10500.0, 1340.0],
            [11000.0, 1230.0],
        ]
        .iter()
        .map(|[x, y]| Point::new(*x, *y))
        .collect()
    }

    /// Largest distance of the curve from its segments and largest break between neighbours.
    fn judged(curve: &Spline, fitted: &[Fitted]) -> (f64, f64) {
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
        }
        let mut turn = 0.0_f64;
        for pair in fitted.windows(2) {
            let (a, b) = (&pair[0].segment, &pair[1].segment);
            assert_eq!(a.end(), b.start());
            turn = turn.max(a.direction_at(1.0).cross(b.direction_at(0.0)).abs());
        }
        (off, turn)
    }

    #[test]
    fn twelve_points_become_tens_of_tangent_arcs() {
        for end in [SplineEnd::Free, SplineEnd::Mirrored] {
            let curve = Spline::through(&table(), end, SplineEnd::Free).expect("a curve");
            let fitted = tangent_arcs(&curve, 0.0, curve.last(), 0.01);
            let (off, turn) = judged(&curve, &fitted);
            assert!(fitted.len() < 100, "{}", fitted.len());
            assert!(off <= 0.01, "{off}");
            assert!(turn < 1e-9, "{turn}");
            for piece in &fitted {
                if let Segment::Arc(arc) = piece.segment {
                    for end in [arc.start, arc.end] {
                        let gap = (end.distance(arc.centre) - arc.radius).abs();
                        assert!(gap <= 1e-15 * arc.radius + 1e-11, "{gap}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_straight_run_is_one_line() {
        let points: Vec<Point> = (0..9)
            .map(|i| Point::new(100.0, 50.0).towards(Point::new(1700.0, 850.0), f64::from(i) / 8.0))
            .collect();
        let curve = Spline::through(&points, SplineEnd::Free, SplineEnd::Free).expect("a curve");
        let fitted = tangent_arcs(&curve, 0.0, curve.last(), 0.01);
        assert_eq!(fitted.len(), 1);
        assert_eq!(fitted[0].segment, Segment::Line(points[0], points[8]));
    }

    #[test]
    fn a_flat_bump_and_a_tight_turn_keep_the_tolerance() {
        for list in [
            vec![[0.0, 0.0], [1000.0, 0.02], [2000.0, 0.0], [3000.0, 0.1]],
            vec![[0.0, 0.0], [100.0, 0.0], [100.0, 1.0], [0.0, 1.0]],
            vec![[0.0, 0.0], [1.0, 300.0], [2.0, 0.0], [3.0, 300.0]],
        ] {
            let points: Vec<Point> = list.iter().map(|[x, y]| Point::new(*x, *y)).collect();
            let curve =
                Spline::through(&points, SplineEnd::Free, SplineEnd::Free).expect("a curve");
            let fitted = tangent_arcs(&curve, 0.0, curve.last(), 0.01);
            let (off, turn) = judged(&curve, &fitted);
            assert!(off <= 0.01, "{off}");
            assert!(turn < 1e-7, "{turn}");
        }
    }
}
