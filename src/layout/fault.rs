//! What is wrong with a layout, where it stands in the file, and what to write instead.
//! Reading collects faults; the stages after it add theirs at the entry that causes them.

use std::ops::Range;

/// A stretch of the layout's text, as byte offsets; the whole file where nothing nearer is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Place {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Place {
    /// The stretch `range` of `text`, moved onto whole characters that are there.
    #[must_use]
    pub fn within(text: &str, range: Range<usize>) -> Self {
        let mut start = range.start.min(text.len());
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let mut end = range.end.clamp(start, text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        Self { start, end }
    }

    /// The text that stands there; nothing where the place is not of this text.
    #[must_use]
    pub fn of(self, text: &str) -> &str {
        text.get(self.start..self.end).unwrap_or_default()
    }
}

/// A value together with the place it was read from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

impl<T> Placed<T> {
    /// A value read from `place`.
    pub const fn new(value: T, place: Place) -> Self {
        Self { value, place }
    }
}

/// One thing wrong with a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// What is wrong, in one line.
    pub message: String,
    /// Where.
    pub place: Place,
    /// What stands under the caret.
    pub label: String,
    /// What to write instead.
    pub help: Option<String>,
    /// Another place that belongs to it, such as the first of two entries with one name.
    pub mention: Option<Box<Mention>>,
    /// A line of another file in which the cause stands.
    pub excerpt: Option<Box<Excerpt>>,
}

/// A line of another file than the layout, such as a drawing, and what is wrong there.
#[derive(Debug, Clone, PartialEq)]
pub struct Excerpt {
    /// The file, as the layout calls it.
    pub file: String,
    /// Number of the line, from 1.
    pub line: usize,
    /// The line, or as much of it as is worth showing.
    pub text: String,
    /// The part of `text` at fault.
    pub part: Range<usize>,
    /// What stands under it.
    pub label: String,
}

impl Excerpt {
    /// The line of `text`, which stands in `file`, on which `place` begins.
    #[must_use]
    pub fn at(file: &str, text: &str, place: Place, label: impl Into<String>) -> Self {
        let place = Place::within(text, place.start..place.end);
        let before = &text[..place.start];
        let begin = before.rfind('\n').map_or(0, |at| at + 1);
        let line = text[begin..].lines().next().unwrap_or_default();
        let from = (place.start - begin).min(line.len());
        let to = (place.end - begin).clamp(from, line.len());
        Self {
            file: file.to_owned(),
            line: before.matches('\n').count() + 1,
            text: line.to_owned(),
            part: from..to,
            label: label.into(),
        }
    }
}

/// A place that is pointed out beside a fault, and what is to be said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Mention {
    /// Where.
    pub place: Place,
    /// What stands under it.
    pub label: String,
}

impl Fault {
    /// A fault at `place`.
    pub fn new(place: Place, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            place,
            label: label.into(),
            help: None,
            mention: None,
            excerpt: None,
        }
    }

    /// The same fault with advice on what to write instead.
    #[must_use]
    pub fn with_help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// The same fault with another place pointed out.
    #[must_use]
    pub fn with_mention(mut self, place: Place, label: impl Into<String>) -> Self {
        self.mention = Some(Box::new(Mention {
            place,
            label: label.into(),
        }));
        self
    }

    /// The same fault with a line of another file shown, in which its cause stands.
    #[must_use]
    pub fn with_excerpt(mut self, excerpt: Excerpt) -> Self {
        self.excerpt = Some(Box::new(excerpt));
        self
    }
}
