//! The command line: arguments in, the library's answers out. It reads and writes files and says what
//! went wrong; it does no arithmetic.
//!
//! Standard output carries only what was asked for; progress, warnings and faults go to standard error.

mod check;
mod compare;
mod console;
mod cut;
mod figures;
mod measure;
mod new;
mod onto_deck;
mod pages;
mod plan;
mod programme;
mod read;
mod schema;
mod setout;
mod sheet;
mod show;
mod size;
mod survey;
mod takeoff;
mod tally;
mod template;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::export::files::{Existing, NewFile, WriteFault, write_whole};
use console::Console;

/// Lays out a boat's non-skid deck pattern: fields, borders, masking, areas, drawings to scale.
#[derive(Parser)]
#[command(name = "spile", version, about, after_help = EXIT_STATUSES)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

const EXIT_STATUSES: &str = "\
Exit status: 0 done; 1 a layout is at fault, nothing was written; 2 the command line is at fault;
3 a file could not be read or written.";

/// One verb a job.
#[derive(Subcommand)]
enum Command {
    New(new::New),
    Measure(measure::Measure),
    Check(check::Check),
    Figures(figures::Figures),
    Plan(plan::Plan),
    Sheet(sheet::Sheet),
    Cut(cut::Cut),
    Template(template::Template),
    Setout(setout::Setout),
    Survey(survey::Survey),
    Takeoff(takeoff::Takeoff),
    Compare(compare::Compare),
    Programme(programme::Programme),
    Tally(tally::Tally),
    Show(show::Show),
    Schema(schema::Schema),
}

impl Command {
    fn run(&self, console: &Console) -> Result<(), Stop> {
        match self {
            Self::New(command) => command.run(console),
            Self::Measure(command) => command.run(console),
            Self::Check(command) => command.run(console),
            Self::Figures(command) => command.run(console),
            Self::Plan(command) => command.run(console),
            Self::Sheet(command) => command.run(console),
            Self::Cut(command) => command.run(console),
            Self::Template(command) => command.run(console),
            Self::Setout(command) => command.run(console),
            Self::Survey(command) => command.run(console),
            Self::Takeoff(command) => command.run(console),
            Self::Compare(command) => command.run(console),
            Self::Programme(command) => command.run(console),
            Self::Tally(command) => command.run(console),
            Self::Show(command) => command.run(console),
            Self::Schema(command) => command.run(console),
        }
    }
}

/// Why a command ends early. What there is to say has been said, or is in `message`.
#[derive(Debug)]
struct Stop {
    status: Status,
    message: Option<String>,
}

/// How a command ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Status {
    /// Whoever read our output has enough of it.
    Done = 0,
    /// A layout is at fault; nothing was written.
    Layout = 1,
    /// The command line is at fault.
    Usage = 2,
    /// A file could not be read or written.
    File = 3,
}

impl Status {
    fn with(self, message: impl Into<String>) -> Stop {
        Stop {
            status: self,
            message: Some(message.into()),
        }
    }

    /// After everything has been said.
    const fn said(self) -> Stop {
        Stop {
            status: self,
            message: None,
        }
    }
}

fn write_fault(fault: WriteFault) -> Stop {
    Status::File.with(format!(
        "cannot write {}: {}",
        fault.path.display(),
        fault.error
    ))
}

/// Writes all of them or none, in place of what stands there, and names each on standard output.
fn write_and_name(files: &[NewFile], console: &Console) -> Result<(), Stop> {
    if console.keeps(files) {
        return Ok(());
    }
    write_whole(files, Existing::Replace).map_err(write_fault)?;
    let lines: Vec<String> = files
        .iter()
        .map(|file| format!("{}\n", file.path.display()))
        .collect();
    console.output(lines.concat())
}

/// Runs the command that the process was started with.
#[must_use]
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(message) => {
            // Help and version come this way too, on standard output and with status 0.
            let _ = message.print();
            return ExitCode::from(if message.use_stderr() {
                Status::Usage as u8
            } else {
                Status::Done as u8
            });
        }
    };
    let console = Console::new();
    match arguments.command.run(&console) {
        Ok(()) => ExitCode::SUCCESS,
        Err(stop) => {
            if let Some(message) = stop.message {
                console.error(&message);
            }
            ExitCode::from(stop.status as u8)
        }
    }
}
