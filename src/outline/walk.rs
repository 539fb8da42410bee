//! A boundary as it is walked: segments, each with the edge it belongs to and the entry it came from.
//! What is checked of any closed boundary, however it was given, is checked here.

use super::findings::Findings;
use super::{Edge, EdgeRing};
use crate::layout::{Fault, Place};
use crate::shape::{Point, Ring, Segment, TOUCH};

/// A segment with its edge and the entry of the layout it came from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub(super) segment: Segment,
    pub(super) edge: usize,
    pub(super) entry: usize,
}

/// A closed boundary.
#[derive(Debug, Clone)]
pub(super) struct Walk {
    pub(super) steps: Vec<Step>,
    pub(super) edges: Vec<Edge>,
}

impl Walk {
    /// Whether it crosses, touches or runs back on itself.
    pub(super) fn crosses_itself(&self) -> bool {
        Ring::new(self.joined()).self_crossing().is_some()
    }

    /// Its segments, each beginning exactly where the one before ends.
    fn joined(&self) -> Vec<Segment> {
        let mut segments: Vec<Segment> = self.steps.iter().map(|step| step.segment).collect();
        join_exactly(&mut segments);
        segments
    }

    /// The counter-clockwise ring, or a fault where it crosses itself or encloses nothing. `places` are
    /// those of the entries; `names_edges` where an entry is a point with the edge that leaves it.
    pub(super) fn into_ring(
        self,
        places: &[Place],
        whole: Place,
        names_edges: bool,
        findings: &mut Findings<'_>,
    ) -> Option<EdgeRing> {
        let ring = Ring::new(self.joined());
        if is_flat(&ring) {
            findings.fault(no_area(whole));
            return None;
        }
        if let Some(crossing) = ring.self_crossing() {
            let (one, other) = (
                self.steps[crossing.first].entry,
                self.steps[crossing.second].entry,
            );
            let subject = if !names_edges {
                "the outline crosses or touches itself".to_owned()
            } else if one == other {
                format!("edge {} crosses or touches itself", one + 1)
            } else {
                let (low, high) = (one.min(other) + 1, one.max(other) + 1);
                format!("edges {low} and {high} cross or touch")
            };
            let place = places.get(one.max(other)).copied().unwrap_or(whole);
            let label = if names_edges {
                "the edge that leaves this point"
            } else {
                "at or near this half-breadth"
            };
            findings.fault(
                Fault::new(
                    place,
                    format!("{subject} near {}", findings.whereabouts(crossing.at)),
                    label,
                )
                .with_help(if names_edges {
                    "edges are numbered by the point they leave, from 1; give the points in order round the ring"
                } else {
                    "check the numbers here, or break the curve with a knuckle"
                }),
            );
            return None;
        }
        let area = ring.signed_area();
        if area.abs() < LEAST_AREA || area.is_nan() {
            findings.fault(
                Fault::new(
                    whole,
                    "this shape is smaller than a square millimetre",
                    "nothing to lay out",
                )
                .with_help("check the units: a bare number is in the layout's `units`"),
            );
            return None;
        }
        let mut edge_of_segment: Vec<usize> = self.steps.iter().map(|step| step.edge).collect();
        if area < 0.0 {
            edge_of_segment.reverse();
        }
        Some(EdgeRing {
            ring: ring.counter_clockwise(),
            edge_of_segment,
            edges: self.edges,
        })
    }
}

/// What is smaller is a slip of units, mm².
const LEAST_AREA: f64 = 1.0;

fn no_area(whole: Place) -> Fault {
    Fault::new(
        whole,
        "this shape encloses no area",
        "its points lie on one line",
    )
}

/// Whether all of a ring lies on one line.
fn is_flat(ring: &Ring) -> bool {
    let Some(start) = ring.segments().first().map(Segment::start) else {
        return true;
    };
    let off = |segment: &Segment| segment.end() - start;
    let along = ring
        .segments()
        .iter()
        .map(off)
        .max_by(|a, b| a.length().total_cmp(&b.length()))
        .map_or(Point::ORIGIN, Point::unit);
    ring.segments().iter().all(|segment| {
        matches!(segment, Segment::Line(..)) && along.cross(off(segment)).abs() <= TOUCH
    })
}

/// Makes each segment begin exactly where the one before ends, where rounding left a hair between.
fn join_exactly(segments: &mut [Segment]) {
    let Some(mut before) = segments.last().map(Segment::end) else {
        return;
    };
    for segment in segments {
        if segment.start().distance(before) <= TOUCH {
            match segment {
                Segment::Line(start, _) => *start = before,
                Segment::Arc(arc) => arc.start = before,
            }
        }
        before = segment.end();
    }
}
