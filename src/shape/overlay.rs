//! Union, difference and intersection of regions, exact for lines and arcs.
//!
//! Rings that meet no other stay whole. The others are laid on an integer [`plane`](super::plane) as
//! chords, each named for the line or circle it came from; the [`engine`](super::engine) decides the
//! topology on whole numbers; and the rings are [read back](super::recover) with each vertex computed
//! anew as the exact meeting of its two curves. The chords' error never reaches the answer, and nothing
//! accumulates.

use super::clusters::Clusters;
use super::engine::{self, Chord, Operand, Rule};
use super::offset::Loop;
use super::plane::{FRAME, Plane};
use super::{BoundingBox, Region, Ring, Segment};

impl Region {
    /// Everything in this region or in any of `others`.
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use std::f64::consts::PI;
    /// let (one, other) = (Point::new(0.0, 0.0), Point::new(100.0, 0.0));
    /// let one = Region::inside(Ring::circle(one, 100.0));
    /// let other = Region::inside(Ring::circle(other, 100.0));
    /// // Two discs of radius r, d = r apart, share 2r² acos(d/2r) - d/2 √(4r² - d²).
    /// let lens = 20_000.0 * PI / 3.0 - 50.0 * 30_000_f64.sqrt();
    /// assert!((one.union(&[&other]).area() - (20_000.0 * PI - lens)).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn union(&self, others: &[&Self]) -> Self {
        Soup::of(self, others).combine(Rule::Union)
    }

    /// Everything in this region and in none of `others`.
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use std::f64::consts::PI;
    /// let (one, other) = (Point::new(0.0, 0.0), Point::new(100.0, 0.0));
    /// let one = Region::inside(Ring::circle(one, 100.0));
    /// let other = Region::inside(Ring::circle(other, 100.0));
    /// // Two discs of radius r, d = r apart, share 2r² acos(d/2r) - d/2 √(4r² - d²).
    /// let lens = 20_000.0 * PI / 3.0 - 50.0 * 30_000_f64.sqrt();
    /// assert!((one.difference(&[&other]).area() - (10_000.0 * PI - lens)).abs() < 1e-6);
    /// assert!(one.difference(&[&one]).is_empty());
    /// ```
    #[must_use]
    pub fn difference(&self, others: &[&Self]) -> Self {
        Soup::of(self, others).combine(Rule::Difference)
    }

    /// Everything in this region and in one of `others`.
    /// With no `others` at all there is nothing in one of them: the answer is empty.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use std::f64::consts::PI;
    /// let (one, other) = (Point::new(0.0, 0.0), Point::new(100.0, 0.0));
    /// let one = Region::inside(Ring::circle(one, 100.0));
    /// let other = Region::inside(Ring::circle(other, 100.0));
    /// // Two discs of radius r, d = r apart, share 2r² acos(d/2r) - d/2 √(4r² - d²).
    /// let lens = 20_000.0 * PI / 3.0 - 50.0 * 30_000_f64.sqrt();
    /// assert!((one.intersection(&[&other]).area() - lens).abs() < 1e-6);
    /// assert!(one.intersection(&[]).is_empty());
    /// ```
    #[must_use]
    pub fn intersection(&self, others: &[&Self]) -> Self {
        Soup::of(self, others).combine(Rule::Intersection)
    }

    /// Everything in this region and in none of `rings`, each of which runs counter-clockwise; they
    /// may overlap each other. A clockwise ring among them is a hole in the one that lies around it.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// let square = Region::inside(Ring::polygon(&[
    ///     Point::new(0.0, 0.0),
    ///     Point::new(100.0, 0.0),
    ///     Point::new(100.0, 100.0),
    ///     Point::new(0.0, 100.0),
    /// ]));
    /// let bar = |x: f64| {
    ///     let corners = [[x, -5.0], [x + 20.0, -5.0], [x + 20.0, 50.0], [x, 50.0]];
    ///     Ring::polygon(&corners.map(|[x, y]| Point::new(x, y)))
    /// };
    /// // From 40 to 70, where the two overlap but once, and half way up.
    /// let left = square.less_rings(&[bar(40.0), bar(50.0)]);
    /// assert!((left.area() - (10_000.0 - 30.0 * 50.0)).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn less_rings<'a>(&self, rings: impl IntoIterator<Item = &'a Ring>) -> Self {
        let mut soup = Soup::of(self, &[]);
        soup.add(rings, Operand::Second);
        soup.combine(Rule::Difference)
    }

    /// Everything inside any of `rings`, each of which runs counter-clockwise; they may overlap.
    ///
    /// ```
    /// use spile::shape::{Point, Region, Ring};
    /// use std::f64::consts::PI;
    /// // Three discs, the third inside the first.
    /// let discs = [(0.0, 100.0), (500.0, 50.0), (30.0, 20.0)]
    ///     .map(|(x, radius)| Ring::circle(Point::new(x, 0.0), radius));
    /// let all = Region::of_overlapping(&discs);
    /// assert_eq!(all.rings().len(), 2);
    /// assert!((all.area() - 12_500.0 * PI).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of_overlapping<'a>(rings: impl IntoIterator<Item = &'a Ring>) -> Self {
        Self::default().with_rings(rings)
    }

    /// Everything that closed curves wind round counter-clockwise, once or more.
    pub(super) fn wound_round(loops: impl Iterator<Item = Loop>) -> Self {
        Soup {
            curves: loops.map(|curve| (curve, Operand::First)).collect(),
            recomputed: 0,
        }
        .combine(Rule::Union)
    }

    /// Everything in this region or inside any of `rings`, each of which runs counter-clockwise.
    #[must_use]
    pub fn with_rings<'a>(&self, rings: impl IntoIterator<Item = &'a Ring>) -> Self {
        let mut soup = Soup::of(self, &[]);
        soup.add(rings, Operand::Second);
        soup.combine(Rule::Union)
    }
}

/// The curves of both operands, before they are combined. A place is inside an operand where its curves
/// wind round it counter-clockwise, once or more.
#[derive(Debug, Default)]
struct Soup {
    curves: Vec<(Loop, Operand)>,
    /// What the operands cost to come by.
    recomputed: u32,
}

impl Soup {
    fn of(first: &Region, second: &[&Region]) -> Self {
        let mut soup = Self::default();
        soup.add(first.rings(), Operand::First);
        soup.recomputed += first.recomputed();
        for region in second {
            soup.add(region.rings(), Operand::Second);
            soup.recomputed += region.recomputed();
        }
        soup
    }

    /// Adds rings that do not cross themselves.
    fn add<'a>(&mut self, rings: impl IntoIterator<Item = &'a Ring>, operand: Operand) {
        self.curves.extend(
            rings
                .into_iter()
                .map(|ring| (Loop::simple(ring.clone()), operand)),
        );
    }

    /// Combines group by group: rings that meet nothing stay whole, the rest go through the engine.
    fn combine(self, rule: Rule) -> Region {
        let rings: Vec<&Ring> = self.curves.iter().map(|(curve, _)| &curve.ring).collect();
        let clusters = Clusters::of(&rings);
        let mut result = Vec::new();
        let mut recomputed = self.recomputed;
        for cluster in &clusters.groups {
            // How the curves of other groups wind round this one: the same everywhere on it.
            let Some(at) = rings[cluster[0]].segments().first().map(Segment::start) else {
                continue;
            };
            let mut around = Winding::default();
            if clusters.groups.len() > 1 {
                clusters.windings(at, |ring, turns| {
                    if cluster.binary_search(&ring).is_err() {
                        around.add(self.curves[ring].1, turns);
                    }
                });
            }
            let members: Vec<(&Ring, Operand)> = cluster
                .iter()
                .map(|index| (rings[*index], self.curves[*index].1))
                .collect();
            match members[..] {
                [(ring, operand)] if self.curves[cluster[0]].0.is_simple => {
                    result.extend(lone_ring(ring, operand, around, rule));
                }
                _ => {
                    let found = overlay(&members, around, rule);
                    recomputed += found.again;
                    result.extend(found.rings);
                }
            }
        }
        Region::new(result).after_recomputing(recomputed)
    }
}

/// How often the rings of both operands wind round a place.
#[derive(Debug, Clone, Copy, Default)]
struct Winding {
    first: i32,
    second: i32,
}

impl Winding {
    fn add(&mut self, operand: Operand, turns: i32) {
        match operand {
            Operand::First => self.first += turns,
            Operand::Second => self.second += turns,
        }
    }

    const fn is_inside(self, rule: Rule) -> bool {
        let (first, second) = (self.first > 0, self.second > 0);
        match rule {
            Rule::Union => first || second,
            Rule::Difference => first && !second,
            Rule::Intersection => first && second,
        }
    }
}

/// A ring that meets no other: it bounds the result where the result is on one side of it only.
fn lone_ring(ring: &Ring, operand: Operand, around: Winding, rule: Rule) -> Option<Ring> {
    let counter_clockwise = ring.signed_area() > 0.0;
    let mut within = around;
    within.add(operand, if counter_clockwise { 1 } else { -1 });
    let (inner, outer) = (within.is_inside(rule), around.is_inside(rule));
    if inner == outer {
        return None;
    }
    Some(if inner == counter_clockwise {
        ring.clone()
    } else {
        ring.reversed()
    })
}

/// Greatest distances between an arc and its chords that are tried one after the other, millimetres.
const SAGITTAS: [f64; 3] = [0.05, 0.005, 0.0005];

/// Rings that meet, through the engine. Where rings of other groups lie around them a frame stands in.
/// Where the answer hangs on less than the chords' distance from their arcs it is computed again with finer
/// ones.
fn overlay(members: &[(&Ring, Operand)], around: Winding, rule: Rule) -> Overlaid {
    let mut best = Overlaid::default();
    for (again, sagitta) in (0..).zip(SAGITTAS) {
        let found = overlay_with_chords(members, around, rule, sagitta);
        if again == 0 || found.doubts < best.doubts {
            best = found;
        }
        best.again = again;
        if best.doubts == 0 {
            break;
        }
    }
    best
}

/// What came of a group of rings.
#[derive(Debug, Default)]
struct Overlaid {
    rings: Vec<Ring>,
    /// Places that the curves do not bear out.
    doubts: u32,
    /// How often it was computed again.
    again: u32,
}

fn overlay_with_chords(
    members: &[(&Ring, Operand)],
    around: Winding,
    rule: Rule,
    sagitta: f64,
) -> Overlaid {
    let bounds = members
        .iter()
        .map(|(ring, _)| ring.bounding_box())
        .fold(BoundingBox::EMPTY, |all, one| all.joined(&one));
    if !(bounds.width().is_finite() && bounds.height().is_finite()) {
        return Overlaid::default();
    }
    let mut plane = Plane::new(bounds.centre(), sagitta);
    let mut pieces = Vec::new();
    for (ring, operand) in members {
        for segment in ring.segments() {
            pieces.extend(plane.place(segment).map(|piece| (piece, *operand)));
        }
    }
    plane.refine(&pieces);
    plane.sort_stops();
    let mut chords = Vec::new();
    for (piece, operand) in &pieces {
        plane.flatten(piece, |chord| chords.push((chord, *operand)));
    }
    let frame = plane.frame(&bounds.grown(1.0));
    for (turns, operand) in [
        (around.first, Operand::First),
        (around.second, Operand::Second),
    ] {
        for _ in 0..turns.unsigned_abs() {
            chords.extend(frame.iter().map(|side| {
                let side = if turns > 0 {
                    *side
                } else {
                    Chord {
                        from: side.to,
                        to: side.from,
                        ..*side
                    }
                };
                (side, operand)
            }));
        }
    }
    let mut overlaid = Overlaid::default();
    for recovered in engine::combine(chords.into_iter(), rule)
        .iter()
        .filter(|ring| ring.iter().any(|chord| chord.curve != FRAME))
        .filter_map(|ring| plane.recover(ring))
    {
        overlaid.doubts += recovered.doubts;
        overlaid.rings.push(recovered.ring);
    }
    overlaid
}
