//! Which column is which. Comes in: the lines of a file and what the caller knows of their names; goes out: where the
//! names stand, the separator, each column's place and unit, or what is lacking.

use super::super::mistake::Mistake;
use super::Fault;
use super::lines::{Cell, Line};
use super::values::{Measure, Unit, number_of};

/// The names of the columns where a file calls them something that spile does not know, or has two that could be meant.
/// A unit may stand behind a name, in brackets or not; it stays part of the name here.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Columns {
    /// The time, with its date or without.
    pub time: Option<String>,
    /// The date, where it has a column of its own.
    pub date: Option<String>,
    /// The air's temperature.
    pub air: Option<String>,
    /// The relative humidity.
    pub humidity: Option<String>,
    /// The dew point.
    pub dew_point: Option<String>,
    /// The temperature of the surface.
    pub surface: Option<String>,
    /// The rain of the hour.
    pub rain: Option<String>,
    /// The mean wind.
    pub wind: Option<String>,
}

/// A column that can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Column {
    Time,
    Date,
    Air,
    Humidity,
    DewPoint,
    Surface,
    Rain,
    Wind,
}

impl Column {
    const ALL: [Self; 8] = [
        Self::Time,
        Self::Date,
        Self::Air,
        Self::Humidity,
        Self::DewPoint,
        Self::Surface,
        Self::Rain,
        Self::Wind,
    ];
    const NEEDED: [Self; 3] = [Self::Time, Self::Air, Self::Humidity];

    /// What it may be called; the first is what messages call it.
    const fn names(self) -> &'static [&'static str] {
        match self {
            Self::Time => &["time", "date time", "datetime", "timestamp", "hour"],
            Self::Date => &["date", "day"],
            Self::Air => &[
                "air",
                "air temperature",
                "air temp",
                "temperature",
                "temp",
                "dry bulb",
            ],
            Self::Humidity => &[
                "humidity",
                "relative humidity",
                "rel humidity",
                "rh",
                "air humidity",
            ],
            Self::DewPoint => &["dew point", "dewpoint", "dew"],
            Self::Surface => &["surface", "surface temperature", "surface temp"],
            Self::Rain => &["rain", "rainfall", "precipitation", "precip"],
            Self::Wind => &["wind", "wind speed", "windspeed"],
        }
    }

    const fn measure(self) -> Option<Measure> {
        match self {
            Self::Time | Self::Date => None,
            Self::Air | Self::DewPoint | Self::Surface => Some(Measure::Temperature),
            Self::Humidity => Some(Measure::Humidity),
            Self::Rain => Some(Measure::Rain),
            Self::Wind => Some(Measure::Wind),
        }
    }
}

impl Columns {
    /// Says what a column is called in the file: `time`, `date`, `air`, `humidity`, `dew_point`, `surface`, `rain` or `wind`.
    ///
    /// # Errors
    /// Where there is no such column.
    pub fn set(&mut self, column: &str, name: &str) -> Result<(), Mistake> {
        let place = match column {
            "time" => &mut self.time,
            "date" => &mut self.date,
            "air" => &mut self.air,
            "humidity" => &mut self.humidity,
            "dew_point" => &mut self.dew_point,
            "surface" => &mut self.surface,
            "rain" => &mut self.rain,
            "wind" => &mut self.wind,
            _ => {
                return Err(Mistake::new(
                    format!("there is no column `{column}`"),
                    "write time, date, air, humidity, dew_point, surface, rain or wind",
                ));
            }
        };
        *place = Some(name.to_owned());
        Ok(())
    }

    fn of(&self, column: Column) -> Option<&str> {
        match column {
            Column::Time => &self.time,
            Column::Date => &self.date,
            Column::Air => &self.air,
            Column::Humidity => &self.humidity,
            Column::DewPoint => &self.dew_point,
            Column::Surface => &self.surface,
            Column::Rain => &self.rain,
            Column::Wind => &self.wind,
        }
        .as_deref()
    }
}

/// Names may stand so many lines below the top, behind titles and remarks.
const MOST_TITLES: usize = 40;
const SEPARATORS: [char; 3] = [',', ';', '\t'];

/// What the line of names says of the others.
#[derive(Debug)]
pub(super) struct Head {
    /// Its place among the filled lines.
    pub(super) at: usize,
    pub(super) separator: char,
    /// As they stand there.
    pub(super) names: Vec<String>,
    /// Those that nothing is made of.
    pub(super) unused: Vec<String>,
    /// Each column's place and unit.
    places: Vec<(Column, usize, Unit)>,
}

/// A value as its cell has it, with the unit of its column.
#[derive(Debug, Clone)]
pub(super) struct Value {
    pub(super) number: f64,
    pub(super) unit: Unit,
}

impl Head {
    /// What a cell says; nothing where it is empty or there is no such column.
    pub(super) fn cell<'a>(&self, cells: &'a [Cell<'_>], column: Column) -> Option<&'a str> {
        let (_, at, _) = self.places.iter().find(|(one, ..)| *one == column)?;
        let cell: &str = cells.get(*at)?;
        (!cell.is_empty()).then_some(cell)
    }

    /// The number in a cell.
    pub(super) fn value(
        &self,
        cells: &[Cell<'_>],
        column: Column,
    ) -> Result<Option<Value>, Mistake> {
        let Some(cell) = self.cell(cells, column) else {
            return Ok(None);
        };
        let unit = self
            .places
            .iter()
            .find(|(one, ..)| *one == column)
            .map_or(Unit::OWN, |(.., unit)| *unit);
        let number = number_of(cell, self.separator != ',').map_err(|mistake| {
            let problem = format!("the {}: {}", column.names()[0], mistake.problem);
            Mistake::new(problem, mistake.advice)
        })?;
        Ok(Some(Value { number, unit }))
    }

    /// Whether a line has as many cells as there are names; empty ones at its end may be too many.
    pub(super) fn check_count(&self, cells: &[Cell<'_>]) -> Result<(), Mistake> {
        let columns = self.names.len();
        let filled = cells
            .iter()
            .rposition(|cell| !cell.is_empty())
            .map_or(0, |at| at + 1);
        if cells.len() >= columns && filled <= columns {
            return Ok(());
        }
        let advice = if cells.len() < columns {
            "complete it, with a separator for every empty cell"
        } else if self.separator == ',' {
            "write decimals behind a point, or put semicolons between the cells of the whole file"
        } else {
            "put a cell that holds the separator in quotes"
        };
        Err(Mistake::new(
            format!(
                "it has {} cells, but {columns} columns have names",
                cells.len()
            ),
            advice,
        ))
    }
}

/// Finds the line of names: the first that names time, air and humidity.
pub(super) fn find(lines: &[Line<'_>], columns: &Columns) -> Result<Head, Fault> {
    let mut nearest: Option<Nearest> = None;
    let mut damaged: Option<Fault> = None;
    for (at, line) in lines.iter().enumerate().take(MOST_TITLES) {
        let mut mistake = None;
        let mut is_text = false;
        for separator in SEPARATORS {
            let names = match line.cells(separator) {
                Ok(names) => names.into_iter().map(Cell::into_owned).collect::<Vec<_>>(),
                Err(found) => {
                    mistake.get_or_insert(found);
                    continue;
                }
            };
            is_text = true;
            let is_there = |column| names.iter().any(|name| is_called(name, column, columns));
            let lacking: Vec<Column> = Column::NEEDED
                .into_iter()
                .filter(|column| !is_there(*column))
                .collect();
            if lacking.is_empty() {
                return head_of(at, separator, names, columns).map_err(|mistake| Fault {
                    line: line.number,
                    mistake,
                });
            }
            let fewest = nearest.as_ref().map(|known| known.lacking.len());
            if fewest.is_none_or(|fewest| lacking.len() < fewest) {
                nearest = Some(Nearest {
                    line: line.number,
                    lacking,
                    names,
                });
            }
        }
        if let Some(mistake) = mistake.filter(|_| !is_text && damaged.is_none()) {
            let line = line.number;
            damaged = Some(Fault { line, mistake });
        }
    }
    let near = nearest.filter(|one| one.lacking.len() < Column::NEEDED.len());
    Err(match (near, damaged, lines.first()) {
        (Some(nearest), ..) => nearest.fault(),
        (None, Some(damaged), _) => damaged,
        (None, None, Some(first)) => {
            let problem = "there is no line with the names of the columns";
            Fault {
                line: first.number,
                mistake: Mistake::new(problem, FORM),
            }
        }
        (None, None, None) => Fault {
            line: 1,
            mistake: Mistake::new("the file is empty", FORM),
        },
    })
}

/// The line that names most of what is needed.
struct Nearest {
    line: usize,
    lacking: Vec<Column>,
    names: Vec<String>,
}

impl Nearest {
    fn fault(&self) -> Fault {
        let lacking: Vec<String> = self
            .lacking
            .iter()
            .map(|column| quoted(column.names()[0]))
            .collect();
        let names: Vec<String> = self.names.iter().map(|name| quoted(name)).collect();
        let problem = format!(
            "no column is called {}; there are {}",
            lacking.join(", "),
            names.join(", ")
        );
        Fault {
            line: self.line,
            mistake: Mistake::new(problem, FORM),
        }
    }
}

const FORM: &str = "write their names in a line above the hours: time,air,humidity and, where they are known, \
                    surface,rain,wind; or say which column is which";

fn head_of(
    at: usize,
    separator: char,
    names: Vec<String>,
    columns: &Columns,
) -> Result<Head, Mistake> {
    let mut places = Vec::new();
    for column in Column::ALL {
        let called: Vec<usize> = (0..names.len())
            .filter(|at| is_called(&names[*at], column, columns))
            .collect();
        match called[..] {
            [] => {
                if let Some(name) = columns.of(column) {
                    return Err(Mistake::new(
                        format!("no column is called {}", quoted(name)),
                        "write its name as it stands in the file",
                    ));
                }
            }
            [place] => places.push((column, place, unit_of(&names[place], column)?)),
            [one, other, ..] => {
                return Err(Mistake::new(
                    format!(
                        "{} and {} could both be the {}",
                        quoted(&names[one]),
                        quoted(&names[other]),
                        column.names()[0]
                    ),
                    "say which column is which",
                ));
            }
        }
    }
    let is_used = |at: usize| places.iter().any(|(_, place, _)| *place == at);
    let unused = (0..names.len())
        .filter(|at| !is_used(*at) && !names[*at].is_empty())
        .map(|at| quoted(&names[at]))
        .collect();
    Ok(Head {
        at,
        separator,
        unused,
        places,
        names,
    })
}

fn quoted(name: &str) -> String {
    format!("`{}`", name.escape_debug())
}

/// Whether a name in the file means this column: the one that the caller gave, else one of those known, with or without a
/// unit behind it.
fn is_called(name: &str, column: Column, columns: &Columns) -> bool {
    if let Some(given) = columns.of(column) {
        return given.trim().eq_ignore_ascii_case(name);
    }
    // What the caller gave to another column is taken.
    let is_taken = Column::ALL
        .into_iter()
        .filter_map(|other| columns.of(other))
        .any(|given| given.trim().eq_ignore_ascii_case(name));
    let (plain, bracketed) = taken_apart(name);
    !is_taken
        && column.names().iter().any(|known| {
            let rest = plain.strip_prefix(known);
            let is_unit = |rest: &str| {
                let unit = rest.strip_prefix(' ');
                unit.is_some_and(|unit| {
                    let measure = column.measure();
                    measure.is_some_and(|measure| measure.unit(unit).is_some())
                })
            };
            // A bracket with what is no unit is complained of, not passed over.
            rest.is_some_and(|rest| rest.is_empty() || (bracketed.is_none() && is_unit(rest)))
        })
}

/// The unit that a column's name ends with; its own where it names none.
fn unit_of(name: &str, column: Column) -> Result<Unit, Mistake> {
    let Some(measure) = column.measure() else {
        return Ok(Unit::OWN);
    };
    let (plain, bracketed) = taken_apart(name);
    if let Some(unit) = bracketed {
        return measure.unit(&unit).ok_or_else(|| {
            Mistake::new(
                format!("{} has no unit that is known", quoted(name)),
                format!("write {}", measure.units()),
            )
        });
    }
    // `km h` of `wind_km_h` are two words.
    let ends = plain.match_indices(' ').map(|(at, _)| &plain[at + 1..]);
    Ok(ends
        .filter_map(|end| measure.unit(end))
        .next()
        .unwrap_or(Unit::OWN))
}

/// A name in small letters and single spaces, and what stands in brackets at its end.
fn taken_apart(name: &str) -> (String, Option<String>) {
    let lower = name.to_lowercase();
    let trimmed = lower.trim();
    let bracketed = trimmed
        .strip_suffix([')', ']'])
        .and_then(|inside| inside.rsplit_once(['(', '[']));
    let (outside, inside) = match bracketed {
        Some((outside, inside)) => (outside, Some(inside.trim().to_owned())),
        None => (trimmed, None),
    };
    let words: Vec<&str> = outside
        .split(['_', '-', ' '])
        .filter(|word| !word.is_empty())
        .collect();
    (words.join(" "), inside)
}
