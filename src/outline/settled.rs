//! What a survey settles, so that the layout can be written back with it. Comes in: a layout and its [`Fixed`]
//! points and drawings. Goes out: [`Settled`], which [`crate::layout::settled`] writes into the file's text.

use super::findings::Findings;
use super::{Fixed, drawn};
use crate::layout::{
    Deck, Drawn, Feature, Layout, Outline, Settled, SettledKind, SettledPoint, SettledShape, Shape,
};

/// Every point by name and everything drawn, where it lies on the deck.
#[must_use]
pub fn settled(layout: &Layout, fixed: &Fixed) -> Settled {
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
        tables: Vec::new(),
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
