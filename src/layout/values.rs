//! The values behind keys: text, words, flags, numbers, lengths, points. Each is checked for its kind and
//! for making sense where it stands; a fault is kept and nothing is handed on.

use std::ops::Range;

use toml::de::DeValue;

use super::keys::{Absent, Kind, Sign};
use super::table::{Reading, Table, Value, nearest, shown, unit_word};
use super::{Fault, Placed, Position, Spot};
use crate::shape::Point;
use crate::units::{Length, parse_length};

/// The longest length that makes sense on a deck.
const LONGEST: Length = Length::mm(1e6);
/// The farthest that anything in a drawing lies from its origin, in its own units.
const FARTHEST_IN_DRAWING: f64 = 1e9;
/// Characters of a title or a name.
const LONGEST_LINE: usize = 200;

impl<'t> Reading<'t> {
    /// One line of text.
    pub(super) fn line(&mut self, table: &Table<'t>, name: &str) -> Option<Placed<String>> {
        let value = table.get(name)?;
        let place = self.place(value.span());
        let DeValue::String(text) = value.get_ref() else {
            return self.wrong(value, &format!("`{name}`"), "text in quotes");
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
                let proposed = if id.value.is_ascii() && proposed.contains(|c| c != '-') {
                    proposed.trim_matches('-')
                } else {
                    "foredeck"
                };
                let sign = match sign {
                    ' ' => "a space".into(),
                    _ => format!("`{sign}`"),
                };
                self.report(
                    Fault::new(
                        id.place,
                        format!("an id is made of letters a to z, digits and hyphens, not {sign}"),
                        format!("{sign} cannot stand in an id"),
                    )
                    .with_help(format!(
                        "write for example \"{proposed}\"; the title may be any text"
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
            Some((value, _)) => self
                .wrong(value, &format!("`{name}`"), "true or false")
                .unwrap_or(absent),
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
            return self.wrong(value, &format!("`{name}`"), &all);
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
            .with_help(
                match same_unit(written, words).or_else(|| nearest(written, words.iter().copied()))
                {
                    Some(word) => format!("did you mean \"{word}\"?"),
                    None => format!("write {all}"),
                },
            ),
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
            (Some(value), _) => self.length_from(value, &format!("`{name}`"), Some(sign)),
            (None, Absent::Mm(mm)) => Some(Placed::new(Length::mm(mm), table.place)),
            (None, _) => None,
        }
    }

    /// A length that a value holds; `what` says of what, as a message names it.
    pub(super) fn length_from(
        &mut self,
        value: &Value<'_>,
        what: &str,
        sign: Option<Sign>,
    ) -> Option<Placed<Length>> {
        let place = self.place(value.span());
        let length = match value.get_ref() {
            DeValue::String(text) => match parse_length(text) {
                Ok(length) => length,
                Err(fault) => {
                    self.report(
                        Fault::new(place, format!("{what} is not a length"), fault.problem)
                            .with_help(fault.advice),
                    );
                    return None;
                }
            },
            _ => match number(value.get_ref()) {
                Some(amount) => Length::of(amount, self.units),
                None => return self.wrong(value, what, "a length such as 60 or \"60 mm\""),
            },
        };
        let mm = length.to_mm();
        let (problem, label, help) = if !mm.is_finite() {
            (
                "is not a usable number",
                "not a plain number",
                "write a plain number, for example 60".into(),
            )
        } else if mm.abs() > LONGEST.to_mm() {
            ("is more than a kilometre", "too long", self.bare_unit())
        } else if mm < 0.0 && sign.is_some() {
            (
                "cannot be negative",
                "below zero",
                "write it without the minus".into(),
            )
        } else if mm <= 0.0 && sign == Some(Sign::Positive) {
            (
                "cannot be zero",
                "zero",
                "write what was measured, more than 0".into(),
            )
        } else {
            return Some(Placed::new(length, place));
        };
        self.report(Fault::new(place, format!("{what} {problem}"), label).with_help(help));
        None
    }

    fn bare_unit(&self) -> String {
        let unit = unit_word(self.units);
        format!(
            "a bare number is in this file's units, {unit}; is another one meant? \"60 mm\" carries its own"
        )
    }

    /// A bare number that is not a length, or its default.
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
            return self.wrong(value, &format!("`{name}`"), expected);
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
            .filter_map(|item| self.length_from(item, &format!("a length of `{name}`"), None))
            .collect()
    }

    /// A point under a key, by its coordinates or by its name in the survey.
    pub(super) fn position(&mut self, table: &Table<'t>, name: &str) -> Option<Placed<Position>> {
        self.position_from(table.get(name)?, name)
    }

    /// A point that a value holds, by its coordinates or by its name in the survey.
    pub(super) fn position_from(
        &mut self,
        value: &'t Value<'t>,
        name: &str,
    ) -> Option<Placed<Position>> {
        let place = self.place(value.span());
        let DeValue::String(point) = value.get_ref() else {
            let at = self.point_from(value, name)?;
            return Some(Placed::new(Position::At(at.value), place));
        };
        let point = point.trim();
        if self.points.iter().any(|known| known == point) {
            let named = Placed::new(point.to_owned(), place);
            return Some(Placed::new(Position::Named(named), place));
        }
        let help = if self.points.is_empty() {
            "write [station, distance from the centreline]; a name is for a point that [survey] finds"
                .to_owned()
        } else if let Some(near) = nearest(point, self.points.iter().map(String::as_str)) {
            format!("did you mean \"{near}\"?")
        } else {
            "write [station, distance from the centreline], or add ties to this point in [survey]"
                .to_owned()
        };
        self.report(
            Fault::new(
                place,
                format!("no point is called \"{}\"", shown(point)),
                "not a point of the survey",
            )
            .with_help(help),
        );
        None
    }

    /// A point that a value holds.
    pub(super) fn point_from(&mut self, value: &'t Value<'t>, name: &str) -> Option<Placed<Point>> {
        let [x, y] = self.pair(
            value,
            name,
            ["station", "distance from the centreline"],
            [None; 2],
        )?;
        Some(Placed::new(
            Point::new(x.value.to_mm(), y.value.to_mm()),
            self.place(value.span()),
        ))
    }

    /// A point of a drawing: two bare numbers, or the id of a thing drawn.
    pub(super) fn spot(&mut self, table: &Table<'t>, name: &str) -> Option<Placed<Spot>> {
        let value = table.get(name)?;
        let place = self.place(value.span());
        let expected = "[x, y] in the drawing's own units, or the id of a thing drawn";
        match value.get_ref() {
            DeValue::String(_) => {
                let id = self.line(table, name)?;
                Some(Placed::new(Spot::Middle(id.value), place))
            }
            DeValue::Array(items) => {
                let numbers: Vec<f64> = items
                    .iter()
                    .filter_map(|item| number(item.get_ref()))
                    .filter(|number| number.abs() <= FARTHEST_IN_DRAWING)
                    .collect();
                if let ([x, y], 2) = (numbers.as_slice(), items.len()) {
                    return Some(Placed::new(Spot::At(Point::new(*x, *y)), place));
                }
                self.report(
                    Fault::new(
                        place,
                        format!("`{name}` is {expected}"),
                        "not two plain numbers",
                    )
                    .with_help("read x and y off in the program that drew it, without a unit"),
                );
                None
            }
            _ => self.wrong(value, &format!("`{name}`"), expected),
        }
    }

    /// Two lengths in brackets, each named by what it measures.
    pub(super) fn pair(
        &mut self,
        value: &'t Value<'t>,
        name: &str,
        parts: [&str; 2],
        signs: [Option<Sign>; 2],
    ) -> Option<[Placed<Length>; 2]> {
        self.group(value, name, parts, signs)
    }

    /// So many lengths in brackets, each named by what it measures.
    pub(super) fn group<const N: usize>(
        &mut self,
        value: &'t Value<'t>,
        name: &str,
        parts: [&str; N],
        signs: [Option<Sign>; N],
    ) -> Option<[Placed<Length>; N]> {
        let form = format!("[{}]", parts.join(", "));
        let DeValue::Array(items) = value.get_ref() else {
            return self.wrong(value, &format!("`{name}`"), &form);
        };
        let count = items.len();
        if count != N {
            let place = self.place(value.span());
            let numbers = if count == 1 { "number" } else { "numbers" };
            let many = if N == 2 { "two" } else { "three" };
            self.report(
                Fault::new(
                    place,
                    format!("expected {many} numbers {form}, but found {count}"),
                    format!("{count} {numbers} in the brackets"),
                )
                .with_help(format!(
                    "write {form}, with a comma between and a point for decimals"
                )),
            );
            return None;
        }
        // All are read before any is given up, so that two mistakes show at once.
        let mut read = Vec::with_capacity(N);
        for ((item, part), sign) in items.iter().zip(parts).zip(signs) {
            read.extend(self.length_from(item, &format!("the {part}"), sign));
        }
        read.try_into().ok()
    }

    /// The keys and values of a table whose keys are names.
    pub(super) fn named(
        &mut self,
        table: &Table<'t>,
        name: &str,
        expected: &str,
    ) -> Vec<(Placed<String>, &'t Value<'t>)> {
        let Some(value) = table.get(name) else {
            return Vec::new();
        };
        let DeValue::Table(map) = value.get_ref() else {
            self.wrong::<()>(value, &format!("`{name}`"), expected);
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
}

/// A TOML number as it is, whatever it is.
pub(super) fn number(value: &DeValue<'_>) -> Option<f64> {
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

/// The word for the unit that was written in another way.
fn same_unit<'k>(written: &str, words: &[&'k str]) -> Option<&'k str> {
    let one = |unit: &str| parse_length(&format!("1 {unit}")).ok();
    let meant = one(written)?;
    words.iter().copied().find(|word| one(word) == Some(meant))
}
