//! What a mix is measured with. Comes in: the parts of a product's components, the marks of a cup, the steps of a scale.
//! Goes out: each as a sound value, and what is said where the one cannot be measured with the other.

use std::fmt;

use crate::units::{Mass, Share, Volume};

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
