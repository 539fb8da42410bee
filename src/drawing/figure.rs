//! Figures as they stand on a drawing: lengths without their unit, which the title block names.

use crate::units::{Area, Length, LengthUnit};

/// A length as measured.
pub(super) fn length(length: Length, units: LengthUnit) -> String {
    length.show_bare(units)
}

/// A round length at a mark of a scale: whole feet need no inches, metres no trailing noughts.
pub(super) fn mark(length: Length, units: LengthUnit) -> String {
    let shown = length.show_bare(units);
    let short = if units.is_imperial() {
        shown.strip_suffix(" 0″").unwrap_or(&shown)
    } else if shown.contains('.') {
        shown.trim_end_matches('0').trim_end_matches('.')
    } else {
        &shown
    };
    if short == "0″" {
        "0".to_owned()
    } else {
        short.to_owned()
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_of_a_scale_are_as_short_as_people_write_them() {
        let foot = Length::of(2.0, LengthUnit::Foot);
        assert_eq!(mark(foot, LengthUnit::Inch), "2′");
        assert_eq!(
            mark(Length::of(3.0, LengthUnit::Inch), LengthUnit::Inch),
            "3″"
        );
        assert_eq!(mark(Length::ZERO, LengthUnit::Foot), "0");
        assert_eq!(mark(Length::ZERO, LengthUnit::Metre), "0");
        assert_eq!(mark(Length::mm(500.0), LengthUnit::Metre), "0.5");
        assert_eq!(mark(Length::mm(500.0), LengthUnit::Millimetre), "500");
    }
}
