//! Candidates side by side: each one's pattern small, all at one scale, with what is more and what is less non-skid than
//! in the first, the widest smooth place, and the figures that decide. Comes in: a comparison. Goes out: a picture.

use std::f64::consts::FRAC_PI_4;

use super::canvas::{Canvas, Projection};
use super::form::pages::sheet;
use super::hatch::hatch;
use super::marks::{Anchor, Drawing, Fill, Layer, Pen, Weight};
use super::text;
use crate::DeckJob;
use crate::comparison::{
    Candidate, Comparison, DeckPatch, Difference, difference_in_words, value_in_words,
};
use crate::shape::{BoundingBox, Point, Region, Ring};

/// Of the picture, millimetres.
const WIDTH: f64 = 190.0;
const EDGE: f64 = 8.0;
const GAP: f64 = 8.0;
/// A pattern is drawn no higher than this.
const MOST_HEIGHT: f64 = 70.0;
const TITLE: f64 = 3.0;
const NAME: f64 = 2.3;
const SMALL: f64 = 1.8;
const THIN: f64 = 0.13;
const THICK: f64 = 0.3;
/// Side of a square of the key.
const KEY: f64 = 3.0;
const NON_SKID: u8 = 212;
const MORE: u8 = 120;
/// Between the lines that fill what is less.
const STEP: f64 = 0.55;

/// The figures that stand under each.
const SAID: [&str; 6] = [
    "field_area",
    "widest_smooth",
    "line-tape.need",
    "hours",
    "days",
    "paid",
];

/// The picture.
#[must_use]
pub fn side_by_side(comparison: &Comparison) -> Drawing {
    let candidates = &comparison.candidates;
    let columns = candidates.len().clamp(1, 2);
    let cell = (WIDTH - 2.0 * EDGE - GAP * (columns - 1) as f64) / columns as f64;
    let bounds = candidates
        .iter()
        .flat_map(|one| &one.job.decks)
        .map(|deck| deck.pattern.deck.bounding_box())
        .fold(BoundingBox::EMPTY, |all, one| all.joined(&one));
    let share = (cell / bounds.width().max(1.0)).min(MOST_HEIGHT / bounds.height().max(1.0));
    let picture = bounds.height() * share;
    let line = SMALL * text::LINE;

    let names: Vec<Vec<String>> = candidates
        .iter()
        .map(|one| text::wrapped(&text::drawable(&one.name), NAME, Weight::Bold, cell))
        .collect();
    let said: Vec<Vec<String>> = (0..candidates.len())
        .map(|index| figures(comparison, index, cell))
        .collect();
    let most = |lists: &[Vec<String>]| lists.iter().map(Vec::len).max().unwrap_or(0) as f64;
    let name_height = most(&names) * NAME * text::LINE;
    let row = name_height + 2.0 + picture + 2.0 + most(&said) * line + GAP;
    let rows = candidates.len().div_ceil(columns) as f64;
    let key = KEY + 4.0;
    let height = 2.0 * EDGE + TITLE * 2.5 + rows * row + key;

    let mut canvas = Canvas::default();
    let title = title(comparison);
    let shown = text::shortened(
        &text::drawable(&title),
        TITLE,
        Weight::Bold,
        WIDTH - 2.0 * EDGE,
    );
    let mut top = height - EDGE - TITLE;
    let at = Point::new(EDGE, top);
    canvas.text(Layer::Sheet, at, Anchor::Start, TITLE, Weight::Bold, &shown);
    top -= TITLE * 1.5;
    for (index, candidate) in candidates.iter().enumerate() {
        let left = EDGE + (index % columns) as f64 * (cell + GAP);
        let mut y = top - (index / columns) as f64 * row;
        for words in &names[index] {
            y -= NAME * text::LINE;
            let at = Point::new(left, y);
            canvas.text(Layer::Sheet, at, Anchor::Start, NAME, Weight::Bold, words);
        }
        y = top - (index / columns) as f64 * row - name_height - 2.0;
        let projection = Projection {
            share,
            origin: Point::new(left - bounds.least.x * share, y - bounds.greatest.y * share),
        };
        pattern(&mut canvas, &projection, candidate, &candidates[0]);
        y -= picture + 2.0;
        for words in &said[index] {
            y -= line;
            let at = Point::new(left, y);
            canvas.text(
                Layer::Sheet,
                at,
                Anchor::Start,
                SMALL,
                Weight::Regular,
                words,
            );
        }
    }
    explain(&mut canvas, candidates.len() > 1);
    let about =
        "Patterns of several layouts at one scale with the figures that decide between them";
    sheet(&title, about, canvas, (WIDTH, height), EDGE / 2.0)
}

fn title(comparison: &Comparison) -> String {
    match comparison.title() {
        Some(title) => format!("Side by side: {title}"),
        None => "Side by side".to_owned(),
    }
}

/// What stands under a candidate: each figure with how it stands to the first one's.
fn figures(comparison: &Comparison, index: usize, width: f64) -> Vec<String> {
    let units = comparison.units;
    let rows = SAID.iter().filter_map(|key| comparison.row(key));
    rows.flat_map(|row| {
        let value = row.values[index].as_ref();
        let mut words = format!(
            "{}: {}",
            row.title,
            value.map_or_else(|| "-".to_owned(), |value| value_in_words(value, units))
        );
        let difference = row.difference(index);
        if index > 0 && difference != Difference::Unlike {
            words += &format!(" ({})", difference_in_words(&difference, units));
        }
        text::wrapped(&text::drawable(&words), SMALL, Weight::Regular, width)
    })
    .collect()
}

fn pattern(canvas: &mut Canvas, projection: &Projection, one: &Candidate, first: &Candidate) {
    let thin = Pen::solid(THIN);
    for deck in &one.job.decks {
        let fields = fields_of(deck);
        let grey = |canvas: &mut Canvas, region: &Region, grey: u8| {
            let region = projection.region(region);
            canvas.region(Layer::Fields, None, Fill::Grey(grey), &region);
        };
        grey(canvas, &fields, NON_SKID);
        if let Some(before) = same_deck(deck, first) {
            let before = fields_of(before);
            grey(canvas, &fields.difference(&[&before]), MORE);
            let less = projection.region(&before.difference(&[&fields]));
            let lines = hatch(&less, FRAC_PI_4, STEP, &[]);
            canvas.runs(Layer::Hatch, Some(thin), Fill::None, lines);
        }
        let region = |canvas: &mut Canvas, layer: Layer, pen: Pen, region: &Region| {
            canvas.region(layer, Some(pen), Fill::None, &projection.region(region));
        };
        region(canvas, Layer::Fields, thin, &fields);
        region(canvas, Layer::Openings, thin, &deck.pattern.openings);
        region(canvas, Layer::Fittings, thin, &deck.pattern.fittings);
        region(
            canvas,
            Layer::Outline,
            Pen::solid(THICK),
            &deck.pattern.deck,
        );
    }
    if let Some(DeckPatch { patch, .. }) = one.widest() {
        let ring = Ring::circle(patch.centre, patch.width.to_mm() / 2.0);
        canvas.ring(Layer::Points, Pen::solid(THICK), &projection.ring(&ring));
    }
}

/// All fields of a deck.
fn fields_of(deck: &DeckJob) -> Region {
    let fields = deck.pattern.fields.iter();
    Region::new(
        fields
            .flat_map(|field| field.region.rings().to_vec())
            .collect(),
    )
}

/// The deck of the first candidate that is the same one, if its edge is where it was.
fn same_deck<'a>(deck: &DeckJob, first: &'a Candidate) -> Option<&'a DeckJob> {
    let mut decks = first.job.decks.iter();
    decks.find(|one| one.plan.id == deck.plan.id && one.pattern.deck == deck.pattern.deck)
}

/// What the greys mean, along the foot.
fn explain(canvas: &mut Canvas, compares: bool) {
    let thin = Some(Pen::solid(THIN));
    let mut x = EDGE;
    let bottom = EDGE;
    let mut add = |canvas: &mut Canvas, draw: &dyn Fn(&mut Canvas, BoundingBox), words: &str| {
        let bounds = BoundingBox {
            least: Point::new(x, bottom),
            greatest: Point::new(x + KEY, bottom + KEY),
        };
        draw(canvas, bounds);
        let at = Point::new(x + KEY + 1.2, bottom + (KEY - SMALL) / 2.0);
        canvas.text(
            Layer::Sheet,
            at,
            Anchor::Start,
            SMALL,
            Weight::Regular,
            words,
        );
        x += KEY + 1.2 + text::width(words, SMALL, Weight::Regular) + 5.0;
    };
    let grey = |grey: u8| {
        move |canvas: &mut Canvas, bounds: BoundingBox| {
            canvas.rectangle(Layer::Sheet, thin, Fill::Grey(grey), bounds);
        }
    };
    add(canvas, &grey(NON_SKID), "non-skid");
    if compares {
        add(canvas, &grey(MORE), "more than in the first");
        add(
            canvas,
            &|canvas, bounds| {
                let region = Region::inside(bounds.rectangle());
                let lines = hatch(&region, FRAC_PI_4, STEP, &[]);
                canvas.runs(Layer::Sheet, thin, Fill::None, lines);
                canvas.rectangle(Layer::Sheet, thin, Fill::None, bounds);
            },
            "less than in the first",
        );
    }
    add(
        canvas,
        &|canvas, bounds| {
            let ring = Ring::circle(bounds.centre(), KEY / 2.0);
            canvas.ring(Layer::Sheet, Pen::solid(THICK), &ring);
        },
        "widest smooth place",
    );
}
