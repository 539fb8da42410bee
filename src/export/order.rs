//! The order on the deck as a section of Markdown. Comes in: the orders of all coats. Goes out: text.

use std::fmt::Write as _;

use crate::layout::{OrderSettings, Origin, Setting};
use crate::order::{DeckOrder, OutOfReach};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// Where people leave, and a section for each coat; empty where no deck has a way off.
#[must_use]
pub fn markdown(orders: &[DeckOrder], settings: OrderSettings, units: LengthUnit) -> String {
    let mut text = String::new();
    let mut told: Vec<&str> = Vec::new();
    for order in orders {
        if !told.contains(&order.deck.as_str()) {
            told.push(&order.deck);
            text += &leaving(order);
        }
    }
    if !told.is_empty() {
        let said = |setting: Setting<Length>| {
            let from = match setting.origin {
                Origin::Layout => "the layout",
                Origin::Default(source) => source,
            };
            format!("{} ({from})", setting.value.show(units))
        };
        let _ = writeln!(
            text,
            "\nPeople walk on a path of {} and reach {}.\n",
            said(settings.path),
            said(settings.reach)
        );
    }
    for coat in orders.chunk_by(|one, other| one.step == other.step) {
        let Some(first) = coat.first() else { continue };
        // Writing to a string cannot fail.
        let _ = writeln!(text, "### {}\n", first.title);
        text += &table(coat, units);
        for order in coat {
            if let Err(why) = &order.stretches {
                text += &out_of_reach(order, why, units);
            }
            text += &remarks(order, units);
        }
        if !text.ends_with("\n\n") {
            text += "\n";
        }
    }
    text
}

/// All stretches of a coat; no more than nothing where none of its decks has an order.
fn table(coat: &[DeckOrder], units: LengthUnit) -> String {
    let rows = coat.iter().flat_map(|order| {
        let stretches = order.stretches.iter().flatten();
        stretches.enumerate().map(move |(index, stretch)| {
            format!(
                "| {} | {} | {} | {} | {} | {} |\n",
                order.first + index,
                order.deck_title,
                stretch.part,
                stretch.area.show(units),
                stretch.time.show(),
                stretch.batch
            )
        })
    });
    let rows: String = rows.collect();
    if rows.is_empty() {
        return rows;
    }
    format!(
        "| | deck | part | area | takes | batch |\n| ---: | --- | --- | ---: | ---: | ---: |\n{rows}\n"
    )
}

/// Where those who paint leave the deck.
fn leaving(order: &DeckOrder) -> String {
    let ways = order.leaving.iter().map(|way| match &way.onto {
        Some(onto) => format!("\"{}\", on to {onto}, which is painted later", way.name),
        None => format!("\"{}\"", way.name),
    });
    let ways: Vec<String> = ways.collect();
    format!("- {}: way off {}.\n", order.deck_title, ways.join("; or "))
}

fn out_of_reach(order: &DeckOrder, why: &OutOfReach, units: LengthUnit) -> String {
    let at = |place: Point| {
        let [station, off] = [place.x, place.y.abs()].map(|length| Length::mm(length).show(units));
        let side = if place.y < 0.0 { "port" } else { "starboard" };
        format!("station {station}, {off} to {side}")
    };
    if !why.when_dry {
        return format!(
            "- {}: no order was found. Whoever paints {} at {} gets off no more: mark another way off, or divide the deck.\n",
            order.deck_title,
            why.part,
            at(why.place)
        );
    }
    let passage = match why.passage {
        Some((middle, wide)) => format!(
            "the passage at {} is about {} wide, too narrow to walk",
            at(middle),
            wide.show(units)
        ),
        None => "no deck leads there".to_owned(),
    };
    format!(
        "- {}: no order. Nobody gets within reach of {} at {}, even with everything dry: {passage}. Mark a way off there.\n",
        order.deck_title,
        why.part,
        at(why.place)
    )
}

fn remarks(order: &DeckOrder, units: LengthUnit) -> String {
    let mut text = String::new();
    if !order.keeps_batches {
        let _ = writeln!(
            text,
            "- {}: the batches of the takeoff are not laid one after the other here: mix anew for each part.",
            order.deck_title
        );
    }
    if let Some((edge, working)) = order.late_edge() {
        let _ = writeln!(
            text,
            "- {}: between {} and {} (station {}) the wet edge waits {}, longer than the mix can be worked ({}). A strip there, \
             or {} who lay, would help.",
            order.deck_title,
            edge.between.0,
            edge.between.1,
            Length::mm(edge.place.x).show(units),
            edge.waits.show(),
            working.show(),
            order.hands_for(edge, working)
        );
    }
    text
}
