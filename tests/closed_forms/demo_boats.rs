//! The demo boats: what must hold on decks that have no closed form.

use spile::Job;
use spile::outline::DeckPlan;
use spile::shape::{Point, Region, Segment};

use crate::{figures, job};

/// Every demo boat's name and text, in the order of their names.
fn boats() -> Vec<(String, String)> {
    let mut paths: Vec<_> = std::fs::read_dir("layouts")
        .expect("the demo boats")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "toml")
        })
        .collect();
    paths.sort();
    assert!(paths.len() >= 5);
    paths
        .iter()
        .map(|path| {
            (
                path.display().to_string(),
                std::fs::read_to_string(path).expect("text"),
            )
        })
        .collect()
}

#[test]
fn areas_close() {
    for (boat, text) in boats() {
        let all = figures(&text);
        for deck in all["decks"].as_array().expect("a list") {
            let (closure, area) = (
                deck["closure_m2"].as_f64().expect("a number"),
                deck["area_m2"].as_f64().expect("a number"),
            );
            assert!(
                closure.abs() < 1e-9 * area,
                "{boat} {}: {closure:e}",
                deck["id"]
            );
        }
    }
}

#[test]
fn the_fields_of_a_deck_measured_from_the_centreline_are_mirror_images() {
    // Every deck whose fittings are on the centreline or on both sides.
    let mut seen = 0;
    for (boat, text) in boats() {
        for deck in &job(&text).decks {
            if !is_measured_alike(&deck.plan) {
                continue;
            }
            seen += 1;
            let region = deck.pattern.field_region();
            let image = region.mirrored();
            assert_eq!(image.rings().len(), region.rings().len());
            for at in samples(&image, 5.0) {
                let off = region.boundary_distance(at).to_mm();
                assert!(off < 1e-6, "{boat} {}: {off} off at {at:?}", deck.plan.id);
            }
            // Each field has its partner, or is its own.
            for field in &deck.pattern.fields {
                let centre = field.region.centroid();
                let partner = deck.pattern.fields.iter().any(|other| {
                    other.region.centroid().mirrored().distance(centre) < 1e-6
                        && (other.region.area() - field.region.area()).abs()
                            < 1e-9 * field.region.area()
                });
                assert!(partner, "{boat} {} {}", deck.plan.id, field.id);
            }
        }
    }
    assert!(seen >= 3, "{seen} decks");
}

/// Whether all that stands on a deck, and its edge, is there on both sides alike.
fn is_measured_alike(plan: &DeckPlan) -> bool {
    let centres = |region: &Region| {
        region
            .rings()
            .iter()
            .map(|ring| Region::new(vec![ring.clone()]).centroid())
            .collect::<Vec<_>>()
    };
    let rings = std::iter::once(&plan.outline.ring)
        .chain(plan.openings.iter().map(|one| &one.ring))
        .chain(plan.fittings.iter().map(|one| &one.ring))
        .chain(plan.smooth.iter().map(|one| &one.ring))
        .chain(plan.pads.iter().map(|one| &one.ring))
        .chain(plan.strips.iter().flat_map(|strip| strip.region.rings()))
        .cloned()
        .collect();
    let all = centres(&Region::new(rings));
    all.iter().all(|centre| {
        all.iter()
            .any(|other| other.mirrored().distance(*centre) < 1e-6)
    })
}

/// Points along a boundary no further apart than `step`, millimetres.
fn samples(region: &Region, step: f64) -> Vec<Point> {
    let mut points = Vec::new();
    for segment in region.segments() {
        let mut walked = 0.0;
        while walked < segment.length() {
            points.push(segment.point_at(walked / segment.length()));
            walked += step;
        }
        points.push(segment.point_at(0.5));
        points.push(segment.end());
    }
    points
}

/// Distance from a point to a segment, by its own formula.
fn distance(at: Point, segment: &Segment) -> f64 {
    let ends = at.distance(segment.start()).min(at.distance(segment.end()));
    match segment {
        Segment::Line(start, end) => {
            let (along, to) = (*end - *start, at - *start);
            let share = to.dot(along) / along.dot(along);
            if (0.0..=1.0).contains(&share) {
                to.cross(along).abs() / along.length()
            } else {
                ends
            }
        }
        Segment::Arc(arc) => {
            // Within the arc's wedge, measured from its middle, the distance to the circle.
            let middle = segment.point_at(0.5) - arc.centre;
            let to = at - arc.centre;
            let off = middle.cross(to).atan2(middle.dot(to)).abs();
            if off <= arc.sweep.abs() / 2.0 {
                (to.length() - arc.radius).abs()
            } else {
                ends
            }
        }
    }
}

/// What a deck's fields keep from: margin and boundary of each.
fn kept_from(plan: &DeckPlan) -> Vec<(f64, Vec<Segment>)> {
    let outline = &plan.outline;
    let mut all: Vec<(f64, Vec<Segment>)> = outline
        .ring
        .segments()
        .iter()
        .zip(&outline.edge_of_segment)
        .map(|(segment, edge)| (outline.edges[*edge].margin.to_mm(), vec![*segment]))
        .collect();
    all.extend(
        plan.openings
            .iter()
            .chain(&plan.fittings)
            .map(|thing| (thing.margin.to_mm(), thing.ring.segments().to_vec())),
    );
    all
}

#[test]
fn no_field_comes_nearer_to_anything_than_its_margin_unless_a_warning_names_the_place() {
    let (mut near, mut decks) = (0, 0);
    for (boat, text) in boats() {
        let job: Job = job(&text);
        for deck in &job.decks {
            // Margins kept on a deck's surface are less seen from above; tests/surface.rs measures those.
            if deck.pattern.developed.is_some() {
                continue;
            }
            decks += 1;
            let kept = kept_from(&deck.plan);
            let named: Vec<Point> = job
                .warnings
                .iter()
                .filter(|warning| {
                    warning.deck == deck.plan.id && warning.code == "hollow-in-margin"
                })
                .filter_map(|warning| warning.at)
                .collect();
            for field in &deck.pattern.fields {
                let mut least = f64::INFINITY;
                for at in samples(&field.region, 2.0) {
                    for (margin, boundary) in &kept {
                        let found = boundary
                            .iter()
                            .map(|segment| distance(at, segment))
                            .fold(f64::INFINITY, f64::min);
                        least = least.min(found);
                        if found < margin - 1e-6 {
                            near += 1;
                            let told = named.iter().any(|place| {
                                field.region.boundary_distance(*place).to_mm() < 1e-6
                                    && place.distance(at) < 2.0 * deck.plan.radius.hollow.to_mm()
                            });
                            assert!(
                                told,
                                "{boat} {} {}: {found} at {at:?}, margin {margin}",
                                deck.plan.id, field.id
                            );
                        }
                    }
                }
                // The figure is the least there is: below every sample, and one sample is near it.
                let clearance = field.clearance.distance.to_mm();
                assert!(
                    clearance < least + 1e-6 && least - clearance < 0.05,
                    "{boat} {} {}: {clearance} said, {least} found",
                    deck.plan.id,
                    field.id
                );
            }
        }
    }
    assert!(decks >= 8, "{decks} decks, {near} places nearer");
}
