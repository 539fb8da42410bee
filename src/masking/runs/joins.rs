//! Where a line of tape is broken into runs: as seldom as the roll allows, on straights away from arcs and
//! corners, and where there is no such place, at the straightest there is.
//!
//! The fewest joins round a ring. From a given first join every place that the second, third, ... may stand at is
//! followed as a set of intervals until the end is within reach, so no way of going on is missed. The first
//! join need only be tried at the far end of each allowed stretch: from any set of joins all of them can be moved on together,
//! which changes no run's length, until the first of them to get there stands at such an end.

use super::track::{SPECK, Track, Wanted};

/// Distances differ by so much from rounding, millimetres.
const ROUNDING: f64 = 1e-7;

/// Where runs begin on a track and how it is laid.
#[derive(Debug, Clone)]
pub(super) struct Joined {
    /// In the direction in which it is laid.
    pub(super) track: Track,
    /// Distances along the track from one run to the next: of a ring its first run's begin and that of each
    /// further one; of an open line the joins alone.
    pub(super) joins: Vec<f64>,
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
    let best = track.straightest([0.0, track.length], wanted);
    let best = best.map_or(0.0, |best| track.within(best));
    let (track, best) = if runs_off(track, best) {
        (track.clone(), best)
    } else {
        (track.reversed(), track.within(track.length - best))
    };
    let joins = if track.length <= wanted.longest {
        vec![best]
    } else {
        let round = |start: f64| [start, start + track.length];
        let allowed = track.allowed(wanted.clear);
        let ends = || allowed.iter().map(|[_, to]| *to);
        let of_fewest = |ways: Vec<Vec<f64>>, badness: &dyn Fn(&Vec<f64>) -> usize| {
            let least = ways.iter().map(badness).min()?;
            let starts = ways.iter().filter(|way| badness(way) == least);
            let start = track.first_of(starts.map(|way| way[0]).collect())?;
            ways.into_iter()
                .find(|way| way[0] == start && badness(way) == least)
        };
        let clean = ends().filter_map(|start| clean(&track, wanted, round(start)));
        of_fewest(clean.collect(), &Vec::len)
            .or_else(|| {
                let starts = std::iter::once(best).chain(ends());
                let forward = starts.map(|start| forward(&track, wanted, round(start)));
                // An exception is worse than a join.
                of_fewest(forward.collect(), &|joins| {
                    let is_clear = |join: &&f64| is_allowed(&allowed, track.within(**join));
                    3 * joins.len() - 2 * joins.iter().filter(is_clear).count()
                })
            })
            .unwrap_or_else(|| vec![best])
    };
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
    let all = [0.0, track.length];
    let joins = clean(&track, wanted, all).unwrap_or_else(|| forward(&track, wanted, all));
    Joined {
        track,
        joins: joins.into_iter().skip(1).collect(),
    }
}

/// A run may be no shorter, so that none is a scrap: two laps and what they keep clear, a tenth of the longest.
fn scrap(wanted: Wanted) -> f64 {
    (2.0 * wanted.clear)
        .max(wanted.longest / 10.0)
        .min(wanted.longest / 2.0)
}

/// The fewest joins that all keep clear, the first at the beginning; none where some would have to be an exception.
fn clean(track: &Track, wanted: Wanted, ends: [f64; 2]) -> Option<Vec<f64>> {
    let mut allowed = track.allowed(wanted.clear);
    if track.is_closed {
        let again = allowed
            .iter()
            .map(|one| one.map(|along| along + track.length));
        allowed.extend(again.collect::<Vec<_>>());
    }
    let run = |least| Run {
        least,
        most: wanted.longest,
    };
    let short = (2.0 * wanted.clear).min(wanted.longest / 2.0);
    fewest(&allowed, run(scrap(wanted)), ends).or_else(|| fewest(&allowed, run(short), ends))
}

/// How long a run may be.
#[derive(Debug, Clone, Copy)]
struct Run {
    least: f64,
    most: f64,
}

/// The fewest places from one end to before the other, the end first, each on an allowed interval but for that first one,
/// and as far along as may be.
fn fewest(allowed: &[[f64; 2]], run: Run, [start, end]: [f64; 2]) -> Option<Vec<f64>> {
    // Where the first, second, ... may stand.
    let mut reached = vec![vec![[start, start]]];
    loop {
        let last = reached.last()?;
        let closes = |[from, to]: &[f64; 2]| (from + run.least..=to + run.most).contains(&end);
        if last.iter().any(closes) {
            break;
        }
        let mut next: Vec<[f64; 2]> = Vec::new();
        for [from, to] in allowed {
            for [first, last] in last {
                let least = from.max(first + run.least);
                let most = to.min(last + run.most).min(end - run.least);
                match next.last_mut() {
                    _ if most < least => {}
                    Some(known) if least <= known[1] && *from <= known[0] => {
                        known[1] = known[1].max(most);
                    }
                    _ => next.push([least, most]),
                }
            }
        }
        if next.is_empty() {
            return None;
        }
        reached.push(next);
    }
    let mut at = end;
    let mut joins = Vec::with_capacity(reached.len());
    for places in reached.iter().rev() {
        let furthest = places.iter().rev().find_map(|[from, to]| {
            let place = to.min(at - run.least);
            (place >= from.max(at - run.most) - ROUNDING).then_some(place)
        });
        at = furthest?;
        joins.push(at);
    }
    joins.reverse();
    Some(joins)
}

/// Joins from the first place on, each as far from the one before as the roll and the places allow, until the
/// end is within reach.
fn forward(track: &Track, wanted: Wanted, [start, end]: [f64; 2]) -> Vec<f64> {
    let allowed = track.allowed(wanted.clear);
    let mut joins = vec![start];
    let mut at = start;
    while end - at > wanted.longest + SPECK {
        let scrap = scrap(wanted);
        let reach = (at + wanted.longest).min(end - scrap);
        let least = at + scrap;
        let further = furthest(&allowed, track, least, reach)
            .or_else(|| track.straightest([at + wanted.longest / 2.0, reach], wanted))
            .or_else(|| track.straightest([least, reach], wanted))
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The fewest joins round a ring by trying every whole place as the first and every whole step from each.
    fn by_trying(allowed: &[bool], least: usize, most: usize) -> Option<usize> {
        let length = allowed.len();
        let from = |start: usize| {
            let mut joins = vec![None; length + 1];
            joins[0] = Some(1_usize);
            for at in 0..length {
                let Some(known) = joins[at] else { continue };
                for next in at + least..=(at + most).min(length) {
                    let is_end = next == length;
                    let count = if is_end { known } else { known + 1 };
                    if is_end || allowed[(start + next) % length] {
                        joins[next] = Some(joins[next].map_or(count, |best| best.min(count)));
                    }
                }
            }
            joins[length]
        };
        let starts = (0..length).filter(|start| allowed[*start]);
        starts.filter_map(from).min()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn no_other_set_of_joins_round_a_ring_is_smaller(
            pieces in prop::collection::vec((1_usize..8, 0_usize..9), 1..6),
            (least, more) in (1_usize..6, 0_usize..14),
        ) {
            let most = least + more;
            // Bends and straights by turns; a straight of n has n + 1 places, a bend none.
            let mut allowed = Vec::new();
            let mut stretches = Vec::new();
            for (bend, straight) in pieces {
                allowed.extend(vec![false; bend]);
                let from = allowed.len();
                allowed.extend(vec![true; straight + 1]);
                stretches.push([from as f64, (from + straight) as f64]);
            }
            let length = allowed.len() as f64;
            let again = stretches.iter().map(|one: &[f64; 2]| one.map(|along| along + length));
            let twice: Vec<[f64; 2]> = stretches.iter().copied().chain(again).collect();
            let run = Run { least: least as f64, most: most as f64 };
            let found = stretches
                .iter()
                .filter_map(|[_, to]| fewest(&twice, run, [*to, to + length]))
                .min_by_key(Vec::len);
            prop_assert_eq!(found.as_ref().map(Vec::len), by_trying(&allowed, least, most));
            if let Some(joins) = found {
                let ends = joins.iter().skip(1).chain(std::iter::once(&0.0));
                for (join, next) in joins.iter().zip(ends) {
                    let next = if *next == 0.0 { joins[0] + length } else { *next };
                    prop_assert!((run.least - 1e-6..=run.most + 1e-6).contains(&(next - join)));
                    prop_assert!(is_allowed(&twice, *join));
                }
            }
        }
    }
}
