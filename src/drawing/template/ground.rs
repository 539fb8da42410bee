//! Room for texts and signs on a page: where they cross the fewest lines and lie over nothing that stands there already.

use super::super::marks::TextBox;
use crate::shape::{BoundingBox, Point, Segment};

/// White between two texts, millimetres.
const CLEAR: f64 = 0.8;

/// A page's room and what stands in it.
pub(super) struct Ground {
    /// Where texts may stand.
    pub(super) room: BoundingBox,
    lines: Vec<[Point; 2]>,
    taken: Vec<BoundingBox>,
}

impl Ground {
    pub(super) const fn new(room: BoundingBox) -> Self {
        Self {
            room,
            lines: Vec::new(),
            taken: Vec::new(),
        }
    }

    pub(super) fn add_segment(&mut self, segment: &Segment) {
        let pieces = match segment {
            Segment::Line(..) => 1,
            // A page holds no more than some hundred millimetres of an arc.
            Segment::Arc(arc) => {
                let mut pieces = 1_u32;
                while f64::from(pieces) * 0.2 < arc.sweep.abs() && pieces < 64 {
                    pieces += 1;
                }
                pieces
            }
        };
        let at = |number: u32| segment.point_at(f64::from(number) / f64::from(pieces));
        for number in 0..pieces {
            self.lines.push([at(number), at(number + 1)]);
        }
    }

    pub(super) fn lines(&self) -> &[[Point; 2]] {
        &self.lines
    }

    /// Nothing else may stand there.
    pub(super) fn take(&mut self, bounds: BoundingBox) {
        self.taken.push(bounds);
    }

    /// How many lines run through a box.
    pub(super) fn lines_through(&self, bounds: &BoundingBox) -> usize {
        let size = bounds.greatest - bounds.least;
        let through = TextBox::new(
            bounds.least,
            Point::new(size.x, 0.0),
            Point::new(0.0, size.y),
        );
        self.lines
            .iter()
            .filter(|[a, b]| {
                BoundingBox::of_points([*a, *b]).touches(bounds)
                    && through.part_of_line(*a, *b).is_some()
            })
            .count()
    }

    /// Whether a box lies in the room and over nothing that stands there.
    pub(super) fn is_free(&self, bounds: &BoundingBox) -> bool {
        self.room.holds(bounds.least)
            && self.room.holds(bounds.greatest)
            && !self
                .taken
                .iter()
                .any(|other| other.touches(&bounds.grown(CLEAR)))
    }

    /// Takes the first of some places, given by their lower left corners, through which no line runs; failing that the one
    /// with the fewest, no more than `most`.
    pub(super) fn place(
        &mut self,
        size: Point,
        places: impl IntoIterator<Item = Point>,
        most: usize,
    ) -> Option<BoundingBox> {
        let mut best: Option<(usize, BoundingBox)> = None;
        for least in places {
            let bounds = BoundingBox {
                least,
                greatest: least + size,
            };
            if !self.is_free(&bounds) {
                continue;
            }
            let lines = self.lines_through(&bounds.grown(CLEAR));
            if lines <= most && best.as_ref().is_none_or(|(fewest, _)| lines < *fewest) {
                best = Some((lines, bounds));
                if lines == 0 {
                    break;
                }
            }
        }
        let (_, bounds) = best?;
        self.take(bounds);
        Some(bounds)
    }

    /// Places all over the room for a box of some size, those in its middle first.
    pub(super) fn lattice(&self, size: Point, across: u32, up: u32) -> Vec<Point> {
        let free = Point::new(self.room.width() - size.x, self.room.height() - size.y);
        let mut places = Vec::new();
        if free.x < 0.0 || free.y < 0.0 {
            return places;
        }
        for row in 0..=up {
            for column in 0..=across {
                let share = |at: u32, of: u32| f64::from(at) / f64::from(of);
                places.push(
                    self.room.least
                        + Point::new(free.x * share(column, across), free.y * share(row, up)),
                );
            }
        }
        let middle = self.room.centre() - size * 0.5;
        places.sort_by(|a, b| a.distance(middle).total_cmp(&b.distance(middle)));
        places
    }
}
