//! What is bought for the job: paints and what goes with them, as their labels and data sheets describe them.

use super::{Drying, FitWeather};
use crate::layout::{Place, Placed};
use crate::units::{Density, Mass, Money, Share, Temperature, Time, Volume};

/// What is bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// Short unique name.
    pub id: Placed<String>,
    /// What stands on its label.
    pub title: String,
    /// What it is.
    pub kind: ProductKind,
    /// Volume solids, mixed.
    pub solids: Option<Share>,
    /// Mass of a volume, mixed.
    pub density: Option<Density>,
    /// What it is mixed from; none: it is used as it comes.
    pub mix: Option<MixRatio>,
    /// A catalyst that is added by mass.
    pub catalyst: Option<Catalyst>,
    /// How long a mix may be used.
    pub pot_life: Option<PotLife>,
    /// A slower hardener.
    pub slower: Option<SlowerHardener>,
    /// How long a mix must stand before it is used.
    pub induction: Time,
    /// How it dries.
    pub drying: Drying,
    /// The weather that it may be laid in.
    pub weather: FitWeather,
    /// The product that thins it.
    pub thinner: Option<Placed<String>>,
    /// Sizes on sale; of a kit the mixed amount.
    pub cans: Vec<Can>,
    /// The whole entry.
    pub place: Place,
}

/// Kinds of product.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProductKind {
    /// Primer, finish, non-skid paint, gelcoat.
    Paint,
    /// What thins a paint.
    Thinner,
    /// What a surface is wiped with.
    Cleaner,
    /// Grit.
    Aggregate,
    /// What hardens a gelcoat.
    Catalyst,
    /// Sealant.
    Caulk,
}

impl ProductKind {
    /// Its word in the file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Paint => "paint",
            Self::Thinner => "thinner",
            Self::Cleaner => "cleaner",
            Self::Aggregate => "aggregate",
            Self::Catalyst => "catalyst",
            Self::Caulk => "caulk",
        }
    }
}

/// What a product is mixed from.
#[derive(Debug, Clone, PartialEq)]
pub struct MixRatio {
    /// Whether parts are weighed.
    pub by_mass: bool,
    /// Two parts at least.
    pub parts: Vec<MixPart>,
    /// Where they stand.
    pub place: Place,
}

/// One component.
#[derive(Debug, Clone, PartialEq)]
pub struct MixPart {
    /// What it is called.
    pub title: String,
    /// So many parts.
    pub parts: f64,
    /// Mass of a volume of it.
    pub density: Option<Density>,
    /// Sizes on sale, where it is sold apart.
    pub cans: Vec<Can>,
}

/// A catalyst.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalyst {
    /// The product that it is.
    pub product: Placed<String>,
    /// Its mass by the mass it is added to.
    pub share: Share,
    /// Where it stands.
    pub place: Place,
}

/// How long a mix may be used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotLife {
    /// From mixing.
    pub time: Time,
    /// At this temperature.
    pub at: Temperature,
}

/// A slower hardener.
#[derive(Debug, Clone, PartialEq)]
pub struct SlowerHardener {
    /// What stands on its label.
    pub title: String,
    /// The pot life with it.
    pub pot_life: PotLife,
}

/// A size on sale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Can {
    /// What is in it.
    pub content: Content,
    /// What it costs.
    pub price: Option<Money>,
    /// Where it stands.
    pub place: Place,
}

/// What a can holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Content {
    /// A volume.
    Volume(Volume),
    /// A mass.
    Mass(Mass),
}
