//! A deck to try the engines on: its measures, as anybody could write them down, and the exact rings
//! that they stand for.

use serde::{Deserialize, Serialize};
use spile::shape::{Arc, Point, Ring, Segment};

/// A deck and the pattern wanted on it. All lengths in millimetres.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Deck {
    /// Least distance of the pattern from the outline.
    pub margin: f64,
    /// Radius of the disc that the pattern is opened with.
    pub round: f64,
    /// Radius of the disc that it is then closed with.
    pub hollow: f64,
    /// The deck's edge.
    pub outline: Shape,
    /// What the pattern keeps clear of.
    #[serde(default)]
    pub obstacles: Vec<Obstacle>,
    /// Straight bands without pattern, from edge to edge.
    #[serde(default)]
    pub strips: Vec<Strip>,
}

/// Something that the pattern keeps clear of.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Obstacle {
    /// Least distance of the pattern from it.
    pub margin: f64,
    /// Its footprint.
    pub shape: Shape,
}

/// A straight band, along x or y, that runs past the deck at both ends.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Strip {
    /// Whether it runs along y, its middle at one x; else along x.
    pub across: bool,
    /// Its middle.
    pub at: f64,
    /// Its width.
    pub width: f64,
}

/// A simple closed shape.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Shape {
    /// A disc about a centre.
    Disc {
        /// Centre.
        x: f64,
        /// Centre.
        y: f64,
        /// Its radius.
        radius: f64,
    },
    /// A rectangle from its least corner; corners rounded where `radius` is above 0.
    Rectangle {
        /// Least x.
        x: f64,
        /// Least y.
        y: f64,
        /// Extent along x.
        width: f64,
        /// Extent along y.
        height: f64,
        /// Radius of its corners.
        radius: f64,
    },
    /// A rectangle from the origin without its far corner; the inward corner rounded where `radius` is
    /// above 0.
    Ell {
        /// Extent along x.
        width: f64,
        /// Extent along y.
        height: f64,
        /// What is missing, along x.
        notch_width: f64,
        /// What is missing, along y.
        notch_height: f64,
        /// Radius of the inward corner.
        radius: f64,
    },
    /// A rectangle from the origin, both corners at its far end cut off.
    Chamfered {
        /// Extent along x.
        width: f64,
        /// Extent along y.
        height: f64,
        /// What is cut off, along x.
        cut_along: f64,
        /// What is cut off, along y.
        cut_across: f64,
    },
    /// A hull: two arcs from a point at the origin to the shoulders, tangent to straight sides there,
    /// and a straight end.
    Hull {
        /// Whole length.
        length: f64,
        /// Where the sides become straight.
        shoulder: f64,
        /// Half the breadth.
        half_breadth: f64,
    },
}

impl Shape {
    /// Its boundary, counter-clockwise, of exact lines and arcs.
    #[must_use]
    pub fn ring(&self) -> Ring {
        match *self {
            Self::Disc { x, y, radius } => Ring::circle(Point::new(x, y), radius),
            Self::Rectangle {
                x,
                y,
                width,
                height,
                radius,
            } => rounded_rectangle(x, y, width, height, radius),
            Self::Ell {
                width,
                height,
                notch_width,
                notch_height,
                radius,
            } => ell(width, height, notch_width, notch_height, radius),
            Self::Chamfered {
                width: w,
                height: h,
                cut_along,
                cut_across,
            } => Ring::polygon(&[
                Point::new(0.0, 0.0),
                Point::new(w - cut_along, 0.0),
                Point::new(w, cut_across),
                Point::new(w, h - cut_across),
                Point::new(w - cut_along, h),
                Point::new(0.0, h),
            ]),
            Self::Hull {
                length,
                shoulder,
                half_breadth,
            } => hull(length, shoulder, half_breadth),
        }
    }

    /// The shape with every measure passed through `change`, in a fixed order.
    pub fn measures_mut(&mut self, change: &mut impl FnMut(&mut f64)) {
        match self {
            Self::Disc { x, y, radius } => [x, y, radius].into_iter().for_each(change),
            Self::Rectangle {
                x,
                y,
                width,
                height,
                radius,
            } => [x, y, width, height, radius].into_iter().for_each(change),
            Self::Ell {
                width,
                height,
                notch_width,
                notch_height,
                radius,
            } => [width, height, notch_width, notch_height, radius]
                .into_iter()
                .for_each(change),
            Self::Chamfered {
                width,
                height,
                cut_along,
                cut_across,
            } => [width, height, cut_along, cut_across]
                .into_iter()
                .for_each(change),
            Self::Hull {
                length,
                shoulder,
                half_breadth,
            } => [length, shoulder, half_breadth]
                .into_iter()
                .for_each(change),
        }
    }
}

impl Strip {
    /// The band as a rectangle.
    #[must_use]
    pub fn ring(&self) -> Ring {
        /// Further out than any deck here reaches, millimetres.
        const FAR: f64 = 10_000.0;
        let half = self.width / 2.0;
        let (low, high) = (self.at - half, self.at + half);
        let (least, greatest) = if self.across {
            (Point::new(low, -FAR), Point::new(high, FAR))
        } else {
            (Point::new(-FAR, low), Point::new(FAR, high))
        };
        Ring::polygon(&[
            least,
            Point::new(greatest.x, least.y),
            greatest,
            Point::new(least.x, greatest.y),
        ])
    }
}

impl Deck {
    /// The same deck with every keep-off `margin` wider and both radii greater by `round` and `hollow`
    /// (any of them may be negative). What is 0 stays 0: there is nothing to mismeasure.
    #[must_use]
    pub fn varied(&self, margin: f64, round: f64, hollow: f64) -> Self {
        let vary = |value: f64, by: f64| {
            if value > 0.0 {
                (value + by).max(0.0)
            } else {
                value
            }
        };
        let mut deck = self.clone();
        deck.margin = (self.margin + margin).max(0.0);
        for obstacle in &mut deck.obstacles {
            obstacle.margin = (obstacle.margin + margin).max(0.0);
        }
        for strip in &mut deck.strips {
            strip.width = (strip.width + 2.0 * margin).max(0.0);
        }
        deck.round = vary(self.round, round);
        deck.hollow = vary(self.hollow, hollow);
        deck
    }
}

fn rounded_rectangle(x: f64, y: f64, width: f64, height: f64, radius: f64) -> Ring {
    let (right, top) = (x + width, y + height);
    if radius <= 0.0 {
        return Ring::polygon(&[
            Point::new(x, y),
            Point::new(right, y),
            Point::new(right, top),
            Point::new(x, top),
        ]);
    }
    // Each corner's centre with the points where its arc begins and ends.
    let r = radius;
    let corners = [
        (right - r, y + r, right - r, y, right, y + r),
        (right - r, top - r, right, top - r, right - r, top),
        (x + r, top - r, x + r, top, x, top - r),
        (x + r, y + r, x, y + r, x + r, y),
    ];
    let mut segments = Vec::with_capacity(8);
    let mut at = Point::new(x + r, y);
    for (cx, cy, from_x, from_y, to_x, to_y) in corners {
        let (from, to) = (Point::new(from_x, from_y), Point::new(to_x, to_y));
        if at != from {
            segments.push(Segment::Line(at, from));
        }
        segments.push(Segment::Arc(Arc {
            start: from,
            end: to,
            centre: Point::new(cx, cy),
            radius,
            sweep: std::f64::consts::FRAC_PI_2,
        }));
        at = to;
    }
    Ring::new(segments)
}

fn ell(width: f64, height: f64, notch_width: f64, notch_height: f64, radius: f64) -> Ring {
    let (inner_x, inner_y) = (width - notch_width, height - notch_height);
    let point = Point::new;
    if radius <= 0.0 {
        return Ring::polygon(&[
            point(0.0, 0.0),
            point(width, 0.0),
            point(width, inner_y),
            point(inner_x, inner_y),
            point(inner_x, height),
            point(0.0, height),
        ]);
    }
    let (from, to) = (
        point(inner_x + radius, inner_y),
        point(inner_x, inner_y + radius),
    );
    Ring::new(vec![
        Segment::Line(point(0.0, 0.0), point(width, 0.0)),
        Segment::Line(point(width, 0.0), point(width, inner_y)),
        Segment::Line(point(width, inner_y), from),
        Segment::Arc(Arc {
            start: from,
            end: to,
            centre: point(inner_x + radius, inner_y + radius),
            radius,
            sweep: -std::f64::consts::FRAC_PI_2,
        }),
        Segment::Line(to, point(inner_x, height)),
        Segment::Line(point(inner_x, height), point(0.0, height)),
        Segment::Line(point(0.0, height), point(0.0, 0.0)),
    ])
}

fn hull(length: f64, shoulder: f64, half: f64) -> Ring {
    // The circle through the point, tangent to the side y = half at the shoulder: R = (a² + b²) / 2b.
    let radius = (shoulder * shoulder + half * half) / (2.0 * half);
    let stem = Point::new(0.0, 0.0);
    let (port, starboard) = (Point::new(shoulder, -half), Point::new(shoulder, half));
    let (aft_port, aft_starboard) = (Point::new(length, -half), Point::new(length, half));
    let arc = |start, end, y| Segment::Arc(Arc::between(start, end, Point::new(shoulder, y), true));
    Ring::new(vec![
        arc(stem, port, radius - half),
        Segment::Line(port, aft_port),
        Segment::Line(aft_port, aft_starboard),
        Segment::Line(aft_starboard, starboard),
        arc(starboard, stem, half - radius),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shape_is_closed_and_counter_clockwise() {
        let shapes = [
            Shape::Disc {
                x: 5.0,
                y: 6.0,
                radius: 7.0,
            },
            Shape::Rectangle {
                x: 1.0,
                y: 2.0,
                width: 30.0,
                height: 20.0,
                radius: 0.0,
            },
            Shape::Rectangle {
                x: 1.0,
                y: 2.0,
                width: 30.0,
                height: 20.0,
                radius: 10.0,
            },
            Shape::Ell {
                width: 90.0,
                height: 70.0,
                notch_width: 40.0,
                notch_height: 30.0,
                radius: 0.0,
            },
            Shape::Ell {
                width: 90.0,
                height: 70.0,
                notch_width: 40.0,
                notch_height: 30.0,
                radius: 9.0,
            },
            Shape::Chamfered {
                width: 90.0,
                height: 70.0,
                cut_along: 20.0,
                cut_across: 10.0,
            },
            Shape::Hull {
                length: 300.0,
                shoulder: 120.0,
                half_breadth: 60.0,
            },
        ];
        for shape in shapes {
            let ring = shape.ring();
            assert!(ring.signed_area() > 0.0, "{shape:?}");
            let segments = ring.segments();
            for (index, segment) in segments.iter().enumerate() {
                let next = &segments[(index + 1) % segments.len()];
                assert!(segment.end().distance(next.start()) < 1e-9, "{shape:?}");
            }
        }
    }
}
