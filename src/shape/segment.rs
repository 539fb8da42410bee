//! A piece of boundary: a straight line or a circular arc, both exact. Nothing here is a polygon.

use super::{BoundingBox, Point};

/// A circular arc that runs from `start` to `end` about `centre`.
/// The fields say one thing twice over: the constructors keep them in step, code that fills them itself must.
///
/// ```
/// use spile::shape::{Arc, Point};
/// use std::f64::consts::PI;
///
/// let quarter = Arc::about(Point::ORIGIN, 100.0, 0.0, PI / 2.0);
/// assert!(quarter.end.distance(Point::new(0.0, 100.0)) < 1e-9);
///
/// // The other three quarters of the circle, clockwise.
/// let rest = Arc::between(quarter.start, quarter.end, Point::ORIGIN, false);
/// assert!((rest.sweep + 1.5 * PI).abs() < 1e-12);
///
/// let three = [[0.0, 0.0], [50.0, 50.0], [100.0, 0.0]].map(|[x, y]| Point::new(x, y));
/// let over = Arc::through(three[0], three[1], three[2]).expect("not on one line");
/// assert!(over.centre.distance(Point::new(50.0, 0.0)) < 1e-9 && over.sweep < 0.0);
/// assert!(Arc::through(three[0], Point::new(40.0, 0.0), three[2]).is_none());
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// Where the arc begins.
    pub start: Point,
    /// Where it ends.
    pub end: Point,
    /// Centre of its circle.
    pub centre: Point,
    /// Radius in millimetres, positive.
    pub radius: f64,
    /// Angle swept in radians, positive counter-clockwise; its size is at most 2π.
    pub sweep: f64,
}

impl Arc {
    /// The arc of the circle about `centre` that starts at angle `from` (radians) and sweeps `sweep`.
    #[must_use]
    pub fn about(centre: Point, radius: f64, from: f64, sweep: f64) -> Self {
        Self {
            start: centre + Point::at_angle(from) * radius,
            end: centre + Point::at_angle(from + sweep) * radius,
            centre,
            radius,
            sweep,
        }
    }

    /// The arc from `start` to `end` on the circle about `centre`, the way round that `left` says:
    /// counter-clockwise (its centre on its left) or clockwise. Sweeps less than a full turn. Where the two
    /// lie at different distances from the centre the radius is the mean of both, and the ends stay.
    #[must_use]
    pub fn between(start: Point, end: Point, centre: Point, left: bool) -> Self {
        let (u, v) = (start - centre, end - centre);
        let turn = u.cross(v).atan2(u.dot(v));
        let full = std::f64::consts::TAU;
        let sweep = match (left, turn >= 0.0) {
            (true, true) | (false, false) => turn,
            (true, false) => turn + full,
            (false, true) => turn - full,
        };
        Self {
            start,
            end,
            centre,
            radius: (u.length() + v.length()) / 2.0,
            sweep,
        }
    }

    /// The arc from `start` through `through` to `end`; none where the three lie on one line, to within
    /// a billionth of its length.
    #[must_use]
    pub fn through(start: Point, through: Point, end: Point) -> Option<Self> {
        let (u, v) = (through - start, end - start);
        let area2 = u.cross(v);
        let scale = u.length().max(v.length());
        if area2.abs() <= 1e-9 * scale * scale {
            return None;
        }
        let (uu, vv) = (u.dot(u), v.dot(v));
        let centre =
            start + Point::new(v.y * uu - u.y * vv, u.x * vv - v.x * uu) * (1.0 / (2.0 * area2));
        Some(Self::between(start, end, centre, area2 > 0.0))
    }

    /// Angle of the radius to `start`, radians.
    #[must_use]
    pub fn start_angle(&self) -> f64 {
        (self.start - self.centre).angle()
    }

    /// Whether the direction `angle` (radians) from the centre meets the arc.
    #[must_use]
    pub fn covers_angle(&self, angle: f64) -> bool {
        self.share_at_angle(angle).is_some()
    }

    /// How far along the arc (0 to 1) the direction `angle` lies; none off the arc.
    #[must_use]
    pub fn share_at_angle(&self, angle: f64) -> Option<f64> {
        let full = std::f64::consts::TAU;
        let turn = if self.sweep >= 0.0 {
            (angle - self.start_angle()).rem_euclid(full)
        } else {
            (self.start_angle() - angle).rem_euclid(full)
        };
        let size = self.sweep.abs();
        // A direction a hair before the start is the start.
        let slack = 1e-9;
        if turn <= size + slack {
            Some((turn / size).min(1.0))
        } else if turn >= full - slack {
            Some(0.0)
        } else {
            None
        }
    }
}

/// A straight line or a circular arc, directed.
/// One without length (its ends in one point) has no direction; the operations on regions leave it out.
///
/// ```
/// use spile::shape::{Arc, Point, Segment};
/// use std::f64::consts::PI;
///
/// let half = Segment::Arc(Arc::about(Point::ORIGIN, 100.0, 0.0, PI));
/// assert!((half.length() - 100.0 * PI).abs() < 1e-9);
/// assert!(half.point_at(0.5).distance(Point::new(0.0, 100.0)) < 1e-9);
/// assert!(half.direction_at(0.5).distance(Point::new(-1.0, 0.0)) < 1e-12);
/// assert!((half.part(0.25, 0.5).length() - 25.0 * PI).abs() < 1e-9);
/// // Its box reaches to the crown, which neither end says.
/// assert!((half.bounding_box().height() - 100.0).abs() < 1e-9);
///
/// let line = Segment::Line(Point::new(-200.0, 60.0), Point::new(200.0, 60.0));
/// let met = half.crossings(&line);
/// assert_eq!(met.len(), 2);
/// assert!(met.iter().all(|at| (at.x.abs() - 80.0).abs() < 1e-9));
///
/// let above = Segment::Line(Point::new(-200.0, 130.0), Point::new(200.0, 130.0));
/// let near = half.nearest(&above);
/// assert!((near.distance.to_mm() - 30.0).abs() < 1e-9);
/// assert!(near.there.distance(Point::new(0.0, 130.0)) < 1e-9);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// A straight line from the first point to the second.
    Line(Point, Point),
    /// A circular arc.
    Arc(Arc),
}

impl Segment {
    /// Where it begins.
    #[must_use]
    pub const fn start(&self) -> Point {
        match self {
            Self::Line(start, _) => *start,
            Self::Arc(arc) => arc.start,
        }
    }

    /// Where it ends.
    #[must_use]
    pub const fn end(&self) -> Point {
        match self {
            Self::Line(_, end) => *end,
            Self::Arc(arc) => arc.end,
        }
    }

    /// Length in millimetres: the chord, or radius times angle.
    #[must_use]
    pub fn length(&self) -> f64 {
        match self {
            Self::Line(start, end) => start.distance(*end),
            Self::Arc(arc) => arc.radius * arc.sweep.abs(),
        }
    }

    /// The point `share` (0 to 1) of the way along.
    #[must_use]
    pub fn point_at(&self, share: f64) -> Point {
        match self {
            Self::Line(start, end) => start.towards(*end, share),
            Self::Arc(arc) => {
                if share == 0.0 {
                    arc.start
                } else if share == 1.0 {
                    arc.end
                } else {
                    arc.centre + Point::at_angle(arc.start_angle() + arc.sweep * share) * arc.radius
                }
            }
        }
    }

    /// Unit vector of travel `share` of the way along; the zero vector for a line without length.
    #[must_use]
    pub fn direction_at(&self, share: f64) -> Point {
        match self {
            Self::Line(start, end) => (*end - *start).unit(),
            Self::Arc(arc) => {
                let out = if share == 0.0 {
                    (arc.start - arc.centre).unit()
                } else if share == 1.0 {
                    (arc.end - arc.centre).unit()
                } else {
                    Point::at_angle(arc.start_angle() + arc.sweep * share)
                };
                if arc.sweep >= 0.0 {
                    out.left()
                } else {
                    -out.left()
                }
            }
        }
    }

    /// The same piece travelled the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match self {
            Self::Line(start, end) => Self::Line(*end, *start),
            Self::Arc(arc) => Self::Arc(Arc {
                start: arc.end,
                end: arc.start,
                sweep: -arc.sweep,
                ..*arc
            }),
        }
    }

    /// Mirror image in the x axis, travelled the same way (so what lay on the left lies on the right).
    #[must_use]
    pub fn mirrored(&self) -> Self {
        match self {
            Self::Line(start, end) => Self::Line(start.mirrored(), end.mirrored()),
            Self::Arc(arc) => Self::Arc(Arc {
                start: arc.start.mirrored(),
                end: arc.end.mirrored(),
                centre: arc.centre.mirrored(),
                radius: arc.radius,
                sweep: -arc.sweep,
            }),
        }
    }

    /// The piece moved by a map that keeps distances and handedness.
    #[must_use]
    pub fn moved(&self, motion: &impl Fn(Point) -> Point) -> Self {
        match self {
            Self::Line(start, end) => Self::Line(motion(*start), motion(*end)),
            Self::Arc(arc) => Self::Arc(Arc {
                start: motion(arc.start),
                end: motion(arc.end),
                centre: motion(arc.centre),
                ..*arc
            }),
        }
    }

    /// The part between two shares of the way along, `from` before `to`. An arc's part keeps its centre and
    /// radius bit for bit; at 0 and 1 the ends are the segment's own.
    #[must_use]
    pub fn part(&self, from: f64, to: f64) -> Self {
        let (start, end) = (self.point_at(from), self.point_at(to));
        match self {
            Self::Line(..) => Self::Line(start, end),
            Self::Arc(arc) => Self::Arc(Arc {
                start,
                end,
                sweep: arc.sweep * (to - from),
                ..*arc
            }),
        }
    }

    /// The smallest box, sides along the axes, that holds it.
    #[must_use]
    pub fn bounding_box(&self) -> BoundingBox {
        let mut bounds = BoundingBox::of_points([self.start(), self.end()]);
        if let Self::Arc(arc) = self {
            let (u, v) = (arc.start - arc.centre, arc.end - arc.centre);
            let turn = arc.sweep.signum();
            let beyond_half = arc.sweep.abs() > std::f64::consts::PI;
            for axis in [Point::new(1.0, 0.0), Point::new(0.0, 1.0)] {
                for out in [axis, -axis] {
                    // Between the two radii: after the first and before the last, or not between them
                    // the short way where the arc goes the long way.
                    let (after, before) = (u.cross(out) * turn, out.cross(v) * turn);
                    let passes = if beyond_half {
                        after >= 0.0 || before >= 0.0
                    } else {
                        after >= 0.0 && before >= 0.0
                    };
                    if passes {
                        bounds.include(arc.centre + out * arc.radius);
                    }
                }
            }
        }
        bounds
    }
}
