//! What a tally is held against: the steps of a job with the hours and the money they are planned at, as plain values.

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
