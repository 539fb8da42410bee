//! A band along a boundary whose width differs from edge to edge, and how one width passes to the next.
//!
//! Where the boundary turns sharply the two bands simply meet; round a corner that turns away from the
//! band an arc of the larger width runs about it, and the corner between the two bands is filled to the
//! mitre where that is no further than twice the larger width. Where one edge runs on into the next the
//! width passes over a length along the narrower one, by two equal reversed arcs.

use super::offset::{self, Joint, Loop};
use super::{Arc, Boundary, Point, Region, Ring, Segment};
use crate::units::Length;

/// A turn smaller than this runs on (20 degrees).
const RUNS_ON: f64 = std::f64::consts::PI / 9.0;
/// Widths nearer than this are one, millimetres.
const SAME_WIDTH: f64 = 1e-9;

/// Over what length a width passes into the next along a boundary that runs on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Blend {
    /// Over five times the difference.
    FiveTimesTheDifference,
    /// Over a given length along the narrower side; zero makes a square step.
    Over(Length),
}

/// What lies inside `ring`, which runs counter-clockwise, and beyond a band along it. `widths` has one
/// entry for each segment of the ring, in millimetres. A wide band that crosses the inside and a gap
/// beyond it does not reach what lies beyond the gap.
///
/// Two reversed arcs over a length L that step by D have the radius (L² + D²)/4D each.
/// Where all widths are one this is [`Region::eroded`].
///
/// # Panics
///
/// Where there are fewer widths than segments.
///
/// ```
/// use spile::shape::{Blend, Point, Ring, Segment, clear_of_varied_band};
/// // The lower side in two halves, 100 and 50 wide; 50 everywhere else.
/// let corners = [[0.0, 0.0], [1000.0, 0.0], [2000.0, 0.0], [2000.0, 1000.0], [0.0, 1000.0]];
/// let ring = Ring::polygon(&corners.map(|[x, y]| Point::new(x, y)));
/// let clear = clear_of_varied_band(&ring, &[100.0, 50.0, 50.0, 50.0, 50.0], Blend::FiveTimesTheDifference);
///
/// // A step of 50 over 250: R = (250² + 50²) / (4 · 50) = 325.
/// let is_blend = |segment: &&Segment| {
///     matches!(segment, Segment::Arc(arc) if (arc.radius - 325.0).abs() < 1e-6)
/// };
/// assert_eq!(clear.segments().filter(is_blend).count(), 2);
/// // The reversed arcs halve the rectangle of the step.
/// let area = 1900.0 * 900.0 - 950.0 * 50.0 - 250.0 * 50.0 / 2.0;
/// assert!((clear.area() - area).abs() < 1e-6);
/// ```
#[must_use]
pub fn clear_of_varied_band(ring: &Ring, widths: &[f64], blend: Blend) -> Region {
    let widest = widths.iter().copied().fold(0.0, f64::max);
    if widths.iter().all(|width| widest - width <= SAME_WIDTH) {
        return Region::new(vec![ring.clone()]).eroded(Length::mm(widest));
    }
    let edges = Edges::of(ring, widths);
    // The sides that neighbouring bands share cancel, as they do where the width is one: what is left of
    // all boundaries is one loop, and what stands in for a band or is added to it as rings of their own.
    let mut path: Vec<Segment> = Vec::new();
    let mut added: Vec<Ring> = Vec::new();
    let beside: Vec<Vec<Segment>> = (0..edges.count())
        .map(|index| match edges.band(index) {
            Band::Whole(_) => offset::moved_to_left(&edges.segments[index], widths[index]),
            Band::None => vec![edges.segments[index]],
            Band::Cut(rings) => {
                added.extend(rings);
                vec![edges.segments[index]]
            }
        })
        .collect();
    for (index, moved) in beside.iter().enumerate() {
        path.extend(moved);
        let after = (index + 1) % beside.len();
        let (Some(last), Some(first)) = (moved.last(), beside[after].first()) else {
            continue;
        };
        let corner = edges.corner(index, blend);
        path.extend(offset::link(
            last.end(),
            &corner.joint,
            corner.pie,
            first.start(),
        ));
        added.extend(corner.fillings);
    }
    let band = added.iter().map(|ring| Loop::simple(ring.reversed()));
    Region::wound_round(std::iter::once(Loop::of_path(path)).chain(band))
}

/// The slow way to the same end, to check it by: the rings, all counter-clockwise, whose union is that
/// band.
/// # Panics
///
/// Where there are fewer widths than segments.
#[must_use]
pub fn bands_of_varied_width(ring: &Ring, widths: &[f64], blend: Blend) -> Vec<Ring> {
    let edges = Edges::of(ring, widths);
    let mut bands = Vec::new();
    for index in 0..edges.count() {
        match edges.band(index) {
            Band::None => {}
            Band::Whole(band) => bands.push(band),
            Band::Cut(rings) => bands.extend(rings),
        }
        let corner = edges.corner(index, blend);
        bands.extend(corner.pie.map(|radius| offset::pie(&corner.joint, radius)));
        bands.extend(corner.fillings);
    }
    bands
}

/// The segments of a ring with the width of the band along each.
struct Edges<'a> {
    segments: &'a [Segment],
    widths: &'a [f64],
    boundary: Boundary<'a>,
    least: f64,
}

/// The band along one segment.
enum Band {
    None,
    Whole(Ring),
    /// What is left of it where others cast a shadow on it.
    Cut(Vec<Ring>),
}

/// What belongs to the band between one segment and the next.
struct Corner {
    joint: Joint,
    /// Radius of the pie about a vertex that turns away from the band.
    pie: Option<f64>,
    fillings: Vec<Ring>,
}

impl<'a> Edges<'a> {
    fn of(ring: &'a Ring, widths: &'a [f64]) -> Self {
        Self {
            segments: ring.segments(),
            widths,
            boundary: Boundary::of([ring]),
            least: widths.iter().copied().fold(f64::INFINITY, f64::min),
        }
    }

    const fn count(&self) -> usize {
        self.segments.len()
    }

    fn band(&self, index: usize) -> Band {
        let (segment, width) = (&self.segments[index], self.widths[index]);
        if width <= 0.0 {
            return Band::None;
        }
        let band = offset::band(segment, width);
        // The narrowest band has nothing to reach: what it meets has a band as wide.
        if width - self.least <= SAME_WIDTH {
            return Band::Whole(band);
        }
        let others = self.segments_within(&band, index);
        if others.is_empty() {
            return Band::Whole(band);
        }
        Band::Cut(out_of_shadow(&band, segment, width, &others))
    }

    /// The segments that come into a band, but for its own and its neighbours at their joints.
    fn segments_within(&self, band: &Ring, own: usize) -> Vec<Segment> {
        let count = self.count();
        let neighbours = [own, (own + 1) % count, (own + count - 1) % count];
        let meets = |other: &Segment| {
            band.winding(other.point_at(0.5)) != 0
                || band
                    .segments()
                    .iter()
                    .any(|side| !side.crossings(other).is_empty())
        };
        let mut within = Vec::new();
        self.boundary.near(&band.bounding_box(), |index| {
            if !neighbours.contains(&index) && meets(&self.segments[index]) {
                within.push(index);
            }
        });
        within.sort_unstable();
        within.iter().map(|index| self.segments[*index]).collect()
    }

    fn corner(&self, index: usize, blend: Blend) -> Corner {
        let after = (index + 1) % self.count();
        let joint = Joint::between(&self.segments[index], &self.segments[after]);
        let (width, next) = (self.widths[index], self.widths[after]);
        let (wide, narrow) = (width.max(next), width.min(next));
        let differs = wide - narrow > SAME_WIDTH;
        let opens = joint.opens_left() && wide > 0.0;
        let mut fillings = Vec::new();
        if opens && differs {
            fillings.extend(mitre(&joint, width, next));
        }
        if differs && joint.turn.abs() < RUNS_ON {
            let over = match blend {
                Blend::FiveTimesTheDifference => 5.0 * (wide - narrow),
                Blend::Over(length) => length.to_mm(),
            };
            let (walk, normal) = if width > next {
                (
                    Walk::forward(self.segments, self.widths, after),
                    joint.normal_out,
                )
            } else {
                (
                    Walk::backward(self.segments, self.widths, index),
                    joint.normal_in,
                )
            };
            fillings.extend(taper(walk, &normal, wide, narrow, over));
        }
        Corner {
            joint,
            pie: opens.then_some(wide),
            fillings,
        }
    }
}

/// A band less what lies in the shadow of others: beyond them on its segment's normals.
fn out_of_shadow(band: &Ring, own: &Segment, width: f64, others: &[Segment]) -> Vec<Ring> {
    let shadows: Vec<Ring> = others
        .iter()
        .flat_map(|other| {
            // In pieces short enough to lie one way round as seen from the band.
            let pieces = if matches!(other, Segment::Arc(_)) {
                16
            } else {
                1
            };
            (0..pieces).map(move |piece| {
                let share = |step: i32| f64::from(step) / f64::from(pieces);
                other.part(share(piece), share(piece + 1))
            })
        })
        .filter_map(|piece| shadow(own, &piece, width))
        .collect();
    Region::new(vec![band.clone()])
        .less_rings(&shadows)
        .rings()
        .to_vec()
}

/// The ground beyond `other` on the normals of `own`, further than the band is wide.
fn shadow(own: &Segment, other: &Segment, width: f64) -> Option<Ring> {
    // A millimetre more, so that the band's far side lies inside the shadow.
    let reach = width + 1.0;
    let far = |point: Point| match own {
        Segment::Line(start, end) => {
            let normal = (*end - *start).unit().left();
            point + normal * (reach - normal.dot(point - *start))
        }
        Segment::Arc(arc) => {
            let radius = (arc.radius - arc.sweep.signum() * reach).max(0.0);
            arc.centre + (point - arc.centre).unit() * radius
        }
    };
    let (from, to) = (far(other.end()), far(other.start()));
    let beyond = match own {
        Segment::Arc(arc) if from.distance(arc.centre) > 1e-6 => {
            let turn = (from - arc.centre).cross(to - arc.centre);
            Segment::Arc(Arc::between(from, to, arc.centre, turn > 0.0))
        }
        _ => Segment::Line(from, to),
    };
    let mut sides = vec![
        *other,
        Segment::Line(other.end(), from),
        beyond,
        Segment::Line(to, other.start()),
    ];
    sides.retain(|side| side.length() > 1e-9);
    let ring = Ring::new(sides);
    (ring.signed_area().abs() > 1e-6).then(|| ring.counter_clockwise())
}

/// The corner between two bands of different width about a vertex that turns away from them.
fn mitre(joint: &Joint, width_in: f64, width_out: f64) -> Option<Ring> {
    let (sine, cosine) = (-joint.turn).sin_cos();
    if sine < 1e-9 {
        return None;
    }
    let along = Point::new(joint.normal_in.y, -joint.normal_in.x);
    let ahead = (width_out - width_in * cosine) / sine;
    let behind = (width_in - width_out * cosine) / sine;
    let point = joint.at + joint.normal_in * width_in + along * ahead;
    // Where the two parallels meet beside a band rather than beyond both, the arc covers it already.
    let reach = 2.0 * width_in.max(width_out);
    (ahead > 0.0 && behind > 0.0 && joint.at.distance(point) <= reach).then(|| {
        Ring::polygon(&[
            joint.at,
            joint.at + joint.normal_in * width_in,
            point,
            joint.at + joint.normal_out * width_out,
        ])
        .counter_clockwise()
    })
}

/// The stretch of narrower boundary that leads away from a joint, and whether it leads against the
/// boundary's own direction.
struct Walk {
    segments: Vec<Segment>,
    against: bool,
}

impl Walk {
    fn forward(segments: &[Segment], widths: &[f64], from: usize) -> Self {
        let count = segments.len();
        let segments = (0..count)
            .map(|step| (from + step) % count)
            .take_while(|index| (widths[*index] - widths[from]).abs() <= SAME_WIDTH)
            .map(|index| segments[index])
            .collect();
        Self {
            segments,
            against: false,
        }
    }

    fn backward(segments: &[Segment], widths: &[f64], from: usize) -> Self {
        let count = segments.len();
        let segments = (0..count)
            .map(|step| (from + count - step) % count)
            .take_while(|index| (widths[*index] - widths[from]).abs() <= SAME_WIDTH)
            .map(|index| segments[index].reversed())
            .collect();
        Self {
            segments,
            against: true,
        }
    }

    /// The first `length` of it, and no further than the first corner.
    fn first(&self, length: f64) -> Vec<Segment> {
        let mut taken: Vec<Segment> = Vec::new();
        let mut left = length;
        for segment in &self.segments {
            let corner = taken
                .last()
                .is_some_and(|last| Joint::between(last, segment).turn.abs() > RUNS_ON);
            if left <= 1e-9 || corner {
                break;
            }
            let whole = segment.length();
            taken.push(if whole <= left {
                *segment
            } else {
                segment.part(0.0, left / whole)
            });
            left -= whole;
        }
        taken
    }
}

/// The ground between the narrower band and two equal reversed arcs that lead from the wider width at
/// the joint to the narrower one further on; none where there is no room for them, so that the step stays square.
fn taper(walk: Walk, normal: &Point, wide: f64, narrow: f64, over: f64) -> Option<Ring> {
    let base = walk.first(over);
    let (first, last) = (base.first()?, base.last()?);
    let left = |direction: Point| {
        if walk.against {
            -direction.left()
        } else {
            direction.left()
        }
    };
    let begin = Pose {
        at: first.start() + *normal * wide,
        along: first.direction_at(0.0),
    };
    let ahead = last.direction_at(1.0);
    let end = Pose {
        at: last.end() + left(ahead) * narrow,
        along: ahead,
    };
    let mut segments = base.clone();
    segments.push(Segment::Line(last.end(), end.at));
    segments.extend(
        reversed_arcs(begin, end)?
            .iter()
            .rev()
            .map(Segment::reversed),
    );
    segments.push(Segment::Line(begin.at, first.start()));
    segments.retain(|segment| segment.length() > 1e-9);
    // A step far higher than its passage is long makes arcs that run back over the boundary: no passage.
    let ring = Ring::new(segments);
    ring.self_crossing()
        .is_none()
        .then(|| ring.counter_clockwise())
}

/// A position and a direction of travel.
#[derive(Debug, Clone, Copy)]
struct Pose {
    at: Point,
    along: Point,
}

/// Two arcs, tangent to each other and to both poses, with equal tangent lengths: the classic biarc
/// (K. M. Bolton, "Biarc curves", Computer-Aided Design 7(2), 1975, pp. 89-92; the formula is derived here
/// from the definition).
fn reversed_arcs(begin: Pose, end: Pose) -> Option<[Segment; 2]> {
    let chord = end.at - begin.at;
    let sum = begin.along + end.along;
    // Tangent length d: |chord - d·sum|² = (2d)².
    let a = 4.0 - sum.dot(sum);
    let b = 2.0 * chord.dot(sum);
    let c = -chord.dot(chord);
    let tangent = if a.abs() < 1e-12 {
        -c / b
    } else {
        (-b + (b * b - 4.0 * a * c).sqrt()) / (2.0 * a)
    };
    if !(tangent.is_finite() && tangent > 0.0) {
        return None;
    }
    let joint = (begin.at + begin.along * tangent).towards(end.at - end.along * tangent, 0.5);
    Some([
        arc_from(begin, joint),
        arc_from(
            Pose {
                at: end.at,
                along: -end.along,
            },
            joint,
        )
        .reversed(),
    ])
}

/// The arc that leaves a pose and ends at a point.
fn arc_from(pose: Pose, end: Point) -> Segment {
    let chord = end - pose.at;
    let aside = pose.along.cross(chord);
    if aside.abs() < 1e-12 * chord.length() {
        return Segment::Line(pose.at, end);
    }
    let radius = chord.dot(chord) / (2.0 * aside);
    let centre = pose.at + pose.along.left() * radius;
    let arc = Arc::between(pose.at, end, centre, aside > 0.0);
    Segment::Arc(Arc {
        radius: radius.abs(),
        ..arc
    })
}
