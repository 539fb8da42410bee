//! `spile show`: a page to look at a layout and work in. The page's outputs are made by the commands themselves, each run with
//! the layout as it stands on the page.

use std::io;
use std::path::{Path, PathBuf};

use clap::{Args, Parser};

use super::console::Console;
use super::read::Worked;
use super::{Arguments, Status, Stop};
use crate::Job;
use crate::drawing::Paper;
use crate::on_disk;
use crate::show::{Made, Maker, Offer, OfferOption, OptionKind, Serving, serve};

/// Opens a page to look at a layout and work in it
///
/// The page is served to this machine alone, at an address that holds a secret word; Ctrl-C ends it. Where there is no
/// layout yet, the page begins one.
#[derive(Args)]
#[command(after_help = "Example: spile show layouts/guillemot.toml")]
pub(super) struct Show {
    /// Layout file; one that is not there yet is begun on the page
    #[arg(value_name = "LAYOUT", default_value = "layout.toml")]
    layout: PathBuf,
    /// Port to answer at; a free one where none is given
    #[arg(long, default_value_t = 0)]
    port: u16,
    /// Print the address without opening it
    #[arg(long)]
    no_open: bool,
}

impl Show {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let path = whole_path(&self.layout)?;
        let maker = Commands { path: path.clone() };
        let begun = |serving: Serving<'_>| {
            // Whoever reads it may have gone; the page is there all the same.
            let _ = console.output(format!("{}\n", serving.address));
            console.note("the page is open to this machine alone; Ctrl-C ends it");
            if !self.no_open && !opened(serving.address) {
                console.note("no browser could be started; open the address in one");
            }
        };
        serve(&path, self.port, Box::new(maker), begun).map_err(|error| {
            let hint = match error.kind() {
                io::ErrorKind::AddrInUse | io::ErrorKind::PermissionDenied if self.port != 0 => {
                    "; leave --port out for a free one"
                }
                _ => "",
            };
            Status::File.with(format!("cannot serve the page: {error}{hint}"))
        })
    }
}

/// The file itself, links followed, so that saving writes where the text stands.
fn whole_path(layout: &Path) -> Result<PathBuf, Stop> {
    let shown = layout.display();
    if layout.is_dir() {
        return Err(Status::File.with(format!(
            "cannot show {shown}: it is a folder; name a layout file in it"
        )));
    }
    if layout.exists() {
        return on_disk::ordinary(layout)
            .and_then(|()| layout.canonicalize())
            .map_err(|error| Status::File.with(format!("cannot show {shown}: {error}")));
    }
    let folder = match layout.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let (Ok(folder), Some(name)) = (folder.canonicalize(), layout.file_name()) else {
        return Err(Status::File.with(format!(
            "cannot show {shown}: there is no folder {}",
            folder.display()
        )));
    };
    Ok(folder.join(name))
}

/// Opens an address in the person's own browser; says whether something was started.
fn opened(address: &str) -> bool {
    let (program, before): (&str, &[&str]) = if cfg!(target_os = "windows") {
        ("rundll32", &["url.dll,FileProtocolHandler"])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else {
        ("xdg-open", &[])
    };
    std::process::Command::new(program)
        .args(before)
        .arg(address)
        .stdin(std::process::Stdio::null())
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .is_ok()
}

/// The commands, run for the page.
struct Commands {
    path: PathBuf,
}

/// What a choice is between.
const SHEETS: &str = "format";

impl Maker for Commands {
    fn offers(&self, job: &Job) -> Vec<Offer> {
        offers(job)
    }

    fn make(
        &self,
        text: &str,
        job: Job,
        output: &str,
        options: &[[String; 2]],
    ) -> Result<Made, String> {
        let offers = offers(&job);
        let offer = offers.iter().find(|offer| offer.id == output);
        let offer = offer.ok_or_else(|| format!("there is no output {output:?}"))?;
        let mut words = vec![
            "spile".to_owned(),
            offer.id.to_owned(),
            self.path.to_string_lossy().into_owned(),
        ];
        let mut ending = usual_ending(offer);
        for [name, value] in options {
            let known = offer.options.iter().find(|known| known.name == name);
            let known = known.ok_or_else(|| format!("{} has no {name:?}", offer.title))?;
            let said = said(known, value)?;
            match (known.name, said) {
                (SHEETS, Some(value)) => ending = Some(value),
                (name, Some(value)) if matches!(known.kind, OptionKind::Flag) => {
                    if value == "true" {
                        words.push(format!("--{name}"));
                    }
                }
                (name, Some(value)) => words.push(format!("--{name}={value}")),
                (_, None) => {}
            }
        }
        let stem = self
            .path
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        words.push(match &ending {
            Some(ending) => format!("--out={}-{}.{ending}", plain(&stem), offer.id),
            None => format!("--out={}", plain(&stem)),
        });
        let arguments = Arguments::try_parse_from(words).map_err(|fault| fault.to_string())?;
        let console = Console::for_page(Worked {
            path: self.path.clone(),
            text: text.to_owned(),
            job,
        });
        let done = arguments.command.run(&console);
        let made = console.made();
        match done {
            Ok(()) => Ok(made),
            Err(stop) => Err(stop.message.unwrap_or_else(|| made.notes.join("\n"))),
        }
    }
}

/// A file's name of plain letters.
fn plain(stem: &str) -> String {
    let is_plain = |sign: char| sign.is_alphanumeric() || matches!(sign, '-' | '_');
    stem.chars()
        .map(|sign| if is_plain(sign) { sign } else { '-' })
        .collect()
}

fn usual_ending(offer: &Offer) -> Option<String> {
    let format = offer.options.iter().find(|option| option.name == SHEETS)?;
    match &format.kind {
        OptionKind::Choice { choices } => choices.first().map(|[ending, _]| ending.clone()),
        OptionKind::Length | OptionKind::Flag => None,
    }
}

/// A value as it may be said; nothing where nothing was.
fn said(option: &OfferOption, value: &str) -> Result<Option<String>, String> {
    if value.is_empty() {
        return Ok(None);
    }
    let is_known = match &option.kind {
        OptionKind::Choice { choices } => choices.iter().any(|[word, _]| word == value),
        OptionKind::Flag => matches!(value, "true" | "false"),
        OptionKind::Length => value.len() <= 40,
    };
    if is_known {
        Ok(Some(value.to_owned()))
    } else {
        Err(format!(
            "{}: {value:?} is none of its choices",
            option.label
        ))
    }
}

fn choice(name: &'static str, label: &'static str, choices: &[(&str, &str)]) -> OfferOption {
    OfferOption {
        name,
        label,
        kind: OptionKind::Choice {
            choices: choices
                .iter()
                .map(|(word, said)| [(*word).to_owned(), (*said).to_owned()])
                .collect(),
        },
    }
}

const fn flag(name: &'static str, label: &'static str) -> OfferOption {
    OfferOption {
        name,
        label,
        kind: OptionKind::Flag,
    }
}

const fn length(name: &'static str, label: &'static str) -> OfferOption {
    OfferOption {
        name,
        label,
        kind: OptionKind::Length,
    }
}

fn deck(job: &Job, all: bool) -> OfferOption {
    let mut choices = Vec::new();
    if all {
        choices.push([String::new(), "all decks".to_owned()]);
    }
    choices.extend(
        job.decks
            .iter()
            .map(|deck| [deck.plan.id.clone(), deck.plan.title.clone()]),
    );
    OfferOption {
        name: "deck",
        label: "Deck",
        kind: OptionKind::Choice { choices },
    }
}

fn paper() -> OfferOption {
    let usual = [String::new(), "the usual one".to_owned()];
    let named = Paper::ALL
        .iter()
        .map(|paper| [paper.name().to_owned(), paper.name().to_owned()]);
    OfferOption {
        name: "paper",
        label: "Paper",
        kind: OptionKind::Choice {
            choices: std::iter::once(usual).chain(named).collect(),
        },
    }
}

/// What can be made of a layout, each by the command of its name.
fn offers(job: &Job) -> Vec<Offer> {
    let scales = [
        "", "1:4", "1:5", "1:8", "1:10", "1:12", "1:20", "1:24", "1:50",
    ];
    let scales: Vec<(&str, &str)> = scales
        .iter()
        .map(|scale| {
            (
                *scale,
                if scale.is_empty() {
                    "the largest that fits"
                } else {
                    scale
                },
            )
        })
        .collect();
    let mut offers = vec![
        Offer {
            id: "sheet",
            title: "Sheet",
            about: "a drawing to scale",
            options: vec![
                choice(
                    SHEETS,
                    "File",
                    &[("pdf", "PDF"), ("svg", "SVG"), ("png", "PNG")],
                ),
                choice(
                    "view",
                    "View",
                    &[
                        ("pattern", "finished pattern"),
                        ("first", "first pass"),
                        ("reversed", "reversed pass"),
                        ("underfoot", "distance to grip"),
                        ("fairness", "fairness of half-breadths"),
                        ("survey", "survey"),
                        ("developed", "one deck laid flat"),
                        ("order-all", "order, a coat on the whole deck"),
                        ("order-border", "order, a coat on the border"),
                        ("order-fields", "order, a coat on the fields"),
                    ],
                ),
                deck(job, true),
                paper(),
                choice("scale", "Scale", &scales),
            ],
        },
        Offer {
            id: "template",
            title: "Template",
            about: "the pattern at full size, on pages to be joined or on a roll",
            options: vec![
                choice(SHEETS, "File", &[("pdf", "PDF")]),
                deck(job, true),
                paper(),
                length("roll", "Width of a roll"),
                flag("ring", "paint lines alone"),
                flag("half", "starboard half alone"),
                length("scale-x", "100 mm printed, across"),
                length("scale-y", "100 mm printed, up"),
            ],
        },
        Offer {
            id: "cut",
            title: "Cutter's file",
            about: "every line at full size, for a cutter or another program",
            options: vec![
                choice(SHEETS, "File", &[("dxf", "DXF"), ("svg", "SVG")]),
                deck(job, true),
                flag("stencil", "windows of a stencil"),
                length("bridge", "Bridges of the stencil"),
                length("weed-box", "Weeding boxes, this far round"),
                length("least-radius", "Least radius of the cutter"),
            ],
        },
        Offer {
            id: "setout",
            title: "Setting-out tables",
            about: "the measurements with which two people and a tape set the pattern out",
            options: vec![
                choice(
                    SHEETS,
                    "File",
                    &[("pdf", "PDF"), ("csv", "CSV"), ("md", "text")],
                ),
                deck(job, true),
                paper(),
            ],
        },
        Offer {
            id: "takeoff",
            title: "Takeoff",
            about: "what to buy, to mix, to pay, and in how many hours",
            options: vec![
                choice(
                    SHEETS,
                    "File",
                    &[
                        ("pdf", "PDF, to tick in the shop"),
                        ("md", "text"),
                        ("csv", "CSV"),
                        ("json", "JSON"),
                        ("svg", "cost as bars, SVG"),
                    ],
                ),
                paper(),
            ],
        },
    ];
    if job.layout.work.programme.from.is_some() {
        offers.push(Offer {
            id: "programme",
            title: "Programme",
            about: "what is done on which day",
            options: vec![choice(
                SHEETS,
                "File",
                &[
                    ("md", "text"),
                    ("ics", "calendar"),
                    ("pdf", "bars, PDF"),
                    ("csv", "CSV"),
                    ("json", "JSON"),
                ],
            )],
        });
    }
    offers.push(Offer {
        id: "plan",
        title: "Whole plan",
        about: "everything for the job, file by file, with a report to send to the yard",
        options: vec![paper()],
    });
    offers
}
