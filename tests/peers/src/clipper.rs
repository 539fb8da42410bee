//! clipper2-rust: polygons on an integer grid.

use crate::chords;
use crate::engine::{Engine, Figures};
use clipper2_rust::{
    EndType, FillRule, JoinType, Path64, Paths64, Point as Node, difference_64, inflate_paths_64,
};
use spile::shape::{Point, Ring};

/// Grid nodes in a millimetre.
const SCALE: f64 = 1e5;

/// The clipper with a chord error.
#[derive(Debug, Clone, Copy)]
pub struct Clipper {
    /// Greatest distance of a chord from its arc, millimetres.
    pub chord_error: f64,
}

impl Clipper {
    fn offset(self, region: &Paths64, by: f64) -> Paths64 {
        inflate_paths_64(
            region,
            by * SCALE,
            JoinType::Round,
            EndType::Polygon,
            2.0,
            self.chord_error * SCALE,
        )
    }
}

impl Engine for Clipper {
    type Region = Paths64;

    fn name(&self) -> String {
        format!("clipper2-rust {}", self.chord_error)
    }

    fn inside(&self, ring: &Ring) -> Result<Paths64, String> {
        let path = chords::vertices(ring, self.chord_error);
        Ok(vec![path.into_iter().map(node).collect()])
    }

    fn grown(&self, region: &Paths64, distance: f64) -> Result<Paths64, String> {
        Ok(self.offset(region, distance))
    }

    fn shrunk(&self, region: &Paths64, distance: f64) -> Result<Paths64, String> {
        Ok(self.offset(region, -distance))
    }

    fn less(&self, region: Paths64, others: Vec<Paths64>) -> Result<Paths64, String> {
        let others = others.into_iter().flatten().collect();
        Ok(difference_64(&region, &others, FillRule::NonZero))
    }

    fn figures(&self, region: &Paths64) -> Result<Figures, String> {
        Ok(chords::figures_of_rings(self.rings(region)))
    }

    fn rings(&self, region: &Paths64) -> Vec<Ring> {
        region.iter().map(ring).collect()
    }
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "a deck is a few metres, in hundredths of a micrometre"
)]
fn node(point: Point) -> Node<i64> {
    Node::new(
        (point.x * SCALE).round() as i64,
        (point.y * SCALE).round() as i64,
    )
}

#[allow(
    clippy::cast_precision_loss,
    reason = "a deck is a few metres, in hundredths of a micrometre: far below 2⁵³"
)]
fn ring(path: &Path64) -> Ring {
    let points: Vec<Point> = path
        .iter()
        .map(|node| Point::new(node.x as f64 / SCALE, node.y as f64 / SCALE))
        .collect();
    Ring::polygon(&points)
}
