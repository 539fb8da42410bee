//! What is found wrong or worth saying while a deck is traced, and how its places are put in words.

use super::Warning;
use crate::layout::{Fault, Place};
use crate::shape::Point;
use crate::units::Length;

/// Beyond this, millimetres, a number is a slip: no deck is a kilometre long.
const ABSURD: f64 = 1e6;
/// Below this, millimetres, a size is a slip too: nothing so small is on a deck.
const LEAST: f64 = 1e-3;

/// Faults and warnings of one deck, in the order they were found.
pub(super) struct Findings<'a> {
    deck: &'a str,
    pub(super) faults: Vec<Fault>,
    pub(super) warnings: Vec<Warning>,
}

impl<'a> Findings<'a> {
    pub(super) const fn of(deck: &'a str) -> Self {
        Self {
            deck,
            faults: Vec::new(),
            warnings: Vec::new(),
        }
    }

    pub(super) fn fault(&mut self, fault: Fault) {
        self.faults.push(fault);
    }

    pub(super) fn warn(&mut self, code: &'static str, message: String, place: Place, at: Point) {
        self.warnings.push(Warning {
            deck: self.deck.to_owned(),
            code,
            message,
            place: Some(place),
            at: Some(at),
        });
    }

    /// Whether a point can be worked with; a fault at `place` where not.
    pub(super) fn is_sane(&mut self, point: Point, place: Place) -> bool {
        let sane = point.x.abs() <= ABSURD && point.y.abs() <= ABSURD;
        if !sane {
            self.fault(
                Fault::new(
                    place,
                    "this point is not on any deck",
                    "no number here may be over 1 km",
                )
                .with_help("check the unit: a bare number is in the file's `units`"),
            );
        }
        sane
    }

    /// Whether a size can be worked with; a fault at `place` where not.
    pub(super) fn is_size(&mut self, size: Length, what: &str, place: Place) -> bool {
        let sane = (LEAST..=ABSURD).contains(&size.to_mm());
        if !sane {
            self.fault(Fault::new(
                place,
                format!("the {what} must be more than 0 and at most 1 km"),
                format!("a {what} of {} mm", size.to_mm()),
            ));
        }
        sane
    }
}

/// A length for people, to a tenth of a millimetre.
pub(super) fn spoken(mm: f64) -> String {
    let tenths = (mm * 10.0).round() / 10.0;
    // No minus before a zero.
    format!("{} mm", tenths + 0.0)
}

/// The greatest length, in thousandths of a millimetre, that is not over `mm`; what lacks a hair of
/// the next is the next.
pub(super) fn spoken_limit(mm: f64) -> String {
    format!("{} mm", ((mm * 1000.0 + 1e-4).floor() / 1000.0).max(0.0))
}

/// Where on the deck a point lies, in words.
pub(super) fn whereabouts(point: Point) -> String {
    let station = format!("station {}", spoken(point.x));
    if point.y.abs() < 0.05 {
        format!("{station}, on the centreline")
    } else {
        let side = if point.y > 0.0 { "starboard" } else { "port" };
        format!("{station}, {} to {side}", spoken(point.y.abs()))
    }
}
