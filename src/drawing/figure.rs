//! Figures as they stand on a drawing: lengths without their unit, which the title block names.

use crate::units::{Area, Length, LengthUnit};

/// A length as measured.
pub(super) fn length(length: Length, units: LengthUnit) -> String {
    length.show_bare(units)
}

/// An overall length, to the whole millimetre: nobody measures a deck closer.
pub(super) fn overall(mm: f64, units: LengthUnit) -> String {
    Length::mm(mm.round()).show_bare(units)
}

/// An area with its unit.
pub(super) fn area(mm2: f64, units: LengthUnit) -> String {
    Area::mm2(mm2).show(units)
}

/// A length of tape with its unit.
pub(super) fn tape(length: Length, units: LengthUnit) -> String {
    length.show_run(units)
}

/// What the title block says of the units.
pub(super) const fn units_name(units: LengthUnit) -> &'static str {
    match units {
        LengthUnit::Millimetre => "millimetres",
        LengthUnit::Centimetre => "centimetres",
        LengthUnit::Metre => "metres",
        LengthUnit::Inch | LengthUnit::Foot => "feet and inches",
    }
}
