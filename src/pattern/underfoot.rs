//! How wide a deck is smooth. Comes in: a pattern. Goes out: the widest place of its border, as the disc that fits
//! there: where a foot is furthest from all grip.

use super::Pattern;
use crate::shape::Point;
use crate::units::Length;

/// How near the answer is.
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
