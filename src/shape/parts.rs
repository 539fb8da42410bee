//! The unconnected parts of a region. Comes in: a region. Goes out: for each part an outer ring and the
//! holes in it. Ground that hangs together at single points only is not connected: holes that touch each
//! other or the outer ring all the way round an island cut it off.

use std::collections::BTreeMap;

use super::clusters::Groups;
use super::crossing::{TOUCH, meetings};
use super::offset::{Joint, weld};
use super::rows::Rows;
use super::{Boundary, BoundingBox, Point, Region, Ring, Segment};

/// How far a hole may reach out of its outer ring by rounding, millimetres.
const SLACK: f64 = 1e-5;

impl Region {
    /// Its unconnected parts, each an outer ring first, then the holes in it. Parts that touch at points
    /// are apart. The empty region has none.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// let rectangle = |x: [f64; 2], y: [f64; 2]| {
    ///     let corners = [[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]];
    ///     Region::inside(Ring::polygon(&corners.map(|[x, y]| Point::new(x, y))))
    /// };
    /// let plate = rectangle([0.0, 100.0], [0.0, 100.0]);
    /// let hole = rectangle([70.0, 80.0], [40.0, 50.0]);
    /// let slot = rectangle([45.0, 55.0], [-10.0, 110.0]);
    /// let parts = plate.difference(&[&slot, &hole]).components();
    /// let mut areas: Vec<f64> = parts.iter().map(Region::area).collect();
    /// areas.sort_by(f64::total_cmp);
    /// assert_eq!(areas.len(), 2);
    /// assert!((areas[0] - 4400.0).abs() < 1e-9 && (areas[1] - 4500.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn components(&self) -> Vec<Self> {
        owned(self.rings())
            .into_iter()
            .flat_map(|part| match cut_where_touching(&part) {
                Some(rings) => owned(&rings),
                None => vec![part],
            })
            .collect()
    }
}

/// Every outer ring with the holes whose smallest outer ring it is.
fn owned(rings: &[Ring]) -> Vec<Region> {
    let (outer, holes): (Vec<&Ring>, Vec<&Ring>) =
        rings.iter().partition(|ring| ring.signed_area() > 0.0);
    let mut parts: Vec<Vec<Ring>> = outer.iter().map(|ring| vec![(*ring).clone()]).collect();
    let areas: Vec<f64> = outer.iter().map(|ring| ring.signed_area()).collect();
    let boxes = Rows::new(outer.iter().map(|ring| ring.bounding_box()).collect());
    for hole in holes {
        let bounds = hole.bounding_box();
        let mut round_it: Vec<usize> = Vec::new();
        boxes.touching(&bounds, |index| {
            let around = boxes.boxes()[index].grown(SLACK);
            if around.holds(bounds.least) && around.holds(bounds.greatest) {
                round_it.push(index);
            }
        });
        if round_it.len() > 1 {
            round_it.sort_unstable();
            round_it.retain(|index| outer[*index].encloses(hole));
        }
        let owner = round_it
            .into_iter()
            .min_by(|a, b| areas[*a].total_cmp(&areas[*b]));
        if let Some(owner) = owner {
            parts[owner].push(hole.clone());
        }
    }
    parts.into_iter().map(Region::new).collect()
}

/// A place where two rings touch, on a segment of each.
#[derive(Debug, Clone, Copy)]
struct Touch {
    at: Point,
    /// By their indices in the boundary.
    segments: [usize; 2],
    /// How far along each.
    shares: [f64; 2],
}

/// The rings of a part linked anew at the places where they touch, so that each runs round connected ground;
/// none where no touch cuts anything off.
fn cut_where_touching(part: &Region) -> Option<Vec<Ring>> {
    let rings = part.rings();
    if rings.len() < 2 {
        return None;
    }
    let boundary = part.boundary();
    let touches = touches(&boundary);
    // Rings strung together like beads leave the ground round them whole; a closed chain does not.
    let mut chains = Groups::new(rings.len());
    let mut places: BTreeMap<[usize; 2], Vec<Point>> = BTreeMap::new();
    let mut closes = false;
    for touch in &touches {
        let [one, other] = touch.segments.map(|index| boundary.owner(index).ring);
        let known = places.entry([one, other]).or_default();
        if known.iter().all(|at| at.distance(touch.at) > 2.0 * TOUCH) {
            known.push(touch.at);
            closes |= !chains.join(one, other);
        }
    }
    closes.then(|| linked(&cut_at(&boundary, &touches)))
}

fn touches(boundary: &Boundary<'_>) -> Vec<Touch> {
    let segments = boundary.segments();
    let boxes = segments
        .iter()
        .map(|segment| segment.bounding_box().grown(TOUCH))
        .collect();
    let mut touches = Vec::new();
    Rows::new(boxes).touching_pairs(|a, b| {
        let pair = [a.min(b), a.max(b)];
        if boundary.owner(a).ring != boundary.owner(b).ring {
            let met = meetings(segments[pair[0]], segments[pair[1]]);
            touches.extend(met.iter().map(|meeting| Touch {
                at: meeting.at,
                segments: pair,
                shares: [meeting.on_first, meeting.on_second],
            }));
        }
    });
    touches.sort_by_key(|touch| touch.segments);
    touches
}

/// A stretch of boundary from one touch or joint to the next.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    segment: Segment,
    /// The one that follows on the same ring.
    next: usize,
}

/// The boundary cut at every touch.
fn cut_at(boundary: &Boundary<'_>, touches: &[Touch]) -> Vec<Stretch> {
    let mut cuts: Vec<Vec<f64>> = vec![Vec::new(); boundary.segments().len()];
    for touch in touches {
        for (index, share) in touch.segments.into_iter().zip(touch.shares) {
            cuts[index].push(share);
        }
    }
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut ring_begins = 0;
    for (index, segment) in boundary.segments().iter().enumerate() {
        let is_last = boundary
            .segments()
            .get(index + 1)
            .is_none_or(|_| boundary.owner(index + 1).ring != boundary.owner(index).ring);
        for piece in pieces(segment, &cuts[index]) {
            stretches.push(Stretch {
                segment: piece,
                next: stretches.len() + 1,
            });
        }
        if is_last {
            if let Some(last) = stretches.last_mut() {
                last.next = ring_begins;
            }
            ring_begins = stretches.len();
        }
    }
    stretches
}

/// A segment cut at some shares of the way along it.
fn pieces(segment: &Segment, at: &[f64]) -> Vec<Segment> {
    let least = 2.0 * TOUCH / segment.length();
    let mut shares: Vec<f64> = at
        .iter()
        .copied()
        .filter(|share| *share > least && *share < 1.0 - least)
        .chain([0.0, 1.0])
        .collect();
    shares.sort_by(f64::total_cmp);
    shares.dedup_by(|b, a| *b - *a <= least);
    shares
        .windows(2)
        .map(|ends| segment.part(ends[0], ends[1]))
        .collect()
}

/// Rings along the stretches, at every touch by the sharpest turn to the left: so none runs round two
/// pieces of ground that meet in a point.
fn linked(stretches: &[Stretch]) -> Vec<Ring> {
    let ends = Rows::new(
        stretches
            .iter()
            .map(|stretch| BoundingBox::of_points([stretch.segment.start()]).grown(2.0 * TOUCH))
            .collect(),
    );
    let onward = |index: usize| {
        let (segment, next) = (&stretches[index].segment, stretches[index].next);
        let mut best = (Joint::between(segment, &stretches[next].segment).turn, next);
        ends.touching(&BoundingBox::of_points([segment.end()]), |candidate| {
            let turn = Joint::between(segment, &stretches[candidate].segment).turn;
            if turn > best.0 {
                best = (turn, candidate);
            }
        });
        best.1
    };
    let mut is_used = vec![false; stretches.len()];
    let mut found = Vec::new();
    for start in 0..stretches.len() {
        let mut path = Vec::new();
        let mut index = start;
        while !is_used[index] {
            is_used[index] = true;
            path.push(stretches[index].segment);
            index = onward(index);
        }
        if !path.is_empty() {
            found.push(weld(path));
        }
    }
    found
}
