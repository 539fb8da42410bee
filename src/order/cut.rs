//! Pieces cut into stretches that are painted in one go. Comes in: which cells each piece has, how far off they are,
//! how much is handy. Goes out: stretches, each the cells of a piece between two lines of equal distance that hang
//! together, so that port and starboard of a border come in turns and the wet edge is met again soon.

use std::collections::BTreeMap;

use super::ground::Ground;

/// Less than this share of a band goes with the stretch beside it.
const LEAST_SHARE: f64 = 0.12;

/// A stretch.
#[derive(Debug, Clone)]
pub(super) struct Cut {
    /// Which piece it is of.
    pub(super) piece: usize,
    /// Which of its bands, the farthest first.
    pub(super) band: usize,
    /// Its cells, the farthest first.
    pub(super) cells: Vec<usize>,
    /// How far off its cells are on average.
    pub(super) mean: f64,
}

/// The mean distance of some cells.
fn mean(ground: &Ground, cells: &[usize]) -> f64 {
    let sum: f64 = cells.iter().map(|cell| ground.far[*cell]).sum();
    sum / cells.len().max(1) as f64
}

/// The distances that part a piece's cells, the farthest first, into `many` bands about equally large.
pub(super) fn equal_bands(ground: &Ground, cells: &[usize], many: usize) -> Vec<f64> {
    let parted = (1..many).filter_map(|band| cells.get(band * cells.len() / many));
    parted.map(|cell| ground.far[*cell]).collect()
}

/// The distances that part everything up to `farthest` into rings, the farthest first: the nearest so broad, and the others.
pub(super) fn rings(farthest: f64, nearest: f64, broad: f64) -> Vec<f64> {
    let mut levels = Vec::new();
    let mut level = nearest;
    while broad.is_finite() && level < farthest {
        levels.push(level);
        level += broad;
    }
    levels.reverse();
    levels
}

/// Cells sorted, the farthest first.
pub(super) fn sorted(ground: &Ground, mut cells: Vec<usize>) -> Vec<usize> {
    let far = |cell: &usize| ground.far[*cell];
    cells.sort_by(|one, other| far(other).total_cmp(&far(one)).then(one.cmp(other)));
    cells
}

/// A piece in the bands between some distances, each in what hangs together; `whole_bands` are left as they are, where of
/// others too small a part goes with what is beside it.
pub(super) fn cut(
    ground: &Ground,
    piece: usize,
    cells: &[usize],
    levels: &[f64],
    whole_bands: bool,
) -> Vec<Cut> {
    let far = |cell: &usize| ground.far[*cell];
    let bands = levels.len() + 1;
    let mut of_cell: BTreeMap<usize, usize> = BTreeMap::new();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for band in 0..bands {
        let mut inside = vec![false; ground.grid.len()];
        for cell in cells {
            inside[*cell] = band_of(levels, far(cell)) == band;
        }
        let (parts, count) = ground.grid.components(&inside);
        let first = groups.len();
        groups.resize(first + count, Vec::new());
        for cell in cells {
            if let Some(part) = parts[*cell] {
                groups[first + part].push(*cell);
                of_cell.insert(*cell, first + part);
            }
        }
    }
    // What is too small to be a stretch joins the one it has most edge with, or the nearest.
    let least = LEAST_SHARE * cells.len() as f64 / bands as f64;
    let mut by_size: Vec<usize> = (0..groups.len()).collect();
    by_size.sort_by_key(|group| groups[*group].len());
    for small in by_size {
        let size = groups[small].len();
        if whole_bands
            || size as f64 >= least
            || groups.iter().filter(|group| !group.is_empty()).count() < 2
        {
            continue;
        }
        let mut shared: BTreeMap<usize, usize> = BTreeMap::new();
        for cell in &groups[small] {
            for next in ground.grid.neighbours(*cell) {
                if let Some(other) = of_cell.get(&next).filter(|other| **other != small) {
                    *shared.entry(*other).or_default() += 1;
                }
            }
        }
        let beside = shared.iter().max_by_key(|(_, edge)| **edge);
        let Some(into) = beside
            .map(|(other, _)| *other)
            .or_else(|| nearest(ground, &groups, small))
        else {
            continue;
        };
        let moved = std::mem::take(&mut groups[small]);
        for cell in &moved {
            of_cell.insert(*cell, into);
        }
        groups[into].extend(moved);
    }
    let groups = groups
        .into_iter()
        .filter(|group| !group.is_empty())
        .map(|cells| sorted(ground, cells));
    groups
        .map(|cells| Cut {
            piece,
            band: band_of(levels, far(&cells[cells.len() / 2])),
            mean: mean(ground, &cells),
            cells,
        })
        .collect()
}

/// The band of a distance, the farthest first.
pub(super) fn band_of(levels: &[f64], far: f64) -> usize {
    levels.partition_point(|level| *level > far)
}

/// The group whose middle is nearest.
fn nearest(ground: &Ground, groups: &[Vec<usize>], small: usize) -> Option<usize> {
    let middle = |group: &[usize]| {
        let sum = group.iter().fold(crate::shape::Point::ORIGIN, |sum, cell| {
            sum + ground.grid.middle(*cell)
        });
        sum * (1.0 / group.len() as f64)
    };
    let here = middle(&groups[small]);
    (0..groups.len())
        .filter(|other| *other != small && !groups[*other].is_empty())
        .min_by(|one, other| {
            let away = |group: &usize| middle(&groups[*group]).distance(here);
            away(one).total_cmp(&away(other))
        })
}
