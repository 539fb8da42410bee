//! The takeoff as a document: what to buy, what to mix for each coat, hours, cost, and the settings behind them.

use super::super::document::{self, Block, Words};
use super::super::grid::Grid;
use super::super::markdown::settings_table;
use super::words::{bare, content, hour_range, hours, money, too_large};
use crate::takeoff::{
    Batch, CoatTakeoff, Cost, Item, Shelf, Stock, Takeoff, WorkStep, bought, cautions, in_words,
    money_range, pieces_in_words,
};
use crate::units::{Area, Currency, HourRange, Mass, Share, Time};

/// Hours that a table still shows.
const LEAST: Time = Time::hours(0.05);

/// The whole document.
#[must_use]
pub fn markdown(takeoff: &Takeoff) -> String {
    let mut blocks = vec![Block::heading(
        1,
        format!("{}: what it takes", takeoff.title),
    )];
    blocks.extend(sections(takeoff));
    blocks.extend(settings(takeoff));
    blocks.extend(caution_section(takeoff));
    written(&blocks)
}

/// The shopping list alone, with boxes to tick.
#[must_use]
pub fn shopping_list(takeoff: &Takeoff) -> String {
    let mut blocks = vec![Block::heading(
        1,
        format!("{}: shopping list", takeoff.title),
    )];
    blocks.extend(shopping_section(takeoff));
    blocks.extend(caution_section(takeoff));
    written(&blocks)
}

fn written(blocks: &[Block]) -> String {
    document::markdown(blocks).trim_start().to_owned()
}

/// All between the title and what it rests on.
pub(in crate::export) fn sections(takeoff: &Takeoff) -> Vec<Block> {
    let mut blocks = Vec::new();
    if takeoff.steps.iter().all(|step| step.coats.is_none()) {
        blocks.push(Block::Paragraph(vec![Words::own(
            "No coat is in the layout, so this is for setting out and masking alone. Add `[[product]]` and `[[step]]` \
             for paint, hours and cost of the rest.",
        )]));
    }
    blocks.extend(areas(takeoff));
    if !takeoff.too_large.is_empty() {
        blocks.push(Block::heading(2, "Look at these before you mix"));
        let said = takeoff.too_large.iter();
        blocks.push(Block::list(said.map(|large| too_large(large, takeoff))));
    }
    blocks.extend(shopping_section(takeoff));
    blocks.extend(mixing(takeoff));
    blocks.extend(labour(takeoff));
    blocks.extend(cost(takeoff));
    blocks
}

fn areas(takeoff: &Takeoff) -> [Block; 2] {
    let units = takeoff.units;
    let row = |name: &str, border: Area, field: Area| {
        vec![
            name.to_owned(),
            border.show(units),
            field.show(units),
            (border + field).show(units),
        ]
    };
    let mut rows: Vec<Vec<String>> = takeoff
        .zones
        .iter()
        .map(|zone| row(&zone.title, zone.border, zone.field))
        .collect();
    if takeoff.zones.len() > 1 {
        let border = takeoff.zones.iter().map(|zone| zone.border).sum();
        let field = takeoff.zones.iter().map(|zone| zone.field).sum();
        rows.push(row("All decks", border, field));
    }
    let grid = Grid {
        head: vec!["Deck", "Border", "Fields", "Painted"],
        rows,
    };
    [
        Block::heading(2, "What is painted"),
        Block::table("Painted areas", grid),
    ]
}

fn shopping_section(takeoff: &Takeoff) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "Shopping list")];
    for shelf in Shelf::ALL {
        let items = takeoff.shopping.iter().filter(|item| item.shelf == shelf);
        let entries: Vec<Words> = items.map(|item| entry(item, takeoff)).collect();
        if entries.is_empty() {
            continue;
        }
        blocks.push(Block::heading(3, shelf.title()));
        blocks.push(Block::Boxes(entries));
    }
    let cost = &takeoff.cost;
    if let Some(currency) = takeoff.currency
        && cost.unpriced.len() < takeoff.shopping.len()
    {
        let unknown = match cost.unpriced.len() {
            0 => ".".to_owned(),
            1 => ", and one thing whose price is not known.".to_owned(),
            many => format!(", and {many} things whose price is not known."),
        };
        let sum = cost.materials.show(currency);
        blocks.push(Block::paragraph(format!("Together {sum}{unknown}")));
    }
    blocks
}

/// `**Primer**: 1 × 2.5 L. Needed 2.1 L, 400 ml left over. 98.00 EUR.`
fn entry(item: &Item, takeoff: &Takeoff) -> Words {
    let units = takeoff.units;
    let mut text = format!(": {}.", bought(item, units));
    if !item.buy.is_empty() {
        text += &format!(" Needed {}", in_words(item.need, units));
        if let Some(left) = item.left
            && !matches!(left, Stock::Pieces(0))
        {
            text += &format!(", {} left over", in_words(left, units));
        }
        text += ".";
        if item.cost.is_some() {
            text += &format!(" {}.", money(item.cost, takeoff.currency));
        }
    }
    Words::strong(&item.title).and(text)
}

fn mixing(takeoff: &Takeoff) -> Vec<Block> {
    let mut blocks = Vec::new();
    for step in &takeoff.steps {
        let Some(coats) = &step.coats else { continue };
        if blocks.is_empty() {
            blocks.push(Block::heading(2, "What to mix"));
            blocks.push(Block::paragraph(
                "Each coat is mixed alike. A batch ends with a field, or where a border is broken; pot lives are for \
                 batches of the data sheet's size: a larger one heats itself and sets sooner.",
            ));
        }
        blocks.push(Block::heading(3, step.title.as_str()));
        blocks.push(Block::list(coat_sentences(step, coats, takeoff)));
        let caption = format!("Batches of each coat: {}", step.title);
        blocks.push(Block::table(caption, batches(coats, takeoff)));
    }
    blocks
}

fn coat_sentences(step: &WorkStep, coats: &CoatTakeoff, takeoff: &Takeoff) -> Vec<String> {
    let units = takeoff.units;
    let mut said = vec![format!(
        "{} over {}: wet film to aim at {}{}.",
        match coats.coats {
            1 => "One coat".to_owned(),
            many => format!("{many} coats"),
        },
        step.area.show(units),
        coats.wet_film.show_film(units),
        coats.dry_film.map_or_else(String::new, |dry| format!(
            ", which dries to {}",
            dry.show_film(units)
        )),
    )];
    said.push(format!(
        "It covers {}, with {:.0} % lost {}.",
        coats.theoretical.show(units),
        coats.loss.to_per_cent(),
        coats.practical.show(units),
    ));
    if let Some(limit) = coats.limit {
        let at = takeoff
            .settings
            .iter()
            .find(|setting| setting.key == "job.temperature")
            .map_or("", |setting| setting.value.as_str());
        let stood = if limit.working < limit.pot_life {
            format!(", {} of it once it has stood", limit.working.show())
        } else {
            String::new()
        };
        said.push(format!(
            "Pot life {} at {at}{stood}: no batch for more than {}.",
            limit.pot_life.show(),
            limit.most.show(units),
        ));
    }
    said.extend(coarse(coats));
    said
}

/// The batches that are too small for the marks of the cup or the scale.
fn coarse(coats: &CoatTakeoff) -> Option<String> {
    let small = coats.batches.iter().enumerate();
    let small = small.filter(|(_, batch)| batch.mix.is_coarse);
    let (numbers, off): (Vec<String>, Vec<f64>) = small
        .map(|(index, batch)| {
            let off = batch.mix.misreading.map_or(0.0, Share::to_per_cent);
            ((index + 1).to_string(), off)
        })
        .unzip();
    let worst = off.into_iter().reduce(f64::max)?;
    let (batches, are) = match numbers.as_slice() {
        [_] => ("Batch", "is"),
        _ => ("Batches", "are"),
    };
    Some(format!(
        "{batches} {} {are} small for these marks: a part may be off by {worst:.0} %. Use a finer cup or weigh, or mix \
         more than is needed.",
        numbers.join(", ")
    ))
}

/// What a column says of a batch.
type OfBatch = Box<dyn Fn(&Batch) -> Stock>;

fn batches(coats: &CoatTakeoff, takeoff: &Takeoff) -> Grid {
    let units = takeoff.units;
    let several = takeoff.zones.len() > 1;
    let mut head = vec!["Batch", "Where", "Area", "Parts", "Mixed"];
    let grams = |of: fn(&Batch) -> Mass| move |batch: &Batch| Stock::Mass(of(batch));
    let mut extras: Vec<(&'static str, OfBatch)> = Vec::new();
    if coats.thinner.is_some() {
        extras.push(("Thinner", Box::new(|batch| Stock::Volume(batch.thinner))));
    }
    if coats.catalyst.is_some() {
        extras.push(("Catalyst", Box::new(grams(|batch| batch.catalyst))));
    }
    if coats.aggregate.is_some() {
        extras.push(("Grit", Box::new(grams(|batch| batch.aggregate))));
    }
    head.extend(extras.iter().map(|(name, _)| *name));
    let rows = coats.batches.iter().enumerate().map(|(index, batch)| {
        let pieces = pieces_in_words(&batch.pieces, several, units);
        let parts: Vec<String> = batch
            .mix
            .portions
            .iter()
            .map(|portion| format!("{} {}", portion.title, content(portion.amount, units)))
            .collect();
        let mut cells = vec![
            (index + 1).to_string(),
            pieces,
            batch.area.show(units),
            parts.join(" + "),
            batch.mix.total.show(units),
        ];
        cells.extend(extras.iter().map(|(_, of)| in_words(of(batch), units)));
        cells
    });
    Grid {
        rows: rows.collect(),
        head,
    }
}

fn labour(takeoff: &Takeoff) -> [Block; 4] {
    let row = |name: String, range: HourRange| {
        vec![
            name,
            hours(range.low),
            hours(range.likely),
            hours(range.high),
        ]
    };
    let mut rows: Vec<Vec<String>> = takeoff
        .steps
        .iter()
        .map(|step| row(format!("{} ({})", step.title, step.id), step.hours()))
        .collect();
    rows.push(row("All".into(), takeoff.hours));
    let grid = Grid {
        head: vec!["Step", "Few", "Likely", "Many"],
        rows,
    };
    let days = takeoff.cost.days;
    let mut by_zone: Vec<Vec<String>> = Vec::new();
    for zone in &takeoff.zones {
        for part in [
            crate::takeoff::Zone::Border,
            crate::takeoff::Zone::Field,
            crate::takeoff::Zone::PaintLine,
            crate::takeoff::Zone::Edge,
        ] {
            let of = takeoff.steps.iter().flat_map(|step| &step.zones);
            let range: HourRange = of
                .filter(|one| one.deck == zone.id && one.zone == part)
                .map(|one| one.hours)
                .sum();
            // Less would stand there as nothing.
            if range.high > LEAST {
                by_zone.push(row(format!("{}, {}", zone.title, part.word()), range));
            }
        }
    }
    let by_zone = Grid {
        head: vec!["Where", "Few", "Likely", "Many"],
        rows: by_zone,
    };
    let days = match (days.low, days.high) {
        (1, 1) => "one working day".to_owned(),
        (low, high) if low == high => format!("{low} working days"),
        (low, high) => format!("{low} to {high} working days, likely {}", days.likely),
    };
    [
        Block::heading(2, "Person-hours"),
        Block::table("Hours by step", grid),
        Block::paragraph(format!(
            "For all who work together that is {days}; paint dries on top of that. The ends are as if every step went \
             well, or none."
        )),
        Block::table("Hours by place", by_zone),
    ]
}

fn cost(takeoff: &Takeoff) -> Vec<Block> {
    let said = |currency| cost_sentences(&takeoff.cost, takeoff, currency);
    takeoff.currency.map_or_else(Vec::new, |currency| {
        vec![Block::heading(2, "Cost"), Block::list(said(currency))]
    })
}

fn cost_sentences(cost: &Cost, takeoff: &Takeoff, currency: Currency) -> Vec<String> {
    let mut said = vec![format!("Materials: {}.", cost.materials.show(currency))];
    if !cost.unpriced.is_empty() {
        said.push(format!(
            "Not in it, the price not known: {}.",
            cost.unpriced.join(", ")
        ));
    }
    if cost.expenses > crate::units::Money::ZERO {
        said.push(format!("Other expenses: {}.", cost.expenses.show(currency)));
    }
    if let Some(yard) = cost.yard {
        said.push(format!("The yard: {}.", money_range(yard, currency)));
    }
    said.push(format!("Paid out: {}.", money_range(cost.paid, currency)));
    if let Some(own) = cost.own_time {
        said.push(format!(
            "Your own {}, at what an hour is worth to you: {}.",
            hour_range(takeoff.hours),
            money_range(own, currency)
        ));
    }
    if let Some(budget) = cost.budget {
        let over = |paid| paid > budget;
        said.push(format!(
            "Budget {}: {}.",
            budget.show(currency),
            if over(cost.paid.low) {
                "what is paid out is more in any case"
            } else if over(cost.paid.high) {
                "with many hours what is paid out is more"
            } else {
                "enough, with many hours too"
            }
        ));
    }
    if let Some(quote) = &cost.quote {
        let note = quote
            .note
            .as_ref()
            .map_or_else(String::new, |note| format!(" ({note})"));
        said.push(format!(
            "The yard's quote, for {}: {}{note}. You would pay {} for the same, and work.",
            quote.covers.join(" and "),
            quote.amount.show(currency),
            money_range(quote.own, currency)
        ));
        if let Some(even) = quote.break_even {
            said.push(format!(
                "Both cost the same where an hour of yours is worth {} to {}, likely {}: if it is worth more to you, let \
                 the yard do it.",
                bare(even.low, currency),
                even.high.show(currency),
                bare(even.likely, currency)
            ));
        }
    }
    said
}

/// What all of it rests on.
pub(in crate::export) fn settings(takeoff: &Takeoff) -> [Block; 3] {
    [
        Block::heading(2, "What all of this rests on"),
        Block::paragraph(
            "Paces are slow, likely and fast, for one person. Put your own into the layout.",
        ),
        settings_table(&takeoff.settings),
    ]
}

fn caution_section(takeoff: &Takeoff) -> [Block; 2] {
    [
        Block::heading(2, "Cautions"),
        Block::list(cautions(takeoff)),
    ]
}
