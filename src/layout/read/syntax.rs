//! What is wrong with the text as TOML, said to somebody who has never heard the word.

use toml::de::{DeArray, DeTable, DeValue, Error};

use super::super::table::shown;
use super::super::{Fault, Place};

/// Faults of the text that are kept; a file with more is no layout at all.
const MOST_FAULTS: usize = 100;

/// What is wrong with the text itself.
pub(super) struct Broken {
    /// Its faults in order; what only follows from an earlier one is left out.
    pub(super) faults: Vec<Fault>,
    /// The lines they stand on.
    lines: Vec<Place>,
    /// What lies behind brackets that were never closed, and so was misread.
    unclosed: Vec<Place>,
}

impl Broken {
    /// Whether something there was misread for certain.
    pub(super) fn spoils(&self, place: Place) -> bool {
        let holds = |misread: &Place| misread.start <= place.start && place.start <= misread.end;
        self.lines.iter().any(holds) || self.unclosed.iter().any(holds)
    }
}

/// The line that a place begins on.
fn line_of(text: &str, place: Place) -> Place {
    let start = text[..place.start].rfind('\n').map_or(0, |at| at + 1);
    let end = text[place.start..]
        .find('\n')
        .map_or(text.len(), |at| place.start + at);
    Place { start, end }
}

/// The faults of the text itself.
pub(super) fn broken(text: &str, root: &DeTable<'_>, errors: &[Error]) -> Broken {
    let mut unclosed = Vec::new();
    if !errors.is_empty() {
        unclosed_in_table(text, root, &mut unclosed);
    }
    let mut faults: Vec<Fault> = unclosed
        .iter()
        .map(|place| {
            let opened = &place.of(text)[..1];
            let closing = if opened == "[" { "]" } else { "}" };
            Fault::new(
                Place {
                    start: place.start,
                    end: place.start + 1,
                },
                format!("`{opened}` is never closed"),
                format!("opened here, no `{closing}` after it"),
            )
            .with_help(format!("add the missing `{closing}`"))
        })
        .collect();
    let mut errors: Vec<_> = errors
        .iter()
        .map(|error| (Place::within(text, error.span().unwrap_or_default()), error))
        .collect();
    errors.sort_by_key(|(place, _)| (place.start, place.end));
    // A second fault on a line mostly follows from the first.
    let mut lines: Vec<Place> = Vec::new();
    for (place, error) in errors {
        let behind = |open: &Place| open.start <= place.start && place.start <= open.end + 1;
        let follows = lines.last().is_some_and(|line| place.start <= line.end);
        if !follows && !unclosed.iter().any(behind) {
            lines.push(line_of(text, place));
            faults.push(fault(text, place, error.message()));
        }
        if lines.len() == MOST_FAULTS {
            break;
        }
    }
    Broken {
        faults,
        lines,
        unclosed,
    }
}

/// One fault in plain words.
fn fault(text: &str, place: Place, message: &str) -> Fault {
    let at = place.of(text);
    let rest = text.get(place.start..).unwrap_or_default();
    if message.contains("must be quoted") {
        let bare = at.trim_matches(|sign| "“”„‘’'\"".contains(sign));
        return Fault::new(place, "text stands in quotes", "not in quotes")
            .with_help(format!("write \"{}\"", shown(bare)));
    }
    if message.contains("duplicate key") {
        let is_header = line_of(text, place).of(text).starts_with('[');
        return Fault::new(
            place,
            format!("`{}` is there twice", shown(at)),
            "the second",
        )
        .with_help(if is_header {
            "openings, fittings and the like may be many, each under double brackets: [[deck.opening]]"
        } else {
            "keep one of them and delete the other"
        });
    }
    if message.contains("recurs") {
        return Fault::new(
            place,
            "too many brackets inside brackets",
            "nested too deep",
        )
        .with_help("a list of points is [[0, 0], [400, 520]]");
    }
    if message.contains("unexpected key or value") && rest.starts_with(',') {
        return Fault::new(place, "a comma after the value", "nothing may follow here")
            .with_help("decimals are written with a point, 1.5; each key stands on its own line");
    }
    if message.contains("string") && message.ends_with("expected `\"`") {
        return Fault::new(
            place,
            "the quotes are never closed",
            "a `\"` is missing here",
        )
        .with_help(
            "text begins and ends with \" on one line; for inches in text write 3 in, 3″ or 3\\\"",
        );
    }
    let message = message
        .replace("literal string", "a value")
        .replace("key with no value", "a key without a value");
    Fault::new(place, format!("cannot be read: {message}"), "here")
}

fn unclosed_in_table(text: &str, table: &DeTable<'_>, found: &mut Vec<Place>) {
    for value in table.values() {
        unclosed_in(text, value, found);
    }
}

fn unclosed_in_array(text: &str, array: &DeArray<'_>, found: &mut Vec<Place>) {
    for value in array.iter() {
        unclosed_in(text, value, found);
    }
}

/// Finds the outermost brackets that are opened and not closed.
fn unclosed_in(text: &str, value: &toml::Spanned<DeValue<'_>>, found: &mut Vec<Place>) {
    if found.len() == MOST_FAULTS {
        return;
    }
    let place = Place::within(text, value.span());
    let written = place.of(text);
    let open = |opening: char, closing: char| {
        written.starts_with(opening) && (written.len() == 1 || !written.ends_with(closing))
    };
    match value.get_ref() {
        DeValue::Array(_) if open('[', ']') => found.push(place),
        DeValue::Table(_) if open('{', '}') => found.push(place),
        DeValue::Array(array) => unclosed_in_array(text, array, found),
        DeValue::Table(table) => unclosed_in_table(text, table, found),
        _ => {}
    }
}
