//! What may be typed of a thing: a row for each key that its table may have, with what stands there, what holds where
//! nothing does, and what it means. Comes in: the layout's text and the way to the table. Made from the same table of keys
//! that the reader goes by, so that nothing can be typed that a file could not say.

use toml_edit::{DocumentMut, Item, TableLike, Value};

use super::super::change::{ChangeFault, document_of, numbered, units_of};
use super::super::keys::{Absent, Entry, Key, Kind, LAYOUT};
use super::super::settle::number;
use super::super::table::unit_word;
use super::Way;
use crate::units::LengthUnit;

/// What is typed into a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowKind {
    /// Text of one line.
    Text,
    /// A length: a bare number in the layout's unit, or with its own.
    Length,
    /// A number, or a quantity with its unit.
    Number,
    /// Yes or no.
    Flag,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A list or a table, as a file writes it.
    Written,
}

/// What holds of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// What the file says.
    Written(String),
    /// Nothing is written; this holds, where it can be said in short.
    Absent(Option<String>),
}

/// One key of a thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormRow {
    /// The key to be changed, as a [`Change`](super::super::Change) takes it.
    pub key: Way,
    /// Its name, with those of the tables below the thing that it stands in: `circle.diameter`.
    pub name: String,
    /// What it means.
    pub about: &'static str,
    /// What is typed.
    pub kind: RowKind,
    /// What holds.
    pub standing: Standing,
    /// Whether it must be there.
    pub is_required: bool,
}

/// For each of `ways` the rows of the table there; of the whole layout's own keys where it is empty.
///
/// # Errors
/// Where there is no such table, or the text is not TOML.
pub fn forms(text: &str, ways: &[Way]) -> Result<Vec<Vec<FormRow>>, ChangeFault> {
    let document = document_of(text)?;
    let filling = Filling {
        units: units_of(&document),
    };
    let form = |way: &Way| {
        let no_table = || {
            ChangeFault::new(
                format!("{way}: there is no such thing in the layout"),
                "it may have been taken out meanwhile",
            )
        };
        let (table, entry) = find(&document, way).ok_or_else(no_table)?;
        let mut rows = Vec::new();
        filling.rows(table, entry, way, "", &mut rows);
        Ok(rows)
    };
    ways.iter().map(form).collect()
}

/// The table at a way, where it is in the file, and the keys that it may have.
fn find<'d>(
    document: &'d DocumentMut,
    way: &str,
) -> Option<(Option<&'d dyn TableLike>, &'static Entry)> {
    let mut table: Option<&dyn TableLike> = Some(document.as_table());
    let mut entry: &'static Entry = &LAYOUT;
    let mut parts = way.split('.').filter(|part| !part.is_empty());
    while let Some(part) = parts.next() {
        let item = table.and_then(|table| table.get(part));
        match &entry.key(part)?.kind {
            Kind::Table(inner) => {
                // It may yet be written.
                table = item.and_then(Item::as_table_like);
                entry = inner;
            }
            Kind::Tables(inner) => {
                let index = numbered(parts.next()?)?;
                table = Some(match item? {
                    Item::ArrayOfTables(tables) => tables.get(index)?,
                    Item::Value(Value::Array(list)) => list.get(index)?.as_inline_table()?,
                    _ => return None,
                });
                entry = inner;
            }
            _ => return None,
        }
    }
    Some((table, entry))
}

struct Filling {
    units: LengthUnit,
}

impl Filling {
    fn rows(
        &self,
        table: Option<&dyn TableLike>,
        entry: &'static Entry,
        way: &str,
        below: &str,
        rows: &mut Vec<FormRow>,
    ) {
        for key in entry.keys {
            let item = table.and_then(|table| table.get(key.name));
            // Of several shapes there is one; the others are not offered beside it.
            if item.is_none() && entry.one_of.contains(&key.name) {
                continue;
            }
            // How points are joined says nothing of a circle.
            if item.is_none() && key.name == "curve" && !has_points(table) {
                continue;
            }
            match &key.kind {
                Kind::Tables(_) => {}
                Kind::Table(inner) => {
                    let inner_table = item.and_then(Item::as_table_like);
                    // What is not there and has rows of its own is offered where it is asked for by its way.
                    if inner_table.is_some() {
                        let (way, below) = (joined(way, key.name), joined(below, key.name));
                        self.rows(inner_table, inner, &way, &below, rows);
                    }
                }
                Kind::EdgeMargins => edges(item, key, way, below, rows),
                _ => rows.push(self.row(item, key, way, below)),
            }
        }
    }

    fn row(&self, item: Option<&Item>, key: &'static Key, way: &str, below: &str) -> FormRow {
        FormRow {
            key: joined(way, key.name),
            name: joined(below, key.name),
            about: key.about,
            kind: kind_of(&key.kind),
            standing: match item {
                Some(item) => Standing::Written(written(item)),
                None => Standing::Absent(self.default_of(key)),
            },
            is_required: key.absent == Absent::Required,
        }
    }

    /// What holds where nothing is written.
    fn default_of(&self, key: &Key) -> Option<String> {
        match key.absent {
            Absent::Required | Absent::Nothing => None,
            Absent::Mm(mm) => Some(format!(
                "{} {}",
                number(mm, self.units, 2),
                unit_word(self.units)
            )),
            Absent::Number(number) => Some(number.to_string()),
            Absent::Flag(yes) => Some(yes.to_string()),
            Absent::Word(word) => Some(word.to_owned()),
        }
    }
}

/// A row for each edge that has a margin of its own.
fn edges(item: Option<&Item>, key: &Key, way: &str, below: &str, rows: &mut Vec<FormRow>) {
    let edges = item.and_then(Item::as_table_like);
    for (name, item) in edges.into_iter().flat_map(TableLike::iter) {
        rows.push(FormRow {
            key: joined(&joined(way, key.name), name),
            name: joined(&joined(below, key.name), name),
            about: "Margin of this edge alone.",
            kind: RowKind::Length,
            standing: Standing::Written(written(item)),
            is_required: false,
        });
    }
}

/// Whether something is given by points that a curve may join.
fn has_points(table: Option<&dyn TableLike>) -> bool {
    let has = |key: &str| table.is_some_and(|table| table.contains_key(key));
    has("points") || has("half_breadths") || has("starboard")
}

fn joined(way: &str, name: &str) -> String {
    match way {
        "" => name.to_owned(),
        way => format!("{way}.{name}"),
    }
}

/// A value as a person would type it: text without its quotes.
fn written(item: &Item) -> String {
    match item {
        Item::Value(Value::String(text)) => text.value().clone(),
        // Its comment is not part of it.
        Item::Value(value) => value.clone().decorated("", "").to_string(),
        item => item.to_string().trim().to_owned(),
    }
}

const fn kind_of(kind: &Kind) -> RowKind {
    match kind {
        Kind::Line | Kind::Id | Kind::Date | Kind::Clock => RowKind::Text,
        Kind::Flag => RowKind::Flag,
        Kind::Word(words) => RowKind::Word(words),
        Kind::Length(_) => RowKind::Length,
        Kind::SquareMetres
        | Kind::Degrees
        | Kind::Number
        | Kind::Count
        | Kind::PerCent
        | Kind::Money
        | Kind::Temperature
        | Kind::Quantity(_)
        | Kind::Content => RowKind::Number,
        _ => RowKind::Written,
    }
}
