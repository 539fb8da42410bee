//! cavalier_contours: lines and arcs in floating point. It offsets whole shapes, but combines single rings
//! only; what a region with holes is less another ring is put together from those here.

use crate::chords;
use crate::engine::{Engine, Figures};
use cavalier_contours::polyline::{
    BooleanOp, BooleanResult, BooleanResultInfo, PlineOrientation, PlineSource, PlineSourceMut,
    PlineVertex, Polyline,
};
use cavalier_contours::shape_algorithms::{Shape, ShapeOffsetOptions};
use spile::shape::{Arc, Point, Ring, Segment};

/// The library with its own tolerances.
#[derive(Debug, Clone, Copy, Default)]
pub struct Cavalier;

/// Outer rings and the holes in them.
#[derive(Debug, Clone, Default)]
pub struct Rings {
    outer: Vec<Polyline<f64>>,
    holes: Vec<Polyline<f64>>,
}

impl Engine for Cavalier {
    type Region = Rings;

    fn name(&self) -> String {
        "cavalier_contours".to_owned()
    }

    fn inside(&self, ring: &Ring) -> Result<Rings, String> {
        let mut line = Polyline::new_closed();
        for segment in ring.segments() {
            let bulge = match segment {
                Segment::Line(..) => 0.0,
                Segment::Arc(arc) => (arc.sweep / 4.0).tan(),
            };
            let start = segment.start();
            line.add_vertex(PlineVertex::new(start.x, start.y, bulge));
        }
        Ok(Rings {
            outer: vec![line],
            holes: Vec::new(),
        })
    }

    fn grown(&self, region: &Rings, distance: f64) -> Result<Rings, String> {
        Ok(region.offset(-distance))
    }

    fn shrunk(&self, region: &Rings, distance: f64) -> Result<Rings, String> {
        Ok(region.offset(distance))
    }

    fn less(&self, region: Rings, others: Vec<Rings>) -> Result<Rings, String> {
        let others = others.into_iter().flat_map(|other| other.outer);
        others.into_iter().try_fold(region, Rings::less)
    }

    fn figures(&self, region: &Rings) -> Result<Figures, String> {
        Ok(chords::figures_of_rings(self.rings(region)))
    }

    fn rings(&self, region: &Rings) -> Vec<Ring> {
        let outer = region
            .outer
            .iter()
            .map(|line| ring(line).counter_clockwise());
        let holes = region
            .holes
            .iter()
            .map(|line| ring(line).counter_clockwise().reversed());
        outer.chain(holes).collect()
    }
}

impl Rings {
    /// Moved to its inside by `distance`, to its outside where that is below 0.
    fn offset(&self, distance: f64) -> Self {
        let turned = |line: &Polyline<f64>, way| {
            let mut line = line.clone();
            if line.orientation() != way {
                line.invert_direction_mut();
            }
            line
        };
        let outer = self
            .outer
            .iter()
            .map(|line| turned(line, PlineOrientation::CounterClockwise));
        let holes = self
            .holes
            .iter()
            .map(|line| turned(line, PlineOrientation::Clockwise));
        let shape = Shape::from_plines(outer.chain(holes))
            .parallel_offset(distance, &ShapeOffsetOptions::default());
        Self {
            outer: shape
                .ccw_plines
                .into_iter()
                .map(|line| line.polyline)
                .collect(),
            holes: shape
                .cw_plines
                .into_iter()
                .map(|line| line.polyline)
                .collect(),
        }
    }

    /// What of it lies outside a ring.
    fn less(self, taken: Polyline<f64>) -> Result<Self, String> {
        let before = self.clone();
        let mut taken = taken;
        let mut result = Self::default();
        // What ring and holes enclose together without being in either.
        let mut enclosed = Vec::new();
        for hole in self.holes {
            let both = combined(&hole, &taken, BooleanOp::Or)?;
            match both.result_info {
                BooleanResultInfo::Disjoint => result.holes.push(hole),
                BooleanResultInfo::Pline2InsidePline1 => return Ok(before),
                BooleanResultInfo::Pline1InsidePline2 | BooleanResultInfo::Overlapping => {}
                BooleanResultInfo::Intersected | BooleanResultInfo::InvalidInput => {
                    let mut outer = both.pos_plines.into_iter().map(|found| found.pline);
                    taken = outer.next().ok_or("a union without an outer ring")?;
                    result.holes.extend(outer);
                    enclosed.extend(both.neg_plines.into_iter().map(|found| found.pline));
                }
            }
        }
        for outer in &before.outer {
            let left = combined(outer, &taken, BooleanOp::Not)?;
            result
                .outer
                .extend(left.pos_plines.into_iter().map(|found| found.pline));
            result
                .holes
                .extend(left.neg_plines.into_iter().map(|found| found.pline));
            for island in &enclosed {
                let within = combined(island, outer, BooleanOp::And)?;
                result
                    .outer
                    .extend(within.pos_plines.into_iter().map(|found| found.pline));
            }
        }
        Ok(result)
    }
}

fn combined(
    one: &Polyline<f64>,
    other: &Polyline<f64>,
    operation: BooleanOp,
) -> Result<BooleanResult<Polyline<f64>>, String> {
    let result = one.boolean(other, operation);
    if matches!(result.result_info, BooleanResultInfo::InvalidInput) {
        return Err("invalid input to a boolean".to_owned());
    }
    Ok(result)
}

/// The line as a ring of exact lines and arcs; a bulge is the tangent of a quarter of the sweep.
fn ring(line: &Polyline<f64>) -> Ring {
    let segments = line.iter_segments().filter_map(|(from, to)| {
        let (start, end) = (Point::new(from.x, from.y), Point::new(to.x, to.y));
        let chord = end - start;
        let length = chord.length();
        if length == 0.0 {
            return None;
        }
        if from.bulge == 0.0 {
            return Some(Segment::Line(start, end));
        }
        let bulge = from.bulge;
        // From the chord's middle to the centre, along the chord's left normal.
        let reach = (1.0 - bulge * bulge) / (4.0 * bulge);
        let centre = start.towards(end, 0.5) + Point::new(-chord.y, chord.x) * reach;
        Some(Segment::Arc(Arc {
            start,
            end,
            centre,
            radius: length * (1.0 + bulge * bulge) / (4.0 * bulge.abs()),
            sweep: 4.0 * bulge.atan(),
        }))
    });
    Ring::new(segments.collect())
}
