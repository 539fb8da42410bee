//! From a picture to the plane it shows, by marks known in both: a similarity (shift, turn, even scale) where
//! the picture was taken square on, a projective map where it is a photograph of something flat taken from
//! anywhere. Comes in: [`Mark`]s and how well they are known. Goes out: [`Rectified`], the map with the residual
//! at each mark and the precision anywhere, or [`Unfit`]: why these marks fix no map.
//!
//! # Which noise is assumed
//!
//! Both: a mark is pointed at in the picture with some noise, and its place in the plane was measured with some
//! other. A noise of the picture counts in the plane by how far a step in the picture reaches there, which in a
//! photograph is much further at the far end than near the camera. So the residuals are taken in the plane, the
//! unit they are read in, and each is weighted by Σ = there² I + here² J Jᵀ, J the derivatives of the map at the mark
//! (the "effective variance" of fits with errors in both variables: J. Orear, American Journal of Physics 50, 1982,
//! p. 912; from memory). With `here` 0 it is the plain least squares of residuals in the plane.
//!
//! # How
//!
//! The projective start is the direct linear transformation in normalised coordinates (R. Hartley, "In defense of
//! the eight-point algorithm", IEEE Transactions on Pattern Analysis and Machine Intelligence 19(6), 1997), refined by
//! Gauss-Newton steps on the weighted residuals. Blunders are looked for by each mark's residual over its own
//! covariance, after W. Baarda's data snooping (1968; from memory).

use nalgebra::{DMatrix, DVector, Matrix2, Vector2};

use crate::shape::{Point, Transformation};

/// A point known in the picture and in the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// In the picture, in its units.
    pub here: Point,
    /// In the plane, millimetres.
    pub there: Point,
}

/// Standard deviation of one coordinate of a mark. Both 0 stands for equal weights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Noise {
    /// In the picture, in its units.
    pub here: f64,
    /// In the plane, millimetres.
    pub there: f64,
}

/// A side of a [`Mark`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The picture.
    Here,
    /// The plane.
    There,
}

/// Why marks fix no map; marks by their numbers from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfit {
    /// Fewer marks than the map needs.
    TooFew,
    /// Two marks in one place.
    Coincident([usize; 2], Side),
    /// All marks but one, at most, lie on one line; three of them.
    OnALine([usize; 3], Side),
    /// No view of a plane shows the marks so: this one lies behind the camera or at its horizon when the others
    /// lie before it.
    BeyondHorizon(usize),
    /// The computation came to no end.
    Unsettled,
}

/// What is left over at a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual {
    /// Where the map puts the mark, less where it should be; millimetres.
    pub off: Point,
    /// Its length over its own standard deviation, for the noise assumed or the noise all other marks show,
    /// whichever is greater; none where nothing checks the mark. For a good mark over 3.9 once in two thousand.
    pub standardised: Option<f64>,
    /// How far the mark would have to be moved, if it alone is wrong, to agree with all others; none where
    /// nothing checks it.
    pub if_wrong: Option<Point>,
}

/// One mark among the others looks wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspicion {
    /// The marks that may be it, the one that need be moved least first; more than one where the marks are too
    /// few to tell.
    pub marks: Vec<usize>,
}

/// Standardised residuals over this are no chance.
const LIMIT: f64 = 3.9;
/// A triangle lower than this share of its longest side counts as a line; marks nearer to each other than this
/// share of their extent as one.
const FLAT: f64 = 0.01;
/// Gauss-Newton steps at most.
const MOST_STEPS: usize = 60;

/// A map from a picture to the plane it shows.
#[derive(Debug, Clone)]
pub struct Rectified {
    /// The map.
    pub map: Transformation,
    /// At each mark, in their order.
    pub residuals: Vec<Residual>,
    /// How many more numbers the marks give than the map needs: with 0 there is no check.
    pub redundancy: usize,
    /// How many times the noise assumed the residuals show; none without redundancy.
    pub noise_ratio: Option<f64>,
    kind: Kind,
    from: Normal,
    to: Normal,
    parameters: DVector<f64>,
    cofactors: DMatrix<f64>,
}

/// The similarity that fits two or more marks best. It keeps handedness.
///
/// ```
/// use spile::adjust::rectify::{Mark, Noise, similarity};
/// use spile::shape::Point;
/// let mark = |here: [f64; 2], there: [f64; 2]| Mark {
///     here: Point::new(here[0], here[1]),
///     there: Point::new(there[0], there[1]),
/// };
/// let marks = [mark([0.0, 0.0], [100.0, 0.0]), mark([10.0, 0.0], [100.0, 50.0])];
/// let found = similarity(&marks, Noise { here: 0.0, there: 1.0 }).expect("two marks do");
/// let there = found.map.apply(Point::new(0.0, 2.0)).expect("no horizon");
/// assert!(there.distance(Point::new(90.0, 0.0)) < 1e-9);
/// assert_eq!(found.redundancy, 0);
/// ```
///
/// # Errors
/// Fewer than two marks, or two in one place.
pub fn similarity(marks: &[Mark], noise: Noise) -> Result<Rectified, Unfit> {
    if marks.len() < 2 {
        return Err(Unfit::TooFew);
    }
    check_apart(marks)?;
    let (from, to) = normals(marks)?;
    // It is linear in its parameters, so one step goes all the way.
    let start = DVector::from_vec(vec![1.0, 0.0, 0.0, 0.0]);
    settle(Kind::Similarity, marks, noise, from, to, start)
}

/// The projective map that fits four or more marks best.
///
/// # Errors
/// Fewer than four marks, marks in one place or on one line, or marks that no view of a plane shows so.
pub fn projective(marks: &[Mark], noise: Noise) -> Result<Rectified, Unfit> {
    if marks.len() < 4 {
        return Err(Unfit::TooFew);
    }
    check_apart(marks)?;
    check_spread(marks)?;
    let (from, to) = normals(marks)?;
    let start = direct_linear(marks, &from, &to)?;
    settle(Kind::Projective, marks, noise, from, to, start)
}

/// Which map, and so which parameters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// x' = a x - b y + c, y' = b x + a y + d.
    Similarity,
    /// The matrix row by row, its last element 1: the middle of the marks is in sight.
    Projective,
}

impl Kind {
    fn matrix(self, p: &DVector<f64>) -> Transformation {
        let rows = match self {
            Self::Similarity => [[p[0], -p[1], p[2]], [p[1], p[0], p[3]], [0.0, 0.0, 1.0]],
            Self::Projective => [[p[0], p[1], p[2]], [p[3], p[4], p[5]], [p[6], p[7], 1.0]],
        };
        Transformation { rows }
    }

    /// Derivatives of a point's image by the parameters.
    fn by_parameters(self, map: &Transformation, point: Point) -> Option<DMatrix<f64>> {
        let Point { x, y } = point;
        let image = map.apply(point)?;
        Some(match self {
            Self::Similarity => DMatrix::from_row_slice(2, 4, &[x, -y, 1.0, 0.0, y, x, 0.0, 1.0]),
            Self::Projective => {
                let Point { x: u, y: v } = image;
                let row = [
                    [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y],
                    [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y],
                ];
                DMatrix::from_row_slice(2, 8, &row.concat()) / map.weight_at(point)
            }
        })
    }
}

/// Coordinates with the marks' middle as origin and their mean distance from it √2.
#[derive(Debug, Clone, Copy)]
struct Normal {
    middle: Point,
    scale: f64,
}

impl Normal {
    fn of(points: impl Iterator<Item = Point> + Clone, count: f64) -> Option<Self> {
        let middle = points.clone().fold(Point::ORIGIN, |sum, point| sum + point) * (1.0 / count);
        let mean = points.map(|point| point.distance(middle)).sum::<f64>() / count;
        let scale = std::f64::consts::SQRT_2 / mean;
        (scale.is_finite() && scale > 0.0).then_some(Self { middle, scale })
    }

    fn apply(self, point: Point) -> Point {
        (point - self.middle) * self.scale
    }

    fn there(self) -> Transformation {
        Transformation::affine(
            Point::new(self.scale, 0.0),
            Point::new(0.0, self.scale),
            self.middle * -self.scale,
        )
    }

    fn back(self) -> Transformation {
        let unit = 1.0 / self.scale;
        Transformation::affine(Point::new(unit, 0.0), Point::new(0.0, unit), self.middle)
    }
}

fn normals(marks: &[Mark]) -> Result<(Normal, Normal), Unfit> {
    let count: f64 = marks.iter().map(|_| 1.0).sum();
    let from = Normal::of(marks.iter().map(|mark| mark.here), count);
    let to = Normal::of(marks.iter().map(|mark| mark.there), count);
    from.zip(to).ok_or(Unfit::Unsettled)
}

const SIDES: [Side; 2] = [Side::Here, Side::There];

fn on(side: Side, mark: &Mark) -> Point {
    match side {
        Side::Here => mark.here,
        Side::There => mark.there,
    }
}

/// No two marks in one place.
fn check_apart(marks: &[Mark]) -> Result<(), Unfit> {
    for side in SIDES {
        let pairs = || {
            (0..marks.len()).flat_map(move |i| {
                (i + 1..marks.len()).map(move |j| {
                    let apart = on(side, &marks[i]).distance(on(side, &marks[j]));
                    (apart, [i, j])
                })
            })
        };
        let extent = pairs().map(|(apart, _)| apart).fold(0.0, f64::max);
        if !extent.is_finite() {
            return Err(Unfit::Unsettled);
        }
        if let Some((_, pair)) = pairs().find(|(apart, _)| *apart <= FLAT / 10.0 * extent) {
            return Err(Unfit::Coincident(pair, side));
        }
    }
    Ok(())
}

/// Four marks at least of which no three lie on a line. There are such unless all but one lie on one line.
fn check_spread(marks: &[Mark]) -> Result<(), Unfit> {
    for side in SIDES {
        for i in 0..marks.len() {
            for j in i + 1..marks.len() {
                let mut with_them = (0..marks.len())
                    .filter(|k| *k != i && *k != j)
                    .filter(|k| is_flat([i, j, *k].map(|mark| on(side, &marks[mark]))));
                let first = with_them.next();
                // The two themselves, the first, and the others.
                if let Some(k) = first
                    && 3 + with_them.count() + 1 >= marks.len()
                {
                    return Err(Unfit::OnALine([i, j, k], side));
                }
            }
        }
    }
    Ok(())
}

fn is_flat([a, b, c]: [Point; 3]) -> bool {
    let longest = a.distance(b).max(b.distance(c)).max(c.distance(a));
    (b - a).cross(c - a).abs() <= FLAT * longest * longest
}

/// The matrix that makes the equations `x' × H x = 0` least violated, in normalised coordinates.
fn direct_linear(marks: &[Mark], from: &Normal, to: &Normal) -> Result<DVector<f64>, Unfit> {
    // One row more than four marks give, so that the null space is among the right singular vectors.
    let mut equations = DMatrix::zeros((2 * marks.len()).max(9), 9);
    for (i, mark) in marks.iter().enumerate() {
        let (p, q) = (from.apply(mark.here), to.apply(mark.there));
        let rows = [
            [p.x, p.y, 1.0, 0.0, 0.0, 0.0, -q.x * p.x, -q.x * p.y, -q.x],
            [0.0, 0.0, 0.0, p.x, p.y, 1.0, -q.y * p.x, -q.y * p.y, -q.y],
        ];
        for (j, row) in rows.iter().enumerate() {
            equations.row_mut(2 * i + j).copy_from_slice(row);
        }
    }
    let turned = equations.svd(false, true).v_t.ok_or(Unfit::Unsettled)?;
    // Singular values come in falling order.
    let matrix = turned.row(turned.nrows() - 1);
    let weight = |mark: &Mark| {
        let p = from.apply(mark.here);
        matrix[6] * p.x + matrix[7] * p.y + matrix[8]
    };
    // All marks lie on one side of the horizon, the middle with them.
    let before = marks.iter().filter(|mark| weight(mark) > 0.0).count();
    let sign = if 2 * before >= marks.len() { 1.0 } else { -1.0 };
    if let Some(beyond) = marks.iter().position(|mark| weight(mark) * sign <= 1e-9) {
        return Err(Unfit::BeyondHorizon(beyond));
    }
    Ok(DVector::from_iterator(
        8,
        matrix.iter().take(8).map(|value| value / matrix[8]),
    ))
}

/// One mark's share of the normal equations.
struct Share {
    /// Derivatives of its image by the parameters.
    by: DMatrix<f64>,
    /// Where it should be less where it is put.
    short: Vector2<f64>,
    /// Covariance of its noise, in the plane.
    noise: Matrix2<f64>,
}

/// Everything one Gauss-Newton step needs, all in normalised coordinates.
struct Problem<'m> {
    kind: Kind,
    marks: &'m [Mark],
    from: Normal,
    to: Normal,
    noise: Noise,
}

impl Problem<'_> {
    /// The marks' shares for some parameters; which mark where one is out of sight.
    fn shares(&self, parameters: &DVector<f64>) -> Result<Vec<Share>, usize> {
        let map = self.kind.matrix(parameters);
        let there = self.noise.there * self.to.scale;
        let here = self.noise.here * self.from.scale;
        let share = |mark: &Mark| -> Option<Share> {
            let (p, q) = (self.from.apply(mark.here), self.to.apply(mark.there));
            let image = map.apply(p)?;
            let [x, y] = map.derivatives_at(p)?;
            let steps = Matrix2::new(x.x, y.x, x.y, y.y);
            let noise =
                Matrix2::identity() * (there * there) + steps * steps.transpose() * (here * here);
            Some(Share {
                by: self.kind.by_parameters(&map, p)?,
                short: Vector2::new(q.x - image.x, q.y - image.y),
                noise,
            })
        };
        self.marks
            .iter()
            .enumerate()
            .map(|(i, mark)| share(mark).ok_or(i))
            .collect()
    }

    /// Normal matrix and right-hand side for shares with these weights.
    fn normal(&self, shares: &[Share], weights: &[Matrix2<f64>]) -> (DMatrix<f64>, DVector<f64>) {
        let count = match self.kind {
            Kind::Similarity => 4,
            Kind::Projective => 8,
        };
        let mut matrix = DMatrix::zeros(count, count);
        let mut right = DVector::zeros(count);
        for (share, weight) in shares.iter().zip(weights) {
            let weighted = share.by.transpose() * weight;
            matrix += &weighted * &share.by;
            right += weighted * share.short;
        }
        (matrix, right)
    }
}

/// Weighted sum of squares.
fn square_sum(shares: &[Share], weights: &[Matrix2<f64>]) -> f64 {
    shares
        .iter()
        .zip(weights)
        .map(|(share, weight)| (share.short.transpose() * weight * share.short)[0])
        .sum()
}

/// Gauss-Newton to the end, then everything that is to be known about it.
fn settle(
    kind: Kind,
    marks: &[Mark],
    noise: Noise,
    from: Normal,
    to: Normal,
    start: DVector<f64>,
) -> Result<Rectified, Unfit> {
    let noise = if noise.here > 0.0 || noise.there > 0.0 {
        noise
    } else {
        Noise {
            here: 0.0,
            there: 1.0,
        }
    };
    let problem = Problem {
        kind,
        marks,
        from,
        to,
        noise,
    };
    let mut parameters = start;
    let mut shares = problem.shares(&parameters).map_err(Unfit::BeyondHorizon)?;
    for _ in 0..MOST_STEPS {
        // The weights follow the map, but stand still while a step is judged.
        let weights = weights(&shares)?;
        let (matrix, right) = problem.normal(&shares, &weights);
        let step = matrix.cholesky().ok_or(Unfit::Unsettled)?.solve(&right);
        let before = square_sum(&shares, &weights);
        let mut share_of_step = 1.0;
        let mut taken = None;
        while share_of_step > 1e-6 {
            let tried = &parameters + &step * share_of_step;
            if let Ok(found) = problem.shares(&tried)
                && square_sum(&found, &weights) <= before * (1.0 + 1e-12) + 1e-300
            {
                taken = Some((tried, found));
                break;
            }
            share_of_step /= 2.0;
        }
        // No step is better: it is as good as the numbers allow.
        let Some((tried, found)) = taken else {
            break;
        };
        parameters = tried;
        shares = found;
        if step.norm() * share_of_step <= 1e-15 * parameters.norm() {
            break;
        }
    }
    judged(&problem, parameters, &shares)
}

fn weights(shares: &[Share]) -> Result<Vec<Matrix2<f64>>, Unfit> {
    shares
        .iter()
        .map(|share| share.noise.try_inverse().ok_or(Unfit::Unsettled))
        .collect()
}

/// The result, with how far each mark can be trusted.
fn judged(
    problem: &Problem<'_>,
    parameters: DVector<f64>,
    shares: &[Share],
) -> Result<Rectified, Unfit> {
    let (kind, from, to) = (problem.kind, problem.from, problem.to);
    let weights = weights(shares)?;
    let (matrix, _) = problem.normal(shares, &weights);
    let cofactors = matrix.cholesky().ok_or(Unfit::Unsettled)?.inverse();
    let redundancy = 2 * shares.len() - parameters.len();
    let sum = square_sum(shares, &weights);
    let count = |n: usize| (0..n).map(|_| 1.0).sum::<f64>();
    let noise_ratio = (redundancy > 0).then(|| (sum / count(redundancy)).sqrt());
    let residuals = shares
        .iter()
        .zip(&weights)
        .map(|(share, weight)| {
            let taken = &share.by * &cofactors * share.by.transpose();
            let left = share.noise
                - Matrix2::new(taken[(0, 0)], taken[(0, 1)], taken[(1, 0)], taken[(1, 1)]);
            let off = -share.short;
            // What share of a mistake in the mark shows at the mark itself.
            let shows = (left * weight).determinant();
            let inverse = left
                .try_inverse()
                .filter(|_| redundancy > 0 && shows > 1e-6);
            let judged = inverse.map(|inverse| {
                let square = (share.short.transpose() * inverse * share.short)[0].max(0.0);
                let others = if redundancy > 2 {
                    ((sum - square) / count(redundancy - 2)).max(1.0)
                } else {
                    1.0
                };
                let moved = share.noise * inverse * off;
                let moved = Point::new(moved[0], moved[1]) * (1.0 / to.scale);
                ((square / others).sqrt(), moved)
            });
            Residual {
                off: Point::new(off[0], off[1]) * (1.0 / to.scale),
                standardised: judged.map(|(standardised, _)| standardised),
                if_wrong: judged.map(|(_, moved)| moved),
            }
        })
        .collect();
    let mut map = kind.matrix(&parameters);
    map = to.back().after(&map).after(&from.there());
    Ok(Rectified {
        map,
        residuals,
        redundancy,
        noise_ratio,
        kind,
        from,
        to,
        parameters,
        cofactors,
    })
}

impl Rectified {
    /// Covariance of the image of a point of the picture, as far as the marks' noise moves it: [var x, cov,
    /// var y], mm². Where the residuals show more noise than was assumed, theirs counts. None beyond the horizon.
    #[must_use]
    pub fn covariance_at(&self, here: Point) -> Option<[f64; 3]> {
        let map = self.kind.matrix(&self.parameters);
        let by = self.kind.by_parameters(&map, self.from.apply(here))?;
        let ratio = self.noise_ratio.unwrap_or(1.0).max(1.0);
        let factor = ratio * ratio / (self.to.scale * self.to.scale);
        let found = &by * &self.cofactors * by.transpose() * factor;
        Some([found[(0, 0)], found[(0, 1)], found[(1, 1)]])
    }

    /// The standard deviation of the image of a point, in the direction in which it is greatest; millimetres.
    #[must_use]
    pub fn precision_at(&self, here: Point) -> Option<f64> {
        let [xx, xy, yy] = self.covariance_at(here)?;
        let (mean, half) = (f64::midpoint(xx, yy), (xx - yy) / 2.0);
        Some((mean + half.hypot(xy)).sqrt())
    }

    /// The mark that looks wrong, if one does.
    #[must_use]
    pub fn suspicion(&self) -> Option<Suspicion> {
        let worst = self
            .residuals
            .iter()
            .filter_map(|residual| residual.standardised)
            .fold(0.0, f64::max);
        if worst <= LIMIT {
            return None;
        }
        // Marks that explain the residuals as well as the worst one does cannot be told from it.
        let mut marks: Vec<(f64, usize)> = self
            .residuals
            .iter()
            .enumerate()
            .filter(|(_, residual)| residual.standardised.is_some_and(|one| one >= 0.98 * worst))
            .filter_map(|(i, residual)| Some((residual.if_wrong?.length(), i)))
            .collect();
        marks.sort_by(|one, other| one.0.total_cmp(&other.0));
        Some(Suspicion {
            marks: marks.into_iter().map(|(_, i)| i).collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVEN: Noise = Noise {
        here: 0.0,
        there: 1.0,
    };

    /// A plane seen from near its end, low.
    fn view() -> Transformation {
        Transformation {
            rows: [[900.0, 1500.0, 4e5], [2100.0, 0.0, 2e5], [1.0, 0.0, 1500.0]],
        }
    }

    fn marks(there: &[[f64; 2]]) -> Vec<Mark> {
        let view = view();
        there
            .iter()
            .map(|[x, y]| Point::new(*x, *y))
            .map(|there| Mark {
                here: view.apply(there).expect("before the camera"),
                there,
            })
            .collect()
    }

    const SIX: [[f64; 2]; 6] = [
        [0.0, 0.0],
        [800.0, 700.0],
        [800.0, -700.0],
        [2500.0, 1100.0],
        [2500.0, -1100.0],
        [1600.0, 100.0],
    ];

    #[test]
    fn without_noise_the_view_is_undone() {
        for noise in [
            EVEN,
            Noise {
                here: 1.0,
                there: 0.0,
            },
            Noise {
                here: 1.0,
                there: 3.0,
            },
        ] {
            for count in 4..=6 {
                let found = projective(&marks(&SIX)[..count], noise).expect("a map");
                assert_eq!(found.redundancy, 2 * count - 8);
                for [x, y] in [[100.0, 50.0], [3000.0, -900.0], [1200.0, 1000.0]] {
                    let there = Point::new(x, y);
                    let here = view().apply(there).expect("before the camera");
                    let back = found.map.apply(here).expect("in sight");
                    assert!(back.distance(there) < 1e-7, "{back:?}");
                }
            }
        }
    }

    #[test]
    fn a_similarity_takes_the_mean_of_what_three_marks_say() {
        // The classical closed form: in complex numbers a = Σ conj(p) q / Σ |p|² about the middles.
        let marks: Vec<Mark> = [
            ([0.0, 0.0], [10.0, 20.0]),
            ([100.0, 0.0], [11.0, 221.0]),
            ([0.0, 50.0], [-92.0, 19.0]),
        ]
        .iter()
        .map(|(here, there)| Mark {
            here: Point::new(here[0], here[1]),
            there: Point::new(there[0], there[1]),
        })
        .collect();
        let third = 1.0 / 3.0;
        let p0 = marks
            .iter()
            .fold(Point::ORIGIN, |sum, mark| sum + mark.here)
            * third;
        let q0 = marks
            .iter()
            .fold(Point::ORIGIN, |sum, mark| sum + mark.there)
            * third;
        let (mut dot, mut cross, mut square) = (0.0, 0.0, 0.0);
        for mark in &marks {
            let (p, q) = (mark.here - p0, mark.there - q0);
            dot += p.dot(q);
            cross += p.cross(q);
            square += p.dot(p);
        }
        let found = similarity(&marks, EVEN).expect("a map");
        let x = found.map.apply_to_vector(Point::new(1.0, 0.0));
        assert!(x.distance(Point::new(dot, cross) * (1.0 / square)) < 1e-12);
        assert!(found.map.apply(p0).expect("affine").distance(q0) < 1e-12);
        assert!(found.map.similarity().is_some());
        assert_eq!(found.redundancy, 2);
    }

    #[test]
    fn marks_that_fix_nothing_are_named() {
        let at = |list: &[[f64; 2]]| projective(&marks(list), EVEN).expect_err("no map");
        assert_eq!(at(&SIX[..3]), Unfit::TooFew);
        // A fourth on the line of two others: three on a line.
        let list = [SIX[0], SIX[1], SIX[2], [400.0, 350.0]];
        assert!(matches!(at(&list), Unfit::OnALine([0, 1, 3], _)));
        let list = [SIX[0], SIX[1], SIX[2], SIX[3], [2500.5, 1100.5]];
        assert!(matches!(at(&list), Unfit::Coincident([3, 4], _)));
        // All but one on the centre.
        let list = [
            [0.0, 0.0],
            [700.0, 0.0],
            [1500.0, 0.0],
            [2100.0, 0.0],
            [900.0, 800.0],
        ];
        assert!(matches!(at(&list), Unfit::OnALine(..)));
        // Three on a line among five do no harm.
        let list = [
            [0.0, 0.0],
            [700.0, 0.0],
            [1500.0, 0.0],
            [2100.0, 600.0],
            [900.0, 800.0],
        ];
        assert!(projective(&marks(&list), EVEN).is_ok());
        let twins = marks(&SIX[..1]);
        assert!(matches!(
            similarity(&[twins[0], twins[0]], EVEN),
            Err(Unfit::Coincident([0, 1], _) | Unfit::Unsettled)
        ));
    }

    #[test]
    fn marks_no_camera_shows_so_are_refused() {
        // A square whose corners are given crosswise in the picture.
        let square = [[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]];
        let crossed = [square[0], square[2], square[1], square[3]];
        let marks: Vec<Mark> = square
            .iter()
            .zip(crossed)
            .map(|(here, there)| Mark {
                here: Point::new(here[0], here[1]),
                there: Point::new(there[0], there[1]),
            })
            .collect();
        assert!(matches!(
            projective(&marks, EVEN),
            Err(Unfit::BeyondHorizon(_))
        ));
    }

    #[test]
    fn a_mark_put_down_wrong_is_named_where_six_tell_and_only_suspected_where_five_do() {
        for wrong in 0..6 {
            let mut six = marks(&SIX);
            let slip = Point::new(30.0, -40.0);
            six[wrong].there = six[wrong].there + slip;
            let found = projective(&six, EVEN).expect("a map");
            let suspicion = found.suspicion().expect("fifty out");
            assert_eq!(suspicion.marks, [wrong]);
            let moved = found.residuals[wrong].if_wrong.expect("checked");
            assert!(moved.distance(-slip) < 5.0, "{moved:?}");
        }
        let mut five = marks(&SIX[..5]);
        five[2].there = five[2].there + Point::new(30.0, -40.0);
        let suspicion = projective(&five, EVEN).expect("a map").suspicion();
        assert_eq!(suspicion.expect("seen").marks.len(), 5);
        let four = projective(&marks(&SIX[..4]), EVEN).expect("a map");
        assert!(
            four.residuals
                .iter()
                .all(|residual| residual.standardised.is_none())
        );
        assert_eq!(four.suspicion(), None);
    }
}
