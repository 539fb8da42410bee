//! `spile programme`: what is done on which day, with its waiting times.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use clap::Args;
use jiff::civil::Date;

use super::console::Console;
use super::{Status, Stop, read, write_and_name};
use crate::Job;
use crate::export::files::NewFile;
use crate::export::programme as lists;
use crate::figures::Figures;
use crate::layout::Bound;
use crate::programme;
use crate::takeoff::Takeoff;
use crate::units::parse_date;
use crate::weather::{self, Columns, Judgement, Limits};

/// Says what is done on which day, from a first day on or to be ready by one
#[derive(Args)]
#[command(after_help = "\
Examples: spile programme layouts/guillemot.toml --start 2027-05-03
          spile programme layouts/guillemot.toml --ready 2027-06-20 --out programme.ics
          spile programme layouts/guillemot.toml --weather forecast.csv")]
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
    /// are laid in fit hours alone
    #[arg(long, value_name = "FILE")]
    weather: Option<PathBuf>,
    /// Print everything for another program
    #[arg(long, conflicts_with = "out")]
    json: bool,
    /// Print every stretch of work for a spreadsheet
    #[arg(long, conflicts_with_all = ["out", "json"])]
    csv: bool,
    /// Where to write it: .md, .csv, .json, or .ics for a calendar; Markdown on standard output where none is given
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

fn day(text: &str) -> Result<Date, String> {
    parse_date(text).map_err(|fault| fault.to_string())
}

impl Programme {
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
            .map(|path| weather(path, console))
            .transpose()?;
        let (programme, takeoff) = of(&worked.job, from, weather.as_ref())?;
        match &self.out {
            Some(out) => write_and_name(&[file(out, &programme, &takeoff)?], console),
            None if self.json => console.output(json(&programme)?),
            None if self.csv => console.output(lists::csv(&programme)),
            None => console.output(lists::markdown(&programme, &takeoff)),
        }
    }
}

/// Of faults and remarks on an hourly table so many are shown: one mistake of form may stand in every line.
const SHOWN: usize = 8;

/// The hours of a table, judged by the usual limits.
fn weather(path: &Path, console: &Console) -> Result<Judgement, Stop> {
    let shown = path.display();
    let bytes = read::contents_of(path)
        .map_err(|error| Status::File.with(format!("cannot read {shown}: {error}")))?;
    match weather::read(&bytes, &Columns::default()) {
        Ok(readings) => {
            for remark in readings.remarks.iter().take(SHOWN) {
                console.note(&format!("{shown}: {remark}"));
            }
            if let Some(more) = more(readings.remarks.len()) {
                console.note(&format!("{shown}: {more}"));
            }
            Ok(weather::judge(&readings.record, &Limits::default()))
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
    weather: Option<&Judgement>,
) -> Result<(programme::Programme, Takeoff), Stop> {
    let takeoff = Takeoff::of(job, &Figures::of(job));
    let programme = programme::Programme::of(job, &takeoff, from, weather)
        .map_err(|reason| Status::Usage.with(reason.to_string()))?;
    Ok((programme, takeoff))
}

fn file(out: &Path, programme: &programme::Programme, takeoff: &Takeoff) -> Result<NewFile, Stop> {
    let extension = out.extension().unwrap_or(OsStr::new(""));
    let text = match extension.to_string_lossy().to_lowercase().as_str() {
        "md" => lists::markdown(programme, takeoff),
        "csv" => lists::csv(programme),
        "json" => json(programme)?,
        "ics" => lists::icalendar(programme),
        _ => {
            return Err(Status::Usage.with(format!(
                "--out {}: end the name in .md, .csv, .json or .ics",
                out.display()
            )));
        }
    };
    Ok(NewFile::new(out, text))
}

fn json(programme: &programme::Programme) -> Result<String, Stop> {
    lists::json(programme).map_err(|error| Status::File.with(error.to_string()))
}
