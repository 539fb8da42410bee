//! Symmetric positive definite systems of 2 by 2 blocks, one block row a point: factor, solve, and those blocks of the
//! inverse that lie in the factor's pattern. Comes in: which points are joined, and the blocks. Points hang on a few others, so the
//! factor stays as thin as the network; a dense matrix of a thousand points would take minutes where this takes moments.

use nalgebra::{Matrix2, Vector2};

/// The order points are eliminated in, and the pattern of the factor.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    /// Place in the order of each point.
    rank: Vec<usize>,
    /// For each column, in order, the later columns it is joined to.
    rows: Vec<Vec<usize>>,
}

/// A symmetric matrix of blocks in a pattern: diagonal, and below it `block[column][n]` at row `rows[column][n]`.
#[derive(Debug, Clone)]
pub(super) struct Blocks<'p> {
    pattern: &'p Pattern,
    diagonal: Vec<Matrix2<f64>>,
    below: Vec<Vec<Matrix2<f64>>>,
}

/// A factored matrix: L D Lᵀ, with the inverses of D's blocks.
#[derive(Debug, Clone)]
pub(super) struct Factor<'p> {
    pattern: &'p Pattern,
    inverse: Vec<Matrix2<f64>>,
    below: Vec<Vec<Matrix2<f64>>>,
}

impl Pattern {
    /// The pattern of `count` points joined as given, eliminated by least degree.
    pub(super) fn of(count: usize, joined: impl Iterator<Item = (usize, usize)>) -> Self {
        let words = count.div_ceil(64);
        let mut near = vec![vec![0_u64; words]; count];
        for (a, b) in joined {
            if a != b {
                near[a][b / 64] |= 1 << (b % 64);
                near[b][a / 64] |= 1 << (a % 64);
            }
        }
        let degree_of = |row: &[u64]| row.iter().map(|word| word.count_ones()).sum::<u32>();
        let mut degree: Vec<u32> = near.iter().map(|row| degree_of(row)).collect();
        let mut rank = vec![usize::MAX; count];
        let mut order = Vec::with_capacity(count);
        let mut later = Vec::with_capacity(count);
        for step in 0..count {
            let Some(next) = (0..count)
                .filter(|point| rank[*point] == usize::MAX)
                .min_by_key(|point| degree[*point])
            else {
                break;
            };
            rank[next] = step;
            order.push(next);
            let mut row = std::mem::take(&mut near[next]);
            let members = members(&row);
            // Eliminating a point joins all its neighbours to each other.
            row[next / 64] &= !(1 << (next % 64));
            for &member in &members {
                for (word, add) in near[member].iter_mut().zip(&row) {
                    *word |= add;
                }
                near[member][member / 64] &= !(1 << (member % 64));
                near[member][next / 64] &= !(1 << (next % 64));
                degree[member] = degree_of(&near[member]);
            }
            later.push(members);
        }
        let rows = later
            .into_iter()
            .map(|members| {
                let mut rows: Vec<usize> = members.into_iter().map(|point| rank[point]).collect();
                rows.sort_unstable();
                rows
            })
            .collect();
        Self { rank, rows }
    }

    /// A matrix of zeros in this pattern.
    pub(super) fn zeros(&self) -> Blocks<'_> {
        Blocks {
            pattern: self,
            diagonal: vec![Matrix2::zeros(); self.rows.len()],
            below: self
                .rows
                .iter()
                .map(|rows| vec![Matrix2::zeros(); rows.len()])
                .collect(),
        }
    }

    /// Column, place in it and whether the block there is of (b, a) rather than of (a, b).
    fn find(&self, a: usize, b: usize) -> Option<(usize, usize, bool)> {
        let (a, b) = (self.rank[a], self.rank[b]);
        let (column, row) = (a.min(b), a.max(b));
        let place = self.rows[column].binary_search(&row).ok()?;
        Some((column, place, b > a))
    }
}

fn members(row: &[u64]) -> Vec<usize> {
    let mut members = Vec::new();
    for (number, word) in row.iter().enumerate() {
        let mut word = *word;
        while word != 0 {
            members.push(number * 64 + word.trailing_zeros() as usize);
            word &= word - 1;
        }
    }
    members
}

impl<'p> Blocks<'p> {
    /// Adds to the block of a point with itself.
    pub(super) fn add_diagonal(&mut self, point: usize, block: Matrix2<f64>) {
        self.diagonal[self.pattern.rank[point]] += block;
    }

    /// Adds to the block of row `a`, column `b`, and its transpose on the other side.
    pub(super) fn add(&mut self, a: usize, b: usize, block: Matrix2<f64>) {
        if let Some((column, place, turned)) = self.pattern.find(a, b) {
            self.below[column][place] += if turned { block.transpose() } else { block };
        }
    }

    /// The factor once every diagonal element is raised by `share` of itself and by `floor`.
    pub(super) fn factor(&self, share: f64, floor: f64) -> Factor<'p> {
        let rows = &self.pattern.rows;
        let mut diagonal = self.diagonal.clone();
        for block in &mut diagonal {
            block.m11 += block.m11 * share + floor;
            block.m22 += block.m22 * share + floor;
        }
        let mut below = self.below.clone();
        let mut inverse = Vec::with_capacity(rows.len());
        for column in 0..rows.len() {
            let inverted = inverted(diagonal[column], floor);
            let mut blocks = std::mem::take(&mut below[column]);
            for (first, &i) in rows[column].iter().enumerate() {
                let scaled = blocks[first] * inverted;
                diagonal[i] -= scaled * blocks[first].transpose();
                let turned = scaled.transpose();
                let mut place = 0;
                for (second, &k) in rows[column].iter().enumerate().skip(first + 1) {
                    while rows[i][place] != k {
                        place += 1;
                    }
                    below[i][place] -= blocks[second] * turned;
                }
            }
            for block in &mut blocks {
                *block *= inverted;
            }
            below[column] = blocks;
            inverse.push(inverted);
        }
        Factor {
            pattern: self.pattern,
            inverse,
            below,
        }
    }
}

/// The inverse of a symmetric block; of one that rounding has left without one, as if it were `floor` there.
fn inverted(block: Matrix2<f64>, floor: f64) -> Matrix2<f64> {
    let least = floor.max(f64::MIN_POSITIVE);
    let (a, b, c) = (block.m11.max(least), block.m12, block.m22.max(least));
    let rest = (c - b * b / a).max(least);
    let corner = 1.0 / rest;
    let side = -b / a * corner;
    Matrix2::new(1.0 / a + b * b / (a * a) * corner, side, side, corner)
}

impl Factor<'_> {
    /// The solution for a right-hand side, both by point.
    pub(super) fn solve(&self, right: &[Vector2<f64>]) -> Vec<Vector2<f64>> {
        let Pattern { rank, rows } = self.pattern;
        let mut value = vec![Vector2::zeros(); right.len()];
        for (point, given) in right.iter().enumerate() {
            value[rank[point]] = *given;
        }
        for column in 0..rows.len() {
            let given = value[column];
            for (&row, block) in rows[column].iter().zip(&self.below[column]) {
                value[row] -= block * given;
            }
        }
        for column in (0..rows.len()).rev() {
            let mut given = self.inverse[column] * value[column];
            for (&row, block) in rows[column].iter().zip(&self.below[column]) {
                given -= block.transpose() * value[row];
            }
            value[column] = given;
        }
        rank.iter().map(|rank| value[*rank]).collect()
    }

    /// The blocks of the inverse that lie in the pattern (K. Takahashi, J. Fagan, M.-S. Chen, *Formation of a sparse bus impedance
    /// matrix*, 1973).
    pub(super) fn inverse(&self) -> Inverse<'_> {
        let rows = &self.pattern.rows;
        let mut diagonal = self.inverse.clone();
        let mut below: Vec<Vec<Matrix2<f64>>> = vec![Vec::new(); rows.len()];
        for column in (0..rows.len()).rev() {
            let factor = &self.below[column];
            let mut sums = vec![Matrix2::zeros(); factor.len()];
            for (first, &i) in rows[column].iter().enumerate() {
                sums[first] += diagonal[i] * factor[first];
                let mut place = 0;
                for (second, &k) in rows[column].iter().enumerate().skip(first + 1) {
                    while rows[i][place] != k {
                        place += 1;
                    }
                    let block = below[i][place];
                    sums[first] += block.transpose() * factor[second];
                    sums[second] += block * factor[first];
                }
            }
            for (sum, block) in sums.iter_mut().zip(factor) {
                *sum = -*sum;
                diagonal[column] -= block.transpose() * *sum;
            }
            below[column] = sums;
        }
        Inverse {
            pattern: self.pattern,
            diagonal,
            below,
        }
    }
}

/// Those blocks of an inverse that lie in its factor's pattern.
#[derive(Debug, Clone)]
pub(super) struct Inverse<'p> {
    pattern: &'p Pattern,
    diagonal: Vec<Matrix2<f64>>,
    below: Vec<Vec<Matrix2<f64>>>,
}

impl Inverse<'_> {
    /// The block of a point with itself.
    pub(super) fn diagonal(&self, point: usize) -> Matrix2<f64> {
        self.diagonal[self.pattern.rank[point]]
    }

    /// The block of row `a`, column `b`; zero where it lies outside the pattern.
    pub(super) fn block(&self, a: usize, b: usize) -> Matrix2<f64> {
        self.pattern
            .find(a, b)
            .map_or_else(Matrix2::zeros, |(column, place, turned)| {
                let block = self.below[column][place];
                if turned { block.transpose() } else { block }
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::DMatrix;

    /// A ring of points with some chords, each block invented.
    fn example(pattern: &Pattern, joined: &[(usize, usize)]) -> (DMatrix<f64>, Vec<Vector2<f64>>) {
        let count = pattern.rank.len();
        let mut dense = DMatrix::zeros(2 * count, 2 * count);
        for (number, &(a, b)) in joined.iter().enumerate() {
            let angle = number as f64 * 0.7;
            let unit = Vector2::new(angle.cos(), angle.sin());
            let block = unit * unit.transpose();
            for (row, column, sign) in [(a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)] {
                let mut view = dense.view_mut((2 * row, 2 * column), (2, 2));
                view += block * sign;
            }
        }
        for index in 0..2 * count {
            dense[(index, index)] += 0.5;
        }
        let right = (0..count)
            .map(|point| Vector2::new(point as f64, 1.0 - point as f64))
            .collect();
        (dense, right)
    }

    #[test]
    fn sparse_and_dense_agree() {
        let joined: Vec<(usize, usize)> = (0..9)
            .map(|point| (point, (point + 1) % 9))
            .chain([(0, 4), (2, 7), (5, 8), (3, 0)])
            .collect();
        let pattern = Pattern::of(9, joined.iter().copied());
        let (dense, right) = example(&pattern, &joined);
        let mut blocks = pattern.zeros();
        let part = |a: usize, b: usize| dense.fixed_view::<2, 2>(2 * a, 2 * b).into_owned();
        for point in 0..9 {
            blocks.add_diagonal(point, part(point, point));
        }
        for (number, &(a, b)) in joined.iter().enumerate() {
            if number % 2 == 0 {
                blocks.add(a, b, part(a, b));
            } else {
                blocks.add(b, a, part(b, a));
            }
        }
        let factor = blocks.factor(0.0, 0.0);
        let inverse = dense.clone().try_inverse().expect("it is regular");
        let flat = nalgebra::DVector::from_iterator(18, right.iter().flat_map(|v| [v.x, v.y]));
        let expected = &inverse * flat;
        for (point, found) in factor.solve(&right).iter().enumerate() {
            assert!((found.x - expected[2 * point]).abs() < 1e-12);
            assert!((found.y - expected[2 * point + 1]).abs() < 1e-12);
        }
        let selected = factor.inverse();
        let whole = |a: usize, b: usize| inverse.fixed_view::<2, 2>(2 * a, 2 * b).into_owned();
        for point in 0..9 {
            assert!((selected.diagonal(point) - whole(point, point)).norm() < 1e-12);
        }
        for &(a, b) in &joined {
            assert!((selected.block(a, b) - whole(a, b)).norm() < 1e-12);
            assert!((selected.block(b, a) - whole(b, a)).norm() < 1e-12);
        }
    }
}
