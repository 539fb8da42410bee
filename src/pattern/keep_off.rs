//! What non-skid is kept off: bands along the deck's edges on their deck side, the ground round
//! openings and fittings, smooth areas and strips.

use crate::outline::DeckPlan;
use crate::shape::{Blend, Region, Ring, clear_of_varied_band, dilated_cover};

use super::fields::Nudge;

/// The deck and what is cut out of it or stands on it: the ground that every pattern of it shares.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    /// The deck inside its outline.
    pub(super) deck: Region,
    /// Openings, as far as they lie in the deck.
    pub(super) openings: Region,
    /// Footprints of fittings in place, openings taken out.
    pub(super) fittings: Region,
    /// Pads together; none where non-skid may be laid anywhere.
    pub(super) pads: Option<Region>,
}

impl Ground {
    pub(super) fn of(plan: &DeckPlan) -> Self {
        let deck = Region::inside(plan.outline.ring.clone());
        let within = |rings: Vec<&Ring>| {
            if rings.is_empty() {
                Region::default()
            } else {
                deck.intersection(&[&Region::of_overlapping(rings)])
            }
        };
        let openings = within(plan.openings.iter().map(|opening| &opening.ring).collect());
        let in_place = plan.fittings.iter().filter(|fitting| fitting.in_place);
        let standing = within(in_place.map(|fitting| &fitting.ring).collect());
        let fittings = if openings.is_empty() || standing.is_empty() {
            standing
        } else {
            standing.difference(&[&openings])
        };
        let pads = (!plan.pads.is_empty()).then(|| {
            let pads: Vec<Ring> = plan.pads.iter().map(|pad| pad.ring.clone()).collect();
            Region::of_overlapping(&pads)
        });
        Self {
            deck,
            openings,
            fittings,
            pads,
        }
    }
}

/// The deck less everything kept off, and inside the pads where there are any: the bare field.
pub(super) fn bare_field(plan: &DeckPlan, ground: &Ground, nudge: Nudge) -> Region {
    let kept_off = plan
        .openings
        .iter()
        .chain(&plan.fittings)
        .flat_map(|obstacle| dilated_cover(&obstacle.ring, nudge.margin(obstacle.margin)))
        .chain(plan.smooth.iter().map(|area| area.ring.clone()))
        .chain(
            plan.strips
                .iter()
                .flat_map(|strip| strip.region.rings().to_vec()),
        )
        .collect::<Vec<Ring>>();
    let bare = clear_of_edges(plan, nudge).less_rings(&kept_off);
    match &ground.pads {
        Some(pads) => bare.intersection(&[pads]),
        None => bare,
    }
}

/// The deck less the margins along its edges.
fn clear_of_edges(plan: &DeckPlan, nudge: Nudge) -> Region {
    let outline = &plan.outline;
    let blend = plan
        .blend
        .map_or(Blend::FiveTimesTheDifference, Blend::Over);
    let widths: Vec<f64> = outline
        .edge_of_segment
        .iter()
        .map(|edge| nudge.margin(outline.edges[*edge].margin).to_mm())
        .collect();
    clear_of_varied_band(&outline.ring, &widths, blend)
}
