//! A layout changed by hand on a drawing: things moved, added, taken out, values typed. Comes in: the file's text and what
//! was done. Goes out: the text with that changed and everything else, comments and how numbers are written, as it stands.
//! Whether the deck still makes sense is for the reader to say, as of any file.

mod added;
mod grips;
mod moved;
mod rewritten;
mod rows;

pub use added::PartKind;
pub use grips::{Freedom, Grip, grips, way_at};
pub use rows::{FormRow, RowKind, Standing, forms};

use toml_edit::DocumentMut;

use super::change::{Change, ChangeFault, change_all, document_of, units_of};
use super::table::unit_word;
use crate::shape::Point;
use crate::units::{Length, LengthUnit, parse_length};

/// The way to something in a layout: keys and numbers from 1, `deck.#1.fitting.#3.slot.from`.
pub type Way = String;

/// One thing done to a layout.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// A key set to a value, or taken out.
    Change(Change),
    /// What stands at `what`, a thing, a point or one of a list of stations, moved so that its anchor (a centre, a first
    /// point) comes to `to`; the rest of it goes along.
    Move {
        /// What.
        what: Way,
        /// Where to, millimetres.
        to: Point,
    },
    /// The same by what a person typed: a bare number is in the layout's unit. What is not typed stays.
    Put {
        /// What.
        what: Way,
        /// Its station.
        station: Option<String>,
        /// Its distance off the centreline, positive to starboard.
        off: Option<String>,
    },
    /// A new thing on a deck.
    Add {
        /// The deck's number, from 0.
        deck: usize,
        /// What it is.
        kind: PartKind,
        /// Where, millimetres.
        at: Point,
    },
    /// A point put into a list of points, after the one at `after`, half way to the next.
    Split {
        /// The point before it.
        after: Way,
    },
    /// A point or a station of a list taken out.
    Drop {
        /// Which.
        what: Way,
    },
}

/// The text of a layout with all of `edits` made, in their order.
///
/// # Errors
/// Where there is nothing at a way, where it cannot be moved because a survey or a drawing says where it is, or where
/// `text` is not TOML.
pub fn edited(text: &str, edits: &[Edit]) -> Result<String, ChangeFault> {
    let mut document = document_of(text)?;
    for edit in edits {
        make(&mut document, edit)?;
    }
    Ok(document.to_string())
}

fn make(document: &mut DocumentMut, edit: &Edit) -> Result<(), ChangeFault> {
    let units = units_of(document);
    match edit {
        Edit::Change(change) => change_all(document, std::slice::from_ref(change)),
        Edit::Move { what, to } => moved::to(document, what, *to, units),
        Edit::Put { what, station, off } => {
            let typed = |text: &Option<String>| {
                text.as_ref()
                    .map(|text| typed_length(text, units))
                    .transpose()
            };
            let (station, off) = (typed(station)?, typed(off)?);
            let now = moved::anchor(document, what, units)?;
            let to = Point::new(
                station.map_or(now.x, Length::to_mm),
                off.map_or(now.y, Length::to_mm),
            );
            moved::to(document, what, to, units)
        }
        Edit::Add { deck, kind, at } => added::to(document, *deck, *kind, *at, units),
        Edit::Split { after } => moved::split(document, after, units),
        Edit::Drop { what } => moved::drop(document, what),
    }
}

/// A length as it is typed beside a drawing.
fn typed_length(text: &str, units: LengthUnit) -> Result<Length, ChangeFault> {
    let text = text.trim();
    let bare = || {
        let plain = text.replace('−', "-");
        let amount: f64 = plain.parse().ok()?;
        amount.is_finite().then(|| Length::of(amount, units))
    };
    let fraction = || parse_length(&format!("{text} {}", unit_word(units))).ok();
    match bare().or_else(fraction) {
        Some(length) => Ok(length),
        None => parse_length(text).map_err(|fault| {
            ChangeFault::new(format!("{text:?}: {}", fault.problem), fault.advice)
        }),
    }
}

#[cfg(test)]
mod tests;
