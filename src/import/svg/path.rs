//! Path data (the `d` of a path) drawn with a pen. Grammar and meaning: W3C, "Scalable Vector Graphics (SVG) 2",
//! chapter 9, Paths; the numbers are read by svgtypes, the arcs' centres found by kurbo.

use svgtypes::{PathParser, PathSegment};

use super::pen::{Elliptical, Pen, Stopped};
use crate::shape::Point;

/// Why path data cannot be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Trouble {
    /// It does not follow the grammar; at which character, from 0, where that is known.
    Grammar(Option<usize>),
    /// The pen stopped.
    Pen(Stopped),
}

impl From<Stopped> for Trouble {
    fn from(stopped: Stopped) -> Self {
        Self::Pen(stopped)
    }
}

/// What the next smooth curve goes on from.
#[derive(Clone, Copy)]
enum Last {
    Cubic(Point),
    Quadratic(Point),
    Other,
}

/// Draws path data.
pub(super) fn draw(data: &str, pen: &mut Pen<'_>) -> Result<(), Trouble> {
    let mut last = Last::Other;
    for segment in PathParser::from(data) {
        let segment = segment.map_err(|error| Trouble::Grammar(character(&error)))?;
        last = step(segment, last, pen)?;
    }
    Ok(())
}

/// The character, from 0, that a syntax error points at.
fn character(error: &svgtypes::Error) -> Option<usize> {
    use svgtypes::Error;
    match error {
        Error::UnexpectedData(at)
        | Error::InvalidChar(_, at)
        | Error::InvalidString(_, at)
        | Error::InvalidNumber(at) => Some(at.saturating_sub(1)),
        _ => None,
    }
}

fn step(segment: PathSegment, last: Last, pen: &mut Pen<'_>) -> Result<Last, Stopped> {
    let here = pen.at();
    let origin = if segment.is_abs() {
        Point::ORIGIN
    } else {
        here
    };
    let to = |x: f64, y: f64| origin + Point::new(x, y);
    match segment {
        PathSegment::MoveTo { x, y, .. } => pen.move_to(to(x, y)),
        PathSegment::LineTo { x, y, .. } => pen.line_to(to(x, y))?,
        PathSegment::HorizontalLineTo { x, .. } => {
            pen.line_to(Point::new(origin.x + x, here.y))?;
        }
        PathSegment::VerticalLineTo { y, .. } => {
            pen.line_to(Point::new(here.x, origin.y + y))?;
        }
        PathSegment::CurveTo {
            x1,
            y1,
            x2,
            y2,
            x,
            y,
            ..
        } => {
            pen.curve_to(&[to(x1, y1), to(x2, y2), to(x, y)])?;
            return Ok(Last::Cubic(to(x2, y2)));
        }
        PathSegment::SmoothCurveTo { x2, y2, x, y, .. } => {
            let first = match last {
                Last::Cubic(control) => here * 2.0 - control,
                _ => here,
            };
            pen.curve_to(&[first, to(x2, y2), to(x, y)])?;
            return Ok(Last::Cubic(to(x2, y2)));
        }
        PathSegment::Quadratic { x1, y1, x, y, .. } => {
            pen.curve_to(&[to(x1, y1), to(x, y)])?;
            return Ok(Last::Quadratic(to(x1, y1)));
        }
        PathSegment::SmoothQuadratic { x, y, .. } => {
            let control = match last {
                Last::Quadratic(control) => here * 2.0 - control,
                _ => here,
            };
            pen.curve_to(&[control, to(x, y)])?;
            return Ok(Last::Quadratic(control));
        }
        PathSegment::EllipticalArc {
            rx,
            ry,
            x_axis_rotation,
            large_arc,
            sweep,
            x,
            y,
            ..
        } => {
            let end = to(x, y);
            let turn = x_axis_rotation.to_radians();
            match elliptical(here, end, [rx, ry], turn, large_arc, sweep) {
                Some(arc) => pen.arc_to(&arc, end)?,
                None => pen.line_to(end)?,
            }
        }
        PathSegment::ClosePath { .. } => pen.close()?,
    }
    Ok(Last::Other)
}

/// The arc between two points on an ellipse of these half axes, the first of which lies at `turn`; none where
/// it is a straight line.
fn elliptical(
    start: Point,
    end: Point,
    radii: [f64; 2],
    turn: f64,
    large_arc: bool,
    sweep: bool,
) -> Option<Elliptical> {
    // Ends so near to each other say nothing of a centre.
    if start.distance(end) <= 1e-12 * (start.length() + end.length()) {
        return None;
    }
    let arc = kurbo::Arc::from_svg_arc(&kurbo::SvgArc {
        from: (start.x, start.y).into(),
        to: (end.x, end.y).into(),
        radii: (radii[0], radii[1]).into(),
        x_rotation: turn,
        large_arc,
        sweep,
    })?;
    let along = Point::at_angle(arc.x_rotation);
    Some(Elliptical {
        centre: Point::new(arc.center.x, arc.center.y),
        u: along * arc.radii.x,
        v: along.left() * arc.radii.y,
        from: arc.start_angle,
        sweep: arc.sweep_angle,
    })
}
