//! From rings to the pattern: what is kept off, the fields of non-skid, the smooth border, and what is
//! to be said about them. Comes in: a [`DeckPlan`](crate::outline::DeckPlan). Goes out: a [`Pattern`].
//! A pattern measured on the surface is laid out on the deck's development and carried back to the plan.
//! Every word is defined as the trade uses it; the geometry is [`shape`](crate::shape)'s.

mod carried;
mod fields;
mod keep_off;
mod knife_edge;
mod remarks;
mod underfoot;

pub use underfoot::{
    Finding, Footing, Limit, SmoothPatch, What, furthest_from_grip, walkable, widest_smooth,
};

use crate::concurrent::both;
use crate::outline::{DeckPlan, Scrutiny, Warning};
use crate::shape::{Nearest, Point, Region};
use crate::surface::{Development, Surface};
use crate::units::Length;

use fields::Nudge;
use keep_off::Ground;
use knife_edge::Bracket;

/// The pattern of one deck.
#[derive(Debug, Clone)]
pub struct Pattern {
    /// The deck inside its outline.
    pub deck: Region,
    /// Openings, as far as they lie in the deck.
    pub openings: Region,
    /// Footprints of fittings in place, openings taken out.
    pub fittings: Region,
    /// Everything that stays smooth, as a region of its own.
    pub border: Region,
    /// The fields, forward to aft, port to starboard.
    pub fields: Vec<Field>,
    /// What was too small to be a field.
    pub dropped: Vec<Dropped>,
    /// What a person should know.
    pub warnings: Vec<Warning>,
    /// How many steps of its geometry were computed again with finer chords, because their answer hung
    /// on less than the chords' distance from their arcs.
    pub recomputed: u32,
    /// Where margins, radii and strips are kept on the surface: the pattern as it was laid out, on the
    /// deck's development. Clearances and radii above are measured there.
    pub developed: Option<Box<Self>>,
}

/// A deck that is looked at, and how its places are found in the plan.
struct Seen<'a> {
    plan: &'a DeckPlan,
    /// Where `plan` is a development: what carries it back.
    development: Option<&'a Development>,
}

impl Seen<'_> {
    /// Where a point of `plan` lies in the deck's own plan.
    fn in_plan(&self, at: Point) -> Point {
        self.development
            .map_or(at, |development| development.raised(at))
    }
}

/// One closed area of non-skid.
#[derive(Debug, Clone)]
pub struct Field {
    /// `F1`, `F2`, …
    pub id: String,
    /// Its shape: one outer ring, then the holes in it.
    pub region: Region,
    /// Least distance to the deck edge, an opening or a fitting, measured on the finished shapes.
    pub clearance: Clearance,
    /// Least radius of an outward arc.
    pub tightest_round: Option<Length>,
    /// Least radius of an inward arc.
    pub tightest_hollow: Option<Length>,
}

/// A least distance and the two points between which it was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// The distance.
    pub distance: Length,
    /// Point on the field.
    pub on_field: Point,
    /// Point on the edge, opening or fitting.
    pub on_obstacle: Point,
}

impl From<Nearest> for Clearance {
    fn from(found: Nearest) -> Self {
        Self {
            distance: found.distance,
            on_field: found.here,
            on_obstacle: found.there,
        }
    }
}

/// A piece that was too small to be a field.
#[derive(Debug, Clone)]
pub struct Dropped {
    /// The piece.
    pub region: Region,
    /// Why it went.
    pub reason: DropReason,
}

/// Why a piece is no field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DropReason {
    /// Narrower than the least width.
    TooNarrow,
    /// Smaller than the least area.
    TooSmall,
}

impl Pattern {
    /// All fields as one region.
    #[must_use]
    pub fn field_region(&self) -> Region {
        Region::new(
            self.fields
                .iter()
                .flat_map(|field| field.region.rings())
                .cloned()
                .collect(),
        )
    }
}

/// Lays out the pattern of a deck.
#[must_use]
pub fn lay_out(plan: &DeckPlan) -> Pattern {
    lay_out_with(plan, Scrutiny::Full)
}

/// The same, looked at no closer than asked.
#[must_use]
pub fn lay_out_with(plan: &DeckPlan, scrutiny: Scrutiny) -> Pattern {
    let seen = Seen {
        plan,
        development: None,
    };
    laid_out(&seen, scrutiny)
}

/// Lays out the pattern of a deck with margins, radii and strips as they are given on its surface: on the deck's
/// development, then carried back to the plan.
#[must_use]
pub fn lay_out_on(plan: &DeckPlan, surface: &Surface, scrutiny: Scrutiny) -> Pattern {
    let development = Development::of(surface, &plan.outline.ring);
    let flat = development.laid_plan(plan);
    let seen = Seen {
        plan: &flat,
        development: Some(&development),
    };
    let developed = laid_out(&seen, scrutiny);
    carried::back(plan, &development, developed)
}

fn laid_out(seen: &Seen<'_>, scrutiny: Scrutiny) -> Pattern {
    let plan = seen.plan;
    let ground = Ground::of(plan);
    let as_asked = || {
        let shaped = fields::shape(plan, &ground, Nudge::NONE);
        let region = shaped.region();
        let taken = [&ground.openings, &ground.fittings, &region];
        let (border, fields) = both(
            || ground.deck.difference(&taken),
            || fields::numbered(plan, &shaped.fields),
        );
        (shaped, region, border, fields)
    };
    let (bracket, (shaped, region, border, fields)) = match scrutiny {
        Scrutiny::Full => {
            let (bracket, asked) = both(|| Bracket::of(plan, &ground), as_asked);
            (Some(bracket), asked)
        }
        Scrutiny::Quick => (None, as_asked()),
    };
    let mut warnings = remarks::on(seen, &ground, &shaped, &fields);
    if let Some(bracket) = bracket {
        warnings.extend(knife_edge::warnings(seen, &ground, &region, &bracket));
    }
    let recomputed = shaped.recomputed + border.recomputed();
    Pattern {
        deck: ground.deck,
        openings: ground.openings,
        fittings: ground.fittings,
        border,
        fields,
        dropped: shaped.dropped,
        warnings,
        recomputed,
        developed: None,
    }
}
