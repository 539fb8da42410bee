//! The figures for a spreadsheet: one row for each area of a deck, each field and each pass, as RFC 4180
//! has it (comma, CRLF, quotes where a value needs them). Metres, millimetres and square metres, unrounded.

use crate::figures::{Areas, DeckFigures, FieldFigures, Figures, PassFigures, PassOnSurface};
use crate::units::{Area, Length, LengthUnit};

const COLUMNS: [&str; 19] = [
    "layout",
    "deck",
    "row",
    "name",
    "area_m2",
    "perimeter_m",
    "rings",
    "centroid_x_mm",
    "centroid_y_mm",
    "clearance_mm",
    "tightest_round_mm",
    "tightest_hollow_mm",
    "working_edge_m",
    "line_tape_m",
    "line_to_lay_m",
    "edge_tape_m",
    "edge_to_lay_m",
    "cover_m2",
    "clashes",
];

/// Columns that stand behind the others where a deck has camber or sheer: the same on its surface.
const ON_SURFACE: [&str; 8] = [
    "true_area_m2",
    "true_perimeter_m",
    "true_working_edge_m",
    "true_line_tape_m",
    "true_line_to_lay_m",
    "true_edge_tape_m",
    "true_edge_to_lay_m",
    "true_cover_m2",
];

/// The figures of one layout or several, under one heading.
#[must_use]
pub fn csv<'a>(layouts: impl IntoIterator<Item = &'a Figures>) -> String {
    let layouts: Vec<&Figures> = layouts.into_iter().collect();
    let with_surface = layouts.iter().any(|figures| figures.has_surface());
    let further: &[&str] = if with_surface { &ON_SURFACE } else { &[] };
    let mut text = String::new();
    push_row(&mut text, COLUMNS.iter().chain(further).copied());
    for figures in layouts {
        for deck in &figures.decks {
            for row in deck_rows(deck) {
                let cells = row.cells();
                let further = with_surface.then(|| row.on_surface.cells());
                let head = [&figures.title, &deck.id, row.kind, &row.name];
                let cells = cells.iter().chain(further.iter().flatten());
                push_row(&mut text, head.into_iter().chain(cells.map(String::as_str)));
            }
        }
    }
    text
}

/// One row; what does not apply to its kind stays empty.
#[derive(Default)]
struct Row<'a> {
    kind: &'static str,
    name: String,
    area: Option<Area>,
    perimeter: Option<Length>,
    field: Option<&'a FieldFigures>,
    pass: Option<&'a PassFigures>,
    on_surface: OnSurface,
}

/// The same on the surface.
#[derive(Default)]
struct OnSurface {
    area: Option<Area>,
    perimeter: Option<Length>,
    pass: Option<PassOnSurface>,
}

impl OnSurface {
    fn area(area: Option<Area>) -> Self {
        Self {
            area,
            ..Self::default()
        }
    }

    fn cells(&self) -> [String; ON_SURFACE.len()] {
        let m = |length: Length| length.to(LengthUnit::Metre);
        let pass = self.pass;
        [
            cell(self.area.map(Area::to_m2)),
            cell(self.perimeter.map(m)),
            cell(pass.map(|pass| m(pass.working_edge))),
            cell(pass.map(|pass| m(pass.line_tape))),
            cell(pass.map(|pass| m(pass.line_to_lay))),
            cell(pass.map(|pass| m(pass.edge_tape))),
            cell(pass.map(|pass| m(pass.edge_to_lay))),
            cell(pass.map(|pass| pass.cover.to_m2())),
        ]
    }
}

impl Row<'_> {
    fn cells(&self) -> [String; COLUMNS.len() - 4] {
        let m = |length: Length| length.to(LengthUnit::Metre);
        let field = self.field;
        let pass = self.pass;
        [
            cell(self.area.map(Area::to_m2)),
            cell(self.perimeter.map(m)),
            cell(field.map(|field| field.rings)),
            cell(field.map(|field| field.centroid.x)),
            cell(field.map(|field| field.centroid.y)),
            cell(field.map(|field| field.clearance.to_mm())),
            cell(
                field
                    .and_then(|field| field.tightest_round)
                    .map(Length::to_mm),
            ),
            cell(
                field
                    .and_then(|field| field.tightest_hollow)
                    .map(Length::to_mm),
            ),
            cell(pass.map(|pass| m(pass.working_edge))),
            cell(pass.map(|pass| m(pass.line_tape.length))),
            cell(pass.map(|pass| m(pass.line_tape.to_lay))),
            cell(pass.map(|pass| m(pass.edge_tape.length))),
            cell(pass.map(|pass| m(pass.edge_tape.to_lay))),
            cell(pass.map(|pass| pass.cover.to_m2())),
            cell(pass.map(|pass| pass.clashes.len())),
        ]
    }
}

fn deck_rows(deck: &DeckFigures) -> Vec<Row<'_>> {
    let of_area = |kind, area| Row {
        kind,
        area: Some(area),
        ..Row::default()
    };
    let own = deck.surface.as_ref();
    let part = |of: fn(&Areas) -> Area| OnSurface::area(own.map(|own| of(&own.areas)));
    let mut rows = vec![Row {
        perimeter: Some(deck.perimeter),
        name: deck.title.clone(),
        on_surface: OnSurface {
            perimeter: own.map(|own| own.perimeter),
            ..part(|areas| areas.deck)
        },
        ..of_area("deck", deck.areas.deck)
    }];
    rows.extend(deck.fields.iter().enumerate().map(|(index, field)| {
        let own = own.and_then(|own| own.fields.get(index));
        Row {
            name: field.id.clone(),
            perimeter: Some(field.perimeter),
            field: Some(field),
            on_surface: OnSurface {
                perimeter: own.map(|own| own.perimeter),
                ..OnSurface::area(own.map(|own| own.area))
            },
            ..of_area("field", field.area)
        }
    }));
    for (kind, area, on_surface) in [
        ("border", deck.areas.border, part(|areas| areas.border)),
        (
            "openings",
            deck.areas.openings,
            part(|areas| areas.openings),
        ),
        (
            "fittings",
            deck.areas.fittings,
            part(|areas| areas.fittings),
        ),
    ] {
        rows.push(Row {
            on_surface,
            ..of_area(kind, area)
        });
    }
    for (name, pass, on_surface) in [
        ("first", &deck.first, own.map(|own| own.first)),
        ("reversed", &deck.reversed, own.map(|own| own.reversed)),
    ] {
        rows.push(Row {
            kind: "pass",
            name: name.to_owned(),
            pass: Some(pass),
            on_surface: OnSurface {
                pass: on_surface,
                ..OnSurface::default()
            },
            ..Row::default()
        });
    }
    rows
}

fn cell(value: Option<impl ToString>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

/// A row as RFC 4180 has it.
pub(super) fn push_row<'a>(text: &mut String, cells: impl IntoIterator<Item = &'a str>) {
    for (index, value) in cells.into_iter().enumerate() {
        if index > 0 {
            text.push(',');
        }
        if value.contains([',', '"', '\r', '\n']) {
            text.push('"');
            text.push_str(&value.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(value);
        }
    }
    text.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::sample;

    #[test]
    fn each_area_field_and_pass_has_a_row_of_as_many_cells_as_the_heading() {
        let text = csv([&sample::figures()]);
        let rows: Vec<&str> = text.split_terminator("\r\n").collect();
        let title = "\"Foredeck, \"\"wet\"\"\",fore";
        assert_eq!(rows.len(), 8);
        assert_eq!(
            rows[2],
            format!("{title},field,F1,1.2,5,2,1000,0,60,40,,,,,,,,")
        );
        assert_eq!(rows[3], format!("{title},border,,0.55,,,,,,,,,,,,,,"));
        assert_eq!(
            rows[7],
            format!("{title},pass,reversed,,,,,,,,,5,5.1,5.15,0,0.1,0.4,1")
        );
        for row in &rows[1..] {
            let rest = row.strip_prefix(title).expect("title and deck stand first");
            assert_eq!(rest.matches(',').count(), COLUMNS.len() - 2);
        }
    }
}
