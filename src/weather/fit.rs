//! Which hours are fit to work in. Comes in: a [`Record`] and [`Limits`]; goes out: every hour with each limit that it
//! breaks, and what could not be judged at all because the record does not tell.
//!
//! What is not in the record counts against no hour as long as the record never has it: a table without rain says nothing
//! of rain, and the judgement says so once. Where it is only missing here and there, those hours are unfit: nobody knows.

use jiff::civil::DateTime;

use super::limits::Limits;
use super::reason::Reason;
use super::record::{Basis, Hour, Record, hours_between, next_hour};
use crate::units::{Rain, Speed, Temperature, TemperatureDifference, Time};

/// Values are read as decimals, and their differences are off in the last digit: by less than this, in kelvins and
/// shares alike, nothing is beyond its limit. No instrument tells a ten-thousandth of it.
const ROUNDING: f64 = 1e-9;

/// An hour, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitness {
    /// The hour.
    pub hour: Hour,
    /// The limits that it breaks; none where it is fit.
    pub reasons: Vec<Reason>,
}

impl Fitness {
    /// Whether work may be done in it.
    #[must_use]
    pub fn is_fit(&self) -> bool {
        self.reasons.is_empty()
    }
}

/// What the record does not tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unjudged {
    /// The hours are of the time of year, not of these days.
    Days,
    /// The surface counts as warm as the air.
    Surface,
    /// Nothing is said of rain.
    Rain,
    /// There is a limit for the wind, but nothing is said of it.
    Wind,
}

impl Unjudged {
    /// In a sentence.
    #[must_use]
    pub const fn said(self) -> &'static str {
        match self {
            Self::Days => {
                "these hours are typical of the time of year, no forecast: measure before you begin"
            }
            Self::Surface => {
                "where the surface was not measured it counts as warm as the air; under a clear sky at night and in the morning it is \
                 colder: measure it before you begin"
            }
            Self::Rain => "nothing is known of rain",
            Self::Wind => "nothing is known of wind, though there is a limit for it",
        }
    }
}

/// A record, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// Its hours, in the order of time.
    pub hours: Vec<Fitness>,
    /// What it does not tell.
    pub unjudged: Vec<Unjudged>,
}

/// Judges every hour of a record.
#[must_use]
pub fn judge(record: &Record, limits: &Limits) -> Judgement {
    let hours = record.hours();
    let knows_rain = hours.iter().any(|hour| hour.rain.is_some());
    let knows_wind = hours.iter().any(|hour| hour.wind.is_some());
    let mut unjudged = Vec::new();
    let mut say = |what, is_so: bool| unjudged.extend(is_so.then_some(what));
    say(Unjudged::Days, record.basis() == Basis::Typical);
    say(
        Unjudged::Surface,
        hours.iter().any(|hour| hour.surface.is_none()),
    );
    say(Unjudged::Rain, !knows_rain);
    say(Unjudged::Wind, limits.most_wind.is_some() && !knows_wind);

    // Backwards, so that the rain to come is known at every hour.
    let mut to_come = ToCome::default();
    let mut judged: Vec<Fitness> = hours
        .iter()
        .rev()
        .map(|hour| {
            let mut reasons = of_air(hour, limits);
            if let Some(most) = limits.most_wind.filter(|_| knows_wind) {
                reasons.extend(of_wind(hour.wind, most));
            }
            if knows_rain {
                to_come.go_back_to(hour);
                reasons.extend(to_come.reason(hour, limits.dry_after));
            }
            Fitness {
                hour: *hour,
                reasons,
            }
        })
        .collect();
    judged.reverse();
    Judgement {
        hours: judged,
        unjudged,
    }
}

/// Dew, damp, cold and heat, of the air and of the surface.
fn of_air(hour: &Hour, limits: &Limits) -> Vec<Reason> {
    let slack = TemperatureDifference::kelvins(ROUNDING);
    let Limits {
        least_spread: least,
        most_humidity: most,
        coldest,
        warmest,
        ..
    } = *limits;
    let Hour { air, humidity, .. } = *hour;
    let spread = hour.spread();
    let is_over = |one: Temperature, other: Temperature| one - other > slack;
    let mut reasons = Vec::new();
    if least - spread > slack {
        reasons.push(Reason::TooNearDewPoint { spread, least });
    }
    if humidity.factor() - most.factor() > ROUNDING {
        reasons.push(Reason::TooDamp { humidity, most });
    }
    if is_over(coldest, air) {
        reasons.push(Reason::TooCold { air, coldest });
    }
    if is_over(air, warmest) {
        reasons.push(Reason::TooWarm { air, warmest });
    }
    let surface = hour.surface.unwrap_or(air);
    if let Some(coldest) = limits.coldest_surface.filter(|it| is_over(*it, surface)) {
        reasons.push(Reason::SurfaceTooCold { surface, coldest });
    }
    if let Some(warmest) = limits.warmest_surface.filter(|it| is_over(surface, *it)) {
        reasons.push(Reason::SurfaceTooWarm { surface, warmest });
    }
    reasons
}

fn of_wind(wind: Option<Speed>, most: Speed) -> Option<Reason> {
    let Some(wind) = wind else {
        return Some(Reason::WindUnknown);
    };
    let is_over = (wind - most).to_metres_per_second() > ROUNDING;
    is_over.then_some(Reason::TooWindy { wind, most })
}

/// The rain from an hour on.
#[derive(Debug, Clone, Copy, Default)]
struct ToCome {
    /// The hour.
    from: DateTime,
    /// The next rain.
    next: Option<(DateTime, Rain)>,
    /// Up to when it is known without a gap.
    known_until: DateTime,
}

impl ToCome {
    fn go_back_to(&mut self, hour: &Hour) {
        let end = next_hour(hour.start);
        if hour.rain.is_none() {
            self.known_until = hour.start;
        } else if self.from != end {
            self.known_until = end;
        }
        self.from = hour.start;
        if let Some(rain) = hour.rain.filter(|rain| *rain > Rain::ZERO) {
            self.next = Some((hour.start, rain));
        }
    }

    /// What of it spoils the work of its first hour.
    fn reason(&self, hour: &Hour, wanted: Time) -> Option<Reason> {
        let end = next_hour(hour.start);
        let is_too_soon = |at| whole_hours(end, at) < wanted;
        match self.next {
            Some((at, rain)) if at == hour.start => Some(Reason::Raining { rain }),
            Some((at, rain)) if is_too_soon(at) => Some(Reason::RainAfter { rain, at, wanted }),
            _ if is_too_soon(self.known_until) => Some(Reason::RainUnknown {
                from: self.known_until,
                wanted,
            }),
            _ => None,
        }
    }
}

/// Whole hours from one time to another, negative where it lies before.
pub(super) fn whole_hours(from: DateTime, to: DateTime) -> Time {
    Time::hours(hours_between(from, to) as f64)
}

#[cfg(test)]
mod tests {
    use super::super::limits::Rule;
    use super::*;
    use crate::units::Share;
    use jiff::ToSpan;
    use jiff::civil::date;

    fn dry_day(hours: i64) -> Vec<Hour> {
        let first = date(2026, 5, 12).at(6, 0, 0, 0);
        (0..hours)
            .map(|at| Hour {
                rain: Some(Rain::ZERO),
                ..Hour::of_air(
                    first.saturating_add(at.hours()),
                    Temperature::celsius(18.0),
                    Share::per_cent(60.0),
                )
            })
            .collect()
    }

    fn judged(hours: Vec<Hour>, limits: &Limits) -> Judgement {
        let record = Record::of(hours, Basis::Given).expect("no hour stands twice");
        judge(&record, limits)
    }

    fn fit(judgement: &Judgement) -> Vec<bool> {
        judgement.hours.iter().map(Fitness::is_fit).collect()
    }

    #[test]
    fn a_limit_itself_is_still_fit() {
        let limits = Limits {
            dry_after: Time::ZERO,
            ..Limits::default()
        };
        // As decimals these are 3.0 over the dew point; as binary fractions a little less.
        let mut hour = dry_day(1)[0];
        hour.air = Temperature::celsius(10.2);
        hour.measured_dew_point = Some(Temperature::celsius(7.2));
        hour.humidity = Share::per_cent(85.0);
        assert_eq!(fit(&judged(vec![hour], &limits)), [true]);
        for air in [10.0, 35.0] {
            hour.air = Temperature::celsius(air);
            hour.measured_dew_point = Some(Temperature::celsius(5.0));
            assert_eq!(fit(&judged(vec![hour], &limits)), [true], "{air}");
        }
    }

    #[test]
    fn every_limit_broken_is_named() {
        let limits = Limits {
            most_wind: Some(Speed::metres_per_second(8.0)),
            coldest_surface: Some(Temperature::celsius(4.0)),
            warmest_surface: Some(Temperature::celsius(49.0)),
            ..Limits::default()
        };
        let mut hour = dry_day(1)[0];
        hour.air = Temperature::celsius(3.5);
        hour.humidity = Share::per_cent(95.0);
        hour.wind = Some(Speed::metres_per_second(9.0));
        hour.rain = Some(Rain::mm(1.0));
        let rules = |hour| {
            let judged = judged(vec![hour], &limits);
            let rules = judged.hours[0].reasons.iter().map(Reason::rule);
            rules.collect::<Vec<Rule>>()
        };
        let cold = [Rule::Spread, Rule::Humidity, Rule::Cold];
        let other = [Rule::Wind, Rule::Rain];
        assert_eq!(
            rules(hour),
            [&cold[..], &[Rule::ColdSurface], &other].concat()
        );
        hour.air = Temperature::celsius(36.0);
        hour.surface = Some(Temperature::celsius(49.5));
        let hot = [Rule::Humidity, Rule::Heat, Rule::HotSurface];
        assert_eq!(rules(hour), [&hot[..], &other].concat());
    }

    #[test]
    fn work_needs_its_dry_hours_and_they_must_be_known() {
        let limits = Limits {
            dry_after: Time::hours(2.0),
            ..Limits::default()
        };
        let mut hours = dry_day(8);
        hours[4].rain = Some(Rain::mm(0.2));
        // Rain in the fifth hour spoils the two before it; the last two lack hours after them.
        let judgement = judged(hours.clone(), &limits);
        assert_eq!(
            fit(&judgement),
            [true, true, false, false, false, true, false, false]
        );
        let at = hours[4].start;
        assert!(matches!(
            judgement.hours[3].reasons[..],
            [Reason::RainAfter { at: found, .. }] if found == at
        ));
        // A gap, and an hour whose rain nobody knows.
        hours[4].rain = None;
        hours.remove(1);
        let judgement = judged(hours, &limits);
        assert_eq!(
            fit(&judgement),
            [false, false, false, false, true, false, false]
        );
        assert!(judgement.unjudged.contains(&Unjudged::Surface));
    }

    #[test]
    fn what_the_record_never_has_is_said_once() {
        let limits = Limits {
            most_wind: Some(Speed::metres_per_second(8.0)),
            ..Limits::default()
        };
        let mut hours = dry_day(3);
        for hour in &mut hours {
            hour.rain = None;
            hour.surface = Some(Temperature::celsius(20.0));
        }
        let judgement = judged(hours.clone(), &limits);
        assert_eq!(fit(&judgement), [true, true, true]);
        assert_eq!(judgement.unjudged, [Unjudged::Rain, Unjudged::Wind]);
        hours[1].wind = Some(Speed::metres_per_second(3.0));
        let judgement = judged(hours, &limits);
        assert_eq!(fit(&judgement), [false, true, false]);
        assert_eq!(judgement.hours[0].reasons, [Reason::WindUnknown]);
    }
}
