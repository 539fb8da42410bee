//! How amounts are said, the same on every list, and the cautions that go with what a job does and uses.

use super::{
    Bought, CoatTakeoff, Item, MoneyRange, Part, Piece, Stock, Takeoff, WorkKind, WorkStep,
};
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

/// `foredeck F1` or `aft-deck, from 8600 to 9400 mm`.
fn piece_in_words(piece: &Piece, several: bool, units: LengthUnit) -> String {
    let deck = if several {
        format!("{} ", piece.deck)
    } else {
        String::new()
    };
    match &piece.part {
        Part::Field(id) => format!("{deck}{id}"),
        Part::Whole if several => piece.deck.clone(),
        Part::Whole => "all of it".into(),
        Part::Stretch(stretch) => format!(
            "{deck}from {} to {}",
            stretch.from.show_bare(units),
            stretch.to.show(units)
        ),
    }
}

/// Pieces in their order, fields that follow each other in one: `foredeck F1 to F4; aft-deck F1`.
#[must_use]
pub fn pieces_in_words(pieces: &[Piece], several: bool, units: LengthUnit) -> String {
    let field = |piece: &Piece| match &piece.part {
        Part::Field(id) => Some(id.clone()),
        _ => None,
    };
    let runs = pieces.chunk_by(|one, next| {
        one.deck == next.deck && field(one).is_some() && field(next).is_some()
    });
    let said = runs.map(|run| match run {
        [first, .., last] => {
            let to = field(last).unwrap_or_default();
            format!("{} to {to}", piece_in_words(first, several, units))
        }
        [one] => piece_in_words(one, several, units),
        [] => String::new(),
    });
    said.collect::<Vec<String>>().join("; ")
}

/// What stands before all cautions.
pub const BEFORE_CAUTIONS: &str = "The product's data sheet, its safety data sheet and local rules come before anything printed here.";

/// The cautions that go with what this job does and uses.
#[must_use]
pub fn cautions(takeoff: &Takeoff) -> Vec<&'static str> {
    let mut said = vec![BEFORE_CAUTIONS];
    said.extend(cautions_of(&takeoff.steps.iter().collect::<Vec<_>>()));
    said.push("If somebody is hurt or something is spilt: see the safety data sheet, and keep it where the work is.");
    said
}

/// The cautions that go with some steps. Sources: HSE on isocyanates (HSG276) and Regulation (EU) 2020/1149; MIL-HDBK-1110, 9.6.8.2, on
/// solvents in closed spaces; HSE on styrene; a maker's manual on peroxide. The rest is common practice, no source.
#[must_use]
pub fn cautions_of(steps: &[&WorkStep]) -> Vec<&'static str> {
    let does = |is: fn(&WorkStep) -> bool| steps.iter().any(|step| is(step));
    let coats =
        |is: fn(&CoatTakeoff) -> bool| steps.iter().any(|step| step.coats.as_ref().is_some_and(is));
    let mut said = Vec::new();
    if does(|step| matches!(step.kind, WorkKind::Sand { .. })) {
        said.push(
            "Sanding: assume that old coats hold lead or antifouling poison until they are tested; extract, no dry dust.",
        );
    }
    if coats(CoatTakeoff::is_two_part) {
        said.push(
            "Two-part polyurethane holds isocyanates, which can cause lasting asthma; when it is sprayed a filter mask does not \
             protect, air-fed apparatus does. In the EU professional use needs training.",
        );
        said.push("Epoxy that is not cured can make the skin allergic for good: gloves, and no solvent to clean hands.");
    }
    if does(|step| matches!(step.kind, WorkKind::Clean | WorkKind::Coat)) {
        said.push(
            "Solvents burn and stupefy: ventilate, no flame, never alone in a closed space. Rags in a heap can catch fire by themselves: \
             spread them to dry outside, or keep them under water.",
        );
    }
    if coats(|coats| coats.catalyst.is_some()) {
        said.push(
            "Peroxide catalyst blinds: goggles, and never mixed directly with an accelerator. Gelcoat gives off styrene.",
        );
    }
    if does(|step| {
        matches!(
            step.kind,
            WorkKind::Mask(_) | WorkKind::Unmask(_) | WorkKind::Coat
        )
    }) {
        said.push(
            "Film, fresh paint and bare gloss are slippery, wet ones more so: keep a way off, and nobody works alone at an open edge.",
        );
    }
    said
}
