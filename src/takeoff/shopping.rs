//! From what the steps take to what is bought: cans, rolls, packs, in whole ones, at the least cost of the sizes on
//! sale. Comes in: steps worked out, products, supplies, rolls. Goes out: [`Item`]s, one a line of the list.

use std::collections::BTreeMap;

use super::cans::{CanSize, Sold, buy};
use super::coats::CoatTakeoff;
use super::labour::{Pass, WorkKind, WorkStep};
use super::materials::Materials;
use super::zones::DeckZones;
use crate::Job;
use crate::layout::{
    Can, Content, Lasts, Method, MixPart, Pack, Product, ProductKind, Supplies, SupplyKind, Task,
};
use crate::units::{Area, Density, Dimension, Length, Mass, Money, Quantity, Share, Time, Volume};

/// Film lost where sheets lap and edges are trimmed (common practice, no source: 5 to 10 %).
pub const FILM_WASTE: Share = Share::per_cent(10.0);
/// Tape lost beyond the laps of its runs, for the bead's two lines (common practice, no source: 5 to 10 %).
pub const BEAD_TAPE_WASTE: Share = Share::per_cent(10.0);

/// A line of the shopping list.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Stable name: a product's id, `product/part`, or one such as `line-tape`.
    pub id: String,
    /// Where it stands in a shop.
    pub shelf: Shelf,
    /// What it is.
    pub title: String,
    /// How much the job takes.
    pub need: Stock,
    /// What is bought: nothing where no size on sale is known.
    pub buy: Vec<Bought>,
    /// What that costs; none where a price is not known.
    pub cost: Option<Money>,
    /// What is left over.
    pub left: Option<Stock>,
    /// The ids of the steps that take it.
    pub steps: Vec<String>,
}

/// So many of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Bought {
    /// How many.
    pub count: usize,
    /// What is in one.
    pub size: Stock,
    /// What one costs.
    pub price: Option<Money>,
}

/// Where a thing stands in a shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shelf {
    /// Paint, thinner, cleaner, grit, catalyst, caulk.
    Paint,
    /// Tape and film.
    Masking,
    /// Discs and sheets.
    Abrasives,
    /// Rollers, brushes, cups, sticks, cloths.
    Tools,
    /// Gloves, masks, filters.
    Protection,
}

impl Shelf {
    /// All, in the order of the list.
    pub const ALL: [Self; 5] = [
        Self::Paint,
        Self::Masking,
        Self::Abrasives,
        Self::Tools,
        Self::Protection,
    ];

    /// What people call it.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Paint => "Paint and what goes with it",
            Self::Masking => "Tape and film",
            Self::Abrasives => "Abrasives",
            Self::Tools => "Tools that are used up",
            Self::Protection => "For those who work",
        }
    }
}

/// How much of a thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stock {
    /// A liquid.
    Volume(Volume),
    /// A solid.
    Mass(Mass),
    /// Pieces.
    Pieces(usize),
    /// Tape.
    Length(Length),
    /// Film.
    Area(Area),
}

/// The list, shelf by shelf.
pub(super) fn shopping(
    job: &Job,
    materials: &Materials,
    zones: &[DeckZones],
    steps: &[WorkStep],
) -> Vec<Item> {
    let mut list = List {
        job,
        materials,
        items: Vec::new(),
    };
    list.paints(steps);
    list.cleaners(zones);
    list.caulks(steps);
    list.tapes(zones, steps);
    list.abrasives(steps);
    list.tools(steps);
    list.protection(steps);
    list.items.retain(|item| !is_nothing(item.need));
    list.items.sort_by_key(|item| item.shelf);
    list.items
}

fn is_nothing(amount: Stock) -> bool {
    match amount {
        Stock::Volume(volume) => volume <= Volume::ZERO,
        Stock::Mass(mass) => mass <= Mass::ZERO,
        Stock::Pieces(many) => many == 0,
        Stock::Length(length) => length <= Length::ZERO,
        Stock::Area(area) => area <= Area::ZERO,
    }
}

struct List<'a> {
    job: &'a Job,
    materials: &'a Materials,
    items: Vec<Item>,
}

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
    fn paints(&mut self, steps: &[WorkStep]) {
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
        let sizes: Vec<(Stock, Option<Money>)> = cans
            .iter()
            .filter_map(|can| like(need, can.content, density).map(|size| (size, can.price)))
            .collect();
        self.item(id, Shelf::Paint, title, need, &sizes, needed.steps.clone());
    }

    /// A line of the list, bought in these sizes at the least cost.
    fn item(
        &mut self,
        id: String,
        shelf: Shelf,
        title: String,
        need: Stock,
        sizes: &[(Stock, Option<Money>)],
        steps: Vec<String>,
    ) {
        let bought = match need {
            Stock::Volume(volume) => cheapest(volume, sizes, in_volumes, Stock::Volume),
            Stock::Mass(mass) => cheapest(mass, sizes, in_masses, Stock::Mass),
            Stock::Pieces(many) => cheapest(Pieces::of(many), sizes, in_pieces, |pieces| {
                Stock::Pieces(pieces.whole())
            }),
            Stock::Length(_) | Stock::Area(_) => None,
        };
        let (buy, cost, left) = match bought {
            None => (Vec::new(), None, None),
            Some(Cheapest { buy, cost, left }) => (buy, cost, Some(left)),
        };
        self.items.push(Item {
            id,
            shelf,
            title,
            need,
            buy,
            cost,
            left,
            steps,
        });
    }

    /// What surfaces are wiped with.
    fn cleaners(&mut self, zones: &[DeckZones]) {
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

    fn caulks(&mut self, steps: &[WorkStep]) {
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

    fn tapes(&mut self, zones: &[DeckZones], steps: &[WorkStep]) {
        let masks = |pass: Pass| steps.iter().any(|step| step.kind == WorkKind::Mask(pass));
        let (first, reversed) = (masks(Pass::First), masks(Pass::Reversed));
        let named = |pass: Pass| {
            let mine = steps
                .iter()
                .filter(move |step| step.kind == WorkKind::Mask(pass));
            mine.map(|step| step.id.clone())
        };
        let passes = || {
            named(Pass::First)
                .chain(named(Pass::Reversed))
                .collect::<Vec<_>>()
        };
        let tape = self.job.layout.tape;
        let prices = self.job.layout.work.roll_prices;
        if first || reversed {
            for (id, title, kind, rolls, price) in [
                (
                    "line-tape",
                    "Line tape",
                    tape.line,
                    &self.job.rolls.line,
                    prices.line,
                ),
                (
                    "edge-tape",
                    "Edge tape",
                    tape.edge,
                    &self.job.rolls.edge,
                    prices.edge,
                ),
            ] {
                let count = rolls.rolls.iter().filter(|roll| {
                    (first && !roll.first.is_empty()) || (reversed && !roll.reversed.is_empty())
                });
                let used = rolls.rolls.iter().fold(Length::ZERO, |sum, roll| {
                    let of_first = if first { roll.used_first } else { Length::ZERO };
                    let of_reversed = if reversed {
                        roll.used_reversed
                    } else {
                        Length::ZERO
                    };
                    sum + of_first + of_reversed
                });
                self.rolls(
                    id,
                    title,
                    kind.width,
                    kind.roll,
                    used,
                    count.count(),
                    price,
                    passes(),
                );
            }
        }
        let bead = steps
            .iter()
            .fold(Length::ZERO, |sum, step| match step.kind {
                WorkKind::Caulk(length) => sum + length * 2.0,
                _ => sum,
            });
        if bead > Length::ZERO {
            let used = bead * (1.0 + BEAD_TAPE_WASTE.factor());
            let count = rolls_for(used, tape.line.roll);
            let steps: Vec<String> = named(Pass::Edge).collect();
            self.rolls(
                "bead-tape",
                "Line tape, beside the bead",
                tape.line.width,
                tape.line.roll,
                used,
                count,
                prices.line,
                steps,
            );
        }
        let film = zones.iter().fold(Area::ZERO, |sum, zone| {
            let of_first = if first { zone.first.film } else { Area::ZERO };
            let of_reversed = if reversed {
                zone.reversed.film
            } else {
                Area::ZERO
            };
            sum + of_first + of_reversed
        });
        if film > Area::ZERO {
            let used = film * (1.0 + FILM_WASTE.factor());
            let length = Length::mm(used.to_mm2() / tape.film.width.to_mm());
            let count = rolls_for(length, tape.film.roll);
            let title = format!(
                "Masking film, {} wide",
                tape.film.width.show(self.job.layout.units)
            );
            let roll = Area::mm2(tape.film.width.to_mm() * tape.film.roll.to_mm());
            self.items.push(Item {
                id: "film".into(),
                shelf: Shelf::Masking,
                title,
                need: Stock::Area(used),
                buy: vec![Bought {
                    count,
                    size: Stock::Length(tape.film.roll),
                    price: prices.film,
                }],
                cost: prices.film.map(|price| price * count),
                left: Some(Stock::Area(roll * count as f64 - used)),
                steps: passes(),
            });
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "what is known of a roll, named at the two places that call it"
    )]
    fn rolls(
        &mut self,
        id: &str,
        title: &str,
        width: Length,
        roll: Length,
        used: Length,
        count: usize,
        price: Option<Money>,
        steps: Vec<String>,
    ) {
        if count == 0 {
            return;
        }
        self.items.push(Item {
            id: id.to_owned(),
            shelf: Shelf::Masking,
            title: format!("{title}, {} wide", width.show(self.job.layout.units)),
            need: Stock::Length(used),
            buy: vec![Bought {
                count,
                size: Stock::Length(roll),
                price,
            }],
            cost: price.map(|price| price * count),
            left: Some(Stock::Length(roll * count as f64 - used)),
            steps,
        });
    }

    /// Discs and sheets, grit by grit: one that is begun is not kept for another grit.
    fn abrasives(&mut self, steps: &[WorkStep]) {
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

    fn tools(&mut self, steps: &[WorkStep]) {
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

    fn protection(&mut self, steps: &[WorkStep]) {
        let people = self.job.layout.work.job.people.value;
        self.by_batch(SupplyKind::Gloves, steps, people, |_| true);
        for (kind, wears) in [
            (
                SupplyKind::DustMask,
                (|kind| matches!(kind, WorkKind::Sand { .. })) as fn(&WorkKind) -> bool,
            ),
            (SupplyKind::Filters, |kind| {
                matches!(kind, WorkKind::Coat | WorkKind::Clean)
            }),
        ] {
            let mine: Vec<&WorkStep> = steps.iter().filter(|step| wears(&step.kind)).collect();
            let hours: Time = mine.iter().map(|step| step.hours().high).sum();
            let Lasts::Time(each) = self.job.layout.work.supplies.of(kind).lasts.value else {
                continue;
            };
            let many = if hours > Time::ZERO {
                // Nobody shares one.
                ceiling(hours / each).max(people)
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

fn rolls_for(length: Length, roll: Length) -> usize {
    ceiling(length.to_mm() / roll.to_mm())
}

/// The next whole number, but for what the last digits of the arithmetic add.
fn ceiling(many: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative; the cast saturates on more than any shop has"
    )]
    let whole = (many - 1e-9).ceil().max(0.0) as usize;
    whole
}

/// Pieces, as cans are bought.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
struct Pieces(f64);

impl Pieces {
    const fn of(many: usize) -> Self {
        Self(many as f64)
    }

    fn whole(self) -> usize {
        ceiling(self.0)
    }
}

impl std::ops::Sub for Pieces {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Quantity for Pieces {
    const DIMENSION: Dimension = Dimension {
        what: "a number of pieces",
        examples: "\"12 pieces\"",
        units: &[("pieces", 1.0)],
    };

    fn from_base(amount: f64) -> Self {
        Self(amount)
    }

    fn to_base(self) -> f64 {
        self.0
    }
}

impl Sold for Pieces {}

/// What is bought of a thing.
struct Cheapest {
    buy: Vec<Bought>,
    cost: Option<Money>,
    left: Stock,
}

/// The cheapest purchase in these sizes; none where there are none.
fn cheapest<A: Sold>(
    need: A,
    sizes: &[(Stock, Option<Money>)],
    held: impl Fn(Stock) -> Option<A>,
    said: impl Fn(A) -> Stock,
) -> Option<Cheapest> {
    let cans: Vec<CanSize<A>> = sizes
        .iter()
        .filter_map(|(size, price)| {
            Some(CanSize {
                holds: held(*size)?,
                price: *price,
            })
        })
        .collect();
    let purchase = buy(need, &cans)?;
    let bought = purchase.cans.iter().zip(sizes);
    Some(Cheapest {
        buy: bought
            .filter(|(count, _)| **count > 0)
            .map(|(count, (size, price))| Bought {
                count: usize::try_from(*count).unwrap_or(usize::MAX),
                size: *size,
                price: *price,
            })
            .collect(),
        cost: purchase.cost,
        left: said(purchase.left_over),
    })
}

const fn in_volumes(stock: Stock) -> Option<Volume> {
    match stock {
        Stock::Volume(volume) => Some(volume),
        _ => None,
    }
}

const fn in_masses(stock: Stock) -> Option<Mass> {
    match stock {
        Stock::Mass(mass) => Some(mass),
        _ => None,
    }
}

const fn in_pieces(stock: Stock) -> Option<Pieces> {
    match stock {
        Stock::Pieces(many) => Some(Pieces::of(many)),
        _ => None,
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
