//! Where boundaries run along each other, not merely touch, and rings cut at such places.

use super::curve::Curve;
use super::{Boundary, Ring, Segment};

/// How near two boundaries must be to run along each other, millimetres.
const ALONG: f64 = 1e-6;

/// A part of a segment, as shares of the way along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Where it begins, 0 at the least.
    pub from: f64,
    /// Where it ends, 1 at the most.
    pub to: f64,
}

impl Segment {
    /// The part of this segment that lies on `other`, if they share more than points.
    /// Which way the other runs does not matter. Where two arcs of one circle share two parts, the longer; none
    /// where they share less than 1e-5 mm, or where either segment has no length.
    ///
    /// ```
    /// use spile::shape::{Point, Segment};
    /// let level = |from: f64, to: f64| Segment::Line(Point::new(from, 0.0), Point::new(to, 0.0));
    /// let shared = level(0.0, 100.0).stretch_on(&level(150.0, 40.0)).expect("they overlap");
    /// assert_eq!((shared.from, shared.to), (0.4, 1.0));
    /// assert!(level(0.0, 100.0).stretch_on(&level(100.0, 200.0)).is_none());
    /// ```
    #[must_use]
    pub fn stretch_on(&self, other: &Self) -> Option<Stretch> {
        let (one, two) = (Curve::of(self)?, Curve::of(other)?);
        match (self, one, two) {
            (Self::Line(start, end), Curve::Line { .. }, Curve::Line { .. }) => {
                let on_one = |point| one.signed_distance(point).abs() < ALONG;
                if !(on_one(other.start()) && on_one(other.end())) {
                    return None;
                }
                let along = *end - *start;
                let share = |point| along.dot(point - *start) / along.dot(along);
                let (a, b) = (share(other.start()), share(other.end()));
                longer_than_a_point(a.min(b).max(0.0), a.max(b).min(1.0), self.length())
            }
            (
                Self::Arc(arc),
                Curve::Circle {
                    centre: a,
                    radius: r,
                },
                Curve::Circle {
                    centre: b,
                    radius: s,
                },
            ) => {
                if a.distance(b) > ALONG || (r - s).abs() > ALONG {
                    return None;
                }
                let Self::Arc(other) = other else { return None };
                let full = std::f64::consts::TAU;
                // Angle from this arc's start to where the other begins, the way this arc runs.
                let forward = if arc.sweep >= 0.0 { 1.0 } else { -1.0 };
                let other_begin = if (arc.sweep >= 0.0) == (other.sweep >= 0.0) {
                    other.start - other.centre
                } else {
                    other.end - other.centre
                };
                let begin = (forward * (other_begin.angle() - arc.start_angle())).rem_euclid(full);
                let size = arc.sweep.abs();
                // It may begin before this arc does: one turn earlier.
                [begin, begin - full]
                    .into_iter()
                    .filter_map(|begin| {
                        let end = begin + other.sweep.abs();
                        longer_than_a_point(
                            begin.max(0.0) / size,
                            end.min(size) / size,
                            self.length(),
                        )
                    })
                    .max_by(|one, two| (one.to - one.from).total_cmp(&(two.to - two.from)))
            }
            _ => None,
        }
    }
}

fn longer_than_a_point(from: f64, to: f64, length: f64) -> Option<Stretch> {
    ((to - from) * length > 10.0 * ALONG).then_some(Stretch { from, to })
}

/// A ring cut so that each of its segments lies either wholly on a given boundary or nowhere on it.
#[derive(Debug, Clone)]
pub struct CutRing {
    /// The ring, the same line with more joints.
    pub ring: Ring,
    /// For each segment, whether it lies on the boundary.
    pub on_boundary: Vec<bool>,
}

impl Ring {
    /// The ring cut where it comes to run along `boundary` and where it leaves it.
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// let rectangle = |x: [f64; 2], y: [f64; 2]| {
    ///     let corners = [[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]];
    ///     Ring::polygon(&corners.map(|[x, y]| Point::new(x, y)))
    /// };
    /// let square = rectangle([0.0, 100.0], [0.0, 100.0]);
    /// // It stands against the middle of the square's right side.
    /// let beside = Region::inside(rectangle([100.0, 200.0], [30.0, 60.0]));
    /// let cut = square.cut_along(&beside.boundary());
    /// assert_eq!(cut.on_boundary, [false, false, true, false, false, false]);
    /// assert!((cut.ring.segments()[2].length() - 30.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn cut_along(&self, boundary: &Boundary<'_>) -> CutRing {
        let mut segments = Vec::new();
        let mut on_boundary = Vec::new();
        for segment in self.segments() {
            let mut stretches: Vec<Stretch> = Vec::new();
            boundary.near(&segment.bounding_box().grown(ALONG), |index| {
                stretches.extend(segment.stretch_on(boundary.segments()[index]));
            });
            stretches.sort_by(|a, b| a.from.total_cmp(&b.from).then(a.to.total_cmp(&b.to)));
            let mut done = 0.0;
            let mut push = |from: f64, to: f64, on: bool| {
                if (to - from) * segment.length() > 10.0 * ALONG {
                    segments.push(if from == 0.0 && to == 1.0 {
                        *segment
                    } else {
                        segment.part(from, to)
                    });
                    on_boundary.push(on);
                }
            };
            for stretch in stretches {
                push(done, stretch.from, false);
                push(stretch.from.max(done), stretch.to, true);
                done = stretch.to.max(done);
            }
            push(done, 1.0, false);
        }
        CutRing {
            ring: Self::new(segments),
            on_boundary,
        }
    }
}
