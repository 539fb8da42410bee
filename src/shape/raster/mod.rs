//! A region as square cells: what lies in it, how far apart its places are on the way round what is in between, how
//! wide it is. Comes in: regions, sets of cells. Goes out: sets of cells, a number for each, level lines.
//!
//! A cell belongs to a region where its middle does. Everything here is exact to about a cell; no measured length
//! rests on it.

mod geodesic;
mod levels;

use super::{BoundingBox, Point, Region, Segment};

/// How far the chords of an arc may lie from it, as a share of a cell.
const SAGITTA: f64 = 0.02;

/// Square cells over a box, numbered row by row from the least corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Middle of the first cell.
    first: Point,
    /// Side of a cell, millimetres.
    side: f64,
    columns: usize,
    rows: usize,
}

/// Cells that are in or out, one entry a cell.
pub type Cells = Vec<bool>;

impl Grid {
    /// Cells over `bounds` and a rim of two round it, no smaller than `least` and about as many as `most` at most.
    #[must_use]
    pub fn over(bounds: &BoundingBox, least: f64, most: usize) -> Self {
        let side = (bounds.width() * bounds.height() / most.max(1) as f64)
            .sqrt()
            .max(bounds.width().max(bounds.height()) / most.max(1) as f64)
            .max(least);
        let count = |length: f64| whole((length / side).ceil()) + 5;
        Self {
            first: bounds.least - Point::new(2.0, 2.0) * side,
            side,
            columns: count(bounds.width()),
            rows: count(bounds.height()),
        }
    }

    /// How many cells.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.columns * self.rows
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Side of a cell, millimetres.
    #[must_use]
    pub const fn side(&self) -> f64 {
        self.side
    }

    /// Middle of a cell.
    #[must_use]
    pub fn middle(&self, cell: usize) -> Point {
        let (column, row) = (cell % self.columns, cell / self.columns);
        self.first + Point::new(column as f64, row as f64) * self.side
    }

    /// The cell whose middle is nearest.
    #[must_use]
    pub fn nearest(&self, point: Point) -> usize {
        let at = (point - self.first) * (1.0 / self.side);
        let column = whole(at.x.round()).min(self.columns - 1);
        column + whole(at.y.round()).min(self.rows - 1) * self.columns
    }

    /// The cells up, down, left and right of one, then those over its corners; none beyond the grid's edge.
    pub fn neighbours(&self, cell: usize) -> impl Iterator<Item = usize> + use<> {
        const STEPS: [(isize, isize); 8] = [
            (1, 0),
            (-1, 0),
            (0, 1),
            (0, -1),
            (1, 1),
            (1, -1),
            (-1, 1),
            (-1, -1),
        ];
        let grid = *self;
        STEPS
            .into_iter()
            .filter_map(move |(along, up)| grid.beside(cell, along, up))
    }

    /// Columns and rows from a cell to those left, right, down and up of it.
    pub const ASIDE: [(isize, isize); 4] = [(-1, 0), (1, 0), (0, -1), (0, 1)];

    /// The cells left, right, down and up of one; none beyond the grid's edge.
    pub fn aside(&self, cell: usize) -> impl Iterator<Item = usize> + use<> {
        let grid = *self;
        Self::ASIDE
            .into_iter()
            .filter_map(move |(along, up)| grid.beside(cell, along, up))
    }

    /// The cell so many columns and rows away.
    #[must_use]
    pub fn beside(&self, cell: usize, along: isize, up: isize) -> Option<usize> {
        let column = (cell % self.columns).checked_add_signed(along)?;
        let row = (cell / self.columns).checked_add_signed(up)?;
        (column < self.columns && row < self.rows).then_some(row * self.columns + column)
    }

    /// Columns and rows to every cell whose middle lies nearer than `radius`, the nearest first.
    #[must_use]
    pub fn disc(&self, radius: f64) -> Vec<(isize, isize)> {
        let reach = whole(radius / self.side).cast_signed();
        let mut found: Vec<(isize, isize)> = (-reach..=reach)
            .flat_map(|up| (-reach..=reach).map(move |along| (along, up)))
            .filter(|(along, up)| (*along as f64).hypot(*up as f64) * self.side < radius)
            .collect();
        found.sort_by_key(|(along, up)| along * along + up * up);
        found
    }

    /// The cells in a region: row by row, the crossings of its rings with the row through the cells' middles.
    #[must_use]
    pub fn fill(&self, region: &Region) -> Cells {
        let mut crossings: Vec<Vec<(f64, i32)>> = vec![Vec::new(); self.rows];
        for segment in region.segments() {
            let pieces = self.chords(segment);
            let mut from = segment.start();
            for piece in 1..=pieces {
                let to = if piece == pieces {
                    segment.end()
                } else {
                    segment.point_at(piece as f64 / pieces as f64)
                };
                self.cross(from, to, &mut crossings);
                from = to;
            }
        }
        let mut cells = vec![false; self.len()];
        for (row, crossings) in crossings.iter_mut().enumerate() {
            crossings.sort_by(|one, other| one.0.total_cmp(&other.0));
            let mut winding = 0;
            for pair in 0..crossings.len().saturating_sub(1) {
                winding += crossings[pair].1;
                if winding > 0 {
                    let column =
                        |x: f64| whole(((x - self.first.x) / self.side).ceil()).min(self.columns);
                    let (from, to) = (column(crossings[pair].0), column(crossings[pair + 1].0));
                    cells[row * self.columns + from..row * self.columns + to.max(from)].fill(true);
                }
            }
        }
        cells
    }

    /// How many chords stand for a segment.
    fn chords(&self, segment: &Segment) -> usize {
        match segment {
            Segment::Line(..) => 1,
            Segment::Arc(arc) => {
                let chord = (1.0 - SAGITTA * self.side / arc.radius).clamp(0.0, 1.0);
                whole((arc.sweep.abs() / (2.0 * chord.acos()).max(1e-3)).ceil()).max(1)
            }
        }
    }

    /// Notes where a line crosses the rows, its lower end counted in and its upper end out; an outer ring runs down on
    /// its left side, where the row enters it.
    fn cross(&self, from: Point, to: Point, crossings: &mut [Vec<(f64, i32)>]) {
        let (low, high, way) = if from.y <= to.y {
            (from, to, -1)
        } else {
            (to, from, 1)
        };
        let row = |y: f64| whole(((y - self.first.y) / self.side).ceil()).min(self.rows);
        let (first, last) = (row(low.y), row(high.y));
        for (row, crossings) in (first..last).zip(&mut crossings[first..last.max(first)]) {
            let y = self.first.y + row as f64 * self.side;
            let share = (y - low.y) / (high.y - low.y);
            crossings.push((low.x + (high.x - low.x) * share, way));
        }
    }

    /// From each cell's middle to the nearest middle in `cells`, infinite where there is none (P. Felzenszwalb and
    /// D. Huttenlocher, "Distance transforms of sampled functions", Theory of Computing 8, 2012, from memory).
    #[must_use]
    pub fn distance_to(&self, cells: &[bool]) -> Vec<f64> {
        let mut squares: Vec<f64> = cells
            .iter()
            .map(|is_in| if *is_in { 0.0 } else { f64::INFINITY })
            .collect();
        for column in 0..self.columns {
            let of_column: Vec<f64> = (0..self.rows)
                .map(|row| squares[row * self.columns + column])
                .collect();
            for (row, value) in lower_envelope(&of_column).into_iter().enumerate() {
                squares[row * self.columns + column] = value;
            }
        }
        for row in squares.chunks_mut(self.columns) {
            let found = lower_envelope(row);
            row.copy_from_slice(&found);
        }
        squares
            .iter()
            .map(|square| square.sqrt() * self.side)
            .collect()
    }

    /// What hangs together among `cells`, over corners too: a number for each, and how many there are.
    #[must_use]
    pub fn components(&self, cells: &[bool]) -> (Vec<Option<usize>>, usize) {
        let mut found = vec![None; self.len()];
        let mut count = 0;
        for first in 0..self.len() {
            if !cells[first] || found[first].is_some() {
                continue;
            }
            let mut open = vec![first];
            found[first] = Some(count);
            while let Some(cell) = open.pop() {
                for next in self.neighbours(cell) {
                    if cells[next] && found[next].is_none() {
                        found[next] = Some(count);
                        open.push(next);
                    }
                }
            }
            count += 1;
        }
        (found, count)
    }
}

/// The least of the parabolas that stand on `values`, at every place.
fn lower_envelope(values: &[f64]) -> Vec<f64> {
    // The parabolas that are lowest somewhere, each with where it begins to be.
    let mut lowest: Vec<(usize, f64)> = Vec::new();
    for (at, value) in values
        .iter()
        .enumerate()
        .filter(|(_, value)| value.is_finite())
    {
        let mut begins = f64::NEG_INFINITY;
        while let Some((other, from)) = lowest.last() {
            let (here, there) = (at as f64, *other as f64);
            begins =
                (value + here * here - values[*other] - there * there) / (2.0 * (here - there));
            if begins > *from {
                break;
            }
            lowest.pop();
            begins = f64::NEG_INFINITY;
        }
        lowest.push((at, begins));
    }
    let mut current = 0;
    (0..values.len())
        .map(|at| {
            let place = at as f64;
            while lowest.get(current + 1).is_some_and(|next| next.1 < place) {
                current += 1;
            }
            lowest.get(current).map_or(f64::INFINITY, |(other, _)| {
                let away = place - *other as f64;
                away * away + values[*other]
            })
        })
        .collect()
}

/// A count; nothing below 0.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturates at both ends"
)]
const fn whole(value: f64) -> usize {
    value as usize
}

#[cfg(test)]
mod tests {
    use super::super::Ring;
    use super::*;
    use proptest::prelude::*;

    fn plate_with_hole() -> Region {
        let plate = [[0.0, 0.0], [1500.0, 100.0], [1400.0, 900.0], [50.0, 800.0]];
        let plate = Ring::polygon(&plate.map(|[x, y]| Point::new(x, y)));
        let hole = Ring::circle(Point::new(600.0, 400.0), 210.0);
        Region::new(vec![plate, hole.reversed()])
    }

    #[test]
    fn a_cell_is_filled_where_its_middle_lies_inside() {
        let region = plate_with_hole();
        let grid = Grid::over(&region.bounding_box(), 1.0, 20_000);
        let cells = grid.fill(&region);
        for (cell, is_in) in cells.iter().enumerate() {
            let middle = grid.middle(cell);
            assert_eq!(grid.nearest(middle), cell);
            if region.boundary_distance(middle).to_mm() > SAGITTA * grid.side() {
                assert_eq!(*is_in, region.contains(middle), "{middle:?}");
            }
        }
        let area = cells.iter().filter(|is_in| **is_in).count() as f64 * grid.side().powi(2);
        assert!((area / region.area() - 1.0).abs() < 5e-3, "{area}");
    }

    #[test]
    fn distances_are_those_of_every_pair() {
        let grid = Grid::over(
            &BoundingBox::of_points([Point::ORIGIN, Point::new(100.0, 60.0)]),
            5.0,
            1000,
        );
        let cells: Cells = (0..grid.len()).map(|cell| cell % 61 == 17).collect();
        let found = grid.distance_to(&cells);
        for (cell, distance) in found.iter().enumerate() {
            let nearest = (0..grid.len())
                .filter(|other| cells[*other])
                .map(|other| grid.middle(other).distance(grid.middle(cell)))
                .fold(f64::INFINITY, f64::min);
            assert!((distance - nearest).abs() < 1e-9);
        }
        assert!(grid.distance_to(&vec![false; grid.len()])[0].is_infinite());
    }

    #[test]
    fn two_plates_are_two_parts() {
        let plates = [0.0, 500.0].map(|x| Ring::circle(Point::new(x, 0.0), 200.0));
        let region = Region::new(plates.to_vec());
        let grid = Grid::over(&region.bounding_box(), 1.0, 10_000);
        let (parts, count) = grid.components(&grid.fill(&region));
        assert_eq!(count, 2);
        let part_at = |x| parts[grid.nearest(Point::new(x, 0.0))];
        assert!(part_at(0.0).is_some() && part_at(0.0) != part_at(500.0));
        assert_eq!(part_at(250.0), None);
    }

    proptest! {
        #[test]
        fn no_box_makes_more_cells_than_asked_for(
            width in 0.0..1e7_f64, height in 0.0..1e7_f64, most in 100..50_000_usize,
        ) {
            let bounds = BoundingBox::of_points([Point::ORIGIN, Point::new(width, height)]);
            let grid = Grid::over(&bounds, 5.0, most);
            prop_assert!(grid.len() <= 4 * most + 11 * (most + 6), "{}", grid.len());
        }
    }
}
