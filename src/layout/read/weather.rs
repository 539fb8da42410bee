//! Reads what weather a product may be laid in, and where the job's weather is told.

use super::super::table::{Reading, Table};
use super::super::{Fault, FitWeather, Place, WeatherSource};
use crate::units::{MONTHS, Share, Temperature};
use crate::weather::{Averages, Climate, Columns};

/// The weather that a product may be laid in; the usual limits where nothing is said.
pub(super) fn fit<'t>(reading: &mut Reading<'t>, product: &Table<'t>) -> FitWeather {
    let default = FitWeather::default();
    let Some(table) = reading.table(product, "weather") else {
        return default;
    };
    let fit = FitWeather {
        spread: default
            .spread
            .or_given(reading.quantity(&table, "spread").map(|one| one.value)),
        humidity: default.humidity.or_given(humidity(reading, &table)),
        coldest: default
            .coldest
            .or_given(reading.temperature(&table, "coldest")),
        warmest: default
            .warmest
            .or_given(reading.temperature(&table, "warmest")),
        coldest_surface: default
            .coldest_surface
            .or_given(reading.temperature(&table, "coldest_surface").map(Some)),
        warmest_surface: default
            .warmest_surface
            .or_given(reading.temperature(&table, "warmest_surface").map(Some)),
        wind: default
            .wind
            .or_given(reading.quantity(&table, "wind").map(|one| Some(one.value))),
        dry_after: default
            .dry_after
            .or_given(reading.quantity(&table, "dry_after").map(|one| one.value)),
    };
    let mut in_order = |names: [&str; 2], colder: Option<Temperature>, warmer| {
        if colder
            .zip(warmer)
            .is_some_and(|(colder, warmer)| colder >= warmer)
        {
            let [cold, warm] = names;
            let (stands, other) = if table.has(cold) {
                (cold, warm)
            } else {
                (warm, cold)
            };
            let unless_said = match other {
                "coldest" => ", which is 10 °C unless said",
                "warmest" => ", which is 35 °C unless said",
                _ => "",
            };
            reading.report(
                Fault::new(
                    table.place_of(stands),
                    format!("`{cold}` is not below `{warm}`"),
                    "no weather is fit",
                )
                .with_help(format!(
                    "a bare number is °C; look at `{other}` too{unless_said}"
                )),
            );
        }
    };
    in_order(
        ["coldest", "warmest"],
        Some(fit.coldest.value),
        Some(fit.warmest.value),
    );
    in_order(
        ["coldest_surface", "warmest_surface"],
        fit.coldest_surface.value,
        fit.warmest_surface.value,
    );
    fit
}

fn humidity<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Share> {
    let advice = "write the relative humidity in per cent, for example 85";
    let share = reading.share(table, "humidity", 1.0..=100.0, advice)?;
    Some(share.value)
}

/// Where the job's weather is told; none where the layout does not say.
pub(super) fn source<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> Option<WeatherSource> {
    let table = reading.table(layout, "weather")?;
    let file = reading.line(&table, "hours");
    let columns = columns(reading, &table);
    if table.has("columns") && !table.has("hours") {
        reading.report(
            Fault::new(
                table.place_of("columns"),
                "columns without a table of hours",
                "of which file?",
            )
            .with_help("add `hours = \"forecast.csv\"`, or leave `columns` out"),
        );
    }
    let climate = climate(reading, &table);
    match file {
        Some(file) => Some(WeatherSource::Hours { file, columns }),
        None => table.has("month").then_some(WeatherSource::Months(climate)),
    }
}

fn columns<'t>(reading: &mut Reading<'t>, weather: &Table<'t>) -> Columns {
    let Some(table) = reading.table(weather, "columns") else {
        return Columns::default();
    };
    let mut named = |name| reading.line(&table, name).map(|name| name.value);
    Columns {
        time: named("time"),
        date: named("date"),
        air: named("air"),
        humidity: named("humidity"),
        dew_point: named("dew_point"),
        surface: named("surface"),
        rain: named("rain"),
        wind: named("wind"),
    }
}

fn climate<'t>(reading: &mut Reading<'t>, weather: &Table<'t>) -> Climate {
    let mut climate = Climate::default();
    let mut known: Vec<(&str, Place)> = Vec::new();
    for table in &reading.tables(weather, "month") {
        let month = reading.word(table, "month");
        let low = reading.temperature(table, "low");
        let high = reading.temperature(table, "high");
        let humidity = humidity(reading, table);
        let (Some(month), Some(low), Some(high), Some(humidity)) = (month, low, high, humidity)
        else {
            continue;
        };
        let place = table.place_of("month");
        if let Some((_, first)) = known.iter().find(|(name, _)| *name == month) {
            reading.report(
                Fault::new(place, format!("{month} has averages already"), "again here")
                    .with_mention(*first, "the first time here"),
            );
            continue;
        }
        known.push((month, place));
        let number = (1_i8..).zip(MONTHS).find(|(_, name)| *name == month);
        let averages = Averages {
            low,
            high,
            humidity,
        };
        if let Some((number, _)) = number
            && let Err(mistake) = climate.set(number, averages)
        {
            reading.report(
                Fault::new(table.place_of("low"), mistake.problem, month).with_help(mistake.advice),
            );
        }
    }
    climate
}
