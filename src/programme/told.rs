//! The weather that a layout tells. Comes in: a layout, the files it names, from which day is planned. Goes out: hours; or, of a
//! table that cannot be read, faults at the line of the layout that names it.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::layout::{Bound, Fault, Layout, Sources, WeatherSource};
use crate::outline::Warning;
use crate::weather::{self, Basis, Climate, Readings, Record};

/// Of faults and remarks on a table so many are said: one mistake of form may stand in every line.
const SAID: usize = 8;
/// Typical weather is made up for so many days.
const MOST_DAYS: usize = 800;

/// The hours of the table that a layout names, and what is to be known of it; none where it names none.
///
/// # Errors
/// All that cannot be read in it.
pub fn table(layout: &Layout, sources: &Sources) -> Result<Option<Readings>, Vec<Fault>> {
    let Some(WeatherSource::Hours { file, columns }) = &layout.work.weather else {
        return Ok(None);
    };
    let bytes = sources.get(&file.value).unwrap_or_default();
    weather::read(bytes, columns).map(Some).map_err(|found| {
        let more = found.len().saturating_sub(SAID);
        let faults = found.into_iter().take(SAID).enumerate();
        let faults = faults.map(|(number, fault)| {
            let place = match more {
                more if more > 0 && number == 0 => format!("this file, and {more} more like it"),
                _ => "this file".to_owned(),
            };
            Fault::new(
                file.place,
                format!(
                    "{}, line {}: {}",
                    file.value, fault.line, fault.mistake.problem
                ),
                place,
            )
            .with_help(fault.mistake.advice)
        });
        faults.collect()
    })
}

/// What was read in a table and yet should be known.
#[must_use]
pub fn remarks(layout: &Layout, readings: &Readings) -> Vec<Warning> {
    let Some(WeatherSource::Hours { file, .. }) = &layout.work.weather else {
        return Vec::new();
    };
    let more = readings.remarks.len().saturating_sub(SAID);
    let warning = |message: String| Warning {
        deck: String::new(),
        code: "weather-table",
        message,
        place: Some(file.place),
        at: None,
    };
    let said = readings.remarks.iter().take(SAID);
    let mut warnings: Vec<Warning> = said
        .map(|remark| warning(format!("{}, {remark}", file.value)))
        .collect();
    if more > 0 {
        warnings.push(warning(format!(
            "{}: {more} more remarks like these",
            file.value
        )));
    }
    warnings
}

/// Typical hours of the days that a plan may need: from its first day on, or up to the day to be ready by, as far as months in a
/// row have averages.
#[must_use]
pub(super) fn typical(climate: &Climate, from: Bound) -> Record {
    let in_a_row = |days: &mut dyn Iterator<Item = Date>| -> Option<Date> {
        days.take(MOST_DAYS)
            .take_while(|day| climate.knows(day.month()))
            .last()
    };
    let span = match from {
        Bound::Start(first) => in_a_row(&mut first.series(1.day())).map(|last| (first, last)),
        Bound::Ready(last) => in_a_row(&mut last.series(-1.day())).map(|first| (first, last)),
    };
    span.and_then(|(first, last)| climate.record(first, last).ok())
        .unwrap_or_else(|| Record::none(Basis::Typical))
}
