//! The hours in which somebody works. Comes in: when a day begins, how long it is, which days are free or closed. Goes out:
//! stretches of time for so much work. Hours are those of the place, without a zone.

use jiff::civil::{Date, DateTime, Time as Clock, Weekday};
use jiff::{SignedDuration, ToSpan};

use super::fit_hours::full_hour;
use crate::layout::{Closed, JobSettings, ProgrammeSettings};
use crate::units::Time;

/// Days that are looked through for one that is open: more than two years closed is never.
const MOST_DAYS: usize = 800;
/// How long fit hours are waited for.
const PATIENCE: SignedDuration = SignedDuration::from_hours(24 * 800);
/// Work is planned by so many minutes.
const STEP: i64 = 5;

/// A stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// Its begin.
    pub from: DateTime,
    /// Its end.
    pub to: DateTime,
}

impl Span {
    /// How long it is.
    #[must_use]
    pub fn length(&self) -> SignedDuration {
        self.to.duration_since(self.from)
    }
}

/// The hours in which somebody works.
#[derive(Debug, Clone, PartialEq)]
pub struct Calendar {
    begins: Clock,
    day: SignedDuration,
    days_off: Vec<Weekday>,
    closed: Vec<Closed>,
}

/// A time of work or of waiting, up to the next whole minutes of the plan.
#[must_use]
pub fn minutes(time: Time) -> SignedDuration {
    let steps = time.to_hours() * 60.0 / STEP as f64;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the cast saturates on more than any job takes"
    )]
    let steps = (steps - 1e-9).ceil().max(0.0) as i64;
    SignedDuration::from_mins(steps.saturating_mul(STEP).min(100 * 366 * 24 * 60))
}

impl Calendar {
    /// The calendar of a job.
    #[must_use]
    pub fn of(programme: &ProgrammeSettings, job: &JobSettings) -> Self {
        let begins = programme.day_begins.value;
        // A day ends by midnight.
        let left = SignedDuration::from_hours(24)
            - SignedDuration::from_mins(i64::from(begins.hour()) * 60 + i64::from(begins.minute()));
        Self {
            begins,
            day: minutes(job.hours_a_day.value).min(left),
            days_off: programme.days_off.value.clone(),
            closed: programme.closed.clone(),
        }
    }

    /// Whether somebody works on a day.
    #[must_use]
    pub fn is_open(&self, date: Date) -> bool {
        let is_closed = |closed: &Closed| (closed.from..=closed.to).contains(&date);
        !self.days_off.contains(&date.weekday()) && !self.closed.iter().any(is_closed)
    }

    /// The first stretch of work that lies at or behind a moment, from that moment on; none where it stays closed.
    #[must_use]
    pub fn next(&self, from: DateTime) -> Option<Span> {
        let mut date = from.date();
        for _ in 0..MOST_DAYS {
            if self.is_open(date) {
                let begin = date.to_datetime(self.begins);
                let end = begin.saturating_add(self.day);
                let begin = begin.max(from);
                if begin < end {
                    return Some(Span {
                        from: begin,
                        to: end,
                    });
                }
            }
            date = date.tomorrow().ok()?;
        }
        None
    }

    /// So much work, which may be broken off at the end of a day.
    #[must_use]
    pub fn fill(&self, from: DateTime, work: SignedDuration) -> Option<Vec<Span>> {
        let mut left = work;
        let mut spans = Vec::new();
        let mut at = from;
        while left > SignedDuration::ZERO {
            let open = self.next(at)?;
            let taken = left.min(open.length());
            let to = open.from.saturating_add(taken);
            spans.push(Span {
                from: open.from,
                to,
            });
            left -= taken;
            at = to;
        }
        Some(spans)
    }

    /// So much work in one go, in the first hours that have room for it and where `may` lets it; a day's whole length where
    /// it takes longer than that.
    #[must_use]
    pub fn whole(
        &self,
        from: DateTime,
        work: SignedDuration,
        may: impl Fn(Span) -> bool,
    ) -> Option<Span> {
        let mut at = from;
        loop {
            let open = self.next(at)?;
            let work = work.min(self.day);
            // At once, or with the next full hour: weather is known by the hour.
            let mut begin = open.from;
            while begin.saturating_add(work) <= open.to {
                let span = Span {
                    from: begin,
                    to: begin.saturating_add(work),
                };
                if may(span) {
                    return Some(span);
                }
                begin = full_hour(begin).saturating_add(1.hour());
            }
            at = open.to;
            if at.duration_since(from) > PATIENCE {
                return None;
            }
        }
    }

    /// The longest that can be worked in one go.
    #[must_use]
    pub const fn day(&self) -> SignedDuration {
        self.day
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, time};

    fn calendar() -> Calendar {
        Calendar {
            begins: time(8, 0, 0, 0),
            day: SignedDuration::from_hours(7),
            days_off: vec![Weekday::Sunday],
            closed: vec![Closed {
                from: date(2027, 5, 13),
                to: date(2027, 5, 14),
            }],
        }
    }

    #[test]
    fn work_stops_at_the_end_of_the_day_and_goes_on_where_the_yard_is_open() {
        // Wednesday noon: three hours are left; Thursday and Friday closed, Saturday open, Sunday free.
        let spans = calendar()
            .fill(
                date(2027, 5, 12).at(12, 0, 0, 0),
                SignedDuration::from_hours(11),
            )
            .expect("it is open again");
        let days: Vec<(Date, i64)> = spans
            .iter()
            .map(|span| (span.from.date(), span.length().as_hours()))
            .collect();
        assert_eq!(
            days,
            [
                (date(2027, 5, 12), 3),
                (date(2027, 5, 15), 7),
                (date(2027, 5, 17), 1)
            ]
        );
    }

    #[test]
    fn what_is_done_in_one_go_waits_for_a_day_with_room() {
        let three = SignedDuration::from_hours(3);
        let late = date(2027, 5, 10).at(12, 30, 0, 0);
        let span = calendar().whole(late, three, |_| true).expect("a day");
        assert_eq!(span.from, date(2027, 5, 11).at(8, 0, 0, 0));
        let span = calendar().whole(date(2027, 5, 10).at(12, 0, 0, 0), three, |_| true);
        assert_eq!(span.expect("a day").from.hour(), 12);
    }

    #[test]
    fn a_yard_closed_for_years_opens_for_nobody() {
        let shut = Calendar {
            closed: vec![Closed {
                from: date(2027, 1, 1),
                to: date(2199, 1, 1),
            }],
            ..calendar()
        };
        let from = date(2027, 5, 10).at(8, 0, 0, 0);
        assert_eq!(shut.next(from), None);
        assert_eq!(shut.fill(from, SignedDuration::from_hours(1)), None);
    }
}
