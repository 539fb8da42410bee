//! The largest disc that fits into a region. Comes in: a region and how near the answer has to be. Goes out: a disc in
//! it that no other outdoes by more than that: its centre is the place furthest from everything outside
//! ([`furthest`](super::furthest)).

use super::best_first::{Search, Target};
use super::{Point, Region, furthest};
use crate::units::Length;

/// A disc.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disc {
    /// Its centre.
    pub centre: Point,
    /// Its radius.
    pub radius: Length,
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
        let outside = Target {
            boundary: &boundary,
            is_outside: true,
        };
        let search = Search::new(outside, furthest::precision_of(precision), None);
        furthest::in_cells(search, self, None).map(|sight| Disc {
            centre: sight.at,
            radius: Length::mm(sight.off),
        })
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
