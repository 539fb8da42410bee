//! All stages one after the other: from a [`Layout`] and the files that it names to a [`Job`]. [`Workshop`] does it again and
//! again for one that is being changed, and lays out anew only the decks that a change touches.

use crate::layout::{Deck, Fault, Layout, Measured, Sources, Tape};
use crate::masking::{self, Masking};
use crate::outline::{self, DeckPlan, Fixed, Scrutiny, Warning};
use crate::pattern::{self, Pattern};
use crate::surface::{self, Surface};
use crate::{DeckJob, Job, order, programme, takeoff};

/// Works a layout out: its survey and drawings, every deck's rings, its pattern, its masking. `sources` are the files
/// that the layout names.
///
/// # Errors
/// The faults of the survey and the drawings; where there are none, those of all decks, each at the entry that
/// causes it.
pub fn work_out(layout: Layout, sources: &Sources) -> Result<Job, Vec<Fault>> {
    Workshop::default().work_out(layout, sources, Scrutiny::Full)
}

/// What was laid out before.
#[derive(Debug, Default)]
pub struct Workshop {
    known: Vec<Known>,
}

/// A deck as it was laid out.
#[derive(Debug)]
struct Known {
    plan: DeckPlan,
    surface: Option<Surface>,
    measured: Measured,
    tape: Tape,
    scrutiny: Scrutiny,
    pattern: Pattern,
    masking: Masking,
}

/// A deck with its rings, before its pattern.
struct Outlined<'a> {
    deck: &'a Deck,
    plan: DeckPlan,
    surface: Option<Surface>,
    said: Vec<Warning>,
}

impl Workshop {
    /// Works a layout out, as [`work_out`] does; decks that have not changed since the last time are not laid out again.
    ///
    /// # Errors
    /// As those of [`work_out`].
    pub fn work_out(
        &mut self,
        layout: Layout,
        sources: &Sources,
        scrutiny: Scrutiny,
    ) -> Result<Job, Vec<Fault>> {
        let (fixed, materials, readings) = match (
            outline::fix(&layout, sources),
            takeoff::materials(&layout, sources),
            programme::weather_table(&layout, sources),
        ) {
            (Ok(fixed), Ok(materials), Ok(readings)) => (fixed, materials, readings),
            (fixed, materials, readings) => {
                let found = [fixed.err(), materials.err(), readings.err()];
                let mut faults: Vec<Fault> = found.into_iter().flatten().flatten().collect();
                faults.sort_by_key(|fault| fault.place.start);
                return Err(faults);
            }
        };
        let mut warnings = fixed.warnings.clone();
        warnings.extend(
            readings
                .iter()
                .flat_map(|readings| programme::remarks_on_table(&layout, readings)),
        );
        let mut decks = Vec::new();
        for one in outlines(&layout, &fixed, scrutiny)? {
            let (pattern, masking) = self.laid_out(&one, layout.tape, scrutiny);
            let Outlined {
                plan,
                surface,
                said,
                ..
            } = one;
            warnings.extend(said);
            warnings.extend(pattern.warnings.iter().cloned());
            warnings.extend(masking::remarks(&plan, &masking));
            decks.push(DeckJob {
                plan,
                surface,
                pattern,
                masking,
            });
        }
        let ids: Vec<&str> = decks.iter().map(|deck| deck.plan.id.as_str()).collect();
        self.known
            .retain(|known| ids.contains(&known.plan.id.as_str()));
        let mut maskings: Vec<&mut Masking> =
            decks.iter_mut().map(|deck| &mut deck.masking).collect();
        let rolls = masking::plan_rolls(&mut maskings, &layout.tape);
        Ok(Job {
            layout,
            fixed,
            decks,
            rolls,
            materials,
            weather: readings.map(|readings| readings.record),
            warnings,
        })
    }

    /// A deck's pattern and its masking, as they are known or anew.
    fn laid_out(
        &mut self,
        one: &Outlined<'_>,
        tape: Tape,
        scrutiny: Scrutiny,
    ) -> (Pattern, Masking) {
        let measured = one.deck.margin.measured;
        let surface = one.surface.as_ref();
        let at = self
            .known
            .iter()
            .position(|known| known.plan.id == one.plan.id);
        let is_same = |known: &Known| {
            known.scrutiny >= scrutiny
                && known.tape == tape
                && known.measured == measured
                && known.surface == one.surface
                && known.plan.has_shapes_of(&one.plan)
        };
        if let Some(known) = at.map(|at| &self.known[at]).filter(|known| is_same(known)) {
            return (known.pattern.clone(), known.masking.clone());
        }
        let pattern = match surface {
            Some(surface) if measured == Measured::Surface => {
                pattern::lay_out_on(&one.plan, surface, scrutiny)
            }
            _ => pattern::lay_out_with(&one.plan, scrutiny),
        };
        let masking = masking::mask_on(&pattern, surface, &tape);
        let known = Known {
            plan: one.plan.clone(),
            surface: one.surface.clone(),
            measured,
            tape,
            scrutiny,
            pattern: pattern.clone(),
            masking: masking.clone(),
        };
        match at {
            Some(at) => self.known[at] = known,
            None => self.known.push(known),
        }
        (pattern, masking)
    }
}

/// Every deck's rings, or all faults of all decks.
fn outlines<'a>(
    layout: &'a Layout,
    fixed: &Fixed,
    scrutiny: Scrutiny,
) -> Result<Vec<Outlined<'a>>, Vec<Fault>> {
    let mut all = Vec::new();
    let mut faults = Vec::new();
    for deck in &layout.decks {
        let (plan, mut said) = match outline::trace_with(deck, fixed, scrutiny) {
            Ok(traced) => traced,
            Err(found) => {
                faults.extend(found);
                continue;
            }
        };
        let surface = match surface::of(deck, &plan).transpose() {
            Ok(raised) => raised.map(|(surface, of_surface)| {
                said.extend(of_surface);
                surface
            }),
            Err(found) => {
                faults.extend(found);
                continue;
            }
        };
        faults.extend(order::ways_off_afar(&plan, layout.work.order));
        all.push(Outlined {
            deck,
            plan,
            surface,
            said,
        });
    }
    if faults.is_empty() {
        Ok(all)
    } else {
        Err(faults)
    }
}
