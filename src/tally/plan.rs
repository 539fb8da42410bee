//! What a tally is held against: the steps of a job with the hours and the money they are planned at, as plain values.

use crate::Job;
use crate::takeoff::Takeoff;
use crate::units::{Currency, HourRange, Money, Time};

/// A job as it was planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Title of the job.
    pub title: String,
    /// Its steps in their order.
    pub steps: Vec<PlannedStep>,
    /// What its costs are in.
    pub currency: Option<Currency>,
    /// What it may cost.
    pub budget: Option<Money>,
    /// How many work on it.
    pub people: usize,
    /// How long each of them works in a day.
    pub hours_a_day: Time,
}

/// A step of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedStep {
    /// What the ledger calls it.
    pub id: String,
    /// What people call it.
    pub title: String,
    /// Person-hours.
    pub hours: HourRange,
    /// What is bought for it.
    pub cost: Money,
}

impl Plan {
    /// The plan that a takeoff makes. What is bought once for several steps stands at the first of them; what else is
    /// paid stands in a step of its own, `other`.
    #[must_use]
    pub fn of(job: &Job, takeoff: &Takeoff) -> Self {
        let settings = &job.layout.work.job;
        let bought_for = |id: &str| -> Money {
            let first = |steps: &[String]| steps.first().is_some_and(|step| step == id);
            let items = takeoff.shopping.iter();
            let mine = items.filter(|item| first(&item.steps));
            mine.filter_map(|item| item.cost).sum()
        };
        let mut steps: Vec<PlannedStep> = takeoff
            .steps
            .iter()
            .map(|step| PlannedStep {
                id: step.id.clone(),
                title: step.title.clone(),
                hours: step.hours(),
                cost: bought_for(&step.id),
            })
            .collect();
        if takeoff.cost.expenses > Money::ZERO {
            steps.push(PlannedStep {
                id: "other".into(),
                title: "Other expenses".into(),
                hours: HourRange::default(),
                cost: takeoff.cost.expenses,
            });
        }
        Self {
            title: takeoff.title.clone(),
            steps,
            currency: takeoff.currency,
            budget: takeoff.cost.budget,
            people: settings.people.value,
            hours_a_day: settings.hours_a_day.value,
        }
    }
}

/// What something may cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CostRange {
    /// At least.
    pub low: Money,
    /// As things stand.
    pub likely: Money,
    /// At most.
    pub high: Money,
}
