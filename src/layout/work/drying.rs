//! How a coat dries: the times of the data sheet's table, row by row of temperature. What no row says has a default, marked as
//! such.

use super::{FROM_MEMORY, Setting};
use crate::units::{Temperature, Time};

/// How a product dries.
#[derive(Debug, Clone, PartialEq)]
pub struct Drying {
    /// Rows, the coldest first.
    pub rows: Vec<DryingRow>,
    /// What a surface is sanded with once it is too late to recoat it without.
    pub stale: Setting<u32>,
}

/// The times at one temperature, each from the end of laying; none where the row does not say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingRow {
    /// Of air and surface.
    pub at: Temperature,
    /// By their kind.
    pub times: [Option<Time>; Dry::ALL.len()],
}

/// How dry a coat is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dry {
    /// Dry to touch.
    Touch,
    /// Dry enough to be taped, sanded and knelt on.
    Tape,
    /// The soonest that the next coat may be laid.
    Recoat,
    /// The latest that it may be laid without sanding first.
    RecoatBy,
    /// Dry enough to walk on.
    Traffic,
    /// Cured: full load, and what stands on it.
    Cure,
}

impl Dry {
    /// Each with its key.
    pub const ALL: [(Self, &'static str); 6] = [
        (Self::Touch, "touch"),
        (Self::Tape, "tape"),
        (Self::Recoat, "recoat"),
        (Self::RecoatBy, "recoat_by"),
        (Self::Traffic, "traffic"),
        (Self::Cure, "cure"),
    ];

    /// What it is, in words.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Touch => "dry to touch",
            Self::Tape => "dry to tape",
            Self::Recoat => "recoated soonest",
            Self::RecoatBy => "recoated latest without sanding",
            Self::Traffic => "dry to walk on",
            Self::Cure => "cured",
        }
    }

    /// What it takes where no row says, and the temperature that holds for.
    #[must_use]
    pub fn default_time(self) -> (Setting<Time>, Temperature) {
        let (hours, source) = match self {
            Self::Touch => (4.0, FROM_MEMORY),
            Self::Tape => (16.0, FROM_MEMORY),
            Self::Recoat => (8.0, FROM_MEMORY),
            Self::RecoatBy => (7.0 * 24.0, "TB 43-0144 for an epoxy: 7 days at most"),
            Self::Traffic => (24.0, FROM_MEMORY),
            Self::Cure => (7.0 * 24.0, FROM_MEMORY),
        };
        (
            Setting::default(Time::hours(hours), source),
            Temperature::celsius(20.0),
        )
    }
}

impl DryingRow {
    /// One of its times.
    #[must_use]
    pub const fn time(&self, dry: Dry) -> Option<Time> {
        self.times[dry as usize]
    }
}

impl Default for Drying {
    fn default() -> Self {
        Self {
            rows: Vec::new(),
            stale: Setting::default(240, FROM_MEMORY),
        }
    }
}
