//! Arcs as chords, for the engines that have none, with a stated greatest distance of chord from arc.

use spile::shape::{Point, Region, Ring, Segment};

/// The angle of the chord that lies `error` off its arc in the middle: error = r(1 - cos(angle/2)).
#[must_use]
pub fn chord_angle(radius: f64, error: f64) -> f64 {
    2.0 * (1.0 - (error / radius).min(1.0)).acos()
}

/// The chords in a quarter turn, so that none lies further than `error` off the arc.
#[must_use]
pub fn in_a_quarter(radius: f64, error: f64) -> u32 {
    in_whole_chords(std::f64::consts::FRAC_PI_2, chord_angle(radius, error))
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "positive, and far below 2³²: a chord of 1e-9 mm error turns by more than 1e-6"
)]
fn in_whole_chords(turn: f64, chord: f64) -> u32 {
    (turn / chord).ceil().max(1.0) as u32
}

/// The ring's vertices, each once, chords of arcs at most `error` off them.
#[must_use]
pub fn vertices(ring: &Ring, error: f64) -> Vec<Point> {
    let mut vertices = Vec::new();
    for segment in ring.segments() {
        let steps = match segment {
            Segment::Line(..) => 1,
            Segment::Arc(arc) => in_whole_chords(arc.sweep.abs(), chord_angle(arc.radius, error)),
        };
        for step in 0..steps {
            vertices.push(segment.point_at(f64::from(step) / f64::from(steps)));
        }
    }
    vertices
}

/// Figures of a region from its rings: for engines that do not say which hole lies in which part.
#[must_use]
pub fn figures_of_rings(rings: Vec<Ring>) -> crate::engine::Figures {
    let region = Region::new(rings);
    crate::engine::Figures {
        area: region.area(),
        perimeter: region.perimeter(),
        parts: region.components().iter().map(Region::area).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_chord_is_further_off_than_it_says() {
        for error in [0.1, 0.01, 0.001] {
            for radius in [0.05, 1.0, 60.0, 5000.0] {
                let points = vertices(&Ring::circle(Point::ORIGIN, radius), error);
                for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
                    let middle = a.towards(*b, 0.5);
                    assert!(radius - middle.length() <= error * (1.0 + 1e-9));
                }
            }
        }
    }
}
