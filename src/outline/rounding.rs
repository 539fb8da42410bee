//! Rounding the corner between two stretches of boundary, each a chain of segments, and what is left of
//! a stretch once both its corners are rounded.

use crate::shape::{Arc, Segment, round_corner};

/// What is left shorter than this, millimetres, is nothing: the roundings meet.
const NOTHING: f64 = 1e-9;

/// How many segments away from the corner a rounding is sought.
const FURTHEST: usize = 200;

/// One edge as a chain of segments, from corner to corner.
#[derive(Debug, Clone)]
pub(super) struct Stretch {
    /// The node it leaves.
    pub(super) first: usize,
    pub(super) segments: Vec<Segment>,
    /// For each segment the node it follows.
    pub(super) nodes: Vec<usize>,
}

impl Stretch {
    pub(super) fn length(&self) -> f64 {
        self.segments.iter().map(Segment::length).sum()
    }
}

/// A rounded corner.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cut {
    pub(super) arc: Arc,
    /// Length it takes from the end of the stretch before.
    pub(super) taken_before: f64,
    /// Length it takes from the start of the stretch after.
    pub(super) taken_after: f64,
    /// Segment of the stretch before where it begins, and how far along that.
    leaves: usize,
    leave: f64,
    /// Segment of the stretch after where it ends, and how far along that.
    joins: usize,
    join: f64,
}

/// Rounds the corner from `before` to `after`, which turns by `turn`; of all pairs of segments that an
/// arc of that radius touches the nearest to the corner. None where there is no such pair.
pub(super) fn cut_corner(before: &Stretch, after: &Stretch, turn: f64, radius: f64) -> Option<Cut> {
    let (count, next) = (before.segments.len(), after.segments.len());
    for apart in 0..(count + next - 1).min(FURTHEST) {
        for back in 0..=apart.min(count - 1) {
            let on = apart - back;
            if on >= next {
                continue;
            }
            let leaves = count - 1 - back;
            let (into, out) = (&before.segments[leaves], &after.segments[on]);
            if let Some(found) = round_corner(into, out, turn, radius) {
                let beyond: f64 = before.segments[leaves + 1..]
                    .iter()
                    .map(Segment::length)
                    .sum();
                let ahead: f64 = after.segments[..on].iter().map(Segment::length).sum();
                return Some(Cut {
                    arc: found.arc,
                    taken_before: beyond + (1.0 - found.leave) * into.length(),
                    taken_after: ahead + found.join * out.length(),
                    leaves,
                    leave: found.leave,
                    joins: on,
                    join: found.join,
                });
            }
        }
    }
    None
}

/// What the roundings at both ends leave of a stretch, each piece with its node.
pub(super) fn trimmed(
    stretch: &Stretch,
    start: Option<&Cut>,
    end: Option<&Cut>,
) -> Vec<(Segment, usize)> {
    let (first, from) = start.map_or((0, 0.0), |cut| (cut.joins, cut.join));
    let last = stretch.segments.len() - 1;
    let (last, to) = end.map_or((last, 1.0), |cut| (cut.leaves, cut.leave));
    let mut left = Vec::new();
    for i in first..=last {
        let from = if i == first { from } else { 0.0 };
        let to = if i == last { to } else { 1.0 };
        let segment = stretch.segments[i];
        let whole = segment.length();
        if (to - from) * whole <= NOTHING * whole.max(1.0) {
            continue;
        }
        // Tangent points as the roundings have them, to the last bit.
        let begin = start
            .filter(|_| i == first)
            .map_or(segment.start(), |cut| cut.arc.end);
        let finish = end
            .filter(|_| i == last)
            .map_or(segment.end(), |cut| cut.arc.start);
        let part = match segment {
            Segment::Line(..) => Segment::Line(begin, finish),
            Segment::Arc(arc) => Segment::Arc(Arc {
                start: begin,
                end: finish,
                sweep: arc.sweep * (to - from),
                ..arc
            }),
        };
        left.push((part, stretch.nodes[i]));
    }
    left
}
