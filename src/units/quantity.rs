//! Quantities beside lengths as people write them: a number and a unit, `750 ml`, `1 US gal`, `10 m2/L`,
//! `20 min`. Each kind has a type of its own, so that nothing is added or multiplied that has no business together.
//! Comes in: text. Goes out: the quantity, or what was mistaken and what to write instead.

use super::{Area, Length, LengthFault};

/// A kind of quantity: what it is called, how it is written, its units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dimension {
    /// What it is, with its article: `a volume`.
    pub what: &'static str,
    /// How it may be written, for messages.
    pub examples: &'static str,
    /// Every unit with what one of it is in the kind's base unit. The first spelling of each is the one suggested.
    pub units: &'static [(&'static str, f64)],
}

/// A quantity that is written as a number with a unit.
pub trait Quantity: Sized + Copy + PartialOrd {
    /// Its kind.
    const DIMENSION: Dimension;

    /// The quantity that is so many of its base unit.
    fn from_base(amount: f64) -> Self;

    /// How many of its base unit it is.
    fn to_base(self) -> f64;

    /// Reads a number with its unit.
    ///
    /// ```
    /// use spile::units::{Quantity, Volume};
    /// assert_eq!(Volume::parse("1.5 L"), Ok(Volume::litres(1.5)));
    /// assert!(Volume::parse("1.5 m").is_err());
    /// ```
    ///
    /// # Errors
    /// What is no number, which unit is not known, what to write instead.
    fn parse(text: &str) -> Result<Self, LengthFault> {
        number_of(text, &Self::DIMENSION).map(Self::from_base)
    }
}

/// A film's thickness; the base unit is the millimetre.
impl Quantity for Length {
    const DIMENSION: Dimension = Dimension {
        what: "a film thickness",
        examples: "\"75 um\" or \"3 mil\"",
        units: &[
            ("um", 1e-3),
            ("µm", 1e-3),
            ("μm", 1e-3),
            ("micron", 1e-3),
            ("microns", 1e-3),
            ("mm", 1.0),
            ("mil", 0.0254),
            ("mils", 0.0254),
        ],
    };

    fn from_base(amount: f64) -> Self {
        Self::mm(amount)
    }

    fn to_base(self) -> f64 {
        self.to_mm()
    }
}

/// The base unit is the square millimetre.
impl Quantity for Area {
    const DIMENSION: Dimension = Dimension {
        what: "an area",
        examples: "\"1.5 m2\" or \"16 ft2\"",
        units: &[("m2", 1e6), ("ft2", 304.8 * 304.8)],
    };

    fn from_base(amount: f64) -> Self {
        Self::mm2(amount)
    }

    fn to_base(self) -> f64 {
        self.to_mm2()
    }
}

/// How many of the base unit a text says.
fn number_of(text: &str, dimension: &Dimension) -> Result<f64, LengthFault> {
    let Dimension {
        what,
        examples,
        units,
    } = dimension;
    let form = || format!("write for example {examples}");
    let text = text.trim();
    let end = text
        .find(|sign: char| !(sign.is_ascii_digit() || matches!(sign, '.' | '-' | '+' | ',')))
        .unwrap_or(text.len());
    let (digits, unit) = text.split_at(end);
    let unit = unit.trim();
    if digits.contains(',') {
        return Err(LengthFault {
            problem: "a comma in a number".into(),
            advice: format!("write a decimal point; {}", form()),
        });
    }
    let number: f64 = digits.parse().map_err(|_| LengthFault {
        problem: if digits.is_empty() {
            "no number at its beginning".into()
        } else {
            format!("`{digits}` is not a number")
        },
        advice: form(),
    })?;
    if unit.is_empty() {
        return Err(LengthFault {
            problem: "no unit after the number".into(),
            advice: form(),
        });
    }
    let plain = plain(unit);
    let Some((_, factor)) = units.iter().find(|(name, _)| self::plain(name) == plain) else {
        return Err(LengthFault {
            problem: format!("`{}` is not a unit of {what}", unit.escape_debug()),
            advice: form(),
        });
    };
    let amount = number * factor;
    if amount.is_finite() {
        Ok(amount)
    } else {
        Err(LengthFault {
            problem: format!("too large to be {what}"),
            advice: form(),
        })
    }
}

/// A unit without what people write differently: case, spaces, raised figures.
fn plain(unit: &str) -> String {
    unit.chars()
        .filter(|sign| !sign.is_whitespace())
        .flat_map(char::to_lowercase)
        .map(|sign| match sign {
            '²' => '2',
            '³' => '3',
            sign => sign,
        })
        .collect()
}

/// Declares a quantity that hides its number, with what can be done among its own kind.
macro_rules! quantity {
    ($(#[$meta:meta])* $name:ident, $make:ident, $read:ident, $unit:literal, $dimension:expr) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// None of it.
            pub const ZERO: Self = Self(0.0);

            #[doc = concat!("So many ", $unit, ".")]
            #[must_use]
            pub const fn $make(amount: f64) -> Self {
                Self(amount)
            }

            #[doc = concat!("How many ", $unit, " it is.")]
            #[must_use]
            pub const fn $read(self) -> f64 {
                self.0
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

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::ops::Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                all.fold(Self::ZERO, std::ops::Add::add)
            }
        }

        impl $crate::units::Quantity for $name {
            const DIMENSION: $crate::units::Dimension = $dimension;

            fn from_base(amount: f64) -> Self {
                Self(amount)
            }

            fn to_base(self) -> f64 {
                self.0
            }
        }
    };
}

pub(super) use quantity;

#[cfg(test)]
mod tests {
    use super::super::{AreaPace, Mass, SpreadingRate, Time, Volume};
    use super::*;

    #[test]
    fn a_unit_is_read_however_it_is_written() {
        for text in ["10 m2/L", "10 m²/l", "10m² / L"] {
            assert_eq!(
                SpreadingRate::parse(text),
                Ok(SpreadingRate::square_metres_per_litre(10.0)),
                "{text}"
            );
        }
        assert_eq!(Volume::parse("1 US gal"), Volume::parse("1gal"));
        assert_eq!(Length::parse("5 mil"), Ok(Length::mm(5.0 * 0.0254)));
        assert_eq!(Time::parse("90 min"), Time::parse("1.5 h"));
        assert_eq!(Mass::parse("1 kg"), Ok(Mass::grams(1000.0)));
        assert!(AreaPace::parse("9 m2/h").is_ok());
    }

    #[test]
    fn a_mistake_is_named_with_what_to_write() {
        for (text, problem) in [
            ("1,5 L", "a comma in a number"),
            ("1.5", "no unit after the number"),
            ("L", "no number at its beginning"),
            ("1.5 m", "`m` is not a unit of a volume"),
            ("1.5.2 L", "`1.5.2` is not a number"),
            ("", "no number at its beginning"),
        ] {
            let fault = Volume::parse(text).expect_err(text);
            assert_eq!(fault.problem, problem);
            assert!(fault.advice.contains("750 ml"), "{}", fault.advice);
        }
    }
}
