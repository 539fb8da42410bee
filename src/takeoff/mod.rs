//! What a job takes: films, mixes, batches, cans. Comes in: areas and what a product's data sheet says. Goes out:
//! amounts that can be measured, mixed, laid and bought.

mod batches;
mod cans;
mod film;
mod gauge;
mod mix;

pub use batches::{Batches, Help, batches, help_for, most_in};
pub use cans::{CanSize, Purchase, Sold, buy};
pub use film::{PotLife, Warming, practical_rate, theoretical_rate, thinned_solids, wet_film};
pub use gauge::{Amount, Gauge, MixBy, MixFault, Ratio};
pub use mix::{Measured, Mix, TOLERANCE, measurable, to_mix};
