//! How likely readings are as they stand, and with one or two of them corrected. Comes in: the readings and which of them
//! are left out. Goes out: the likelihoods, each over all kinds of line together, and the corrections.
//!
//! Which kind a line is of is not known, so the kinds are averaged over, each weighed by how likely it makes the readings.

use super::kinds::{Family, Kind, Powered, families};
use super::{Line, Reading};
use nalgebra::{DMatrix, DVector};

/// A kind of line so much less likely than another, whatever is corrected, is not looked at further (twice the logarithm).
const HOPELESS: f64 = 20.0;

/// A search over all kinds of line.
pub(super) struct Search {
    /// Twice the logarithm of the likelihood, nothing corrected.
    pub(super) plain: f64,
    /// The same of the likeliest kind alone.
    likeliest: f64,
    /// Deviation of a correction of each reading, in the likeliest kind of line.
    pub(super) deviations: Vec<f64>,
    /// The correction of each reading; none for an exact one.
    pub(super) corrections: Vec<Option<Correction>>,
    /// The corrections of each reading together with one of the next two, where they were asked for.
    pairs: Vec<[Option<Pair>; 2]>,
}

/// A correction of two readings near each other.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair {
    /// Twice the logarithm of the likelihood.
    pub(super) likelihood: f64,
    /// The same less what large errors cost.
    score: f64,
    pub(super) indices: [usize; 2],
}

/// A correction of one reading.
#[derive(Debug, Clone, Copy)]
pub(super) struct Correction {
    /// Twice the logarithm of the likelihood.
    pub(super) likelihood: f64,
    /// The same less what a large error costs: errors are the rarer the larger they are.
    pub(super) score: f64,
    /// How far the reading exceeds what is expected: the mean over kinds of line.
    pub(super) error: f64,
    /// Standard deviation of `error`, in the kind of line that suits the correction best.
    pub(super) deviation: f64,
    /// The error in standard deviations, in the same kind.
    pub(super) ratio: f64,
    /// The score in that kind.
    best: f64,
}

impl Correction {
    /// What two kinds of line say together.
    fn or(&self, other: &Self) -> Self {
        let score = either(self.score, other.score);
        let weight = ((other.score - score) / 2.0).exp();
        let likelier = if self.best < other.best { other } else { self };
        Self {
            likelihood: either(self.likelihood, other.likelihood),
            score,
            error: self.error + (other.error - self.error) * weight,
            ..*likelier
        }
    }
}

impl Pair {
    /// What two kinds of line say together.
    fn or(self, other: Self) -> Self {
        Self {
            likelihood: either(self.likelihood, other.likelihood),
            score: either(self.score, other.score),
            ..self
        }
    }
}

/// Twice the logarithm of the sum of two likelihoods, each given so.
fn either(one: f64, other: f64) -> f64 {
    let (most, least) = (one.max(other), one.min(other));
    if least == f64::NEG_INFINITY {
        return most;
    }
    most + 2.0 * ((least - most) / 2.0).exp().ln_1p()
}

/// What one kind of line makes of the readings: their differences and each reading's part in them, both without
/// correlation and of unit deviation.
struct Whitened<'a> {
    powered: &'a Powered,
    plain: f64,
    rest: DVector<f64>,
    columns: DMatrix<f64>,
}

impl Search {
    /// Tries every kind of line on the readings that are not `blamed`, correcting one at a time, and also two if `pairs`.
    pub(super) fn of(
        readings: &[Reading],
        line: Line,
        blamed: &[usize],
        pairs: bool,
    ) -> Option<Self> {
        let count = readings.len();
        let kept: Vec<usize> = (0..count).filter(|index| !blamed.contains(index)).collect();
        let left: Vec<Reading> = kept.iter().map(|index| readings[*index]).collect();
        let mut search = Self {
            plain: f64::NEG_INFINITY,
            likeliest: f64::NEG_INFINITY,
            deviations: vec![f64::INFINITY; count],
            corrections: vec![None; count],
            pairs: vec![[None; 2]; count],
        };
        let powers = Powered::all(&left, line);
        for family in families(&left)? {
            for powered in &powers {
                let taken = &family.differences.matrix * &powered.values;
                let of_noise = family.of_noise(powered, line.noise);
                for kind in family.kinds(line.noise) {
                    let Some(whitened) =
                        search.whitened(&family, &kind, powered, &of_noise, &taken)
                    else {
                        continue;
                    };
                    search.take_up(readings, &kept, line.noise, &whitened);
                    if pairs {
                        search.take_up_pairs(readings, &kept, line.noise, &whitened);
                    }
                }
            }
        }
        search.plain.is_finite().then_some(search)
    }

    /// None where the kind is hopeless.
    fn whitened<'a>(
        &self,
        family: &Family,
        kind: &Kind<'_>,
        powered: &'a Powered,
        of_noise: &DMatrix<f64>,
        taken: &DVector<f64>,
    ) -> Option<Whitened<'a>> {
        let spread = of_noise + kind.line * (kind.amplitude * kind.amplitude);
        let root = spread.cholesky()?.l();
        let size: f64 = root.diagonal().iter().map(|value| value.ln()).sum();
        let weight = family.weight * powered.weight;
        // No correction can do better than leave nothing of the differences.
        let most = 2.0 * (powered.log_slopes - size + weight.ln());
        if most < self.likeliest - HOPELESS {
            return None;
        }
        let rest = root.solve_lower_triangular(taken)?;
        let columns = root.solve_lower_triangular(&family.differences.matrix)?;
        Some(Whitened {
            powered,
            plain: most - rest.norm_squared(),
            rest,
            columns,
        })
    }

    /// Takes up what one kind of line says.
    fn take_up(
        &mut self,
        readings: &[Reading],
        kept: &[usize],
        noise: f64,
        whitened: &Whitened<'_>,
    ) {
        let Whitened {
            powered,
            plain,
            rest,
            columns,
        } = whitened;
        let is_likeliest = *plain > self.likeliest;
        self.likeliest = self.likeliest.max(*plain);
        self.plain = either(self.plain, *plain);
        for (place, index) in kept.iter().enumerate() {
            let reading = readings[*index];
            if reading.is_exact {
                continue;
            }
            let column = columns.column(place);
            let weight = column.norm_squared();
            let fall = column.dot(rest);
            let deviation = 1.0 / weight.sqrt();
            if is_likeliest {
                self.deviations[*index] = deviation / powered.slopes[place];
            }
            let likelihood = plain + fall * fall / weight;
            let expected = powered.back(powered.values[place] - fall / weight);
            let error = reading.value - expected;
            let score = likelihood - cost(error, noise);
            let this = Correction {
                likelihood,
                score,
                best: score,
                error,
                deviation: deviation / powered.slope_at(expected),
                ratio: fall.abs() * deviation,
            };
            let before = &mut self.corrections[*index];
            *before = Some(before.map_or(this, |before| before.or(&this)));
        }
    }

    /// Takes up what one kind of line says of two readings near each other.
    fn take_up_pairs(
        &mut self,
        readings: &[Reading],
        kept: &[usize],
        noise: f64,
        whitened: &Whitened<'_>,
    ) {
        let Whitened {
            powered,
            plain,
            rest,
            columns,
        } = whitened;
        let falls: Vec<f64> = columns
            .column_iter()
            .map(|column| column.dot(rest))
            .collect();
        for one in 0..kept.len() {
            for other in one + 1..(one + 3).min(kept.len()) {
                let indices = [kept[one], kept[other]];
                if indices.iter().any(|index| readings[*index].is_exact) {
                    continue;
                }
                let (first, second) = (columns.column(one), columns.column(other));
                let (a, b, c) = (
                    first.norm_squared(),
                    first.dot(&second),
                    second.norm_squared(),
                );
                let determinant = a * c - b * b;
                if determinant < 1e-9 * a * c {
                    continue;
                }
                let changes = [
                    (c * falls[one] - b * falls[other]) / determinant,
                    (a * falls[other] - b * falls[one]) / determinant,
                ];
                let likelihood = plain + changes[0] * falls[one] + changes[1] * falls[other];
                let costs: f64 = [one, other]
                    .into_iter()
                    .zip(changes)
                    .map(|(place, change)| {
                        let expected = powered.back(powered.values[place] - change);
                        cost(readings[kept[place]].value - expected, noise)
                    })
                    .sum();
                let this = Pair {
                    likelihood,
                    score: likelihood - costs,
                    indices,
                };
                let before = &mut self.pairs[kept[one]][other - one - 1];
                *before = Some(before.map_or(this, |before| before.or(this)));
            }
        }
    }

    /// The reading whose correction explains most, and the correction.
    pub(super) fn worst(&self) -> Option<(usize, Correction)> {
        self.corrections
            .iter()
            .enumerate()
            .filter_map(|(index, correction)| Some((index, (*correction)?)))
            .max_by(|one, other| one.1.score.total_cmp(&other.1.score))
    }

    /// The two readings whose correction explains most.
    pub(super) fn worst_pair(&self) -> Option<Pair> {
        let pairs = self.pairs.iter().flatten().flatten().copied();
        pairs.max_by(|one, other| one.score.total_cmp(&other.score))
    }
}

/// What an error of this size costs: the larger, the rarer.
fn cost(error: f64, noise: f64) -> f64 {
    2.0 * (error.abs() / noise + 1.0).ln()
}
