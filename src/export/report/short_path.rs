//! Path data for the report, written as short as they may be: comes in runs of lines and arcs, y up; goes out what stands in a
//! path's `d`, each place from the one before it, in hundredths of a millimetre of paper. Nothing adds up: what is written is
//! the step between two rounded places. (SVG 2, 9.3: relative commands, and numbers that a sign or a point parts.)

use std::f64::consts::PI;
use std::fmt::Write;

use crate::drawing::Run;
use crate::shape::{Arc, Point, Segment};

/// Hundredths in a millimetre.
const FINE: f64 = 100.0;
/// Arcs that turn further are written in equal parts, or rounding their ends would move their centres.
const MOST_TURN: f64 = 0.9 * PI;

/// An arc that leaves its chord by no more, millimetres, is written as the chord: rounding moves its ends as far.
const FLAT: f64 = 0.005;

/// How far an arc leaves its chord.
fn sagitta(arc: &Arc) -> f64 {
    arc.radius * (1.0 - (arc.sweep.abs().min(PI) / 2.0).cos())
}

/// Writes runs one behind the other into one path.
#[derive(Debug, Clone, Copy)]
pub(super) struct ShortPath {
    /// Height of the sheet, millimetres.
    height: f64,
    /// The place reached, hundredths, y down.
    at: [f64; 2],
}

impl ShortPath {
    /// A path that has just begun, on a sheet of this height.
    pub(super) const fn new(height: f64) -> Self {
        Self {
            height,
            at: [0.0, 0.0],
        }
    }

    /// Writes a run at the end of `out`.
    pub(super) fn run(&mut self, run: &Run, out: &mut String) {
        let Some(first) = run.segments.first() else {
            return;
        };
        let begin = self.place(first.start());
        out.push('m');
        self.go(begin, out);
        let last = run.segments.len() - 1;
        for (index, segment) in run.segments.iter().enumerate() {
            match segment {
                Segment::Line(..) if run.closed && index == last => {}
                Segment::Line(_, end) => self.line(*end, out),
                Segment::Arc(arc) if sagitta(arc) < FLAT => self.line(arc.end, out),
                Segment::Arc(arc) => {
                    let parts = (arc.sweep.abs() / MOST_TURN).ceil().max(1.0);
                    let mut part = 1.0;
                    while part <= parts {
                        let end = self.place(if part < parts {
                            segment.point_at(part / parts)
                        } else {
                            arc.end
                        });
                        part += 1.0;
                        if end == self.at {
                            continue;
                        }
                        let radius = short((arc.radius * FINE).round());
                        // Counter-clockwise as drawn is SVG's negative direction.
                        let flag = u8::from(arc.sweep < 0.0);
                        // Writing to a String cannot fail.
                        let _ = write!(out, "a{radius} {radius} 0 0 {flag} ");
                        self.go(end, out);
                    }
                }
            }
        }
        if run.closed {
            out.push('z');
            self.at = begin;
        }
    }

    fn line(&mut self, end: Point, out: &mut String) {
        let end = self.place(end);
        let [x, y] = [end[0] - self.at[0], end[1] - self.at[1]];
        if y != 0.0 && x != 0.0 {
            out.push('l');
            self.go(end, out);
        } else if x != 0.0 {
            out.push('h');
            out.push_str(&short(x));
        } else if y != 0.0 {
            out.push('v');
            out.push_str(&short(y));
        }
        self.at = end;
    }

    fn place(&self, point: Point) -> [f64; 2] {
        [point.x, self.height - point.y].map(|one| (one * FINE).round())
    }

    /// Writes the step to a place, and is there.
    fn go(&mut self, to: [f64; 2], out: &mut String) {
        let [x, y] = [to[0] - self.at[0], to[1] - self.at[1]].map(short);
        out.push_str(&x);
        let is_parted = y.starts_with('-') || (y.starts_with('.') && x.contains('.'));
        if !is_parted {
            out.push(' ');
        }
        out.push_str(&y);
        self.at = to;
    }
}

/// Hundredths as millimetres, with nothing that can be left out.
fn short(hundredths: f64) -> String {
    let text = super::super::number::number(hundredths / FINE, 2);
    match text.strip_prefix('-') {
        Some(rest) => format!("-{}", without_zero(rest)),
        None => without_zero(&text).to_owned(),
    }
}

fn without_zero(text: &str) -> &str {
    text.strip_prefix('0')
        .filter(|rest| !rest.is_empty())
        .unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Ring;

    #[test]
    fn steps_are_short_and_bring_back_every_place() {
        let mut path = ShortPath::new(10.0);
        let mut out = String::new();
        let points = [(1.004, 9.5), (1.504, 9.25), (0.0, 9.996)].map(|(x, y)| Point::new(x, y));
        path.run(&Run::open(&points), &mut out);
        path.run(&Run::open(&points[..2]), &mut out);
        assert_eq!(out, "m1 .5l.5.25l-1.5-.75m1 .5l.5.25");
    }

    #[test]
    fn a_circle_keeps_its_area_as_another_reader_sees_it() {
        let mut out = String::new();
        ShortPath::new(50.0).run(
            &Run::closed(&Ring::circle(Point::new(20.0, 20.0), 7.0)),
            &mut out,
        );
        let read = kurbo::BezPath::from_svg(&out).expect("sound path data");
        let area = kurbo::Shape::area(&read).abs();
        assert!((area / (49.0 * PI) - 1.0).abs() < 2e-3, "{area} of {out}");
        let centre = kurbo::Shape::bounding_box(&read).center();
        assert!((centre.x - 20.0).hypot(centre.y - 30.0) < 0.02, "{centre}");
    }
}
