//! What a person should know about the masking, in words: tape that finds no room.

use std::cmp::Ordering;

use crate::outline::{DeckPlan, Warning, whereabouts};
use crate::shape::Point;
use crate::units::Length;

use super::{Clash, Masking};

/// For each pass one warning where tape lies over other tape, and one where it has no room to turn.
#[must_use]
pub fn remarks(plan: &DeckPlan, masking: &Masking) -> Vec<Warning> {
    [("first", &masking.first), ("reversed", &masking.reversed)]
        .into_iter()
        .flat_map(|(name, pass)| {
            [
                clash(plan, name, &pass.clashes),
                too_tight(plan, name, &pass.too_tight),
            ]
        })
        .flatten()
        .collect()
}

fn too_tight(plan: &DeckPlan, pass: &str, middles: &[Point]) -> Option<Warning> {
    let at = *middles.first()?;
    let others = match middles.len() - 1 {
        0 => String::new(),
        more => format!(" and in {more} more places"),
    };
    Some(Warning {
        deck: plan.id.clone(),
        code: "tape-too-wide",
        message: format!(
            "In the {pass} pass the line tape is too wide to go round inside its paint line at {}{others}. \
             Cover such a place whole and cut along the line, or take narrower tape.",
            whereabouts(at, plan.units),
        ),
        place: None,
        at: Some(at),
    })
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
