//! Lines walked and places stepped on, where they lie. Comes in: what the layout says of them. Goes out: points, mirror
//! images after their originals, and a fault where none of it is on the deck.

use super::findings::Findings;
use super::standing::Ground;
use super::{FootholdAt, WalkLine};
use crate::layout::{Fault, Foothold, Walk};
use crate::shape::{Point, Region, TOUCH, path_parts};

/// A foothold further off the deck than this is a slip, millimetres: a ladder's head or a gate may stand just outside.
const BESIDE: f64 = 100.0;

/// The lines walked.
pub(super) fn walks(
    walks: &[Walk],
    deck: &Ground<'_>,
    findings: &mut Findings<'_>,
) -> Vec<WalkLine> {
    let deck = Region::inside(deck.ring.clone());
    let mut lines = Vec::new();
    for walk in walks {
        let points: Option<Vec<Point>> = walk
            .path
            .iter()
            .map(|position| findings.position(position, walk.place))
            .collect();
        let Some(points) = points else { continue };
        if !path_parts(&points, &deck).iter().any(|part| part.is_inside) {
            findings.fault(
                Fault::new(
                    walk.place,
                    format!("the walk \"{}\" lies wholly outside the deck", walk.name),
                    "nowhere on the deck",
                )
                .with_help(
                    "stations run aft from the datum, starboard is positive; check the numbers",
                ),
            );
            continue;
        }
        let has_image = walk.both_sides && points.iter().any(|point| point.y.abs() > TOUCH);
        let image = has_image.then(|| points.iter().map(|point| point.mirrored()).collect());
        for points in [Some(points), image].into_iter().flatten() {
            lines.push(WalkLine {
                name: walk.name.clone(),
                points,
            });
        }
    }
    lines
}

/// The places stepped on.
pub(super) fn footholds(
    footholds: &[Foothold],
    deck: &Ground<'_>,
    findings: &mut Findings<'_>,
) -> Vec<FootholdAt> {
    let deck = Region::inside(deck.ring.clone());
    let mut places = Vec::new();
    for foothold in footholds {
        let Some(at) = findings.position(&foothold.at, foothold.place) else {
            continue;
        };
        let has_image = foothold.both_sides && at.y.abs() > TOUCH;
        let image = has_image.then(|| at.mirrored());
        for at in [Some(at), image].into_iter().flatten() {
            let off = deck.boundary_distance(at);
            if !deck.contains(at) && off.to_mm() > BESIDE {
                findings.fault(
                    Fault::new(
                        foothold.place,
                        format!("the foothold \"{}\" lies off the deck", foothold.name),
                        format!(
                            "{}, {} from the deck",
                            findings.whereabouts(at),
                            findings.spoken(off.to_mm())
                        ),
                    )
                    .with_help(
                        "stations run aft from the datum, starboard is positive; check the numbers",
                    ),
                );
            } else {
                places.push(FootholdAt {
                    name: foothold.name.clone(),
                    at,
                });
            }
        }
    }
    places
}
