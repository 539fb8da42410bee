//! Where a region, or a line, is furthest from another region. Comes in: the two, and how near the answer has to be. Goes
//! out: a place that no other outdoes by more than that.
//!
//! Branch and bound ([`best_first`](super::best_first)) over square cells and over stretches of line, bounded in two
//! ways. Nothing is further off than a place that was measured and the way from there: a distance changes no faster than
//! one moves. And nothing is further from the *nearer* of two points of the target than the root mean square of its
//! distances from both, which along an even band, where the first bound never closes, closes with the square of the size.
//!
//! A place inside a region that is further off than all around it has points of the target on all sides of it, none
//! nearer than the others; a cell across from whose nearest point there is nothing as near holds no such place. What is
//! furthest without being such a place lies on the region's boundary, and that is a line.

use super::best_first::{Part, Search, Sight, Target};
use super::{Boundary, Point, Region, Segment, TOUCH};
use crate::units::Length;

/// A place and what is nearest to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Furthest {
    /// The place.
    pub at: Point,
    /// The point nearest to it of what it is far from.
    pub nearest: Point,
    /// How far that is.
    pub distance: Length,
}

impl From<Sight> for Furthest {
    fn from(sight: Sight) -> Self {
        Self {
            at: sight.at,
            nearest: sight.near,
            distance: Length::mm(sight.off),
        }
    }
}

/// No finer than the grid that decides topology.
pub(super) fn precision_of(asked: Length) -> f64 {
    asked.to_mm().max(1e-6)
}

impl Region {
    /// The place of this region that is furthest from `other`, to within `precision`; none where all of it lies in
    /// `other` or where either is empty.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use spile::units::Length;
    ///
    /// let square = |side: f64| {
    ///     let corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)];
    ///     Region::inside(Ring::polygon(&corners.map(|(x, y)| Point::new(x, y))))
    /// };
    /// let far = square(500.0).furthest_from(&square(200.0), Length::mm(0.01)).unwrap();
    /// assert!((far.distance.to_mm() - 300.0 * 2.0_f64.sqrt()).abs() <= 0.01);
    /// assert_eq!(far.nearest, Point::new(200.0, 200.0));
    /// ```
    #[must_use]
    pub fn furthest_from(&self, other: &Self, precision: Length) -> Option<Furthest> {
        let (within, boundary) = (self.boundary(), other.boundary());
        let target = || Target {
            boundary: &boundary,
            is_outside: false,
        };
        let precision = precision_of(precision);
        // A cell across the boundary is done with when the way to the boundary is short beside what is left.
        let on_boundary = along(target(), precision / 2.0, self.segments());
        let search = Search::new(target(), precision, on_boundary);
        in_cells(search, self, Some(&within)).and_then(outside)
    }
}

/// The place of some segments that is furthest from the region with this boundary, to within `precision`; none where all of them lie in it or
/// where there is nothing to look at.
#[must_use]
pub fn furthest_along<'a>(
    segments: impl IntoIterator<Item = &'a Segment>,
    region: &Boundary<'_>,
    precision: Length,
) -> Option<Furthest> {
    let target = Target {
        boundary: region,
        is_outside: false,
    };
    along(target, precision_of(precision), segments).and_then(outside)
}

/// A place that is off the target by more than rounding.
fn outside(sight: Sight) -> Option<Furthest> {
    (sight.off > TOUCH).then(|| Furthest::from(sight))
}

/// Searches the box of a region, whose boundary is `within`, cell by cell; where there is no such, everything but the target.
pub(super) fn in_cells<'a>(
    mut search: Search<'_, Cell<'a>>,
    region: &Region,
    within: Option<&'a Boundary<'a>>,
) -> Option<Sight> {
    let bounds = region.bounding_box();
    let side = bounds.width().min(bounds.height());
    if !region.rings().is_empty() && side > 0.0 {
        let half = side / 2.0;
        let mut y = bounds.least.y + half;
        while y - half < bounds.greatest.y {
            let mut x = bounds.least.x + half;
            while x - half < bounds.greatest.x {
                Cell::look(Point::new(x, y), half, within, &mut search);
                x += side;
            }
            y += side;
        }
    }
    search.run()
}

fn along<'a>(
    target: Target<'_>,
    precision: f64,
    segments: impl IntoIterator<Item = &'a Segment>,
) -> Option<Sight> {
    let mut search = Search::new(target, precision, None);
    for segment in segments {
        let ends = [0.0, 1.0].map(|share| search.target.seen_from(segment.point_at(share)));
        if let [Some(start), Some(end)] = ends {
            search.offer(start);
            search.offer(end);
            search.keep(Run::between(*segment, start, end));
        }
    }
    search.run()
}

/// A square cell.
#[derive(Clone, Copy)]
pub(super) struct Cell<'a> {
    middle: Point,
    half: f64,
    bound: f64,
    within: Option<&'a Boundary<'a>>,
}

impl<'a> Cell<'a> {
    /// Measures a cell at its middle, and keeps it where it may hold more than is known.
    fn look(
        middle: Point,
        half: f64,
        within: Option<&'a Boundary<'a>>,
        search: &mut Search<'_, Self>,
    ) {
        let Some(sight) = search.target.seen_from(middle) else {
            return;
        };
        let reach = half * std::f64::consts::SQRT_2;
        let is_within = within.is_none_or(|within| within.contains(middle));
        if is_within {
            search.offer(sight);
        }
        let Sight { near, off, .. } = sight;
        let mut bound = off + reach;
        if !search.is_worth(bound) {
            return;
        }
        // The target across from the nearest point.
        let across = middle + (middle - near);
        if let Some(far) = search.target.boundary.nearest_point(across) {
            let from_both = near.towards(far, 0.5).distance(middle) + reach;
            bound = bound.min(from_both.hypot(near.distance(far) / 2.0));
            // A place p of this cell that is further off than all around it has a nearest point x of the target for which
            // (x - p) looks away from `near`, and x lies no further from the middle than `off` + 2 `reach`. Of such points
            // none is further from `across` than this.
            let most = 2.0f64.mul_add(reach, off);
            let aside = 2.0f64.mul_add(off * reach, off * off);
            let furthest_across = most.mul_add(most, aside).sqrt();
            if off > 0.0 && far.distance(across) > furthest_across {
                return;
            }
        }
        if !search.is_worth(bound) {
            return;
        }
        if let Some(within) = within
            && !is_within
        {
            match within.nearest_point(middle) {
                Some(edge) if edge.distance(middle) <= reach => {
                    if let Some(sight) = search.target.seen_from(edge) {
                        search.offer(sight);
                    }
                }
                _ => return,
            }
        }
        search.keep(Self {
            middle,
            half,
            bound,
            within,
        });
    }
}

impl Part for Cell<'_> {
    fn bound(&self) -> f64 {
        self.bound
    }

    fn key(&self) -> [f64; 3] {
        [self.half, -self.middle.x, -self.middle.y]
    }

    fn divide(&self, search: &mut Search<'_, Self>) {
        let half = self.half / 2.0;
        for (x, y) in [(-half, -half), (half, -half), (-half, half), (half, half)] {
            Self::look(self.middle + Point::new(x, y), half, self.within, search);
        }
    }
}

/// A stretch of a line or an arc, its ends measured.
#[derive(Clone, Copy)]
struct Run {
    segment: Segment,
    start: Sight,
    end: Sight,
    bound: f64,
}

impl Run {
    fn between(segment: Segment, start: Sight, end: Sight) -> Self {
        let mut bound = f64::midpoint(start.off, end.off) + segment.length() / 2.0;
        // No point is further from its chord than its sagitta.
        let sagitta = match segment {
            Segment::Line(..) => Some(0.0),
            Segment::Arc(arc) if arc.sweep.abs() < std::f64::consts::PI => {
                Some(arc.radius * (1.0 - (arc.sweep / 2.0).cos()))
            }
            Segment::Arc(_) => None,
        };
        if let Some(sagitta) = sagitta {
            let between = start.near.towards(end.near, 0.5);
            let furthest = between.distance(start.at).max(between.distance(end.at)) + sagitta;
            bound = bound.min(furthest.hypot(start.near.distance(end.near) / 2.0));
        }
        Self {
            segment,
            start,
            end,
            bound,
        }
    }
}

impl Part for Run {
    fn bound(&self) -> f64 {
        self.bound
    }

    fn key(&self) -> [f64; 3] {
        [self.segment.length(), -self.start.at.x, -self.start.at.y]
    }

    fn divide(&self, search: &mut Search<'_, Self>) {
        let Some(middle) = search.target.seen_from(self.segment.point_at(0.5)) else {
            return;
        };
        search.offer(middle);
        search.keep(Self::between(
            self.segment.part(0.0, 0.5),
            self.start,
            middle,
        ));
        search.keep(Self::between(self.segment.part(0.5, 1.0), middle, self.end));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::{Arc, Ring};

    const PRECISION: Length = Length::mm(0.01);

    fn rectangle(from: (f64, f64), to: (f64, f64)) -> Region {
        let corners = [from, (to.0, from.1), to, (from.0, to.1)];
        Region::inside(Ring::polygon(&corners.map(|(x, y)| Point::new(x, y))))
    }

    fn disc(x: f64, y: f64, radius: f64) -> Region {
        Region::inside(Ring::circle(Point::new(x, y), radius))
    }

    fn is_off(region: &Region, other: &Region, expected: f64) -> Furthest {
        let found = region
            .furthest_from(other, PRECISION)
            .expect("some of it lies outside");
        let distance = found.distance.to_mm();
        assert!(
            (distance - expected).abs() <= 0.01 + 1e-9,
            "{distance} for {expected}"
        );
        assert!((found.at.distance(found.nearest) - distance).abs() < 1e-9);
        found
    }

    #[test]
    fn the_furthest_place_of_what_has_a_closed_form() {
        // Half way between two halves of a plate, a strip of 60 apart.
        let plate = rectangle((0.0, 0.0), (3000.0, 1000.0));
        let left = rectangle((0.0, 0.0), (1470.0, 1000.0));
        let right = rectangle((1530.0, 0.0), (3000.0, 1000.0));
        is_off(&plate, &left.union(&[&right]), 30.0);
        // The corner of a square round a disc.
        let square = rectangle((-500.0, -500.0), (500.0, 500.0));
        is_off(
            &square,
            &disc(0.0, 0.0, 300.0),
            500.0 * 2.0_f64.sqrt() - 300.0,
        );
        // The corner of a margin of 60 all round.
        is_off(
            &square,
            &square.eroded(Length::mm(60.0)),
            60.0 * 2.0_f64.sqrt(),
        );
        // A disc in a disc, off its middle: on the far side.
        let found = is_off(&disc(0.0, 0.0, 900.0), &disc(100.0, 0.0, 400.0), 600.0);
        assert!(found.at.distance(Point::new(-900.0, 0.0)) < 10.0);
        // The middle of the hole of a ring.
        let ring = disc(5.0, 7.0, 800.0).difference(&[&disc(5.0, 7.0, 350.0)]);
        let found = is_off(&disc(5.0, 7.0, 800.0), &ring, 350.0);
        assert!(found.at.distance(Point::new(5.0, 7.0)) <= 0.02);
        // One that reaches across the edge: what is furthest lies on the edge, but at no corner of it.
        is_off(
            &rectangle((0.0, 0.0), (1000.0, 100.0)),
            &disc(0.0, 0.0, 200.0).union(&[&disc(1000.0, 0.0, 200.0)]),
            500.0_f64.hypot(100.0) - 200.0,
        );
    }

    #[test]
    fn an_even_margin_ten_metres_long_takes_no_longer_than_a_corner() {
        let plate = disc(0.0, 0.0, 2000.0).union(&[&rectangle((0.0, -2000.0), (9000.0, 2000.0))]);
        let shrunk = plate.eroded(Length::mm(60.0));
        let start = std::time::Instant::now();
        is_off(&plate, &shrunk, 60.0 * 2.0_f64.sqrt());
        let round = disc(0.0, 0.0, 2000.0);
        is_off(&round, &round.eroded(Length::mm(60.0)), 60.0);
        assert!(start.elapsed().as_secs() < 5);
    }

    #[test]
    fn a_line_is_furthest_where_it_is_furthest() {
        let discs = disc(0.0, 0.0, 200.0).union(&[&disc(1000.0, 0.0, 300.0)]);
        let line = Segment::Line(Point::new(-100.0, 0.0), Point::new(1100.0, 0.0));
        let found =
            furthest_along([&line], &discs.boundary(), PRECISION).expect("some of it lies outside");
        assert!((found.distance.to_mm() - 250.0).abs() <= 0.01);
        assert!(found.at.distance(Point::new(450.0, 0.0)) <= 0.02);
        // Half a circle round the first disc, a hundred off it.
        let arc = Segment::Arc(Arc::about(Point::ORIGIN, 300.0, 0.4, -5.0));
        let one = disc(0.0, 0.0, 200.0);
        let found = furthest_along([&arc], &one.boundary(), PRECISION).expect("outside");
        assert!((found.distance.to_mm() - 100.0).abs() <= 0.01);
        let inside = Segment::Line(Point::new(-100.0, 0.0), Point::new(100.0, 0.0));
        assert_eq!(
            furthest_along([&inside], &discs.boundary(), PRECISION),
            None
        );
    }

    #[test]
    fn nothing_is_far_from_nothing() {
        let disc = disc(0.0, 0.0, 100.0);
        assert_eq!(disc.furthest_from(&Region::default(), PRECISION), None);
        assert_eq!(Region::default().furthest_from(&disc, PRECISION), None);
        assert_eq!(disc.furthest_from(&disc, PRECISION), None);
    }
}
