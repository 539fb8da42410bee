//! A comparison for a spreadsheet: a row a figure, a column a candidate, as RFC 4180 has it; of a range its likely figure.

use super::super::csv::push_row;
use super::super::takeoff::number;
use crate::comparison::{Comparison, Value};
use crate::units::{Currency, LengthUnit};

/// The rows.
#[must_use]
pub fn csv(comparison: &Comparison) -> String {
    let mut text = String::new();
    let names = comparison.candidates.iter().map(|one| one.name.as_str());
    push_row(
        &mut text,
        ["section", "figure", "title", "unit"]
            .into_iter()
            .chain(names),
    );
    for row in &comparison.rows {
        let values = || row.values.iter().flatten();
        let units: Vec<&str> = values().map(|value| measured(value).1).collect();
        // Amounts in two currencies stand in one row, each with its own.
        let alike = units.iter().all(|unit| *unit == units[0]);
        let cells: Vec<String> = row
            .values
            .iter()
            .map(|value| match value {
                None => String::new(),
                Some(value) => match measured(value) {
                    (amount, _) if alike => amount,
                    (amount, unit) => format!("{amount} {unit}"),
                },
            })
            .collect();
        let unit = if alike { units[0] } else { "" };
        let head = [row.section.title(), &row.key, &row.title, unit];
        push_row(
            &mut text,
            head.into_iter().chain(cells.iter().map(String::as_str)),
        );
    }
    text
}

/// A figure as text and its unit.
fn measured(value: &Value) -> (String, &'static str) {
    match value {
        Value::Amount(amount) => {
            let (number, unit) = number(*amount);
            (number.to_string(), unit)
        }
        Value::Length(length) => (length.to(LengthUnit::Millimetre).to_string(), "mm"),
        Value::Share(share) => (share.to_per_cent().to_string(), "per cent"),
        Value::Hours(hours) => (hours.likely.to_hours().to_string(), "h"),
        Value::Days(days) => (days.likely.to_string(), "days"),
        Value::Money(range, currency) => {
            (range.likely.show_bare(*currency), Currency::code(*currency))
        }
        Value::Words(words) => (words.clone(), ""),
    }
}
