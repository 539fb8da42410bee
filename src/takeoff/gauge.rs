//! What a mix is measured with. Comes in: the parts of a product's components, the marks of a cup, the steps of a
//! scale. Goes out: each as a sound value, the parts as the gauge reads them, and what is said where the one cannot
//! be measured with the other.

use std::fmt;

use crate::units::{Density, Mass, Share, Volume};

/// Whole-number ratios of no more parts than this together are never rounded.
const SIMPLE: u32 = 20;

/// Rounding errors forgiven, as a share.
pub(super) const SLACK: f64 = 1e-9;

/// The most steps of a gauge that are counted.
pub(super) const MOST_STEPS: f64 = 1e6;

/// What the parts of a ratio are measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MixBy {
    /// Poured to a mark.
    Volume,
    /// Weighed.
    Mass,
}

/// The parts of two or more components.
#[derive(Debug, Clone, PartialEq)]
pub struct Ratio {
    by: MixBy,
    parts: Vec<f64>,
}

impl Ratio {
    /// So many parts of each; none where there are fewer than two, or one is not more than nothing.
    #[must_use]
    pub fn new(by: MixBy, parts: Vec<f64>) -> Option<Self> {
        let sound = |part: &f64| part.is_finite() && *part > 0.0;
        (parts.len() > 1 && parts.iter().all(sound)).then_some(Self { by, parts })
    }

    /// What they are parts of.
    #[must_use]
    pub const fn by(&self) -> MixBy {
        self.by
    }

    /// The parts.
    #[must_use]
    pub fn parts(&self) -> &[f64] {
        &self.parts
    }
}

/// What a gauge reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// On a cup.
    Volume(Volume),
    /// On a scale.
    Mass(Mass),
}

impl Amount {
    /// In millilitres or grams.
    pub(super) const fn base(self) -> f64 {
        match self {
            Self::Volume(volume) => volume.to_millilitres(),
            Self::Mass(mass) => mass.to_grams(),
        }
    }

    /// So many of the same.
    pub(super) fn times(self, factor: f64) -> Self {
        match self {
            Self::Volume(volume) => Self::Volume(volume * factor),
            Self::Mass(mass) => Self::Mass(mass * factor),
        }
    }
}

/// A cup with marks, or a scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    pub(super) holds: Amount,
    pub(super) step: Amount,
}

impl Gauge {
    /// A cup with a mark at each `step`; none where that is not more than nothing, or more than it holds.
    #[must_use]
    pub fn cup(holds: Volume, step: Volume) -> Option<Self> {
        Self::of(Amount::Volume(holds), Amount::Volume(step))
    }

    /// A scale that carries `holds` and shows each `step`; none as for a cup.
    #[must_use]
    pub fn scale(holds: Mass, step: Mass) -> Option<Self> {
        Self::of(Amount::Mass(holds), Amount::Mass(step))
    }

    fn of(holds: Amount, step: Amount) -> Option<Self> {
        let steps = holds.base() / step.base();
        (step.base() > 0.0 && (1.0..=MOST_STEPS).contains(&steps)).then_some(Self { holds, step })
    }
}

/// Why a mix cannot be measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MixFault {
    /// Even in a full vessel, half a step is too much of the smallest component.
    TooCoarse {
        /// Which component, from 0.
        component: usize,
        /// What half a step is of it in a full vessel.
        misreading: Share,
        /// A step that would do.
        step: Amount,
        /// A vessel and a batch that would do with the present step.
        batch: Amount,
    },
    /// A density of each component is needed, and more than nothing, to weigh it or to pour what is given by mass.
    Densities {
        /// How many are needed.
        needed: usize,
    },
    /// The need is no amount, or more than a million steps; or the tolerance is not more than nothing.
    NoAmount,
}

/// What the gauge reads of each component, and the room that each step of it takes.
pub(super) struct OnGauge {
    pub(super) parts: Vec<f64>,
    pub(super) step_volumes: Vec<f64>,
}

impl OnGauge {
    pub(super) fn of(
        ratio: &Ratio,
        densities: &[Density],
        gauge: &Gauge,
    ) -> Result<Self, MixFault> {
        let step = gauge.step.base();
        let poured = matches!(gauge.step, Amount::Volume(_));
        let parts = ratio.parts.clone();
        if poured && ratio.by == MixBy::Volume {
            let step_volumes = vec![step; parts.len()];
            return Ok(Self {
                parts,
                step_volumes,
            });
        }
        let heavy: Vec<f64> = densities
            .iter()
            .map(|one| one.to_kilograms_per_litre())
            .collect();
        let sound = heavy.iter().all(|one| one.is_finite() && *one > 0.0);
        if heavy.len() != parts.len() || !sound {
            let needed = parts.len();
            return Err(MixFault::Densities { needed });
        }
        let each = |turn: fn(f64, f64) -> f64| -> Vec<f64> {
            parts
                .iter()
                .zip(&heavy)
                .map(|(part, heavy)| turn(*part, *heavy))
                .collect()
        };
        Ok(Self {
            parts: match (poured, ratio.by) {
                (true, MixBy::Mass) => each(|part, heavy| part / heavy),
                (false, MixBy::Volume) => each(|part, heavy| part * heavy),
                _ => parts.clone(),
            },
            step_volumes: heavy
                .iter()
                .map(|one| if poured { step } else { step / one })
                .collect(),
        })
    }

    pub(super) fn volume(&self, steps: &[f64]) -> f64 {
        steps
            .iter()
            .zip(&self.step_volumes)
            .map(|(steps, one)| steps * one)
            .sum()
    }

    /// The greatest part by the least of what is measured for one part, less one.
    pub(super) fn off(&self, steps: &[f64]) -> f64 {
        let each = || {
            steps
                .iter()
                .zip(&self.parts)
                .map(|(steps, part)| steps / part)
        };
        each().fold(0.0, f64::max) / each().fold(f64::INFINITY, f64::min) - 1.0
    }

    /// The component with the fewest parts.
    pub(super) fn smallest(&self) -> (usize, f64) {
        let parts = self.parts.iter().copied().enumerate();
        parts.fold((0, f64::INFINITY), |least, one| {
            if one.1 < least.1 { one } else { least }
        })
    }

    /// The parts as small whole numbers, where they are that.
    pub(super) fn simple(&self) -> Option<Vec<f64>> {
        let (_, smallest) = self.smallest();
        (1..=SIMPLE).find_map(|times| {
            let scaled: Vec<f64> = self
                .parts
                .iter()
                .map(|part| part / smallest * f64::from(times))
                .collect();
            let whole: Vec<f64> = scaled.iter().map(|part| part.round()).collect();
            let exact = scaled
                .iter()
                .zip(&whole)
                .all(|(one, whole)| (one - whole).abs() < SLACK * one);
            (exact && whole.iter().sum::<f64>() <= f64::from(SIMPLE)).then_some(whole)
        })
    }
}

impl fmt::Display for MixFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = |amount: &Amount| match amount {
            Amount::Volume(volume) => format!("{:.3} ml", volume.to_millilitres()),
            Amount::Mass(mass) => format!("{:.3} g", mass.to_grams()),
        };
        match self {
            Self::TooCoarse { component, misreading, step, batch } => write!(
                formatter,
                "half a step is {:.1} % of component {} even in a full vessel; use a step of {} or finer, {}or mix \
                 batches of {} in a vessel that holds them",
                misreading.to_per_cent(),
                component + 1,
                shown(step),
                if matches!(step, Amount::Volume(_)) { "weigh it, " } else { "" },
                shown(batch),
            ),
            Self::Densities { needed } => write!(
                formatter,
                "the density of each of the {needed} components is needed, each more than nothing"
            ),
            Self::NoAmount => formatter.write_str(
                "the need must be an amount of at most a million steps, and the tolerance more than nothing",
            ),
        }
    }
}

impl std::error::Error for MixFault {}
