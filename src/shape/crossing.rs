//! Where boundaries meet: two segments, and a ring with itself. Comes in: segments. Goes out: the
//! points where they cross or touch; exact for lines and arcs, a hair of [`TOUCH`] apart counts as touching.

use super::curve::{self, Curve};
use super::rows::Rows;
use super::{Arc, Point, Ring, Segment};

/// What lies nearer than this, millimetres, touches.
pub const TOUCH: f64 = 1e-6;

/// A point common to two segments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meeting {
    /// Where.
    pub at: Point,
    /// How far along the first segment, 0 to 1.
    pub on_first: f64,
    /// How far along the second.
    pub on_second: f64,
    /// Whether it is an end of a stretch that the two have in common.
    pub is_shared_stretch: bool,
}

/// Two segments of one ring that cross, touch or lie on each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// Index of the one.
    pub first: usize,
    /// Index of the other, greater.
    pub second: usize,
    /// Where.
    pub at: Point,
}

/// All points where two segments meet; of a common stretch its two ends.
/// Points nearer to each other than [`TOUCH`] are told of once; they come in the order along the first. A segment
/// without length meets another where its point lies on it.
///
/// ```
/// use spile::shape::{Point, Segment, meetings};
/// let line = |a: [f64; 2], b: [f64; 2]| {
///     Segment::Line(Point::new(a[0], a[1]), Point::new(b[0], b[1]))
/// };
/// let level = line([0.0, 0.0], [100.0, 0.0]);
/// let met = meetings(&level, &line([25.0, -10.0], [25.0, 10.0]));
/// assert_eq!((met.len(), met[0].on_first, met[0].on_second), (1, 0.25, 0.5));
///
/// let along = meetings(&level, &line([150.0, 0.0], [50.0, 0.0]));
/// assert_eq!((along[0].on_first, along[1].on_first), (0.5, 1.0));
/// assert!(along.iter().all(|meeting| meeting.is_shared_stretch));
/// ```
#[must_use]
pub fn meetings(first: &Segment, second: &Segment) -> Vec<Meeting> {
    let mut found = Vec::new();
    let mut candidates: Vec<Point> = Vec::new();
    if let (Some(one), Some(other)) = (Curve::of(first), Curve::of(second)) {
        match one.meet(&other, TOUCH) {
            curve::Meeting::Nowhere => {}
            curve::Meeting::Touch { at, .. } => candidates.push(at),
            curve::Meeting::Cross { at, .. } => candidates.extend(at),
        }
        // Touching within a hair: where it touches, beside both ends of the sliver.
        candidates.extend(one.grazes(&other, TOUCH));
    }
    for at in candidates {
        if let (Some(on_first), Some(on_second)) = (share_near(first, at), share_near(second, at)) {
            found.push(Meeting {
                at,
                on_first,
                on_second,
                is_shared_stretch: false,
            });
        }
    }
    // Ends that lie on the other segment: touches, and the ends of common stretches.
    let ends = [
        (first.start(), Some(0.0), None),
        (first.end(), Some(1.0), None),
        (second.start(), None, Some(0.0)),
        (second.end(), None, Some(1.0)),
    ];
    let shares_a_track = lie_on_one_track(first, second);
    for (at, on_first, on_second) in ends {
        let on_first = on_first.or_else(|| share_near(first, at));
        let on_second = on_second.or_else(|| share_near(second, at));
        if let (Some(on_first), Some(on_second)) = (on_first, on_second) {
            found.push(Meeting {
                at,
                on_first,
                on_second,
                is_shared_stretch: shares_a_track,
            });
        }
    }
    found.sort_by(|a, b| a.on_first.total_cmp(&b.on_first));
    found.dedup_by(|b, a| {
        let same = a.at.distance(b.at) <= TOUCH;
        a.is_shared_stretch |= same && b.is_shared_stretch;
        same
    });
    // One point in common is no stretch.
    if found.len() < 2 {
        for meeting in &mut found {
            meeting.is_shared_stretch = false;
        }
    }
    found
}

impl Ring {
    /// The first place (by segment) where the ring crosses itself, touches itself or runs back on
    /// itself; neighbours meeting end to end do none of these.
    /// ```
    /// use spile::shape::{Point, Ring};
    /// let corners = [[0.0, 0.0], [100.0, 100.0], [100.0, 0.0], [0.0, 100.0]];
    /// let bow_tie = Ring::polygon(&corners.map(|[x, y]| Point::new(x, y)));
    /// let crossing = bow_tie.self_crossing().expect("its diagonals cross");
    /// assert_eq!((crossing.first, crossing.second), (0, 2));
    /// assert!(crossing.at.distance(Point::new(50.0, 50.0)) < 1e-9);
    /// assert!(Ring::circle(Point::ORIGIN, 100.0).self_crossing().is_none());
    /// ```
    #[must_use]
    pub fn self_crossing(&self) -> Option<Crossing> {
        let segments = self.segments();
        let boxes = segments
            .iter()
            .map(|segment| segment.bounding_box().grown(TOUCH))
            .collect();
        let mut found: Option<Crossing> = None;
        Rows::new(boxes).touching_pairs(|one, other| {
            let (first, second) = (one.min(other), one.max(other));
            if found.is_none_or(|known| (first, second) < (known.first, known.second))
                && let Some(at) = self.undue_meeting(first, second)
            {
                found = Some(Crossing { first, second, at });
            }
        });
        found
    }

    /// Where two segments meet other than as neighbours do.
    pub(super) fn undue_meeting(&self, first: usize, second: usize) -> Option<Point> {
        let segments = self.segments();
        let (one, other) = (&segments[first], &segments[second]);
        let follows = second == first + 1;
        let closes = first == 0 && second == segments.len() - 1;
        if lie_apart(one, other) || (follows || closes) && run_on(one, other) {
            return None;
        }
        let met = meetings(one, other);
        let due = |meeting: &Meeting| {
            (follows && meeting.at.distance(one.end()) <= TOUCH)
                || (closes && meeting.at.distance(one.start()) <= TOUCH)
        };
        let undue = met.iter().find(|meeting| !due(meeting))?;
        Some(undue.at)
    }
}

/// Whether two lines plainly have nothing in common: one lies wholly on one side of the other.
pub(super) fn lie_apart(first: &Segment, second: &Segment) -> bool {
    let (Segment::Line(a, b), Segment::Line(c, d)) = (first, second) else {
        return false;
    };
    let is_aside = |from: &Point, to: &Point, points: [&Point; 2]| {
        let along = *to - *from;
        let touch = TOUCH * along.length();
        let [u, v] = points.map(|point| along.cross(*point - *from));
        u.min(v) > touch || u.max(v) < -touch
    };
    is_aside(a, b, [c, d]) || is_aside(c, d, [a, b])
}

/// Whether neighbours are lines that do not turn back: they meet where they join and nowhere else.
fn run_on(first: &Segment, second: &Segment) -> bool {
    match (first, second) {
        (Segment::Line(a, b), Segment::Line(c, d)) => (*b - *a).dot(*d - *c) > 0.0,
        _ => false,
    }
}

/// Whether `at` lies on the segment, to within a touch.
#[must_use]
pub fn lies_on(segment: &Segment, at: Point) -> bool {
    share_near(segment, at).is_some()
}

/// How far along the segment `at` lies; none where it is further than a touch from it.
fn share_near(segment: &Segment, at: Point) -> Option<f64> {
    if at.distance(segment.start()) <= TOUCH {
        return Some(0.0);
    }
    if at.distance(segment.end()) <= TOUCH {
        return Some(1.0);
    }
    match segment {
        Segment::Line(start, end) => {
            let chord = *end - *start;
            let length = chord.length();
            if length == 0.0 {
                return None;
            }
            let unit = chord * (1.0 / length);
            let along = unit.dot(at - *start);
            let near = unit.cross(at - *start).abs() <= TOUCH && (0.0..=length).contains(&along);
            near.then_some(along / length)
        }
        Segment::Arc(arc) => {
            let near = (at.distance(arc.centre) - arc.radius).abs() <= TOUCH;
            near.then(|| share_within(arc, at)).flatten()
        }
    }
}

/// Share along an arc by angle, without the slack that a great radius would make long.
fn share_within(arc: &Arc, at: Point) -> Option<f64> {
    let (from, to) = (arc.start - arc.centre, at - arc.centre);
    let mut turn = from.cross(to).atan2(from.dot(to)) * arc.sweep.signum();
    if turn < 0.0 {
        turn += std::f64::consts::TAU;
    }
    (turn <= arc.sweep.abs()).then(|| turn / arc.sweep.abs())
}

/// Whether both lie on one line or one circle.
fn lie_on_one_track(first: &Segment, second: &Segment) -> bool {
    match (first, second) {
        (Segment::Line(a, b), Segment::Line(c, d)) => {
            let along = (*b - *a).unit();
            [*c, *d]
                .iter()
                .all(|point| along.cross(*point - *a).abs() <= TOUCH)
        }
        (Segment::Arc(one), Segment::Arc(other)) => {
            one.centre.distance(other.centre) <= TOUCH && (one.radius - other.radius).abs() <= TOUCH
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn polygon(list: &[[f64; 2]]) -> Ring {
        let points: Vec<Point> = list.iter().map(|[x, y]| Point::new(*x, *y)).collect();
        Ring::polygon(&points)
    }

    #[test]
    fn a_plain_ring_does_not_cross_itself() {
        let square = polygon(&[[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]]);
        assert_eq!(square.self_crossing(), None);
        assert_eq!(Ring::circle(Point::ORIGIN, 50.0).self_crossing(), None);
        // Collinear neighbours are no spike.
        let split = polygon(&[[0.0, 0.0], [5.0, 0.0], [10.0, 0.0], [10.0, 10.0]]);
        assert_eq!(split.self_crossing(), None);
    }

    #[test]
    fn a_bow_tie_crosses_in_its_middle() {
        let tie = polygon(&[[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]]);
        let found = tie.self_crossing().expect("a crossing");
        assert_eq!((found.first, found.second), (0, 2));
        assert!(found.at.distance(Point::new(5.0, 5.0)) < 1e-12);
    }

    #[test]
    fn a_spike_a_touch_and_a_common_stretch_are_found() {
        let spike = polygon(&[
            [0.0, 0.0],
            [10.0, 0.0],
            [10.0, 10.0],
            [10.0, 5.0],
            [0.0, 10.0],
        ]);
        assert!(spike.self_crossing().is_some());
        let touch = polygon(&[
            [0.0, 0.0],
            [10.0, 0.0],
            [10.0, 10.0],
            [5.0, 0.0],
            [0.0, 10.0],
        ]);
        let found = touch.self_crossing().expect("a touch");
        assert!(found.at.distance(Point::new(5.0, 0.0)) < 1e-9);
        let overlap = polygon(&[
            [0.0, 0.0],
            [20.0, 0.0],
            [20.0, 10.0],
            [15.0, 10.0],
            [15.0, 0.0],
            [5.0, 0.0],
            [5.0, 10.0],
            [0.0, 10.0],
        ]);
        assert!(overlap.self_crossing().is_some());
    }

    #[test]
    fn an_arc_that_dips_through_the_opposite_edge_is_found_exactly() {
        // A 100 x 30 rectangle whose upper edge is an arc sagging 50.
        let corner = |x, y| Point::new(x, y);
        let sag = Arc::through(corner(100.0, 30.0), corner(50.0, -20.0), corner(0.0, 30.0));
        let ring = Ring::new(vec![
            Segment::Line(corner(0.0, 0.0), corner(100.0, 0.0)),
            Segment::Line(corner(100.0, 0.0), corner(100.0, 30.0)),
            Segment::Arc(sag.expect("an arc")),
            Segment::Line(corner(0.0, 30.0), corner(0.0, 0.0)),
        ]);
        let found = ring.self_crossing().expect("a crossing");
        // Circle of radius 50 about (50, 30): meets y = 0 at x = 50 ± 40.
        assert!(found.at.distance(corner(10.0, 0.0)) < 1e-9);
    }

    #[test]
    fn circles_that_touch_meet_once() {
        let left = Segment::Arc(Arc::about(Point::new(-5.0, 0.0), 5.0, -PI / 2.0, PI));
        let right = Segment::Arc(Arc::about(Point::new(5.0, 0.0), 5.0, PI / 2.0, PI));
        let met = meetings(&left, &right);
        assert_eq!(met.len(), 1, "{met:?}");
        assert!(met[0].at.length() < 1e-9);
    }

    #[test]
    fn ten_thousand_segments_are_judged_at_once() {
        let points: Vec<Point> = (0..10_000)
            .map(|i| Point::at_angle(f64::from(i) * PI / 5_000.0) * 5_000.0)
            .collect();
        let start = std::time::Instant::now();
        assert_eq!(Ring::polygon(&points).self_crossing(), None);
        assert!(start.elapsed().as_secs_f64() < 2.0);
    }
}
