//! Hours and windows against the slow way: each hour looked at by itself, each run of hours counted anew.

use jiff::ToSpan;
use jiff::civil::{DateTime, date};
use proptest::prelude::*;
use spile::units::{LengthUnit, Share, Speed, Temperature, Time};
use spile::weather::{
    Averages, Basis, Climate, Fitness, Hour, Limits, Record, Unjudged, judge, nearest_miss, windows,
};

use super::{record, some_hours};

fn limits() -> Limits {
    Limits {
        most_wind: Some(Speed::metres_per_second(9.0)),
        dry_after: Time::hours(3.0),
        ..Limits::default()
    }
}

/// The rules in plain words, for one hour: tenths of degrees, per cent and metres per second.
fn is_fit(hour: &Hour, hours: &[Hour]) -> bool {
    let rain_of = |at: DateTime| hours.iter().find(|one| one.start == at)?.rain;
    let knows_rain = hours.iter().any(|one| one.rain.is_some());
    let knows_wind = hours.iter().any(|one| one.wind.is_some());
    let stays_dry = (0..=3).all(|later: i64| {
        rain_of(hour.start.saturating_add(later.hours())).is_some_and(|rain| rain.to_mm() <= 0.0)
    });
    let is_calm = hour
        .wind
        .is_some_and(|wind| wind.to_metres_per_second() < 9.000_1);
    let air = hour.air.to_celsius();
    let surface = hour.surface.unwrap_or(hour.air).to_celsius();
    (surface - hour.dew_point().to_celsius()) >= 3.0
        && hour.humidity.to_per_cent() < 85.000_1
        && (9.999_9..35.000_1).contains(&air)
        && (stays_dry || !knows_rain)
        && (is_calm || !knows_wind)
}

fn runs_of(hours: &[Fitness], long: usize) -> impl Iterator<Item = &[Fitness]> {
    hours.windows(long).filter(move |run| {
        let first = run[0].hour.start;
        run.iter()
            .zip(0_i64..)
            .all(|(one, later)| one.hour.start == first.saturating_add(later.hours()))
    })
}

proptest! {
    #[test]
    fn an_hour_is_fit_where_it_keeps_to_every_rule(hours in some_hours(60)) {
        let record = record(&hours);
        let judged = judge(&record, &limits());
        prop_assert_eq!(judged.hours.len(), record.hours().len());
        for one in &judged.hours {
            prop_assert_eq!(one.is_fit(), is_fit(&one.hour, record.hours()), "{:?}", one);
            for reason in &one.reasons {
                for unit in [LengthUnit::Millimetre, LengthUnit::Inch] {
                    let said = reason.show(unit);
                    prop_assert!(!said.contains("NaN") && !said.contains("--"), "{}", said);
                }
            }
        }
    }

    #[test]
    fn windows_are_the_fit_hours_in_unbroken_runs(hours in some_hours(80), long in 1_usize..6) {
        let judged = judge(&record(&hours), &limits()).hours;
        let found = windows(&judged, Time::hours(long as f64));
        // An hour lies in a window exactly where some run of `long` fit hours holds it.
        let mut in_runs: Vec<DateTime> = runs_of(&judged, long)
            .filter(|run| run.iter().all(Fitness::is_fit))
            .flat_map(|run| run.iter().map(|one| one.hour.start))
            .collect();
        in_runs.sort();
        in_runs.dedup();
        let in_windows: Vec<DateTime> = judged
            .iter()
            .map(|one| one.hour.start)
            .filter(|at| found.iter().any(|window| window.start <= *at && *at < window.end))
            .collect();
        prop_assert_eq!(in_windows, in_runs);
        for pair in found.windows(2) {
            prop_assert!(pair[0].end < pair[1].start || !judged.iter().any(|one| one.hour.start == pair[0].end && one.is_fit()));
        }
    }

    #[test]
    fn no_run_of_hours_misses_by_less_than_the_nearest_miss(hours in some_hours(80), long in 1_usize..8) {
        let judged = judge(&record(&hours), &limits()).hours;
        let unfit = |run: &[Fitness]| run.iter().filter(|one| !one.is_fit()).count();
        let fewest = runs_of(&judged, long).map(unfit).min();
        let miss = nearest_miss(&judged, Time::hours(long as f64));
        prop_assert_eq!(miss.as_ref().map(|miss| miss.unfit.len()), fewest);
        let Some(miss) = miss else { return Ok(()) };
        prop_assert_eq!(miss.window.length(), Time::hours(long as f64));
        prop_assert_eq!(miss.lacks().is_empty(), miss.unfit.is_empty());
        prop_assert_eq!(
            miss.unfit.is_empty(),
            !windows(&judged, Time::hours(long as f64)).is_empty()
        );
    }

    #[test]
    fn the_same_weather_a_week_later_has_its_windows_a_week_later(hours in some_hours(60)) {
        let later: Vec<_> = hours.iter().map(|one| super::Tenths { at: one.at + 7 * 24, ..*one }).collect();
        let of = |hours| windows(&judge(&record(hours), &limits()).hours, Time::hours(2.0));
        let (now, then) = (of(&hours), of(&later));
        prop_assert_eq!(now.len(), then.len());
        for (now, then) in now.iter().zip(then) {
            prop_assert_eq!(now.start.saturating_add(7.days()), then.start);
            prop_assert_eq!(now.end.saturating_add(7.days()), then.end);
        }
    }

    #[test]
    fn stricter_limits_never_make_an_hour_fit(hours in some_hours(40), by in 0_i32..30) {
        let by = f64::from(by) / 10.0;
        let strict = Limits {
            least_spread: limits().least_spread + spile::units::TemperatureDifference::kelvins(by),
            most_humidity: Share::per_cent(85.0 - by),
            ..limits()
        };
        let record = record(&hours);
        let (lax, strict) = (judge(&record, &limits()), judge(&record, &strict));
        for (lax, strict) in lax.hours.iter().zip(&strict.hours) {
            prop_assert!(lax.is_fit() || !strict.is_fit());
            prop_assert!(lax.reasons.len() <= strict.reasons.len());
        }
    }

    #[test]
    fn typical_hours_keep_between_the_low_and_the_high(low in -20_i32..30, swing in 0_i32..15, humidity in 20_i32..=100) {
        let averages = Averages {
            low: Temperature::celsius(f64::from(low)),
            high: Temperature::celsius(f64::from(low + swing)),
            humidity: Share::per_cent(f64::from(humidity)),
        };
        let mut climate = Climate::default();
        climate.set(4, averages).expect("a month");
        let record = climate.record(date(2026, 4, 30), date(2026, 4, 30)).expect("a day");
        prop_assert_eq!(record.hours().len(), 24);
        let judged = judge(&record, &Limits::default());
        prop_assert!(judged.unjudged.contains(&Unjudged::Days));
        let mut mean = 0.0;
        for hour in record.hours() {
            let air = hour.air.to_celsius();
            prop_assert!(air >= f64::from(low) - 1e-9 && air <= f64::from(low + swing) + 1e-9);
            prop_assert!(hour.humidity.to_per_cent() <= 100.0);
            mean += hour.humidity.to_per_cent() / 24.0;
        }
        // Over 100 % is cut off, so the mean may come out lower, never higher.
        let is_cut = record.hours().iter().any(|hour| hour.humidity.to_per_cent() > 99.999);
        prop_assert!(mean <= f64::from(humidity) + 1e-9);
        prop_assert!(is_cut || (mean - f64::from(humidity)).abs() < 1e-9, "{}", mean);
    }
}

#[test]
fn a_record_of_nothing_has_no_windows_and_no_miss() {
    let record = Record::of(Vec::new(), Basis::Given).expect("nothing stands twice");
    let judged = judge(&record, &Limits::default());
    assert_eq!(windows(&judged.hours, Time::hours(1.0)), []);
    assert_eq!(nearest_miss(&judged.hours, Time::hours(1.0)), None);
}
