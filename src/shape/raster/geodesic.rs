//! How far it is to each cell on a way that stays inside: fast marching of second order (J. Sethian, "A fast marching level
//! set method", PNAS 93, 1996, and "Fast marching methods", SIAM Review 41, 1999, from memory). Level lines come out as
//! smooth as the true ones, where steps from cell to cell would make them polygons.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::Grid;
use crate::shape::Point;

/// Round a seed, cells this near are measured straight: there the front bends more than the formula follows.
const STRAIGHT: f64 = 10.0;

/// A cell and what it waits with, the least first.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Front(f64, usize);

impl Eq for Front {}

impl PartialOrd for Front {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Front {
    fn cmp(&self, other: &Self) -> Ordering {
        other.0.total_cmp(&self.0).then(other.1.cmp(&self.1))
    }
}

impl Grid {
    /// Distance to each of `free` from the nearest of `seeds` on ways inside `free`; infinite where none leads there,
    /// and on other cells.
    #[must_use]
    pub fn geodesic(&self, free: &[bool], seeds: &[Point]) -> Vec<f64> {
        let mut start = vec![f64::INFINITY; self.len()];
        let near = self.disc(STRAIGHT * self.side);
        for seed in seeds {
            let home = self.nearest(*seed);
            for (along, up) in &near {
                let Some(cell) = self.beside(home, *along, *up) else {
                    continue;
                };
                if free[cell] && self.sees(free, home, (*along, *up)) {
                    start[cell] = self.middle(cell).distance(*seed).min(start[cell]);
                }
            }
        }
        self.spread(free, start)
    }

    /// Whether every cell on the straight way from `home` is free.
    fn sees(&self, free: &[bool], home: usize, (along, up): (isize, isize)) -> bool {
        let steps = 2 * along.abs().max(up.abs());
        (1..=steps).all(|step| {
            let part = |whole: isize| {
                let doubled = 2 * whole * step + steps;
                doubled.div_euclid(2 * steps)
            };
            self.beside(home, part(along), part(up))
                .is_some_and(|cell| free[cell])
        })
    }

    /// Goes on from cells whose distance is known, those in `known` that are finite, to all of `free`.
    #[must_use]
    pub fn spread(&self, free: &[bool], known: Vec<f64>) -> Vec<f64> {
        // What is known stays as it is: the formula would make it a little less.
        let is_known: Vec<bool> = known.iter().map(|value| value.is_finite()).collect();
        let mut value = known;
        let mut is_done = vec![false; self.len()];
        let mut open: BinaryHeap<Front> = value
            .iter()
            .enumerate()
            .filter(|(_, value)| value.is_finite())
            .map(|(cell, value)| Front(*value, cell))
            .collect();
        while let Some(Front(_, cell)) = open.pop() {
            if std::mem::replace(&mut is_done[cell], true) {
                continue;
            }
            for next in self.aside(cell) {
                if !free[next] || is_known[next] || is_done[next] {
                    continue;
                }
                let found = self.arrival(&value, &is_done, next);
                if found < value[next] {
                    value[next] = found;
                    open.push(Front(found, next));
                }
            }
        }
        value
    }

    /// When the front comes to a cell: the root of the sum of squared one-sided differences along both axes.
    fn arrival(&self, value: &[f64], is_done: &[bool], cell: usize) -> f64 {
        let at = |along, up| {
            self.beside(cell, along, up)
                .filter(|other| is_done[*other])
                .map(|other| value[other])
        };
        // Each axis gives (weight, base): the difference is weight · (T - base) / side.
        let axis = |step: &dyn Fn(isize) -> Option<f64>| {
            let sides = [1, -1].into_iter().filter_map(|way| {
                let near = step(way)?;
                Some((near, step(2 * way).filter(|far| *far <= near)))
            });
            sides
                .min_by(|one, other| one.0.total_cmp(&other.0))
                .map(|(near, far)| match far {
                    Some(far) => (1.5, (4.0 * near - far) / 3.0, near),
                    None => (1.0, near, near),
                })
        };
        let axes = [axis(&|by| at(by, 0)), axis(&|by| at(0, by))];
        let alone = |one: Option<(f64, f64, f64)>| {
            one.map_or(f64::INFINITY, |(weight, base, _)| base + self.side / weight)
        };
        let least = alone(axes[0]).min(alone(axes[1]));
        let [Some(one), Some(other)] = axes else {
            return least;
        };
        let squares = [one, other].map(|(weight, _, _)| weight * weight);
        let a = squares[0] + squares[1];
        let b = squares[0] * one.1 + squares[1] * other.1;
        let c = squares[0] * one.1 * one.1 + squares[1] * other.1 * other.1 - self.side * self.side;
        let root = b * b - a * c;
        let both = (b + root.max(0.0).sqrt()) / a;
        // Only where the front comes from both sides.
        if root >= 0.0 && both >= one.2.max(other.2) {
            both
        } else {
            least
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::shape::{Point, Region, Ring};

    use super::super::Grid;

    fn rectangle(from: [f64; 2], to: [f64; 2]) -> Region {
        let corners = [from, [to[0], from[1]], to, [from[0], to[1]]];
        Region::inside(Ring::polygon(&corners.map(|[x, y]| Point::new(x, y))))
    }

    fn distances(region: &Region, seed: Point) -> (Grid, Vec<f64>) {
        let grid = Grid::over(&region.bounding_box(), 1.0, 40_000);
        let free = grid.fill(region);
        let found = grid.geodesic(&free, &[seed]);
        (grid, found)
    }

    #[test]
    fn in_the_open_it_is_the_straight_line_in_every_direction() {
        let (grid, found) = distances(
            &rectangle([0.0, 0.0], [4000.0, 3000.0]),
            Point::new(713.0, 911.0),
        );
        let (mut count, mut worst) = (0, 0.0_f64);
        for (cell, found) in found
            .iter()
            .enumerate()
            .filter(|(_, found)| found.is_finite())
        {
            let straight = grid.middle(cell).distance(Point::new(713.0, 911.0));
            if straight > 5.0 * grid.side() {
                worst = worst.max((found / straight - 1.0).abs());
                count += 1;
            }
        }
        assert!(count > 30_000, "{count}");
        assert!(worst < 0.01, "{worst}");
    }

    #[test]
    fn round_a_corner_it_is_the_sum_of_two_straight_lines() {
        // A wall from the lower edge up to the corner (2000, 2000).
        let region = rectangle([0.0, 0.0], [4000.0, 3000.0])
            .difference(&[&rectangle([1990.0, -1.0], [2010.0, 2000.0])]);
        let seed = Point::new(500.0, 300.0);
        let (grid, found) = distances(&region, seed);
        for to in [[3500.0, 200.0], [2400.0, 1000.0], [3900.0, 1500.0]] {
            let to = Point::new(to[0], to[1]);
            let corners = [Point::new(1990.0, 2000.0), Point::new(2010.0, 2000.0)];
            let way = seed.distance(corners[0]) + 20.0 + corners[1].distance(to);
            let found = found[grid.nearest(to)];
            assert!((found / way - 1.0).abs() < 0.015, "{found} for {way}");
        }
    }

    #[test]
    fn behind_a_wall_there_is_no_way() {
        let region = rectangle([0.0, 0.0], [1000.0, 500.0])
            .difference(&[&rectangle([480.0, -1.0], [520.0, 501.0])]);
        let (grid, found) = distances(&region, Point::new(100.0, 100.0));
        assert!(found[grid.nearest(Point::new(900.0, 250.0))].is_infinite());
        assert!(found[grid.nearest(Point::new(400.0, 450.0))].is_finite());
    }
}
