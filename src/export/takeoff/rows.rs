//! The shopping list for a spreadsheet: a row for each size bought, as RFC 4180 has it. Litres, kilograms, metres,
//! square metres, pieces.

use super::super::csv::push_row;
use crate::takeoff::{Item, Stock, Takeoff};
use crate::units::LengthUnit;

const COLUMNS: [&str; 13] = [
    "layout", "item", "shelf", "title", "need", "unit", "count", "size", "price", "cost", "left",
    "currency", "steps",
];

/// A row for each size of each item; one without a count where no size on sale is known. Of an item bought in several
/// sizes, need and left stand in the first row, so that columns can be added up.
#[must_use]
pub fn shopping_csv<'a>(layouts: impl IntoIterator<Item = &'a Takeoff>) -> String {
    let mut text = String::new();
    push_row(&mut text, COLUMNS);
    for takeoff in layouts {
        for item in &takeoff.shopping {
            for cells in rows(item, takeoff) {
                push_row(&mut text, cells.iter().map(String::as_str));
            }
        }
    }
    text
}

fn rows(item: &Item, takeoff: &Takeoff) -> Vec<[String; COLUMNS.len()]> {
    let currency = takeoff.currency;
    let (need, unit) = number(item.need);
    let row = |first: bool, middle: [String; 4]| {
        let [count, size, price, cost] = middle;
        let once = |text: String| if first { text } else { String::new() };
        [
            takeoff.title.clone(),
            item.id.clone(),
            item.shelf.title().to_owned(),
            item.title.clone(),
            once(need.to_string()),
            unit.to_owned(),
            count,
            size,
            price,
            cost,
            once(
                item.left
                    .map_or_else(String::new, |left| number(left).0.to_string()),
            ),
            currency.map_or_else(String::new, |currency| currency.code().to_owned()),
            item.steps.join(" "),
        ]
    };
    if item.buy.is_empty() {
        return vec![row(true, std::array::from_fn(|_| String::new()))];
    }
    let money = |amount: Option<crate::units::Money>| {
        amount
            .zip(currency)
            .map_or_else(String::new, |(amount, currency)| amount.show_bare(currency))
    };
    item.buy
        .iter()
        .enumerate()
        .map(|(index, bought)| {
            row(
                index == 0,
                [
                    bought.count.to_string(),
                    number(bought.size).0.to_string(),
                    money(bought.price),
                    money(bought.price.map(|price| price * bought.count)),
                ],
            )
        })
        .collect()
}

/// An amount as a number and its unit.
pub(in crate::export) fn number(amount: Stock) -> (f64, &'static str) {
    match amount {
        Stock::Volume(volume) => (volume.to_litres(), "L"),
        Stock::Mass(mass) => (mass.to_grams() / 1000.0, "kg"),
        Stock::Pieces(many) => (many as f64, "pieces"),
        Stock::Length(length) => (length.to(LengthUnit::Metre), "m"),
        Stock::Area(area) => (area.to_m2(), "m2"),
    }
}
