//! Dense smooth outlines, like one traced from a drawing: a closed curve 9 m by 3 m, blunt at one end.

use crate::engine::Engine;
use crate::ours::Ours;
use spile::shape::{Point, Region, Ring};

/// Which curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outline {
    /// Convex all round.
    Convex,
    /// The same with a hollow stretch on both sides.
    Hollowed,
}

impl Outline {
    /// As it is written in tables.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Convex => "convex",
            Self::Hollowed => "hollowed",
        }
    }

    fn at(self, turn: f64) -> Point {
        let (sine, cosine) = turn.sin_cos();
        let breadth = 1500.0 * (1.0 - 0.2 * cosine);
        let hollow = match self {
            Self::Convex => 0.0,
            Self::Hollowed => 0.2 * (-((cosine - 0.35) / 0.2).powi(2)).exp(),
        };
        Point::new(4500.0 * cosine, breadth * (1.0 - hollow) * sine)
    }
}

/// The curve as a polygon of so many vertices, counter-clockwise.
#[must_use]
pub fn vertices(outline: Outline, count: u32) -> Vec<Point> {
    let turn = |index: u32| std::f64::consts::TAU * f64::from(index) / f64::from(count);
    (0..count).map(|index| outline.at(turn(index))).collect()
}

/// The inside of a dense outline, as the program takes it in. Where runs of vertices become lines and arcs,
/// this is the place.
#[must_use]
pub fn taken_in(vertices: &[Point]) -> Region {
    Region::inside(Ring::polygon(vertices))
}

/// A dense outline taken in and shrunk.
#[must_use]
pub fn inset_of_dense(vertices: &[Point], by: f64) -> Region {
    let region = taken_in(vertices);
    Ours.shrunk(&region, by).unwrap_or_default()
}
