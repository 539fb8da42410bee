//! A tally for a person, from one source: aligned for the terminal, or as Markdown.

use super::grid::{Grid, one_line};
use super::markdown::{pipes, plain};
use super::table::aligned;
use crate::tally::{BudgetState, DamagedLine, DayRange, Entry, Forecast, TallyReport};
use crate::units::{HourRange, LengthUnit, Money, Time};

/// For the terminal.
#[must_use]
pub fn tally_table(report: &TallyReport, units: LengthUnit) -> String {
    let mut text = one_line(&report.title) + "\n";
    for part in parts(report, units, one_line) {
        text += &format!("\n{}\n\n", part.heading);
        if let Some(grid) = &part.grid {
            text += &aligned(grid);
        }
        for sentence in &part.sentences {
            text += &format!("  {sentence}\n");
        }
    }
    text
}

/// As Markdown.
#[must_use]
pub fn tally_markdown(report: &TallyReport, units: LengthUnit) -> String {
    let mut text = format!("# {}\n", plain(&report.title));
    for part in parts(report, units, plain) {
        text += &format!("\n## {}\n\n", part.heading);
        if let Some(grid) = &part.grid {
            text += &pipes(grid);
            if !part.sentences.is_empty() {
                text += "\n";
            }
        }
        for sentence in &part.sentences {
            text += &format!("- {sentence}\n");
        }
    }
    text
}

/// A heading with what stands under it.
struct Part {
    heading: &'static str,
    grid: Option<Grid>,
    sentences: Vec<String>,
}

/// Text of the ledger or the layout, made harmless for where it goes.
type Said = fn(&str) -> String;

fn parts(report: &TallyReport, units: LengthUnit, said: Said) -> Vec<Part> {
    let mut parts = vec![attention(report, said)];
    if !report.steps.is_empty() {
        parts.push(steps(report, said));
    }
    if !report.extras.is_empty() {
        parts.push(extras(report, said));
    }
    parts.push(so_far(report));
    if let Some(ahead) = &report.forecast {
        parts.push(forecast(report, ahead));
    }
    if !report.record.is_empty() {
        parts.push(record(report, units, said));
    }
    parts.retain(|part| part.grid.is_some() || !part.sentences.is_empty());
    parts
}

/// What a person should look at first.
fn attention(report: &TallyReport, said: Said) -> Part {
    let mut sentences = Vec::new();
    if let Some((budget, state)) = report.budget {
        let budget = money(report, budget);
        sentences.extend(match state {
            BudgetState::IsOver => Some(format!("OVER BUDGET: more than {budget} is spent.")),
            BudgetState::WillGoOver => Some(format!(
                "Going over budget: the likely cost in all is more than {budget}."
            )),
            BudgetState::MayGoOver => Some(format!(
                "May go over budget: the high figure of the cost in all is more than {budget}."
            )),
            BudgetState::Within => None,
        });
    }
    for step in report.steps.iter().filter(|step| step.is_over()) {
        sentences.push(format!(
            "{}: {} worked, {} planned at most.",
            said(&step.planned.title),
            step.worked.show(),
            step.planned.hours.high.show()
        ));
    }
    if !report.other_currency.is_empty() {
        let which = lines(&report.other_currency);
        sentences.push(match report.currency {
            Some(own) => format!(
                "{which}: not in {}, so counted for no step. Nothing is converted.",
                own.code()
            ),
            None => format!(
                "{which}: in several currencies, and the plan names none, so counted for no step. Nothing is converted."
            ),
        });
    }
    if let Some(header) = &report.header {
        sentences.push(damaged(header, said));
    }
    sentences.extend(report.damaged.iter().map(|one| damaged(one, said)));
    if !report.damaged.is_empty() {
        sentences.push(
            "Lines that cannot be read are kept as they are and counted nowhere; put them right in the ledger."
                .to_owned(),
        );
    }
    Part {
        heading: "Look at these first",
        grid: None,
        sentences,
    }
}

/// Longer texts of a damaged line are cut short; its number finds it.
const LONGEST: usize = 120;

fn damaged(line: &DamagedLine, said: Said) -> String {
    let mut text: String = line.text.chars().take(LONGEST).collect();
    if text.len() < line.text.len() {
        text.push('…');
    }
    format!(
        "Line {}: {}; {}. It says: {}",
        line.number,
        said(&line.problem),
        said(&line.advice),
        said(&text)
    )
}

fn steps(report: &TallyReport, said: Said) -> Part {
    let rows = report.steps.iter().map(|step| {
        vec![
            said(&step.planned.title),
            if step.is_done { "done" } else { "open" }.to_owned(),
            hours(step.planned.hours),
            step.worked.show(),
            if step.is_done {
                "-".to_owned()
            } else {
                hours(step.left)
            },
            money(report, step.planned.cost),
            money(report, step.spent),
        ]
    });
    Part {
        heading: "Step by step, in person-hours (low, likely, high)",
        grid: Some(Grid {
            head: vec![
                "Step",
                "",
                "Planned",
                "Worked",
                "Left",
                "Planned cost",
                "Spent",
            ],
            rows: rows.collect(),
        }),
        sentences: Vec::new(),
    }
}

fn extras(report: &TallyReport, said: Said) -> Part {
    let rows = report.extras.iter().map(|extra| {
        vec![
            said(&extra.step),
            extra.worked.show(),
            money(report, extra.spent),
            lines(&extra.lines),
        ]
    });
    Part {
        heading: "Not in the plan: extras",
        grid: Some(Grid {
            head: vec!["Step", "Worked", "Spent", "In the ledger"],
            rows: rows.collect(),
        }),
        sentences: Vec::new(),
    }
}

fn so_far(report: &TallyReport) -> Part {
    let totals = &report.totals;
    let spent: Vec<String> = totals
        .spent
        .iter()
        .map(|total| total.money.show(total.currency))
        .collect();
    let spent = if spent.is_empty() {
        "nothing".to_owned()
    } else {
        spent.join(" and ")
    };
    let mut sentences = vec![format!(
        "Entries read: {}. Worked: {} (person-hours). Spent: {spent}.",
        totals.entries,
        totals.worked.show(),
    )];
    if let Some((first, last)) = totals.from_to {
        sentences.push(format!(
            "Days on which somebody worked: {}, from {first} to {last}.",
            totals.working_days
        ));
    }
    if report.steps.is_empty() {
        sentences.push(
            "The layout plans no steps, so there is nothing to hold this against.".to_owned(),
        );
    }
    Part {
        heading: "So far",
        grid: None,
        sentences,
    }
}

fn forecast(report: &TallyReport, ahead: &Forecast) -> Part {
    let row =
        |name: &str, [low, likely, high]: [String; 3]| vec![name.to_owned(), low, likely, high];
    let of_hours = |range: HourRange| [range.low, range.likely, range.high].map(Time::show);
    let of_days =
        |range: DayRange| [range.low, range.likely, range.high].map(|days| days.to_string());
    let cost = ahead.cost;
    let mut rows = vec![
        row("Person-hours in all", of_hours(ahead.hours)),
        row("Person-hours left", of_hours(ahead.hours_left)),
    ];
    let days = [
        ("Working days left", ahead.working_days_left),
        ("Calendar days left", ahead.calendar_days_left),
    ];
    for (name, days) in days {
        rows.extend(days.map(|days| row(name, of_days(days))));
    }
    rows.push(row(
        "Cost in all",
        [cost.low, cost.likely, cost.high].map(|amount| money(report, amount)),
    ));
    let pace = match ahead.pace {
        Some(pace) => format!(
            "Pace: the finished steps took {:.0} % of their likely hours, and the others are taken to do so too.",
            pace.to_per_cent()
        ),
        None => "No step is finished yet, so the plan's own hours stand.".to_owned(),
    };
    let mut sentences = vec![pace];
    sentences.extend(ahead.a_working_day.map(|a_day| {
        if report.totals.working_days > 0 {
            format!(
                "A working day has had {} (person-hours) so far.",
                a_day.show()
            )
        } else {
            format!(
                "A working day is planned with {} (person-hours).",
                a_day.show()
            )
        }
    }));
    Part {
        heading: "How it will end at this pace",
        grid: Some(Grid {
            head: vec!["", "Low", "Likely", "High"],
            rows,
        }),
        sentences,
    }
}

fn record(report: &TallyReport, units: LengthUnit, said: Said) -> Part {
    let or_dash = |text: String| {
        if text.is_empty() {
            "-".to_owned()
        } else {
            text
        }
    };
    let rows = report.record.iter().map(|one| {
        let Entry {
            date,
            step,
            product,
            batch_number,
            air,
            humidity,
            note,
            ..
        } = &one.entry;
        vec![
            date.to_string(),
            said(step),
            or_dash(said(product)),
            or_dash(said(batch_number)),
            air.map_or_else(|| "-".to_owned(), |air| air.show(units)),
            humidity.map_or_else(
                || "-".to_owned(),
                |share| format!("{:.0} %", share.to_per_cent()),
            ),
            or_dash(said(note)),
        ]
    });
    Part {
        heading: "What was used, and the weather of the hour",
        grid: Some(Grid {
            head: vec![
                "Date", "Step", "Product", "Batch", "Air", "Humidity", "Note",
            ],
            rows: rows.collect(),
        }),
        sentences: Vec::new(),
    }
}

fn money(report: &TallyReport, amount: Money) -> String {
    match report.currency {
        Some(currency) => amount.show(currency),
        None => "-".to_owned(),
    }
}

/// All three, the shortest way.
fn hours(range: HourRange) -> String {
    let shown = [range.low, range.likely, range.high].map(|time| {
        let shown = format!("{:.1}", time.to_hours());
        shown.strip_suffix(".0").unwrap_or(&shown).to_owned()
    });
    format!("{} h", shown.join(", "))
}

fn lines(numbers: &[usize]) -> String {
    let shown: Vec<String> = numbers.iter().map(usize::to_string).collect();
    match shown.as_slice() {
        [one] => format!("Line {one}"),
        _ => format!("Lines {}", shown.join(", ")),
    }
}
