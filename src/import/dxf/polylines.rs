//! Polylines with bulges: LWPOLYLINE, and POLYLINE with its VERTEX records. Comes in: records. Goes out: lines and arcs.
//!
//! A bulge is the tangent of a quarter of the angle that the arc to the next vertex sweeps, positive
//! counter-clockwise (DXF reference, LWPOLYLINE, group code 42).

use super::super::{ImportFault, Piece};
use super::curves::{Course, alone, facing, point, seen};
use super::groups::{Record, shown};
use crate::shape::{Arc, Point};

/// A bulge as small as this bends a metre of line by less than a millionth of a millimetre.
const STRAIGHT: f64 = 1e-9;

/// A vertex, and the bulge of what follows it.
#[derive(Debug, Clone, Copy)]
struct Vertex {
    at: Point,
    bulge: f64,
}

/// The piece between two points that bulges so.
pub(super) fn bulged(start: Point, end: Point, bulge: f64) -> Piece {
    if bulge.abs() <= STRAIGHT {
        return Piece::Line { start, end };
    }
    let middle = start.towards(end, 0.5);
    // The centre lies off the chord's middle by (1 - b^2) / 4b of the chord.
    let centre = middle + (end - start).left() * ((1.0 / bulge - bulge) / 4.0);
    Piece::Arc(Arc {
        start,
        end,
        centre,
        radius: (end - start).length() * (1.0 / bulge + bulge).abs() / 4.0,
        sweep: 4.0 * bulge.atan(),
    })
}

/// The course through vertices.
fn course(
    vertices: &[Vertex],
    closed: bool,
    in_own_plane: bool,
    record: &Record<'_>,
) -> Result<Course, ImportFault> {
    let mut pieces = Vec::new();
    let next = vertices.iter().skip(1).chain(vertices.first());
    let count = if closed {
        vertices.len()
    } else {
        vertices.len().saturating_sub(1)
    };
    for (vertex, next) in vertices.iter().zip(next).take(count) {
        if vertex.at == next.at {
            continue;
        }
        let piece = bulged(vertex.at, next.at, vertex.bulge);
        if let Piece::Arc(arc) = &piece
            && ![arc.radius, arc.centre.x, arc.centre.y]
                .iter()
                .all(|number| number.is_finite())
        {
            let message = format!("a bulge of {} is out of all proportion", vertex.bulge);
            return Err(record
                .fault(message, "in this polyline")
                .with_help("draw that arc anew"));
        }
        pieces.push(piece);
    }
    let ends = (pieces.first(), pieces.last());
    let closed = matches!(ends, (Some(first), Some(last)) if first.start() == last.end());
    Ok(Course {
        pieces: if in_own_plane {
            seen(pieces, record)?
        } else {
            pieces
        },
        closed,
    })
}

pub(super) fn lightweight(record: &Record<'_>) -> Result<Course, ImportFault> {
    facing(record)?;
    let mut vertices: Vec<Vertex> = Vec::new();
    let mut x: Option<f64> = None;
    for group in &record.groups {
        match group.code {
            10 => x = Some(group.number()?),
            20 => {
                let Some(x) = x.take() else {
                    return Err(alone(group));
                };
                vertices.push(Vertex {
                    at: Point::new(x, group.number()?),
                    bulge: 0.0,
                });
            }
            42 => {
                let bulge = group.number()?;
                if let Some(last) = vertices.last_mut() {
                    last.bulge = bulge;
                }
            }
            _ => {}
        }
    }
    if let Some(group) = record.group(90)
        && usize::try_from(group.whole()?) != Ok(vertices.len())
    {
        let message = format!(
            "this LWPOLYLINE says that it has {} vertices, and has {}",
            shown(group.value),
            vertices.len()
        );
        return Err(ImportFault::new(group.line, 0, message, "another number")
            .with_help("save the drawing again: the file is damaged"));
    }
    course(&vertices, record.whole_or(70, 0)? & 1 == 1, true, record)
}

/// A POLYLINE with the records that follow it up to SEQEND.
pub(super) fn heavy(record: &Record<'_>, followers: &[Record<'_>]) -> Result<Course, ImportFault> {
    let flags = record.whole_or(70, 0)?;
    let mesh = match flags {
        flags if flags & 16 != 0 => Some("a polygon mesh"),
        flags if flags & 64 != 0 => Some("a polyface mesh"),
        _ => None,
    };
    if let Some(mesh) = mesh {
        return Err(record
            .fault(
                format!("this POLYLINE is {mesh}, a surface and no outline"),
                mesh,
            )
            .with_help("draw the outline wanted as a polyline of its own"));
    }
    let mut vertices = Vec::new();
    for follower in followers {
        // A vertex of the frame that a spline was fitted to is no point of the course.
        if follower.kind == "VERTEX" && follower.whole_or(70, 0)? & 16 == 0 {
            vertices.push(Vertex {
                at: point(follower, 10, "where it is")?,
                bulge: follower.number_or(42, 0.0)?,
            });
        }
    }
    if flags & 8 != 0 {
        // Vertices in space are in the drawing's own axes, and nothing between them bulges.
        for vertex in &mut vertices {
            vertex.bulge = 0.0;
        }
    }
    course(&vertices, flags & 1 == 1, flags & 8 == 0, record)
}
