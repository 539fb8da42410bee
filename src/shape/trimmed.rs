//! A boundary moved aside without the engine, where that is plain. Comes in: a ring and a distance. Goes
//! out: the ring beside it, if it does not meet itself.
//!
//! The raw loop beside a boundary (see [`offset`](super::offset)) goes from a corner that closes by way of
//! the vertex: from where the two moved segments cross to the end of the one, the vertex, the start of the
//! other and back runs a kite, clockwise. Cut the kites off at the crossings and what is left winds as the
//! raw loop does but for one turn less in each kite. Where it is a simple ring that no kite meets but in
//! its own corner, all kites lie outside, and it bounds the answer by itself.

use super::crossing::{TOUCH, meetings};
use super::offset::{Joint, TANGENT, between, parallel, pie_arc, weld};
use super::rows::Rows;
use super::{Arc, Point, Ring, Segment};

/// The ring `distance` to the left of another; none where it, or a kite, may meet itself.
pub(super) fn moved_aside(ring: &Ring, distance: f64) -> Option<Ring> {
    let segments = ring.segments();
    let count = segments.len();
    let moved: Vec<Segment> = segments
        .iter()
        .map(|segment| parallel(segment, distance))
        .collect::<Option<_>>()?;
    let passages: Vec<Passage> = (0..count)
        .map(|index| {
            let after = (index + 1) % count;
            let joint = Joint::between(&segments[index], &segments[after]);
            Passage::of(&joint, distance, &moved[index], &moved[after])
        })
        .collect::<Option<_>>()?;
    let mut path = Vec::with_capacity(2 * count);
    for index in 0..count {
        let before = &passages[(index + count - 1) % count];
        let (start, end) = (before.cut(), passages[index].cut());
        path.push(if start.is_none() && end.is_none() {
            moved[index]
        } else {
            let start = start.unwrap_or_else(|| moved[index].start());
            between(
                &moved[index],
                start,
                end.unwrap_or_else(|| moved[index].end()),
            )?
        });
        if let Passage::Round(arc) = passages[index] {
            path.push(Segment::Arc(arc));
        }
    }
    let trimmed = weld(path);
    let kites: Vec<(Point, Segment)> = (0..count)
        .flat_map(|index| {
            let ends = [&moved[index], &moved[(index + 1) % count]];
            passages[index].kite(segments[index].end(), ends)
        })
        .collect();
    let keeps_its_way = (trimmed.signed_area() > 0.0) == (ring.signed_area() > 0.0);
    (keeps_its_way && keeps_clear(&trimmed, &kites)).then_some(trimmed)
}

/// From one moved segment to the next.
#[derive(Debug, Clone, Copy)]
enum Passage {
    /// The boundary runs on.
    On,
    /// Round a vertex that turns away.
    Round(Arc),
    /// Where the two cross, at a corner that closes.
    Cut(Point),
}

impl Passage {
    fn of(joint: &Joint, distance: f64, before: &Segment, after: &Segment) -> Option<Self> {
        if joint.opens_left() {
            return Some(Self::Round(pie_arc(joint, distance)));
        }
        if joint.turn <= TANGENT {
            return Some(Self::On);
        }
        match before.crossings(after)[..] {
            [at] => Some(Self::Cut(at)),
            _ => None,
        }
    }

    const fn cut(&self) -> Option<Point> {
        match self {
            Self::Cut(at) => Some(*at),
            Self::On | Self::Round(_) => None,
        }
    }

    /// The sides of the kite that is cut off, each with the corner it hangs on.
    fn kite(&self, vertex: Point, [before, after]: [&Segment; 2]) -> Vec<(Point, Segment)> {
        let Some(at) = self.cut() else {
            return Vec::new();
        };
        let legs = [
            Segment::Line(before.end(), vertex),
            Segment::Line(vertex, after.start()),
        ];
        between(before, at, before.end())
            .into_iter()
            .chain(legs)
            .chain(between(after, after.start(), at))
            .map(|side| (at, side))
            .collect()
    }
}

/// Whether a ring meets neither itself nor a kite but in the kite's own corner.
fn keeps_clear(ring: &Ring, kites: &[(Point, Segment)]) -> bool {
    let segments = ring.segments();
    let boxes = segments
        .iter()
        .chain(kites.iter().map(|(_, side)| side))
        .map(|segment| segment.bounding_box().grown(TOUCH))
        .collect();
    let mut is_clear = true;
    Rows::new(boxes).touching_pairs(|a, b| {
        if !is_clear {
            return;
        }
        let (a, b) = (a.min(b), a.max(b));
        is_clear = match (segments.get(a), b.checked_sub(segments.len())) {
            (Some(_), None) => ring.undue_meeting(a, b).is_none(),
            (Some(side_of_ring), Some(kite)) => {
                let (corner, side) = &kites[kite];
                meetings(side_of_ring, side)
                    .iter()
                    .all(|meeting| meeting.at.distance(*corner) <= 2.0 * TOUCH)
            }
            (None, _) => true,
        };
    });
    is_clear
}
