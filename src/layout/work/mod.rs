//! What a layout says of the work: products, steps, people, money, how fast work goes, what is used up. Every
//! default stands here once, with where it comes from. Nothing is computed here.

mod drying;
mod job;
mod labour;
mod order;
mod product;
mod programme;
mod step;
mod supplies;
mod weather;

pub use drying::*;
pub use job::*;
pub use labour::*;
pub use order::*;
pub use product::*;
pub use programme::*;
pub use step::*;
pub use supplies::*;
pub use weather::*;

use super::Placed;
use crate::units::{Currency, Money};

/// Where a default comes from that has no source.
pub const COMMON_PRACTICE: &str = "common practice, no source";
/// Where a default comes from that nobody looked up.
pub const FROM_MEMORY: &str = "from memory";

/// A value that holds unless the layout says another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub origin: Origin,
}

/// Where a setting comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// The layout says so.
    Layout,
    /// A default, with its source or that it has none.
    Default(&'static str),
}

impl<T> Setting<T> {
    /// A default and its source.
    pub const fn default(value: T, source: &'static str) -> Self {
        Self {
            value,
            origin: Origin::Default(source),
        }
    }

    /// What the layout says, where it does.
    #[must_use]
    pub fn or_given(self, given: Option<T>) -> Self {
        match given {
            Some(value) => Self {
                value,
                origin: Origin::Layout,
            },
            None => self,
        }
    }
}

/// All of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Work {
    /// The file of products that several layouts share.
    pub products_file: Option<Placed<String>>,
    /// The layout's own products.
    pub products: Vec<Product>,
    /// What is done, in this order.
    pub steps: Vec<Step>,
    /// People, hours, temperature, money.
    pub job: JobSettings,
    /// How fast one person works.
    pub labour: Labour,
    /// What is used up beside paint and tape.
    pub supplies: Supplies,
    /// How the deck is painted by people who stand on it.
    pub order: OrderSettings,
    /// When the work is done.
    pub programme: ProgrammeSettings,
    /// Where its weather is told; none where the layout does not say.
    pub weather: Option<WeatherSource>,
    /// What rolls of tape and film cost.
    pub roll_prices: RollPrices,
}

/// The products of a file that several layouts share.
#[derive(Debug, Clone, PartialEq)]
pub struct ProductsFile {
    /// The currency of its prices.
    pub currency: Option<Placed<Currency>>,
    /// Its products.
    pub products: Vec<Product>,
}

/// What rolls cost; none where the layout does not say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct RollPrices {
    /// Line tape.
    pub line: Option<Money>,
    /// Edge tape.
    pub edge: Option<Money>,
    /// Film.
    pub film: Option<Money>,
}
