//! Figures as they stand on a drawing: lengths without their unit (the title block names it), areas with.

use crate::units::{Length, LengthUnit};

/// Square millimetres in a square metre and a square foot (0.3048 m exactly).
const SQUARE_METRE: f64 = 1.0e6;
const SQUARE_FOOT: f64 = 304.8 * 304.8;

/// A length: decimals of the layout's unit to a tenth of a millimetre, or feet, inches and sixteenths.
pub(super) fn length(length: Length, units: LengthUnit) -> String {
    let decimals = match units {
        LengthUnit::Millimetre => 1,
        LengthUnit::Centimetre => 2,
        LengthUnit::Metre => 4,
        LengthUnit::Inch | LengthUnit::Foot => return feet_and_inches(length),
    };
    trimmed(&format!("{:.decimals$}", length.to(units)))
}

/// An overall length: whole millimetres, or feet, inches and sixteenths.
pub(super) fn overall(length: Length, units: LengthUnit) -> String {
    let decimals = match units {
        LengthUnit::Millimetre => 0,
        LengthUnit::Centimetre => 1,
        LengthUnit::Metre => 3,
        LengthUnit::Inch | LengthUnit::Foot => return feet_and_inches(length),
    };
    trimmed(&format!("{:.decimals$}", length.to(units)))
}

/// An area with its unit.
pub(super) fn area(mm2: f64, units: LengthUnit) -> String {
    let (amount, unit) = if units.is_imperial() {
        (mm2 / SQUARE_FOOT, "ft²")
    } else {
        (mm2 / SQUARE_METRE, "m²")
    };
    let decimals = match amount {
        small if small < 0.1 => 4,
        small if small < 10.0 => 3,
        _ => 2,
    };
    format!("{amount:.decimals$} {unit}")
}

/// A length of tape with its unit.
pub(super) fn tape(length: Length, units: LengthUnit) -> String {
    if units.is_imperial() {
        format!("{:.1} ft", length.to(LengthUnit::Foot))
    } else {
        format!("{:.2} m", length.to(LengthUnit::Metre))
    }
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

/// Inches and sixteenths; feet too from two feet on.
fn feet_and_inches(length: Length) -> String {
    let sixteenths = (length.to(LengthUnit::Inch) * 16.0).round();
    if sixteenths == 0.0 {
        return "0".to_owned();
    }
    let sign = if sixteenths < 0.0 { "-" } else { "" };
    let sixteenths = sixteenths.abs();
    let (mut inches, mut part) = ((sixteenths / 16.0).floor(), sixteenths % 16.0);
    let mut whole = 16.0;
    while part > 0.0 && part % 2.0 == 0.0 {
        (part, whole) = (part / 2.0, whole / 2.0);
    }
    let mut feet = 0.0;
    if inches >= 24.0 {
        feet = (inches / 12.0).floor();
        inches %= 12.0;
    }
    let fraction = if part > 0.0 {
        format!("{part:.0}/{whole:.0}")
    } else {
        String::new()
    };
    let gap = if inches > 0.0 && part > 0.0 { " " } else { "" };
    let shown_inches = if inches > 0.0 || part == 0.0 {
        format!("{inches:.0}")
    } else {
        String::new()
    };
    if feet > 0.0 && inches == 0.0 && part == 0.0 {
        return format!("{sign}{feet:.0}'");
    }
    let feet = if feet > 0.0 {
        format!("{feet:.0}' ")
    } else {
        String::new()
    };
    format!("{sign}{feet}{shown_inches}{gap}{fraction}\"")
}

fn trimmed(text: &str) -> String {
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_read_as_people_say_them() {
        let inches = |amount| length(Length::of(amount, LengthUnit::Inch), LengthUnit::Foot);
        assert_eq!(inches(0.0), "0");
        assert_eq!(inches(0.75), "3/4\"");
        assert_eq!(inches(2.5), "2 1/2\"");
        assert_eq!(inches(24.0), "2'");
        assert_eq!(inches(27.5), "2' 3 1/2\"");
        assert_eq!(inches(36.25), "3' 1/4\"");
        assert_eq!(length(Length::mm(40.0), LengthUnit::Millimetre), "40");
        assert_eq!(length(Length::mm(22.26), LengthUnit::Millimetre), "22.3");
        assert_eq!(length(Length::mm(60.0), LengthUnit::Centimetre), "6");
        assert_eq!(overall(Length::mm(1200.0), LengthUnit::Metre), "1.2");
        assert_eq!(area(423_000.0, LengthUnit::Millimetre), "0.423 m²");
    }
}
