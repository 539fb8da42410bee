//! Least distances between segments and between boundaries, with the two points they are found at:
//! every pair of nearest points is an end and its nearest point, or a common normal.

use super::{Arc, Point, Region, Segment};
use crate::units::Length;

/// Two points and the distance between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// The distance.
    pub distance: Length,
    /// On the first shape.
    pub here: Point,
    /// On the second.
    pub there: Point,
}

impl Nearest {
    pub(super) fn between(here: Point, there: Point) -> Self {
        Self {
            distance: Length::mm(here.distance(there)),
            here,
            there,
        }
    }
}

/// The nearer of two.
fn nearer(a: Nearest, b: Nearest) -> Nearest {
    if b.distance < a.distance { b } else { a }
}

impl Segment {
    /// The point of the segment nearest to `point`.
    /// From the centre of an arc, where all its points are as near, one of its ends.
    #[must_use]
    pub fn nearest_point(&self, point: Point) -> Point {
        match self {
            Self::Line(start, end) => {
                let along = *end - *start;
                let square = along.dot(along);
                if square == 0.0 {
                    return *start;
                }
                let share = (along.dot(point - *start) / square).clamp(0.0, 1.0);
                start.towards(*end, share)
            }
            Self::Arc(arc) => {
                let out = point - arc.centre;
                if out.length() > 0.0 && arc.covers_angle(out.angle()) {
                    return arc.centre + out.unit() * arc.radius;
                }
                if point.distance(arc.start) <= point.distance(arc.end) {
                    arc.start
                } else {
                    arc.end
                }
            }
        }
    }

    /// The nearest points of two segments.
    /// Where they meet the distance is nothing. Of several pairs equally near, one.
    #[must_use]
    pub fn nearest(&self, other: &Self) -> Nearest {
        let ends = [
            Nearest::between(self.start(), other.nearest_point(self.start())),
            Nearest::between(self.end(), other.nearest_point(self.end())),
            Nearest::between(self.nearest_point(other.start()), other.start()),
            Nearest::between(self.nearest_point(other.end()), other.end()),
        ];
        let best = ends.into_iter().reduce(nearer).unwrap_or(ends[0]);
        let inner = match (self, other) {
            (Self::Line(..), Self::Line(..)) => None,
            (Self::Line(..), Self::Arc(arc)) => line_to_arc(self, arc),
            (Self::Arc(arc), Self::Line(..)) => line_to_arc(other, arc).map(|found| Nearest {
                here: found.there,
                there: found.here,
                ..found
            }),
            (Self::Arc(a), Self::Arc(b)) => arc_to_arc(a, b),
        };
        let crossing = self
            .crossings(other)
            .first()
            .map(|at| Nearest::between(*at, *at));
        [inner, crossing].into_iter().flatten().fold(best, nearer)
    }

    /// Where two segments cross or touch; nothing where they lie on each other.
    /// An end on the other segment counts. For touches that rounding leaves a hair apart there is
    /// [`meetings`](super::meetings).
    #[must_use]
    pub fn crossings(&self, other: &Self) -> Vec<Point> {
        use super::curve::{Curve, Meeting};
        let (Some(a), Some(b)) = (Curve::of(self), Curve::of(other)) else {
            return Vec::new();
        };
        let found = match a.meet(&b, 0.0) {
            Meeting::Nowhere => Vec::new(),
            Meeting::Touch { at, .. } => vec![at],
            Meeting::Cross { at: [one, two], .. } if one == two => vec![one],
            Meeting::Cross { at, .. } => at.to_vec(),
        };
        found
            .into_iter()
            .filter(|at| self.passes(*at) && other.passes(*at))
            .collect()
    }

    /// Whether a point of the segment's curve lies on the segment itself.
    fn passes(&self, point: Point) -> bool {
        match self {
            Self::Line(start, end) => {
                let along = *end - *start;
                let share = along.dot(point - *start) / along.dot(along);
                (-1e-12..=1.0 + 1e-12).contains(&share)
            }
            Self::Arc(arc) => arc.covers_angle((point - arc.centre).angle()),
        }
    }
}

/// The common normal of a line and an arc: the foot of the centre, and the arc's point that faces it.
fn line_to_arc(line: &Segment, arc: &Arc) -> Option<Nearest> {
    let foot = line.nearest_point(arc.centre);
    let out = foot - arc.centre;
    (out.length() > 0.0 && arc.covers_angle(out.angle()))
        .then(|| Nearest::between(foot, arc.centre + out.unit() * arc.radius))
}

/// The common normals of two arcs lie on the line through their centres.
fn arc_to_arc(a: &Arc, b: &Arc) -> Option<Nearest> {
    let along = (b.centre - a.centre).unit();
    if along == Point::ORIGIN {
        return None;
    }
    let mut best: Option<Nearest> = None;
    for (side_a, side_b) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
        let (u, v) = (along * side_a, along * side_b);
        if a.covers_angle(u.angle()) && b.covers_angle(v.angle()) {
            let found = Nearest::between(a.centre + u * a.radius, b.centre + v * b.radius);
            best = Some(best.map_or(found, |known| nearer(known, found)));
        }
    }
    best
}

impl Region {
    /// The nearest points of the two boundaries; none where either has none.
    /// It looks at boundaries alone: of a disc and a smaller one inside it, the distance between the two circles.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// let disc = |x: f64, radius: f64| Region::inside(Ring::circle(Point::new(x, 0.0), radius));
    /// let near = disc(0.0, 100.0).nearest_boundary(&disc(500.0, 150.0)).expect("both have a boundary");
    /// assert!((near.distance.to_mm() - 250.0).abs() < 1e-9);
    /// assert!(near.here.distance(Point::new(100.0, 0.0)) < 1e-9);
    /// assert!(disc(0.0, 100.0).nearest_boundary(&Region::default()).is_none());
    /// ```
    #[must_use]
    pub fn nearest_boundary(&self, other: &Self) -> Option<Nearest> {
        other.boundary().nearest_to(self)
    }

    /// Distance from `point` to the boundary; infinite where there is none.
    #[must_use]
    pub fn boundary_distance(&self, point: Point) -> Length {
        let least = self
            .segments()
            .map(|segment| segment.nearest_point(point).distance(point))
            .fold(f64::INFINITY, f64::min);
        Length::mm(least)
    }
}
