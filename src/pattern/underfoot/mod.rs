//! What a foot meets. Comes in: a deck's plan, its pattern, from which size on something is pointed out. Goes out: how wide
//! the deck is smooth, where grip is furthest, and what is worth a look: widths and places, never a judgement. All of
//! it is seen from above.

mod paint;
mod things;
mod walking;
mod words;

use super::Pattern;
use crate::layout::{Setting, UnderfootSettings};
use crate::outline::DeckPlan;
use crate::shape::{Furthest, Point, Region};
use crate::surface::Surface;
use crate::units::{Area, Length, LengthUnit};

/// How near the answers are.
const PRECISION: Length = Length::mm(0.05);

/// The widest smooth place of a deck, seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SmoothPatch {
    /// Its middle.
    pub centre: Point,
    /// Diameter of the disc that fits there.
    pub width: Length,
}

/// The widest smooth place; none where all of the deck is non-skid. Within 0.1 mm.
#[must_use]
pub fn widest_smooth(pattern: &Pattern) -> Option<SmoothPatch> {
    let disc = pattern.border.widest_disc(PRECISION)?;
    Some(SmoothPatch {
        centre: disc.centre,
        width: disc.radius * 2.0,
    })
}

/// The ground that people walk on: the deck less its openings and its fittings in place.
#[must_use]
pub fn walkable(pattern: &Pattern) -> Region {
    pattern
        .deck
        .difference(&[&pattern.openings, &pattern.fittings])
}

/// The place of the walkable deck that is furthest from all non-skid, within 0.05 mm; none where there is no non-skid, or
/// nothing else.
#[must_use]
pub fn furthest_from_grip(pattern: &Pattern) -> Option<Furthest> {
    // What is walked on and no field is border.
    let fields = pattern.field_region();
    pattern.border.furthest_from(&fields, PRECISION)
}

/// What a foot meets on one deck.
#[derive(Debug, Clone)]
pub struct Footing {
    /// The deck's id.
    pub deck: String,
    /// The layout's unit, for what is said to people.
    pub units: LengthUnit,
    /// The widest smooth place.
    pub widest: Option<SmoothPatch>,
    /// Where grip is furthest.
    pub grip: Option<Furthest>,
    /// What is worth a look: kind by kind, the widest first (of small fields and of those near the edge the least).
    pub findings: Vec<Finding>,
}

/// Something worth a look.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What kind of thing it is, and what is measured beside its width.
    pub what: What,
    /// What it is about: a walk, a fitting, a field.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// The width found there.
    pub width: Length,
    /// From which size on it is pointed out.
    pub limit: Limit,
}

/// Kinds of what is worth a look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// A line that people walk: its width is that of the widest smooth place met on it, twice the distance to the nearest
    /// non-skid. Given for every walk that is smooth anywhere.
    Walk {
        /// Its longest smooth stretch.
        longest: Length,
        /// The middle of that.
        longest_at: Point,
    },
    /// The edge of an opening or a fitting: how far non-skid is from it at most.
    Round,
    /// The edge of an opening, or a place where people step: how far from it non-skid begins.
    StopsShort,
    /// A small field: its width is that of the largest disc in it.
    SmallField {
        /// Its area.
        area: Area,
    },
    /// A glazed opening where people step: its longer side.
    Glazed {
        /// Its shorter side.
        shorter: Length,
    },
    /// A field near the deck's edge: the least distance between them.
    Waterway {
        /// How high the edge stands there over its lowest place, on a deck with camber or sheer.
        above_lowest: Option<Length>,
    },
}

/// From which size on something is pointed out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// A width.
    Width(Setting<Length>),
    /// An area.
    Area(Setting<Area>),
}

/// A deck as it is looked at.
struct Ground<'a> {
    plan: &'a DeckPlan,
    pattern: &'a Pattern,
    surface: Option<&'a Surface>,
    settings: &'a UnderfootSettings,
    fields: Region,
    walkable: Region,
}

impl Footing {
    /// Looks at one deck.
    #[must_use]
    pub fn of(
        plan: &DeckPlan,
        pattern: &Pattern,
        surface: Option<&Surface>,
        settings: &UnderfootSettings,
    ) -> Self {
        let ground = Ground {
            plan,
            pattern,
            surface,
            settings,
            fields: pattern.field_region(),
            walkable: walkable(pattern),
        };
        let found = if ground.fields.is_empty() {
            // Without any non-skid nothing is near it or far from it.
            vec![things::glazed(&ground)]
        } else {
            vec![
                walking::walks(&ground),
                things::stop_short(&ground),
                things::smooth_round(&ground),
                paint::small_fields(&ground),
                things::glazed(&ground),
                paint::waterways(&ground),
            ]
        };
        let findings = found.into_iter().flat_map(|mut group| {
            group.sort_by(|a, b| {
                let by_width = a.width.to_mm().total_cmp(&b.width.to_mm());
                match a.what {
                    // Of these the least comes first.
                    What::Waterway { .. } | What::SmallField { .. } => by_width,
                    _ => by_width.reverse(),
                }
            });
            group
        });
        Self {
            deck: plan.id.clone(),
            units: plan.units,
            widest: widest_smooth(pattern),
            grip: furthest_from_grip(pattern),
            findings: findings.collect(),
        }
    }
}
