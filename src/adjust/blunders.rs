//! Gross errors among distances, by data snooping: the distance whose residual is largest beside its own standard
//! deviation goes out, the rest is adjusted again, until none is beyond the limit; what turns out well after all comes back. Comes in: a network
//! at its least sum of squares. Goes out: the blunders, and the network without those that are alone guilty.

use super::precision::{Seen, bound_to, precision, seen};
use super::slip::{self, Slip};
use super::solve::{Loss, least_squares};
use super::{CLEARLY, Known, LIMIT, Network, UNCHECKED, places};
use crate::shape::Point;

/// Up to so many distances, blunders are taken out one a round; beyond, one a point.
const ONE_BY_ONE: usize = 800;
/// Rounds before it is left at that, one by one and otherwise.
const MOST_ROUNDS: [usize; 2] = [60, 12];
/// Where more than one in so many of the distances that could be spared would have to go, it is not blunders: the distances are not as
/// good as stated, and nothing is left out.
const TOO_MANY: usize = 3;
/// Residuals this near each other beside their deviations are as large: nothing can tell them apart.
const EQUALLY: f64 = 1e-3;

/// A distance that is grossly wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Blunder {
    /// The distance.
    pub tie: usize,
    /// By how much it is too long (negative: too short), mm.
    pub error: f64,
    /// Standard deviation of that.
    pub deviation: f64,
    /// Its residual beside its own deviation when it was found.
    pub standardised: f64,
    /// The point its distances disagree about: of its ends, the one that all the suspects share, or that fewer distances go to.
    pub point: usize,
    /// Others that may be the wrong one instead, the likeliest first.
    pub suspects: Vec<Suspect>,
    /// Whether it alone is guilty, and the result does without it.
    pub left_out: bool,
    /// Whether nothing at all tells the suspects apart, so that another distance is needed to tell.
    pub untold: bool,
    /// The largest residual among all others without it and the other blunders, mm.
    pub largest_without: f64,
    /// The slip that would explain it.
    pub slip: Option<Slip>,
}

/// A distance that may be the wrong one instead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// The distance.
    pub tie: usize,
    /// By how much it would be too long (negative: too short), mm.
    pub error: f64,
}

/// Finds the blunders; those that are alone guilty are no longer `used`, and the points are where the others put them.
pub(super) fn find(network: &Network, used: &mut [bool], at: &mut [Point]) -> Vec<Blunder> {
    let room = used.to_vec();
    let mut trial = used.to_vec();
    let mut trial_at = at.to_vec();
    let mut found: Vec<Blunder> = Vec::new();
    let redundant = redundancy(network, used);
    let rounds = MOST_ROUNDS[usize::from(network.distances.len() > ONE_BY_ONE)];
    for _ in 0..rounds {
        let precision = precision(network, &trial, &room, &trial_at);
        let seen = seen(network, &trial, &room, &trial_at, &precision);
        let picked = pick(network, &trial, &seen);
        if picked.is_empty() || is_too_many(found.len(), redundant) {
            break;
        }
        let bound = bound_to(network, &trial, &trial_at, &picked);
        for (tie, bound) in picked.into_iter().zip(bound) {
            found.push(accuse(network, &trial, &seen, &bound, tie));
            trial[tie] = false;
        }
        least_squares(network, &trial, &mut trial_at, Loss::Squares);
        places::better(network, &trial, &mut trial_at, false);
    }
    if found.is_empty() {
        return found;
    }
    if is_too_many(found.len(), redundant) {
        found.sort_by(|a, b| b.standardised.abs().total_cmp(&a.standardised.abs()));
        for blunder in &mut found {
            blunder.left_out = false;
            blunder.largest_without = f64::INFINITY;
        }
        return found;
    }
    restore(network, &room, &mut trial, &mut trial_at, &mut found);
    sum_up(network, &room, &trial, &trial_at, &mut found);
    for blunder in &found {
        used[blunder.tie] = !blunder.left_out;
    }
    at.copy_from_slice(&trial_at);
    if trial != used {
        least_squares(network, used, at, Loss::Squares);
    }
    found.sort_by(|a, b| {
        let size = |blunder: &Blunder| blunder.error.abs() / blunder.deviation;
        size(b).total_cmp(&size(a))
    });
    found
}

/// Whether so many accused are no blunders.
const fn is_too_many(count: usize, redundant: usize) -> bool {
    count > redundant / TOO_MANY + 3
}

/// How many distances could be spared at most.
fn redundancy(network: &Network, used: &[bool]) -> usize {
    let mut touched = vec![false; network.marks.len()];
    let mut count = 0_usize;
    for (tie, used) in network.distances.iter().zip(used) {
        if *used {
            count += 1;
            touched[tie.from] = true;
            touched[tie.to] = true;
        }
    }
    let unknown: usize = network
        .marks
        .iter()
        .zip(touched)
        .filter(|(_, touched)| *touched)
        .map(|(mark, _)| match mark.known {
            Known::At(_) => 0,
            Known::OnAxis => 1,
            Known::Free => 2,
        })
        .sum();
    count.saturating_sub(unknown)
}

/// The worst distance beyond the limit; in a large network, the worst of each point.
fn pick(network: &Network, trial: &[bool], seen: &[Option<Seen>]) -> Vec<usize> {
    let size = |tie: usize| -> f64 {
        seen[tie]
            .filter(|_| trial[tie])
            .and_then(|seen| seen.standardised())
            .map_or(0.0, f64::abs)
    };
    let mut beyond: Vec<usize> = (0..network.distances.len())
        .filter(|tie| size(*tie) > LIMIT)
        .collect();
    // Equal to rounding are equal: the first in the network's order then.
    beyond.sort_by(|a, b| {
        let (a_size, b_size) = (size(*a), size(*b));
        if (a_size - b_size).abs() < 1e-7 * a_size {
            a.cmp(b)
        } else {
            b_size.total_cmp(&a_size)
        }
    });
    if network.distances.len() <= ONE_BY_ONE {
        beyond.truncate(1);
        return beyond;
    }
    let degree = degrees(network, trial);
    let mut taken = vec![false; network.marks.len()];
    beyond.retain(|tie| {
        let tie = &network.distances[*tie];
        let point = lesser(&degree, tie.from, tie.to);
        !std::mem::replace(&mut taken[point], true)
    });
    beyond
}

fn degrees(network: &Network, used: &[bool]) -> Vec<usize> {
    let mut degree = vec![0; network.marks.len()];
    for (tie, used) in network.distances.iter().zip(used) {
        if *used {
            degree[tie.from] += 1;
            degree[tie.to] += 1;
        }
    }
    for (degree, mark) in degree.iter_mut().zip(&network.marks) {
        if matches!(mark.known, Known::At(_)) {
            *degree = usize::MAX;
        }
    }
    degree
}

/// The end that fewer distances go to, the second where as many do.
fn lesser(degree: &[usize], from: usize, to: usize) -> usize {
    if degree[from] < degree[to] { from } else { to }
}

/// Names a distance, and those that may be wrong in its place. `bound` are the covariances of all residuals with its own.
fn accuse(
    network: &Network,
    trial: &[bool],
    seen: &[Option<Seen>],
    bound: &[f64],
    tie: usize,
) -> Blunder {
    let figures = |tie: usize| {
        let seen = seen[tie].filter(|_| trial[tie])?;
        let standardised = seen.standardised()?;
        let error = -seen.residual / seen.redundancy;
        Some((standardised, error, seen.deviation / seen.redundancy))
    };
    let (standardised, error, deviation) = figures(tie).unwrap_or_default();
    // Leaving a distance out lowers the sum of squares by the square of its standardised residual.
    let least = standardised.powi(2) - 2.0 * CLEARLY.ln();
    let own = seen[tie].map_or(1.0, |seen| seen.deviation);
    // Without the other, this one's standardised residual would be what is left once its share of the other's is taken off.
    let explains = |other: usize, size: f64| {
        let deviation = seen[other].map_or(1.0, |seen| seen.deviation);
        let share = (bound[other] / (own * deviation)).clamp(-1.0, 1.0);
        let left = (standardised - share * size).abs();
        left <= LIMIT * (1.0 - share * share).sqrt() || share.abs() > 1.0 - EQUALLY
    };
    let mut others: Vec<(f64, Suspect)> = (0..seen.len())
        .filter(|other| *other != tie)
        .filter_map(|other| {
            let (standardised, error, _) = figures(other)?;
            let size = standardised.abs();
            (size * size > least && explains(other, standardised))
                .then_some((size, Suspect { tie: other, error }))
        })
        .collect();
    others.sort_by(|a, b| b.0.total_cmp(&a.0));
    let untold = others
        .first()
        .is_some_and(|(size, _)| *size > standardised.abs() * (1.0 - EQUALLY));
    let ends = network.distances[tie];
    let shared = |end: usize| {
        others
            .iter()
            .filter(|(_, other)| {
                let other = &network.distances[other.tie];
                other.from == end || other.to == end
            })
            .count()
    };
    let point = match shared(ends.from).cmp(&shared(ends.to)) {
        std::cmp::Ordering::Greater => ends.from,
        std::cmp::Ordering::Less => ends.to,
        std::cmp::Ordering::Equal => lesser(&degrees(network, trial), ends.from, ends.to),
    };
    Blunder {
        tie,
        error,
        deviation,
        standardised,
        point,
        left_out: others.is_empty(),
        suspects: others.into_iter().map(|(_, suspect)| suspect).collect(),
        untold,
        largest_without: 0.0,
        slip: None,
    }
}

/// Takes back what was accused wrongly: once the true blunders are out, it agrees with the rest.
fn restore(
    network: &Network,
    room: &[bool],
    trial: &mut [bool],
    at: &mut [Point],
    found: &mut Vec<Blunder>,
) {
    // The last accused was seen most clearly; the first, with all the others still in.
    let mut index = 0;
    let mut precise = precision(network, trial, room, at);
    while index + 1 < found.len().min(MOST_ROUNDS[0]) {
        let tie = found[index].tie;
        let agrees = seen(network, trial, room, at, &precise)[tie]
            .is_some_and(|seen| seen.residual.abs() < LIMIT * seen.deviation);
        if agrees {
            trial[tie] = true;
            least_squares(network, trial, at, Loss::Squares);
            precise = precision(network, trial, room, at);
            found.remove(index);
        } else {
            index += 1;
        }
    }
}

/// The error of each blunder, and the largest residual, with all of them out.
fn sum_up(network: &Network, room: &[bool], trial: &[bool], at: &[Point], found: &mut [Blunder]) {
    let precision = precision(network, trial, room, at);
    let seen = seen(network, trial, room, at, &precision);
    let largest = seen
        .iter()
        .zip(trial)
        .filter(|(_, used)| **used)
        .filter_map(|(seen, _)| seen.as_ref())
        .filter(|seen| seen.redundancy > UNCHECKED)
        .map(|seen| seen.residual.abs())
        .fold(0.0, f64::max);
    let is_checked = |point: usize| {
        network.distances.iter().enumerate().any(|(number, tie)| {
            let seen =
                seen[number].filter(|_| trial[number] && (tie.from == point || tie.to == point));
            seen.is_some_and(|seen| seen.redundancy > UNCHECKED)
        })
    };
    for blunder in found {
        if !is_checked(blunder.point) && !matches!(network.marks[blunder.point].known, Known::At(_))
        {
            // What is left agrees with itself whatever was taken out: that it does says nothing.
            blunder.left_out = false;
            blunder.untold = true;
        } else if let Some(seen) = seen[blunder.tie] {
            blunder.error = -seen.residual;
            blunder.deviation = seen.deviation;
        }
        blunder.largest_without = largest;
        blunder.slip = slip::behind(
            network.distances[blunder.tie].length,
            blunder.error,
            blunder.deviation,
        );
    }
}
