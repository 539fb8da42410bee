//! The order on the deck as a section of Markdown. Comes in: the orders of all coats. Goes out: text.

use std::fmt::Write as _;

use crate::order::{DeckOrder, NoOrder, Stretch};
use crate::units::{Length, LengthUnit};

/// A section for each coat of each deck; empty where no deck has a way off.
#[must_use]
pub fn markdown(orders: &[DeckOrder], units: LengthUnit) -> String {
    let mut text = String::new();
    for order in orders {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "### {}: {}\n", order.title, order.deck_title);
        match &order.stretches {
            Ok(stretches) => text += &table(stretches, units),
            Err(why) => text += &closed(why, units),
        }
        text += &remarks(order, units);
    }
    text
}

fn table(stretches: &[Stretch], units: LengthUnit) -> String {
    let mut text =
        "| | part | area | takes | batch |\n| ---: | --- | ---: | ---: | ---: |\n".to_owned();
    for (index, stretch) in stretches.iter().enumerate() {
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} | {} |",
            index + 1,
            stretch.part,
            stretch.area.show(units),
            stretch.time.show(),
            stretch.batch
        );
    }
    text + "\n"
}

fn closed(why: &NoOrder, units: LengthUnit) -> String {
    let at = |length: f64| Length::mm(length).show(units);
    match why {
        NoOrder::OutOfReach {
            part,
            place,
            passage,
        } => {
            let passage = match passage {
                Some((middle, wide)) => format!(
                    "the passage at station {}, {} from the centreline is about {} wide, too narrow to walk",
                    at(middle.x),
                    at(middle.y),
                    wide.show(units)
                ),
                None => "no deck leads there".to_owned(),
            };
            format!(
                "No order: nobody gets within reach of {part} at station {}, {} from the centreline, even with everything dry: \
                 {passage}. Mark a way off there.\n\n",
                at(place.x),
                at(place.y)
            )
        }
        NoOrder::Closed { parts, by } => {
            let help = by.as_ref().map_or_else(
                || "No one of them alone closes the way: mark another way off.".to_owned(),
                |by| format!("{by} closes the way: paint it on a day of its own, or mark another way off."),
            );
            format!(
                "No order: whichever of {} is painted last, wet paint lies between it and the way off. {help}\n\n",
                parts.join(", ")
            )
        }
    }
}

fn remarks(order: &DeckOrder, units: LengthUnit) -> String {
    let mut text = String::new();
    if !order.keeps_batches {
        text += "In this order the batches of the takeoff are not laid one after the other: mix anew for each part.\n\n";
    }
    if let Some((edge, working)) = order.late_edge() {
        let _ = write!(
            text,
            "Between {} and {} (station {}) the wet edge waits {}, longer than the mix can be worked ({}). A strip there, or {} \
             who lay, would help.\n\n",
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
