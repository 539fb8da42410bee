//! Reads TOML values as the table of keys says they are: unknown, missing and contradictory keys are
//! found when a table is opened, wrong values when they are asked for. Nothing stops at the first
//! fault; each is kept with its place. Comes in: parsed TOML with spans. Goes out: checked values.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::keys::{Absent, Entry, Key, Kind, LAYOUT, Sign};
use super::{Fault, Place, Placed};
use crate::shape::Point;
use crate::units::{Length, LengthUnit, parse_length};

/// Faults kept; a file with more has one cause.
const MOST_FAULTS: usize = 1000;
/// Points, pairs and list items read; more than any deck was ever measured with.
const MOST_ITEMS: usize = 200_000;
/// The longest length that makes sense on a deck.
const LONGEST: Length = Length::mm(1e6);
/// Characters of a title or a name.
const LONGEST_LINE: usize = 200;

/// A parsed value with the place it was read from.
pub(super) type Value<'t> = Spanned<DeValue<'t>>;

/// The state of reading one file.
#[derive(Debug)]
pub(super) struct Reading<'t> {
    /// The whole text.
    pub(super) text: &'t str,
    /// Unit of bare numbers.
    pub(super) units: LengthUnit,
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

    fn key(&self, name: &str) -> Option<&'static Key> {
        self.entry.key(name)
    }
}

impl<'t> Reading<'t> {
    /// Begins to read `text`, whose syntax has been found broken or whole.
    pub(super) fn new(text: &'t str, broken: bool) -> Self {
        Self {
            text,
            units: LengthUnit::Millimetre,
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
    pub(super) fn open_layout(&mut self, map: &'t DeTable<'t>) -> Table<'t> {
        let start = self.place(0..0);
        self.open(&LAYOUT, map, start)
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
            one_of, some_of, ..
        } = table.entry;
        for (group, needs) in [(one_of, "needs one of"), (some_of, "needs at least one of")] {
            if !group.is_empty() && !group.iter().any(|name| explained(name)) {
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
            _ => self.wrong(value, name, &format!("a table for {}", entry.called)),
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
                            self.wrong::<()>(item, name, &format!("a table {}", entry.called));
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
                self.wrong::<()>(value, name, &format!("a table {}", entry.called));
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
            return self.wrong(value, name, expected);
        };
        let place = self.place(value.span());
        self.count_items(items.len(), place)
            .then(|| items.iter().collect())
    }

    /// Reports a value of the wrong kind.
    pub(super) fn wrong<T>(&mut self, value: &Value<'_>, name: &str, expected: &str) -> Option<T> {
        let found = found(value.get_ref());
        let place = self.place(value.span());
        self.report(Fault::new(
            place,
            format!("expected {expected}, but found {found}"),
            format!("`{name}` cannot be {found}"),
        ));
        None
    }

    /// One line of text.
    pub(super) fn line(&mut self, table: &Table<'t>, name: &str) -> Option<Placed<String>> {
        let value = table.get(name)?;
        let place = self.place(value.span());
        let DeValue::String(text) = value.get_ref() else {
            return self.wrong(value, name, "text in quotes");
        };
        let (problem, help) = if text.trim().is_empty() {
            ("is empty", "write what people call it")
        } else if text.chars().any(char::is_control) {
            (
                "runs over more than one line",
                "write it on one line, without tabs",
            )
        } else if text.chars().count() > LONGEST_LINE {
            (
                "is too long for a drawing",
                "shorten it to 200 characters at most",
            )
        } else {
            return Some(Placed::new(text.trim().to_owned(), place));
        };
        self.report(
            Fault::new(place, format!("`{name}` {problem}"), format!("`{name}`")).with_help(help),
        );
        None
    }

    /// A short name: letters, digits and hyphens.
    pub(super) fn id(&mut self, table: &Table<'t>, name: &str) -> Option<Placed<String>> {
        let id = self.line(table, name)?;
        let fits = |sign: char| sign.is_ascii_alphanumeric() || sign == '-';
        match id.value.chars().find(|sign| !fits(*sign)) {
            None => Some(id),
            Some(sign) => {
                let proposed: String = id
                    .value
                    .chars()
                    .map(|sign| if fits(sign) { sign } else { '-' })
                    .collect();
                self.report(
                    Fault::new(
                        id.place,
                        format!(
                            "an id is made of letters a to z, digits and hyphens, not `{sign}`"
                        ),
                        format!("`{sign}` cannot stand in an id"),
                    )
                    .with_help(format!(
                        "write for example \"{}\"",
                        proposed.trim_matches('-')
                    )),
                );
                None
            }
        }
    }

    /// True or false; the default where it is absent or at fault.
    pub(super) fn flag(&mut self, table: &Table<'t>, name: &str) -> bool {
        let Some(Absent::Flag(absent)) = table.key(name).map(|key| key.absent) else {
            return false;
        };
        match table.get(name).map(|value| (value, value.get_ref())) {
            None => absent,
            Some((_, DeValue::Boolean(flag))) => *flag,
            Some((value, _)) => self.wrong(value, name, "true or false").unwrap_or(absent),
        }
    }

    /// One of the words the key may have, or its default.
    pub(super) fn word(&mut self, table: &Table<'t>, name: &str) -> Option<&'static str> {
        let key = table.key(name)?;
        let Kind::Word(words) = &key.kind else {
            return None;
        };
        let Some(value) = table.get(name) else {
            return match key.absent {
                Absent::Word(word) => Some(word),
                _ => None,
            };
        };
        let all: Vec<_> = words.iter().map(|word| format!("\"{word}\"")).collect();
        let all = all.join(" or ");
        let DeValue::String(written) = value.get_ref() else {
            return self.wrong(value, name, &all);
        };
        if let Some(word) = words.iter().find(|word| *word == written) {
            return Some(word);
        }
        let place = self.place(value.span());
        self.report(
            Fault::new(
                place,
                format!("`{name}` cannot be \"{}\"", shown(written)),
                "unknown word",
            )
            .with_help(match nearest(written, words.iter().copied()) {
                Some(word) => format!("did you mean \"{word}\"?"),
                None => format!("write {all}"),
            }),
        );
        None
    }

    /// A length, or its default.
    pub(super) fn length(&mut self, table: &Table<'t>, name: &str) -> Option<Placed<Length>> {
        let key = table.key(name)?;
        let Kind::Length(sign) = key.kind else {
            return None;
        };
        match (table.get(name), key.absent) {
            (Some(value), _) => self.length_from(value, name, Some(sign)),
            (None, Absent::Mm(mm)) => Some(Placed::new(Length::mm(mm), table.place)),
            (None, _) => None,
        }
    }

    /// A length that a value holds.
    pub(super) fn length_from(
        &mut self,
        value: &Value<'_>,
        name: &str,
        sign: Option<Sign>,
    ) -> Option<Placed<Length>> {
        let place = self.place(value.span());
        let length = match value.get_ref() {
            DeValue::String(text) => match parse_length(text) {
                Ok(length) => length,
                Err(fault) => {
                    self.report(
                        Fault::new(
                            place,
                            format!("`{name}` is no length: {}", fault.problem),
                            fault.problem,
                        )
                        .with_help(fault.advice),
                    );
                    return None;
                }
            },
            _ => match number(value.get_ref()) {
                Some(amount) => Length::of(amount, self.units),
                None => return self.wrong(value, name, "a length such as 60 or \"60 mm\""),
            },
        };
        let mm = length.to_mm();
        let (problem, help) = if !mm.is_finite() {
            (
                "is no number that can be measured",
                "write a plain number, for example 60".into(),
            )
        } else if mm.abs() > LONGEST.to_mm() {
            (
                "is more than a kilometre",
                format!("is it meant in another unit? {}", self.bare_unit()),
            )
        } else if mm < 0.0 && sign.is_some() {
            ("is less than nothing", "write it without the minus".into())
        } else if mm <= 0.0 && sign == Some(Sign::Positive) {
            ("is zero", "write what was measured, more than 0".into())
        } else {
            return Some(Placed::new(length, place));
        };
        self.report(
            Fault::new(
                place,
                format!("`{name}` {problem}"),
                format!("this length {problem}"),
            )
            .with_help(help),
        );
        None
    }

    fn bare_unit(&self) -> String {
        let unit = unit_word(self.units);
        format!("a bare number is in this file's units, {unit}; \"60 mm\" carries its own")
    }

    /// A bare number that is no length, or its default.
    pub(super) fn number(
        &mut self,
        table: &Table<'t>,
        name: &str,
        expected: &str,
        allowed: Range<f64>,
    ) -> Option<f64> {
        let key = table.key(name)?;
        let Some(value) = table.get(name) else {
            return match key.absent {
                Absent::Number(number) => Some(number),
                _ => None,
            };
        };
        let Some(number) = number(value.get_ref()) else {
            return self.wrong(value, name, expected);
        };
        if number >= allowed.start && number <= allowed.end {
            return Some(number);
        }
        let place = self.place(value.span());
        self.report(
            Fault::new(
                place,
                format!("`{name}` is out of bounds: {expected}"),
                "this number makes no sense here",
            )
            .with_help(format!(
                "write a number from {} to {}",
                allowed.start, allowed.end
            )),
        );
        None
    }

    /// A list of lengths.
    pub(super) fn lengths(&mut self, table: &Table<'t>, name: &str) -> Vec<Placed<Length>> {
        let Some(value) = table.get(name) else {
            return Vec::new();
        };
        self.items(value, name, "a list of lengths such as [1200, 2400]")
            .unwrap_or_default()
            .into_iter()
            .filter_map(|item| self.length_from(item, name, None))
            .collect()
    }

    /// A point under a key.
    pub(super) fn point(&mut self, table: &Table<'t>, name: &str) -> Option<Placed<Point>> {
        self.point_from(table.get(name)?, name)
    }

    /// A point that a value holds.
    pub(super) fn point_from(&mut self, value: &'t Value<'t>, name: &str) -> Option<Placed<Point>> {
        let [x, y] = self.pair(
            value,
            name,
            "[station, distance from the centreline]",
            [None; 2],
        )?;
        Some(Placed::new(
            Point::new(x.value.to_mm(), y.value.to_mm()),
            self.place(value.span()),
        ))
    }

    /// Two lengths in brackets.
    pub(super) fn pair(
        &mut self,
        value: &'t Value<'t>,
        name: &str,
        form: &str,
        signs: [Option<Sign>; 2],
    ) -> Option<[Placed<Length>; 2]> {
        let DeValue::Array(items) = value.get_ref() else {
            return self.wrong(value, name, form);
        };
        if items.len() != 2 {
            let place = self.place(value.span());
            let count = items.len();
            let numbers = if count == 1 { "number" } else { "numbers" };
            self.report(
                Fault::new(
                    place,
                    format!("expected two numbers {form}, but found {count}"),
                    format!("{count} {numbers} in the brackets"),
                )
                .with_help(format!(
                    "write {form}, with a comma between and a point for decimals"
                )),
            );
            return None;
        }
        // Both are read before either is given up, so that two mistakes show at once.
        let first = items
            .first()
            .and_then(|item| self.length_from(item, name, signs[0]));
        let second = items
            .last()
            .and_then(|item| self.length_from(item, name, signs[1]));
        Some([first?, second?])
    }

    /// The keys and values of a table whose keys are names.
    pub(super) fn named(
        &mut self,
        table: &Table<'t>,
        name: &str,
    ) -> Vec<(Placed<String>, &'t Value<'t>)> {
        let Some(value) = table.get(name) else {
            return Vec::new();
        };
        let DeValue::Table(map) = value.get_ref() else {
            self.wrong::<()>(value, name, "margins by edge name such as { aft = 90 }");
            return Vec::new();
        };
        let mut found: Vec<_> = map
            .iter()
            .map(|(key, value)| {
                let place = self.place(key.span());
                (Placed::new(key.get_ref().to_string(), place), value)
            })
            .collect();
        found.sort_by_key(|(name, _)| name.place.start);
        found
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

    /// The table of keys of a ring's corners.
    pub(super) fn corner_entry(table: &Table<'t>, name: &str) -> Option<&'static Entry> {
        match table.key(name).map(|key| &key.kind) {
            Some(Kind::Ring(entry)) => Some(entry),
            _ => None,
        }
    }
}

/// A TOML number as it is, whatever it is.
fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().parse().ok(),
        #[expect(
            clippy::cast_precision_loss,
            reason = "hexadecimal lengths beyond 2^53 are beyond a kilometre too"
        )]
        DeValue::Integer(integer) => i64::from_str_radix(integer.as_str(), integer.radix())
            .ok()
            .map(|whole| whole as f64),
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
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
pub(super) fn nearest<'k>(written: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
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
            Kind::Table(inner) | Kind::Tables(inner) | Kind::Ring(inner) => inner,
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
        Kind::Point => "[1500, 0]",
        Kind::Size => "[600, 600]",
        Kind::HalfBreadths => "[[0, 0], [1600, 1240], [3400, 1400]]",
        Kind::Ring(_) => "[[0, 0], [3000, 0], [3000, 1200], [0, 1200]]",
        Kind::Path => "[[100, 0], [900, 500]]",
        Kind::EdgeMargins => "{ aft = 90 }",
        Kind::Table(entry) => match key.name {
            "rectangle" => "{ at = [1500, 0], size = [600, 600] }",
            _ => return format!("{} with its keys", entry.called),
        },
        Kind::Tables(entry) => return format!("{} with its keys", entry.called),
    };
    format!("`{} = {value}`", key.name)
}
