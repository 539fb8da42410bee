//! What is bought of tape and film, in whole rolls. Comes in: the plan of rolls, the areas to cover, the beads. Goes
//! out: lines of the list.

use super::super::ceiling;
use super::super::labour::{Pass, WorkKind, WorkStep};
use super::super::zones::DeckZones;
use super::{Bought, Item, List, Shelf, Stock};
use crate::masking::{TapeKind, pack};
use crate::units::{Area, Length, Money};

impl List<'_> {
    pub(super) fn tapes(&mut self, zones: &[DeckZones], steps: &[WorkStep]) {
        let masks = |pass: Pass| steps.iter().any(|step| step.kind == WorkKind::Mask(pass));
        let (first, reversed) = (masks(Pass::First), masks(Pass::Reversed));
        let named = |pass: Pass| {
            let mine = steps
                .iter()
                .filter(move |step| step.kind == WorkKind::Mask(pass));
            mine.map(|step| step.id.clone())
        };
        let passes = || {
            named(Pass::First)
                .chain(named(Pass::Reversed))
                .collect::<Vec<_>>()
        };
        let tape = self.job.layout.tape;
        let prices = self.job.layout.work.roll_prices;
        if first || reversed {
            for (id, title, kind, of, price) in [
                (
                    "line-tape",
                    "Line tape",
                    TapeKind::Line,
                    tape.line,
                    prices.line,
                ),
                (
                    "edge-tape",
                    "Edge tape",
                    TapeKind::Edge,
                    tape.edge,
                    prices.edge,
                ),
            ] {
                let runs = self.job.decks.iter().flat_map(|deck| {
                    let passes = [
                        (first, &deck.masking.first),
                        (reversed, &deck.masking.reversed),
                    ];
                    passes.into_iter().filter(|(is_masked, _)| *is_masked)
                });
                let lengths: Vec<f64> = runs
                    .flat_map(|(_, pass)| &pass.runs)
                    .filter(|run| run.name.kind == kind)
                    .map(|run| run.to_cut.to_mm())
                    .collect();
                let used = Length::mm(lengths.iter().sum());
                let count = if first && reversed {
                    match kind {
                        TapeKind::Line => self.job.rolls.line.rolls.len(),
                        TapeKind::Edge => self.job.rolls.edge.rolls.len(),
                    }
                } else {
                    // The plan is for both passes; one alone may do with fewer.
                    pack(&lengths, of.roll.to_mm()).bins
                };
                self.rolls(id, title, of.width, of.roll, used, count, price, passes());
            }
        }
        let bead = steps
            .iter()
            .fold(Length::ZERO, |sum, step| match step.kind {
                WorkKind::Caulk(length) => sum + length * 2.0,
                _ => sum,
            });
        if bead > Length::ZERO {
            let waste = self.job.layout.work.supplies.bead_tape_waste.value;
            let used = bead * (1.0 + waste.factor());
            let count = rolls_for(used, tape.line.roll);
            let steps: Vec<String> = named(Pass::Edge).collect();
            self.rolls(
                "bead-tape",
                "Line tape, beside the bead",
                tape.line.width,
                tape.line.roll,
                used,
                count,
                prices.line,
                steps,
            );
        }
        let film = zones.iter().fold(Area::ZERO, |sum, zone| {
            let of_first = if first { zone.first.film } else { Area::ZERO };
            let of_reversed = if reversed {
                zone.reversed.film
            } else {
                Area::ZERO
            };
            sum + of_first + of_reversed
        });
        if film > Area::ZERO {
            let waste = self.job.layout.work.supplies.film_waste.value;
            let used = film * (1.0 + waste.factor());
            let length = Length::mm(used.to_mm2() / tape.film.width.to_mm());
            let count = rolls_for(length, tape.film.roll);
            let title = format!(
                "Masking film, {} wide",
                tape.film.width.show(self.job.layout.units)
            );
            let roll = Area::mm2(tape.film.width.to_mm() * tape.film.roll.to_mm());
            self.items.push(Item {
                id: "film".into(),
                shelf: Shelf::Masking,
                title,
                need: Stock::Area(used),
                buy: vec![Bought {
                    count,
                    size: Stock::Length(tape.film.roll),
                    price: prices.film,
                }],
                cost: prices.film.map(|price| price * count),
                left: Some(Stock::Area(roll * count as f64 - used)),
                steps: passes(),
            });
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "what is known of a roll, named at the two places that call it"
    )]
    fn rolls(
        &mut self,
        id: &str,
        title: &str,
        width: Length,
        roll: Length,
        used: Length,
        count: usize,
        price: Option<Money>,
        steps: Vec<String>,
    ) {
        if count == 0 {
            return;
        }
        self.items.push(Item {
            id: id.to_owned(),
            shelf: Shelf::Masking,
            title: format!("{title}, {} wide", width.show(self.job.layout.units)),
            need: Stock::Length(used),
            buy: vec![Bought {
                count,
                size: Stock::Length(roll),
                price,
            }],
            cost: price.map(|price| price * count),
            left: Some(Stock::Length(roll * count as f64 - used)),
            steps,
        });
    }
}

fn rolls_for(length: Length, roll: Length) -> usize {
    ceiling(length.to_mm() / roll.to_mm())
}
