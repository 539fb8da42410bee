//! Reads what is said of walking on the deck.

use super::super::table::{Reading, Table};
use super::super::{Fault, Foothold, UnderfootSettings, Walk};
use super::{deck, value};
use crate::units::Area;

/// The lines walked on a deck.
pub(super) fn walks<'t>(reading: &mut Reading<'t>, deck: &Table<'t>) -> Vec<Walk> {
    let tables = reading.tables(deck, "walk");
    let walk = |table| {
        let name = reading.line(table, "name");
        let path = deck::path(reading, table);
        if table.are_empty_lists(&["path"]) {
            reading.report(
                Fault::new(
                    table.place_of("path"),
                    "a path has two points at least",
                    "it has none",
                )
                .with_help("write where it begins and where it ends: [[100, 0], [900, 500]]"),
            );
        }
        let both_sides = reading.flag(table, "both_sides");
        Some(Walk {
            name: name?.value,
            path,
            both_sides,
            place: table.place_of("path"),
        })
    };
    tables.iter().filter_map(walk).collect()
}

/// The places of a deck where people step.
pub(super) fn footholds<'t>(reading: &mut Reading<'t>, deck: &Table<'t>) -> Vec<Foothold> {
    let tables = reading.tables(deck, "foothold");
    let foothold = |table| {
        let name = reading.line(table, "name");
        let at = reading.position(table, "at");
        let both_sides = reading.flag(table, "both_sides");
        Some(Foothold {
            name: name?.value,
            at: at?.value,
            both_sides,
            place: table.place_of("at"),
        })
    };
    tables.iter().filter_map(foothold).collect()
}

/// From which size on something is pointed out; the defaults where nothing is said.
pub(super) fn settings<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> UnderfootSettings {
    let default = UnderfootSettings::default();
    let Some(table) = reading.table(layout, "underfoot") else {
        return default;
    };
    let least_field = reading.number(
        &table,
        "least_field",
        "an area in square metres such as 0.02",
        0.0..1e6,
    );
    let mut length = |name| value(reading, &table, name);
    UnderfootSettings {
        widest_smooth: default.widest_smooth.or_given(length("widest_smooth")),
        least_field: default
            .least_field
            .or_given(least_field.map(|area| Area::mm2(area * 1e6))),
        stops_short: default.stops_short.or_given(length("stops_short")),
        glazed: default.glazed.or_given(length("glazed")),
        waterway: default.waterway.or_given(length("waterway")),
    }
}
