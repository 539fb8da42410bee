//! A deck's whole plan laid flat: every ring and every strip of it, so that a pattern can be laid out on the
//! development as on any plan. Strips keep their width on the surface.

use super::Development;
use crate::outline::{DeckPlan, EdgeRing, NamedRing, Placement, StripShape};
use crate::shape::{Point, Region, Ring, Segment};

impl Development {
    /// The plan of a deck laid flat. Margins, radii and widths stay what they are.
    #[must_use]
    pub fn laid_plan(&self, plan: &DeckPlan) -> DeckPlan {
        let mut segments = Vec::new();
        let mut edge_of_segment = Vec::new();
        let outline = &plan.outline;
        for (segment, edge) in outline.ring.segments().iter().zip(&outline.edge_of_segment) {
            segments.extend(self.laid_segment(segment));
            edge_of_segment.resize(segments.len(), *edge);
        }
        let placements = |list: &[Placement]| -> Vec<Placement> {
            list.iter()
                .map(|one| Placement {
                    ring: self.laid_ring(&one.ring),
                    ..one.clone()
                })
                .collect()
        };
        let rings = |list: &[NamedRing]| {
            list.iter()
                .map(|one| NamedRing {
                    ring: self.laid_ring(&one.ring),
                    ..one.clone()
                })
                .collect()
        };
        DeckPlan {
            outline: EdgeRing {
                ring: Ring::new(segments),
                edge_of_segment,
                edges: outline.edges.clone(),
            },
            openings: placements(&plan.openings),
            fittings: placements(&plan.fittings),
            smooth: rings(&plan.smooth),
            pads: rings(&plan.pads),
            strips: plan
                .strips
                .iter()
                .map(|strip| self.laid_strip(strip))
                .collect(),
            ..plan.clone()
        }
    }

    /// A band of the strip's width about its middle line laid flat, with square ends and mitred bends.
    fn laid_strip(&self, strip: &StripShape) -> StripShape {
        let half = strip.width.to_mm() / 2.0;
        let mut pieces: Vec<Ring> = strip
            .middle
            .windows(2)
            .flat_map(|leg| split_at_the_centreline(leg[0], leg[1]))
            .map(|[from, to]| self.laid_leg(from, to, half))
            .collect();
        for bend in strip.middle.windows(3) {
            let before = self.laid_segment(&Segment::Line(bend[0], bend[1]));
            let after = self.laid_segment(&Segment::Line(bend[1], bend[2]));
            if let (Some(before), Some(after)) = (before.last(), after.first()) {
                let ways = [before.direction_at(1.0), after.direction_at(0.0)];
                pieces.extend(mitre(self.laid(bend[1]), ways, half));
            }
        }
        let region = match pieces.as_slice() {
            [one] => Region::inside(one.clone()),
            several => Region::of_overlapping(several),
        };
        StripShape {
            width: strip.width,
            middle: strip.middle.iter().map(|point| self.laid(*point)).collect(),
            region,
            place: strip.place,
        }
    }

    /// A band along one straight leg; a leg to port as the mirror image of one to starboard.
    fn laid_leg(&self, from: Point, to: Point, half: f64) -> Ring {
        if from.y + to.y < 0.0 {
            let image = self.laid_leg(to.mirrored(), from.mirrored(), half);
            return image.mirrored();
        }
        let mut segments = self.laid_beside(from, to, -half);
        let left = self.laid_beside(from, to, half);
        let back: Vec<Segment> = left.iter().rev().map(Segment::reversed).collect();
        if let (Some(end), Some(start)) = (segments.last(), back.first()) {
            segments.push(Segment::Line(end.end(), start.start()));
        }
        segments.extend(back);
        if let (Some(end), Some(start)) = (segments.last(), segments.first()) {
            segments.push(Segment::Line(end.end(), start.start()));
        }
        Ring::new(segments).counter_clockwise()
    }
}

/// A leg in two where it crosses the centreline, so that both sides come out alike.
fn split_at_the_centreline(from: Point, to: Point) -> Vec<[Point; 2]> {
    if from.y * to.y < 0.0 {
        let middle = from.towards(to, from.y / (from.y - to.y));
        let middle = Point::new(middle.x, 0.0);
        vec![[from, middle], [middle, to]]
    } else {
        vec![[from, to]]
    }
}

/// What fills the outer side of a bend, for a band of this half-width: a mitre, cut off square where the bend is
/// sharper than a right angle, as in plan.
fn mitre(at: Point, ways: [Point; 2], half: f64) -> Option<Ring> {
    let [from, to] = ways;
    let turn = from.cross(to).atan2(from.dot(to));
    if turn.abs() < 1e-9 {
        return None;
    }
    let sign = turn.signum();
    let (first, last) = (
        at - from.left() * (half * sign),
        at - to.left() * (half * sign),
    );
    let mut corners = vec![at, first];
    if turn.abs() <= std::f64::consts::FRAC_PI_2 + 1e-9 {
        corners.push(at - (from.left() + to.left()) * (half * sign / (1.0 + from.dot(to))));
    } else {
        let on = half * (turn.abs() / 4.0).tan();
        corners.extend([first + from * on, last - to * on]);
    }
    corners.push(last);
    Some(Ring::polygon(&corners).counter_clockwise())
}
