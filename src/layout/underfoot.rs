//! What a layout says of walking on the deck: lines that people walk, places where they step, and from which size on
//! something underfoot is pointed out. Every default stands here once, with where it comes from.

use super::{Place, Position, Setting};
use crate::units::{Area, Length};

/// A line that people walk.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// What people call it.
    pub name: String,
    /// The line, by its points.
    pub path: Vec<Position>,
    /// Whether its mirror image in the centreline is walked too.
    pub both_sides: bool,
    /// Its path in the file.
    pub place: Place,
}

/// A place where people step: the head of a ladder, a gate, the foot of a companionway.
#[derive(Debug, Clone, PartialEq)]
pub struct Foothold {
    /// What people call it.
    pub name: String,
    /// Where it is.
    pub at: Position,
    /// Whether its mirror image in the centreline is one too.
    pub both_sides: bool,
    /// Its `at` in the file.
    pub place: Place,
}

/// From which size on something underfoot is pointed out. None of them is a limit that a deck keeps or breaks.
#[derive(Debug, Clone, PartialEq)]
pub struct UnderfootSettings {
    /// Smooth places wider than this.
    pub widest_smooth: Setting<Length>,
    /// Fields smaller than this.
    pub least_field: Setting<Area>,
    /// Hatch edges and footholds that are further than this from non-skid.
    pub stops_short: Setting<Length>,
    /// Glazed openings larger than this, where people step.
    pub glazed: Setting<Length>,
    /// Fields nearer than this to the deck's edge, where water runs.
    pub waterway: Setting<Length>,
}

const NO_SOURCE: &str = "from memory, no source found: ask your surveyor";

impl Default for UnderfootSettings {
    fn default() -> Self {
        Self {
            widest_smooth: Setting::default(Length::mm(75.0), NO_SOURCE),
            least_field: Setting::default(Area::mm2(20_000.0), "from memory: ask your surveyor"),
            stops_short: Setting::default(Length::mm(150.0), "from memory: ask your surveyor"),
            glazed: Setting::default(
                Length::mm(500.0),
                "EN ISO 15085:2003 as a public page sums it up, superseded by ISO 15085:2024: check the standard",
            ),
            waterway: Setting::default(
                Length::mm(25.0),
                "common practice, no source: drain gaps of 25 to 50 mm at low points",
            ),
        }
    }
}
