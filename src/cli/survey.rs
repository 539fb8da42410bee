//! `spile survey`: what was measured, judged; and the layout with what was found in it.

use std::path::{Path, PathBuf};

use clap::Args;

use super::console::Console;
use super::read::{self, Worked};
use super::sheet::{self, PaperArguments};
use super::{Status, Stop, write_and_name};
use crate::drawing::View;
use crate::export::files::NewFile;
use crate::export::markdown::Picture;
use crate::export::{survey_json, survey_report, svg};
use crate::figures::survey::SurveyFigures;
use crate::layout::{self, Sources};
use crate::{outline, work_out};

/// Judges what was measured, and writes the layout with every point and drawing settled
///
/// Into a folder: a report with the precision of every point and the residual of every tie or mark, the same as JSON,
/// pictures, and a layout that needs neither ties nor drawings any more but keeps the measurements.
#[derive(Args)]
#[command(after_help = "Example: spile survey layouts/turnstone.toml --out turnstone-survey")]
pub(super) struct Survey {
    /// Layout file
    #[arg(value_name = "LAYOUT")]
    layout: PathBuf,
    /// Folder to write into; where none is given, output/, the layout file's name and survey/
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    paper: PaperArguments,
}

impl Survey {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let worked = read::one(&self.layout, console)?;
        worked.say_warnings(console);
        let stem = self
            .layout
            .file_stem()
            .map(|stem| stem.to_string_lossy().into_owned())
            .unwrap_or_default();
        let folder = match &self.out {
            Some(out) => out.clone(),
            None => Path::new("output").join(&stem).join("survey"),
        };
        let files = self.files(&worked, &folder, &stem, console)?;
        write_and_name(&files, console)
    }

    fn files(
        &self,
        worked: &Worked,
        folder: &Path,
        stem: &str,
        console: &Console,
    ) -> Result<Vec<NewFile>, Stop> {
        let job = &worked.job;
        let adjusted = format!("{stem}-adjusted.toml");
        let figures = SurveyFigures::of(job);
        let mut files = vec![NewFile::new(
            folder.join(&adjusted),
            adjusted_layout(worked)?,
        )];
        let mut pictures = Vec::new();
        for (view, deck, caption, name) in views(&figures) {
            let drawing = self.paper.draw(job, view, None, deck)?;
            sheet::say_unplaced(&drawing, sheet::LARGER_PAPER, console);
            let svg = svg(&drawing);
            let picture = Picture {
                caption,
                scale: drawing.scale.to_string(),
                png: format!("{name}.png"),
                svg: format!("{name}.svg"),
            };
            files.push(NewFile::new(
                folder.join(&picture.png),
                self.paper.picture(&svg)?,
            ));
            files.push(NewFile::new(folder.join(&picture.svg), svg));
            pictures.push(picture);
        }
        let json = survey_json(&figures).map_err(|error| Status::File.with(error.to_string()))?;
        files.push(NewFile::new(folder.join("survey.json"), json));
        let report = survey_report(&figures, &adjusted, &pictures);
        files.push(NewFile::new(folder.join("survey.md"), report));
        Ok(files)
    }
}

/// The views that show something of a survey: of which deck, with a caption and the name of its files.
fn views(figures: &SurveyFigures) -> Vec<(View, Option<String>, String, String)> {
    let mut views = Vec::new();
    if figures.has_points() {
        views.push((
            View::Survey,
            None,
            "Points, ties and marks, with how well they agree".to_owned(),
            "points".to_owned(),
        ));
    }
    if !figures.half_breadths.is_empty() {
        views.push((
            View::Fairness,
            None,
            "How fair the half-breadths are".to_owned(),
            "fairness".to_owned(),
        ));
    }
    views
}

/// The layout with what was found, sure to be one that can be planned.
fn adjusted_layout(worked: &Worked) -> Result<String, Stop> {
    let job = &worked.job;
    let settled = outline::settled(
        &job.layout,
        &job.fixed,
        job.decks.iter().map(|deck| &deck.plan),
    );
    let text = layout::settled(&worked.text, &settled)
        .map_err(|error| Status::Layout.with(error.to_string()))?;
    layout::read(&text)
        .and_then(|layout| work_out(layout, &Sources::default()))
        .map_err(|faults| {
            Status::Layout.with(format!(
                "the layout with what was found does not hold:\n{}",
                layout::render_faults("the adjusted layout", &text, &faults)
            ))
        })?;
    Ok(text)
}
