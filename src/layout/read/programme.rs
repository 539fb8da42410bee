//! Reads when the work is done.

use jiff::civil::{Date, Time as Clock, Weekday};
use jiff::tz::TimeZone;
use toml::de::DeValue;

use super::super::table::{Reading, Table};
use super::super::{Bound, Closed, Fault, Placed, ProgrammeSettings, UnmaskWhen};
use crate::units::{Time, WEEKDAYS, parse_date};

/// When the work is done; the defaults where nothing is said.
pub(super) fn programme<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> ProgrammeSettings {
    let default = ProgrammeSettings::default();
    let Some(table) = reading.table(layout, "programme") else {
        return default;
    };
    let dwell = reading.quantity::<Time>(&table, "tape_dwell");
    let unmask = reading.word(&table, "unmask").map(|word| match word {
        "wet" => UnmaskWhen::Wet,
        "dry" => UnmaskWhen::Dry,
        _ => UnmaskWhen::Tacky,
    });
    let days_off = reading.words(&table, "days_off").map(|days| {
        let days = days.into_iter().filter_map(weekday);
        days.collect::<Vec<Weekday>>()
    });
    if let Some(days) = &days_off
        && days.len() >= 7
    {
        reading.report(
            Fault::new(
                table.place_of("days_off"),
                "there is no day left to work on",
                "all seven",
            )
            .with_help("leave the days out on which somebody works"),
        );
    }
    let test_patch = reading.flag(&table, "test_patch");
    ProgrammeSettings {
        from: bound(reading, &table),
        day_begins: default
            .day_begins
            .or_given(clock(reading, &table, "day_begins")),
        days_off: default.days_off.or_given(days_off),
        closed: closed(reading, &table),
        tape_dwell: default.tape_dwell.or_given(dwell.map(|dwell| dwell.value)),
        unmask: default
            .unmask
            .or_given(unmask.filter(|_| table.has("unmask"))),
        test_patch: default
            .test_patch
            .or_given(Some(test_patch).filter(|_| table.has("test_patch"))),
        drying_halves: default.drying_halves.or_given(reading.positive(
            &table,
            "drying_halves",
            100.0,
        )),
        zone: zone(reading, &table),
    }
}

fn weekday(word: &str) -> Option<Weekday> {
    let from_monday = WEEKDAYS.iter().position(|name| *name == word)?;
    Weekday::from_monday_zero_offset(i8::try_from(from_monday).ok()?).ok()
}

fn bound<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Bound> {
    let start = date(reading, table, "start");
    let ready = date(reading, table, "ready");
    if table.has("start") && table.has("ready") {
        reading.report(
            Fault::new(
                table.place_of("ready"),
                "a first day and a day to be ready by",
                "counted forward, or backward?",
            )
            .with_mention(table.place_of("start"), "counted forward from here")
            .with_help("keep the one that is fixed"),
        );
    }
    start.map(Bound::Start).or(ready.map(Bound::Ready))
}

fn closed<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Vec<Closed> {
    let tables = reading.tables(table, "closed");
    let mut closed = Vec::new();
    for table in &tables {
        let from = date(reading, table, "from");
        let to = date(reading, table, "to");
        let Some(from) = from else { continue };
        let to = to.unwrap_or(from);
        if to < from {
            reading.report(
                Fault::new(
                    table.place_of("to"),
                    "the last day is before the first",
                    "the last",
                )
                .with_mention(table.place_of("from"), "the first"),
            );
        }
        closed.push(Closed { from, to });
    }
    closed
}

/// A day, bare or in quotes.
fn date<'t>(reading: &mut Reading<'t>, table: &Table<'t>, name: &str) -> Option<Date> {
    let value = table.get(name)?;
    let place = reading.place(value.span());
    let text = match value.get_ref() {
        DeValue::String(text) => text.to_string(),
        DeValue::Datetime(at) if at.time.is_none() => at.to_string(),
        _ => return reading.wrong(value, &format!("`{name}`"), "a day such as 2027-05-03"),
    };
    match parse_date(&text) {
        Ok(date) => Some(date),
        Err(fault) => {
            reading.report(
                Fault::new(place, format!("`{name}` is not a day"), fault.problem)
                    .with_help(fault.advice),
            );
            None
        }
    }
}

/// A time of day, bare or in quotes.
fn clock<'t>(reading: &mut Reading<'t>, table: &Table<'t>, name: &str) -> Option<Clock> {
    let value = table.get(name)?;
    let place = reading.place(value.span());
    let text = match value.get_ref() {
        DeValue::String(text) => text.trim().to_owned(),
        DeValue::Datetime(at) if at.date.is_none() => at.to_string(),
        _ => {
            return reading.wrong(
                value,
                &format!("`{name}`"),
                "a time of day such as \"08:00\"",
            );
        }
    };
    let parts: Vec<&str> = text.split(':').collect();
    let number = |part: &str| part.parse::<i8>().ok();
    let read = match parts[..] {
        [hour, minute] | [hour, minute, "00"] => number(hour)
            .zip(number(minute))
            .and_then(|(hour, minute)| Clock::new(hour, minute, 0, 0).ok()),
        _ => None,
    };
    if read.is_none() {
        reading.report(
            Fault::new(place, format!("`{name}` is not a time of day"), "this time")
                .with_help("write hours and minutes of 24 hours, such as \"08:00\" or \"13:30\""),
        );
    }
    read
}

fn zone<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Placed<String>> {
    let zone = reading.line(table, "time_zone")?;
    if TimeZone::get(&zone.value).is_ok() {
        return Some(zone);
    }
    reading.report(
        Fault::new(
            zone.place,
            format!("there is no time zone \"{}\"", zone.value),
            "not in the IANA database",
        )
        .with_help("write its name there, a region and a place, or leave it out"),
    );
    None
}
