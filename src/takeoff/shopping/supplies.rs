//! What is used up beside paint and tape: by the area sanded, by the batch, by the hour. Comes in: the steps. Goes out:
//! lines of the list, in whole packs.

use std::collections::BTreeMap;

use super::super::ceiling;
use super::super::coats::CoatTakeoff;
use super::super::labour::{WorkKind, WorkStep};
use super::{List, Shelf, Stock};
use crate::layout::{Lasts, Method, Pack, Supplies, SupplyKind};
use crate::units::{Area, Money, Time};

impl List<'_> {
    /// Discs and sheets, grit by grit: one that is begun is not kept for another grit.
    pub(super) fn abrasives(&mut self, steps: &[WorkStep]) {
        let mut needed: BTreeMap<(bool, u32), (Area, Vec<String>)> = BTreeMap::new();
        for step in steps {
            if let WorkKind::Sand { grits, by_machine } = &step.kind {
                for grit in grits {
                    let (area, steps) = needed.entry((!by_machine, *grit)).or_default();
                    *area = *area + step.area;
                    steps.push(step.id.clone());
                }
            }
        }
        for ((by_hand, grit), (area, steps)) in needed {
            let (kind, name, id) = if by_hand {
                (SupplyKind::Sheet, "Abrasive sheets", "sheet")
            } else {
                (SupplyKind::Disc, "Abrasive discs", "disc")
            };
            let many = self.lasting(kind, area);
            let title = format!("{name} P{grit}");
            self.supply(
                kind,
                format!("{id}-{grit}"),
                Shelf::Abrasives,
                title,
                many,
                steps,
            );
        }
    }

    pub(super) fn tools(&mut self, steps: &[WorkStep]) {
        let by = |method: Method| move |coats: &CoatTakeoff| coats.method == method;
        let laying = self.job.layout.work.job.laying.value;
        self.by_batch(SupplyKind::Roller, steps, laying, by(Method::Roll));
        self.by_batch(SupplyKind::Brush, steps, laying, by(Method::Brush));
        self.by_batch(SupplyKind::Cup, steps, 1, |_| true);
        self.by_batch(SupplyKind::Stirrer, steps, 1, |_| true);
        let mut area = Area::ZERO;
        let mut named = Vec::new();
        for step in steps {
            let times = match (&step.kind, &step.coats) {
                (WorkKind::Sand { grits, .. }, _) => grits.len(),
                (_, Some(coats)) => coats.coats,
                _ => continue,
            };
            area = area + step.area * times as f64;
            named.push(step.id.clone());
        }
        let many = self.lasting(SupplyKind::TackCloth, area);
        let title = name_of(SupplyKind::TackCloth).to_owned();
        self.supply(
            SupplyKind::TackCloth,
            key_of(SupplyKind::TackCloth),
            Shelf::Tools,
            title,
            many,
            named,
        );
    }

    pub(super) fn protection(&mut self, steps: &[WorkStep]) {
        let people = self.job.layout.work.job.people.value;
        self.by_batch(SupplyKind::Gloves, steps, people, |_| true);
        // Against a sprayed two-part paint a filter does not protect: that takes supplied air (HSE, isocyanates).
        let is_sprayed = |step: &WorkStep| {
            let coats = step.coats.as_ref();
            coats.is_some_and(|coats| coats.method == Method::Spray)
        };
        let sands = |step: &WorkStep| matches!(step.kind, WorkKind::Sand { .. });
        let breathes = |step: &WorkStep| {
            matches!(step.kind, WorkKind::Coat | WorkKind::Clean) && !is_sprayed(step)
        };
        self.worn(SupplyKind::DustMask, steps, sands);
        self.worn(SupplyKind::Filters, steps, breathes);
    }

    /// A supply that lasts so many hours of the steps it is worn in; nobody shares one.
    fn worn(&mut self, kind: SupplyKind, steps: &[WorkStep], wears: impl Fn(&WorkStep) -> bool) {
        let Lasts::Time(each) = self.job.layout.work.supplies.of(kind).lasts.value else {
            return;
        };
        let mine: Vec<&WorkStep> = steps.iter().filter(|step| wears(step)).collect();
        let hours: Time = mine.iter().map(|step| step.hours().high).sum();
        let many = if hours > Time::ZERO {
            ceiling(hours / each).max(self.job.layout.work.job.people.value)
        } else {
            0
        };
        let named = mine.iter().map(|step| step.id.clone()).collect();
        self.supply(
            kind,
            key_of(kind),
            Shelf::Protection,
            name_of(kind).to_owned(),
            many,
            named,
        );
    }

    /// A supply that every batch takes, so many for each pair of hands.
    fn by_batch(
        &mut self,
        kind: SupplyKind,
        steps: &[WorkStep],
        hands: usize,
        takes: impl Fn(&CoatTakeoff) -> bool,
    ) {
        let Lasts::Batch(each) = self.job.layout.work.supplies.of(kind).lasts.value else {
            return;
        };
        let mut batches = 0;
        let mut named = Vec::new();
        for step in steps {
            if let Some(coats) = step.coats.as_ref().filter(|coats| takes(coats)) {
                batches += coats.batch_count();
                named.push(step.id.clone());
            }
        }
        let shelf = match kind {
            SupplyKind::Gloves => Shelf::Protection,
            _ => Shelf::Tools,
        };
        let many = batches * each * hands;
        self.supply(
            kind,
            key_of(kind),
            shelf,
            name_of(kind).to_owned(),
            many,
            named,
        );
    }

    /// How many of a supply an area takes.
    fn lasting(&self, kind: SupplyKind, area: Area) -> usize {
        match self.job.layout.work.supplies.of(kind).lasts.value {
            Lasts::Area(each) => ceiling(area.to_mm2() / each.to_mm2()),
            _ => 0,
        }
    }

    fn supply(
        &mut self,
        kind: SupplyKind,
        id: String,
        shelf: Shelf,
        title: String,
        many: usize,
        steps: Vec<String>,
    ) {
        let packs = &self.job.layout.work.supplies.of(kind).packs;
        let piece = [Pack {
            holds: 1,
            price: None,
            place: crate::layout::Place::default(),
        }];
        let packs: &[Pack] = if packs.is_empty() { &piece } else { packs };
        let sizes: Vec<(Stock, Option<Money>)> = packs
            .iter()
            .map(|pack| (Stock::Pieces(pack.holds), pack.price))
            .collect();
        self.item(id, shelf, title, Stock::Pieces(many), &sizes, steps);
    }
}

fn name_of(kind: SupplyKind) -> &'static str {
    Supplies::KINDS[kind as usize].2
}

fn key_of(kind: SupplyKind) -> String {
    Supplies::KINDS[kind as usize].1.replace('_', "-")
}
