//! What of a deck is worth pointing at: each different margin, strip width and corner radius with the
//! places where it can be seen, and features of one name together. Deck coordinates throughout.

use super::developed::LaidFlat;
use crate::DeckJob;
use crate::outline::{DeckPlan, Placement};
use crate::pattern::Pattern;
use crate::shape::{Point, Region, Ring, Segment};
use crate::surface::Development;

/// How far a figure may be from the finished shapes and still be theirs, millimetres.
const SAME_PLACE: f64 = 0.6;
/// Figures this near to each other are drawn as one, millimetres.
const SAME_FIGURE: f64 = 0.05;
/// Arcs larger than this belong to curved edges rather than to corners, millimetres.
const LARGEST_CORNER: f64 = 500.0;
/// Arcs that turn less than this (radians) belong to curved edges: 15°.
const LEAST_TURN: f64 = 0.262;
/// How far a circle's image may be from a circle, as a share of its radius.
const IMAGE: f64 = 0.04;
/// Places looked at along one edge.
const PLACES: u32 = 16;
/// Places with which a figure has been seen often enough.
const ENOUGH: usize = 64;

/// A distance seen in several places: between the two points of each.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Gap {
    /// The distance, millimetres.
    pub(super) distance: f64,
    /// Where it can be shown.
    pub(super) places: Vec<[Point; 2]>,
}

/// The figures of a pattern and where they can be seen.
#[derive(Debug, Clone)]
pub(super) struct Seen {
    pub(super) margins: Vec<Gap>,
    pub(super) strips: Vec<Gap>,
    pub(super) radii: Vec<Radius>,
}

impl Seen {
    /// What can be seen on a deck. Where its pattern was laid out elsewhere (on the development, while this is the plan; in
    /// plan, while this is the deck laid flat) the figures are those it was laid out with, carried to
    /// where they lie here.
    pub(super) fn on(deck: &DeckJob, flat: Option<&LaidFlat>) -> Self {
        if let Some(LaidFlat {
            before,
            development,
            ..
        }) = flat
        {
            return if before.pattern.developed.is_some() {
                Self::laid_out(&deck.plan, &deck.pattern, &nominal(&before.plan))
            } else {
                Self::of(&before.plan, &before.pattern).carried(|at| development.laid(at))
            };
        }
        match (&deck.surface, &deck.pattern.developed) {
            (Some(surface), Some(developed)) => {
                let development = Development::of(surface, &deck.plan.outline.ring);
                Self::laid_out(
                    &development.laid_plan(&deck.plan),
                    developed,
                    &nominal(&deck.plan),
                )
                .carried(|at| development.raised(at))
            }
            _ => Self::of(&deck.plan, &deck.pattern),
        }
    }

    fn of(plan: &DeckPlan, pattern: &Pattern) -> Self {
        Self::laid_out(plan, pattern, &[])
    }

    fn laid_out(plan: &DeckPlan, pattern: &Pattern, nominal: &[f64]) -> Self {
        Self {
            margins: margins(plan, pattern),
            strips: strips(plan, pattern),
            radii: radii(plan, pattern, nominal),
        }
    }

    fn carried(mut self, to: impl Fn(Point) -> Point) -> Self {
        for gap in self.margins.iter_mut().chain(&mut self.strips) {
            for place in &mut gap.places {
                *place = place.map(&to);
            }
        }
        for radius in &mut self.radii {
            for [middle, out] in &mut radius.arcs {
                let from = to(*middle - *out);
                *middle = to(*middle);
                *out = (*middle - from).unit();
            }
        }
        self
    }
}

/// Each different margin with places where a field really ends at it: of edges, openings, fittings.
fn margins(plan: &DeckPlan, pattern: &Pattern) -> Vec<Gap> {
    let fields: Vec<&Segment> = pattern
        .fields
        .iter()
        .flat_map(|field| field.region.segments())
        .collect();
    let outline = &plan.outline;
    let mut edges: Vec<Gap> = Vec::new();
    for (index, edge) in outline.edges.iter().enumerate() {
        let segments: Vec<&Segment> = outline
            .ring
            .segments()
            .iter()
            .zip(&outline.edge_of_segment)
            .filter(|(_, owner)| **owner == index)
            .map(|(segment, _)| segment)
            .collect();
        collect(&mut edges, edge.margin.to_mm(), &segments, 1.0, &fields);
    }
    let mut all = edges;
    for kind in [&plan.openings, &plan.fittings] {
        let mut gaps = Vec::new();
        for placement in kind {
            let segments: Vec<&Segment> = placement.ring.segments().iter().collect();
            collect(
                &mut gaps,
                placement.margin.to_mm(),
                &segments,
                -1.0,
                &fields,
            );
        }
        all.append(&mut gaps);
    }
    all.retain(|gap| gap.distance > 0.0 && !gap.places.is_empty());
    all
}

/// Adds the places along `segments` where a field ends `distance` to the left (`side` 1) or right (-1).
fn collect(
    gaps: &mut Vec<Gap>,
    distance: f64,
    segments: &[&Segment],
    side: f64,
    fields: &[&Segment],
) {
    let total: f64 = segments.iter().map(|segment| segment.length()).sum();
    let mut places = Vec::new();
    let known = gaps
        .iter()
        .find(|gap| (gap.distance - distance).abs() < SAME_FIGURE)
        .map_or(0, |gap| gap.places.len());
    if known >= ENOUGH {
        return;
    }
    for number in 0..PLACES {
        let mut at = total * (f64::from(number) + 0.5) / f64::from(PLACES);
        for segment in segments {
            if at <= segment.length() && segment.length() > 0.0 {
                let share = at / segment.length();
                let from = segment.point_at(share);
                let to = from + segment.direction_at(share).left() * (side * distance);
                if fields.iter().any(|field| near(field, to)) {
                    places.push([from, to]);
                }
                break;
            }
            at -= segment.length();
        }
    }
    match gaps
        .iter_mut()
        .find(|gap| (gap.distance - distance).abs() < SAME_FIGURE)
    {
        Some(gap) => gap.places.append(&mut places),
        None => gaps.push(Gap { distance, places }),
    }
}

/// Each different strip width with places where a field lies on either side.
fn strips(plan: &DeckPlan, pattern: &Pattern) -> Vec<Gap> {
    let mut gaps: Vec<Gap> = Vec::new();
    for strip in &plan.strips {
        let width = strip.width.to_mm();
        let mut places = Vec::new();
        for pair in strip.middle.windows(2) {
            let middle = Segment::Line(pair[0], pair[1]);
            let left = middle.direction_at(0.5).left() * (width / 2.0);
            for number in 0..PLACES {
                let at = middle.point_at((f64::from(number) + 0.5) / f64::from(PLACES));
                let sides = [at - left, at + left];
                let seen = sides.iter().all(|side| {
                    pattern
                        .fields
                        .iter()
                        .any(|field| field.region.segments().any(|segment| near(segment, *side)))
                });
                if seen {
                    places.push(sides);
                }
            }
        }
        match gaps
            .iter_mut()
            .find(|gap| (gap.distance - width).abs() < SAME_FIGURE)
        {
            Some(gap) => gap.places.append(&mut places),
            None => gaps.push(Gap {
                distance: width,
                places,
            }),
        }
    }
    gaps.retain(|gap| !gap.places.is_empty());
    gaps
}

/// Whether `point` lies on a segment, within [`SAME_PLACE`].
fn near(segment: &Segment, point: Point) -> bool {
    let ends = segment
        .start()
        .distance(point)
        .min(segment.end().distance(point));
    let distance = match segment {
        Segment::Line(start, end) => {
            let along = (*end - *start).unit();
            let at = (point - *start).dot(along);
            if at > 0.0 && at < segment.length() {
                (point - *start).cross(along).abs()
            } else {
                ends
            }
        }
        Segment::Arc(arc) => {
            if arc.covers_angle((point - arc.centre).angle()) {
                (point.distance(arc.centre) - arc.radius).abs()
            } else {
                ends
            }
        }
    };
    distance < SAME_PLACE
}

/// A corner radius, and the arcs of fields drawn with it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Radius {
    /// The radius, millimetres.
    pub(super) radius: f64,
    /// The middle of each arc, and the direction from its centre to there.
    pub(super) arcs: Vec<[Point; 2]>,
}

/// Each different radius of the fields' corners.
fn radii(plan: &DeckPlan, pattern: &Pattern, nominal: &[f64]) -> Vec<Radius> {
    let mut radii: Vec<Radius> = Vec::new();
    let corner = |radius: f64| {
        let set = [plan.radius.round, plan.radius.hollow];
        set.iter()
            .any(|one| (one.to_mm() - radius).abs() < SAME_FIGURE)
    };
    let rings = pattern.fields.iter().flat_map(|field| field.region.rings());
    for arc in rings.flat_map(|ring| corner_arcs(ring, nominal)) {
        let turns = arc.sweep.abs() > LEAST_TURN && arc.radius < LARGEST_CORNER;
        if !turns && !corner(arc.radius) {
            continue;
        }
        let middle = Segment::Arc(arc).point_at(0.5);
        let place = [middle, (middle - arc.centre).unit()];
        match radii
            .iter_mut()
            .find(|one| (one.radius - arc.radius).abs() < SAME_FIGURE)
        {
            Some(one) => one.arcs.push(place),
            None => radii.push(Radius {
                radius: arc.radius,
                arcs: vec![place],
            }),
        }
    }
    radii.sort_by(|a, b| a.radius.total_cmp(&b.radius));
    radii
}

/// The radii that corners of a deck's fields have as they are asked for: round, hollow, and round each opening or
/// fitting its own radius with its margin.
fn nominal(plan: &DeckPlan) -> Vec<f64> {
    let standing = plan.openings.iter().chain(&plan.fittings);
    let round_them = standing.flat_map(|one| {
        let margin = one.margin.to_mm();
        let arcs = one.ring.segments().iter();
        arcs.map(move |segment| match segment {
            Segment::Line(..) => margin,
            Segment::Arc(arc) => arc.radius + margin,
        })
    });
    [plan.radius.round.to_mm(), plan.radius.hollow.to_mm()]
        .into_iter()
        .chain(round_them)
        .collect()
}

/// The arcs of a ring, those that run on about the same centre as one. Where `nominal` radii are given the ring is an
/// image: arcs that are nearly of such a radius have it, and those that run on into each other are one.
fn corner_arcs(ring: &Ring, nominal: &[f64]) -> Vec<crate::shape::Arc> {
    let mut arcs: Vec<crate::shape::Arc> = Vec::new();
    for segment in ring.segments() {
        let Segment::Arc(arc) = segment else {
            continue;
        };
        let off = |radius: &f64| (radius - arc.radius).abs();
        let asked = nominal
            .iter()
            .filter(|radius| off(radius) < IMAGE * arc.radius)
            .min_by(|a, b| off(a).total_cmp(&off(b)));
        let arc = crate::shape::Arc {
            radius: asked.copied().unwrap_or(arc.radius),
            ..*arc
        };
        let apart = asked.map_or(1e-3, |radius| IMAGE * radius);
        match arcs.last_mut() {
            Some(last)
                if last.end.distance(arc.start) < 1e-6
                    && last.centre.distance(arc.centre) < apart
                    && (last.radius - arc.radius).abs() < 1e-3
                    && (last.sweep > 0.0) == (arc.sweep > 0.0) =>
            {
                last.end = arc.end;
                last.sweep += arc.sweep;
            }
            _ => arcs.push(arc),
        }
    }
    arcs
}

/// Openings or fittings of one name, or of names that differ by a number alone.
#[derive(Debug, Clone)]
pub(super) struct Named<'a> {
    /// Their name, as the drawing's font can show it: `cleat`, or `stanchion base 1–6`.
    pub(super) name: String,
    /// They themselves.
    pub(super) members: Vec<&'a Placement>,
    /// Each one's own number, where the name stands for a series.
    pub(super) numbers: Vec<String>,
}

/// So many names that differ by their number alone are drawn as a series.
const SERIES: usize = 3;

/// Features of one name together, and numbered series together, in the order of their first.
pub(super) fn by_name(placements: &[Placement]) -> Vec<Named<'_>> {
    let names: Vec<String> = placements
        .iter()
        .map(|placement| super::text::drawable(&placement.name))
        .collect();
    let mut named: Vec<Named<'_>> = Vec::new();
    for (placement, name) in placements.iter().zip(&names) {
        let series = number_of(name).and_then(|(stem, number)| {
            let mut numbers: Vec<u32> = names
                .iter()
                .filter_map(|other| number_of(other))
                .filter(|(other, _)| *other == stem)
                .map(|(_, number)| number)
                .collect();
            numbers.sort_unstable();
            numbers.dedup();
            let (first, last) = (numbers.first()?, numbers.last()?);
            (numbers.len() >= SERIES).then(|| (format!("{stem} {first}–{last}"), number))
        });
        let (name, number) = match series {
            Some((name, number)) => (name, Some(number.to_string())),
            None => (name.clone(), None),
        };
        let place = named.iter().position(|one| one.name == name);
        let place = place.unwrap_or_else(|| {
            named.push(Named {
                name,
                members: Vec::new(),
                numbers: Vec::new(),
            });
            named.len() - 1
        });
        named[place].members.push(placement);
        named[place].numbers.extend(number);
    }
    named
}

/// A name's stem and the number it ends with.
fn number_of(name: &str) -> Option<(&str, u32)> {
    let (stem, number) = name.rsplit_once(' ')?;
    Some((stem, number.parse().ok()?))
}

/// Past this, radians, a text along a falling line reads from the left: 75°.
const READS_FROM_THE_LEFT: f64 = -1.309;

/// Direction in which a region is longest, radians, as a text along it reads from below or from the
/// right: the principal axis of points spread over it.
pub(super) fn long_axis(points: &[Point]) -> f64 {
    let count = points.len().max(1);
    let mean = points.iter().fold(Point::ORIGIN, |sum, point| sum + *point)
        * (1.0 / f64::from(u32::try_from(count).unwrap_or(u32::MAX)));
    let (mut xx, mut yy, mut xy) = (0.0, 0.0, 0.0);
    for point in points {
        let off = *point - mean;
        xx += off.x * off.x;
        yy += off.y * off.y;
        xy += off.x * off.y;
    }
    let angle = (2.0 * xy).atan2(xx - yy) / 2.0;
    if angle < READS_FROM_THE_LEFT {
        angle + std::f64::consts::PI
    } else {
        angle
    }
}

/// Whether text turned by `angle` (radians) reads well: nearly level or nearly upright, not aslant.
pub(super) fn reads_well(angle: f64) -> bool {
    !(0.5..1.3).contains(&angle.abs())
}

/// Points spread evenly over the inside of a region, at most `side` × `side`.
pub(super) fn spread(region: &Region, side: u32) -> Vec<Point> {
    let bounds = region.bounding_box();
    let share = |number: u32| (f64::from(number) + 0.5) / f64::from(side);
    let mut points = Vec::new();
    for row in 0..side {
        for column in 0..side {
            let point = Point::new(
                bounds.least.x + bounds.width() * share(column),
                bounds.least.y + bounds.height() * share(row),
            );
            if region.contains(point) {
                points.push(point);
            }
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Place;
    use crate::units::Length;

    fn fittings(names: &[&str]) -> Vec<Placement> {
        let fitting = |name: &&str| Placement {
            name: (*name).to_owned(),
            ring: Ring::circle(Point::ORIGIN, 50.0),
            margin: Length::ZERO,
            in_place: true,
            is_glazed: false,
            is_mirror_image: false,
            place: Place::default(),
        };
        names.iter().map(fitting).collect()
    }

    #[test]
    fn names_that_differ_by_a_number_alone_are_a_series() {
        let fittings = fittings(&[
            "stay 1", "stay 2", "cleat", "stay 3", "stay 4", "stay 4", "cleat", "vent 1",
        ]);
        let named = by_name(&fittings);
        let names: Vec<(&str, usize)> = named
            .iter()
            .map(|one| (one.name.as_str(), one.members.len()))
            .collect();
        assert_eq!(names, [("stay 1–4", 5), ("cleat", 2), ("vent 1", 1)]);
        assert_eq!(named[0].numbers, ["1", "2", "3", "4", "4"]);
    }

    #[test]
    fn a_point_is_near_an_edge_and_not_near_what_the_edge_only_points_at() {
        let line = Segment::Line(Point::ORIGIN, Point::new(100.0, 0.0));
        assert!(near(&line, Point::new(50.0, 0.5)));
        assert!(!near(&line, Point::new(101.0, 0.0)));
        let arc = Segment::Arc(crate::shape::Arc::about(Point::ORIGIN, 100.0, 0.0, 1.0));
        assert!(near(&arc, Point::at_angle(0.5) * 100.4));
        assert!(!near(&arc, Point::at_angle(2.0) * 100.0));
    }
}
