//! A comparison for programs: every figure unrounded with its unit, and its difference from the first one's. Keys may be
//! added, never changed.

use serde::Serialize;

use super::super::takeoff::number;
use crate::comparison::{Comparison, Difference, Row, Value};

#[derive(Serialize)]
struct ComparisonKeys<'a> {
    candidates: Vec<CandidateKeys<'a>>,
    figures: Vec<FigureKeys<'a>>,
}

#[derive(Serialize)]
struct CandidateKeys<'a> {
    name: &'a str,
    title: &'a str,
}

#[derive(Serialize)]
struct FigureKeys<'a> {
    key: &'a str,
    section: &'static str,
    title: &'a str,
    values: Vec<Option<ValueKeys<'a>>>,
}

#[derive(Serialize)]
struct ValueKeys<'a> {
    unit: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    likely: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<f64>,
    /// From the first one's likely figure; none where the two cannot be subtracted.
    difference: Option<f64>,
}

/// The comparison as JSON.
///
/// # Errors
/// Never for a comparison: its keys are text and its numbers finite.
pub fn json(comparison: &Comparison) -> Result<String, serde_json::Error> {
    let keys = ComparisonKeys {
        candidates: comparison
            .candidates
            .iter()
            .map(|one| CandidateKeys {
                name: &one.name,
                title: &one.job.layout.title,
            })
            .collect(),
        figures: comparison.rows.iter().map(figure).collect(),
    };
    let mut text = serde_json::to_string_pretty(&keys)?;
    text.push('\n');
    Ok(text)
}

fn figure(row: &Row) -> FigureKeys<'_> {
    let values = row.values.iter().enumerate().map(|(index, value)| {
        let value = value.as_ref()?;
        let (unit, range) = measured(value);
        let words = match value {
            Value::Words(words) => Some(words.as_str()),
            _ => None,
        };
        Some(ValueKeys {
            unit,
            words,
            low: range.map(|range| range[0]),
            likely: range.map(|range| range[1]),
            high: range.map(|range| range[2]),
            difference: match row.difference(index) {
                Difference::Same => range.map(|_| 0.0),
                Difference::More(by) => measured(&by).1.map(|by| by[1]),
                Difference::Less(by) => measured(&by).1.map(|by| -by[1]),
                Difference::Unlike => None,
            },
        })
    });
    FigureKeys {
        key: &row.key,
        section: row.section.title(),
        title: &row.title,
        values: values.collect(),
    }
}

/// The unit of a figure, and its low, likely and high number; none where it is words.
fn measured(value: &Value) -> (&'static str, Option<[f64; 3]>) {
    let one = |number: f64| Some([number; 3]);
    match value {
        Value::Amount(amount) => {
            let (number, unit) = number(*amount);
            (unit, one(number))
        }
        Value::Length(length) => ("mm", one(length.to_mm())),
        Value::Share(share) => ("per cent", one(share.to_per_cent())),
        Value::Hours(hours) => (
            "h",
            Some([hours.low, hours.likely, hours.high].map(|time| time.to_hours())),
        ),
        Value::Days(days) => (
            "days",
            Some([days.low, days.likely, days.high].map(|days| days as f64)),
        ),
        Value::Money(range, currency) => (
            currency.code(),
            Some([range.low, range.likely, range.high].map(|money| money.to_number(*currency))),
        ),
        Value::Words(_) => ("", None),
    }
}
