//! Reads TOML values as the table of keys says they are: unknown, missing and contradictory keys are
//! found when a table is opened, wrong values when they are asked for. Nothing stops at the first
//! fault; each is kept with its place. Comes in: parsed TOML with spans. Goes out: checked values.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::keys::{Absent, Entry, Key, Kind, LAYOUT};
use super::{DrawingFormat, Fault, Place};
use crate::units::{Currency, LengthUnit};

/// Faults kept; a file with more has one cause.
const MOST_FAULTS: usize = 1000;
/// Points, pairs and list items read; more than any deck was ever measured with.
const MOST_ITEMS: usize = 200_000;
/// A parsed value with the place it was read from.
pub(super) type Value<'t> = Spanned<DeValue<'t>>;

/// The state of reading one file.
#[derive(Debug)]
pub(super) struct Reading<'t> {
    /// The whole text.
    pub(super) text: &'t str,
    /// Unit of bare numbers.
    pub(super) units: LengthUnit,
    /// Names of the points that the survey finds, in the file's order.
    pub(super) points: Vec<String>,
    /// The layout's drawings: what the file calls each, and its format.
    pub(super) drawings: Vec<(String, DrawingFormat)>,
    /// The currency of prices, once it is known.
    pub(super) currency: Option<Currency>,
    /// Whether a currency was given that is none.
    pub(super) currency_is_at_fault: bool,
    /// What to write where a price has no currency.
    pub(super) currency_home: &'static str,
    /// What was found wrong.
    faults: Vec<Fault>,
    /// Whether the text is broken TOML, so that what seems missing may only be unread.
    broken: bool,
    /// Items of lists read so far.
    items: usize,
}

/// An opened table: its keys are known to be ones it may have.
#[derive(Debug, Clone, Copy)]
pub(super) struct Table<'t> {
    entry: &'static Entry,
    map: &'t DeTable<'t>,
    /// Where it begins: its header, or the whole of an inline table.
    pub(super) place: Place,
}

impl<'t> Table<'t> {
    /// The value of a key, where it is there.
    pub(super) fn get(&self, name: &str) -> Option<&'t Value<'t>> {
        debug_assert!(
            self.entry.key(name).is_some(),
            "{name} is not in the table of keys"
        );
        self.map.get(name)
    }

    /// Whether a key is there.
    pub(super) fn has(&self, name: &str) -> bool {
        self.get(name).is_some()
    }

    /// From the key to the end of its value, where they stand together.
    pub(super) fn place_of(&self, name: &str) -> Place {
        match self.map.get_key_value(name) {
            Some((key, value)) => Place {
                start: key.span().start.min(value.span().start),
                end: value.span().end.max(key.span().end),
            },
            None => self.place,
        }
    }

    /// Whether some of these keys are there, each with a list that has nothing in it.
    pub(super) fn are_empty_lists(&self, names: &[&str]) -> bool {
        let mut given = names
            .iter()
            .filter_map(|name| self.map.get(*name))
            .peekable();
        given.peek().is_some()
            && given.all(|value| {
                value
                    .get_ref()
                    .as_array()
                    .is_some_and(|list| list.is_empty())
            })
    }

    /// What is known of a key.
    pub(super) fn key(&self, name: &str) -> Option<&'static Key> {
        self.entry.key(name)
    }
}

impl<'t> Reading<'t> {
    /// Begins to read `text`, whose syntax has been found broken or whole.
    pub(super) fn new(text: &'t str, broken: bool) -> Self {
        Self {
            text,
            units: LengthUnit::Millimetre,
            points: Vec::new(),
            drawings: Vec::new(),
            currency: None,
            currency_is_at_fault: false,
            currency_home: "add `currency = \"EUR\"`, or your own, to [job]",
            faults: Vec::new(),
            broken,
            items: 0,
        }
    }

    /// Everything found wrong, in the file's order.
    pub(super) fn into_faults(self) -> Vec<Fault> {
        let mut faults = self.faults;
        faults.sort_by_key(|fault| (fault.place.start, fault.place.end));
        faults
    }

    /// Keeps a fault.
    pub(super) fn report(&mut self, fault: Fault) {
        if self.faults.len() < MOST_FAULTS {
            self.faults.push(fault);
        }
    }

    /// Whether anything was found wrong so far.
    pub(super) fn is_faulty(&self) -> bool {
        !self.faults.is_empty()
    }

    /// The place of a stretch of the text.
    pub(super) fn place(&self, range: Range<usize>) -> Place {
        Place::within(self.text, range)
    }

    /// Opens the table of the whole file.
    pub(super) fn open_root(&mut self, entry: &'static Entry, map: &'t DeTable<'t>) -> Table<'t> {
        let start = self.place(0..0);
        self.open(entry, map, start)
    }

    fn open(&mut self, entry: &'static Entry, map: &'t DeTable<'t>, place: Place) -> Table<'t> {
        let table = Table { entry, map, place };
        let meant = self.unknown_keys(&table);
        if !self.broken {
            self.missing_keys(&table, &meant);
        }
        self.contradicting_keys(&table);
        table
    }

    /// Reports keys that are not known; returns the ones that were probably meant.
    fn unknown_keys(&mut self, table: &Table<'t>) -> Vec<&'static str> {
        let mut meant = Vec::new();
        for written in table.map.keys() {
            let name = written.get_ref().as_ref();
            if table.key(name).is_some() {
                continue;
            }
            let known = table.entry.keys.iter().map(|key| key.name);
            let nearest = nearest(name, known.clone());
            let fault = Fault::new(
                self.place(written.span()),
                format!("`{}` is not known in {}", shown(name), table.entry.called),
                "unknown key",
            );
            let help = if let Some(nearest) = nearest {
                meant.push(nearest);
                format!("did you mean `{nearest}`?")
            } else if let Some(home) = home_of(&LAYOUT, name) {
                format!("`{name}` belongs in {home}")
            } else {
                let known: Vec<_> = known.map(|name| format!("`{name}`")).collect();
                format!("known here: {}", known.join(", "))
            };
            self.report(fault.with_help(help));
        }
        meant
    }

    /// Reports keys that must be there and are not, unless a misspelt one explains it.
    fn missing_keys(&mut self, table: &Table<'t>, meant: &[&str]) {
        let explained = |name: &str| table.map.contains_key(name) || meant.contains(&name);
        for key in table.entry.keys {
            if key.absent == Absent::Required && !explained(key.name) {
                self.report(
                    Fault::new(
                        table.place,
                        format!("{} has no `{}`", table.entry.called, key.name),
                        format!("`{}` is missing", key.name),
                    )
                    .with_help(format!("add {}", example(key))),
                );
            }
        }
        let Entry {
            one_of,
            some_of,
            together,
            ..
        } = table.entry;
        // Whose partner is here is missed there, by name.
        let partnered = |name: &str| {
            let mut pairs = together.iter().filter(|pair| pair.contains(&name));
            pairs.any(|pair| pair.iter().any(|key| explained(key)))
        };
        for (group, needs) in [(one_of, "needs one of"), (some_of, "needs at least one of")] {
            if !group.is_empty() && !group.iter().any(|name| explained(name) || partnered(name)) {
                let names: Vec<_> = group.iter().map(|name| format!("`{name}`")).collect();
                let first = group.first().and_then(|name| table.key(name));
                self.report(
                    Fault::new(
                        table.place,
                        format!("{} {needs} {}", table.entry.called, names.join(", ")),
                        "none of them is here",
                    )
                    .with_help(
                        first.map_or_else(String::new, |key| {
                            format!("for example {}", example(key))
                        }),
                    ),
                );
            }
        }
    }

    /// Reports the second of two keys of which only one may be there.
    fn contradicting_keys(&mut self, table: &Table<'t>) {
        let mut given: Vec<Place> = table
            .entry
            .one_of
            .iter()
            .filter_map(|name| table.map.get_key_value(*name))
            .map(|(key, _)| self.place(key.span()))
            .collect();
        given.sort_by_key(|place| place.start);
        if let [first, rest @ ..] = given.as_slice() {
            for extra in rest {
                self.report(
                    Fault::new(
                        *extra,
                        format!(
                            "`{}` beside `{}`: only one of them can hold",
                            extra.of(self.text),
                            first.of(self.text)
                        ),
                        "the second",
                    )
                    .with_mention(*first, "the first")
                    .with_help("keep one of them and delete the other"),
                );
            }
        }
    }

    /// A table inside a table.
    pub(super) fn table(&mut self, table: &Table<'t>, name: &str) -> Option<Table<'t>> {
        let value = table.get(name)?;
        let Some(Kind::Table(entry)) = table.key(name).map(|key| &key.kind) else {
            return None;
        };
        match value.get_ref() {
            DeValue::Table(map) => {
                let place = self.place(value.span());
                Some(self.open(entry, map, place))
            }
            _ => self.wrong(
                value,
                &format!("`{name}`"),
                &format!("a table for {}", entry.called),
            ),
        }
    }

    /// The tables of a list of tables.
    pub(super) fn tables(&mut self, table: &Table<'t>, name: &str) -> Vec<Table<'t>> {
        let (Some(value), Some(Kind::Tables(entry))) =
            (table.get(name), table.key(name).map(|key| &key.kind))
        else {
            return Vec::new();
        };
        let place = self.place(value.span());
        match value.get_ref() {
            DeValue::Array(items) => {
                if items.is_empty()
                    && table
                        .key(name)
                        .is_some_and(|key| key.absent == Absent::Required)
                {
                    self.report(
                        Fault::new(place, format!("`{name}` is empty"), "nothing in it")
                            .with_help(format!("add one {}", entry.called)),
                    );
                }
                if !self.count_items(items.len(), place) {
                    return Vec::new();
                }
                let mut opened = Vec::new();
                for item in items {
                    match item.get_ref() {
                        DeValue::Table(map) => {
                            let place = self.place(item.span());
                            opened.push((map, place));
                        }
                        _ => {
                            self.wrong::<()>(
                                item,
                                &format!("`{name}`"),
                                &format!("a table {}", entry.called),
                            );
                        }
                    }
                }
                opened
                    .into_iter()
                    .map(|(map, place)| self.open(entry, map, place))
                    .collect()
            }
            DeValue::Table(map) => {
                self.report(
                    Fault::new(
                        place,
                        format!(
                            "`{name}` may be there more than once, so its brackets are doubled"
                        ),
                        "single brackets",
                    )
                    .with_help(format!("write {}", entry.called)),
                );
                vec![self.open(entry, map, place)]
            }
            _ => {
                self.wrong::<()>(
                    value,
                    &format!("`{name}`"),
                    &format!("a table {}", entry.called),
                );
                Vec::new()
            }
        }
    }

    const fn may_take_item(&self) -> bool {
        self.items <= MOST_ITEMS
    }

    /// Counts items; reports once where they are too many to be measurements.
    fn count_items(&mut self, count: usize, place: Place) -> bool {
        let before = self.may_take_item();
        self.items = self.items.saturating_add(count);
        if before && !self.may_take_item() {
            self.report(
                Fault::new(
                    place,
                    format!("more than {MOST_ITEMS} entries in one file"),
                    "too many from here on",
                )
                .with_help("thin out the points: a batten needs a few dozen, not thousands"),
            );
        }
        self.may_take_item()
    }

    /// The items of a list.
    pub(super) fn items(
        &mut self,
        value: &'t Value<'t>,
        name: &str,
        expected: &str,
    ) -> Option<Vec<&'t Value<'t>>> {
        let DeValue::Array(items) = value.get_ref() else {
            return self.wrong(value, &format!("`{name}`"), expected);
        };
        let place = self.place(value.span());
        self.count_items(items.len(), place)
            .then(|| items.iter().collect())
    }

    /// Reports a value of the wrong kind.
    pub(super) fn wrong<T>(&mut self, value: &Value<'_>, what: &str, expected: &str) -> Option<T> {
        let found = found(value.get_ref());
        let place = self.place(value.span());
        self.report(Fault::new(
            place,
            format!("expected {expected}, but found {found}"),
            format!("{what} cannot be {found}"),
        ));
        None
    }

    /// Opens the table that a list's item holds.
    pub(super) fn open_item(
        &mut self,
        entry: &'static Entry,
        map: &'t DeTable<'t>,
        value: &Value<'t>,
    ) -> Table<'t> {
        let place = self.place(value.span());
        self.open(entry, map, place)
    }

    /// The table of keys of what a key's list or table is made of.
    pub(super) fn item_entry(table: &Table<'t>, name: &str) -> Option<&'static Entry> {
        match table.key(name).map(|key| &key.kind) {
            Some(Kind::Ring(entry) | Kind::Ties(entry) | Kind::SurveyPoints(entry)) => Some(entry),
            _ => None,
        }
    }
}

/// What a value is, in words.
fn found(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// The word a file writes for a unit.
pub(super) const fn unit_word(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Millimetre => "mm",
        LengthUnit::Centimetre => "cm",
        LengthUnit::Metre => "m",
        LengthUnit::Inch => "in",
        LengthUnit::Foot => "ft",
    }
}

/// Text of the file as a message may show it: short, on one line.
pub(super) fn shown(text: &str) -> String {
    let mut kept: String = text.chars().take(40).flat_map(char::escape_debug).collect();
    if text.chars().nth(40).is_some() {
        kept.push('…');
    }
    kept
}

/// The known word within a third of its length.
pub fn nearest<'k>(written: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
    if written.len() > 60 {
        return None;
    }
    let lower = written.to_lowercase();
    known
        .map(|word| (strsim::osa_distance(&lower, word), word))
        .filter(|(distance, word)| *distance <= (word.len() / 3).max(1) && *distance < word.len())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}

/// The table that has a key of this name, where another one has not.
fn home_of(entry: &'static Entry, name: &str) -> Option<&'static str> {
    entry.keys.iter().find_map(|key| {
        let inner = match key.kind {
            Kind::Table(inner) | Kind::Tables(inner) | Kind::Ring(inner) | Kind::Ties(inner) => {
                inner
            }
            _ => return None,
        };
        if inner.key(name).is_some() {
            Some(inner.called)
        } else {
            home_of(inner, name)
        }
    })
}

/// A key as a person might write it.
fn example(key: &Key) -> String {
    let value = match &key.kind {
        Kind::Line => "\"…\"",
        Kind::Id => "\"foredeck\"",
        Kind::Flag => "true",
        Kind::Word(words) => return format!("`{} = \"{}\"`", key.name, words.join("\" or \"")),
        Kind::Length(_) | Kind::Degrees => "60",
        Kind::Lengths => "[1200, 2400]",
        Kind::SquareMetres => "0.02",
        Kind::Number | Kind::PerCent => "15",
        Kind::Count => "2",
        Kind::Counts => "[80, 120, 180]",
        Kind::Money => "38.50",
        Kind::Temperature => "18",
        Kind::Date => "2027-05-03",
        Kind::Clock => "\"08:00\"",
        Kind::Content => "\"2.5 L\"",
        Kind::Quantity(dimension) => {
            let first = dimension
                .examples
                .split([',', ' '])
                .next()
                .unwrap_or_default();
            return if first.ends_with('"') {
                format!("`{} = {first}`", key.name)
            } else {
                format!("`{}`, for example {}", key.name, dimension.examples)
            };
        }
        Kind::Three(dimension) => {
            return format!(
                "`{}` = [slow, likely, fast], each such as {}",
                key.name, dimension.examples
            );
        }
        Kind::Words(words) => return format!("`{} = [\"{}\"]`", key.name, words.join("\", \"")),
        Kind::Point => "[1500, 0]",
        Kind::Spot => "[120, 80]",
        Kind::Size => "[600, 600]",
        Kind::HalfBreadths => "[[0, 0], [1600, 1240], [3400, 1400]]",
        Kind::Heights => "[[0, 120], [1500, 60], [3000, 40]]",
        Kind::SpotHeights => "[[1500, 0, 40], [1500, 600, 30], [1500, 1200, 0]]",
        Kind::Ring(_) => "[[0, 0], [3000, 0], [3000, 1200], [0, 1200]]",
        Kind::Path => "[[100, 0], [900, 500]]",
        Kind::EdgeMargins => "{ aft = 90 }",
        Kind::Ties(_) => "[[\"A\", \"B\", 3000], [\"A\", \"7\", 1520]]",
        Kind::SurveyPoints(_) => "{ A = [0, 0], B = \"centreline\" }",
        Kind::Table(entry) => match key.name {
            "rectangle" => "{ at = [1500, 0], size = [600, 600] }",
            _ => return format!("{} with its keys", entry.called),
        },
        Kind::Tables(entry) => return format!("{} with its keys", entry.called),
    };
    format!("`{} = {value}`", key.name)
}
