//! Rounding a corner: the arc of a given radius that touches both segments that meet there. Comes in:
//! the segment that runs into the corner and the one that leaves it. Goes out: where the arc leaves
//! the one and joins the other, and the arc.

use super::{Arc, Point, Segment};

/// The arc that rounds a corner and where it touches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rounding {
    /// Share (0 to 1) of the first segment at which the arc leaves it.
    pub leave: f64,
    /// Share of the second segment at which the arc joins it.
    pub join: f64,
    /// The arc.
    pub arc: Arc,
}

/// Below this turn, radians, two segments run on into each other and there is nothing to round.
pub const LEAST_TURN: f64 = 1e-7;

/// How far the boundary turns from `into` to `out`, radians, positive to the left.
/// ```
/// use spile::shape::{Point, Segment, turn_between};
/// let line = |a: [f64; 2], b: [f64; 2]| {
///     Segment::Line(Point::new(a[0], a[1]), Point::new(b[0], b[1]))
/// };
/// let turn = turn_between(&line([0.0, 0.0], [100.0, 0.0]), &line([100.0, 0.0], [100.0, 50.0]));
/// assert_eq!(turn, std::f64::consts::FRAC_PI_2);
/// ```
#[must_use]
pub fn turn_between(into: &Segment, out: &Segment) -> f64 {
    let (from, to) = (into.direction_at(1.0), out.direction_at(0.0));
    from.cross(to).atan2(from.dot(to))
}

/// Rounds the corner where `into` ends and `out` begins, or would begin if both were carried no
/// further than they are; none where an arc of that radius does not touch both.
/// `turn` is what [`turn_between`] says of the two, above [`LEAST_TURN`] in size; `radius` is in millimetres and
/// positive. Between two lines the arc touches r tan(turn/2) from the corner.
///
/// ```
/// use spile::shape::{Point, Segment, round_corner, turn_between};
/// let corner = Point::new(100.0, 0.0);
/// let into = Segment::Line(Point::ORIGIN, corner);
/// let out = Segment::Line(corner, Point::new(100.0, 50.0));
/// let turn = turn_between(&into, &out);
/// let rounding = round_corner(&into, &out, turn, 20.0).expect("it has room");
/// assert!((rounding.leave - 0.8).abs() < 1e-12 && (rounding.join - 0.4).abs() < 1e-12);
/// assert!(rounding.arc.centre.distance(Point::new(80.0, 20.0)) < 1e-9);
/// // It would leave the second line beyond its end.
/// assert!(round_corner(&into, &out, turn, 60.0).is_none());
/// ```
#[must_use]
pub fn round_corner(into: &Segment, out: &Segment, turn: f64, radius: f64) -> Option<Rounding> {
    if let (Segment::Line(..), Segment::Line(corner, _)) = (into, out)
        && into.end() == *corner
    {
        return round_lines(into, out, turn, radius);
    }
    let left = turn > 0.0;
    let (before, after) = (
        Track::beside(into, left, radius)?,
        Track::beside(out, left, radius)?,
    );
    before
        .meeting(&after)
        .into_iter()
        .flatten()
        .filter_map(|centre| {
            let centre = settled(into, out, left, radius, centre)?;
            let (leave, start) = touch(into, centre)?;
            let (join, end) = touch(out, centre)?;
            let mut arc = Arc::between(start, end, centre, left);
            arc.radius = radius;
            (arc.sweep.abs() <= std::f64::consts::PI + 1e-9).then_some(Rounding {
                leave,
                join,
                arc,
            })
        })
        // Of two that touch, the one nearer to the corner.
        .max_by(|a, b| (a.leave - a.join).total_cmp(&(b.leave - b.join)))
}

fn round_lines(into: &Segment, out: &Segment, turn: f64, radius: f64) -> Option<Rounding> {
    let corner = into.end();
    let length = radius * (turn / 2.0).tan().abs();
    let (before, after) = (into.length(), out.length());
    // A hair of slack: a rounding that takes the whole edge is as good as any.
    if !(length <= before * (1.0 + 1e-9) && length <= after * (1.0 + 1e-9)) {
        return None;
    }
    let (from, to) = (into.direction_at(1.0), out.direction_at(0.0));
    let start = corner - from * length;
    let side = if turn > 0.0 {
        from.left()
    } else {
        -from.left()
    };
    Some(Rounding {
        leave: (1.0 - length / before).max(0.0),
        join: (length / after).min(1.0),
        arc: Arc {
            start,
            end: corner + to * length,
            centre: start + side * radius,
            radius,
            sweep: turn,
        },
    })
}

/// Where centres of circles lie that touch a segment.
enum Track {
    Line(Point, Point),
    Circle(Point, f64),
}

impl Track {
    fn beside(segment: &Segment, left: bool, radius: f64) -> Option<Self> {
        match segment {
            Segment::Line(start, _) => {
                let along = segment.direction_at(0.0);
                let side = if left { along.left() } else { -along.left() };
                Some(Self::Line(*start + side * radius, along))
            }
            Segment::Arc(arc) => {
                let inside = left == (arc.sweep > 0.0);
                let track = if inside {
                    arc.radius - radius
                } else {
                    arc.radius + radius
                };
                (track > 0.0).then_some(Self::Circle(arc.centre, track))
            }
        }
    }

    fn meeting(&self, other: &Self) -> [Option<Point>; 2] {
        match (self, other) {
            (Self::Line(p, u), Self::Line(q, v)) => {
                let cross = u.cross(*v);
                let at = (cross != 0.0).then(|| *p + *u * ((*q - *p).cross(*v) / cross));
                [at, None]
            }
            (Self::Line(p, u), Self::Circle(centre, radius))
            | (Self::Circle(centre, radius), Self::Line(p, u)) => {
                let foot = *p + *u * (*centre - *p).dot(*u);
                both_sides(
                    foot,
                    *u,
                    radius * radius - (foot - *centre).dot(foot - *centre),
                )
            }
            (Self::Circle(a, r), Self::Circle(b, s)) => {
                let apart = *b - *a;
                let distance = apart.length();
                if distance == 0.0 {
                    return [None, None];
                }
                let along = (distance * distance + r * r - s * s) / (2.0 * distance);
                let unit = apart * (1.0 / distance);
                both_sides(*a + unit * along, unit.left(), r * r - along * along)
            }
        }
    }
}

fn both_sides(middle: Point, along: Point, square: f64) -> [Option<Point>; 2] {
    if square < 0.0 {
        return [None, None];
    }
    let half = square.sqrt();
    [Some(middle + along * half), Some(middle - along * half)]
}

/// Where a circle about `centre` that touches the segment's line or circle touches it: the share of
/// the way along and the point; none off the segment.
fn touch(segment: &Segment, centre: Point) -> Option<(f64, Point)> {
    match segment {
        Segment::Line(start, end) => {
            let along = *end - *start;
            let share = (centre - *start).dot(along) / along.dot(along);
            (-1e-9..=1.0 + 1e-9)
                .contains(&share)
                .then(|| (share.clamp(0.0, 1.0), start.towards(*end, share)))
        }
        Segment::Arc(arc) => {
            let share = arc.share_at_angle((centre - arc.centre).angle())?;
            let (off, out) = off_track(segment, centre);
            Some((share, centre - out * off))
        }
    }
}

/// How far `point` lies from the segment's line (to the left) or circle (outward), and the direction in
/// which that grows. Reckoned from the segment's start, so that a great radius costs no digits.
fn off_track(segment: &Segment, point: Point) -> (f64, Point) {
    match segment {
        Segment::Line(start, _) => {
            let side = segment.direction_at(0.0).left();
            (side.dot(point - *start), side)
        }
        Segment::Arc(arc) => {
            let from = point - arc.start;
            let out = (arc.start - arc.centre).unit();
            let spoke = out * arc.radius + from;
            let off =
                (from.dot(from) + 2.0 * arc.radius * from.dot(out)) / (arc.radius + spoke.length());
            (off, spoke.unit())
        }
    }
}

/// The centre brought to its exact distance from both segments by Newton's method: circles of great
/// radius meet at a point that the closed form gives to few digits. None where it does not settle.
fn settled(
    into: &Segment,
    out: &Segment,
    left: bool,
    radius: f64,
    mut centre: Point,
) -> Option<Point> {
    let due = |segment: &Segment| match segment {
        Segment::Line(..) => radius * if left { 1.0 } else { -1.0 },
        Segment::Arc(arc) => radius * if left == (arc.sweep > 0.0) { -1.0 } else { 1.0 },
    };
    let mut step = Point::ORIGIN;
    for _ in 0..6 {
        let ((a, u), (b, v)) = (off_track(into, centre), off_track(out, centre));
        let (a, b) = (a - due(into), b - due(out));
        let cross = u.cross(v);
        if cross == 0.0 {
            return None;
        }
        step = Point::new(b * u.y - a * v.y, a * v.x - b * u.x) * (1.0 / cross);
        centre = centre + step;
    }
    let size = 1.0 + radius + centre.distance(into.end());
    (step.length() <= 1e-10 * size).then_some(centre)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    fn rounded(into: Segment, out: Segment, radius: f64) -> Rounding {
        round_corner(&into, &out, turn_between(&into, &out), radius).expect("a rounding")
    }

    #[test]
    fn a_square_corner_gets_a_quarter_turn() {
        let corner = Point::new(100.0, 0.0);
        let into = Segment::Line(Point::ORIGIN, corner);
        let out = Segment::Line(corner, Point::new(100.0, 80.0));
        let found = rounded(into, out, 20.0);
        assert_eq!(found.arc.centre, Point::new(80.0, 20.0));
        assert!((found.arc.sweep - FRAC_PI_2).abs() < 1e-15);
        assert!(round_corner(&into, &out, FRAC_PI_2, 80.1).is_none());
    }

    #[test]
    fn a_line_into_a_half_circle_is_rounded_by_an_arc_that_touches_both() {
        // A D turned over: the line meets the half circle square, and the rounding lies inside.
        let into = Segment::Line(Point::new(-50.0, 0.0), Point::new(50.0, 0.0));
        let out = Segment::Arc(Arc::about(Point::ORIGIN, 50.0, 0.0, PI));
        let arc = rounded(into, out, 10.0).arc;
        // Centre 10 above the line and 40 from the middle of the half circle.
        assert!((arc.centre.y - 10.0).abs() < 1e-12);
        assert!((arc.centre.length() - 40.0).abs() < 1e-12);
        assert!((arc.start.y).abs() < 1e-12);
        assert!((arc.end.length() - 50.0).abs() < 1e-12);
        assert!((arc.start.distance(arc.centre) - 10.0).abs() < 1e-12);
        assert!((arc.end.distance(arc.centre) - 10.0).abs() < 1e-12);
    }

    #[test]
    fn an_arc_of_great_radius_is_touched_as_exactly_as_a_small_one() {
        let corner = Point::new(1000.0, 700.0);
        let into = Segment::Line(Point::new(0.0, 0.0), corner);
        for great in [1e4, 1e7, 1e9] {
            let centre = corner + Point::new(-great, 0.0);
            let out = Segment::Arc(Arc::between(
                corner,
                centre + Point::at_angle(800.0 / great) * great,
                centre,
                true,
            ));
            let arc = rounded(into, out, 25.0).arc;
            for end in [arc.start, arc.end] {
                assert!((end.distance(arc.centre) - 25.0).abs() < 1e-12, "{arc:?}");
            }
            // Inside the great circle by 25: from its start, where nothing cancels.
            let from = arc.centre - corner;
            let inside = (from.dot(from) + 2.0 * great * from.x) / (2.0 * great - 25.0);
            assert!((inside + 25.0).abs() < 1e-9, "{inside}");
        }
    }

    #[test]
    fn two_arcs_are_rounded_by_an_arc_that_touches_both() {
        // A lens: two arcs of radius 100 whose centres lie 120 apart; its tips are at (0, ±80).
        let tip = Point::new(0.0, 80.0);
        let into = Segment::Arc(Arc::between(-tip, tip, Point::new(-60.0, 0.0), true));
        let out = Segment::Arc(Arc::between(tip, -tip, Point::new(60.0, 0.0), true));
        let arc = rounded(into, out, 10.0).arc;
        assert!(arc.centre.x.abs() < 1e-12);
        assert!((arc.centre.y - f64::sqrt(90.0 * 90.0 - 60.0 * 60.0)).abs() < 1e-9);
        assert!(arc.sweep > 0.0);
    }
}
