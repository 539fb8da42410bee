//! The programme as a document: when it begins and ends, what to look at, day by day, and the settings behind it.

use super::super::document::{self, Block, Table, Words};
use super::super::grid::Grid;
use super::super::markdown::settings_table;
use super::words::remark;
use crate::layout::Origin;
use crate::programme::{ActivityKind, Placed, Programme, Schedule};
use crate::takeoff::{SettingUsed, Takeoff, cautions};
use crate::units::{clock, long_day, moment, short_day};

/// The whole document.
#[must_use]
pub fn markdown(programme: &Programme, takeoff: &Takeoff) -> String {
    let mut blocks = vec![Block::heading(1, format!("{}: programme", programme.title))];
    blocks.extend(sections(programme, takeoff));
    blocks.push(Block::heading(2, "Cautions"));
    blocks.push(Block::list(cautions(takeoff)));
    document::markdown(&blocks).trim_start().to_owned()
}

/// All that stands between the title and the cautions.
pub(in crate::export) fn sections(programme: &Programme, takeoff: &Takeoff) -> Vec<Block> {
    let mut blocks = Vec::new();
    if takeoff.steps.iter().all(|step| step.coats.is_none()) {
        blocks.push(Block::Paragraph(vec![Words::own(
            "No coat is in the layout, so this is for setting out and masking alone. Add `[[product]]` and `[[step]]` \
             for the rest.",
        )]));
    }
    blocks.push(Block::table("Beginning and end", ends(programme)));
    if !programme.remarks.is_empty() {
        blocks.push(Block::heading(2, "Look at these"));
        let said = programme.remarks.iter();
        blocks.push(Block::list(said.map(|one| remark(one, programme))));
    }
    let drying = if programme.weather.is_some() {
        "by each hour's temperature".to_owned()
    } else {
        format!("at {}", programme.temperature.show(programme.units))
    };
    blocks.extend([
        Block::heading(2, "Day by day"),
        Block::paragraph(format!(
            "For {} who work together, with likely hours; drying {drying}. Breaks come on top. {}",
            people(programme.people),
            weather(programme)
        )),
        Block::table("Likely days", days(&programme.likely)),
        Block::heading(2, "What all of this rests on"),
        Block::paragraph(format!(
            "Hours are the takeoff's. Drying times are the product's at {}.",
            programme.temperature.show(programme.units)
        )),
    ]);
    blocks.extend(settings(programme));
    blocks
}

fn weather(programme: &Programme) -> String {
    let measure = "Before every coat measure: a surface at least 3 °C above the dew point, and what the data sheet asks.";
    if programme.weather.is_none() {
        return format!("No weather is known: these are the days of a dry spell. {measure}");
    }
    let mut said = format!("Coats are laid in hours whose weather is fit. {measure}");
    let unjudged: Vec<&str> = programme.unjudged().iter().map(|one| one.said()).collect();
    if !unjudged.is_empty() {
        said += &format!(" Of the hours given: {}.", unjudged.join("; "));
    }
    said
}

fn people(many: usize) -> String {
    match many {
        1 => "one".to_owned(),
        many => format!("{many} people"),
    }
}

fn ends(programme: &Programme) -> Grid {
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
    Grid {
        head: vec!["With", "Begins", "Last work", "May be walked on", "Cured"],
        rows: rows.to_vec(),
    }
}

/// The settings: those of products side by side, the others one by one.
fn settings(programme: &Programme) -> Vec<Block> {
    let of_product = |setting: &&SettingUsed| setting.key.starts_with("product ");
    let (products, others): (Vec<&SettingUsed>, Vec<&SettingUsed>) =
        programme.settings.iter().partition(of_product);
    let others: Vec<SettingUsed> = others.into_iter().cloned().collect();
    let mut blocks = vec![settings_table(&others)];
    for (group, caption) in [
        ("weather.", "Weather that each product asks for"),
        ("dry.", "How each product dries"),
    ] {
        blocks.extend(side_by_side(&products, group, caption));
    }
    blocks
}

/// A row for each product; a default has a star, and its source stands below.
fn side_by_side(settings: &[&SettingUsed], group: &str, caption: &str) -> Vec<Block> {
    let mut products: Vec<&str> = Vec::new();
    let mut titles: Vec<&str> = Vec::new();
    let mut sources: Vec<&str> = Vec::new();
    let mut cells: Vec<(&str, &str, Words)> = Vec::new();
    for setting in settings {
        let Some((product, key)) = setting.key.split_once(": ") else {
            continue;
        };
        if !key.starts_with(group) {
            continue;
        }
        for (list, one) in [
            (&mut products, product),
            (&mut titles, setting.title.as_str()),
        ] {
            if !list.contains(&one) {
                list.push(one);
            }
        }
        let star = match setting.origin {
            Origin::Layout => "",
            Origin::Default(source) => {
                if !sources.contains(&source) {
                    sources.push(source);
                }
                " *"
            }
        };
        let value = Words::from(setting.value.as_str()).and_own(star);
        cells.push((product, &setting.title, value));
    }
    if products.is_empty() {
        return Vec::new();
    }
    let cell = |product: &str, title: &str| {
        let found = cells
            .iter()
            .find(|(of, named, _)| *of == product && *named == title);
        found.map_or_else(|| Words::from("-"), |(.., value)| value.clone())
    };
    let rows = products.iter().map(|product| {
        let name = Words::from(product.trim_start_matches("product "));
        std::iter::once(name)
            .chain(titles.iter().map(|title| cell(product, title)))
            .collect()
    });
    let head = titles.iter().map(|title| Words::from(capitalised(title)));
    let table = Table {
        head: std::iter::once(Words::from("Product"))
            .chain(head)
            .collect(),
        rows: rows.collect(),
    };
    let mut blocks = vec![Block::table(caption, table)];
    if !sources.is_empty() {
        blocks.push(Block::paragraph(format!(
            "* a default: {}.",
            sources.join("; ")
        )));
    }
    blocks
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
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
                format!("{}{goes_on}", placed.activity.title),
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
