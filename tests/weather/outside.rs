//! Two measured years from outside, and how long a year takes.
//!
//! The files are NREL's TMY3 of 723170 and 703165, as the wheel of pvlib 0.16.1 (BSD-3) carries them. Their lines end with the
//! hour they tell of and come from different years; here each becomes an hour of one year, in the files' order.

use std::env;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use jiff::ToSpan;
use jiff::civil::date;
use spile::units::{Temperature, TemperatureDifference, Time};
use spile::weather::{Columns, Fitness, Limits, Readings, judge, nearest_miss, read, windows};

/// A column of a TMY3 file by its name.
fn cell<'a>(names: &[&str], line: &'a str, name: &str) -> &'a str {
    let at = names.iter().position(|one| *one == name).expect(name);
    line.split(',').nth(at).expect("the line has it")
}

fn measured_year(file: &str) -> Readings {
    let folder = env::var("SPILE_TMY3").expect("SPILE_TMY3 names the folder of the files");
    let text = fs::read_to_string(Path::new(&folder).join(file)).expect("the file is there");
    let mut lines = text.lines().skip(1);
    let names: Vec<&str> = lines.next().expect("it has names").split(',').collect();
    let mut table = String::from("when,Dry-bulb (C),Dew-point (C),RHum (%)\n");
    let first = date(2026, 1, 1).at(0, 0, 0, 0);
    for (line, at) in lines.zip(0_i64..) {
        let cell = |name| cell(&names, line, name);
        writeln!(
            table,
            "{},{},{},{}",
            first.saturating_add(at.hours()),
            cell("Dry-bulb (C)"),
            cell("Dew-point (C)"),
            cell("RHum (%)")
        )
        .expect("a string takes text");
    }
    let columns = Columns {
        time: Some("when".into()),
        air: Some("Dry-bulb (C)".into()),
        dew_point: Some("Dew-point (C)".into()),
        humidity: Some("RHum (%)".into()),
        ..Columns::default()
    };
    read(table.as_bytes(), &columns).expect("every line can be read")
}

/// Counted in integer tenths by another program (10 ≤ T ≤ 30, RH ≤ 85, T - Td ≥ 3): 3643 and 1134 hours.
#[test]
#[ignore = "wants the files of another project: tests/peers/weather.sh"]
fn two_measured_years_have_as_many_fit_hours_as_counted_elsewhere() {
    let limits = Limits {
        warmest: Temperature::celsius(30.0),
        dry_after: Time::ZERO,
        ..Limits::default()
    };
    for (file, counted) in [("723170TYA.CSV", 3643), ("703165TY.csv", 1134)] {
        let year = measured_year(file);
        assert_eq!(year.record.hours().len(), 8760, "{file}");
        assert_eq!(year.remarks, [], "{file}");
        let judged = judge(&year.record, &limits);
        let fit = judged.hours.iter().filter(|one| one.is_fit()).count();
        assert_eq!(fit, counted, "{file}");
        let long = windows(&judged.hours, Time::hours(1.0));
        let hours: Time = long.iter().map(|window| window.length()).sum();
        assert_eq!(hours, Time::hours(counted as f64), "{file}");
    }
}

/// 20 July, 14:00: 33.3 °C, 58 %, dew point 23.9 °C in the file.
#[test]
#[ignore = "wants the files of another project: tests/peers/weather.sh"]
fn the_dew_point_of_a_measured_hour_is_worked_out() {
    let year = measured_year("723170TYA.CSV");
    // The line ends at 14:00, so its hour begins at 13:00.
    let start = date(2026, 7, 20).at(13, 0, 0, 0);
    let hour = year.record.hours().iter().find(|one| one.start == start);
    let mut hour = *hour.expect("the hour is there");
    assert_eq!(hour.air, Temperature::celsius(33.3));
    let measured = hour.measured_dew_point.take().expect("it was measured");
    let off = hour.dew_point() - measured;
    assert!(off.max(TemperatureDifference::ZERO - off).to_kelvins() < 0.1);
}

/// A year as a table, with what an instrument's noise would do to it.
fn a_year() -> String {
    let first = date(2026, 1, 1).at(0, 0, 0, 0);
    let mut table = String::from("time,air,humidity,surface,rain,wind\n");
    for at in 0..8760_i32 {
        let day = f64::from(at) / 24.0;
        let air = 12.0 - 9.0 * (day / 58.0).cos() - 4.0 * (day * std::f64::consts::TAU).cos();
        let humidity =
            72.0 + 20.0 * (day * std::f64::consts::TAU).cos() + f64::from(at * 7919 % 80) / 10.0;
        let rain = if at * 7919 % 97 < 6 { 0.4 } else { 0.0 };
        writeln!(
            table,
            "{},{air:.1},{humidity:.0},{:.1},{rain:.1},{:.1}",
            first
                .saturating_add(i64::from(at).hours())
                .strftime("%Y-%m-%d %H:%M"),
            air - 0.8,
            f64::from(at * 31 % 120) / 10.0
        )
        .expect("a string takes text");
    }
    table
}

#[test]
#[ignore = "measures time: run it with --release"]
fn a_year_is_read_and_judged_in_less_than_50_milliseconds() {
    let table = a_year();
    let mut quickest = Duration::MAX;
    for _ in 0..5 {
        let begin = Instant::now();
        let year = read(table.as_bytes(), &Columns::default()).expect("a sound table");
        let judged = judge(&year.record, &Limits::default());
        let found = windows(&judged.hours, Time::hours(4.0));
        let miss = nearest_miss(&judged.hours, Time::hours(200.0)).expect("hours enough");
        quickest = quickest.min(begin.elapsed());
        assert!(found.len() > 50, "{} windows", found.len());
        assert!(judged.hours.iter().any(|one: &Fitness| !one.is_fit()));
        assert!(!miss.unfit.is_empty());
    }
    assert!(quickest < Duration::from_millis(50), "{quickest:?}");
}
