//! The size of a deck as it is said on the command line.

use clap::ValueEnum;

use super::{Status, Stop};
use crate::units::{Length, LengthUnit, parse_length};

/// No deck is longer than a kilometre.
const MOST: Length = Length::mm(1e6);

/// A unit as a layout names it.
#[derive(Clone, Copy, ValueEnum)]
pub(super) enum Units {
    Mm,
    Cm,
    M,
    In,
    Ft,
}

impl Units {
    pub(super) const fn unit(self) -> LengthUnit {
        match self {
            Self::Mm => LengthUnit::Millimetre,
            Self::Cm => LengthUnit::Centimetre,
            Self::M => LengthUnit::Metre,
            Self::In => LengthUnit::Inch,
            Self::Ft => LengthUnit::Foot,
        }
    }
}

/// A length with its unit, or a bare number of `units`.
pub(super) fn length_of(option: &str, text: &str, units: LengthUnit) -> Result<Length, Stop> {
    let length = match text.trim().parse() {
        Ok(amount) => Length::of(amount, units),
        Err(_) => parse_length(text)
            .map_err(|fault| Status::Usage.with(format!("{option} {text}: {fault}")))?,
    };
    if length > Length::ZERO && length <= MOST {
        Ok(length)
    } else {
        Err(Status::Usage.with(format!(
            "{option} {text}: a deck cannot have that size; write for example \"3.4 m\" or \"11 ft 2 in\""
        )))
    }
}
