//! Unbroken runs of fit hours. Comes in: judged hours in the order of time, all of a record or those of the working day;
//! goes out: the windows that are long enough, and where there is none, the run of hours that comes closest.

use std::fmt;

use jiff::civil::DateTime;

use super::fit::{Fitness, whole_hours};
use super::reason::Reason;
use super::record::{clock, next_hour};
use crate::units::Time;

/// From the start of its first hour to the end of its last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// When it opens.
    pub start: DateTime,
    /// When it closes.
    pub end: DateTime,
}

impl Window {
    /// How long it is.
    #[must_use]
    pub fn length(self) -> Time {
        whole_hours(self.start, self.end)
    }

    fn of(run: &[&Fitness]) -> Option<Self> {
        let (first, last) = (run.first()?, run.last()?);
        Some(Self {
            start: first.hour.start,
            end: next_hour(last.hour.start),
        })
    }
}

/// `2026-05-12 10:00 to 14:00`.
impl fmt::Display for Window {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let end = if self.end.date() == self.start.date() {
            self.end.strftime("%H:%M").to_string()
        } else {
            clock(self.end)
        };
        write!(formatter, "{} to {end}", clock(self.start))
    }
}

/// Every run of fit hours that is at least so long.
#[must_use]
pub fn windows<'a>(hours: impl IntoIterator<Item = &'a Fitness>, least: Time) -> Vec<Window> {
    runs(hours.into_iter().filter(|one| one.is_fit()))
        .iter()
        .filter_map(|run| Window::of(run))
        .filter(|window| window.length() >= least)
        .collect()
}

/// Hours in a row that come closest to being a window.
#[derive(Debug, Clone, PartialEq)]
pub struct NearestMiss {
    /// They.
    pub window: Window,
    /// Those of them that are not fit.
    pub unfit: Vec<Fitness>,
}

impl NearestMiss {
    /// What they lack: the worst of each rule, in the rules' order.
    #[must_use]
    pub fn lacks(&self) -> Vec<Reason> {
        let mut worst: Vec<Reason> = Vec::new();
        for reason in self.unfit.iter().flat_map(|one| &one.reasons) {
            match worst.iter_mut().find(|one| one.rule() == reason.rule()) {
                Some(known) if known.shortfall() < reason.shortfall() => *known = *reason,
                Some(_) => {}
                None => worst.push(*reason),
            }
        }
        worst.sort_by_key(Reason::rule);
        worst
    }
}

/// How far hours are from being a window, to be added up over them.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
struct Miss {
    unfit: usize,
    reasons: usize,
    shortfall: f64,
}

/// The run of as many hours as `least` takes with the fewest unfit ones; of several, the one with the fewest limits
/// broken, then by the least; then the earliest. None where no hours stand in a row for so long.
#[must_use]
pub fn nearest_miss<'a>(
    hours: impl IntoIterator<Item = &'a Fitness>,
    least: Time,
) -> Option<NearestMiss> {
    let runs = runs(hours.into_iter());
    let all = runs.iter().flat_map(|run| {
        let long = (1..=run.len()).find(|long| Time::hours(*long as f64) >= least);
        run.windows(long.unwrap_or(run.len() + 1))
    });
    let mut best: Option<(Miss, &[&Fitness])> = None;
    for stretch in all {
        let miss = miss_of(stretch, best.map(|(miss, _)| miss));
        if best.is_none_or(|(known, _)| miss < known) {
            best = Some((miss, stretch));
        }
    }
    let (_, stretch) = best?;
    let unfit = stretch.iter().filter(|one| !one.is_fit());
    Some(NearestMiss {
        window: Window::of(stretch)?,
        unfit: unfit.map(|one| (*one).clone()).collect(),
    })
}

/// How far these hours are off; no further than it takes to be beyond what is known.
fn miss_of(stretch: &[&Fitness], known: Option<Miss>) -> Miss {
    let mut miss = Miss::default();
    for one in stretch {
        miss.unfit += usize::from(!one.is_fit());
        miss.reasons += one.reasons.len();
        miss.shortfall += one.reasons.iter().map(Reason::shortfall).sum::<f64>();
        if known.is_some_and(|known| miss.unfit > known.unfit) {
            break;
        }
    }
    miss
}

/// Hours that follow one another without a gap.
fn runs<'a>(hours: impl Iterator<Item = &'a Fitness>) -> Vec<Vec<&'a Fitness>> {
    let mut runs: Vec<Vec<&Fitness>> = Vec::new();
    for one in hours {
        match runs.last_mut() {
            Some(run)
                if run
                    .last()
                    .is_some_and(|last| next_hour(last.hour.start) == one.hour.start) =>
            {
                run.push(one);
            }
            _ => runs.push(vec![one]),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::super::{Basis, Hour, Judgement, Limits, Record, Rule, judge};
    use super::*;
    use crate::units::{LengthUnit, Share, Temperature};
    use jiff::ToSpan;
    use jiff::civil::date;

    /// Hours from six in the morning on, of 20 °C and these humidities.
    fn day(humidities: &[f64]) -> Judgement {
        let first = date(2026, 5, 12).at(6, 0, 0, 0);
        let hours = humidities.iter().zip(0_i64..).map(|(humidity, at)| {
            Hour::of_air(
                first.saturating_add(at.hours()),
                Temperature::celsius(20.0),
                Share::per_cent(*humidity),
            )
        });
        let record = Record::of(hours.collect(), Basis::Given).expect("no hour stands twice");
        judge(&record, &Limits::default())
    }

    #[test]
    fn a_window_is_an_unbroken_run_that_is_long_enough() {
        let judged = day(&[90.0, 70.0, 70.0, 90.0, 70.0, 70.0, 70.0, 90.0, 70.0]);
        let found = windows(&judged.hours, Time::hours(2.0));
        let said: Vec<String> = found.iter().map(Window::to_string).collect();
        assert_eq!(
            said,
            ["2026-05-12 07:00 to 09:00", "2026-05-12 10:00 to 13:00"]
        );
        assert_eq!(windows(&judged.hours, Time::hours(2.5)), found[1..]);
        assert_eq!(windows(&judged.hours, Time::hours(3.5)), []);
    }

    #[test]
    fn a_gap_ends_a_window() {
        let mut judged = day(&[70.0; 5]);
        judged.hours.remove(2);
        let found = windows(&judged.hours, Time::hours(1.0));
        assert_eq!(found.len(), 2);
        assert!(
            found
                .iter()
                .all(|window| window.length() == Time::hours(2.0))
        );
    }

    #[test]
    fn the_nearest_miss_has_the_fewest_unfit_hours_and_says_what_they_lack() {
        let judged = day(&[95.0, 95.0, 70.0, 88.0, 70.0, 86.0, 70.0, 95.0]);
        assert_eq!(windows(&judged.hours, Time::hours(3.0)), []);
        let miss = nearest_miss(&judged.hours, Time::hours(3.0)).expect("hours enough");
        assert_eq!(miss.window.to_string(), "2026-05-12 10:00 to 13:00");
        assert_eq!(miss.unfit.len(), 1);
        let lacks: Vec<String> = miss
            .lacks()
            .iter()
            .map(|reason| reason.show(LengthUnit::Millimetre))
            .collect();
        assert_eq!(
            lacks,
            [
                "too near the dew point: 2.4 °C over it, 3 °C wanted",
                "too damp: 86 % humidity, 85 % at most"
            ]
        );
        assert_eq!(
            miss.lacks()[0].rule(),
            Rule::Spread,
            "in the order of the rules"
        );
        assert_eq!(nearest_miss(&judged.hours, Time::hours(9.0)), None);
    }
}
