//! What is bought of paint and what goes with it: products as kits or part by part, thinner, catalyst, grit, cleaner,
//! caulk. Comes in: what batches measure, areas to be wiped, beads. Goes out: lines of the list.

use std::collections::BTreeMap;

use super::super::labour::{WorkKind, WorkStep};
use super::super::zones::DeckZones;
use super::{List, Shelf, Stock};
use crate::layout::{Can, Content, MixPart, Product, ProductKind, Task};
use crate::units::{Area, Density, Mass, Money, Volume};

/// What is needed of a product, and for which steps.
#[derive(Debug, Clone, Default)]
struct Needed {
    volume: Volume,
    mass: Mass,
    /// Of each part of a mix.
    portions: Vec<Content>,
    steps: Vec<String>,
}

impl Needed {
    fn for_step(&mut self, step: &str) {
        if !self.steps.iter().any(|known| known == step) {
            self.steps.push(step.to_owned());
        }
    }
}

impl List<'_> {
    /// Paints with their thinner, catalyst and grit, each in the order in which it is first used.
    pub(super) fn paints(&mut self, steps: &[WorkStep]) {
        let mut order: Vec<String> = Vec::new();
        let mut needed: BTreeMap<String, Needed> = BTreeMap::new();
        let mut entry = |id: &str, step: &str, add: &dyn Fn(&mut Needed)| {
            if !order.iter().any(|known| known == id) {
                order.push(id.to_owned());
            }
            let needed = needed.entry(id.to_owned()).or_default();
            needed.for_step(step);
            add(needed);
        };
        for step in steps {
            let Some(coats) = &step.coats else { continue };
            let times = coats.coats as f64;
            for batch in &coats.batches {
                entry(&coats.product, &step.id, &|needed| {
                    needed.volume = needed.volume + batch.mix.total * times;
                    if needed.portions.is_empty() {
                        needed.portions = batch
                            .mix
                            .portions
                            .iter()
                            .map(|portion| none_of(portion.amount))
                            .collect();
                    }
                    for (sum, portion) in needed.portions.iter_mut().zip(&batch.mix.portions) {
                        *sum = plus(*sum, portion.amount, times);
                    }
                });
                if let Some(thinner) = &coats.thinner {
                    entry(thinner, &step.id, &|needed| {
                        needed.volume = needed.volume + batch.thinner * times;
                    });
                }
                for (id, mass) in [
                    (&coats.catalyst, batch.catalyst),
                    (&coats.aggregate, batch.aggregate),
                ] {
                    if let Some(id) = id {
                        entry(id, &step.id, &|needed| {
                            needed.mass = needed.mass + mass * times;
                        });
                    }
                }
            }
        }
        for id in order {
            if let (Some(product), Some(needed)) = (self.materials.product(&id), needed.remove(&id))
            {
                self.product(product, &needed);
            }
        }
    }

    /// One product: as a kit, or part by part where they are sold apart.
    fn product(&mut self, product: &Product, needed: &Needed) {
        if matches!(product.kind, ProductKind::Aggregate | ProductKind::Catalyst) {
            self.put(
                product,
                None,
                Stock::Mass(needed.mass),
                &product.cans,
                product.density,
                needed,
            );
            return;
        }
        let Some(mix) = &product.mix else {
            self.put(
                product,
                None,
                Stock::Volume(needed.volume),
                &product.cans,
                product.density,
                needed,
            );
            return;
        };
        let is_sold_apart = mix.parts.iter().any(|part| !part.cans.is_empty());
        if is_sold_apart || product.cans.is_empty() {
            for (part, amount) in mix.parts.iter().zip(&needed.portions) {
                let amount = in_volume(*amount, part.density);
                self.put(
                    product,
                    Some(part),
                    amount,
                    &part.cans,
                    part.density,
                    needed,
                );
            }
            return;
        }
        // Of a kit so much that its scarcest part suffices.
        let whole = kit(mix.by_mass, &mix.parts, &needed.portions).max(needed.volume);
        self.put(
            product,
            None,
            Stock::Volume(whole),
            &product.cans,
            product.density,
            needed,
        );
    }

    fn put(
        &mut self,
        product: &Product,
        part: Option<&MixPart>,
        need: Stock,
        cans: &[Can],
        density: Option<Density>,
        needed: &Needed,
    ) {
        let (id, title) = match part {
            Some(part) => (
                format!("{}/{}", product.id.value, part.title),
                format!("{}, {}", product.title, part.title),
            ),
            None => (product.id.value.clone(), product.title.clone()),
        };
        let need = as_sold(need, cans, density);
        let sizes: Vec<(Stock, Option<Money>)> = cans
            .iter()
            .filter_map(|can| like(need, can.content, density).map(|size| (size, can.price)))
            .collect();
        self.item(id, Shelf::Paint, title, need, &sizes, needed.steps.clone());
    }

    /// What surfaces are wiped with.
    pub(super) fn cleaners(&mut self, zones: &[DeckZones]) {
        let mut needed: Vec<(String, Needed)> = Vec::new();
        for step in &self.job.layout.work.steps {
            let Task::Clean { product, rate } = &step.task else {
                continue;
            };
            let area: Area = zones.iter().map(|zone| zone.area(step.on)).sum();
            let id = &product.value;
            if !needed.iter().any(|(known, _)| known == id) {
                needed.push((id.clone(), Needed::default()));
            }
            if let Some((_, needed)) = needed.iter_mut().find(|(known, _)| known == id) {
                needed.volume = needed.volume + area / rate.value;
                needed.for_step(&step.id.value);
            }
        }
        for (id, needed) in needed {
            // A thinner that is on the list already is bought once, for both.
            let known = self.items.iter().position(|item| item.id == id);
            let Some(product) = self.materials.product(&id) else {
                continue;
            };
            match known.map(|at| self.items.remove(at)) {
                Some(item) => {
                    let mut both = needed.clone();
                    if let Stock::Volume(volume) = item.need {
                        both.volume = both.volume + volume;
                    }
                    for step in &item.steps {
                        both.for_step(step);
                    }
                    self.product(product, &both);
                }
                None => self.product(product, &needed),
            }
        }
    }

    pub(super) fn caulks(&mut self, steps: &[WorkStep]) {
        for step in &self.job.layout.work.steps {
            let Task::Caulk {
                product,
                section,
                loss,
                ..
            } = &step.task
            else {
                continue;
            };
            let length = steps.iter().find_map(|done| match done.kind {
                WorkKind::Caulk(length) if done.id == step.id.value => Some(length),
                _ => None,
            });
            let (Some(length), Some(product)) = (length, self.materials.product(&product.value))
            else {
                continue;
            };
            let part = if section.is_triangle { 0.5 } else { 1.0 };
            let area = Area::mm2(section.width.to_mm() * section.depth.to_mm() * part);
            let needed = Needed {
                volume: area * length / loss.value.rest(),
                steps: vec![step.id.value.clone()],
                ..Needed::default()
            };
            self.product(product, &needed);
        }
    }
}

/// What is needed, weighed where all cans are sold by mass: so it stands on the shelf.
fn as_sold(need: Stock, cans: &[Can], density: Option<Density>) -> Stock {
    let by_mass = |can: &Can| matches!(can.content, Content::Mass(_));
    match (need, density) {
        (Stock::Volume(volume), Some(density)) if !cans.is_empty() && cans.iter().all(by_mass) => {
            Stock::Mass(volume * density)
        }
        _ => need,
    }
}

/// What a can holds, as what is needed is measured.
fn like(need: Stock, content: Content, density: Option<Density>) -> Option<Stock> {
    match (need, content) {
        (Stock::Volume(_), Content::Volume(volume)) => Some(Stock::Volume(volume)),
        (Stock::Volume(_), Content::Mass(mass)) => Some(Stock::Volume(mass / density?)),
        (Stock::Mass(_), Content::Mass(mass)) => Some(Stock::Mass(mass)),
        (Stock::Mass(_), Content::Volume(volume)) => Some(Stock::Mass(volume * density?)),
        _ => None,
    }
}

fn none_of(content: Content) -> Content {
    match content {
        Content::Volume(_) => Content::Volume(Volume::ZERO),
        Content::Mass(_) => Content::Mass(Mass::ZERO),
    }
}

fn plus(sum: Content, more: Content, times: f64) -> Content {
    match (sum, more) {
        (Content::Volume(sum), Content::Volume(more)) => Content::Volume(sum + more * times),
        (Content::Mass(sum), Content::Mass(more)) => Content::Mass(sum + more * times),
        (sum, _) => sum,
    }
}

/// A part as a volume, where its density is known.
fn in_volume(amount: Content, density: Option<Density>) -> Stock {
    match (amount, density) {
        (Content::Volume(volume), _) => Stock::Volume(volume),
        (Content::Mass(mass), Some(density)) => Stock::Volume(mass / density),
        (Content::Mass(mass), None) => Stock::Mass(mass),
    }
}

/// The volume of a kit whose every part holds what is needed of it. A kit is filled in its ratio.
fn kit(by_mass: bool, parts: &[MixPart], needed: &[Content]) -> Volume {
    let volume_of = |part: &MixPart| match part.density {
        Some(density) if by_mass => part.parts / density.to_kilograms_per_litre(),
        _ => part.parts,
    };
    let whole: f64 = parts.iter().map(volume_of).sum();
    parts
        .iter()
        .zip(needed)
        .map(|(part, amount)| {
            let volume = match in_volume(*amount, part.density) {
                Stock::Volume(volume) => volume,
                _ => Volume::ZERO,
            };
            volume * (whole / volume_of(part))
        })
        .fold(Volume::ZERO, Volume::max)
}
