//! From what the steps take to what is bought: cans, rolls, packs, in whole ones, at the least cost of the sizes on
//! sale. Comes in: steps worked out, products, supplies, rolls. Goes out: [`Item`]s, one a line of the list.

mod paints;
mod rolls;
mod supplies;

use super::cans::{CanSize, Sold, buy};
use super::ceiling;
use super::labour::WorkStep;
use super::materials::Materials;
use super::zones::DeckZones;
use crate::Job;
use crate::units::{Area, Dimension, Length, Mass, Money, Quantity, Volume};

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

impl List<'_> {
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
