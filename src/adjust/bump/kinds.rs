//! The kinds of line that readings may lie along, and the third differences that each is known by.
//!
//! A kind is: over which share of the length the bending changes; how much it bends; whether it changes quicker at the
//! start; and which power of the values is as smooth as any other line. Where the line leaves zero at an angle that is
//! the first; where it stands on end there, y rises as a root of the distance, and y² is (that of an ellipse is a
//! parabola). The comparison across powers is that of Box and Cox, "An analysis of transformations", 1964 (from memory).

use super::{Line, Reading};
use nalgebra::{DMatrix, DVector};

/// Into how many steps the powers from 1 to 2 are divided: a tenth is too coarse to tell a steep start from an error
/// beside it.
const POWER_STEPS: u32 = 20;
/// Over which share of the whole length the bending changes.
const REACHES: [f64; 4] = [0.22, 0.35, 0.6, 1.1];
/// How many sizes of bending are tried, each five times the one before.
const AMPLITUDES: u32 = 6;
/// How the line's own measure runs.
const PACES: [Pace; 4] = [Pace::Even, Pace::Quick(2.0), Pace::Quick(6.0), Pace::Root];

/// The kinds of line that share a pace.
pub(super) struct Family {
    pub(super) differences: Differences,
    /// How likely it is beside the others, before any reading is seen: a line whose bending changes evenly is
    /// twice as likely as all the others together.
    pub(super) weight: f64,
    /// For each reach, how the differences of a line of unit size vary together.
    lines: [DMatrix<f64>; REACHES.len()],
}

/// One kind of line.
pub(super) struct Kind<'a> {
    pub(super) line: &'a DMatrix<f64>,
    pub(super) amplitude: f64,
}

/// All of them; none where there are too few readings.
pub(super) fn families(readings: &[Reading]) -> Option<Vec<Family>> {
    PACES
        .into_iter()
        .map(|pace| {
            let along = pace.along(readings);
            let differences = Differences::of(&along)?;
            Some(Family {
                lines: REACHES.map(|reach| differences.of_line(&along, reach)),
                differences,
                weight: match pace {
                    Pace::Even => 2.0 * (PACES.len() - 1) as f64,
                    Pace::Quick(_) | Pace::Root => 1.0,
                },
            })
        })
        .collect()
}

impl Family {
    pub(super) fn kinds(&self, noise: f64) -> impl Iterator<Item = Kind<'_>> {
        let amplitudes = (0..AMPLITUDES).map(move |step| noise * 4.0 * 5_f64.powf(f64::from(step)));
        let lines = self.lines.iter();
        lines.flat_map(move |line| {
            amplitudes
                .clone()
                .map(move |amplitude| Kind { line, amplitude })
        })
    }

    /// How the differences of nothing but noise vary together.
    pub(super) fn of_noise(&self, powered: &Powered, noise: f64) -> DMatrix<f64> {
        let mut weighed = self.differences.matrix.clone();
        for (mut column, slope) in weighed.column_iter_mut().zip(&powered.slopes) {
            column *= *slope;
        }
        &weighed * weighed.transpose() * (noise * noise)
    }
}

/// How a measure along a line runs beside the distance: evenly, or quicker at the start.
#[derive(Debug, Clone, Copy)]
enum Pace {
    Even,
    /// As the logarithm of 1 + this times the share of the distance.
    Quick(f64),
    /// As a root of the distance.
    Root,
}

impl Pace {
    /// The measure at each reading, from 0 to 1.
    fn along(self, readings: &[Reading]) -> Vec<f64> {
        let first = readings.first().map_or(0.0, |reading| reading.at);
        let whole = readings.last().map_or(1.0, |reading| reading.at) - first;
        readings
            .iter()
            .map(|reading| {
                let share = (reading.at - first) / whole;
                match self {
                    Self::Even => share,
                    Self::Quick(rate) => (rate * share).ln_1p() / rate.ln_1p(),
                    Self::Root => share.powf(0.7),
                }
            })
            .collect()
    }
}

/// Values raised to a power, scaled so that the sizes stay those of the values (by their geometric mean).
pub(super) struct Powered {
    power: f64,
    mean: f64,
    /// The mean raised to one less than the power.
    steepness: f64,
    pub(super) values: DVector<f64>,
    /// How much a value of the scaled power changes with the value; 0 where it is exact.
    pub(super) slopes: Vec<f64>,
    pub(super) log_slopes: f64,
    /// How likely the power is beside the others, before any reading is seen: most lines leave zero at an angle, so
    /// the first is as likely as all the others together (common practice, no source).
    pub(super) weight: f64,
}

impl Powered {
    /// Every power that the line may have.
    pub(super) fn all(readings: &[Reading], line: Line) -> Vec<Self> {
        if line.stands_on_end {
            return vec![Self::of(readings, 2.0)];
        }
        (0..=POWER_STEPS)
            .map(|step| {
                let weight = if step == 0 {
                    f64::from(POWER_STEPS)
                } else {
                    1.0
                };
                let power = 1.0 + f64::from(step) / f64::from(POWER_STEPS);
                Self {
                    weight,
                    ..Self::of(readings, power)
                }
            })
            .collect()
    }

    fn of(readings: &[Reading], power: f64) -> Self {
        let positive = || readings.iter().filter(|reading| reading.value > 0.0);
        let count = positive().count().max(1) as f64;
        let mean = (positive().map(|reading| reading.value.ln()).sum::<f64>() / count).exp();
        let steepness = mean.powf(power - 1.0);
        let scale = power * steepness;
        let mut powered = Self {
            power,
            mean,
            steepness,
            values: DVector::from_iterator(
                readings.len(),
                readings
                    .iter()
                    .map(|reading| reading.value.powf(power) / scale),
            ),
            slopes: Vec::new(),
            log_slopes: 0.0,
            weight: 1.0,
        };
        powered.log_slopes = positive()
            .map(|reading| powered.slope_at(reading.value).ln())
            .sum();
        powered.slopes = readings
            .iter()
            .map(|reading| {
                if reading.is_exact {
                    0.0
                } else {
                    powered.slope_at(reading.value)
                }
            })
            .collect();
        powered
    }

    /// A value near 0 is as uncertain as one a thousandth of the mean.
    pub(super) fn slope_at(&self, value: f64) -> f64 {
        (value / self.mean).max(1e-3).powf(self.power - 1.0)
    }

    pub(super) fn back(&self, value: f64) -> f64 {
        (value.max(0.0) * self.power * self.steepness).powf(1.0 / self.power)
    }
}

/// Third divided differences of neighbours, each scaled to the size that those of equal steps have: the squares of its
/// factors sum to 1 + 9 + 9 + 1.
pub struct Differences {
    /// Applied to values at the given places, their scaled differences.
    pub matrix: DMatrix<f64>,
}

impl Differences {
    /// Of values at `along`; none where there are fewer than four.
    #[must_use]
    pub fn of(along: &[f64]) -> Option<Self> {
        let rows = along.len().checked_sub(3).filter(|rows| *rows > 0)?;
        let mut matrix = DMatrix::zeros(rows, along.len());
        for row in 0..rows {
            let places = &along[row..row + 4];
            let factors: Vec<f64> = places
                .iter()
                .map(|place| {
                    let product: f64 = places
                        .iter()
                        .filter(|other| *other != place)
                        .map(|other| place - other)
                        .product();
                    1.0 / product
                })
                .collect();
            let size = factors.iter().map(|factor| factor * factor).sum::<f64>();
            let scale = (20.0 / size).sqrt();
            for (column, factor) in (row..).zip(factors) {
                matrix[(row, column)] = factor * scale;
            }
        }
        Some(Self { matrix })
    }

    /// How the differences of a line of unit size vary together, whose bending changes over `reach`.
    fn of_line(&self, along: &[f64], reach: f64) -> DMatrix<f64> {
        let near = DMatrix::from_fn(along.len(), along.len(), |row, column| {
            let apart = (along[row] - along[column]) / reach;
            (-apart * apart / 2.0).exp()
        });
        &self.matrix * near * self.matrix.transpose()
    }
}
