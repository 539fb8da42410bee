//! What carries each deck's pattern onto the deck, as `plan` writes it: a template, files for a cutter, setting-out tables.

use super::{Status, Stop};
use crate::concurrent;
use crate::drawing::{
    self, CutRequest, Paper, SetOutDeck, TemplateRequest, Wanted, set_out_pages, template,
};
use crate::export::markdown::Companion;
use crate::export::{cut_svg, dxf, pdf, setting_out};
use crate::setting_out::set_out;
use crate::{DeckJob, Job};

/// A file to be written beside the drawings.
pub(super) struct Written {
    pub(super) companion: Companion,
    pub(super) bytes: Vec<u8>,
}

impl Written {
    pub(super) fn new(name: &str, caption: &str, bytes: Vec<u8>) -> Self {
        let companion = Companion {
            caption: caption.to_owned(),
            name: name.to_owned(),
        };
        Self { companion, bytes }
    }
}

type Maker = fn(&Job, &DeckJob) -> Result<Vec<Written>, Stop>;

/// For every deck that has a field.
pub(super) fn all(job: &Job) -> Result<Vec<Written>, Stop> {
    let decks: Vec<&DeckJob> = job
        .decks
        .iter()
        .filter(|deck| !deck.pattern.fields.is_empty())
        .collect();
    let makers: [Maker; 3] = [templates, cuts, set_outs];
    let wanted: Vec<(&DeckJob, Maker)> = decks
        .iter()
        .flat_map(|deck| makers.map(|maker| (*deck, maker)))
        .collect();
    let made = concurrent::each(&wanted, |(deck, maker)| maker(job, deck));
    let made: Vec<Vec<Written>> = made.into_iter().collect::<Result<_, _>>()?;
    Ok(made.into_iter().flatten().collect())
}

/// A file of one deck, whose name stands before it where there are several.
fn written(job: &Job, deck: &DeckJob, name: &str, caption: &str, bytes: Vec<u8>) -> Written {
    if job.decks.len() == 1 {
        Written::new(name, caption, bytes)
    } else {
        Written::new(
            &format!("{}-{name}", deck.plan.id),
            &format!("{}: {caption}", deck.plan.title),
            bytes,
        )
    }
}

fn usage(fault: &impl ToString) -> Stop {
    Status::Usage.with(fault.to_string())
}

fn templates(job: &Job, deck: &DeckJob) -> Result<Vec<Written>, Stop> {
    let wanted = Wanted {
        deck: Some(deck.plan.id.clone()),
        ..Wanted::default()
    };
    let full = drawing::full_size(job, &wanted).map_err(|fault| usage(&fault))?;
    let request = TemplateRequest {
        paper: Paper::at_home(job.layout.units),
        ..TemplateRequest::default()
    };
    let made = template(&full, &request).map_err(|fault| usage(&fault))?;
    let bytes = pdf(&job.layout.title, &made.pages).map_err(|fault| usage(&fault))?;
    let caption = format!(
        "full-size template, {} pages of {} to be joined",
        made.pages.len(),
        request.paper
    );
    Ok(vec![written(job, deck, "template.pdf", &caption, bytes)])
}

fn cuts(job: &Job, deck: &DeckJob) -> Result<Vec<Written>, Stop> {
    let request = CutRequest {
        deck: Some(deck.plan.id.clone()),
        ..CutRequest::default()
    };
    let file = drawing::cut(job, &request).map_err(|fault| usage(&fault))?;
    let said = "every line at full size, for a cutter or another program";
    Ok(vec![
        written(
            job,
            deck,
            "full-size.dxf",
            &format!("{said}, DXF"),
            dxf(&file).into_bytes(),
        ),
        written(
            job,
            deck,
            "full-size.svg",
            &format!("{said}, SVG"),
            cut_svg(&file).into_bytes(),
        ),
    ])
}

fn set_outs(job: &Job, deck: &DeckJob) -> Result<Vec<Written>, Stop> {
    let set = set_out(deck, &[]);
    let decks = [SetOutDeck { deck, out: &set }];
    let pages = set_out_pages(&job.layout.title, &decks, Paper::at_home(job.layout.units));
    let bytes = pdf(&job.layout.title, &pages).map_err(|fault| usage(&fault))?;
    Ok(vec![
        written(
            job,
            deck,
            "setting-out.pdf",
            "setting-out tables, with sheets of the points' names",
            bytes,
        ),
        written(
            job,
            deck,
            "setting-out.csv",
            "the setting-out tables for a spreadsheet",
            setting_out::csv(&[set]).into_bytes(),
        ),
    ])
}
