//! From a coat of paint on its zone to what is mixed, batch by batch. A batch is no larger than can be laid within the
//! pot life at the job's temperature, by those who lay, at the slow pace; it ends with a field or where a stretch of
//! border ends, never in the middle of a field. Comes in: a step, its zones, the products. Goes out: [`CoatTakeoff`].

use super::batch_mix::{BatchMix, batch_mix};
use super::batches::{Batches, batches, help_for, most_in};
use super::film;
use super::stretches::{Stretch, stretches};
use super::zones::DeckZones;
use crate::Job;
use crate::layout::{AreaTask, Coat, CoatAmount, JobSettings, Method, PotLife, Product, Surface};
use crate::units::{Area, AreaPace, Length, Mass, Share, SpreadingRate, Time, Volume};

/// What the coats of one step take. All coats of a step are alike.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatTakeoff {
    /// The product's id.
    pub product: String,
    /// How many coats.
    pub coats: usize,
    /// How they are laid.
    pub method: Method,
    /// The film that stays of each, where the solids are known.
    pub dry_film: Option<Length>,
    /// The wet film to aim at with a comb gauge, thinner included.
    pub wet_film: Length,
    /// What a litre covers with nothing lost.
    pub theoretical: SpreadingRate,
    /// What a litre covers with what is lost.
    pub practical: SpreadingRate,
    /// What is lost.
    pub loss: Share,
    /// Thinner by the paint's volume.
    pub thin: Share,
    /// What limits a batch; none where the product has no pot life.
    pub limit: Option<BatchLimit>,
    /// The batches of one coat, in the order of painting.
    pub batches: Vec<Batch>,
    /// What is added by mass to the paint, batch by batch.
    pub catalyst: Option<String>,
    /// The grit's id.
    pub aggregate: Option<String>,
    /// The thinner's id.
    pub thinner: Option<String>,
}

/// How much can be laid of one mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatchLimit {
    /// Pot life at the job's temperature.
    pub pot_life: Time,
    /// What is left of it when the mix has stood.
    pub working: Time,
    /// What can be laid in that time.
    pub most: Area,
}

/// One mix and where it goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// What is painted with it.
    pub pieces: Vec<Piece>,
    /// Its area.
    pub area: Area,
    /// What it takes, unthinned.
    pub need: Volume,
    /// What is measured for it.
    pub mix: BatchMix,
    /// Thinner.
    pub thinner: Volume,
    /// Catalyst.
    pub catalyst: Mass,
    /// Grit.
    pub aggregate: Mass,
    /// Whether its one piece is larger than can be laid within the pot life.
    pub is_too_large: bool,
}

/// What is painted in one go.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// The deck's id.
    pub deck: String,
    /// Which part of it.
    pub part: Part,
    /// Its area.
    pub area: Area,
}

/// A part of a deck.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// One field.
    Field(String),
    /// The whole border, or the whole deck.
    Whole,
    /// A stretch of it.
    Stretch(Stretch),
}

/// A piece that no batch reaches over, and what would help.
#[derive(Debug, Clone, PartialEq)]
pub struct TooLarge {
    /// The step's id.
    pub step: String,
    /// The piece.
    pub piece: Piece,
    /// How much could be laid.
    pub most: Area,
    /// Into how many equal parts strips would have to break it; none where no number of them helps.
    pub parts: Option<u32>,
    /// How many would have to lay it, likewise.
    pub hands: Option<u32>,
    /// How cool it would have to be, where paint is laid at that temperature at all.
    pub cooler: Option<crate::units::Temperature>,
    /// The slower hardener that would do.
    pub slower: Option<String>,
}

/// Paint is not laid colder than this unless the data sheet says so (a paint maker's note on application, 10 to 35 °C).
const COLDEST: f64 = 10.0;

/// What a step's coats take, and the pieces that are too large.
pub(super) fn coats(
    step: &str,
    on: Surface,
    coat: &Coat,
    product: &Product,
    zones: &[DeckZones],
    job: &Job,
) -> (CoatTakeoff, Vec<TooLarge>) {
    let work = &job.layout.work;
    let thin = coat.thin.value;
    let theoretical = theoretical(coat, product);
    let practical = film::practical_rate(theoretical, coat.loss.value);
    let pace = work.labour.area(area_task(coat.method)).value.slow;
    let limit = product
        .pot_life
        .map(|pot_life| limit(pot_life, product.induction, pace, &work.job));
    let pieces = pieces(on, zones, job, limit.map(|limit| limit.most));
    let areas: Vec<Area> = pieces.iter().map(|piece| piece.area).collect();
    let everything = areas.iter().copied().sum();
    let Batches {
        batches: groups,
        too_large,
    } = batches(&areas, limit.map_or(everything, |limit| limit.most));
    let batch = |group: &std::ops::Range<usize>| {
        let area: Area = areas[group.clone()].iter().copied().sum();
        let need = area / practical;
        let mix = batch_mix(need, product, &work.job);
        Batch {
            pieces: pieces[group.clone()].to_vec(),
            area,
            need,
            thinner: mix.total * thin.factor(),
            catalyst: product
                .catalyst
                .as_ref()
                .zip(product.density)
                .map_or(Mass::ZERO, |(catalyst, density)| {
                    mix.total * density * catalyst.share.factor()
                }),
            aggregate: coat
                .aggregate
                .as_ref()
                .map_or(Mass::ZERO, |load| area * load.mass),
            mix,
            is_too_large: group.len() == 1 && too_large.contains(&group.start),
        }
    };
    let takeoff = CoatTakeoff {
        product: product.id.value.clone(),
        coats: coat.coats,
        method: coat.method,
        dry_film: match coat.amount.value {
            CoatAmount::DryFilm(dry) => Some(dry),
            _ => product
                .solids
                .map(|solids| theoretical.film() * solids.factor()),
        },
        wet_film: theoretical.film() * (1.0 + thin.factor()),
        theoretical,
        practical,
        loss: coat.loss.value,
        thin,
        limit,
        batches: groups.iter().map(batch).collect(),
        catalyst: product
            .catalyst
            .as_ref()
            .map(|catalyst| catalyst.product.value.clone()),
        aggregate: coat
            .aggregate
            .as_ref()
            .map(|load| load.product.value.clone()),
        thinner: (thin > Share::NONE)
            .then(|| {
                product
                    .thinner
                    .as_ref()
                    .map(|thinner| thinner.value.clone())
            })
            .flatten(),
    };
    let large = limit.map_or_else(Vec::new, |limit| {
        too_large
            .iter()
            .map(|index| too_large_piece(step, &pieces[*index], limit, pace, product, &work.job))
            .collect()
    });
    (takeoff, large)
}

/// What a litre of the unthinned paint covers with nothing lost.
fn theoretical(coat: &Coat, product: &Product) -> SpreadingRate {
    match coat.amount.value {
        CoatAmount::DryFilm(dry) => {
            film::theoretical_rate(product.solids.unwrap_or(Share::per_cent(100.0)), dry)
        }
        CoatAmount::WetFilm(wet) => SpreadingRate::of_film(wet),
        CoatAmount::Rate(rate) => rate,
        CoatAmount::Mass(load) => {
            let density = product
                .density
                .map_or(1.0, |density| density.to_kilograms_per_litre());
            SpreadingRate::square_metres_per_litre(
                1000.0 * density / load.to_grams_per_square_metre(),
            )
        }
    }
}

/// The pace of a coat.
pub(crate) const fn area_task(method: Method) -> AreaTask {
    match method {
        Method::Brush => AreaTask::Brush,
        Method::Roll => AreaTask::Roll,
        Method::Spray => AreaTask::Spray,
        Method::Trowel => AreaTask::Trowel,
    }
}

/// How much can be laid of one mix.
fn limit(pot_life: PotLife, induction: Time, pace: AreaPace, job: &JobSettings) -> BatchLimit {
    let at = job.temperature.value;
    let pot_life = lasting(pot_life, job).at(at);
    let working = (pot_life - induction).max(Time::ZERO);
    BatchLimit {
        pot_life,
        working,
        most: most_in(working, pace, hands(job)),
    }
}

/// Those who lay at once.
fn hands(job: &JobSettings) -> u32 {
    u32::try_from(job.laying.value).unwrap_or(u32::MAX)
}

/// A pot life with the warming that halves it.
const fn lasting(stated: PotLife, job: &JobSettings) -> film::PotLife {
    film::PotLife {
        stated: stated.time,
        stated_at: stated.at,
        halved_by: film::Warming::kelvin(job.pot_life_halves.value),
    }
}

/// Everything that is painted, in pieces that a batch may end with.
fn pieces(on: Surface, zones: &[DeckZones], job: &Job, most: Option<Area>) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for ((zone, deck), layout) in zones.iter().zip(&job.decks).zip(&job.layout.decks) {
        let mut add = |part: Part, area: Area| {
            if area > Area::ZERO {
                pieces.push(Piece {
                    deck: zone.id.clone(),
                    part,
                    area,
                });
            }
        };
        if on == Surface::Field {
            for field in &zone.fields {
                add(Part::Field(field.id.clone()), field.area);
            }
            continue;
        }
        let total = zone.area(on);
        let broken = most
            .filter(|most| total > *most)
            .and_then(|most| stretches(deck, layout, on, total, most));
        match broken {
            None => add(Part::Whole, total),
            Some(stretches) => {
                for stretch in stretches {
                    add(Part::Stretch(stretch), stretch.area);
                }
            }
        }
    }
    pieces
}

fn too_large_piece(
    step: &str,
    piece: &Piece,
    limit: BatchLimit,
    pace: AreaPace,
    product: &Product,
    job: &JobSettings,
) -> TooLarge {
    // What is left when the mix has stood, as if that grew with the cold no more than the pot life does: it grows more.
    let working = film::PotLife {
        stated: limit.working,
        stated_at: job.temperature.value,
        halved_by: film::Warming::kelvin(job.pot_life_halves.value),
    };
    let help = help_for(piece.area, pace, hands(job), working, job.temperature.value);
    let reaches = |pot_life: PotLife| {
        let limit = self::limit(pot_life, product.induction, pace, job);
        limit.most >= piece.area
    };
    TooLarge {
        step: step.to_owned(),
        piece: piece.clone(),
        most: limit.most,
        parts: help.parts,
        hands: help.hands,
        cooler: help
            .no_warmer_than
            .filter(|cooler| cooler.to_celsius() >= COLDEST),
        slower: product
            .slower
            .as_ref()
            .filter(|slower| reaches(slower.pot_life))
            .map(|slower| slower.title.clone()),
    }
}

impl CoatTakeoff {
    /// Everything that is mixed of it, over all coats.
    #[must_use]
    pub fn batch_count(&self) -> usize {
        self.batches.len() * self.coats
    }

    /// Whether it is mixed from parts, other than a catalyst.
    #[must_use]
    pub fn is_two_part(&self) -> bool {
        self.batches
            .iter()
            .any(|batch| batch.mix.portions.len() > 1)
    }

    /// The volume that is mixed for one coat.
    #[must_use]
    pub fn mixed_a_coat(&self) -> Volume {
        self.batches.iter().map(|batch| batch.mix.total).sum()
    }
}
