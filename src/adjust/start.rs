//! Places to begin with, found without the user. Comes in: a network. Goes out: a place for every point that its distances can
//! place, and for the others why they cannot.
//!
//! Located points grow from those that are given: a point is located as soon as its distances to located ones agree on one place.
//! Where they leave two, both are followed for as long as they matter to other points, a few states side by side, and the
//! state whose distances agree best is kept. What hangs together but not on enough located points is built in a frame of its own and then
//! laid onto the points that are given or on the axis.

use std::collections::{BTreeSet, VecDeque};

use super::circles::{Candidate, Circle, against, candidates};
use super::solve::{Loss, System};
use super::{Distance, Known, Mark, Network};
use crate::shape::Point;

/// A place is taken at once where it fits so much better than the next, in squared deviations.
const PLAINLY: f64 = 10.0;
/// States followed side by side.
const WIDTH: usize = 8;
/// Forks followed; beyond, the likelier place is taken.
const MOST_FORKS: usize = 40;
/// Frames of their own that are tried on one part.
const MOST_FRAMES: usize = 12;
/// After every round of growth the points of so many rounds are adjusted among each other, so that errors do not add up;
/// all of them, after the first rounds and whenever there are a quarter more.
const RECENT: usize = 6;

/// Why the distances do not say where a point is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loose {
    /// No distance goes to it.
    NoDistance,
    /// Distances go to one other point only, so that it may be anywhere on a circle.
    OneDistance {
        /// That point.
        to: usize,
    },
    /// It lies on the line of the points it is measured from, where distances do not tell how far off the line.
    InLine,
    /// It hangs together with others, but the whole can turn or shift: too few of its distances go to points whose places
    /// are known.
    Adrift,
}

/// A place for every point (of no meaning where it is loose), and why the loose are.
pub(super) fn places(network: &Network, usable: &[bool]) -> (Vec<Point>, Vec<Option<Loose>>) {
    let mut start = Start::of(network, usable);
    let lacks = start.prune();
    let mut state = start.given();
    start.locate(&mut state);
    for _ in 0..network.marks.len() {
        if !start.lay_a_frame(&mut state) {
            break;
        }
        start.locate(&mut state);
    }
    let loose = (0..network.marks.len())
        .map(|point| (!state.located[point]).then_some(lacks[point]))
        .collect();
    (state.at, loose)
}

/// What does not change while places are found.
struct Start<'n> {
    network: &'n Network,
    /// The distances of each point that can help to locate it.
    ties: Vec<Vec<usize>>,
    /// The same distances, one after another.
    counts: Vec<bool>,
    /// The middle one of their deviations.
    deviation: f64,
}

/// Places found so far.
#[derive(Clone)]
struct State {
    at: Vec<Point>,
    located: Vec<bool>,
    /// How well each is known, roughly, mm.
    spread: Vec<f64>,
    /// How badly the places that were chosen at forks fit.
    misfit: f64,
}

/// A point that can be located, and where.
struct Ready {
    point: usize,
    places: Vec<Candidate>,
}

impl Ready {
    fn is_plain(&self) -> bool {
        match self.places.as_slice() {
            [_] => true,
            [best, next, ..] => next.misfit - best.misfit > PLAINLY,
            [] => false,
        }
    }
}

impl<'n> Start<'n> {
    fn of(network: &'n Network, usable: &[bool]) -> Self {
        let mut ties = vec![Vec::new(); network.marks.len()];
        let mut deviations = Vec::new();
        for (number, tie) in network.distances.iter().enumerate() {
            if usable[number] {
                ties[tie.from].push(number);
                ties[tie.to].push(number);
                deviations.push(tie.deviation);
            }
        }
        deviations.sort_by(f64::total_cmp);
        let deviation = deviations.get(deviations.len() / 2).copied().unwrap_or(1.0);
        Self {
            network,
            ties,
            counts: usable.to_vec(),
            deviation,
        }
    }

    /// The points at the other ends of a point's distances, each once.
    fn neighbours(&self, point: usize) -> BTreeSet<usize> {
        self.ties[point]
            .iter()
            .map(|tie| self.network.distances[*tie].other(point))
            .collect()
    }

    /// Takes away, one after another, the points with too few distances, and with them their distances. Says of each point
    /// what it would lack.
    fn prune(&mut self) -> Vec<Loose> {
        let why = (0..self.ties.len())
            .map(|point| {
                let mut neighbours = self.neighbours(point).into_iter();
                match (neighbours.next(), neighbours.next()) {
                    (None, _) => Loose::NoDistance,
                    (Some(to), None) => Loose::OneDistance { to },
                    _ => Loose::Adrift,
                }
            })
            .collect();
        let mut next: Vec<usize> = (0..self.ties.len()).collect();
        while let Some(point) = next.pop() {
            let needed = match self.network.marks[point].known {
                Known::At(_) => 0,
                Known::OnAxis => 1,
                Known::Free => 2,
            };
            if self.neighbours(point).len() >= needed {
                continue;
            }
            for tie in std::mem::take(&mut self.ties[point]) {
                let other = self.network.distances[tie].other(point);
                self.counts[tie] = false;
                self.ties[other].retain(|kept| *kept != tie);
                next.push(other);
            }
        }
        why
    }

    fn given(&self) -> State {
        let place = |mark: &Mark| match mark.known {
            Known::At(at) => Some(at),
            Known::OnAxis | Known::Free => None,
        };
        let marks = &self.network.marks;
        State {
            at: marks
                .iter()
                .map(|mark| place(mark).unwrap_or_default())
                .collect(),
            located: marks.iter().map(|mark| place(mark).is_some()).collect(),
            spread: vec![0.0; marks.len()],
            misfit: 0.0,
        }
    }

    /// Locates all that can be located from what is.
    fn locate(&self, state: &mut State) {
        let everything: Vec<usize> = (0..self.ties.len()).collect();
        self.grow(state, &everything);
        let mut done = vec![false; self.ties.len()];
        for point in 0..self.ties.len() {
            if state.located[point] || done[point] || self.ties[point].is_empty() {
                continue;
            }
            let part = self.part(state, point);
            for member in &part {
                done[*member] = true;
            }
            self.follow(state, &part);
        }
    }

    /// The points not located that hang together with one.
    fn part(&self, state: &State, point: usize) -> Vec<usize> {
        let mut part = BTreeSet::from([point]);
        let mut next = vec![point];
        while let Some(point) = next.pop() {
            for other in self.neighbours(point) {
                if !state.located[other] && part.insert(other) {
                    next.push(other);
                }
            }
        }
        part.into_iter().collect()
    }

    /// Locates points of a part for as long as any is plain.
    fn grow(&self, state: &mut State, part: &[usize]) {
        let mut dirty: BTreeSet<usize> = part.iter().copied().collect();
        let mut ready: Vec<Option<Ready>> = Vec::new();
        ready.resize_with(self.ties.len(), || None);
        let mut waiting: BTreeSet<usize> = BTreeSet::new();
        let mut recent: VecDeque<Vec<usize>> = VecDeque::new();
        let (mut grown, mut adjusted) = (0, 0);
        for round in 0.. {
            for point in std::mem::take(&mut dirty) {
                if !state.located[point] {
                    ready[point] = self.ready(state, point);
                    if ready[point].as_ref().is_some_and(Ready::is_plain) {
                        waiting.insert(point);
                    } else {
                        waiting.remove(&point);
                    }
                }
            }
            // The best known first: what is known poorly may gain by waiting for more neighbours.
            let spread = |point: &usize| {
                let best = ready[*point]
                    .as_ref()
                    .and_then(|ready| ready.places.first());
                best.map_or(f64::INFINITY, |best| best.spread)
            };
            let best = waiting.iter().map(spread).fold(f64::INFINITY, f64::min);
            let taken: Vec<usize> = waiting
                .iter()
                .copied()
                .filter(|point| spread(point) <= 3.0 * best)
                .collect();
            if taken.is_empty() {
                return;
            }
            for point in &taken {
                waiting.remove(point);
                if let Some(place) = ready[*point]
                    .as_ref()
                    .and_then(|ready| ready.places.first())
                {
                    take(state, *point, place);
                }
            }
            grown += taken.len();
            if round < RECENT || grown * 4 > adjusted * 5 {
                self.adjust(state, part);
                adjusted = grown;
            } else {
                recent.truncate(RECENT - 1);
                let near: Vec<usize> = recent.iter().flatten().chain(&taken).copied().collect();
                self.adjust(state, &near);
            }
            for point in &taken {
                for other in self.neighbours(*point) {
                    if !state.located[other] && part.binary_search(&other).is_ok() {
                        dirty.insert(other);
                    }
                }
            }
            recent.push_front(taken);
        }
    }

    /// Brings the located points of a part to agree with each other, gross errors pulling little.
    fn adjust(&self, state: &mut State, part: &[usize]) {
        let mut moves = vec![false; self.ties.len()];
        for point in part {
            moves[*point] = state.located[*point];
        }
        let counts: Vec<bool> = self
            .network
            .distances
            .iter()
            .zip(&self.counts)
            .map(|(tie, counts)| *counts && state.located[tie.from] && state.located[tie.to])
            .collect();
        let system = System::new(self.network, &counts, &counts, &moves);
        system.settle(&mut state.at, Loss::Huber, 4);
    }

    /// Where a point may be by its distances to located points, if those are enough.
    fn ready(&self, state: &State, point: usize) -> Option<Ready> {
        let mark = self.network.marks[point];
        let on_axis = mark.known == Known::OnAxis;
        let circles: Vec<Circle> = self.ties[point]
            .iter()
            .map(|tie| &self.network.distances[*tie])
            .filter(|tie| state.located[tie.other(point)])
            .map(|tie| {
                let other = tie.other(point);
                Circle {
                    middle: state.at[other],
                    radius: tie.length,
                    deviation: tie.deviation.hypot(state.spread[other]),
                    measured: tie.deviation,
                }
            })
            .collect();
        if circles.is_empty() {
            return None;
        }
        let places = candidates(&circles, on_axis, mark.hint);
        // On the axis with nothing to choose by, the greater x is meant.
        let places = match places.as_slice() {
            [best, next]
                if on_axis && next.misfit - best.misfit <= PLAINLY && circles.len() == 1 =>
            {
                vec![*best]
            }
            _ => places,
        };
        (!places.is_empty()).then_some(Ready { point, places })
    }

    /// Locates a part that nothing plain is left of, by following both places of its points.
    fn follow(&self, state: &mut State, part: &[usize]) {
        let mut states = vec![state.clone()];
        let mut finished: Vec<(usize, f64, State)> = Vec::new();
        for forks in 0.. {
            let mut next: Vec<State> = Vec::new();
            for mut state in states {
                match self.fork(&mut state, part) {
                    None => {
                        let count = part.iter().filter(|point| state.located[**point]).count();
                        self.adjust(&mut state, part);
                        let misfit = self.misfit(&state, part);
                        finished.push((count, misfit, state));
                    }
                    Some(ready) => {
                        let branches = if forks < MOST_FORKS { 2 } else { 1 };
                        for place in ready.places.iter().take(branches) {
                            let mut branch = state.clone();
                            take(&mut branch, ready.point, place);
                            branch.misfit += place.misfit;
                            next.push(branch);
                        }
                    }
                }
            }
            if next.is_empty() {
                break;
            }
            next.sort_by(|a, b| a.misfit.total_cmp(&b.misfit));
            next.truncate(WIDTH);
            states = next;
        }
        let best = finished
            .into_iter()
            .min_by(|a, b| b.0.cmp(&a.0).then(a.1.total_cmp(&b.1)));
        if let Some((_, _, best)) = best {
            *state = best;
        }
    }

    /// Grows a part as far as it is plain; then the next point to fork at. Points that no other waits for do not fork.
    fn fork(&self, state: &mut State, part: &[usize]) -> Option<Ready> {
        loop {
            self.grow(state, part);
            let mut open: Vec<(bool, f64, Ready)> = part
                .iter()
                .filter(|point| !state.located[**point])
                .filter_map(|point| self.ready(state, *point))
                .filter_map(|ready| {
                    let others = self.neighbours(ready.point);
                    let last = others.iter().all(|other| state.located[*other]);
                    let spread = ready.places.first()?.spread;
                    Some((last, spread, ready))
                })
                .collect();
            open.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
            let (last, _, ready) = open.into_iter().next()?;
            if !last {
                return Some(ready);
            }
            if let Some(place) = ready.places.first() {
                take(state, ready.point, place);
                state.misfit += place.misfit;
            }
        }
    }

    /// How badly the distances within a part, those to it, and its hints agree.
    fn misfit(&self, state: &State, part: &[usize]) -> f64 {
        let ties: BTreeSet<usize> = part
            .iter()
            .flat_map(|point| self.ties[*point].iter().copied())
            .collect();
        let distances = ties
            .into_iter()
            .map(|tie| &self.network.distances[tie])
            .filter(|tie| state.located[tie.from] && state.located[tie.to])
            .map(|tie| {
                let residual = state.at[tie.from].distance(state.at[tie.to]) - tie.length;
                Loss::Huber.of(residual / tie.deviation).0
            });
        let hints = part
            .iter()
            .filter(|point| state.located[**point])
            .map(|point| against(state.at[*point], self.network.marks[*point].hint));
        distances.sum::<f64>() + hints.sum::<f64>()
    }

    /// Builds a part that is not located in a frame of its own, and lays it onto the points given and the axis.
    fn lay_a_frame(&self, state: &mut State) -> bool {
        let mut done = vec![false; self.ties.len()];
        for point in 0..self.ties.len() {
            if state.located[point] || done[point] || self.ties[point].is_empty() {
                continue;
            }
            let part = self.part(state, point);
            for member in &part {
                done[*member] = true;
            }
            if self.lay(state, &part) {
                return true;
            }
        }
        false
    }

    fn lay(&self, state: &mut State, part: &[usize]) -> bool {
        // The part, and the located points it hangs on, whose distances from each other are known.
        let mut members: BTreeSet<usize> = part.iter().copied().collect();
        for point in part {
            members.extend(self.neighbours(*point));
        }
        let members: Vec<usize> = members.into_iter().collect();
        let number = |point: usize| members.binary_search(&point).ok();
        let mut distances: Vec<Distance> = self
            .network
            .distances
            .iter()
            .zip(&self.counts)
            .filter(|(_, counts)| **counts)
            .filter_map(|(tie, _)| {
                let (from, to) = (number(tie.from)?, number(tie.to)?);
                Some(Distance { from, to, ..*tie })
            })
            .collect();
        let anchors: Vec<usize> = (0..members.len())
            .filter(|member| state.located[members[*member]])
            .collect();
        // Enough to hold them together: each with the first two.
        for (order, &anchor) in anchors.iter().enumerate() {
            for &other in anchors.iter().take(order.min(2)) {
                let length = state.at[members[anchor]].distance(state.at[members[other]]);
                if length > 1e-6 {
                    distances.push(Distance {
                        from: other,
                        to: anchor,
                        length,
                        deviation: self.deviation * 0.1,
                    });
                }
            }
        }
        let mut seeds: Vec<(usize, usize)> = (0..distances.len())
            .filter(|seed| {
                !(state.located[members[distances[*seed].from]]
                    && state.located[members[distances[*seed].to]])
            })
            .map(|seed| (triangles(&distances, members.len(), seed), seed))
            .collect();
        seeds.sort_by_key(|(triangles, seed)| (usize::MAX - triangles, *seed));
        let mut best: Option<(usize, f64, State)> = None;
        for (_, seed) in seeds.into_iter().take(MOST_FRAMES) {
            let Some(built) = build(&distances, members.len(), seed) else {
                continue;
            };
            for laid in self.onto(state, &members, &anchors, &built) {
                let mut laid = laid;
                self.adjust(&mut laid, part);
                let count = part.iter().filter(|point| laid.located[**point]).count();
                let misfit = self.misfit(&laid, part);
                let is_better = best.as_ref().is_none_or(|(most, least, _)| {
                    count > *most || (count == *most && misfit < *least - 1e-6)
                });
                if count > 0 && is_better {
                    best = Some((count, misfit, laid));
                }
            }
            if best
                .as_ref()
                .is_some_and(|(count, ..)| *count == part.len())
            {
                break;
            }
        }
        match best {
            Some((_, _, laid)) => {
                *state = laid;
                true
            }
            None => false,
        }
    }

    /// The ways to lay a frame onto what is located and the axis.
    fn onto(
        &self,
        state: &State,
        members: &[usize],
        anchors: &[usize],
        built: &State,
    ) -> Vec<State> {
        let held: Vec<usize> = anchors
            .iter()
            .copied()
            .filter(|a| built.located[*a])
            .collect();
        let on_axis: Vec<usize> = (0..members.len())
            .filter(|member| built.located[*member])
            .filter(|member| self.network.marks[members[*member]].known == Known::OnAxis)
            .filter(|member| !state.located[members[*member]])
            .collect();
        let mut ways = Vec::new();
        for side in [1.0, -1.0] {
            let frame = |member: usize| Point::new(built.at[member].x, built.at[member].y * side);
            let real = |member: usize| state.at[members[member]];
            let Some(&first) = held.first() else {
                continue;
            };
            // The farthest anchor from the first gives the direction best.
            let second = held[1..].iter().copied().max_by(|a, b| {
                let away = |member: &usize| frame(*member).distance(frame(first));
                away(a).total_cmp(&away(b))
            });
            let mut turns = Vec::new();
            if let Some(second) = second {
                let here = frame(second) - frame(first);
                turns.push((real(second) - real(first)).angle() - here.angle());
            } else {
                let farthest = on_axis.iter().copied().max_by(|a, b| {
                    let away = |member: &usize| frame(*member).distance(frame(first));
                    away(a).total_cmp(&away(b))
                });
                if let Some(axis) = farthest {
                    let arm = frame(axis) - frame(first);
                    let sine = (-real(first).y / arm.length()).clamp(-1.0, 1.0);
                    // Towards greater x before the other way.
                    turns.push(sine.asin() - arm.angle());
                    turns.push(std::f64::consts::PI - sine.asin() - arm.angle());
                }
            }
            for turn in turns {
                let place =
                    |member: usize| real(first) + (frame(member) - frame(first)).turned(turn);
                let mut laid = state.clone();
                for (member, &point) in members.iter().enumerate() {
                    if built.located[member] && !state.located[point] {
                        let at = place(member);
                        let on_axis = self.network.marks[point].known == Known::OnAxis;
                        laid.at[point] = if on_axis { Point::new(at.x, 0.0) } else { at };
                        laid.located[point] = true;
                        laid.spread[point] = 2.0 * self.deviation;
                    }
                }
                ways.push(laid);
            }
        }
        ways
    }
}

fn take(state: &mut State, point: usize, place: &Candidate) {
    state.at[point] = place.at;
    state.located[point] = true;
    state.spread[point] = place.spread.min(1e3);
}

/// How many triangles a distance is a side of.
fn triangles(distances: &[Distance], count: usize, seed: usize) -> usize {
    let mut near = vec![0_u8; count];
    let Distance { from, to, .. } = distances[seed];
    for tie in distances {
        for (end, bit) in [(from, 1), (to, 2)] {
            if tie.from == end || tie.to == end {
                near[tie.other(end)] |= bit;
            }
        }
    }
    near.iter().filter(|bits| **bits == 3).count()
}

/// A frame built on one distance laid along the x axis.
fn build(distances: &[Distance], count: usize, seed: usize) -> Option<State> {
    let Distance {
        from, to, length, ..
    } = *distances.get(seed)?;
    let mut marks = vec![Mark::default(); count];
    marks[from].known = Known::At(Point::ORIGIN);
    marks[to].known = Known::At(Point::new(length, 0.0));
    let network = Network {
        marks,
        distances: distances.to_vec(),
    };
    let usable = vec![true; distances.len()];
    let start = Start::of(&network, &usable);
    let mut state = start.given();
    start.locate(&mut state);
    (state.located.iter().filter(|located| **located).count() > 2).then_some(state)
}
