//! The values behind keys of products, steps and money: quantities with their units, per cent, counts, prices.
//! Each is checked for its kind and for making sense where it stands; a fault is kept and nothing is handed on.

use toml::de::DeValue;

use super::keys::{Absent, Kind};
use super::table::{Reading, Table, Value, nearest, shown};
use super::values::number;
use super::{Content, Fault, Pace, Placed};
use crate::units::{
    Currency, LengthFault, Mass, Money, MoneyFault, Quantity, Share, Temperature, Volume,
};

/// Coats, people, pieces in a pack: more is a slip of the finger.
const MOST_COUNT: f64 = 10_000.0;
/// The dearest thing on a shopping list, in its currency.
const DEAREST: f64 = 1e9;

impl<'t> Reading<'t> {
    /// A quantity with its unit, more than zero.
    pub(super) fn quantity<Q: Quantity>(
        &mut self,
        table: &Table<'t>,
        name: &str,
    ) -> Option<Placed<Q>> {
        let value = table.get(name)?;
        self.quantity_from(value, name)
    }

    fn quantity_from<Q: Quantity>(&mut self, value: &Value<'t>, name: &str) -> Option<Placed<Q>> {
        let dimension = Q::DIMENSION;
        let place = self.place(value.span());
        let DeValue::String(text) = value.get_ref() else {
            let expected = format!(
                "{} with its unit, such as {}",
                dimension.what, dimension.examples
            );
            return self.wrong(value, &format!("`{name}`"), &expected);
        };
        match Q::parse(text) {
            Ok(quantity) if quantity.to_base() > 0.0 => Some(Placed::new(quantity, place)),
            Ok(_) => {
                self.report(
                    Fault::new(
                        place,
                        format!("`{name}` must be more than 0"),
                        "not above 0",
                    )
                    .with_help(format!("write for example {}", dimension.examples)),
                );
                None
            }
            Err(fault) => self.not_read(place, name, dimension.what, fault),
        }
    }

    fn not_read<T>(
        &mut self,
        place: super::Place,
        name: &str,
        what: &str,
        fault: LengthFault,
    ) -> Option<T> {
        self.report(
            Fault::new(place, format!("`{name}` is not {what}"), fault.problem)
                .with_help(fault.advice),
        );
        None
    }

    /// Three quantities: slow, likely, fast; in the order of what they are, or its reverse.
    pub(super) fn pace<Q: Quantity>(&mut self, table: &Table<'t>, name: &str) -> Option<Pace<Q>> {
        let value = table.get(name)?;
        let form = format!(
            "[slow, likely, fast], each {} such as {}",
            Q::DIMENSION.what,
            Q::DIMENSION.examples
        );
        let items = self.items(value, name, &form)?;
        let place = self.place(value.span());
        let read: Vec<Q> = items
            .iter()
            .filter_map(|item| self.quantity_from(item, name))
            .map(|quantity: Placed<Q>| quantity.value)
            .collect();
        let problem = match (items.len(), read.as_slice()) {
            (3, [slow, likely, fast]) => {
                if (slow <= likely && likely <= fast) || (slow >= likely && likely >= fast) {
                    return Some(Pace {
                        slow: *slow,
                        likely: *likely,
                        fast: *fast,
                    });
                }
                "the likely pace does not lie between the others"
            }
            (3, _) => return None,
            _ => "three are needed: nobody knows it better than that",
        };
        self.report(Fault::new(place, format!("`{name}`: {problem}"), form.clone()).with_help(
            "write the pace of a bad day, the usual one, the one of a good day; all three may be the same",
        ));
        None
    }

    /// A share in per cent, within these bounds; `expected` says what makes sense.
    pub(super) fn share(
        &mut self,
        table: &Table<'t>,
        name: &str,
        allowed: std::ops::RangeInclusive<f64>,
        advice: &str,
    ) -> Option<Placed<Share>> {
        let value = table.get(name)?;
        let place = self.place(value.span());
        let Some(per_cent) = number(value.get_ref()) else {
            return self.wrong(
                value,
                &format!("`{name}`"),
                "a number of per cent such as 15",
            );
        };
        if allowed.contains(&per_cent) {
            return Some(Placed::new(Share::per_cent(per_cent), place));
        }
        self.report(
            Fault::new(
                place,
                format!("`{name}` cannot be {} %", shown(place.of(self.text))),
                format!("from {} to {} per cent", allowed.start(), allowed.end()),
            )
            .with_help(advice),
        );
        None
    }

    /// A whole number, 1 or more.
    pub(super) fn count(&mut self, table: &Table<'t>, name: &str) -> Option<usize> {
        match (table.get(name), table.key(name)?.absent) {
            (Some(value), _) => self.count_from(value, name),
            (None, Absent::Number(many)) => Some(whole(many)),
            (None, _) => None,
        }
    }

    /// Whole numbers, 1 or more.
    pub(super) fn counts(&mut self, table: &Table<'t>, name: &str) -> Option<Vec<usize>> {
        let value = table.get(name)?;
        let items = self.items(
            value,
            name,
            "a list of whole numbers such as [80, 120, 180]",
        )?;
        let count = items.len();
        let read: Vec<usize> = items
            .iter()
            .filter_map(|item| self.count_from(item, name))
            .collect();
        (read.len() == count).then_some(read)
    }

    fn count_from(&mut self, value: &Value<'t>, name: &str) -> Option<usize> {
        match number(value.get_ref()) {
            Some(many) if (1.0..=MOST_COUNT).contains(&many) && many.fract() == 0.0 => {
                Some(whole(many))
            }
            Some(_) => {
                let place = self.place(value.span());
                self.report(
                    Fault::new(
                        place,
                        format!("`{name}` is a whole number from 1 to {MOST_COUNT}"),
                        "not such a number",
                    )
                    .with_help("write for example 2"),
                );
                None
            }
            None => self.wrong(value, &format!("`{name}`"), "a whole number such as 2"),
        }
    }

    /// A bare number above 0.
    pub(super) fn positive(&mut self, table: &Table<'t>, name: &str, most: f64) -> Option<f64> {
        let value = table.get(name)?;
        let place = self.place(value.span());
        match number(value.get_ref()) {
            Some(number) if number > 0.0 && number <= most => Some(number),
            Some(_) => {
                self.report(
                    Fault::new(
                        place,
                        format!("`{name}` must be more than 0 and at most {most}"),
                        "out of bounds",
                    )
                    .with_help("write a plain number, for example 1"),
                );
                None
            }
            None => self.wrong(value, &format!("`{name}`"), "a plain number"),
        }
    }

    /// A currency.
    pub(super) fn currency(&mut self, table: &Table<'t>, name: &str) -> Option<Placed<Currency>> {
        let code = self.line(table, name)?;
        if let Some(currency) = Currency::of_code(&code.value) {
            return Some(Placed::new(currency, code.place));
        }
        let upper = code.value.to_uppercase();
        let help = match Currency::of_code(&upper) {
            Some(_) => format!("write it in capitals: \"{upper}\""),
            None => "write the three letters of ISO 4217, for example \"EUR\" or \"USD\"".into(),
        };
        self.report(
            Fault::new(
                code.place,
                format!("\"{}\" is not the code of a currency", shown(&code.value)),
                "not in ISO 4217",
            )
            .with_help(help),
        );
        None
    }

    /// An amount of money, not negative.
    pub(super) fn money(&mut self, table: &Table<'t>, name: &str) -> Option<Money> {
        let value = table.get(name)?;
        let place = self.place(value.span());
        let Some(amount) = number(value.get_ref()) else {
            return self.wrong(
                value,
                &format!("`{name}`"),
                "an amount without its currency, such as 38.50",
            );
        };
        let Some(currency) = self.currency else {
            if self.currency_is_at_fault {
                return None;
            }
            self.report(
                Fault::new(place, "a price, but no currency", "in which currency?")
                    .with_help(self.currency_home),
            );
            return None;
        };
        let (problem, help) = if amount < 0.0 {
            (
                format!("`{name}` cannot be negative"),
                "write what it costs; a discount goes into the price".to_owned(),
            )
        } else if amount > DEAREST {
            (
                format!("`{name}` is more than any deck costs"),
                "write the amount in whole units of the currency, with a point for decimals"
                    .to_owned(),
            )
        } else {
            match Money::of(amount, currency) {
                Ok(money) => return Some(money),
                Err(MoneyFault::TooFine) => (
                    format!("`{name}` is finer than {} is paid in", currency.code()),
                    format!("write it with {} decimals", currency.decimals()),
                ),
                Err(MoneyFault::TooLarge) => (
                    format!("`{name}` is not an amount"),
                    "write for example 38.50".to_owned(),
                ),
            }
        };
        self.report(Fault::new(place, problem, "this amount").with_help(help));
        None
    }

    /// A temperature that paint is laid at.
    pub(super) fn temperature(&mut self, table: &Table<'t>, name: &str) -> Option<Temperature> {
        let value = table.get(name)?;
        let place = self.place(value.span());
        let read = match value.get_ref() {
            DeValue::String(text) => match Temperature::parse(text) {
                Ok(read) => read,
                Err(fault) => return self.not_read(place, name, "a temperature", fault),
            },
            other => match number(other) {
                Some(degrees) => Temperature::celsius(degrees),
                None => {
                    return self.wrong(
                        value,
                        &format!("`{name}`"),
                        "degrees Celsius such as 18, or \"65 F\"",
                    );
                }
            },
        };
        if (-20.0..=60.0).contains(&read.to_celsius()) {
            return Some(read);
        }
        self.report(
            Fault::new(
                place,
                format!("`{name}` is beyond any painting weather"),
                "a bare number is °C",
            )
            .with_help("write from -20 to 60, or with its unit: \"65 F\""),
        );
        None
    }

    /// What a can holds, more than nothing.
    pub(super) fn content(&mut self, table: &Table<'t>, name: &str) -> Option<Content> {
        let value = table.get(name)?;
        let is_mass = matches!(value.get_ref(), DeValue::String(text) if Mass::parse(text).is_ok());
        if is_mass {
            let mass = self.quantity_from(value, name)?;
            Some(Content::Mass(mass.value))
        } else {
            let volume: Placed<Volume> = self.quantity_from(value, name)?;
            Some(Content::Volume(volume.value))
        }
    }

    /// A list of the words that the key may have.
    pub(super) fn words(&mut self, table: &Table<'t>, name: &str) -> Option<Vec<&'static str>> {
        let value = table.get(name)?;
        let Kind::Words(words) = table.key(name)?.kind else {
            return None;
        };
        let all: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
        let all = all.join(", ");
        let items = self.items(value, name, &format!("a list of {all}"))?;
        let count = items.len();
        let mut read = Vec::new();
        for item in items {
            let DeValue::String(written) = item.get_ref() else {
                return self.wrong(item, &format!("`{name}`"), &all);
            };
            if let Some(word) = words.iter().find(|word| **word == *written) {
                read.push(*word);
                continue;
            }
            let place = self.place(item.span());
            let help = match nearest(written, words.iter().copied()) {
                Some(word) => format!("did you mean \"{word}\"?"),
                None => format!("write {all}"),
            };
            self.report(
                Fault::new(
                    place,
                    format!("`{name}` cannot have \"{}\"", shown(written)),
                    "unknown word",
                )
                .with_help(help),
            );
        }
        (read.len() == count).then_some(read)
    }
}

/// A number that is known to be whole and small.
fn whole(many: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "checked to be whole, from 1 to ten thousand"
    )]
    let whole = many as usize;
    whole
}
