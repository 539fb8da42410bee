//! A boundary prepared for many questions: what lies near a place, how far it is to something, whether
//! a point is inside. Comes in: a region or some rings. Goes out: the answers, each found without
//! looking at the whole boundary.

use super::inside::segment_winding;
use super::rows::Rows;
use super::{BoundingBox, Nearest, Point, Region, Ring, Segment};
use crate::units::Length;

/// The segments of some rings, sorted by where they lie.
///
/// ```
/// use spile::shape::{Boundary, Point, Region, Ring};
///
/// let disc = Region::inside(Ring::circle(Point::new(0.0, 0.0), 100.0));
/// let boundary = Boundary::of(disc.rings());
/// assert_eq!(boundary.distance(Point::new(250.0, 0.0)).to_mm(), 150.0);
/// assert!(boundary.contains(Point::new(60.0, 60.0)));
/// ```
#[derive(Debug, Clone)]
pub struct Boundary<'a> {
    rings: Vec<&'a Ring>,
    segments: Vec<&'a Segment>,
    owners: Vec<Owner>,
    rows: Rows,
}

/// Which segment of which ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Owner {
    /// The ring, by its place among those given.
    pub ring: usize,
    /// The segment, by its place in the ring.
    pub segment: usize,
}

impl<'a> Boundary<'a> {
    /// Prepares the boundary that `rings` make together.
    #[must_use]
    pub fn of(rings: impl IntoIterator<Item = &'a Ring>) -> Self {
        let rings: Vec<&Ring> = rings.into_iter().collect();
        let mut segments = Vec::new();
        let mut owners = Vec::new();
        let mut boxes = Vec::new();
        for (ring, one) in rings.iter().enumerate() {
            for (index, segment) in one.segments().iter().enumerate() {
                segments.push(segment);
                boxes.push(segment.bounding_box());
                owners.push(Owner {
                    ring,
                    segment: index,
                });
            }
        }
        Self {
            rings,
            segments,
            owners,
            rows: Rows::new(boxes),
        }
    }

    /// Its segments, in the order of the rings.
    #[must_use]
    pub fn segments(&self) -> &[&'a Segment] {
        &self.segments
    }

    /// Tells of every segment whose box touches `bounds`, by its index in [`segments`](Self::segments).
    pub fn near(&self, bounds: &BoundingBox, tell: impl FnMut(usize)) {
        self.rows.touching(bounds, tell);
    }

    /// Which segment of which ring stands at an index of [`segments`](Self::segments).
    /// # Panics
    ///
    /// Where there is no such index.
    #[must_use]
    pub fn owner(&self, index: usize) -> Owner {
        self.owners[index]
    }

    /// The region that the rings bound, as far as it lies in `bounds`: made of the rings that come there
    /// alone. Outside of `bounds` it means nothing.
    #[must_use]
    pub fn part_in(&self, bounds: &BoundingBox) -> Region {
        let mut near = Vec::new();
        self.near(bounds, |index| near.push(self.owners[index].ring));
        near.sort_unstable();
        near.dedup();
        // How all others wind round the place.
        let at = bounds.centre();
        let mut turns = 0;
        self.rows.on_ray_from(at, |index| {
            if near.binary_search(&self.owners[index].ring).is_err() {
                turns += segment_winding(self.segments[index], at);
            }
        });
        let frame = bounds.grown(1.0).rectangle();
        let frame = if turns > 0 { frame } else { frame.reversed() };
        let around = (0..turns.abs()).map(|_| frame.clone());
        Region::new(
            around
                .chain(near.into_iter().map(|ring| self.rings[ring].clone()))
                .collect(),
        )
    }

    /// How often the rings together wind round `point`, counter-clockwise positive. On the boundary
    /// itself the answer is that of one side or the other.
    #[must_use]
    pub fn winding(&self, point: Point) -> i32 {
        let mut turns = 0;
        self.rows.on_ray_from(point, |index| {
            turns += segment_winding(self.segments[index], point);
        });
        turns
    }

    /// Whether `point` lies inside the region that the rings bound.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        self.winding(point) > 0
    }

    /// Distance from `point`; infinite where there is no boundary.
    #[must_use]
    pub fn distance(&self, point: Point) -> Length {
        self.nearest_point(point)
            .map_or(Length::mm(f64::INFINITY), |nearest| {
                Length::mm(nearest.distance(point))
            })
    }

    /// The point of the boundary nearest to `point`; none where there is no boundary.
    #[must_use]
    pub fn nearest_point(&self, point: Point) -> Option<Point> {
        let bounds = BoundingBox::of_points([point]);
        let found = self.search(&bounds, f64::INFINITY, |segment| {
            Nearest::between(point, segment.nearest_point(point))
        });
        found.map(|(_, nearest)| nearest.there)
    }

    /// Whether something of the boundary lies within `reach` of `point`.
    #[must_use]
    pub fn comes_within(&self, reach: Length, point: Point) -> bool {
        let reach = reach.to_mm();
        let mut is_near = false;
        self.near(&BoundingBox::of_points([point]).grown(reach), |index| {
            is_near = is_near || self.segments[index].nearest_point(point).distance(point) <= reach;
        });
        is_near
    }

    /// The nearest points of `segment` and this boundary; none where there is no boundary.
    #[must_use]
    pub fn nearest(&self, segment: &Segment) -> Option<Nearest> {
        self.nearer_than(segment, f64::INFINITY)
            .map(|(_, nearest)| nearest)
    }

    /// The nearest points of `region`'s boundary and this one; none where either has none.
    #[must_use]
    pub fn nearest_to(&self, region: &Region) -> Option<Nearest> {
        let mut best: Option<Nearest> = None;
        for segment in region.segments() {
            let limit = best.map_or(f64::INFINITY, |known| known.distance.to_mm());
            best = self
                .nearer_than(segment, limit)
                .map_or(best, |(_, found)| Some(found));
        }
        best
    }

    /// The nearest points of `segment` and this boundary and the index of the segment they are found on;
    /// none where nothing is nearer than `limit` millimetres.
    pub(super) fn nearer_than(&self, segment: &Segment, limit: f64) -> Option<(usize, Nearest)> {
        self.search(&segment.bounding_box(), limit, |other| {
            segment.nearest(other)
        })
    }

    /// Looks ever further from a box until nothing nearer can be left. The first in order of those
    /// equally near.
    fn search(
        &self,
        bounds: &BoundingBox,
        limit: f64,
        measure: impl Fn(&Segment) -> Nearest,
    ) -> Option<(usize, Nearest)> {
        let boxes = self.rows.boxes();
        let mut reach = limit.min(self.rows.row_height());
        loop {
            let mut best: Option<(usize, Nearest)> = None;
            self.near(&bounds.grown(reach), |index| {
                let known = best.map_or(limit, |(_, known)| known.distance.to_mm());
                if bounds.distance(&boxes[index]) > known {
                    return;
                }
                let found = measure(self.segments[index]);
                let distance = found.distance.to_mm();
                if distance < known
                    || best.is_some_and(|(other, _)| distance == known && index < other)
                {
                    best = Some((index, found));
                }
            });
            match best {
                Some((_, found)) if found.distance.to_mm() <= reach => return best,
                // Something nearer may lie outside the box looked at, but no further than this.
                Some((_, found)) => reach = found.distance.to_mm(),
                None if reach >= limit || self.rows.lie_within(&bounds.grown(reach)) => {
                    return None;
                }
                None => reach = (4.0 * reach).min(limit),
            }
        }
    }
}

impl Region {
    /// This region's boundary, prepared for many questions.
    #[must_use]
    pub fn boundary(&self) -> Boundary<'_> {
        Boundary::of(self.rings())
    }
}
