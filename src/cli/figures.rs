//! `spile figures`: areas and tape, for people or for programs.

use std::path::PathBuf;

use clap::Args;

use super::console::Console;
use super::{Status, Stop, read};
use crate::export::{csv, cutting_csv, json, table};
use crate::figures;

/// Prints areas, fields and tape for both passes
#[derive(Args)]
#[command(after_help = "Example: spile figures layouts/guillemot.toml --json > figures.json")]
pub(super) struct Figures {
    /// Layout files
    #[arg(required = true, value_name = "LAYOUT")]
    layouts: Vec<PathBuf>,
    /// Print JSON, unrounded (a list where there are several layouts)
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Print a table for a spreadsheet, unrounded
    #[arg(long)]
    csv: bool,
    /// Print the cutting list of the tape, run by run, for a spreadsheet
    #[arg(long, conflicts_with_all = ["json", "csv"])]
    runs: bool,
}

impl Figures {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let worked = read::all(&self.layouts, console)?;
        let list: Vec<figures::Figures> = worked
            .iter()
            .map(|one| figures::Figures::of(&one.job))
            .collect();
        if self.json {
            let text = match list.as_slice() {
                [one] => json::json(one),
                several => json::json_list(several),
            };
            let text = text.map_err(|error| Status::File.with(error.to_string()))?;
            return console.output(text);
        }
        for one in &worked {
            one.say_warnings(console);
        }
        if self.csv {
            return console.output(csv::csv(&list));
        }
        if self.runs {
            return console.output(cutting_csv(&list));
        }
        let tables: Vec<String> = list.iter().map(table::table).collect();
        console.output(tables.join("\n"))
    }
}
