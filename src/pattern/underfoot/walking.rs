//! Lines that people walk: where they are smooth.

use super::{Finding, Ground, Limit, PRECISION, What};
use crate::outline::WalkLine;
use crate::shape::{PathPart, furthest_along, path_parts};

/// What is met along each walk; nothing of one that is all non-skid.
pub(super) fn walks(ground: &Ground<'_>) -> Vec<Finding> {
    let walks = &ground.plan.walks;
    walks
        .iter()
        .filter_map(|walk| smooth_on(walk, ground))
        .collect()
}

fn smooth_on(walk: &WalkLine, ground: &Ground<'_>) -> Option<Finding> {
    let smooth: Vec<PathPart> = path_parts(&walk.points, &ground.fields)
        .into_iter()
        .filter(|part| !part.is_inside)
        .flat_map(|part| path_parts(&part.points, &ground.walkable))
        .filter(|part| part.is_inside)
        .collect();
    let longest = smooth.iter().reduce(|longest, one| {
        if one.length > longest.length {
            one
        } else {
            longest
        }
    })?;
    let legs: Vec<_> = smooth.iter().flat_map(PathPart::legs).collect();
    let widest = furthest_along(&legs, &ground.fields.boundary(), PRECISION)?;
    Some(Finding {
        what: What::Walk {
            longest: longest.length,
            longest_at: longest.middle()?,
        },
        name: format!("\"{}\"", walk.name),
        at: widest.at,
        width: widest.distance * 2.0,
        limit: Limit::Width(ground.settings.widest_smooth),
    })
}
