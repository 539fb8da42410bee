//! The stretches as regions, to draw: exact where they follow the pattern, along level lines of the walking distance where they were
//! cut.

use super::cut::band_of;
use super::{CutPiece, DeckOrder, Stretch, regions};
use crate::DeckJob;
use crate::shape::{BoundingBox, Point, Region};
use crate::takeoff::Part;
use crate::units::Length;

impl DeckOrder {
    /// The middles of a stretch's cells in the order in which they are laid.
    pub fn laid(&self, stretch: &Stretch) -> impl Iterator<Item = Point> {
        stretch
            .cells
            .iter()
            .map(|cell| self.ground.grid.middle(*cell))
    }

    /// Side of a cell: nothing here is exacter than that.
    #[must_use]
    pub fn cell(&self) -> Length {
        Length::mm(self.ground.grid.side())
    }

    /// The region of each stretch, in order; none where there is no order.
    #[must_use]
    pub fn regions(&self, deck: &DeckJob) -> Vec<Region> {
        let Ok(stretches) = &self.stretches else {
            return Vec::new();
        };
        let grid = &self.ground.grid;
        // Beyond the deck the distance goes on, so that level lines run out over the edge.
        let everywhere = vec![true; grid.len()];
        let known = (0..grid.len()).map(|cell| {
            let far = self.ground.far[cell];
            if self.ground.deck[cell] {
                far
            } else {
                f64::INFINITY
            }
        });
        let walk = grid.spread(&everywhere, known.collect());
        let mut owner: Vec<Option<usize>> = vec![None; grid.len()];
        for (number, stretch) in stretches.iter().enumerate() {
            for cell in &stretch.cells {
                owner[*cell] = Some(number);
            }
        }
        let mut found = vec![Region::default(); stretches.len()];
        for (number, piece) in self.pieces.iter().enumerate() {
            let levels = &piece.levels;
            let whole = self.region_of(deck, piece);
            let beyond: Vec<Region> = levels
                .iter()
                .map(|level| grid.above(&walk, *level))
                .collect();
            for band in 0..=levels.len() {
                let farther = band.checked_sub(1).map(|before| &beyond[before]);
                let within = match beyond.get(band) {
                    Some(beyond) => whole.intersection(&[beyond]),
                    None => whole.clone(),
                };
                let within =
                    farther.map_or(within.clone(), |farther| within.difference(&[farther]));
                for part in within.components() {
                    // A part belongs to the stretch that most of its cells do.
                    let cells = grid.fill(&part);
                    let mut votes = vec![0_usize; stretches.len()];
                    for (cell, _) in cells.iter().enumerate().filter(|(_, is_in)| **is_in) {
                        let is_own = band_of(levels, self.ground.far[cell]) == band;
                        let owner = owner[cell].filter(|owner| stretches[*owner].piece == number);
                        if let Some(owner) = owner.filter(|_| is_own) {
                            votes[owner] += 1;
                        }
                    }
                    let most = (0..votes.len()).max_by_key(|owner| votes[*owner]);
                    if let Some(owner) = most.filter(|owner| votes[*owner] > 0) {
                        found[owner] = found[owner].union(&[&part]);
                    }
                }
            }
        }
        found
    }

    /// All of a piece.
    fn region_of(&self, deck: &DeckJob, piece: &CutPiece) -> Region {
        let of_part = regions(&deck.pattern, self.on, &piece.part);
        let whole = Region::default().union(&of_part);
        let Part::Stretch(stretch) = &piece.part else {
            return whole;
        };
        let bounds = deck.pattern.deck.bounding_box();
        let band = BoundingBox {
            least: Point::new(stretch.from.to_mm(), bounds.least.y - 1.0),
            greatest: Point::new(stretch.to.to_mm(), bounds.greatest.y + 1.0),
        };
        whole.intersection(&[&Region::inside(band.rectangle())])
    }
}
