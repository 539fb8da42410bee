//! The least weighted sum of squared residuals from places to begin with: Gauss-Newton steps, damped as K. Levenberg
//! and D. Marquardt do where a full step does not lower the sum. Comes in: a network, which of its distances count,
//! which points may move, places. Goes out: better places.

use nalgebra::{Matrix2, Vector2};

use super::sparse::{Blocks, Pattern};
use super::{Known, Network};
use crate::shape::Point;

/// Steps before it is good as it is; well-posed networks take four to eight.
const MOST_STEPS: usize = 60;
/// A step shorter than this ends it, mm.
const STILL: f64 = 1e-8;
/// Added to each normal equation, as a share of the weightiest: a direction that nothing holds stays where it is.
pub(super) const FLOOR: f64 = 1e-10;

/// How a residual counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Loss {
    /// By its square.
    Squares,
    /// By its square up to twice its deviation, linearly beyond (P. J. Huber, 1964), so that a gross error pulls little.
    Huber,
}

/// Where Huber's loss turns linear, in deviations.
const HUBER: f64 = 2.0;

impl Loss {
    /// Loss and weight of a residual in units of its deviation.
    pub(super) fn of(self, ratio: f64) -> (f64, f64) {
        let size = ratio.abs();
        if self == Self::Squares || size <= HUBER {
            (ratio * ratio, 1.0)
        } else {
            (HUBER * (2.0 * size - HUBER), HUBER / size)
        }
    }
}

/// Which points move, numbered among themselves, and which distances touch them.
pub(super) struct System<'n> {
    network: &'n Network,
    /// Number among the unknown of each point.
    pub(super) unknown: Vec<Option<usize>>,
    /// The point of each unknown.
    pub(super) points: Vec<usize>,
    /// Distances that count.
    ties: Vec<usize>,
    pub(super) pattern: Pattern,
}

impl<'n> System<'n> {
    /// The system of those points that `moves` lets move and that a distance of `counts` touches. The pattern has room for the
    /// distances of `room` too.
    pub(super) fn new(
        network: &'n Network,
        counts: &[bool],
        room: &[bool],
        moves: &[bool],
    ) -> Self {
        let free =
            |point: usize| moves[point] && !matches!(network.marks[point].known, Known::At(_));
        let mut touched = vec![false; network.marks.len()];
        let mut ties = Vec::new();
        for (number, tie) in network.distances.iter().enumerate() {
            if counts[number] && (free(tie.from) || free(tie.to)) {
                ties.push(number);
                touched[tie.from] = true;
                touched[tie.to] = true;
            }
        }
        let mut unknown = vec![None; network.marks.len()];
        let mut points = Vec::new();
        for (point, touched) in touched.iter().enumerate() {
            if *touched && free(point) {
                unknown[point] = Some(points.len());
                points.push(point);
            }
        }
        let joined = network
            .distances
            .iter()
            .zip(room)
            .filter(|(_, room)| **room)
            .filter_map(|(tie, _)| unknown[tie.from].zip(unknown[tie.to]));
        let pattern = Pattern::of(points.len(), joined);
        Self {
            network,
            unknown,
            points,
            ties,
            pattern,
        }
    }

    /// The sum of losses.
    pub(super) fn sum(&self, at: &[Point], loss: Loss) -> f64 {
        self.ties
            .iter()
            .map(|number| {
                let tie = &self.network.distances[*number];
                let residual = at[tie.from].distance(at[tie.to]) - tie.length;
                loss.of(residual / tie.deviation).0
            })
            .sum()
    }

    /// The normal equations at some places: their matrix, and the right-hand side.
    ///
    /// `curved` adds how a distance curves where it is found too long, as it is where circles do not reach each other: without, a point on
    /// the line of its two neighbours leaps about and creeps to its place instead of stepping there. The curvature is no part of what is known of the point.
    pub(super) fn normal(
        &self,
        at: &[Point],
        loss: Loss,
        curved: bool,
    ) -> (Blocks<'_>, Vec<Vector2<f64>>) {
        let mut blocks = self.pattern.zeros();
        let mut right = vec![Vector2::zeros(); self.points.len()];
        for number in &self.ties {
            let tie = &self.network.distances[*number];
            let unit = direction(at[tie.from], at[tie.to]);
            let residual = at[tie.from].distance(at[tie.to]) - tie.length;
            let weight = loss.of(residual / tie.deviation).1 / (tie.deviation * tie.deviation);
            let slope = |point: usize| match self.network.marks[point].known {
                Known::OnAxis => Vector2::new(unit.x, 0.0),
                Known::At(_) | Known::Free => Vector2::new(unit.x, unit.y),
            };
            let (from, to) = (-slope(tie.from), slope(tie.to));
            let across = |point: usize| match self.network.marks[point].known {
                Known::OnAxis => Vector2::new(unit.y, 0.0),
                Known::At(_) | Known::Free => Vector2::new(unit.y, -unit.x),
            };
            let bend = if curved {
                let apart = at[tie.from].distance(at[tie.to]);
                weight * residual.max(0.0) / apart.max(1e-6)
            } else {
                0.0
            };
            let (side_from, side_to) = (across(tie.from), across(tie.to));
            if let Some(a) = self.unknown[tie.from] {
                let block = from * from.transpose() * weight;
                blocks.add_diagonal(a, block + side_from * side_from.transpose() * bend);
                right[a] -= from * (weight * residual);
            }
            if let Some(b) = self.unknown[tie.to] {
                let block = to * to.transpose() * weight;
                blocks.add_diagonal(b, block + side_to * side_to.transpose() * bend);
                right[b] -= to * (weight * residual);
            }
            if let (Some(a), Some(b)) = (self.unknown[tie.from], self.unknown[tie.to]) {
                let block = from * to.transpose() * weight;
                blocks.add(a, b, block - side_from * side_to.transpose() * bend);
            }
        }
        for (number, point) in self.points.iter().enumerate() {
            if self.network.marks[*point].known == Known::OnAxis {
                // Its y is no unknown: an equation of its own holds it.
                blocks.add_diagonal(number, Matrix2::new(0.0, 0.0, 0.0, self.heaviest()));
            }
        }
        (blocks, right)
    }

    /// How a distance grows with the coordinates of each of its ends that is unknown.
    pub(super) fn slopes(&self, at: &[Point], tie: usize) -> Vec<(usize, Vector2<f64>)> {
        let tie = &self.network.distances[tie];
        let unit = direction(at[tie.from], at[tie.to]);
        [(tie.from, -1.0), (tie.to, 1.0)]
            .into_iter()
            .filter_map(|(point, sign)| {
                let y = match self.network.marks[point].known {
                    Known::OnAxis => 0.0,
                    Known::At(_) | Known::Free => unit.y,
                };
                Some((self.unknown[point]?, Vector2::new(unit.x, y) * sign))
            })
            .collect()
    }

    /// The greatest weight of a distance.
    pub(super) fn heaviest(&self) -> f64 {
        self.ties
            .iter()
            .map(|number| self.network.distances[*number].deviation.powi(-2))
            .fold(f64::MIN_POSITIVE, f64::max)
    }

    /// Moves the points to where the sum of losses is least near where they are; gives that sum.
    pub(super) fn settle(&self, at: &mut [Point], loss: Loss, most_steps: usize) -> f64 {
        let mut sum = self.sum(at, loss);
        let floor = FLOOR * self.heaviest();
        let mut damping = 1e-4;
        for _ in 0..most_steps.min(MOST_STEPS) {
            let (mut blocks, right) = self.normal(at, loss, false);
            let mut moved = None;
            for attempt in 0..12 {
                if attempt == 1 {
                    blocks = self.normal(at, loss, true).0;
                }
                let step = blocks.factor(damping, floor).solve(&right);
                let mut tried = at.to_vec();
                let mut longest = 0.0_f64;
                for (&point, step) in self.points.iter().zip(&step) {
                    longest = longest.max(step.norm());
                    tried[point] = tried[point] + Point::new(step.x, step.y);
                }
                let new = self.sum(&tried, loss);
                if new.is_finite() && new <= sum {
                    moved = Some((tried, new, longest));
                    damping = if damping < 1e-9 { 0.0 } else { damping * 0.05 };
                    break;
                }
                if longest < STILL {
                    break;
                }
                damping = (damping * 10.0).max(1e-6);
            }
            let Some((tried, new, longest)) = moved else {
                break;
            };
            at.copy_from_slice(&tried);
            sum = new;
            if longest < STILL {
                break;
            }
        }
        sum
    }
}

/// The unit vector from one point to another; along x where they coincide, so that they can come apart.
pub(super) fn direction(from: Point, to: Point) -> Point {
    let unit = (to - from).unit();
    if unit == Point::ORIGIN {
        Point::new(1.0, 0.0)
    } else {
        unit
    }
}

/// Moves all points of a network to its least sum; gives that sum.
pub(super) fn least_squares(network: &Network, used: &[bool], at: &mut [Point], loss: Loss) -> f64 {
    let moves = vec![true; network.marks.len()];
    let system = System::new(network, used, used, &moves);
    system.settle(at, loss, MOST_STEPS);
    total(network, used, at)
}

/// The weighted sum of squared residuals of the distances used.
pub(super) fn total(network: &Network, used: &[bool], at: &[Point]) -> f64 {
    network
        .distances
        .iter()
        .zip(used)
        .filter(|(_, used)| **used)
        .map(|(tie, _)| {
            let residual = at[tie.from].distance(at[tie.to]) - tie.length;
            (residual / tie.deviation).powi(2)
        })
        .sum()
}
