//! An hourly table as people have it. Comes in: the bytes of the file as it is; goes out: a [`Record`] with remarks, or
//! every fault with its line and what to write instead.
//!
//! Reading is lenient about form and strict about values. Cells stand between commas, semicolons or tabs, and decimals
//! behind a point or, where no comma separates, a comma; a column may have its unit in its name; lines before the names are
//! left out with a remark. A date that could mean two days, a value that no weather has, a cell that is no number: each is a
//! fault. An empty cell is not: nobody measured then.
//!
//! An hour that stands twice with the same values counts once. With other values it is a fault, as nobody can tell which
//! is right; only where both stand next to each other, as when the clock is put back at night, is the damper kept, and said.

mod header;
mod lines;
mod values;
mod when;

use std::collections::BTreeMap;
use std::fmt;

use jiff::civil::DateTime;

pub use header::Columns;
pub(super) use values::{air_of, humidity_of};

use super::mistake::Mistake;
use super::record::{Basis, Hour, Record, clock};
use header::{Column, Head};
use lines::Line;

/// What was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// The hours.
    pub record: Record,
    /// What whoever gave the file should know.
    pub remarks: Vec<Remark>,
}

/// Something in a file that was read, and yet should be known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// The line's number, from 1; the first of them where they are several.
    pub line: usize,
    /// What is to be known.
    pub said: String,
}

impl fmt::Display for Remark {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "line {}: {}", self.line, self.said)
    }
}

/// Something that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The line's number, from 1.
    pub line: usize,
    /// What is wrong, and what to write.
    pub mistake: Mistake,
}

impl fmt::Display for Fault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "line {}: {}", self.line, self.mistake)
    }
}

impl std::error::Error for Fault {}

/// Reads a table; `columns` says which column is which where their names do not.
///
/// ```
/// use spile::weather::{Columns, read};
/// let table = "time;air (°F);humidity\n2026-05-12 10:00;68,0;70\n";
/// let readings = read(table.as_bytes(), &Columns::default()).expect("a sound table");
/// assert_eq!(readings.record.hours()[0].air.to_celsius(), 20.0);
/// ```
///
/// # Errors
/// All that cannot be read.
pub fn read(bytes: &[u8], columns: &Columns) -> Result<Readings, Vec<Fault>> {
    let lines: Vec<Line<'_>> = lines::filled(bytes).collect();
    let head = header::find(&lines, columns).map_err(|fault| vec![fault])?;
    let mut table = Table::default();
    for line in &lines[head.at + 1..] {
        match hour_of(line, &head) {
            Ok(Reading::Hour(hour)) => table.take(line.number, hour),
            Ok(Reading::Nothing(said)) => table.remark(line.number, said),
            Err(mistake) => table.fault(line.number, mistake),
        }
    }
    if let Some(first) = lines[..head.at].first() {
        let said = match head.at {
            1 => "it stands above the names of the columns and is not read".to_owned(),
            many => format!("{many} lines above the names of the columns are not read"),
        };
        table.remark(first.number, said);
    }
    let number = lines.get(head.at).map_or(1, |line| line.number);
    if !head.unused.is_empty() {
        let said = format!("columns that are not used: {}", head.unused.join(", "));
        table.remark(number, said);
    }
    if table.hours.is_empty() && table.faults.is_empty() {
        let advice = "write a line for every hour, for example 2026-05-12 10:00,18.5,62";
        table.fault(number, Mistake::new("there is no hour in it", advice));
    }
    table.close()
}

/// A line without a fault.
enum Reading {
    Hour(Hour),
    /// It tells nothing of an hour, and why.
    Nothing(String),
}

fn hour_of(line: &Line<'_>, head: &Head) -> Result<Reading, Mistake> {
    let cells = line.cells(head.separator)?;
    if cells == head.names {
        return Err(Mistake::new(
            "the names of the columns once more",
            "take this line out",
        ));
    }
    head.check_count(&cells)?;
    let cell = |column| head.cell(&cells, column);
    let start = when::start_of(cell(Column::Date), cell(Column::Time))?;
    let value = |column: Column| head.value(&cells, column);
    let (air, humidity) = (value(Column::Air)?, value(Column::Humidity)?);
    let measured_dew_point = value(Column::DewPoint)?
        .map(values::dew_point_in)
        .transpose()?;
    let surface = value(Column::Surface)?
        .map(values::surface_in)
        .transpose()?;
    let rain = value(Column::Rain)?.map(values::rain_in).transpose()?;
    let wind = value(Column::Wind)?.map(values::wind_in).transpose()?;
    let air = air.map(values::air_in).transpose()?;
    let humidity = humidity.map(|it| values::humidity_in(&it)).transpose()?;
    let (Some(air), Some(humidity)) = (air, humidity) else {
        let what = if air.is_none() { "air" } else { "humidity" };
        return Ok(Reading::Nothing(format!(
            "the {what} is empty; the hour of {} is left out",
            clock(start)
        )));
    };
    if let Some(dew_point) = measured_dew_point {
        values::check_dew_point(dew_point, air)?;
    }
    Ok(Reading::Hour(Hour {
        start,
        air,
        humidity,
        measured_dew_point,
        surface,
        rain,
        wind,
    }))
}

/// What has been read so far.
#[derive(Default)]
struct Table {
    /// By their starts, each with the line it stands in.
    hours: BTreeMap<DateTime, (usize, Hour)>,
    /// The hour of the line before.
    last: Option<DateTime>,
    /// The first line that lies before the one above it.
    disorder: Option<usize>,
    remarks: Vec<Remark>,
    faults: Vec<Fault>,
}

impl Table {
    fn remark(&mut self, line: usize, said: String) {
        self.remarks.push(Remark { line, said });
    }

    fn fault(&mut self, line: usize, mistake: Mistake) {
        self.faults.push(Fault { line, mistake });
    }

    fn take(&mut self, line: usize, hour: Hour) {
        let last = self.last.replace(hour.start);
        if self.disorder.is_none() && last.is_some_and(|last| hour.start < last) {
            self.disorder = Some(line);
        }
        let Some((before, known)) = self.hours.get_mut(&hour.start) else {
            self.hours.insert(hour.start, (line, hour));
            return;
        };
        let (before, at) = (*before, clock(hour.start));
        if *known == hour {
            let said = format!("{at} stands in line {before} already, with the same values");
            self.remark(line, said);
        } else if last == Some(hour.start) {
            let is_damper = hour.spread() < known.spread();
            if is_damper {
                *known = hour;
            }
            let kept = if is_damper { line } else { before };
            let said = format!(
                "{at} stands in line {before} too, with other values, as where the clock is put back; the damper of both, \
                 line {kept}, is kept"
            );
            self.remark(line, said);
        } else {
            // What is to be taken out is not a line that another one stands beside.
            self.last = last;
            let problem = format!("{at} stands in line {before} already, with other values");
            self.fault(line, Mistake::new(problem, "keep the line that is right"));
        }
    }

    fn close(mut self) -> Result<Readings, Vec<Fault>> {
        if !self.faults.is_empty() {
            self.faults.sort_by_key(|fault| fault.line);
            return Err(self.faults);
        }
        if let Some(line) = self.disorder {
            let said = "earlier than the line before it; the hours were put in order";
            self.remark(line, said.to_owned());
        }
        let hours = self.hours.values().map(|(_, hour)| *hour).collect();
        let record = Record::in_order(hours, Basis::Given);
        for gap in record.gaps() {
            let line = self.hours.get(&gap.to).map_or(1, |(line, _)| *line);
            let said = gap.to_string();
            self.remarks.push(Remark { line, said });
        }
        self.remarks.sort_by_key(|remark| remark.line);
        Ok(Readings {
            record,
            remarks: self.remarks,
        })
    }
}

#[cfg(test)]
mod tests;
