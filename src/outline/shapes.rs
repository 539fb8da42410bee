//! The shape of a feature to its ring, counter-clockwise: rectangle, circle, slot, points.

use std::f64::consts::{FRAC_PI_2, PI};

use super::findings::Findings;
use super::{drawn, points};
use crate::layout::{Fault, Place, Shape};
use crate::shape::{Arc, Point, Ring, Segment, TOUCH};
use crate::units::Length;

/// The rings of a shape: one, but for a drawing's; none and a fault where there is none.
pub(super) fn rings(shape: &Shape, place: Place, findings: &mut Findings<'_>) -> Vec<Ring> {
    let ring = match shape {
        Shape::Drawn(drawn) => return drawn::rings(drawn, findings),
        Shape::Rectangle {
            at,
            along,
            across,
            radius,
            turned_degrees,
        } => {
            let at = findings.position(at, place);
            let sane =
                findings.is_size(*along, "size", place) && findings.is_size(*across, "size", place);
            if !sane {
                return Vec::new();
            }
            if !turned_degrees.is_finite() {
                findings.fault(Fault::new(
                    place,
                    "`turned` must be a number of degrees",
                    "not a number",
                ));
                return Vec::new();
            }
            let is_sharp = radius.value == Length::ZERO;
            if !is_sharp && !findings.is_size(radius.value, "radius", radius.place) {
                return Vec::new();
            }
            let (r, half) = (radius.value.to_mm(), along.min(*across).to_mm() / 2.0);
            if r > half * (1.0 + 1e-9) {
                findings.fault(
                    Fault::new(
                        radius.place,
                        format!(
                            "a corner radius of {} does not fit this rectangle",
                            findings.spoken(r)
                        ),
                        format!("the largest that fits is {}", findings.spoken_limit(half)),
                    )
                    .with_help(
                        "half the shorter side makes its ends round; less leaves them straight",
                    ),
                );
                return Vec::new();
            }
            let size = Point::new(along.to_mm(), across.to_mm());
            at.map(|at| rectangle(at, size, r.min(half), *turned_degrees))
        }
        Shape::Circle { at, radius } => {
            let at = findings.position(at, place);
            let sane = findings.is_size(*radius, "radius", place);
            at.filter(|_| sane)
                .map(|at| Ring::circle(at, radius.to_mm()))
        }
        Shape::Slot { from, to, width } => {
            let (from, to) = (findings.position(from, place), findings.position(to, place));
            let sane = findings.is_size(*width, "width", place);
            (from.zip(to).filter(|_| sane)).map(|(from, to)| slot(from, to, width.to_mm() / 2.0))
        }
        Shape::Points(given) => {
            let edge = points::edge_ring(given, &|_| Length::ZERO, findings);
            edge.map(|edge| edge.ring)
        }
    };
    ring.into_iter().collect()
}

/// A rectangle with rounded corners, turned about its centre.
fn rectangle(centre: Point, size: Point, radius: f64, degrees: f64) -> Ring {
    let (sin, cos) = sin_cos_degrees(degrees);
    let turned = |v: Point| Point::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos);
    let inner = size * 0.5 - Point::new(radius, radius);
    // Directions out of the sides in order round the ring: +x, +y, -x, -y.
    let out = [
        Point::new(1.0, 0.0),
        Point::new(0.0, 1.0),
        Point::new(-1.0, 0.0),
        Point::new(0.0, -1.0),
    ];
    // Each corner: where its arc begins, its centre, where it ends.
    let corners: Vec<[Point; 3]> = (0..4)
        .map(|i| {
            let (a, b) = (out[i], out[(i + 1) % 4]);
            let middle = Point::new((a.x + b.x) * inner.x, (a.y + b.y) * inner.y);
            [middle + a * radius, middle, middle + b * radius].map(|point| centre + turned(point))
        })
        .collect();
    let mut segments = Vec::with_capacity(8);
    for i in 0..4 {
        let [start, middle, end] = corners[i];
        let next = corners[(i + 1) % 4][0];
        let mut end = end;
        if end.distance(next) <= 1e-9 * size.x.max(size.y) {
            end = next;
        }
        if radius > 0.0 {
            segments.push(Segment::Arc(Arc {
                start,
                end,
                centre: middle,
                radius,
                sweep: FRAC_PI_2,
            }));
        }
        if end != next {
            segments.push(Segment::Line(end, next));
        }
    }
    Ring::new(segments)
}

/// Sine and cosine, exact at quarter turns.
fn sin_cos_degrees(degrees: f64) -> (f64, f64) {
    let degrees = degrees.rem_euclid(360.0);
    if degrees == 90.0 {
        (1.0, 0.0)
    } else if degrees == 180.0 {
        (0.0, -1.0)
    } else if degrees == 270.0 {
        (-1.0, 0.0)
    } else {
        degrees.to_radians().sin_cos()
    }
}

/// Every point within `half` the width of the line between two points.
fn slot(from: Point, to: Point, half: f64) -> Ring {
    if from.distance(to) <= TOUCH {
        return Ring::circle(from, half);
    }
    let side = (to - from).unit().left() * half;
    let cap = |start, end, centre| {
        Segment::Arc(Arc {
            start,
            end,
            centre,
            radius: half,
            sweep: PI,
        })
    };
    Ring::new(vec![
        Segment::Line(from - side, to - side),
        cap(to - side, to + side, to),
        Segment::Line(to + side, from + side),
        cap(from + side, from - side, from),
    ])
}
