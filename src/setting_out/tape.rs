//! What a tape shows: lengths rounded to its marks, and written as it shows them.

use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// The least step of a tape: 1 mm, or 1/16 in.
#[must_use]
pub fn step(units: LengthUnit) -> Length {
    if units.is_imperial() {
        Length::of(1.0 / 16.0, LengthUnit::Inch)
    } else {
        Length::mm(1.0)
    }
}

/// A length as the tape shows it.
#[must_use]
pub fn rounded(length: Length, units: LengthUnit) -> Length {
    let step = step(units).to_mm();
    let steps = (length.to_mm() / step).round();
    // Never a minus before nothing.
    Length::mm(if steps == 0.0 { 0.0 } else { steps * step })
}

/// A place with both its measurements as the tape shows them.
pub(super) fn rounded_place(at: Point, units: LengthUnit) -> Point {
    let [x, y] = [at.x, at.y].map(|mm| rounded(Length::mm(mm), units).to_mm());
    Point::new(x, y)
}
