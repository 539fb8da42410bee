//! In which order a coat is painted so that nobody paints themselves in. Comes in: a [`Job`] with ways off its decks, its
//! [`Takeoff`], whose batches and areas stay as they are. Goes out: a [`DeckOrder`] for each coat of each deck that has a way
//! off: numbered stretches, or what stands in the way.
//!
//! People stand on what is not yet painted, on film over what is masked, on dry paint: on whatever is not wet with
//! this coat and is as wide as their path. They never step over wet paint. From a way off itself, once they are off the deck,
//! they still reach as far as an arm does. `ground.rs` says who is reached, `cut.rs` makes stretches, `peel.rs` finds the order.

mod cut;
mod ground;
mod outlines;
mod peel;
mod wet_edge;

pub use wet_edge::WetEdge;

use crate::layout::{Fault, OrderSettings, Surface};
use crate::outline::DeckPlan;
use crate::pattern::Pattern;
use crate::shape::{Point, Region};
use crate::takeoff::{CoatTakeoff, Part, Takeoff, WorkStep, area_task};
use crate::units::{Area, Length, Time};
use crate::{DeckJob, Job};

use cut::{Cut, cut};
use ground::Ground;
use peel::{Block, closing, out_of_reach, peel};

/// A stretch takes no longer than this share of the time that a mix can be worked (common practice, no source).
const HANDY: f64 = 1.0 / 3.0;

/// How broad a band may be, in reaches, tried in turns: two edges of one border have to be painted side by side where people
/// walk between them.
const BROADEST: [f64; 4] = [f64::INFINITY, 2.0, 1.0, 0.5];

/// The order of a coat on one deck.
#[derive(Debug, Clone)]
pub struct DeckOrder {
    /// The step's id.
    pub step: String,
    /// What people call it.
    pub title: String,
    /// What it is laid on.
    pub on: Surface,
    /// The deck's id.
    pub deck: String,
    /// What people call it.
    pub deck_title: String,
    /// The stretches in the order of painting, or why there is none.
    pub stretches: Result<Vec<Stretch>, NoOrder>,
    /// Whether each batch of the takeoff is laid without a break; else its batches have to be mixed in another way.
    pub keeps_batches: bool,
    /// Where wet paint waits longest for its neighbour; none where nothing meets.
    pub wet_edge: Option<WetEdge>,
    /// How long a mix can be worked; none where it has no pot life.
    pub working: Option<Time>,
    /// How many lay.
    pub hands: usize,
    ground: Ground,
    pieces: Vec<CutPiece>,
}

impl DeckOrder {
    /// The longest wait of a wet edge with how long a mix can be worked, where it is longer than that.
    #[must_use]
    pub fn late_edge(&self) -> Option<(WetEdge, Time)> {
        let working = self.working?;
        let edge = self.wet_edge.filter(|edge| edge.waits > working)?;
        Some((edge, working))
    }

    /// How many would have to lay for a wet edge to wait no longer than that.
    #[must_use]
    pub fn hands_for(&self, edge: WetEdge, working: Time) -> usize {
        let together = edge.waits * self.hands as f64;
        (1..100)
            .find(|hands| together <= working * *hands as f64)
            .unwrap_or(100)
    }
}

/// A part of the takeoff, and the distances that part its bands.
#[derive(Debug, Clone)]
struct CutPiece {
    part: Part,
    levels: Vec<f64>,
}

/// What is painted in one go.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// Which batch of the takeoff it is laid from, from 1.
    pub batch: usize,
    /// What it is: `F3`, `border, forward port`.
    pub part: String,
    /// Its area.
    pub area: Area,
    /// How long it takes those who lay, at the slow pace.
    pub time: Time,
    /// Its roomiest place.
    pub place: Point,
    /// Which piece it is of.
    piece: usize,
    /// Its cells, the first to be laid first.
    cells: Vec<usize>,
}

/// Why there is no order.
#[derive(Debug, Clone, PartialEq)]
pub enum NoOrder {
    /// Nobody gets within reach of this part, even with everything dry.
    OutOfReach {
        /// The part.
        part: String,
        /// A place of it that is out of reach.
        place: Point,
        /// The passage there that is too narrow, and about how wide it is; none where no deck leads there.
        passage: Option<(Point, Length)>,
    },
    /// Whichever of these parts is painted last, it is shut in by the others.
    Closed {
        /// They.
        parts: Vec<String>,
        /// The part that closes the way: painted on a day of its own, it lets the others be painted.
        by: Option<String>,
    },
}

/// A piece of the takeoff on the deck.
struct Piece<'a> {
    batch: usize,
    part: &'a Part,
    area: Area,
}

/// The ways off a deck that nobody reaches from it.
pub(crate) fn ways_off_afar(plan: &DeckPlan, settings: OrderSettings) -> Vec<Fault> {
    let deck = Region::inside(plan.outline.ring.clone());
    let reach = settings.reach.value;
    let afar = plan.ways_off.iter().filter_map(|way| {
        let away = deck.boundary_distance(way.at);
        (!deck.contains(way.at) && away > reach).then(|| {
            Fault::new(
                way.place,
                format!(
                    "the way off {:?} is {} from this deck's edge",
                    way.name,
                    away.show(plan.units)
                ),
                "too far to step off",
            )
            .with_help(format!(
                "write a place on the deck, or no further from it than an arm reaches: {}",
                reach.show(plan.units)
            ))
        })
    });
    afar.collect()
}

/// The orders of all coats, deck by deck; none for a deck without a way off.
#[must_use]
pub fn orders(job: &Job, takeoff: &Takeoff) -> Vec<DeckOrder> {
    let mut found = Vec::new();
    for deck in &job.decks {
        if deck.plan.ways_off.is_empty() {
            continue;
        }
        let pattern = &deck.pattern;
        let free = pattern
            .deck
            .difference(&[&pattern.openings, &pattern.fittings]);
        let ways: Vec<Point> = deck.plan.ways_off.iter().map(|way| way.at).collect();
        let settings = job.layout.work.order;
        let ground = Ground::new(&free, &ways, settings.path.value, settings.reach.value);
        for step in &takeoff.steps {
            if let Some(coat) = &step.coats {
                found.extend(order(job, deck, &ground, step, coat));
            }
        }
    }
    found
}

/// The order of one coat on one deck; none where it paints nothing there.
fn order(
    job: &Job,
    deck: &DeckJob,
    ground: &Ground,
    step: &WorkStep,
    coat: &CoatTakeoff,
) -> Option<DeckOrder> {
    let work = &job.layout.work;
    let hands = work.job.laying.value;
    let pace = work.labour.area(area_task(coat.method)).value.slow * hands as f64;
    let pieces = pieces(deck, coat);
    if pieces.is_empty() {
        return None;
    }
    let handy = coat.limit.map(|limit| limit.most * HANDY);
    let cells: Vec<Vec<usize>> = pieces
        .iter()
        .map(|piece| cells(ground, &deck.pattern, step.on, piece.part))
        .collect();
    // As coarsely as will do.
    let reach = work.order.reach.value.to_mm();
    let mut cuts = Vec::new();
    let mut cut_pieces = Vec::new();
    let mut arrangement = Err(Stuck::default());
    for broadest in BROADEST {
        (cuts, cut_pieces) = (Vec::new(), Vec::new());
        for (number, piece) in pieces.iter().enumerate() {
            let many = handy.map_or(1, |handy| bands(piece.area, handy));
            let own = cells[number].clone();
            let (found, levels) = cut(ground, number, own, many, broadest * reach);
            cuts.extend(found);
            cut_pieces.push(CutPiece {
                part: piece.part.clone(),
                levels,
            });
        }
        arrangement = arranged(ground, &pieces, &cuts);
        if !matches!(arrangement, Err(Stuck::Closed { .. })) {
            break;
        }
    }
    let (ordered, keeps_batches) = match arrangement {
        Ok((ordered, keeps)) => (Ok(ordered), keeps),
        Err(why) => (Err(why.said(&pieces, &cuts, ground, deck, step.on)), true),
    };
    let stretches = ordered.map(|ordered: Vec<usize>| {
        let made = ordered.into_iter().map(|number| {
            let cut = &cuts[number];
            let piece = &pieces[cut.piece];
            let area = piece.area * (cut.cells.len() as f64 / cells[cut.piece].len().max(1) as f64);
            let place = roomiest(ground, &cut.cells);
            let siblings = cuts.iter().filter(|other| other.piece == cut.piece).count();
            Stretch {
                batch: piece.batch + 1,
                part: named(piece.part, step.on, (siblings > 1).then_some(place), deck),
                area,
                time: area / pace,
                place,
                piece: cut.piece,
                cells: cut.cells.clone(),
            }
        });
        made.collect::<Vec<Stretch>>()
    });
    let wet_edge = stretches
        .as_ref()
        .ok()
        .and_then(|stretches| wet_edge::longest(&ground.grid, stretches));
    Some(DeckOrder {
        step: step.id.clone(),
        title: step.title.clone(),
        on: step.on,
        deck: deck.plan.id.clone(),
        deck_title: deck.plan.title.clone(),
        stretches,
        keeps_batches,
        wet_edge,
        working: coat.limit.map(|limit| limit.working),
        hands,
        ground: ground.clone(),
        pieces: cut_pieces,
    })
}

/// What of a coat's batches lies on the deck.
fn pieces<'a>(deck: &DeckJob, coat: &'a CoatTakeoff) -> Vec<Piece<'a>> {
    let batches = coat.batches.iter().enumerate();
    batches
        .flat_map(|(batch, laid)| {
            let own = laid.pieces.iter();
            let own = own.filter(|piece| piece.deck == deck.plan.id);
            own.map(move |piece| Piece {
                batch,
                part: &piece.part,
                area: piece.area,
            })
        })
        .collect()
}

/// What a part is made of, but for the stations of a stretch.
fn regions<'a>(pattern: &'a Pattern, on: Surface, part: &Part) -> Vec<&'a Region> {
    let fields = pattern.fields.iter();
    match part {
        Part::Field(id) => fields
            .filter(|field| field.id == *id)
            .map(|field| &field.region)
            .collect(),
        Part::Whole | Part::Stretch(_) if on == Surface::All => fields
            .map(|field| &field.region)
            .chain([&pattern.border])
            .collect(),
        Part::Whole | Part::Stretch(_) => vec![&pattern.border],
    }
}

/// Into how many bands a piece goes so that each is handy.
fn bands(area: Area, handy: Area) -> usize {
    (1..100)
        .find(|many| area <= handy * *many as f64 * (1.0 + 1e-9))
        .unwrap_or(1)
}

/// The cells of a part.
fn cells(ground: &Ground, pattern: &Pattern, on: Surface, part: &Part) -> Vec<usize> {
    let grid = &ground.grid;
    let mut inside = vec![false; grid.len()];
    for region in regions(pattern, on, part) {
        for (is_in, found) in inside.iter_mut().zip(grid.fill(region)) {
            *is_in |= found;
        }
    }
    let lies_between = |cell: usize| match part {
        Part::Stretch(stretch) => {
            let x = grid.middle(cell).x;
            stretch.from.to_mm() <= x && x < stretch.to.to_mm()
        }
        Part::Field(_) | Part::Whole => true,
    };
    let own: Vec<usize> = (0..grid.len())
        .filter(|cell| inside[*cell] && ground.deck[*cell] && lies_between(*cell))
        .collect();
    if !own.is_empty() {
        return own;
    }
    // Smaller than a cell, and painted all the same.
    let discs = regions(pattern, on, part).into_iter();
    let discs = discs.filter_map(|region| region.widest_disc(Length::mm(1.0)));
    discs
        .map(|disc| grid.nearest(disc.centre))
        .take(1)
        .collect()
}

/// Why no order was found, by numbers of pieces.
enum Stuck {
    OutOfReach {
        piece: usize,
        cell: usize,
    },
    Closed {
        pieces: Vec<usize>,
        by: Option<usize>,
    },
}

impl Default for Stuck {
    fn default() -> Self {
        Self::Closed {
            pieces: Vec::new(),
            by: None,
        }
    }
}

/// All stretches in order, and whether batches stay together: first batch by batch, each piece finished before the next;
/// then batch by batch in the order of distance; then piece by piece; then all of them side by side.
fn arranged(
    ground: &Ground,
    pieces: &[Piece<'_>],
    cuts: &[Cut],
) -> Result<(Vec<usize>, bool), Stuck> {
    if let Some((piece, cell)) = out_of_reach(ground, cuts) {
        return Err(Stuck::OutOfReach { piece, cell });
    }
    let mean_of_piece = |piece: usize| {
        let own = cuts.iter().filter(|cut| cut.piece == piece);
        let (sum, count) = own.fold((0.0, 0), |(sum, count), cut| {
            let cells = cut.cells.len();
            (sum + cut.mean * cells as f64, count + cells)
        });
        sum / f64::from(u32::try_from(count.max(1)).unwrap_or(u32::MAX))
    };
    let means: Vec<f64> = (0..pieces.len()).map(mean_of_piece).collect();
    let blocks = |block_of: &dyn Fn(usize) -> usize, piece_by_piece: bool| -> Vec<Block> {
        let mut numbers: Vec<usize> = (0..pieces.len()).map(block_of).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let block = |number: usize| {
            let mut own: Vec<usize> = (0..cuts.len())
                .filter(|cut| block_of(cuts[*cut].piece) == number)
                .collect();
            // The least first: piece by piece and band by band, or by distance alone.
            let turn = |cut: &usize| {
                let Cut {
                    piece, band, mean, ..
                } = cuts[*cut];
                if piece_by_piece {
                    (-means[piece], band, -mean)
                } else {
                    (0.0, 0, -mean)
                }
            };
            own.sort_by(|one, other| {
                let (one, other) = (turn(one), turn(other));
                one.0
                    .total_cmp(&other.0)
                    .then(one.1.cmp(&other.1))
                    .then(one.2.total_cmp(&other.2))
            });
            Block::new(ground, cuts, own)
        };
        numbers.into_iter().map(block).collect()
    };
    let flat = |blocks: &[Block], order: Vec<usize>| -> Vec<usize> {
        order
            .into_iter()
            .flat_map(|block| blocks[block].cuts.iter().copied())
            .collect()
    };
    let batch = |piece: usize| pieces[piece].batch;
    for piece_by_piece in [true, false] {
        let blocks = blocks(&batch, piece_by_piece);
        if let Ok(order) = peel(ground, &blocks) {
            return Ok((flat(&blocks, order), true));
        }
    }
    let one_by_one = blocks(&|piece| piece, true);
    let left = match peel(ground, &one_by_one) {
        Ok(order) => return Ok((flat(&one_by_one, order), false)),
        Err(left) => left,
    };
    // Pieces that shut each other in: all of them side by side, by distance alone.
    let together = blocks(&|_| 0, false);
    if let Ok(order) = peel(ground, &together) {
        return Ok((flat(&together, order), false));
    }
    let piece = |block: &usize| cuts[one_by_one[*block].cuts[0]].piece;
    Err(Stuck::Closed {
        by: closing(ground, &one_by_one, &left).map(|block| piece(&block)),
        pieces: left.iter().map(piece).collect(),
    })
}

impl Stuck {
    /// The same with names.
    fn said(
        self,
        pieces: &[Piece<'_>],
        cuts: &[Cut],
        ground: &Ground,
        deck: &DeckJob,
        on: Surface,
    ) -> NoOrder {
        let name = |piece: usize| {
            let cells: Vec<usize> = cuts
                .iter()
                .filter(|cut| cut.piece == piece)
                .flat_map(|cut| cut.cells.iter().copied())
                .collect();
            let is_one_of_several = matches!(pieces[piece].part, Part::Stretch(_));
            let place = is_one_of_several.then(|| roomiest(ground, &cells));
            named(pieces[piece].part, on, place, deck)
        };
        match self {
            Self::OutOfReach { piece, cell } => NoOrder::OutOfReach {
                part: name(piece),
                place: ground.grid.middle(cell),
                passage: ground.narrowest(cell),
            },
            Self::Closed { pieces, by } => NoOrder::Closed {
                parts: pieces.into_iter().map(name).collect(),
                by: by.map(name),
            },
        }
    }
}

/// The place in some cells that is farthest from all others.
fn roomiest(ground: &Ground, cells: &[usize]) -> Point {
    let mut outside = vec![true; ground.grid.len()];
    for cell in cells {
        outside[*cell] = false;
    }
    let room = ground.grid.distance_to(&outside);
    let best = cells
        .iter()
        .max_by(|one, other| room[**one].total_cmp(&room[**other]).then(other.cmp(one)));
    best.map_or(Point::ORIGIN, |cell| ground.grid.middle(*cell))
}

/// What people call a part; where it lies on the deck, if it is one of several.
fn named(part: &Part, on: Surface, place: Option<Point>, deck: &DeckJob) -> String {
    let word = match part {
        Part::Field(id) => id.as_str(),
        Part::Whole | Part::Stretch(_) if on == Surface::All => "deck",
        Part::Whole | Part::Stretch(_) => "border",
    };
    let Some(place) = place else {
        return word.to_owned();
    };
    let bounds = deck.plan.outline.ring.bounding_box();
    let share = (place.x - bounds.least.x) / bounds.width();
    let along = ["forward", "amidships", "aft"]
        [usize::from(share > 1.0 / 3.0) + usize::from(share > 2.0 / 3.0)];
    let from_middle = (place.y - bounds.centre().y) / bounds.height();
    let side = if from_middle < -0.1 {
        " port"
    } else if from_middle > 0.1 {
        " starboard"
    } else {
        ""
    };
    format!("{word}, {along}{side}")
}
