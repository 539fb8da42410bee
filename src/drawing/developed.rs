//! A deck laid flat, with its pattern on it, as the pattern's view draws it: what a full-size template is made
//! from. And what is said beside it of how far it is off.

use super::panel::Row;
use crate::outline::whereabouts;
use crate::pattern::{Clearance, Dropped, Field, Pattern};
use crate::surface::{Development, Surface};
use crate::units::{Length, LengthUnit};
use crate::{DeckJob, Job};

/// A job whose one deck is laid flat, and by what.
pub(super) struct LaidFlat {
    pub(super) job: Job,
    pub(super) development: Development,
    /// The deck in plan.
    pub(super) before: DeckJob,
    /// What is said of it beside the drawing.
    pub(super) notes: Vec<Row>,
}

/// Lays a deck of a job flat.
pub(super) fn laid_flat(job: &Job, deck: &DeckJob, surface: &Surface) -> LaidFlat {
    let development = Development::of(surface, &deck.plan.outline.ring);
    let pattern = deck
        .pattern
        .developed
        .as_deref()
        .map_or_else(|| laid_pattern(&deck.pattern, &development), Pattern::clone);
    let notes = notes(deck, surface, &development, job.layout.units);
    let flat = DeckJob {
        plan: development.laid_plan(&deck.plan),
        surface: deck.surface.clone(),
        pattern,
        masking: deck.masking.clone(),
    };
    let own = job
        .warnings
        .iter()
        .filter(|warning| warning.deck == deck.plan.id);
    let mut warnings: Vec<_> = own.cloned().collect();
    for warning in &mut warnings {
        warning.at = warning.at.map(|at| development.laid(at));
    }
    LaidFlat {
        job: Job {
            decks: vec![flat],
            warnings,
            ..job.clone()
        },
        development,
        before: deck.clone(),
        notes,
    }
}

/// A pattern laid out in plan, laid flat.
fn laid_pattern(pattern: &Pattern, development: &Development) -> Pattern {
    let region = |region| development.laid_region(region);
    Pattern {
        deck: region(&pattern.deck),
        openings: region(&pattern.openings),
        fittings: region(&pattern.fittings),
        border: region(&pattern.border),
        fields: pattern
            .fields
            .iter()
            .map(|field| Field {
                region: region(&field.region),
                clearance: Clearance {
                    on_field: development.laid(field.clearance.on_field),
                    on_obstacle: development.laid(field.clearance.on_obstacle),
                    ..field.clearance
                },
                ..field.clone()
            })
            .collect(),
        dropped: pattern
            .dropped
            .iter()
            .map(|piece| Dropped {
                region: region(&piece.region),
                reason: piece.reason,
            })
            .collect(),
        ..pattern.clone()
    }
}

fn notes(
    deck: &DeckJob,
    surface: &Surface,
    development: &Development,
    units: LengthUnit,
) -> Vec<Row> {
    let mut said = vec![
        "The deck laid flat: lay a template made from this on the deck with its centreline on the deck's. Girths, \
         measured square to the centreline, keep their length in it."
            .to_owned(),
    ];
    if surface.is_cylinder() {
        said.push("Round one way only, the deck lies flat without any distortion.".to_owned());
    } else {
        let distortion = development.distortion(&deck.pattern.deck);
        let in_1000 = |share: f64| format!("{:.2}", 1000.0 * share);
        said.push(format!(
            "Distortion: lengths come out up to {} in 1000 too long (worst at {}) and {} in 1000 too short (worst at {}); \
             no angle is off by more than {:.3}°.",
            in_1000(distortion.stretch.amount),
            whereabouts(distortion.stretch.at, units),
            in_1000(-distortion.shrink.amount),
            whereabouts(distortion.shrink.at, units),
            distortion.angle.amount.to_degrees(),
        ));
        said.extend(development.true_off_the_centreline().map(|off| {
            format!(
                "Lengths fore and aft are true {} off the centreline.",
                Length::show(off, units)
            )
        }));
    }
    if deck.pattern.developed.is_none() {
        said.push(
            "Margins, radii and strips were laid out in plan: on the surface they are a little more than their figures."
                .to_owned(),
        );
    }
    said.into_iter().map(Row::Paragraph).collect()
}
