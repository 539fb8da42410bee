//! The integer grid on which topology is decided: exact points and whole curves get names, segments
//! become chords of their curves.
//!
//! Points and curves that differ by rounding alone share a name, and chords go through every named point
//! of their curve and otherwise through points that depend on the curve alone: so segments that lie on
//! each other share their vertices. Where the topology hangs on less than the chords' distance from
//! their arcs the chords become finer.

use rustc_hash::FxHashMap;

use super::curve::Curve;
use super::engine::{Chord, Node, Operand};
use super::rows::Rows;
use super::{BoundingBox, Point, Segment};

/// Grid nodes in a millimetre.
pub(super) const NODES_A_MM: f64 = 1e6;
/// Points nearer to each other than this are one, millimetres: half the grid.
pub(super) const SAME_POINT: f64 = 5e-7;
/// Curves nearer to each other than this along a segment are one, millimetres.
const SAME_CURVE: f64 = 2e-7;

/// The name of the frame's edges, which no curve has.
pub(super) const FRAME: u32 = u32::MAX;

/// A segment with its curve and its ends on the grid.
#[derive(Debug)]
pub(super) struct Piece {
    curve: u32,
    from: Node,
    to: Node,
    segment: Segment,
}

/// A named curve, and the exact points that are known to lie on it.
#[derive(Debug)]
pub(super) struct Named {
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

/// A vertex wanted on the curve of a piece.
#[derive(Debug, Clone, Copy)]
struct Mark {
    curve: u32,
    at: Point,
    /// Whether it lies on more than this one curve.
    is_exact: bool,
}

impl Mark {
    const fn new(piece: &Piece, at: Point) -> Self {
        Self {
            curve: piece.curve,
            at,
            is_exact: false,
        }
    }

    /// On a piece's circle beside a point of another; a line's chord is the line itself.
    fn beside(piece: &Piece, curve: &Curve, point: Point) -> Option<Self> {
        matches!(curve, Curve::Circle { .. }).then(|| Self::new(piece, curve.nearest(point)))
    }
}

/// The grid with the curves and exact points placed on it.
#[derive(Debug)]
pub(super) struct Plane {
    origin: Point,
    /// Greatest distance between an arc and its chords, millimetres. It decides only which curves meet,
    /// never where.
    pub(super) sagitta: f64,
    curves: Vec<Named>,
    curve_cells: FxHashMap<[i64; 3], Vec<u32>>,
    sites: FxHashMap<Node, Point>,
}

impl Plane {
    pub(super) fn new(centre: Point, sagitta: f64) -> Self {
        Self {
            // Whole millimetres, so that round coordinates stay on the grid.
            origin: Point::new(centre.x.round(), centre.y.round()),
            sagitta,
            curves: Vec::new(),
            curve_cells: FxHashMap::default(),
            sites: FxHashMap::default(),
        }
    }

    /// The curve of a name.
    pub(super) fn curve(&self, name: u32) -> &Curve {
        &self.curves[name as usize].curve
    }

    /// The exact point that a grid node stands for, where it stands for one.
    pub(super) fn exact_point(&self, node: Node) -> Option<&Point> {
        self.sites.get(&node)
    }

    /// A rectangle round everything, counter-clockwise.
    pub(super) fn frame(&self, bounds: &BoundingBox) -> [Chord; 4] {
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
    pub(super) fn point(&self, node: Node) -> Point {
        self.origin + Point::new(node.x as f64, node.y as f64) * (1.0 / NODES_A_MM)
    }

    /// The grid node of an exact point; points that differ by rounding alone share one.
    fn site(&mut self, point: Point) -> Node {
        let node = self.node(point);
        let local = (point - self.origin) * NODES_A_MM;
        for x in cells_within(local.x, SAME_POINT * NODES_A_MM) {
            for y in cells_within(local.y, SAME_POINT * NODES_A_MM) {
                let near = Node { x, y };
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
    pub(super) fn place(&mut self, segment: &Segment) -> Option<Piece> {
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
        for near in self.cells_of_the_same(&curve, cell) {
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
                let local = (*centre - self.origin) * NODES_A_MM;
                [local.x, local.y, radius * NODES_A_MM].map(whole)
            }
        }
    }

    /// The buckets in which a curve may stand that is the same but for rounding.
    fn cells_of_the_same(&self, curve: &Curve, cell: [i64; 3]) -> Vec<[i64; 3]> {
        let Curve::Circle { centre, radius } = curve else {
            return cells_round(cell);
        };
        let local = (*centre - self.origin) * NODES_A_MM;
        let within = |value| cells_within(value, SAME_CURVE * NODES_A_MM);
        within(local.x)
            .flat_map(|x| {
                within(local.y)
                    .flat_map(move |y| within(*radius * NODES_A_MM).map(move |size| [x, y, size]))
            })
            .collect()
    }

    /// More vertices: where curves cross; and where the topology hangs on less than the chords' distance
    /// from their arcs: ever closer towards a place where curves graze each other or a corner comes close to an arc; and where two
    /// circles run alongside each other, on each beside every vertex of the other.
    pub(super) fn refine(&mut self, pieces: &[(Piece, Operand)]) {
        let close = 2.0 * self.sagitta;
        let boxes = pieces
            .iter()
            .map(|(piece, _)| piece.segment.bounding_box().grown(close))
            .collect();
        let mut marks: Vec<Mark> = Vec::new();
        let mut alongside: Vec<[usize; 2]> = Vec::new();
        let rows = Rows::new(boxes);
        rows.touching_pairs(|one, other| {
            let pair = [&pieces[one].0, &pieces[other].0];
            if pair[0].curve == pair[1].curve {
                return;
            }
            self.mark_crossings(pair, &mut marks);
            self.mark_graze(pair, close, &mut marks);
            self.mark_corners(pair, close, &mut marks);
            self.mark_corners([pair[1], pair[0]], close, &mut marks);
            if self.run_alongside(pair, close) {
                alongside.push([one, other]);
            }
        });
        self.stop_at(&marks);
        marks.clear();
        // Last, for a vertex that one of two circles has for another reason the other needs as well.
        for [one, other] in alongside {
            let common = rows.boxes()[one].common(&rows.boxes()[other]);
            self.mark_alongside(
                [&pieces[one].0, &pieces[other].0],
                close,
                &common,
                &mut marks,
            );
        }
        self.stop_at(&marks);
    }

    /// Whether two circles run alongside each other for longer than a chord.
    fn run_alongside(&self, pair: [&Piece; 2], close: f64) -> bool {
        let [one, other] = pair.map(|piece| self.curve(piece.curve));
        let chord = std::f64::consts::TAU / chords_of_circle(one.radius(), self.sagitta);
        one.stretches_along(other, close)
            .iter()
            .any(|stretch| stretch[1] - stretch[0] > chord / 2.0)
    }

    fn stop_at(&mut self, marks: &[Mark]) {
        for mark in marks {
            let node = if mark.is_exact {
                self.site(mark.at)
            } else {
                self.node(mark.at)
            };
            let named = &mut self.curves[mark.curve as usize];
            let along = along(&named.curve, mark.at);
            named.stops.push(Stop { along, node });
        }
    }

    /// Where an arc crosses something: both go through that very point, so that where three meet nearly
    /// in one their order is the curves' own. Lines cross well enough by themselves.
    fn mark_crossings(&self, pair: [&Piece; 2], marks: &mut Vec<Mark>) {
        if pair
            .iter()
            .all(|piece| matches!(piece.segment, Segment::Line(..)))
        {
            return;
        }
        for at in pair[0].segment.crossings(&pair[1].segment) {
            marks.extend(pair.map(|piece| Mark {
                is_exact: true,
                ..Mark::new(piece, at)
            }));
        }
    }

    /// Where two curves touch or nearly so, unless the pieces are joined there.
    fn mark_graze(&self, pair: [&Piece; 2], close: f64, marks: &mut Vec<Mark>) {
        let [one, other] = pair;
        let curves = pair.map(|piece| *self.curve(piece.curve));
        let Some(at) = curves[0].grazes(&curves[1], close) else {
            return;
        };
        let joined = [one.from, one.to]
            .iter()
            .any(|node| [other.from, other.to].contains(node));
        let ends = [one.segment.start(), one.segment.end()];
        let at_joint = joined && ends.iter().any(|end| end.distance(at) < 2.0 * SAME_POINT);
        let zone = (4.0 * curves[0].parting_radius(&curves[1]) * close).sqrt();
        let is_near = |piece: &Piece| piece.segment.nearest_point(at).distance(at) <= zone;
        if at_joint || !is_near(one) || !is_near(other) {
            return;
        }
        for (own, other) in [(0, 1), (1, 0)] {
            for point in self.closing_in(&curves[own], curves[own].nearest(at)) {
                marks.push(Mark::new(pair[own], point));
                marks.extend(Mark::beside(pair[other], &curves[other], point));
            }
        }
    }

    /// Where a corner of the other piece comes close to this one's arc.
    fn mark_corners(&self, pair: [&Piece; 2], close: f64, marks: &mut Vec<Mark>) {
        let [piece, other] = pair;
        let curve = self.curve(piece.curve);
        for (node, end) in [
            (other.from, other.segment.start()),
            (other.to, other.segment.end()),
        ] {
            let off = curve.signed_distance(end).abs();
            let is_close = off > 2.0 * SAME_POINT && off < close;
            if is_close && node != piece.from && node != piece.to {
                let points = self.closing_in(curve, curve.nearest(end));
                marks.extend(points.into_iter().map(|point| Mark::new(piece, point)));
            }
        }
    }

    /// Where two circles run alongside each other nearer than chords tell apart: with vertices side by side
    /// their chords lie as the circles do.
    fn mark_alongside(
        &self,
        pair: [&Piece; 2],
        close: f64,
        common: &BoundingBox,
        marks: &mut Vec<Mark>,
    ) {
        let curves = pair.map(|piece| *self.curve(piece.curve));
        for (own, other) in [(0, 1), (1, 0)] {
            let (Curve::Circle { centre, radius }, Curve::Circle { .. }) =
                (curves[own], curves[other])
            else {
                return;
            };
            let step = std::f64::consts::TAU / chords_of_circle(radius, self.sagitta);
            let mut beside = |point: Point| {
                if common.holds(point) && curves[other].signed_distance(point).abs() <= close {
                    marks.push(Mark::new(pair[own], point));
                    marks.extend(Mark::beside(pair[other], &curves[other], point));
                }
            };
            for stretch in curves[own].stretches_along(&curves[other], close) {
                let mut index = (stretch[0] / step).ceil();
                while index * step <= stretch[1] {
                    beside(vertex_of_circle(centre, radius, index, step));
                    index += 1.0;
                }
            }
            for stop in &self.curves[pair[own].curve as usize].stops {
                beside(centre + Point::at_angle(stop.along) * radius);
            }
        }
    }

    /// Points of a circle ever closer towards one of them, from the length of a chord to where the arc leaves
    /// its tangent by some grid nodes; of a line none are needed.
    fn closing_in(&self, curve: &Curve, at: Point) -> Vec<Point> {
        let Curve::Circle { centre, radius } = *curve else {
            return Vec::new();
        };
        let middle = (at - centre).angle();
        let point = |angle: f64| centre + Point::at_angle(angle) * radius;
        let mut points = vec![point(middle)];
        let mut offset = (2.0 * 4.0 / NODES_A_MM / radius).sqrt();
        let last = std::f64::consts::TAU / chords_of_circle(radius, self.sagitta);
        while offset < last {
            points.extend([point(middle + offset), point(middle - offset)]);
            offset *= 1.3;
        }
        points
    }

    pub(super) fn sort_stops(&mut self) {
        for named in &mut self.curves {
            named.stops.sort_by(|a, b| a.along.total_cmp(&b.along));
            named.stops.dedup_by_key(|stop| stop.node);
        }
    }

    /// Chords of a piece: through every exact point of its curve that it passes, and for an arc
    /// through points at angles that depend on its circle alone. So pieces that lie on each other
    /// share their vertices.
    pub(super) fn flatten(&self, piece: &Piece, mut chord: impl FnMut(Chord)) {
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
        let step = full / chords_of_circle(radius, self.sagitta);
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
            let point = vertex_of_circle(centre, radius, index, step);
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
                !(near(next) || next > 0 && near(next - 1))
            })
            .copied()
            .collect();
        kept.extend_from_slice(&steps[on_grid..]);
        kept.sort_by(|a, b| a.0.total_cmp(&b.0));
        kept
    }
}

/// The vertex of a circle at a whole number of steps from its east.
fn vertex_of_circle(centre: Point, radius: f64, index: f64, step: f64) -> Point {
    // Reduced first, so that every turn gives the same bits.
    let reduced = index.rem_euclid(std::f64::consts::TAU / step) * step;
    centre + Point::at_angle(reduced) * radius
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
fn chords_of_circle(radius: f64, sagitta: f64) -> f64 {
    let quarter = (std::f64::consts::FRAC_PI_2 / (8.0 * sagitta / radius).sqrt()).ceil();
    4.0 * quarter.max(3.0)
}

/// The grid cell of a number, and its neighbour where something within `reach` of it may lie there.
fn cells_within(value: f64, reach: f64) -> impl Iterator<Item = i64> {
    let cell = value.round();
    let aside = value - cell;
    let own = whole(cell);
    std::iter::once(own)
        .chain((aside + reach >= 0.5).then_some(own + 1))
        .chain((aside - reach <= -0.5).then_some(own - 1))
}

/// A line's bucket and those around it. The direction of a line is known up to a half turn, so its bucket's
/// neighbour may lie at the other end of the range with the offset's sign turned.
fn cells_round(cell: [i64; 3]) -> Vec<[i64; 3]> {
    let around = |cell: [i64; 3]| {
        [0, -1, 1]
            .into_iter()
            .flat_map(move |a| [0, -1, 1].map(|b| [cell[0] + a, cell[1] + b, cell[2]]))
    };
    let mut cells: Vec<[i64; 3]> = around(cell).collect();
    let quarter = whole(std::f64::consts::FRAC_PI_2 * 1e6);
    if quarter - cell[0].abs() <= 1 {
        cells.extend(around([-cell[0].signum() * quarter, -cell[1], cell[2]]));
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
