//! What is used up beside paint and tape, and how it is sold.

use super::{COMMON_PRACTICE, Setting};
use crate::layout::Place;
use crate::units::{Area, Money, Share, Time};

/// What is used up beside paint and tape.
#[derive(Debug, Clone, PartialEq)]
pub struct Supplies {
    all: [Supply; 10],
    /// Film lost where sheets lap and edges are trimmed, on top of what is covered.
    pub film_waste: Setting<Share>,
    /// Tape lost beyond the two lines beside a bead.
    pub bead_tape_waste: Setting<Share>,
}

/// Kinds of supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SupplyKind {
    /// Abrasive discs of one grit.
    Disc,
    /// Abrasive sheets.
    Sheet,
    /// Tack cloths.
    TackCloth,
    /// Roller sleeves.
    Roller,
    /// Brushes.
    Brush,
    /// Mixing cups.
    Cup,
    /// Stirring sticks.
    Stirrer,
    /// Pairs of gloves.
    Gloves,
    /// Dust masks.
    DustMask,
    /// Pairs of vapour filters.
    Filters,
}

/// How a supply is used up, and how it is sold.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// How it is used up.
    pub lasts: Setting<Lasts>,
    /// Packs on sale; none: by the piece, the price not known.
    pub packs: Vec<Pack>,
}

/// How a supply is used up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lasts {
    /// One does so much.
    Area(Area),
    /// A batch takes so many.
    Batch(usize),
    /// One does a person so long.
    Time(Time),
}

/// A pack on sale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pack {
    /// How many are in it.
    pub holds: usize,
    /// What it costs.
    pub price: Option<Money>,
    /// Where it stands.
    pub place: Place,
}

impl Supplies {
    /// Each kind with its key and what a shop calls it.
    pub const KINDS: [(SupplyKind, &'static str, &'static str); 10] = [
        (SupplyKind::Disc, "disc", "Abrasive discs"),
        (SupplyKind::Sheet, "sheet", "Abrasive sheets"),
        (SupplyKind::TackCloth, "tack_cloth", "Tack cloths"),
        (SupplyKind::Roller, "roller", "Roller sleeves"),
        (SupplyKind::Brush, "brush", "Brushes"),
        (SupplyKind::Cup, "cup", "Mixing cups"),
        (SupplyKind::Stirrer, "stirrer", "Stirring sticks"),
        (SupplyKind::Gloves, "gloves", "Gloves, pairs"),
        (SupplyKind::DustMask, "dust_mask", "Dust masks"),
        (SupplyKind::Filters, "filters", "Vapour filters, pairs"),
    ];

    /// One kind.
    #[must_use]
    pub const fn of(&self, kind: SupplyKind) -> &Supply {
        &self.all[kind as usize]
    }

    /// Sets one kind.
    pub fn set(&mut self, kind: SupplyKind, given: Option<Lasts>, packs: Vec<Pack>) {
        let supply = &mut self.all[kind as usize];
        supply.lasts = supply.lasts.or_given(given);
        supply.packs = packs;
    }
}

impl Default for Supplies {
    fn default() -> Self {
        let square_metres = |many: f64| Lasts::Area(Area::mm2(many * 1e6));
        let hours = |many: f64| Lasts::Time(Time::hours(many));
        let all = [
            square_metres(1.5),
            square_metres(1.0),
            square_metres(15.0),
            Lasts::Batch(1),
            Lasts::Batch(1),
            Lasts::Batch(1),
            Lasts::Batch(1),
            Lasts::Batch(1),
            hours(7.0),
            hours(8.0),
        ];
        Self {
            all: all.map(|lasts| Supply {
                lasts: Setting::default(lasts, COMMON_PRACTICE),
                packs: Vec::new(),
            }),
            // Five to ten per cent is what people reckon with.
            film_waste: Setting::default(Share::per_cent(10.0), COMMON_PRACTICE),
            bead_tape_waste: Setting::default(Share::per_cent(10.0), COMMON_PRACTICE),
        }
    }
}
