//! What is wrong with a layout, where it stands in the file, and what to write instead.
//! Reading collects faults; the stages after it add theirs at the entry that causes them.

/// A stretch of the layout's text, as byte offsets; the whole file where nothing nearer is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Place {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
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
}

impl Fault {
    /// A fault at `place`.
    pub fn new(place: Place, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            place,
            label: label.into(),
            help: None,
        }
    }

    /// The same fault with advice on what to write instead.
    #[must_use]
    pub fn with_help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}
