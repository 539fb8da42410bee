//! What is wrong with the text as TOML, said to somebody who has never heard the word.

use toml::de::{DeArray, DeTable, DeValue, Error};

use super::super::table::shown;
use super::super::{Fault, Place};

/// The faults of the text itself, in its order; what only follows from an earlier one is left out.
pub(super) fn faults(text: &str, root: &DeTable<'_>, errors: &[Error]) -> Vec<Fault> {
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
    for error in errors {
        let place = Place::within(text, error.span().unwrap_or_default());
        let follows = unclosed
            .iter()
            .any(|open| open.start <= place.start && place.start <= open.end + 1);
        if !follows {
            faults.push(fault(text, place, error.message()));
        }
    }
    faults.sort_by_key(|fault| (fault.place.start, fault.place.end));
    // A second fault on a line mostly follows from the first.
    faults.dedup_by(|next, first| super::same_line(text, first.place, next.place));
    faults
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
        return Fault::new(
            place,
            format!("`{}` is there twice", shown(at)),
            "the second",
        )
        .with_help("keep one of them; of openings, fittings and the like there may be many: write them with double brackets");
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
