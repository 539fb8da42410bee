//! Whether the weather lets a coat be laid. Comes in: hours judged. Goes out: for a stretch of time whether all its hours are
//! fit, and if not, why. What lies before or behind the record nobody knows; it holds nothing up, and is said.

use jiff::civil::{DateTime, Time as Clock};
use jiff::{SignedDuration, ToSpan};

use super::calendar::Span;
use crate::units::Time;
use crate::weather::{Fitness, Judgement, Reason, nearest_miss};

/// The hours of a record, judged.
#[derive(Debug, Clone, Copy)]
pub struct FitHours<'a> {
    judgement: &'a Judgement,
}

/// What the weather says of a stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// All of it is fit.
    Fit,
    /// An hour of it is not, or is missing in the record.
    Unfit,
    /// A part of it lies outside of the record, and what lies in it is fit.
    Unknown,
}

impl<'a> FitHours<'a> {
    /// The hours of a judgement.
    #[must_use]
    pub const fn of(judgement: &'a Judgement) -> Self {
        Self { judgement }
    }

    /// What it says of a stretch.
    #[must_use]
    pub fn verdict(&self, span: Span) -> Verdict {
        let hours = &self.judgement.hours;
        let (Some(first), Some(last)) = (hours.first(), hours.last()) else {
            return Verdict::Unknown;
        };
        let mut verdict = Verdict::Fit;
        let mut at = full_hour(span.from);
        while at < span.to {
            if at < first.hour.start || at > last.hour.start {
                verdict = Verdict::Unknown;
            } else if !self.at(at).is_some_and(Fitness::is_fit) {
                return Verdict::Unfit;
            }
            at = at.saturating_add(1.hour());
        }
        verdict
    }

    /// What stood in the way in these stretches, in their hours that come closest to so much work: the worst of each rule.
    #[must_use]
    pub fn lacked(&self, stretches: &[Span], work: SignedDuration) -> Vec<Reason> {
        let within = |one: &&Fitness| {
            let start = one.hour.start;
            let mut stretches = stretches.iter();
            stretches.any(|span| full_hour(span.from) <= start && start < span.to)
        };
        let hours = self.judgement.hours.iter().filter(within);
        let least = Time::hours(work.as_secs() as f64 / 3600.0);
        nearest_miss(hours, least).map_or_else(Vec::new, |miss| miss.lacks())
    }

    fn at(&self, start: DateTime) -> Option<&'a Fitness> {
        let hours = &self.judgement.hours;
        let found = hours.binary_search_by(|one| one.hour.start.cmp(&start));
        found.ok().map(|index| &hours[index])
    }
}

/// The hour that a moment lies in.
pub(super) fn full_hour(at: DateTime) -> DateTime {
    let hour = Clock::new(at.hour(), 0, 0, 0).unwrap_or(Clock::midnight());
    at.date().to_datetime(hour)
}
