//! Tangent arcs along a run of points that a smooth curve passed. Comes in: the points, what the run's
//! two ends must do, a tolerance. Goes out: biarcs as long as the tolerance lets them be, and the steps
//! between neighbouring points where no arc keeps it.
//!
//! A cut between two biarcs lies on the circle that fits the points round it best, and so does its
//! direction; the neighbourhood is an eighth of the piece to either side. That is short enough for the
//! circle's own error, a tenth of the change of curvature times its square, to cost a small part of the
//! tolerance, and long enough for rounding of the coordinates to average out.

use super::biarc::{Biarc, PREFERRED_RADIUS, RATIOS};
use super::osculating::{Tangent, direction_at, tangent_near};
use super::straights::strays;
use super::{Point, Segment};

/// An arc never stands for fewer steps than this, but at a run's end.
pub(super) const LEAST_STEPS: usize = 6;
/// Points looked at on either side of a cut, at most.
const MOST_ON_A_SIDE: usize = 32;
/// Share of the tolerance that a piece may use; the rest is for rounding.
pub(super) const SHARE: f64 = 0.98;
/// Points that throw out what is far off before all of them confirm.
const SAMPLES: usize = 8;
/// Points round a cut are flat while they stray from their chord by no more than so many tolerances.
const FLAT: f64 = 4.0;
/// Steps passed over, at most, after places where nothing fits.
const MOST_PASSED_OVER: usize = 16;

/// Where a run or piece ends, and in which direction (of travel), where that is settled.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tip {
    pub(super) at: Point,
    pub(super) along: Option<Point>,
}

impl Tip {
    /// A corner: any direction will do.
    pub(super) const fn corner(at: Point) -> Self {
        Self { at, along: None }
    }

    /// An end with its direction.
    pub(super) const fn towards(at: Point, along: Point) -> Self {
        Self {
            at,
            along: Some(along),
        }
    }
}

/// A segment and the points it stands for: from the last at or before its start to the first at or after
/// its end.
#[derive(Debug, Clone, Copy)]
pub(super) struct Laid {
    pub(super) segment: Segment,
    pub(super) from: usize,
    pub(super) to: usize,
}

/// Lays arcs along `points` from `start` to `end`, which stand for its first and last point.
pub(super) fn arcs_along(points: &[Point], start: Tip, end: Tip, tolerance: f64) -> Vec<Laid> {
    // One way round for a run and its mirror image, whichever way either is travelled.
    let (first, last) = (start.at, end.at);
    let backward = (last.x, last.y.abs()) < (first.x, first.y.abs());
    if !backward {
        return Run::new(points, end, tolerance).laid(start);
    }
    let turned: Vec<Point> = points.iter().rev().copied().collect();
    let back = |tip: Tip| Tip {
        at: tip.at,
        along: tip.along.map(|along| -along),
    };
    let top = points.len() - 1;
    let mut laid = Run::new(&turned, back(start), tolerance).laid(back(end));
    laid.reverse();
    for one in &mut laid {
        *one = Laid {
            segment: one.segment.reversed(),
            from: top - one.to,
            to: top - one.from,
        };
    }
    laid
}

struct Run<'a> {
    points: &'a [Point],
    last: usize,
    end: Tip,
    tolerance: f64,
}

/// A piece of the run: a biarc, or one step as it is.
#[derive(Debug, Clone, Copy)]
struct Piece {
    from: usize,
    to: usize,
    start: Tip,
    shape: Option<Biarc>,
}

/// A piece found: how far it reaches and how it ends.
struct Found {
    to: usize,
    tip: Tip,
    biarc: Biarc,
}

impl<'a> Run<'a> {
    fn new(points: &'a [Point], end: Tip, tolerance: f64) -> Self {
        Self {
            points,
            last: points.len() - 1,
            end,
            tolerance: SHARE * tolerance,
        }
    }

    fn laid(&self, start: Tip) -> Vec<Laid> {
        let mut pieces: Vec<Piece> = Vec::new();
        let (mut at, mut tip) = (0, start);
        let (mut guess, mut pass_over) = (None, 0);
        while at < self.last {
            let found = self.longest(at, tip, guess).or_else(|| {
                let free = Tip::corner(tip.at);
                tip.along.and_then(|_| self.longest(at, free, guess))
            });
            let Some(found) = found else {
                pass_over = (2 * pass_over + 1).min(MOST_PASSED_OVER);
                let to = (at + pass_over).min(self.last);
                for step in at..to {
                    pieces.push(Piece {
                        from: step,
                        to: step + 1,
                        start: tip,
                        shape: None,
                    });
                    tip = Tip::corner(self.points[step + 1]);
                }
                (at, guess) = (to, None);
                continue;
            };
            pieces.push(Piece {
                from: at,
                to: found.to,
                start: tip,
                shape: Some(found.biarc),
            });
            guess = Some(found.to - at);
            pass_over = 0;
            (at, tip) = (found.to, found.tip);
        }
        self.share_out_the_last_two(&mut pieces);
        self.segments(&pieces)
    }

    fn segments(&self, pieces: &[Piece]) -> Vec<Laid> {
        let mut laid = Vec::with_capacity(2 * pieces.len());
        for (i, piece) in pieces.iter().enumerate() {
            match &piece.shape {
                Some(biarc) => {
                    let joint = self.past_the_joint(biarc, piece.from, piece.to);
                    laid.push(Laid {
                        segment: biarc.first,
                        from: piece.from,
                        to: joint,
                    });
                    laid.push(Laid {
                        segment: biarc.second,
                        from: joint - 1,
                        to: piece.to,
                    });
                }
                None => {
                    let end = pieces.get(i + 1).map_or(self.end.at, |next| next.start.at);
                    laid.push(Laid {
                        segment: Segment::Line(piece.start.at, end),
                        from: piece.from,
                        to: piece.to,
                    });
                }
            }
        }
        laid
    }

    /// The longest biarc that starts at point `from`: galloping from the last one's length, then bisection.
    fn longest(&self, from: usize, start: Tip, guess: Option<usize>) -> Option<Found> {
        let left = self.last - from;
        let flat = self.flat_steps(from);
        let mut reach = guess.unwrap_or(8 * flat).max(LEAST_STEPS);
        let (mut best, mut low, mut high): (Option<Found>, usize, Option<usize>) =
            (None, from, None);
        loop {
            // No stub is left at the end.
            let to = if reach + LEAST_STEPS > left {
                self.last
            } else {
                from + reach
            };
            if let Some(found) = self.found(from, start, flat, to) {
                (best, low) = (Some(found), to);
                if to == self.last || high.is_some() {
                    break;
                }
                reach = reach * 3 / 2;
            } else {
                high = Some(to);
                if best.is_some() || reach <= LEAST_STEPS {
                    break;
                }
                reach = (reach.min(left) * 5 / 8).max(LEAST_STEPS);
            }
        }
        let mut high = high.filter(|_| best.is_some()).unwrap_or(low);
        while high - low > 1 + (low - from) / 32 {
            let middle = low + (high - low) / 2;
            match self.found(from, start, flat, middle) {
                Some(found) => (best, low) = (Some(found), middle),
                None => high = middle,
            }
        }
        best
    }

    /// A greedy fit leaves a short last piece; the last two share their stretch instead.
    fn share_out_the_last_two(&self, pieces: &mut Vec<Piece>) {
        let biarcs = pieces
            .iter()
            .rev()
            .take_while(|piece| piece.shape.is_some())
            .count();
        // What is left over may have been too short for an arc of its own.
        let steps = pieces
            .iter()
            .rev()
            .take_while(|piece| piece.shape.is_none())
            .count();
        let (before, cut) = if biarcs >= 2 {
            (pieces.len() - 2, pieces.len() - 1)
        } else if (1..LEAST_STEPS).contains(&steps) && steps < pieces.len() {
            (pieces.len() - steps - 1, pieces.len() - steps)
        } else {
            return;
        };
        let (from, start, cut) = (pieces[before].from, pieces[before].start, pieces[cut].from);
        if self.last - cut >= (cut - from) / 2 {
            return;
        }
        let middle = from + (self.last - from) / 2;
        for eighth in 0..8 {
            let middle = middle + (cut - middle.min(cut)) * eighth / 8;
            if middle <= from || middle >= self.last {
                continue;
            }
            let flat = self.flat_steps(middle);
            if let Some(first) = self.found(from, start, flat, middle)
                && let Some(second) = self.found(middle, first.tip, flat, self.last)
            {
                pieces.truncate(before);
                pieces.push(Piece {
                    from,
                    to: middle,
                    start,
                    shape: Some(first.biarc),
                });
                pieces.push(Piece {
                    from: middle,
                    to: self.last,
                    start: first.tip,
                    shape: Some(second.biarc),
                });
                return;
            }
        }
    }

    /// How many steps to either side of point `from` the run is flat to about the tolerance: rounding
    /// of coordinates tells there, bending does not.
    fn flat_steps(&self, from: usize) -> usize {
        let mut side = 2;
        loop {
            let (back, on) = (
                from.saturating_sub(2 * side),
                (from + 2 * side).min(self.last),
            );
            if on - back < 4 * side && on - back < 2 * side + 2 * LEAST_STEPS
                || strays(&self.points[back..=on]) > FLAT * self.tolerance
            {
                return side;
            }
            side *= 2;
        }
    }

    /// The biarc from point `from` to point `to`, if it keeps the tolerance; cuts settled by no fewer
    /// than `flat` points to either side, if there are so many.
    fn found(&self, from: usize, start: Tip, flat: usize, to: usize) -> Option<Found> {
        let tip = if to == self.last {
            self.end
        } else {
            let found = self.cut(from, flat, to)?;
            Tip::towards(found.at, found.along)
        };
        let biarc = match (start.along, tip.along) {
            (Some(leave), Some(meet)) => self.between(from, start.at, leave, to, tip.at, meet),
            (None, Some(meet)) => self
                .leaving(from, flat, to, start.at)
                .chain(mirrored_in(tip.at - start.at, meet))
                .find_map(|leave| self.between(from, start.at, leave, to, tip.at, meet)),
            (Some(leave), None) => self
                .meeting(from, flat, to, tip.at)
                .chain(mirrored_in(tip.at - start.at, leave))
                .find_map(|meet| self.between(from, start.at, leave, to, tip.at, meet)),
            (None, None) => self
                .leaving(from, flat, to, start.at)
                .zip(self.meeting(from, flat, to, tip.at))
                .find_map(|(leave, meet)| self.between(from, start.at, leave, to, tip.at, meet)),
        }?;
        Some(Found { to, tip, biarc })
    }

    /// Point and direction where a piece from `from` is cut at point `to`.
    fn cut(&self, from: usize, flat: usize, to: usize) -> Option<Tangent> {
        let side = ((to - from) / 8).max(flat).min(to).min(self.last - to);
        if side < 2 {
            return None;
        }
        let (back, on) = (self.points[to - side], self.points[to + side]);
        let at = self.points[to];
        // Steps of very different length: no further on one side than on the other.
        let reach = squared(at - back).min(squared(on - at)) * 1.5;
        let stride = side / MOST_ON_A_SIDE + 1;
        let around = (0..=side / stride)
            .flat_map(|k| {
                let off = k * stride;
                [to - off, to + off]
                    .into_iter()
                    .take(if k == 0 { 1 } else { 2 })
            })
            .map(|i| self.points[i])
            .filter(|point| squared(*point - at) <= reach);
        tangent_near(at, (on - back).unit(), reach.sqrt(), around)
    }

    /// Directions in which the curve may leave the corner `at`, which is point `from`.
    fn leaving(
        &self,
        from: usize,
        flat: usize,
        to: usize,
        at: Point,
    ) -> impl Iterator<Item = Point> {
        [3, 8].into_iter().filter_map(move |share| {
            let side = ((to - from) / share).max(2 * flat).min(to - from);
            let stride = side / (2 * MOST_ON_A_SIDE) + 1;
            let points = (1..=side / stride).map(|k| self.points[from + k * stride]);
            let chord = self.points[from + side] - at;
            direction_at(at, chord.unit(), chord.length(), points)
        })
    }

    /// Directions in which the curve may meet the corner `at`, which is point `to`.
    fn meeting(
        &self,
        from: usize,
        flat: usize,
        to: usize,
        at: Point,
    ) -> impl Iterator<Item = Point> {
        [3, 8].into_iter().filter_map(move |share| {
            let side = ((to - from) / share).max(2 * flat).min(to - from);
            let stride = side / (2 * MOST_ON_A_SIDE) + 1;
            let points = (1..=side / stride).map(|k| self.points[to - k * stride]);
            let chord = self.points[to - side] - at;
            direction_at(at, chord.unit(), chord.length(), points).map(|along| -along)
        })
    }

    fn between(
        &self,
        from: usize,
        start: Point,
        leave: Point,
        to: usize,
        end: Point,
        meet: Point,
    ) -> Option<Biarc> {
        let along = (end - start).unit();
        if !(along.dot(leave) > 0.0 && along.dot(meet) > 0.0 && leave.dot(meet) > 0.0) {
            return None;
        }
        let with = |ratio: f64| {
            Biarc::between(start, leave, end, meet, ratio)
                .filter(|biarc| self.keeps(biarc, from, to))
        };
        let found = with(1.0)?;
        if found.greatest_radius() <= PREFERRED_RADIUS {
            return Some(found);
        }
        // Otherwise divided, where that spares a radius no one can draw.
        RATIOS[1..]
            .iter()
            .filter_map(|ratio| with(*ratio))
            .find(|biarc| biarc.greatest_radius() <= PREFERRED_RADIUS)
            .or(Some(found))
    }

    /// The first of the points `from..=to` that lies past the biarc's joint.
    fn past_the_joint(&self, biarc: &Biarc, from: usize, to: usize) -> usize {
        let points = &self.points[from..=to];
        from + points.partition_point(|point| (*point - biarc.joint).dot(biarc.tangent) < 0.0)
    }

    /// Whether the steps from point `from` to point `to` run along the biarc within the tolerance, at
    /// their ends and between them. As the steps turn one way about each arc's centre from its start to
    /// its end, no point of the arc is further from them either.
    fn keeps(&self, biarc: &Biarc, from: usize, to: usize) -> bool {
        let tracks = [
            Track::of(&biarc.first, self.tolerance),
            Track::of(&biarc.second, self.tolerance),
        ];
        let past = self.past_the_joint(biarc, from, to);
        if past == from || past > to {
            return false;
        }
        let near = (1..SAMPLES).all(|k| {
            let i = from + (to - from) * k / SAMPLES;
            tracks[usize::from(i >= past)].is_near(self.points[i])
        });
        if !near {
            return false;
        }
        let (before, after) = (self.points[past - 1], self.points[past]);
        let (short, beyond) = (
            (biarc.joint - before).dot(biarc.tangent),
            (after - biarc.joint).dot(biarc.tangent),
        );
        let across = before.towards(after, short / (short + beyond));
        tracks[0].is_near(across)
            && tracks[0].runs_along(&[before, across])
            && tracks[1].runs_along(&[across, after])
            && tracks[0].runs_along(&self.points[from..past])
            && tracks[1].runs_along(&self.points[past..=to])
    }
}

/// The direction at the other end of a single arc over `chord`.
fn mirrored_in(chord: Point, along: Point) -> impl Iterator<Item = Point> {
    let unit = chord.unit();
    std::iter::once(unit * (2.0 * unit.dot(along)) - along)
}

fn squared(vector: Point) -> f64 {
    vector.dot(vector)
}

/// A segment's line or circle with a tolerance either side.
pub(super) enum Track {
    Line {
        start: Point,
        along: Point,
        tolerance: f64,
    },
    Circle {
        centre: Point,
        /// Squares of the least and greatest distance from the centre.
        least: f64,
        greatest: f64,
        /// 1 where it is travelled counter-clockwise, else -1.
        turn: f64,
    },
}

impl Track {
    pub(super) fn of(segment: &Segment, tolerance: f64) -> Self {
        match segment {
            Segment::Line(start, end) => Self::Line {
                start: *start,
                along: (*end - *start).unit(),
                tolerance,
            },
            Segment::Arc(arc) => Self::Circle {
                centre: arc.centre,
                least: (arc.radius - tolerance).max(0.0).powi(2),
                greatest: (arc.radius + tolerance).powi(2),
                turn: arc.sweep.signum(),
            },
        }
    }

    fn is_near(&self, point: Point) -> bool {
        match self {
            Self::Line {
                start,
                along,
                tolerance,
            } => along.cross(point - *start).abs() <= *tolerance,
            Self::Circle {
                centre,
                least,
                greatest,
                ..
            } => {
                let square = squared(point - *centre);
                *least <= square && square <= *greatest
            }
        }
    }

    /// Whether `points` lie near and every step from one to the next runs on along the track and comes no
    /// nearer to the centre than its points may.
    pub(super) fn runs_along(&self, points: &[Point]) -> bool {
        let mut before = points[0];
        if !self.is_near(before) {
            return false;
        }
        match self {
            Self::Line { along, .. } => points[1..].iter().all(|point| {
                let on = along.dot(*point - before) >= 0.0;
                before = *point;
                on && self.is_near(*point)
            }),
            Self::Circle {
                centre,
                least,
                greatest,
                turn,
            } => points[1..].iter().all(|point| {
                let (from, step, to) = (before - *centre, *point - before, *point - *centre);
                before = *point;
                let square = squared(to);
                // Twice the triangle with the centre: step times distance of its line from the centre.
                let swept = from.cross(step);
                *least <= square
                    && square <= *greatest
                    && swept * *turn >= 0.0
                    && (swept * swept >= *least * squared(step)
                        // A step aslant has its least distance at one of its ends.
                        || from.dot(step) >= 0.0
                        || to.dot(step) <= 0.0)
            }),
        }
    }
}
