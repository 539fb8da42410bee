//! The circle that a trammel draws for several arcs at once. Comes in: arcs that follow each other. Goes out: the centre and
//! radius whose circle, drawn on the deck, follows them best, and how far it is off.

use nalgebra::{Matrix3, Vector3};

use crate::shape::{Arc, Point, Segment};

use super::ground::Ground;

/// An arc that turns by less than this keeps its centre, radians: too little of a circle to find another from.
const SHORT_ARC: f64 = 0.3;
/// Rounds of finding a centre; three do.
const ROUNDS: usize = 6;
/// Step over which a distance is differenced, millimetres.
const STEP: f64 = 0.5;
/// Places on an arc that its circle is found from.
const SHARES: [f64; 7] = [0.0, 1.0 / 6.0, 1.0 / 3.0, 0.5, 2.0 / 3.0, 5.0 / 6.0, 1.0];

/// A circle drawn on the deck.
pub(super) struct Circle {
    pub(super) centre: Point,
    /// With the tape on the deck.
    pub(super) radius: f64,
    /// How far it is off the arcs it stands for, at most.
    pub(super) off: f64,
}

/// The circle that follows some arcs best, one after the other.
pub(super) fn circle(arcs: &[Arc], ground: &Ground<'_>) -> Circle {
    let places: Vec<Point> = arcs
        .iter()
        .flat_map(|arc| SHARES.map(|share| Segment::Arc(*arc).point_at(share)))
        .collect();
    let sweep: f64 = arcs.iter().map(|arc| arc.sweep).sum();
    let reaches = |centre: Point| -> Vec<f64> {
        places
            .iter()
            .map(|place| ground.distance(centre, *place))
            .collect()
    };
    let mean = |reaches: &[f64]| reaches.iter().sum::<f64>() / reaches.len() as f64;
    let mut centre = arcs.first().map_or(Point::ORIGIN, |arc| arc.centre);
    let mut radius = mean(&reaches(centre));
    if sweep.abs() > SHORT_ARC {
        // Gauss and Newton's method for equal distances.
        for _ in 0..ROUNDS {
            let here = reaches(centre);
            let by_x = reaches(centre + Point::new(STEP, 0.0));
            let by_y = reaches(centre + Point::new(0.0, STEP));
            let mut normal = Matrix3::<f64>::zeros();
            let mut right = Vector3::<f64>::zeros();
            for index in 0..places.len() {
                let row = Vector3::new(
                    (by_x[index] - here[index]) / STEP,
                    (by_y[index] - here[index]) / STEP,
                    -1.0,
                );
                normal += row * row.transpose();
                right -= row * (here[index] - radius);
            }
            let Some(step) = normal.lu().solve(&right) else {
                break;
            };
            centre = centre + Point::new(step[0], step[1]);
            radius += step[2];
        }
    }
    let off = reaches(centre)
        .iter()
        .map(|reach| (reach - radius).abs())
        .fold(0.0, f64::max);
    Circle {
        centre,
        radius,
        off,
    }
}
