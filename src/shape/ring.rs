//! A closed boundary of lines and arcs, with the figures that Green's theorem gives exactly: the area is
//! half the integral of x dy - y dx round the ring, its first moments those of x² dy / 2 and -y² dx / 2. For
//! lines that is the polygon's well-known sum; an arc adds the circular segment between it and its chord.

use super::{BoundingBox, Point, Segment};

/// A closed chain of segments: each begins where the one before ends, the last where the first begins.
///
/// A ring that bounds a [`Region`](super::Region) has the region on its left: outer rings run
/// counter-clockwise, rings of holes clockwise.
/// Whether the chain does close, and whether it crosses itself, is not checked here; see
/// [`self_crossing`](Self::self_crossing).
///
/// ```
/// use spile::shape::{Arc, Point, Ring, Segment};
/// use std::f64::consts::PI;
///
/// // Half a disc: an arc from east by north to west, and the line back.
/// let arc = Arc::about(Point::ORIGIN, 100.0, 0.0, PI);
/// let half = Ring::new(vec![Segment::Arc(arc), Segment::Line(arc.end, arc.start)]);
/// assert!((half.signed_area() - 5000.0 * PI).abs() < 1e-9);
/// assert!((half.length() - (100.0 * PI + 200.0)).abs() < 1e-9);
/// // Its centroid lies 4r/3π above the line.
/// let above = half.first_moment().y / half.signed_area();
/// assert!((above - 400.0 / (3.0 * PI)).abs() < 1e-9);
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ring {
    segments: Vec<Segment>,
}

impl Ring {
    /// A ring from segments that follow each other.
    #[must_use]
    pub const fn new(segments: Vec<Segment>) -> Self {
        Self { segments }
    }

    /// A ring of straight lines through `points`.
    /// The last is joined to the first. It runs the way the points do: clockwise points make the ring of a hole. No
    /// points make a ring without segments.
    ///
    /// ```
    /// use spile::shape::{Point, Ring};
    /// let corners = [[0.0, 0.0], [400.0, 0.0], [0.0, 300.0]];
    /// let triangle = Ring::polygon(&corners.map(|[x, y]| Point::new(x, y)));
    /// assert_eq!(triangle.signed_area(), 60_000.0);
    /// assert_eq!(triangle.length(), 1200.0);
    /// assert_eq!(triangle.reversed().signed_area(), -60_000.0);
    /// ```
    #[must_use]
    pub fn polygon(points: &[Point]) -> Self {
        let next = points.iter().cycle().skip(1);
        Self::new(
            points
                .iter()
                .zip(next)
                .map(|(a, b)| Segment::Line(*a, *b))
                .collect(),
        )
    }

    /// A full circle, counter-clockwise, as two half arcs.
    /// The radius is in millimetres and positive.
    ///
    /// ```
    /// use spile::shape::{Point, Ring};
    /// use std::f64::consts::PI;
    /// let circle = Ring::circle(Point::new(5000.0, -300.0), 100.0);
    /// assert!((circle.signed_area() - 10_000.0 * PI).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn circle(centre: Point, radius: f64) -> Self {
        let half = std::f64::consts::PI;
        let (east, west) = (
            centre + Point::new(radius, 0.0),
            centre - Point::new(radius, 0.0),
        );
        let arc = |start, end| {
            Segment::Arc(super::Arc {
                start,
                end,
                centre,
                radius,
                sweep: half,
            })
        };
        Self::new(vec![arc(east, west), arc(west, east)])
    }

    /// Its segments in order.
    #[must_use]
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Area enclosed in mm², positive where the ring runs counter-clockwise: Green's theorem with
    /// the circular segment r²(θ - sin θ)/2 added for each arc. What a ring that crosses itself winds round
    /// twice counts twice. Nothing for a ring without segments.
    #[must_use]
    pub fn signed_area(&self) -> f64 {
        let Some(first) = self.segments.first() else {
            return 0.0;
        };
        // About a point of the ring itself, so that a ring far from the origin loses nothing.
        let origin = first.start();
        self.segments
            .iter()
            .map(|segment| {
                let chord = (segment.start() - origin).cross(segment.end() - origin) / 2.0;
                match segment {
                    Segment::Line(..) => chord,
                    Segment::Arc(arc) => {
                        chord + arc.radius * arc.radius * sweep_less_sine(arc.sweep) / 2.0
                    }
                }
            })
            .sum()
    }

    /// Length of the boundary in millimetres.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.segments.iter().map(Segment::length).sum()
    }

    /// First moment of the area, mm³: the area-weighted position, summed by Green's theorem.
    #[must_use]
    pub fn first_moment(&self) -> Point {
        let Some(first) = self.segments.first() else {
            return Point::ORIGIN;
        };
        let origin = first.start();
        let mut moment = Point::ORIGIN;
        for segment in &self.segments {
            let (a, b) = (segment.start() - origin, segment.end() - origin);
            moment = moment + (a + b) * (a.cross(b) / 6.0);
            if let Segment::Arc(arc) = segment {
                // The circular segment between chord and arc: centroid at 4r sin³(θ/2) / 3(θ - sin θ)
                // from the centre, towards the middle of the arc.
                let area = arc.radius * arc.radius * sweep_less_sine(arc.sweep) / 2.0;
                let out = Point::at_angle(arc.start_angle() + arc.sweep / 2.0);
                let reach = 2.0 * arc.radius.powi(3) * (arc.sweep / 2.0).sin().powi(3) / 3.0;
                moment = moment + (arc.centre - origin) * area + out * reach;
            }
        }
        moment + origin * self.signed_area()
    }

    /// The ring travelled the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self::new(self.segments.iter().rev().map(Segment::reversed).collect())
    }

    /// The ring made to run counter-clockwise.
    #[must_use]
    pub fn counter_clockwise(self) -> Self {
        if self.signed_area() < 0.0 {
            self.reversed()
        } else {
            self
        }
    }

    /// Mirror image in the x axis; a counter-clockwise ring stays counter-clockwise.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self::new(
            self.segments
                .iter()
                .rev()
                .map(|segment| segment.mirrored().reversed())
                .collect(),
        )
    }

    /// The ring moved by a map that keeps distances and handedness.
    #[must_use]
    pub fn moved(&self, motion: &impl Fn(Point) -> Point) -> Self {
        Self::new(
            self.segments
                .iter()
                .map(|segment| segment.moved(motion))
                .collect(),
        )
    }

    /// The smallest box, sides along the axes, that holds it.
    #[must_use]
    pub fn bounding_box(&self) -> BoundingBox {
        self.segments
            .iter()
            .map(Segment::bounding_box)
            .fold(BoundingBox::EMPTY, |all, one| all.joined(&one))
    }
}

/// θ - sin θ without cancellation for small θ.
fn sweep_less_sine(sweep: f64) -> f64 {
    if sweep.abs() < 0.05 {
        let square = sweep * sweep;
        sweep * square / 6.0 * (1.0 - square / 20.0 * (1.0 - square / 42.0 * (1.0 - square / 72.0)))
    } else {
        sweep - sweep.sin()
    }
}
