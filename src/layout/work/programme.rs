//! When the work is done: from which day or by which, in which hours, which days not; how long tape may stay.

use jiff::civil::{Date, Time as Clock, Weekday};

use super::{COMMON_PRACTICE, FROM_MEMORY, Setting};
use crate::layout::Placed;
use crate::units::Time;

/// When the work is done.
#[derive(Debug, Clone, PartialEq)]
pub struct ProgrammeSettings {
    /// The first day of work, or the day that all must be ready by; none where the layout does not say.
    pub from: Option<Bound>,
    /// When a working day begins.
    pub day_begins: Setting<Clock>,
    /// Days of the week on which nobody works.
    pub days_off: Setting<Vec<Weekday>>,
    /// Days on which the yard is closed.
    pub closed: Vec<Closed>,
    /// How long tape may stay, laid to taken off.
    pub tape_dwell: Setting<Time>,
    /// When tape comes off.
    pub unmask: Setting<UnmaskWhen>,
    /// Whether a test patch comes first.
    pub test_patch: Setting<bool>,
    /// By how many degrees Celsius warmer drying takes half as long.
    pub drying_halves: Setting<f64>,
    /// The time zone of its hours, by its name in the IANA database.
    pub zone: Option<Placed<String>>,
}

/// What a programme is counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// Forward from this day.
    Start(Date),
    /// Backward from this day, on which all is cured.
    Ready(Date),
}

/// Days on which the yard is closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Closed {
    /// The first.
    pub from: Date,
    /// The last.
    pub to: Date,
}

/// When tape comes off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnmaskWhen {
    /// As soon as the last coat is laid.
    Wet,
    /// When it is dry to touch, before it is hard.
    Tacky,
    /// When it is dry enough to be taped.
    Dry,
}

impl Default for ProgrammeSettings {
    fn default() -> Self {
        Self {
            from: None,
            day_begins: Setting::default(Clock::constant(8, 0, 0, 0), COMMON_PRACTICE),
            days_off: Setting::default(vec![Weekday::Sunday], COMMON_PRACTICE),
            closed: Vec::new(),
            tape_dwell: Setting::default(
                Time::hours(7.0 * 24.0),
                "the shorter of the usual ratings of 7 and 14 days; the roll says its own",
            ),
            unmask: Setting::default(
                UnmaskWhen::Tacky,
                "sources conflict; tacky, before it is hard",
            ),
            test_patch: Setting::default(true, COMMON_PRACTICE),
            drying_halves: Setting::default(10.0, FROM_MEMORY),
            zone: None,
        }
    }
}
