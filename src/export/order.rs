//! The order on the deck as a section of Markdown. Comes in: the orders of all coats. Goes out: text.

use std::fmt::Write as _;

use crate::order::{DeckOrder, OutOfReach, Stretch};
use crate::shape::Point;
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
            Err(why) => text += &out_of_reach(why, units),
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

fn out_of_reach(why: &OutOfReach, units: LengthUnit) -> String {
    let at = |place: Point| {
        let [station, off] = [place.x, place.y.abs()].map(|length| Length::mm(length).show(units));
        let side = if place.y < 0.0 { "port" } else { "starboard" };
        format!("station {station}, {off} to {side}")
    };
    let passage = match why.passage {
        Some((middle, wide)) => format!(
            "the passage at {} is about {} wide, too narrow to walk",
            at(middle),
            wide.show(units)
        ),
        None => "no deck leads there".to_owned(),
    };
    format!(
        "No order: nobody gets within reach of {} at {}, even with everything dry: {passage}. Mark a way off there.\n\n",
        why.part,
        at(why.place)
    )
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
