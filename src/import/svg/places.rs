//! Where in a file's text something stands: lines and columns of byte offsets, found quickly however often
//! they are asked for and however long a line is.

use super::super::ImportFault;

/// Bytes between counts of characters.
const STEP: usize = 4096;

/// The lines of a text.
pub(super) struct Places<'t> {
    text: &'t str,
    /// Where each line begins.
    lines: Vec<usize>,
    /// How many characters stand before each whole number of steps.
    characters: Vec<usize>,
}

impl<'t> Places<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let mut lines = vec![0];
        lines.extend(breaks.map(|(at, _)| at + 1));
        let mut characters = vec![0];
        let mut sum = 0;
        for chunk in text.as_bytes().chunks(STEP) {
            sum += started(chunk);
            characters.push(sum);
        }
        Self {
            text,
            lines,
            characters,
        }
    }

    /// Line, from 1.
    pub(super) fn line(&self, offset: usize) -> usize {
        self.lines.partition_point(|start| *start <= offset)
    }

    /// Column, in characters from 1.
    fn column(&self, offset: usize) -> usize {
        let start = self.lines[self.line(offset).saturating_sub(1)];
        1 + self.before(offset).saturating_sub(self.before(start))
    }

    /// How many characters begin before `offset`.
    fn before(&self, offset: usize) -> usize {
        let offset = offset.min(self.text.len());
        let step = offset / STEP;
        self.characters[step] + started(&self.text.as_bytes()[step * STEP..offset])
    }

    /// The byte offset of the character `count` characters (from 0) behind `offset`.
    pub(super) fn onwards(&self, offset: usize, count: usize) -> usize {
        let rest = self.text.get(offset..).unwrap_or_default();
        rest.char_indices()
            .nth(count)
            .map_or(self.text.len(), |(at, _)| offset + at)
    }

    /// A fault at `offset`.
    pub(super) fn fault(
        &self,
        offset: usize,
        message: impl Into<String>,
        label: impl Into<String>,
    ) -> ImportFault {
        ImportFault::new(self.line(offset), self.column(offset), message, label)
    }
}

/// How many characters begin in some bytes of UTF-8.
fn started(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0xC0 != 0x80).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_characters_from_one() {
        let long = "é".repeat(5000);
        let text = format!("<a>\n{long}x\nö!");
        let places = Places::of(&text);
        let at = |needle: char| {
            let offset = text.find(needle).expect("it is there");
            let fault = places.fault(offset, "", "");
            (fault.line, fault.column)
        };
        assert_eq!(at('<'), (1, 1));
        assert_eq!(at('x'), (2, 5001));
        assert_eq!(at('!'), (3, 2));
        let end = places.fault(usize::MAX, "", "");
        assert_eq!((end.line, end.column), (3, 3));
    }
}
