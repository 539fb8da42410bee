//! The stage itself: a deck's edge first, then everything that lies on it, every fault of both together.

use super::findings::Findings;
use super::standing::{Ground, Standing, is_its_own_image, standing};
use super::{DeckPlan, EdgeRing, Placement, Traced, half_breadths, points, shapes, strips};
use crate::layout::{Deck, Fault, Feature, Outline};
use crate::shape::Ring;
use crate::units::Length;

/// Turns everything measured on a deck to rings; where that cannot be done, says every reason.
pub fn trace(deck: &Deck) -> Traced {
    let mut findings = Findings::of(&deck.id.value, deck.units);
    let outline = edge(deck, &mut findings);
    let ground = outline.as_ref().map(|edge| Ground::of(&edge.ring));
    let place_all = &mut PlaceAll {
        deck: ground.as_ref(),
        findings,
    };
    let openings: Vec<Placement> = deck
        .openings
        .iter()
        .flat_map(|opening| {
            let margin = opening.kind.margin.unwrap_or(deck.margin.opening);
            place_all.placements(opening, Kind::Opening, margin, true)
        })
        .collect();
    let fittings: Vec<Placement> = deck
        .fittings
        .iter()
        .flat_map(|fitting| {
            let margin = fitting.kind.margin.unwrap_or(deck.margin.fitting);
            place_all.placements(fitting, Kind::Fitting, margin, fitting.kind.in_place)
        })
        .collect();
    let (smooth_names, smooth) = place_all.rings(&deck.smooth, Kind::Smooth);
    let (pad_names, pads) = place_all.rings(&deck.pads, Kind::Pad);
    let strips = match &ground {
        Some(ground) => deck
            .strips
            .iter()
            .flat_map(|strip| strips::bands(strip, ground, &mut place_all.findings))
            .collect(),
        None => Vec::new(),
    };
    let Findings {
        faults, warnings, ..
    } = std::mem::replace(&mut place_all.findings, Findings::of("", deck.units));
    match outline {
        Some(outline) if faults.is_empty() => Ok((
            DeckPlan {
                id: deck.id.value.clone(),
                title: deck.title.clone().unwrap_or_else(|| deck.id.value.clone()),
                units: deck.units,
                outline,
                openings,
                fittings,
                smooth,
                smooth_names,
                pads,
                pad_names,
                strips,
                blend: deck.margin.blend,
                radius: deck.radius,
                least_width: deck.field.width,
                least_area_mm2: deck.field.area_mm2,
            },
            warnings,
        )),
        _ => Err(faults),
    }
}

/// The deck's edge, with margins by name.
fn edge(deck: &Deck, findings: &mut Findings<'_>) -> Option<EdgeRing> {
    let margin_of = |name: Option<&str>| -> Length {
        deck.margin
            .edges
            .iter()
            .find(|margin| Some(margin.edge.value.as_str()) == name)
            .map_or(deck.margin.edge, |margin| margin.margin)
    };
    let made = match &deck.outline {
        Outline::HalfBreadths(table) => {
            let (walk, places) = half_breadths::walked(table, &margin_of, findings)?;
            walk.into_ring(&places, table.place, false, findings)
        }
        Outline::Points(ring) => points::edge_ring(ring, &margin_of, findings),
    }?;
    fault_unknown_edges(deck, &made, findings);
    Some(made)
}

/// Every edge that has a margin of its own must be there.
fn fault_unknown_edges(deck: &Deck, made: &EdgeRing, findings: &mut Findings<'_>) {
    let mut names: Vec<&str> = Vec::new();
    for name in made.edges.iter().filter_map(|edge| edge.name.as_deref()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    for margin in &deck.margin.edges {
        let asked = margin.edge.value.as_str();
        if names.contains(&asked) {
            continue;
        }
        let nearest = names
            .iter()
            .map(|name| (strsim::osa_distance(name, asked), *name))
            .min_by_key(|(distance, _)| *distance)
            .filter(|(distance, name)| *distance <= 1.max(name.chars().count() / 3));
        let help = match nearest {
            Some((_, name)) => format!("did you mean `{name}`?"),
            None if names.is_empty() => {
                "name an edge with edge = \"...\" at the point it leaves".to_owned()
            }
            None => format!("this deck's edges are {}", names.join(", ")),
        };
        findings.fault(
            Fault::new(
                margin.edge.place,
                format!("this deck has no edge named `{asked}`"),
                "no such edge",
            )
            .with_help(help),
        );
    }
}

/// What a shape on the deck is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Opening,
    Fitting,
    Smooth,
    Pad,
}

impl Kind {
    const fn word(self) -> &'static str {
        match self {
            Self::Opening => "opening",
            Self::Fitting => "fitting",
            Self::Smooth => "smooth area",
            Self::Pad => "pad",
        }
    }
}

/// Places shapes on a deck whose edge is known, if it is.
struct PlaceAll<'a, 'b> {
    deck: Option<&'a Ground<'a>>,
    findings: Findings<'b>,
}

impl PlaceAll<'_, '_> {
    fn placements<K>(
        &mut self,
        feature: &Feature<K>,
        kind: Kind,
        margin: Length,
        in_place: bool,
    ) -> Vec<Placement> {
        let name = feature
            .name
            .clone()
            .unwrap_or_else(|| kind.word().to_owned());
        self.both(feature, kind)
            .into_iter()
            .enumerate()
            .map(|(i, ring)| Placement {
                name: name.clone(),
                ring,
                margin,
                in_place,
                is_mirror_image: i == 1,
                place: feature.place,
            })
            .collect()
    }

    /// The name and the ring of each area.
    fn rings(&mut self, features: &[Feature<()>], kind: Kind) -> (Vec<String>, Vec<Ring>) {
        features
            .iter()
            .flat_map(|feature| {
                let name = feature.name.as_deref().unwrap_or_else(|| kind.word());
                self.both(feature, kind)
                    .into_iter()
                    .map(|ring| (name.to_owned(), ring))
            })
            .unzip()
    }

    /// The shape's ring, and its mirror image where it is asked for and is not the same ring.
    fn both<K>(&mut self, feature: &Feature<K>, kind: Kind) -> Vec<Ring> {
        let Some(ring) = shapes::ring(&feature.shape, feature.place, &mut self.findings) else {
            return Vec::new();
        };
        let mut rings = vec![ring];
        if feature.both_sides && !is_its_own_image(&rings[0]) {
            rings.push(rings[0].mirrored());
        }
        for (i, ring) in rings.iter().enumerate() {
            self.judge(ring, feature, kind, i == 1);
        }
        rings
    }

    /// Says where a shape stands wrongly.
    fn judge<K>(&mut self, ring: &Ring, feature: &Feature<K>, kind: Kind, is_image: bool) {
        let Some(deck) = self.deck else {
            return;
        };
        let image = if is_image { "the mirror image of " } else { "" };
        let name = match &feature.name {
            Some(name) => format!("{image}the {} \"{name}\"", kind.word()),
            None => format!("{image}this {}", kind.word()),
        };
        match standing(ring, deck) {
            Standing::Inside => {}
            Standing::Outside => {
                let middle = ring.bounding_box().centre();
                self.findings.fault(
                    Fault::new(
                        feature.place,
                        format!("{name} lies wholly outside the deck"),
                        format!("its middle is at {}", self.findings.whereabouts(middle)),
                    )
                    .with_help(
                        "stations run aft from the datum, starboard is positive; check the numbers",
                    ),
                );
            }
            Standing::Across(at) if matches!(kind, Kind::Opening | Kind::Fitting) => {
                self.findings.warn(
                    "crosses-outline",
                    format!(
                        "{name} crosses the deck's edge near {}; what lies outside is left out",
                        self.findings.whereabouts(at)
                    ),
                    feature.place,
                    at,
                );
            }
            Standing::Across(_) => {}
        }
    }
}
