//! The stage itself: a deck's edge first, then everything that lies on it, every fault of both together.

use super::findings::Findings;
use super::standing::{Ground, Standing, is_its_own_image, standing};
use super::{
    DeckPlan, EdgeRing, Fairness, Fixed, NamedRing, Placement, Scrutiny, Traced, WayOff, drawn,
    footing, half_breadths, points, shapes, strips,
};
use crate::layout::{Deck, Fault, Feature, Outline};
use crate::shape::Ring;
use crate::units::Length;

/// Turns everything measured on a deck to rings; where that cannot be done, says every reason.
pub fn trace(deck: &Deck, fixed: &Fixed) -> Traced {
    trace_with(deck, fixed, Scrutiny::Full)
}

/// The same, looked at no closer than asked.
pub fn trace_with(deck: &Deck, fixed: &Fixed, scrutiny: Scrutiny) -> Traced {
    let mut findings = Findings::of(&deck.id.value, deck.units, fixed);
    findings.scrutiny = scrutiny;
    let (outline, fairness) = edge(deck, &mut findings).unzip();
    let fairness = fairness.flatten();
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
            let glazed = opening.kind.glazed;
            let mut placed = place_all.placements(opening, Kind::Opening, margin, true);
            for one in &mut placed {
                one.is_glazed = glazed;
            }
            placed
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
    let smooth = place_all.rings(&deck.smooth, Kind::Smooth);
    let pads = place_all.rings(&deck.pads, Kind::Pad);
    let strips = match &ground {
        Some(ground) => deck
            .strips
            .iter()
            .flat_map(|strip| strips::bands(strip, ground, &mut place_all.findings))
            .collect(),
        None => Vec::new(),
    };
    let findings = &mut place_all.findings;
    let (walks, footholds) = ground.as_ref().map_or_else(Default::default, |ground| {
        (
            footing::walks(&deck.walks, ground, findings),
            footing::footholds(&deck.footholds, ground, findings),
        )
    });
    let mut ways_off = Vec::new();
    for way in &deck.ways_off {
        let found = place_all.findings.position(&way.at.value, way.at.place);
        ways_off.extend(found.map(|at| WayOff {
            name: way.name.clone().unwrap_or_else(|| "way off".to_owned()),
            at,
            place: way.at.place,
            onto: way.onto.as_ref().map(|onto| onto.value.clone()),
        }));
    }
    let Findings {
        faults, warnings, ..
    } = std::mem::replace(&mut place_all.findings, Findings::of("", deck.units, fixed));
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
                pads,
                strips,
                walks,
                footholds,
                blend: deck.margin.blend,
                radius: deck.radius,
                least_width: deck.field.width,
                least_area_mm2: deck.field.area_mm2,
                ways_off,
                fairness,
            },
            warnings,
        )),
        _ => Err(faults),
    }
}

/// The deck's edge, with margins by name, and what its half-breadths are worth where there are such.
fn edge(deck: &Deck, findings: &mut Findings<'_>) -> Option<(EdgeRing, Option<Fairness>)> {
    let margin_of = |name: Option<&str>| -> Length {
        deck.margin
            .edges
            .iter()
            .find(|margin| Some(margin.edge.value.as_str()) == name)
            .map_or(deck.margin.edge, |margin| margin.margin)
    };
    let mut fairness = None;
    let made = match &deck.outline {
        Outline::HalfBreadths(table) => {
            let (walk, places, judged) = half_breadths::walked(table, &margin_of, findings)?;
            fairness = Some(judged);
            walk.into_ring(&places, table.place, false, findings)
        }
        Outline::Points(ring) => points::edge_ring(ring, &margin_of, findings),
        Outline::Drawn(drawn) => drawn::edge_ring(drawn, &margin_of, findings),
    }?;
    fault_unknown_edges(deck, &made, findings);
    Some((made, fairness))
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

/// A shape where it stands.
struct OnDeck {
    name: String,
    ring: Ring,
    is_image: bool,
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
        self.standing(feature, kind)
            .into_iter()
            .map(|standing| Placement {
                name: standing.name,
                ring: standing.ring,
                margin,
                in_place,
                is_glazed: false,
                is_mirror_image: standing.is_image,
                place: feature.place,
            })
            .collect()
    }

    /// The rings of areas.
    fn rings(&mut self, features: &[Feature<()>], kind: Kind) -> Vec<NamedRing> {
        let mut rings = Vec::new();
        for feature in features {
            let standing = self.standing(feature, kind);
            rings.extend(standing.into_iter().map(|one| NamedRing {
                name: one.name,
                ring: one.ring,
                place: feature.place,
            }));
        }
        rings
    }

    /// The shape's rings, each followed by its mirror image where that is asked for and is another ring.
    fn standing<K>(&mut self, feature: &Feature<K>, kind: Kind) -> Vec<OnDeck> {
        let rings = shapes::rings(&feature.shape, feature.place, &mut self.findings);
        let called = feature.name.as_deref().unwrap_or(kind.word());
        let are_several = rings.len() > 1;
        let mut all = Vec::with_capacity(rings.len());
        for (i, ring) in rings.into_iter().enumerate() {
            let name = if are_several {
                format!("{called} {}", i + 1)
            } else {
                called.to_owned()
            };
            let image = (feature.both_sides && !is_its_own_image(&ring)).then(|| ring.mirrored());
            let images = image.map(|ring| (ring, true));
            for (ring, is_image) in [Some((ring, false)), images].into_iter().flatten() {
                all.push(OnDeck {
                    name: name.clone(),
                    ring,
                    is_image,
                });
            }
        }
        for shape in &all {
            self.judge(shape, feature, kind);
        }
        all
    }

    /// Says where a shape stands wrongly.
    fn judge<K>(&mut self, shape: &OnDeck, feature: &Feature<K>, kind: Kind) {
        let Some(deck) = self.deck else {
            return;
        };
        let image = if shape.is_image {
            "the mirror image of "
        } else {
            ""
        };
        let name = match &feature.name {
            Some(_) => format!("{image}the {} \"{}\"", kind.word(), shape.name),
            None => format!("{image}this {}", kind.word()),
        };
        let ring = &shape.ring;
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
