//! How long a coat takes to dry at the job's temperature. Comes in: the rows of a product's table. Goes out: each time, and
//! where it comes from.
//!
//! Between two rows the logarithm of a time is linear in the temperature, as a reaction's rate is over a few degrees (Arrhenius);
//! beyond them, and where no row has the time, it halves with every so many degrees (the paint trade's rule, as for pot lives).

use crate::layout::{Dry, Drying, Origin, Setting};
use crate::units::{Temperature, Time};

/// The times of a product at one temperature.
#[derive(Debug, Clone, Copy)]
pub struct Dries<'a> {
    /// The product's table.
    pub drying: &'a Drying,
    /// Of air and deck.
    pub at: Temperature,
    /// By how many degrees Celsius warmer drying takes half as long.
    pub halved_by: f64,
}

impl Dries<'_> {
    /// One of the times.
    #[must_use]
    pub fn time(&self, dry: Dry) -> Setting<Time> {
        let rows = self.drying.rows.iter();
        let known: Vec<(Temperature, Time)> = rows
            .filter_map(|row| Some((row.at, row.time(dry)?)))
            .collect();
        let (Some(coldest), Some(warmest)) = (known.first(), known.last()) else {
            let (setting, at) = dry.default_time();
            return Setting {
                value: self.carried((at, setting.value)),
                ..setting
            };
        };
        let between = known.windows(2).find_map(|pair| match pair {
            [a, b] if a.0 <= self.at && self.at <= b.0 => Some(self.between(*a, *b)),
            _ => None,
        });
        let nearest = if self.at < coldest.0 {
            coldest
        } else {
            warmest
        };
        Setting {
            value: between.unwrap_or_else(|| self.carried(*nearest)),
            origin: Origin::Layout,
        }
    }

    fn between(
        &self,
        (cold, slow): (Temperature, Time),
        (warm, fast): (Temperature, Time),
    ) -> Time {
        let degrees = warm.to_celsius() - cold.to_celsius();
        let share = (self.at.to_celsius() - cold.to_celsius()) / degrees;
        slow * (fast / slow).powf(share)
    }

    fn carried(&self, (at, time): (Temperature, Time)) -> Time {
        let colder = at.to_celsius() - self.at.to_celsius();
        time * 2_f64.powf(colder / self.halved_by)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::DryingRow;

    fn at(degrees: f64, drying: &Drying, dry: Dry) -> f64 {
        let dries = Dries {
            drying,
            at: Temperature::celsius(degrees),
            halved_by: 10.0,
        };
        dries.time(dry).value.to_hours()
    }

    fn table(rows: &[(f64, f64)]) -> Drying {
        let row = |(degrees, hours): &(f64, f64)| {
            let mut times = [None; 6];
            times[Dry::Recoat as usize] = Some(Time::hours(*hours));
            DryingRow {
                at: Temperature::celsius(*degrees),
                times,
            }
        };
        Drying {
            rows: rows.iter().map(row).collect(),
            ..Drying::default()
        }
    }

    #[test]
    fn a_row_is_taken_as_it_stands_and_between_rows_the_logarithm_is_linear() {
        let drying = table(&[(10.0, 16.0), (20.0, 8.0), (30.0, 5.0)]);
        for (degrees, hours) in [(10.0, 16.0), (20.0, 8.0), (30.0, 5.0)] {
            assert!((at(degrees, &drying, Dry::Recoat) - hours).abs() < 1e-12);
        }
        // Half way between 16 and 8 h: their geometric mean.
        assert!((at(15.0, &drying, Dry::Recoat) - (16.0_f64 * 8.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn beyond_the_rows_every_ten_degrees_halve_it() {
        let drying = table(&[(15.0, 12.0), (25.0, 7.0)]);
        assert!((at(5.0, &drying, Dry::Recoat) - 24.0).abs() < 1e-12);
        assert!((at(35.0, &drying, Dry::Recoat) - 3.5).abs() < 1e-12);
    }

    #[test]
    fn what_no_row_says_is_a_default_that_says_so() {
        let drying = table(&[(20.0, 6.0)]);
        let dries = Dries {
            drying: &drying,
            at: Temperature::celsius(10.0),
            halved_by: 10.0,
        };
        // 4 h at 20 °C.
        let touch = dries.time(Dry::Touch);
        assert!((touch.value.to_hours() - 8.0).abs() < 1e-12);
        assert!(matches!(touch.origin, Origin::Default(_)));
        assert_eq!(dries.time(Dry::Recoat).origin, Origin::Layout);
    }
}
