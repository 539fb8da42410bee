//! A ring of points to a boundary: straight edges, arcs through a point, a batten's curve, corners
//! rounded by exact arcs. Serves the deck's edge and every feature given by points.
//!
//! Straight edges so short and so many that they were traced from a curve become its lines and arcs again,
//! never across a change of name, a rounding, an arc or a `corner`; edges as a person measures stay.
//!
//! The arc that rounds a corner belongs to the edge with the larger margin, where both have the same to
//! the one that leaves the corner: so no part of a corner is nearer than the larger margin asks.

use std::f64::consts::PI;

use super::findings::Findings;
use super::rounding::{Cut, Stretch, cut_corner, trimmed};
use super::walk::{Step, Walk};
use super::{Edge, EdgeRing};
use crate::layout::{Curve, Fault, Place, PointRing};
use crate::shape::{
    Arc, FittedRun, LEAST_TURN, Point, Segment, Spline, SplineEnd, TOUCH, fit_chain, fit_ring,
    tangent_arcs, turn_between,
};
use crate::units::Length;

/// How near arcs follow a fair curve, millimetres.
pub(super) const FAIR_WITHIN: f64 = 0.01;
/// Fitted runs that turn less than this, radians, where they join run on into each other.
const SMOOTH: f64 = 1e-6;
/// An arc flatter than this radius, millimetres, cannot be told from a line.
const FLATTEST: f64 = 1e9;

/// A point of the ring, repeats merged.
#[derive(Debug, Clone)]
struct Node {
    at: Point,
    radius: Option<Round>,
    name: Option<String>,
    through: Option<Via>,
    breaks: bool,
    place: Place,
    /// Its number in the layout, from 0.
    entry: usize,
}

#[derive(Debug, Clone, Copy)]
struct Round {
    radius: f64,
    place: Place,
}

#[derive(Debug, Clone, Copy)]
struct Via {
    at: Point,
    place: Place,
}

/// The counter-clockwise ring, or its faults.
pub(super) fn edge_ring(
    ring: &PointRing,
    margin_of: &dyn Fn(Option<&str>) -> Length,
    findings: &mut Findings<'_>,
) -> Option<EdgeRing> {
    let before = findings.faults.len();
    let mut nodes = checked_nodes(ring, findings);
    if findings.faults.len() > before {
        return None;
    }
    let arcs = nodes.iter().filter(|node| node.through.is_some()).count();
    if nodes.len() < 2 || (nodes.len() == 2 && arcs == 0) {
        findings.fault(
            Fault::new(
                ring.place,
                "fewer than three points enclose nothing",
                format!("{} different points here", nodes.len()),
            )
            .with_help("write three points at least, or two with an arc `through` a third"),
        );
        return None;
    }
    let is_fair = ring.curve == Curve::Fair;
    let stretches = if is_fair {
        start_at_a_boundary(&mut nodes);
        fault_rounded_smooth_points(&nodes, findings);
        fair_stretches(&nodes, ring.place, findings)
    } else {
        straight_stretches(&nodes, findings)
    };
    if findings.faults.len() > before {
        return None;
    }
    let fitted = if is_fair {
        None
    } else {
        fitted_stretches(&nodes, &stretches)
    };
    let walk = match fitted {
        None => walked(&stretches, &nodes, margin_of, findings)?,
        Some(fitted) => {
            let walk = walked(&fitted, &nodes, margin_of, findings)?;
            // What crosses itself is judged as it was given.
            if walk.crosses_itself() {
                walked(&stretches, &nodes, margin_of, findings)?
            } else {
                walk
            }
        }
    };
    let places: Vec<Place> = ring.corners.iter().map(|corner| corner.at.place).collect();
    walk.into_ring(&places, ring.place, true, findings)
}

/// The boundary as it is walked, its corners rounded; none where one cannot be.
fn walked(
    stretches: &[Stretch],
    nodes: &[Node],
    margin_of: &dyn Fn(Option<&str>) -> Length,
    findings: &mut Findings<'_>,
) -> Option<Walk> {
    let before = findings.faults.len();
    let cuts = rounded_corners(stretches, nodes, findings);
    (findings.faults.len() == before).then(|| assembled(stretches, nodes, &cuts, margin_of))
}

/// The points without repeats, each checked.
fn checked_nodes(ring: &PointRing, findings: &mut Findings<'_>) -> Vec<Node> {
    let mut nodes: Vec<Node> = Vec::with_capacity(ring.corners.len());
    for (entry, corner) in ring.corners.iter().enumerate() {
        let place = corner.at.place;
        let Some(at) = findings.position(&corner.at.value, place) else {
            continue;
        };
        let mut node = Node {
            at,
            radius: None,
            name: corner.edge.as_ref().map(|name| name.value.clone()),
            through: None,
            breaks: corner.breaks,
            place,
            entry,
        };
        if let Some(through) = &corner.through
            && let Some(at) = findings.position(&through.value, through.place)
        {
            node.through = Some(Via {
                at,
                place: through.place,
            });
        }
        if let Some(radius) = &corner.radius
            && radius.value != Length::ZERO
            && findings.is_size(radius.value, "radius", radius.place)
        {
            node.radius = Some(Round {
                radius: radius.value.to_mm(),
                place: radius.place,
            });
        }
        match nodes.last_mut() {
            Some(last) if last.at.distance(node.at) <= TOUCH => {
                say_repeated(&node, findings);
                absorb(last, node, findings);
            }
            _ => nodes.push(node),
        }
    }
    // Many write the first point again at the end.
    while nodes.len() > 1
        && let Some(last) = nodes.last()
        && last.at.distance(nodes[0].at) <= TOUCH
        && let Some(last) = nodes.pop()
    {
        say_repeated(&last, findings);
        if let Some(via) = last.through {
            fault_arc_to_itself(via, findings);
        }
        let first = &mut nodes[0];
        first.radius = first.radius.or(last.radius);
        first.name = first.name.take().or(last.name);
        first.breaks |= last.breaks;
    }
    nodes
}

fn say_repeated(node: &Node, findings: &mut Findings<'_>) {
    findings.warn(
        "repeated-point",
        format!(
            "point {} repeats its neighbour at [{}, {}]; it counts once",
            node.entry + 1,
            findings.spoken(node.at.x),
            findings.spoken(node.at.y)
        ),
        node.place,
        node.at,
    );
}

/// Takes a repeated point into the one before it: the edge that leaves is the later one's.
fn absorb(kept: &mut Node, repeat: Node, findings: &mut Findings<'_>) {
    if let Some(via) = kept.through {
        fault_arc_to_itself(via, findings);
    }
    kept.radius = repeat.radius.or(kept.radius);
    kept.name = repeat.name.or(kept.name.take());
    kept.through = repeat.through;
    kept.breaks |= repeat.breaks;
    kept.entry = repeat.entry;
}

fn fault_arc_to_itself(via: Via, findings: &mut Findings<'_>) {
    findings.fault(
        Fault::new(
            via.place,
            "an arc that ends where it begins is not settled by one point",
            "many circles pass through these two points",
        )
        .with_help("write two arcs, or use the shape `circle`"),
    );
}

/// The arc that leaves node `i`, or a fault where its three points lie on one line.
fn arc_leaving(nodes: &[Node], i: usize, via: Via, findings: &mut Findings<'_>) -> Option<Arc> {
    let (start, end) = (nodes[i].at, nodes[(i + 1) % nodes.len()].at);
    let arc = Arc::through(start, via.at, end).filter(|arc| {
        let ends = via.at.distance(start).min(via.at.distance(end));
        arc.radius <= FLATTEST && ends > TOUCH
    });
    if arc.is_none() {
        findings.fault(
            Fault::new(
                via.place,
                "an arc cannot pass through three points on one line",
                "on the straight line between this edge's ends",
            )
            .with_help(
                "leave `through` out for a straight edge, or give a point of the arc beside that line",
            ),
        );
    }
    arc
}

fn straight_stretches(nodes: &[Node], findings: &mut Findings<'_>) -> Vec<Stretch> {
    let count = nodes.len();
    (0..count)
        .filter_map(|i| {
            let segment = match nodes[i].through {
                Some(via) => Segment::Arc(arc_leaving(nodes, i, via, findings)?),
                None => Segment::Line(nodes[i].at, nodes[(i + 1) % count].at),
            };
            Some(Stretch {
                first: i,
                segments: vec![segment],
                nodes: vec![i],
            })
        })
        .collect()
}

/// Straight edges with dense ones replaced by the lines and arcs they were traced from; none where there
/// are no such. `stretches` has one for each node.
fn fitted_stretches(nodes: &[Node], stretches: &[Stretch]) -> Option<Vec<Stretch>> {
    let count = nodes.len();
    let ends = |i: usize| is_break(nodes, i) || nodes[i].radius.is_some();
    let renamed = |i: usize| nodes[i].name != nodes[(i + count - 1) % count].name;
    let at = |i: usize| nodes[i % count].at;
    let within = Length::mm(FAIR_WITHIN);
    let mut runs: Vec<FittedRun> = Vec::new();
    match (0..count).find(|i| ends(*i)) {
        None => {
            let points: Vec<Point> = nodes.iter().map(|node| node.at).collect();
            let kept: Vec<usize> = (0..count).filter(|i| renamed(*i)).collect();
            runs = fit_ring(&points, &kept, within);
        }
        Some(first) => {
            let mut from = first;
            while from < first + count {
                let to = (from + 1..first + count)
                    .find(|i| ends(i % count))
                    .unwrap_or(first + count);
                let points: Vec<Point> = (from..=to).map(at).collect();
                let kept: Vec<usize> = (1..to - from)
                    .filter(|i| renamed((from + i) % count))
                    .collect();
                runs.extend(
                    fit_chain(&points, &kept, within)
                        .into_iter()
                        .map(|run| FittedRun {
                            from: from + run.from,
                            to: from + run.to,
                            ..run
                        }),
                );
                from = to;
            }
        }
    }
    if runs.iter().all(|run| !is_fitted(run)) {
        return None;
    }
    let mut fitted: Vec<Stretch> = Vec::new();
    let mut before: Option<FittedRun> = None;
    for run in runs {
        let node = run.from % count;
        let goes_on = before.is_some_and(|before| {
            (is_fitted(&before) || is_fitted(&run))
                && nodes[before.from % count].name == nodes[node].name
                && turn_between(&before.segment, &run.segment).abs() <= SMOOTH
                && !(ends(node) && at(node) == run.segment.start())
        });
        match fitted.last_mut() {
            Some(stretch) if goes_on => {
                stretch.segments.push(run.segment);
                stretch.nodes.push(node);
            }
            _ if is_fitted(&run) => fitted.push(Stretch {
                first: node,
                segments: vec![run.segment],
                nodes: vec![node],
            }),
            _ => {
                let mut stretch = stretches[node].clone();
                // An arc `through` a point stays; so does a line, but for the end that an arc may share.
                if nodes[node].through.is_none() {
                    stretch.segments = vec![run.segment];
                }
                fitted.push(stretch);
            }
        }
        before = Some(run);
    }
    Some(fitted)
}

/// Whether a run stands for more than one edge.
const fn is_fitted(run: &FittedRun) -> bool {
    run.to - run.from > 1 || matches!(run.segment, Segment::Arc(_))
}

/// Whether a fair curve breaks at node `i`.
fn is_break(nodes: &[Node], i: usize) -> bool {
    let before = (i + nodes.len() - 1) % nodes.len();
    nodes[i].breaks || nodes[i].through.is_some() || nodes[before].through.is_some()
}

/// Whether an edge ends at node `i`: a break, or a change of name on a smooth run.
fn is_boundary(nodes: &[Node], i: usize) -> bool {
    let before = (i + nodes.len() - 1) % nodes.len();
    is_break(nodes, i) || nodes[i].name != nodes[before].name
}

/// Turns the list so that it starts at a break, else at a change of name.
fn start_at_a_boundary(nodes: &mut [Node]) {
    let all = 0..nodes.len();
    let start = all
        .clone()
        .find(|i| is_break(nodes, *i))
        .or_else(|| all.clone().find(|i| is_boundary(nodes, *i)));
    nodes.rotate_left(start.unwrap_or(0));
}

fn fault_rounded_smooth_points(nodes: &[Node], findings: &mut Findings<'_>) {
    for (i, node) in nodes.iter().enumerate() {
        if let Some(round) = node.radius
            && !is_break(nodes, i)
        {
            findings.fault(
                Fault::new(
                    round.place,
                    "a fair curve has no corner here to round",
                    "the curve passes this point smoothly",
                )
                .with_help("write corner = true at this point too, or take the radius away"),
            );
        }
    }
}

/// Stretches of a fair ring whose first node is a boundary, if it has any.
fn fair_stretches(nodes: &[Node], whole: Place, findings: &mut Findings<'_>) -> Vec<Stretch> {
    let count = nodes.len();
    let mut stretches = Vec::new();
    if !is_break(nodes, 0) {
        let points: Vec<Point> = nodes.iter().map(|node| node.at).collect();
        match Spline::closed(&points) {
            Some(curve) => split_at_names(&curve, nodes, 0, &mut stretches),
            None => fault_no_curve(whole, findings),
        }
        return stretches;
    }
    let mut from = 0;
    while from < count {
        let to = (from + 1..count)
            .find(|i| is_break(nodes, *i))
            .unwrap_or(count);
        let points: Vec<Point> = (from..=to).map(|i| nodes[i % count].at).collect();
        if let Some(via) = nodes[from].through {
            if let Some(arc) = arc_leaving(nodes, from, via, findings) {
                stretches.push(Stretch {
                    first: from,
                    segments: vec![Segment::Arc(arc)],
                    nodes: vec![from],
                });
            }
        } else if points.len() == 2 {
            stretches.push(Stretch {
                first: from,
                segments: vec![Segment::Line(points[0], points[1])],
                nodes: vec![from],
            });
        } else {
            match Spline::through(&points, SplineEnd::Free, SplineEnd::Free) {
                Some(curve) => split_at_names(&curve, nodes, from, &mut stretches),
                None => fault_no_curve(whole, findings),
            }
        }
        from = to;
    }
    stretches
}

fn fault_no_curve(whole: Place, findings: &mut Findings<'_>) {
    findings.fault(Fault::new(
        whole,
        "no fair curve can be laid through these points",
        "three different points at least are needed between corners",
    ));
}

/// Fits arcs to a smooth run that starts at node `from`, edge by edge as the names change.
fn split_at_names(curve: &Spline, nodes: &[Node], from: usize, stretches: &mut Vec<Stretch>) {
    let spans = curve.knots().len() - 1;
    let mut start = 0;
    for end in 1..=spans {
        let node = (from + end) % nodes.len();
        if end < spans && !is_boundary(nodes, node) {
            continue;
        }
        let fitted = tangent_arcs(curve, curve.knots()[start], curve.knots()[end], FAIR_WITHIN);
        stretches.push(Stretch {
            first: from + start,
            nodes: fitted
                .iter()
                .map(|piece| from + curve.span_at((piece.from + piece.to) / 2.0))
                .collect(),
            segments: fitted.into_iter().map(|piece| piece.segment).collect(),
        });
        start = end;
    }
}

/// For each stretch the rounding of the corner it starts at.
fn rounded_corners(
    stretches: &[Stretch],
    nodes: &[Node],
    findings: &mut Findings<'_>,
) -> Vec<Option<Cut>> {
    let corners = Corners { stretches, nodes };
    (0..stretches.len())
        .map(|k| {
            let round = corners.round(k)?;
            let turn = corners.turn(k);
            // Nothing to round where edges run on; a spike is reported as one.
            if turn.abs() <= LEAST_TURN || turn.abs() >= PI - 1e-6 {
                return None;
            }
            if !corners.fits(k, round.radius) {
                corners.fault_too_large(k, round, findings);
            }
            corners.cut(k, round.radius)
        })
        .collect()
}

struct Corners<'a> {
    stretches: &'a [Stretch],
    nodes: &'a [Node],
}

impl Corners<'_> {
    fn before(&self, k: usize) -> usize {
        (k + self.stretches.len() - 1) % self.stretches.len()
    }

    fn round(&self, k: usize) -> Option<Round> {
        self.nodes[self.stretches[k].first].radius
    }

    fn turn(&self, k: usize) -> f64 {
        let into = self.stretches[self.before(k)].segments.last();
        let out = self.stretches[k].segments.first();
        into.zip(out)
            .map_or(0.0, |(into, out)| turn_between(into, out))
    }

    fn cut(&self, k: usize, radius: f64) -> Option<Cut> {
        let turn = self.turn(k);
        if turn.abs() <= LEAST_TURN {
            return None;
        }
        cut_corner(
            &self.stretches[self.before(k)],
            &self.stretches[k],
            turn,
            radius,
        )
    }

    /// What the corner at the start of stretch `other` takes, when corner `k` is tried with `radius`:
    /// corners that share a radius change together.
    fn neighbour(&self, k: usize, other: usize, radius: f64) -> Option<Cut> {
        let own = self.round(k)?.radius;
        let theirs = self.round(other)?.radius;
        self.cut(other, if theirs == own { radius } else { theirs })
    }

    /// Whether corner `k` can be rounded with `radius` and leave room for the corners beside it.
    fn fits(&self, k: usize, radius: f64) -> bool {
        let Some(cut) = self.cut(k, radius) else {
            return false;
        };
        let (into, out) = (self.before(k), k);
        let next = (k + 1) % self.stretches.len();
        let at_start = self
            .neighbour(k, into, radius)
            .map_or(0.0, |other| other.taken_after);
        let at_end = self
            .neighbour(k, next, radius)
            .map_or(0.0, |other| other.taken_before);
        let room = |stretch: usize, one: f64, other: f64| {
            let length = self.stretches[stretch].length();
            // One that is itself too long for the edge has a fault of its own.
            let other = if other > length { 0.0 } else { other };
            one + other <= length + 1e-9 * length.max(1.0)
        };
        room(into, cut.taken_before, at_start) && room(out, cut.taken_after, at_end)
    }

    fn fault_too_large(&self, k: usize, round: Round, findings: &mut Findings<'_>) {
        let (mut low, mut high) = (0.0, round.radius);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if self.fits(k, middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        let limit = findings.spoken_limit(low);
        let message = format!(
            "a corner radius of {} is too large for its edges",
            findings.spoken(round.radius)
        );
        let fault = if low < 0.001 {
            Fault::new(round.place, message, "no radius fits here").with_help(
                "take the radius away, or make the one at the other end of the edge smaller",
            )
        } else {
            Fault::new(
                round.place,
                message,
                format!("the largest that fits is {limit}"),
            )
            .with_help(format!(
                "write {limit} or less; the roundings at both ends of an edge share its length"
            ))
        };
        findings.fault(fault);
    }
}

/// The boundary from its stretches and rounded corners.
fn assembled(
    stretches: &[Stretch],
    nodes: &[Node],
    cuts: &[Option<Cut>],
    margin_of: &dyn Fn(Option<&str>) -> Length,
) -> Walk {
    let edges: Vec<Edge> = stretches
        .iter()
        .map(|stretch| {
            let name = nodes[stretch.first].name.clone();
            Edge {
                margin: margin_of(name.as_deref()),
                name,
            }
        })
        .collect();
    let mut steps = Vec::new();
    for (k, stretch) in stretches.iter().enumerate() {
        if let Some(cut) = &cuts[k] {
            let before = (k + stretches.len() - 1) % stretches.len();
            let owner = if edges[before].margin > edges[k].margin {
                before
            } else {
                k
            };
            steps.push(Step {
                segment: Segment::Arc(cut.arc),
                edge: owner,
                entry: nodes[stretch.first].entry,
            });
        }
        let next = &cuts[(k + 1) % stretches.len()];
        for (segment, node) in trimmed(stretch, cuts[k].as_ref(), next.as_ref()) {
            steps.push(Step {
                segment,
                edge: k,
                entry: nodes[node].entry,
            });
        }
    }
    Walk { steps, edges }
}
