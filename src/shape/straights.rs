//! Where a chain of points turns a corner, and where it runs straight: what has to be known before
//! arcs are laid along the rest. Comes in: points. Goes out: which are corners, and straight runs.

use super::Point;
use super::arcs_along::{LEAST_STEPS, SHARE};
use super::osculating::best_line;

/// A turn greater than this at one point, radians, is a corner however short the steps.
const GREATEST_TURN: f64 = 0.3;
/// A lesser turn is one where it is this many times as sharp as any near it, ...
const CONTRAST: f64 = 4.0;
/// ... and greater than this, radians.
const LEAST_CORNER: f64 = 1e-3;
/// How many points to either side are near.
const NEAR: isize = 3;
/// Steps of a turn seen from further off.
const FAR: isize = 8;
/// A run this many times as long as those beside it is straight and not merely flat.
const LONGER: f64 = 8.0;
/// The same of a run whose points lie on one line: rounding alone puts a few there.
const LONGER_IF_EXACT: f64 = 4.0;
/// A run whose middle strays no further than this, millimetres, is straight.
const EXACT: f64 = 1e-6;

/// How sharply the chain turns at each point: the sine of the angle; 2 where it turns back or a step
/// has no length.
pub(super) fn turns(points: &[Point], is_closed: bool) -> Vec<f64> {
    let count = points.len();
    let mut turns = vec![2.0; count];
    let length = |step: Point| step.dot(step).sqrt();
    if count < 3 {
        return turns;
    }
    let (mut before, mut long) = if is_closed {
        let step = points[0] - points[count - 1];
        (step, length(step))
    } else {
        (Point::ORIGIN, 0.0)
    };
    for i in 0..count {
        let next = if i + 1 < count {
            points[i + 1]
        } else if is_closed {
            points[0]
        } else {
            break;
        };
        let step = next - points[i];
        let size = length(step);
        if before.dot(step) > 0.0 {
            turns[i] = before.cross(step).abs() / (long * size);
        }
        (before, long) = (step, size);
    }
    turns
}

/// Which points are corners: the boundary turns there by more than its neighbourhood explains, or so
/// far that an arc would leave the steps by more than the tolerance.
pub(super) fn corners(
    points: &[Point],
    turns: &[f64],
    is_closed: bool,
    tolerance: f64,
) -> Vec<bool> {
    let count = points.len();
    let before = |i: usize, k: usize| (i + count - k) % count;
    let is_plain = |i: usize| {
        let turn = turns[i];
        if turn > GREATEST_TURN {
            return false;
        }
        let step = |a: usize, b: usize| {
            let step = points[b] - points[a];
            step.dot(step)
        };
        let shorter = step(before(i, 1), i).min(step(i, (i + 1) % count));
        turn * turn * shorter <= (8.0 * tolerance) * (8.0 * tolerance)
    };
    let plain: Vec<bool> = (0..count).map(is_plain).collect();
    let scales = Scales {
        points,
        turns,
        plain: &plain,
        is_closed,
    };
    (0..count)
        .map(|i| !plain[i] || (turns[i] > LEAST_CORNER && scales.is_corner(i)))
        .collect()
}

/// Turns seen from near and from further off.
struct Scales<'a> {
    points: &'a [Point],
    turns: &'a [f64],
    plain: &'a [bool],
    is_closed: bool,
}

impl Scales<'_> {
    /// Whether point `i` turns far more than those near it, and as far from afar as from near: what
    /// rounding of coordinates turns one way it turns back at the next point.
    fn is_corner(&self, i: usize) -> bool {
        let turn = self.turns[i];
        let near = (1..=NEAR).flat_map(|k| [self.at(i, -k), self.at(i, k)]);
        let near = near.flatten().filter(|other| self.plain[*other]);
        let sharpest = near.clone().map(|other| self.turns[other]);
        if turn <= CONTRAST * sharpest.fold(0.0, f64::max) {
            return false;
        }
        // By curvature too: long steps turn further than short ones on one circle.
        let bend = |j: usize| self.turns[j] / self.span(j);
        if bend(i) <= CONTRAST * near.map(bend).fold(0.0, f64::max) {
            return false;
        }
        let Some(far) = self.turn_from(i, FAR) else {
            return true;
        };
        let sharpest = [-3, -2, 2, 3]
            .into_iter()
            .filter_map(|k| self.turn_from(self.at(i, k * FAR / 2)?, FAR))
            .fold(0.0, |most: f64, other| most.max(other.abs()));
        far.abs() >= 0.6 * turn && far.abs() > CONTRAST * sharpest
    }

    /// The point `off` places on.
    fn at(&self, i: usize, off: isize) -> Option<usize> {
        let count = self.points.len();
        let place = i.checked_add_signed(off);
        if !self.is_closed {
            return place.filter(|place| *place < count);
        }
        Some(match place {
            Some(place) => place % count,
            None => i + count - off.unsigned_abs() % count,
        })
    }

    /// Length of both steps at a point.
    fn span(&self, i: usize) -> f64 {
        [self.at(i, -1), self.at(i, 1)]
            .into_iter()
            .flatten()
            .map(|other| self.points[other].distance(self.points[i]))
            .sum()
    }

    /// Sine of the turn at point `i` between chords over `steps` steps.
    fn turn_from(&self, i: usize, steps: isize) -> Option<f64> {
        let (back, on) = (self.at(i, -steps)?, self.at(i, steps)?);
        let into = self.points[i] - self.points[back];
        let out = self.points[on] - self.points[i];
        Some(into.cross(out) / (into.length() * out.length()))
    }
}

/// Whether the step from point `i` to the next is so long, where it turns by `turn` at its ends, that no
/// arc may stand for it: on a circle of radius r a step of length L turns by L/r and lies L²/8r off.
pub(super) fn is_long(points: &[Point], turn: f64, i: usize, tolerance: f64) -> bool {
    let step = points[i + 1] - points[i];
    step.dot(step).sqrt() * turn / 8.0 > tolerance
}

/// A straight run of points and the line that stands for it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Straight {
    /// Index of its first point.
    pub(super) from: usize,
    /// Index of its last.
    pub(super) to: usize,
    /// Where the line starts.
    pub(super) start: Point,
    /// Where it ends.
    pub(super) end: Point,
}

/// The straight runs of a stretch without corners, in order; `ends_in_corners` where both its ends are
/// corners.
pub(super) fn straights(points: &[Point], ends_in_corners: bool, tolerance: f64) -> Vec<Straight> {
    // Points that lie within the tolerance of a line lie within two of it about any of them.
    let cuts = flat_runs(points, 2.0 * tolerance);
    let last = points.len() - 1;
    let length = |k: usize| points[cuts[k]].distance(points[cuts[k + 1]]);
    let runs = cuts.len() - 1;
    let mut found: Vec<Straight> = Vec::new();
    for k in 0..runs {
        let (from, to) = (cuts[k], cuts[k + 1]);
        if to - from < LEAST_STEPS {
            continue;
        }
        if runs == 1 && ends_in_corners && strays(points) <= SHARE * tolerance {
            found.push(Straight {
                from,
                to,
                start: points[from],
                end: points[to],
            });
            break;
        }
        let quarter = (to - from) / 4;
        let middle = &points[from + quarter..=to - quarter];
        // What is cut short by the stretch's end says nothing of how flat it is there; one alone may
        // have been cut short by rounding.
        let beside = |other: usize| (other + 1 < runs).then(|| length(other));
        let longest = [-2, -1, 1, 2]
            .into_iter()
            .filter_map(|off| beside(k.checked_add_signed(off)?))
            .fold(0.0, f64::max);
        let stands_out = longest > 0.0 && length(k) >= LONGER * longest;
        let strays = strays(middle);
        let is_exact = strays <= EXACT && length(k) >= LONGER_IF_EXACT * longest;
        if !(stands_out || is_exact) {
            continue;
        }
        let done = found.last().map_or(0, |straight| straight.to);
        if done > from + quarter {
            continue;
        }
        found.extend(settled(
            points,
            done,
            last,
            (from + quarter, to - quarter),
            (1.5 * strays).max(EXACT).min(SHARE * tolerance),
        ));
    }
    found
}

/// How far points stray from the line from the first to the last.
pub(super) fn strays(points: &[Point]) -> f64 {
    let (first, last) = (points[0], points[points.len() - 1]);
    let along = (last - first).unit();
    points
        .iter()
        .map(|point| along.cross(*point - first).abs())
        .fold(0.0, f64::max)
}

/// The straight run about the points `middle` of one, within the points `least..=most`, as far as
/// they stray no further than `limit` from the line that fits its middle.
fn settled(
    points: &[Point],
    least: usize,
    most: usize,
    middle: (usize, usize),
    limit: f64,
) -> Option<Straight> {
    let inside = &points[middle.0..=middle.1];
    let axis = (inside[inside.len() - 1] - inside[0]).unit();
    let line = best_line(axis, inside)?;
    let on = |from: usize, to: usize| {
        line.along.cross(points[to] - line.at).abs() <= limit
            && (points[to] - points[from]).dot(line.along) * (if to > from { 1.0 } else { -1.0 })
                > 0.0
    };
    let (mut from, mut to) = middle;
    if !(from..to).all(|i| on(i, i + 1)) {
        return None;
    }
    while from > least && on(from, from - 1) {
        from -= 1;
    }
    while to < most && on(to, to + 1) {
        to += 1;
    }
    if to - from < LEAST_STEPS {
        return None;
    }
    let foot = |i: usize| {
        // Its own point where there is no rounding to smooth out, and at the stretch's ends.
        if limit <= EXACT || i == 0 || i == points.len() - 1 {
            points[i]
        } else {
            line.at + line.along * line.along.dot(points[i] - line.at)
        }
    };
    Some(Straight {
        from,
        to,
        start: foot(from),
        end: foot(to),
    })
}

/// Cuts a stretch into runs, each as long as can be with all points near a line through its first: the
/// interval of slopes that pass every point so far, narrowed point by point.
fn flat_runs(points: &[Point], within: f64) -> Vec<usize> {
    let last = points.len() - 1;
    let mut cuts = vec![0];
    let mut from = 0;
    while from < last {
        let start = points[from];
        let axis = (points[from + 1] - start).unit();
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        let mut to = from + 1;
        let mut reach = 0.0;
        while to <= last {
            let off = points[to] - start;
            let (x, y) = (axis.dot(off), axis.cross(off));
            let per = 1.0 / x;
            let slope = y * per;
            if x <= reach || slope < low || slope > high {
                break;
            }
            let slack = within * per;
            (low, high) = (low.max(slope - slack), high.min(slope + slack));
            reach = x;
            to += 1;
        }
        from = (to - 1).max(from + 1);
        cuts.push(from);
    }
    cuts
}
