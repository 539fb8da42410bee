//! How the figures of a comparison are said, the same in a table and beside a picture.

use super::{Difference, Value};
use crate::takeoff::{DayRange, in_words, money_range};
use crate::units::LengthUnit;

/// A figure for people who measure in `units`.
#[must_use]
pub fn value_in_words(value: &Value, units: LengthUnit) -> String {
    match value {
        Value::Amount(amount) => in_words(*amount, units),
        Value::Length(length) => length.show(units),
        Value::Share(share) => format!("{:.1} %", share.to_per_cent()),
        Value::Hours(hours) if hours.low == hours.high => hours.likely.show(),
        Value::Hours(hours) => hours.show(),
        Value::Days(DayRange { low, likely, high }) if low == high => likely.to_string(),
        Value::Days(DayRange { low, likely, high }) => {
            format!("{low} to {high}, likely {likely}")
        }
        Value::Money(range, currency) => money_range(*range, *currency),
        Value::Words(words) => words.clone(),
    }
}

/// How a figure stands to the first: `=`, `+0.31 m²`, `−2.5 h`; nothing where the two cannot be subtracted. What is said
/// alike is the same.
#[must_use]
pub fn difference_in_words(difference: &Difference, units: LengthUnit) -> String {
    let (sign, by) = match difference {
        Difference::Same => return "=".to_owned(),
        Difference::Unlike => return String::new(),
        Difference::More(by) => ('+', by),
        Difference::Less(by) => ('−', by),
    };
    let by = match by {
        // Of per cent a difference is no per cent.
        Value::Share(share) => format!("{:.1} points", share.to_per_cent()),
        _ => value_in_words(by, units),
    };
    if by.contains(|digit| ('1'..='9').contains(&digit)) {
        format!("{sign}{by}")
    } else {
        "=".to_owned()
    }
}
