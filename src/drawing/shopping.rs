//! The shopping list on paper: what one takes to the chandler. Comes in: a takeoff. Goes out: pages, shelf by shelf, with
//! a box to tick on every line and room to write what was paid.

use super::form::pages::{Blank, Pages};
use super::marks::Drawing;
use super::paper::Paper;
use crate::takeoff::{Item, Shelf, Takeoff, bought, cautions, in_words};

/// Height of a row, millimetres: to be ticked standing up.
const ROW: f64 = 7.5;

/// The pages on upright `paper`.
#[must_use]
pub fn shopping_pages(takeoff: &Takeoff, paper: Paper) -> Vec<Drawing> {
    let heading = format!("Shopping list: {}", takeoff.title);
    let mut pages = Pages::new(paper, &heading);
    pages.title("Shopping list", &takeoff.title);
    for shelf in Shelf::ALL {
        let items = takeoff.shopping.iter().filter(|item| item.shelf == shelf);
        let rows: Vec<Vec<String>> = items.map(|item| row(item, takeoff)).collect();
        if rows.is_empty() {
            continue;
        }
        pages.heading(shelf.title(), 20.0);
        pages.table(&Blank {
            columns: [
                ("Got", 0.5),
                ("What", 3.2),
                ("Buy", 2.8),
                ("Needed", 1.1),
                ("Price", 1.0),
                ("Paid", 1.0),
            ]
            .map(|(head, share)| (head.to_owned(), share))
            .to_vec(),
            rows,
            height: ROW,
        });
    }
    if let Some(currency) = takeoff.currency {
        let unpriced = takeoff.cost.unpriced.len();
        let rest = match unpriced {
            0 => String::new(),
            1 => ", and one thing whose price is not known".to_owned(),
            many => format!(", and {many} things whose price is not known"),
        };
        pages.paragraph(&format!(
            "Prices in {}. Together {}{rest}.",
            currency.code(),
            takeoff.cost.materials.show(currency)
        ));
    }
    pages.heading("Take care", 20.0);
    pages.steps(&cautions(takeoff));
    pages.finish(&heading)
}

fn row(item: &Item, takeoff: &Takeoff) -> Vec<String> {
    let units = takeoff.units;
    let price = item
        .cost
        .zip(takeoff.currency)
        .map_or_else(String::new, |(cost, currency)| cost.show_bare(currency));
    vec![
        String::new(),
        item.title.clone(),
        bought(item, units),
        in_words(item.need, units),
        price,
    ]
}
