//! A job worked out by hand. Planned (low, likely, high): sanding 4, 6, 9 h and 30 EUR; primer 3, 4, 6 h and 80 EUR; paint 5,
//! 8, 12 h and 120 EUR. Sanding is done with 6 + 3 = 9 h, so the pace is 9 / 6 = 150 %.

use jiff::civil::date;
use spile::export::{tally_json, tally_markdown, tally_table};
use spile::tally::{BudgetState, DayRange, Ledger, Plan, PlannedStep, TallyReport, read};
use spile::units::{Currency, HourRange, LengthUnit, Money, Time};

const HEADER: &str =
    "date,step,hours,people,amount,currency,product,batch_number,air_c,humidity_pct,done,note\n";
const WORKED: &str = "\
2026-05-02,sand,3,2,36,EUR,,,,,,
2026-05-03,Sand,1.5,2,,,,,,,yes,
2026-05-09,primer,2,1,90,EUR,Two-part | primer,0042,17.5,62,,
2026-05-09,ladder,1,1,15,EUR,,,,,,
";

fn range(low: f64, likely: f64, high: f64) -> HourRange {
    HourRange {
        low: Time::hours(low),
        likely: Time::hours(likely),
        high: Time::hours(high),
    }
}

fn euro(amount: i64) -> Money {
    Money::smallest_units(amount * 100)
}

fn plan(budget: i64) -> Plan {
    let step = |id: &str, title: &str, hours, cost| PlannedStep {
        id: id.to_owned(),
        title: title.to_owned(),
        hours,
        cost: euro(cost),
    };
    Plan {
        title: "Guillemot".to_owned(),
        steps: vec![
            step("sand", "Sanding", range(4.0, 6.0, 9.0), 30),
            step("primer", "Primer", range(3.0, 4.0, 6.0), 80),
            step("paint", "Paint", range(5.0, 8.0, 12.0), 120),
        ],
        currency: Currency::of_code("EUR"),
        budget: Some(euro(budget)),
        people: 2,
        hours_a_day: Time::hours(8.0),
    }
}

fn ledger(lines: &str) -> Ledger {
    read(format!("{HEADER}{lines}").as_bytes())
}

#[track_caller]
fn assert_hours(found: HourRange, low: f64, likely: f64, high: f64) {
    for (found, by_hand) in [(found.low, low), (found.likely, likely), (found.high, high)] {
        assert!(
            (found.to_hours() - by_hand).abs() < 1e-9,
            "{found:?}, not {by_hand}"
        );
    }
}

/// Primer: 1.5 x (3, 4, 6) less the 2 h worked leave 2.5, 4, 7; paint: 1.5 x (5, 8, 12) are 7.5, 12, 18. Left: 10, 16, 25.
/// Worked: 9 + 2 + 1 = 12, so 22, 28, 37 in all.
#[test]
fn hours_go_on_at_the_pace_of_the_finished_steps() {
    let report = TallyReport::of(&ledger(WORKED), &plan(300));
    assert!(report.steps[0].is_done && !report.steps[1].is_done);
    assert!((report.steps[0].worked.to_hours() - 9.0).abs() < 1e-12);
    assert!((report.totals.worked.to_hours() - 12.0).abs() < 1e-12);
    let forecast = report.forecast.expect("there is a plan");
    let pace = forecast.pace.expect("a step is done");
    assert!((pace.to_per_cent() - 150.0).abs() < 1e-9);
    assert_hours(report.steps[1].left, 2.5, 4.0, 7.0);
    assert_hours(forecast.hours_left, 10.0, 16.0, 25.0);
    assert_hours(forecast.hours, 22.0, 28.0, 37.0);
    assert_hours(report.totals.planned, 12.0, 18.0, 27.0);
}

/// 12 h on 3 days are 4 h a day: 10 / 4 = 2.5, 16 / 4 = 4, 25 / 4 = 6.25 working days, begun ones whole. Three of the 8 days
/// from 2 May to 9 May were worked: 2.5 x 8/3 = 6.7, 4 x 8/3 = 10.7, 6.25 x 8/3 = 16.7 calendar days.
#[test]
fn days_go_on_as_they_have_been_worked() {
    let report = TallyReport::of(&ledger(WORKED), &plan(300));
    assert_eq!(report.totals.working_days, 3);
    let from_to = (date(2026, 5, 2), date(2026, 5, 9));
    assert_eq!(report.totals.from_to, Some(from_to));
    let forecast = report.forecast.expect("there is a plan");
    let days = |low, likely, high| Some(DayRange { low, likely, high });
    assert_eq!(forecast.working_days_left, days(3, 4, 7));
    assert_eq!(forecast.calendar_days_left, days(7, 11, 17));
}

/// Sanding cost 36 where 30 were planned, 1.2 times as much. Likely: 36 + 15 for the extra + the 90 already spent on
/// primer + 120 = 261. High: primer 1.2 x 80 = 96, paint 1.2 x 120 = 144, so 291. Spent: 36 + 90 + 15 = 141.
#[test]
fn cost_in_all_decides_what_is_said_of_the_budget() {
    for (budget, state) in [
        (300, BudgetState::Within),
        (291, BudgetState::Within),
        (290, BudgetState::MayGoOver),
        (261, BudgetState::MayGoOver),
        (260, BudgetState::WillGoOver),
        (141, BudgetState::WillGoOver),
        (140, BudgetState::IsOver),
    ] {
        let report = TallyReport::of(&ledger(WORKED), &plan(budget));
        let cost = report.forecast.expect("there is a plan").cost;
        assert_eq!(
            [cost.low, cost.likely, cost.high],
            [261, 261, 291].map(euro)
        );
        assert_eq!(report.budget, Some((euro(budget), state)));
    }
    // A refund of 12 on sanding: 24 of 30, 0.8. Low: 24 + 15 + 90 + 0.8 x 120 = 225; likely and high: 249.
    let refunded = format!("{WORKED}2026-05-10,sand,,,-12,EUR,,,,,,\n");
    let report = TallyReport::of(&ledger(&refunded), &plan(300));
    let cost = report.forecast.expect("there is a plan").cost;
    assert_eq!(
        [cost.low, cost.likely, cost.high],
        [225, 249, 249].map(euro)
    );
}

/// Nothing is finished: 12, 18, 27 h as planned. With 2 people for 8 h a day, 16 h: 0.75, 1.125, 1.69 days.
#[test]
fn before_a_step_is_finished_the_plan_stands() {
    let report = TallyReport::of(&ledger(""), &plan(300));
    let forecast = report.forecast.expect("there is a plan");
    assert_eq!(forecast.pace, None);
    assert_hours(forecast.hours, 12.0, 18.0, 27.0);
    let days = Some(DayRange {
        low: 1,
        likely: 2,
        high: 2,
    });
    assert_eq!(forecast.working_days_left, days);
    assert_eq!(forecast.calendar_days_left, None);
    // Ten hours on a step planned with 3 to 6 leave none of it, and are not taken back.
    let over = ledger("2026-05-02,primer,10,1,,,,,,,,\n");
    let report = TallyReport::of(&over, &plan(300));
    assert!(report.steps[1].is_over());
    assert_hours(report.steps[1].left, 0.0, 0.0, 0.0);
    let forecast = report.forecast.expect("there is a plan");
    assert_hours(forecast.hours, 19.0, 24.0, 31.0);
}

#[test]
fn currencies_are_never_added_up() {
    let mixed =
        format!("{WORKED}2026-05-10,paint,,,40,GBP,,,,,,\n2026-05-10,paint,,,7,GBP,,,,,,\n");
    let report = TallyReport::of(&ledger(&mixed), &plan(300));
    assert_eq!(report.other_currency, [6, 7]);
    let spent: Vec<(&str, Money)> = report
        .totals
        .spent
        .iter()
        .map(|total| (total.currency.code(), total.money))
        .collect();
    assert_eq!(spent, [("EUR", euro(141)), ("GBP", euro(47))]);
    assert_eq!(report.steps[2].spent, Money::ZERO);
    let text = tally_table(&report, LengthUnit::Millimetre);
    assert!(text.contains("Lines 6, 7: not in EUR"), "{text}");
    assert!(text.contains("141.00 EUR and 47.00 GBP"), "{text}");
}

#[test]
fn the_report_shows_the_same_in_the_terminal_in_markdown_and_as_json() {
    let torn = format!("{WORKED}2026-05-10,paint,1\n");
    let report = TallyReport::of(&ledger(&torn), &plan(260));
    let table = tally_table(&report, LengthUnit::Millimetre);
    let markdown = tally_markdown(&report, LengthUnit::Millimetre);
    for text in [&table, &markdown] {
        for part in [
            "Going over budget: the likely cost in all is more than 260.00 EUR.",
            "Line 6: it has 3 cells, the header 12",
            "Not in the plan: extras",
            "ladder",
            "150 %",
            "261.00 EUR",
            "291.00 EUR",
            "0042",
            "17.5 °C",
        ] {
            assert!(text.contains(part), "{part} is missing:\n{text}");
        }
    }
    assert!(markdown.contains("Two-part \\| primer"), "{markdown}");
    assert!(
        markdown.contains("| Person-hours left | 10 h | 16 h | 25 h |"),
        "{markdown}"
    );
    let json = tally_json(&report).expect("it prints");
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["budget_state"], "will-go-over");
    assert_eq!(json["forecast"]["hours_left"]["likely"], 16.0);
    assert_eq!(json["forecast"]["cost"]["high"], 291.0);
    assert_eq!(json["steps"][0]["planned_hours"]["high"], 9.0);
    assert_eq!(json["extras"][0]["lines"][0], 5);
    assert_eq!(json["damaged"][0]["line"], 6);
    assert_eq!(json["record"][0]["batch_number"], "0042");
}
