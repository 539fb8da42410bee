//! Where a coat over a border or a whole deck may stop, where one batch does not reach over it: athwartships, across the
//! narrow bands of a border, or along the middle of a strip, where the border's own coat covers the wet edge. Comes in:
//! a deck and the largest area of a batch. Goes out: the fewest [`Stretch`]es, with the shortest wet edges among those.

use crate::DeckJob;
use crate::layout::{Deck, Surface};
use crate::shape::{BoundingBox, Point, Region};
use crate::units::{Area, Length};

/// Places tried along a border.
const TRIED: usize = 60;
/// Breadth of the sliver by which a wet edge is measured, millimetres.
const SLIVER: f64 = 1.0;

/// A part of a border or a deck that is painted in one go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// The station where it begins.
    pub from: Length,
    /// The station where it ends.
    pub to: Length,
    /// Its area.
    pub area: Area,
    /// Length of the wet edge at its end; none at the deck's own.
    pub wet_edge: Length,
}

/// What is painted of a deck: a border, or border and fields.
struct Painted<'a> {
    deck: &'a DeckJob,
    regions: Vec<&'a Region>,
    extent: BoundingBox,
}

impl Painted<'_> {
    /// What lies between two stations.
    fn between(&self, from: f64, to: f64) -> f64 {
        let band = BoundingBox {
            least: Point::new(from, self.extent.least.y - 1.0),
            greatest: Point::new(to, self.extent.greatest.y + 1.0),
        };
        let band = Region::inside(band.rectangle());
        let areas = self.regions.iter().map(|region| {
            let part = region.intersection(&[&band]);
            match &self.deck.surface {
                Some(surface) => surface.area(&part),
                None => part.area(),
            }
        });
        areas.sum()
    }
}

/// The stretches of a deck's border, or of border and fields, none larger than `most`; none where it cannot be broken
/// so. `total` is the area of all of it as the figures have it: the stretches add up to it.
#[must_use]
pub fn stretches(
    deck: &DeckJob,
    layout: &Deck,
    on: Surface,
    total: Area,
    most: Area,
) -> Option<Vec<Stretch>> {
    let pattern = &deck.pattern;
    let mut regions = vec![&pattern.border];
    if on == Surface::All {
        regions.extend(pattern.fields.iter().map(|field| &field.region));
    }
    let extent = deck.plan.outline.ring.bounding_box();
    let (start, end) = (extent.least.x, extent.greatest.x);
    let painted = Painted {
        deck,
        regions,
        extent,
    };
    let mut stops = match on {
        Surface::All => strips(layout),
        _ => (1..TRIED)
            .map(|number| start + (end - start) * number as f64 / TRIED as f64)
            .collect(),
    };
    stops.retain(|stop| *stop > start + SLIVER && *stop < end - SLIVER);
    stops.sort_by(f64::total_cmp);
    stops.dedup();
    let wet: Vec<f64> = stops
        .iter()
        .map(|stop| painted.between(stop - SLIVER / 2.0, stop + SLIVER / 2.0) / SLIVER)
        .collect();
    let mut forward: Vec<f64> = stops
        .iter()
        .map(|stop| painted.between(start - 1.0, *stop))
        .collect();
    forward.push(total.to_mm2());
    let wet_at = |stop: usize| wet.get(stop).copied().unwrap_or(0.0);
    let area_from =
        |from: Option<usize>, to: usize| forward[to] - from.map_or(0.0, |from| forward[from]);
    // For each stop the best way there: how many stretches, how much wet edge, from which stop.
    let mut best: Vec<Option<(usize, f64, Option<usize>)>> = Vec::new();
    for to in 0..forward.len() {
        let mut chosen: Option<(usize, f64, Option<usize>)> = None;
        for from in std::iter::once(None).chain((0..to).map(Some)) {
            let (count, edge) = match from {
                None => (0, 0.0),
                Some(from) => match best[from] {
                    Some((count, edge, _)) => (count, edge),
                    None => continue,
                },
            };
            if area_from(from, to) > most.to_mm2() {
                continue;
            }
            let way = (count + 1, edge + wet_at(to), from);
            if chosen.is_none_or(|known| (way.0, way.1) < (known.0, known.1)) {
                chosen = Some(way);
            }
        }
        best.push(chosen);
    }
    let mut stretches = Vec::new();
    let mut at = forward.len() - 1;
    loop {
        let (_, _, from) = best[at]?;
        stretches.push(Stretch {
            from: Length::mm(from.map_or(start, |from| stops[from])),
            to: Length::mm(stops.get(at).copied().unwrap_or(end)),
            area: Area::mm2(area_from(from, at)),
            wet_edge: Length::mm(wet_at(at)),
        });
        match from {
            Some(from) => at = from,
            None => break,
        }
    }
    stretches.reverse();
    Some(stretches)
}

/// The stations of a deck's athwartships strips.
fn strips(deck: &Deck) -> Vec<f64> {
    deck.strips
        .iter()
        .flat_map(|strip| &strip.across_at)
        .map(|station| station.to_mm())
        .collect()
}
