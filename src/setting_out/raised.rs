//! A field's edges on a deck with camber or sheer. Comes in: stretches as they are in plan. Goes out: stretches that can be
//! drawn on the deck itself.
//!
//! No line laid on such a deck is straight in plan, and no trammel draws a circle of it. So a long edge is given by points
//! to bend a batten through, so close that it makes no difference how the batten would run by itself; and an arc gets the
//! centre and radius that a trammel or a round object on the deck needs, in two arcs or four where one would be off.

use crate::shape::{Arc, Point, Segment};

use super::circle::circle;
use super::edges::{BATTEN, CLOSEST, ONE_ARC, Stretch, over_base, strays};
use super::ground::Ground;

/// How far a batten's own way may leave a straight one between two points, millimetres.
const SIDEWAYS: f64 = 0.5;
/// How far a circle drawn on the deck may be off the true arc, millimetres.
const ROUND: f64 = 0.7;
/// An arc is halved so often at most.
const HALVINGS: u32 = 2;

/// The stretches of a ring as they are drawn on the deck.
pub(super) fn on_deck(ring: &[(Point, Stretch)], ground: &Ground<'_>) -> Vec<(Point, Stretch)> {
    let mut found = Vec::new();
    let mut battens = 0;
    let mut index = 0;
    while let Some((at, stretch)) = ring.get(index) {
        let next = ring[(index + 1) % ring.len()].0;
        match stretch {
            Stretch::Arc(_) => {
                let arcs = one_circle(&ring[index..], ground);
                index += arcs.len() - 1;
                round(&arcs, HALVINGS, ground, &mut found);
            }
            Stretch::Straight => {
                let edge = [Segment::Line(*at, next)];
                through(&edge, 1, ground, &mut battens, &mut found);
            }
            Stretch::Fair(edge) => through(edge, 2, ground, &mut battens, &mut found),
            Stretch::Through(_) => found.push((*at, stretch.clone())),
        }
        index += 1;
    }
    found
}

/// The arcs that a ring begins with and that one circle drawn on the deck follows: the first at least. In plan such a circle
/// is none, so they stand there as several.
fn one_circle(ring: &[(Point, Stretch)], ground: &Ground<'_>) -> Vec<Arc> {
    let mut arcs: Vec<Arc> = Vec::new();
    for (_, stretch) in ring {
        let Stretch::Arc(arc) = stretch else { break };
        arcs.push(*arc);
        if arcs.len() == 1 {
            continue;
        }
        let sweep: f64 = arcs.iter().map(|arc| arc.sweep).sum();
        let turns_on = arcs[0].sweep * arc.sweep > 0.0 && sweep.abs() < ONE_ARC;
        if !turns_on || circle(&arcs, ground).off > ROUND {
            arcs.pop();
            break;
        }
    }
    arcs
}

/// An edge by points, `least` stretches of it at least.
fn through(
    edge: &[Segment],
    least: usize,
    ground: &Ground<'_>,
    battens: &mut usize,
    found: &mut Vec<(Point, Stretch)>,
) {
    let mut count = least;
    let length: f64 = edge.iter().map(Segment::length).sum();
    while !will_do(edge, length, count, ground) && length / (count + 1) as f64 > CLOSEST {
        count += count.div_ceil(4);
    }
    if count == 1 {
        found.extend(edge.first().map(|one| (one.start(), Stretch::Straight)));
        return;
    }
    *battens += 1;
    for (at, _) in knots(edge, length, count).into_iter().take(count) {
        found.push((at, Stretch::Through(*battens)));
    }
}

/// Whether a batten through so many points follows an edge.
fn will_do(edge: &[Segment], length: f64, count: usize, ground: &Ground<'_>) -> bool {
    let step = length / count as f64;
    let bend = knots(edge, length, 2 * count)
        .iter()
        .map(|(at, along)| ground.sideways_bend(*at, *along).abs())
        .fold(0.0, f64::max);
    if bend * step * step / 8.0 > SIDEWAYS {
        return false;
    }
    let (Some(first), Some(last)) = (edge.first(), edge.last()) else {
        return true;
    };
    let (from, to) = (first.start(), last.end());
    let unit = (to - from).unit();
    let seen: Vec<Point> = knots(edge, length, count)
        .iter()
        .map(|(at, _)| Point::new((*at - from).dot(unit), unit.cross(*at - from)))
        .collect();
    strays(&seen, &over_base(edge, from, to)) <= BATTEN
}

/// Points at equal steps along an edge, its ends too, with its direction there.
fn knots(edge: &[Segment], length: f64, count: usize) -> Vec<(Point, Point)> {
    let mut found = Vec::new();
    let mut gone = 0.0;
    let mut number = 0;
    for (index, piece) in edge.iter().enumerate() {
        let own = piece.length();
        let is_last = index + 1 == edge.len();
        while number <= count {
            let share = (length * number as f64 / count as f64 - gone) / own;
            if share > 1.0 && !is_last {
                break;
            }
            let share = share.clamp(0.0, 1.0);
            found.push((piece.point_at(share), piece.direction_at(share)));
            number += 1;
        }
        gone += own;
    }
    found
}

/// Arcs that follow each other by one circle drawn on the deck, or a single one by several.
fn round(arcs: &[Arc], halvings: u32, ground: &Ground<'_>, found: &mut Vec<(Point, Stretch)>) {
    let (Some(first), Some(last)) = (arcs.first(), arcs.last()) else {
        return;
    };
    let drawn = circle(arcs, ground);
    if drawn.off > ROUND && halvings > 0 && arcs.len() == 1 {
        let whole = Segment::Arc(*first);
        for (from, to) in [(0.0, 0.5), (0.5, 1.0)] {
            if let Segment::Arc(half) = whole.part(from, to) {
                round(&[half], halvings - 1, ground, found);
            }
        }
        return;
    }
    let arc = Arc {
        start: first.start,
        end: last.end,
        centre: drawn.centre,
        radius: drawn.radius,
        sweep: arcs.iter().map(|arc| arc.sweep).sum(),
    };
    found.push((arc.start, Stretch::Arc(arc)));
}
