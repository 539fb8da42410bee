//! Hours of work as nobody knows them better: few, likely, many.

use std::iter::Sum;
use std::ops::{Add, Mul};

use super::Time;

/// Person-hours. Ranges are added as if a slow day were slow at everything, so that a sum's ends are the outermost.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HourRange {
    /// On good days.
    pub low: Time,
    /// As a rule.
    pub likely: Time,
    /// On bad days.
    pub high: Time,
}

impl HourRange {
    /// None.
    pub const ZERO: Self = Self {
        low: Time::ZERO,
        likely: Time::ZERO,
        high: Time::ZERO,
    };

    /// The mean of the three-point estimate, (low + 4 likely + high) / 6 (Malcolm, Roseboom, Clark, Fazar,
    /// "Application of a Technique for Research and Development Program Evaluation", Operations Research 7, 1959;
    /// from memory).
    #[must_use]
    pub fn mean(self) -> Time {
        (self.low + self.likely * 4.0 + self.high) / 6.0
    }
}

impl Add for HourRange {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            low: self.low + other.low,
            likely: self.likely + other.likely,
            high: self.high + other.high,
        }
    }
}

impl Mul<f64> for HourRange {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self {
            low: self.low * factor,
            likely: self.likely * factor,
            high: self.high * factor,
        }
    }
}

impl Sum for HourRange {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}
