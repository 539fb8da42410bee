//! Rows and columns of figures, the same for the terminal and for a document: which figures stand
//! beside which, in words. [`table`](super::table) and [`markdown`](super::markdown) only draw them.

use crate::figures::{Areas, DeckFigures, PassFigures};
use crate::units::{Area, Length, LengthUnit};

/// A heading and rows of as many cells; the first column names the row.
pub(crate) struct Grid {
    pub(crate) head: Vec<&'static str>,
    pub(crate) rows: Vec<Vec<String>>,
}

/// Where the deck's area goes.
pub(crate) fn areas(areas: &Areas, units: LengthUnit) -> Grid {
    let row = |name: &str, part: Area| {
        vec![
            name.to_owned(),
            part.show(units),
            format!("{:.1} %", areas.per_cent(part)),
        ]
    };
    Grid {
        head: vec!["", "Area", "Share"],
        rows: vec![
            row("Fields (non-skid)", areas.field),
            row("Border (smooth)", areas.border),
            row("Openings", areas.openings),
            row("Fittings in place", areas.fittings),
            row("Deck", areas.deck),
        ],
    }
}

/// The fields one by one.
pub(crate) fn fields(deck: &DeckFigures, units: LengthUnit) -> Grid {
    let radius = |radius: Option<Length>| radius.map_or_else(|| "-".to_owned(), |r| r.show(units));
    Grid {
        head: vec![
            "Field",
            "Area",
            "Perimeter",
            "Rings",
            "Clearance",
            "Least round",
            "Least hollow",
        ],
        rows: deck
            .fields
            .iter()
            .map(|field| {
                vec![
                    field.id.clone(),
                    field.area.show(units),
                    field.perimeter.show_run(units),
                    field.rings.to_string(),
                    field.clearance.show(units),
                    radius(field.tightest_round),
                    radius(field.tightest_hollow),
                ]
            })
            .collect(),
    }
}

/// Tape and film of both passes.
pub(crate) fn passes(first: &PassFigures, reversed: &PassFigures, units: LengthUnit) -> Grid {
    let row = |name: &str, pass: &PassFigures| {
        vec![
            name.to_owned(),
            pass.working_edge.show_run(units),
            pass.line_tape.length.show_run(units),
            pass.line_tape.to_lay.show_run(units),
            pass.edge_tape.length.show_run(units),
            pass.edge_tape.to_lay.show_run(units),
            pass.cover.show(units),
        ]
    };
    Grid {
        head: vec![
            "Pass",
            "Paint line",
            "Line tape",
            "with laps",
            "Edge tape",
            "with laps",
            "Film",
        ],
        rows: vec![
            row("1 first, paints the border", first),
            row("2 reversed, paints the fields", reversed),
        ],
    }
}

/// One sentence on whether the areas add up.
pub(crate) fn closure(areas: &Areas) -> String {
    let closure = areas.closure().to_m2().abs();
    if areas.closes() {
        format!(
            "Closure {closure:.9} m²: the parts, each measured on its own shape, add up to the deck."
        )
    } else {
        format!(
            "Closure {closure:.9} m²: the parts do NOT add up to the deck. Do not rely on these areas."
        )
    }
}

/// Text from a layout as one line that steers no terminal: control characters become spaces.
pub(crate) fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}
