//! The tape along one ring of a field: its length along the middle of the tape, the ring taken by
//! itself and moved by half the tape's width as a set (erosion, dilation).

use crate::shape::{CutRing, Point, Region, Ring, Segment};
use crate::units::Length;

use super::{Lines, Side};

/// The tape along one ring.
#[derive(Debug, Clone)]
pub(super) struct LineTape {
    /// The ring's length less what lies on the deck edge, an opening or a fitting.
    pub(super) paint_line: Length,
    /// Tape along its middle.
    pub(super) tape: Length,
    /// Where paint line and tape lie.
    pub(super) lines: Lines,
    /// Whether the paint line lies to the left of the tape's middle line.
    pub(super) line_is_left: bool,
    /// Where the ring is too small for the tape, its middle.
    pub(super) closes_up: Option<Point>,
}

/// The tape along a ring.
pub(super) fn along(cut: &CutRing, side: Side, width: Length) -> LineTape {
    let segments = cut.ring.segments();
    let paint: Vec<Segment> = segments
        .iter()
        .zip(&cut.on_boundary)
        .filter(|(_, on_boundary)| !**on_boundary)
        .map(|(segment, _)| *segment)
        .collect();
    let paint_line: f64 = paint.iter().map(Segment::length).sum();
    let runs = runs(segments.len(), |index| !cut.on_boundary[index]);
    let moved = middle_line(&cut.ring, side, width / 2.0);
    let closes_up = (moved.is_empty() && runs > 0).then(|| cut.ring.bounding_box().centre());
    let (tape, line_tape, left_out) = if moved.is_empty() {
        (paint_line, paint.clone(), Vec::new())
    } else {
        let beside = beside_edges(cut, &moved, side, width / 2.0);
        (
            moved.perimeter() - beside.length,
            moved.segments().copied().collect(),
            beside.parts,
        )
    };
    LineTape {
        paint_line: Length::mm(paint_line),
        tape: Length::mm(tape),
        lines: Lines {
            paint_line: paint,
            line_tape,
            left_out,
            edge_tape: Vec::new(),
        },
        line_is_left: is_dilated(&cut.ring, side),
        closes_up,
    }
}

/// Whether the middle of the tape is the ring's inside grown, so that the ring lies within it.
fn is_dilated(ring: &Ring, side: Side) -> bool {
    (ring.signed_area() > 0.0) != (side == Side::IntoField)
}

/// The ring's inside grown or shrunk so that its boundary is the middle of the tape; empty where the
/// tape would close it up.
pub(super) fn middle_line(ring: &Ring, side: Side, half: Length) -> Region {
    let is_outer = ring.signed_area() > 0.0;
    let inside = Region::inside(ring.clone());
    match (side, is_outer) {
        (Side::IntoField, true) | (Side::OutOfField, false) => inside.eroded(half),
        (Side::IntoField, false) | (Side::OutOfField, true) => inside.dilated(half),
    }
}

/// A part of the tape's middle line.
#[derive(Debug, Default)]
struct Beside {
    length: f64,
    parts: Vec<Segment>,
}

/// What of the tape's middle line belongs to parts of the ring that are no paint line.
fn beside_edges(cut: &CutRing, moved: &Region, side: Side, half: Length) -> Beside {
    let mut found = Beside::default();
    if !cut.on_boundary.contains(&true) {
        return found;
    }
    let segments = cut.ring.segments();
    let count = segments.len();
    // The field lies left of the ring.
    let aside = match side {
        Side::IntoField => half,
        Side::OutOfField => -half,
    };
    let beside: Vec<Segment> = (0..count)
        .filter(|index| cut.on_boundary[*index])
        .filter_map(|index| segments[index].parallel(aside))
        .collect();
    let corners: Vec<_> = (0..count)
        .filter(|index| cut.on_boundary[*index] || cut.on_boundary[(*index + 1) % count])
        .map(|index| segments[index].end())
        .collect();
    found.length = moved
        .segments()
        .map(|segment| {
            let stretches: Vec<_> = beside
                .iter()
                .filter_map(|other| segment.stretch_on(other))
                .collect();
            let along: f64 = stretches
                .iter()
                .map(|stretch| (stretch.to - stretch.from) * segment.length())
                .sum();
            let about_corner = matches!(segment, Segment::Arc(arc)
                if (arc.radius - half.to_mm()).abs() < 1e-6
                    && corners.iter().any(|corner| corner.distance(arc.centre) < 1e-6));
            if about_corner || along >= segment.length() {
                found.parts.push(*segment);
                segment.length()
            } else {
                let parts = stretches.iter();
                found
                    .parts
                    .extend(parts.map(|stretch| segment.part(stretch.from, stretch.to)));
                along
            }
        })
        .sum();
    found
}

/// How many unbroken runs the wanted segments of a ring of `count` make.
pub(super) fn runs(count: usize, wanted: impl Fn(usize) -> bool) -> usize {
    let wanted_in_all = (0..count).filter(|index| wanted(*index)).count();
    if wanted_in_all == count {
        return usize::from(count > 0);
    }
    (0..count)
        .filter(|index| wanted(*index) && !wanted((*index + 1) % count))
        .count()
}
