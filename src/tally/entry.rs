//! One entry of a ledger: what was done on a day, and what it took. Comes in: the cells of a line; goes out: an [`Entry`],
//! or what is wrong with it; and the line of an entry.

use jiff::civil::Date;

use super::cells;
use super::columns::{Column, Form};
use super::values::{
    Mistake, air_of, date_of, humidity_of, is_done, number_of, paid_of, people_of, within_a_day,
};
use crate::units::{Currency, Money, Share, Temperature, Time};

const STEP_FORM: &str = "write which step of the plan it was, or a word of your own";

/// An amount with its currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Paid {
    /// How much; negative for a refund.
    pub money: Money,
    /// Of what.
    pub currency: Currency,
}

/// What was worked, bought or used on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The day.
    pub date: Date,
    /// The step's id.
    pub step: String,
    /// Hours that each person worked; zero where something was only bought.
    pub hours: Time,
    /// How many worked; zero where nobody did.
    pub people: usize,
    /// What was paid.
    pub amount: Option<Paid>,
    /// What was used.
    pub product: String,
    /// Its batch number.
    pub batch_number: String,
    /// The air's temperature in that hour.
    pub air: Option<Temperature>,
    /// Its relative humidity.
    pub humidity: Option<Share>,
    /// Whether the step is finished with it.
    pub is_done: bool,
    /// Anything else.
    pub note: String,
}

impl Entry {
    /// Hours of all who worked.
    #[must_use]
    pub fn person_hours(&self) -> Time {
        #[expect(clippy::cast_precision_loss, reason = "a thousand people at most")]
        let people = self.people as f64;
        self.hours * people
    }

    /// As it will be read again: texts on one line each, hours to a ten-thousandth, weather to a tenth.
    #[must_use]
    pub fn tidied(&self) -> Self {
        let to = |value: f64, steps: f64| (value * steps).round() / steps + 0.0;
        let hours = Time::hours(to(self.hours.to_hours(), 1e4));
        Self {
            step: cells::one_line(&self.step),
            hours,
            people: if hours > Time::ZERO { self.people } else { 0 },
            product: cells::one_line(&self.product),
            batch_number: cells::one_line(&self.batch_number),
            air: self
                .air
                .map(|air| Temperature::celsius(to(air.to_celsius(), 10.0))),
            humidity: self
                .humidity
                .map(|share| Share::per_cent(to(share.to_per_cent(), 10.0))),
            note: cells::one_line(&self.note),
            ..self.clone()
        }
    }

    /// Whether it says enough to be entered.
    ///
    /// # Errors
    /// Where it names no step, or nothing that was done.
    pub fn check(&self) -> Result<(), Mistake> {
        let tidy = self.tidied();
        if tidy.step.is_empty() {
            return Err(Mistake::new("no step", STEP_FORM));
        }
        let says = tidy.hours > Time::ZERO
            || tidy.amount.is_some()
            || tidy.is_done
            || !tidy.product.is_empty()
            || !tidy.note.is_empty();
        if says {
            Ok(())
        } else {
            Err(Mistake::new(
                "there is nothing to enter",
                "give the hours, an amount, a product, a note, or that the step is done",
            ))
        }
    }

    /// In a few words: `2026-05-03, primer, 2 people for 3 h, 42.50 EUR`.
    #[must_use]
    pub fn said(&self) -> String {
        let mut words = vec![self.date.to_string(), self.step.clone()];
        if self.hours > Time::ZERO {
            let hours = self.hours.show();
            words.push(match self.people {
                1 => hours,
                people => format!("{people} people for {hours}"),
            });
        }
        words.extend(self.amount.map(|paid| paid.money.show(paid.currency)));
        if self.is_done {
            words.push("done".to_owned());
        }
        words.join(", ")
    }

    /// The entry of a line's cells, as many as the form has columns.
    pub(super) fn of_cells(cells: &[String], form: &Form) -> Result<Self, Mistake> {
        let cell = |column: Column| {
            let at = form.columns.iter().position(|one| *one == Some(column));
            at.and_then(|at| cells.get(at))
                .map_or("", |cell| cell.trim())
        };
        let text = |column| cells::unguarded(cell(column)).to_owned();
        let comma = form.has_decimal_comma();
        let number = |column| match cell(column) {
            "" => Ok(None),
            text => number_of(text, comma).map(Some),
        };
        let hours = within_a_day(Time::hours(number(Column::Hours)?.unwrap_or(0.0)))?;
        let people = if hours > Time::ZERO {
            people_of(cell(Column::People))?
        } else {
            0
        };
        let amount = match cell(Column::Amount) {
            "" => None,
            amount => Some(paid_of(amount, cell(Column::Currency), comma)?),
        };
        let step = text(Column::Step);
        let date = date_of(cell(Column::Date))?;
        if step.is_empty() {
            return Err(Mistake::new("no step", STEP_FORM));
        }
        Ok(Self {
            date,
            step,
            hours,
            people,
            amount,
            product: text(Column::Product),
            batch_number: text(Column::BatchNumber),
            air: number(Column::AirC)?
                .map(|celsius| air_of(Temperature::celsius(celsius)))
                .transpose()?,
            humidity: number(Column::HumidityPct)?.map(humidity_of).transpose()?,
            is_done: is_done(cell(Column::Done))?,
            note: text(Column::Note),
        })
    }

    /// Its line, end included. An empty cell says that there is nothing to say.
    pub(super) fn line(&self, form: &Form) -> String {
        let cells: Vec<String> = form
            .columns
            .iter()
            .map(|column| column.map_or_else(String::new, |column| self.cell(column, form)))
            .collect();
        cells::join(&cells, form.separator)
    }

    pub(super) fn cell(&self, column: Column, form: &Form) -> String {
        let decimal = |text: String| {
            if form.has_decimal_comma() {
                text.replace('.', ",")
            } else {
                text
            }
        };
        let worked = self.hours > Time::ZERO;
        match column {
            Column::Date => self.date.to_string(),
            Column::Step => cells::guarded(&self.step),
            Column::Hours if worked => decimal(self.hours.to_hours().to_string()),
            Column::People if worked => self.people.to_string(),
            Column::Hours | Column::People => String::new(),
            Column::Amount => self.amount.map_or_else(String::new, |paid| {
                decimal(paid.money.show_bare(paid.currency))
            }),
            Column::Currency => self
                .amount
                .map_or_else(String::new, |paid| paid.currency.code().to_owned()),
            Column::Product => cells::guarded(&self.product),
            Column::BatchNumber => cells::guarded(&self.batch_number),
            Column::AirC => self
                .air
                .map_or_else(String::new, |air| decimal(tenths(air.to_celsius()))),
            Column::HumidityPct => self
                .humidity
                .map_or_else(String::new, |share| decimal(tenths(share.to_per_cent()))),
            Column::Done if self.is_done => "yes".to_owned(),
            Column::Done => String::new(),
            Column::Note => cells::guarded(&self.note),
        }
    }
}

/// A number to a tenth, without the tail that binary fractions leave.
fn tenths(value: f64) -> String {
    let shown = format!("{value:.1}");
    shown
        .strip_suffix(".0")
        .map_or_else(|| shown.clone(), str::to_owned)
}
