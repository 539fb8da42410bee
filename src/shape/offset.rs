//! Growing and shrinking a region by a distance, exact for lines and arcs: erosion and dilation by a
//! disc.
//!
//! Every point within d of a boundary has its nearest boundary point inside a segment, where it lies on
//! the segment's normal, or at a vertex, where it lies between the normals of the two segments. So the
//! union of a quadrilateral for each line, an annular sector for each arc and a pie where the boundary
//! turns away is exactly the band of width d. Add up the boundaries of all of these and the sides that
//! neighbours share cancel: what is left is the boundary itself and one closed loop beside it. Hence the
//! loop winds round a point once where it lies inside and clear of the band, and not at all or backwards
//! everywhere else, and the winding rule finds the shrunk region without a single band.
//!
//! For polygons this raw offset curve and the rule that what it winds round positively is the answer are
//! those of X. Chen and S. McMains, "Polygon Offsetting by Computing Winding Numbers", ASME IDETC/CIE 2005,
//! paper DETC2005-85513; here it is done for arcs too, and the argument above is our own. Dilation is
//! Minkowski's sum with a disc, erosion the difference that goes with it: J. Serra, "Image Analysis and
//! Mathematical Morphology", Academic Press 1982, where opening and closing are defined as well (the book
//! looked up, what it says from memory).

use super::trimmed::moved_aside;
use super::{Arc, Point, Region, Ring, Segment};
use crate::units::Length;

impl Region {
    /// Every point of the region at least `distance` from its boundary.
    /// A distance of nothing, or a negative one, gives the region as it is. What is nowhere wider than twice the
    /// distance leaves nothing; where a waist is too narrow the answer falls into parts.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use spile::units::Length;
    /// let square = Region::inside(Ring::polygon(&[
    ///     Point::new(0.0, 0.0),
    ///     Point::new(100.0, 0.0),
    ///     Point::new(100.0, 100.0),
    ///     Point::new(0.0, 100.0),
    /// ]));
    /// let shrunk = square.eroded(Length::mm(10.0));
    /// assert!((shrunk.area() - 6400.0).abs() < 1e-9);
    /// assert!(square.eroded(Length::mm(60.0)).is_empty());
    /// ```
    #[must_use]
    pub fn eroded(&self, distance: Length) -> Self {
        if distance <= Length::ZERO || self.is_empty() {
            return self.clone();
        }
        if let Some(stride) = self.stride(distance) {
            return self.eroded(stride).eroded(distance - stride);
        }
        let loops = self
            .rings()
            .iter()
            .map(|ring| Loop::to_left(ring, distance.to_mm()));
        let eroded = Self::wound_round(loops);
        let recomputed = self.recomputed() + eroded.recomputed();
        eroded.after_recomputing(recomputed)
    }

    /// Every point within `distance` of the region.
    /// A distance of nothing, or a negative one, gives the region as it is. A convex region of area A and
    /// perimeter p grows to A + p d + π d² (Steiner's formula, in the plane).
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
    /// let grown = square.dilated(Length::mm(10.0));
    /// assert!((grown.area() - (10_000.0 + 4000.0 + 100.0 * PI)).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn dilated(&self, distance: Length) -> Self {
        if distance <= Length::ZERO || self.is_empty() {
            return self.clone();
        }
        if let Some(stride) = self.stride(distance) {
            return self.dilated(stride).dilated(distance - stride);
        }
        let loops = self.rings().iter().map(|ring| {
            let beyond = Loop::to_left(&ring.reversed(), distance.to_mm());
            Loop {
                ring: beyond.ring.reversed(),
                ..beyond
            }
        });
        let dilated = Self::wound_round(loops);
        let recomputed = self.recomputed() + dilated.recomputed();
        dilated.after_recomputing(recomputed)
    }
}

/// Boundaries of fewer segments than this are moved in one stride whatever they look like.
const FEW: usize = 256;
/// How many links may cross each corner's own on average.
const CROSSINGS: f64 = 3.0;

impl Region {
    /// A shorter distance to go first, where one stride would lay each corner's link across very many
    /// others: a jagged boundary's grow with the distance, and a first stride takes most of the jags away.
    /// Moving by a, then by b, is moving by a + b.
    fn stride(&self, distance: Length) -> Option<Length> {
        let corners: usize = self.rings().iter().map(|ring| ring.segments().len()).sum();
        if corners < FEW {
            return None;
        }
        let turned: f64 = self.rings().iter().map(turned_at_corners).sum();
        let stride = Length::mm(CROSSINGS * self.perimeter() / turned).max(distance / 1000.0);
        (stride * 1.5 < distance).then_some(stride)
    }
}

/// How much a ring turns at its corners in all, either way, radians (roughly).
fn turned_at_corners(ring: &Ring) -> f64 {
    let segments = ring.segments();
    let next = segments.iter().cycle().skip(1);
    segments
        .iter()
        .zip(next)
        .map(|(segment, next)| {
            let (u, v) = (segment.direction_at(1.0), next.direction_at(0.0));
            let sine = u.cross(v).abs();
            if u.dot(v) > 0.0 { sine } else { 2.0 - sine }
        })
        .sum()
}

/// A closed curve that may cross itself.
#[derive(Debug, Clone)]
pub(super) struct Loop {
    pub(super) ring: Ring,
    /// Whether it is known not to.
    pub(super) is_simple: bool,
}

impl Loop {
    /// A boundary moved by `distance` to its left: each segment along its normal, an arc about a corner
    /// that opens that way, a link through a corner that closes. What it winds round more than not at all
    /// is what lies left of the boundary and further from it than `distance`.
    fn to_left(ring: &Ring, distance: f64) -> Self {
        // A point said twice has no direction.
        let is_point = |segment: &Segment| matches!(segment, Segment::Line(a, b) if a == b);
        if ring.segments().iter().any(is_point) {
            let mut segments = ring.segments().to_vec();
            segments.retain(|segment| !is_point(segment));
            return Self::to_left(&Ring::new(segments), distance);
        }
        let simple = dilated_convex(&ring.reversed(), distance).map(|grown| grown.reversed());
        let simple = simple
            .or_else(|| eroded_convex(ring, distance))
            .or_else(|| moved_aside(ring, distance));
        if let Some(ring) = simple {
            return Self::simple(ring);
        }
        let segments = ring.segments();
        let moved: Vec<Vec<Segment>> = segments
            .iter()
            .map(|segment| moved_to_left(segment, distance))
            .collect();
        let mut path = Vec::with_capacity(3 * segments.len());
        for (index, segment) in segments.iter().enumerate() {
            let after = (index + 1) % segments.len();
            path.extend_from_slice(&moved[index]);
            let (Some(last), Some(first)) = (moved[index].last(), moved[after].first()) else {
                continue;
            };
            let joint = Joint::between(segment, &segments[after]);
            let pie = joint.opens_left().then_some(distance);
            path.extend(link(last.end(), &joint, pie, first.start()));
        }
        Self::of_path(path)
    }

    /// A chain of segments that comes back to where it begins and may cross itself.
    pub(super) fn of_path(mut path: Vec<Segment>) -> Self {
        path.retain(|piece| piece.start() != piece.end() || matches!(piece, Segment::Arc(_)));
        Self {
            ring: Ring::new(path),
            is_simple: false,
        }
    }

    /// A ring that does not cross itself.
    pub(super) const fn simple(ring: Ring) -> Self {
        Self {
            ring,
            is_simple: true,
        }
    }
}

/// From the end of one moved segment to the start of the next: round a pie about a vertex that turns away,
/// straight where the boundary runs on, else by way of the vertex.
pub(super) fn link(from: Point, joint: &Joint, pie: Option<f64>, to: Point) -> Vec<Segment> {
    if let Some(radius) = pie {
        let arc = pie_arc(joint, radius);
        vec![
            Segment::Line(from, arc.start),
            Segment::Arc(arc),
            Segment::Line(arc.end, to),
        ]
    } else if joint.turn < TANGENT && from.distance(to) < NOTHING {
        vec![Segment::Line(from, to)]
    } else {
        vec![Segment::Line(from, joint.at), Segment::Line(joint.at, to)]
    }
}

/// A segment moved along its normal to its left; an arc too tight for that goes by way of its centre.
pub(super) fn moved_to_left(segment: &Segment, distance: f64) -> Vec<Segment> {
    match (parallel(segment, distance), segment) {
        (Some(moved), _) => vec![moved],
        (None, Segment::Arc(arc)) => {
            vec![
                Segment::Line(arc.start, arc.centre),
                Segment::Line(arc.centre, arc.end),
            ]
        }
        (None, Segment::Line(start, end)) => vec![Segment::Line(*start, *end)],
    }
}

/// The rings of everything within `distance` of the inside of a counter-clockwise ring: one ring that runs
/// counter-clockwise, and clockwise ones where the growth closes round something it does not reach. For
/// [`Region::less_rings`] and [`Region::of_overlapping`]. A distance of nothing, or a negative one, gives the
/// ring as it is.
///
/// ```
/// use spile::shape::{Point, Ring, dilated_cover};
/// use spile::units::Length;
/// use std::f64::consts::PI;
///
/// let disc = Ring::circle(Point::ORIGIN, 100.0);
/// let cover = dilated_cover(&disc, Length::mm(25.0));
/// assert_eq!(cover.len(), 1);
/// assert!((cover[0].signed_area() - PI * 125.0 * 125.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn dilated_cover(ring: &Ring, distance: Length) -> Vec<Ring> {
    if distance <= Length::ZERO {
        return vec![ring.clone()];
    }
    dilated_convex(ring, distance.to_mm()).map_or_else(
        || {
            let grown = Region::new(vec![ring.clone()]).dilated(distance);
            grown.rings().to_vec()
        },
        |grown| vec![grown],
    )
}

impl Segment {
    /// The segment moved along its normal by `aside`, to its left where that is positive; none where an
    /// arc's radius would not stay positive.
    /// ```
    /// use spile::shape::{Arc, Point, Segment};
    /// use spile::units::Length;
    /// use std::f64::consts::PI;
    ///
    /// // Counter-clockwise, so its centre is on its left.
    /// let quarter = Segment::Arc(Arc::about(Point::ORIGIN, 100.0, 0.0, PI / 2.0));
    /// let inner = quarter.parallel(Length::mm(20.0)).expect("a smaller arc");
    /// assert!((inner.length() - 80.0 * PI / 2.0).abs() < 1e-9);
    /// assert!(quarter.parallel(Length::mm(100.0)).is_none());
    /// ```
    #[must_use]
    pub fn parallel(&self, aside: Length) -> Option<Self> {
        parallel(self, aside.to_mm())
    }
}

/// A convex counter-clockwise ring grown by `distance`: every segment moved out along its normal, an
/// arc about every corner. None where the ring is not convex.
fn dilated_convex(ring: &Ring, distance: f64) -> Option<Ring> {
    let segments = ring.segments();
    let mut grown = Vec::with_capacity(2 * segments.len());
    for (index, segment) in segments.iter().enumerate() {
        let next = &segments[(index + 1) % segments.len()];
        if matches!(segment, Segment::Arc(arc) if arc.sweep < 0.0) {
            return None;
        }
        let moved = parallel(segment, -distance)?;
        let joint = Joint::between(segment, next);
        if joint.turn < -TANGENT {
            return None;
        }
        grown.push(moved);
        if joint.turn > TANGENT {
            let (from, to) = (moved.end(), next.start() - joint.normal_out * distance);
            grown.push(Segment::Arc(Arc {
                start: from,
                end: to,
                centre: segment.end(),
                radius: distance,
                sweep: joint.turn,
            }));
        }
    }
    // Convex boundaries turn once round in all; more is a ring that winds twice.
    let turned: f64 = grown
        .iter()
        .map(|segment| match segment {
            Segment::Line(..) => 0.0,
            Segment::Arc(arc) => arc.sweep,
        })
        .sum();
    if (turned - std::f64::consts::TAU).abs() > 1e-6 {
        return None;
    }
    Some(weld(grown))
}

/// A convex counter-clockwise ring shrunk by `distance`: every segment moved in along its normal and cut
/// where it meets its neighbours. None where the ring is not convex or a segment would vanish.
fn eroded_convex(ring: &Ring, distance: f64) -> Option<Ring> {
    let segments = ring.segments();
    let count = segments.len();
    let mut turned = 0.0;
    let mut moved = Vec::with_capacity(count);
    for segment in segments {
        if let Segment::Arc(arc) = segment {
            if arc.sweep < 0.0 || arc.radius <= distance + NOTHING {
                return None;
            }
            turned += arc.sweep;
        }
        moved.push(parallel(segment, distance)?);
    }
    let mut corners = Vec::with_capacity(count);
    for index in 0..count {
        let after = (index + 1) % count;
        let turn = Joint::between(&segments[index], &segments[after]).turn;
        if turn < -TANGENT {
            return None;
        }
        turned += turn;
        corners.push(if turn > TANGENT {
            match moved[index].crossings(&moved[after])[..] {
                [at] => at,
                _ => return None,
            }
        } else {
            moved[index].end()
        });
    }
    // Convex boundaries turn once round in all; more is a ring that winds twice.
    if (turned - std::f64::consts::TAU).abs() > 1e-6 {
        return None;
    }
    let shrunk: Option<Vec<Segment>> = (0..count)
        .map(|index| {
            between(
                &moved[index],
                corners[(index + count - 1) % count],
                corners[index],
            )
        })
        .collect();
    // Sides that have passed each other turn the ring inside out.
    let shrunk = Ring::new(shrunk?);
    let (was, is) = (ring.bounding_box(), shrunk.bounding_box());
    let keeps_its_size = is.width() <= was.width() - 2.0 * distance + NOTHING
        && is.height() <= was.height() - 2.0 * distance + NOTHING
        && shrunk.signed_area() > 0.0;
    keeps_its_size.then_some(shrunk)
}

/// The part of a segment between two of its points; none where they are not in its order.
pub(super) fn between(segment: &Segment, start: Point, end: Point) -> Option<Segment> {
    match segment {
        Segment::Line(from, to) => {
            let forward = (*to - *from).dot(end - start) > 0.0;
            (forward && start.distance(end) > NOTHING).then_some(Segment::Line(start, end))
        }
        Segment::Arc(arc) => {
            let part = Arc::between(start, end, arc.centre, arc.sweep > 0.0);
            (part.sweep.abs() <= arc.sweep.abs() + TANGENT
                && part.sweep.abs() * arc.radius > NOTHING)
                .then_some(Segment::Arc(Arc {
                    radius: arc.radius,
                    ..part
                }))
        }
    }
}

/// Lengths smaller than this are rounding, millimetres.
const NOTHING: f64 = 1e-6;

/// Makes each segment begin bit for bit where the one before ends.
pub(super) fn weld(mut segments: Vec<Segment>) -> Ring {
    for index in 0..segments.len() {
        let next = (index + 1) % segments.len();
        let end = segments[index].end();
        match &mut segments[next] {
            Segment::Line(start, _) => *start = end,
            Segment::Arc(arc) => arc.start = end,
        }
    }
    Ring::new(segments)
}

/// Turns smaller than this (radians) are no corner.
pub(super) const TANGENT: f64 = 1e-9;

/// A vertex: the normals of the two segments that meet there and the angle between them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Joint {
    /// Where.
    pub(super) at: Point,
    /// Left normal at the end of the segment that comes in.
    pub(super) normal_in: Point,
    /// Left normal at the start of the one that goes out.
    pub(super) normal_out: Point,
    /// Angle turned, radians, positive to the left, in (-π, π].
    pub(super) turn: f64,
}

impl Joint {
    pub(super) fn between(before: &Segment, after: &Segment) -> Self {
        let (u, v) = (before.direction_at(1.0), after.direction_at(0.0));
        let mut turn = u.cross(v).atan2(u.dot(v));
        // At a cusp the sign of the turn is noise. Where the two sides part again to the right of each
        // other the inside is what lies between them, else it is what lies about them.
        if turn.abs() > std::f64::consts::PI - 1e-7 {
            turn = if cusp_is_outward(before, after) {
                std::f64::consts::PI
            } else {
                -std::f64::consts::PI
            };
        }
        Self {
            at: before.end(),
            normal_in: u.left(),
            normal_out: v.left(),
            turn,
        }
    }

    /// Whether the boundary turns away from its left, so that a pie fills the gap between bands.
    pub(super) fn opens_left(&self) -> bool {
        self.turn < -TANGENT
    }
}

/// At a cusp: whether the inside (on the left) is the thin side, so that the boundary turns left by π.
fn cusp_is_outward(before: &Segment, after: &Segment) -> bool {
    // Curvature seen from the cusp, positive to the left of the direction into the thin side.
    let bend = |segment: &Segment| match segment {
        Segment::Line(..) => 0.0,
        Segment::Arc(arc) => arc.sweep.signum() / arc.radius,
    };
    // Looking back along `before` its left is on the right; `after` leaves along the same ray.
    -bend(before) > bend(after)
}

/// The curve parallel to a segment at `distance` to its left (negative: to its right); none where an
/// arc's radius would not stay positive.
pub(super) fn parallel(segment: &Segment, distance: f64) -> Option<Segment> {
    match segment {
        Segment::Line(start, end) => {
            let aside = (*end - *start).unit().left() * distance;
            Some(Segment::Line(*start + aside, *end + aside))
        }
        Segment::Arc(arc) => {
            let radius = arc.radius - arc.sweep.signum() * distance;
            if radius <= 0.0 {
                return None;
            }
            let scaled = |point: Point| arc.centre + (point - arc.centre).unit() * radius;
            Some(Segment::Arc(Arc {
                start: scaled(arc.start),
                end: scaled(arc.end),
                radius,
                ..*arc
            }))
        }
    }
}

/// The rings, all counter-clockwise, whose union is everything within `distance` to the left of those
/// segments of `ring` that are `wanted` by their index; corners count where both their segments do.
/// A distance of nothing gives no rings.
///
/// ```
/// use spile::shape::{Point, Region, Ring, bands_along};
/// use spile::units::Length;
///
/// let ring = Ring::polygon(&[
///     Point::new(0.0, 0.0),
///     Point::new(100.0, 0.0),
///     Point::new(100.0, 100.0),
///     Point::new(0.0, 100.0),
/// ]);
/// // Along the first two sides: two strips, which share a square in the corner between them.
/// let bands = bands_along(&ring, Length::mm(10.0), |side| side < 2);
/// assert!((Region::of_overlapping(&bands).area() - 1900.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn bands_along(ring: &Ring, distance: Length, wanted: impl Fn(usize) -> bool) -> Vec<Ring> {
    let distance = distance.to_mm();
    if distance <= 0.0 {
        return Vec::new();
    }
    let segments = ring.segments();
    let mut bands = Vec::new();
    for (index, segment) in segments.iter().enumerate() {
        if !wanted(index) {
            continue;
        }
        bands.push(band(segment, distance));
        let after = (index + 1) % segments.len();
        let joint = Joint::between(segment, &segments[after]);
        if joint.opens_left() && wanted(after) {
            bands.push(pie(&joint, distance));
        }
    }
    bands
}

/// Everything on the left normals of a segment, up to `distance`, and up to an arc's centre.
pub(super) fn band(segment: &Segment, distance: f64) -> Ring {
    let ring = match (parallel(segment, distance), segment) {
        (Some(far), _) => Ring::new(vec![
            *segment,
            Segment::Line(segment.end(), far.end()),
            far.reversed(),
            Segment::Line(far.start(), segment.start()),
        ]),
        (None, Segment::Arc(arc)) => Ring::new(vec![
            *segment,
            Segment::Line(arc.end, arc.centre),
            Segment::Line(arc.centre, arc.start),
        ]),
        (None, Segment::Line(..)) => Ring::default(),
    };
    ring.counter_clockwise()
}

/// Everything within `distance` of a vertex between the normals of its two segments.
pub(super) fn pie(joint: &Joint, distance: f64) -> Ring {
    let arc = pie_arc(joint, distance);
    Ring::new(vec![
        Segment::Line(joint.at, arc.start),
        Segment::Arc(arc),
        Segment::Line(arc.end, joint.at),
    ])
    .reversed()
}

pub(super) fn pie_arc(joint: &Joint, distance: f64) -> Arc {
    Arc {
        start: joint.at + joint.normal_in * distance,
        end: joint.at + joint.normal_out * distance,
        centre: joint.at,
        radius: distance,
        sweep: joint.turn,
    }
}
