//! Branch and bound, the most promising part first. Comes in: parts of what is searched, each able to say the most that
//! it can hold. Goes out: the best place found, when no part left promises more than a precision above it (A. H. Land and
//! A. G. Doig, "An automatic method of solving discrete programming problems", Econometrica 28, 1960, from memory).

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::{Boundary, Point};

/// What distances are measured from: a region, or everything outside one.
pub(super) struct Target<'a> {
    pub(super) boundary: &'a Boundary<'a>,
    /// Whether it is what lies outside the boundary.
    pub(super) is_outside: bool,
}

/// A place as it stands to a target.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sight {
    pub(super) at: Point,
    /// The point of the target's boundary nearest to it.
    pub(super) near: Point,
    /// How far it is from the target; inside it, how deep, negative.
    pub(super) off: f64,
}

impl Target<'_> {
    /// How a place stands to the target; none where the target has no boundary.
    pub(super) fn seen_from(&self, at: Point) -> Option<Sight> {
        let near = self.boundary.nearest_point(at)?;
        let distance = at.distance(near);
        let is_in = self.boundary.contains(at) != self.is_outside;
        let off = if is_in { -distance } else { distance };
        Some(Sight { at, near, off })
    }
}

/// A part of what is searched.
pub(super) trait Part: Copy {
    /// The most that it may hold.
    fn bound(&self) -> f64;
    /// Where it lies, so that of two that promise the same always the same one comes first.
    fn key(&self) -> [f64; 3];
    /// Hands every smaller part that it is made of to the search.
    fn divide(&self, search: &mut Search<'_, Self>);
}

/// A search that goes on.
pub(super) struct Search<'a, P> {
    pub(super) target: Target<'a>,
    best: Option<Sight>,
    precision: f64,
    waiting: BinaryHeap<Waiting<P>>,
}

impl<'a, P: Part> Search<'a, P> {
    /// A search that knows of one place, or none.
    pub(super) const fn new(target: Target<'a>, precision: f64, best: Option<Sight>) -> Self {
        Self {
            target,
            best,
            precision,
            waiting: BinaryHeap::new(),
        }
    }

    /// Keeps a place that may be the answer.
    pub(super) fn offer(&mut self, sight: Sight) {
        let known = self.best.map_or(0.0, |best| best.off);
        if sight.off > known {
            self.best = Some(sight);
        }
    }

    /// Whether something that holds no more than `bound` is worth a look.
    pub(super) fn is_worth(&self, bound: f64) -> bool {
        bound > self.best.map_or(0.0, |best| best.off) + self.precision
    }

    /// Keeps a part where it may hold more than is known.
    pub(super) fn keep(&mut self, part: P) {
        if self.is_worth(part.bound()) {
            self.waiting.push(Waiting(part));
        }
    }

    /// Looks until nothing better can be left.
    pub(super) fn run(mut self) -> Option<Sight> {
        while let Some(Waiting(part)) = self.waiting.pop() {
            if !self.is_worth(part.bound()) {
                break;
            }
            part.divide(&mut self);
        }
        self.best
    }
}

struct Waiting<P>(P);

impl<P: Part> PartialEq for Waiting<P> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl<P: Part> Eq for Waiting<P> {}

impl<P: Part> PartialOrd for Waiting<P> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<P: Part> Ord for Waiting<P> {
    fn cmp(&self, other: &Self) -> Ordering {
        let (mine, theirs) = (self.0.key(), other.0.key());
        let each = mine.iter().zip(&theirs).map(|(a, b)| a.total_cmp(b));
        let bounds = self.0.bound().total_cmp(&other.0.bound());
        each.fold(bounds, Ordering::then)
    }
}
