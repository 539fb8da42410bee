//! A ledger held against a plan. Comes in: a [`Ledger`], a [`Plan`]; goes out: a [`TallyReport`]. All hours are
//! person-hours. An entry belongs to the step whose id it names, capitals or not; a step is done once an entry says so.
//!
//! **Pace** is what was worked on the finished steps over their likely planned hours; 1 until one is finished.
//!
//! **Hours in all**, for each of low, likely and high: those worked on finished steps and on extras, and for every other step
//! the greater of pace x planned and what was worked on it already. **Hours left** are the same without those worked.
//!
//! **Cost in all**: what was spent on finished steps and extras, and for every other step the greater of spent and planned.
//! In the low and the high figure the planned cost is multiplied by what the finished steps cost over what they were
//! planned at, where that makes it lower or higher.
//!
//! **Days left**: hours left over the person-hours of a working day, rounded up. A working day is one on which hours were
//! entered; until there is one, the plan's people work its hours a day. Calendar days stand to working days as they
//! did from the first working day to the last.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use jiff::civil::Date;

use super::ledger::{DamagedLine, Ledger, NumberedEntry};
use super::plan::{CostRange, Plan, PlannedStep};
use crate::units::{Currency, HourRange, Money, Share, Time};

/// What was worked and spent against what was planned.
#[derive(Debug, Clone, PartialEq)]
pub struct TallyReport {
    /// Title of the job.
    pub title: String,
    /// What its costs are in: the plan's currency, or the ledger's where the plan has none and the ledger only one.
    pub currency: Option<Currency>,
    /// The plan's steps in their order.
    pub steps: Vec<StepReport>,
    /// What was entered for steps that the plan does not have, in the order of the ledger.
    pub extras: Vec<Extra>,
    /// All of it together.
    pub totals: Totals,
    /// How it will end; none where nothing is planned.
    pub forecast: Option<Forecast>,
    /// What the job may cost, and whether it will keep to it.
    pub budget: Option<(Money, BudgetState)>,
    /// Entries that name a product, a batch or the weather: what a repair years later needs.
    pub record: Vec<NumberedEntry>,
    /// Numbers of the lines in another currency than the job's.
    pub other_currency: Vec<usize>,
    /// What is wrong with the ledger's header.
    pub header: Option<DamagedLine>,
    /// Lines that could not be read and count nowhere.
    pub damaged: Vec<DamagedLine>,
}

/// A step of the plan and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct StepReport {
    /// What was planned.
    pub planned: PlannedStep,
    /// What was worked.
    pub worked: Time,
    /// What was spent, in the job's currency.
    pub spent: Money,
    /// Whether it is finished.
    pub is_done: bool,
    /// What is left of it at the present pace.
    pub left: HourRange,
}

impl StepReport {
    /// More was worked than planned at most.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.worked > self.planned.hours.high
    }
}

/// What was entered for a step that is not in the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Extra {
    /// The step as the ledger first names it.
    pub step: String,
    /// What was worked.
    pub worked: Time,
    /// What was spent, in the job's currency.
    pub spent: Money,
    /// Where it stands in the ledger.
    pub lines: Vec<usize>,
}

/// Everything that was entered.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Totals {
    /// How many entries.
    pub entries: usize,
    /// What was planned.
    pub planned: HourRange,
    /// What it was planned to cost.
    pub planned_cost: Money,
    /// What was worked.
    pub worked: Time,
    /// What was spent, each currency for itself, in the order of their codes.
    pub spent: Vec<CurrencyTotal>,
    /// On how many days somebody worked.
    pub working_days: usize,
    /// The first and the last of them.
    pub from_to: Option<(Date, Date)>,
}

/// A sum of one currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CurrencyTotal {
    /// Which.
    pub currency: Currency,
    /// How much.
    pub money: Money,
}

/// How the job will end at the present pace.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// Worked over likely planned on the finished steps; none until one is finished.
    pub pace: Option<Share>,
    /// All hours, those worked included.
    pub hours: HourRange,
    /// Hours still to work.
    pub hours_left: HourRange,
    /// All costs, those spent included.
    pub cost: CostRange,
    /// Person-hours of a working day; none where nobody knows.
    pub a_working_day: Option<Time>,
    /// Working days still to come.
    pub working_days_left: Option<DayRange>,
    /// Calendar days still to come, counted from the last one worked.
    pub calendar_days_left: Option<DayRange>,
}

/// Whole days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DayRange {
    /// At least.
    pub low: usize,
    /// As things stand.
    pub likely: usize,
    /// At most.
    pub high: usize,
}

/// How the costs stand to the budget.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BudgetState {
    /// Even the high forecast keeps to it.
    Within,
    /// The high forecast goes over it.
    MayGoOver,
    /// The likely forecast goes over it.
    WillGoOver,
    /// More is spent already.
    IsOver,
}

/// What was worked and spent under one name.
#[derive(Debug, Clone, Default)]
struct Taken {
    name: String,
    worked: Time,
    spent: Money,
    is_done: bool,
    lines: Vec<usize>,
}

impl TallyReport {
    /// Holds a ledger against a plan.
    #[must_use]
    pub fn of(ledger: &Ledger, plan: &Plan) -> Self {
        let currency = plan.currency.or_else(|| only_currency(ledger));
        let taken = by_step(ledger, currency);
        let of_step = |id: &str| taken.iter().find(|one| is_same(&one.name, id));
        let mut steps: Vec<StepReport> = plan
            .steps
            .iter()
            .map(|planned| {
                let taken = of_step(&planned.id).cloned().unwrap_or_default();
                StepReport {
                    planned: planned.clone(),
                    worked: taken.worked,
                    spent: taken.spent,
                    is_done: taken.is_done,
                    left: HourRange::default(),
                }
            })
            .collect();
        let pace = pace(&steps);
        for step in steps.iter_mut().filter(|step| !step.is_done) {
            let in_all = step.planned.hours * pace.map_or(1.0, Share::factor);
            step.left = in_all.each(|hours| (hours - step.worked).max(Time::ZERO));
        }
        let extras: Vec<Extra> = taken
            .iter()
            .filter(|one| !plan.steps.iter().any(|step| is_same(&step.id, &one.name)))
            .map(|one| Extra {
                step: one.name.clone(),
                worked: one.worked,
                spent: one.spent,
                lines: one.lines.clone(),
            })
            .collect();
        let totals = totals(ledger, plan);
        let forecast = (!steps.is_empty()).then(|| forecast(&steps, &extras, pace, &totals, plan));
        let spent = taken.iter().map(|one| one.spent).sum();
        let budget = plan.budget.map(|budget| {
            let cost = forecast.as_ref().map_or_else(
                || CostRange {
                    low: spent,
                    likely: spent,
                    high: spent,
                },
                |forecast| forecast.cost,
            );
            (budget, state(budget, spent, cost))
        });
        Self {
            title: plan.title.clone(),
            currency,
            steps,
            extras,
            totals,
            forecast,
            budget,
            record: ledger
                .entries
                .iter()
                .filter(|one| is_record(one))
                .cloned()
                .collect(),
            other_currency: ledger
                .entries
                .iter()
                .filter(|one| {
                    let paid = one.entry.amount;
                    paid.is_some_and(|paid| Some(paid.currency) != currency)
                })
                .map(|one| one.number)
                .collect(),
            header: ledger.header.clone(),
            damaged: ledger.damaged.clone(),
        }
    }
}

fn is_same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}

const fn is_record(one: &NumberedEntry) -> bool {
    let entry = &one.entry;
    !entry.product.is_empty()
        || !entry.batch_number.is_empty()
        || entry.air.is_some()
        || entry.humidity.is_some()
}

/// The currency of all amounts, where it is one.
fn only_currency(ledger: &Ledger) -> Option<Currency> {
    let mut found = ledger
        .entries
        .iter()
        .filter_map(|one| one.entry.amount)
        .map(|paid| paid.currency);
    let first = found.next()?;
    found.all(|other| other == first).then_some(first)
}

/// What was taken by each step, in the order in which the ledger first names them.
fn by_step(ledger: &Ledger, currency: Option<Currency>) -> Vec<Taken> {
    let mut taken: Vec<Taken> = Vec::new();
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    for NumberedEntry { number, entry } in &ledger.entries {
        let place = *places.entry(entry.step.to_lowercase()).or_insert_with(|| {
            taken.push(Taken {
                name: entry.step.clone(),
                ..Taken::default()
            });
            taken.len() - 1
        });
        let of_step = &mut taken[place];
        of_step.worked = of_step.worked + entry.person_hours();
        if let Some(paid) = entry.amount.filter(|paid| Some(paid.currency) == currency) {
            of_step.spent = of_step.spent + paid.money;
        }
        of_step.is_done |= entry.is_done;
        of_step.lines.push(*number);
    }
    taken
}

/// Worked over likely planned on the finished steps.
fn pace(steps: &[StepReport]) -> Option<Share> {
    let done = || steps.iter().filter(|step| step.is_done);
    let planned: Time = done().map(|step| step.planned.hours.likely).sum();
    let worked: Time = done().map(|step| step.worked).sum();
    (planned > Time::ZERO && worked > Time::ZERO)
        .then(|| Share::per_cent(100.0 * (worked / planned)))
}

fn totals(ledger: &Ledger, plan: &Plan) -> Totals {
    let mut spent: BTreeMap<&str, CurrencyTotal> = BTreeMap::new();
    let mut days = BTreeSet::new();
    for NumberedEntry { entry, .. } in &ledger.entries {
        if let Some(paid) = entry.amount {
            let total = spent.entry(paid.currency.code()).or_insert(CurrencyTotal {
                currency: paid.currency,
                money: Money::ZERO,
            });
            total.money = total.money + paid.money;
        }
        if entry.hours > Time::ZERO {
            days.insert(entry.date);
        }
    }
    Totals {
        entries: ledger.entries.len(),
        planned: plan.steps.iter().map(|step| step.hours).sum(),
        planned_cost: plan.steps.iter().map(|step| step.cost).sum(),
        worked: ledger
            .entries
            .iter()
            .map(|one| one.entry.person_hours())
            .sum(),
        spent: spent.into_values().collect(),
        working_days: days.len(),
        from_to: days.first().copied().zip(days.last().copied()),
    }
}

fn forecast(
    steps: &[StepReport],
    extras: &[Extra],
    pace: Option<Share>,
    totals: &Totals,
    plan: &Plan,
) -> Forecast {
    let hours_left: HourRange = steps.iter().map(|step| step.left).sum();
    let a_working_day = a_working_day(totals, plan);
    let working_days_left = a_working_day.map(|a_day| days(hours_left, a_day, 1.0));
    let calendar_days_left = totals
        .from_to
        .zip(a_working_day)
        .map(|((first, last), a_day)| {
            let span = f64::from((last - first).get_days() + 1);
            days(hours_left, a_day, span / count(totals.working_days))
        });
    Forecast {
        pace,
        hours: hours_left.each(|left| totals.worked + left),
        hours_left,
        cost: cost(steps, extras),
        a_working_day,
        working_days_left,
        calendar_days_left,
    }
}

/// Person-hours of a working day so far; as planned until there was one.
fn a_working_day(totals: &Totals, plan: &Plan) -> Option<Time> {
    let a_day = if totals.working_days > 0 {
        totals.worked / count(totals.working_days)
    } else {
        plan.hours_a_day * count(plan.people)
    };
    (a_day > Time::ZERO).then_some(a_day)
}

/// Days that so many hours take, begun ones whole.
fn days(left: HourRange, a_day: Time, stretch: f64) -> DayRange {
    let whole = |hours: Time| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "whole and not negative; the cast saturates beyond any job"
        )]
        let days = ((hours / a_day) * stretch - 1e-9).ceil().max(0.0) as usize;
        days
    };
    DayRange {
        low: whole(left.low),
        likely: whole(left.likely),
        high: whole(left.high),
    }
}

/// What everything will cost.
fn cost(steps: &[StepReport], extras: &[Extra]) -> CostRange {
    let done = || steps.iter().filter(|step| step.is_done);
    let planned: Money = done().map(|step| step.planned.cost).sum();
    let spent: Money = done().map(|step| step.spent).sum();
    let ratio = if planned > Money::ZERO && spent >= Money::ZERO {
        spent.to_smallest_units() as f64 / planned.to_smallest_units() as f64
    } else {
        1.0
    };
    let outside: Money = extras.iter().map(|extra| extra.spent).sum();
    let with = |factor: f64| {
        let each = steps.iter().map(|step| {
            if step.is_done {
                step.spent
            } else {
                step.spent.max(step.planned.cost.scaled(factor))
            }
        });
        outside + each.sum()
    };
    CostRange {
        low: with(ratio.min(1.0)),
        likely: with(1.0),
        high: with(ratio.max(1.0)),
    }
}

fn state(budget: Money, spent: Money, cost: CostRange) -> BudgetState {
    if spent > budget {
        BudgetState::IsOver
    } else if cost.likely > budget {
        BudgetState::WillGoOver
    } else if cost.high > budget {
        BudgetState::MayGoOver
    } else {
        BudgetState::Within
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "counts of days and people, far below where it matters"
)]
const fn count(of: usize) -> f64 {
    of as f64
}
