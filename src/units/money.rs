//! Money: whole numbers of a currency's smallest unit, so that no cent is lost. One job has one currency,
//! an amount and a code of ISO 4217; nothing is ever converted.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Mul, Neg, Sub};

/// A currency of ISO 4217 that things are bought in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Currency(iso_currency::Currency);

impl Currency {
    /// The currency of a code such as `EUR`, in capitals; none where ISO 4217 has no such code, or gives it no
    /// smallest unit (gold, testing, special drawing rights).
    #[must_use]
    pub fn of_code(code: &str) -> Option<Self> {
        iso_currency::Currency::from_code(code)
            .filter(|currency| currency.exponent().is_some())
            .map(Self)
    }

    /// Its code.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.0.code()
    }

    /// Decimals of an amount: 2 for most, 0 for the yen, 3 for the Kuwaiti dinar.
    #[must_use]
    pub fn decimals(self) -> u32 {
        self.0.exponent().map_or(2, u32::from)
    }

    /// Smallest units in one of it.
    fn smallest(self) -> i64 {
        10_i64.pow(self.decimals())
    }
}

/// An amount of the job's currency, in its smallest units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(i64);

/// Why a number is no amount of a currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MoneyFault {
    /// Finer than the currency's smallest unit.
    TooFine,
    /// Beyond any bill.
    TooLarge,
}

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// So many of the currency's smallest units.
    #[must_use]
    pub const fn smallest_units(units: i64) -> Self {
        Self(units)
    }

    /// How many of the currency's smallest units it is.
    #[must_use]
    pub const fn to_smallest_units(self) -> i64 {
        self.0
    }

    /// An amount as a number says it: 38.5 EUR.
    ///
    /// # Errors
    /// Where it is finer than the currency's smallest unit, or more than 10¹².
    pub fn of(amount: f64, currency: Currency) -> Result<Self, MoneyFault> {
        if amount.is_nan() || amount.abs() > 1e12 {
            return Err(MoneyFault::TooLarge);
        }
        let units = amount * currency.smallest() as f64;
        let whole = units.round();
        if (units - whole).abs() > 1e-6 * whole.abs().max(1.0) {
            return Err(MoneyFault::TooFine);
        }
        Ok(Self(nearest(whole)))
    }

    /// An amount as text says it, `38.50`, without a code; none where it is not one.
    #[must_use]
    pub fn parse(text: &str, currency: Currency) -> Option<Self> {
        let text = text.trim();
        let plain = |sign: char| sign.is_ascii_digit() || matches!(sign, '.' | '-' | '+');
        if !text.chars().all(plain) {
            return None;
        }
        Self::of(text.parse().ok()?, currency).ok()
    }

    /// So many times as much, to the nearest smallest unit.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self(nearest(self.0 as f64 * factor))
    }

    /// As a number of the currency, for programs.
    #[must_use]
    pub fn to_number(self, currency: Currency) -> f64 {
        self.0 as f64 / currency.smallest() as f64
    }

    /// `38.50 EUR`.
    #[must_use]
    pub fn show(self, currency: Currency) -> String {
        format!("{} {}", self.show_bare(currency), currency.code())
    }

    /// `38.50`.
    #[must_use]
    pub fn show_bare(self, currency: Currency) -> String {
        let (smallest, decimals) = (currency.smallest().unsigned_abs(), currency.decimals());
        let amount = self.0.unsigned_abs();
        let sign = if self.0 < 0 { "-" } else { "" };
        let whole = amount / smallest;
        if decimals == 0 {
            format!("{sign}{whole}")
        } else {
            format!(
                "{sign}{whole}.{:0width$}",
                amount % smallest,
                width = decimals as usize
            )
        }
    }
}

/// The nearest whole number; the ends of the range where it lies beyond them.
fn nearest(number: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "rounded; the cast saturates on amounts beyond any bill"
    )]
    let whole = number.round() as i64;
    whole
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}

impl Mul<usize> for Money {
    type Output = Self;
    fn mul(self, count: usize) -> Self {
        Self(
            self.0
                .saturating_mul(i64::try_from(count).unwrap_or(i64::MAX)),
        )
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

impl fmt::Display for MoneyFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::TooFine => "finer than the currency's smallest unit",
            Self::TooLarge => "more than any bill",
        })
    }
}

impl std::error::Error for MoneyFault {}

#[cfg(test)]
mod tests {
    use super::*;

    fn currency(code: &str) -> Currency {
        Currency::of_code(code).expect("a currency")
    }

    /// Decimals as the maintenance agency's list one has them (ISO 4217:2015; from memory).
    #[test]
    fn amounts_have_the_decimals_of_their_currency() {
        for (code, units, shown) in [
            ("EUR", 3850, "38.50 EUR"),
            ("USD", -5, "-0.05 USD"),
            ("JPY", 3850, "3850 JPY"),
            ("ISK", 12, "12 ISK"),
            ("KWD", 1005, "1.005 KWD"),
        ] {
            assert_eq!(Money::smallest_units(units).show(currency(code)), shown);
        }
    }

    #[test]
    fn codes_that_nothing_is_bought_with_are_none() {
        for code in ["EURO", "eur", "", "XXX", "XAU", "QQQ"] {
            assert_eq!(Currency::of_code(code), None, "{code}");
        }
    }

    #[test]
    fn a_number_finer_than_a_cent_is_no_amount() {
        let euro = currency("EUR");
        assert_eq!(Money::of(38.5, euro), Ok(Money::smallest_units(3850)));
        assert_eq!(Money::of(0.29, euro), Ok(Money::smallest_units(29)));
        assert_eq!(Money::of(38.505, euro), Err(MoneyFault::TooFine));
        assert_eq!(Money::of(1e13, euro), Err(MoneyFault::TooLarge));
        assert_eq!(Money::of(f64::NAN, euro), Err(MoneyFault::TooLarge));
        assert_eq!(
            Money::parse("12.40", euro),
            Some(Money::smallest_units(1240))
        );
        assert_eq!(Money::parse("12,40", euro), None);
        assert_eq!(Money::parse("inf", euro), None);
    }

    #[test]
    fn sums_lose_no_cent() {
        let dime = Money::smallest_units(10);
        assert_eq!([dime; 3].into_iter().sum::<Money>(), dime * 3);
        assert_eq!(
            Money::smallest_units(100).scaled(1.0 / 3.0),
            Money::smallest_units(33)
        );
    }
}
