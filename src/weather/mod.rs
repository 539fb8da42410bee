//! The weather, hour by hour, and which hours are fit to work in.
//!
//! Comes in: the bytes of an hourly table as people have it, or monthly averages. Goes out: a [`Record`] of hours;
//! a [`Judgement`] that says of every hour what makes it unfit; the [`windows`] of fit hours and, where there is none,
//! what comes closest. Times are those of the clock on the wall: no time zone is known here, and no clock is asked.

mod air;
mod fit;
mod limits;
mod mistake;
mod monthly;
mod read;
mod reason;
mod record;
mod windows;

pub use air::dew_point;
pub use fit::{Fitness, Judgement, Unjudged, judge};
pub use limits::{Limits, Rule};
pub use mistake::Mistake;
pub use monthly::{Averages, Climate};
pub use read::{Columns, Fault, Readings, Remark, read};
pub use reason::Reason;
pub use record::{Basis, Gap, Hour, Record, SameHourTwice};
pub use windows::{NearestMiss, Window, nearest_miss, windows};
