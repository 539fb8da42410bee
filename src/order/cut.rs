//! Pieces cut into stretches that are painted in one go. Comes in: which cells each piece has, how far they are to walk,
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
    /// How far its cells are to walk on average.
    pub(super) mean: f64,
}

/// The mean distance of some cells.
fn mean(ground: &Ground, cells: &[usize]) -> f64 {
    let sum: f64 = cells.iter().map(|cell| ground.walk[*cell]).sum();
    sum / cells.len().max(1) as f64
}

/// A piece in `many` bands about equally large, none broader than `broadest`, each in what hangs together; and the distances
/// that part the bands.
pub(super) fn cut(
    ground: &Ground,
    piece: usize,
    mut cells: Vec<usize>,
    many: usize,
    broadest: f64,
) -> (Vec<Cut>, Vec<f64>) {
    let far = |cell: &usize| ground.walk[*cell];
    cells.sort_by(|one, other| far(other).total_cmp(&far(one)).then(one.cmp(other)));
    let (Some(first), Some(last)) = (cells.first().map(far), cells.last().map(far)) else {
        return (Vec::new(), Vec::new());
    };
    let mut levels: Vec<f64> = Vec::new();
    let mut from = first;
    for band in 1..=many {
        let to = cells.get(band * cells.len() / many).map_or(last, far);
        let parts = ((from - to) / broadest).ceil().max(1.0);
        let mut part = 1.0;
        while part < parts {
            levels.push(from - (from - to) * part / parts);
            part += 1.0;
        }
        if band < many {
            levels.push(to);
        }
        from = to;
    }
    let bands = levels.len() + 1;
    let mut of_cell: BTreeMap<usize, usize> = BTreeMap::new();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for band in 0..bands {
        let mut inside = vec![false; ground.grid.len()];
        for cell in &cells {
            inside[*cell] = band_of(&levels, far(cell)) == band;
        }
        let (parts, count) = ground.grid.components(&inside);
        let first = groups.len();
        groups.resize(first + count, Vec::new());
        for cell in &cells {
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
        if size as f64 >= least || groups.iter().filter(|group| !group.is_empty()).count() < 2 {
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
    let cuts = groups
        .into_iter()
        .filter(|group| !group.is_empty())
        .map(|mut cells| {
            cells.sort_by(|one, other| far(other).total_cmp(&far(one)).then(one.cmp(other)));
            Cut {
                piece,
                band: band_of(&levels, ground.walk[cells[cells.len() / 2]]),
                mean: mean(ground, &cells),
                cells,
            }
        })
        .collect();
    (cuts, levels)
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
