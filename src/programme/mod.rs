//! What is done on which day, with its waiting times. Comes in: a [`Job`], its [`Takeoff`], a first day or a day to be ready
//! by. Goes out: [`Programme`]: every activity with its hours, planned three times over, as if few, the likely and many hours
//! were needed, and what a person should know: tape that stays too long, coats laid too late.
//!
//! Where hours of weather are known, coats are laid in fit ones alone and dry by the temperature of each; else drying goes by the
//! job's one temperature.

mod activities;
mod calendar;
mod checks;
mod drying;
mod fit_hours;
mod judged;
mod remarks;
mod schedule;
mod told;

pub use activities::{Activity, ActivityKind, Deadline, Sequence, Wait, sequence};
pub use calendar::{Calendar, Span, minutes};
pub use checks::{CheckSheet, Readings, check_sheets};
pub use drying::Dries;
pub use fit_hours::{FitHours, Verdict};
pub use judged::JudgedWeather;
pub use remarks::{Remark, RemarkKind};
pub use schedule::{Case, Held, HeldBack, NeverOpen, Placed, Schedule, schedule};
pub use told::{remarks as remarks_on_table, table as weather_table};

use std::fmt;

use jiff::civil::Date;

use crate::Job;
use crate::layout::{
    Bound, Dry, FitWeather, Origin, ProgrammeSettings, Setting, UnmaskWhen, WeatherSource,
};
use crate::takeoff::{SettingUsed, Takeoff};
use crate::units::{LengthUnit, Temperature, Time, weekday};
use crate::weather::{Record, Unjudged};

/// Days before the day to be ready by that are tried as the first.
const MOST_DAYS: i32 = 800;

/// What is done when.
#[derive(Debug, Clone, PartialEq)]
pub struct Programme {
    /// Title of the job.
    pub title: String,
    /// The unit its people measure in.
    pub units: LengthUnit,
    /// What it is counted from.
    pub from: Bound,
    /// How many work.
    pub people: usize,
    /// Of air and deck.
    pub temperature: Temperature,
    /// The time zone of all hours, by its IANA name; none: local wherever it is read.
    pub zone: Option<String>,
    /// As it usually goes.
    pub likely: Schedule,
    /// As if every step went well.
    pub few: Schedule,
    /// As if no step went well.
    pub many: Schedule,
    /// What a person should know of the likely one.
    pub remarks: Vec<Remark>,
    /// The hours in which somebody works.
    pub calendar: Calendar,
    /// The hours of weather that coats were laid by; none where none are known.
    pub weather: Option<JudgedWeather>,
    /// What all of it rests on, beside the takeoff's settings.
    pub settings: Vec<SettingUsed>,
}

/// Why there is no programme.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoProgramme {
    /// The takeoff has no steps.
    NothingToDo,
    /// An activity finds no open day.
    NeverOpen(NeverOpen),
    /// No first day is early enough to be ready by this one.
    NeverReady(Date),
}

impl fmt::Display for NoProgramme {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingToDo => write!(
                formatter,
                "there is nothing to do: no field, so nothing to mask, and no [[step]]"
            ),
            Self::NeverOpen(NeverOpen { activity, from }) => write!(
                formatter,
                "{activity} finds no day to work on from {} on: look at `days_off` and `closed` of [programme]",
                from.date()
            ),
            Self::NeverReady(date) => write!(
                formatter,
                "no start within two years is early enough to be ready on {date}: look at `days_off` and `closed` of [programme]"
            ),
        }
    }
}

impl std::error::Error for NoProgramme {}

impl Programme {
    /// What the hours of weather do not tell.
    #[must_use]
    pub fn unjudged(&self) -> Vec<Unjudged> {
        self.weather
            .as_ref()
            .map_or_else(Vec::new, JudgedWeather::unjudged)
    }

    /// The programme of a job from a day on, or to be ready by one; by hours of weather where any are given, else by those that
    /// the layout tells.
    ///
    /// # Errors
    /// Where nothing is to be done, or no day is open for it.
    pub fn of(
        job: &Job,
        takeoff: &Takeoff,
        from: Bound,
        weather: Option<&Record>,
    ) -> Result<Self, NoProgramme> {
        if takeoff.steps.is_empty() {
            return Err(NoProgramme::NothingToDo);
        }
        let settings = &job.layout.work.programme;
        let sequence = sequence(job, takeoff);
        let calendar = Calendar::of(settings, &job.layout.work.job);
        let people = job.layout.work.job.people.value;
        let judged = match (weather, &job.layout.work.weather) {
            (Some(record), _) => Some(JudgedWeather::of(job, record)),
            (None, Some(WeatherSource::Months(climate))) => {
                Some(JudgedWeather::of(job, &told::typical(climate, from)))
            }
            (None, _) => job
                .weather
                .as_ref()
                .map(|record| JudgedWeather::of(job, record)),
        };
        let hours = judged.as_ref();
        let plan =
            |case: Case, start: Date| schedule(&sequence, &calendar, people, case, hours, start);
        let start = match from {
            Bound::Start(date) => date,
            Bound::Ready(date) => latest_start(date, |start| plan(Case::Likely, start).ok())
                .ok_or(NoProgramme::NeverReady(date))?,
        };
        let [few, likely, many] = [Case::Few, Case::Likely, Case::Many]
            .map(|case| plan(case, start).map_err(NoProgramme::NeverOpen));
        let likely = likely?;
        Ok(Self {
            title: job.layout.title.clone(),
            units: job.layout.units,
            from,
            people,
            temperature: job.layout.work.job.temperature.value,
            zone: settings.zone.as_ref().map(|zone| zone.value.clone()),
            remarks: remarks::remarks(job, &likely),
            calendar,
            likely,
            few: few?,
            many: many?,
            settings: settings_used(job, settings, judged.is_some()),
            weather: judged,
        })
    }
}

/// The latest first day after which all is cured before `ready` begins.
fn latest_start(ready: Date, plan: impl Fn(Date) -> Option<Schedule>) -> Option<Date> {
    let by = ready.to_datetime(jiff::civil::Time::midnight());
    let mut start = ready;
    for _ in 0..MOST_DAYS {
        if plan(start).is_some_and(|plan| plan.ready <= by) {
            return Some(start);
        }
        start = start.yesterday().ok()?;
    }
    None
}

fn settings_used(
    job: &Job,
    settings: &ProgrammeSettings,
    is_weather_known: bool,
) -> Vec<SettingUsed> {
    let mut used = Vec::new();
    let mut add = |key: String, title: &str, value: String, origin: Origin| {
        used.push(SettingUsed {
            key,
            title: title.to_owned(),
            value,
            origin,
        });
    };
    let begins = settings.day_begins;
    add(
        "programme.day_begins".into(),
        "a working day begins at",
        begins.value.strftime("%H:%M").to_string(),
        begins.origin,
    );
    let days = settings.days_off.value.iter();
    let days: Vec<&str> = days.map(|day| weekday(*day)).collect();
    add(
        "programme.days_off".into(),
        "nobody works on",
        if days.is_empty() {
            "no day of the week".into()
        } else {
            days.join(", ")
        },
        settings.days_off.origin,
    );
    add(
        "programme.tape_dwell".into(),
        "tape may stay",
        settings.tape_dwell.value.show_days(),
        settings.tape_dwell.origin,
    );
    let unmask = match settings.unmask.value {
        UnmaskWhen::Wet => "wet",
        UnmaskWhen::Tacky => "tacky",
        UnmaskWhen::Dry => "dry",
    };
    add(
        "programme.unmask".into(),
        "tape comes off when the last coat is",
        unmask.into(),
        settings.unmask.origin,
    );
    add(
        "programme.drying_halves".into(),
        "drying takes half as long",
        format!("{} °C warmer", settings.drying_halves.value),
        settings.drying_halves.origin,
    );
    if settings.test_patch.value {
        let labour = &job.layout.work.labour;
        for (key, title, hours) in [
            (
                "labour.patch_laid",
                "laying a test patch",
                labour.patch_laid,
            ),
            ("labour.patch_seen", "looking at it", labour.patch_seen),
        ] {
            let [slow, likely, fast] =
                [hours.value.slow, hours.value.likely, hours.value.fast].map(Time::show);
            let value = format!("{slow}, {likely}, {fast}");
            add(key.into(), title, value, hours.origin);
        }
    }
    for product in judged::laid(job) {
        let key = |name: &str| format!("product {}: weather.{name}", product.id.value);
        for (name, title, value, origin) in fit_weather(&product.weather, job.layout.units) {
            if is_weather_known || origin == Origin::Layout {
                add(key(name), title, value, origin);
            }
        }
    }
    let mut known: Vec<&str> = Vec::new();
    for step in &job.layout.work.steps {
        let product = match &step.task {
            crate::layout::Task::Coat(coat) => &coat.product.value,
            crate::layout::Task::Caulk { product, .. } => &product.value,
            _ => continue,
        };
        if known.contains(&product.as_str()) {
            continue;
        }
        known.push(product);
        let Some(product) = job.materials.product(product) else {
            continue;
        };
        let dries = Dries {
            drying: &product.drying,
            at: job.layout.work.job.temperature.value,
            halved_by: settings.drying_halves.value,
        };
        for (dry, key) in Dry::ALL {
            let time = dries.time(dry);
            add(
                format!("product {}: dry.{key}", product.id.value),
                dry.title(),
                time.value.show_days(),
                time.origin,
            );
        }
    }
    used
}

/// What a product asks of the weather: key, words, value, origin; a limit that there is none of is left out.
fn fit_weather(
    fit: &FitWeather,
    units: LengthUnit,
) -> Vec<(&'static str, &'static str, String, Origin)> {
    let degrees = |at: &Setting<Temperature>| (at.value.show(units), at.origin);
    let some =
        |at: &Setting<Option<Temperature>>| at.value.map(|value| (value.show(units), at.origin));
    let humidity = format!("{:.0} %", fit.humidity.value.to_per_cent());
    let rows = [
        (
            "spread",
            "the surface is over the dew point by",
            Some((fit.spread.value.show(units), fit.spread.origin)),
        ),
        (
            "humidity",
            "the humidity is at most",
            Some((humidity, fit.humidity.origin)),
        ),
        (
            "coldest",
            "the air is no colder than",
            Some(degrees(&fit.coldest)),
        ),
        (
            "warmest",
            "the air is no warmer than",
            Some(degrees(&fit.warmest)),
        ),
        (
            "coldest_surface",
            "the surface is no colder than",
            some(&fit.coldest_surface),
        ),
        (
            "warmest_surface",
            "the surface is no warmer than",
            some(&fit.warmest_surface),
        ),
        (
            "wind",
            "the mean wind is at most",
            fit.wind
                .value
                .map(|wind| (wind.show(units), fit.wind.origin)),
        ),
        (
            "dry_after",
            "no rain falls after it for",
            Some((fit.dry_after.value.show(), fit.dry_after.origin)),
        ),
    ];
    let known = rows
        .into_iter()
        .filter_map(|(key, title, said)| said.map(|(value, origin)| (key, title, value, origin)));
    known.collect()
}
