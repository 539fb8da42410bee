//! The largest disc that fits into a region. Comes in: a region and how near the answer has to be. Goes out: a disc in
//! it that no other outdoes by more than that.
//!
//! Branch and bound over square cells, the most promising first (A. H. Land and A. G. Doig, "An automatic method of
//! solving discrete programming problems", Econometrica 28, 1960, from memory). A cell is bounded in two ways: nothing in
//! it is further from the boundary than its middle by more than its half diagonal; and nothing in it is further from the
//! *nearer* of two points of the boundary than the root mean square of its distances from both, which along a band of
//! even width, where the first bound never closes, closes with the square of the cell's size.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::{Boundary, Point, Region};
use crate::units::Length;

/// A disc.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disc {
    /// Its centre.
    pub centre: Point,
    /// Its radius.
    pub radius: Length,
}

/// A square cell and the largest radius that a disc about one of its points can have.
struct Cell {
    middle: Point,
    half: f64,
    bound: f64,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Cell {}

impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Cell {
    fn cmp(&self, other: &Self) -> Ordering {
        // Where two promise the same, always the same one first.
        let key = |cell: &Self| [cell.bound, cell.half, -cell.middle.x, -cell.middle.y];
        let (mine, theirs) = (key(self), key(other));
        let each = mine.iter().zip(&theirs).map(|(a, b)| a.total_cmp(b));
        each.fold(Ordering::Equal, Ordering::then)
    }
}

impl Region {
    /// The largest disc that fits into the region, to within `precision` of its radius; none where the region is empty.
    /// Of several as large, always the same one.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use spile::units::Length;
    ///
    /// // The inscribed circle of a right triangle with legs 3 and 4: (3 + 4 - 5) / 2.
    /// let triangle = [(0.0, 0.0), (400.0, 0.0), (0.0, 300.0)].map(|(x, y)| Point::new(x, y));
    /// let disc = Region::inside(Ring::polygon(&triangle)).widest_disc(Length::mm(0.01)).unwrap();
    /// assert!((disc.radius.to_mm() - 100.0).abs() <= 0.01);
    /// ```
    #[must_use]
    pub fn widest_disc(&self, precision: Length) -> Option<Disc> {
        let boundary = self.boundary();
        let bounds = self.bounding_box();
        let side = bounds.width().min(bounds.height());
        if self.rings().is_empty() || side <= 0.0 {
            return None;
        }
        // No finer than the grid that decides topology.
        let precision = precision.to_mm().max(1e-6);
        let half = side / 2.0;
        let mut search = Search {
            boundary: &boundary,
            best: None,
            precision,
            cells: BinaryHeap::new(),
        };
        let mut y = bounds.least.y + half;
        while y - half < bounds.greatest.y {
            let mut x = bounds.least.x + half;
            while x - half < bounds.greatest.x {
                search.look_at(Point::new(x, y), half);
                x += side;
            }
            y += side;
        }
        search.run()
    }
}

struct Search<'a> {
    boundary: &'a Boundary<'a>,
    best: Option<Disc>,
    precision: f64,
    cells: BinaryHeap<Cell>,
}

impl Search<'_> {
    fn known(&self) -> f64 {
        self.best.map_or(0.0, |disc| disc.radius.to_mm())
    }

    /// Measures a cell at its middle, and keeps it where it may hold more than is known.
    fn look_at(&mut self, middle: Point, half: f64) {
        let Some(near) = self.boundary.nearest_point(middle) else {
            return;
        };
        let distance = middle.distance(near);
        let is_inside = self.boundary.contains(middle);
        if is_inside && distance > self.known() {
            self.best = Some(Disc {
                centre: middle,
                radius: Length::mm(distance),
            });
        }
        let reach = half * std::f64::consts::SQRT_2;
        let mut bound = if is_inside {
            distance + reach
        } else {
            reach - distance
        };
        if bound > self.known() + self.precision {
            // The boundary across from the nearest point.
            let across = middle + (middle - near);
            if let Some(far) = self.boundary.nearest_point(across) {
                let off = near.towards(far, 0.5).distance(middle) + reach;
                bound = bound.min(off.hypot(near.distance(far) / 2.0));
            }
        }
        if bound > self.known() + self.precision {
            self.cells.push(Cell {
                middle,
                half,
                bound,
            });
        }
    }

    fn run(mut self) -> Option<Disc> {
        while let Some(cell) = self.cells.pop() {
            if cell.bound <= self.known() + self.precision {
                break;
            }
            let half = cell.half / 2.0;
            for (x, y) in [(-half, -half), (half, -half), (-half, half), (half, half)] {
                self.look_at(cell.middle + Point::new(x, y), half);
            }
        }
        self.best
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Ring;

    fn fits(region: &Region, expected: f64) {
        let precision = 0.01;
        let disc = region
            .widest_disc(Length::mm(precision))
            .expect("something fits");
        let radius = disc.radius.to_mm();
        assert!(
            (radius - expected).abs() <= precision + 1e-9,
            "{radius} for {expected}"
        );
        // It is a disc of the region.
        assert!(region.contains(disc.centre));
        assert!((region.boundary().distance(disc.centre).to_mm() - radius).abs() < 1e-9);
    }

    fn rectangle(from: (f64, f64), to: (f64, f64)) -> Ring {
        let corners = [from, (to.0, from.1), to, (from.0, to.1)];
        Ring::polygon(&corners.map(|(x, y)| Point::new(x, y)))
    }

    #[test]
    fn the_widest_place_of_what_has_a_closed_form() {
        // The inscribed circle of a triangle is its area by half its perimeter (Euclid, Elements IV.4).
        let sides = [(0.0, 0.0), (1300.0, 0.0), (500.0, 1200.0)].map(|(x, y)| Point::new(x, y));
        let triangle = Region::inside(Ring::polygon(&sides));
        fits(&triangle, 2.0 * triangle.area() / triangle.perimeter());
        fits(
            &Region::inside(Ring::circle(Point::new(30.0, -7.0), 250.0)),
            250.0,
        );
        // An even band: a ring between two circles about one centre.
        let hole = Ring::circle(Point::ORIGIN, 940.0);
        let band = Region::inside(Ring::circle(Point::ORIGIN, 1000.0));
        fits(&band.difference(&[&Region::inside(hole)]), 30.0);
        // Between a corner of a square and a disc in its middle: (√2 a - r) / (1 + √2), with a half the side.
        let square = Region::inside(rectangle((-500.0, -500.0), (500.0, 500.0)));
        let disc = Region::inside(Ring::circle(Point::ORIGIN, 300.0));
        let root = std::f64::consts::SQRT_2;
        fits(
            &square.difference(&[&disc]),
            (root * 500.0 - 300.0) / (1.0 + root),
        );
    }

    #[test]
    fn an_even_band_ten_metres_long_is_measured_in_a_few_thousand_looks() {
        // What the first bound alone would take 10 m / 0.01 mm looks for.
        let band = Region::inside(rectangle((0.0, 0.0), (10_000.0, 60.0)));
        let start = std::time::Instant::now();
        fits(&band, 30.0);
        let ring = Region::inside(rectangle((0.0, 0.0), (10_000.0, 3000.0)));
        let hole = Region::inside(rectangle((60.0, 60.0), (9940.0, 2940.0)));
        // Its corners are wider: from the outer corner 60√2 on the diagonal to the inner one.
        let root = std::f64::consts::SQRT_2;
        fits(&ring.difference(&[&hole]), 60.0 * root / (1.0 + root));
        assert!(start.elapsed().as_secs() < 5);
    }

    #[test]
    fn it_is_as_wide_as_the_last_erosion_that_leaves_something() {
        let shape = Region::inside(rectangle((0.0, 0.0), (1500.0, 700.0))).difference(&[
            &Region::inside(Ring::circle(Point::new(500.0, 300.0), 200.0)),
            &Region::inside(rectangle((900.0, 350.0), (1100.0, 700.0))),
        ]);
        let radius = shape
            .widest_disc(Length::mm(0.01))
            .expect("something fits")
            .radius
            .to_mm();
        assert!(shape.eroded(Length::mm(radius - 0.05)).area() > 0.0);
        assert!(shape.eroded(Length::mm(radius + 0.05)).area() == 0.0);
    }

    #[test]
    fn nothing_fits_into_nothing() {
        assert_eq!(Region::default().widest_disc(Length::mm(0.1)), None);
    }
}
