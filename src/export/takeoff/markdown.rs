//! The takeoff as a document: what to buy, what to mix for each coat, hours, cost, and the settings behind them.

use super::super::grid::Grid;
use super::super::markdown::{pipes, plain, settings_table};
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
    let mut text = format!("# {}: what it takes\n", plain(&takeoff.title));
    if takeoff.steps.iter().all(|step| step.coats.is_none()) {
        text += "\nNo coat is in the layout, so this is for setting out and masking alone. Add `[[product]]` and `[[step]]` \
                 for paint, hours and cost of the rest.\n";
    }
    text += &areas(takeoff);
    if !takeoff.too_large.is_empty() {
        text += "\n## Look at these before you mix\n\n";
        for large in &takeoff.too_large {
            text += &format!("- {}\n", plain(&too_large(large, takeoff)));
        }
    }
    text += &shopping_section(takeoff);
    text += &mixing(takeoff);
    text += &labour(takeoff);
    text += &cost(takeoff);
    text += &settings(takeoff);
    text + &caution_section(takeoff)
}

/// The shopping list alone, with boxes to tick.
#[must_use]
pub fn shopping_list(takeoff: &Takeoff) -> String {
    format!(
        "# {}: shopping list\n{}{}",
        plain(&takeoff.title),
        shopping_section(takeoff),
        caution_section(takeoff)
    )
}

fn areas(takeoff: &Takeoff) -> String {
    let units = takeoff.units;
    let row = |name: &str, border: Area, field: Area| {
        vec![
            plain(name),
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
    format!("\n## What is painted\n\n{}", pipes(&grid))
}

fn shopping_section(takeoff: &Takeoff) -> String {
    let mut text = "\n## Shopping list\n".to_owned();
    for shelf in Shelf::ALL {
        let items: Vec<&Item> = takeoff
            .shopping
            .iter()
            .filter(|item| item.shelf == shelf)
            .collect();
        if items.is_empty() {
            continue;
        }
        text += &format!("\n### {}\n\n", shelf.title());
        for item in items {
            text += &format!("- [ ] {}\n", entry(item, takeoff));
        }
    }
    let cost = &takeoff.cost;
    if let Some(currency) = takeoff.currency
        && cost.unpriced.len() < takeoff.shopping.len()
    {
        text += &format!("\nTogether {}", cost.materials.show(currency));
        text += &match cost.unpriced.len() {
            0 => ".\n".to_owned(),
            1 => ", and one thing whose price is not known.\n".to_owned(),
            many => format!(", and {many} things whose price is not known.\n"),
        };
    }
    text
}

/// `**Primer**: 1 × 2.5 L. Needed 2.1 L, 400 ml left over. 98.00 EUR.`
fn entry(item: &Item, takeoff: &Takeoff) -> String {
    let units = takeoff.units;
    let mut text = format!("**{}**: {}.", plain(&item.title), bought(item, units));
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
    text
}

fn mixing(takeoff: &Takeoff) -> String {
    let mut text = String::new();
    for step in &takeoff.steps {
        let Some(coats) = &step.coats else { continue };
        if text.is_empty() {
            text += "\n## What to mix\n\nEach coat is mixed alike. A batch ends with a field, or where a border is broken; pot \
                     lives are for batches of the data sheet's size: a larger one heats itself and sets sooner.\n";
        }
        text += &format!("\n### {}\n\n", plain(&step.title));
        for sentence in coat_sentences(step, coats, takeoff) {
            text += &format!("- {sentence}\n");
        }
        text += "\n";
        text += &pipes(&batches(coats, takeoff));
    }
    text
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
        let pieces = plain(&pieces_in_words(&batch.pieces, several, units));
        let parts: Vec<String> = batch
            .mix
            .portions
            .iter()
            .map(|portion| {
                format!(
                    "{} {}",
                    plain(&portion.title),
                    content(portion.amount, units)
                )
            })
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

fn labour(takeoff: &Takeoff) -> String {
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
        .map(|step| {
            row(
                plain(&format!("{} ({})", step.title, step.id)),
                step.hours(),
            )
        })
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
                by_zone.push(row(
                    plain(&format!("{}, {}", zone.title, part.word())),
                    range,
                ));
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
    format!(
        "\n## Person-hours\n\n{}\nFor all who work together that is {days}; paint dries on top of that. The ends are as \
         if every step went well, or none.\n\n{}",
        pipes(&grid),
        pipes(&by_zone)
    )
}

fn cost(takeoff: &Takeoff) -> String {
    let Some(currency) = takeoff.currency else {
        return String::new();
    };
    let cost = &takeoff.cost;
    let mut text = "\n## Cost\n\n".to_owned();
    for sentence in cost_sentences(cost, takeoff, currency) {
        text += &format!("- {sentence}\n");
    }
    text
}

fn cost_sentences(cost: &Cost, takeoff: &Takeoff, currency: Currency) -> Vec<String> {
    let mut said = vec![format!("Materials: {}.", cost.materials.show(currency))];
    if !cost.unpriced.is_empty() {
        let names: Vec<String> = cost.unpriced.iter().map(|name| plain(name)).collect();
        said.push(format!(
            "Not in it, the price not known: {}.",
            names.join(", ")
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
            .map_or_else(String::new, |note| format!(" ({})", plain(note)));
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

fn settings(takeoff: &Takeoff) -> String {
    format!(
        "\n## What all of this rests on\n\nPaces are slow, likely and fast, for one person. Put your own into the layout.\n\n{}",
        settings_table(&takeoff.settings)
    )
}

fn caution_section(takeoff: &Takeoff) -> String {
    let mut text = "\n## Cautions\n\n".to_owned();
    for caution in cautions(takeoff) {
        text += &format!("- {caution}\n");
    }
    text
}
