//! Tracings from the file to the deck: what an SVG holds against closed forms and another reader, photographs
//! rectified by marks against other libraries and against a simulated camera, broken files.

#![allow(
    clippy::panic,
    clippy::print_stdout,
    reason = "tests say what they measure, and stop where something is wrong"
)]

mod camera;
mod demo;
mod features;
mod homographies;
mod hostile;
mod layouts;
mod photographs;

use spile::import::{Drawn, DrawnPath, Piece, svg};
use spile::shape::{BoundingBox, Point};

/// Nodes and weights of Gauss-Legendre quadrature of order 5 on [0, 1]; Abramowitz and Stegun, table 25.4.
const GAUSS: [(f64, f64); 5] = [
    (0.046_910_077_030_668, 0.118_463_442_528_095),
    (0.230_765_344_947_158, 0.239_314_335_249_683),
    (0.5, 0.284_444_444_444_444),
    (0.769_234_655_052_842, 0.239_314_335_249_683),
    (0.953_089_922_969_332, 0.118_463_442_528_095),
];

/// Half the integral of x dy - y dx along a piece.
fn swept(piece: &Piece) -> f64 {
    match piece {
        Piece::Line { start, end } => start.cross(*end) / 2.0,
        Piece::Arc(arc) => {
            let chord = arc.end - arc.start;
            // About the centre the arc sweeps a sector; a shift adds half the cross product with the chord.
            (arc.radius * arc.radius * arc.sweep + arc.centre.cross(chord)) / 2.0
        }
        Piece::Curve(curve) => {
            let mut sum = 0.0;
            for part in 0..32 {
                for (node, weight) in GAUSS {
                    let at = (f64::from(part) + node) / 32.0;
                    sum += weight / 32.0 * curve.point_at(at).cross(curve.velocity_at(at)) / 2.0;
                }
            }
            sum
        }
    }
}

/// Area that paths enclose, each counted by itself.
fn area(paths: &[&DrawnPath]) -> f64 {
    paths
        .iter()
        .map(|path| path.pieces.iter().map(swept).sum::<f64>().abs())
        .sum()
}

/// The box round paths, looked at densely.
fn bounds(paths: &[&DrawnPath]) -> BoundingBox {
    let mut bounds = BoundingBox::EMPTY;
    for piece in paths.iter().flat_map(|path| &path.pieces) {
        bounds.include(piece.start());
        bounds.include(piece.end());
        for i in 0..=400 {
            let share = f64::from(i) / 400.0;
            match piece {
                Piece::Line { .. } => {}
                Piece::Arc(arc) => bounds.include(spile::shape::Segment::Arc(*arc).point_at(share)),
                Piece::Curve(curve) => bounds.include(curve.point_at(share)),
            }
        }
    }
    bounds
}

/// An SVG with this inside, on a window of 400 by 300.
fn around(inside: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         width=\"400\" height=\"300\" viewBox=\"0 0 400 300\">\n{inside}\n</svg>\n"
    )
}

fn read(text: &str) -> Drawn {
    svg::read(text.as_bytes()).expect("a good file")
}

/// A small generator of numbers, the same on every machine: Knuth's MMIX constants.
struct Chance(u64);

impl Chance {
    /// Between 0 and 1, evenly.
    fn share(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        #[allow(clippy::cast_precision_loss, reason = "53 bits fit")]
        let share = (self.0 >> 11) as f64 / (1_u64 << 53) as f64;
        share
    }

    /// Normally distributed with standard deviation 1 (Box and Muller).
    fn normal(&mut self) -> f64 {
        let (u, v) = (1.0 - self.share(), self.share());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }

    fn normal_point(&mut self, deviation: f64) -> Point {
        let x = self.normal() * deviation;
        Point::new(x, self.normal() * deviation)
    }
}
