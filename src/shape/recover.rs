//! From the engine's chords back to exact rings: chords of one curve joined, what is the grid's doing
//! left out, each vertex computed anew where its two curves meet.

use super::curve::{Curve, Meeting};
use super::engine::{Chord, Node};
use super::plane::{NODES_A_MM, Plane, SAME_POINT};
use super::{Arc, Point, Ring, Segment};

/// Curves that pass each other no further apart touch, millimetres.
const HAIR: f64 = 1e-5;
/// A point nearer to a curve than this lies on it, millimetres.
const EXACT: f64 = 1e-9;
/// An arc that sweeps more than this is given in two halves, radians.
const WHOLE_TURN: f64 = std::f64::consts::TAU - 1e-6;
/// Rings thinner than this are the grid's doing, millimetres.
const SLIVER: f64 = 3e-6;

/// A ring read back.
#[derive(Debug)]
pub(super) struct Recovered {
    pub(super) ring: Ring,
    /// At how many places the curves do not bear out what their chords decided: the answer hangs on less
    /// than the chords' distance from their arcs.
    pub(super) doubts: u32,
}

impl Plane {
    /// Reads one ring of the engine's answer back as exact segments; nothing where it is a sliver.
    pub(super) fn recover(&self, chords: &[Chord]) -> Option<Recovered> {
        let mut runs = self.runs(chords);
        let vertices = loop {
            if runs.len() < 2 {
                let ring = self.whole_circle(runs.first()?)?;
                return Some(Recovered { ring, doubts: 0 });
            }
            let vertices = self.vertices(&runs);
            let next = vertices.iter().cycle().skip(1);
            let has_length: Vec<bool> = runs
                .iter()
                .zip(vertices.iter().zip(next))
                .map(|(run, (start, end))| self.has_length(run, start.at, end.at))
                .collect();
            if has_length.iter().all(|has| *has) {
                break vertices;
            }
            // Its neighbours meet where it was.
            let mut keep = has_length.into_iter();
            runs.retain(|_| keep.next().unwrap_or(true));
            join_equal_neighbours(&mut runs);
        };
        let mut doubts = 0;
        let mut segments = Vec::with_capacity(runs.len());
        for (index, run) in runs.iter().enumerate() {
            let (start, end) = (vertices[index], vertices[(index + 1) % runs.len()]);
            doubts += u32::from(!start.is_borne_out);
            for segment in self.segments(run, start.at, end.at) {
                doubts += u32::from(!self.runs_the_same_way(run, &segment));
                segments.push(segment);
            }
        }
        let ring = Ring::new(segments);
        let is_sliver = ring.signed_area().abs() <= SLIVER * ring.length();
        (!is_sliver).then_some(Recovered { ring, doubts })
    }

    /// Whether a segment runs along its curve the way its chords do.
    fn runs_the_same_way(&self, run: &Run, segment: &Segment) -> bool {
        let way = match (segment, self.curve(run.curve)) {
            (Segment::Line(start, end), Curve::Line { along, .. }) => along.dot(*end - *start),
            (Segment::Arc(arc), _) => arc.sweep,
            _ => run.turn,
        };
        segment.length() < 4.0 / NODES_A_MM || (way > 0.0) == (run.turn > 0.0)
    }

    /// Neighbouring chords of one curve joined, what is the grid's doing left out.
    fn runs(&self, chords: &[Chord]) -> Vec<Run> {
        let mut runs: Vec<Run> = Vec::new();
        for chord in chords {
            let turn = self.turn(chord);
            match runs.last_mut() {
                Some(run) if run.curve == chord.curve => {
                    run.to = chord.to;
                    run.turn += turn;
                }
                _ => runs.push(Run {
                    curve: chord.curve,
                    from: chord.from,
                    to: chord.to,
                    turn,
                }),
            }
        }
        loop {
            join_equal_neighbours(&mut runs);
            let Some(index) = (0..runs.len()).find(|index| self.is_artefact(&runs, *index)) else {
                return runs;
            };
            // The gap closes where the neighbours meet.
            let middle = runs[index].middle();
            let count = runs.len();
            runs[(index + count - 1) % count].to = middle;
            runs[(index + 1) % count].from = middle;
            runs.remove(index);
        }
    }

    /// Angle a chord turns through about its circle's centre; length along its line.
    fn turn(&self, chord: &Chord) -> f64 {
        let (from, to) = (self.point(chord.from), self.point(chord.to));
        match self.curve(chord.curve) {
            Curve::Line { along, .. } => along.dot(to - from),
            Curve::Circle { centre, .. } => {
                let (u, v) = (from - *centre, to - *centre);
                u.cross(v).atan2(u.dot(v))
            }
        }
    }

    /// Whether a run is no more than the chords' and the grid's rounding between two curves that meet there
    /// anyway. A true edge, however short, runs between places where its curve is known to meet theirs.
    fn is_artefact(&self, runs: &[Run], index: usize) -> bool {
        let count = runs.len();
        let run = &runs[index];
        let size = self.point(run.from).distance(self.point(run.to));
        if count < 3 || size > self.sagitta {
            return false;
        }
        // A whole turn of a small circle comes back to where it began, but is no artefact.
        if matches!(self.curve(run.curve), Curve::Circle { .. }) && run.turn.abs() > 1.0 {
            return false;
        }
        let (before, after) = (
            &runs[(index + count - 1) % count],
            &runs[(index + 1) % count],
        );
        let is_true_edge = size > 4.0 / NODES_A_MM
            && self.is_vertex(run.from, before.curve, run.curve)
            && self.is_vertex(run.to, run.curve, after.curve);
        if is_true_edge {
            return false;
        }
        if before.curve == after.curve {
            return true;
        }
        let at = self.point(run.middle());
        self.meeting(before.curve, after.curve, at)
            .is_some_and(|meeting| meeting.distance(at) <= size + 4.0 / NODES_A_MM)
    }

    /// Whether two curves are known to meet at a node.
    fn is_vertex(&self, node: Node, a: u32, b: u32) -> bool {
        let is_on_both = |point: &Point| {
            [a, b]
                .iter()
                .all(|name| self.curve(*name).signed_distance(*point).abs() < 2.0 * SAME_POINT)
        };
        let at = self.point(node);
        let crosses_here = || match (self.curve(a), self.curve(b)) {
            // Lines have no chords to be misled by.
            (Curve::Line { .. }, Curve::Line { .. }) => self
                .meeting(a, b, at)
                .is_some_and(|meeting| meeting.distance(at) <= 4.0 / NODES_A_MM),
            _ => false,
        };
        self.exact_point(node).is_some_and(is_on_both) || crosses_here()
    }

    /// The vertices at which runs begin.
    fn vertices(&self, runs: &[Run]) -> Vec<Vertex> {
        (0..runs.len())
            .map(|index| {
                let before = &runs[(index + runs.len() - 1) % runs.len()];
                self.vertex(before, &runs[index])
            })
            .collect()
    }

    /// The exact vertex between two runs.
    fn vertex(&self, before: &Run, after: &Run) -> Vertex {
        let rough = self.point(after.from);
        let known = |at| Vertex {
            at,
            is_borne_out: true,
        };
        let site = self.exact_point(after.from).copied();
        let off = site.map_or(f64::INFINITY, |site| {
            [before, after]
                .map(|run| self.curve(run.curve).signed_distance(site).abs())
                .into_iter()
                .fold(0.0, f64::max)
        });
        match (site, self.meeting(before.curve, after.curve, rough)) {
            (Some(site), _) if off <= EXACT => known(site),
            // Of points that differ by rounding one stands for all: where the curves cross is better.
            (Some(site), Some(at)) if off < 2.0 * SAME_POINT => {
                known(if site.distance(at) < self.sagitta {
                    at
                } else {
                    site
                })
            }
            (Some(site), None) if off < 2.0 * SAME_POINT => known(site),
            (_, Some(at)) => known(at),
            (_, None) => Vertex {
                at: rough,
                is_borne_out: false,
            },
        }
    }

    /// Where two curves meet nearest to `rough`, if that is as near as chords and grid can account for.
    fn meeting(&self, before: u32, after: u32, rough: Point) -> Option<Point> {
        let (a, b) = (self.curve(before), self.curve(after));
        match a.meet(b, HAIR) {
            Meeting::Nowhere => None,
            Meeting::Touch { at, gap } => {
                let reach = (8.0 * a.parting_radius(b) * (self.sagitta + gap.max(0.0))).sqrt();
                (at.distance(rough) <= reach).then_some(at)
            }
            Meeting::Cross { at, slant } => {
                let nearest = if at[0].distance(rough) <= at[1].distance(rough) {
                    at[0]
                } else {
                    at[1]
                };
                let curved = [a, b]
                    .iter()
                    .any(|curve| matches!(curve, Curve::Circle { .. }));
                let error = if curved {
                    2.5 * self.sagitta
                } else {
                    4.0 / NODES_A_MM
                };
                // Where curves cross at a small angle, a small error across is a long one along.
                let reach =
                    (error / slant.max(1e-9)).min((20.0 * a.parting_radius(b) * error).sqrt());
                (nearest.distance(rough) <= reach.max(4.0 / NODES_A_MM)).then_some(nearest)
            }
        }
    }

    /// Whether anything is left of a run between its exact ends.
    fn has_length(&self, run: &Run, start: Point, end: Point) -> bool {
        let goes_round =
            matches!(self.curve(run.curve), Curve::Circle { .. }) && run.turn.abs() > 1.0;
        goes_round || start.distance(end) >= SAME_POINT
    }

    /// A run between its exact ends; an arc of a whole turn in two halves.
    fn segments(&self, run: &Run, start: Point, end: Point) -> Vec<Segment> {
        let Curve::Circle { centre, radius } = *self.curve(run.curve) else {
            return vec![Segment::Line(start, end)];
        };
        let (u, v) = (start - centre, end - centre);
        let turn = u.cross(v).atan2(u.dot(v));
        let full = std::f64::consts::TAU;
        // The exact angle, with as many whole turns as the chords made.
        let sweep = turn + ((run.turn - turn) / full).round() * full;
        let arc = |start, end, sweep| {
            Segment::Arc(Arc {
                start,
                end,
                centre,
                radius,
                sweep,
            })
        };
        if sweep.abs() < WHOLE_TURN {
            return vec![arc(start, end, sweep)];
        }
        let half = centre - (start - centre);
        vec![arc(start, half, sweep / 2.0), arc(half, end, sweep / 2.0)]
    }

    fn whole_circle(&self, run: &Run) -> Option<Ring> {
        match self.curve(run.curve) {
            Curve::Circle { centre, radius } if run.turn.abs() > 1.0 => {
                let ring = Ring::circle(*centre, *radius);
                Some(if run.turn < 0.0 {
                    ring.reversed()
                } else {
                    ring
                })
            }
            _ => None,
        }
    }
}

/// Where one run ends and the next begins.
#[derive(Debug, Clone, Copy)]
struct Vertex {
    at: Point,
    /// Whether the curves meet there.
    is_borne_out: bool,
}

/// A stretch of the result along one curve.
#[derive(Debug, Clone, Copy)]
struct Run {
    curve: u32,
    from: Node,
    to: Node,
    /// Angle turned about the circle's centre, or length along the line.
    turn: f64,
}

impl Run {
    const fn middle(&self) -> Node {
        Node {
            x: self.from.x + (self.to.x - self.from.x) / 2,
            y: self.from.y + (self.to.y - self.from.y) / 2,
        }
    }
}

fn join_equal_neighbours(runs: &mut Vec<Run>) {
    let mut joined: Vec<Run> = Vec::with_capacity(runs.len());
    for run in runs.drain(..) {
        match joined.last_mut() {
            Some(last) if last.curve == run.curve => {
                last.to = run.to;
                last.turn += run.turn;
            }
            _ => joined.push(run),
        }
    }
    let closes = joined.len() > 1 && joined[0].curve == joined[joined.len() - 1].curve;
    if closes && let Some(last) = joined.pop() {
        joined[0].from = last.from;
        joined[0].turn += last.turn;
    }
    *runs = joined;
}
