//! Union, difference and intersection of regions, exact for lines and arcs.
//!
//! Each segment is flattened into chords on an integer grid, every chord named for the line or circle
//! it came from; the [`engine`](super::engine) decides the topology on whole numbers; then the rings
//! are read back, neighbours of one name joined, and each vertex computed anew as the exact meeting of
//! its two curves. The chords' error never reaches the answer, and nothing accumulates.

use std::collections::HashMap;

use super::clusters::{clusters, touching_boxes};
use super::curve::{Curve, Meeting};
use super::engine::{self, Chord, Node, Operand, Rule};
use super::offset::Loop;
use super::{Arc, BoundingBox, Point, Region, Ring, Segment};

/// Grid nodes in a millimetre.
const NODES_A_MM: f64 = 1e6;
/// Greatest distance between an arc and its chords, millimetres. It decides only which curves meet,
/// never where.
const SAGITTA: f64 = 0.02;
/// Points nearer to each other than this are one, millimetres: half the grid.
const SAME_POINT: f64 = 5e-7;
/// Curves nearer to each other than this along a segment are one, millimetres.
const SAME_CURVE: f64 = 2e-7;
/// Edges shorter than this between two curves that meet there are the grid's doing, millimetres.
const ARTEFACT: f64 = 0.02;
/// Rings thinner than this are the grid's doing, millimetres.
const SLIVER: f64 = 3e-6;

impl Region {
    /// Everything in this region or in any of `others`.
    #[must_use]
    pub fn union(&self, others: &[&Self]) -> Self {
        Soup::of(self, others).combine(Rule::Union)
    }

    /// Everything in this region and in none of `others`.
    #[must_use]
    pub fn difference(&self, others: &[&Self]) -> Self {
        Soup::of(self, others).combine(Rule::Difference)
    }

    /// Everything in this region and in one of `others`.
    #[must_use]
    pub fn intersection(&self, others: &[&Self]) -> Self {
        Soup::of(self, others).combine(Rule::Intersection)
    }

    /// Everything in this region and in none of `rings`, each of which runs counter-clockwise; they
    /// may overlap each other.
    #[must_use]
    pub fn less_rings<'a>(&self, rings: impl IntoIterator<Item = &'a Ring>) -> Self {
        let mut soup = Soup::of(self, &[]);
        soup.add(rings, Operand::Second);
        soup.combine(Rule::Difference)
    }

    /// Everything inside any of `rings`, each of which runs counter-clockwise; they may overlap.
    #[must_use]
    pub fn of_overlapping<'a>(rings: impl IntoIterator<Item = &'a Ring>) -> Self {
        Self::default().with_rings(rings)
    }

    /// Everything that closed curves wind round counter-clockwise, once or more.
    pub(super) fn wound_round(loops: impl Iterator<Item = Loop>) -> Self {
        Soup {
            curves: loops.map(|curve| (curve, Operand::First)).collect(),
        }
        .combine(Rule::Union)
    }

    /// Everything in this region or inside any of `rings`, each of which runs counter-clockwise.
    #[must_use]
    pub fn with_rings<'a>(&self, rings: impl IntoIterator<Item = &'a Ring>) -> Self {
        let mut soup = Soup::of(self, &[]);
        soup.add(rings, Operand::Second);
        soup.combine(Rule::Union)
    }
}

/// The curves of both operands, before they are combined. A place is inside an operand where its curves
/// wind round it counter-clockwise, once or more.
#[derive(Debug, Default)]
struct Soup {
    curves: Vec<(Loop, Operand)>,
}

impl Soup {
    fn of(first: &Region, second: &[&Region]) -> Self {
        let mut soup = Self::default();
        soup.add(first.rings(), Operand::First);
        for region in second {
            soup.add(region.rings(), Operand::Second);
        }
        soup
    }

    /// Adds rings that do not cross themselves.
    fn add<'a>(&mut self, rings: impl IntoIterator<Item = &'a Ring>, operand: Operand) {
        let simple = |ring: &Ring| Loop {
            ring: ring.clone(),
            is_simple: true,
        };
        self.curves
            .extend(rings.into_iter().map(|ring| (simple(ring), operand)));
    }

    /// Combines group by group: rings that meet nothing stay whole, the rest go through the engine.
    fn combine(self, rule: Rule) -> Region {
        let rings: Vec<&Ring> = self.curves.iter().map(|(curve, _)| &curve.ring).collect();
        let boxes: Vec<BoundingBox> = rings.iter().map(|ring| ring.bounding_box()).collect();
        let mut result = Vec::new();
        for cluster in clusters(&rings) {
            // How the curves of other groups wind round this one: the same everywhere on it.
            let Some(at) = rings[cluster[0]].segments().first().map(Segment::start) else {
                continue;
            };
            let mut around = Winding::default();
            let mut members = cluster.iter().copied().peekable();
            for (index, ring) in rings.iter().enumerate() {
                if members.next_if_eq(&index).is_none() && boxes[index].holds(at) {
                    around.add(self.curves[index].1, ring.winding(at));
                }
            }
            let members: Vec<(&Ring, Operand)> = cluster
                .iter()
                .map(|index| (rings[*index], self.curves[*index].1))
                .collect();
            match members[..] {
                [(ring, operand)] if self.curves[cluster[0]].0.is_simple => {
                    result.extend(lone_ring(ring, operand, around, rule));
                }
                _ => result.extend(overlay(&members, around, rule)),
            }
        }
        Region::new(result)
    }
}

/// How often the rings of both operands wind round a place.
#[derive(Debug, Clone, Copy, Default)]
struct Winding {
    first: i32,
    second: i32,
}

impl Winding {
    fn add(&mut self, operand: Operand, turns: i32) {
        match operand {
            Operand::First => self.first += turns,
            Operand::Second => self.second += turns,
        }
    }

    const fn is_inside(self, rule: Rule) -> bool {
        let (first, second) = (self.first > 0, self.second > 0);
        match rule {
            Rule::Union => first || second,
            Rule::Difference => first && !second,
            Rule::Intersection => first && second,
        }
    }
}

/// A ring that meets no other: it bounds the result where the result is on one side of it only.
fn lone_ring(ring: &Ring, operand: Operand, around: Winding, rule: Rule) -> Option<Ring> {
    let counter_clockwise = ring.signed_area() > 0.0;
    let mut within = around;
    within.add(operand, if counter_clockwise { 1 } else { -1 });
    let (inner, outer) = (within.is_inside(rule), around.is_inside(rule));
    if inner == outer {
        return None;
    }
    Some(if inner == counter_clockwise {
        ring.clone()
    } else {
        ring.reversed()
    })
}

/// Rings that meet, through the engine. Where rings of other groups lie around them a frame stands in.
fn overlay(members: &[(&Ring, Operand)], around: Winding, rule: Rule) -> Vec<Ring> {
    let bounds = members
        .iter()
        .map(|(ring, _)| ring.bounding_box())
        .fold(BoundingBox::EMPTY, |all, one| all.joined(&one));
    if !(bounds.width().is_finite() && bounds.height().is_finite()) {
        return Vec::new();
    }
    let mut plane = Plane::new(bounds.centre());
    let mut pieces = Vec::new();
    for (ring, operand) in members {
        for segment in ring.segments() {
            pieces.extend(plane.place(segment).map(|piece| (piece, *operand)));
        }
    }
    plane.refine(&pieces);
    plane.sort_stops();
    let mut chords = Vec::new();
    for (piece, operand) in &pieces {
        plane.flatten(piece, |chord| chords.push((chord, *operand)));
    }
    let frame = plane.frame(&bounds.grown(1.0));
    for (turns, operand) in [
        (around.first, Operand::First),
        (around.second, Operand::Second),
    ] {
        for _ in 0..turns.unsigned_abs() {
            chords.extend(frame.iter().map(|side| {
                let side = if turns > 0 {
                    *side
                } else {
                    Chord {
                        from: side.to,
                        to: side.from,
                        ..*side
                    }
                };
                (side, operand)
            }));
        }
    }
    engine::combine(chords.into_iter(), rule)
        .iter()
        .filter(|ring| ring.iter().any(|chord| chord.curve != FRAME))
        .filter_map(|ring| plane.recover(ring))
        .collect()
}

/// The name of the frame's edges, which no curve has.
const FRAME: u32 = u32::MAX;

/// A segment with its curve and its ends on the grid.
#[derive(Debug)]
struct Piece {
    curve: u32,
    from: Node,
    to: Node,
    segment: Segment,
}

/// A named curve, and the exact points that are known to lie on it.
#[derive(Debug)]
struct Named {
    curve: Curve,
    stops: Vec<Stop>,
}

/// An exact point on a curve: where along it (distance along a line, angle round a circle) and its
/// grid node.
#[derive(Debug, Clone, Copy)]
struct Stop {
    along: f64,
    node: Node,
}

/// The grid with the curves and exact points placed on it.
#[derive(Debug)]
struct Plane {
    origin: Point,
    curves: Vec<Named>,
    curve_cells: HashMap<[i64; 3], Vec<u32>>,
    sites: HashMap<Node, Point>,
}

impl Plane {
    fn new(centre: Point) -> Self {
        Self {
            // Whole millimetres, so that round coordinates stay on the grid.
            origin: Point::new(centre.x.round(), centre.y.round()),
            curves: Vec::new(),
            curve_cells: HashMap::new(),
            sites: HashMap::new(),
        }
    }

    /// A rectangle round everything, counter-clockwise.
    fn frame(&self, bounds: &BoundingBox) -> [Chord; 4] {
        let (low, high) = (self.node(bounds.least), self.node(bounds.greatest));
        let corners = [
            low,
            Node {
                x: high.x,
                y: low.y,
            },
            high,
            Node {
                x: low.x,
                y: high.y,
            },
            low,
        ];
        std::array::from_fn(|side| Chord {
            from: corners[side],
            to: corners[side + 1],
            curve: FRAME,
        })
    }

    fn node(&self, point: Point) -> Node {
        let local = (point - self.origin) * NODES_A_MM;
        Node {
            x: whole(local.x),
            y: whole(local.y),
        }
    }

    #[allow(
        clippy::cast_precision_loss,
        reason = "no region here spans 2^53 grid nodes"
    )]
    fn point(&self, node: Node) -> Point {
        self.origin + Point::new(node.x as f64, node.y as f64) * (1.0 / NODES_A_MM)
    }

    /// The grid node of an exact point; points that differ by rounding alone share one.
    fn site(&mut self, point: Point) -> Node {
        let node = self.node(point);
        for dx in [0, -1, 1] {
            for dy in [0, -1, 1] {
                let near = Node {
                    x: node.x + dx,
                    y: node.y + dy,
                };
                if self
                    .sites
                    .get(&near)
                    .is_some_and(|site| site.distance(point) < SAME_POINT)
                {
                    return near;
                }
            }
        }
        self.sites.entry(node).or_insert(point);
        node
    }

    /// Names the segment's curve and ends; nothing for a segment that the grid does not see.
    fn place(&mut self, segment: &Segment) -> Option<Piece> {
        let (from, to) = (self.site(segment.start()), self.site(segment.end()));
        let full_turn = matches!(segment, Segment::Arc(arc) if arc.sweep.abs() > 1.0);
        if from == to && !full_turn {
            return None;
        }
        let curve = self.name(segment)?;
        for (node, point) in [(from, segment.start()), (to, segment.end())] {
            let named = &mut self.curves[curve as usize];
            let along = along(&named.curve, point);
            named.stops.push(Stop { along, node });
        }
        Some(Piece {
            curve,
            from,
            to,
            segment: *segment,
        })
    }

    /// The name of the curve a segment lies on; curves that differ by rounding alone share one.
    fn name(&mut self, segment: &Segment) -> Option<u32> {
        let curve = Curve::of(segment)?;
        let ends = [segment.start(), segment.end()];
        let cell = self.curve_cell(&curve);
        for near in neighbours(cell, matches!(curve, Curve::Line { .. })) {
            let Some(names) = self.curve_cells.get(&near) else {
                continue;
            };
            let same = names.iter().find(|name| {
                let known = &self.curves[**name as usize].curve;
                match (known, &curve) {
                    (Curve::Line { .. }, Curve::Line { .. }) => ends
                        .iter()
                        .all(|end| known.signed_distance(*end).abs() < SAME_CURVE),
                    (
                        Curve::Circle {
                            centre: a,
                            radius: r,
                        },
                        Curve::Circle {
                            centre: b,
                            radius: s,
                        },
                    ) => a.distance(*b) < SAME_CURVE && (r - s).abs() < SAME_CURVE,
                    _ => false,
                }
            });
            if let Some(name) = same {
                return Some(*name);
            }
        }
        let name = u32::try_from(self.curves.len()).ok()?;
        self.curves.push(Named {
            curve,
            stops: Vec::new(),
        });
        self.curve_cells.entry(cell).or_default().push(name);
        Some(name)
    }

    /// The bucket in which a curve is looked up.
    fn curve_cell(&self, curve: &Curve) -> [i64; 3] {
        match curve {
            Curve::Line { through, along } => {
                let along = if along.x < 0.0 || (along.x == 0.0 && along.y < 0.0) {
                    -*along
                } else {
                    *along
                };
                let offset = along.cross(*through - self.origin);
                [whole(along.angle() * 1e6), whole(offset * 1e2), i64::MIN]
            }
            Curve::Circle { centre, radius } => {
                let local = (*centre - self.origin) * 1e6;
                [whole(local.x), whole(local.y), whole(radius * 1e6)]
            }
        }
    }

    /// Where the topology hangs on less than the chords' distance from their arcs (curves that graze each
    /// other, a corner that comes close to an arc), more vertices, ever closer towards the place.
    fn refine(&mut self, pieces: &[(Piece, Operand)]) {
        let close = 2.0 * SAGITTA;
        let boxes: Vec<BoundingBox> = pieces
            .iter()
            .map(|(piece, _)| piece.segment.bounding_box().grown(close))
            .collect();
        let mut places: Vec<(u32, Point)> = Vec::new();
        touching_boxes(&boxes, |one, other| {
            let (one, other) = (&pieces[one].0, &pieces[other].0);
            if one.curve == other.curve {
                return;
            }
            let curves = [one, other].map(|piece| self.curves[piece.curve as usize].curve);
            let joined = [one.from, one.to]
                .iter()
                .any(|node| [other.from, other.to].contains(node));
            if let Some(at) = curves[0].grazes(&curves[1], close) {
                let zone = (4.0 * tighter_radius(&curves[0], &curves[1]) * close).sqrt();
                let near = |piece: &Piece| piece.segment.nearest_point(at).distance(at) <= zone;
                let ends = [one.segment.start(), one.segment.end()];
                let at_joint = joined && ends.iter().any(|end| end.distance(at) < 2.0 * SAME_POINT);
                if !at_joint && near(one) && near(other) {
                    places.push((one.curve, at));
                    places.push((other.curve, curves[1].nearest(at)));
                }
            }
            for (piece, curve, corner) in [(one, curves[0], other), (other, curves[1], one)] {
                for (node, end) in [
                    (corner.from, corner.segment.start()),
                    (corner.to, corner.segment.end()),
                ] {
                    let off = curve.signed_distance(end).abs();
                    if off > 2.0 * SAME_POINT
                        && off < close
                        && node != piece.from
                        && node != piece.to
                    {
                        places.push((piece.curve, curve.nearest(end)));
                    }
                }
            }
        });
        for (name, at) in places {
            let Curve::Circle { centre, radius } = self.curves[name as usize].curve else {
                continue;
            };
            let middle = (at - centre).angle();
            // From where an arc leaves its tangent by some grid nodes to the length of a chord.
            let mut offset = (2.0 * 4.0 / NODES_A_MM / radius).sqrt();
            let last = std::f64::consts::TAU / chords_of_circle(radius);
            let mut stop = |angle: f64| {
                let node = self.node(centre + Point::at_angle(angle) * radius);
                let along = Point::at_angle(angle).angle();
                self.curves[name as usize].stops.push(Stop { along, node });
            };
            stop(middle);
            while offset < last {
                stop(middle + offset);
                stop(middle - offset);
                offset *= 1.3;
            }
        }
    }

    fn sort_stops(&mut self) {
        for named in &mut self.curves {
            named.stops.sort_by(|a, b| a.along.total_cmp(&b.along));
            named.stops.dedup_by_key(|stop| stop.node);
        }
    }

    /// Chords of a piece: through every exact point of its curve that it passes, and for an arc
    /// through points at angles that depend on its circle alone. So pieces that lie on each other
    /// share their vertices.
    fn flatten(&self, piece: &Piece, mut chord: impl FnMut(Chord)) {
        let named = &self.curves[piece.curve as usize];
        let mut last = piece.from;
        let mut to = |node: Node| {
            if node != last {
                chord(Chord {
                    from: last,
                    to: node,
                    curve: piece.curve,
                });
                last = node;
            }
        };
        match (&piece.segment, &named.curve) {
            (Segment::Arc(arc), Curve::Circle { centre, radius }) => {
                let begin = (arc.start - *centre).angle();
                for (_, node) in self.steps_on_circle(named, *centre, *radius, begin, arc.sweep) {
                    to(node);
                }
            }
            (segment, curve) => {
                let (a, b) = (along(curve, segment.start()), along(curve, segment.end()));
                let (low, high) = (a.min(b), a.max(b));
                let first = named.stops.partition_point(|stop| stop.along <= low);
                let past = named.stops.partition_point(|stop| stop.along < high);
                let between = named.stops.get(first..past).unwrap_or_default();
                if a < b {
                    between.iter().for_each(|stop| to(stop.node));
                } else {
                    between.iter().rev().for_each(|stop| to(stop.node));
                }
            }
        }
        to(piece.to);
    }

    /// The vertices strictly inside an arc, in its order: how far along (radians) and which node.
    fn steps_on_circle(
        &self,
        named: &Named,
        centre: Point,
        radius: f64,
        begin: f64,
        sweep: f64,
    ) -> Vec<(f64, Node)> {
        let full = std::f64::consts::TAU;
        let size = sweep.abs();
        let step = full / chords_of_circle(radius);
        let mut steps = Vec::new();
        // Angles that depend on the circle alone.
        let (low, high) = if sweep >= 0.0 {
            (begin, begin + sweep)
        } else {
            (begin + sweep, begin)
        };
        let (first, last) = ((low / step).ceil(), (high / step).floor());
        let mut index = first;
        while index <= last {
            let angle = index * step;
            let along = if sweep >= 0.0 {
                angle - begin
            } else {
                begin - angle
            };
            // Reduced first, so that every turn gives the same bits.
            let reduced = index.rem_euclid(full / step) * step;
            let point = centre + Point::at_angle(reduced) * radius;
            steps.push((along, self.node(point)));
            index += 1.0;
        }
        let on_grid = steps.len();
        for stop in &named.stops {
            let turn = if sweep >= 0.0 {
                stop.along - begin
            } else {
                begin - stop.along
            };
            let turn = turn.rem_euclid(full);
            if turn > 0.0 && turn < size {
                steps.push((turn, stop.node));
            }
        }
        // A grid vertex beside an exact point would only make an edge too short to be told from noise.
        let clear = (step * 0.02).min(0.1 * size);
        let mut exact: Vec<f64> = steps[on_grid..]
            .iter()
            .map(|(along, _)| *along)
            .chain([0.0, size])
            .collect();
        exact.sort_by(f64::total_cmp);
        let mut kept: Vec<(f64, Node)> = steps[..on_grid]
            .iter()
            .filter(|(along, _)| {
                let next = exact.partition_point(|other| other < along);
                let near = |index: usize| {
                    exact
                        .get(index)
                        .is_some_and(|other| (along - other).abs() <= clear)
                };
                !near(next) && !(next > 0 && near(next - 1))
            })
            .copied()
            .collect();
        kept.extend_from_slice(&steps[on_grid..]);
        kept.sort_by(|a, b| a.0.total_cmp(&b.0));
        kept
    }

    /// Reads one ring of the engine's answer back as exact segments; nothing where it is a sliver.
    fn recover(&self, chords: &[Chord]) -> Option<Ring> {
        let runs = self.runs(chords);
        if runs.len() == 1 {
            return self.whole_circle(&runs[0]);
        }
        let vertices: Vec<Point> = (0..runs.len())
            .map(|index| {
                let before = &runs[(index + runs.len() - 1) % runs.len()];
                self.vertex(before, &runs[index])
            })
            .collect();
        let segments: Vec<Segment> = runs
            .iter()
            .enumerate()
            .filter_map(|(index, run)| {
                let (start, end) = (vertices[index], vertices[(index + 1) % runs.len()]);
                self.segment(run, start, end)
            })
            .collect();
        let ring = Ring::new(segments);
        (ring.signed_area().abs() > SLIVER * ring.length()).then_some(ring)
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
        match &self.curves[chord.curve as usize].curve {
            Curve::Line { along, .. } => along.dot(to - from),
            Curve::Circle { centre, .. } => {
                let (u, v) = (from - *centre, to - *centre);
                u.cross(v).atan2(u.dot(v))
            }
        }
    }

    /// Whether a run is no more than the grid's rounding between two curves that meet there anyway.
    fn is_artefact(&self, runs: &[Run], index: usize) -> bool {
        let count = runs.len();
        let run = &runs[index];
        let size = self.point(run.from).distance(self.point(run.to));
        if count < 3 || size > ARTEFACT {
            return false;
        }
        // A whole turn of a small circle comes back to where it began, but is no artefact.
        if matches!(self.curves[run.curve as usize].curve, Curve::Circle { .. })
            && run.turn.abs() > 1.0
        {
            return false;
        }
        let (before, after) = (
            &runs[(index + count - 1) % count],
            &runs[(index + 1) % count],
        );
        if before.curve == after.curve {
            return true;
        }
        let at = self.point(run.middle());
        self.meeting(before.curve, after.curve, at)
            .is_some_and(|meeting| meeting.distance(at) <= size + 4.0 / NODES_A_MM)
    }

    /// The exact vertex between two runs.
    fn vertex(&self, before: &Run, after: &Run) -> Point {
        let rough = self.point(after.from);
        if let Some(site) = self.sites.get(&after.from) {
            let on_both = [before, after].iter().all(|run| {
                let curve = &self.curves[run.curve as usize].curve;
                curve.signed_distance(*site).abs() < 2.0 * SAME_POINT
            });
            if on_both {
                return *site;
            }
        }
        self.meeting(before.curve, after.curve, rough)
            .unwrap_or(rough)
    }

    /// Where two curves meet nearest to `rough`, if that is as near as chords and grid can account for.
    fn meeting(&self, before: u32, after: u32, rough: Point) -> Option<Point> {
        let (a, b) = (
            &self.curves[before as usize].curve,
            &self.curves[after as usize].curve,
        );
        match a.meet(b, 2.0 * SAGITTA) {
            Meeting::Nowhere => None,
            Meeting::Touch { at, gap } => {
                let radius = tighter_radius(a, b);
                let reach = (8.0 * radius * (SAGITTA + gap.max(0.0))).sqrt();
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
                    2.5 * SAGITTA
                } else {
                    4.0 / NODES_A_MM
                };
                // Where curves cross at a small angle, a small error across is a long one along.
                let reach =
                    (error / slant.max(1e-9)).min((20.0 * tighter_radius(a, b) * error).sqrt());
                (nearest.distance(rough) <= reach.max(4.0 / NODES_A_MM)).then_some(nearest)
            }
        }
    }

    fn segment(&self, run: &Run, start: Point, end: Point) -> Option<Segment> {
        if start.distance(end) < SAME_POINT && run.turn.abs() < 1.0 {
            return None;
        }
        match &self.curves[run.curve as usize].curve {
            Curve::Line { .. } => Some(Segment::Line(start, end)),
            Curve::Circle { centre, radius } => {
                let (u, v) = (start - *centre, end - *centre);
                let turn = u.cross(v).atan2(u.dot(v));
                let full = std::f64::consts::TAU;
                // The exact angle, with as many whole turns as the chords made.
                let sweep = turn + ((run.turn - turn) / full).round() * full;
                (sweep != 0.0).then_some(Segment::Arc(Arc {
                    start,
                    end,
                    centre: *centre,
                    radius: *radius,
                    sweep,
                }))
            }
        }
    }

    fn whole_circle(&self, run: &Run) -> Option<Ring> {
        match &self.curves[run.curve as usize].curve {
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

fn tighter_radius(a: &Curve, b: &Curve) -> f64 {
    [a, b]
        .iter()
        .map(|curve| match curve {
            Curve::Line { .. } => f64::INFINITY,
            Curve::Circle { radius, .. } => *radius,
        })
        .fold(f64::INFINITY, f64::min)
}

/// Distance along a line, angle round a circle.
fn along(curve: &Curve, point: Point) -> f64 {
    match curve {
        Curve::Line { through, along } => along.dot(point - *through),
        Curve::Circle { centre, .. } => (point - *centre).angle(),
    }
}

/// How many chords a whole circle gets: a multiple of four, so that it stays symmetric, and enough to
/// stay within the sagitta s: the angle of a chord is 2 arccos(1 - s/r), near √(8s/r).
fn chords_of_circle(radius: f64) -> f64 {
    let quarter = (std::f64::consts::FRAC_PI_2 / (8.0 * SAGITTA / radius).sqrt()).ceil();
    4.0 * quarter.max(3.0)
}

/// The bucket and those around it. The direction of a line is known up to a half turn, so its bucket's
/// neighbour may lie at the other end of the range with the offset's sign turned.
fn neighbours(cell: [i64; 3], is_line: bool) -> Vec<[i64; 3]> {
    let mut cells = Vec::with_capacity(27);
    let third: &[i64] = if is_line { &[0] } else { &[0, -1, 1] };
    for a in [0, -1, 1] {
        for b in [0, -1, 1] {
            for c in third {
                cells.push([cell[0] + a, cell[1] + b, cell[2].saturating_add(*c)]);
            }
        }
    }
    let quarter = whole(std::f64::consts::FRAC_PI_2 * 1e6);
    if is_line && quarter - cell[0].abs() <= 1 {
        for edge in [-1, 0, 1] {
            for b in [0, -1, 1] {
                let opposite = -cell[0].signum() * (quarter + edge);
                cells.push([opposite, -cell[1] + b, cell[2]]);
            }
        }
    }
    cells
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "saturates; lengths are bounded far below"
)]
fn whole(value: f64) -> i64 {
    value.round() as i64
}
