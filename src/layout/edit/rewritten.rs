//! A length written anew as the old one was: a bare number in the layout's unit with as many decimals at least, a text in
//! its own unit, feet and inches as feet and inches.

use toml_edit::Value;

use super::super::settle::number;
use crate::units::{Length, LengthUnit, parse_length};

/// Decimals of a millimetre that a moved place is written with at most.
const DECIMALS: usize = 4;
/// What is written differs from what was meant by no more than this, millimetres.
const EXACT: f64 = 1e-6;

/// The length that a value says; none where it says none.
pub(super) fn length(value: &Value, units: LengthUnit) -> Option<Length> {
    #[expect(
        clippy::cast_precision_loss,
        reason = "no length of a deck comes near to 2^53"
    )]
    let whole = value.as_integer().map(|whole| whole as f64);
    match whole.or(value.as_float()) {
        Some(amount) => Some(Length::of(amount, units)),
        None => parse_length(value.as_str()?).ok(),
    }
}

/// `new` as `old` is written.
pub(super) fn like(old: &Value, new: Length, units: LengthUnit) -> Value {
    let is_same = length(old, units).is_some_and(|old| (old - new).to_mm().abs() < EXACT);
    if is_same {
        return old.clone();
    }
    match old.as_str() {
        Some(text) => Value::from(text_like(text, new)),
        None => bare(decimals_of(old), new, units),
    }
}

/// A bare number with so many decimals at least.
fn bare(least: usize, length: Length, units: LengthUnit) -> Value {
    let text = padded(number(length.to_mm(), units, DECIMALS), least);
    text.parse()
        .unwrap_or_else(|_| Value::from(length.to(units)))
}

/// How many decimals a number is written with.
fn decimals_of(value: &Value) -> usize {
    let repr = match value {
        Value::Float(float) => float.display_repr().into_owned(),
        _ => return 0,
    };
    match repr.split_once('.') {
        Some((_, decimals)) if decimals.chars().all(|one| one.is_ascii_digit()) => decimals.len(),
        _ => 0,
    }
}

fn padded(mut text: String, least: usize) -> String {
    if least == 0 {
        return text;
    }
    let has = match text.split_once('.') {
        Some((_, decimals)) => decimals.len(),
        None => {
            text.push('.');
            0
        }
    };
    text.extend(std::iter::repeat_n('0', least.saturating_sub(has)));
    text
}

/// A length in the unit that stands behind the old one.
fn text_like(old: &str, length: Length) -> String {
    let unit = old
        .trim_end()
        .rsplit(|sign: char| !sign.is_alphabetic())
        .next()
        .unwrap_or_default();
    let known = match unit {
        "mm" => LengthUnit::Millimetre,
        "cm" => LengthUnit::Centimetre,
        "m" => LengthUnit::Metre,
        "ft" if !old.contains("in") => LengthUnit::Foot,
        _ => LengthUnit::Inch,
    };
    let decimals = old.split_once('.').map_or(0, |(_, behind)| {
        behind.chars().take_while(char::is_ascii_digit).count()
    });
    let with_unit = |unit: LengthUnit, word: &str| {
        let amount = padded(number(length.to_mm(), unit, DECIMALS), decimals);
        format!("{amount} {word}")
    };
    match known {
        LengthUnit::Millimetre => with_unit(known, "mm"),
        LengthUnit::Centimetre => with_unit(known, "cm"),
        LengthUnit::Metre => with_unit(known, "m"),
        LengthUnit::Foot => with_unit(known, "ft"),
        LengthUnit::Inch => {
            // In sixteenths where these say it exactly.
            let shown = length.show(LengthUnit::Inch);
            let plain = shown
                .replace('′', " ft")
                .replace('″', " in")
                .replace('−', "-");
            let is_exact =
                parse_length(&plain).is_ok_and(|read| (read - length).to_mm().abs() < EXACT);
            if is_exact {
                plain
            } else {
                with_unit(LengthUnit::Inch, "in")
            }
        }
    }
}
