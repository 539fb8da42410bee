//! Blocks, put where they are inserted. Comes in: the entities of the file and of its blocks. Goes out: paths in the
//! drawing's axes. What stands in a block on layer 0 takes the layer of the insertion, and all of it goes by
//! the handle of the insertion.

use std::collections::BTreeMap;

use super::super::{Drawn, DrawnPath, ImportFault, Piece, Unread};
use super::curves::{FARTHEST, point};
use super::entities::{Insert, Item, items, unescaped};
use super::groups::Record;
use crate::shape::{Point, Transformation};

/// Blocks within blocks deeper than this are refused.
const DEEPEST: usize = 32;
/// Files that draw more lines and curves are refused.
const MOST_PIECES: usize = 2_000_000;
/// Files that put more entities and blocks in their places are refused.
const MOST_STEPS: usize = 1_000_000;

/// A block.
struct Block {
    base: Point,
    items: Vec<Item>,
}

/// All blocks, by their names in capitals: names of blocks do not tell large and small letters apart.
#[derive(Default)]
pub(super) struct Blocks(BTreeMap<String, Block>);

impl Blocks {
    /// From the records of the section BLOCKS.
    pub(super) fn of(records: &[Record<'_>]) -> Result<Self, ImportFault> {
        let mut blocks = BTreeMap::new();
        let mut rest = records;
        while let [record, after @ ..] = rest {
            if record.kind != "BLOCK" {
                rest = after;
                continue;
            }
            let count = after
                .iter()
                .take_while(|record| !matches!(record.kind, "ENDBLK" | "BLOCK"))
                .count();
            if after.get(count).is_none_or(|end| end.kind != "ENDBLK") {
                return Err(record
                    .fault("this block has no ENDBLK", "begins here")
                    .with_help("save the drawing again as DXF: the file is damaged"));
            }
            let name = unescaped(record.text(2).unwrap_or_default()).to_uppercase();
            let base = point(record, 10, "its base point").unwrap_or(Point::ORIGIN);
            blocks.insert(
                name,
                Block {
                    base,
                    items: items(&after[..count])?,
                },
            );
            rest = &after[count..];
        }
        Ok(Self(blocks))
    }
}

/// Puts everything where it belongs.
pub(super) fn expanded(top: Vec<Item>, blocks: &Blocks) -> Result<Drawn, ImportFault> {
    let mut expansion = Expansion {
        blocks,
        drawn: Drawn::default(),
        pieces: 0,
        steps: 0,
        within: Vec::new(),
    };
    for item in top {
        match item {
            Item::Path(path) => {
                expansion.count(path.pieces.len(), path.line)?;
                expansion.drawn.paths.push(path);
            }
            Item::Unread(unread) => expansion.drawn.unread.push(unread),
            Item::Insert(insert) => {
                let line = insert.line;
                let outer = Outer {
                    handle: insert.handle.as_deref(),
                    layer: insert.layer.as_deref(),
                    line,
                };
                expansion.insert(&insert, None, outer)?;
            }
        }
    }
    Ok(expansion.drawn)
}

/// The insertion in the drawing itself that something comes with.
#[derive(Clone, Copy)]
struct Outer<'a> {
    handle: Option<&'a str>,
    /// The layer of the insertion at hand, for what stands on layer 0.
    layer: Option<&'a str>,
    line: usize,
}

struct Expansion<'b> {
    blocks: &'b Blocks,
    drawn: Drawn,
    pieces: usize,
    steps: usize,
    /// Names of the blocks that the one at hand stands in.
    within: Vec<String>,
}

impl Expansion<'_> {
    fn count(&mut self, pieces: usize, line: usize) -> Result<(), ImportFault> {
        self.pieces += pieces;
        self.steps += 1;
        if self.pieces <= MOST_PIECES && self.steps <= MOST_STEPS {
            return Ok(());
        }
        Err(ImportFault::new(
            line,
            0,
            "the drawing has too many lines and curves once its blocks are in place",
            "here it gets too much",
        )
        .with_help("save what is needed of it, the outlines, as a drawing of its own"))
    }

    fn unread(&mut self, outer: Outer<'_>, fault: ImportFault) {
        self.drawn.unread.push(Unread {
            id: outer.handle.map(str::to_owned),
            layer: outer.layer.map(str::to_owned),
            fault,
            only_by_name: false,
        });
    }

    /// Puts a block in its place or places; `map` from the axes the insertion stands in to the drawing's.
    fn insert(
        &mut self,
        insert: &Insert,
        map: Option<&Transformation>,
        outer: Outer<'_>,
    ) -> Result<(), ImportFault> {
        let name = insert.block.to_uppercase();
        let wrong = |message: String, label: &str, help: &str| {
            ImportFault::new(insert.line, 0, message, label).with_help(help)
        };
        // Also one that comes to nothing leaves a word.
        self.count(0, outer.line)?;
        let blocks = self.blocks;
        let Some(block) = blocks.0.get(&name) else {
            let fault = wrong(
                format!("there is no block \"{}\" in this drawing", insert.block),
                "inserted here",
                "bind it (an outside reference?) or explode it, then save again",
            );
            self.unread(outer, fault);
            return Ok(());
        };
        if self.within.contains(&name) || self.within.len() >= DEEPEST {
            let message = if self.within.contains(&name) {
                format!("the block \"{}\" is inserted within itself", insert.block)
            } else {
                format!("blocks stand within each other more than {DEEPEST} deep")
            };
            let fault = wrong(
                message,
                "inserted here",
                "explode it in the program that drew it",
            );
            self.unread(outer, fault);
            return Ok(());
        }
        self.within.push(name);
        for row in 0..insert.rows {
            for column in 0..insert.columns {
                self.count(0, outer.line)?;
                let by = insert.column * times(column) + insert.row * times(row);
                let own = Transformation::shift(by)
                    .after(&insert.map)
                    .after(&Transformation::shift(block.base * -1.0));
                let own = map.map_or(own, |map| map.after(&own));
                self.contents(block, &own, outer)?;
            }
        }
        self.within.pop();
        Ok(())
    }

    fn contents(
        &mut self,
        block: &Block,
        map: &Transformation,
        outer: Outer<'_>,
    ) -> Result<(), ImportFault> {
        for item in &block.items {
            match item {
                Item::Path(path) => {
                    self.count(0, outer.line)?;
                    let pieces: Option<Vec<Vec<Piece>>> =
                        path.pieces.iter().map(|piece| piece.mapped(map)).collect();
                    let pieces = pieces.map(|pieces| pieces.concat());
                    let Some(pieces) = pieces.filter(|pieces| can_be_drawn(pieces)) else {
                        let fault = ImportFault::new(
                            path.line,
                            0,
                            "this cannot be drawn where its block is inserted: the numbers grow too large",
                            "out of range",
                        )
                        .with_help("check the scale of the INSERT");
                        self.unread(outer, fault);
                        continue;
                    };
                    self.count(pieces.len(), outer.line)?;
                    self.drawn.paths.push(DrawnPath {
                        id: outer.handle.map(str::to_owned),
                        layer: layer_within(path.layer.as_deref(), outer.layer),
                        pieces,
                        closed: path.closed,
                        line: path.line,
                    });
                }
                Item::Unread(unread) => {
                    self.count(0, outer.line)?;
                    self.drawn.unread.push(Unread {
                        id: outer.handle.map(str::to_owned),
                        layer: layer_within(unread.layer.as_deref(), outer.layer),
                        ..unread.clone()
                    });
                }
                Item::Insert(insert) => {
                    let layer = layer_within(insert.layer.as_deref(), outer.layer);
                    let inner = Outer {
                        layer: layer.as_deref(),
                        ..outer
                    };
                    self.insert(insert, Some(map), inner)?;
                }
            }
        }
        Ok(())
    }
}

/// Whether there is something to draw, and none of it is out of all bounds.
fn can_be_drawn(pieces: &[Piece]) -> bool {
    let is_near = |piece: &Piece| {
        [piece.start(), piece.end()]
            .iter()
            .all(|at| at.x.abs() <= FARTHEST && at.y.abs() <= FARTHEST)
            && match piece {
                Piece::Arc(arc) => arc.radius <= FARTHEST,
                Piece::Line { .. } | Piece::Curve(_) => true,
            }
    };
    !pieces.is_empty() && pieces.iter().all(is_near)
}

fn layer_within(own: Option<&str>, outer: Option<&str>) -> Option<String> {
    match own {
        None | Some("0") => outer.map(str::to_owned),
        Some(own) => Some(own.to_owned()),
    }
}

#[allow(
    clippy::cast_precision_loss,
    reason = "at most 32 767 rows and columns"
)]
const fn times(count: i64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::super::read;

    /// A drawing that inserts the block B, with more groups of the insertion and with what stands in the block.
    fn inserting(groups: &str, block: &str) -> String {
        format!(
            "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB\n10\n0\n20\n0\n{block}0\nENDBLK\n0\nENDSEC\n\
             0\nSECTION\n2\nENTITIES\n0\nINSERT\n2\nB\n10\n0\n20\n0\n{groups}0\nENDSEC\n0\nEOF\n"
        )
    }

    #[test]
    fn blocks_that_come_to_nothing_are_counted_all_the_same() {
        for inner in ["B", "NONE"] {
            let inner = format!("0\nINSERT\n2\n{inner}\n10\n0\n20\n0\n").repeat(200);
            let text = inserting("70\n500\n71\n100\n", &inner);
            let fault = read(text.as_bytes()).expect_err("ten million of them");
            assert!(fault.message.contains("too many"), "{}", fault.message);
        }
    }

    #[test]
    fn what_a_block_makes_too_large_to_draw_is_refused() {
        let circle = "0\nCIRCLE\n10\n0\n20\n0\n40\n1e14\n";
        for scale in ["41\n1\n42\n1e300\n", "41\n1e300\n42\n1e300\n"] {
            let drawn = read(inserting(scale, circle).as_bytes()).expect("a good file");
            assert!(drawn.paths.is_empty());
            assert_eq!(drawn.unread.len(), 1);
        }
    }
}
