//! Sheets, scales, and the sizes of text and line that go with them.
//! Sheet sizes: ISO 216 and ASME Y14.1; frame: ISO 5457; text: ISO 3098; lines: ISO 128; scales: ISO 5455.
//! All figures here are quoted from memory of those standards.

use std::fmt;

use crate::units::LengthUnit;

/// A sheet of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 × 297 mm.
    A4,
    /// 297 × 420 mm.
    #[default]
    A3,
    /// 420 × 594 mm.
    A2,
    /// 594 × 841 mm.
    A1,
    /// 841 × 1189 mm.
    A0,
    /// 8½ × 11 in.
    Letter,
    /// 11 × 17 in.
    Tabloid,
    /// 17 × 22 in.
    AnsiC,
    /// 22 × 34 in.
    AnsiD,
    /// 34 × 44 in.
    AnsiE,
}

impl Paper {
    /// The sheet that a printer at home takes: A4, or Letter where lengths are in feet and inches.
    #[must_use]
    pub const fn at_home(units: LengthUnit) -> Self {
        if units.is_imperial() {
            Self::Letter
        } else {
            Self::A4
        }
    }

    /// All sheets.
    pub const ALL: [Self; 10] = [
        Self::A4,
        Self::A3,
        Self::A2,
        Self::A1,
        Self::A0,
        Self::Letter,
        Self::Tabloid,
        Self::AnsiC,
        Self::AnsiD,
        Self::AnsiE,
    ];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::A2 => "A2",
            Self::A1 => "A1",
            Self::A0 => "A0",
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
            Self::AnsiC => "ANSI C",
            Self::AnsiD => "ANSI D",
            Self::AnsiE => "ANSI E",
        }
    }

    /// The sheet called `name`, whatever its case, spaces and hyphens.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let plain = |text: &str| -> String {
            text.chars()
                .filter(|character| character.is_alphanumeric())
                .flat_map(char::to_lowercase)
                .collect()
        };
        Self::ALL
            .into_iter()
            .find(|paper| plain(paper.name()) == plain(name))
    }

    /// Its shorter side, millimetres.
    #[must_use]
    pub const fn short_side(self) -> f64 {
        match self {
            Self::A4 => 210.0,
            Self::A3 => 297.0,
            Self::A2 => 420.0,
            Self::A1 => 594.0,
            Self::A0 => 841.0,
            Self::Letter => 215.9,
            Self::Tabloid => 279.4,
            Self::AnsiC => 431.8,
            Self::AnsiD => 558.8,
            Self::AnsiE => 863.6,
        }
    }

    /// Its longer side, millimetres.
    #[must_use]
    pub const fn long_side(self) -> f64 {
        match self {
            Self::A4 => 297.0,
            Self::A3 => 420.0,
            Self::A2 => 594.0,
            Self::A1 => 841.0,
            Self::A0 => 1189.0,
            Self::Letter => 279.4,
            Self::Tabloid => 431.8,
            Self::AnsiC => 558.8,
            Self::AnsiD => 863.6,
            Self::AnsiE => 1117.6,
        }
    }
}

impl fmt::Display for Paper {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

/// How much smaller than the deck the drawing is: 1 on the sheet for this many on the deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Scale(u32);

impl Scale {
    /// As large as the thing itself.
    pub const FULL: Self = Self(1);

    /// 1 to `divisor`; none for 1 to 0.
    #[must_use]
    pub const fn one_to(divisor: u32) -> Option<Self> {
        if divisor == 0 {
            None
        } else {
            Some(Self(divisor))
        }
    }

    /// The standard scales, the largest drawing first.
    #[must_use]
    pub const fn standard(imperial: bool) -> &'static [Self] {
        if imperial {
            &[
                Self(1),
                Self(4),
                Self(8),
                Self(12),
                Self(16),
                Self(24),
                Self(48),
                Self(96),
                Self(192),
                Self(384),
                Self(960),
                Self(1920),
                Self(4800),
            ]
        } else {
            &[
                Self(1),
                Self(2),
                Self(5),
                Self(10),
                Self(20),
                Self(50),
                Self(100),
                Self(200),
                Self(500),
                Self(1000),
                Self(2000),
                Self(5000),
                Self(10_000),
            ]
        }
    }

    /// Millimetres on the deck for one on the sheet.
    #[must_use]
    pub fn divisor(self) -> f64 {
        f64::from(self.0)
    }
}

impl fmt::Display for Scale {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "1:{}", self.0)
    }
}

/// The sizes of text and line that a sheet is drawn with, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Style {
    /// Captions, legend and cautions.
    pub(super) small: f64,
    /// Notes and labels.
    pub(super) note: f64,
    /// Figures of overall dimensions.
    pub(super) figure: f64,
    /// Titles.
    pub(super) title: f64,
    /// The deck's edge.
    pub(super) thick: f64,
    /// Everything else.
    pub(super) thin: f64,
    /// Hatches.
    pub(super) hatch: f64,
    /// The frame.
    pub(super) frame: f64,
    /// Distance between hatch lines.
    pub(super) hatch_step: f64,
    /// Length of an arrowhead.
    pub(super) arrow: f64,
}

impl Style {
    pub(super) fn of(paper: Paper) -> Self {
        let side = paper.short_side();
        let step = side > 400.0;
        let heavy = side > 500.0;
        Self {
            small: if step { 2.5 } else { 1.8 },
            note: if step { 3.5 } else { 2.5 },
            figure: if step { 5.0 } else { 3.5 },
            title: if step { 7.0 } else { 5.0 },
            thick: if heavy { 0.7 } else { 0.5 },
            thin: if heavy { 0.35 } else { 0.25 },
            hatch: 0.18,
            frame: 0.7,
            hatch_step: if step { 2.8 } else { 2.0 },
            arrow: if step { 3.5 } else { 2.5 },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_is_found_by_its_name_however_written() {
        for paper in Paper::ALL {
            assert_eq!(Paper::named(paper.name()), Some(paper));
        }
        assert_eq!(Paper::named("ansi-d"), Some(Paper::AnsiD));
        assert_eq!(Paper::named("B4"), None);
    }
}
