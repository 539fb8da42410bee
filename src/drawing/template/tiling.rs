//! How a deck is cut into pages: which way the grid lies, which of its cells carry lines, what they are called.

use std::collections::BTreeSet;

use super::super::full_size::{FullSizeDeck, LineKind};
use super::super::paper::Paper;
use super::TemplateRequest;
use crate::shape::{BoundingBox, Point, Segment};

/// Places of the grid that are tried along each axis.
const PLACES: usize = 6;
/// Lines keep so far off the edge of the grid, millimetres.
pub(super) const CLEAR: f64 = 2.0;

/// A sheet of paper the way it is read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sheet {
    pub(super) width: f64,
    pub(super) height: f64,
    /// White at its edges.
    pub(super) margin: f64,
    /// How far neighbours show the same, on paper.
    pub(super) overlap: f64,
    /// Millimetres in the file for one on the deck, across and up: 1 for a printer that prints true.
    pub(super) scale: Point,
}

impl Sheet {
    pub(super) fn new(request: &TemplateRequest, paper: Paper, is_landscape: bool) -> Self {
        let (short, long) = (paper.short_side(), paper.long_side());
        let (width, height) = if is_landscape {
            (long, short)
        } else {
            (short, long)
        };
        Self::of_size(request, width, height)
    }

    pub(super) fn of_size(request: &TemplateRequest, width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            margin: request.printer_margin.to_mm(),
            overlap: request.overlap.to_mm(),
            scale: Point::new(1.0 / request.printed_x, 1.0 / request.printed_y),
        }
    }

    /// What the printer reaches.
    pub(super) fn printable(&self) -> BoundingBox {
        let corner = Point::new(self.margin, self.margin);
        BoundingBox {
            least: corner,
            greatest: Point::new(self.width, self.height) - corner,
        }
    }

    /// A page's own part of the printable area: half the overlap within it.
    pub(super) fn own(&self) -> BoundingBox {
        self.printable().grown(-self.overlap / 2.0)
    }

    /// Size of a page's own part, on the deck.
    fn step(&self) -> Point {
        let own = self.own();
        Point::new(own.width() / self.scale.x, own.height() / self.scale.y)
    }
}

/// A page's place: its row from the top and its column from the left, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cell {
    pub(super) row: usize,
    pub(super) column: usize,
}

impl Cell {
    /// `A1`, `A2`, … `B1`, …
    pub(super) fn name(self) -> String {
        format!("{}{}", self.row_name(), self.column + 1)
    }

    /// `A` to `Z`, `AA`, `AB`, …
    pub(super) fn row_name(self) -> String {
        let mut letters = Vec::new();
        let mut left = self.row + 1;
        while left > 0 {
            let letter = u8::try_from((left - 1) % 26).unwrap_or_default();
            letters.push(char::from(b'A' + letter));
            left = (left - 1) / 26;
        }
        letters.iter().rev().collect()
    }
}

/// A side of a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
    Above,
    Below,
}

impl Side {
    pub(super) const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Above, Self::Below];
}

/// The lines that ask for a page: all but the centreline.
pub(super) fn asking(deck: &FullSizeDeck) -> Vec<&Segment> {
    deck.lines
        .iter()
        .filter(|line| line.kind != LineKind::Centreline)
        .flat_map(|line| &line.run.segments)
        .collect()
}

/// The box round some lines, with some white.
pub(super) fn bounds_of(segments: &[&Segment]) -> BoundingBox {
    segments
        .iter()
        .map(|segment| segment.bounding_box())
        .fold(BoundingBox::EMPTY, |all, one| all.joined(&one))
        .grown(CLEAR)
}

/// A deck cut into pages.
#[derive(Debug, Clone)]
pub(super) struct Tiling {
    /// Lower left corner of the whole grid, on the deck.
    pub(super) origin: Point,
    /// Size of a cell, on the deck.
    pub(super) step: Point,
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// The cells that carry lines, row by row.
    pub(super) used: BTreeSet<Cell>,
}

impl Tiling {
    /// The grid, of some places, that needs the fewest pages; of equals the one with the least cells, then the one that
    /// leaves most nearly the same white on both sides.
    pub(super) fn best(deck: &FullSizeDeck, sheet: &Sheet) -> Self {
        let segments = asking(deck);
        let bounds = bounds_of(&segments);
        let step = sheet.step();
        let mut best: Option<(usize, usize, f64, Self)> = None;
        for across in 0..PLACES {
            for up in 0..PLACES {
                let share = |place: usize| place as f64 / PLACES as f64;
                let origin = bounds.least - Point::new(share(across) * step.x, share(up) * step.y);
                let tiling = Self::at(origin, step, &bounds, &segments);
                let reach = Point::new(
                    origin.x + tiling.columns as f64 * step.x,
                    origin.y + tiling.rows as f64 * step.y,
                );
                let uneven = ((bounds.least.x - origin.x) - (reach.x - bounds.greatest.x)).abs()
                    + ((bounds.least.y - origin.y) - (reach.y - bounds.greatest.y)).abs();
                let (count, cells) = (tiling.used.len(), tiling.cells());
                let better = best.as_ref().is_none_or(|(least, fewest, even, _)| {
                    (count, cells) < (*least, *fewest)
                        || (count, cells) == (*least, *fewest) && uneven < even - 1e-6
                });
                if better {
                    best = Some((count, cells, uneven, tiling));
                }
            }
        }
        match best {
            Some((.., tiling)) => tiling,
            None => Self::at(bounds.least, step, &bounds, &segments),
        }
    }

    pub(super) fn at(
        origin: Point,
        step: Point,
        bounds: &BoundingBox,
        segments: &[&Segment],
    ) -> Self {
        let columns = whole((bounds.greatest.x - origin.x) / step.x) + 1;
        let rows = whole((bounds.greatest.y - origin.y) / step.y) + 1;
        let mut carries = vec![false; columns * rows];
        for segment in segments {
            segment.cells(origin, step, |column, row| {
                let (column, row) = (whole(column), whole(row));
                if let Some(cell) = carries.get_mut(row * columns + column) {
                    *cell = true;
                }
            });
        }
        let used = carries
            .iter()
            .enumerate()
            .filter(|(_, carries)| **carries)
            .map(|(index, _)| Cell {
                row: rows - 1 - index / columns,
                column: index % columns,
            });
        Self {
            origin,
            step,
            columns,
            rows,
            used: used.collect(),
        }
    }

    /// All cells, with lines or without.
    pub(super) const fn cells(&self) -> usize {
        self.columns * self.rows
    }

    /// A page's own part of the deck.
    pub(super) fn own(&self, cell: Cell) -> BoundingBox {
        let row = (self.rows - 1 - cell.row) as f64;
        let least = self.origin + Point::new(cell.column as f64 * self.step.x, row * self.step.y);
        BoundingBox {
            least,
            greatest: least + self.step,
        }
    }

    /// The page beside another, where there is one that carries lines.
    pub(super) fn beside(&self, cell: Cell, side: Side) -> Option<Cell> {
        let Cell { row, column } = cell;
        let (row, column) = match side {
            Side::Left => (Some(row), column.checked_sub(1)),
            Side::Right => (Some(row), column.checked_add(1)),
            Side::Above => (row.checked_sub(1), Some(column)),
            Side::Below => (row.checked_add(1), Some(column)),
        };
        let cell = Cell {
            row: row?,
            column: column?,
        };
        self.used.contains(&cell).then_some(cell)
    }

    /// The pages as they hang together, side to side.
    pub(super) fn groups(&self) -> Vec<BTreeSet<Cell>> {
        let mut left = self.used.clone();
        let mut groups = Vec::new();
        while let Some(first) = left.pop_first() {
            let mut group = BTreeSet::from([first]);
            let mut next = vec![first];
            while let Some(cell) = next.pop() {
                for side in Side::ALL {
                    if let Some(beside) = self.beside(cell, side).filter(|one| left.remove(one)) {
                        group.insert(beside);
                        next.push(beside);
                    }
                }
            }
            groups.push(group);
        }
        groups
    }

    /// How many pages with lines meet at a corner of the grid: `column` columns from the left, `row` rows from the top.
    pub(super) fn at_corner(&self, row: usize, column: usize) -> usize {
        let around = |before: usize| [before.checked_sub(1), Some(before)];
        around(row)
            .into_iter()
            .flatten()
            .flat_map(|row| {
                let columns = around(column).into_iter().flatten();
                columns.map(move |column| Cell { row, column })
            })
            .filter(|cell| self.used.contains(cell))
            .count()
    }

    /// Names of pages, those that follow each other in a row as `A3–A7`.
    pub(super) fn listed(cells: impl IntoIterator<Item = Cell>) -> String {
        let mut stretches: Vec<[Cell; 2]> = Vec::new();
        for cell in cells {
            match stretches.last_mut() {
                Some([_, last]) if last.row == cell.row && last.column + 1 == cell.column => {
                    *last = cell;
                }
                _ => stretches.push([cell, cell]),
            }
        }
        let names: Vec<String> = stretches
            .into_iter()
            .map(|[first, last]| match last.column - first.column {
                0 => first.name(),
                1 => format!("{}, {}", first.name(), last.name()),
                _ => format!("{}–{}", first.name(), last.name()),
            })
            .collect();
        names.join(", ")
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of pages; `as` saturates, negative to 0"
)]
fn whole(value: f64) -> usize {
    value as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_named_by_row_and_column() {
        let name = |row, column| Cell { row, column }.name();
        assert_eq!(name(0, 0), "A1");
        assert_eq!(name(25, 9), "Z10");
        assert_eq!(name(26, 0), "AA1");
        assert_eq!(name(27 * 26, 0), "AAA1");
    }

    #[test]
    fn names_that_follow_each_other_are_listed_as_a_stretch() {
        let cells = [(0, 0), (0, 2), (0, 3), (0, 4), (1, 5), (1, 6)];
        let cells = cells.map(|(row, column)| Cell { row, column });
        assert_eq!(Tiling::listed(cells), "A1, A3–A5, B6, B7");
    }
}
