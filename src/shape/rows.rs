//! Boxes laid in rows by y, so that those near a place, or near each other, are found without looking
//! at every pair. Comes in: boxes. Goes out: indices of those that touch a box, a ray, or each other.

use super::{BoundingBox, Point};

/// Boxes sorted into rows of equal height; a box stands in every row that it reaches into, and in each row
/// boxes are sorted by where they begin along x.
///
/// There are as many rows as keep the entries within a few for each box, so that small boxes get low rows
/// and long upright ones do not fill the memory.
/// Without boxes nothing is ever told of. In which order boxes are told of is not said, but it is always the same.
///
/// ```
/// use spile::shape::{BoundingBox, Point, Rows};
/// let boxes = [0.0, 8.0, 50.0].map(|x| BoundingBox::of_points([Point::new(x, 0.0)]).grown(5.0));
/// let rows = Rows::new(boxes.to_vec());
/// let mut pairs = Vec::new();
/// rows.touching_pairs(|one, other| pairs.push([one.min(other), one.max(other)]));
/// assert_eq!(pairs, [[0, 1]]);
/// let mut near = Vec::new();
/// rows.touching(&BoundingBox::of_points([Point::new(47.0, 1.0)]), |index| near.push(index));
/// assert_eq!(near, [2]);
/// ```
#[derive(Debug, Clone)]
pub struct Rows {
    boxes: Vec<BoundingBox>,
    all: BoundingBox,
    rows_a_mm: f64,
    last: usize,
    /// Where each row begins in `entries`, and where the last one ends.
    begins: Vec<usize>,
    entries: Vec<Entry>,
}

/// A box in a row.
#[derive(Debug, Clone, Copy)]
struct Entry {
    index: usize,
    least_x: f64,
    /// How far the boxes of this row up to this one reach along x.
    reach: f64,
}

impl Rows {
    /// Sorts boxes; they go by their index from here on.
    #[must_use]
    pub fn new(boxes: Vec<BoundingBox>) -> Self {
        let all = boxes
            .iter()
            .fold(BoundingBox::EMPTY, |all, one| all.joined(one));
        let height = all.height();
        let count = row_count(&boxes, height);
        let mut rows = Self {
            boxes,
            all,
            rows_a_mm: if height > 0.0 { count / height } else { 0.0 },
            last: whole(count),
            begins: Vec::new(),
            entries: Vec::new(),
        };
        rows.fill();
        rows
    }

    fn fill(&mut self) {
        let spans: Vec<[usize; 2]> = self.boxes.iter().map(|one| self.span(one)).collect();
        let count = self.last + 1;
        let mut begins = vec![0; count + 1];
        for [first, last] in &spans {
            for row in *first..=*last {
                begins[row + 1] += 1;
            }
        }
        for row in 0..count {
            begins[row + 1] += begins[row];
        }
        let empty = Entry {
            index: 0,
            least_x: 0.0,
            reach: 0.0,
        };
        let mut entries = vec![empty; begins[count]];
        let mut next = begins.clone();
        let mut order: Vec<usize> = (0..self.boxes.len()).collect();
        order.sort_by(|a, b| self.boxes[*a].least.x.total_cmp(&self.boxes[*b].least.x));
        for index in order {
            for row in spans[index][0]..=spans[index][1] {
                let at = next[row];
                let before = if at > begins[row] {
                    entries[at - 1].reach
                } else {
                    f64::NEG_INFINITY
                };
                entries[at] = Entry {
                    index,
                    least_x: self.boxes[index].least.x,
                    reach: before.max(self.boxes[index].greatest.x),
                };
                next[row] += 1;
            }
        }
        self.begins = begins;
        self.entries = entries;
    }

    /// The first and last row that a box reaches into.
    fn span(&self, bounds: &BoundingBox) -> [usize; 2] {
        [bounds.least.y, bounds.greatest.y].map(|y| self.row_at(y))
    }

    /// The row of a height; the first or last one for a place outside all rows.
    fn row_at(&self, y: f64) -> usize {
        whole((y - self.all.least.y) * self.rows_a_mm).min(self.last)
    }

    fn row(&self, row: usize) -> &[Entry] {
        match (self.begins.get(row), self.begins.get(row + 1)) {
            (Some(from), Some(to)) => &self.entries[*from..*to],
            _ => &[],
        }
    }

    /// Tells of every box that touches or overlaps `bounds`, each once.
    pub fn touching(&self, bounds: &BoundingBox, mut tell: impl FnMut(usize)) {
        let [first, last] = self.span(bounds);
        for row in first..=last {
            let entries = self.row(row);
            let from = entries.partition_point(|entry| entry.reach < bounds.least.x);
            for entry in entries[from..]
                .iter()
                .take_while(|entry| entry.least_x <= bounds.greatest.x)
            {
                let other = &self.boxes[entry.index];
                // Told of in the first row that both stand in.
                if other.touches(bounds) && self.row_at(other.least.y).max(first) == row {
                    tell(entry.index);
                }
            }
        }
    }

    /// Tells of every box whose y range holds the point's and that reaches to it or beyond along x.
    pub fn on_ray_from(&self, point: Point, mut tell: impl FnMut(usize)) {
        let entries = self.row(self.row_at(point.y));
        let from = entries.partition_point(|entry| entry.reach < point.x);
        for entry in &entries[from..] {
            let bounds = &self.boxes[entry.index];
            if bounds.greatest.x >= point.x
                && bounds.least.y <= point.y
                && point.y <= bounds.greatest.y
            {
                tell(entry.index);
            }
        }
    }

    /// Tells of every pair of boxes that touch or overlap, each once, by index.
    pub fn touching_pairs(&self, mut tell: impl FnMut(usize, usize)) {
        let mut open: Vec<usize> = Vec::new();
        for row in 0..self.begins.len() {
            open.clear();
            for entry in self.row(row) {
                let bounds = &self.boxes[entry.index];
                let starts = self.row_at(bounds.least.y);
                open.retain(|other| {
                    let other_bounds = &self.boxes[*other];
                    if other_bounds.greatest.x < bounds.least.x {
                        return false;
                    }
                    if other_bounds.touches(bounds)
                        && self.row_at(other_bounds.least.y).max(starts) == row
                    {
                        tell(*other, entry.index);
                    }
                    true
                });
                open.push(entry.index);
            }
        }
    }

    /// Height of a row, millimetres: of the order of what stands in it.
    pub(super) fn row_height(&self) -> f64 {
        if self.rows_a_mm > 0.0 {
            1.0 / self.rows_a_mm
        } else {
            1.0
        }
    }

    /// Whether no box reaches out of `bounds`.
    pub(super) fn lie_within(&self, bounds: &BoundingBox) -> bool {
        bounds.joined(&self.all) == *bounds
    }

    pub(super) fn boxes(&self) -> &[BoundingBox] {
        &self.boxes
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturates at both ends"
)]
const fn whole(value: f64) -> usize {
    value as usize
}

/// How many rows: at most one for every box, and no more than leave three entries for each.
#[allow(
    clippy::cast_precision_loss,
    reason = "counts of boxes are far below 2^53"
)]
fn row_count(boxes: &[BoundingBox], height: f64) -> f64 {
    let boxes_count = boxes.len() as f64;
    let heights: f64 = boxes.iter().map(BoundingBox::height).sum();
    let count = boxes_count.min(2.0 * boxes_count * height / heights);
    if count.is_finite() {
        count.floor().max(1.0)
    } else {
        1.0
    }
}
