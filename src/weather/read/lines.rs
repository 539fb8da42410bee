//! A file as lines, a line as cells. Comes in: bytes; goes out: the lines that hold anything, by their numbers, and their
//! cells without quotes. A record ends where its line ends: a quote left open damages no other line.

use std::borrow::Cow;

use super::super::mistake::Mistake;
use crate::import::cells::split;

/// What stands between two separators.
pub(super) type Cell<'a> = Cow<'a, str>;

/// A line of a file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line<'a> {
    /// From 1.
    pub(super) number: usize,
    bytes: &'a [u8],
}

/// The lines that hold more than separators and spaces. A byte-order mark is no part of the first. A line ends at LF, CRLF
/// or CR.
pub(super) fn filled(bytes: &[u8]) -> impl Iterator<Item = Line<'_>> {
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

impl<'a> Line<'a> {
    /// Its cells, without the quotes and spaces round them.
    pub(super) fn cells(&self, separator: char) -> Result<Vec<Cell<'a>>, Mistake> {
        let Ok(text) = std::str::from_utf8(self.bytes) else {
            return Err(Mistake::new(
                "bytes that are no text",
                "save the file as CSV in UTF-8, or type the line again",
            ));
        };
        if let Some(strange) = text.chars().find(|c| c.is_control() && *c != separator) {
            return Err(Mistake::new(
                format!("a control character ({})", strange.escape_default()),
                "save the file as CSV in UTF-8, or type the line again",
            ));
        }
        let cells =
            split(text, separator).map_err(|torn| Mistake::new(torn.problem(), torn.advice()))?;
        let trimmed = cells.into_iter().map(|cell| match cell {
            Cow::Borrowed(cell) => Cow::Borrowed(cell.trim()),
            Cow::Owned(cell) => Cow::Owned(cell.trim().to_owned()),
        });
        Ok(trimmed.collect())
    }
}
