//! Lengths as people read them: millimetres whole or with one decimal, metres with three, inches as
//! feet, inches and sixteenths. For programs print [`Length::to_mm`] instead.

use super::{Length, LengthUnit};

/// Sixteenths of an inch to a foot.
const SIXTEENTHS_TO_A_FOOT: u64 = 12 * 16;

impl Length {
    /// The length for people who measure in `unit`, with its unit: `60 mm`, `1.234 m`, `2′ 3 1/2″`.
    ///
    /// ```
    /// use spile::units::{Length, LengthUnit};
    /// assert_eq!(Length::mm(698.5).show(LengthUnit::Inch), "2′ 3 1/2″");
    /// assert_eq!(Length::mm(60.04).show(LengthUnit::Millimetre), "60 mm");
    /// ```
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        match unit {
            LengthUnit::Inch | LengthUnit::Foot => feet_and_inches(self),
            LengthUnit::Millimetre => format!("{} mm", self.show_bare(unit)),
            LengthUnit::Centimetre => format!("{} cm", self.show_bare(unit)),
            LengthUnit::Metre => format!("{} m", self.show_bare(unit)),
        }
    }

    /// The same without its unit, where that is said once for the whole drawing or table; feet and
    /// inches keep their marks.
    #[must_use]
    pub fn show_bare(self, unit: LengthUnit) -> String {
        match unit {
            LengthUnit::Inch | LengthUnit::Foot => feet_and_inches(self),
            LengthUnit::Millimetre | LengthUnit::Centimetre => {
                let shown = fixed(self.to(unit), 1);
                shown.strip_suffix(".0").map_or(shown.clone(), String::from)
            }
            LengthUnit::Metre => fixed(self.to(unit), 3),
        }
    }

    /// A small length, finer than a tape shows it, such as a residual: `2.3 mm` or `0.09 in`.
    ///
    /// ```
    /// use spile::units::{Length, LengthUnit};
    /// assert_eq!(Length::mm(2.345).show_fine(LengthUnit::Metre), "2.3 mm");
    /// assert_eq!(Length::mm(2.345).show_fine(LengthUnit::Foot), "0.09 in");
    /// ```
    #[must_use]
    pub fn show_fine(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            format!("{} in", fixed(self.to(LengthUnit::Inch), 2))
        } else {
            format!("{} mm", fixed(self.to_mm(), 1))
        }
    }

    /// A long length such as a run of tape: `12.3 m` or `40.4 ft`.
    #[must_use]
    pub fn show_run(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            format!("{} ft", fixed(self.to(LengthUnit::Foot), 1))
        } else {
            format!("{} m", fixed(self.to(LengthUnit::Metre), 1))
        }
    }
}

/// A number with a fixed count of decimals, and never a minus before nothing.
pub(super) fn fixed(value: f64, decimals: usize) -> String {
    let shown = format!("{value:.decimals$}");
    match shown.strip_prefix('-') {
        Some(rest) if !rest.contains(|digit| ('1'..='9').contains(&digit)) => rest.into(),
        _ => shown,
    }
}

/// Feet, inches and the nearest sixteenth, carried and reduced.
fn feet_and_inches(length: Length) -> String {
    let rounded = (length.to(LengthUnit::Inch).abs() * 16.0).round();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and not negative; the cast saturates on lengths beyond any boat"
    )]
    let sixteenths = rounded as u64;
    let sign = if length.to_mm() < 0.0 && sixteenths > 0 {
        "-"
    } else {
        ""
    };
    let feet = sixteenths / SIXTEENTHS_TO_A_FOOT;
    let inches = sixteenths % SIXTEENTHS_TO_A_FOOT / 16;
    let fraction = match sixteenths % 16 {
        0 => None,
        part => {
            let halvings = part.trailing_zeros();
            Some(format!("{}/{}", part >> halvings, 16 >> halvings))
        }
    };
    let inches = match fraction {
        None => format!("{inches}″"),
        Some(fraction) if inches == 0 && feet == 0 => format!("{fraction}″"),
        Some(fraction) => format!("{inches} {fraction}″"),
    };
    if feet == 0 {
        format!("{sign}{inches}")
    } else {
        format!("{sign}{feet}′ {inches}")
    }
}

#[cfg(test)]
mod tests {
    use super::super::parse_length;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn inches_carry_into_feet_and_fractions_are_reduced() {
        for (inches, shown) in [
            (0.0, "0″"),
            (0.5, "1/2″"),
            (3.5, "3 1/2″"),
            (11.97, "1′ 0″"),
            (11.96, "11 15/16″"),
            (12.5, "1′ 0 1/2″"),
            (27.5, "2′ 3 1/2″"),
            (60.0, "5′ 0″"),
            (0.02, "0″"),
            (-0.02, "0″"),
            (-18.25, "-1′ 6 1/4″"),
            (0.1875, "3/16″"),
            (0.6, "5/8″"),
        ] {
            let length = Length::of(inches, LengthUnit::Inch);
            assert_eq!(length.show(LengthUnit::Inch), shown, "{inches}");
            assert_eq!(length.show(LengthUnit::Foot), shown, "{inches}");
        }
    }

    #[test]
    fn metric_lengths_are_rounded_for_people() {
        for (mm, unit, shown) in [
            (60.0, LengthUnit::Millimetre, "60 mm"),
            (60.04, LengthUnit::Millimetre, "60 mm"),
            (60.25, LengthUnit::Millimetre, "60.2 mm"),
            (59.96, LengthUnit::Millimetre, "60 mm"),
            (-0.01, LengthUnit::Millimetre, "0 mm"),
            (-12.5, LengthUnit::Millimetre, "-12.5 mm"),
            (125.0, LengthUnit::Centimetre, "12.5 cm"),
            (120.0, LengthUnit::Centimetre, "12 cm"),
            (1234.4, LengthUnit::Metre, "1.234 m"),
            (1200.0, LengthUnit::Metre, "1.200 m"),
        ] {
            assert_eq!(Length::mm(mm).show(unit), shown);
        }
        assert_eq!(Length::mm(60.0).show_bare(LengthUnit::Millimetre), "60");
        assert_eq!(Length::mm(60.0).show_bare(LengthUnit::Inch), "2 3/8″");
    }

    #[test]
    fn runs_of_tape_are_shown_in_metres_or_feet() {
        assert_eq!(
            Length::mm(12_345.0).show_run(LengthUnit::Millimetre),
            "12.3 m"
        );
        assert_eq!(Length::mm(12_314.0).show_run(LengthUnit::Inch), "40.4 ft");
    }

    proptest! {
        #[test]
        fn what_is_shown_in_inches_reads_back_within_half_a_sixteenth(mm in -100_000.0_f64..100_000.0) {
            let shown = Length::mm(mm).show(LengthUnit::Inch);
            let back = parse_length(&shown).expect("a shown length reads back");
            prop_assert!((back.to_mm() - mm).abs() <= 25.4 / 32.0 + 1e-9, "{shown}");
            let carried = !shown.contains("12″") && !shown.contains("12 ");
            prop_assert!(carried || shown.contains("12′"), "{shown}");
        }

        #[test]
        fn whole_sixteenths_read_back_exactly(sixteenths in 0_u32..40_000) {
            let length = Length::of(f64::from(sixteenths) / 16.0, LengthUnit::Inch);
            let back = parse_length(&length.show(LengthUnit::Foot)).expect("reads back");
            prop_assert!((back - length).to_mm().abs() < 1e-9);
        }

        #[test]
        fn metric_lengths_read_back_within_half_of_the_last_digit(mm in -1_000_000.0_f64..1_000_000.0) {
            for (unit, step) in [(LengthUnit::Millimetre, 0.1), (LengthUnit::Centimetre, 1.0), (LengthUnit::Metre, 1.0)] {
                let back = parse_length(&Length::mm(mm).show(unit)).expect("reads back");
                prop_assert!((back.to_mm() - mm).abs() <= step / 2.0 + 1e-9);
            }
        }

        #[test]
        fn any_text_is_a_length_or_a_fault(text in "\\PC{0,24}") {
            let _ = parse_length(&text);
        }

        #[test]
        fn nearly_lengths_are_a_length_or_a_fault(text in "[-+0-9./ '\"½′″mcinft]{0,16}") {
            if let Ok(length) = parse_length(&text) {
                prop_assert!(length.to_mm().is_finite());
            }
        }
    }
}
