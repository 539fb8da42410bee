//! `spile compare`: layouts, or one with some of its keys changed, side by side.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use clap::Args;

use super::console::Console;
use super::sheet::{self, Format};
use super::{Status, Stop, read, write_and_name};
use crate::comparison::{Candidate, Comparison};
use crate::concurrent;
use crate::drawing::side_by_side;
use crate::export::comparison as tables;
use crate::export::files::NewFile;
use crate::export::{pdf, png, svg};
use crate::layout::{Change, Trial, changed};

/// More than this nobody takes in.
const MOST: usize = 40;
/// Of a picture's pixels.
const DPI: f64 = 200.0;

/// Shows layouts, or one with other margins, radii or tapes, side by side: areas, tape, paint, hours, cost
#[derive(Args)]
#[command(after_help = "\
Examples: spile compare layouts/guillemot.toml --try margin=50,75,100
          spile compare layouts/guillemot.toml --try margin=+20 --try strip=none --out wider.md
          spile compare one.toml other.toml --out both.pdf

A key of --try is the way to it through the file's tables, such as tape.line.width, or that of a deck without its
deck., such as margin.edge; deck.foredeck.margin.edge is of one deck alone. margin and radius stand for all margins
and all radii. A length with a sign is added to the one in the file; none takes a key or a thing out. With several
--try every value is tried with every other.")]
pub(super) struct Compare {
    /// Layout files; all are held against the first
    #[arg(required = true, value_name = "LAYOUT")]
    layouts: Vec<PathBuf>,
    /// A key and the values to try, such as margin=50,75,100
    #[arg(long = "try", value_name = "KEY=VALUES", allow_hyphen_values = true)]
    trials: Vec<Trial>,
    /// Print every figure for another program
    #[arg(long, conflicts_with = "out")]
    json: bool,
    /// Print the figures for a spreadsheet
    #[arg(long, conflicts_with_all = ["out", "json"])]
    csv: bool,
    /// Where to write it: .md (with a picture beside it), .csv, .json, or .svg, .png, .pdf (the picture); Markdown on
    /// standard output where none is given
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// A layout to be worked out, as it stands or changed.
struct Text<'a> {
    name: String,
    path: &'a Path,
    text: String,
}

impl Compare {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let texts = self.texts(console)?;
        let worked = concurrent::each(&texts, |one| {
            read::work(one.path, &one.text).map(|job| Candidate::of(one.name.clone(), job))
        });
        let mut candidates = Vec::new();
        let mut worst = Status::Done;
        for (one, worked) in texts.iter().zip(worked) {
            match worked {
                Ok(candidate) => candidates.push(candidate),
                Err(failure) => {
                    let path = one.path.display();
                    let name = format!("{path} ({})", one.name);
                    worst = worst.max(failure.say(&name, &one.text, console).status);
                }
            }
        }
        if worst != Status::Done {
            return Err(worst.said());
        }
        let comparison = Comparison::of(candidates);
        match &self.out {
            Some(out) => write_and_name(&files(out, &comparison)?, console),
            None if self.json => console.output(json(&comparison)?),
            None if self.csv => console.output(tables::csv(&comparison)),
            None => console.output(tables::markdown(&comparison, None)),
        }
    }

    /// What is compared: each layout as it stands, then with every combination of what is tried.
    fn texts(&self, console: &Console) -> Result<Vec<Text<'_>>, Stop> {
        let combinations = combinations(&self.trials)?;
        let many = self.layouts.len() * combinations.len();
        if many > MOST {
            return Err(Status::Usage.with(format!(
                "that makes {many} to compare, and more than {MOST} nobody takes in: try fewer values at once"
            )));
        }
        if many < 2 {
            return Err(Status::Usage.with(
                "one layout by itself: name another, or what to try with it, such as --try margin=50,75",
            ));
        }
        let names = names(&self.layouts);
        let mut texts = Vec::new();
        for (path, name) in self.layouts.iter().zip(names) {
            let text = read::text(path, console)?;
            for changes in &combinations {
                texts.push(Text {
                    name: called(&name, changes, self.layouts.len() > 1),
                    path,
                    text: if changes.is_empty() {
                        text.clone()
                    } else {
                        changed(&text, changes)
                            .map_err(|fault| Status::Usage.with(format!("--try {fault}")))?
                    },
                });
            }
        }
        Ok(texts)
    }
}

/// Nothing changed, then every value of every trial with every one of the others.
fn combinations(trials: &[Trial]) -> Result<Vec<Vec<Change>>, Stop> {
    let mut all = vec![Vec::new()];
    for (index, trial) in trials.iter().enumerate() {
        if trials[..index]
            .iter()
            .any(|other| other.key() == trial.key())
        {
            return Err(Status::Usage.with(format!(
                "--try {key} stands twice: write all its values behind one, {key}=...,...",
                key = trial.key()
            )));
        }
        let longer = all.iter().flat_map(|changes: &Vec<Change>| {
            trial.changes().map(move |change| {
                let mut longer = changes.clone();
                longer.push(change);
                longer
            })
        });
        all = longer.take(MOST + 1).collect();
        if all.len() > MOST {
            return Err(Status::Usage.with(format!(
                "that makes more than {MOST} combinations, and nobody takes them in: try fewer values at once"
            )));
        }
    }
    if !trials.is_empty() {
        all.insert(0, Vec::new());
    }
    Ok(all)
}

/// What each layout is called: its file, without the folder unless two are alike.
fn names(layouts: &[PathBuf]) -> Vec<String> {
    let stem = |path: &PathBuf| {
        path.file_stem().map_or_else(
            || path.display().to_string(),
            |stem| stem.to_string_lossy().into(),
        )
    };
    let stems: BTreeSet<String> = layouts.iter().map(stem).collect();
    let alike = stems.len() < layouts.len();
    layouts
        .iter()
        .map(|path| {
            if alike {
                path.display().to_string()
            } else {
                stem(path)
            }
        })
        .collect()
}

fn called(layout: &str, changes: &[Change], are_several: bool) -> String {
    let changes: Vec<String> = changes.iter().map(ToString::to_string).collect();
    match (are_several, changes.is_empty()) {
        (false, true) => "as it stands".to_owned(),
        (true, true) => layout.to_owned(),
        (false, false) => changes.join(", "),
        (true, false) => format!("{layout}, {}", changes.join(", ")),
    }
}

fn files(out: &Path, comparison: &Comparison) -> Result<Vec<NewFile>, Stop> {
    let extension = out.extension().unwrap_or(OsStr::new(""));
    let bytes = match extension.to_string_lossy().to_lowercase().as_str() {
        "md" => {
            let picture = out.with_extension("svg");
            let name = picture.file_name().unwrap_or_default().to_string_lossy();
            let text = tables::markdown(comparison, Some(&name));
            let drawn = svg(&side_by_side(comparison));
            return Ok(vec![NewFile::new(out, text), NewFile::new(&picture, drawn)]);
        }
        "csv" => tables::csv(comparison).into_bytes(),
        "json" => json(comparison)?.into_bytes(),
        "svg" | "png" | "pdf" => picture(out, comparison)?,
        _ => {
            return Err(Status::Usage.with(format!(
                "--out {}: end the name in .md, .csv, .json, .svg, .png or .pdf",
                out.display()
            )));
        }
    };
    Ok(vec![NewFile::new(out, bytes)])
}

fn picture(out: &Path, comparison: &Comparison) -> Result<Vec<u8>, Stop> {
    let drawing = side_by_side(comparison);
    match sheet::format_of(out)? {
        Format::Svg => Ok(svg(&drawing).into_bytes()),
        Format::Png => {
            png(&svg(&drawing), DPI).map_err(|fault| Status::Usage.with(fault.to_string()))
        }
        Format::Pdf => pdf(&drawing.title, std::slice::from_ref(&drawing))
            .map_err(|fault| Status::Usage.with(fault.to_string())),
    }
}

fn json(comparison: &Comparison) -> Result<String, Stop> {
    tables::json(comparison).map_err(|error| Status::File.with(error.to_string()))
}
