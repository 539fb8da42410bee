//! A field's ring as people draw it: straight edges along a batten's edge or a snapped line, arcs about a centre, and long
//! fair edges by offsets from a base line, as a batten is bent to them.

use std::f64::consts::PI;

use crate::shape::{Arc, Graph, Point, Ring, Segment, turn_between};
use crate::units::{Length, LengthUnit};

use super::circle::circle;
use super::ground::Ground;
use super::tape;

/// The longest trammel that one person swings on a deck, millimetres. (From memory of what is handy; no source.)
const TRAMMEL: f64 = 1500.0;
/// A batten is not bent tighter than this, millimetres: what is tighter is drawn about a centre or round an object. (From
/// memory of thin battens; no source.)
const LEAST_BENT: f64 = 300.0;
/// Arcs that turn by no more than this each, tangent to each other, belong to a fair edge; radians.
const FAIR_TURN: f64 = 20.0 * PI / 180.0;
/// So few arcs in a row are drawn one by one.
const FEW: usize = 2;
/// A joint that turns by less than this is tangent, radians.
const TANGENT: f64 = 2.0 * PI / 180.0;
/// A straight no longer than this between fair arcs belongs to their edge, millimetres.
const SHORT_STRAIGHT: f64 = 150.0;
/// A fair edge that turns by more than this altogether is set out in parts, so that each stands over its base line.
const MOST_TURN: f64 = 70.0 * PI / 180.0;
/// Nearer to each other than this two points cannot be marked, millimetres.
const APART: f64 = 2.0;
/// Neighbouring pieces that one line or one arc follows as nearly as this are drawn as that one, millimetres ...
const AS_ONE: f64 = 0.2;
/// ... and corners, of which a tracing makes many arcs with centres that nobody could tell apart, as nearly as this.
const AS_ONE_CORNER: f64 = 0.6;
/// One arc turns by no more than this.
pub(super) const ONE_ARC: f64 = 1.5 * PI;
/// How far the batten may pass from the true edge before more offsets are given, tape's rounding not counted, millimetres.
pub(super) const BATTEN: f64 = 0.5;
/// Offsets are at least this far apart, millimetres, and about so far to begin with.
pub(super) const CLOSEST: f64 = 40.0;
pub(super) const USUAL: f64 = 300.0;
/// Parts in which a batten is compared with the true edge, for each step.
const LOOKS: usize = 12;
/// The plan, in which pieces are put together.
const FLAT: Ground<'static> = Ground {
    surface: None,
    units: LengthUnit::Millimetre,
};
/// Places on each piece at which one for several is compared with them.
const SHARES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// How one point of a ring goes on to the next.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Stretch {
    Straight,
    Arc(Arc),
    /// A batten to offsets from its base line: the true edge.
    Fair(Vec<Segment>),
    /// A batten through this point and the next ones with the same number.
    Through(usize),
}

/// A ring in stretches, each with where it begins.
pub(super) fn stretches(ring: &Ring) -> Vec<(Point, Stretch)> {
    if let Some(halves) = as_circle(ring.segments()) {
        return halves;
    }
    let segments = from_the_bow(&merged(&from_a_corner(&fused(ring.segments()))));
    let mut found = Vec::new();
    let mut fair: Vec<Segment> = Vec::new();
    for segment in &segments {
        let goes_on = fair.last().is_some_and(|last| is_tangent(last, segment));
        let straight_in_it = is_short_straight(segment) && goes_on;
        if is_fair(segment) || straight_in_it {
            if !goes_on {
                close(&mut fair, &mut found);
            }
            fair.push(*segment);
            continue;
        }
        close(&mut fair, &mut found);
        found.push((segment.start(), plain(segment)));
    }
    close(&mut fair, &mut found);
    found
}

/// Neighbours on one line or one circle as one, and what is too short to be marked left out.
fn fused(segments: &[Segment]) -> Vec<Segment> {
    let mut kept: Vec<Segment> = Vec::new();
    for segment in segments {
        let joined = kept.last().and_then(|last| joined(last, segment));
        match (joined, kept.last_mut()) {
            (Some(joined), Some(last)) => *last = joined,
            _ => kept.push(*segment),
        }
    }
    let count = kept.iter().filter(|one| one.length() >= APART).count();
    if count < 2 {
        return kept;
    }
    // The ends of what is left out fall together half way along it.
    let mut ends: Vec<(Point, Point)> = kept.iter().map(|one| (one.start(), one.end())).collect();
    let total = kept.len();
    for (index, one) in kept.iter().enumerate() {
        if one.length() < APART {
            let middle = one.point_at(0.5);
            ends[(index + total - 1) % total].1 = middle;
            ends[(index + 1) % total].0 = middle;
        }
    }
    let with_ends = |segment: &Segment, (start, end): (Point, Point)| match segment {
        Segment::Line(..) => Segment::Line(start, end),
        Segment::Arc(arc) => Segment::Arc(Arc { start, end, ..*arc }),
    };
    kept.iter()
        .zip(ends)
        .filter(|(one, _)| one.length() >= APART)
        .map(|(one, ends)| with_ends(one, ends))
        .collect()
}

fn joined(last: &Segment, next: &Segment) -> Option<Segment> {
    match (last, next) {
        (Segment::Line(start, _), Segment::Line(_, end)) => {
            let is_straight = turn_between(last, next).abs() < 1e-7;
            is_straight.then_some(Segment::Line(*start, *end))
        }
        (Segment::Arc(one), Segment::Arc(other)) => {
            let is_same = one.centre.distance(other.centre) < 1e-6
                && (one.radius - other.radius).abs() < 1e-6
                && one.sweep * other.sweep > 0.0;
            // A whole circle stays two halves: it has to begin somewhere.
            let sweep = one.sweep + other.sweep;
            (is_same && sweep.abs() < ONE_ARC).then_some(Segment::Arc(Arc {
                end: other.end,
                sweep,
                ..*one
            }))
        }
        _ => None,
    }
}

/// A ring that is a circle for all that can be seen, as two halves about one centre.
fn as_circle(segments: &[Segment]) -> Option<Vec<(Point, Stretch)>> {
    let arcs = arcs_of(segments)?;
    let (first, found) = (arcs.first()?, circle(&arcs, &FLAT));
    let sweep: f64 = arcs.iter().map(|arc| arc.sweep).sum();
    let is_whole = (sweep.abs() - 2.0 * PI).abs() < TANGENT;
    (is_whole && found.off < tolerance(found.radius)).then(|| {
        // Fore and aft of the centre.
        let from = [PI, 0.0].map(|angle| found.centre + Point::at_angle(angle) * found.radius);
        [0, 1]
            .map(|half| {
                let arc = Arc {
                    start: from[half],
                    end: from[1 - half],
                    centre: found.centre,
                    radius: found.radius,
                    sweep: PI.copysign(first.sweep),
                };
                (arc.start, Stretch::Arc(arc))
            })
            .to_vec()
    })
}

/// Arcs alone, all turning the same way.
fn arcs_of(segments: &[Segment]) -> Option<Vec<Arc>> {
    let mut arcs: Vec<Arc> = Vec::new();
    for segment in segments {
        let Segment::Arc(arc) = segment else {
            return None;
        };
        if arcs
            .first()
            .is_some_and(|first| first.sweep * arc.sweep < 0.0)
        {
            return None;
        }
        arcs.push(*arc);
    }
    Some(arcs)
}

/// How nearly a circle has to follow several arcs to stand for them.
const fn tolerance(radius: f64) -> f64 {
    if radius < LEAST_BENT {
        AS_ONE_CORNER
    } else {
        AS_ONE
    }
}

fn is_tangent(last: &Segment, next: &Segment) -> bool {
    turn_between(last, next).abs() < TANGENT
}

/// Begun at the first joint at which no piece can go on as one with the next, where there is such a joint.
fn from_a_corner(segments: &[Segment]) -> Vec<Segment> {
    let total = segments.len();
    let first = (0..total).find(|index| {
        let pair = [segments[(index + total - 1) % total], segments[*index]];
        !is_tangent(&pair[0], &pair[1]) || as_one(&pair).is_none()
    });
    let mut turned = segments.to_vec();
    turned.rotate_left(first.unwrap_or(0));
    turned
}

/// As many neighbours as can be as one line or one arc: what a curve's exact pieces are too many for.
fn merged(segments: &[Segment]) -> Vec<Segment> {
    let mut kept = Vec::new();
    let mut rest = segments;
    while let Some(first) = rest.first() {
        let mut one = *first;
        let mut taken = 1;
        for count in 2..=rest.len() {
            if !is_tangent(&rest[count - 2], &rest[count - 1]) {
                break;
            }
            match as_one(&rest[..count]) {
                Some(longer) => {
                    one = longer;
                    taken = count;
                }
                // A curve that leaves a circle may come back to it, but not from far.
                None if count > 2 * taken + 2 => break,
                None => {}
            }
        }
        kept.push(one);
        rest = &rest[taken..];
    }
    kept
}

/// The line or arc that follows all of some pieces.
fn as_one(pieces: &[Segment]) -> Option<Segment> {
    let (start, end) = (pieces.first()?.start(), pieces.last()?.end());
    let seen = || {
        pieces
            .iter()
            .flat_map(|piece| SHARES.map(|share| piece.point_at(share)))
    };
    let unit = (end - start).unit();
    if start.distance(end) > APART && seen().all(|at| unit.cross(at - start).abs() < AS_ONE) {
        return Some(Segment::Line(start, end));
    }
    if let Some(Segment::Arc(arc)) = pieces.first().filter(|_| pieces.len() == 1) {
        return Some(Segment::Arc(*arc));
    }
    let arcs = arcs_of(pieces)?;
    let sweep: f64 = arcs.iter().map(|arc| arc.sweep).sum();
    let found = circle(&arcs, &FLAT);
    (sweep.abs() < ONE_ARC && found.off < tolerance(found.radius)).then_some(Segment::Arc(Arc {
        start,
        end,
        centre: found.centre,
        radius: found.radius,
        sweep,
    }))
}

/// Begun at the forwardmost joint that is no joint within a fair edge, the one to port of several.
fn from_the_bow(segments: &[Segment]) -> Vec<Segment> {
    let total = segments.len();
    let inside_fair = |index: usize| {
        let before = &segments[(index + total - 1) % total];
        let here = &segments[index];
        (is_fair(before) || is_short_straight(before))
            && (is_fair(here) || is_short_straight(here))
            && is_tangent(before, here)
    };
    let key = |index: usize| {
        let at = segments[index].start();
        (inside_fair(index), at.x, at.y)
    };
    let first = (0..total).min_by(|a, b| {
        let ((a_in, ax, ay), (b_in, bx, by)) = (key(*a), key(*b));
        a_in.cmp(&b_in)
            .then(ax.total_cmp(&bx))
            .then(ay.total_cmp(&by))
    });
    let mut turned = segments.to_vec();
    turned.rotate_left(first.unwrap_or(0));
    turned
}

fn is_fair(segment: &Segment) -> bool {
    match segment {
        Segment::Line(..) => false,
        Segment::Arc(arc) => {
            arc.radius > TRAMMEL || arc.radius >= LEAST_BENT && arc.sweep.abs() <= FAIR_TURN
        }
    }
}

fn is_short_straight(segment: &Segment) -> bool {
    matches!(segment, Segment::Line(..)) && segment.length() <= SHORT_STRAIGHT
}

fn plain(segment: &Segment) -> Stretch {
    match segment {
        Segment::Arc(arc) if !matches!(as_one(&[*segment]), Some(Segment::Line(..))) => {
            Stretch::Arc(*arc)
        }
        Segment::Line(..) | Segment::Arc(_) => Stretch::Straight,
    }
}

/// What has been gathered, as one fair edge or in parts, or arc by arc where there are few that a trammel reaches.
fn close(fair: &mut Vec<Segment>, found: &mut Vec<(Point, Stretch)>) {
    let edge = std::mem::take(fair);
    let Some(first) = edge.first() else { return };
    if let Some(Segment::Line(..)) = as_one(&edge) {
        found.push((first.start(), Stretch::Straight));
        return;
    }
    let reached = |segment: &Segment| match segment {
        Segment::Line(..) => true,
        Segment::Arc(arc) => arc.radius <= TRAMMEL,
    };
    if edge.len() <= FEW && edge.iter().all(reached) {
        found.extend(edge.iter().map(|one| (one.start(), plain(one))));
        return;
    }
    let turn: f64 = edge.iter().map(|one| sweep(one).abs()).sum();
    if turn <= MOST_TURN {
        found.push((first.start(), Stretch::Fair(edge)));
        return;
    }
    let mut parts = 1.0;
    while turn / parts > MOST_TURN {
        parts += 1.0;
    }
    let mut part: Vec<Segment> = Vec::new();
    let mut turned = 0.0;
    let each = turn / parts;
    for segment in edge {
        let mut rest = segment;
        // An arc is cut where a part is full.
        while sweep(&rest).abs() > 1e-9 && turned + sweep(&rest).abs() > each + 1e-9 {
            let share = (each - turned) / sweep(&rest).abs();
            part.push(rest.part(0.0, share));
            rest = rest.part(share, 1.0);
            push_part(&mut part, found);
            turned = 0.0;
        }
        turned += sweep(&rest).abs();
        part.push(rest);
    }
    push_part(&mut part, found);
}

fn push_part(part: &mut Vec<Segment>, found: &mut Vec<(Point, Stretch)>) {
    let mut edge = std::mem::take(part);
    edge.retain(|one| one.length() > 1e-6);
    if let Some(first) = edge.first() {
        found.push((first.start(), Stretch::Fair(edge)));
    }
}

const fn sweep(segment: &Segment) -> f64 {
    match segment {
        Segment::Line(..) => 0.0,
        Segment::Arc(arc) => arc.sweep,
    }
}

/// A fair edge as it is set out.
#[derive(Debug, Clone, PartialEq)]
pub struct Batten {
    /// Equal steps along the base line between its ends.
    pub steps: usize,
    /// Offsets at the ends of all steps but the last, as the tape shows them; positive to the left of the base line.
    pub offsets: Vec<Length>,
    /// Where each stands along the base line, as the tape shows it.
    pub along: Vec<Length>,
    /// The greatest distance that a batten through all of it passes from the true edge.
    pub off: Length,
}

/// Offsets for a fair edge from the base line between its ends, which have been marked at `from` and `to`.
pub(super) fn batten(edge: &[Segment], from: Point, to: Point, units: LengthUnit) -> Batten {
    let length = from.distance(to);
    let mut steps = 2;
    while length / steps as f64 > USUAL {
        steps += 1;
    }
    loop {
        let tried = batten_of(edge, from, to, units, steps);
        let limit = BATTEN + tape::step(units).to_mm() / 2.0;
        if tried.off.to_mm() <= limit || length / (steps as f64 * 1.5) < CLOSEST {
            return tried;
        }
        steps += steps.div_ceil(4);
    }
}

fn batten_of(edge: &[Segment], from: Point, to: Point, units: LengthUnit, steps: usize) -> Batten {
    let length = from.distance(to);
    let edge = over_base(edge, from, to);
    let mut along = Vec::new();
    let mut offsets = Vec::new();
    let mut knots = vec![Point::ORIGIN];
    for number in 1..steps {
        let at = tape::rounded(Length::mm(length * number as f64 / steps as f64), units);
        let offset = tape::rounded(Length::mm(height(&edge, at.to_mm())), units);
        knots.push(Point::new(at.to_mm(), offset.to_mm()));
        along.push(at);
        offsets.push(offset);
    }
    knots.push(Point::new(length, 0.0));
    let off = strays(&knots, &edge);
    Batten {
        steps,
        offsets,
        along,
        off: Length::mm(off),
    }
}

/// An edge as it is seen with the line between two points for its x axis.
pub(super) fn over_base(edge: &[Segment], from: Point, to: Point) -> Vec<Segment> {
    let unit = (to - from).unit();
    let seen = |at: Point| Point::new((at - from).dot(unit), unit.cross(at - from));
    edge.iter().map(|one| one.moved(&seen)).collect()
}

/// The greatest distance at which a batten through `knots` passes from an edge over the same base line.
pub(super) fn strays(knots: &[Point], edge: &[Segment]) -> f64 {
    let Some(curve) = Graph::through(knots) else {
        return f64::INFINITY;
    };
    let mut off = 0.0_f64;
    for pair in knots.windows(2) {
        for number in 0..=LOOKS {
            let x = pair[0].towards(pair[1], number as f64 / LOOKS as f64).x;
            let away = (curve.height_at(x) - height(edge, x)).abs();
            off = off.max(away / curve.slope_at(x).hypot(1.0));
        }
    }
    off
}

/// How far an edge that stands over the x axis lies above it at x; beyond its ends, as far as at them.
fn height(edge: &[Segment], x: f64) -> f64 {
    let (Some(first), Some(last)) = (edge.first(), edge.last()) else {
        return 0.0;
    };
    let Some(segment) = edge
        .iter()
        .find(|one| one.start().x <= x && x <= one.end().x)
    else {
        return if x < first.start().x {
            first.start().y
        } else {
            last.end().y
        };
    };
    match segment {
        Segment::Line(start, end) => {
            let run = end.x - start.x;
            let share = if run > 0.0 { (x - start.x) / run } else { 0.0 };
            start.towards(*end, share).y
        }
        Segment::Arc(arc) => {
            let across = x - arc.centre.x;
            let up = (arc.radius * arc.radius - across * across).max(0.0).sqrt();
            // Run along rising x, the arc that turns left lies below its centre.
            if arc.sweep > 0.0 {
                arc.centre.y - up
            } else {
                arc.centre.y + up
            }
        }
    }
}
