//! A boundary moved aside without the engine, where that is plain. Comes in: a ring and a distance. Goes
//! out: the ring beside it, if it does not meet itself.
//!
//! The raw loop beside a boundary (see [`offset`](super::offset)) goes by way of the vertex at a corner that
//! closes: from where the two moved segments cross to the end of the one, the vertex, the start of the
//! other and back runs a kite, clockwise. Cut the kites off at the crossings and what is left winds as the
//! raw loop does but for one turn less in each kite. Where it is a simple ring that no kite meets but in
//! its own corner, all kites lie outside, and it bounds the answer by itself.
//!
//! Where lines meet in the corners that close, or what is as good as lines there, the kites need no look. Let the distance grow from
//! nothing: the trimmed sides of a line shrink evenly, so if they are left at the end they were all the
//! way, and the trimmed ring moves to its left without a break, passing every point at its distance from
//! the boundary. Each passing takes one from the point's winding number, which starts at 1 inside. So a
//! point that a simple ring winds round at the end was never passed, and the others were.

use super::crossing::{TOUCH, lie_apart, meetings};
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
    let sides = |index: usize| [&moved[index], &moved[(index + 1) % count]];
    let is_plain =
        |index: usize| passages[index].is_plain(segments[index].end(), distance, sides(index));
    let kites: Vec<KiteSide> = if (0..count).all(is_plain) {
        Vec::new()
    } else {
        (0..count)
            .flat_map(|index| passages[index].kite(segments[index].end(), sides(index)))
            .collect()
    };
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

    /// Whether it needs no look at its kite: no corner, one between lines, or one that turns so little that
    /// its arcs are as good as lines over the length of the kite.
    fn is_plain(&self, vertex: Point, distance: f64, [before, after]: [&Segment; 2]) -> bool {
        let Some(at) = self.cut() else {
            return true;
        };
        let bend = |segment: &Segment| match segment {
            Segment::Line(..) => 0.0,
            Segment::Arc(arc) => 1.0 / arc.radius,
        };
        let bend = bend(before).max(bend(after));
        let arm = at.distance(before.end()).max(at.distance(after.start()));
        let opening = before.end().distance(after.start()) / distance;
        // Between lines the arm is half as long as the kite's open end, or little more.
        bend == 0.0
            || opening < 0.1
                && arm < opening * distance
                && arm * bend < 0.1
                && vertex.distance(at) * bend < 0.1
    }

    /// The sides of the kite that is cut off.
    fn kite(&self, vertex: Point, [before, after]: [&Segment; 2]) -> Vec<KiteSide> {
        let Some(at) = self.cut() else {
            return Vec::new();
        };
        let legs = [
            Segment::Line(before.end(), vertex),
            Segment::Line(vertex, after.start()),
        ];
        let arm = at.distance(before.end()).max(at.distance(after.start()));
        between(before, at, before.end())
            .into_iter()
            .chain(legs)
            .chain(between(after, after.start(), at))
            .map(|side| KiteSide {
                corner: at,
                arm: arm + 2.0 * TOUCH,
                side,
            })
            .collect()
    }
}

/// A side of a kite.
#[derive(Debug, Clone, Copy)]
struct KiteSide {
    /// Where the kite hangs on the ring.
    corner: Point,
    /// How far the kite reaches from there along the moved segments.
    arm: f64,
    side: Segment,
}

impl KiteSide {
    /// Whether it meets a side of the ring other than in its own corner. At a corner that hardly turns the
    /// kite is a sliver, whose arms lie within a touch of the ring's two sides there.
    fn is_met_by(&self, side_of_ring: &Segment) -> bool {
        if lie_apart(side_of_ring, &self.side) {
            return false;
        }
        let ends_here = [side_of_ring.start(), side_of_ring.end()].contains(&self.corner);
        let reach = if ends_here { self.arm } else { 2.0 * TOUCH };
        meetings(side_of_ring, &self.side)
            .iter()
            .any(|meeting| meeting.at.distance(self.corner) > reach)
    }
}

/// Whether a ring meets neither itself nor a kite but in the kite's own corner.
fn keeps_clear(ring: &Ring, kites: &[KiteSide]) -> bool {
    let segments = ring.segments();
    let rows = Rows::new(
        segments
            .iter()
            .map(|segment| segment.bounding_box().grown(TOUCH))
            .collect(),
    );
    let mut is_clear = true;
    rows.touching_pairs(|a, b| {
        is_clear = is_clear && ring.undue_meeting(a.min(b), a.max(b)).is_none();
    });
    for kite in kites {
        rows.touching(&kite.side.bounding_box().grown(TOUCH), |index| {
            is_clear = is_clear && !kite.is_met_by(&segments[index]);
        });
    }
    is_clear
}
