//! Typical hours from monthly averages, for a job so far ahead that nobody can forecast it. Comes in: the mean daily low
//! and high and the mean humidity of each month; goes out: a [`Record`] that says of itself that it is typical.
//!
//! Between the low at five in the morning and the high at three in the afternoon the temperature follows half a cosine, and
//! another back to the low; the pressure of vapour stays the same all day, such that the hours' mean humidity is the one
//! given. Where that would be over 100 % it is 100 %. All of this is from memory: real days differ by latitude, sea breeze
//! and cloud.

use std::f64::consts::PI;

use jiff::ToSpan;
use jiff::civil::Date;

use super::air::saturation_hpa;
use super::mistake::Mistake;
use super::read::{air_of, humidity_of};
use super::record::{Basis, Hour, Record};
use crate::units::{Share, Temperature};

/// The coldest hour.
const LOW_AT: f64 = 5.0;
/// The warmest.
const HIGH_AT: f64 = 15.0;
/// A record of more days than this would be a slip.
const MOST_DAYS: usize = 3700;

/// A month's averages.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Averages {
    /// Mean of the days' lowest temperatures.
    pub low: Temperature,
    /// Mean of the days' highest.
    pub high: Temperature,
    /// Mean relative humidity.
    pub humidity: Share,
}

/// The averages of those months that were given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Climate {
    months: [Option<Averages>; 12],
}

impl Climate {
    /// Gives the averages of a month, from 1 for January to 12.
    ///
    /// # Errors
    /// Where there is no such month or no such weather.
    pub fn set(&mut self, month: i8, averages: Averages) -> Result<(), Mistake> {
        let Averages {
            low,
            high,
            humidity,
        } = averages;
        let place = at(month)
            .and_then(|at| self.months.get_mut(at))
            .ok_or_else(|| {
                Mistake::new(
                    format!("there is no month {month}"),
                    "write its number, from 1 to 12",
                )
            })?;
        if low > high {
            return Err(Mistake::new(
                "the mean low is over the mean high",
                "write the lower temperature first",
            ));
        }
        *place = Some(Averages {
            low: air_of(low)?,
            high: air_of(high)?,
            humidity: humidity_of(humidity)?,
        });
        Ok(())
    }

    /// Whether a month, from 1 to 12, has averages.
    #[must_use]
    pub fn knows(&self, month: i8) -> bool {
        at(month).is_some_and(|at| self.months.get(at).is_some_and(Option::is_some))
    }

    /// The hours of the days from `first` to `last`, both included.
    ///
    /// # Errors
    /// Where a month in between was not given, or there is no day.
    pub fn record(&self, first: Date, last: Date) -> Result<Record, Mistake> {
        let days = first
            .series(1.day())
            .take_while(|day| *day <= last)
            .take(MOST_DAYS + 1);
        let mut hours = Vec::new();
        for day in days {
            let averages = at(day.month())
                .and_then(|at| self.months[at])
                .ok_or_else(|| {
                    Mistake::new(
                        format!("month {} has no averages", day.month()),
                        "give its mean daily low and high and its mean humidity",
                    )
                })?;
            hours.extend(averages.day(day));
        }
        if hours.is_empty() || hours.len() > MOST_DAYS * 24 {
            return Err(Mistake::new(
                format!("{first} to {last} are no days to plan for"),
                "write the earlier day first, at most ten years before the other",
            ));
        }
        Ok(Record::in_order(hours, Basis::Typical))
    }
}

/// Where a month stands among the twelve.
fn at(month: i8) -> Option<usize> {
    usize::try_from(month).ok()?.checked_sub(1)
}

impl Averages {
    /// The hours of a day.
    fn day(self, day: Date) -> impl Iterator<Item = Hour> {
        // The mean of e / e_s over the day is the mean humidity, and e the same in all of it.
        let dryness = (0..24).map(|hour| 1.0 / saturation_hpa(self.air_at(hour)));
        let vapour = self.humidity.factor() * 24.0 / dryness.sum::<f64>();
        (0..24).map(move |hour| {
            let air = self.air_at(hour);
            let share = (vapour / saturation_hpa(air)).min(1.0);
            Hour::of_air(day.at(hour, 0, 0, 0), air, Share::per_cent(share * 100.0))
        })
    }

    fn air_at(self, hour: i8) -> Temperature {
        let since_low = (f64::from(hour) - LOW_AT).rem_euclid(24.0);
        let rising = HIGH_AT - LOW_AT;
        // 0 at the low, 1 at the high, 2 at the next low.
        let phase = if since_low <= rising {
            since_low / rising
        } else {
            1.0 + (since_low - rising) / (24.0 - rising)
        };
        self.low + (self.high - self.low) * ((1.0 - (PI * phase).cos()) / 2.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn may() -> Averages {
        Averages {
            low: Temperature::celsius(8.0),
            high: Temperature::celsius(17.0),
            humidity: Share::per_cent(72.0),
        }
    }

    fn climate() -> Climate {
        let mut climate = Climate::default();
        climate.set(5, may()).expect("a month");
        climate
    }

    #[test]
    fn a_typical_day_keeps_to_its_averages() {
        let record = climate().record(date(2026, 5, 1), date(2026, 5, 2));
        let record = record.expect("May was given");
        assert_eq!(record.basis(), Basis::Typical);
        assert_eq!(record.hours().len(), 48);
        assert_eq!(record.gaps().count(), 0);
        let day = &record.hours()[..24];
        let air: Vec<f64> = day.iter().map(|hour| hour.air.to_celsius()).collect();
        assert!((air[5] - 8.0).abs() < 1e-12 && (air[15] - 17.0).abs() < 1e-12);
        assert!((air[10] - 12.5).abs() < 1e-12, "half way in the morning");
        assert!(air.iter().all(|air| (8.0..=17.0).contains(air)));
        let mean = day
            .iter()
            .map(|hour| hour.humidity.to_per_cent())
            .sum::<f64>()
            / 24.0;
        assert!((mean - 72.0).abs() < 1e-9, "{mean}");
    }

    /// With the same vapour all day, the dew point is the same all day.
    #[test]
    fn the_dew_point_stays_and_the_afternoon_is_driest() {
        let record = climate().record(date(2026, 5, 1), date(2026, 5, 1));
        let record = record.expect("May was given");
        let dew: Vec<f64> = record
            .hours()
            .iter()
            .map(|hour| hour.dew_point().to_celsius())
            .collect();
        assert!(dew.iter().all(|one| (one - dew[0]).abs() < 1e-9));
        let driest = record
            .hours()
            .iter()
            .min_by(|a, b| a.humidity.factor().total_cmp(&b.humidity.factor()))
            .expect("a day has hours");
        assert_eq!(driest.start.hour(), 15);
    }

    #[test]
    fn what_was_not_given_is_asked_for() {
        let fault = climate()
            .record(date(2026, 5, 31), date(2026, 6, 1))
            .expect_err("June was not given");
        assert_eq!(fault.problem, "month 6 has no averages");
        assert!(
            climate()
                .record(date(2026, 5, 2), date(2026, 5, 1))
                .is_err()
        );
        let mut climate = Climate::default();
        assert!(climate.set(13, may()).is_err());
        assert!(climate.set(i8::MIN, may()).is_err());
        assert!(climate.set(0, may()).is_err());
        let upside_down = Averages {
            low: may().high,
            high: may().low,
            humidity: may().humidity,
        };
        assert!(climate.set(5, upside_down).is_err());
    }
}
