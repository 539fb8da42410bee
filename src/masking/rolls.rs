//! Which runs are cut from which roll. Comes in: the runs of both passes of all decks. Goes out: a
//! [`RollPlan`].
//!
//! Runs are broken as seldom as they can be (a join is where paint creeps under), so what is left to choose is
//! which run comes from which roll: the fewest rolls, which is also the least waste. Both passes are
//! packed together: what a roll still holds after the first pass is cut up in the second.
//!
//! Up to [`EXACT_UP_TO`] runs the fewest rolls are found by branch and bound; where that would take more than [`STEPS`]
//! steps, what it has proved by then is said. Beyond that runs go, longest first, into
//! the first roll that holds them. That needs at most 11/9 of the fewest rolls and 6/9 of one more (G. Dósa, "The
//! tight bound of first fit decreasing bin-packing algorithm is FFD(I) ≤ 11/9 OPT(I) + 6/9", ESCAPE 2007, LNCS
//! 4614); where it meets the bound by length it is the fewest all the same.

use std::collections::BTreeMap;

use super::runs::{RunName, TapeRun};
use super::{Masking, TapeKind};
use crate::layout::{Tape, TapeRoll};
use crate::units::Length;

/// As many runs are packed exactly.
pub const EXACT_UP_TO: usize = 24;
/// Steps that the exact search may take before it gives up.
const STEPS: usize = 2_000_000;
/// Rounding that is no length, millimetres.
const NOTHING: f64 = 1e-6;

/// The rolls of a job.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RollPlan {
    /// Of line tape.
    pub line: Rolls,
    /// Of edge tape.
    pub edge: Rolls,
}

/// The rolls of one tape.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rolls {
    /// Length on a roll.
    pub roll: Length,
    /// Each roll, those that the first pass opens first.
    pub rolls: Vec<Roll>,
    /// It is proved that no plan needs fewer rolls than this.
    pub at_least: usize,
    /// Whether it is proved that fewer will not do.
    pub is_fewest: bool,
}

/// What is cut from one roll.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Roll {
    /// Runs of the first pass, in the order of laying.
    pub first: Vec<RunName>,
    /// Runs of the reversed pass.
    pub reversed: Vec<RunName>,
    /// Length cut in the first pass.
    pub used_first: Length,
    /// Length cut in the reversed pass.
    pub used_reversed: Length,
}

impl RollPlan {
    /// For each run of either tape the number of its roll.
    #[must_use]
    pub fn numbers(&self) -> BTreeMap<RunName, usize> {
        let mut numbers = self.line.numbers();
        numbers.extend(self.edge.numbers());
        numbers
    }
}

impl Rolls {
    /// Rolls that the first pass opens.
    #[must_use]
    pub fn opened_first(&self) -> usize {
        self.rolls
            .iter()
            .filter(|roll| !roll.first.is_empty())
            .count()
    }

    /// What is left on those after the first pass.
    #[must_use]
    pub fn left_after_first(&self) -> Length {
        let opened = self.rolls.iter().filter(|roll| !roll.first.is_empty());
        opened.fold(Length::ZERO, |sum, roll| {
            sum + (self.roll - roll.used_first)
        })
    }

    /// How much of that the reversed pass uses.
    #[must_use]
    pub fn used_again(&self) -> Length {
        let opened = self.rolls.iter().filter(|roll| !roll.first.is_empty());
        opened.fold(Length::ZERO, |sum, roll| sum + roll.used_reversed)
    }

    /// What is left in the end, on all rolls.
    #[must_use]
    pub fn left_over(&self) -> Length {
        self.rolls
            .iter()
            .fold(Length::ZERO, |sum, roll| sum + self.left_on(roll))
    }

    /// What is left on one roll.
    #[must_use]
    pub fn left_on(&self, roll: &Roll) -> Length {
        self.roll - roll.used_first - roll.used_reversed
    }

    /// For each run the number of the roll, from 1, that it is cut from.
    #[must_use]
    pub fn numbers(&self) -> BTreeMap<RunName, usize> {
        self.rolls
            .iter()
            .zip(1..)
            .flat_map(|(roll, number)| {
                let runs = roll.first.iter().chain(&roll.reversed);
                runs.map(move |name| (*name, number))
            })
            .collect()
    }

    /// How many runs are cut from them.
    #[must_use]
    pub fn runs(&self) -> usize {
        let of_roll = |roll: &Roll| roll.first.len() + roll.reversed.len();
        self.rolls.iter().map(of_roll).sum()
    }
}

/// Numbers the runs of a job's decks in one series and packs them into rolls.
pub(crate) fn plan(decks: &mut [&mut Masking], tape: &Tape) -> RollPlan {
    for kind in [TapeKind::Line, TapeKind::Edge] {
        let mut number = 0;
        for is_first in [true, false] {
            for masking in decks.iter_mut() {
                let pass = if is_first {
                    &mut masking.first
                } else {
                    &mut masking.reversed
                };
                for run in pass.runs.iter_mut().filter(|run| run.name.kind == kind) {
                    number += 1;
                    run.name.number = number;
                }
            }
        }
    }
    RollPlan {
        line: rolls(decks, TapeKind::Line, &tape.line),
        edge: rolls(decks, TapeKind::Edge, &tape.edge),
    }
}

fn rolls(decks: &[&mut Masking], kind: TapeKind, tape: &TapeRoll) -> Rolls {
    let of_kind = |run: &&TapeRun| run.name.kind == kind;
    let first = decks.iter().flat_map(|deck| &deck.first.runs);
    let first: Vec<&TapeRun> = first.filter(of_kind).collect();
    let reversed = decks.iter().flat_map(|deck| &deck.reversed.runs);
    let reversed: Vec<&TapeRun> = reversed.filter(of_kind).collect();
    let lengths: Vec<f64> = first
        .iter()
        .chain(&reversed)
        .map(|run| run.to_cut.to_mm())
        .collect();
    let packed = pack(&lengths, tape.roll.to_mm());
    // Numbered in the order in which they are opened.
    let mut number_of: Vec<Option<usize>> = vec![None; packed.bins];
    let mut rolls: Vec<Roll> = Vec::new();
    for (index, (run, bin)) in first
        .iter()
        .chain(&reversed)
        .zip(&packed.bin_of)
        .enumerate()
    {
        let number = *number_of[*bin].get_or_insert_with(|| {
            rolls.push(Roll::default());
            rolls.len() - 1
        });
        let roll = &mut rolls[number];
        if index < first.len() {
            roll.first.push(run.name);
            roll.used_first = roll.used_first + run.to_cut;
        } else {
            roll.reversed.push(run.name);
            roll.used_reversed = roll.used_reversed + run.to_cut;
        }
    }
    Rolls {
        roll: tape.roll,
        rolls,
        at_least: packed.at_least,
        is_fewest: packed.is_fewest,
    }
}

/// Lengths packed into bins.
#[derive(Debug, Clone, PartialEq)]
pub struct Packing {
    /// The bin of each length.
    pub bin_of: Vec<usize>,
    /// How many bins.
    pub bins: usize,
    /// It is proved that no packing has fewer.
    pub at_least: usize,
    /// Whether this is proved to be the fewest.
    pub is_fewest: bool,
}

/// Packs lengths into bins of one capacity; every length must fit one.
///
/// ```
/// use spile::masking::pack;
/// // Longest first into the first that holds it takes three: 3 + 3, 2 + 2 + 2, 2.
/// let packed = pack(&[3.0, 3.0, 2.0, 2.0, 2.0, 2.0], 7.0);
/// assert_eq!(packed.bins, 2);
/// assert!(packed.is_fewest);
/// ```
#[must_use]
pub fn pack(lengths: &[f64], capacity: f64) -> Packing {
    let mut order: Vec<usize> = (0..lengths.len()).collect();
    order.sort_by(|a, b| lengths[*b].total_cmp(&lengths[*a]));
    let sorted: Vec<f64> = order.iter().map(|index| lengths[*index]).collect();
    let mut bins = first_fit(&sorted, capacity);
    let count = |bins: &[usize]| bins.iter().max().map_or(0, |most| most + 1);
    let mut at_least = least_bins(&sorted, capacity).max(least_by_ratio(count(&bins)));
    if lengths.len() <= EXACT_UP_TO {
        let mut search = Search {
            sorted: &sorted,
            steps: 0,
            bins: vec![0; sorted.len()],
        };
        while at_least < count(&bins) {
            let mut room = vec![capacity; at_least];
            if search.fits(0, &mut room) {
                bins.clone_from(&search.bins);
            } else if search.steps < STEPS {
                at_least += 1;
            } else {
                break;
            }
        }
    }
    let is_fewest = count(&bins) <= at_least;
    let mut bin_of = vec![0; lengths.len()];
    for (index, bin) in order.iter().zip(&bins) {
        bin_of[*index] = *bin;
    }
    Packing {
        bins: count(&bins),
        bin_of,
        at_least,
        is_fewest,
    }
}

/// No fewer bins than this: by length, and what is longer than half a bin shares none with its like.
fn least_bins(sorted: &[f64], capacity: f64) -> usize {
    let sum: f64 = sorted.iter().sum();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and not negative; the cast saturates"
    )]
    let by_length = ((sum - NOTHING) / capacity).ceil().max(0.0) as usize;
    let half = capacity / 2.0 + NOTHING;
    by_length.max(sorted.iter().filter(|length| **length > half).count())
}

/// What first-fit decreasing itself shows: it needs at most 11/9 of the fewest bins and 6/9 of one.
const fn least_by_ratio(first_fit: usize) -> usize {
    (9 * first_fit).saturating_sub(6).div_ceil(11)
}

/// First fit: each length, longest first, into the first bin that holds it.
fn first_fit(sorted: &[f64], capacity: f64) -> Vec<usize> {
    let mut room: Vec<f64> = Vec::new();
    sorted
        .iter()
        .map(|length| {
            let bin = room.iter().position(|room| *room >= length - NOTHING);
            let bin = bin.unwrap_or_else(|| {
                room.push(capacity);
                room.len() - 1
            });
            room[bin] -= length;
            bin
        })
        .collect()
}

/// Looks for a packing into a given number of bins.
struct Search<'a> {
    sorted: &'a [f64],
    steps: usize,
    bins: Vec<usize>,
}

impl Search<'_> {
    fn fits(&mut self, index: usize, room: &mut [f64]) -> bool {
        let Some(length) = self.sorted.get(index).copied() else {
            return true;
        };
        self.steps += 1;
        if self.steps >= STEPS {
            return false;
        }
        // What is too small for all that is left is lost.
        let shortest = self.sorted.last().copied().unwrap_or(0.0);
        let useful: f64 = room
            .iter()
            .filter(|room| **room >= shortest - NOTHING)
            .sum();
        if useful < self.sorted[index..].iter().sum::<f64>() - NOTHING {
            return false;
        }
        for bin in 0..room.len() {
            let before = room[bin];
            // Bins with as much room are one choice.
            let is_alike = room[..bin]
                .iter()
                .any(|other| (other - before).abs() < NOTHING);
            if is_alike || before < length - NOTHING {
                continue;
            }
            room[bin] -= length;
            self.bins[index] = bin;
            if self.fits(index + 1, room) {
                return true;
            }
            room[bin] = before;
            // It filled the bin: nothing does better.
            if (before - length).abs() < NOTHING {
                break;
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The fewest bins by trying every bin for every length.
    fn brute_force(lengths: &[f64], capacity: f64, room: &mut Vec<f64>, best: &mut usize) {
        let Some((length, rest)) = lengths.split_first() else {
            *best = (*best).min(room.len());
            return;
        };
        for bin in 0..room.len() {
            if room[bin] >= *length {
                room[bin] -= length;
                brute_force(rest, capacity, room, best);
                room[bin] += length;
            }
        }
        room.push(capacity - length);
        brute_force(rest, capacity, room, best);
        room.pop();
    }

    proptest! {
        #[test]
        fn no_other_way_of_cutting_needs_fewer_rolls(
            lengths in prop::collection::vec(1_u32..=20, 0..8),
        ) {
            let lengths: Vec<f64> = lengths.into_iter().map(f64::from).collect();
            let packed = pack(&lengths, 20.0);
            let mut best = usize::MAX;
            brute_force(&lengths, 20.0, &mut Vec::new(), &mut best);
            prop_assert!(packed.is_fewest);
            prop_assert_eq!(packed.bins, best);
            prop_assert!(packed.at_least <= best);
        }

        /// Full rolls cut to pieces need as many rolls as there were: the fewest are known however many pieces.
        #[test]
        fn pieces_of_full_rolls_take_no_more_rolls_than_proved(
            cuts in prop::collection::vec(prop::collection::vec(1_u32..1000, 2..6), 8..14),
        ) {
            let pieces: Vec<f64> = cuts
                .iter()
                .flat_map(|cuts| {
                    let mut at: Vec<u32> = cuts.iter().copied().chain([0, 1000]).collect();
                    at.sort_unstable();
                    at.dedup();
                    let pairs: Vec<f64> = at.windows(2).map(|ends| f64::from(ends[1] - ends[0])).collect();
                    pairs
                })
                .collect();
            let fewest = cuts.len();
            let packed = pack(&pieces, 1000.0);
            prop_assert!(9 * packed.bins <= 11 * fewest + 6, "{} for {fewest}", packed.bins);
            prop_assert_eq!(packed.at_least, fewest);
            prop_assert_eq!(packed.is_fewest, packed.bins == fewest);
        }

        #[test]
        fn no_roll_gives_more_than_it_holds(
            lengths in prop::collection::vec(1.0_f64..=33.0, 0..60),
        ) {
            let packed = pack(&lengths, 33.0);
            let mut used = vec![0.0; packed.bins];
            for (length, bin) in lengths.iter().zip(&packed.bin_of) {
                used[*bin] += length;
            }
            prop_assert!(used.iter().all(|used| *used <= 33.0 + 1e-3 && *used > 0.0));
            prop_assert!(packed.bins >= packed.at_least);
        }
    }

    #[test]
    fn longest_first_is_bettered_where_it_is_not_the_fewest() {
        let lengths = [7.0, 6.0, 5.0, 4.0, 4.0, 4.0, 3.0, 3.0, 2.0, 2.0];
        let sorted_fit = first_fit(&lengths, 10.0);
        let by_first_fit = sorted_fit.iter().max().map_or(0, |most| most + 1);
        let packed = pack(&lengths, 10.0);
        assert!(packed.bins <= by_first_fit);
        assert_eq!(packed.bins, 4);
        // A case where it does make a difference.
        let lengths = [3.0, 3.0, 2.0, 2.0, 2.0, 2.0];
        assert_eq!(first_fit(&lengths, 7.0).iter().max(), Some(&2));
        assert_eq!(pack(&lengths, 7.0).bins, 2);
    }

    #[test]
    fn a_search_that_is_stopped_claims_no_more_than_it_has_proved() {
        // The length of ten rolls in pieces of a little over a third: two to a roll at most, so eleven of 22 pieces.
        let lengths: Vec<f64> = (0..22).map(|at| 34.0 + f64::from(at) * 0.01).collect();
        let packed = pack(&lengths, 100.0);
        assert_eq!(packed.bins, 11);
        assert!(packed.at_least <= 11);
        assert_eq!(packed.is_fewest, packed.at_least == 11);
        assert!(!packed.is_fewest, "it takes more steps than allowed");
    }
}
