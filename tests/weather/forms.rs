//! One record, written in every form that people's tables have.

use jiff::civil::DateTime;
use proptest::prelude::*;
use spile::weather::{Columns, read};

use super::{Tenths, record, some_hours};

/// How a table is written.
#[derive(Debug, Clone)]
struct Form {
    separator: char,
    decimal: char,
    /// Of strftime, the date and what stands behind it.
    date: &'static str,
    time: &'static str,
    /// Whether the date has a column of its own.
    is_apart: bool,
    /// Where each column stands.
    order: Vec<usize>,
    names: [&'static str; 7],
    line_end: &'static str,
    has_mark: bool,
}

const NAMES: [[&str; 7]; 3] = [
    ["date", "time", "air", "humidity", "surface", "rain", "wind"],
    [
        "Day",
        "Hour",
        "Temperature (°C)",
        "RH [%]",
        "Surface temp",
        "Rain (mm)",
        "Wind speed (m/s)",
    ],
    [
        "date",
        "date_time",
        "air_c",
        "humidity_pct",
        "surface_c",
        "rain_mm",
        "wind_m_s",
    ],
];

fn any_form() -> impl Strategy<Value = Form> {
    (
        prop::sample::select(vec![
            (',', '.'),
            (';', '.'),
            (';', ','),
            ('\t', ','),
            ('\t', '.'),
        ]),
        prop::sample::select(vec!["%Y-%m-%d", "%Y/%m/%d", "%d.%m.%Y", "%-d.%-m.%Y"]),
        prop::sample::select(vec!["%H:%M", "%H:%M:%S", "%-H:%M", "%H", "%I:%M %p"]),
        any::<bool>(),
        Just((0..7).collect::<Vec<usize>>()).prop_shuffle(),
        prop::sample::select(NAMES.to_vec()),
        prop::sample::select(vec!["\n", "\r\n", "\r"]),
        any::<bool>(),
    )
        .prop_map(
            |((separator, decimal), date, time, is_apart, order, names, line_end, has_mark)| Form {
                separator,
                decimal,
                date,
                time,
                is_apart,
                order,
                names,
                line_end,
                has_mark,
            },
        )
}

impl Form {
    fn line(&self, cells: [String; 7]) -> String {
        let places = self.order.iter().filter(|at| self.is_apart || **at > 0);
        let cells: Vec<&str> = places.map(|at| cells[*at].as_str()).collect();
        cells.join(&self.separator.to_string()) + self.line_end
    }

    fn number(&self, tenths: i32) -> String {
        format!("{}{}{}", tenths / 10, self.decimal, tenths % 10)
    }

    fn when(&self, start: DateTime) -> (String, String) {
        let date = start.strftime(self.date).to_string();
        let time = start.strftime(self.time).to_string();
        if self.is_apart {
            (date, time)
        } else {
            (String::new(), format!("{date} {time}"))
        }
    }

    fn table(&self, hours: &[Tenths]) -> String {
        let mut text = String::from(if self.has_mark { "\u{feff}" } else { "" });
        text += &self.line(self.names.map(str::to_owned));
        for one in hours {
            let (date, time) = self.when(one.hour().start);
            let known = |value: Option<i32>| value.map_or(String::new(), |it| self.number(it));
            text += &self.line([
                date,
                time,
                self.number(one.air),
                self.number(one.humidity),
                known(one.surface),
                known(one.rain),
                known(one.wind),
            ]);
        }
        text
    }
}

proptest! {
    #[test]
    fn the_record_is_the_same_whatever_the_form(hours in some_hours(30), form in any_form()) {
        let table = form.table(&hours);
        let found = read(table.as_bytes(), &Columns::default());
        let found = found.map_err(|faults| TestCaseError::fail(format!("{}\n{table}", faults[0])))?;
        prop_assert_eq!(&found.record, &record(&hours), "{}", table);
        // Nothing but the gaps is remarked.
        prop_assert_eq!(found.remarks.len(), found.record.gaps().count());
    }
}
