//! How amounts are said, the same on every list, and the cautions that go with what a job does and uses.

use super::{Bought, Item, MoneyRange, Stock, Takeoff, WorkKind};
use crate::units::{Currency, LengthUnit};

/// An amount for people who measure in `units`.
#[must_use]
pub fn in_words(amount: Stock, units: LengthUnit) -> String {
    match amount {
        Stock::Volume(volume) => volume.show(units),
        Stock::Mass(mass) => mass.show(units),
        Stock::Pieces(many) => many.to_string(),
        Stock::Length(length) => length.show_run(units),
        Stock::Area(area) => area.show(units),
    }
}

/// `120.00 to 180.00 EUR, likely 150.00`; one amount where all are the same.
#[must_use]
pub fn money_range(range: MoneyRange, currency: Currency) -> String {
    if range.low == range.high {
        return range.likely.show(currency);
    }
    format!(
        "{} to {}, likely {}",
        range.low.show_bare(currency),
        range.high.show(currency),
        range.likely.show_bare(currency)
    )
}

/// What is bought of a thing: `1 × 2.5 L and 2 × 750 ml`; pieces by their packs.
#[must_use]
pub fn bought(item: &Item, units: LengthUnit) -> String {
    if item.buy.is_empty() {
        return format!("{} (sizes on sale not known)", in_words(item.need, units));
    }
    let each = |bought: &Bought| match bought.size {
        Stock::Pieces(1) => bought.count.to_string(),
        Stock::Pieces(many) if bought.count == 1 => format!("1 pack of {many}"),
        Stock::Pieces(many) => format!("{} packs of {many}", bought.count),
        Stock::Length(roll) if bought.count == 1 => format!("1 roll of {}", roll.show_run(units)),
        Stock::Length(roll) => format!("{} rolls of {}", bought.count, roll.show_run(units)),
        Stock::Volume(can) => format!("{} × {}", bought.count, can.show_can(units)),
        size => format!("{} × {}", bought.count, in_words(size, units)),
    };
    let parts: Vec<String> = item.buy.iter().map(each).collect();
    parts.join(" and ")
}

/// The cautions that go with what this job does and uses.
#[must_use]
pub fn cautions(takeoff: &Takeoff) -> Vec<&'static str> {
    let does = |is: fn(&WorkKind) -> bool| takeoff.steps.iter().any(|step| is(&step.kind));
    let mut said = vec![
        "The product's data sheet, its safety data sheet and local rules come before anything printed here.",
    ];
    if does(|kind| matches!(kind, WorkKind::Sand { .. })) {
        said.push(
            "Sanding: assume that old coats hold lead or antifouling poison until they are tested; extract, no dry dust.",
        );
    }
    if does(|kind| matches!(kind, WorkKind::Coat | WorkKind::Clean)) {
        said.push(
            "Two-part polyurethane holds isocyanates, which can cause lasting asthma; when it is sprayed a filter mask does not \
             protect, air-fed apparatus does. In the EU professional use needs training.",
        );
        said.push("Solvents burn and stupefy: ventilate, no flame, never alone in a closed space.");
    }
    let catalyst = |step: &super::WorkStep| {
        step.coats
            .as_ref()
            .is_some_and(|coats| coats.catalyst.is_some())
    };
    if takeoff.steps.iter().any(catalyst) {
        said.push(
            "Peroxide catalyst blinds: goggles, and never mixed directly with an accelerator. Gelcoat gives off styrene.",
        );
    }
    said
}
