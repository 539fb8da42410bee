//! Other places that fit as well: the mirror image of one point, or of a whole part of the network, in the line of the
//! points it hangs on. Comes in: a network at a least sum of squares. Goes out: the network at the lower of the sums; where
//! hints decide, on the side they say; and what nothing decides, with both places.

use std::collections::BTreeSet;

use super::circles::{self, Circle, candidates, covariance};
use super::precision::{Precision, precision};
use super::solve::{Loss, System, least_squares, total};
use super::{Covariance, Hint, Known, Network};
use crate::shape::Point;

/// Sums of squares that differ by less are as good as each other: a difference of three deviations.
const AS_GOOD: f64 = 9.0;
/// Two places nearer than this many times what either is known to are one, if a poor one.
const APART: f64 = 4.0;
/// How much work is spent on looking for parts that could be turned over: points and distances looked at.
const MOST_WORK: usize = 3_000_000;
/// How many parts are turned over and adjusted.
const MOST_TURNS: usize = 200;

/// A point that lies in one of two places.
#[derive(Debug, Clone, PartialEq)]
pub struct Open {
    /// The other place.
    pub other: Point,
    /// All points that go over together, this one too.
    pub together: Vec<usize>,
    /// The points in whose line they go over.
    pub hinges: Vec<usize>,
}

/// Some points and where else they may be.
struct Turn {
    points: Vec<usize>,
    places: Vec<Point>,
    hinges: Vec<usize>,
    /// The other sum of squares of the distances to these points, less the present one.
    gain: f64,
}

/// Moves single points, and whole parts where asked, whose distances fit plainly better in another place.
pub(super) fn better(network: &Network, used: &[bool], at: &mut [Point], whole_parts: bool) {
    let near = Near::of(network, used);
    for _ in 0..4 {
        let precision = precision(network, used, used, at);
        let mut tried = at.to_vec();
        for turn in turns(network, used, &near, &precision, at, whole_parts) {
            // Of turns that share a point, the first is taken and the others wait for the next round.
            let untouched = turn.points.iter().all(|point| tried[*point] == at[*point]);
            if turn.gain < -AS_GOOD && untouched {
                for (point, place) in turn.points.iter().zip(turn.places) {
                    tried[*point] = place;
                }
            }
        }
        if tried == *at {
            return;
        }
        let before = total(network, used, at);
        if least_squares(network, used, &mut tried, Loss::Squares) >= before {
            return;
        }
        at.copy_from_slice(&tried);
    }
}

/// Puts every part on the side its hints say, and tells which points could lie elsewhere for all that is known.
pub(super) fn settle(network: &Network, used: &[bool], at: &mut [Point]) -> Vec<Option<Open>> {
    let mut open: Vec<Option<Open>> = vec![None; network.marks.len()];
    let near = Near::of(network, used);
    let precision = precision(network, used, used, at);
    let mut turned = false;
    let mut decided = vec![false; network.marks.len()];
    for turn in turns(network, used, &near, &precision, at, true) {
        if turn.gain.abs() > AS_GOOD || turn.points.iter().any(|point| decided[*point]) {
            continue;
        }
        let against = |places: &dyn Fn(usize) -> Point| -> f64 {
            let each = |(number, point): (usize, &usize)| {
                circles::against(places(number), network.marks[*point].hint)
            };
            turn.points.iter().enumerate().map(each).sum()
        };
        let here = against(&|number| at[turn.points[number]]);
        let there = against(&|number| turn.places[number]);
        if (here - there).abs() > 1e-9 {
            if there < here {
                turned = true;
                for (point, place) in turn.points.iter().zip(&turn.places) {
                    at[*point] = *place;
                }
            }
            for point in &turn.points {
                decided[*point] = true;
            }
            continue;
        }
        for (&point, &other) in turn.points.iter().zip(&turn.places) {
            open[point].get_or_insert_with(|| Open {
                other,
                together: turn.points.clone(),
                hinges: turn.hinges.clone(),
            });
        }
    }
    if turned {
        least_squares(network, used, at, Loss::Squares);
    }
    open
}

/// The used distances of each point.
struct Near {
    ties: Vec<Vec<usize>>,
}

impl Near {
    fn of(network: &Network, used: &[bool]) -> Self {
        let mut ties = vec![Vec::new(); network.marks.len()];
        for (number, tie) in network.distances.iter().enumerate() {
            if used[number] {
                ties[tie.from].push(number);
                ties[tie.to].push(number);
            }
        }
        Self { ties }
    }
}

/// Everything that could be turned over, single points first; those alone unless `whole_parts` are asked for.
fn turns(
    network: &Network,
    used: &[bool],
    near: &Near,
    precision: &Precision,
    at: &[Point],
    whole_parts: bool,
) -> Vec<Turn> {
    let mut found: Vec<Turn> = (0..network.marks.len())
        .filter(|point| network.marks[*point].known == Known::Free)
        .filter_map(|point| single(network, near, precision, at, point))
        .collect();
    if whole_parts {
        found.extend(parts(network, used, near, precision, at));
    }
    found
}

/// The second place of a single point, all others where they are.
fn single(
    network: &Network,
    near: &Near,
    precision: &Precision,
    at: &[Point],
    point: usize,
) -> Option<Turn> {
    let circles: Vec<Circle> = near.ties[point]
        .iter()
        .map(|number| {
            let tie = &network.distances[*number];
            let other = tie.other(point);
            Circle {
                middle: at[other],
                radius: tie.length,
                // Neighbours shift together: beside each other they are known about as well as they are measured.
                deviation: tie
                    .deviation
                    .hypot(known_to(precision.points[other]).min(2.0 * tie.deviation)),
                measured: tie.deviation,
            }
        })
        .collect();
    let here = at[point];
    let major = covariance(here, &circles, false).ellipse().major;
    let elsewhere = candidates(&circles, false, None)
        .into_iter()
        .filter(|other| other.at.distance(here) > APART * major.max(other.spread))
        .map(|other| {
            (
                squares(other.at, &circles) - squares(here, &circles),
                other.at,
            )
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    let (gain, place) = elsewhere;
    (gain <= AS_GOOD).then(|| Turn {
        points: vec![point],
        places: vec![place],
        hinges: hinges(network, near, &[point]),
        gain,
    })
}

/// Half of a point's uncertainty falls in any one direction.
fn known_to(covariance: Covariance) -> f64 {
    f64::midpoint(covariance.xx, covariance.yy).max(0.0).sqrt()
}

fn squares(at: Point, circles: &[Circle]) -> f64 {
    circles
        .iter()
        .map(|circle| ((at.distance(circle.middle) - circle.radius) / circle.deviation).powi(2))
        .sum()
}

/// The points outside a part that its distances go to.
fn hinges(network: &Network, near: &Near, part: &[usize]) -> Vec<usize> {
    let mut found = BTreeSet::new();
    for point in part {
        for tie in &near.ties[*point] {
            let other = network.distances[*tie].other(*point);
            if part.binary_search(&other).is_err() {
                found.insert(other);
            }
        }
    }
    found.into_iter().collect()
}

/// Parts of several points that hang on points of one line only: the axis, or the line of two points that many distances
/// go to.
fn parts(
    network: &Network,
    used: &[bool],
    near: &Near,
    precision: &Precision,
    at: &[Point],
) -> Vec<Turn> {
    let mut busiest: Vec<usize> = (0..network.marks.len())
        .filter(|point| !near.ties[*point].is_empty())
        .collect();
    busiest.sort_by_key(|point| {
        let is_free = network.marks[*point].known == Known::Free;
        (is_free, usize::MAX - near.ties[*point].len(), *point)
    });
    let work = network.marks.len() + network.distances.len() + 1;
    let lines = std::iter::once((Point::ORIGIN, Point::new(1.0, 0.0), true)).chain(
        busiest
            .iter()
            .enumerate()
            .flat_map(|(number, b)| busiest[..number].iter().map(move |a| (*a, *b)))
            .filter(|(a, b)| at[*a].distance(at[*b]) > 1e-3)
            .map(|(a, b)| (at[a], (at[b] - at[a]).unit(), false)),
    );
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for (through, unit, is_axis) in lines.take(MOST_WORK / work + 1) {
        let on_line: Vec<bool> = (0..network.marks.len())
            .map(|point| {
                let off = unit.cross(at[point] - through).abs();
                let mark = &network.marks[point];
                let slack =
                    3.0 * known_to(precision.points[point]) + tolerance(network, near, point);
                off < slack || (is_axis && mark.known == Known::OnAxis)
            })
            .collect();
        for part in hanging(network, near, &on_line, is_axis) {
            if part.len() < 2 || seen.len() >= MOST_TURNS || !seen.insert(part.clone()) {
                continue;
            }
            found.extend(turned(
                network, used, near, precision, at, part, through, unit,
            ));
        }
    }
    found
}

/// How far off a line a point may be and still count as on it: as far as its distances are known.
fn tolerance(network: &Network, near: &Near, point: usize) -> f64 {
    let deviations = near.ties[point]
        .iter()
        .map(|tie| network.distances[*tie].deviation);
    3.0 * deviations.fold(f64::INFINITY, f64::min).min(1e6)
}

/// The connected parts once the points of a line are taken away, those that hold a given point or one bound to
/// the axis left out.
fn hanging(network: &Network, near: &Near, on_line: &[bool], is_axis: bool) -> Vec<Vec<usize>> {
    let mut done: Vec<bool> = on_line.to_vec();
    let mut found = Vec::new();
    for start in 0..network.marks.len() {
        if done[start] || near.ties[start].is_empty() {
            continue;
        }
        let mut part = Vec::new();
        let mut free = true;
        let mut next = vec![start];
        done[start] = true;
        while let Some(point) = next.pop() {
            part.push(point);
            free &= match network.marks[point].known {
                Known::At(_) => false,
                Known::OnAxis => is_axis,
                Known::Free => true,
            };
            for tie in &near.ties[point] {
                let other = network.distances[*tie].other(point);
                if !done[other] {
                    done[other] = true;
                    next.push(other);
                }
            }
        }
        if free {
            part.sort_unstable();
            found.push(part);
        }
    }
    found
}

/// A part turned over in a line and adjusted there.
#[expect(
    clippy::too_many_arguments,
    reason = "the network's figures, and a line"
)]
fn turned(
    network: &Network,
    used: &[bool],
    near: &Near,
    precision: &Precision,
    at: &[Point],
    part: Vec<usize>,
    through: Point,
    unit: Point,
) -> Option<Turn> {
    let mut moves = vec![false; network.marks.len()];
    let mut tried = at.to_vec();
    for &point in &part {
        moves[point] = true;
        let off = unit.cross(at[point] - through);
        tried[point] = at[point] - unit.left() * (2.0 * off);
    }
    let system = System::new(network, used, used, &moves);
    let before = system.sum(at, Loss::Squares);
    let gain = system.settle(&mut tried, Loss::Squares, 30) - before;
    let far = part.iter().any(|point| {
        let major = precision.points[*point].ellipse().major;
        tried[*point].distance(at[*point]) > APART * major
    });
    (far && gain <= AS_GOOD).then(|| Turn {
        places: part.iter().map(|point| tried[*point]).collect(),
        hinges: hinges(network, near, &part),
        points: part,
        gain,
    })
}

/// The hint that would tell a place from another.
impl Open {
    /// The hint of a side, where one tells the two places apart.
    #[must_use]
    pub fn side(&self, at: Point) -> Option<Hint> {
        if at.y * self.other.y >= 0.0 {
            None
        } else if at.y > 0.0 {
            Some(Hint::Above)
        } else {
            Some(Hint::Below)
        }
    }
}
