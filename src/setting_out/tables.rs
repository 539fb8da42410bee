//! The tables that people carry to the deck, as heads and cells of text; how they are drawn or written is not known here.

use super::{Check, EdgeKind, FieldOut, PointOut, SettingOut, Tie, tape};
use crate::units::{Length, LengthUnit};

/// A table in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// The field it belongs to, or what else it is about.
    pub section: String,
    /// What it holds.
    pub caption: String,
    /// Heads of its columns with their shares of the width.
    pub columns: Vec<(String, f64)>,
    /// Its rows, a cell for each column.
    pub rows: Vec<Vec<String>>,
    /// A sentence that goes with it.
    pub note: Option<String>,
}

impl Table {
    fn new(section: &str, caption: &str, columns: &[(&str, f64)], rows: Vec<Vec<String>>) -> Self {
        Self {
            section: section.to_owned(),
            caption: caption.to_owned(),
            columns: columns
                .iter()
                .map(|(head, share)| ((*head).to_owned(), *share))
                .collect(),
            rows,
            note: None,
        }
    }
}

/// A length as the tape shows it, without its unit.
fn shown(length: Length, units: LengthUnit) -> String {
    tape::rounded(length, units).show_bare(units)
}

/// A distance off the centreline with its side.
fn off(mm: f64, units: LengthUnit) -> String {
    let size = shown(Length::mm(mm.abs()), units);
    if mm > 0.0 {
        format!("{size} S")
    } else if mm < 0.0 {
        format!("{size} P")
    } else {
        "0".to_owned()
    }
}

/// What is to be known before the first point is marked, a sentence or two each.
#[must_use]
pub fn said(out: &SettingOut) -> Vec<String> {
    let mut said = rounding(out);
    said.push(
        "Station: distance aft from the datum along the centreline. Off: square to the centreline, P to port, S to \
         starboard. Left and right of a line: as one sees it who stands at its first end and looks to the other."
            .to_owned(),
    );
    if out.is_raised {
        said.push(
            "This deck is not flat. Station and off are in plan: hold the tape level and plumb down. Along and girth, \
             ties, radii and checks are measured with the tape lying on the deck, pulled taut and pressed down: along \
             the centreline first, then square off it over the round of the deck."
                .to_owned(),
        );
    }
    said.extend(ties(out));
    let units = out.units;
    said.push(format!(
        "Checks: measure each before a line is drawn. One that differs by more than {} says that one of its two points is \
         wrong; the other checks of both say which.",
        out.tolerance.show(units)
    ));
    if !out.unchecked.is_empty() {
        said.push(format!(
            "No two checks hold {} both ways: measure {} twice.",
            few(&out.unchecked),
            if out.unchecked.len() == 1 {
                "it"
            } else {
                "them"
            }
        ));
    }
    said.push(format!(
        "In the order of the steps one walks {} from the first point to the last; in the order of the names it would be \
         {}.",
        out.walked.show_run(units),
        out.walked_by_name.show_run(units)
    ));
    said
}

/// Some names, or the first few and how many more there are.
fn few(names: &[String]) -> String {
    const MOST: usize = 6;
    if names.len() <= MOST {
        return names.join(", ");
    }
    format!(
        "{} and {} more",
        names[..MOST].join(", "),
        names.len() - MOST
    )
}

fn rounding(out: &SettingOut) -> Vec<String> {
    let units = out.units;
    let step = if units.is_imperial() {
        "1/16 in"
    } else {
        "1 mm"
    };
    let mut ways = vec![format!(
        "{} by station and distance off",
        out.rounding.show_fine(units)
    )];
    if let Some(girths) = out.rounding_of_girths {
        ways.push(format!("{} by station and girth", girths.show_fine(units)));
    }
    if let Some(ties) = out.rounding_of_ties {
        ways.push(format!("{} by ties", ties.show_fine(units)));
    }
    let mut said = vec![format!(
        "Lengths are rounded to {step}, as a tape shows them. Rounding moves no point by more than {}.",
        ways.join(", ")
    )];
    let most = out
        .fields
        .iter()
        .max_by(|a, b| a.area_rounding.total_cmp(&b.area_rounding));
    if let Some(field) = most {
        said.push(format!(
            "By station and distance off, rounding changes no field's area by more than {:.2} % ({}).",
            field.area_rounding * 100.0,
            field.id
        ));
    }
    said
}

fn ties(out: &SettingOut) -> Vec<String> {
    if out.marks.is_empty() {
        return vec![
            "No ties: fewer than two marks were named. Name two or more that stay on the deck with --mark, and each \
             point gets two distances that fix it without a square."
                .to_owned(),
        ];
    }
    let mut said = vec![
        "Ties: measure the marks' distances from each other first. Swing the first tie, then the second; they cross on \
         the side given of the line from the first mark to the second. The third, where there is one, must then agree. \
         Error: by how many millimetres the point is out, at most, for each that both ties are."
            .to_owned(),
    ];
    let without: Vec<String> = out.without_ties().map(|point| point.name.clone()).collect();
    if !without.is_empty() {
        said.push(format!(
            "{} of {} points have no sound ties ({}): all pairs of marks cross there at less than {}°, or so flat that rounding \
             moves the point{}. Set these out by {}, or name a mark further to one side.",
            without.len(),
            out.points().count(),
            few(&without),
            super::LEAST_CROSSING,
            if out.is_raised {
                ", or stand so far away over the round of the deck that a taut tape does not lie straight"
            } else {
                ""
            },
            if out.is_raised {
                "station and girth"
            } else {
                "station and distance off"
            }
        ));
    }
    let worst = out
        .points()
        .filter_map(|point| Some((point, point.ties?.sensitivity)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((point, error)) = worst {
        said.push(format!(
            "The ties that cross flattest are those of {}, with an error of {error:.1}; square ones have 1.4.",
            point.name
        ));
    }
    said
}

/// All tables of a deck: the marks, then field by field.
#[must_use]
pub fn tables(out: &SettingOut) -> Vec<Table> {
    let mut tables = marks(out);
    let mut step = 0;
    for field in &out.fields {
        tables.push(points(field, out, step));
        tables.push(edges(field, out.units));
        tables.extend(battens(field, out.units));
        if !field.checks.is_empty() {
            tables.push(checks(
                &section(field),
                "Check before a line is drawn",
                &field.checks,
                out.units,
            ));
        }
        step += field.points.len();
    }
    tables
}

fn marks(out: &SettingOut) -> Vec<Table> {
    if out.marks.is_empty() {
        return Vec::new();
    }
    let units = out.units;
    let mut columns = vec![("Mark", 1.0), ("Station", 1.2), ("Off", 1.2)];
    if out.is_raised {
        columns.extend([("Along", 1.2), ("Girth", 1.2)]);
    }
    let rows = out.marks.iter().enumerate().map(|(number, mark)| {
        let mut row = vec![
            mark.name.clone(),
            shown(Length::mm(mark.at.x), units),
            off(mark.at.y, units),
        ];
        if let Some(on_deck) = out.marks_on_deck.get(number) {
            row.push(shown(on_deck.along, units));
            row.push(off(on_deck.girth.to_mm(), units));
        }
        row
    });
    vec![
        Table::new("Marks", "Marks", &columns, rows.collect()),
        checks(
            "Marks",
            "From mark to mark, before anything else",
            &out.between_marks,
            units,
        ),
    ]
}

fn section(field: &FieldOut) -> String {
    format!("Field {}", field.id)
}

fn points(field: &FieldOut, out: &SettingOut, steps_before: usize) -> Table {
    let units = out.units;
    let has_ties = !out.marks.is_empty();
    // Feet, inches and sixteenths take more room.
    let (length, tie) = if units.is_imperial() {
        (1.5, 1.9)
    } else {
        (1.0, 1.25)
    };
    // With girths beside them there is no room for all; the third tie is in the table for spreadsheets.
    let has_third = !(out.is_raised && units.is_imperial());
    let mut columns = vec![
        ("Step", 0.75),
        ("Point", 1.15),
        ("Station", length),
        ("Off", length + 0.15),
    ];
    if out.is_raised {
        columns.extend([("Along", length), ("Girth", length + 0.15)]);
    }
    if has_ties {
        columns.extend([
            ("First tie", tie),
            ("Second tie", tie),
            ("Side", 0.75),
            ("Error", 0.8),
        ]);
    }
    if has_ties && has_third {
        columns.push(("Third, to check", tie));
    }
    columns.push(("Done", 0.8));
    let row = |(index, point): (usize, &PointOut)| {
        let mut row = vec![
            (steps_before + index + 1).to_string(),
            if point.is_bare {
                point.name.clone()
            } else {
                format!("{} *", point.name)
            },
            shown(Length::mm(point.measured.x), units),
            off(point.measured.y, units),
        ];
        if out.is_raised {
            let on_deck = point.on_deck;
            row.push(on_deck.map_or(String::new(), |one| shown(one.along, units)));
            row.push(on_deck.map_or(String::new(), |one| off(one.girth.to_mm(), units)));
        }
        if has_ties {
            let mut cells = tie_cells(point, out);
            cells.truncate(if has_third { 5 } else { 4 });
            row.extend(cells);
        }
        row.push(String::new());
        row
    };
    let rows = field.points.iter().enumerate().map(row).collect();
    let caption = "Points, and centres of arcs (c)";
    let mut table = Table::new(&section(field), caption, &columns, rows);
    if field.points.iter().any(|point| !point.is_bare) {
        table.note = Some(
            "* No bare deck there: an opening, a fitting, or beside the deck. Mark this centre on a board laid over the \
             place, or leave it and draw its arc round an object of the diameter given, held to both ends of the arc."
                .to_owned(),
        );
    }
    table
}

fn tie_cells(point: &PointOut, out: &SettingOut) -> Vec<String> {
    let Some(ties) = point.ties else {
        return ["none sound", "-", "-", "-", "-"]
            .map(str::to_owned)
            .to_vec();
    };
    let cell = |tie: Tie| {
        format!(
            "{} {}",
            out.marks[tie.mark].name,
            shown(tie.length, out.units)
        )
    };
    let [first, second] = ties.pair.map(cell);
    vec![
        first,
        second,
        if ties.is_left { "left" } else { "right" }.to_owned(),
        format!("{:.1}", ties.sensitivity),
        ties.third.map_or_else(|| "-".to_owned(), cell),
    ]
}

fn edges(field: &FieldOut, units: LengthUnit) -> Table {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut batten: Option<(usize, usize)> = None;
    let mut passed: Vec<&str> = Vec::new();
    for edge in &field.edges {
        let [how, radius, object] = match &edge.kind {
            EdgeKind::Straight => ["straight".to_owned(), String::new(), String::new()],
            EdgeKind::Arc {
                centre,
                radius,
                is_left,
            } => [
                format!(
                    "arc about {centre}, turning {}",
                    if *is_left { "left" } else { "right" }
                ),
                shown(*radius, units),
                shown(*radius * 2.0, units),
            ],
            EdgeKind::Batten(_) => ["batten, see below".to_owned(), String::new(), String::new()],
            EdgeKind::Through(number) => {
                let this = Some((edge.ring, *number));
                if batten == this {
                    // One row for all of it.
                    passed.push(&edge.from);
                    if let Some(row) = rows.last_mut() {
                        row[1].clone_from(&edge.to);
                        row[2] = match passed[..] {
                            [first, .., last] => format!("batten through {first} to {last}"),
                            _ => format!("batten through {}", edge.from),
                        };
                    }
                    continue;
                }
                batten = this;
                passed.clear();
                ["batten".to_owned(), String::new(), String::new()]
            }
        };
        rows.push(vec![
            edge.from.clone(),
            edge.to.clone(),
            how,
            radius,
            object,
        ]);
    }
    let length = if units.is_imperial() { 1.1 } else { 0.8 };
    let columns = [
        ("From", 0.8),
        ("To", 0.8),
        ("How", 3.2),
        ("Radius", length),
        ("Round object, diameter", length + 0.2),
    ];
    Table::new(&section(field), "Edges", &columns, rows)
}

/// The offsets of all battens of a field, one below the other.
fn battens(field: &FieldOut, units: LengthUnit) -> Option<Table> {
    let mut rows = Vec::new();
    let mut off = Length::ZERO;
    for edge in &field.edges {
        let EdgeKind::Batten(batten) = &edge.kind else {
            continue;
        };
        off = off.max(batten.off);
        for (along, offset) in batten.along.iter().zip(&batten.offsets) {
            let size = shown(Length::mm(offset.to_mm().abs()), units);
            let offset = if offset.to_mm() == 0.0 {
                size
            } else {
                let side = if offset.to_mm() < 0.0 {
                    "right"
                } else {
                    "left"
                };
                format!("{size} {side}")
            };
            rows.push(vec![
                edge.from.clone(),
                edge.to.clone(),
                shown(*along, units),
                offset,
                String::new(),
            ]);
        }
    }
    if rows.is_empty() {
        return None;
    }
    let columns = [
        ("From", 0.8),
        ("To", 0.8),
        ("Along the line", 1.1),
        ("Offset, looking along it", 1.5),
        ("Done", 0.6),
    ];
    let mut table = Table::new(&section(field), "Battens", &columns, rows);
    table.note = Some(format!(
        "Offsets from the straight line between a batten's ends, at equal steps along it. Bent through all of them it passes \
         no further than {} from the true edge.",
        off.show_fine(units)
    ));
    Some(table)
}

fn checks(section: &str, caption: &str, checks: &[Check], units: LengthUnit) -> Table {
    let columns = [
        ("From", 1.0),
        ("To", 1.0),
        ("Distance", 1.2),
        ("Measured", 1.2),
    ];
    let row = |check: &Check| {
        let distance = shown(check.distance, units);
        vec![
            check.from.clone(),
            check.to.clone(),
            distance,
            String::new(),
        ]
    };
    Table::new(section, caption, &columns, checks.iter().map(row).collect())
}
