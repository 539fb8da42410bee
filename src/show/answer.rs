//! What a page is told, as it is written: JSON whose keys may be added, never changed. Figures come as words, in the
//! layout's units, just as the commands print them.

use serde::Serialize;

use super::desk::Offer;
use crate::comparison::{Candidate, Difference, Row, Section, difference_in_words, value_in_words};
use crate::drawing::{Board, BoardView, board};
use crate::export::grid::{self, Grid};
use crate::export::{BoardKeys, Listed};
use crate::figures::Figures;
use crate::layout::{
    Fault, FormRow, Freedom, Grip, Layout, Place, RowKind, Standing, grips, way_at,
};
use crate::outline::Warning;
use crate::takeoff::{Item, in_words};
use crate::units::LengthUnit;

/// A text as it was worked out.
#[derive(Serialize)]
pub(super) struct Worked<'a> {
    /// The text with everything done to it.
    pub(super) text: &'a str,
    /// Why what was done could not be; the text is as it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) refused: Option<String>,
    /// What is wrong with it; then there is nothing below.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) faults: Vec<Said>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) shown: Option<Shown<'a>>,
}

/// Everything that is shown of a layout.
#[derive(Serialize)]
pub(super) struct Shown<'a> {
    /// The number of this answer, for the next question.
    number: u64,
    /// The number of the answer whose lists are changed here; nothing where all lists are whole.
    #[serde(skip_serializing_if = "Option::is_none")]
    known: Option<u64>,
    title: &'a str,
    units: UnitKeys,
    board: BoardKeys<'a>,
    decks: Vec<DeckTables<'a>>,
    sections: Vec<SectionKeys<'a>>,
    warnings: Vec<Said>,
    grips: Listed<GripKeys<'a>>,
    things: Listed<&'a Thing>,
    shopping: Vec<ItemKeys<'a>>,
}

/// Something to buy.
#[derive(Serialize)]
struct ItemKeys<'a> {
    id: &'a str,
    shelf: &'static str,
    title: &'a str,
    need: String,
    buy: String,
}

#[derive(Serialize)]
struct UnitKeys {
    word: &'static str,
    mm: f64,
    /// Steps that a thing being dragged falls into, the usual one first, millimetres.
    steps: Vec<StepKeys>,
}

#[derive(Serialize)]
struct StepKeys {
    name: String,
    mm: f64,
}

/// The tables of a deck's figures, as `spile figures` prints them.
#[derive(Serialize)]
struct DeckTables<'a> {
    id: &'a str,
    title: &'a str,
    areas: Table,
    fields: Table,
    passes: Table,
    /// The names of its edges, which may have margins of their own.
    edges: Vec<&'a str>,
}

#[derive(Serialize)]
struct Table {
    head: Vec<&'static str>,
    rows: Vec<Vec<String>>,
}

impl From<Grid> for Table {
    fn from(grid: Grid) -> Self {
        Self {
            head: grid.head,
            rows: grid.rows,
        }
    }
}

#[derive(Serialize)]
struct SectionKeys<'a> {
    title: &'static str,
    rows: Vec<RowKeys<'a>>,
}

#[derive(Serialize)]
struct RowKeys<'a> {
    key: &'a str,
    title: &'a str,
    value: String,
    /// Beside the saved file; nothing where that says the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    difference: Option<String>,
}

/// Something said of a place in the file or on the deck.
#[derive(Serialize)]
pub(super) struct Said {
    message: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    label: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<usize>,
    /// Where on the deck, y down.
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    thing: Option<String>,
}

#[derive(Serialize)]
struct GripKeys<'a> {
    what: &'a str,
    thing: &'a str,
    deck: usize,
    called: &'a str,
    at: [f64; 2],
    freedom: &'static str,
    both: bool,
    list: bool,
}

/// Something of the layout that can be chosen.
#[derive(PartialEq, Serialize)]
struct Thing {
    way: String,
    kind: &'static str,
    /// The deck it is on, where it is on one.
    deck: Option<usize>,
    name: String,
}

fn line_of(text: &str, place: Place) -> usize {
    let before = text.get(..place.start).unwrap_or(text);
    before.matches('\n').count() + 1
}

/// A fault at its place.
pub(super) fn fault(text: &str, fault: &Fault) -> Said {
    Said {
        message: fault.message.clone(),
        label: Some(fault.label.clone()).filter(|label| !label.is_empty()),
        help: fault.help.clone(),
        line: Some(line_of(text, fault.place)),
        at: None,
        thing: None,
    }
}

fn warning(text: &str, layout: &Layout, warning: &Warning) -> Said {
    let deck = layout
        .decks
        .iter()
        .position(|deck| deck.id.value == warning.deck);
    Said {
        message: warning.sentence(),
        label: Some(warning.code.to_owned()),
        help: None,
        line: warning.place.map(|place| line_of(text, place)),
        at: warning.at.map(|at| [at.x, -at.y]),
        thing: deck
            .zip(warning.place)
            .and_then(|(deck, place)| way_at(layout, deck, place)),
    }
}

/// The long lists of an answer, kept so that the next one says only what has changed in them.
pub(super) struct Told {
    number: u64,
    board: Board,
    grips: Vec<Grip>,
    things: Vec<Thing>,
}

impl Told {
    /// What is told of a layout that is looked at in a view; no two have the same number.
    pub(super) fn of(now: &Candidate, view: BoardView, number: u64) -> Self {
        let layout = &now.job.layout;
        Self {
            number,
            board: board(&now.job, view),
            grips: grips(layout),
            things: things(layout),
        }
    }

    /// Itself, where it is what the page knows.
    pub(super) fn if_known(&self, known: Option<u64>) -> Option<&Self> {
        (known == Some(self.number)).then_some(self)
    }
}

/// Everything shown of `now`, beside the saved file, for a page that knows what it was told before.
pub(super) fn shown<'a>(
    text: &str,
    now: &'a Candidate,
    rows: &'a [Row],
    known: Option<&Told>,
    told: &'a Told,
) -> Shown<'a> {
    let (layout, figures) = (&now.job.layout, &now.figures);
    Shown {
        number: told.number,
        known: known.map(|known| known.number),
        title: &layout.title,
        units: units(layout.units),
        board: BoardKeys::beside(known.map(|known| &known.board), &told.board),
        decks: deck_tables(now),
        sections: sections(rows, layout.units),
        warnings: figures
            .warnings
            .iter()
            .map(|one| warning(text, layout, one))
            .collect(),
        grips: Listed::beside(known.map(|known| &known.grips[..]), &told.grips, grip),
        things: Listed::beside(known.map(|known| &known.things[..]), &told.things, |one| {
            one
        }),
        shopping: now
            .takeoff
            .shopping
            .iter()
            .map(|one| item(one, layout.units))
            .collect(),
    }
}

fn item(item: &Item, units: LengthUnit) -> ItemKeys<'_> {
    let buy: Vec<String> = item
        .buy
        .iter()
        .map(|one| format!("{} × {}", one.count, in_words(one.size, units)))
        .collect();
    ItemKeys {
        id: &item.id,
        shelf: item.shelf.title(),
        title: &item.title,
        need: in_words(item.need, units),
        buy: buy.join(" and "),
    }
}

fn units(units: LengthUnit) -> UnitKeys {
    let steps = if units.is_imperial() {
        [
            ("1/2 in", 12.7),
            ("1/4 in", 6.35),
            ("1/16 in", 25.4 / 16.0),
            ("2 in", 50.8),
        ]
    } else {
        [
            ("10 mm", 10.0),
            ("5 mm", 5.0),
            ("1 mm", 1.0),
            ("50 mm", 50.0),
        ]
    };
    UnitKeys {
        word: match units {
            LengthUnit::Millimetre => "mm",
            LengthUnit::Centimetre => "cm",
            LengthUnit::Metre => "m",
            LengthUnit::Inch => "in",
            LengthUnit::Foot => "ft",
        },
        mm: units.in_mm(),
        steps: steps
            .into_iter()
            .map(|(name, mm)| StepKeys {
                name: name.to_owned(),
                mm,
            })
            .collect(),
    }
}

fn deck_tables(now: &Candidate) -> Vec<DeckTables<'_>> {
    let figures: &Figures = &now.figures;
    let tables = figures
        .decks
        .iter()
        .zip(&now.job.decks)
        .map(|(deck, laid)| {
            let edges = laid.plan.outline.edges.iter();
            let own = deck.surface.as_ref();
            DeckTables {
                id: &deck.id,
                title: &deck.title,
                areas: grid::areas(&deck.areas, own.map(|own| &own.areas), figures.units).into(),
                fields: grid::fields(deck, figures.units).into(),
                passes: grid::passes(
                    [&deck.first, &deck.reversed],
                    own.map(|own| [own.first, own.reversed]),
                    figures.units,
                )
                .into(),
                edges: edges.filter_map(|edge| edge.name.as_deref()).collect(),
            }
        });
    tables.collect()
}

/// The figures, the last column of each row beside the first.
fn sections(rows: &[Row], units: LengthUnit) -> Vec<SectionKeys<'_>> {
    let of = |section: Section| {
        let rows = rows.iter().filter(|row| row.section == section);
        let rows = rows.filter_map(|row| {
            let now = row.values.len().checked_sub(1)?;
            let value = row.values.get(now)?.as_ref()?;
            let difference = difference_in_words(&row.difference(now), units);
            let is_other = !matches!(row.difference(now), Difference::Same) && difference != "=";
            Some(RowKeys {
                key: &row.key,
                title: &row.title,
                value: value_in_words(value, units),
                difference: is_other.then_some(if difference.is_empty() {
                    "changed".to_owned()
                } else {
                    difference
                }),
            })
        });
        SectionKeys {
            title: section.title(),
            rows: rows.collect(),
        }
    };
    let all = Section::ALL.into_iter().map(of);
    all.filter(|section| !section.rows.is_empty()).collect()
}

fn grip(grip: &Grip) -> GripKeys<'_> {
    GripKeys {
        what: &grip.what,
        thing: &grip.thing,
        deck: grip.deck,
        called: &grip.called,
        at: [grip.at.x, -grip.at.y],
        freedom: match grip.freedom {
            Freedom::Anywhere => "anywhere",
            Freedom::ForeAndAft => "fore-and-aft",
            Freedom::Athwartships => "athwartships",
            Freedom::Starboard => "starboard",
            Freedom::Port => "port",
        },
        both: grip.both_sides,
        list: grip.in_list,
    }
}

fn things(layout: &Layout) -> Vec<Thing> {
    let mut all = Vec::new();
    for (number, deck) in layout.decks.iter().enumerate() {
        let mut add = |kind: &'static str, index: usize, name: Option<&String>, word: &str| {
            all.push(Thing {
                way: format!("deck.#{}.{kind}.#{}", number + 1, index + 1),
                kind,
                deck: Some(number),
                name: name.map_or_else(|| format!("{word} {}", index + 1), String::clone),
            });
        };
        for (index, one) in deck.openings.iter().enumerate() {
            add("opening", index, one.name.as_ref(), "opening");
        }
        for (index, one) in deck.fittings.iter().enumerate() {
            add("fitting", index, one.name.as_ref(), "fitting");
        }
        for (index, _) in deck.strips.iter().enumerate() {
            add("strip", index, None, "strip");
        }
        for (index, one) in deck.smooth.iter().enumerate() {
            add("smooth", index, one.name.as_ref(), "area kept smooth");
        }
        for (index, one) in deck.pads.iter().enumerate() {
            add("pad", index, one.name.as_ref(), "pad");
        }
    }
    let products = layout
        .work
        .products
        .iter()
        .map(|one| ("product", &one.id.value));
    let steps = layout.work.steps.iter().map(|one| ("step", &one.id.value));
    let mut counted = [("product", 0), ("step", 0)];
    for (kind, name) in products.chain(steps) {
        for (_, count) in counted.iter_mut().filter(|(one, _)| *one == kind) {
            *count += 1;
            all.push(Thing {
                way: format!("{kind}.#{count}"),
                kind,
                deck: None,
                name: name.clone(),
            });
        }
    }
    all
}

/// The file as it stands.
#[derive(Serialize)]
pub(super) struct FileKeys<'a> {
    pub(super) name: &'a str,
    pub(super) version: u64,
    /// Nothing where there is no file yet.
    pub(super) text: Option<&'a str>,
    /// Why its text cannot be shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) unreadable: Option<&'a str>,
    /// It was to be saved, and is not: another program has changed it.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) refused: bool,
}

/// What can be made of a layout.
#[derive(Serialize)]
pub(super) struct OfferKeys<'a> {
    pub(super) offers: &'a [Offer],
}

/// The rows of a form.
#[derive(Serialize)]
pub(super) struct FormKeys<'a> {
    pub(super) groups: Vec<GroupKeys<'a>>,
}

#[derive(Serialize)]
pub(super) struct GroupKeys<'a> {
    pub(super) way: &'a str,
    pub(super) rows: Vec<FormRowKeys>,
}

#[derive(Serialize)]
pub(super) struct FormRowKeys {
    key: String,
    name: String,
    about: &'static str,
    kind: &'static str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    words: Vec<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    written: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    otherwise: Option<String>,
    required: bool,
}

impl From<FormRow> for FormRowKeys {
    fn from(row: FormRow) -> Self {
        let (written, otherwise) = match row.standing {
            Standing::Written(text) => (Some(text), None),
            Standing::Absent(otherwise) => (None, otherwise),
        };
        let (kind, words) = match row.kind {
            RowKind::Text => ("text", Vec::new()),
            RowKind::Length => ("length", Vec::new()),
            RowKind::Number => ("number", Vec::new()),
            RowKind::Flag => ("flag", Vec::new()),
            RowKind::Word(words) => ("word", words.to_vec()),
            RowKind::Written => ("written", Vec::new()),
        };
        Self {
            key: row.key,
            name: row.name,
            about: row.about,
            kind,
            words,
            written,
            otherwise,
            required: row.is_required,
        }
    }
}

/// Files that were made.
#[derive(Serialize)]
pub(super) struct MadeKeys<'a> {
    pub(super) files: Vec<MadeFileKeys<'a>>,
    pub(super) notes: &'a [String],
}

#[derive(Serialize)]
pub(super) struct MadeFileKeys<'a> {
    pub(super) name: &'a str,
    pub(super) bytes: usize,
    /// Its address below the page's own.
    pub(super) at: String,
}

/// Something that could not be done, in words.
#[derive(Serialize)]
pub(super) struct Trouble<'a> {
    pub(super) trouble: &'a str,
}
