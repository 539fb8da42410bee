//! Which rings come near each other: only those need an overlay, every other ring stays whole.

use super::{BoundingBox, Ring};

/// How near boxes must come to touch, millimetres: more than the grid rounds.
const SLACK: f64 = 1e-5;

/// Groups of rings, by index, such that rings of different groups do not meet: no box of a segment of
/// one touches a box of a segment of the other. Groups and members in ascending order.
pub(super) fn clusters(rings: &[&Ring]) -> Vec<Vec<usize>> {
    let mut owners = Vec::new();
    let mut boxes = Vec::new();
    for (index, ring) in rings.iter().enumerate() {
        for segment in ring.segments() {
            owners.push(index);
            boxes.push(segment.bounding_box().grown(SLACK));
        }
    }
    let mut groups = Groups::new(rings.len());
    touching_boxes(&boxes, |one, other| groups.join(owners[one], owners[other]));
    groups.lists()
}

/// Tells of every pair of boxes that touch or overlap, by index: a sweep along x.
pub(super) fn touching_boxes(boxes: &[BoundingBox], mut tell: impl FnMut(usize, usize)) {
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|a, b| boxes[*a].least.x.total_cmp(&boxes[*b].least.x));
    // Boxes that still reach the sweep line.
    let mut open: Vec<usize> = Vec::new();
    for index in order {
        let bounds = &boxes[index];
        open.retain(|other| boxes[*other].greatest.x >= bounds.least.x);
        for other in &open {
            let other_bounds = &boxes[*other];
            if other_bounds.least.y <= bounds.greatest.y
                && bounds.least.y <= other_bounds.greatest.y
            {
                tell(*other, index);
            }
        }
        open.push(index);
    }
}

/// Disjoint sets of indices.
struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    fn new(count: usize) -> Self {
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

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        // The least index leads, so that the grouping does not depend on the order of joins.
        self.parent[a.max(b)] = a.min(b);
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
