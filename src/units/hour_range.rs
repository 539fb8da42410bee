//! Hours of work that nobody knows exactly: a low, a likely and a high figure that travel together, so that none of them
//! is ever given alone.

use std::iter::Sum;
use std::ops::{Add, Mul};

use super::Time;

/// Person-hours of a task: between `low` and `high`, most likely `likely`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HourRange {
    /// When all goes well.
    pub low: Time,
    /// As it usually goes.
    pub likely: Time,
    /// When much goes wrong.
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

    /// The same done to all three.
    #[must_use]
    pub fn each(self, done: impl Fn(Time) -> Time) -> Self {
        Self {
            low: done(self.low),
            likely: done(self.likely),
            high: done(self.high),
        }
    }

    /// `3 h to 5 h, likely 4 h`.
    #[must_use]
    pub fn show(self) -> String {
        format!(
            "{} to {}, likely {}",
            self.low.show(),
            self.high.show(),
            self.likely.show()
        )
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
        self.each(|time| time * factor)
    }
}

impl Sum for HourRange {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Add::add)
    }
}
