//! The order itself, found from its end. Comes in: the ground and blocks of stretches, each painted without a break. Goes
//! out: the blocks in an order in which whoever paints can always leave, or those that nobody can paint last.
//!
//! The last block is one that can be painted with all the others wet; it is taken away, and so on. Whether a block can be
//! painted depends on what is wet then, and less of it never closes a way: a block that could be last once still could
//! after others are taken away. So no choice spoils a later one, and where none is left to take, no order exists.

use super::cut::Cut;
use super::ground::{FAR, Ground, NEVER};
use crate::shape::Grid;

/// Stretches that are painted one after the other.
#[derive(Debug, Clone)]
pub(super) struct Block {
    /// By their numbers, in order.
    pub(super) cuts: Vec<usize>,
    /// How far off it is on average.
    mean: f64,
    /// Its cells, each with when it is laid: the first layer at 1.
    laid: Vec<(usize, u32)>,
    /// Places too near to it, each with when it becomes so.
    near: Vec<(usize, u32)>,
}

impl Block {
    pub(super) fn new(ground: &Ground, cuts: &[Cut], order: Vec<usize>) -> Self {
        let mut laid: Vec<(usize, u32)> = Vec::new();
        let mut layer = 0;
        let mut sum = 0.0;
        for cut in &order {
            // Laid cell by cell in rows of equal distance; a row counts as wet as soon as its first cell is laid.
            let mut row = f64::NAN;
            for cell in &cuts[*cut].cells {
                let here = (ground.far[*cell] / ground.grid.side()).floor();
                if here != row {
                    row = here;
                    layer += 1;
                }
                sum += ground.far[*cell];
                laid.push((*cell, layer));
            }
        }
        let mut is_laid = vec![false; ground.grid.len()];
        let mut is_near = vec![false; ground.grid.len()];
        let mut near = Vec::new();
        for (cell, layer) in &laid {
            // What is near to a cell beside it that was laid before has been seen.
            let mut before = 0;
            for (beside, (along, up)) in Grid::ASIDE.into_iter().enumerate() {
                let other = ground.grid.beside(*cell, along, up);
                before |= usize::from(other.is_some_and(|other| is_laid[other])) << beside;
            }
            is_laid[*cell] = true;
            for (along, up) in &ground.new_near[before] {
                let Some(place) = ground.grid.beside(*cell, *along, *up) else {
                    continue;
                };
                if ground.stands[place] && !is_near[place] {
                    // Cells come in the order of layers, so the first is the least.
                    is_near[place] = true;
                    near.push((place, *layer));
                }
            }
        }
        Self {
            cuts: order,
            mean: sum / laid.len().max(1) as f64,
            laid,
            near,
        }
    }
}

/// The blocks' order, by their numbers; or those that are left when none of them can be last.
pub(super) fn peel(ground: &Ground, blocks: &[Block]) -> Result<Vec<usize>, Vec<usize>> {
    let mut left: Vec<usize> = (0..blocks.len()).collect();
    left.sort_by(|one, other| blocks[*one].mean.total_cmp(&blocks[*other].mean));
    // How many of those left make a place wet.
    let mut wet_by = vec![0_u32; ground.grid.len()];
    for block in blocks {
        for (place, _) in &block.near {
            wet_by[*place] += 1;
        }
    }
    let mut order = Vec::new();
    while !left.is_empty() {
        let last = left
            .iter()
            .position(|block| can_be_last(ground, &blocks[*block], &wet_by));
        let Some(last) = last else {
            return Err(left);
        };
        let block = left.remove(last);
        for (place, _) in &blocks[block].near {
            wet_by[*place] -= 1;
        }
        order.push(block);
    }
    order.reverse();
    Ok(order)
}

/// Whether a block can be painted while all others that are left are wet.
fn can_be_last(ground: &Ground, block: &Block, wet_by: &[u32]) -> bool {
    let mut wet: Vec<u32> = wet_by
        .iter()
        .map(|count| if *count == 0 { NEVER } else { 0 })
        .collect();
    for (place, layer) in &block.near {
        if wet_by[*place] == 1 {
            wet[*place] = *layer;
        }
    }
    let open = ground.open_until(&wet);
    block
        .laid
        .iter()
        .all(|(cell, layer)| ground.is_reached(*cell, *layer, &open))
}

/// The first cell of a block that nobody who can still leave reaches, with nothing else wet.
pub(super) fn shut_in(ground: &Ground, block: &Block) -> Option<usize> {
    let mut wet = vec![NEVER; ground.grid.len()];
    for (place, layer) in &block.near {
        wet[*place] = *layer;
    }
    let open = ground.open_until(&wet);
    let mut laid = block.laid.iter();
    laid.find(|(cell, layer)| !ground.is_reached(*cell, *layer, &open))
        .map(|(cell, _)| *cell)
}

/// The number of the first piece with a cell that is out of reach even with nothing wet, and the cell.
pub(super) fn out_of_reach<'a>(
    ground: &Ground,
    pieces: impl Iterator<Item = &'a [usize]>,
) -> Option<(usize, usize)> {
    let open = ground.open_until(&vec![NEVER; ground.grid.len()]);
    let mut found = pieces.enumerate().filter_map(|(number, cells)| {
        let mut cells = cells.iter();
        let cell =
            cells.find(|cell| ground.far[**cell] >= FAR || !ground.is_reached(**cell, 0, &open))?;
        Some((number, *cell))
    });
    found.next()
}
