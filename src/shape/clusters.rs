//! Which rings come near each other: only those need an overlay, every other ring stays whole.

use super::inside::segment_winding;
use super::rows::Rows;
use super::{Point, Ring, Segment};

/// How near boxes must come to touch, millimetres: more than the grid rounds.
const SLACK: f64 = 1e-5;

/// The segments of some rings, and which rings meet.
#[derive(Debug)]
pub(super) struct Clusters<'a> {
    segments: Vec<&'a Segment>,
    /// The ring of each segment.
    owners: Vec<usize>,
    rows: Rows,
    /// Groups of rings, by index, such that rings of different groups do not meet: no box of a segment
    /// of one touches a box of a segment of the other. Groups and members in ascending order.
    pub(super) groups: Vec<Vec<usize>>,
}

impl<'a> Clusters<'a> {
    pub(super) fn of(rings: &[&'a Ring]) -> Self {
        if rings.len() < 2 {
            return Self {
                segments: Vec::new(),
                owners: Vec::new(),
                rows: Rows::new(Vec::new()),
                groups: (0..rings.len()).map(|ring| vec![ring]).collect(),
            };
        }
        let mut segments: Vec<&Segment> = Vec::new();
        let mut owners = Vec::new();
        for (index, ring) in rings.iter().enumerate() {
            segments.extend(ring.segments());
            owners.resize(segments.len(), index);
        }
        let boxes = segments
            .iter()
            .map(|segment| segment.bounding_box().grown(SLACK))
            .collect();
        let rows = Rows::new(boxes);
        let mut groups = Groups::new(rings.len());
        rows.touching_pairs(|one, other| {
            groups.join(owners[one], owners[other]);
        });
        Self {
            segments,
            owners,
            rows,
            groups: groups.lists(),
        }
    }

    /// Tells how segments wind round a place, with the index of the ring of each.
    pub(super) fn windings(&self, at: Point, mut tell: impl FnMut(usize, i32)) {
        self.rows.on_ray_from(at, |index| {
            tell(
                self.owners[index],
                segment_winding(self.segments[index], at),
            );
        });
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
