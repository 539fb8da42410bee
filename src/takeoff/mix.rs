//! Mixing what can be measured. Comes in: how much is needed, a ratio and the gauge at hand. Goes out: whole steps of
//! each component, so that what several batches take adds up exactly; or why it cannot be measured.

use super::gauge::{Amount, Gauge, MOST_STEPS, MixFault, OnGauge, Ratio, SLACK};
use crate::units::{Density, Share, Volume};

/// One component of a mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Whole steps of the gauge.
    pub steps: u64,
    /// What the gauge then reads.
    pub amount: Amount,
    /// The room that it takes.
    pub volume: Volume,
}

/// What to measure.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// The components, in the ratio's order.
    pub components: Vec<Measured>,
    /// Their volumes together.
    pub total: Volume,
    /// How far two of them may be off the ratio by rounding to steps; nothing for simple ratios.
    pub off: Share,
    /// What half a step misread is of the smallest component. So small a batch is better weighed where this is large.
    pub misreading: Share,
}

/// Whether a ratio can be measured at all: with the whole mix in a full vessel, half a step must be no more than the
/// tolerance of its smallest component.
///
/// # Errors
/// Why not, and what would help.
pub fn measurable(
    ratio: &Ratio,
    densities: &[Density],
    gauge: &Gauge,
    tolerance: Share,
) -> Result<(), MixFault> {
    let on = OnGauge::of(ratio, densities, gauge)?;
    check(&on, gauge, tolerance)
}

fn check(on: &OnGauge, gauge: &Gauge, tolerance: Share) -> Result<(), MixFault> {
    if !(tolerance.factor() > 0.0 && tolerance.factor() < 1.0) {
        return Err(MixFault::NoAmount);
    }
    let (component, part) = on.smallest();
    let full = gauge.holds.base() * part / on.parts.iter().sum::<f64>();
    let misreading = gauge.step.base() / 2.0 / full;
    let times = misreading / tolerance.factor();
    if times <= 1.0 + SLACK {
        return Ok(());
    }
    Err(MixFault::TooCoarse {
        component,
        misreading: Share::per_cent(misreading * 100.0),
        step: gauge.step.times(1.0 / times),
        batch: gauge.holds.times(times),
    })
}

/// The least amount, no less than the need, of which every component is whole steps of the gauge and no two are
/// further off the ratio than the tolerance. What the vessel does not hold at once is measured in several fillings.
///
/// Simple ratios, whole numbers of no more than 20 parts together, are kept exactly: less than one round of as many
/// steps as parts is mixed above the need. Any other is less than one step of each component above the need, once
/// the smallest component of that is 1/tolerance steps; below, it is above that amount by no more. By cup no less will
/// do; by scale, where steps of the components take different room, none is less by a step of the lightest.
///
/// # Errors
/// Why it cannot be measured, and what would help.
pub fn to_mix(
    need: Volume,
    ratio: &Ratio,
    densities: &[Density],
    gauge: &Gauge,
    tolerance: Share,
) -> Result<Mix, MixFault> {
    let on = OnGauge::of(ratio, densities, gauge)?;
    check(&on, gauge, tolerance)?;
    let need = need.to_millilitres();
    let one_scale = on.volume(&on.parts);
    let smallest_step = on
        .step_volumes
        .iter()
        .copied()
        .fold(f64::INFINITY, f64::min);
    if !(need >= 0.0 && need / smallest_step <= MOST_STEPS) {
        return Err(MixFault::NoAmount);
    }
    let steps = if need == 0.0 {
        vec![0.0; on.parts.len()]
    } else if let Some(round) = on.simple() {
        let rounds = (need / on.volume(&round) * (1.0 - SLACK)).ceil();
        round.iter().map(|part| part * rounds).collect()
    } else {
        least(&on, need, need / one_scale, tolerance.factor())
    };
    Ok(as_mix(&on, &steps, gauge))
}

/// The least whole steps within the tolerance. In any, the component furthest behind has whole steps at the scale that
/// the others are measured against, so each such scale is looked at in turn, until one alone takes more than the best.
fn least(on: &OnGauge, need: f64, scale: f64, tolerance: f64) -> Vec<f64> {
    let enough = |steps: &[f64]| on.volume(steps) >= need * (1.0 - SLACK);
    let lowest = scale / (1.0 + tolerance);
    let mut next: Vec<f64> = on
        .parts
        .iter()
        .map(|part| (part * lowest).floor().max(1.0))
        .collect();
    let mut best: Option<(f64, f64, Vec<f64>)> = None;
    loop {
        let behind = next.iter().zip(&on.parts).map(|(steps, part)| steps / part);
        let at = behind.fold(f64::INFINITY, f64::min);
        for (steps, part) in next.iter_mut().zip(&on.parts) {
            if *steps / part <= at * (1.0 + SLACK) {
                *steps += 1.0;
            }
        }
        let low: Vec<f64> = on
            .parts
            .iter()
            .map(|part| (part * at * (1.0 - SLACK)).ceil())
            .collect();
        let high: Vec<f64> = on
            .parts
            .iter()
            .map(|part| (part * at * (1.0 + tolerance) * (1.0 + SLACK)).floor())
            .collect();
        if let Some((volume, _, steps)) = &best
            && on.volume(&low) > volume * (1.0 + SLACK)
        {
            return steps.clone();
        }
        if low.iter().zip(&high).any(|(low, high)| low > high) || !enough(&high) {
            continue;
        }
        let steps = filled_up(on, &low, &high, scale, &enough);
        let found = (on.volume(&steps), on.off(&steps));
        let better = best.as_ref().is_none_or(|(volume, off, _)| {
            found.0 < volume * (1.0 - SLACK)
                || (found.0 <= volume * (1.0 + SLACK) && found.1 < *off)
        });
        if better {
            best = Some((found.0, found.1, steps));
        }
    }
}

/// Steps between `low` and `high` that are enough, and of which none can be taken away.
fn filled_up(
    on: &OnGauge,
    low: &[f64],
    high: &[f64],
    scale: f64,
    enough: &dyn Fn(&[f64]) -> bool,
) -> Vec<f64> {
    let bounds = || low.iter().zip(high).zip(&on.parts);
    let mut steps: Vec<f64> = bounds()
        .map(|((low, high), part)| (part * scale).floor().min(*high).max(*low))
        .collect();
    while !enough(&steps) {
        let room = (0..steps.len()).filter(|at| steps[*at] < high[*at]);
        let behind = |at: usize| steps[at] / on.parts[at];
        let Some(at) = room.min_by(|one, other| behind(*one).total_cmp(&behind(*other))) else {
            break;
        };
        steps[at] += 1.0;
    }
    for at in 0..steps.len() {
        while steps[at] > low[at] {
            steps[at] -= 1.0;
            if !enough(&steps) {
                steps[at] += 1.0;
                break;
            }
        }
    }
    steps
}

fn as_mix(on: &OnGauge, steps: &[f64], gauge: &Gauge) -> Mix {
    let components: Vec<Measured> = steps
        .iter()
        .zip(&on.step_volumes)
        .map(|(steps, one)| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "whole, and of some millions at most"
            )]
            let count = *steps as u64;
            Measured {
                steps: count,
                amount: gauge.step.times(*steps),
                volume: Volume::millilitres(steps * one),
            }
        })
        .collect();
    let fewest = steps.iter().copied().fold(f64::INFINITY, f64::min);
    let share = |factor: f64| {
        if fewest > 0.0 {
            Share::per_cent(factor * 100.0)
        } else {
            Share::NONE
        }
    };
    Mix {
        total: components.iter().map(|one| one.volume).sum(),
        off: share(on.off(steps)),
        misreading: share(0.5 / fewest),
        components,
    }
}

#[cfg(test)]
mod tests {
    use super::super::gauge::MixBy;
    use super::*;
    use crate::units::Mass;
    use proptest::prelude::*;

    const TOLERANCE: Share = Share::per_cent(2.0);

    fn ratio(by: MixBy, parts: &[f64]) -> Ratio {
        Ratio::new(by, parts.to_vec()).expect("a ratio")
    }

    fn cup(holds: f64, step: f64) -> Gauge {
        Gauge::cup(Volume::millilitres(holds), Volume::millilitres(step)).expect("a cup")
    }

    fn scale(holds: f64, step: f64) -> Gauge {
        Gauge::scale(Mass::grams(holds), Mass::grams(step)).expect("a scale")
    }

    fn steps(mix: &Mix) -> Vec<u64> {
        mix.components.iter().map(|one| one.steps).collect()
    }

    fn heavy(densities: &[f64]) -> Vec<Density> {
        densities
            .iter()
            .map(|one| Density::kilograms_per_litre(*one))
            .collect()
    }

    #[test]
    fn simple_ratios_are_exact() {
        for (parts, counts) in [
            ([1.0, 1.0], [17, 17]),
            ([2.0, 1.0], [24, 12]),
            ([3.0, 1.0], [27, 9]),
            ([4.0, 1.0], [28, 7]),
            ([5.0, 2.0], [25, 10]),
            ([2.5, 1.0], [25, 10]),
        ] {
            let mix = to_mix(
                Volume::millilitres(331.0),
                &ratio(MixBy::Volume, &parts),
                &[],
                &cup(2000.0, 10.0),
                TOLERANCE,
            )
            .expect("a mix");
            assert_eq!(steps(&mix), counts, "{parts:?}");
            assert!(mix.off.factor().abs() < 1e-12);
        }
    }

    /// Gelcoat with 1.8 % of catalyst, of densities 1.2 and 1.1 (from memory): 1 kg takes 18 g.
    #[test]
    fn a_catalyst_is_weighed_by_the_gram() {
        let need = Volume::millilitres(1000.0 / 1.2 + 18.0 / 1.1);
        let gelcoat = ratio(MixBy::Mass, &[100.0, 1.8]);
        let mix = to_mix(
            need,
            &gelcoat,
            &heavy(&[1.2, 1.1]),
            &scale(3000.0, 1.0),
            TOLERANCE,
        );
        let mix = mix.expect("a mix");
        assert!(mix.total >= need && mix.total < need + Volume::millilitres(1.0));
        assert!(mix.off <= TOLERANCE, "{mix:?}");
        assert!((990..=1001).contains(&steps(&mix)[0]) && (18..=19).contains(&steps(&mix)[1]));
    }

    #[test]
    fn what_cannot_be_measured_is_said_with_what_helps() {
        let gelcoat = ratio(MixBy::Volume, &[100.0, 2.0]);
        let fault =
            measurable(&gelcoat, &[], &cup(1000.0, 10.0), TOLERANCE).expect_err("too coarse");
        let MixFault::TooCoarse {
            component,
            misreading,
            step,
            batch,
        } = fault
        else {
            unreachable!("{fault}")
        };
        assert_eq!(component, 1);
        // 1000 ml hold 19.6 ml of it; half a step is 5 ml.
        assert!((misreading.factor() - 5.0 / (1000.0 * 2.0 / 102.0)).abs() < 1e-12);
        for words in [
            "component 2",
            "25.5 %",
            "0.784 ml or finer",
            "weigh it",
            "12750.000 ml",
        ] {
            assert!(fault.to_string().contains(words), "{fault}");
        }
        let cups = [(1000.0, step.base()), (batch.base(), 10.0)];
        for (holds, step) in cups {
            assert_eq!(
                measurable(&gelcoat, &[], &cup(holds, step), TOLERANCE),
                Ok(())
            );
            assert!(measurable(&gelcoat, &[], &cup(holds * 0.99, step), TOLERANCE).is_err());
        }
        // Weighing needs to know how heavy they are.
        let weighed =
            |densities: &[Density]| measurable(&gelcoat, densities, &scale(2000.0, 1.0), TOLERANCE);
        assert_eq!(weighed(&[]), Err(MixFault::Densities { needed: 2 }));
        assert_eq!(
            weighed(&heavy(&[1.2, 0.0])),
            Err(MixFault::Densities { needed: 2 })
        );
        assert_eq!(weighed(&heavy(&[1.2, 1.1])), Ok(()));
    }

    #[test]
    fn no_ratio_no_gauge_and_no_amount_are_refused() {
        for parts in [
            vec![],
            vec![1.0],
            vec![1.0, 0.0],
            vec![1.0, -1.0],
            vec![1.0, f64::NAN],
        ] {
            assert_eq!(Ratio::new(MixBy::Volume, parts), None);
        }
        for (holds, step) in [
            (1.0, 0.0),
            (1.0, -1.0),
            (1.0, 2.0),
            (f64::NAN, 1.0),
            (1.0, 1e-9),
        ] {
            let (holds, step) = (Volume::millilitres(holds), Volume::millilitres(step));
            assert_eq!(Gauge::cup(holds, step), None);
        }
        let two_to_one = ratio(MixBy::Volume, &[2.0, 1.0]);
        let mix = |need, tolerance| {
            to_mix(
                Volume::millilitres(need),
                &two_to_one,
                &[],
                &cup(1000.0, 1.0),
                tolerance,
            )
        };
        for need in [-1.0, f64::NAN, f64::INFINITY, 1e7] {
            assert_eq!(mix(need, TOLERANCE), Err(MixFault::NoAmount));
        }
        assert_eq!(mix(1.0, Share::NONE), Err(MixFault::NoAmount));
        assert_eq!(mix(0.0, TOLERANCE).map(|mix| steps(&mix)), Ok(vec![0, 0]));
    }

    #[test]
    fn a_ratio_by_mass_is_poured_by_its_densities() {
        // 2:1 by mass of 1.0 and 0.5 kg/L are 1:1 by volume.
        let by_mass = ratio(MixBy::Mass, &[2.0, 1.0]);
        let mix = to_mix(
            Volume::millilitres(95.0),
            &by_mass,
            &heavy(&[1.0, 0.5]),
            &cup(1000.0, 10.0),
            TOLERANCE,
        );
        assert_eq!(mix.map(|mix| steps(&mix)), Ok(vec![5, 5]));
    }

    proptest! {
        #[test]
        fn a_mix_is_enough_within_its_bound_and_within_the_tolerance(
            parts in prop::collection::vec(1.0..60.0_f64, 2..5), densities in prop::collection::vec(0.7..2.0_f64, 4),
            weighed: bool, need in 1.0..4000.0_f64, step in 0.5..5.0_f64, tolerance in 0.5..8.0_f64,
        ) {
            let densities = heavy(&densities[..parts.len()]);
            let ratio = ratio(if weighed { MixBy::Mass } else { MixBy::Volume }, &parts);
            let gauge = if weighed { scale(100_000.0, step) } else { cup(100_000.0, step) };
            let tolerance = Share::per_cent(tolerance);
            let mix = to_mix(Volume::millilitres(need), &ratio, &densities, &gauge, tolerance).expect("measurable");
            let on = OnGauge::of(&ratio, &densities, &gauge).expect("densities");
            let counts: Vec<f64> = mix.components.iter().map(|one| one.steps as f64).collect();
            prop_assert!(mix.total.to_millilitres() >= need * (1.0 - 1e-8));
            prop_assert!(mix.off.factor() <= tolerance.factor() * (1.0 + 1e-6));
            prop_assert!((mix.off.factor() - on.off(&counts)).abs() < 1e-12);
            let scale = 1.0 / (tolerance.factor() * on.smallest().1);
            let even: Vec<f64> = parts.iter().map(|part| part * scale).collect();
            let one_each: f64 = on.step_volumes.iter().sum();
            let bound = match on.simple() {
                Some(round) => need + on.volume(&round),
                None => on.volume(&even).max(need) + one_each,
            };
            prop_assert!(mix.total.to_millilitres() <= bound * (1.0 + 1e-8));
        }

        /// Every triple of counts tried out.
        #[test]
        fn nothing_less_of_three_components_will_do(
            first in 1.0..6.0_f64, second in 1.0..6.0_f64, need in 1_u32..70, tolerance in 2.0..10.0_f64,
        ) {
            let parts = ratio(MixBy::Volume, &[first, second, 1.0]);
            let gauge = cup(10_000.0, 1.0);
            let on = OnGauge::of(&parts, &[], &gauge).expect("a ratio");
            prop_assume!(on.simple().is_none());
            let tolerance = Share::per_cent(tolerance);
            let need = Volume::millilitres(f64::from(need));
            let mix = to_mix(need, &parts, &[], &gauge, tolerance).expect("measurable");
            let least: u64 = steps(&mix).iter().sum();
            let least = u32::try_from(least).expect("few");
            for total in 3..least {
                for base in 1..total - 1 {
                    for other in 1..total - base {
                        let counts = [base, other, total - base - other].map(f64::from);
                        let enough = f64::from(total) >= need.to_millilitres();
                        prop_assert!(!enough || on.off(&counts) > tolerance.factor(), "{counts:?} {mix:?}");
                    }
                }
            }
        }

        /// Every pair of counts tried out.
        #[test]
        fn nothing_less_will_do(
            first in 1.0..12.0_f64, heavier in 0.7..2.0_f64, weighed: bool, need in 1.0..300.0_f64,
            tolerance in 1.0..10.0_f64,
        ) {
            let densities = heavy(&[heavier, 1.0]);
            let ratio = ratio(if weighed { MixBy::Mass } else { MixBy::Volume }, &[first, 1.0]);
            let gauge = if weighed { scale(10_000.0, 1.0) } else { cup(10_000.0, 1.0) };
            let on = OnGauge::of(&ratio, &densities, &gauge).expect("densities");
            prop_assume!(on.simple().is_none());
            let tolerance = Share::per_cent(tolerance);
            let mix = to_mix(Volume::millilitres(need), &ratio, &densities, &gauge, tolerance).expect("measurable");
            let total = mix.total.to_millilitres();
            let lightest = if weighed { on.step_volumes.iter().copied().fold(0.0, f64::max) } else { 0.0 };
            for hardener in 1..=u32::from(u16::MAX) {
                let hardener = f64::from(hardener);
                if hardener * on.step_volumes[1] > total {
                    break;
                }
                let (from, to) = (hardener * first / (1.0 + tolerance.factor()), hardener * first * (1.0 + tolerance.factor()));
                let mut base = from.ceil();
                while base <= to {
                    let volume = on.volume(&[base, hardener]);
                    prop_assert!(volume < need || volume >= (total - lightest) * (1.0 - 1e-8), "{base} {hardener} {mix:?}");
                    base += 1.0;
                }
            }
        }
    }
}
