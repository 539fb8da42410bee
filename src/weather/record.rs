//! What the weather was, or will be, hour by hour. Comes in: hours in any order; goes out: a record in the order of
//! time in which none stands twice and every gap is known.

use std::fmt;

use jiff::ToSpan;
use jiff::civil::DateTime;

use super::air::dew_point;
use crate::units::{Rain, Share, Speed, Temperature, TemperatureDifference};

/// The weather of one hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// When it begins, by the clock on the wall.
    pub start: DateTime,
    /// The air's temperature.
    pub air: Temperature,
    /// Its relative humidity.
    pub humidity: Share,
    /// The dew point, where an instrument gave it.
    pub measured_dew_point: Option<Temperature>,
    /// How warm the surface to be worked on is, where it was measured.
    pub surface: Option<Temperature>,
    /// What fell in this hour; none where nobody knows.
    pub rain: Option<Rain>,
    /// Its mean wind; none where nobody knows.
    pub wind: Option<Speed>,
}

impl Hour {
    /// An hour of which only the air is known.
    #[must_use]
    pub const fn of_air(start: DateTime, air: Temperature, humidity: Share) -> Self {
        Self {
            start,
            air,
            humidity,
            measured_dew_point: None,
            surface: None,
            rain: None,
            wind: None,
        }
    }

    /// The dew point as measured, else as worked out from the air.
    #[must_use]
    pub fn dew_point(&self) -> Temperature {
        self.measured_dew_point
            .unwrap_or_else(|| dew_point(self.air, self.humidity))
    }

    /// How far the surface lies over the dew point. Where nobody measured the surface it counts as warm as the air.
    #[must_use]
    pub fn spread(&self) -> TemperatureDifference {
        self.surface.unwrap_or(self.air) - self.dew_point()
    }
}

/// What a record's hours are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Measured or forecast for these very days.
    Given,
    /// Typical of the time of year: no day need be like it.
    Typical,
}

/// Hours in the order of time, no two the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    hours: Vec<Hour>,
    basis: Basis,
}

/// An hour that was given twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SameHourTwice(
    /// When it begins.
    pub DateTime,
);

impl fmt::Display for SameHourTwice {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "the hour of {} is given twice", clock(self.0))
    }
}

impl std::error::Error for SameHourTwice {}

/// Hours that a record does not have between those it has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// The first that is missing.
    pub from: DateTime,
    /// The first that is there again.
    pub to: DateTime,
}

impl Gap {
    /// How many are missing.
    #[must_use]
    pub fn hours(self) -> i64 {
        hours_between(self.from, self.to)
    }
}

impl fmt::Display for Gap {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let many = if self.hours() == 1 { "hour" } else { "hours" };
        write!(
            formatter,
            "nothing is known from {} to {} ({} {many})",
            clock(self.from),
            clock(self.to),
            self.hours()
        )
    }
}

impl Record {
    /// Puts hours in order.
    ///
    /// # Errors
    /// Where one is given twice.
    pub fn of(mut hours: Vec<Hour>, basis: Basis) -> Result<Self, SameHourTwice> {
        hours.sort_by_key(|hour| hour.start);
        let twice = hours
            .windows(2)
            .find(|pair| pair[0].start == pair[1].start)
            .map(|pair| SameHourTwice(pair[0].start));
        twice.map_or(Ok(Self { hours, basis }), Err)
    }

    /// A record of no hour.
    #[must_use]
    pub const fn none(basis: Basis) -> Self {
        Self {
            hours: Vec::new(),
            basis,
        }
    }

    /// Hours that stand in order already, none of them twice.
    pub(super) const fn in_order(hours: Vec<Hour>, basis: Basis) -> Self {
        Self { hours, basis }
    }

    /// The hours, in the order of time.
    #[must_use]
    pub fn hours(&self) -> &[Hour] {
        &self.hours
    }

    /// Whether they are of these days or of the time of year.
    #[must_use]
    pub const fn basis(&self) -> Basis {
        self.basis
    }

    /// What is missing in between.
    pub fn gaps(&self) -> impl Iterator<Item = Gap> {
        self.hours.windows(2).filter_map(|pair| {
            let from = next_hour(pair[0].start);
            let to = pair[1].start;
            (from < to).then_some(Gap { from, to })
        })
    }
}

/// The hour after the one that begins here.
pub(super) fn next_hour(start: DateTime) -> DateTime {
    start.saturating_add(1.hour())
}

/// Whole hours from one time to another.
pub(super) fn hours_between(from: DateTime, to: DateTime) -> i64 {
    to.duration_since(from).as_hours()
}

/// A time as people read it: `2026-05-12 10:00`.
pub(super) fn clock(time: DateTime) -> String {
    time.strftime("%Y-%m-%d %H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn hour(day: i8, at: i8) -> Hour {
        let start = date(2026, 5, day).at(at, 0, 0, 0);
        Hour::of_air(start, Temperature::celsius(18.0), Share::per_cent(60.0))
    }

    #[test]
    fn hours_stand_in_order_and_gaps_are_known() {
        let record = Record::of(vec![hour(2, 1), hour(1, 22), hour(1, 23)], Basis::Given);
        let record = record.expect("none stands twice");
        let starts: Vec<String> = record.hours().iter().map(|one| clock(one.start)).collect();
        assert_eq!(
            starts,
            ["2026-05-01 22:00", "2026-05-01 23:00", "2026-05-02 01:00"]
        );
        let gaps: Vec<String> = record.gaps().map(|gap| gap.to_string()).collect();
        assert_eq!(
            gaps,
            ["nothing is known from 2026-05-02 00:00 to 2026-05-02 01:00 (1 hour)"]
        );
    }

    #[test]
    fn an_hour_cannot_stand_twice() {
        let twice = Record::of(vec![hour(1, 8), hour(1, 9), hour(1, 8)], Basis::Given);
        assert_eq!(twice, Err(SameHourTwice(hour(1, 8).start)));
    }

    #[test]
    fn what_was_measured_is_taken_before_what_is_worked_out() {
        let mut hour = hour(1, 8);
        assert!((hour.dew_point().to_celsius() - 10.1).abs() < 0.1);
        hour.measured_dew_point = Some(Temperature::celsius(9.0));
        hour.surface = Some(Temperature::celsius(11.5));
        assert_eq!(hour.spread(), TemperatureDifference::kelvins(2.5));
    }
}
