//! What is found wrong or worth saying while a deck is traced, and how its places are put in words.

use std::collections::BTreeSet;

use super::ties::Named;
use super::{Fixed, Scrutiny, Warning, whereabouts};
use crate::layout::{Fault, Place, Position};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// Beyond this, millimetres, a number is a slip: no deck is a kilometre long.
const ABSURD: f64 = 1e6;
/// Below this, millimetres, a size is a slip too: nothing so small is on a deck.
const LEAST: f64 = 1e-3;

/// Faults and warnings of one deck, in the order they were found.
pub(super) struct Findings<'a> {
    deck: &'a str,
    units: LengthUnit,
    pub(super) fixed: &'a Fixed,
    pub(super) scrutiny: Scrutiny,
    pub(super) faults: Vec<Fault>,
    pub(super) warnings: Vec<Warning>,
    /// Groups of points that may lie in two places and have been spoken of.
    open: BTreeSet<usize>,
}

impl<'a> Findings<'a> {
    pub(super) const fn of(deck: &'a str, units: LengthUnit, fixed: &'a Fixed) -> Self {
        Self {
            deck,
            units,
            fixed,
            scrutiny: Scrutiny::Full,
            faults: Vec::new(),
            warnings: Vec::new(),
            open: BTreeSet::new(),
        }
    }

    /// The layout's unit.
    pub(super) const fn units(&self) -> LengthUnit {
        self.units
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

    /// Where a position is, if it can be worked with; `place` is to be pointed at where its numbers cannot.
    pub(super) fn position(&mut self, position: &Position, place: Place) -> Option<Point> {
        match position {
            Position::At(point) => self.is_sane(*point, place).then_some(*point),
            Position::Named(name) => match self.fixed.named(&name.value, self.units) {
                Named::Found(point) => Some(point),
                Named::Lost(why) => {
                    let fault = Fault::new(
                        name.place,
                        format!("the ties do not say where point \"{}\" is", name.value),
                        why,
                    );
                    self.fault(fault.with_help(
                        "measure it from two marks at least, better from four, well to either side",
                    ));
                    None
                }
                Named::Open {
                    group,
                    places,
                    help,
                } => {
                    // Points that go over together have one cause: it is said once.
                    if self.open.insert(group) {
                        let message =
                            format!("point \"{}\" may be in two places: {places}", name.value);
                        self.fault(
                            Fault::new(name.place, message, "both fit its ties as well")
                                .with_help(help),
                        );
                    }
                    None
                }
            },
        }
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

    /// A length for people, in the layout's unit.
    pub(super) fn spoken(&self, mm: f64) -> String {
        Length::mm(mm).show(self.units)
    }

    /// The greatest length a tape can show that is not over `mm`: to a thousandth of a millimetre, or
    /// to a sixteenth of an inch. What lacks a hair of the next is the next.
    pub(super) fn spoken_limit(&self, mm: f64) -> String {
        if self.units.is_imperial() {
            let sixteenth = LengthUnit::Inch.in_mm() / 16.0;
            let sixteenths = (mm / sixteenth + 1e-4).floor().max(0.0);
            Length::mm(sixteenths * sixteenth).show(self.units)
        } else {
            format!("{} mm", ((mm * 1000.0 + 1e-4).floor() / 1000.0).max(0.0))
        }
    }

    /// Where on the deck a point lies, in words.
    pub(super) fn whereabouts(&self, point: Point) -> String {
        whereabouts(point, self.units)
    }
}
