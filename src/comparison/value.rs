//! A figure of any kind, and how far one is from another of its kind.

use std::cmp::Ordering;

use crate::takeoff::{DayRange, MoneyRange, Stock};
use crate::units::{Area, Currency, HourRange, Length, Share, Time};

/// A figure.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// An amount.
    Amount(Stock),
    /// A length on the deck.
    Length(Length),
    /// A share.
    Share(Share),
    /// Person-hours.
    Hours(HourRange),
    /// Working days.
    Days(DayRange),
    /// Money.
    Money(MoneyRange, Currency),
    /// What has no measure.
    Words(String),
}

/// How a value stands to another.
#[derive(Debug, Clone, PartialEq)]
pub enum Difference {
    /// The same.
    Same,
    /// More by so much; of a range its likely figure.
    More(Value),
    /// Less by so much.
    Less(Value),
    /// Another one, or of another kind, or only one of them is there.
    Unlike,
}

impl Value {
    /// How it stands to `first`.
    #[must_use]
    pub fn beside(&self, first: &Self) -> Difference {
        if self == first {
            return Difference::Same;
        }
        match self.less(first) {
            Some((Ordering::Less, by)) => Difference::Less(by),
            Some((Ordering::Greater, by)) => Difference::More(by),
            // Its ends differ, not what is likely.
            Some((Ordering::Equal, _)) => Difference::Same,
            None => Difference::Unlike,
        }
    }

    /// Which is more, and by how much; none where they are of two kinds.
    fn less(&self, other: &Self) -> Option<(Ordering, Self)> {
        Some(match (self, other) {
            (Self::Amount(a), Self::Amount(b)) => {
                let (order, by) = less(*a, *b)?;
                (order, Self::Amount(by))
            }
            (Self::Length(a), Self::Length(b)) => {
                let (order, by) = apart(a.to_mm(), b.to_mm())?;
                (order, Self::Length(Length::mm(by)))
            }
            (Self::Share(a), Self::Share(b)) => {
                let (order, by) = apart(a.to_per_cent(), b.to_per_cent())?;
                (order, Self::Share(Share::per_cent(by)))
            }
            (Self::Hours(a), Self::Hours(b)) => {
                let (order, by) = apart(a.likely.to_hours(), b.likely.to_hours())?;
                let by = HourRange::default().each(|_| Time::hours(by));
                (order, Self::Hours(by))
            }
            (Self::Days(a), Self::Days(b)) => {
                let by = a.likely.abs_diff(b.likely);
                let by = DayRange {
                    low: by,
                    likely: by,
                    high: by,
                };
                (a.likely.cmp(&b.likely), Self::Days(by))
            }
            (Self::Money(a, one), Self::Money(b, other)) if one == other => {
                let (a, b) = (a.likely, b.likely);
                let by = if a < b { b - a } else { a - b };
                (a.cmp(&b), Self::Money(MoneyRange::fixed(by), *one))
            }
            _ => return None,
        })
    }
}

fn less(a: Stock, b: Stock) -> Option<(Ordering, Stock)> {
    use crate::units::{Mass, Volume};
    Some(match (a, b) {
        (Stock::Volume(a), Stock::Volume(b)) => {
            let (order, by) = apart(a.to_millilitres(), b.to_millilitres())?;
            (order, Stock::Volume(Volume::millilitres(by)))
        }
        (Stock::Mass(a), Stock::Mass(b)) => {
            let (order, by) = apart(a.to_grams(), b.to_grams())?;
            (order, Stock::Mass(Mass::grams(by)))
        }
        (Stock::Pieces(a), Stock::Pieces(b)) => (a.cmp(&b), Stock::Pieces(a.abs_diff(b))),
        (Stock::Length(a), Stock::Length(b)) => {
            let (order, by) = apart(a.to_mm(), b.to_mm())?;
            (order, Stock::Length(Length::mm(by)))
        }
        (Stock::Area(a), Stock::Area(b)) => {
            let (order, by) = apart(a.to_mm2(), b.to_mm2())?;
            (order, Stock::Area(Area::mm2(by)))
        }
        _ => return None,
    })
}

fn apart(a: f64, b: f64) -> Option<(Ordering, f64)> {
    Some((a.partial_cmp(&b)?, (a - b).abs()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Money;

    #[test]
    fn a_range_differs_by_what_is_likely() {
        let hours = |low, likely, high| {
            Value::Hours(HourRange {
                low: Time::hours(low),
                likely: Time::hours(likely),
                high: Time::hours(high),
            })
        };
        let three = hours(3.0, 3.0, 3.0);
        assert_eq!(
            hours(20.0, 28.0, 40.0).beside(&hours(19.0, 25.0, 33.0)),
            Difference::More(three.clone())
        );
        assert_eq!(
            hours(19.0, 25.0, 33.0).beside(&hours(20.0, 28.0, 40.0)),
            Difference::Less(three)
        );
    }

    #[test]
    fn amounts_of_two_currencies_or_two_kinds_are_not_subtracted() {
        let money = |code| {
            let currency = Currency::of_code(code).expect("a currency");
            Value::Money(MoneyRange::fixed(Money::smallest_units(500)), currency)
        };
        assert_eq!(money("EUR").beside(&money("NOK")), Difference::Unlike);
        let pieces = Value::Amount(Stock::Pieces(5));
        assert_eq!(pieces.beside(&money("EUR")), Difference::Unlike);
    }
}
