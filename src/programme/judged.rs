//! Hours of weather, judged for each product by what it may be laid in. Comes in: a record, the products that are laid. Goes out:
//! for each of them its fit hours, two with the same limits sharing one judgement; and when what was laid is dry.

use jiff::ToSpan;
use jiff::civil::DateTime;

use super::calendar::minutes;
use super::drying::Dries;
use super::fit_hours::{FitHours, full_hour};
use crate::Job;
use crate::layout::{Dry, Drying, Product, Task};
use crate::units::{Temperature, Time};
use crate::weather::{Judgement, Limits, Record, Unjudged, judge};

/// The judged hours of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedWeather {
    judgements: Vec<(Limits, Judgement)>,
    /// Products with the place of their judgement.
    products: Vec<(String, usize)>,
    /// The temperature where nobody knows the hour's.
    otherwise: Temperature,
    /// By how many degrees Celsius warmer drying takes half as long.
    halved_by: f64,
}

impl JudgedWeather {
    /// Judges a record for all that a job lays.
    #[must_use]
    pub fn of(job: &Job, record: &Record) -> Self {
        let mut judged = Self {
            judgements: Vec::new(),
            products: Vec::new(),
            otherwise: job.layout.work.job.temperature.value,
            halved_by: job.layout.work.programme.drying_halves.value,
        };
        for product in laid(job) {
            let limits = limits(job, product);
            let known = judged.judgements.iter().position(|(one, _)| *one == limits);
            let place = known.unwrap_or_else(|| {
                judged.judgements.push((limits, judge(record, &limits)));
                judged.judgements.len() - 1
            });
            judged.products.push((product.id.value.clone(), place));
        }
        judged
    }

    /// The fit hours of a product; none where it is not laid.
    #[must_use]
    pub fn fit_hours(&self, product: &str) -> Option<FitHours<'_>> {
        self.judgement(product).map(FitHours::of)
    }

    /// The judgement of the hours for a product; none where it is not laid.
    #[must_use]
    pub fn judgement(&self, product: &str) -> Option<&Judgement> {
        let (_, place) = self.products.iter().find(|(id, _)| id == product)?;
        self.judgements.get(*place).map(|(_, judgement)| judgement)
    }

    /// Each judgement with the products that it is for.
    pub fn all(&self) -> impl Iterator<Item = (Vec<&str>, &Judgement)> {
        self.judgements
            .iter()
            .enumerate()
            .map(|(place, (_, judgement))| {
                let products = self.products.iter().filter(move |(_, of)| *of == place);
                (products.map(|(id, _)| id.as_str()).collect(), judgement)
            })
    }

    /// When a coat is so dry that was laid by then: each hour brings it on by its own share, as warm as the surface is, or the air
    /// where nobody measured it. An hour that is not known counts as warm as the job.
    #[must_use]
    pub fn dried(&self, drying: &Drying, dry: Dry, laid: DateTime) -> DateTime {
        let time_at = |at: Temperature| {
            let halved_by = self.halved_by;
            let dries = Dries {
                drying,
                at,
                halved_by,
            };
            dries.time(dry).value.to_hours()
        };
        let hours = self
            .judgements
            .first()
            .map_or(&[][..], |(_, judgement)| &judgement.hours);
        let otherwise = time_at(self.otherwise);
        let mut next = hours.partition_point(|one| one.hour.start < full_hour(laid));
        let mut at = laid;
        let mut left = 1.0;
        loop {
            let hour = full_hour(at);
            if next >= hours.len() {
                return at.saturating_add(minutes(Time::hours(left * otherwise)));
            }
            let found = &hours[next].hour;
            let needs = if found.start == hour {
                next += 1;
                time_at(found.surface.unwrap_or(found.air))
            } else {
                otherwise
            };
            let end = hour.saturating_add(1.hour());
            let done = end.duration_since(at).as_secs() as f64 / 3600.0 / needs;
            if done >= left {
                return at.saturating_add(minutes(Time::hours(left * needs)));
            }
            left -= done;
            at = end;
        }
    }

    /// What the hours do not tell.
    #[must_use]
    pub fn unjudged(&self) -> Vec<Unjudged> {
        let mut all: Vec<Unjudged> = Vec::new();
        for one in self
            .judgements
            .iter()
            .flat_map(|(_, judgement)| &judgement.unjudged)
        {
            if !all.contains(one) {
                all.push(*one);
            }
        }
        all
    }
}

/// The products that coats are laid of, each once.
pub(super) fn laid(job: &Job) -> Vec<&Product> {
    let mut laid: Vec<&Product> = Vec::new();
    for step in &job.layout.work.steps {
        if let Task::Coat(coat) = &step.task
            && let Some(product) = job.materials.product(&coat.product.value)
            && laid.iter().all(|known| known.id.value != product.id.value)
        {
            laid.push(product);
        }
    }
    laid
}

/// What a coat of a product asks of the weather.
fn limits(job: &Job, product: &Product) -> Limits {
    let dries = Dries {
        drying: &product.drying,
        at: job.layout.work.job.temperature.value,
        halved_by: job.layout.work.programme.drying_halves.value,
    };
    product.weather.limits(dries.time(Dry::Touch).value)
}
