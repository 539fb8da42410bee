//! Check sheets on paper: a page a stage, with what to tick before the work and before the next stage, the deck to mark, and tables for
//! what is read. Comes in: a job, its check sheets, when its stages are planned. Goes out: pages.

use super::canvas::{Canvas, Projection};
use super::form::pages::{Blank, Pages, SMALL};
use super::marks::{Anchor, Drawing, Fill, Layer, Pen, Weight};
use super::paper::Paper;
use super::text;
use crate::layout::Surface;
use crate::programme::{CheckSheet, Placed, Programme};
use crate::shape::{BoundingBox, Point, Region};
use crate::takeoff::BEFORE_CAUTIONS;
use crate::units::{Length, moment};
use crate::{DeckJob, Job};

/// The deck is drawn no higher than this, millimetres; less high where tables stand on the page too.
const MOST_HEIGHT: f64 = 72.0;
const BESIDE_TABLES: f64 = 46.0;
/// Room under it for the words of its directions.
const UNDER: f64 = 4.5;
const THIN: f64 = 0.15;
const THICK: f64 = 0.35;
const WORKED: u8 = 222;
/// Lowest row of a table of readings.
const ROW: f64 = 7.0;
/// More is found only where something went wrong.
const MOST_FOUND: usize = 8;
/// Room for who looked, and for the cautions.
const FOOT: f64 = 30.0;
/// How near the middle of a field has to be for its name.
const NEAR: Length = Length::mm(5.0);

/// The pages on upright `paper`.
#[must_use]
pub fn check_pages(
    job: &Job,
    sheets: &[CheckSheet],
    programme: Option<&Programme>,
    paper: Paper,
) -> Vec<Drawing> {
    let title = &job.layout.title;
    let heading = format!("Check sheets: {title}");
    let mut pages = Pages::new(paper, &heading);
    let count = sheets.len();
    for (number, sheet) in sheets.iter().enumerate() {
        pages.turn();
        let under = format!("Stage {} of {count}: {title}", number + 1);
        pages.title(&sheet.title, &under);
        if let Some(from) = programme.and_then(|programme| begins(programme, sheet)) {
            pages.paragraph(&format!("Planned from {}.", moment(from)));
        }
        let most = if sheet.readings.is_empty() {
            MOST_HEIGHT
        } else {
            BESIDE_TABLES
        };
        deck_to_mark(&mut pages, job, sheet.on, most);
        ticks(&mut pages, "Before it begins", &sheet.before);
        for readings in &sheet.readings {
            pages.heading(&readings.title, 3.0 * ROW);
            pages.table(&Blank {
                columns: readings.columns.clone(),
                rows: readings.rows.clone(),
                height: ROW,
            });
        }
        let heading = if number + 1 < count {
            "Before the next stage may start"
        } else {
            "Before it is handed over"
        };
        ticks(&mut pages, heading, &sheet.after);
        found(&mut pages);
        pages.entries(&[("Looked at by", ""), ("Day and hour", "")], 2);
        let mut cautions = vec![BEFORE_CAUTIONS];
        cautions.extend(&sheet.cautions);
        pages.aside(&cautions.join(" "));
    }
    pages.finish(&heading)
}

fn begins(programme: &Programme, sheet: &CheckSheet) -> Option<jiff::civil::DateTime> {
    let mut placed = programme.likely.placed.iter();
    let first = placed.find(|one| {
        let step = one.activity.step.as_ref();
        step.is_some_and(|step| sheet.steps.contains(step))
    });
    first.and_then(Placed::begins)
}

fn ticks(pages: &mut Pages, heading: &str, things: &[String]) {
    if things.is_empty() {
        return;
    }
    pages.heading(heading, 12.0);
    let things: Vec<&str> = things.iter().map(String::as_str).collect();
    pages.ticks(&things);
}

/// Lines for what was found, as many as the page has room for beside what stands under them.
fn found(pages: &mut Pages) {
    let mut rows = Vec::new();
    while rows.len() < MOST_FOUND && pages.room() - FOOT > (rows.len() + 2) as f64 * ROW {
        rows.push(vec![(rows.len() + 1).to_string()]);
    }
    if !rows.is_empty() {
        pages.table(&Blank {
            columns: [("No.", 0.4), ("Found, and where", 4.0), ("Put right", 1.4)]
                .map(|(head, share)| (head.to_owned(), share))
                .to_vec(),
            rows,
            height: ROW,
        });
    }
}

/// The deck, what is worked on tinted, to be marked.
fn deck_to_mark(pages: &mut Pages, job: &Job, on: Surface, most: f64) {
    let bounds = job
        .decks
        .iter()
        .map(|deck| deck.pattern.deck.bounding_box())
        .fold(BoundingBox::EMPTY, |all, one| all.joined(&one));
    let share = (pages.width() / bounds.width().max(1.0)).min(most / bounds.height().max(1.0));
    let height = bounds.height() * share + UNDER;
    pages.picture(height, |canvas, room| {
        let middle = (room.least.x + room.greatest.x) / 2.0;
        let projection = Projection {
            share,
            origin: Point::new(
                middle - bounds.centre().x * share,
                room.least.y + UNDER - bounds.least.y * share,
            ),
        };
        for deck in &job.decks {
            to_mark(canvas, &projection, deck, on);
        }
        let words = "Bow to the left, starboard up. Grey: what this stage works on. Mark on it what is found, with a number and a word.";
        let at = Point::new(room.least.x, room.least.y);
        canvas.text(Layer::Sheet, at, Anchor::Start, SMALL, Weight::Regular, words);
    });
}

fn to_mark(canvas: &mut Canvas, projection: &Projection, deck: &DeckJob, on: Surface) {
    let pattern = &deck.pattern;
    let fields = pattern.field_region();
    let mut tinted = |region: &Region| {
        canvas.region(
            Layer::Cover,
            None,
            Fill::Grey(WORKED),
            &projection.region(region),
        );
    };
    if matches!(on, Surface::All | Surface::Border) {
        tinted(&pattern.border);
    }
    if matches!(on, Surface::All | Surface::Field) {
        tinted(&fields);
    }
    let edge = if on == Surface::Edge {
        3.0 * THICK
    } else {
        THICK
    };
    for (layer, width, region) in [
        (Layer::Fields, THIN, &fields),
        (Layer::Openings, THICK, &pattern.openings),
        (Layer::Fittings, THIN, &pattern.fittings),
        (Layer::Outline, edge, &pattern.deck),
    ] {
        canvas.region(
            layer,
            Some(Pen::solid(width)),
            Fill::None,
            &projection.region(region),
        );
    }
    for field in &pattern.fields {
        let Some(disc) = field.region.widest_disc(NEAR) else {
            continue;
        };
        let room = 2.0 * disc.radius.to_mm() * projection.share;
        let width = text::width(&field.id, SMALL, Weight::Regular);
        if width.hypot(SMALL * text::BOX_HEIGHT) < room {
            let at = projection.point(disc.centre) - Point::new(0.0, SMALL / 2.0);
            canvas.text(
                Layer::Labels,
                at,
                Anchor::Middle,
                SMALL,
                Weight::Regular,
                &field.id,
            );
        }
    }
}
