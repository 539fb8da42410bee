//! The path data of SVG, for drawings and for cutters' files: comes in a run of lines and arcs, y up; goes out what stands
//! in a path's `d`, y down from the upper left corner, arcs as arcs.

use super::number::write_number;
use crate::drawing::Run;
use crate::shape::{Point, Segment};

/// How a file's path data are written.
#[derive(Debug, Clone, Copy)]
pub(super) struct PathData {
    /// What lies under the upper left corner.
    pub(super) corner: Point,
    /// Decimals of a millimetre.
    pub(super) decimals: usize,
    /// Arcs that turn further, radians, are written in equal parts: where the ends of an arc nearly meet, or nearly lie
    /// on a diameter, rounding them would move its centre.
    pub(super) most_turn: f64,
}

impl PathData {
    /// Writes a run at the end of `out`.
    pub(super) fn write(&self, run: &Run, out: &mut String) {
        let Some(first) = run.segments.first() else {
            return;
        };
        self.point('M', first.start(), out);
        let last = run.segments.len() - 1;
        for (index, segment) in run.segments.iter().enumerate() {
            match segment {
                Segment::Line(..) if run.closed && index == last => {}
                Segment::Line(_, end) => self.point('L', *end, out),
                Segment::Arc(arc) => {
                    // Counter-clockwise as drawn is SVG's negative direction.
                    let flag = if arc.sweep < 0.0 { " 0 0 1" } else { " 0 0 0" };
                    let parts = (arc.sweep.abs() / self.most_turn).ceil().max(1.0);
                    let mut part = 1.0;
                    while part <= parts {
                        let end = if part < parts {
                            segment.point_at(part / parts)
                        } else {
                            arc.end
                        };
                        out.push('A');
                        write_number(arc.radius, self.decimals, out);
                        out.push(' ');
                        write_number(arc.radius, self.decimals, out);
                        out.push_str(flag);
                        self.point(' ', end, out);
                        part += 1.0;
                    }
                }
            }
        }
        if run.closed {
            out.push('Z');
        }
    }

    fn point(&self, letter: char, point: Point, out: &mut String) {
        let (x, y) = (point.x - self.corner.x, self.corner.y - point.y);
        out.push(letter);
        write_number(x, self.decimals, out);
        out.push(' ');
        write_number(y, self.decimals, out);
    }
}
