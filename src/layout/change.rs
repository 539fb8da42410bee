//! A layout with single keys changed, to try what another value would do. Comes in: the file's text and what is to be
//! tried, as a person writes it: `margin=50,75`. Goes out: the text with that changed and everything else as it stands.
//! Whether the new values make sense is for the reader to say, as of any file.

use std::fmt;
use std::str::FromStr;

use toml_edit::{DocumentMut, InlineTable, Item, TableLike, Value};

use super::keys::{Absent, Entry, Key, Kind, LAYOUT};
use super::settle::{number, replace};
use super::table::{nearest, unit_word};
use crate::units::{Length, LengthUnit, parse_length};

/// What a value is called that takes a key out.
const NONE: &str = "none";
/// Decimals of a millimetre that a changed length is written with.
const DECIMALS: usize = 6;
/// Tables that may be given one value: it goes to these keys of theirs.
const GROUPS: [(&str, &[&str]); 2] = [
    ("margin", &["edge", "opening", "fitting"]),
    ("radius", &["round", "hollow"]),
];

/// A key and the values it is to be tried with, one after the other.
///
/// ```
/// use spile::layout::Trial;
/// let trial: Trial = "tape.line.width=12, 3/4 in".parse().unwrap();
/// let names: Vec<String> = trial.changes().map(|change| change.to_string()).collect();
/// assert_eq!(names, ["tape.line.width 12", "tape.line.width 3/4 in"]);
/// assert!("margin".parse::<Trial>().is_err());
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trial {
    key: String,
    values: Vec<String>,
}

impl Trial {
    /// The key, as it was written.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The changes, one for each value.
    pub fn changes(&self) -> impl Iterator<Item = Change> {
        self.values.iter().map(|value| Change {
            key: self.key.clone(),
            value: value.clone(),
        })
    }
}

impl FromStr for Trial {
    type Err = ChangeFault;

    fn from_str(text: &str) -> Result<Self, ChangeFault> {
        let example = "write a key and its values, such as margin=50,75 or tape.line.width=12,19";
        let (key, values) = text
            .split_once('=')
            .ok_or_else(|| ChangeFault::new("there is no value", example))?;
        let values: Vec<String> = listed(values)
            .into_iter()
            .map(|value| value.trim().to_owned())
            .collect();
        if key.trim().is_empty() || values.iter().any(String::is_empty) {
            return Err(ChangeFault::new("a part of it is empty", example));
        }
        Ok(Self {
            key: key.trim().to_owned(),
            values,
        })
    }
}

/// Parts between commas, but for those inside brackets or quotes.
fn listed(text: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let (mut from, mut depth, mut quoted) = (0, 0_usize, false);
    for (at, letter) in text.char_indices() {
        match letter {
            '"' => quoted = !quoted,
            '[' | '{' if !quoted => depth += 1,
            ']' | '}' if !quoted => depth = depth.saturating_sub(1),
            ',' if !quoted && depth == 0 => {
                parts.push(&text[from..at]);
                from = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&text[from..]);
    parts
}

/// A key and its new value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    key: String,
    value: String,
}

impl Change {
    /// `key` set to `value`, as a person writes it.
    pub fn new(key: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            key: key.into(),
            value: value.into().trim().to_owned(),
        }
    }

    /// `key` taken out.
    pub fn without(key: impl Into<String>) -> Self {
        Self::new(key, NONE)
    }
}

impl fmt::Display for Change {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.value == NONE {
            write!(formatter, "no {}", self.key)
        } else {
            write!(formatter, "{} {}", self.key, self.value)
        }
    }
}

/// Why a layout cannot be changed so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeFault {
    message: String,
    help: String,
    /// There is no such thing here; on another deck there may be.
    is_absence: bool,
}

impl ChangeFault {
    pub(super) fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            help: help.into(),
            is_absence: false,
        }
    }

    fn absence(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            is_absence: true,
            ..Self::new(message, help)
        }
    }
}

impl fmt::Display for ChangeFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for ChangeFault {}

/// The text of a layout with all of `changes` made.
///
/// A change's key is the way to it through the file's tables, `tape.line.width`; that of a deck may leave out `deck`.
/// Where there are several tables of a kind it holds for all, or for the one that is named behind it,
/// `deck.foredeck.margin.edge`, or for the one of that number, `deck.#1.fitting.#3.margin`. `margin` and `radius` by themselves stand for all margins and radii. A length with a sign
/// is added to the one in the file: to every margin, those of single edges and things too. `none` takes the key, or the
/// table that is named, out.
///
/// # Errors
/// Where there is no such key or no such table, where it cannot take one value, or where `text` is not TOML.
pub fn changed(text: &str, changes: &[Change]) -> Result<String, ChangeFault> {
    let mut document = document_of(text)?;
    change_all(&mut document, changes)?;
    Ok(document.to_string())
}

/// A layout's text as tables that keep its comments.
pub(super) fn document_of(text: &str) -> Result<DocumentMut, ChangeFault> {
    text.parse()
        .map_err(|_| ChangeFault::new("the layout is not TOML", "spile check says where"))
}

/// The unit of a layout's bare numbers.
pub(super) fn units_of(document: &DocumentMut) -> LengthUnit {
    let unit = document.get("units").and_then(Item::as_str);
    super::read::unit(unit.unwrap_or_default())
}

/// Makes changes one after the other.
pub(super) fn change_all(
    document: &mut DocumentMut,
    changes: &[Change],
) -> Result<(), ChangeFault> {
    let units = units_of(document);
    for change in changes {
        let mut way: Vec<&str> = change.key.split('.').map(str::trim).collect();
        if LAYOUT.key(way[0]).is_none() && deck_entry().key(way[0]).is_some() {
            way.insert(0, "deck");
        }
        let made = Making { change, units }.make(
            document.as_table_mut(),
            &LAYOUT,
            &way,
            Where::Anywhere,
        )?;
        if made == 0 {
            return Err(ChangeFault::new(
                format!("{}: nothing in the layout would change", change.key),
                "there is no such thing in it, or it has no such key to take out",
            ));
        }
    }
    Ok(())
}

fn deck_entry() -> &'static Entry {
    match LAYOUT.key("deck").map(|key| &key.kind) {
        Some(Kind::Tables(deck)) => deck,
        _ => &LAYOUT,
    }
}

/// Where a key is set.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Where {
    /// Also where it is not in the file.
    Anywhere,
    /// Only where it is.
    WhereItIs,
}

struct Making<'a> {
    change: &'a Change,
    units: LengthUnit,
}

impl Making<'_> {
    /// Changes what lies behind `way` in a table; says in how many places.
    fn make(
        &self,
        table: &mut dyn TableLike,
        entry: &'static Entry,
        way: &[&str],
        place: Where,
    ) -> Result<usize, ChangeFault> {
        let Some((name, rest)) = way.split_first() else {
            return Ok(0);
        };
        let Some(key) = entry.key(name) else {
            return Err(self.unknown(name, entry));
        };
        match (&key.kind, rest) {
            (Kind::Table(_) | Kind::Tables(_), []) if self.takes_out() => {
                Ok(usize::from(table.remove(name).is_some()))
            }
            (Kind::Table(inner), []) => match GROUPS.iter().find(|(group, _)| group == name) {
                Some((group, keys)) => self.make_all(table, entry, group, keys),
                None => Err(self.no_value(name, inner)),
            },
            (Kind::Tables(inner), []) => Err(self.no_value(name, inner)),
            (Kind::Table(inner), rest) => match inner_table(table, name, place) {
                Some(table) => self.make(table, inner, rest, place),
                None => Ok(0),
            },
            (Kind::Tables(inner), rest) => self.make_in_tables(table, name, inner, rest, place),
            (Kind::EdgeMargins, [edge]) => match inner_table(table, name, place) {
                Some(table) => self.set(table, edge, key),
                None => Ok(0),
            },
            (Kind::EdgeMargins, []) => Err(ChangeFault::new(
                format!("{}: which edge?", self.change.key),
                format!("add its name, {}.NAME", self.change.key),
            )),
            (_, []) if place == Where::WhereItIs && table.get(name).is_none() => Ok(0),
            (_, []) => self.set(table, name, key),
            (_, [further, ..]) => Err(ChangeFault::new(
                format!("{}: `{name}` has no `{further}`", self.change.key),
                format!("leave out what stands behind `{name}`"),
            )),
        }
    }

    /// One value for a group of keys; with a sign for those too that single edges and things have of their own.
    fn make_all(
        &self,
        table: &mut dyn TableLike,
        entry: &'static Entry,
        group: &str,
        keys: &[&str],
    ) -> Result<usize, ChangeFault> {
        let mut made = 0;
        for key in keys {
            made += self.make(table, entry, &[group, key], Where::Anywhere)?;
        }
        if self.by().is_some() && group == "margin" {
            for thing in ["opening", "fitting"] {
                made += self.make(table, entry, &[thing, "margin"], Where::WhereItIs)?;
            }
            let own = table.get("margin").and_then(|margin| margin.get("edges"));
            let edges = own.and_then(Item::as_table_like);
            let names: Vec<String> = edges
                .into_iter()
                .flat_map(TableLike::iter)
                .map(|(name, _)| name.to_owned())
                .collect();
            for edge in names {
                made += self.make(table, entry, &["margin", "edges", &edge], Where::WhereItIs)?;
            }
        }
        Ok(made)
    }

    /// In all tables of a kind, or in the one that is named.
    fn make_in_tables(
        &self,
        table: &mut dyn TableLike,
        kind: &str,
        inner: &'static Entry,
        way: &[&str],
        place: Where,
    ) -> Result<usize, ChangeFault> {
        let Some(item) = table.get_mut(kind) else {
            return Ok(0);
        };
        if let Some(index) = numbered(way[0]) {
            return self.make_in_numbered(item, kind, inner, index, &way[1..], place);
        }
        let names: Vec<String> = tables(item)
            .iter()
            .filter_map(|one| name_of(*one))
            .collect();
        let is_named = names.iter().any(|name| name == way[0]);
        if !is_named && inner.key(way[0]).is_none() {
            let nearby = nearest(way[0], names.iter().map(String::as_str));
            let known = names
                .iter()
                .map(String::as_str)
                .collect::<Vec<_>>()
                .join(", ");
            return Err(match nearby {
                Some(name) => ChangeFault::absence(
                    format!("{}: there is no {kind} \"{}\"", self.change.key, way[0]),
                    format!("did you mean \"{name}\"?"),
                ),
                None if names.is_empty() => ChangeFault {
                    is_absence: true,
                    ..self.unknown(way[0], inner)
                },
                None => ChangeFault::absence(
                    format!(
                        "{}: there is no {kind} \"{}\" and no such key",
                        self.change.key, way[0]
                    ),
                    format!(
                        "there is {known}; keys of all of them are {}",
                        keys_of(inner)
                    ),
                ),
            });
        }
        if is_named && way.len() == 1 {
            if !self.takes_out() {
                return Err(self.no_value(way[0], inner));
            }
            return Ok(remove_named(item, way[0]));
        }
        let mut made = 0;
        let mut absences: Vec<ChangeFault> = Vec::new();
        for one in tables(item) {
            if !is_named {
                match self.make(one, inner, way, place) {
                    Ok(many) => made += many,
                    Err(fault) if fault.is_absence => absences.push(fault),
                    Err(fault) => return Err(fault),
                }
            } else if name_of(one).as_deref() == Some(way[0]) {
                made += self.make(one, inner, &way[1..], place)?;
            }
        }
        // What one deck has the others need not have. Of several that lack it the one whose names are nearest says so.
        absences.sort_by_key(|fault| !fault.help.starts_with("did you mean"));
        match absences.into_iter().next() {
            Some(fault) if made == 0 => Err(fault),
            _ => Ok(made),
        }
    }

    /// In the table of a kind that has this number, from 0.
    fn make_in_numbered(
        &self,
        item: &mut Item,
        kind: &str,
        inner: &'static Entry,
        index: usize,
        way: &[&str],
        place: Where,
    ) -> Result<usize, ChangeFault> {
        let count = tables(item).len();
        if index >= count {
            return Err(ChangeFault::absence(
                format!("{}: there is no {kind} #{}", self.change.key, index + 1),
                format!("there are {count}"),
            ));
        }
        if way.is_empty() {
            if !self.takes_out() {
                return Err(self.no_value(kind, inner));
            }
            remove_numbered(item, index);
            return Ok(1);
        }
        match tables(item).into_iter().nth(index) {
            Some(table) => self.make(table, inner, way, place),
            None => Ok(0),
        }
    }

    /// Sets the key itself.
    fn set(&self, table: &mut dyn TableLike, name: &str, key: &Key) -> Result<usize, ChangeFault> {
        if self.takes_out() {
            return Ok(usize::from(table.remove(name).is_some()));
        }
        let is_length = matches!(key.kind, Kind::Length(_) | Kind::EdgeMargins);
        let new = match self.by().filter(|_| is_length) {
            Some(by) => match self.moved(table.get(name), key, by)? {
                Some(value) => value,
                None => return Ok(0),
            },
            None => self.value(&key.kind),
        };
        match table.get_mut(name).and_then(Item::as_value_mut) {
            Some(value) => replace(value, new),
            None => {
                table.insert(name, Item::Value(new));
            }
        }
        Ok(1)
    }

    fn takes_out(&self) -> bool {
        self.change.value == NONE
    }

    /// The value as the file would have it: what needs no quotes as it is, all else in quotes.
    fn value(&self, kind: &Kind) -> Value {
        let text = &self.change.value;
        let is_length = matches!(kind, Kind::Length(_) | Kind::EdgeMargins);
        let is_text = matches!(kind, Kind::Line | Kind::Id | Kind::Word(_));
        match text.parse() {
            // A deck may be called 1.
            Ok(value) if is_text => match value {
                Value::String(_) => value,
                _ => Value::from(text),
            },
            Ok(value) => value,
            // A fraction alone is in the layout's unit, as a number is.
            Err(_) if is_length && parse_length(text).is_err() => {
                let with_unit = self.with_unit(text);
                let is_fraction = parse_length(&with_unit).is_ok();
                Value::from(if is_fraction { &with_unit } else { text })
            }
            Err(_) => Value::from(text),
        }
    }

    fn with_unit(&self, amount: &str) -> String {
        format!("{amount} {}", unit_word(self.units))
    }

    /// The length with a sign that the value is; none where it is another.
    fn by(&self) -> Option<Length> {
        let text = &self.change.value;
        if !text.starts_with(['+', '-', '−']) {
            return None;
        }
        let plain = text.replace('−', "-");
        let with_unit = self.with_unit(&plain);
        parse_length(&plain)
            .or_else(|_| parse_length(&with_unit))
            .ok()
    }

    /// The length in the file, or its default, with another added; none where there is neither.
    fn moved(
        &self,
        item: Option<&Item>,
        key: &Key,
        by: Length,
    ) -> Result<Option<Value>, ChangeFault> {
        let bare = |item: &Item| {
            let whole = item.as_integer().map(|whole| whole as f64);
            whole.or(item.as_float())
        };
        let (old, is_bare) = match (item, key.absent) {
            (Some(item), _) => match (bare(item), item.as_str().map(parse_length)) {
                (Some(number), _) => (Length::of(number, self.units), true),
                (None, Some(Ok(length))) => (length, false),
                // The reader says what is wrong with it.
                _ => return Ok(None),
            },
            (None, Absent::Mm(mm)) => (Length::mm(mm), false),
            (None, _) => return Ok(None),
        };
        let new = old + by;
        if new < Length::ZERO {
            return Err(ChangeFault::new(
                format!(
                    "{} {}: {} would become less than nothing",
                    self.change.key,
                    self.change.value,
                    old.show(self.units)
                ),
                "take off less",
            ));
        }
        let text = if is_bare {
            number(new.to_mm(), self.units, DECIMALS)
        } else {
            format!(
                "\"{} mm\"",
                number(new.to_mm(), LengthUnit::Millimetre, DECIMALS)
            )
        };
        Ok(text.parse().ok())
    }

    fn unknown(&self, name: &str, entry: &'static Entry) -> ChangeFault {
        // At the top a deck's keys stand beside the file's own.
        let others = if entry.called == LAYOUT.called {
            deck_entry().keys
        } else {
            &[]
        };
        let known = entry.keys.iter().chain(others);
        let help = match nearest(name, known.map(|key| key.name)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("its keys are {}", keys_of(entry)),
        };
        ChangeFault::new(
            format!("{}: {} has no `{name}`", self.change.key, entry.called),
            help,
        )
    }

    fn no_value(&self, name: &str, entry: &'static Entry) -> ChangeFault {
        ChangeFault::new(
            format!("{}: `{name}` takes no value of its own", self.change.key),
            format!(
                "add one of its keys, such as {}.{}; all of them: {}",
                self.change.key,
                entry.keys[0].name,
                keys_of(entry)
            ),
        )
    }
}

/// The names of all keys of a table.
fn keys_of(entry: &Entry) -> String {
    let names: Vec<String> = entry
        .keys
        .iter()
        .map(|key| format!("`{}`", key.name))
        .collect();
    names.join(", ")
}

/// A table in a table; a new one where it is missing and may be made.
fn inner_table<'t>(
    table: &'t mut dyn TableLike,
    name: &str,
    place: Where,
) -> Option<&'t mut dyn TableLike> {
    if table.get(name).is_none() && place == Where::Anywhere {
        table.insert(name, Item::Value(InlineTable::new().into()));
    }
    table.get_mut(name).and_then(Item::as_table_like_mut)
}

/// Every table of a list of tables, however it is written.
fn tables(item: &mut Item) -> Vec<&mut dyn TableLike> {
    match item {
        Item::ArrayOfTables(tables) => tables
            .iter_mut()
            .map(|table| table as &mut dyn TableLike)
            .collect(),
        Item::Value(Value::Array(list)) => list
            .iter_mut()
            .filter_map(Value::as_inline_table_mut)
            .map(|table| table as &mut dyn TableLike)
            .collect(),
        _ => Vec::new(),
    }
}

/// What a table is called.
fn name_of(table: &dyn TableLike) -> Option<String> {
    let name = table.get("id").or_else(|| table.get("name"))?;
    name.as_str().map(|name| name.trim().to_owned())
}

/// The number, from 0, that `#1` stands for.
pub(super) fn numbered(part: &str) -> Option<usize> {
    let number: usize = part.strip_prefix('#')?.parse().ok()?;
    number.checked_sub(1)
}

/// Takes the table of that number out.
fn remove_numbered(item: &mut Item, index: usize) {
    match item {
        Item::ArrayOfTables(tables) => {
            tables.remove(index);
        }
        Item::Value(Value::Array(list)) => {
            let is_table = |at: &usize| list.get(*at).is_some_and(Value::is_inline_table);
            let at = (0..list.len()).filter(is_table).nth(index);
            if let Some(at) = at {
                list.remove(at);
            }
        }
        _ => {}
    }
}

/// Takes the tables of that name out; says how many there were.
fn remove_named(item: &mut Item, name: &str) -> usize {
    let before = tables(item).len();
    let stays = |table: &dyn TableLike| name_of(table).as_deref() != Some(name);
    match item {
        Item::ArrayOfTables(tables) => tables.retain(|table| stays(table)),
        Item::Value(Value::Array(list)) => {
            list.retain(|value| value.as_inline_table().is_none_or(|table| stays(table)));
        }
        _ => {}
    }
    before - tables(item).len()
}

#[cfg(test)]
mod tests {
    use super::*;

    const LAUNCH: &str = r#"title = "Guillemot"
units = "cm"

[[deck]]
id = "foredeck"
[deck.margin]
edge = 6        # waterway
opening = "55 mm"
edges = { aft = 7.5 }
[deck.radius]
round = 4
hollow = 2.5
[[deck.fitting]]
name = "bow cleat"
margin = 3
[[deck.strip]]
width = 6

[[deck]]
id = "aft-deck"
margin = { edge = 6, opening = 6, fitting = 4 }
radius = { round = 4, hollow = 2.5 }
"#;

    fn with(trial: &str) -> Result<String, String> {
        let trial: Trial = trial
            .parse()
            .map_err(|fault: ChangeFault| fault.to_string())?;
        let changes: Vec<Change> = trial.changes().take(1).collect();
        changed(LAUNCH, &changes).map_err(|fault| fault.to_string())
    }

    /// The lines that a change adds.
    fn new_lines(trial: &str) -> Vec<String> {
        let new = with(trial).expect("it can be changed");
        let old: Vec<&str> = LAUNCH.lines().collect();
        let lines = new.lines().filter(|line| !old.contains(line));
        lines.map(|line| line.trim().to_owned()).collect()
    }

    #[test]
    fn one_value_goes_to_all_margins_and_comments_stay() {
        assert_eq!(
            new_lines("margin=8"),
            [
                "edge = 8        # waterway",
                "opening = 8",
                "fitting = 8",
                "margin = { edge = 8, opening = 8, fitting = 8 }"
            ]
        );
        assert_eq!(
            new_lines("radius.round=5"),
            ["round = 5", "radius = { round = 5, hollow = 2.5 }"]
        );
    }

    #[test]
    fn a_length_with_a_sign_is_added_to_every_margin_there_is() {
        // In the layout's unit, or in its own; what had a unit of its own keeps one.
        assert_eq!(
            new_lines("margin=+1.5"),
            [
                "edge = 7.5        # waterway",
                "opening = \"70 mm\"",
                "edges = { aft = 9 }",
                "margin = 4.5",
                "margin = { edge = 7.5, opening = 7.5, fitting = 5.5 }"
            ]
        );
        assert_eq!(
            new_lines("deck.aft-deck.margin.edge=-1 in"),
            ["margin = { edge = 3.46, opening = 6, fitting = 4 }"]
        );
        let fault = with("margin=-40 mm").expect_err("it is refused");
        assert!(fault.contains("less than nothing"), "{fault}");
    }

    #[test]
    fn one_of_several_is_found_by_its_number() {
        assert_eq!(
            new_lines("deck.#2.margin.edge=8"),
            ["margin = { edge = 8, opening = 6, fitting = 4 }"]
        );
        assert_eq!(
            new_lines("deck.#1.fitting.#1.margin=\"1 in\""),
            ["margin = \"1 in\""]
        );
        let without = with("deck.#1.fitting.#1=none").expect("it can be changed");
        assert!(!without.contains("bow cleat") && without.contains("[[deck.strip]]"));
        let fault = with("deck.#3.margin.edge=8").expect_err("there are two");
        assert!(fault.contains("no deck #3; there are 2"), "{fault}");
    }

    #[test]
    fn a_name_of_figures_alone_is_still_a_name() {
        assert_eq!(new_lines("deck.#1.id=1"), ["id = \"1\""]);
    }

    #[test]
    fn none_takes_out_a_key_or_a_thing() {
        assert!(
            !with("strip=none")
                .expect("it can be changed")
                .contains("[[deck.strip]]")
        );
        let without = with("fitting.bow cleat=none").expect("it can be changed");
        assert!(!without.contains("bow cleat") && without.contains("[[deck.strip]]"));
        assert!(
            with("pad=none")
                .expect_err("it is refused")
                .contains("nothing in the layout would change")
        );
    }

    #[test]
    fn what_the_file_leaves_out_can_be_tried() {
        assert!(
            with("job.people=3")
                .expect("it can be changed")
                .contains("people = 3")
        );
        let tape = with("tape.line.width=1/2 in").expect("it can be changed");
        assert!(tape.contains("width = \"1/2 in\""), "{tape}");
        // A fraction without a unit is in the layout's, as a number is.
        let tape = with("tape.line.width=1 1/2").expect("it can be changed");
        assert!(tape.contains("width = \"1 1/2 cm\""), "{tape}");
        assert_eq!(new_lines("radius.hollow=+1/2")[0], "hollow = 3");
    }

    #[test]
    fn every_mistake_says_what_to_write() {
        let said = |trial: &str| with(trial).expect_err("it is refused");
        assert!(
            said("margn=5").contains("did you mean `margin`"),
            "{}",
            said("margn=5")
        );
        assert!(said("margin.egde=5").contains("did you mean `edge`"));
        assert!(said("deck.fordeck.margin=5").contains("did you mean \"foredeck\""));
        assert!(said("tape=5").contains("add one of its keys, such as tape.line"));
        assert!(said("margin.edge.aft=5").contains("leave out what stands behind `edge`"));
        assert!(said("margin.edges=5").contains("which edge?"));
        assert!(said("margin").contains("margin=50,75"));
        assert!(said("fitting.bow cleet=none").contains("did you mean \"bow cleat\""));
        assert!(said("margin=5,,6").contains("empty"));
    }

    #[test]
    fn commas_in_brackets_part_nothing() {
        assert_eq!(listed("[1, 2], \"a, b\", 3"), ["[1, 2]", " \"a, b\"", " 3"]);
    }
}
