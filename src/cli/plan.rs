//! `spile plan`: everything for the job, into a folder.

use std::collections::BTreeSet;
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::thread;

use clap::Args;

use super::console::Console;
use super::read::{self, Worked};
use super::sheet::{self, PaperArguments};
use super::{Status, Stop, write_fault};
use crate::drawing::View;
use crate::export::files::{Existing, NewFile, write_whole};
use crate::export::markdown::{self, Picture};
use crate::export::{csv, json, svg};
use crate::figures::Figures;

/// Writes drawings, figures and a summary into a folder
#[derive(Args)]
#[command(after_help = "Example: spile plan layouts/guillemot.toml --out guillemot-plan")]
pub(super) struct Plan {
    /// Layout files
    #[arg(required = true, value_name = "LAYOUT")]
    layouts: Vec<PathBuf>,
    /// Folder to write into; where none is given, output/ and the layout file's name. With several layouts, each gets
    /// a folder of its name inside
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    paper: PaperArguments,
}

/// The three sheets of a plan.
const SHEETS: [(View, Picture<'_>); 3] = [
    (
        View::Pattern,
        Picture {
            caption: "The finished pattern with its dimensions",
            png: "pattern.png",
            svg: "pattern.svg",
        },
    ),
    (
        View::First,
        Picture {
            caption: "First masking: fields covered, border painted",
            png: "first.png",
            svg: "first.svg",
        },
    ),
    (
        View::Reversed,
        Picture {
            caption: "Reversed masking: border covered, fields painted",
            png: "reversed.png",
            svg: "reversed.svg",
        },
    ),
];

impl Plan {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let folders = self.folders()?;
        let worked = read::all(&self.layouts, console)?;
        let mut files = Vec::new();
        for (one, folder) in worked.iter().zip(&folders) {
            one.say_warnings(console);
            files.extend(self.files(one, folder, console)?);
        }
        write_whole(&files, Existing::Replace).map_err(write_fault)?;
        let lines: Vec<String> = files
            .iter()
            .map(|file| format!("{}\n", file.path.display()))
            .collect();
        console.output(lines.concat())
    }

    /// Where each layout's files go; no two into one folder.
    fn folders(&self) -> Result<Vec<PathBuf>, Stop> {
        let mut taken = BTreeSet::new();
        self.layouts
            .iter()
            .map(|layout| {
                let folder = match &self.out {
                    Some(out) if self.layouts.len() == 1 => out.clone(),
                    Some(out) => out.join(stem(layout)?),
                    None => Path::new("output").join(stem(layout)?),
                };
                if taken.insert(folder.clone()) {
                    Ok(folder)
                } else {
                    Err(Status::Usage.with(format!(
                        "two layouts would be written to {}; plan them one at a time with --out",
                        folder.display()
                    )))
                }
            })
            .collect()
    }

    /// All three sheets as SVG and PNG, side by side: drawing them is most of the work.
    fn sheets(&self, worked: &Worked, console: &Console) -> [Result<(String, Vec<u8>), Stop>; 3] {
        let drawn = |view| {
            let drawing = self.paper.draw(&worked.job, view, None, None)?;
            let svg = svg(&drawing);
            let png = self.paper.picture(&svg)?;
            Ok((drawing, svg, png))
        };
        let results = thread::scope(|scope| {
            SHEETS
                .map(|(view, _)| scope.spawn(move || drawn(view)))
                .map(|sheet| sheet.join().unwrap_or_else(|panic| resume_unwind(panic)))
        });
        results.map(|result| {
            result.map(|(drawing, svg, png)| {
                sheet::say_unplaced(&drawing, console);
                (svg, png)
            })
        })
    }

    /// Everything for one layout, ready to be written.
    fn files(
        &self,
        worked: &Worked,
        folder: &Path,
        console: &Console,
    ) -> Result<Vec<NewFile>, Stop> {
        let mut files = Vec::new();
        let mut add = |name: &str, bytes: Vec<u8>| {
            files.push(NewFile::new(folder.join(name), bytes));
        };
        for ((_, picture), drawn) in SHEETS.into_iter().zip(self.sheets(worked, console)) {
            let (svg, png) = drawn?;
            add(picture.png, png);
            add(picture.svg, svg.into_bytes());
        }
        let figures = Figures::of(&worked.job);
        let json = json::json(&figures).map_err(|error| Status::File.with(error.to_string()))?;
        add("figures.json", json.into_bytes());
        add("figures.csv", csv::csv([&figures]).into_bytes());
        let pictures = SHEETS.map(|(_, picture)| picture);
        add(
            "summary.md",
            markdown::summary(&figures, &pictures).into_bytes(),
        );
        Ok(files)
    }
}

fn stem(layout: &Path) -> Result<&Path, Stop> {
    layout.file_stem().map(Path::new).ok_or_else(|| {
        Status::File.with(format!("cannot read {}: it is no file", layout.display()))
    })
}
