//! A length that hides its unit: made from millimetres, inches or a text, read back the same way.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A length. Made with [`Length::mm`], read with [`Length::to_mm`], so that no unit is mistaken.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Length(f64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0.0);

    /// A length of `millimetres`.
    #[must_use]
    pub const fn mm(millimetres: f64) -> Self {
        Self(millimetres)
    }

    /// A length of `amount` of `unit`.
    #[must_use]
    pub fn of(amount: f64, unit: LengthUnit) -> Self {
        Self(amount * unit.in_mm())
    }

    /// The length in millimetres.
    #[must_use]
    pub const fn to_mm(self) -> f64 {
        self.0
    }

    /// The length in `unit`.
    #[must_use]
    pub fn to(self, unit: LengthUnit) -> f64 {
        self.0 / unit.in_mm()
    }

    /// The greater of two.
    #[must_use]
    pub const fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// The lesser of two.
    #[must_use]
    pub const fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

/// The units a length may be written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LengthUnit {
    /// Millimetre.
    #[default]
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Metre.
    Metre,
    /// Inch, 25.4 mm exactly (international yard and pound agreement of 1959).
    Inch,
    /// Foot, 304.8 mm exactly.
    Foot,
}

impl LengthUnit {
    /// How many millimetres one of it is.
    #[must_use]
    pub const fn in_mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Metre => 1000.0,
            Self::Inch => 25.4,
            Self::Foot => 304.8,
        }
    }

    /// Whether people who use it read feet and inches.
    #[must_use]
    pub const fn is_imperial(self) -> bool {
        matches!(self, Self::Inch | Self::Foot)
    }
}
