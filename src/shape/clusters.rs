//! Which rings come near each other: only those need an overlay, every other ring stays whole.

use super::{BoundingBox, Ring};

/// Groups of rings, by index, such that rings of different groups do not meet: no box of a segment of
/// one touches a box of a segment of the other. Groups and members in ascending order.
pub(super) fn clusters(rings: &[&Ring]) -> Vec<Vec<usize>> {
    let slack = 1e-5;
    let mut boxes: Vec<(BoundingBox, usize)> = rings
        .iter()
        .enumerate()
        .flat_map(|(index, ring)| {
            ring.segments()
                .iter()
                .map(move |segment| (segment.bounding_box().grown(slack), index))
        })
        .collect();
    boxes.sort_by(|a, b| a.0.least.x.total_cmp(&b.0.least.x));
    let mut groups = Groups::new(rings.len());
    // Boxes that still reach the sweep line.
    let mut open: Vec<(BoundingBox, usize)> = Vec::new();
    for (bounds, ring) in boxes {
        open.retain(|(other, _)| other.greatest.x >= bounds.least.x);
        for (other, owner) in &open {
            if other.least.y <= bounds.greatest.y && bounds.least.y <= other.greatest.y {
                groups.join(*owner, ring);
            }
        }
        open.push((bounds, ring));
    }
    groups.lists()
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
