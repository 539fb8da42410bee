//! Where a number given for each cell passes a level: marching squares over the cells' middles (W. Lorensen and H. Cline,
//! "Marching cubes", SIGGRAPH 1987, in the plane, from memory).

use std::collections::BTreeMap;

use super::Grid;
use crate::shape::{Point, Region, Ring};

/// A side between two cells' middles: the cell at its lower or left end, and whether it stands upright.
type Side = (usize, bool);

impl Grid {
    /// Where `value` is more than `level`, bounded by straight pieces between the cells' middles; beyond the grid it
    /// is less.
    #[must_use]
    pub fn above(&self, value: &[f64], level: f64) -> Region {
        // The grid's outermost cells count as below, so that every line closes.
        let height = |cell: usize| {
            let (column, row) = (cell % self.columns, cell / self.columns);
            let is_rim =
                column == 0 || row == 0 || column + 1 == self.columns || row + 1 == self.rows;
            if is_rim {
                f64::NEG_INFINITY
            } else {
                value[cell]
            }
        };
        let mut next: BTreeMap<Side, Side> = BTreeMap::new();
        for row in 0..self.rows.saturating_sub(1) {
            for column in 0..self.columns.saturating_sub(1) {
                let a = row * self.columns + column;
                let corners = [a, a + 1, a + 1 + self.columns, a + self.columns];
                let sides = [
                    (a, false),
                    (a + 1, true),
                    (a + self.columns, false),
                    (a, true),
                ];
                let is_above = corners.map(|corner| height(corner) > level);
                // Counter-clockwise round the square a line leaves where the corners go from above to below and comes
                // in where they rise: what is above stays on its left.
                for (index, side) in sides.iter().enumerate() {
                    if !is_above[index] || is_above[(index + 1) % 4] {
                        continue;
                    }
                    // A saddle parts what is above: each corner has a line of its own.
                    let rises = (1..4)
                        .map(|back| (index + 4 - back) % 4)
                        .find(|other| !is_above[*other] && is_above[(other + 1) % 4]);
                    if let Some(rises) = rises {
                        next.insert(*side, sides[rises]);
                    }
                }
            }
        }
        let point = |(cell, is_upright): Side| {
            let other = if is_upright {
                cell + self.columns
            } else {
                cell + 1
            };
            let (one, two) = (height(cell), height(other));
            let share = (level - one) / (two - one);
            // Beside the rim, or what has no number, half a cell off.
            let share = if share.is_finite() && one.is_finite() && two.is_finite() {
                share.clamp(0.001, 0.999)
            } else {
                0.5
            };
            self.middle(cell).towards(self.middle(other), share)
        };
        let mut rings = Vec::new();
        while let Some((first, mut at)) = next.pop_first() {
            let mut points: Vec<Point> = vec![point(first)];
            while at != first {
                points.push(point(at));
                match next.remove(&at) {
                    Some(following) => at = following,
                    None => break,
                }
            }
            if points.len() > 2 {
                rings.push(Ring::polygon(&points));
            }
        }
        Region::new(rings)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::BoundingBox;

    #[test]
    fn the_level_of_a_cone_is_a_circle_and_what_is_above_lies_inside() {
        let bounds = BoundingBox::of_points([Point::ORIGIN, Point::new(1000.0, 1000.0)]);
        let grid = Grid::over(&bounds, 1.0, 40_000);
        let top = Point::new(480.0, 510.0);
        let away: Vec<f64> = (0..grid.len())
            .map(|cell| grid.middle(cell).distance(top))
            .collect();
        let cone: Vec<f64> = away.iter().map(|away| -away).collect();
        let disc = grid.above(&cone, -300.0);
        let area = std::f64::consts::PI * 300.0 * 300.0;
        assert_eq!(disc.rings().len(), 1);
        assert!((disc.area() / area - 1.0).abs() < 1e-3, "{}", disc.area());
        // The other way about it is a hole in all the rest.
        let rest = grid.above(&away, 300.0);
        assert_eq!(rest.rings().len(), 2);
        assert!(rest.rings().iter().any(|ring| ring.signed_area() < 0.0));
        assert!(!rest.contains(top) && rest.contains(Point::new(50.0, 50.0)));
    }

    #[test]
    fn saddles_part_what_is_above() {
        let bounds = BoundingBox::of_points([Point::ORIGIN, Point::new(30.0, 30.0)]);
        let grid = Grid::over(&bounds, 10.0, 1000);
        let mut value = vec![0.0; grid.len()];
        let one = grid.nearest(Point::new(10.0, 10.0));
        value[one] = 1.0;
        value[grid.nearest(Point::new(20.0, 20.0))] = 1.0;
        let found = grid.above(&value, 0.5);
        assert_eq!(found.rings().len(), 2);
        assert!(found.rings().iter().all(|ring| ring.signed_area() > 0.0));
    }
}
