//! What the job costs its owners, and how that stands beside a yard's quote. Comes in: the list, the hours, what the
//! layout says of money. Goes out: [`Cost`]. Every sum that hangs on hours is three: low, likely, high.

use super::ceiling;
use super::shopping::Item;
use crate::layout::JobSettings;
use crate::units::{HourRange, Money, Time};

/// Money as hours let it be known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct MoneyRange {
    /// With the fewest hours.
    pub low: Money,
    /// As a rule.
    pub likely: Money,
    /// With the most.
    pub high: Money,
}

impl MoneyRange {
    /// The same whatever the hours.
    #[must_use]
    pub const fn fixed(amount: Money) -> Self {
        Self {
            low: amount,
            likely: amount,
            high: amount,
        }
    }

    /// Each of the three by itself.
    #[must_use]
    pub fn map(self, each: impl Fn(Money) -> Money) -> Self {
        Self {
            low: each(self.low),
            likely: each(self.likely),
            high: each(self.high),
        }
    }
}

impl std::ops::Add for MoneyRange {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            low: self.low + other.low,
            likely: self.likely + other.likely,
            high: self.high + other.high,
        }
    }
}

/// Working days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DayRange {
    /// With the fewest hours.
    pub low: usize,
    /// As a rule.
    pub likely: usize,
    /// With the most.
    pub high: usize,
}

/// What the job costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// Everything on the list that has a price.
    pub materials: Money,
    /// What on the list has none.
    pub unpriced: Vec<String>,
    /// What else is paid.
    pub expenses: Money,
    /// Days of work for all who work; waiting for paint to dry comes on top.
    pub days: DayRange,
    /// The yard, for so many days; none where its price is not known.
    pub yard: Option<MoneyRange>,
    /// Materials, expenses and yard.
    pub paid: MoneyRange,
    /// The owners' hours at what they are worth to them; none where that is not said.
    pub own_time: Option<MoneyRange>,
    /// What may be spent.
    pub budget: Option<Money>,
    /// Beside a yard's quote.
    pub quote: Option<QuoteBeside>,
}

/// A quote beside the owners' own work.
#[derive(Debug, Clone, PartialEq)]
pub struct QuoteBeside {
    /// What the yard asks.
    pub amount: Money,
    /// What it covers, in words.
    pub covers: Vec<&'static str>,
    /// What else it says.
    pub note: Option<String>,
    /// What the owners pay out for what it covers.
    pub own: MoneyRange,
    /// What an hour of their own would have to be worth for the quote to be as cheap: above it let the yard do it. `low`
    /// with the most hours, `high` with the fewest. None where the quote covers no labour or there are no hours.
    pub break_even: Option<MoneyRange>,
}

/// What the job costs.
pub(super) fn cost(list: &[Item], hours: HourRange, job: &JobSettings) -> Cost {
    let materials: Money = list.iter().filter_map(|item| item.cost).sum();
    let expenses: Money = job.expenses.iter().map(|expense| expense.amount).sum();
    let a_day = job.hours_a_day.value * job.people.value as f64;
    let days_of = |hours: Time| ceiling(hours / a_day);
    let days = DayRange {
        low: days_of(hours.low),
        likely: days_of(hours.likely),
        high: days_of(hours.high),
    };
    let yard = job.yard_day.map(|day| MoneyRange {
        low: day * days.low,
        likely: day * days.likely,
        high: day * days.high,
    });
    let own_time = job.hour_value.map(|hour| MoneyRange {
        low: hour.scaled(hours.low.to_hours()),
        likely: hour.scaled(hours.likely.to_hours()),
        high: hour.scaled(hours.high.to_hours()),
    });
    let paid = MoneyRange::fixed(materials + expenses) + yard.unwrap_or_default();
    let quote = job.quote.as_ref().map(|quote| {
        let covered =
            |is: bool, amount: MoneyRange| if is { amount } else { MoneyRange::default() };
        let own = covered(
            quote.covers_materials,
            MoneyRange::fixed(materials + expenses),
        ) + covered(quote.covers_yard, yard.unwrap_or_default());
        let an_hour = |own: Money, hours: Time| (quote.amount - own).scaled(1.0 / hours.to_hours());
        let covers = [
            (quote.covers_labour, "labour"),
            (quote.covers_materials, "materials"),
            (quote.covers_yard, "yard"),
        ];
        QuoteBeside {
            amount: quote.amount,
            covers: covers
                .into_iter()
                .filter_map(|(is, word)| is.then_some(word))
                .collect(),
            note: quote.note.clone(),
            own,
            break_even: (quote.covers_labour && hours.low > Time::ZERO).then(|| MoneyRange {
                low: an_hour(own.high, hours.high),
                likely: an_hour(own.likely, hours.likely),
                high: an_hour(own.low, hours.low),
            }),
        }
    });
    Cost {
        materials,
        unpriced: list
            .iter()
            .filter(|item| item.cost.is_none())
            .map(|item| item.title.clone())
            .collect(),
        expenses,
        days,
        yard,
        paid,
        own_time,
        budget: job.budget,
        quote,
    }
}
