//! Corners drawn with a radius: outward corners by opening with a disc, inward corners by fillets.
//!
//! Opening (shrink, then grow) is what a disc can sweep that stays inside. Closing (grow, then shrink)
//! fills inward corners, but it also bridges gaps; a fillet is the part of it that touches the region
//! along one unbroken run, and only fillets are taken here. For the terms see
//! [`offset`](super::offset).

use super::rows::Rows;
use super::{Boundary, BoundingBox, Point, Region, Ring, Segment};
use crate::units::Length;

/// How near a point must be to a boundary to lie on it, millimetres.
const ON_BOUNDARY: f64 = 1e-6;

/// An area that is rounding, mm².
const NO_AREA: f64 = 1e-3;

/// What was done to the inward corners of a region.
#[derive(Debug, Clone, Default)]
pub struct Filled {
    /// The region with its fillets.
    pub region: Region,
    /// The fillets taken.
    pub fillets: Vec<Fillet>,
    /// Those that the caller refused.
    pub refused: Vec<Fillet>,
}

/// The ground between an inward corner and the arc that rounds it.
#[derive(Debug, Clone)]
pub struct Fillet {
    /// The ground.
    pub piece: Region,
    /// The arc.
    pub arc: Segment,
}

impl Fillet {
    /// The middle of its arc.
    #[must_use]
    pub fn at(&self) -> Point {
        self.arc.point_at(0.5)
    }

    /// Whether it stays within the region that `boundary` bounds.
    #[must_use]
    pub fn lies_within(&self, boundary: &Boundary<'_>) -> bool {
        let near = boundary.part_in(&self.piece.bounding_box());
        !self.arc_crosses(&near) && self.piece.difference(&[&near]).area() < NO_AREA
    }

    /// Whether it stays out of the region that `boundary` bounds.
    #[must_use]
    pub fn keeps_clear_of(&self, boundary: &Boundary<'_>) -> bool {
        let near = boundary.part_in(&self.piece.bounding_box());
        near.is_empty()
            || !self.arc_crosses(&near) && self.piece.intersection(&[&near]).area() < NO_AREA
    }

    /// Whether the arc crosses a boundary, were it by a hair: an area that thin would pass for rounding.
    fn arc_crosses(&self, region: &Region) -> bool {
        let ends = [self.arc.start(), self.arc.end()];
        region.segments().any(|segment| {
            self.arc
                .crossings(segment)
                .iter()
                .any(|at| ends.iter().all(|end| end.distance(*at) > ON_BOUNDARY))
        })
    }
}

impl Region {
    /// What a disc of `radius` can sweep that stays inside: outward corners become arcs of that radius,
    /// and what is narrower than the disc goes.
    /// A radius of nothing, or a negative one, gives the region as it is. Inward corners stay as they are; for those
    /// there is [`hollows_filled`](Self::hollows_filled).
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use spile::units::Length;
    /// use std::f64::consts::PI;
    /// let square = Region::inside(Ring::polygon(&[
    ///     Point::new(0.0, 0.0),
    ///     Point::new(100.0, 0.0),
    ///     Point::new(100.0, 100.0),
    ///     Point::new(0.0, 100.0),
    /// ]));
    /// let rounded = square.opened(Length::mm(10.0));
    /// assert!((rounded.area() - (10_000.0 - (4.0 - PI) * 100.0)).abs() < 1e-9);
    ///
    /// let disc = Region::inside(Ring::circle(Point::ORIGIN, 100.0));
    /// assert!((disc.opened(Length::mm(40.0)).area() - 10_000.0 * PI).abs() < 1e-9);
    /// assert!(disc.opened(Length::mm(101.0)).is_empty());
    /// ```
    #[must_use]
    pub fn opened(&self, radius: Length) -> Self {
        if radius <= Length::ZERO {
            return self.clone();
        }
        self.eroded(radius).dilated(radius)
    }

    /// The region with its inward corners filled to `radius`, by those pieces of its closing that touch
    /// it along one unbroken run and that `accept` does not refuse.
    /// A radius of nothing, or a negative one, gives the region as it is, with no fillets. A gap that the disc cannot
    /// enter stays open: its filling touches the region in two places.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use spile::units::Length;
    /// use std::f64::consts::PI;
    /// // A square corner filled to r gains (1 - π/4) r².
    /// let corners = [[0.0, 0.0], [100.0, 0.0], [100.0, 40.0], [40.0, 40.0], [40.0, 100.0], [0.0, 100.0]];
    /// let angle = Region::inside(Ring::polygon(&corners.map(|[x, y]| Point::new(x, y))));
    /// let filled = angle.hollows_filled(Length::mm(20.0), |_| true);
    /// assert_eq!(filled.fillets.len(), 1);
    /// let gained = filled.region.area() - angle.area();
    /// assert!((gained - (1.0 - PI / 4.0) * 400.0).abs() < 1e-9);
    ///
    /// let refused = angle.hollows_filled(Length::mm(20.0), |fillet| fillet.at().x > 60.0);
    /// assert_eq!((refused.refused.len(), refused.region), (1, angle));
    /// ```
    #[must_use]
    pub fn hollows_filled(&self, radius: Length, accept: impl Fn(&Fillet) -> bool) -> Filled {
        if radius <= Length::ZERO || self.is_empty() {
            return Filled {
                region: self.clone(),
                ..Filled::default()
            };
        }
        let closing = self.dilated(radius).eroded(radius);
        let boundary = self.boundary();
        let tracks: Vec<Track> = self.rings().iter().map(Track::new).collect();
        let bridges = bridges(&boundary, &closing, &tracks, radius.to_mm());
        let departures = Departures::of(&bridges, tracks.len());
        // Where each ring is: a place on it will do, for rings do not cross a fillet's boundary.
        let places: Vec<Point> = self
            .rings()
            .iter()
            .filter_map(|ring| Some(ring.segments().first()?.point_at(0.5)))
            .collect();
        let spots = Rows::new(
            places
                .iter()
                .map(|place| BoundingBox::of_points([*place]))
                .collect(),
        );
        let mut taken: Vec<Vec<&Bridge>> = vec![Vec::new(); tracks.len()];
        let mut filled = Filled::default();
        for bridge in &bridges {
            let Some(run) = bridge.single_run(&departures, &tracks) else {
                continue;
            };
            let cut_off = std::iter::once(bridge.arc)
                .chain(run.iter().rev().map(Segment::reversed))
                .collect();
            let fillet = Fillet {
                piece: Region::new(vec![Ring::new(cut_off)]),
                arc: bridge.arc,
            };
            // A part of the region that lies apart inside the piece is a second place of touch.
            let mut holds_another = false;
            spots.touching(&fillet.piece.bounding_box(), |ring| {
                holds_another = holds_another
                    || ring != bridge.from.ring && fillet.piece.contains(places[ring]);
            });
            if holds_another {
                continue;
            }
            if accept(&fillet) {
                taken[bridge.from.ring].push(bridge);
                filled.fillets.push(fillet);
            } else {
                filled.refused.push(fillet);
            }
        }
        let rings = tracks
            .iter()
            .zip(&taken)
            .map(|(track, bridges)| track.with_bridges(bridges))
            .collect();
        filled.region = Self::new(rings).after_recomputing(closing.recomputed());
        filled
    }
}

/// The stretches of the closing's boundary that leave a region's boundary.
fn bridges(
    boundary: &Boundary<'_>,
    closing: &Region,
    tracks: &[Track<'_>],
    radius: f64,
) -> Vec<Bridge> {
    let leaves = |segment: &Segment| {
        matches!(segment, Segment::Arc(arc)
            if arc.sweep < 0.0 && (arc.radius - radius).abs() < ON_BOUNDARY)
            && !boundary.comes_within(Length::mm(ON_BOUNDARY), segment.point_at(0.5))
    };
    let mut bridges = Vec::new();
    for ring in closing.rings() {
        let segments = ring.segments();
        let away: Vec<bool> = segments.iter().map(leaves).collect();
        let count = segments.len();
        for (index, segment) in segments.iter().enumerate() {
            if !away[index] {
                continue;
            }
            // Where two such arcs meet off the boundary they close a gap between them; a fillet is one.
            let stands_alone = !away[(index + 1) % count] && !away[(index + count - 1) % count];
            let (from, to) = (
                locate(boundary, tracks, segment.start()),
                locate(boundary, tracks, segment.end()),
            );
            if let (Some(from), Some(to)) = (from, to) {
                bridges.push(Bridge {
                    arc: *segment,
                    from,
                    to,
                    stands_alone,
                });
            }
        }
    }
    bridges
}

/// An arc of the closing that leaves the region's boundary at one point and comes back to it at another.
#[derive(Debug, Clone)]
struct Bridge {
    arc: Segment,
    from: Spot,
    to: Spot,
    stands_alone: bool,
}

impl Bridge {
    /// The run of boundary that this bridge alone cuts off; none where the ground behind it is bounded
    /// by other bridges too, as in a gap that the closing spans.
    fn single_run(&self, departures: &Departures, tracks: &[Track<'_>]) -> Option<Vec<Segment>> {
        if !self.stands_alone || self.from.ring != self.to.ring {
            return None;
        }
        let track = &tracks[self.from.ring];
        // Backwards from where the bridge lands, the first bridge that takes off must be itself.
        let own = track.back(self.to.along, self.from.along);
        let first = track.back(self.to.along, departures.before(&self.to)?);
        (own <= first).then(|| track.run(self.from, self.to))
    }
}

/// Where the bridges of each ring take off, in the ring's order.
struct Departures(Vec<Vec<f64>>);

impl Departures {
    fn of(bridges: &[Bridge], rings: usize) -> Self {
        let mut lists = vec![Vec::new(); rings];
        for bridge in bridges {
            lists[bridge.from.ring].push(bridge.from.along);
        }
        for list in &mut lists {
            list.sort_by(f64::total_cmp);
        }
        Self(lists)
    }

    /// The last departure before a spot, once round if need be; one at the spot itself is a whole turn away.
    fn before(&self, spot: &Spot) -> Option<f64> {
        let list = &self.0[spot.ring];
        let earlier = list.partition_point(|along| *along <= spot.along - ON_BOUNDARY);
        let index = earlier.checked_sub(1).unwrap_or(list.len().checked_sub(1)?);
        list.get(index).copied()
    }
}

/// A place on a ring: which ring, which segment, what share of it, how far along the ring.
#[derive(Debug, Clone, Copy)]
struct Spot {
    ring: usize,
    segment: usize,
    point: Point,
    along: f64,
}

/// Where on the boundary a point lies: on the nearest segment, the first of those equally near.
fn locate(boundary: &Boundary<'_>, tracks: &[Track<'_>], point: Point) -> Option<Spot> {
    let mut best: Option<(f64, usize, Point)> = None;
    boundary.near(
        &BoundingBox::of_points([point]).grown(ON_BOUNDARY),
        |index| {
            let near = boundary.segments()[index].nearest_point(point);
            let away = near.distance(point);
            let is_better = best.is_none_or(|(known, other, _)| (away, index) < (known, other));
            if away <= ON_BOUNDARY && is_better {
                best = Some((away, index, near));
            }
        },
    );
    best.map(|(_, index, near)| {
        let owner = boundary.owner(index);
        let begin = tracks[owner.ring].begins[owner.segment];
        Spot {
            ring: owner.ring,
            segment: owner.segment,
            point,
            along: begin + length_up_to(boundary.segments()[index], near),
        }
    })
}

fn length_up_to(segment: &Segment, point: Point) -> f64 {
    match segment {
        Segment::Line(start, _) => start.distance(point),
        Segment::Arc(arc) => {
            let share = arc
                .share_at_angle((point - arc.centre).angle())
                .unwrap_or(1.0);
            share * segment.length()
        }
    }
}

/// A ring with the length at which each of its segments begins.
struct Track<'a> {
    ring: &'a Ring,
    begins: Vec<f64>,
    length: f64,
}

impl<'a> Track<'a> {
    fn new(ring: &'a Ring) -> Self {
        let mut length = 0.0;
        let begins = ring
            .segments()
            .iter()
            .map(|segment| {
                let begin = length;
                length += segment.length();
                begin
            })
            .collect();
        Self {
            ring,
            begins,
            length,
        }
    }

    /// How far back from `here` to `there`, more than nothing and at most once round.
    fn back(&self, here: f64, there: f64) -> f64 {
        let way = (here - there).rem_euclid(self.length);
        if way < ON_BOUNDARY {
            way + self.length
        } else {
            way
        }
    }

    /// The segments from one spot on to another.
    fn run(&self, from: Spot, to: Spot) -> Vec<Segment> {
        let segments = self.ring.segments();
        let count = segments.len();
        let goal = self.back(to.along, from.along);
        let mut run = Vec::new();
        let mut done = 0.0;
        let mut index = from.segment;
        let mut start = from.point;
        // Once round at most, and the segment it began in once more.
        for _ in 0..=count {
            let segment = &segments[index];
            let rest = from_point(segment, start);
            let length = rest.map_or(0.0, |rest| rest.length());
            if index == to.segment && done + length >= goal - ON_BOUNDARY {
                run.extend(rest.and_then(|rest| up_to_point(&rest, to.point)));
                return run;
            }
            run.extend(rest);
            done += length;
            index = (index + 1) % count;
            start = segments[index].start();
        }
        run
    }

    /// The ring with the run behind each bridge replaced by the bridge.
    fn with_bridges(&self, bridges: &[&Bridge]) -> Ring {
        if bridges.is_empty() {
            return self.ring.clone();
        }
        let mut order: Vec<&&Bridge> = bridges.iter().collect();
        order.sort_by(|a, b| a.from.along.total_cmp(&b.from.along));
        let mut segments = Vec::new();
        for (index, bridge) in order.iter().enumerate() {
            segments.push(bridge.arc);
            let next = order[(index + 1) % order.len()];
            let way = (next.from.along - bridge.to.along).rem_euclid(self.length);
            if way > ON_BOUNDARY && self.length - way > ON_BOUNDARY {
                segments.extend(self.run(bridge.to, next.from));
            }
        }
        Ring::new(segments)
    }
}

/// The rest of a segment from one of its points; none where nothing is left.
fn from_point(segment: &Segment, point: Point) -> Option<Segment> {
    if point.distance(segment.end()) <= ON_BOUNDARY
        && segment.length() - length_up_to(segment, point) < 1.0
    {
        return None;
    }
    Some(match segment {
        Segment::Line(_, end) => Segment::Line(point, *end),
        Segment::Arc(arc) => {
            let share = length_up_to(segment, point) / segment.length();
            Segment::Arc(super::Arc {
                start: point,
                sweep: arc.sweep * (1.0 - share),
                ..*arc
            })
        }
    })
}

/// A segment up to one of its points; none where that is where it begins.
fn up_to_point(segment: &Segment, point: Point) -> Option<Segment> {
    from_point(&segment.reversed(), point).map(|rest| rest.reversed())
}
