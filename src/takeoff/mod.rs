//! From figures to what the job takes: coats, batches, what to buy, hours, cost. Comes in: a [`Job`] and its
//! [`Figures`], whose areas are the only ones. Goes out: [`Takeoff`], a plain value that every list and table prints.

mod batch_mix;
mod batches;
mod cans;
mod coats;
mod cost;
mod film;
mod gauge;
mod labour;
mod materials;
mod mix;
mod said;
mod settings;
mod shopping;
mod stretches;
mod zones;

pub use batch_mix::{BatchMix, Portion};
pub use batches::{Batches, Help, batches, help_for, most_in};
pub use cans::{CanSize, Purchase, Sold, buy};
pub(crate) use coats::area_task;
pub use coats::{Batch, BatchLimit, CoatTakeoff, Part, Piece, TooLarge};
pub use cost::{Cost, DayRange, MoneyRange, QuoteBeside};
pub use film::{PotLife, Warming, practical_rate, theoretical_rate, thinned_solids, wet_film};
pub use gauge::{Amount, Gauge, MixBy, MixFault, Ratio};
pub use labour::{Pass, WorkKind, WorkStep, Zone, ZoneHours};
pub use materials::{Materials, materials};
pub use mix::{Measured, Mix, measurable, to_mix};
pub use said::{
    BEFORE_CAUTIONS, bought, cautions, cautions_of, in_words, money_range, pieces_in_words,
};
pub use settings::SettingUsed;
pub use shopping::{Bought, Item, Shelf, Stock};
pub use stretches::{Stretch, stretches};
pub use zones::{DeckZones, FieldZone, Protection, zones};

use crate::Job;
use crate::figures::Figures;
use crate::units::{Currency, HourRange, LengthUnit};

/// What a job takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Takeoff {
    /// Title of the job.
    pub title: String,
    /// The unit its people measure in.
    pub units: LengthUnit,
    /// The currency of all amounts.
    pub currency: Option<Currency>,
    /// What is painted, deck by deck.
    pub zones: Vec<DeckZones>,
    /// What is done, in this order.
    pub steps: Vec<WorkStep>,
    /// What is bought.
    pub shopping: Vec<Item>,
    /// Person-hours of all steps.
    pub hours: HourRange,
    /// What it costs.
    pub cost: Cost,
    /// Pieces larger than any batch.
    pub too_large: Vec<TooLarge>,
    /// What all of it rests on.
    pub settings: Vec<SettingUsed>,
}

impl Takeoff {
    /// The takeoff of a job, from its figures.
    #[must_use]
    pub fn of(job: &Job, figures: &Figures) -> Self {
        let zones = zones(figures);
        let (steps, too_large) = labour::steps(job, &job.materials, &zones);
        let shopping = shopping::shopping(job, &job.materials, &zones, &steps);
        let hours = steps.iter().map(WorkStep::hours).sum();
        let cost = cost::cost(&shopping, hours, &job.layout.work.job);
        Self {
            title: job.layout.title.clone(),
            units: job.layout.units,
            currency: job.materials.currency,
            zones,
            steps,
            shopping,
            hours,
            cost,
            too_large,
            settings: settings::settings(&job.layout),
        }
    }
}

/// The next whole number, but for what the last digits of the arithmetic add.
fn ceiling(many: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative; the cast saturates on more than any shop has"
    )]
    let whole = (many - 1e-9).ceil().max(0.0) as usize;
    whole
}
