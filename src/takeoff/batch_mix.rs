//! What is measured for one batch: the parts of a mix in whole steps of the cup or the scale, never less than is
//! needed. Comes in: the volume needed, the product, the job's cup and scale. Goes out: [`BatchMix`].

use super::gauge::{Amount, Gauge, MixBy, Ratio};
use super::mix::to_mix;
use crate::layout::{Content, JobSettings, MixRatio, Product};
use crate::units::{Density, Share, Volume};

/// A batch as it is measured.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchMix {
    /// The parts of a mix; one alone where the product is used as it comes.
    pub portions: Vec<Portion>,
    /// All of it.
    pub total: Volume,
    /// How far the reading of its smallest part may be off, by half a step; none where nothing is mixed.
    pub misreading: Option<Share>,
    /// Whether that is more than the job allows: the batch is too small for the marks.
    pub is_coarse: bool,
}

/// One part of a mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Portion {
    /// What it is called.
    pub title: String,
    /// How much.
    pub amount: Content,
}

/// The ratio of a mix, and the cup or scale that it is measured with.
pub(super) fn ratio_and_gauge(mix: &MixRatio, job: &JobSettings) -> Option<(Ratio, Gauge)> {
    let parts = mix.parts.iter().map(|part| part.parts).collect();
    let (cup, scale) = (job.cup.value, job.scale.value);
    if mix.by_mass {
        Ratio::new(MixBy::Mass, parts).zip(Gauge::scale(scale.holds, scale.step))
    } else {
        Ratio::new(MixBy::Volume, parts).zip(Gauge::cup(cup.holds, cup.step))
    }
}

/// The densities of all parts; none where they are not all known.
pub(super) fn densities(mix: &MixRatio) -> Vec<Density> {
    let all: Option<Vec<Density>> = mix.parts.iter().map(|part| part.density).collect();
    all.unwrap_or_default()
}

/// What is measured for a batch of at least so much.
pub(super) fn batch_mix(need: Volume, product: &Product, job: &JobSettings) -> BatchMix {
    let mixed = product.mix.as_ref().and_then(|mix| {
        let (ratio, gauge) = ratio_and_gauge(mix, job)?;
        let made = to_mix(
            need,
            &ratio,
            &densities(mix),
            &gauge,
            job.mix_tolerance.value,
        )
        .ok()?;
        Some((mix, made))
    });
    let Some((mix, made)) = mixed else {
        return as_it_comes(need, product, job.cup.value.step);
    };
    let portions = mix.parts.iter().zip(&made.components);
    BatchMix {
        portions: portions
            .map(|(part, measured)| Portion {
                title: part.title.clone(),
                amount: match measured.amount {
                    Amount::Volume(volume) => Content::Volume(volume),
                    Amount::Mass(mass) => Content::Mass(mass),
                },
            })
            .collect(),
        total: made.total,
        misreading: Some(made.misreading),
        is_coarse: made.misreading > job.mix_tolerance.value,
    }
}

/// Poured to the next mark.
fn as_it_comes(need: Volume, product: &Product, step: Volume) -> BatchMix {
    let total = step * (need / step - 1e-9).ceil().max(0.0);
    BatchMix {
        portions: vec![Portion {
            title: product.title.clone(),
            amount: Content::Volume(total),
        }],
        total,
        misreading: None,
        is_coarse: false,
    }
}
