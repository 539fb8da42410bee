//! `spile tally`: what was worked and spent goes into a ledger, and comes out of it against the plan.

use std::fs;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};

use super::console::Console;
use super::{Status, Stop, read};
use crate::Job;
use crate::export::append::{AppendFault, append};
use crate::export::{tally_json, tally_markdown, tally_table};
use crate::figures::Figures;
use crate::takeoff::Takeoff;
use crate::tally::{
    self, Entry, Mistake, Plan, TallyReport, addition, air_of, date_of, humidity_of, paid_of,
    within_a_day,
};
use crate::units::{Currency, Quantity, Temperature, Time};

/// Keeps the ledger of a job: what was worked, spent and used, against what was planned
#[derive(Args)]
pub(super) struct Tally {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand)]
enum What {
    Add(Box<Add>),
    Report(Report),
}

/// Which ledger.
#[derive(Args)]
struct LedgerArguments {
    /// Layout file of the job
    #[arg(value_name = "LAYOUT")]
    layout: PathBuf,
    /// The ledger; where none is given, it lies beside the layout and ends in -tally.csv
    #[arg(long, value_name = "FILE")]
    ledger: Option<PathBuf>,
}

impl LedgerArguments {
    fn path(&self) -> PathBuf {
        self.ledger.clone().unwrap_or_else(|| {
            let mut name = self.layout.file_stem().unwrap_or_default().to_owned();
            name.push("-tally.csv");
            self.layout.with_file_name(name)
        })
    }
}

/// Adds a line to the ledger; what stands there already is never changed
#[derive(Args)]
#[command(
    after_help = "Example: spile tally add deck.toml --step primer --hours 3 --people 2 --amount 42.50 --currency EUR"
)]
struct Add {
    #[command(flatten)]
    ledger: LedgerArguments,
    /// The step of the plan that it belongs to, or a word of your own
    #[arg(long)]
    step: String,
    /// Hours that each person worked, as 3.5 or "90 min"
    #[arg(long, allow_negative_numbers = true)]
    hours: Option<String>,
    /// How many people worked
    #[arg(long, default_value_t = 1)]
    people: usize,
    /// What was paid; negative for a refund
    #[arg(long, allow_negative_numbers = true)]
    amount: Option<String>,
    /// Currency of the amount; the plan's where none is given
    #[arg(long, value_name = "CODE")]
    currency: Option<String>,
    /// The day; today where none is given
    #[arg(long, value_name = "YYYY-MM-DD")]
    date: Option<String>,
    /// What was used
    #[arg(long, default_value = "")]
    product: String,
    /// Its batch number
    #[arg(long, default_value = "")]
    batch_number: String,
    /// Temperature of the air, as "18 C" or "65 F"
    #[arg(long, allow_negative_numbers = true)]
    air: Option<String>,
    /// Relative humidity in per cent
    #[arg(long, allow_negative_numbers = true)]
    humidity: Option<f64>,
    /// The step is finished with this
    #[arg(long)]
    done: bool,
    /// Anything else
    #[arg(long, default_value = "")]
    note: String,
}

/// Says what was worked and spent against the plan, what is left, and how it will end
#[derive(Args)]
#[command(after_help = "Example: spile tally report deck.toml")]
struct Report {
    #[command(flatten)]
    ledger: LedgerArguments,
    /// As JSON, for programs
    #[arg(long)]
    json: bool,
    /// As Markdown
    #[arg(long, conflicts_with = "json")]
    markdown: bool,
}

impl Tally {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        match &self.what {
            What::Add(add) => add.run(console),
            What::Report(report) => report.run(console),
        }
    }
}

/// What the layout plans.
fn plan_of(job: &Job) -> Plan {
    Plan::of(job, &Takeoff::of(job, &Figures::of(job)))
}

impl Add {
    fn run(&self, console: &Console) -> Result<(), Stop> {
        let plan = plan_of(&read::one(&self.ledger.layout, console)?.job);
        let entry = self.entry(&plan)?.tidied();
        let path = self.ledger.path();
        append(&path, |existing| addition(existing, &entry)).map_err(|fault| match fault {
            AppendFault::File(error) => cannot("write", &path, &error),
            AppendFault::Refused(mistake) => {
                Status::File.with(format!("{}: {mistake}", path.display()))
            }
        })?;
        let is_planned = plan
            .steps
            .iter()
            .any(|step| step.id.to_lowercase() == entry.step.to_lowercase());
        if !is_planned && !plan.steps.is_empty() {
            let known: Vec<&str> = plan.steps.iter().map(|step| step.id.as_str()).collect();
            console.note(&format!(
                "{:?} is not in the plan and counts as an extra; the plan has {}",
                entry.step,
                known.join(", ")
            ));
        }
        console.output(format!("{}: {}\n", path.display(), entry.said()))
    }

    /// The entry that the options make.
    fn entry(&self, plan: &Plan) -> Result<Entry, Stop> {
        let hours = self.hours.as_deref().map(hours_of).transpose()?;
        if self.people == 0 {
            return Err(Status::Usage.with("--people 0: nobody works no hours; write 1 or more"));
        }
        let amount = self
            .amount
            .as_deref()
            .map(|amount| {
                let plans = plan.currency.map(Currency::code);
                let Some(code) = self.currency.as_deref().or(plans) else {
                    return Err(Status::Usage.with(format!(
                        "--amount {amount}: of which currency? Write its code too, for example --currency EUR"
                    )));
                };
                paid_of(amount, code, false).map_err(usage("--amount", amount))
            })
            .transpose()?;
        let date = match &self.date {
            Some(date) => date_of(date).map_err(usage("--date", date))?,
            None => jiff::ZonedDateTime::now().date(),
        };
        let air = self
            .air
            .as_deref()
            .map(|air| {
                let read = Temperature::parse(air)
                    .map_err(|fault| Status::Usage.with(format!("--air {air}: {fault}")))?;
                air_of(read).map_err(usage("--air", air))
            })
            .transpose()?;
        let humidity = self
            .humidity
            .map(|humidity| {
                humidity_of(humidity).map_err(usage("--humidity", &humidity.to_string()))
            })
            .transpose()?;
        let entry = Entry {
            date,
            step: self.step.clone(),
            hours: hours.unwrap_or(Time::ZERO),
            people: self.people,
            amount,
            product: self.product.clone(),
            batch_number: self.batch_number.clone(),
            air,
            humidity,
            is_done: self.done,
            note: self.note.clone(),
        };
        entry
            .check()
            .map_err(|mistake| Status::Usage.with(mistake.to_string()))?;
        Ok(entry)
    }
}

/// Hours as a bare number, or with their unit.
fn hours_of(text: &str) -> Result<Time, Stop> {
    let hours = match tally::number_of(text, false) {
        Ok(hours) => Time::hours(hours),
        Err(_) => Time::parse(text)
            .map_err(|fault| Status::Usage.with(format!("--hours {text}: {fault}")))?,
    };
    within_a_day(hours).map_err(usage("--hours", text))
}

/// A mistake in what an option says.
fn usage<'a>(option: &'a str, text: &'a str) -> impl Fn(Mistake) -> Stop + 'a {
    move |mistake| Status::Usage.with(format!("{option} {text}: {mistake}"))
}

fn cannot(what: &str, path: &Path, error: &std::io::Error) -> Stop {
    Status::File.with(format!("cannot {what} {}: {error}", path.display()))
}

impl Report {
    fn run(&self, console: &Console) -> Result<(), Stop> {
        let worked = read::one(&self.ledger.layout, console)?;
        let path = self.ledger.path();
        let bytes = fs::read(&path).map_err(|error| {
            if error.kind() == std::io::ErrorKind::NotFound {
                Status::File.with(format!(
                    "there is no ledger {} yet; begin it with spile tally add",
                    path.display()
                ))
            } else {
                cannot("read", &path, &error)
            }
        })?;
        let report = TallyReport::of(&tally::read(&bytes), &plan_of(&worked.job));
        let units = worked.job.layout.units;
        if self.json {
            let json = tally_json(&report).map_err(|error| Status::File.with(error.to_string()))?;
            console.output(json)
        } else if self.markdown {
            console.output(tally_markdown(&report, units))
        } else {
            console.output(tally_table(&report, units))
        }
    }
}
