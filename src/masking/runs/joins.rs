//! Where a line of tape is broken into runs: as seldom as the roll allows, on straights away from arcs and
//! corners, and where there is no such place, at the straightest there is.

use super::track::{SPECK, Track};

/// Where runs begin on a track and how it is laid.
#[derive(Debug, Clone)]
pub(super) struct Joined {
    /// In the direction in which it is laid.
    pub(super) track: Track,
    /// Distances along the track from one run to the next: of a ring its first run's begin and that of each
    /// further one; of an open line the joins alone.
    pub(super) joins: Vec<f64>,
}

/// What the joins must keep to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// Greatest length of a run, without its lap.
    pub(super) longest: f64,
    /// Least distance from a join to an arc or a corner, half a lap included.
    pub(super) clear: f64,
}

/// Breaks a track into runs. The first run leaves its first join in the direction in which water runs, so
/// that what closes a ring comes from above and lies over its beginning.
pub(super) fn joined(
    track: &Track,
    wanted: Wanted,
    runs_off: impl Fn(&Track, f64) -> bool,
) -> Joined {
    if !track.is_closed {
        return open(track, wanted);
    }
    // The longest straight is long enough wherever any is, and its middle the furthest from its ends.
    let Some(best) = track.straightest(0.0, track.length) else {
        return Joined {
            track: track.clone(),
            joins: vec![0.0],
        };
    };
    let (track, best) = if runs_off(track, track.within(best)) {
        (track.clone(), best)
    } else {
        (track.reversed(), track.length - best)
    };
    let best = track.within(best);
    if track.length <= wanted.longest {
        return Joined {
            track,
            joins: vec![best],
        };
    }
    // Begun at either end or the middle of every straight that allows it: whichever needs the fewest joins.
    let allowed = track.allowed(wanted.clear);
    let starts = std::iter::once(best).chain(
        allowed
            .iter()
            .flat_map(|[from, to]| [f64::midpoint(*from, *to), *from, *to]),
    );
    let mut fewest: Option<(usize, Vec<f64>)> = None;
    for start in starts {
        let joins = forward(&track, wanted, start, start + track.length);
        let exceptions = joins
            .iter()
            .filter(|join| !is_allowed(&allowed, track.within(**join)))
            .count();
        // An exception is worse than a join.
        let score = joins.len() + 2 * exceptions;
        if fewest.as_ref().is_none_or(|(least, _)| score < *least) {
            fewest = Some((score, joins));
        }
    }
    let joins = fewest.map_or_else(|| vec![best], |(_, joins)| joins);
    Joined { track, joins }
}

fn open(track: &Track, wanted: Wanted) -> Joined {
    // Laid from its aft end, or from the outer one where both are level.
    let (begin, end) = (track.point(0.0), track.point(track.length));
    let further_aft = begin.x - end.x;
    let further_out = begin.y.abs() - end.y.abs();
    let from_begin = if further_aft.abs() > 1.0 {
        further_aft > 0.0
    } else if further_out.abs() > 1.0 {
        further_out > 0.0
    } else {
        begin.y >= end.y
    };
    let track = if from_begin {
        track.clone()
    } else {
        track.reversed()
    };
    let mut joins = forward(&track, wanted, 0.0, track.length);
    joins.remove(0);
    Joined { track, joins }
}

/// Joins from `start` on, each as far from the one before as the roll and the places allow, until `end` is
/// within reach; `start` is the first.
fn forward(track: &Track, wanted: Wanted, start: f64, end: f64) -> Vec<f64> {
    let allowed = track.allowed(wanted.clear);
    let mut joins = vec![start];
    let mut at = start;
    while end - at > wanted.longest + SPECK {
        // Neither this run nor the last may be a scrap.
        let scrap = (2.0 * wanted.clear)
            .max(wanted.longest / 10.0)
            .min(wanted.longest / 2.0);
        let reach = (at + wanted.longest).min(end - scrap);
        let least = at + scrap;
        let further = furthest(&allowed, track, least, reach)
            .or_else(|| track.straightest(at + wanted.longest / 2.0, reach))
            .or_else(|| track.straightest(least, reach))
            .unwrap_or(reach);
        joins.push(further);
        at = further;
    }
    joins
}

/// The furthest allowed place between two distances.
fn furthest(allowed: &[[f64; 2]], track: &Track, least: f64, reach: f64) -> Option<f64> {
    let rounds: &[f64] = if track.is_closed { &[1.0, 0.0] } else { &[0.0] };
    rounds
        .iter()
        .flat_map(|round| {
            let on = round * track.length;
            allowed
                .iter()
                .rev()
                .map(move |[from, to]| [from + on, to + on])
        })
        .find(|[from, to]| *from <= reach && *to >= least)
        .map(|[_, to]| to.min(reach))
        .filter(|at| *at >= least)
}

/// Whether a join there keeps clear of arcs and corners.
pub(super) fn is_allowed(allowed: &[[f64; 2]], along: f64) -> bool {
    allowed
        .iter()
        .any(|[from, to]| (from - SPECK..=to + SPECK).contains(&along))
}
