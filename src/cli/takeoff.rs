//! `spile takeoff`: what to buy, what to mix, how many hours, what it costs.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use clap::Args;

use super::console::Console;
use super::sheet::{self, paper};
use super::{Status, Stop, pages, read, write_and_name};
use crate::drawing::{Paper, cost_bars, shopping_pages};
use crate::export::files::NewFile;
use crate::export::{svg, takeoff as lists};
use crate::figures::Figures;
use crate::takeoff;

/// Says what to buy, what to mix batch by batch, how many hours it takes, what it costs
#[derive(Args)]
#[command(after_help = "\
Examples: spile takeoff layouts/guillemot.toml
          spile takeoff layouts/guillemot.toml --out shopping.pdf")]
pub(super) struct Takeoff {
    /// Layout file
    #[arg(value_name = "LAYOUT")]
    layout: PathBuf,
    /// Print everything for another program
    #[arg(long, conflicts_with = "out")]
    json: bool,
    /// Print the shopping list for a spreadsheet
    #[arg(long, conflicts_with_all = ["out", "json"])]
    csv: bool,
    /// Of the pages of a .pdf: A4 to A0, Letter, Tabloid, "ANSI C" to "ANSI E"; A4, or Letter for feet and inches, where
    /// none is given
    #[arg(long, value_parser = paper)]
    paper: Option<Paper>,
    /// Where to write it: .pdf (the shopping list with boxes to tick), .md, .csv, .json, or .svg (the cost as bars);
    /// Markdown on standard output where none is given
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

impl Takeoff {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let worked = read::one(&self.layout, console)?;
        worked.say_warnings(console);
        let takeoff = takeoff::Takeoff::of(&worked.job, &Figures::of(&worked.job));
        let Some(out) = &self.out else {
            return console.output(if self.json {
                json(&takeoff)?
            } else if self.csv {
                lists::shopping_csv([&takeoff])
            } else {
                lists::markdown(&takeoff)
            });
        };
        let files = self.files(out, &takeoff)?;
        write_and_name(&files, console)
    }

    fn files(&self, out: &Path, takeoff: &takeoff::Takeoff) -> Result<Vec<NewFile>, Stop> {
        let extension = out.extension().unwrap_or(OsStr::new(""));
        let extension = extension.to_string_lossy().to_lowercase();
        let bytes = match extension.as_str() {
            "md" => lists::markdown(takeoff).into_bytes(),
            "csv" => lists::shopping_csv([takeoff]).into_bytes(),
            "json" => json(takeoff)?.into_bytes(),
            "svg" => match cost_bars(takeoff) {
                Some(drawing) => svg(&drawing).into_bytes(),
                None => {
                    return Err(Status::Usage.with(
                        "no money is known: give products their prices and [job] its currency, then draw the cost",
                    ));
                }
            },
            "pdf" => {
                let paper = self.paper.unwrap_or(Paper::at_home(takeoff.units));
                return pages::files(out, sheet::Format::Pdf, &shopping_pages(takeoff, paper));
            }
            _ => {
                return Err(Status::Usage.with(format!(
                    "--out {}: end the name in .pdf, .md, .csv, .json or .svg",
                    out.display()
                )));
            }
        };
        Ok(vec![NewFile::new(out, bytes)])
    }
}

fn json(takeoff: &takeoff::Takeoff) -> Result<String, Stop> {
    lists::json(takeoff).map_err(|error| Status::File.with(error.to_string()))
}
