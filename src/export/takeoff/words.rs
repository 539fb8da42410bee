//! How amounts, batches and costs are said, the same on every list.

use crate::layout::Content;
use crate::takeoff::{Part, Takeoff, TooLarge};
use crate::units::{Currency, HourRange, LengthUnit, Money};

pub(super) fn content(content: Content, units: LengthUnit) -> String {
    match content {
        Content::Volume(volume) => volume.show(units),
        Content::Mass(mass) => mass.show(units),
    }
}

pub(super) fn money(amount: Option<Money>, currency: Option<Currency>) -> String {
    match (amount, currency) {
        (Some(amount), Some(currency)) => amount.show(currency),
        _ => "price not known".into(),
    }
}

pub(super) fn bare(amount: Money, currency: Currency) -> String {
    amount.show_bare(currency)
}

/// `12.5`.
pub(super) fn hours(time: crate::units::Time) -> String {
    format!("{:.1}", time.to_hours())
}

/// `12 to 19 h, likely 15`.
pub(super) fn hour_range(range: HourRange) -> String {
    format!(
        "{} to {} h, likely {}",
        hours(range.low),
        hours(range.high),
        hours(range.likely)
    )
}

/// What is said of a piece that no batch reaches over.
pub(super) fn too_large(large: &TooLarge, takeoff: &Takeoff) -> String {
    let units = takeoff.units;
    let what = match &large.piece.part {
        Part::Field(id) => format!("field {id} of {}", large.piece.deck),
        _ => format!("{} in one go", large.piece.deck),
    };
    let mut helps = Vec::new();
    helps.extend(
        large
            .parts
            .map(|parts| format!("strips that break it into {parts} parts")),
    );
    helps.extend(
        large
            .hands
            .map(|hands| format!("{hands} people laying at once")),
    );
    if let Some(cooler) = large.cooler {
        helps.push(format!("{} or cooler", cooler.show(units)));
    }
    if let Some(slower) = &large.slower {
        helps.push(slower.clone());
    }
    format!(
        "Step {}: {what} is {}, and one mix is laid over {} before it sets. What would help: {}.",
        large.step,
        large.piece.area.show(units),
        large.most.show(units),
        helps.join("; ")
    )
}
