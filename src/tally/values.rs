//! What the cells of a ledger may hold. Comes in: text, from a file or from the command line; goes out: the value, or what
//! is wrong with it and what to write. What could mean two things is wrong.

use jiff::civil::Date;

use super::entry::Paid;
use crate::units::{Currency, LengthUnit, Money, Share, Temperature, Time, parse_date};

/// What cannot be read, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// What is wrong.
    pub problem: String,
    /// What to write.
    pub advice: String,
}

impl Mistake {
    pub(super) fn new(problem: impl Into<String>, advice: impl Into<String>) -> Self {
        Self {
            problem: problem.into(),
            advice: advice.into(),
        }
    }
}

impl std::fmt::Display for Mistake {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}; {}", self.problem, self.advice)
    }
}

impl std::error::Error for Mistake {}

/// A day: `2026-05-03`; also `3.5.2026`, and with strokes where only one day can be meant.
///
/// # Errors
/// Where there is no such day, or two could be meant.
pub fn date_of(text: &str) -> Result<Date, Mistake> {
    parse_date(text).map_err(|fault| Mistake::new(fault.problem, fault.advice))
}

/// A number written plainly: digits, a decimal point or, where `decimal_comma`, a comma as well; no exponent, no thousands
/// kept apart.
///
/// # Errors
/// Where it is none, or a point could keep thousands apart.
pub fn number_of(text: &str, decimal_comma: bool) -> Result<f64, Mistake> {
    let text = text.trim();
    let form = if decimal_comma { "3,5" } else { "3.5" };
    let wrong = |problem: &str| {
        Mistake::new(
            format!("`{}` {problem}", text.escape_debug()),
            format!("write a plain number, for example {form}"),
        )
    };
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let is_digits = |part: &str| part.chars().all(|c| c.is_ascii_digit());
    let (whole, decimals) = match unsigned.split_once(['.', ',']) {
        Some((whole, decimals)) => (whole, decimals),
        None => (unsigned, "0"),
    };
    if !(is_digits(whole) && is_digits(decimals)) || whole.is_empty() || decimals.is_empty() {
        return Err(wrong("is not a number"));
    }
    if unsigned.contains(',') && !decimal_comma {
        return Err(wrong("has a comma, which separates cells here"));
    }
    // A spreadsheet that writes decimals behind a comma writes 1.250 for a thousand and some.
    if decimal_comma && unsigned.contains('.') && decimals.len() == 3 && whole != "0" {
        return Err(wrong("could be thousands or thousandths"));
    }
    text.replace(',', ".")
        .parse::<f64>()
        .ok()
        .filter(|number| number.abs() < 1e12)
        .ok_or_else(|| wrong("is not a number"))
}

/// Hours that one person works in one day.
///
/// # Errors
/// Where they are negative, or more than a day has.
pub fn within_a_day(hours: Time) -> Result<Time, Mistake> {
    if hours < Time::ZERO {
        return Err(Mistake::new(
            "hours worked cannot be negative",
            "write how many were worked; put an earlier line right in its place",
        ));
    }
    if hours > Time::hours(24.0) {
        return Err(Mistake::new(
            format!("{} are more than a day has", hours.show()),
            "write the hours of each person, and a line for each day",
        ));
    }
    Ok(hours)
}

/// How many worked.
pub(super) fn people_of(text: &str) -> Result<usize, Mistake> {
    let text = text.trim();
    let wrong = |problem: String| Mistake::new(problem, "write how many worked, 1 or more");
    // A spreadsheet may have made 2.0 of it.
    let whole = text
        .split_once(['.', ','])
        .filter(|(_, decimals)| !decimals.is_empty() && decimals.chars().all(|c| c == '0'))
        .map_or(text, |(whole, _)| whole);
    let people: usize = whole.parse().map_err(|_| {
        wrong(format!(
            "`{}` is not a number of people",
            text.escape_debug()
        ))
    })?;
    match people {
        0 => Err(wrong("nobody worked, but hours are given".into())),
        1..=1000 => Ok(people),
        _ => Err(wrong(format!("{people} people are a slip"))),
    }
}

/// An amount of a currency.
///
/// # Errors
/// Where the amount or the code is none, or the amount is finer than the currency's coins.
pub fn paid_of(amount: &str, code: &str, decimal_comma: bool) -> Result<Paid, Mistake> {
    let code = code.trim();
    let currency = currency_of(code)?;
    let number = number_of(amount, decimal_comma)?;
    let money = Money::of(number, currency).map_err(|fault| {
        Mistake::new(
            format!("`{}` is {fault}", amount.trim().escape_debug()),
            format!(
                "write an amount such as {}",
                Money::smallest_units(1234).show_bare(currency)
            ),
        )
    })?;
    Ok(Paid { money, currency })
}

/// The currency of a code.
fn currency_of(code: &str) -> Result<Currency, Mistake> {
    let form = "write its code of three capitals (ISO 4217), for example EUR";
    if code.is_empty() {
        return Err(Mistake::new("an amount without a currency", form));
    }
    Currency::of_code(code)
        .ok_or_else(|| Mistake::new(format!("`{}` is no currency", code.escape_debug()), form))
}

/// An air temperature that anybody paints in.
///
/// # Errors
/// Where it is none.
pub fn air_of(air: Temperature) -> Result<Temperature, Mistake> {
    if (-60.0..=70.0).contains(&air.to_celsius()) {
        Ok(air)
    } else {
        Err(Mistake::new(
            format!("air of {} is a slip", air.show(LengthUnit::Millimetre)),
            "write the air's temperature, from -60 to 70 °C",
        ))
    }
}

/// A relative humidity given in per cent.
///
/// # Errors
/// Where it is none.
pub fn humidity_of(per_cent: f64) -> Result<Share, Mistake> {
    if (0.0..=100.0).contains(&per_cent) {
        Ok(Share::per_cent(per_cent))
    } else {
        Err(Mistake::new(
            format!("a relative humidity of {per_cent} % is a slip"),
            "write per cent, from 0 to 100",
        ))
    }
}

/// Whether a step is finished.
pub(super) fn is_done(text: &str) -> Result<bool, Mistake> {
    match text.trim().to_lowercase().as_str() {
        "yes" | "y" | "x" | "true" => Ok(true),
        "" | "no" | "n" | "false" => Ok(false),
        _ => Err(Mistake::new(
            format!("`{}` under `done`", text.trim().escape_debug()),
            "write yes where the step is finished, else nothing",
        )),
    }
}
