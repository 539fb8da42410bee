//! Every field of the demo boats, constructed a second time on polygons by a general-purpose integer
//! polygon clipper of other descent than the engine in the kernel (the crate `clipper2-rust`), from the
//! same measured rings. Nothing is shared but the rings and the definitions.
//!
//! Polygons are no oracle at one very fine chord: where edges lie on each other exactly, flattening very
//! finely makes such engines err without a word. So both are compared at two chords' errors e: areas must
//! agree within what e can do, and the finer polygon must come nearer.

#[path = "common/beside.rs"]
mod beside;
#[path = "../src/concurrent.rs"]
#[allow(dead_code, reason = "a test needs one of its ways")]
mod concurrent;

use std::path::{Path, PathBuf};

use clipper2_rust::{
    EndType, FillRule, JoinType, Path64, Paths64, Point as Node, difference_64, inflate_paths_64,
    intersect_64, union_subjects_64,
};
use spile::layout;
use spile::outline::DeckPlan;
use spile::shape::{Arc, Point, Ring, Segment};

/// Grid nodes in a millimetre.
const SCALE: f64 = 1e4;

/// Polygons with the chords' error they are made with, millimetres.
struct Chords {
    error: f64,
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "a deck is a few metres, in tenths of a micrometre"
)]
fn node(point: Point) -> Node<i64> {
    Node::new(
        (point.x * SCALE).round() as i64,
        (point.y * SCALE).round() as i64,
    )
}

impl Chords {
    fn points(&self, segment: &Segment) -> Vec<Point> {
        match segment {
            Segment::Line(start, _) => vec![*start],
            Segment::Arc(arc) => {
                // An arc's chord of angle a is r(1 - cos(a/2)) off it.
                let angle = 2.0 * (1.0 - (self.error / arc.radius).min(1.0)).acos();
                let steps = (arc.sweep.abs() / angle).ceil().max(1.0);
                let mut points = Vec::new();
                let mut step = 0.0;
                while step < steps {
                    points.push(segment.point_at(step / steps));
                    step += 1.0;
                }
                points
            }
        }
    }

    fn polygon(&self, ring: &Ring) -> Path64 {
        ring.segments()
            .iter()
            .flat_map(|segment| self.points(segment))
            .map(node)
            .collect()
    }

    fn moved(&self, paths: &Paths64, by: f64) -> Paths64 {
        self.offset(paths, by, EndType::Polygon)
    }

    fn offset(&self, paths: &Paths64, by: f64, ends: EndType) -> Paths64 {
        if by == 0.0 {
            return paths.clone();
        }
        inflate_paths_64(
            paths,
            by * SCALE,
            JoinType::Round,
            ends,
            2.0,
            self.error * SCALE,
        )
    }

    /// The bands of the edges on the deck's side, each edge a path with square ends, and the tapers.
    fn edge_bands(&self, plan: &DeckPlan) -> Paths64 {
        let outline = &plan.outline;
        let segments = outline.ring.segments();
        let count = segments.len();
        let margin = |index: usize| {
            outline.edges[outline.edge_of_segment[index % count]]
                .margin
                .to_mm()
        };
        let mut bands = Paths64::new();
        // Runs of segments of one margin.
        let first = (0..count).find(|index| margin(index + count - 1) != margin(*index));
        // One margin all round: the deck is shrunk as a whole, see below.
        let Some(first) = first else { return bands };
        let mut path: Vec<Point> = Vec::new();
        for step in 0..count {
            let (here, next) = ((first + step) % count, (first + step + 1) % count);
            path.extend(self.points(&segments[here]));
            if margin(here) != margin(next) {
                path.push(segments[here].end());
                let line: Path64 = path.iter().copied().map(node).collect();
                bands.extend(self.offset(&vec![line], margin(here), EndType::Butt));
                path.clear();
                bands.extend(self.taper(plan, here, next, margin(here), margin(next)));
            }
        }
        bands
    }

    /// Where edges run on into each other: under two equal reversed arcs, R = (L² + D²)/4D, over a
    /// straight stretch of the narrower edge.
    fn taper(
        &self,
        plan: &DeckPlan,
        here: usize,
        next: usize,
        margin: f64,
        after: f64,
    ) -> Option<Path64> {
        let segments = plan.outline.ring.segments();
        let (u, v) = (
            segments[here].direction_at(1.0),
            segments[next].direction_at(0.0),
        );
        if u.cross(v).atan2(u.dot(v)).abs() > 20f64.to_radians() {
            return None;
        }
        let (wide, narrow) = (margin.max(after), margin.min(after));
        let step = wide - narrow;
        let length = plan.blend.map_or(5.0 * step, |blend| blend.to_mm());
        if length == 0.0 {
            return None;
        }
        let (base, along) = if margin > after {
            (&segments[next], v)
        } else {
            (&segments[here], -u)
        };
        assert!(
            matches!(base, Segment::Line(..)) && base.length() >= length,
            "the test knows straight bases only"
        );
        // The deck lies left of its edge.
        let normal = if margin > after {
            along.left()
        } else {
            -along.left()
        };
        let start = segments[here].end();
        let radius = (length * length + step * step) / (4.0 * step);
        let mut points = vec![start];
        let steps = 400;
        for index in 0..=steps {
            let x = length * f64::from(index) / f64::from(steps);
            let drop = |x: f64| radius - (radius * radius - x * x).sqrt();
            let height = if x <= length / 2.0 {
                wide - drop(x)
            } else {
                narrow + drop(length - x)
            };
            points.push(start + along * x + normal * height);
        }
        points.push(start + along * length);
        Some(points.into_iter().map(node).collect())
    }

    fn bare_field(&self, plan: &DeckPlan) -> Paths64 {
        let mut off = positive(self.edge_bands(plan));
        for obstacle in plan.openings.iter().chain(&plan.fittings) {
            off.extend(positive(self.moved(
                &vec![self.polygon(&obstacle.ring)],
                obstacle.margin.to_mm(),
            )));
        }
        off.extend(positive(
            plan.smooth
                .iter()
                .map(|area| self.polygon(&area.ring))
                .collect(),
        ));
        for strip in &plan.strips {
            off.extend(positive(
                strip
                    .region
                    .rings()
                    .iter()
                    .map(|ring| self.polygon(ring))
                    .collect(),
            ));
        }
        let mut deck = vec![self.polygon(&plan.outline.ring)];
        let edges = &plan.outline.edges;
        if edges.iter().all(|edge| edge.margin == edges[0].margin) {
            deck = self.moved(&deck, -edges[0].margin.to_mm());
        }
        let bare = difference_64(&deck, &off, FillRule::NonZero);
        if plan.pads.is_empty() {
            return bare;
        }
        let pads: Paths64 = plan
            .pads
            .iter()
            .map(|pad| self.polygon(&pad.ring))
            .collect();
        intersect_64(
            &bare,
            &union_subjects_64(&pads, FillRule::NonZero),
            FillRule::NonZero,
        )
    }

    fn opened(&self, paths: &Paths64, radius: f64) -> Paths64 {
        self.moved(&self.moved(paths, -radius), radius)
    }

    /// Inward corners filled: pieces of the closing that touch the field along one unbroken run.
    fn filled(&self, field: &Paths64, radius: f64) -> Paths64 {
        if radius == 0.0 {
            return field.clone();
        }
        let closing = self.moved(&self.moved(field, radius), -radius);
        let pieces = difference_64(&closing, field, FillRule::NonZero);
        // Slivers along coinciding edges are chords' error, not ground.
        let thick = self.opened(&pieces, 3.0 * self.error);
        let mut all = field.clone();
        for piece in &thick {
            if area(piece) > 0.0 && self.runs_off(piece, field) == 1 {
                all.extend(self.moved(&vec![piece.clone()], 2.0 * self.error));
            }
        }
        let joined = union_subjects_64(&all, FillRule::NonZero);
        intersect_64(&joined, &closing, FillRule::NonZero)
    }

    /// How many unbroken runs of a piece's boundary do not lie on the field's.
    fn runs_off(&self, piece: &Path64, field: &Paths64) -> usize {
        let near = 12.0 * self.error * SCALE;
        let count = piece.len();
        let extent = |pick: fn(&Node<i64>) -> i64| {
            let all = || piece.iter().map(pick).map(real);
            (
                all().fold(f64::INFINITY, f64::min) - near,
                all().fold(f64::NEG_INFINITY, f64::max) + near,
            )
        };
        let (xs, ys) = (extent(|node| node.x), extent(|node| node.y));
        let beyond = |a: i64, b: i64, (low, high): (f64, f64)| {
            real(a).max(real(b)) < low || real(a).min(real(b)) > high
        };
        let close: Vec<(Node<i64>, Node<i64>)> = field
            .iter()
            .flat_map(|ring| (0..ring.len()).map(|k| (ring[k], ring[(k + 1) % ring.len()])))
            .filter(|(a, b)| !beyond(a.x, b.x, xs) && !beyond(a.y, b.y, ys))
            .collect();
        let off: Vec<bool> = (0..count)
            .map(|index| {
                let (a, b) = (piece[index], piece[(index + 1) % count]);
                let middle = (midway(a.x, b.x), midway(a.y, b.y));
                close.iter().all(|(a, b)| distance(middle, *a, *b) > near)
            })
            .collect();
        (0..count)
            .filter(|index| off[*index] && !off[(*index + 1) % count])
            .count()
    }

    /// The fields' areas (mm²) and perimeters (mm), by area.
    fn fields(&self, plan: &DeckPlan) -> Vec<(f64, f64)> {
        let (round, hollow) = (plan.radius.round.to_mm(), plan.radius.hollow.to_mm());
        let opened = self.opened(&self.bare_field(plan), round);
        let rounded = self.opened(&self.filled(&opened, hollow), round);
        let (outer, holes): (Vec<&Path64>, Vec<&Path64>) =
            rounded.iter().partition(|path| area(path) > 0.0);
        let mut fields: Vec<(f64, f64)> = outer
            .iter()
            .map(|ring| {
                let own = holes.iter().filter(|hole| inside(ring, hole[0]));
                own.fold((area(ring), length(ring)), |(a, p), hole| {
                    (a + area(hole), p + length(hole))
                })
            })
            .filter(|(area, _)| *area > 1.0)
            .collect();
        fields.sort_by(|a, b| a.0.total_cmp(&b.0));
        fields
    }
}

fn positive(mut paths: Paths64) -> Paths64 {
    for path in &mut paths {
        if area(path) < 0.0 {
            path.reverse();
        }
    }
    paths
}

#[allow(clippy::cast_precision_loss, reason = "well within 2^53 nodes")]
fn real(coordinate: i64) -> f64 {
    coordinate as f64
}

fn midway(a: i64, b: i64) -> f64 {
    f64::midpoint(real(a), real(b))
}

fn distance(point: (f64, f64), a: Node<i64>, b: Node<i64>) -> f64 {
    let (a, b, p) = (
        Point::new(real(a.x), real(a.y)),
        Point::new(real(b.x), real(b.y)),
        Point::new(point.0, point.1),
    );
    Segment::Line(a, b).nearest_point(p).distance(p)
}

fn inside(ring: &Path64, node: Node<i64>) -> bool {
    let (px, py) = (real(node.x), real(node.y));
    let count = ring.len();
    (0..count)
        .filter(|index| {
            let (a, b) = (ring[*index], ring[(index + 1) % count]);
            let (ay, by) = (real(a.y), real(b.y));
            (ay <= py) != (by <= py)
                && px < real(a.x) + (py - ay) / (by - ay) * (real(b.x) - real(a.x))
        })
        .count()
        % 2
        == 1
}

/// Area in mm² by the shoelace formula, about the path's first point.
fn area(path: &Path64) -> f64 {
    let Some(first) = path.first() else {
        return 0.0;
    };
    let count = path.len();
    let local = |index: usize| {
        let at = path[index % count];
        (real(at.x - first.x), real(at.y - first.y))
    };
    let twice: f64 = (0..count)
        .map(|index| {
            let ((ax, ay), (bx, by)) = (local(index), local(index + 1));
            ax * by - ay * bx
        })
        .sum();
    twice / 2.0 / SCALE / SCALE
}

fn length(path: &Path64) -> f64 {
    let count = path.len();
    let sum: f64 = (0..count)
        .map(|index| {
            let (a, b) = (path[index], path[(index + 1) % count]);
            real(a.x - b.x).hypot(real(a.y - b.y))
        })
        .sum();
    sum / SCALE
}

fn turned(segments: impl Iterator<Item = Segment>) -> f64 {
    segments
        .map(|segment| match segment {
            Segment::Line(..) => 0.0,
            Segment::Arc(Arc { sweep, .. }) => sweep.abs(),
        })
        .sum()
}

/// How many fields were compared, and the largest relative error of an area at coarse and at fine chords.
#[derive(Default)]
struct Compared {
    fields: usize,
    worst: [f64; 2],
}

/// The decks of a layout.
fn plans(path: &Path) -> Vec<DeckPlan> {
    let text = std::fs::read_to_string(path).expect("text");
    let layout = layout::read(&text).expect("a layout without faults");
    let sources = beside::beside(&layout);
    let fixed = spile::outline::fix(&layout, &sources).expect("drawings without faults");
    let traced = layout
        .decks
        .iter()
        .map(|deck| spile::outline::trace(deck, &fixed));
    traced
        .map(|plan| plan.expect("a deck without faults").0)
        .collect()
}

fn compared(path: &Path, plan: &DeckPlan) -> Compared {
    let (coarse, fine) = (Chords { error: 0.2 }, Chords { error: 0.02 });
    let mut found = Compared::default();
    assert!(
        plan.least_area_mm2 < 1e6,
        "the polygons below keep every field"
    );
    let pattern = spile::pattern::lay_out(plan);
    let mut ours: Vec<_> = pattern
        .fields
        .iter()
        .map(|field| {
            let region = &field.region;
            (
                region.area(),
                region.perimeter(),
                turned(region.segments().copied()),
            )
        })
        .chain(pattern.dropped.iter().map(|dropped| {
            let region = &dropped.region;
            (
                region.area(),
                region.perimeter(),
                turned(region.segments().copied()),
            )
        }))
        .collect();
    ours.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (index, chords) in [&coarse, &fine].into_iter().enumerate() {
        let theirs = chords.fields(plan);
        assert_eq!(theirs.len(), ours.len(), "{} {}", path.display(), plan.id);
        for ((a, p, turned), (area, length)) in ours.iter().zip(&theirs) {
            // Flattening and each of at most eight offsets lose up to e beside every arc they pass,
            // and a corner's arcs are drawn anew; the grid adds its rounding at every vertex.
            let e = chords.error;
            let (bound_a, bound_p) = (
                8.0 * e * p,
                8.0 * e * (turned + 2.0 * std::f64::consts::PI) + 0.1,
            );
            let (off_a, off_p) = ((a - area).abs(), (p - length).abs());
            assert!(
                off_a < bound_a,
                "{} {}: {a} and {area} mm² at {e}",
                path.display(),
                plan.id
            );
            assert!(
                off_p < bound_p,
                "{} {}: {p} and {length} mm at {e}",
                path.display(),
                plan.id
            );
            found.worst[index] = found.worst[index].max(off_a / a);
            found.fields += 1;
        }
    }
    found
}

#[test]
fn the_demo_boats_fields_agree_with_a_polygon_clipper_and_converge() {
    let layouts: Vec<PathBuf> = std::fs::read_dir("layouts")
        .expect("the demo boats")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "toml")
        })
        .collect();
    // Side by side, as each takes a while.
    let decks: Vec<(&PathBuf, DeckPlan)> = layouts
        .iter()
        .flat_map(|path| plans(path).into_iter().map(move |plan| (path, plan)))
        .collect();
    let all = concurrent::each(&decks, |(path, plan)| compared(path, plan));
    let fields: usize = all.iter().map(|one| one.fields).sum();
    let worst = [0, 1].map(|index| all.iter().map(|one| one.worst[index]).fold(0.0, f64::max));
    assert!(fields > 80, "only {fields} comparisons");
    // Ten times finer chords come nearer, by about that much.
    assert!(
        worst[1] < worst[0] / 4.0,
        "relative area errors {worst:?} do not converge"
    );
    assert!(worst[1] < 2e-4, "{worst:?}");
}
