//! What is done, step by step, in the order of the file.

use super::Setting;
use crate::layout::{Place, Placed};
use crate::units::{Length, MassPerArea, Share, SpreadingRate};

/// One step of the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Short unique name.
    pub id: Placed<String>,
    /// What people call it.
    pub title: Option<String>,
    /// What is worked on.
    pub on: Surface,
    /// What is done.
    pub task: Task,
    /// The whole entry.
    pub place: Place,
}

/// What a step is done to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// Border and fields.
    All,
    /// What stays smooth.
    Border,
    /// The non-skid.
    Field,
    /// The edge that is caulked.
    Edge,
}

/// What a step does.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// Sanding, grit by grit.
    Sand {
        /// Coarse to fine.
        grits: Vec<u32>,
        /// By machine, else by hand.
        by_machine: bool,
    },
    /// Wiping.
    Clean {
        /// With what.
        product: Placed<String>,
        /// Area that a litre does.
        rate: Setting<SpreadingRate>,
    },
    /// Coats of one product.
    Coat(Coat),
    /// A bead along the edge.
    Caulk {
        /// Of what.
        product: Placed<String>,
        /// Its section.
        section: Section,
        /// Whether it runs along openings and fittings in place too.
        all_edges: bool,
        /// What is lost on the way.
        loss: Setting<Share>,
    },
}

/// Coats of one product.
#[derive(Debug, Clone, PartialEq)]
pub struct Coat {
    /// Of what.
    pub product: Placed<String>,
    /// How many.
    pub coats: usize,
    /// How much of it each.
    pub amount: Placed<CoatAmount>,
    /// How it is laid.
    pub method: Method,
    /// What is lost on the way.
    pub loss: Setting<Share>,
    /// Thinner by the paint's volume.
    pub thin: Placed<Share>,
    /// Grit.
    pub aggregate: Option<AggregateLoad>,
}

/// How much a coat takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CoatAmount {
    /// By the film that stays.
    DryFilm(Length),
    /// By the film as laid, unthinned.
    WetFilm(Length),
    /// By what a litre covers before loss.
    Rate(SpreadingRate),
    /// By mass.
    Mass(MassPerArea),
}

/// How a coat is laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// By brush.
    Brush,
    /// By roller.
    Roll,
    /// By spray.
    Spray,
    /// By trowel.
    Trowel,
}

/// Grit with a coat.
#[derive(Debug, Clone, PartialEq)]
pub struct AggregateLoad {
    /// Which.
    pub product: Placed<String>,
    /// So much on an area, each coat.
    pub mass: MassPerArea,
    /// Strewn into the wet coat, else stirred in.
    pub broadcast: bool,
}

/// The section of a bead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Along the deck.
    pub width: Length,
    /// Up the edge, or into the seam.
    pub depth: Length,
    /// A fillet in a corner, else a seam filled square.
    pub is_triangle: bool,
}
