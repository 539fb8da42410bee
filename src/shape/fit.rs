//! Lines and arcs for dense points: a traced boundary replaced by the few segments it was taken from.
//! Comes in: points joined by straight steps, open or closed, and a tolerance. Goes out: [`FittedRun`]s.
//!
//! What holds, for every input:
//! - No point of the steps lies further than the tolerance from the fitted line, and no point of that
//!   further from the steps: at the points and between them. Both enclose the same area to within
//!   tolerance times perimeter.
//! - Corners stay, bit for bit. So do steps that no arc may stand for: fewer than six in a row that turn
//!   a little each, or steps longer than the tolerance lets an arc over them be (as a person measures).
//! - Between corners the fitted line does not break where arcs fit at all: they run on into each other and
//!   into straights.
//! - Neighbours share their ends bit for bit, and the fitted line crosses itself only where the steps do.
//! - The mirror image (y to -y) of points between two corners, travelled either way, gives the mirror image,
//!   but for where straights end in rounded coordinates.
//!
//! Time is linear in the points: each is looked at a few times.

use super::arcs_along::{LEAST_STEPS, Laid, Tip, Track, arcs_along};
use super::osculating::{Tangent, best_circle, direction_at, tangent_near};
use super::straights::{corners, is_long, straights, strays, turns};
use super::{Arc, Point, Ring, Segment};
use crate::units::Length;

/// A line or arc and the points it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedRun {
    /// The line or arc.
    pub segment: Segment,
    /// Index of the point where it starts, or of the last one before.
    pub from: usize,
    /// Index of the point where it ends, or of the first one after. In a closed list indices go on past
    /// the end: the count of points is the first point again.
    pub to: usize,
}

/// Rounds of unfolding runs that cross, before all are unfolded.
const ROUNDS: usize = 20;
/// Places looked at for a seam, at most.
const SEAMS: usize = 2000;
/// Points looked at on either side of a cut, at most.
const MOST_ON_A_SIDE: usize = 32;

/// Fits lines and arcs to `points` in order; its ends stay as they are. No segment runs across a point
/// listed in `kept` (indices): one ends there, bit for bit, without a break where the curve has none.
///
/// ```
/// use spile::shape::{Point, Segment, fit_chain};
/// use spile::units::Length;
/// // A quarter of a circle of radius 500 mm, a point every degree.
/// let points: Vec<Point> = (0..=90)
///     .map(|i| Point::at_angle(f64::from(i).to_radians()) * 500.0)
///     .collect();
/// let fitted = fit_chain(&points, &[], Length::mm(0.05));
/// assert!(fitted.len() <= 4);
/// assert!(matches!(fitted[0].segment, Segment::Arc(arc) if (arc.radius - 500.0).abs() < 1e-6));
/// ```
#[must_use]
pub fn fit_chain(points: &[Point], kept: &[usize], within: Length) -> Vec<FittedRun> {
    without_repeats(points, kept, false, |points, kept| {
        chain(points, kept, within.to_mm())
    })
}

fn chain(points: &[Point], kept: &[usize], tolerance: f64) -> Vec<FittedRun> {
    let turns = turns(points, false);
    let corners = corners(points, &turns, false, tolerance);
    let mut cuts: Vec<Cut> = kept.iter().copied().map(Cut::kept).collect();
    cuts.sort_unstable();
    let fit = Fit {
        points,
        turns: &turns,
        corners: &corners,
        cuts: &cuts,
        is_smooth_ring: false,
        tolerance,
    };
    fit.uncrossed()
}

/// Fits lines and arcs to the closed ring of `points`, the last joined to the first; the rest as for
/// [`fit_chain`]. The ring may start anywhere; the first run starts at the first corner, if there is one.
#[must_use]
pub fn fit_ring(points: &[Point], kept: &[usize], within: Length) -> Vec<FittedRun> {
    without_repeats(points, kept, true, |points, kept| {
        ring(points, kept, within.to_mm())
    })
}

fn ring(points: &[Point], kept: &[usize], tolerance: f64) -> Vec<FittedRun> {
    let count = points.len();
    if count < 2 {
        return Vec::new();
    }
    if count < 3 {
        return steps(&unrolled(points, 0), 0);
    }
    let turns = turns(points, true);
    let corners = corners(points, &turns, true, tolerance);
    let first_corner = corners.iter().position(|corner| *corner);
    let is_smooth_ring = first_corner.is_none();
    if is_smooth_ring
        && kept.is_empty()
        && let Some(circle) = whole_circle(points, tolerance)
    {
        return circle;
    }
    let start = first_corner
        .or_else(|| kept.first().copied())
        .unwrap_or_else(|| seam(points, &turns));
    let place = |i: usize| (i + count - start) % count;
    let mut cuts: Vec<Cut> = kept.iter().map(|i| Cut::kept(place(*i))).collect();
    cuts.extend(outermost(points).map(|i| Cut::free(place(i))));
    cuts.sort_unstable();
    let fit = Fit {
        points: &unrolled(points, start),
        turns: &unrolled(&turns, start),
        corners: &unrolled(&corners, start),
        cuts: &cuts,
        is_smooth_ring,
        tolerance,
    };
    let mut runs = fit.uncrossed();
    for run in &mut runs {
        run.from += start;
        run.to += start;
        if run.from >= count {
            run.from -= count;
            run.to -= count;
        }
    }
    runs
}

/// Fits points among which none repeats its neighbour, and gives the runs with the numbers of all points.
fn without_repeats(
    points: &[Point],
    kept: &[usize],
    is_closed: bool,
    fit: impl FnOnce(&[Point], &[usize]) -> Vec<FittedRun>,
) -> Vec<FittedRun> {
    let closes_on_itself = is_closed && points.len() > 1 && points.first() == points.last();
    if !closes_on_itself && points.windows(2).all(|pair| pair[0] != pair[1]) {
        return fit(points, kept);
    }
    let mut distinct: Vec<Point> = Vec::with_capacity(points.len());
    let mut numbers = Vec::with_capacity(points.len());
    // For each point given, its number among the distinct ones.
    let mut places = Vec::with_capacity(points.len());
    for (number, point) in points.iter().enumerate() {
        if distinct.last() != Some(point) {
            distinct.push(*point);
            numbers.push(number);
        }
        places.push(distinct.len() - 1);
    }
    while is_closed && distinct.len() > 1 && distinct.first() == distinct.last() {
        distinct.pop();
        numbers.pop();
    }
    let count = distinct.len();
    let mut kept: Vec<usize> = kept
        .iter()
        .filter_map(|number| places.get(*number))
        .map(|place| place % count)
        .collect();
    kept.dedup();
    let number = |place: usize| numbers[place % count] + place / count * points.len();
    let mut runs = fit(&distinct, &kept);
    for run in &mut runs {
        (run.from, run.to) = (number(run.from), number(run.to));
    }
    runs
}

/// A closed list from `start` once round, the first again at the end.
fn unrolled<T: Copy>(list: &[T], start: usize) -> Vec<T> {
    let mut once = Vec::with_capacity(list.len() + 1);
    once.extend_from_slice(&list[start..]);
    once.extend_from_slice(&list[..start]);
    once.extend(once.first().copied());
    once
}

/// The steps of a chain as lines; the first starts at point number `from`.
fn steps(points: &[Point], from: usize) -> Vec<FittedRun> {
    (from..)
        .zip(points.windows(2))
        .map(|(from, pair)| FittedRun {
            segment: Segment::Line(pair[0], pair[1]),
            from,
            to: from + 1,
        })
        .collect()
}

/// The circle that a ring of points without corners stands for, as two half arcs.
fn whole_circle(points: &[Point], tolerance: f64) -> Option<Vec<FittedRun>> {
    let count = points.len();
    let stride = count.div_ceil(2 * MOST_ON_A_SIDE);
    let (centre, radius) = best_circle(points.iter().step_by(stride).copied())?;
    let area = Ring::polygon(&points.iter().step_by(stride).copied().collect::<Vec<_>>());
    let half = std::f64::consts::PI.copysign(area.signed_area());
    let start = centre + (points[0] - centre).unit() * radius;
    let opposite = centre - (start - centre);
    let arc = |start, end| Arc {
        start,
        end,
        centre,
        radius,
        sweep: half,
    };
    let first = Segment::Arc(arc(start, opposite));
    let second = Segment::Arc(arc(opposite, start));
    if !Track::of(&first, tolerance).runs_along(&unrolled(points, 0)) {
        return None;
    }
    // Once round and not twice.
    let beyond = |point: &Point| (start - centre).cross(*point - centre) * half < 0.0;
    let past = points.iter().position(beyond)?;
    if !points[past..].iter().all(beyond) {
        return None;
    }
    Some(vec![
        FittedRun {
            segment: first,
            from: 0,
            to: past,
        },
        FittedRun {
            segment: second,
            from: past - 1,
            to: count,
        },
    ])
}

/// Where a ring without corners is best cut open: at its point of least x if it bends there and on both
/// sides, else where it bends most, never at the end of a straight.
fn seam(points: &[Point], turns: &[f64]) -> usize {
    let count = turns.len();
    let bend = |i: usize| {
        (count - LEAST_STEPS / 2..=count + LEAST_STEPS / 2)
            .map(|off| turns[(i + off) % count])
            .fold(f64::INFINITY, f64::min)
    };
    let (mut sharpest, mut most) = (0, 0.0);
    for i in (0..count).step_by(1 + count / SEAMS) {
        let bend = bend(i);
        if bend > most {
            (sharpest, most) = (i, bend);
        }
    }
    outermost(points)
        .next()
        .filter(|i| bend(*i) >= 0.1 * most)
        .unwrap_or(sharpest)
}

/// The points of least and greatest x.
fn outermost(points: &[Point]) -> impl Iterator<Item = usize> {
    let by_x = |a: &usize, b: &usize| points[*a].x.total_cmp(&points[*b].x);
    let least = (0..points.len()).min_by(by_x);
    let greatest = (0..points.len()).max_by(by_x);
    [least, greatest].into_iter().flatten()
}

/// A point where arcs are cut for a reason other than their tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Cut {
    at: usize,
    /// Whether the cut may lie beside the point, smoothed.
    is_free: bool,
}

impl Cut {
    const fn kept(at: usize) -> Self {
        Self { at, is_free: false }
    }

    const fn free(at: usize) -> Self {
        Self { at, is_free: true }
    }
}

/// A chain of points as it is fitted.
struct Fit<'a> {
    points: &'a [Point],
    turns: &'a [f64],
    corners: &'a [bool],
    cuts: &'a [Cut],
    /// Whether the chain is a ring cut open where it is smooth.
    is_smooth_ring: bool,
    tolerance: f64,
}

impl Fit<'_> {
    /// The fitted runs, those that cross each other unfolded to the steps they stand for.
    fn uncrossed(&self) -> Vec<FittedRun> {
        let mut runs = self.runs();
        let is_fitted = |run: &FittedRun| run.to - run.from > 1;
        for _ in 0..ROUNDS {
            if !runs.iter().any(is_fitted) {
                return runs;
            }
            let ring = Ring::new(runs.iter().map(|run| run.segment).collect());
            let Some(crossing) = ring.self_crossing() else {
                return runs;
            };
            let crossed = [crossing.first, crossing.second];
            if !crossed.iter().any(|i| is_fitted(&runs[*i])) {
                return runs;
            }
            runs = (0..)
                .zip(runs)
                .flat_map(|(i, run)| {
                    if crossed.contains(&i) {
                        self.unfolded(&run)
                    } else {
                        vec![run]
                    }
                })
                .collect();
        }
        steps(self.points, 0)
    }

    /// A run's steps as lines, between its own ends.
    fn unfolded(&self, run: &FittedRun) -> Vec<FittedRun> {
        let mut chain = self.points[run.from..=run.to].to_vec();
        let last = chain.len() - 1;
        (chain[0], chain[last]) = (run.segment.start(), run.segment.end());
        steps(&chain, run.from)
    }

    fn runs(&self) -> Vec<FittedRun> {
        let mut runs = Vec::new();
        let Some(last) = self.points.len().checked_sub(1) else {
            return runs;
        };
        let mut from = 0;
        for to in 1..=last {
            if to == last || self.corners[to] {
                if to - from < LEAST_STEPS {
                    runs.extend(steps(&self.points[from..=to], from));
                } else {
                    self.stretch(from, to, &mut runs);
                }
                from = to;
            }
        }
        runs
    }

    /// Fits a stretch between corners, cut at its long steps.
    fn stretch(&self, from: usize, to: usize, runs: &mut Vec<FittedRun>) {
        let mut start = from;
        for step in from..to {
            if !self.is_long(step) {
                continue;
            }
            self.dense(start, step, from, to, runs);
            runs.extend(steps(&self.points[step..=step + 1], step));
            start = step + 1;
        }
        self.dense(start, to, from, to, runs);
    }

    /// Whether no arc may stand for a step, as it turns at those of its ends that are smooth.
    fn is_long(&self, step: usize) -> bool {
        let turn = |i: usize| if self.corners[i] { 0.0 } else { self.turns[i] };
        is_long(
            self.points,
            turn(step).max(turn(step + 1)),
            step,
            self.tolerance,
        )
    }

    /// Fits short steps from point `from` to point `to`, which lie in the stretch from `first` to `last`:
    /// straight runs first, arcs in the gaps.
    fn dense(&self, from: usize, to: usize, first: usize, last: usize, runs: &mut Vec<FittedRun>) {
        if to - from < LEAST_STEPS {
            if to > from {
                runs.extend(steps(&self.points[from..=to], from));
            }
            return;
        }
        let (start, end) = (self.tip_at(from, from > first), self.tip_at(to, to < last));
        let in_corners = start.along.is_none() && end.along.is_none();
        let (mut at, mut tip) = (from, start);
        for straight in straights(&self.points[from..=to], in_corners, self.tolerance) {
            let along = (straight.end - straight.start).unit();
            let (begin, finish) = (from + straight.from, from + straight.to);
            self.gap(at, tip, begin, Tip::towards(straight.start, along), runs);
            self.straight(
                Laid {
                    segment: Segment::Line(straight.start, straight.end),
                    from: begin,
                    to: finish,
                },
                runs,
            );
            (at, tip) = (finish, Tip::towards(straight.end, along));
        }
        self.gap(at, tip, to, end, runs);
    }

    /// How dense points start or end at point `i`: along the long step there, in a corner, or at the seam of
    /// a smooth ring.
    fn tip_at(&self, i: usize, is_beside_long_step: bool) -> Tip {
        let point = self.points[i];
        let last = self.points.len() - 1;
        let step = |from: usize| (self.points[from + 1] - self.points[from]).unit();
        if is_beside_long_step {
            let before = i.checked_sub(1).filter(|step| self.is_long(*step));
            return Tip::towards(point, step(before.unwrap_or(i)));
        }
        if !(self.is_smooth_ring && (i == 0 || i == last)) {
            return Tip::corner(point);
        }
        if self.is_long(last - 1) {
            return Tip::towards(point, step(last - 1));
        }
        if self.is_long(0) {
            return Tip::towards(point, step(0));
        }
        // As much of the ring on both sides of the seam as a cut could need.
        let side = (last / 2).min(self.points.len() - 1);
        let around: Vec<Point> = self.points[last - side..last]
            .iter()
            .chain(&self.points[..=side])
            .copied()
            .collect();
        let is_free = !self.cuts.contains(&Cut::kept(0));
        self.smooth_tip(&around, side, is_free)
    }

    /// Point and direction of the curve at point `i` of `points`, from a neighbourhood flat to about the
    /// tolerance.
    fn smooth_tip(&self, points: &[Point], i: usize, is_free: bool) -> Tip {
        let most = i.min(points.len() - 1 - i);
        let mut side = most.min(3);
        while 2 * side <= most
            && strays(&points[i - 2 * side..=i + 2 * side]) <= 2.0 * self.tolerance
        {
            side *= 2;
        }
        while side >= 2 {
            let stride = side.div_ceil(MOST_ON_A_SIDE);
            let chord = points[i + side] - points[i - side];
            let around = points[i - side..=i + side].iter().step_by(stride).copied();
            let (axis, scale) = (chord.unit(), chord.length() / 2.0);
            let found = if is_free {
                tangent_near(points[i], axis, scale, around)
            } else {
                direction_at(points[i], axis, scale, around).map(|along| Tangent {
                    at: points[i],
                    along,
                })
            };
            if let Some(tangent) = found
                && tangent.at.distance(points[i]) <= self.tolerance / 2.0
            {
                return Tip::towards(tangent.at, tangent.along);
            }
            side /= 2;
        }
        Tip::corner(points[i])
    }

    /// A straight run, cut at the kept points it passes.
    fn straight(&self, mut line: Laid, runs: &mut Vec<FittedRun>) {
        let (start, end) = (line.segment.start(), line.segment.end());
        let mut at = start;
        for cut in self.cuts_between(line.from, line.to) {
            if cut.is_free {
                continue;
            }
            let point = self.points[cut.at];
            runs.push(FittedRun {
                segment: Segment::Line(at, point),
                from: line.from,
                to: cut.at,
            });
            (at, line.from) = (point, cut.at);
        }
        runs.push(FittedRun {
            segment: Segment::Line(at, end),
            from: line.from,
            to: line.to,
        });
    }

    fn cuts_between(&self, from: usize, to: usize) -> impl Iterator<Item = &Cut> {
        let first = self.cuts.partition_point(|cut| cut.at <= from);
        self.cuts[first..].iter().take_while(move |cut| cut.at < to)
    }

    /// Lays arcs over a gap between straights and corners, cut where it has to be.
    fn gap(&self, from: usize, start: Tip, to: usize, end: Tip, runs: &mut Vec<FittedRun>) {
        let (mut at, mut tip) = (from, start);
        for cut in self.cuts_between(from, to) {
            let room = (cut.at - at).min(to - cut.at);
            if cut.at == at || (cut.is_free && room < LEAST_STEPS) {
                continue;
            }
            let middle = self.smooth_tip(&self.points[from..=to], cut.at - from, cut.is_free);
            self.arcs(at, tip, cut.at, middle, runs);
            (at, tip) = (cut.at, middle);
        }
        self.arcs(at, tip, to, end, runs);
    }

    fn arcs(&self, from: usize, start: Tip, to: usize, end: Tip, runs: &mut Vec<FittedRun>) {
        if from == to {
            return;
        }
        let laid = arcs_along(&self.points[from..=to], start, end, self.tolerance);
        runs.extend(laid.into_iter().map(|laid| FittedRun {
            segment: laid.segment,
            from: from + laid.from,
            to: from + laid.to,
        }));
    }
}
