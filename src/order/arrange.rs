//! Pieces cut into stretches, and all of those in order. Comes in: the ground, and pieces with their batches. Goes out: an
//! [`Arrangement`] that leaves whoever paints a dry way at every moment, or a cell that nobody reaches even with everything dry.
//!
//! As coarsely as will do, and with batches kept together as long as that can be: first batch by batch, each piece
//! finished before the next; then piece by piece; then all of them side by side, from ring to ring round the ways off.
//!
//! The last of these always does where cells are small beside a ring, whatever the order within it. Let a ring be t broad, half a path h, and an arm reach
//! 2(t + h). A cell is as far off as the place it is painted from, and the arm's length between them. Where those are t + h
//! apart or more, what lies within h of that place, or of the way from there, is nearer by t, and so of a ring still to come.
//! Where they are not, the same holds for the place that lies t + h nearer on that way: it is within 2(t + h). And where the way
//! is shorter than that, the cell is painted from where the way off meets the deck, and what lies within h of there is a ring
//! of its own, the last, painted from the way off itself.

use super::cut::{Cut, cut, equal_bands, rings, sorted};
use super::ground::Ground;
use super::peel::{Block, out_of_reach, peel, shut_in};
use crate::layout::OrderSettings;

/// Cells that are allowed for what a raster misses of a ring's breadth.
const ALLOWANCE: f64 = 2.0;

/// What is to be painted of one part.
pub(super) struct Piece {
    /// Which batch it is laid from.
    pub(super) batch: usize,
    /// Its cells.
    pub(super) cells: Vec<usize>,
    /// Into how many bands it goes so that each is handy.
    pub(super) bands: usize,
}

/// Stretches in order.
#[derive(Default)]
pub(super) struct Arrangement {
    /// The stretches, the first to be painted first.
    pub(super) cuts: Vec<Cut>,
    /// The distances that part the bands of each piece.
    pub(super) levels: Vec<Vec<f64>>,
    /// Whether each batch is laid without a break.
    pub(super) keeps_batches: bool,
}

/// What is laid without a break.
#[derive(Clone, Copy, PartialEq)]
enum Together {
    Batches,
    Pieces,
    All,
}

/// How pieces are cut.
#[derive(Clone, Copy)]
enum Breadth {
    /// Into what is handy, each piece finished before the next.
    PieceByPiece,
    /// Into what is handy.
    Handy,
    /// No broader than so many reaches.
    Reaches(f64),
    /// As broad as always does.
    Safe,
}

/// Tried in turns.
const TRIES: [(Together, Breadth); 11] = [
    (Together::Batches, Breadth::PieceByPiece),
    (Together::Batches, Breadth::Handy),
    (Together::Batches, Breadth::Reaches(2.0)),
    (Together::Batches, Breadth::Reaches(1.0)),
    (Together::Batches, Breadth::Safe),
    (Together::Pieces, Breadth::PieceByPiece),
    (Together::Pieces, Breadth::Reaches(1.0)),
    (Together::Pieces, Breadth::Safe),
    (Together::All, Breadth::Handy),
    (Together::All, Breadth::Reaches(1.0)),
    (Together::All, Breadth::Safe),
];

/// A cell that nobody reaches.
pub(super) struct Unreached {
    /// Number of the piece it is of.
    pub(super) piece: usize,
    pub(super) cell: usize,
    /// Whether that is so with everything dry; else only where no order was found on too coarse a raster.
    pub(super) when_dry: bool,
}

/// The pieces in stretches, in order.
pub(super) fn arranged(
    ground: &Ground,
    settings: OrderSettings,
    mut pieces: Vec<Piece>,
) -> Result<Arrangement, Unreached> {
    for piece in &mut pieces {
        piece.cells = sorted(ground, std::mem::take(&mut piece.cells));
    }
    let cells = pieces.iter().map(|piece| piece.cells.as_slice());
    if let Some((piece, cell)) = out_of_reach(ground, cells) {
        return Err(Unreached {
            piece,
            cell,
            when_dry: true,
        });
    }
    let (path, reach) = (settings.path.value.to_mm(), settings.reach.value.to_mm());
    let side = ground.grid.side();
    let mut unreached = None;
    for (together, breadth) in TRIES {
        let broad = match breadth {
            Breadth::PieceByPiece | Breadth::Handy => f64::INFINITY,
            Breadth::Reaches(many) => many * reach,
            Breadth::Safe => ((reach - path) / 2.0 - ALLOWANCE * side).max(side),
        };
        let is_piece_by_piece = matches!(breadth, Breadth::PieceByPiece);
        let whole_bands = matches!(breadth, Breadth::Safe);
        let nearest = path / 2.0 + side;
        let cutting = Cutting::new(ground, &pieces, [nearest, broad], whole_bands);
        let block_of = |cut: usize| match together {
            Together::Batches => pieces[cutting.cuts[cut].piece].batch,
            Together::Pieces => cutting.cuts[cut].piece,
            Together::All => 0,
        };
        let blocks = cutting.blocks(ground, block_of, is_piece_by_piece);
        match peel(ground, &blocks) {
            Ok(order) => {
                let turns = order
                    .into_iter()
                    .flat_map(|block| blocks[block].cuts.clone());
                return Ok(Arrangement {
                    cuts: turns.map(|cut| cutting.cuts[cut].clone()).collect(),
                    levels: cutting.levels,
                    keeps_batches: together == Together::Batches,
                });
            }
            Err(_) if together == Together::All => {
                let cell = blocks.iter().find_map(|block| shut_in(ground, block));
                let of = |cell: &usize| pieces.iter().position(|piece| piece.cells.contains(cell));
                unreached = cell.and_then(|cell| Some((of(&cell)?, cell)));
            }
            Err(_) => {}
        }
    }
    let (piece, cell) = unreached.unwrap_or_default();
    Err(Unreached {
        piece,
        cell,
        when_dry: false,
    })
}

/// All pieces cut in one way.
struct Cutting {
    cuts: Vec<Cut>,
    /// By piece.
    levels: Vec<Vec<f64>>,
    /// The distances of the rings that all pieces share.
    rings: Vec<f64>,
    /// How far off each piece is on average.
    means: Vec<f64>,
}

impl Cutting {
    /// With the nearest ring so broad, and the others.
    fn new(
        ground: &Ground,
        pieces: &[Piece],
        [nearest, broad]: [f64; 2],
        whole_bands: bool,
    ) -> Self {
        let all = pieces.iter().flat_map(|piece| &piece.cells);
        let farthest = all.map(|cell| ground.far[*cell]).fold(0.0, f64::max);
        let rings = rings(farthest, nearest, broad);
        let mut cuts = Vec::new();
        let mut levels = Vec::new();
        for (number, piece) in pieces.iter().enumerate() {
            let mut own = equal_bands(ground, &piece.cells, piece.bands);
            // No slivers beside a ring.
            own.retain(|level| rings.iter().all(|ring| (ring - level).abs() > broad / 4.0));
            own.extend(&rings);
            own.sort_by(|one, other| other.total_cmp(one));
            cuts.extend(cut(ground, number, &piece.cells, &own, whole_bands));
            levels.push(own);
        }
        let mean = |piece: &Piece| {
            let sum: f64 = piece.cells.iter().map(|cell| ground.far[*cell]).sum();
            sum / piece.cells.len().max(1) as f64
        };
        Self {
            cuts,
            levels,
            rings,
            means: pieces.iter().map(mean).collect(),
        }
    }

    /// The stretches that are laid without a break, in order.
    fn blocks(
        &self,
        ground: &Ground,
        block_of: impl Fn(usize) -> usize,
        is_piece_by_piece: bool,
    ) -> Vec<Block> {
        let mut numbers: Vec<usize> = (0..self.cuts.len()).map(&block_of).collect();
        numbers.sort_unstable();
        numbers.dedup();
        // The least first.
        let turn = |cut: &usize| {
            let Cut {
                piece,
                band,
                mean,
                ref cells,
            } = self.cuts[*cut];
            let farthest = cells.first().map_or(0.0, |cell| ground.far[*cell]);
            if is_piece_by_piece {
                (-self.means[piece], band, -mean)
            } else {
                let ring = self.rings.partition_point(|ring| *ring > farthest);
                (0.0, ring, -mean)
            }
        };
        let block = |number: usize| {
            let mut own: Vec<usize> = (0..self.cuts.len())
                .filter(|cut| block_of(*cut) == number)
                .collect();
            own.sort_by(|one, other| {
                let (one, other) = (turn(one), turn(other));
                let by_piece = one.0.total_cmp(&other.0);
                by_piece
                    .then(one.1.cmp(&other.1))
                    .then(one.2.total_cmp(&other.2))
            });
            Block::new(ground, &self.cuts, own)
        };
        numbers.into_iter().map(block).collect()
    }
}
