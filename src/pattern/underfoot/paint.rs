//! Fields: those too small to matter, those so near the deck's edge that water is held behind them.

use super::{Finding, Ground, Limit, PRECISION, What};
use crate::shape::{Boundary, Point};
use crate::surface::Surface;
use crate::units::{Area, Length};

/// Places of each piece of the deck's edge at which its height is taken.
const HEIGHTS: u32 = 32;

/// Fields smaller than asked.
pub(super) fn small_fields(ground: &Ground<'_>) -> Vec<Finding> {
    let asked = ground.settings.least_field;
    let fields = ground.pattern.fields.iter();
    fields
        .filter_map(|field| {
            let area = Area::mm2(field.region.area());
            let disc = (area < asked.value).then(|| field.region.widest_disc(PRECISION))??;
            Some(Finding {
                what: What::SmallField { area },
                name: field.id.clone(),
                at: disc.centre,
                width: disc.radius * 2.0,
                limit: Limit::Area(asked),
            })
        })
        .collect()
}

/// Fields nearer to the deck's edge than asked.
pub(super) fn waterways(ground: &Ground<'_>) -> Vec<Finding> {
    let asked = ground.settings.waterway;
    let edge = Boundary::of([&ground.plan.outline.ring]);
    let lowest = ground
        .surface
        .and_then(|surface| Some((surface, lowest(&edge, surface)?)));
    let fields = ground.pattern.fields.iter();
    fields
        .filter_map(|field| {
            let near = edge.nearest_to(&field.region)?;
            (near.distance < asked.value).then(|| Finding {
                what: What::Waterway {
                    above_lowest: lowest
                        .map(|(surface, lowest)| surface.height(near.there) - lowest),
                },
                name: field.id.clone(),
                at: near.there,
                width: near.distance,
                limit: Limit::Width(asked),
            })
        })
        .collect()
}

/// The height of the edge where it is lowest, as near as a person measures it.
fn lowest(edge: &Boundary<'_>, surface: &Surface) -> Option<Length> {
    let points = edge.segments().iter().flat_map(|segment| {
        (0..HEIGHTS).map(|step| segment.point_at(f64::from(step) / f64::from(HEIGHTS)))
    });
    points
        .map(|at: Point| surface.height(at))
        .reduce(Length::min)
}
