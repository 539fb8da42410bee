//! Whether two regions are one drawn a little differently: the same rings of the same segments, every
//! joint moved by no more than a hair.

use super::{Region, Ring, Segment};
use crate::units::Length;

impl Region {
    /// Whether both have the same rings of the same segments, no joint or middle of a segment further
    /// than `within` from its like.
    #[must_use]
    pub fn is_alike(&self, other: &Self, within: Length) -> bool {
        if self.rings().len() != other.rings().len() {
            return false;
        }
        let mut free: Vec<&Ring> = other.rings().iter().collect();
        self.rings().iter().all(|ring| {
            let like = free
                .iter()
                .position(|candidate| rings_are_alike(ring, candidate, within.to_mm()));
            like.map(|index| free.swap_remove(index)).is_some()
        })
    }
}

fn rings_are_alike(one: &Ring, other: &Ring, within: f64) -> bool {
    let (a, b) = (one.segments(), other.segments());
    let (box_a, box_b) = (one.bounding_box(), other.bounding_box());
    if a.len() != b.len()
        || box_a.least.distance(box_b.least) > 2.0 * within
        || box_a.greatest.distance(box_b.greatest) > 2.0 * within
    {
        return false;
    }
    let near = |p: &Segment, q: &Segment| {
        p.start().distance(q.start()) <= within
            && p.point_at(0.5).distance(q.point_at(0.5)) <= within
    };
    (0..b.len()).any(|shift| {
        near(&a[0], &b[shift])
            && a.iter()
                .zip(b.iter().cycle().skip(shift))
                .all(|(p, q)| near(p, q))
    })
}
