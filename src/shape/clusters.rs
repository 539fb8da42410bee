//! Which rings come near each other: only those need an overlay, every other ring stays whole, however
//! closely it lies round another.

use std::cell::OnceCell;

use super::inside::segment_winding;
use super::rows::Rows;
use super::{Arc, BoundingBox, Point, Ring, Segment};

/// Segments nearer than this may meet, millimetres: far more than the grid rounds.
const CLEAR: f64 = 1e-3;
/// Arcs of a greater radius are not told apart from what comes near their boxes: rounding would have a say, millimetres.
const GREAT: f64 = 1e7;

/// A ring of more segments than this is asked how it winds row by row.
const MANY: usize = 8;

/// Some rings, and which of them meet.
#[derive(Debug)]
pub(super) struct Clusters<'a> {
    rings: &'a [&'a Ring],
    /// The boxes of the rings.
    boxes: Rows,
    /// The boxes of the segments of rings that have many, where they have been asked for.
    segments: Vec<OnceCell<Rows>>,
    /// Groups of rings, by index, such that rings of different groups do not meet: no segment of one comes
    /// near a segment of the other. Groups and members in ascending order.
    pub(super) groups: Vec<Vec<usize>>,
}

impl<'a> Clusters<'a> {
    pub(super) fn of(rings: &'a [&'a Ring]) -> Self {
        let mut groups = Groups::new(rings.len());
        let mut boxes = Vec::new();
        if rings.len() > 1 {
            let mut segments: Vec<&Segment> = Vec::new();
            let mut owners = Vec::new();
            let mut bounds = Vec::new();
            for (index, ring) in rings.iter().enumerate() {
                let mut whole = BoundingBox::EMPTY;
                for segment in ring.segments() {
                    let own = segment.bounding_box().grown(CLEAR);
                    whole = whole.joined(&own);
                    bounds.push(own);
                }
                boxes.push(whole);
                segments.extend(ring.segments());
                owners.resize(segments.len(), index);
            }
            Rows::new(bounds).touching_pairs(|one, other| {
                let [of_one, of_other] = [owners[one], owners[other]];
                if !groups.are_joined(of_one, of_other)
                    && !keep_apart(segments[one], segments[other])
                {
                    groups.join(of_one, of_other);
                }
            });
        }
        Self {
            rings,
            segments: vec![OnceCell::new(); boxes.len()],
            boxes: Rows::new(boxes),
            groups: groups.lists(),
        }
    }

    /// Tells how rings wind round a place, with the index of each; not of those whose box does not hold it.
    pub(super) fn windings(&self, at: Point, mut tell: impl FnMut(usize, i32)) {
        self.boxes.touching(&BoundingBox::of_points([at]), |index| {
            tell(index, self.winding(index, at));
        });
    }

    fn winding(&self, index: usize, at: Point) -> i32 {
        let ring = self.rings[index];
        let segments = ring.segments();
        if segments.len() <= MANY {
            return ring.winding(at);
        }
        let rows = self.segments[index]
            .get_or_init(|| Rows::new(segments.iter().map(Segment::bounding_box).collect()));
        let mut turns = 0;
        rows.on_ray_from(at, |segment| {
            turns += segment_winding(&segments[segment], at)
        });
        turns
    }
}

/// Whether two segments plainly have nothing in common; what is seen at a glance first.
fn keep_apart(one: &Segment, other: &Segment) -> bool {
    let is_plain = match (one, other) {
        (Segment::Line(..), Segment::Line(..)) => lies_aside(one, other) || lies_aside(other, one),
        (line @ Segment::Line(..), Segment::Arc(arc))
        | (Segment::Arc(arc), line @ Segment::Line(..)) => {
            let track = Track::of(arc);
            let least = line.nearest_point(arc.centre).distance(arc.centre);
            let most = Track::ends([line.start(), line.end()], arc.centre)[1];
            least > track.most + CLEAR || most < track.least - CLEAR
        }
        (Segment::Arc(a), Segment::Arc(b)) => {
            let [one, other] = [a, b].map(Track::of);
            let between = a.centre.distance(b.centre);
            between > one.most + other.most + CLEAR
                || between + one.most < other.least - CLEAR
                || between + other.most < one.least - CLEAR
        }
    };
    let is_great = |segment: &Segment| matches!(segment, Segment::Arc(arc) if arc.radius > GREAT);
    is_plain || !is_great(one) && !is_great(other) && one.nearest(other).distance.to_mm() > CLEAR
}

/// Whether `line` and the line that `other` lies on have nothing in common.
fn lies_aside(line: &Segment, other: &Segment) -> bool {
    let along = other.end() - other.start();
    let clear = CLEAR * along.length();
    let [u, v] = [line.start(), line.end()].map(|point| along.cross(point - other.start()));
    u.min(v) > clear || u.max(v) < -clear
}

/// Between which distances from its centre an arc runs: its radius, or a little off where its ends are.
#[derive(Debug, Clone, Copy)]
struct Track {
    least: f64,
    most: f64,
}

impl Track {
    fn of(arc: &Arc) -> Self {
        let [least, most] = Self::ends([arc.start, arc.end], arc.centre);
        Self {
            least: least.min(arc.radius),
            most: most.max(arc.radius),
        }
    }

    /// Distances of two points from a third, the lesser first.
    fn ends(ends: [Point; 2], from: Point) -> [f64; 2] {
        let [u, v] = ends.map(|end| end.distance(from));
        [u.min(v), u.max(v)]
    }
}

/// Disjoint sets of indices.
#[derive(Debug)]
pub(super) struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    pub(super) fn new(count: usize) -> Self {
        Self {
            parent: (0..count).collect(),
        }
    }

    fn root(&mut self, mut index: usize) -> usize {
        while self.parent[index] != index {
            self.parent[index] = self.parent[self.parent[index]];
            index = self.parent[index];
        }
        index
    }

    fn are_joined(&mut self, a: usize, b: usize) -> bool {
        self.root(a) == self.root(b)
    }

    /// Makes two sets one; false where they are already.
    pub(super) fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.root(a), self.root(b));
        // The least index leads, so that the grouping does not depend on the order of joins.
        self.parent[a.max(b)] = a.min(b);
        a != b
    }

    fn lists(&mut self) -> Vec<Vec<usize>> {
        let mut lists: Vec<Vec<usize>> = vec![Vec::new(); self.parent.len()];
        for index in 0..self.parent.len() {
            let root = self.root(index);
            lists[root].push(index);
        }
        lists.retain(|list| !list.is_empty());
        lists
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn groups(rings: &[Ring]) -> Vec<Vec<usize>> {
        Clusters::of(&rings.iter().collect::<Vec<_>>()).groups
    }

    #[test]
    fn rings_round_each_other_that_do_not_meet_stay_whole() {
        let about = |x: f64, radius: f64| Ring::circle(Point::new(x, 0.0), radius);
        let inner = [about(3.0, 20.0), about(0.0, 25.0), about(0.0, 400.0)];
        assert_eq!(groups(&inner), [vec![0], vec![1], vec![2]]);
        // A square whose corners come to within a hundredth of a circle round it, and one that reaches it.
        let square = |half: f64| {
            let corners = [[-half, -half], [half, -half], [half, half], [-half, half]];
            Ring::polygon(&corners.map(|[x, y]| Point::new(x, y)))
        };
        let half = 100.0 * 0.5_f64.sqrt();
        assert_eq!(groups(&[square(half - 0.01), about(0.0, 100.0)]).len(), 2);
        assert_eq!(groups(&[square(half), about(0.0, 100.0)]), [[0, 1]]);
        assert_eq!(groups(&[square(100.01), about(0.0, 100.0)]).len(), 2);
        assert_eq!(groups(&[square(100.0), about(0.0, 100.0)]), [[0, 1]]);
        // Neither circle holds the other, and yet a bend keeps out of the other's way.
        let bend = |x: f64| {
            let arc = Arc::about(Point::new(x, 0.0), 100.0, -0.5, 1.0);
            Ring::new(vec![Segment::Arc(arc), Segment::Line(arc.end, arc.start)])
        };
        assert_eq!(groups(&[bend(0.0), bend(13.0)]).len(), 2);
        assert_eq!(groups(&[bend(0.0), bend(12.0)]), [[0, 1]]);
    }

    #[test]
    fn circles_that_touch_or_cross_are_together() {
        let about = |x: f64, radius: f64| Ring::circle(Point::new(x, 0.0), radius);
        for (x, radius) in [(80.0, 20.0), (120.0, 20.0), (95.0, 20.0), (0.0, 100.0)] {
            assert_eq!(
                groups(&[about(0.0, 100.0), about(x, radius)]),
                [[0, 1]],
                "{x}"
            );
        }
        assert_eq!(groups(&[about(0.0, 100.0), about(79.99, 20.0)]).len(), 2);
        assert_eq!(groups(&[about(0.0, 100.0), about(120.01, 20.0)]).len(), 2);
    }
}
