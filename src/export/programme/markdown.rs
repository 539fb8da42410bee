//! The programme as a document: when it begins and ends, what to look at, day by day, and the settings behind it.

use super::super::grid::Grid;
use super::super::markdown::{pipes, plain, settings_table};
use super::words::remark;
use crate::programme::{ActivityKind, Placed, Programme, Schedule};
use crate::takeoff::{Takeoff, cautions};
use crate::units::{clock, long_day, moment, short_day};

/// The whole document.
#[must_use]
pub fn markdown(programme: &Programme, takeoff: &Takeoff) -> String {
    let mut text = format!("# {}: programme\n\n", plain(&programme.title));
    if takeoff.steps.iter().all(|step| step.coats.is_none()) {
        text += "No coat is in the layout, so this is for setting out and masking alone. Add `[[product]]` and `[[step]]` for the rest.\n\n";
    }
    text += &ends(programme);
    if !programme.remarks.is_empty() {
        text += "\n## Look at these\n\n";
        for one in &programme.remarks {
            text += &format!("- {}\n", plain(&remark(one, programme)));
        }
    }
    text += &format!(
        "\n## Day by day\n\nFor {} who work together, with likely hours; drying {}. Breaks come on top. {}\n\n{}",
        people(programme.people),
        if programme.weather.is_some() {
            "by each hour's temperature".to_owned()
        } else {
            format!("at {}", programme.temperature.show(programme.units))
        },
        weather(programme),
        pipes(&days(&programme.likely))
    );
    text += &format!(
        "\n## What all of this rests on\n\nHours are the takeoff's. Drying times are the product's at {}.\n\n",
        programme.temperature.show(programme.units)
    );
    text += &settings_table(&programme.settings);
    text += "\n## Cautions\n\n";
    for caution in cautions(takeoff) {
        text += &format!("- {caution}\n");
    }
    text
}

fn weather(programme: &Programme) -> String {
    let measure = "Before every coat measure: a surface at least 3 °C above the dew point, and what the data sheet asks.";
    if programme.weather.is_none() {
        return format!("No weather is known: these are the days of a dry spell. {measure}");
    }
    let mut said = format!("Coats are laid in hours whose weather is fit. {measure}");
    for unjudged in programme.unjudged() {
        said += &format!(" Of the hours given: {}.", unjudged.said());
    }
    said
}

fn people(many: usize) -> String {
    match many {
        1 => "one".to_owned(),
        many => format!("{many} people"),
    }
}

fn ends(programme: &Programme) -> String {
    let rows = [
        ("few hours", &programme.few),
        ("likely", &programme.likely),
        ("many hours", &programme.many),
    ]
    .map(|(name, plan)| {
        vec![
            name.to_owned(),
            long_day(plan.begins.date()),
            last_work(plan),
            moment(plan.walked_on),
            moment(plan.ready),
        ]
    });
    pipes(&Grid {
        head: vec!["With", "Begins", "Last work", "May be walked on", "Cured"],
        rows: rows.to_vec(),
    })
}

fn last_work(plan: &Schedule) -> String {
    let ends = plan.placed.iter().filter_map(Placed::ends);
    ends.max()
        .map_or_else(String::new, |end| long_day(end.date()))
}

/// A row for each stretch of work of each activity on each day; a coat's batches in one.
fn days(plan: &Schedule) -> Grid {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for placed in &plan.placed {
        let mut spans = placed.spans.iter().peekable();
        let mut is_first = true;
        while let Some(span) = spans.next() {
            let date = span.from.date();
            let mut end = span.to;
            while let Some(next) = spans.next_if(|next| next.from.date() == date) {
                end = next.to;
            }
            let goes_on = if is_first { "" } else { ", goes on" };
            rows.push(vec![
                short_day(date),
                clock(span.from),
                clock(end),
                format!("{}{goes_on}", plain(&placed.activity.title)),
                if is_first {
                    after(placed)
                } else {
                    String::new()
                },
            ]);
            is_first = false;
        }
    }
    Grid {
        head: vec!["Day", "From", "To", "What", "Waited for"],
        rows,
    }
}

fn after(placed: &Placed) -> String {
    let mut waited: Vec<String> = placed.waited_for().into_iter().collect();
    if placed.activity.kind == ActivityKind::ExtraSanding {
        waited.push("the coat was too old".to_owned());
    }
    if placed.weather.back.is_some() {
        waited.push("fit weather".to_owned());
    }
    waited.join("; ")
}
