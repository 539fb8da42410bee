//! What a person should know about the masking, in words: tape that finds no room.

use std::cmp::Ordering;

use crate::outline::{DeckPlan, Warning, whereabouts};
use crate::units::Length;

use super::{Clash, Masking};

/// One warning for each pass in which tape lies over other tape.
#[must_use]
pub fn remarks(plan: &DeckPlan, masking: &Masking) -> Vec<Warning> {
    [("first", &masking.first), ("reversed", &masking.reversed)]
        .into_iter()
        .filter_map(|(name, pass)| clash(plan, name, &pass.clashes))
        .collect()
}

fn clash(plan: &DeckPlan, pass: &str, clashes: &[Clash]) -> Option<Warning> {
    let tightest = clashes.iter().min_by(|a, b| {
        let order = a.width_that_would_do.partial_cmp(&b.width_that_would_do);
        order.unwrap_or(Ordering::Equal)
    })?;
    let length = clashes
        .iter()
        .fold(Length::ZERO, |sum, clash| sum + clash.length);
    let places = match clashes.len() {
        1 => String::new(),
        many => format!(" at {many} places, the tightest"),
    };
    Some(Warning {
        deck: plan.id.clone(),
        code: "tape-clash",
        message: format!(
            "In the {pass} pass {} of line tape lies over other tape{places} at {}. Tape up to \
             {} wide would do.",
            length.show_run(plan.units),
            whereabouts(tightest.at, plan.units),
            tightest.width_that_would_do.show(plan.units),
        ),
        place: None,
        at: Some(tightest.at),
    })
}
