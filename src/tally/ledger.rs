//! A whole ledger read. Comes in: the bytes of the file as it is; goes out: every line that holds anything, either as an
//! entry or with its number, its text and what is wrong with it. Nothing is dropped and nothing rewritten.
//!
//! A record ends where its line ends, be that LF, CRLF or CR: spile never writes a line break into a cell, so a quote
//! left open cannot take the next line with it. Empty, and left out of the count, is a line of separators and spaces.

use std::borrow::Cow;

use super::columns::{Form, Head, head_of};
use super::entry::Entry;
use super::values::Mistake;
use crate::import::cells::split;

/// A ledger as it was found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ledger {
    /// What could be read, in the file's order.
    pub entries: Vec<NumberedEntry>,
    /// What could not, likewise.
    pub damaged: Vec<DamagedLine>,
    /// What is wrong with the header, where anything is: the line that stands in its place.
    pub header: Option<DamagedLine>,
}

/// An entry and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct NumberedEntry {
    /// The line's number in the file, from 1.
    pub number: usize,
    /// What it says.
    pub entry: Entry,
}

/// A line that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DamagedLine {
    /// Its number in the file, from 1.
    pub number: usize,
    /// All of it; bytes that are no text are shown as �.
    pub text: String,
    /// What is wrong.
    pub problem: String,
    /// What to write.
    pub advice: String,
}

impl DamagedLine {
    fn of(number: usize, text: &str, mistake: Mistake) -> Self {
        Self {
            number,
            text: text.to_owned(),
            problem: mistake.problem,
            advice: mistake.advice,
        }
    }
}

/// Reads a ledger.
#[must_use]
pub fn read(bytes: &[u8]) -> Ledger {
    let mut ledger = Ledger::default();
    let mut lines = filled_lines(bytes).peekable();
    let Some(first) = lines.peek() else {
        return ledger;
    };
    let first_text = String::from_utf8_lossy(first.bytes).into_owned();
    let head = head_of(&first_text);
    if let Some(mistake) = &head.mistake {
        ledger.header = Some(DamagedLine::of(first.number, &first_text, mistake.clone()));
    }
    if head.is_header {
        lines.next();
    }
    for Line { number, bytes } in lines {
        let text = String::from_utf8_lossy(bytes);
        match entry_of(bytes, &head, &first_text) {
            Ok(entry) => ledger.entries.push(NumberedEntry { number, entry }),
            Err(mistake) => ledger.damaged.push(DamagedLine::of(number, &text, mistake)),
        }
    }
    ledger
}

/// The form of a ledger that something is to be added to; none where it is empty.
pub(super) fn form_of(bytes: &[u8]) -> Option<Head> {
    filled_lines(bytes)
        .next()
        .map(|line| head_of(&String::from_utf8_lossy(line.bytes)))
}

struct Line<'a> {
    number: usize,
    bytes: &'a [u8],
}

/// The lines that hold anything, numbered as they stand in the file. A byte-order mark is no part of the first.
fn filled_lines(bytes: &[u8]) -> impl Iterator<Item = Line<'_>> {
    let mut rest = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut number = 0;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let end = rest
            .iter()
            .position(|byte| matches!(byte, b'\n' | b'\r'))
            .unwrap_or(rest.len());
        let (line, after) = rest.split_at(end);
        rest = after
            .strip_prefix(b"\r\n")
            .or_else(|| after.get(1..))
            .unwrap_or_default();
        number += 1;
        Some(Line {
            number,
            bytes: line,
        })
    })
    .filter(|line| {
        let is_filler = |byte: &u8| matches!(byte, b' ' | b'\t' | b',' | b';');
        !line.bytes.iter().all(is_filler)
    })
}

/// The entry of one line.
fn entry_of(bytes: &[u8], head: &Head, first_line: &str) -> Result<Entry, Mistake> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return Err(Mistake::new(
            "bytes that are no text",
            "save the file as CSV in UTF-8, or type the line again",
        ));
    };
    if head.is_header && text == first_line {
        return Err(Mistake::new(
            "the header line once more",
            "take this line out",
        ));
    }
    let separator = head.form.separator;
    if let Some(strange) = text.chars().find(|c| c.is_control() && *c != separator) {
        return Err(Mistake::new(
            format!("a control character ({})", strange.escape_default()),
            "type the line again",
        ));
    }
    let cells =
        split(text, separator).map_err(|torn| Mistake::new(torn.problem(), torn.advice()))?;
    let mut cells: Vec<String> = cells.into_iter().map(Cow::into_owned).collect();
    let form = form_for(&mut cells, head)?;
    Entry::of_cells(&cells, form)
}

/// The form that fits a line of so many cells. Behind a sound header, empty ones at its end may be too many.
fn form_for<'a>(cells: &mut Vec<String>, head: &'a Head) -> Result<&'a Form, Mistake> {
    let fits = |form: &&Form, count: usize| form.columns.len() == count;
    let form = [Some(&head.form), head.instead.as_ref()]
        .into_iter()
        .flatten()
        .find(|form| fits(form, cells.len()))
        .unwrap_or(&head.form);
    let lacking = form.lacks();
    if !lacking.is_empty() {
        return Err(Mistake::new(
            format!("the header has no column `{}`", lacking.join("`, `")),
            "put the header line right",
        ));
    }
    let columns = form.columns.len();
    // Under a damaged header one cell too many may be the one that it lost.
    while head.mistake.is_none()
        && cells.len() > columns
        && cells.last().is_some_and(|cell| cell.trim().is_empty())
    {
        cells.pop();
    }
    if cells.len() == columns {
        return Ok(form);
    }
    let advice = if cells.len() < columns {
        "its end may be missing; complete it, with a separator for every empty cell"
    } else {
        "put a cell that holds the separator in quotes; part two lines that run together"
    };
    Err(Mistake::new(
        format!("it has {} cells, the header {columns}", cells.len()),
        advice,
    ))
}
