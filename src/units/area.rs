//! An area that hides its unit, like [`Length`](super::Length).

use std::iter::Sum;
use std::ops::{Add, Mul, Sub};

use super::LengthUnit;
use super::show::fixed;

/// An area. Made with [`Area::mm2`], read with [`Area::to_mm2`] or [`Area::to_m2`].
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Area(f64);

impl Area {
    /// No area at all.
    pub const ZERO: Self = Self(0.0);

    /// An area of so many mm².
    #[must_use]
    pub const fn mm2(square_millimetres: f64) -> Self {
        Self(square_millimetres)
    }

    /// The area in mm².
    #[must_use]
    pub const fn to_mm2(self) -> f64 {
        self.0
    }

    /// The area in m².
    #[must_use]
    pub const fn to_m2(self) -> f64 {
        self.0 / 1e6
    }

    /// The area in square feet.
    #[must_use]
    pub const fn to_square_feet(self) -> f64 {
        let foot = LengthUnit::Foot.in_mm();
        self.0 / (foot * foot)
    }

    /// The area for people who measure in `unit`: `1.234 m²` or `13.3 ft²`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            format!("{} ft²", fixed(self.to_square_feet(), 1))
        } else {
            format!("{} m²", fixed(self.to_m2(), 3))
        }
    }
}

impl Add for Area {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Area {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<f64> for Area {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Sum for Area {
    fn sum<I: Iterator<Item = Self>>(areas: I) -> Self {
        areas.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_are_shown_in_square_metres_or_square_feet() {
        let area = Area::mm2(1_234_400.0);
        assert_eq!(area.show(LengthUnit::Millimetre), "1.234 m²");
        assert_eq!(area.show(LengthUnit::Metre), "1.234 m²");
        assert_eq!(area.show(LengthUnit::Inch), "13.3 ft²");
        assert_eq!(Area::mm2(-0.1).show(LengthUnit::Foot), "0.0 ft²");
    }

    #[test]
    fn a_square_foot_is_a_foot_squared() {
        assert!((Area::mm2(304.8 * 304.8).to_square_feet() - 1.0).abs() < 1e-15);
        assert!((Area::mm2(2.5e6).to_m2() - 2.5).abs() < 1e-15);
    }
}
