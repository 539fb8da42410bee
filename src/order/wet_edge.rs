//! How long wet paint waits for what is laid beside it. Comes in: stretches in their order. Goes out: the longest wait
//! between two neighbouring places, and where. Within a stretch paint goes on evenly; mixing between batches, and other decks laid
//! from the same batch, are not counted.

use super::Stretch;
use crate::shape::{Grid, Point};
use crate::units::Time;

/// The longest wait of a wet edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WetEdge {
    /// How long.
    pub waits: Time,
    /// Where.
    pub place: Point,
    /// The stretches that meet there, by their numbers from 1, the earlier one first.
    pub between: (usize, usize),
}

/// The longest wait among stretches laid one after the other.
pub(super) fn longest(grid: &Grid, stretches: &[Stretch]) -> Option<WetEdge> {
    // When each cell is laid, in hours, and in which stretch.
    let mut laid: Vec<Option<(f64, usize)>> = vec![None; grid.len()];
    let mut start = 0.0;
    for (number, stretch) in stretches.iter().enumerate() {
        let takes = stretch.time.to_hours();
        for (index, cell) in stretch.cells.iter().enumerate() {
            let share = index as f64 / stretch.cells.len() as f64;
            laid[*cell] = Some((start + takes * share, number + 1));
        }
        start += takes;
    }
    let mut longest: Option<(f64, usize, (usize, usize))> = None;
    for cell in 0..grid.len() {
        let Some((time, number)) = laid[cell] else {
            continue;
        };
        for beside in [grid.beside(cell, 1, 0), grid.beside(cell, 0, 1)] {
            let Some((other_time, other)) = beside.and_then(|beside| laid[beside]) else {
                continue;
            };
            let waits = (time - other_time).abs();
            if longest.is_none_or(|(known, ..)| waits > known) {
                longest = Some((waits, cell, (number.min(other), number.max(other))));
            }
        }
    }
    longest.map(|(waits, cell, between)| WetEdge {
        waits: Time::hours(waits),
        place: grid.middle(cell),
        between,
    })
}
