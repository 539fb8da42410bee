//! The tables that people carry to the deck, as heads and cells of text; how they are drawn or written is not known here.

use super::{EdgeKind, FieldOut, PointOut, SettingOut, tape};
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
        "on it".to_owned()
    }
}

/// What is to be known before the first point is marked, a sentence each.
#[must_use]
pub fn said(out: &SettingOut) -> Vec<String> {
    let units = out.units;
    let step = if units.is_imperial() {
        "1/16 in"
    } else {
        "1 mm"
    };
    let mut said = vec![format!(
        "Lengths are rounded to {step}, as a tape shows them. That moves no point set out by station and distance off by \
         more than {}.",
        out.rounding.show_fine(units)
    )];
    said.push(
        "Station: distance aft from the datum along the centreline. Off: square to the centreline, P to port, S to \
         starboard."
            .to_owned(),
    );
    if out.is_raised {
        said.push(
            "Station and off are in plan: hold the tape level. Girth and what stands under \"on deck\" are measured with \
             the tape lying on the deck."
                .to_owned(),
        );
    }
    if let Some(rounding) = out.rounding_of_ties {
        let marks: Vec<String> = out
            .marks
            .iter()
            .map(|mark| {
                format!(
                    "{} at station {}, {}",
                    mark.name,
                    shown(Length::mm(mark.at.x), units),
                    off(mark.at.y, units)
                )
            })
            .collect();
        said.push(format!(
            "Ties are measured from {}. Left and right: as one who stands at the first mark sees it, looking to the second. \
             Rounding moves no point set out by its ties by more than {}. Error: by how much the point is out, at most, \
             for every millimetre (or inch) that both ties are.",
            marks.join("; "),
            rounding.show_fine(units)
        ));
    } else {
        said.push(
            "No ties: fewer than two marks were named. Name two or more that stay on the deck with --mark, and each \
             point gets two distances that fix it without a square."
                .to_owned(),
        );
    }
    let poor: Vec<String> = out
        .poor()
        .map(|(point, error)| format!("{} ({error:.1})", point.name))
        .collect();
    if !poor.is_empty() {
        said.push(format!(
            "The ties of {} cross at a flat angle: even the best pair of marks leaves an error above {:.0}. Set these out \
             by station and distance off, or name a mark further to one side.",
            poor.join(", "),
            super::POOR
        ));
    }
    let unfixed: Vec<&str> = out.unfixed().map(|point| point.name.as_str()).collect();
    if !unfixed.is_empty() {
        said.push(format!(
            "No pair of marks fixes {}: they lie on the line through the marks, or close to it, or at a mark. Set them \
             out by station and distance off.",
            unfixed.join(", ")
        ));
    }
    said.push(format!(
        "In the order given, one walks {} from the first point to the last.",
        out.walked.show_run(units)
    ));
    said
}

/// All tables of a deck, field by field.
#[must_use]
pub fn tables(out: &SettingOut) -> Vec<Table> {
    let mut tables = Vec::new();
    for field in &out.fields {
        tables.push(points(field, out));
        tables.push(edges(field, out.units));
        tables.extend(battens(field, out.units));
        if !field.checks.is_empty() {
            tables.push(checks(field, out));
        }
    }
    tables
}

fn section(field: &FieldOut) -> String {
    format!("Field {}", field.id)
}

fn points(field: &FieldOut, out: &SettingOut) -> Table {
    let units = out.units;
    let has_ties = !out.marks.is_empty();
    let mut columns = vec![("Point", 1.1), ("Station", 1.1), ("Off", 1.2)];
    if out.is_raised {
        columns.extend([("Along deck", 1.1), ("Girth", 1.2)]);
    }
    if has_ties {
        columns.extend([("First tie", 1.5), ("Second tie", 1.5)]);
        if out.is_raised {
            columns.push(("Both on deck", 1.7));
        }
        columns.extend([("Side", 0.8), ("Error", 0.8)]);
    }
    columns.push(("Done", 0.7));
    let row = |point: &PointOut| {
        let mut row = vec![
            point.name.clone(),
            shown(Length::mm(point.measured.x), units),
            off(point.measured.y, units),
        ];
        if out.is_raised {
            let on_deck = point.on_deck;
            row.push(on_deck.map_or(String::new(), |one| shown(one.along, units)));
            row.push(on_deck.map_or(String::new(), |one| off(one.girth.to_mm(), units)));
        }
        if has_ties {
            row.extend(tie_cells(point, out));
        }
        row.push(String::new());
        row
    };
    let rows = field.points.iter().map(row).collect();
    let caption = "Points, and centres of arcs (c)";
    Table::new(&section(field), caption, &columns, rows)
}

fn tie_cells(point: &PointOut, out: &SettingOut) -> Vec<String> {
    let units = out.units;
    let Some(ties) = point.ties else {
        let count = if out.is_raised { 5 } else { 4 };
        return vec!["-".to_owned(); count];
    };
    let mut cells: Vec<String> = ties
        .marks
        .iter()
        .zip(ties.lengths)
        .map(|(mark, length)| format!("{} {}", out.marks[*mark].name, shown(length, units)))
        .collect();
    if out.is_raised {
        let both = ties.on_deck.map_or(String::new(), |both| {
            both.map(|length| shown(length, units)).join(", ")
        });
        cells.push(both);
    }
    cells.push(if ties.is_left { "left" } else { "right" }.to_owned());
    cells.push(format!("{:.1}", ties.sensitivity));
    cells
}

fn edges(field: &FieldOut, units: LengthUnit) -> Table {
    let rows = field
        .edges
        .iter()
        .map(|edge| {
            let [how, radius, object] = match &edge.kind {
                EdgeKind::Straight => ["straight".to_owned(), String::new(), String::new()],
                EdgeKind::Arc { centre, radius, .. } => [
                    format!("arc about {centre}"),
                    shown(*radius, units),
                    shown(*radius * 2.0, units),
                ],
                EdgeKind::Batten(_) => {
                    ["batten, see below".to_owned(), String::new(), String::new()]
                }
            };
            vec![edge.from.clone(), edge.to.clone(), how, radius, object]
        })
        .collect();
    let columns = [
        ("From", 1.0),
        ("To", 1.0),
        ("How", 1.6),
        ("Radius", 1.0),
        ("Round object, diameter", 1.4),
    ];
    Table::new(&section(field), "Edges", &columns, rows)
}

fn battens(field: &FieldOut, units: LengthUnit) -> Vec<Table> {
    field
        .edges
        .iter()
        .filter_map(|edge| {
            let EdgeKind::Batten(batten) = &edge.kind else {
                return None;
            };
            let rows = batten
                .along
                .iter()
                .zip(&batten.offsets)
                .map(|(along, offset)| {
                    let side = if offset.to_mm() < 0.0 { "right" } else { "left" };
                    let size = shown(Length::mm(offset.to_mm().abs()), units);
                    let offset = if offset.to_mm() == 0.0 {
                        size
                    } else {
                        format!("{size} {side}")
                    };
                    vec![shown(*along, units), offset, String::new()]
                })
                .collect();
            let caption = format!(
                "Batten from {} to {}: offsets from the straight line between them",
                edge.from, edge.to
            );
            let columns = [
                ("Along the line", 1.0),
                ("Offset, looking along it", 1.4),
                ("Done", 0.6),
            ];
            let mut table = Table::new(&section(field), &caption, &columns, rows);
            table.note = Some(format!(
                "{} equal steps. A batten through all of these passes no further than {} from the true edge.",
                batten.steps,
                batten.off.show_fine(units)
            ));
            Some(table)
        })
        .collect()
}

fn checks(field: &FieldOut, out: &SettingOut) -> Table {
    let units = out.units;
    let mut columns = vec![("From", 1.0), ("To", 1.0), ("Distance", 1.2)];
    if out.is_raised {
        columns.push(("On deck", 1.2));
    }
    columns.push(("Measured", 1.2));
    let rows = field
        .checks
        .iter()
        .map(|check| {
            let mut row = vec![
                check.from.clone(),
                check.to.clone(),
                shown(check.distance, units),
            ];
            if out.is_raised {
                row.push(check.on_deck.map_or(String::new(), |one| shown(one, units)));
            }
            row.push(String::new());
            row
        })
        .collect();
    Table::new(
        &section(field),
        "Check before a line is drawn",
        &columns,
        rows,
    )
}
