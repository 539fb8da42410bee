//! In which order a coat is painted so that nobody paints themselves in. Comes in: a [`Job`] with ways off its decks, its
//! [`Takeoff`], whose batches and areas stay as they are. Goes out: a [`DeckOrder`] for each coat of each deck that has a way
//! off: numbered stretches, or what stands in the way.
//!
//! People stand on what is not yet painted, on film over what is masked, on dry paint: on whatever is not wet with
//! this coat and is as wide as their path. They never step over wet paint. From a way off itself, once they are off the deck,
//! they still reach as far as an arm does. `ground.rs` says who is reached, `cut.rs` makes
//! stretches, `peel.rs` orders those that are laid without a break, `arrange.rs` says which are.

mod arrange;
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

use arrange::{Arrangement, Unreached, arranged};
use cut::Cut;
use ground::Ground;

/// A stretch takes no longer than this share of the time that a mix can be worked (common practice, no source).
const HANDY: f64 = 1.0 / 3.0;

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
    /// Where people leave it.
    pub leaving: Vec<Leaving>,
    /// The number of its first stretch: those of a coat are numbered from deck to deck.
    pub first: usize,
    /// The stretches in the order of painting, or why there is none.
    pub stretches: Result<Vec<Stretch>, OutOfReach>,
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

/// Where people leave a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaving {
    /// What people call the place.
    pub name: String,
    /// What people call the deck that they come to, which is painted later; none where they leave the boat.
    pub onto: Option<String>,
}

/// The ways off a deck.
fn leaving(job: &Job, deck: &DeckJob) -> Vec<Leaving> {
    let title = |id: &String| {
        let mut decks = job.decks.iter();
        let other = decks.find(|other| other.plan.id == *id)?;
        Some(other.plan.title.clone())
    };
    let ways = deck.plan.ways_off.iter().map(|way| Leaving {
        name: way.name.clone(),
        onto: way.onto.as_ref().and_then(title),
    });
    ways.collect()
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

/// Why there is no order: nobody gets within reach of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfReach {
    /// The part.
    pub part: String,
    /// A place of it that is out of reach.
    pub place: Point,
    /// The passage there that is too narrow, and about how wide it is; none where no deck leads there.
    pub passage: Option<(Point, Length)>,
    /// Whether that is so even with everything dry. Else nobody who reaches it gets off any more, as far as was found: a deck is
    /// searched in so many places, however large it is.
    pub when_dry: bool,
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
    // From there the last of the ground is painted that people stood on.
    let reach = settings.reach.value - settings.path.value / 2.0;
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
                "the last of the deck is painted from there: write a place on the deck, or no further from it than {}",
                reach.show(plan.units)
            ))
        })
    });
    afar.collect()
}

/// Decks in the order of painting: a deck that people come to from another after that one, else as in the file.
fn in_turn(decks: &[DeckJob]) -> Vec<&DeckJob> {
    let mut left: Vec<&DeckJob> = decks.iter().collect();
    let mut turns = Vec::new();
    while !left.is_empty() {
        let is_led_to = |deck: &DeckJob| {
            let ways = left.iter().flat_map(|other| &other.plan.ways_off);
            ways.filter_map(|way| way.onto.as_ref())
                .any(|onto| *onto == deck.plan.id)
        };
        // The reader leaves no ring of decks, so that there is always one.
        let next = left.iter().position(|deck| !is_led_to(deck));
        turns.push(left.remove(next.unwrap_or(0)));
    }
    turns
}

/// The orders of all coats, coat by coat, and of each the decks in the order of painting; none for a deck without a way off.
#[must_use]
pub fn orders(job: &Job, takeoff: &Takeoff) -> Vec<DeckOrder> {
    let settings = job.layout.work.order;
    let decks = in_turn(&job.decks);
    let with_way = decks
        .into_iter()
        .filter(|deck| !deck.plan.ways_off.is_empty());
    let grounds: Vec<(&DeckJob, Ground)> = with_way
        .map(|deck| {
            let pattern = &deck.pattern;
            let free = pattern
                .deck
                .difference(&[&pattern.openings, &pattern.fittings]);
            let ways: Vec<Point> = deck.plan.ways_off.iter().map(|way| way.at).collect();
            let (path, reach) = (settings.path.value, settings.reach.value);
            (deck, Ground::new(&free, &ways, path, reach))
        })
        .collect();
    let coats = takeoff.steps.iter();
    let coats = coats.filter_map(|step| Some((step, step.coats.as_ref()?)));
    coats
        .flat_map(|(step, coat)| {
            let mut first = 1;
            let orders = grounds.iter().filter_map(|(deck, ground)| {
                let mut found = order(job, deck, ground, step, coat)?;
                found.first = first;
                first += found.stretches.as_ref().map_or(0, Vec::len);
                Some(found)
            });
            orders.collect::<Vec<DeckOrder>>()
        })
        .collect()
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
    let asked = pieces
        .iter()
        .zip(&cells)
        .map(|(piece, cells)| arrange::Piece {
            batch: piece.batch,
            cells: cells.clone(),
            bands: handy.map_or(1, |handy| bands(piece.area, handy)),
        });
    let arranged = arranged(ground, work.order, asked.collect()).map_err(|found| {
        out_of_reach(
            ground,
            pieces[found.piece].part,
            &cells[found.piece],
            &found,
            deck,
            step.on,
        )
    });
    let stretch = |cuts: &[Cut], cut: &Cut| {
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
    };
    let (stretches, levels, keeps_batches) = match arranged {
        Ok(Arrangement {
            cuts,
            levels,
            keeps_batches,
        }) => {
            let stretches = cuts.iter().map(|cut| stretch(&cuts, cut)).collect();
            (Ok(stretches), levels, keeps_batches)
        }
        Err(why) => (Err(why), Vec::new(), true),
    };
    let cut_pieces = pieces.iter().zip(levels).map(|(piece, levels)| CutPiece {
        part: piece.part.clone(),
        levels,
    });
    let laid: Option<&Vec<Stretch>> = stretches.as_ref().ok();
    let wet_edge = laid.and_then(|stretches| wet_edge::longest(&ground.grid, stretches));
    Some(DeckOrder {
        step: step.id.clone(),
        title: step.title.clone(),
        on: step.on,
        deck: deck.plan.id.clone(),
        deck_title: deck.plan.title.clone(),
        leaving: leaving(job, deck),
        first: 1,
        stretches,
        keeps_batches,
        wet_edge,
        working: coat.limit.map(|limit| limit.working),
        hands,
        ground: ground.clone(),
        pieces: cut_pieces.collect(),
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

/// What is said of a cell of a part that nobody reaches.
fn out_of_reach(
    ground: &Ground,
    part: &Part,
    cells: &[usize],
    found: &Unreached,
    deck: &DeckJob,
    on: Surface,
) -> OutOfReach {
    let is_one_of_several = matches!(part, Part::Stretch(_));
    let place = is_one_of_several.then(|| roomiest(ground, cells));
    OutOfReach {
        part: named(part, on, place, deck),
        place: ground.grid.middle(found.cell),
        passage: ground.narrowest(found.cell),
        when_dry: found.when_dry,
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
