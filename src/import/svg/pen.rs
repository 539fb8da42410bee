//! Draws in an element's own axes and keeps what it drew in the drawing's: lines, arcs of circles wherever an
//! ellipse's arc comes out as one, Bezier curves.

use super::super::Piece;
use crate::shape::{Arc, Bezier, Point, Transformation};

/// One unbroken course.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Course {
    pub(super) pieces: Vec<Piece>,
    pub(super) closed: bool,
}

/// An arc of the ellipse `centre + u cos t + v sin t`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Elliptical {
    pub(super) centre: Point,
    pub(super) u: Point,
    pub(super) v: Point,
    /// Angle t where it begins.
    pub(super) from: f64,
    /// How far t runs.
    pub(super) sweep: f64,
}

/// Why a pen stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stopped {
    /// More pieces than it was given to draw.
    TooMany,
    /// A coordinate no drawing has.
    TooFar,
}

/// Coordinates beyond this are refused: at a micrometre a unit it is a kilometre.
const FARTHEST: f64 = 1e9;

/// A pen and what it drew.
pub(super) struct Pen<'a> {
    map: &'a Transformation,
    /// How many pieces may still be drawn.
    left: usize,
    done: Vec<Course>,
    pieces: Vec<Piece>,
    first: Point,
    at: Point,
}

impl<'a> Pen<'a> {
    pub(super) const fn new(map: &'a Transformation, left: usize) -> Self {
        Self {
            map,
            left,
            done: Vec::new(),
            pieces: Vec::new(),
            first: Point::ORIGIN,
            at: Point::ORIGIN,
        }
    }

    /// Where the pen is, in the element's axes.
    pub(super) const fn at(&self) -> Point {
        self.at
    }

    pub(super) fn move_to(&mut self, to: Point) {
        self.finish(false);
        self.at = to;
        self.first = to;
    }

    pub(super) fn line_to(&mut self, to: Point) -> Result<(), Stopped> {
        let (start, end) = (self.placed(self.at)?, self.placed(to)?);
        self.at = to;
        if start == end {
            return Ok(());
        }
        self.add(Piece::Line { start, end })
    }

    /// A Bezier curve through these further control points.
    pub(super) fn curve_to(&mut self, controls: &[Point]) -> Result<(), Stopped> {
        let mut points = vec![self.placed(self.at)?];
        for control in controls {
            points.push(self.placed(*control)?);
        }
        self.at = controls.last().copied().unwrap_or(self.at);
        if points.iter().all(|point| *point == points[0]) {
            return Ok(());
        }
        let curve = Bezier::new(&points).ok_or(Stopped::TooFar)?;
        self.add(Piece::Curve(curve))
    }

    /// An arc of an ellipse to the point `to`, where it ends.
    pub(super) fn arc_to(&mut self, arc: &Elliptical, to: Point) -> Result<(), Stopped> {
        let (start, end) = (self.placed(self.at)?, self.placed(to)?);
        self.at = to;
        let centre = self.placed(arc.centre)?;
        let (u, v) = (
            self.map.apply_to_vector(arc.u),
            self.map.apply_to_vector(arc.v),
        );
        let (longer, radius) = (u.dot(u).max(v.dot(v)), u.length());
        let is_circle =
            u.dot(v).abs() <= 1e-12 * longer && (u.dot(u) - v.dot(v)).abs() <= 1e-12 * longer;
        if is_circle {
            return self.add(Piece::Arc(Arc {
                start,
                end,
                centre,
                radius,
                sweep: if u.cross(v) >= 0.0 {
                    arc.sweep
                } else {
                    -arc.sweep
                },
            }));
        }
        let curves = Bezier::ellipse(centre, u, v, arc.from, arc.sweep);
        let last = curves.len().saturating_sub(1);
        for (i, curve) in curves.into_iter().enumerate() {
            let start = if i == 0 { start } else { curve.start() };
            let end = if i == last { end } else { curve.end() };
            self.add(Piece::Curve(curve.with_ends(start, end)))?;
        }
        Ok(())
    }

    /// Back to where the course began.
    pub(super) fn close(&mut self) -> Result<(), Stopped> {
        self.line_to(self.first)?;
        self.finish(true);
        Ok(())
    }

    /// Everything drawn.
    pub(super) fn lifted(mut self) -> Vec<Course> {
        self.finish(false);
        self.done
    }

    fn finish(&mut self, closed: bool) {
        if self.pieces.is_empty() {
            return;
        }
        let pieces = std::mem::take(&mut self.pieces);
        let (first, last) = (&pieces[0], &pieces[pieces.len() - 1]);
        // Coordinates written with some digits less than they were computed with.
        let (start, end) = (first.start(), last.end());
        let meets = start.distance(end) <= 1e-9 * (1.0 + start.length())
            && (pieces.len() > 1 || !matches!(first, Piece::Line { .. }));
        self.done.push(Course {
            closed: closed || meets,
            pieces,
        });
    }

    fn add(&mut self, piece: Piece) -> Result<(), Stopped> {
        self.left = self.left.checked_sub(1).ok_or(Stopped::TooMany)?;
        self.pieces.push(piece);
        Ok(())
    }

    fn placed(&self, point: Point) -> Result<Point, Stopped> {
        let placed = self.map.apply(point).ok_or(Stopped::TooFar)?;
        // Also where a number is none.
        if placed.x.abs() <= FARTHEST && placed.y.abs() <= FARTHEST {
            Ok(placed)
        } else {
            Err(Stopped::TooFar)
        }
    }
}
