//! A new thing on a deck: a table of its kind with a plain size, placed where it was asked for, at the end of its kind.

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, Value};

use super::super::change::ChangeFault;
use super::super::settle::number;
use crate::shape::Point;
use crate::units::LengthUnit;

/// What can be added to a deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartKind {
    /// A hole in the deck.
    Opening,
    /// Something standing on it.
    Fitting,
    /// An area kept smooth.
    Smooth,
    /// A pad.
    Pad,
    /// A strip athwartships.
    StripAcross,
    /// A strip fore and aft.
    StripAlong,
}

impl PartKind {
    /// All, in the order they are offered.
    pub const ALL: [Self; 6] = [
        Self::Fitting,
        Self::Opening,
        Self::StripAcross,
        Self::StripAlong,
        Self::Smooth,
        Self::Pad,
    ];

    /// A word for programs.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Opening => "opening",
            Self::Fitting => "fitting",
            Self::Smooth => "smooth",
            Self::Pad => "pad",
            Self::StripAcross => "strip-across",
            Self::StripAlong => "strip-along",
        }
    }

    /// What people call it.
    #[must_use]
    pub const fn called(self) -> &'static str {
        match self {
            Self::Opening => "opening",
            Self::Fitting => "fitting",
            Self::Smooth => "area kept smooth",
            Self::Pad => "pad",
            Self::StripAcross => "strip athwartships",
            Self::StripAlong => "strip fore and aft",
        }
    }

    const fn key(self) -> &'static str {
        match self {
            Self::Opening => "opening",
            Self::Fitting => "fitting",
            Self::Smooth => "smooth",
            Self::Pad => "pad",
            Self::StripAcross | Self::StripAlong => "strip",
        }
    }

    const fn has_name(self) -> bool {
        !matches!(self, Self::StripAcross | Self::StripAlong)
    }

    /// Its own key and value.
    fn shape(self, at: Point, units: LengthUnit) -> [(&'static str, String); 2] {
        let mm = |mm: f64| number(mm, units, 4);
        // Sizes that people choose, in the unit they measure in.
        let size = |metric: f64, inches: f64| {
            mm(if units.is_imperial() {
                inches * 25.4
            } else {
                metric
            })
        };
        let place = format!("[{}, {}]", mm(at.x), mm(at.y));
        let rectangle = |x: f64, y: f64, radius: f64, [x_in, y_in, radius_in]: [f64; 3]| {
            format!(
                "{{ at = {place}, size = [{}, {}], radius = {} }}",
                size(x, x_in),
                size(y, y_in),
                size(radius, radius_in)
            )
        };
        let none = ("", String::new());
        match self {
            Self::Opening => [
                (
                    "rectangle",
                    rectangle(500.0, 500.0, 50.0, [20.0, 20.0, 2.0]),
                ),
                none,
            ],
            Self::Fitting => [
                (
                    "circle",
                    format!("{{ at = {place}, diameter = {} }}", size(80.0, 3.0)),
                ),
                none,
            ],
            Self::Smooth => [
                ("rectangle", rectangle(300.0, 200.0, 40.0, [12.0, 8.0, 1.5])),
                none,
            ],
            Self::Pad => [
                (
                    "rectangle",
                    rectangle(600.0, 400.0, 40.0, [24.0, 16.0, 1.5]),
                ),
                none,
            ],
            Self::StripAcross => [
                ("width", size(60.0, 2.5)),
                ("across_at", format!("[{}]", mm(at.x))),
            ],
            Self::StripAlong => [
                ("width", size(60.0, 2.5)),
                ("along_at", format!("[{}]", mm(at.y))),
            ],
        }
    }
}

/// Adds a thing to the deck of this number.
pub(super) fn to(
    document: &mut DocumentMut,
    deck: usize,
    kind: PartKind,
    at: Point,
    units: LengthUnit,
) -> Result<(), ChangeFault> {
    let no_deck = || {
        ChangeFault::new(
            format!("there is no deck #{}", deck + 1),
            "it may have been taken out meanwhile",
        )
    };
    let decks = document
        .get_mut("deck")
        .and_then(Item::as_array_of_tables_mut);
    let deck = decks
        .and_then(|decks| decks.get_mut(deck))
        .ok_or_else(no_deck)?;
    let names = names_on(deck);
    let mut table = Table::new();
    table.decor_mut().set_prefix("\n");
    if kind.has_name() {
        table.insert("name", toml_edit::value(free_name(kind.called(), &names)));
    }
    for (key, text) in kind.shape(at, units) {
        if key.is_empty() {
            continue;
        }
        let value: Value = text.parse().map_err(|_| {
            ChangeFault::new("it cannot be put there", "choose a place on the deck")
        })?;
        table.insert(key, Item::Value(value));
    }
    match deck.get_mut(kind.key()) {
        Some(Item::ArrayOfTables(tables)) => tables.push(table),
        Some(Item::Value(Value::Array(list))) => list.push(table.into_inline_table()),
        _ => {
            let mut tables = ArrayOfTables::new();
            tables.push(table);
            deck.insert(kind.key(), Item::ArrayOfTables(tables));
        }
    }
    Ok(())
}

/// All names of things on a deck.
fn names_on(deck: &Table) -> Vec<String> {
    let mut names = Vec::new();
    for (_, item) in deck.iter() {
        if let Some(tables) = item.as_array_of_tables() {
            let named = tables.iter().filter_map(|one| one.get("name")?.as_str());
            names.extend(named.map(str::to_owned));
        }
    }
    names
}

/// `fitting`, `fitting 2`, ...
fn free_name(word: &str, taken: &[String]) -> String {
    let mut name = word.to_owned();
    let mut number = 2;
    while taken.contains(&name) {
        name = format!("{word} {number}");
        number += 1;
    }
    name
}
