//! The basic shapes, drawn with a pen as the standard says they run: W3C, "Scalable Vector Graphics (SVG) 2",
//! chapter 10, Basic shapes.

use std::f64::consts::{FRAC_PI_2, TAU};

use super::pen::{Elliptical, Pen, Stopped};
use crate::shape::Point;

/// A rectangle, its corners rounded with quarter ellipses of half axes `radii`.
pub(super) fn rectangle(
    at: Point,
    size: Point,
    radii: Point,
    pen: &mut Pen<'_>,
) -> Result<(), Stopped> {
    let radii = Point::new(
        radii.x.clamp(0.0, size.x / 2.0),
        radii.y.clamp(0.0, size.y / 2.0),
    );
    let (low, high) = (at, at + size);
    if radii.x == 0.0 || radii.y == 0.0 {
        pen.move_to(low);
        pen.line_to(Point::new(high.x, low.y))?;
        pen.line_to(high)?;
        pen.line_to(Point::new(low.x, high.y))?;
        return pen.close();
    }
    let (left, right) = (low.x + radii.x, high.x - radii.x);
    let (top, bottom) = (low.y + radii.y, high.y - radii.y);
    let (u, v) = (Point::new(radii.x, 0.0), Point::new(0.0, radii.y));
    let corner = |centre, quarter: f64| Elliptical {
        centre,
        u,
        v,
        from: quarter * FRAC_PI_2,
        sweep: FRAC_PI_2,
    };
    pen.move_to(Point::new(left, low.y));
    pen.line_to(Point::new(right, low.y))?;
    pen.arc_to(
        &corner(Point::new(right, top), 3.0),
        Point::new(high.x, top),
    )?;
    pen.line_to(Point::new(high.x, bottom))?;
    pen.arc_to(
        &corner(Point::new(right, bottom), 0.0),
        Point::new(right, high.y),
    )?;
    pen.line_to(Point::new(left, high.y))?;
    pen.arc_to(
        &corner(Point::new(left, bottom), 1.0),
        Point::new(low.x, bottom),
    )?;
    pen.line_to(Point::new(low.x, top))?;
    pen.arc_to(&corner(Point::new(left, top), 2.0), Point::new(left, low.y))?;
    pen.close()
}

/// A whole ellipse.
pub(super) fn ellipse(centre: Point, radii: Point, pen: &mut Pen<'_>) -> Result<(), Stopped> {
    let start = centre + Point::new(radii.x, 0.0);
    pen.move_to(start);
    let whole = Elliptical {
        centre,
        u: Point::new(radii.x, 0.0),
        v: Point::new(0.0, radii.y),
        from: 0.0,
        sweep: TAU,
    };
    pen.arc_to(&whole, start)?;
    pen.close()
}

/// Straight lines through points.
pub(super) fn polyline(
    points: impl Iterator<Item = Point>,
    closed: bool,
    pen: &mut Pen<'_>,
) -> Result<(), Stopped> {
    for (i, point) in points.enumerate() {
        if i == 0 {
            pen.move_to(point);
        } else {
            pen.line_to(point)?;
        }
    }
    if closed { pen.close() } else { Ok(()) }
}
