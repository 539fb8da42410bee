//! The decks on a board as JSON for a page: every line as the path data of SVG in the deck's millimetres, y down; keys may
//! be added, never changed.

use serde::Serialize;

use super::listed::Listed;
use super::number;
use super::svg_path::PathData;
use crate::drawing::{Board, BoardDeck, BoardMark, BoardPoint, Covered, MarkKind};
use crate::shape::Point;

/// Decimals of a millimetre of deck.
const DECIMALS: usize = 2;

/// A board, ready to be written as JSON.
#[derive(Debug, Serialize)]
pub struct BoardKeys<'a> {
    decks: Vec<DeckKeys<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    covered: Option<&'static str>,
    shades: Vec<ShadeKeys<'a>>,
}

#[derive(Debug, Serialize)]
struct DeckKeys<'a> {
    id: &'a str,
    title: &'a str,
    /// Least x, least y, greatest x, greatest y, y down.
    bounds: [f64; 4],
    marks: Listed<MarkKeys<'a>>,
    points: Vec<PointKeys<'a>>,
}

#[derive(Debug, Serialize)]
struct MarkKeys<'a> {
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    thing: Option<&'a str>,
    d: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    label: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    grey: Option<u8>,
}

#[derive(Debug, Serialize)]
struct PointKeys<'a> {
    name: &'a str,
    at: [f64; 2],
    centre: bool,
    measured: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    radius: Option<&'a str>,
}

#[derive(Debug, Serialize)]
struct ShadeKeys<'a> {
    grey: u8,
    name: &'a str,
}

impl<'a> BoardKeys<'a> {
    /// The keys of a board, for whoever knows another: of decks that stand in both, marks that are the same are left out.
    #[must_use]
    pub fn beside(known: Option<&Board>, board: &'a Board) -> Self {
        let known = |number: usize, id: &str| {
            let deck = known.and_then(|known| known.decks.get(number));
            deck.filter(|deck| deck.id == id)
        };
        let decks = board.decks.iter().enumerate();
        Self {
            decks: decks
                .map(|(number, one)| deck(known(number, &one.id), one))
                .collect(),
            covered: board.covered.map(Covered::word),
            shades: board
                .shades
                .iter()
                .map(|shade| ShadeKeys {
                    grey: shade.grey,
                    name: &shade.name,
                })
                .collect(),
        }
    }
}

fn deck<'a>(known: Option<&BoardDeck>, deck: &'a BoardDeck) -> DeckKeys<'a> {
    let [least, greatest] = [deck.bounds.least, deck.bounds.greatest];
    DeckKeys {
        id: &deck.id,
        title: &deck.title,
        bounds: [least.x, -greatest.y, greatest.x, -least.y],
        marks: Listed::beside(known.map(|known| &known.marks[..]), &deck.marks, mark),
        points: deck.points.iter().map(point).collect(),
    }
}

fn mark(mark: &BoardMark) -> MarkKeys<'_> {
    let data = PathData {
        corner: Point::new(0.0, 0.0),
        decimals: DECIMALS,
        most_turn: 0.9 * std::f64::consts::PI,
    };
    let mut d = String::new();
    for run in &mark.runs {
        data.write(run, &mut d);
    }
    MarkKeys {
        kind: mark.kind.word(),
        name: mark.name.as_deref(),
        thing: mark.thing.as_deref(),
        d,
        label: mark.label.map(place),
        grey: match mark.kind {
            MarkKind::Grip { grey } => Some(grey),
            _ => None,
        },
    }
}

fn point(point: &BoardPoint) -> PointKeys<'_> {
    PointKeys {
        name: &point.name,
        at: place(point.at),
        centre: point.is_centre,
        measured: &point.measured,
        radius: point.radius.as_deref(),
    }
}

/// A place as a page has it, y down.
fn place(at: Point) -> [f64; 2] {
    [
        number::rounded(at.x, DECIMALS),
        number::rounded(-at.y, DECIMALS),
    ]
}
