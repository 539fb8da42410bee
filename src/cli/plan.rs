//! `spile plan`: everything for the job, into a folder.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use clap::Args;

use super::console::Console;
use super::onto_deck::{self, Written};
use super::read::{self, Worked};
use super::sheet::{self, PaperArguments};
use super::{Status, Stop, programme, write_and_name};
use crate::Job;
use crate::concurrent;
use crate::drawing::{
    Paper, View, check_pages, cost_bars, programme_bars, shopping_pages, weather_strip,
};
use crate::export::files::NewFile;
use crate::export::markdown::{self, Picture};
use crate::export::{
    Report, ReportSheet, csv, cutting_csv, json, pdf, programme as programme_lists, report, svg,
    takeoff as lists,
};
use crate::figures::Figures;
use crate::order::{DeckOrder, orders};
use crate::programme::{Programme, check_sheets};
use crate::takeoff::{Takeoff, cautions};

/// Writes drawings, figures, a cutting list, a shopping list, templates, cutter's files, setting-out tables, a report and a summary into a folder
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

/// One drawing of a plan.
struct Sheet {
    view: View,
    /// The one deck that it shows; none: all of them where they stand.
    deck: Option<String>,
    caption: String,
    /// The name of its files, without what says their kind.
    name: String,
}

impl Sheet {
    /// All decks in every view, in which order those are painted that have a way off; and where there are several, each one's pattern at the scale it has room for.
    fn all(job: &Job, orders: &[DeckOrder]) -> Vec<Self> {
        let views = [
            (View::Pattern, "The finished pattern with its dimensions"),
            (View::First, "First masking: fields covered, border painted"),
            (
                View::Reversed,
                "Reversed masking: border covered, fields painted",
            ),
            (
                View::Underfoot,
                "Underfoot: how far it is to the nearest non-skid, and the widest smooth places",
            ),
        ];
        let mut sheets: Vec<Self> = views
            .into_iter()
            .map(|(view, caption)| Self {
                view,
                deck: None,
                caption: caption.to_owned(),
                name: view.name().to_owned(),
            })
            .collect();
        if let [_, _, ..] = job.decks.as_slice() {
            sheets.extend(job.decks.iter().map(|deck| Self {
                view: View::Pattern,
                deck: Some(deck.plan.id.clone()),
                caption: format!("The pattern of one deck, larger: {}", deck.plan.title),
                name: format!("{}-pattern", deck.plan.id),
            }));
        }
        let views = [
            (View::OrderAll, "the whole deck"),
            (View::OrderBorder, "the border"),
            (View::OrderFields, "the fields"),
        ];
        let is_ordered = |view: &View| orders.iter().any(|order| Some(order.on) == view.ordered());
        let ordered = views.into_iter().filter(|(view, _)| is_ordered(view));
        sheets.extend(ordered.map(|(view, what)| Self {
            view,
            deck: None,
            caption: format!(
                "In which order a coat on {what} is laid, so that nobody paints themselves in"
            ),
            name: view.name().to_owned(),
        }));
        let is_alone = job.decks.len() == 1;
        let round = job.decks.iter().filter(|deck| deck.surface.is_some());
        sheets.extend(round.map(|deck| Self {
            view: View::Developed,
            deck: Some(deck.plan.id.clone()),
            caption: format!("The pattern on the deck laid flat: {}", deck.plan.title),
            name: if is_alone {
                View::Developed.name().to_owned()
            } else {
                format!("{}-{}", deck.plan.id, View::Developed.name())
            },
        }));
        sheets
    }

    /// What to do about labels that found no room on it.
    fn advice(&self, job: &Job) -> &'static str {
        let single = job.decks.len() > 1 && self.deck.is_none() && self.view == View::Pattern;
        if single {
            "the sheets of single decks show more"
        } else {
            sheet::LARGER_PAPER
        }
    }
}

impl Plan {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let folders = self.folders()?;
        let worked = read::all(&self.layouts, console)?;
        let mut files = Vec::new();
        for (one, folder) in worked.iter().zip(&folders) {
            one.say_warnings(console);
            files.extend(self.files(one, folder, console)?);
        }
        write_and_name(&files, console)
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

    /// Everything for one layout, ready to be written.
    fn files(
        &self,
        worked: &Worked,
        folder: &Path,
        console: &Console,
    ) -> Result<Vec<NewFile>, Stop> {
        let job = &worked.job;
        let figures = Figures::of(job);
        let takeoff = Takeoff::of(job, &figures);
        let sheets = Sheet::all(job, &orders(job, &takeoff));
        // Side by side: drawing them is most of the work.
        let drawn = concurrent::each(&sheets, |sheet| {
            let drawing = self.paper.draw(job, sheet.view, None, sheet.deck.clone())?;
            let svg = svg(&drawing);
            let png = self.paper.picture(&svg)?;
            Ok((drawing, svg, png))
        });
        let mut files = Vec::new();
        let mut pictures = Vec::new();
        let mut shown = Vec::new();
        let mut add = |name: &str, bytes: Vec<u8>| {
            files.push(NewFile::new(folder.join(name), bytes));
        };
        for (sheet, drawn) in sheets.iter().zip(drawn) {
            let (drawing, svg, png) = drawn?;
            sheet::say_unplaced(&drawing, sheet.advice(job), console);
            let picture = Picture {
                caption: sheet.caption.clone(),
                scale: drawing.scale.to_string(),
                png: format!("{}.png", sheet.name),
                svg: format!("{}.svg", sheet.name),
            };
            add(&picture.png, png);
            add(&picture.svg, svg.into_bytes());
            pictures.push(picture);
            // All decks, finished and masked: what a yard needs to see.
            if sheet.deck.is_none() && View::ALL.contains(&sheet.view) {
                shown.push(ReportSheet {
                    title: sheet.caption.clone(),
                    drawing,
                });
            }
        }
        let json = json::json(&figures).map_err(|error| Status::File.with(error.to_string()))?;
        let programme = dated(job, &takeoff, console);
        let page = Report {
            figures: &figures,
            takeoff: &takeoff,
            programme: programme.as_ref(),
            sheets: &shown,
        };
        let mut others = vec![
            Written::new(
                "report.html",
                "all of it in one file to send to the yard: a browser opens it and prints it",
                report(&page).into_bytes(),
            ),
            Written::new(
                "cutting-list.csv",
                "every run of tape, in the order of laying",
                cutting_csv([&figures]).into_bytes(),
            ),
            Written::new(
                "figures.csv",
                "all figures for a spreadsheet",
                csv::csv([&figures]).into_bytes(),
            ),
            Written::new(
                "figures.json",
                "all figures for another program",
                json.into_bytes(),
            ),
        ];
        others.extend(to_buy(job, &takeoff)?);
        others.extend(to_do(job, &takeoff, programme.as_ref())?);
        others.extend(onto_deck::all(job)?);
        let mut companions = Vec::new();
        for other in others {
            add(&other.companion.name, other.bytes);
            companions.push(other.companion);
        }
        add(
            "summary.md",
            markdown::summary(&figures, &pictures, &companions, &cautions(&takeoff)).into_bytes(),
        );
        Ok(files)
    }
}

/// What it takes: the document, the list for the shop, and the cost as bars where money is known.
fn to_buy(job: &Job, takeoff: &Takeoff) -> Result<Vec<Written>, Stop> {
    let list = shopping_pages(takeoff, Paper::at_home(job.layout.units));
    let title = format!("Shopping list: {}", takeoff.title);
    let list = pdf(&title, &list).map_err(|fault| Status::Usage.with(fault.to_string()))?;
    let mut written = vec![
        Written::new(
            "takeoff.md",
            "what to buy, to mix, to pay, and in how many hours",
            lists::markdown(takeoff).into_bytes(),
        ),
        Written::new(
            "shopping-list.pdf",
            "the shopping list with boxes to tick",
            list,
        ),
    ];
    written.extend(cost_bars(takeoff).map(|bars| {
        Written::new(
            "cost.svg",
            "the cost as bars, beside a quote",
            svg(&bars).into_bytes(),
        )
    }));
    Ok(written)
}

/// On which days it is done, where the layout says from when; why there is no saying, where it does and there is none.
fn dated(job: &Job, takeoff: &Takeoff, console: &Console) -> Option<Programme> {
    let programme = Programme::of(job, takeoff, job.layout.work.programme.from?, None);
    programme
        .map_err(|reason| {
            console.note(&format!("{}: no programme, {reason}", job.layout.title));
        })
        .ok()
}

/// How it is done: check sheets, and the programme and its calendar where the layout says from which day or by which.
fn to_do(
    job: &Job,
    takeoff: &Takeoff,
    programme: Option<&Programme>,
) -> Result<Vec<Written>, Stop> {
    let mut written = vec![Written::new(
        "check-sheets.pdf",
        "a page a stage: what to look at before the next may start, the deck to mark",
        checks(job, takeoff, programme)?,
    )];
    let Some(programme) = programme else {
        return Ok(written);
    };
    written.extend([
        Written::new(
            "programme.md",
            "what is done on which day, and what it waits for",
            programme::document(job, programme, takeoff).into_bytes(),
        ),
        Written::new(
            "programme.ics",
            "the same for a calendar, with alarms for tape and coats",
            programme_lists::icalendar(programme).into_bytes(),
        ),
        Written::new(
            "programme.svg",
            "the same as bars, a row for each activity",
            svg(&programme_bars(programme)).into_bytes(),
        ),
    ]);
    written.extend(weather_strip(programme).map(|strip| {
        Written::new(
            "fit-hours.svg",
            "the weather hour by hour, which hours are fit for coats, and what is done in them",
            svg(&strip).into_bytes(),
        )
    }));
    Ok(written)
}

/// The check sheets, with the hours of a programme where there is one.
pub(super) fn checks(
    job: &Job,
    takeoff: &Takeoff,
    programme: Option<&Programme>,
) -> Result<Vec<u8>, Stop> {
    let sheets = check_sheets(job, takeoff);
    let pages = check_pages(job, &sheets, programme, Paper::at_home(job.layout.units));
    let title = format!("Check sheets: {}", job.layout.title);
    pdf(&title, &pages).map_err(|fault| Status::Usage.with(fault.to_string()))
}

fn stem(layout: &Path) -> Result<&Path, Stop> {
    layout.file_stem().map(Path::new).ok_or_else(|| {
        Status::File.with(format!(
            "cannot read {}: it is not a file",
            layout.display()
        ))
    })
}
