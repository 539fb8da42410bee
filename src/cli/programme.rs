//! `spile programme`: what is done on which day, with its waiting times.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use clap::Args;
use jiff::civil::Date;

use super::console::Console;
use super::{Status, Stop, pages, read, sheet, write_and_name};
use crate::Job;
use crate::drawing::{Drawing, programme_bars, weather_strip};
use crate::export::files::NewFile;
use crate::export::{order as on_the_deck, programme as lists};
use crate::figures::Figures;
use crate::layout::Bound;
use crate::on_disk;
use crate::order::orders;
use crate::programme;
use crate::takeoff::Takeoff;
use crate::units::parse_date;
use crate::weather::{self, Columns, Record};

/// Says what is done on which day, from a first day on or to be ready by one
#[derive(Args)]
#[command(after_help = "\
Examples: spile programme layouts/guillemot.toml --start 2027-05-03
          spile programme layouts/guillemot.toml --ready 2027-06-20 --out programme.ics
          spile programme layouts/guillemot.toml --weather forecast.csv --columns air=T2m,humidity=RH
          spile programme layouts/guillemot.toml --out programme.pdf")]
pub(super) struct Programme {
    /// Layout file
    #[arg(value_name = "LAYOUT")]
    layout: PathBuf,
    /// The first day of work; the layout's own [programme] where neither is given
    #[arg(long, value_name = "DAY", value_parser = day, conflicts_with = "ready")]
    start: Option<Date>,
    /// The day on which all must be cured: as late as that allows
    #[arg(long, value_name = "DAY", value_parser = day)]
    ready: Option<Date>,
    /// Hours of weather: a .csv with time, air temperature and humidity; surface, rain and wind where it has them. Coats
    /// are laid in fit hours alone. Without it the layout's own [weather]
    #[arg(long, value_name = "FILE")]
    weather: Option<PathBuf>,
    /// What columns of that table are called: time, date, air, humidity, dew_point, surface, rain, wind
    #[arg(
        long,
        value_name = "COLUMN=NAME",
        value_delimiter = ',',
        requires = "weather"
    )]
    columns: Vec<String>,
    /// Print everything for another program
    #[arg(long, conflicts_with = "out")]
    json: bool,
    /// Print every stretch of work for a spreadsheet
    #[arg(long, conflicts_with_all = ["out", "json"])]
    csv: bool,
    /// Where to write it: .md, .csv, .json, .ics for a calendar, or .svg, .png, .pdf for pictures (bars, and hours fit for coats
    /// where weather is known); Markdown on standard output where none is given
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

fn day(text: &str) -> Result<Date, String> {
    parse_date(text).map_err(|fault| fault.to_string())
}

impl Programme {
    fn columns(&self) -> Result<Columns, Stop> {
        let mut columns = Columns::default();
        for given in &self.columns {
            let Some((column, name)) = given.split_once('=') else {
                return Err(Status::Usage.with(format!(
                    "--columns {given}: write a column and what the file calls it, for example air=T2m"
                )));
            };
            columns
                .set(column.trim(), name.trim())
                .map_err(|mistake| Status::Usage.with(format!("--columns {given}: {mistake}")))?;
        }
        Ok(columns)
    }

    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let worked = read::one(&self.layout, console)?;
        let given = self
            .start
            .map(Bound::Start)
            .or(self.ready.map(Bound::Ready));
        let from = given.or(worked.job.layout.work.programme.from);
        let Some(from) = from else {
            return Err(Status::Usage.with(
                "from which day? --start 2027-05-03, --ready 2027-06-20, or `start` or `ready` under [programme]",
            ));
        };
        let weather = self
            .weather
            .as_ref()
            .map(|path| weather(path, &self.columns()?, console))
            .transpose()?;
        let (programme, takeoff) = of(&worked.job, from, weather.as_ref())?;
        match &self.out {
            Some(out) => write_and_name(&files(out, &worked.job, &programme, &takeoff)?, console),
            None if self.json => console.output(json(&programme)?),
            None if self.csv => console.output(lists::csv(&programme)),
            None => console.output(document(&worked.job, &programme, &takeoff)),
        }
    }
}

/// The pictures: bars, and the hours fit for coats where weather is known.
pub(super) fn pictures(programme: &programme::Programme) -> Vec<Drawing> {
    let strip = weather_strip(programme);
    std::iter::once(programme_bars(programme))
        .chain(strip)
        .collect()
}

/// Of faults and remarks on an hourly table so many are shown: one mistake of form may stand in every line.
const SHOWN: usize = 8;

/// The hours of a table.
fn weather(path: &Path, columns: &Columns, console: &Console) -> Result<Record, Stop> {
    let shown = path.display();
    let bytes = on_disk::contents_of(path)
        .map_err(|error| Status::File.with(format!("cannot read {shown}: {error}")))?;
    match weather::read(&bytes, columns) {
        Ok(readings) => {
            for remark in readings.remarks.iter().take(SHOWN) {
                console.note(&format!("{shown}: {remark}"));
            }
            if let Some(more) = more(readings.remarks.len()) {
                console.note(&format!("{shown}: {more}"));
            }
            Ok(readings.record)
        }
        Err(faults) => {
            for fault in faults.iter().take(SHOWN) {
                console.error(&format!("{shown}: {fault}"));
            }
            if let Some(more) = more(faults.len()) {
                console.error(&format!("{shown}: {more}"));
            }
            Err(Status::File.said())
        }
    }
}

fn more(many: usize) -> Option<String> {
    (many > SHOWN).then(|| format!("and {} more", many - SHOWN))
}

fn of(
    job: &Job,
    from: Bound,
    weather: Option<&Record>,
) -> Result<(programme::Programme, Takeoff), Stop> {
    let takeoff = Takeoff::of(job, &Figures::of(job));
    let programme = programme::Programme::of(job, &takeoff, from, weather)
        .map_err(|reason| Status::Usage.with(reason.to_string()))?;
    Ok((programme, takeoff))
}

/// The programme with the order on the deck behind it, where a way off is marked.
pub(super) fn document(job: &Job, programme: &programme::Programme, takeoff: &Takeoff) -> String {
    let order = on_the_deck::markdown(
        &orders(job, takeoff),
        job.layout.work.order,
        job.layout.units,
    );
    let programme = lists::markdown(programme, takeoff);
    if order.is_empty() {
        return programme;
    }
    format!("{programme}\n## Order on the deck\n\n{order}")
}

fn files(
    out: &Path,
    job: &Job,
    programme: &programme::Programme,
    takeoff: &Takeoff,
) -> Result<Vec<NewFile>, Stop> {
    let extension = out.extension().unwrap_or(OsStr::new(""));
    let text = match extension.to_string_lossy().to_lowercase().as_str() {
        "md" => document(job, programme, takeoff),
        "csv" => lists::csv(programme),
        "json" => json(programme)?,
        "ics" => lists::icalendar(programme),
        "svg" | "png" | "pdf" => {
            return pages::files(out, sheet::format_of(out)?, &pictures(programme));
        }
        _ => {
            return Err(Status::Usage.with(format!(
                "--out {}: end the name in .md, .csv, .json, .ics, .svg, .png or .pdf",
                out.display()
            )));
        }
    };
    Ok(vec![NewFile::new(out, text)])
}

fn json(programme: &programme::Programme) -> Result<String, Stop> {
    lists::json(programme).map_err(|error| Status::File.with(error.to_string()))
}
