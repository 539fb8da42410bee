//! What of a line, an arc or a chain of them lies in a box. The ends of the parts lie on the box's sides, and what is
//! left of an arc keeps its centre and radius.

use std::f64::consts::TAU;

use super::{Arc, BoundingBox, Point, Segment};

/// A place on a segment: the share of the way along, and the point itself.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cut {
    share: f64,
    at: Point,
}

/// The sides of boxes: upright at an x, or level at a y.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Side {
    Upright(f64),
    Level(f64),
}

impl Segment {
    /// The parts of it that lie in a box, in its own order; what runs along a side lies in the box.
    ///
    /// ```
    /// use spile::shape::{Arc, BoundingBox, Point, Segment};
    /// use std::f64::consts::PI;
    /// let slot = BoundingBox { least: Point::new(-60.0, 0.0), greatest: Point::new(60.0, 90.0) };
    /// let half = Segment::Arc(Arc::about(Point::ORIGIN, 100.0, 0.0, PI));
    /// let parts = half.parts_in(&slot);
    /// assert_eq!(parts.len(), 2);
    /// assert_eq!((parts[0].start().x, parts[0].end().y), (60.0, 90.0));
    /// assert!(half.parts_in(&slot.grown(100.0)) == [half]);
    /// ```
    #[must_use]
    pub fn parts_in(&self, bounds: &BoundingBox) -> Vec<Self> {
        let own = self.bounding_box();
        if !own.touches(bounds) {
            return Vec::new();
        }
        if bounds.holds(own.least) && bounds.holds(own.greatest) {
            return vec![*self];
        }
        let cuts = self.cuts([
            Side::Upright(bounds.least.x),
            Side::Upright(bounds.greatest.x),
            Side::Level(bounds.least.y),
            Side::Level(bounds.greatest.y),
        ]);
        let mut kept: Vec<[Cut; 2]> = Vec::new();
        for pair in cuts.windows(2) {
            let middle = self.point_at(f64::midpoint(pair[0].share, pair[1].share));
            if !bounds.holds(middle) {
                continue;
            }
            match kept.last_mut() {
                Some(before) if before[1] == pair[0] => before[1] = pair[1],
                _ => kept.push([pair[0], pair[1]]),
            }
        }
        kept.into_iter()
            .map(|[from, to]| self.between(from, to))
            .collect()
    }

    /// Where it meets some sides: both ends, and what lies between them, in order.
    fn cuts(&self, sides: impl IntoIterator<Item = Side>) -> Vec<Cut> {
        let mut cuts = vec![
            Cut {
                share: 0.0,
                at: self.start(),
            },
            Cut {
                share: 1.0,
                at: self.end(),
            },
        ];
        for side in sides {
            self.add_cuts(side, &mut cuts);
        }
        cuts.sort_by(|a, b| a.share.total_cmp(&b.share));
        cuts
    }

    fn add_cuts(&self, side: Side, cuts: &mut Vec<Cut>) {
        match (self, side) {
            (Self::Line(start, end), side) => {
                let (from, to, at) = match side {
                    Side::Upright(x) => (start.x, end.x, x),
                    Side::Level(y) => (start.y, end.y, y),
                };
                let share = (at - from) / (to - from);
                if share > 0.0 && share < 1.0 {
                    let met = start.towards(*end, share);
                    let met = match side {
                        Side::Upright(x) => Point::new(x, met.y),
                        Side::Level(y) => Point::new(met.x, y),
                    };
                    cuts.push(Cut { share, at: met });
                }
            }
            (Self::Arc(arc), side) => {
                let off = match side {
                    Side::Upright(x) => x - arc.centre.x,
                    Side::Level(y) => y - arc.centre.y,
                };
                let square = (arc.radius - off) * (arc.radius + off);
                if square < 0.0 {
                    return;
                }
                let aside = square.sqrt();
                for aside in [aside, -aside] {
                    let at = match side {
                        Side::Upright(x) => Point::new(x, arc.centre.y + aside),
                        Side::Level(y) => Point::new(arc.centre.x + aside, y),
                    };
                    let share = share_of(arc, at);
                    if share > 0.0 && share < 1.0 {
                        cuts.push(Cut { share, at });
                    }
                    if aside == 0.0 {
                        break;
                    }
                }
            }
        }
    }

    fn between(&self, from: Cut, to: Cut) -> Self {
        match self {
            Self::Line(..) => Self::Line(from.at, to.at),
            Self::Arc(arc) => Self::Arc(Arc {
                start: from.at,
                end: to.at,
                sweep: arc.sweep * (to.share - from.share),
                ..*arc
            }),
        }
    }

    /// Calls `tell` with the column and the row of every cell of a grid that it passes through; the cells are as large as
    /// `step` says, and cell 0, 0 has its least corner at `origin`.
    pub fn cells(&self, origin: Point, step: Point, mut tell: impl FnMut(f64, f64)) {
        let bounds = self.bounding_box();
        let column = |x: f64| ((x - origin.x) / step.x).floor();
        let row = |y: f64| ((y - origin.y) / step.y).floor();
        let mut cuts = Vec::new();
        let (mut next, last) = (column(bounds.least.x) + 1.0, column(bounds.greatest.x));
        while next <= last {
            cuts.push(Side::Upright(origin.x + next * step.x));
            next += 1.0;
        }
        let (mut next, last) = (row(bounds.least.y) + 1.0, row(bounds.greatest.y));
        while next <= last {
            cuts.push(Side::Level(origin.y + next * step.y));
            next += 1.0;
        }
        if cuts.is_empty() {
            tell(column(bounds.least.x), row(bounds.least.y));
            return;
        }
        for pair in self.cuts(cuts).windows(2) {
            let middle = self.point_at(f64::midpoint(pair[0].share, pair[1].share));
            tell(column(middle.x), row(middle.y));
        }
    }
}

/// How far along an arc a point of its circle lies; beyond 1 off the arc.
fn share_of(arc: &Arc, at: Point) -> f64 {
    let (u, v) = (arc.start - arc.centre, at - arc.centre);
    let turn = u.cross(v).atan2(u.dot(v)) * arc.sweep.signum();
    turn.rem_euclid(TAU) / arc.sweep.abs()
}

/// The parts of a chain of segments that lie in a box; what runs on over a joint is one part. A part of a `closed` chain
/// may run on over the joint of its last segment with its first.
#[must_use]
pub fn chain_parts_in(chain: &[Segment], closed: bool, bounds: &BoundingBox) -> Vec<Vec<Segment>> {
    let mut parts: Vec<Vec<Segment>> = Vec::new();
    // Whether what has been found so far reaches to the joint with the next segment.
    let mut runs_on = false;
    let mut first_begins = false;
    for (index, segment) in chain.iter().enumerate() {
        let pieces = segment.parts_in(bounds);
        let Some((first, last)) = pieces.first().zip(pieces.last()) else {
            runs_on = false;
            continue;
        };
        let begins = first.start() == segment.start();
        if index == 0 {
            first_begins = begins;
        }
        let ends = last.end() == segment.end();
        for (number, piece) in pieces.iter().enumerate() {
            match parts.last_mut() {
                Some(part) if number == 0 && runs_on && begins => part.push(*piece),
                _ => parts.push(vec![*piece]),
            }
        }
        runs_on = ends;
    }
    if closed
        && runs_on
        && first_begins
        && parts.len() > 1
        && let Some(mut last) = parts.pop()
        && let Some(first) = parts.first_mut()
    {
        last.append(first);
        *first = last;
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::super::Ring;
    use super::*;
    use proptest::prelude::*;

    fn any_segment() -> impl Strategy<Value = Segment> {
        let place = -2_000.0..2_000.0;
        let line = (place.clone(), place.clone(), place.clone(), place.clone())
            .prop_map(|(a, b, c, d)| Segment::Line(Point::new(a, b), Point::new(c, d)));
        let arc = (
            place.clone(),
            place,
            1.0..20_000.0,
            -4.0..4.0,
            1e-3..6.2,
            any::<bool>(),
        )
            .prop_map(|(x, y, radius, from, sweep, left)| {
                let sweep: f64 = if left { sweep } else { -sweep };
                // Near the origin, however large its circle.
                let centre = Point::new(x, y) - Point::at_angle(from) * radius;
                Segment::Arc(Arc::about(centre, radius, from, sweep))
            });
        prop_oneof![line, arc]
    }

    fn off_the_sides(at: Point, bounds: &BoundingBox) -> f64 {
        let sides = [
            at.x - bounds.least.x,
            at.x - bounds.greatest.x,
            at.y - bounds.least.y,
            at.y - bounds.greatest.y,
        ];
        sides
            .into_iter()
            .map(f64::abs)
            .fold(f64::INFINITY, f64::min)
    }

    proptest! {
        #[test]
        fn the_cells_of_a_grid_hold_the_whole_of_a_segment_between_them(
            segment in any_segment(), x in 0.0..300.0, y in 0.0..300.0,
        ) {
            let (origin, step) = (Point::new(x, y), Point::new(301.7, 283.3));
            let mut cells = Vec::new();
            segment.cells(origin, step, |column, row| cells.push((column, row)));
            cells.sort_by(|a, b| a.partial_cmp(b).expect("numbers"));
            cells.dedup();
            let mut sum = 0.0;
            for (column, row) in cells {
                let least = origin + Point::new(column * step.x, row * step.y);
                let bounds = BoundingBox { least, greatest: least + step };
                for part in segment.parts_in(&bounds) {
                    sum += part.length();
                    for end in [part.start(), part.end()] {
                        prop_assert!(
                            end == segment.start() || end == segment.end() || off_the_sides(end, &bounds) < 1e-9
                        );
                        if let Segment::Arc(arc) = part {
                            prop_assert!((end.distance(arc.centre) - arc.radius).abs() < 1e-9);
                        }
                    }
                    prop_assert!(bounds.grown(1e-6).holds(part.point_at(0.5)));
                }
            }
            prop_assert!((sum - segment.length()).abs() < 1e-7 * segment.length().max(1.0), "{sum}");
        }
    }

    #[test]
    fn a_ring_across_a_box_runs_on_over_its_first_joint() {
        let ring = Ring::circle(Point::ORIGIN, 100.0);
        let right = BoundingBox {
            least: Point::new(50.0, -200.0),
            greatest: Point::new(200.0, 200.0),
        };
        let parts = chain_parts_in(ring.segments(), true, &right);
        assert_eq!(parts.len(), 1);
        let length: f64 = parts[0].iter().map(Segment::length).sum();
        assert!((length - 100.0 * 2.0 * (0.5_f64).acos()).abs() < 1e-9);
        assert_eq!(parts[0][0].start().x, 50.0);
        let whole = chain_parts_in(ring.segments(), true, &right.grown(300.0));
        assert_eq!(whole, [ring.segments().to_vec()]);
    }

    #[test]
    fn a_tangent_that_only_touches_a_side_is_not_cut_there() {
        let arc = Segment::Arc(Arc::about(Point::ORIGIN, 100.0, 0.0, std::f64::consts::PI));
        let below_the_crown = BoundingBox {
            least: Point::new(-200.0, -1.0),
            greatest: Point::new(200.0, 100.0),
        };
        assert_eq!(arc.parts_in(&below_the_crown).len(), 1);
    }
}
