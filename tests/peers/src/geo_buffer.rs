//! geo: polygons in floating point, its buffer and booleans on an integer engine.

use crate::chords;
use crate::engine::{Engine, Figures};
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{
    Area, BooleanOps, Buffer, Coord, Euclidean, Length, LineString, MultiPolygon, Polygon,
    unary_union,
};
use spile::shape::{Point, Ring};

/// geo with a chord error.
#[derive(Debug, Clone, Copy)]
pub struct Geo {
    /// Greatest distance of a chord from its arc, millimetres.
    pub chord_error: f64,
}

impl Geo {
    fn offset(self, region: &MultiPolygon, by: f64) -> MultiPolygon {
        let angle = chords::chord_angle(by.abs(), self.chord_error);
        region.buffer_with_style(BufferStyle::new(by).line_join(LineJoin::Round(angle)))
    }
}

impl Engine for Geo {
    type Region = MultiPolygon;

    fn name(&self) -> String {
        format!("geo {}", self.chord_error)
    }

    fn inside(&self, ring: &Ring) -> Result<MultiPolygon, String> {
        let points = chords::vertices(ring, self.chord_error);
        let coords = points.into_iter().map(|at| Coord { x: at.x, y: at.y });
        let shell = LineString::new(coords.collect());
        Ok(MultiPolygon::new(vec![Polygon::new(shell, Vec::new())]))
    }

    fn grown(&self, region: &MultiPolygon, distance: f64) -> Result<MultiPolygon, String> {
        Ok(self.offset(region, distance))
    }

    fn shrunk(&self, region: &MultiPolygon, distance: f64) -> Result<MultiPolygon, String> {
        Ok(self.offset(region, -distance))
    }

    fn less(
        &self,
        region: MultiPolygon,
        others: Vec<MultiPolygon>,
    ) -> Result<MultiPolygon, String> {
        if others.is_empty() {
            return Ok(region);
        }
        Ok(region.difference(&unary_union(&others)))
    }

    fn figures(&self, region: &MultiPolygon) -> Result<Figures, String> {
        let length = |ring: &LineString| Euclidean.length(ring);
        Ok(Figures {
            area: region.unsigned_area(),
            perimeter: region
                .iter()
                .flat_map(|part| std::iter::once(part.exterior()).chain(part.interiors()))
                .map(length)
                .sum(),
            parts: region.iter().map(Area::unsigned_area).collect(),
        })
    }

    fn rings(&self, region: &MultiPolygon) -> Vec<Ring> {
        let ring = |line: &LineString| {
            let mut points: Vec<Point> = line.coords().map(|at| Point::new(at.x, at.y)).collect();
            points.pop();
            Ring::polygon(&points)
        };
        region
            .iter()
            .flat_map(|part| {
                let outer = ring(part.exterior()).counter_clockwise();
                let holes = part
                    .interiors()
                    .iter()
                    .map(move |hole| ring(hole).counter_clockwise().reversed());
                std::iter::once(outer).chain(holes)
            })
            .collect()
    }
}
