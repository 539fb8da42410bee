//! A tally for programs: JSON whose keys are a contract (added to, never changed), every number at full precision. Hours are
//! person-hours; money is in the currency that stands beside it.

use serde::Serialize;

use super::json::print;
use crate::tally::{
    BudgetState, CostRange, DamagedLine, DayRange, Forecast, NumberedEntry, TallyReport,
};
use crate::units::{Currency, HourRange, Money, Share, Temperature, Time};

/// A ledger held against a plan.
///
/// # Errors
/// Where the printing fails, for which these keys give no cause.
pub fn tally_json(report: &TallyReport) -> Result<String, serde_json::Error> {
    let amount = |money: Money| report.currency.map(|currency| money.to_number(currency));
    let keys = TallyKeys {
        title: &report.title,
        currency: report.currency.map(Currency::code),
        budget: report.budget.and_then(|(budget, _)| amount(budget)),
        budget_state: report.budget.map(|(_, state)| match state {
            BudgetState::Within => "within",
            BudgetState::MayGoOver => "may-go-over",
            BudgetState::WillGoOver => "will-go-over",
            BudgetState::IsOver => "is-over",
        }),
        steps: report
            .steps
            .iter()
            .map(|step| StepKeys {
                id: &step.planned.id,
                title: &step.planned.title,
                done: step.is_done,
                planned_hours: RangeKeys::of_hours(step.planned.hours),
                worked_hours: step.worked.to_hours(),
                left_hours: RangeKeys::of_hours(step.left),
                planned_cost: amount(step.planned.cost),
                spent: amount(step.spent),
            })
            .collect(),
        extras: report
            .extras
            .iter()
            .map(|extra| ExtraKeys {
                step: &extra.step,
                worked_hours: extra.worked.to_hours(),
                spent: amount(extra.spent),
                lines: &extra.lines,
            })
            .collect(),
        totals: TotalKeys {
            entries: report.totals.entries,
            planned_hours: RangeKeys::of_hours(report.totals.planned),
            planned_cost: amount(report.totals.planned_cost),
            worked_hours: report.totals.worked.to_hours(),
            spent: report
                .totals
                .spent
                .iter()
                .map(|total| SpentKeys {
                    amount: total.money.to_number(total.currency),
                    currency: total.currency.code(),
                })
                .collect(),
            working_days: report.totals.working_days,
            first_day: report.totals.from_to.map(|(first, _)| first.to_string()),
            last_day: report.totals.from_to.map(|(_, last)| last.to_string()),
        },
        forecast: report
            .forecast
            .as_ref()
            .map(|forecast| ForecastKeys::of(forecast, report.currency)),
        record: report.record.iter().map(RecordKeys::of).collect(),
        other_currency_lines: &report.other_currency,
        header: report.header.as_ref().map(DamagedKeys::of),
        damaged: report.damaged.iter().map(DamagedKeys::of).collect(),
    };
    print(&keys)
}

#[derive(Serialize)]
struct TallyKeys<'a> {
    title: &'a str,
    currency: Option<&'static str>,
    budget: Option<f64>,
    budget_state: Option<&'static str>,
    steps: Vec<StepKeys<'a>>,
    extras: Vec<ExtraKeys<'a>>,
    totals: TotalKeys,
    forecast: Option<ForecastKeys>,
    record: Vec<RecordKeys<'a>>,
    other_currency_lines: &'a [usize],
    header: Option<DamagedKeys<'a>>,
    damaged: Vec<DamagedKeys<'a>>,
}

#[derive(Serialize)]
struct StepKeys<'a> {
    id: &'a str,
    title: &'a str,
    done: bool,
    planned_hours: RangeKeys,
    worked_hours: f64,
    left_hours: RangeKeys,
    planned_cost: Option<f64>,
    spent: Option<f64>,
}

#[derive(Serialize)]
struct ExtraKeys<'a> {
    step: &'a str,
    worked_hours: f64,
    spent: Option<f64>,
    lines: &'a [usize],
}

#[derive(Serialize)]
struct TotalKeys {
    entries: usize,
    planned_hours: RangeKeys,
    planned_cost: Option<f64>,
    worked_hours: f64,
    spent: Vec<SpentKeys>,
    working_days: usize,
    first_day: Option<String>,
    last_day: Option<String>,
}

#[derive(Serialize)]
struct SpentKeys {
    amount: f64,
    currency: &'static str,
}

#[derive(Serialize)]
struct ForecastKeys {
    pace_pct: Option<f64>,
    hours: RangeKeys,
    hours_left: RangeKeys,
    cost: Option<RangeKeys>,
    hours_a_working_day: Option<f64>,
    working_days_left: Option<DayKeys>,
    calendar_days_left: Option<DayKeys>,
}

#[derive(Serialize)]
struct RangeKeys {
    low: f64,
    likely: f64,
    high: f64,
}

#[derive(Serialize)]
struct DayKeys {
    low: usize,
    likely: usize,
    high: usize,
}

#[derive(Serialize)]
struct RecordKeys<'a> {
    line: usize,
    date: String,
    step: &'a str,
    product: &'a str,
    batch_number: &'a str,
    air_c: Option<f64>,
    humidity_pct: Option<f64>,
    note: &'a str,
}

#[derive(Serialize)]
struct DamagedKeys<'a> {
    line: usize,
    text: &'a str,
    problem: &'a str,
    advice: &'a str,
}

impl RangeKeys {
    const fn of_hours(hours: HourRange) -> Self {
        Self {
            low: hours.low.to_hours(),
            likely: hours.likely.to_hours(),
            high: hours.high.to_hours(),
        }
    }

    fn of_cost(cost: CostRange, currency: Currency) -> Self {
        Self {
            low: cost.low.to_number(currency),
            likely: cost.likely.to_number(currency),
            high: cost.high.to_number(currency),
        }
    }
}

impl DayKeys {
    const fn of(days: DayRange) -> Self {
        Self {
            low: days.low,
            likely: days.likely,
            high: days.high,
        }
    }
}

impl ForecastKeys {
    fn of(forecast: &Forecast, currency: Option<Currency>) -> Self {
        Self {
            pace_pct: forecast.pace.map(Share::to_per_cent),
            hours: RangeKeys::of_hours(forecast.hours),
            hours_left: RangeKeys::of_hours(forecast.hours_left),
            cost: currency.map(|currency| RangeKeys::of_cost(forecast.cost, currency)),
            hours_a_working_day: forecast.a_working_day.map(Time::to_hours),
            working_days_left: forecast.working_days_left.map(DayKeys::of),
            calendar_days_left: forecast.calendar_days_left.map(DayKeys::of),
        }
    }
}

impl<'a> RecordKeys<'a> {
    fn of(one: &'a NumberedEntry) -> Self {
        let entry = &one.entry;
        Self {
            line: one.number,
            date: entry.date.to_string(),
            step: &entry.step,
            product: &entry.product,
            batch_number: &entry.batch_number,
            air_c: entry.air.map(Temperature::to_celsius),
            humidity_pct: entry.humidity.map(Share::to_per_cent),
            note: &entry.note,
        }
    }
}

impl<'a> DamagedKeys<'a> {
    fn of(line: &'a DamagedLine) -> Self {
        Self {
            line: line.number,
            text: &line.text,
            problem: &line.problem,
            advice: &line.advice,
        }
    }
}
