//! What a survey settles, so that the layout can be written back with it. Comes in: a layout, its [`Fixed`]
//! points and drawings, and its decks as they were traced. Goes out: [`Settled`], which [`crate::layout::settled`] writes into the file's text.

use super::findings::Findings;
use super::{DeckPlan, Fixed, drawn};
use crate::layout::{
    Deck, Drawn, Feature, Layout, Outline, Settled, SettledKind, SettledPoint, SettledShape,
    SettledTable, Shape,
};

/// Every point by name and everything drawn, where it lies on the deck; and the one table that two sides of a deck
/// became. `plans` are the decks in the layout's order.
#[must_use]
pub fn settled<'a>(
    layout: &Layout,
    fixed: &Fixed,
    plans: impl IntoIterator<Item = &'a DeckPlan>,
) -> Settled {
    let points = fixed
        .network
        .iter()
        .flat_map(|network| &network.points)
        .filter_map(|point| {
            Some(SettledPoint {
                at: fixed.point(&point.name)?,
                name: point.name.clone(),
            })
        });
    Settled {
        units: layout.units,
        points: points.collect(),
        shapes: layout
            .decks
            .iter()
            .enumerate()
            .flat_map(|(number, deck)| shapes(number, deck, fixed))
            .collect(),
        tables: plans
            .into_iter()
            .enumerate()
            .filter_map(|(deck, plan)| {
                Some(SettledTable {
                    deck,
                    half_breadths: plan.fairness.as_ref()?.made_one()?,
                })
            })
            .collect(),
    }
}

fn shapes(number: usize, deck: &Deck, fixed: &Fixed) -> Vec<SettledShape> {
    let mut findings = Findings::of(&deck.id.value, deck.units, fixed);
    let mut all: Vec<(SettledKind, &Drawn)> = Vec::new();
    if let Outline::Drawn(drawn) = &deck.outline {
        all.push((SettledKind::Outline, drawn));
    }
    all.extend(drawn_in(&deck.openings, SettledKind::Opening));
    all.extend(drawn_in(&deck.fittings, SettledKind::Fitting));
    all.extend(drawn_in(&deck.smooth, SettledKind::Smooth));
    all.extend(drawn_in(&deck.pads, SettledKind::Pad));
    all.into_iter()
        .map(|(of, what)| SettledShape {
            deck: number,
            of,
            rings: drawn::rings(what, &mut findings),
        })
        .collect()
}

fn drawn_in<K>(
    features: &[Feature<K>],
    kind: impl Fn(usize) -> SettledKind,
) -> Vec<(SettledKind, &Drawn)> {
    features
        .iter()
        .enumerate()
        .filter_map(|(entry, feature)| match &feature.shape {
            Shape::Drawn(drawn) => Some((kind(entry), drawn)),
            _ => None,
        })
        .collect()
}
