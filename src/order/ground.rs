//! Where a person may stand and walk. Comes in: what there is of a deck to walk on, ways off, how wide a person walks and
//! how far an arm reaches. Goes out: [`Ground`], which says who is reached while some of it is wet.
//!
//! All of it is measured to a cell. A passage that is narrower than the path by less than 1.5 cells still counts as wide
//! enough; one that is wide enough is never refused.

use std::collections::BinaryHeap;

use crate::shape::{Cells, Grid, Point, Region};
use crate::units::Length;

/// Cells of a deck, about, and the smallest that make sense, millimetres.
const MOST: usize = 60_000;
const SMALLEST: f64 = 20.0;
/// Cells between places that are looked at first.
const SPARSE: isize = 6;
/// The distance of what nobody reaches.
pub(super) const FAR: f64 = 1e9;

/// When a place is not wet at all.
pub(super) const NEVER: u32 = u32::MAX;

/// What a deck is to people who walk on it.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    pub(super) grid: Grid,
    /// What may be painted or stepped over: all but openings and fittings.
    pub(super) deck: Cells,
    /// Middles of places wide enough to stand on.
    pub(super) stands: Cells,
    /// Where each way off meets the deck.
    entries: Vec<usize>,
    /// Which cells an arm reaches from a way off itself.
    from_off: Cells,
    /// How far each cell of the deck is from the nearest way off: to walk, where a person stands there, else with what an
    /// arm then reaches over.
    pub(super) far: Vec<f64>,
    /// Cells round a place that must not be wet for a person to stand there, less those round the cells [`Grid::ASIDE`] of it, for
    /// each choice of those.
    pub(super) new_near: [Vec<(isize, isize)>; 16],
    /// Cells that an arm reaches.
    arm: Vec<(isize, isize)>,
}

impl Ground {
    pub(super) fn new(deck: &Region, ways: &[Point], path: Length, reach: Length) -> Self {
        let (path, reach) = (path.to_mm(), reach.to_mm());
        let grid = Grid::over(&deck.bounding_box(), SMALLEST, MOST);
        let on_deck = grid.fill(deck);
        // Wider by what the middles of cells may miss, so that no passage is closed by them.
        let half = path / 2.0 - grid.side() * std::f64::consts::FRAC_1_SQRT_2;
        let mut stands = if half > 0.0 {
            grid.fill(&deck.eroded(Length::mm(half)))
        } else {
            on_deck.clone()
        };
        let places: Vec<usize> = (0..grid.len()).filter(|cell| stands[*cell]).collect();
        let mut entries = Vec::new();
        for way in ways {
            let away = |cell: &usize| grid.middle(*cell).distance(*way);
            let nearest = places
                .iter()
                .copied()
                .min_by(|one, other| away(one).total_cmp(&away(other)));
            // The step from the way off to where there is room to stand.
            if let Some(to) = nearest.filter(|cell| away(cell) <= reach) {
                let steps = (2.0 * away(&to) / grid.side()).ceil().max(1.0);
                let mut share = 0.0;
                let mut step: Vec<usize> = Vec::new();
                while share <= steps {
                    let cell = grid.nearest(way.towards(grid.middle(to), share / steps));
                    if on_deck[cell] && step.last() != Some(&cell) {
                        // Over no corner.
                        let corner = step.last().and_then(|last| {
                            let mut beside = grid.aside(*last);
                            beside.find(|between| grid.aside(*between).any(|next| next == cell))
                        });
                        step.extend(corner);
                        step.push(cell);
                    }
                    share += 1.0;
                }
                step.iter().for_each(|cell| stands[*cell] = true);
                entries.extend(step.first());
            }
        }
        let seeds: Vec<Point> = entries.iter().map(|cell| grid.middle(*cell)).collect();
        let walked = grid.geodesic(&stands, &seeds);
        let mut arm = grid.disc(reach);
        // A few here and there come first: most places that are within reach are found by them.
        arm.sort_by_key(|(along, up)| along % SPARSE != 0 || up % SPARSE != 0);
        let off = |cell: usize| {
            let middle = grid.middle(cell);
            let all = ways.iter().map(|way| way.distance(middle));
            all.fold(f64::INFINITY, f64::min)
        };
        let from_off: Cells = (0..grid.len()).map(|cell| off(cell) <= reach).collect();
        let mut far = with_an_arm(&grid, walked, &arm);
        for (cell, far) in far.iter_mut().enumerate() {
            if !far.is_finite() {
                *far = if from_off[cell] { off(cell) } else { FAR };
            }
        }
        Self {
            new_near: std::array::from_fn(|beside| less_beside(&grid.disc(path / 2.0), beside)),
            grid,
            deck: on_deck,
            stands,
            entries,
            from_off,
            far,
            arm,
        }
    }

    /// Until when each place to stand can be left for a way off, 0 where never: the way whose first place to become wet
    /// does so last. `wet` says when a place is too near to wet paint, [`NEVER`] where it never is.
    pub(super) fn open_until(&self, wet: &[u32]) -> Vec<u32> {
        let mut open = vec![0; self.grid.len()];
        let mut front: BinaryHeap<(u32, usize)> = BinaryHeap::new();
        let mut come: Vec<(usize, u32)> = self.entries.iter().map(|cell| (*cell, NEVER)).collect();
        loop {
            while let Some((cell, until)) = come.pop() {
                let until = until.min(wet[cell]);
                if !self.stands[cell] || until <= open[cell] {
                    continue;
                }
                open[cell] = until;
                if until == NEVER {
                    // Nothing better can come: no need to wait for the turn.
                    come.extend(self.grid.aside(cell).map(|next| (next, until)));
                } else {
                    front.push((until, cell));
                }
            }
            let Some((until, cell)) = front.pop() else {
                break;
            };
            if until == open[cell] {
                come.extend(self.grid.aside(cell).map(|next| (next, until)));
            }
        }
        open
    }

    /// Whether a cell is within reach, when it is laid at `rank`, of a place that can still be left.
    pub(super) fn is_reached(&self, cell: usize, rank: u32, open: &[u32]) -> bool {
        self.from_off[cell]
            || self.arm.iter().any(|(along, up)| {
                self.grid
                    .beside(cell, *along, *up)
                    .is_some_and(|place| open[place] > rank)
            })
    }

    /// The narrowest place on the widest way over the deck from what can be walked to, dry, to where `cell` is within
    /// reach: its middle and about how wide it is. None where no deck leads there.
    pub(super) fn narrowest(&self, cell: usize) -> Option<(Point, Length)> {
        let blocked: Cells = self.deck.iter().map(|is_deck| !is_deck).collect();
        let room = self.grid.distance_to(&blocked);
        let walked = self.open_until(&vec![NEVER; self.grid.len()]);
        let mut width = vec![0.0; self.grid.len()];
        let mut narrowest = vec![None; self.grid.len()];
        let mut front: BinaryHeap<(u64, usize)> = BinaryHeap::new();
        for start in (0..self.grid.len()).filter(|start| walked[*start] > 0) {
            width[start] = f64::INFINITY;
            front.push((u64::MAX, start));
        }
        let mut is_near = vec![false; self.grid.len()];
        for (along, up) in &self.arm {
            if let Some(place) = self.grid.beside(cell, *along, *up) {
                is_near[place] = true;
            }
        }
        while let Some((_, at)) = front.pop() {
            if is_near[at] {
                let place: usize = narrowest[at]?;
                // From the middle of the outermost free cell it is half a cell to the edge.
                let across = 2.0 * room[place] - self.grid.side();
                return Some((self.grid.middle(place), Length::mm(across)));
            }
            for next in self.grid.neighbours(at) {
                let wide = width[at].min(room[next]);
                if self.deck[next] && wide > width[next] {
                    width[next] = wide;
                    narrowest[next] = if room[next] < width[at] {
                        Some(next)
                    } else {
                        narrowest[at]
                    };
                    // The bits of numbers above 0 sort as they do.
                    front.push((wide.to_bits(), next));
                }
            }
        }
        None
    }
}

/// Distances that are known where a person gets, and beyond those what an arm reaches from there.
fn with_an_arm(grid: &Grid, walked: Vec<f64>, arm: &[(isize, isize)]) -> Vec<f64> {
    let mut far = walked.clone();
    for place in (0..grid.len()).filter(|place| walked[*place].is_finite()) {
        // The last place on a straight way from any other is one of the rim.
        if grid.aside(place).all(|next| walked[next].is_finite()) {
            continue;
        }
        for (along, up) in arm {
            if let Some(cell) = grid.beside(place, *along, *up)
                && walked[cell] == f64::INFINITY
            {
                let over = (*along as f64).hypot(*up as f64) * grid.side();
                far[cell] = far[cell].min(walked[place] + over);
            }
        }
    }
    far
}

/// Cells of a disc that are in none of the discs round those of the cells [`Grid::ASIDE`] that `beside` has a bit for.
fn less_beside(disc: &[(isize, isize)], beside: usize) -> Vec<(isize, isize)> {
    let chosen = Grid::ASIDE.iter().enumerate();
    let chosen = chosen.filter(|(number, _)| beside >> number & 1 == 1);
    let moved: Vec<(isize, isize)> = chosen
        .flat_map(|(_, (along, up))| disc.iter().map(move |(x, y)| (x + along, y + up)))
        .collect();
    let left = disc.iter().filter(|cell| !moved.contains(cell));
    left.copied().collect()
}
