//! What is laid from one mix. Comes in: the areas in the order in which they are laid, each a field or a piece of
//! border between two breaks, and the most that one batch lays in its working life. Goes out: the fewest batches that
//! each end at a break, as even as may be; and for an area too large for any batch, what would help.

use std::ops::Range;

use super::film::PotLife;
use crate::units::{Area, AreaPace, Temperature, Time};

/// The areas shared out in batches.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Batches {
    /// Which areas each batch lays, in order; every area is in one batch.
    pub batches: Vec<Range<usize>>,
    /// The areas that no batch can lay in time. Each is a batch of its own above.
    pub too_large: Vec<usize>,
}

impl Batches {
    /// The area of each batch.
    #[must_use]
    pub fn areas(&self, pieces: &[Area]) -> Vec<Area> {
        let sum = |batch: &Range<usize>| pieces[batch.clone()].iter().copied().sum();
        self.batches.iter().map(sum).collect()
    }
}

/// The fewest batches of consecutive pieces, none larger than `most`; of those the ones whose largest is least; of those
/// the ones with the early batches as large as may be. A piece larger than `most` parts those before it from those
/// after.
#[must_use]
pub fn batches(pieces: &[Area], most: Area) -> Batches {
    let mut found = Batches::default();
    let mut start = 0;
    for (at, piece) in pieces.iter().enumerate() {
        // What is no number fits in no batch.
        if *piece > most || piece.partial_cmp(&most).is_none() {
            found.batches.extend(evenly(pieces, start..at, most));
            found.batches.push(at..at + 1);
            found.too_large.push(at);
            start = at + 1;
        }
    }
    let rest = evenly(pieces, start..pieces.len(), most);
    found.batches.extend(rest);
    found
}

/// The batches of a run of pieces each of which fits. The largest batch is the area from some piece to some other, so
/// the least that will do is found among those: filling up to it greedily takes the fewest batches there can be.
fn evenly(pieces: &[Area], run: Range<usize>, most: Area) -> Vec<Range<usize>> {
    let count = filled(pieces, run.clone(), most).len();
    let mut limits: Vec<Area> = run
        .clone()
        .flat_map(|first| sums(pieces, first..run.end).map(|(_, sum)| sum))
        .filter(|sum| *sum <= most)
        .collect();
    limits.sort_by(|one, other| one.to_mm2().total_cmp(&other.to_mm2()));
    let largest = run.clone().map(|at| pieces[at]);
    let least = largest.fold(
        Area::ZERO,
        |one, other| if other > one { other } else { one },
    );
    let enough = limits.partition_point(|limit| {
        *limit < least || filled(pieces, run.clone(), *limit).len() > count
    });
    filled(pieces, run, limits.get(enough).copied().unwrap_or(most))
}

/// Each batch filled as far as `limit` allows.
fn filled(pieces: &[Area], run: Range<usize>, limit: Area) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = run.start;
    while start < run.end {
        let fits = sums(pieces, start..run.end).take_while(|(_, sum)| *sum <= limit);
        let end = fits.last().map_or(start + 1, |(end, _)| end);
        found.push(start..end);
        start = end;
    }
    found
}

/// The ends of all stretches from the run's first piece, with their areas.
fn sums(pieces: &[Area], run: Range<usize>) -> impl Iterator<Item = (usize, Area)> {
    run.scan(Area::ZERO, |sum, at| {
        *sum = *sum + pieces[at];
        Some((at + 1, *sum))
    })
}

/// The most that so many hands lay in the working life of a batch.
#[must_use]
pub fn most_in(working_life: Time, pace: AreaPace, hands: u32) -> Area {
    pace * f64::from(hands) * working_life
}

/// What would let an area too large for a batch be laid in one, or in several: any of these alone. None where a thing
/// is no help.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Help {
    /// Parts of equal area to break it into, by strips between them.
    pub parts: Option<u32>,
    /// People laying it at the same pace each.
    pub hands: Option<u32>,
    /// The warmest that it may be for the working life to suffice. The data sheet's least temperature still holds.
    pub no_warmer_than: Option<Temperature>,
}

/// What helps with an area that `hands` people lay at `pace` each, at a temperature at which the batch has its working
/// life.
#[must_use]
pub fn help_for(
    area: Area,
    pace: AreaPace,
    hands: u32,
    pot_life: PotLife,
    at: Temperature,
) -> Help {
    let life = pot_life.at(at);
    let needed = |most: Area| least_whole(area.to_mm2() / most.to_mm2());
    let together = pace * f64::from(hands);
    Help {
        parts: needed(most_in(life, pace, hands)),
        hands: needed(most_in(life, pace, 1)),
        no_warmer_than: pot_life.temperature_for(area / together),
    }
}

/// The least whole number that is no less, a rounding error forgiven; none beyond a thousand, which is no help.
fn least_whole(number: f64) -> Option<u32> {
    (1..=1000).find(|whole| number <= f64::from(*whole) * (1.0 + 1e-12))
}

#[cfg(test)]
mod tests {
    use super::super::film::Warming;
    use super::*;
    use proptest::prelude::*;

    fn square_metres(areas: &[f64]) -> Vec<Area> {
        areas.iter().map(|area| Area::mm2(area * 1e6)).collect()
    }

    #[test]
    fn four_equal_fields_are_two_and_two_rather_than_three_and_one() {
        let pieces = square_metres(&[1.0; 4]);
        let found = batches(&pieces, Area::mm2(3e6));
        assert_eq!(found.batches, [0..2, 2..4]);
        assert_eq!(found.areas(&pieces), square_metres(&[2.0, 2.0]));
        assert!(found.too_large.is_empty());
    }

    #[test]
    fn a_field_too_large_is_named_and_laid_by_itself() {
        let found = batches(&square_metres(&[1.0, 1.0, 5.0, 1.0]), Area::mm2(3e6));
        assert_eq!(found.batches, [0..2, 2..3, 3..4]);
        assert_eq!(found.too_large, [2]);
    }

    #[test]
    fn nothing_takes_no_batch_and_no_time_lays_nothing() {
        assert_eq!(batches(&[], Area::mm2(1.0)), Batches::default());
        let found = batches(&square_metres(&[1.0, 2.0]), Area::ZERO);
        assert_eq!(found.too_large, [0, 1]);
        assert_eq!(
            batches(&square_metres(&[f64::NAN]), Area::mm2(1.0)).too_large,
            [0]
        );
    }

    /// Every way to cut a run of pieces: the least number of batches and, for that, the least largest, of whole areas.
    fn tried_out(pieces: &[u32], most: u32) -> Option<(usize, u32)> {
        let cuts = pieces.len().checked_sub(1)?;
        (0..1_u32 << cuts)
            .filter_map(|mask| {
                let mut areas = vec![pieces[0]];
                for (at, piece) in pieces.iter().enumerate().skip(1) {
                    if mask >> (at - 1) & 1 == 1 {
                        areas.push(*piece);
                    } else if let Some(last) = areas.last_mut() {
                        *last += piece;
                    }
                }
                let largest = *areas.iter().max()?;
                (largest <= most).then_some((areas.len(), largest))
            })
            .min()
    }

    proptest! {
        #[test]
        fn no_way_of_cutting_takes_fewer_batches_or_a_smaller_largest_one(
            pieces in prop::collection::vec(0..30_u32, 1..12), most in 29..90_u32,
        ) {
            let areas: Vec<Area> = pieces.iter().map(|area| Area::mm2(f64::from(*area))).collect();
            let found = batches(&areas, Area::mm2(f64::from(most)));
            prop_assert!(found.too_large.is_empty());
            let largest = found.areas(&areas).into_iter().map(Area::to_mm2).fold(0.0, f64::max);
            let (count, least) = tried_out(&pieces, most).expect("each piece fits");
            prop_assert_eq!(found.batches.len(), count);
            prop_assert_eq!(largest, f64::from(least));
        }

        #[test]
        fn every_piece_is_laid_once_in_order_and_no_batch_is_too_large_unless_said(
            pieces in prop::collection::vec(0.0..5.0_f64, 0..60), most in 0.5..8.0_f64,
        ) {
            let areas = square_metres(&pieces);
            let most = Area::mm2(most * 1e6);
            let found = batches(&areas, most);
            let laid: Vec<usize> = found.batches.iter().cloned().flatten().collect();
            prop_assert_eq!(laid, (0..areas.len()).collect::<Vec<_>>());
            for (batch, area) in found.batches.iter().zip(found.areas(&areas)) {
                let said = batch.len() == 1 && found.too_large.contains(&batch.start);
                prop_assert_eq!(said, area > most);
            }
        }

        #[test]
        fn each_help_alone_is_enough_and_no_more_than_that(
            area in 0.5..60.0_f64, pace in 1.0..15.0_f64, hands in 1..5_u32, hours in 0.1..6.0_f64, at in 5.0..35.0_f64,
        ) {
            let (area, pace) = (Area::mm2(area * 1e6), AreaPace::square_metres_an_hour(pace));
            let at = Temperature::celsius(at);
            let life = PotLife {
                stated: Time::hours(hours),
                stated_at: Temperature::celsius(20.0),
                halved_by: Warming::THAT_HALVES,
            };
            let help = help_for(area, pace, hands, life, at);
            let fits = |area: f64, most: Area| area <= most.to_mm2() * (1.0 + 1e-9);
            if let Some(parts) = help.parts {
                let most = most_in(life.at(at), pace, hands);
                prop_assert!(fits(area.to_mm2() / f64::from(parts), most));
                prop_assert!(parts == 1 || !fits(area.to_mm2() / f64::from(parts - 1), most));
            }
            if let Some(people) = help.hands {
                prop_assert!(fits(area.to_mm2(), most_in(life.at(at), pace, people)));
                prop_assert!(people == 1 || !fits(area.to_mm2(), most_in(life.at(at), pace, people - 1)));
            }
            let cool = help.no_warmer_than.expect("a temperature");
            prop_assert!((most_in(life.at(cool), pace, hands).to_mm2() / area.to_mm2() - 1.0).abs() < 1e-9);
        }
    }
}
