//! Single lines and curves: LINE, ARC, CIRCLE, ELLIPSE, SPLINE. Comes in: a record. Goes out: pieces in plan (what a
//! file says of height is left out), or what is wrong with the entity.
//!
//! Group codes after the DXF reference, chapter "ENTITIES section".

use std::f64::consts::TAU;

use super::super::{ImportFault, Piece};
use super::groups::{Group, Record, shown};
use super::nurbs::{MOST_DEGREE, Nurbs, Wrong};
use crate::shape::{Arc, Bezier, Point, Transformation};

/// Splines of more control points are refused.
const MOST_POINTS: usize = 100_000;
/// How far a normal may be from the drawing's axis, as the length of the vector between them.
const UPRIGHT: f64 = 1e-9;
/// Coordinates and radii larger than this are no drawing's.
pub(super) const FARTHEST: f64 = 1e15;
/// How much of a turn may be missing or too much, in radians, for a whole one: older files round angles.
const WHOLE: f64 = 1e-6;
/// What to do about an entity that is a point or less.
const DELETE: &str = "delete it in the program that drew it";

/// Pieces of one course, and whether the entity is closed by its nature.
pub(super) struct Course {
    pub pieces: Vec<Piece>,
    pub closed: bool,
}

/// Which way an entity's own plane faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Facing {
    Up,
    /// Seen from behind: its own x runs the other way.
    Down,
}

impl Facing {
    pub(super) const fn map(self) -> Option<Transformation> {
        match self {
            Self::Up => None,
            Self::Down => Some(Transformation::scale(-1.0, 1.0)),
        }
    }
}

/// Which way an entity faces, after its extrusion.
pub(super) fn facing(record: &Record<'_>) -> Result<Facing, ImportFault> {
    let x = record.number_or(210, 0.0)?;
    let y = record.number_or(220, 0.0)?;
    let z = record.number_or(230, 1.0)?;
    let length = x.hypot(y).hypot(z);
    let aside = x.hypot(y) / length;
    if aside <= UPRIGHT {
        return Ok(if z > 0.0 { Facing::Up } else { Facing::Down });
    }
    let message = format!(
        "this {} lies in a tilted plane (extrusion {x}, {y}, {z}), not in the plan",
        record.kind
    );
    Err(record.fault(message, "tilted").with_help(
        "flatten it into the plan in the program that drew it (z and extrusion 0, 0, 1)",
    ))
}

/// The point of the codes `x` and `x + 10`.
pub(super) fn point(record: &Record<'_>, x: i32, what: &str) -> Result<Point, ImportFault> {
    let point = Point::new(record.required(x, what)?, record.required(x + 10, what)?);
    if point.x.abs() <= FARTHEST && point.y.abs() <= FARTHEST {
        Ok(point)
    } else {
        Err(too_far(record))
    }
}

/// Pieces as seen from above where an entity's plane faces down.
pub(super) fn seen(pieces: Vec<Piece>, record: &Record<'_>) -> Result<Vec<Piece>, ImportFault> {
    let Some(map) = facing(record)?.map() else {
        return Ok(pieces);
    };
    Ok(pieces
        .iter()
        .filter_map(|piece| piece.mapped(&map))
        .flatten()
        .collect())
}

pub(super) fn line(record: &Record<'_>) -> Result<Course, ImportFault> {
    let start = point(record, 10, "where it begins")?;
    let end = point(record, 11, "where it ends")?;
    Ok(Course {
        pieces: if start == end {
            Vec::new()
        } else {
            vec![Piece::Line { start, end }]
        },
        closed: false,
    })
}

fn radius(record: &Record<'_>) -> Result<f64, ImportFault> {
    let radius = record.required(40, "its radius")?;
    if radius > FARTHEST {
        return Err(too_far(record));
    }
    if radius > 0.0 {
        return Ok(radius);
    }
    let line = record.group(40).map_or(record.line, |group| group.line);
    let message = format!("this {} has the radius {radius}", record.kind);
    Err(ImportFault::new(line, 0, message, "not above zero").with_help(DELETE))
}

pub(super) fn circle(record: &Record<'_>) -> Result<Course, ImportFault> {
    let centre = point(record, 10, "its centre")?;
    let whole = Arc::about(centre, radius(record)?, 0.0, TAU);
    // It ends where it begins, to the last bit.
    let whole = Arc {
        end: whole.start,
        ..whole
    };
    Ok(Course {
        pieces: seen(vec![Piece::Arc(whole)], record)?,
        closed: true,
    })
}

pub(super) fn arc(record: &Record<'_>) -> Result<Course, ImportFault> {
    let centre = point(record, 10, "its centre")?;
    let radius = radius(record)?;
    let from = record.required(50, "the angle it begins at")?;
    let to = record.required(51, "the angle it ends at")?;
    let sweep = (to - from).rem_euclid(360.0);
    let is_whole = from != to && is_whole_turn((to - from).to_radians());
    if from == to {
        let message = "this ARC begins and ends at one angle: nothing, or a whole circle?";
        return Err(record
            .fault(message, "unclear")
            .with_help("draw it anew, as a CIRCLE if it is whole"));
    }
    let sweep = if is_whole { TAU } else { sweep.to_radians() };
    let mut piece = Arc::about(centre, radius, from.rem_euclid(360.0).to_radians(), sweep);
    if is_whole {
        piece.end = piece.start;
    }
    Ok(Course {
        pieces: seen(vec![Piece::Arc(piece)], record)?,
        closed: is_whole,
    })
}

pub(super) fn ellipse(record: &Record<'_>) -> Result<Course, ImportFault> {
    let centre = point(record, 10, "its centre")?;
    let major = point(record, 11, "its long axis")?;
    let ratio = record.required(40, "the ratio of its axes")?;
    let facing = facing(record)?;
    let rise = record.number_or(31, 0.0)?;
    if rise.abs() > UPRIGHT * major.length() {
        return Err(record
            .fault(
                "the long axis of this ELLIPSE rises out of the plan",
                "tilted",
            )
            .with_help("flatten it into the plan in the program that drew it"));
    }
    // A ratio of a ten-thousandth is already a line.
    if major.length() <= 0.0 || ratio.abs() < 1e-6 {
        return Err(record
            .fault("this ELLIPSE has no breadth", "an axis of zero")
            .with_help(DELETE));
    }
    let from = record.number_or(41, 0.0)?;
    let to = record.number_or(42, TAU)?;
    let span = to - from;
    let is_whole = is_whole_turn(span);
    let sweep = if is_whole { TAU } else { span.rem_euclid(TAU) };
    if sweep == 0.0 {
        return Err(record
            .fault(
                "this ELLIPSE begins and ends at one place",
                "nothing, or all of it?",
            )
            .with_help("draw it anew"));
    }
    // Its axes are given in the drawing's own axes; which side the short one lies on, by the normal.
    let minor = major.left()
        * match facing {
            Facing::Up => ratio,
            Facing::Down => -ratio,
        };
    let curves = Bezier::ellipse(centre, major, minor, from, sweep);
    if curves.is_empty() {
        return Err(too_far(record));
    }
    let mut pieces: Vec<Piece> = curves.into_iter().map(Piece::Curve).collect();
    if is_whole
        && let (Some(start), Some(Piece::Curve(last))) =
            (pieces.first().map(Piece::start), pieces.pop())
    {
        let begin = last.start();
        pieces.push(Piece::Curve(last.with_ends(begin, start)));
    }
    Ok(Course {
        pieces,
        closed: is_whole,
    })
}

/// Whether an angle, in radians, is a whole turn but for rounding.
fn is_whole_turn(angle: f64) -> bool {
    (angle.abs() - TAU).abs() < WHOLE
}

fn too_far(record: &Record<'_>) -> ImportFault {
    record
        .fault(
            format!("the numbers of this {} are too large to draw", record.kind),
            "out of range",
        )
        .with_help(DELETE)
}

pub(super) fn spline(record: &Record<'_>) -> Result<Course, ImportFault> {
    let given = Given::of(record)?;
    let is_fitted_only = given.points.is_empty() && record.group(11).is_some();
    if is_fitted_only {
        return Err(record
            .fault(
                "this SPLINE is given by fit points alone, and each program fits them otherwise",
                "no control points",
            )
            .with_help(
                "have the program that drew it write control points (move one of them, or convert \
                 it to control vertices), then save again",
            ));
    }
    if given.points.len() > MOST_POINTS {
        return Err(record
            .fault("this SPLINE has over 100 000 control points", "too long")
            .with_help("split it in the program that drew it"));
    }
    let degree = record.whole_or(71, 3)?;
    let curve = Nurbs {
        degree: usize::try_from(degree).unwrap_or(0),
        weights: if given.weights.is_empty() {
            vec![1.0; given.points.len()]
        } else {
            given.weights
        },
        points: given.points,
        knots: given.knots,
    };
    let beziers = curve
        .beziers()
        .map_err(|wrong| told(wrong, &curve, record))?;
    let pieces: Vec<Piece> = beziers
        .into_iter()
        .map(|curve| {
            if curve.degree() == 1 {
                Piece::Line {
                    start: curve.start(),
                    end: curve.end(),
                }
            } else {
                Piece::Curve(curve)
            }
        })
        .collect();
    let ends = (pieces.first(), pieces.last());
    let closed = matches!(ends, (Some(first), Some(last)) if first.start() == last.end());
    Ok(Course { pieces, closed })
}

/// The lists of a SPLINE.
#[derive(Default)]
struct Given {
    knots: Vec<f64>,
    weights: Vec<f64>,
    points: Vec<Point>,
}

impl Given {
    fn of(record: &Record<'_>) -> Result<Self, ImportFault> {
        let mut given = Self::default();
        let mut x: Option<f64> = None;
        for group in &record.groups {
            match group.code {
                40 => given.knots.push(group.number()?),
                41 => given.weights.push(group.number()?),
                10 => x = Some(group.number()?),
                20 => {
                    let Some(x) = x.take() else {
                        return Err(alone(group));
                    };
                    given.points.push(Point::new(x, group.number()?));
                }
                _ => {}
            }
        }
        let counted = [
            (72, given.knots.len(), "knots"),
            (73, given.points.len(), "control points"),
        ];
        for (code, count, what) in counted {
            if let Some(group) = record.group(code)
                && usize::try_from(group.whole()?) != Ok(count)
            {
                let message = format!(
                    "this SPLINE says that it has {} {what}, and has {count}",
                    shown(group.value)
                );
                return Err(ImportFault::new(group.line, 0, message, "another number")
                    .with_help("draw it anew, or save the drawing again: the file is damaged"));
            }
        }
        Ok(given)
    }
}

/// A second coordinate without its first.
pub(super) fn alone(group: &Group<'_>) -> ImportFault {
    ImportFault::new(group.line, 0, "a point with y and no x", "its x is missing")
        .with_help("save the drawing again: the file is damaged")
}

/// What is wrong with a spline, at the line that says it.
fn told(wrong: Wrong, curve: &Nurbs, record: &Record<'_>) -> ImportFault {
    let at = |code: i32, index: usize| {
        let mut groups = record.groups.iter().filter(|group| group.code == code);
        groups.nth(index).map_or(record.line, |group| group.line)
    };
    let (line, message, label) = match wrong {
        Wrong::Degree => (
            at(71, 0),
            format!("a SPLINE's degree is from 1 to {MOST_DEGREE}"),
            "no degree for a curve",
        ),
        Wrong::FewPoints => (
            record.line,
            format!(
                "this SPLINE of degree {} has {} control points, and needs {}",
                curve.degree,
                curve.points.len(),
                curve.degree + 1
            ),
            "too few",
        ),
        Wrong::KnotCount(right) => (
            at(72, 0),
            format!(
                "this SPLINE has {} knots; {} control points of degree {} take {right}",
                curve.knots.len(),
                curve.points.len(),
                curve.degree
            ),
            "wrong number of knots",
        ),
        Wrong::Decreasing(index) => (
            at(40, index),
            format!(
                "the knots of this SPLINE fall from {} to {}; they may only rise",
                curve.knots[index - 1],
                curve.knots[index]
            ),
            "less than the knot before",
        ),
        Wrong::Multiplicity(index) => (
            at(40, index),
            format!(
                "the knot {} stands more than {} times, and a SPLINE of degree {} falls apart there",
                curve.knots[index],
                if curve.knots.windows(curve.degree + 2).any(|group| {
                    group[0] == curve.knots[index] && group[0] == group[curve.degree + 1]
                }) {
                    curve.degree + 1
                } else {
                    curve.degree
                },
                curve.degree
            ),
            "too often",
        ),
        Wrong::Empty => (
            at(40, curve.degree),
            "the knots of this SPLINE are all one".to_owned(),
            "no way from first to last",
        ),
        Wrong::Weight(index) => (
            at(41, index),
            format!(
                "a weight of {}; weights are above zero",
                curve.weights[index]
            ),
            "not above zero",
        ),
        Wrong::WeightCount => (
            at(41, 0),
            format!(
                "this SPLINE has {} weights for {} control points",
                curve.weights.len(),
                curve.points.len()
            ),
            "one for each point",
        ),
        Wrong::Range => return too_far(record),
    };
    ImportFault::new(line, 0, message, label)
        .with_help("draw the curve anew, or have the program that drew it mend it")
}
