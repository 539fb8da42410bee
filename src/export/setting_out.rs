//! Setting-out tables as bytes: for a spreadsheet, and as Markdown.
//!
//! CSV columns, one row a point (`row` = `point`, `centre`), with rows of their own for marks, offsets of a batten and check
//! distances. Lengths are numbers in `unit`, as the tape shows them (sixteenths of an inch as decimals).
//!
//! | column | holds |
//! |---|---|
//! | `deck`, `row`, `order` | the deck; `mark`, `point`, `centre`, `offset` or `check`; the order of marking, from 1 |
//! | `field`, `ring`, `name`, `unit` | the field, its ring (1: outer), the point (of an offset, where its base line begins) |
//! | `station`, `off`, `side` | in plan; `side` is P, S or C (on the centreline) |
//! | `station_on_deck`, `girth` | with the tape on the deck, where it has camber or sheer |
//! | `tape` | how ties, radii and checks are measured: `level`, or `on deck` where it has camber or sheer |
//! | `mark_1`, `tie_1`, `mark_2`, `tie_2` | the ties; empty where no pair of marks is sound |
//! | `side_of_marks` | `left` or `right` of the line from the first mark to the second |
//! | `error_per_error` | the most the point is out for each unit that both ties are |
//! | `mark_3`, `tie_3` | a third tie, to check the point by |
//! | `to`, `edge` | the next point, and how the edge goes there: `straight`, `arc`, `batten`, `through` |
//! | `batten` | of an edge `through`: its batten's number; one batten goes through all points of a ring with that number |
//! | `centre`, `radius`, `diameter`, `turns` | of an arc; `turns` is `left` (counter-clockwise) or `right` |
//! | `along`, `offset` | of an offset: along the base line, and off it, positive to the left |
//! | `batten_off` | the most that the batten passes from the true edge |
//! | `distance`, `tolerance` | of a check: between `name` and `to`, and how far it may differ |
//! | `on_bare_deck` | of a centre: `no` where an opening, a fitting or the deck's edge leaves nothing to mark it on |
//! | `steps` | of a batten: equal steps along its base line |

use super::csv::push_row;
use super::grid::one_line;
use super::markdown::plain;
use crate::setting_out::{
    Check, EdgeKind, OnDeck, PointOut, SettingOut, Tie, rounded, said, tables,
};
use crate::units::{Length, LengthUnit};

const COLUMNS: [&str; 35] = [
    "deck",
    "row",
    "order",
    "field",
    "ring",
    "name",
    "unit",
    "station",
    "off",
    "side",
    "station_on_deck",
    "girth",
    "tape",
    "mark_1",
    "tie_1",
    "mark_2",
    "tie_2",
    "side_of_marks",
    "error_per_error",
    "mark_3",
    "tie_3",
    "to",
    "edge",
    "centre",
    "radius",
    "diameter",
    "turns",
    "along",
    "offset",
    "batten_off",
    "distance",
    "tolerance",
    "steps",
    "batten",
    "on_bare_deck",
];

/// The tables of some decks for a spreadsheet.
#[must_use]
pub fn csv(decks: &[SettingOut]) -> String {
    let mut text = String::new();
    push_row(&mut text, COLUMNS);
    for deck in decks {
        for row in (Rows { deck }).all() {
            let cells: Vec<&str> = COLUMNS
                .iter()
                .map(|column| {
                    let found = row.iter().find(|(name, _)| name == column);
                    found.map_or("", |(_, cell)| cell.as_str())
                })
                .collect();
            push_row(&mut text, cells);
        }
    }
    text
}

/// Cells by the name of their column.
type Row = Vec<(&'static str, String)>;

struct Rows<'a> {
    deck: &'a SettingOut,
}

impl Rows<'_> {
    fn all(&self) -> Vec<Row> {
        let mut rows = Vec::new();
        for (number, mark) in self.deck.marks.iter().enumerate() {
            let mut row = self.head("mark", "", &mark.name);
            self.place(&mut row, mark.at.x, mark.at.y);
            self.on_deck(&mut row, self.deck.marks_on_deck.get(number));
            rows.push(row);
        }
        for check in &self.deck.between_marks {
            rows.push(self.check("", check));
        }
        let mut order = 0;
        for field in &self.deck.fields {
            for point in &field.points {
                order += 1;
                let kind = if point.is_centre { "centre" } else { "point" };
                let mut row = self.head(kind, &field.id, &point.name);
                row.push(("order", order.to_string()));
                self.place(&mut row, point.measured.x, point.measured.y);
                self.point(&mut row, point);
                let edge = field.edges.iter().find(|edge| edge.from == point.name);
                if let Some(edge) = edge {
                    row.push(("ring", edge.ring.to_string()));
                    row.push(("to", edge.to.clone()));
                    self.edge(&mut row, &edge.kind);
                }
                rows.push(row);
            }
            for edge in &field.edges {
                if let EdgeKind::Batten(batten) = &edge.kind {
                    for (along, offset) in batten.along.iter().zip(&batten.offsets) {
                        let mut row = self.head("offset", &field.id, &edge.from);
                        row.push(("ring", edge.ring.to_string()));
                        row.push(("to", edge.to.clone()));
                        row.push(("along", self.number(*along)));
                        row.push(("offset", self.number(*offset)));
                        rows.push(row);
                    }
                }
            }
            for check in &field.checks {
                rows.push(self.check(&field.id, check));
            }
        }
        rows
    }

    fn head(&self, kind: &str, field: &str, name: &str) -> Row {
        let unit = match self.deck.units {
            LengthUnit::Millimetre => "mm",
            LengthUnit::Centimetre => "cm",
            LengthUnit::Metre => "m",
            LengthUnit::Inch | LengthUnit::Foot => "in",
        };
        let tape = if self.deck.is_raised {
            "on deck"
        } else {
            "level"
        };
        vec![
            ("deck", self.deck.id.clone()),
            ("row", kind.to_owned()),
            ("field", field.to_owned()),
            ("name", name.to_owned()),
            ("unit", unit.to_owned()),
            ("tape", tape.to_owned()),
        ]
    }

    fn place(&self, row: &mut Row, x: f64, y: f64) {
        let y = rounded(Length::mm(y), self.deck.units).to_mm();
        let side = if y > 0.0 {
            "S"
        } else if y < 0.0 {
            "P"
        } else {
            "C"
        };
        row.push(("station", self.number(Length::mm(x))));
        row.push(("off", self.number(Length::mm(y.abs()))));
        row.push(("side", side.to_owned()));
    }

    fn on_deck(&self, row: &mut Row, on_deck: Option<&OnDeck>) {
        if let Some(on_deck) = on_deck {
            row.push(("station_on_deck", self.number(on_deck.along)));
            let girth = on_deck.girth.to_mm().abs();
            row.push(("girth", self.number(Length::mm(girth))));
        }
    }

    fn check(&self, field: &str, check: &Check) -> Row {
        let mut row = self.head("check", field, &check.from);
        row.push(("to", check.to.clone()));
        row.push(("distance", self.number(check.distance)));
        row.push(("tolerance", self.number(self.deck.tolerance)));
        row
    }

    fn point(&self, row: &mut Row, point: &PointOut) {
        self.on_deck(row, point.on_deck.as_ref());
        if point.is_centre {
            let is_bare = if point.is_bare { "yes" } else { "no" };
            row.push(("on_bare_deck", is_bare.to_owned()));
        }
        let Some(ties) = point.ties else { return };
        let mut tie = |mark: &'static str, length: &'static str, tie: Tie| {
            row.push((mark, self.deck.marks[tie.mark].name.clone()));
            row.push((length, self.number(tie.length)));
        };
        tie("mark_1", "tie_1", ties.pair[0]);
        tie("mark_2", "tie_2", ties.pair[1]);
        if let Some(third) = ties.third {
            tie("mark_3", "tie_3", third);
        }
        row.push(("side_of_marks", side(ties.is_left)));
        row.push(("error_per_error", format!("{:.2}", ties.sensitivity)));
    }

    fn edge(&self, row: &mut Row, kind: &EdgeKind) {
        match kind {
            EdgeKind::Straight => row.push(("edge", "straight".to_owned())),
            EdgeKind::Through(number) => {
                row.push(("edge", "through".to_owned()));
                row.push(("batten", number.to_string()));
            }
            EdgeKind::Arc {
                centre,
                radius,
                is_left,
            } => {
                row.push(("edge", "arc".to_owned()));
                row.push(("centre", centre.clone()));
                row.push(("radius", self.number(*radius)));
                row.push(("diameter", self.number(*radius * 2.0)));
                row.push(("turns", side(*is_left)));
            }
            EdgeKind::Batten(batten) => {
                row.push(("edge", "batten".to_owned()));
                row.push(("steps", batten.steps.to_string()));
                let unit = self.unit();
                row.push(("batten_off", format!("{:.4}", batten.off.to(unit))));
            }
        }
    }

    const fn unit(&self) -> LengthUnit {
        match self.deck.units {
            LengthUnit::Foot => LengthUnit::Inch,
            other => other,
        }
    }

    /// A length as the tape shows it, as a number.
    fn number(&self, length: Length) -> String {
        let decimals = match self.deck.units {
            LengthUnit::Millimetre => 0,
            LengthUnit::Centimetre => 1,
            LengthUnit::Metre => 3,
            LengthUnit::Inch | LengthUnit::Foot => 4,
        };
        let value = rounded(length, self.deck.units).to(self.unit());
        format!("{value:.decimals$}")
    }
}

fn side(is_left: bool) -> String {
    if is_left { "left" } else { "right" }.to_owned()
}

/// The tables of some decks in Markdown.
#[must_use]
pub fn markdown(title: &str, decks: &[SettingOut]) -> String {
    let mut text = format!("# Setting out: {}\n", plain(title));
    for deck in decks {
        text += &format!("\n## {}\n\n", plain(&deck.title));
        if deck.fields.is_empty() {
            text += "No field: there is nothing to set out.\n";
            continue;
        }
        for sentence in said(deck) {
            text += &format!("- {}\n", plain(&sentence));
        }
        let mut section = String::new();
        for table in tables(deck) {
            if table.section != section {
                text += &format!("\n### {}\n", plain(&table.section));
                section.clone_from(&table.section);
            }
            text += &format!("\n{}:\n\n|", plain(&table.caption));
            for (head, _) in &table.columns {
                text += &format!(" {} |", plain(head));
            }
            text += "\n|";
            for (index, _) in table.columns.iter().enumerate() {
                text += if index == 0 { " --- |" } else { " ---: |" };
            }
            text += "\n";
            for row in &table.rows {
                text += "|";
                for cell in row {
                    text += &format!(" {} |", plain(&one_line(cell)));
                }
                text += "\n";
            }
            if let Some(note) = &table.note {
                text += &format!("\n{}\n", plain(note));
            }
        }
    }
    text
}
